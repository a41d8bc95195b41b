//! How a note lies in its own line: the shapes that make a dissonance good.
//!
//! Each question is a pure function of a few pitches, so that a search which writes note by note
//! asks exactly what a review asks.

use super::chord::HeardChord;
use crate::interval::Interval;
use crate::pitch::Pitch;

/// A note with its neighbours in its own line. A rest longer than a beat breaks the line: what lies beyond is
/// `None`.
///
/// ```
/// use soggetto::texture::Turn;
/// let pitch = |name: &str| name.parse().ok();
/// let Some(here) = pitch("D5") else { unreachable!() };
/// let turn = Turn { before: [pitch("C5"), None], here, after: [pitch("E5"), None, None, None] };
/// assert!(turn.is_passing() && !turn.is_neighbour());
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Turn {
    /// The note before and the one before that.
    pub before: [Option<Pitch>; 2],
    /// The note itself.
    pub here: Pitch,
    /// The four notes after, the nearest first; one struck again and again counts once.
    pub after: [Option<Pitch>; 4],
}

/// How a note resolves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Resolution {
    /// With the next note.
    Direct,
    /// With the second to fourth note after, other notes being put between.
    Ornamented,
}

/// Whether an interval is a melodic step: a major or minor second, or a chromatic semitone.
pub const fn is_melodic_step(interval: Interval) -> bool {
    match interval.steps().abs() {
        0 => interval.semitones().abs() == 1,
        1 => matches!(interval.semitones().abs(), 1 | 2),
        _ => false,
    }
}

/// Whether an interval is a melodic leap: neither a step nor a repeated note.
pub const fn is_leap(interval: Interval) -> bool {
    let moves = interval.steps() != 0 || interval.semitones() != 0;
    moves && !is_melodic_step(interval)
}

/// Whether an interval is the way of a root to the next one, a fourth up or a fifth down.
pub(super) const fn is_root_progression(interval: Interval) -> bool {
    matches!((interval.steps(), interval.semitones()), (3, 5) | (-4, -7))
}

fn same_way(a: Interval, b: Interval) -> bool {
    a.is_descending() == b.is_descending()
}

impl Turn {
    /// The interval by which the note is reached.
    pub fn approach(&self) -> Option<Interval> {
        self.before[0].map(|before| self.here - before)
    }

    /// The interval by which it is left.
    pub fn departure(&self) -> Option<Interval> {
        self.after[0].map(|after| after - self.here)
    }

    /// Approach and departure, if both exist.
    fn both(&self) -> Option<(Interval, Interval)> {
        Some((self.approach()?, self.departure()?))
    }

    /// Reached and left by step in the same direction.
    pub fn is_passing(&self) -> bool {
        self.both().is_some_and(|(a, d)| is_melodic_step(a) && is_melodic_step(d) && same_way(a, d))
    }

    /// Reached by step and left by step back to the same place of the staff.
    pub fn is_neighbour(&self) -> bool {
        self.both().is_some_and(|(a, d)| is_melodic_step(a) && is_melodic_step(d) && a.steps() == -d.steps())
            && !self.is_passing()
    }

    /// One of the two neighbours that surround a note in turn (`C D B C`).
    pub fn is_double_neighbour(&self) -> bool {
        let around =
            |origin: Option<Pitch>, first: Option<Pitch>, second: Option<Pitch>, back: Option<Pitch>| {
                let (Some(origin), Some(first), Some(second), Some(back)) = (origin, first, second, back)
                else {
                    return false;
                };
                let (out, other) = (first - origin, second - origin);
                origin.staff_step() == back.staff_step()
                    && out.steps() == -other.steps()
                    && [out, other, back - second].into_iter().all(is_melodic_step)
            };
        let [before, earlier] = self.before;
        let [after, later, ..] = self.after;
        around(before, Some(self.here), after, later) || around(earlier, before, Some(self.here), after)
    }

    /// Reached by step, left by leap in the other direction.
    pub fn is_echappee(&self) -> bool {
        self.both().is_some_and(|(a, d)| is_melodic_step(a) && is_leap(d) && !same_way(a, d))
    }

    /// Reached by step, left by a third in the same direction, followed by a step back.
    pub fn is_cambiata(&self) -> bool {
        let Some((approach, departure)) = self.both() else { return false };
        let back = self.after[1].zip(self.after[0]).map(|(later, after)| later - after);
        is_melodic_step(approach)
            && departure.steps().abs() == 2
            && same_way(approach, departure)
            && back.is_some_and(|back| is_melodic_step(back) && !same_way(back, departure))
    }

    /// Struck again as the next note.
    pub fn is_anticipation(&self) -> bool {
        self.departure() == Some(Interval::UNISON)
    }

    /// Reached by leap, or from a rest, and left by step.
    pub fn is_appoggiatura(&self) -> bool {
        self.approach().is_none_or(is_leap) && self.departure().is_some_and(is_melodic_step)
    }

    /// Reached by leap, or from a rest, and left by step against the leap.
    pub fn is_incomplete_neighbour(&self) -> bool {
        let back = |departure| self.approach().is_none_or(|approach| !same_way(approach, departure));
        self.is_appoggiatura() && self.departure().is_some_and(back)
    }

    /// The turn in the one of two lines to which the note belongs where its voice leaps back and forth between them,
    /// the other standing still: the D of `C5 G4 D5 G4 E5` lies between C and E.
    pub fn in_broken_line(&self) -> Option<Self> {
        let returns = self.before[0].is_some() && self.before[0] == self.after[0];
        let leaps = self.approach().is_some_and(is_leap);
        (returns && leaps).then_some(Self {
            before: [self.before[1], None],
            after: [self.after[1], None, None, None],
            ..*self
        })
    }

    /// Whether it is the note that stands still where a voice leaps back and forth between two lines, the other of
    /// which goes by step or repeats its note: the second G of `C5 G4 D5 G4 E5`, and the first.
    pub fn stands_still(&self) -> bool {
        let here = Some(self.here);
        let leaps = self.approach().is_some_and(is_leap) && self.departure().is_some_and(is_leap);
        let other = self.after[0].zip(self.before[0]).map(|(after, before)| after - before);
        let goes_on = other.is_some_and(|it| it == Interval::UNISON || is_melodic_step(it));
        leaps && goes_on && (self.before[1] == here || self.after[1] == here)
    }

    /// Whether it is leapt to from a note of a chord, and whether it is left by leap to one.
    pub fn leaps_within(&self, chord: HeardChord) -> [bool; 2] {
        let within = |note: Option<Pitch>| note.is_some_and(|note| chord.contains(note.class()));
        [
            self.approach().is_some_and(is_leap) && within(self.before[0]),
            self.departure().is_some_and(is_leap) && within(self.after[0]),
        ]
    }

    /// Whether, and how, it falls by step.
    pub fn falls(&self) -> Option<Resolution> {
        self.reaches(|interval| interval.steps() == -1 && is_melodic_step(interval))
    }

    /// Whether, and how, it rises by a diatonic semitone, as a leading note does.
    pub fn rises(&self) -> Option<Resolution> {
        self.reaches(|interval| interval == Interval::MINOR_SECOND)
    }

    /// Whether one of the next notes is as far from it as the goal says; where it leaps an octave first, it is there
    /// what it was here (common practice).
    fn reaches(&self, goal: impl Fn(Interval) -> bool) -> Option<Resolution> {
        let leap = self.after[0].filter(|&after| (after - self.here).abs() == Interval::OCTAVE);
        let here = leap.unwrap_or(self.here);
        let place = self.after.iter().map_while(|&after| after).position(|after| goal(after - here))?;
        Some(if place == 0 { Resolution::Direct } else { Resolution::Ornamented })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The turn of the middle note of a few, an underscore standing for no note.
    fn turn(before: &str, here: &str, after: &str) -> Turn {
        let pitch = |name: Option<&str>| name.and_then(|name| name.parse().ok());
        let mut back = before.split_whitespace().rev();
        let mut forth = after.split_whitespace();
        Turn {
            before: [pitch(back.next()), pitch(back.next())],
            here: here.parse().unwrap(),
            after: [(); 4].map(|()| pitch(forth.next())),
        }
    }

    fn shapes(turn: Turn) -> String {
        let shapes = [
            (turn.is_passing(), "passing"),
            (turn.is_neighbour(), "neighbour"),
            (turn.is_double_neighbour(), "double"),
            (turn.is_cambiata(), "cambiata"),
            (turn.is_echappee(), "échappée"),
            (turn.is_anticipation(), "anticipation"),
            (turn.is_appoggiatura(), "appoggiatura"),
        ];
        shapes.iter().filter_map(|&(is_so, name)| is_so.then_some(name)).collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn all_shapes_are_told_apart() {
        let rows = [
            ("C5", "D5", "E5", "passing"),
            ("E5", "D5", "C5", "passing"),
            ("C5", "C#5", "D5", "passing"),
            ("C5", "D5", "C5", "neighbour"),
            ("C5", "B4", "C#5", "neighbour"),
            ("C5", "D5", "B4 C5", "double échappée"),
            ("C5 D5", "B4", "C5", "double appoggiatura"),
            ("C5", "B4", "G4 A4", "cambiata"),
            ("C5", "D5", "F5 E5", "cambiata"),
            ("C5", "D5", "A4", "échappée"),
            ("D5", "C5", "C5", "anticipation"),
            ("C5", "F5", "E5", "appoggiatura"),
            ("", "F5", "E5", "appoggiatura"),
            ("C5", "F5", "D5", ""),
            ("F4", "G#4", "A4", "appoggiatura"),
            ("C5", "D5", "", ""),
        ];
        for (before, here, after, expected) in rows {
            assert_eq!(shapes(turn(before, here, after)), expected, "{before} {here} {after}");
        }
    }

    #[test]
    fn resolution_is_direct_or_ornamented() {
        assert_eq!(turn("", "C5", "B4").falls(), Some(Resolution::Direct));
        assert_eq!(turn("", "C5", "A4 B4").falls(), Some(Resolution::Ornamented));
        assert_eq!(turn("", "C5", "G4 A4 B4").falls(), Some(Resolution::Ornamented));
        assert_eq!(turn("", "C5", "D5").falls(), None);
        assert_eq!(turn("", "A3", "A4 G4").falls(), Some(Resolution::Ornamented));
        assert_eq!(turn("", "A3", "E4 G4").falls(), None);
        assert_eq!(turn("", "B4", "C5").rises(), Some(Resolution::Direct));
        assert_eq!(turn("", "A4", "B4").rises(), None);
    }

    #[test]
    fn augmented_second_is_a_leap() {
        let interval = |text: &str| text.parse::<Interval>().unwrap();
        assert!(is_leap(interval("A2")) && !is_melodic_step(interval("A2")));
        assert!(is_melodic_step(interval("A1")) && !is_leap(interval("P1")));
    }
}
