//! What a theme has once, all its entries have: a strict teacher marks it at the first.

use super::stride::Stride;
use crate::exposition::{Entry, Role};
use crate::texture::Texture;

const ROLES: [Role; 3] = [Role::Subject, Role::Answer, Role::Countersubject];

/// Whether a stride lies in a later entry of the fugue, at a place where the first entry of a role has
/// the same interval, be it inverted.
pub(super) fn is_restated(texture: &Texture<'_>, stride: &Stride<'_>) -> bool {
    let Some(outline) = texture.outline() else { return false };
    let of_voice = |entry: &&Entry| entry.voice == stride.voice;
    let mut own = outline.entries.iter().filter(of_voice).filter(|entry| holds(entry, stride.index));
    own.any(|entry| {
        let place = stride.index - entry.notes.start;
        let firsts = ROLES.iter().filter_map(|role| outline.entries.iter().find(|it| it.role == *role));
        firsts.filter(|first| first.onset < entry.onset).any(|first| has(texture, first, place, stride))
    })
}

/// Whether an entry holds a note and the next.
fn holds(entry: &Entry, note: usize) -> bool {
    entry.notes.contains(&note) && entry.notes.contains(&(note + 1))
}

/// Whether an entry has the interval of a stride, up or down, from a note counted from its first.
fn has(texture: &Texture<'_>, entry: &Entry, place: usize, stride: &Stride<'_>) -> bool {
    let note = entry.notes.start + place;
    let tones = texture.tones(entry.voice).get(note..note + 2).filter(|_| holds(entry, note));
    tones.is_some_and(|tones| match tones {
        [from, to] => {
            let (there, here) = (to.pitch - from.pitch, stride.interval());
            (there.number(), there.quality()) == (here.number(), here.quality())
        }
        _ => false,
    })
}
