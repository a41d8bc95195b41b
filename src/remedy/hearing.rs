//! What recognition hears after a change.

use crate::exposition::{Entry, Outline};
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
    /// Another outline, in which each subject and answer is still there.
    Anew(Box<Outline>),
    /// A subject or an answer is lost.
    Lost,
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
        match anew {
            anew if anew.as_ref() == kept => Heard::Same,
            Some(anew) if kept.is_none_or(|kept| is_among(kept, &anew)) => Heard::Anew(Box::new(anew)),
            _ => Heard::Lost,
        }
    }
}

/// Whether each subject and answer of an outline is one of another, in the same voice from the same time on.
fn is_among(kept: &Outline, anew: &Outline) -> bool {
    let place = |entry: &Entry| (entry.voice, entry.onset);
    kept.themes().all(|theme| anew.themes().any(|it| place(it) == place(theme)))
}
