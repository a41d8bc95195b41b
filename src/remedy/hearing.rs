//! What recognition hears after a change.

use crate::exposition::Outline;
use crate::recognize::{self, Memory};
use crate::score::Score;
use crate::texture::Texture;

/// A piece with its outline, which is heard anew after changes if recognition has found it.
#[derive(Debug)]
pub(super) struct Hearing {
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

impl Hearing {
    /// Whether the outline of a texture is what recognition finds.
    pub(super) fn of(texture: &Texture<'_>) -> Self {
        let (score, outline) = (texture.score(), texture.outline());
        let memory = Memory::of(score);
        let heard = memory.as_ref().and_then(|memory| memory.outline(score));
        let is_recognized = heard.as_ref() == outline;
        Self { is_recognized, memory: memory.filter(|_| is_recognized) }
    }

    /// What is heard in the piece after changes, if it had this outline.
    pub(super) fn after(&self, score: &Score, kept: Option<&Outline>) -> Heard {
        if !self.is_recognized {
            return Heard::Same;
        }
        let anew = match &self.memory {
            Some(memory) => memory.outline(score),
            None => recognize::outline(score),
        };
        if anew.as_ref() == kept { Heard::Same } else { Heard::Anew(Box::new(anew)) }
    }
}
