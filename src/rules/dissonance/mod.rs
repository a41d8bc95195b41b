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

use crate::pitch::Pitch;
use crate::rules::Evidence;
use crate::texture::{Dissonance, Texture};

/// The dissonances of one kind, each note once: what is wrong with it against several voices is one mistake.
fn each_note_once<'t>(
    texture: &'t Texture<'_>,
    is_so: impl Fn(&Dissonance) -> bool,
) -> impl Iterator<Item = &'t Dissonance> {
    let mut known = vec![None; texture.voices()];
    texture.dissonances().iter().filter(move |it| {
        is_so(it) && known[it.note.0].replace((it.note.1, it.onset)) != Some((it.note.1, it.onset))
    })
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
