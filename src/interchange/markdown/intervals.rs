//! The intervals between two lines while both sound.

use crate::interval::{Consonance, Interval};
use crate::line::Note;
use crate::pitch::Pitch;
use crate::time::Time;

/// Two notes sounding together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Together {
    /// When they begin to sound together.
    pub(super) onset: Time,
    /// How long they do.
    pub(super) duration: Time,
    /// The higher note by sound.
    pub(super) upper: Pitch,
    /// The lower one.
    pub(super) lower: Pitch,
}

impl Together {
    /// The interval between them.
    pub(super) fn interval(&self) -> Interval {
        self.upper - self.lower
    }

    /// The class, as two-part writing has it: there the fourth is a dissonance (common practice).
    pub(super) fn class(&self) -> &'static str {
        match self.interval().consonance() {
            Consonance::Perfect => "perfect",
            Consonance::Imperfect => "imperfect",
            Consonance::Fourth | Consonance::Dissonant => "dissonant",
        }
    }
}

/// All pairs of notes of two lines that sound together, in order.
pub(super) fn together(first: &[Note], second: &[Note]) -> Vec<Together> {
    let (mut one, mut other) = (first.iter().peekable(), second.iter().peekable());
    let mut pairs = Vec::new();
    while let (Some(&&a), Some(&&b)) = (one.peek(), other.peek()) {
        let (onset, end) = (a.onset().max(b.onset()), a.end().min(b.end()));
        if let Some(duration) = end.checked_sub(onset).ok().filter(|duration| duration.is_positive()) {
            let above = a.pitch().height() >= b.pitch().height();
            let (upper, lower) = if above { (a.pitch(), b.pitch()) } else { (b.pitch(), a.pitch()) };
            pairs.push(Together { onset, duration, upper, lower });
        }
        if a.end() <= b.end() {
            one.next()
        } else {
            other.next()
        };
    }
    pairs
}

/// How long a class sounds, and how long both lines do.
pub(super) fn share(pairs: &[Together], class: &str) -> (Time, Time) {
    let sum = |sum: Time, pair: &Together| sum.checked_add(pair.duration).unwrap_or(sum);
    let of_class = pairs.iter().filter(|pair| pair.class() == class).fold(Time::ZERO, sum);
    (of_class, pairs.iter().fold(Time::ZERO, sum))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::Line;

    fn line(text: &str) -> Line {
        text.parse().unwrap()
    }

    #[test]
    fn notes_that_sound_together_are_paired_once() {
        let (upper, lower) = (line("E4:1/2 R:1/4 G4:1/4"), line("C4:1/4 D4:1/2 C5:1/4"));
        let pairs: Vec<String> = together(upper.notes(), lower.notes())
            .iter()
            .map(|pair| format!("{} {} {} {}", pair.onset, pair.duration, pair.interval(), pair.class()))
            .collect();
        assert_eq!(pairs, ["0 1/4 M3 imperfect", "1/4 1/4 M2 dissonant", "3/4 1/4 P4 dissonant"]);
    }

    #[test]
    fn share_is_exact() {
        let (upper, lower) = (line("E4:1/3 G4:1/6"), line("C4:1/2"));
        let pairs = together(upper.notes(), lower.notes());
        let (imperfect, all) = share(&pairs, "imperfect");
        assert_eq!((imperfect.to_string(), all.to_string()), ("1/3".to_owned(), "1/2".to_owned()));
    }
}
