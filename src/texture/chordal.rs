//! Dissonances that belong to a chord of thirds: sevenths, tense intervals and fourths over the bass.

use super::chord::HeardChord;
use super::contact::{Contact, Entry, Naming, Side};
use super::figure::{Figure, Weight};
use super::turn::{Resolution, is_leap, is_root_progression};
use crate::interval::{Interval, Quality};
use crate::meter::Strength;
use crate::pitch::Pitch;

/// Whether an interval is diminished or augmented.
pub(super) fn is_tense(interval: Interval) -> bool {
    matches!(interval.quality(), Quality::Diminished(_) | Quality::Augmented(_))
}

impl Contact {
    /// Whether the two notes are heard as a chord rather than as a note and its ornament: a
    /// diminished or augmented interval, or a seventh whose root goes a fourth up or a fifth down.
    pub fn is_chord(&self) -> bool {
        let root = self.strand(self.seventh().other());
        self.is_tense() || root.turn.departure().is_some_and(is_root_progression)
    }

    /// Whether the interval is diminished or augmented.
    pub(super) fn is_tense(&self) -> bool {
        is_tense(self.interval())
    }

    /// The note that tends downwards: the upper one of a seventh or a diminished interval, the lower
    /// one of a second or an augmented interval.
    pub(super) fn seventh(&self) -> Side {
        match (self.interval().quality(), self.interval().steps().rem_euclid(7)) {
            (Quality::Diminished(_), _) => Side::Upper,
            (Quality::Augmented(_), _) | (_, 1) => Side::Lower,
            _ => Side::Upper,
        }
    }

    /// The seventh of a chord, a tritone or another tense interval, that resolves as it should: the
    /// seventh falls, or, in a tense interval, the other note rises as a leading note does. A minor
    /// seventh without preparation must go with its root, not before it, unless the third is heard.
    pub fn chordal(&self) -> Option<Naming> {
        let (interval, side) = (self.interval(), self.seventh());
        let (seventh, root) = (self.strand(side), self.strand(side.other()));
        let falls = seventh.turn.falls().is_some();
        let prepared = seventh.stays() && seventh.prepared;
        let is_chord = root.end <= seventh.end || self.chord.is_some();
        let dominant = matches!(interval.abs().simple().semitones(), 10 | 2) && is_chord;
        let goes_well = falls || (self.is_tense() && root.turn.rises().is_some());
        let figure = match (interval.steps().rem_euclid(7), self.is_tense()) {
            (3 | 4, true) if goes_well && interval.semitones().rem_euclid(12) == 6 => Figure::Tritone,
            (1 | 6, true) if goes_well => Figure::ChordSeventh { prepared },
            (1 | 6, false) if falls && (prepared || dominant) => Figure::ChordSeventh { prepared },
            (0, true) if !self.goes_at_once() => return None,
            (_, true) if goes_well => Figure::Altered,
            _ => return None,
        };
        Some(Naming { side, figure })
    }

    /// Whether a note that is struck goes where it tends, at once: the lower form of a degree falls, the higher rises.
    fn goes_at_once(&self) -> bool {
        let goes = |side: Side| {
            let turn = self.strand(side).turn;
            let resolution = if side == self.seventh() { turn.falls() } else { turn.rises() };
            self.strand(side).entry == Entry::Struck && resolution == Some(Resolution::Direct)
        };
        goes(Side::Upper) || goes(Side::Lower)
    }

    /// The bass leaps from or to the root or third of its chord, off the accent, and makes a fourth with the root.
    pub fn six_four(&self) -> Option<Naming> {
        let (turn, root) = (&self.lower.turn, self.upper.turn.here.class());
        let is_root_or_third = |note: Option<Pitch>| {
            note.is_some_and(|note| matches!(root.up_to(note.class()).semitones(), 0 | 3 | 4))
        };
        let leaps = |leap: Option<Interval>| leap.is_some_and(is_leap);
        let goes_through = (leaps(turn.approach()) && is_root_or_third(turn.before[0]))
            || (leaps(turn.departure()) && is_root_or_third(turn.after[0]) && self.chord.is_some());
        let light = self.weight(Side::Lower) == Weight::Light || self.strength < Strength::Accent;
        let passes = self.is_fourth() && goes_through && light && self.lower.entry == Entry::Struck;
        passes.then_some(Naming { side: Side::Lower, figure: Figure::SixFour })
    }

    pub(super) fn is_fourth(&self) -> bool {
        self.interval().steps().rem_euclid(7) == 3 && !self.is_tense()
    }

    /// A note of a seventh chord whose third is heard, as its voice leaps on within the chord: the chord stays, and
    /// with it the duty to resolve. Or one that is leapt to from within the chord, or struck after a rest, while the
    /// other resolves or leaps on within the chord in its turn. Or one that both voices leave for a long rest: the
    /// chord stands before a pause, and no line leads it on (common practice). The seventh is minor or diminished, or
    /// else it was there before.
    pub fn broken_chord(&self, side: Side) -> Option<Naming> {
        let chord = self.chord.filter(|_| self.is_of_seventh_chord())?;
        let leaps = |side: Side| self.strand(side).turn.leaps_within(chord);
        let ([leapt, leaves], [_, other_leaves]) = (leaps(side), leaps(side.other()));
        let fresh = leapt || self.strand(side).turn.approach().is_none();
        let resolves = other_leaves || self.strand(side.other()).turn.falls().is_some();
        let ends = [side, side.other()].iter().all(|&side| self.strand(side).turn.departure().is_none());
        (leaves || ends || (fresh && resolves)).then_some(Naming { side, figure: Figure::BrokenChord })
    }

    /// The seventh of a chord whose third is heard, or the note of a tense interval that tends downwards, where
    /// another voice takes over its resolution (Kirnberger, *Die Kunst des reinen Satzes*, from memory: the
    /// resolution exchanged between voices).
    pub fn exchanged(&self) -> Option<Naming> {
        let exchanged = self.taken_over && self.chord.is_some() && self.is_of_seventh_chord();
        exchanged.then_some(Naming { side: self.seventh(), figure: Figure::ExchangedResolution })
    }

    /// Whether the two could be notes of a seventh chord without more ado.
    fn is_of_seventh_chord(&self) -> bool {
        let is_major = self.interval().abs().simple().semitones() % 10 == 1;
        match self.interval().steps().rem_euclid(7) {
            1 | 6 => !is_major || self.strand(self.seventh()).stays(),
            3 | 4 => self.is_tense(),
            _ => false,
        }
    }

    /// A fourth over the bass in the second inversion of a seventh chord, third and seventh sounding: the root over
    /// the fifth, which the seventh makes stable (handbooks of harmony; common practice).
    pub fn six_four_three(&self) -> Option<Naming> {
        let is_root = |chord: HeardChord| chord.root() == self.upper.turn.here.class();
        let stands = self.is_fourth() && self.chord.is_some_and(|it| is_root(it) && it.has_seventh());
        stands.then_some(Naming { side: Side::Upper, figure: Figure::SixFourThree })
    }

    /// A fourth over a bass that is held or struck again, in whatever octave, in a chord whose third sounds; or one
    /// that falls by step, at once or after other notes, while the bass stays: the six-four of the cadence (common
    /// practice).
    pub fn held_six_four(&self) -> Option<Naming> {
        let is_root = self.chord.map(HeardChord::root) == Some(self.upper.turn.here.class());
        let octave = |it: Interval| it.simple() == Interval::UNISON || it.abs() == Interval::OCTAVE;
        let held = self.lower.stays() || self.lower.turn.approach().is_some_and(octave);
        let stays = self.lower.end > self.upper.end || self.lower.turn.departure().is_some_and(octave);
        let leads = held || (stays && self.upper.turn.falls().is_some());
        (self.is_fourth() && is_root && leads)
            .then_some(Naming { side: Side::Upper, figure: Figure::HeldSixFour })
    }
}

#[cfg(test)]
mod tests {
    use crate::texture::trial::names;

    // Common practice: the seventh may go to another note of its chord before it resolves, however it was reached.
    #[test]
    fn seventh_may_leap_on_within_its_chord() {
        let found = names("4/4", &["R:1/4 F4:1/4 D5:1/4 E5:1/4", "G4:1/2 B4:1/4 C5", "B3:3/4 C4:1/4"]);
        assert!(found.contains(&"1/4 F4 broken chord".to_owned()), "{found:?}");
        // Without its third it is only a seventh.
        let bare = names("4/4", &["A4:1/4 F4:1/4 D5:1/4 E5:1/4", "G3:3/4 C3:1/4"]);
        assert!(bare.contains(&"1/4 F4 unexplained dissonance".to_owned()), "{bare:?}");
    }

    // Common practice: in another octave it is the same note.
    #[test]
    fn seventh_falls_though_it_leaps_an_octave() {
        let found = names("4/4", &["R:1/4 F4:1/4 F5:1/4 E5:1/4", "G4:1/2 B4:1/4 C5", "B3:3/4 C4:1/4"]);
        assert!(found.contains(&"1/4 F4 unprepared chord seventh".to_owned()), "{found:?}");
    }

    // Common practice: the dominant seventh before a general pause.
    #[test]
    fn seventh_chord_stands_before_a_pause() {
        let found = |third| names("4/4", &["A4:1/4 C5:1/4 R:2", third, "A3:1/4 D3:1/4 R:2"]);
        assert!(found("E4:1/4 F#4:1/4 R:2").contains(&"1/4 C5 broken chord".to_owned()));
        assert!(found("E4:1/4 A4:1/4 R:2").contains(&"1/4 C5 unexplained dissonance".to_owned()));
    }

    // Common practice: the six-four of the cadence, its fourth going to the third and back before it falls.
    #[test]
    fn six_four_of_the_cadence_falls_over_its_bass() {
        let lines = |last: &str| {
            let above = format!("A4:1/4 C5:1/8 E5 {last}:1/4");
            names("4/4", &[&above, "F4:1/4 E4:1/4 D4", "F3:1/4 G3:1/2"])
        };
        assert_eq!(lines("B4")[0], "1/4 C5 six-four over a held bass");
        assert_eq!(lines("G4")[0], "1/4 C5 unexplained dissonance");
    }

    // Kirnberger, *Die Kunst des reinen Satzes*, from memory: another voice falls to the note of resolution.
    #[test]
    fn seventh_may_resolve_in_another_voice() {
        let lines = |alto| names("4/4", &["D5:1/2 F5:1/4 C5:1/4 C5:1/2", alto, "G3:1/2 G3:1/4 C3 C3:1/2"]);
        let exchanged = lines("B4:3/4 E4:1/4 E4:1/2");
        assert!(exchanged.contains(&"1/2 F5 resolution in another voice".to_owned()), "{exchanged:?}");
        let missing = lines("B4:3/4 G4:1/4 G4:1/2");
        assert!(!missing.contains(&"1/2 F5 resolution in another voice".to_owned()), "{missing:?}");
    }

    // Handbooks of harmony: the seventh makes the second inversion stable.
    #[test]
    fn fourth_over_the_bass_stands_in_a_six_four_three() {
        let fourth = |above| names("4/4", &[above, "A4:1/4 C5 F4", "G4:1/4 E4 F4", "D4:1/4 G3 A3"]);
        assert!(fourth("D5:1/4 Bb5 A5").contains(&"1/4 C5 six-four-three".to_owned()));
        assert!(fourth("D5:1/4 C6 A5").contains(&"1/4 C5 unexplained dissonance".to_owned()));
    }

    // Common practice.
    #[test]
    fn bass_of_a_six_four_is_held_though_it_leaps_an_octave() {
        let lines = ["R:1/4 F5 E5:1/2", "A4:1/4 A4 G4:1/2", "C4:1/4 C3:3/4"];
        assert_eq!(names("4/4", &lines), ["1/4 F5 six-four over a held bass"]);
    }
}
