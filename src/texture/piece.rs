//! What is told of a whole piece, of bars that are cut from it as well.

use super::{Texture, Tone};
use crate::exposition::Outline;
use crate::pitch::Pitch;
use crate::time::Time;
use std::ops::Range;

/// The lowest and the highest note of a voice; `None` of one that is silent.
pub(crate) type Span = Option<[Pitch; 2]>;

/// The lowest and the highest of some pitches.
pub(crate) fn span(pitches: impl Iterator<Item = Pitch> + Clone) -> Span {
    let height = |pitch: &Pitch| pitch.height();
    Some([pitches.clone().min_by_key(height)?, pitches.max_by_key(height)?])
}

/// What bars that are cut from a piece do not show of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Piece {
    /// From when to when the exposition lasts, if it is a fugue.
    exposition: Option<Range<Time>>,
    /// Of each voice.
    spans: Vec<Span>,
}

impl Piece {
    /// What a texture tells of its piece.
    pub(crate) fn of(texture: &Texture<'_>) -> Self {
        let exposition = texture.outline().and_then(exposition);
        Self { exposition, spans: (0..texture.voices()).map(|voice| texture.span(voice)).collect() }
    }

    /// The same, told of bars that begin at a time; `None` where times run out.
    pub(crate) fn from(&self, start: Time) -> Option<Self> {
        let exposition = match &self.exposition {
            Some(it) => Some(it.start.checked_sub(start).ok()?..it.end.checked_sub(start).ok()?),
            None => None,
        };
        Some(Self { exposition, spans: self.spans.clone() })
    }

    /// The lowest and the highest note of a voice.
    pub(crate) fn span(&self, voice: usize) -> Span {
        self.spans.get(voice).copied().flatten()
    }
}

/// From when to when the exposition of a fugue lasts: from its first entry to its end.
fn exposition(outline: &Outline) -> Option<Range<Time>> {
    Some(outline.themes().next()?.onset..outline.end)
}

impl<'a> Texture<'a> {
    /// As bars that are cut from a piece.
    #[must_use]
    pub(crate) fn cut_from(mut self, piece: impl Into<Option<&'a Piece>>) -> Self {
        self.piece = piece.into();
        self
    }

    /// From which tick up to which the exposition of the fugue lasts, if one is known: from its first entry to its
    /// end, be they in these bars or not.
    pub(crate) fn exposition(&self) -> Option<Range<i64>> {
        let known = match self.piece {
            Some(piece) => piece.exposition.clone(),
            None => self.outline().and_then(exposition),
        }?;
        Some(self.grid().ticks(known.start)..self.grid().ticks(known.end))
    }

    /// The lowest and the highest note of a voice in the piece.
    pub(super) fn span(&self, voice: usize) -> Span {
        match self.piece {
            Some(piece) => piece.span(voice),
            None => self.spans().get(voice).copied().flatten(),
        }
    }

    pub(super) fn find_spans(&self) -> Vec<Span> {
        let of = |voice: usize| span(self.tones(voice).iter().map(|tone: &Tone| tone.pitch));
        (0..self.voices()).map(of).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exposition::Role;
    use crate::score::Score;

    #[test]
    fn bars_know_the_exposition_and_the_compass_of_their_piece() {
        let lines = ["R:1 G4:1/4 A4 B4 G4 C5:1 D5", "C4:1/4 D4 E4 C4 E4:1 F4 G4"];
        let score = Score::excerpt("C major", "4/4", &lines).unwrap();
        let marks = [(Role::Subject, 1, 0..4), (Role::Answer, 0, 0..4)];
        let outline = Outline::marked(&score, &marks).unwrap();
        let whole = Texture::of(&score).with_outline(&outline);
        assert_eq!(whole.exposition(), Some(0..whole.grid().ticks("2".parse().unwrap())));
        let bars = Score::excerpt("C major", "4/4", &["C5:1", "F4:1"]).unwrap();
        let piece = Piece::of(&whole).from("2".parse().unwrap()).unwrap();
        let cut = Texture::of(&bars).cut_from(&piece);
        assert_eq!(cut.exposition(), Some(cut.grid().ticks("-2".parse().unwrap())..0));
        assert_eq!(cut.span(1).unwrap().map(|pitch| pitch.to_string()), ["C4", "G4"]);
        assert_eq!(Texture::of(&bars).exposition(), None);
    }
}
