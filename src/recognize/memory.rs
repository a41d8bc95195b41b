//! A score heard again after a few notes have changed.
//!
//! Most of the time of recognition goes into comparing the theme with what begins on each note of the score.
//! A comparison reads the notes from the first one on until the last of the theme is due, and no others: where
//! these are what they were, so is what it finds. The key is known as soon as what tells it is what it was.

use super::entries::{Field, likenesses, reach};
use super::keys::Evidence;
use super::likeness::Likeness;
use super::strand::Tone;
use super::theme::Theme;
use super::{Led, OtherForms, hear};
use crate::exposition::Outline;
use crate::key::Key;
use crate::score::Score;
use std::sync::{Mutex, PoisonError};

/// How many keys are remembered: those of the score as it was, with the subject's last note and without, and of what a
/// few changes in the exposition make of it.
const MOST_KEYS: usize = 8;

/// Where in a score the notes were found to be like the theme.
#[derive(Debug)]
pub(crate) struct Memory {
    theme: Theme,
    /// When the fugue begins.
    from: i64,
    voices: Vec<Heard>,
    /// The first keys that were asked for, and what told them.
    keys: Mutex<Vec<(Evidence, Key)>>,
}

/// The notes of a voice, and from which of them on they are like the theme, in order.
#[derive(Debug)]
struct Heard {
    tones: Vec<Tone>,
    firsts: Vec<usize>,
}

impl Memory {
    /// What there is to remember of a score; `None` if it opens as no fugue.
    pub(crate) fn of(score: &Score) -> Option<Self> {
        let Led { strands, opening, theme, .. } = Led::of(score, None)?;
        let from = opening.onset;
        let voices = (0..strands.count()).map(|voice| {
            let tones = strands.voice(voice).to_vec();
            let begin = tones.partition_point(|tone| tone.on < from);
            let alike = likenesses(&theme, &tones, begin..tones.len());
            Heard { firsts: alike.iter().map(|likeness| likeness.first).collect(), tones }
        });
        Some(Self { voices: voices.collect(), theme, from, keys: Mutex::default() })
    }

    /// The outline that [`super::outline`] finds in a score, sooner if the score differs in few notes from the one
    /// that is remembered.
    pub(crate) fn outline(&self, score: &Score) -> Option<Outline> {
        Some(hear(score, OtherForms::IfNeeded, Some(self))?.outline)
    }

    /// The key that evidence tells.
    pub(super) fn key(&self, evidence: &Evidence) -> Key {
        let mut keys = self.keys.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, key)) = keys.iter().find(|(known, _)| known == evidence) {
            return *key;
        }
        let key = evidence.key();
        if keys.len() < MOST_KEYS {
            keys.push((evidence.clone(), key));
        }
        key
    }

    /// What is like the theme in a voice; `None` if the theme has other notes than the one that is remembered,
    /// or the fugue another beginning. What its notes tell may be something else: where notes are like it
    /// depends on the notes alone.
    pub(super) fn likenesses(&self, field: &Field<'_>, theme: &Theme, voice: usize) -> Option<Vec<Likeness>> {
        let is_known = self.theme.has_notes_of(theme) && self.from == field.from();
        let (heard, tones) = (self.voices.get(voice).filter(|_| is_known)?, field.strands().voice(voice));
        Some(likenesses(theme, tones, heard.firsts_in(tones, theme, self.from)))
    }
}

impl Heard {
    /// From which notes on the same voice may be like the theme after a change: as before, and from all
    /// that begin so that the theme comes to a changed note.
    fn firsts_in(&self, tones: &[Tone], theme: &Theme, from: i64) -> Vec<usize> {
        let pairs = self.tones.iter().zip(tones);
        let before = pairs.take_while(|(old, new)| old == new).count();
        let (old, new) = (&self.tones[before..], &tones[before..]);
        let after = old.iter().rev().zip(new.iter().rev()).take_while(|(old, new)| old == new).count();
        let (old, new) = (self.tones.len() - after, tones.len() - after);
        let (reach, last) = (reach(theme), before.checked_sub(1).map_or(i64::MIN, |last| tones[last].on));
        let begin = tones.partition_point(|tone| tone.on < from);
        let anew = tones[..before].partition_point(|tone| tone.on + reach <= last);
        let kept = self.firsts.iter().copied().filter(|first| *first < anew);
        let moved = self.firsts.iter().filter(|first| **first >= old).map(|first| first + new - old);
        kept.chain(anew.max(begin)..new.max(begin)).chain(moved).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::Memory;
    use crate::compose::{DraftOptions, draft};
    use crate::ensemble::Ensemble;
    use crate::line::{Line, Note};
    use crate::recognize::outline;
    use crate::score::Score;
    use crate::subject::Subject;

    /// A score without one of its notes, or with another in its place.
    fn changed(score: &Score, voice: usize, index: usize, by: Option<&str>) -> Score {
        let mut parts = score.parts().to_vec();
        let (old, length) = (parts[voice].line.notes().to_vec(), parts[voice].line.length());
        let note = old[index];
        let other = by.map(|by| note.pitch().moved(by.parse().unwrap()).unwrap());
        let other = other.map(|pitch| Note::new(pitch, note.onset(), note.duration()));
        let notes = old[..index].iter().copied().chain(other).chain(old[index + 1..].iter().copied());
        parts[voice].line = Line::from_notes(notes, length).unwrap();
        score.with_parts(parts).unwrap()
    }

    #[test]
    fn memory_hears_what_is_heard_without_it_whatever_note_changes() {
        let theme = "C5:1/4 G4 A4:1/8 B4 C5 D5 | E5:1/4 D5:1/8 C5 D5:1/4 B4 | C5:1/4";
        let subject = Subject::from_text("C major", "4/4", "0", theme).unwrap();
        let exposition = draft(&subject, &DraftOptions::new(Ensemble::named("choir").unwrap())).unwrap();
        let score = exposition.score();
        let memory = Memory::of(score).unwrap();
        let mut others = 0;
        for (voice, part) in score.parts().iter().enumerate() {
            for index in 0..part.line.notes().len() {
                for by in [Some("M2"), Some("-P5"), Some("A1"), None] {
                    let after = changed(score, voice, index, by);
                    let heard = outline(&after);
                    others += usize::from(heard != outline(score));
                    assert_eq!(memory.outline(&after), heard, "voice {voice}, note {index}, by {by:?}");
                }
            }
        }
        assert!(others > 20, "only {others} changes are heard at all");
    }
}
