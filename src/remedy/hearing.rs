//! What recognition hears after a change.

use super::guard::outline_after;
use crate::exposition::Outline;
use crate::recognize::{self, Memory};
use crate::rules::Change;
use crate::score::Score;
use crate::texture::Texture;

/// A piece with its outline, which is heard anew after changes if recognition has found it.
#[derive(Debug)]
pub(super) struct Hearing<'a> {
    score: &'a Score,
    outline: Option<&'a Outline>,
    is_recognized: bool,
    memory: Option<Memory>,
}

/// What is heard after changes.
pub(super) enum Heard {
    /// The same entries as before.
    Same,
    /// Another outline, or none.
    Anew(Box<Option<Outline>>),
}

impl<'a> Hearing<'a> {
    /// Whether the outline of a texture is what recognition finds.
    pub(super) fn of(texture: &Texture<'a>) -> Self {
        let (score, outline) = (texture.score(), texture.outline());
        let memory = Memory::of(score);
        let heard = memory.as_ref().and_then(|memory| memory.outline(score));
        let is_recognized = heard.as_ref() == outline;
        Self { score, outline, is_recognized, memory: memory.filter(|_| is_recognized) }
    }

    /// What is heard after changes, which can be made.
    pub(super) fn after(&self, changes: &[Change]) -> Heard {
        let Some(score) = Change::apply_all(changes, self.score).ok().filter(|_| self.is_recognized) else {
            return Heard::Same;
        };
        let anew = match &self.memory {
            Some(memory) => memory.outline(&score),
            None => recognize::outline(&score),
        };
        let kept = self.outline.map(|outline| outline_after(outline, changes));
        if anew == kept { Heard::Same } else { Heard::Anew(Box::new(anew)) }
    }
}
