//! Dissonances that are not as they ought to be.

mod doubled_resolution;
mod false_relation;
mod unexplained_dissonance;
mod unprepared_dissonance;
mod unresolved_suspension;

pub use doubled_resolution::DoubledResolution;
pub use false_relation::FalseRelation;
pub use unexplained_dissonance::UnexplainedDissonance;
pub use unprepared_dissonance::UnpreparedDissonance;
pub use unresolved_suspension::UnresolvedSuspension;

use crate::meter::Strength;
use crate::pitch::Pitch;
use crate::rules::words::listed;
use crate::rules::{Evidence, Spot};
use crate::texture::{Dissonance, Texture, Tone};

/// A note that is wrong against one or several voices at once: one mistake.
struct Mistake<'t> {
    spot: Spot,
    voice: &'t str,
    others: String,
    evidence: Evidence,
    strength: Strength,
}

/// The dissonances of one kind, those that one note makes as they begin together being one.
fn mistakes<'t>(texture: &'t Texture<'_>, is_so: impl Fn(&Dissonance) -> bool) -> Vec<Mistake<'t>> {
    let found: Vec<&Dissonance> = texture.dissonances().iter().filter(|it| is_so(it)).collect();
    let of_one_note = found.chunk_by(|one, other| (one.onset, one.note) == (other.onset, other.note));
    of_one_note.filter_map(|group| mistake(texture, group)).collect()
}

fn mistake<'t>(texture: &'t Texture<'_>, group: &[&Dissonance]) -> Option<Mistake<'t>> {
    let first = group.first()?;
    let notes = std::iter::once(first.note).chain(group.iter().map(|it| it.against)).collect();
    let others: Vec<usize> = group.iter().map(|it| it.against.0).collect();
    Some(Mistake {
        spot: Spot::new(first.onset, notes),
        voice: texture.name(first.note.0),
        others: listed(texture, &others),
        evidence: evidence(texture, first)?,
        strength: first.strength,
    })
}

/// The note before the dissonant one, that one and the next.
fn around<'t>(texture: &'t Texture<'_>, dissonance: &Dissonance) -> Option<&'t [Tone]> {
    let (voice, note) = dissonance.note;
    texture.tones(voice).get(note.checked_sub(1)?..note + 2)
}

/// The pitches of the dissonant note and of the other one.
fn pitches(texture: &Texture<'_>, dissonance: &Dissonance) -> Option<[Pitch; 2]> {
    let pitch = |(voice, note): (usize, usize)| texture.tones(voice).get(note).map(|tone| tone.pitch);
    Some([pitch(dissonance.note)?, pitch(dissonance.against)?])
}

/// The names of the voice with the dissonant note and of the other one.
fn names<'t>(texture: &'t Texture<'_>, dissonance: &Dissonance) -> [&'t str; 2] {
    [texture.name(dissonance.note.0), texture.name(dissonance.against.0)]
}

fn evidence(texture: &Texture<'_>, dissonance: &Dissonance) -> Option<Evidence> {
    pitches(texture, dissonance).map(|[one, other]| Evidence::of_vertical(one, other))
}
