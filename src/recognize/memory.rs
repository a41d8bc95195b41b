//! A score heard again after a few notes have changed.
//!
//! Most of the time of recognition goes into comparing the theme with what begins on each note of the score.
//! A comparison reads the notes from the first one on until the last of the theme is due, and no others: where
//! these are what they were, so is what it finds.

use super::entries::{Field, likenesses, reach};
use super::likeness::Likeness;
use super::strand::Tone;
use super::theme::Theme;
use super::{Led, OtherForms, hear};
use crate::exposition::{Form, Outline};
use crate::score::Score;

/// What has been compared with the theme in a score.
#[derive(Debug)]
pub(crate) struct Memory {
    theme: Theme,
    /// When the fugue begins.
    from: i64,
    voices: Vec<Heard>,
}

/// The notes of a voice, and what among them is like the theme, in order.
#[derive(Debug)]
struct Heard {
    tones: Vec<Tone>,
    likenesses: Vec<Likeness>,
}

impl Memory {
    /// What there is to remember of a score; `None` if it opens as no fugue.
    pub(crate) fn of(score: &Score) -> Option<Self> {
        let led = Led::of(score)?;
        let theme = led.theme.in_form(Form::Straight, &led.habits);
        let from = led.opening.onset;
        let voices = (0..led.strands.count()).map(|voice| {
            let tones = led.strands.voice(voice).to_vec();
            let begin = tones.partition_point(|tone| tone.on < from);
            Heard { likenesses: likenesses(&theme, &tones, begin..tones.len()), tones }
        });
        Some(Self { voices: voices.collect(), theme, from })
    }

    /// The outline that [`super::outline`] finds in a score, sooner if the score differs in few notes from the one
    /// that is remembered.
    pub(crate) fn outline(&self, score: &Score) -> Option<Outline> {
        Some(hear(score, OtherForms::IfUnanswered, Some(self))?.outline)
    }

    /// What is like the theme in a voice; `None` if the theme or the beginning is another one than that
    /// remembered.
    pub(super) fn likenesses(&self, field: &Field<'_>, theme: &Theme, voice: usize) -> Option<Vec<Likeness>> {
        let heard = self.voices.get(voice).filter(|_| self.theme == *theme && self.from == field.from())?;
        Some(heard.again(theme, field.strands().voice(voice), self.from))
    }
}

impl Heard {
    /// What is like the theme among the notes of the same voice after a change. Compared anew is what
    /// begins so that it comes to a changed note.
    fn again(&self, theme: &Theme, tones: &[Tone], from: i64) -> Vec<Likeness> {
        let pairs = self.tones.iter().zip(tones);
        let before = pairs.take_while(|(old, new)| old == new).count();
        let (old, new) = (&self.tones[before..], &tones[before..]);
        let after = old.iter().rev().zip(new.iter().rev()).take_while(|(old, new)| old == new).count();
        let (old, new) = (self.tones.len() - after, tones.len() - after);
        let (reach, last) = (reach(theme), before.checked_sub(1).map_or(i64::MIN, |last| tones[last].on));
        let begin = tones.partition_point(|tone| tone.on < from);
        let first = tones[..before].partition_point(|tone| tone.on + reach <= last);
        let kept = self.likenesses.iter().take_while(|it| it.first < first).copied();
        let anew = likenesses(theme, tones, first.max(begin)..new.max(begin));
        let moved = self.likenesses.iter().skip_while(|it| it.first < old.max(first));
        let moved = moved.map(|it| Likeness { first: it.first + new - old, end: it.end + new - old, ..*it });
        kept.chain(anew).chain(moved).collect()
    }
}
