//! Notes that leap while the note against them goes by step.
//!
//! Each voice of a clash has to account for itself. That one of two passes by step says why it is there, and nothing
//! of the other: if that one leaps to the dissonance and from it, it is right where it belongs to a chord, or where it
//! stands while the other passes (Cherubini, two parts, second and third order: what is dissonant goes by step; what a
//! chord excuses: common practice). Nor is a suspension resolved by what passes against it (Grove 3, "Strict
//! Counterpoint", Fourth Order).

use super::chord::HeardChord;
use super::chordal::is_tense;
use super::clash::Clash;
use super::contact::{Contact, Side};
use super::turn::{Resolution, is_leap};
use crate::interval::Interval;
use crate::meter::Strength;
use crate::pitch::{Pitch, PitchClass};

/// How many notes of a broken chord are looked at.
const BROKEN: usize = 2;

impl Contact {
    /// The note that leaps while the other is a passing or a neighbour note, if one does and they are no chord by
    /// their interval alone. A note longer than a bar is a pedal.
    fn leaps_beside_step(&self) -> Option<Side> {
        let leaps = |side: &Side| {
            let is_so = match self.holder() {
                Some(holder) => holder == *side && self.leaps_off(holder),
                None => self.leaps_through(*side),
            };
            is_so && !self.strand(*side).is_long
        };
        let side = [Side::Upper, Side::Lower].into_iter().find(leaps)?;
        let is_chord = self.is_chord() && !self.is_one_degree();
        (!is_chord && self.stepwise(side.other()).is_some()).then_some(side)
    }

    /// Whether the voice of a note leaps to it and from it.
    fn leaps_through(&self, side: Side) -> bool {
        let strand = self.strand(side);
        let ways = [strand.turn.approach(), strand.turn.departure()];
        ways.iter().all(|it| it.is_some_and(is_leap))
    }

    /// Whether a note suspended on a beat leaps away, no later than the other goes, and does not fall afterwards either.
    fn leaps_off(&self, side: Side) -> bool {
        let (strand, other) = (self.strand(side), self.strand(side.other()));
        self.is_suspended(side)
            && self.strength >= Strength::Pulse
            && strand.end <= other.end
            && strand.turn.departure().is_some_and(is_leap)
            && strand.turn.falls().is_none()
    }

    /// Whether the other note is left before that of a side, and goes on to a consonance over it.
    fn is_passed_by(&self, side: Side) -> bool {
        let other = self.strand(side.other());
        other.end < self.strand(side).end && other.reaches_consonance()
    }

    /// Whether a chord holds both notes, and goes on as it ought to: a six-four whose bass goes by step, a seventh that
    /// falls at once, or in another voice, or whose voice breaks the chord.
    fn is_of_moving_chord(&self, side: Side) -> bool {
        let falls = || self.strand(self.seventh()).turn.falls() == Some(Resolution::Direct);
        let goes_on = || falls() || self.is_fourth() || self.taken_over || self.broken_chord(side).is_some();
        self.chord.is_some() && goes_on()
    }
}

impl Clash<'_> {
    /// The note that leaps while the other passes by, unless a chord explains it. What passes for longer than a beat is
    /// no ornament of a chord that others have.
    pub(super) fn leapt(&self, contact: &Contact, heard: &[(usize, Pitch)]) -> Option<Side> {
        let (side, onset) = (contact.leaps_beside_step()?, self.first.onset());
        let beat = self.first.pair().texture().accents().pulse_at(onset).1;
        let is_brief = contact.strand(side.other()).end - onset <= beat;
        let is_explained = contact.is_passed_by(side)
            || contact.is_of_moving_chord(side)
            || (is_brief && (self.breaks_chord(contact, side) || self.is_of_chord(side, heard)));
        (!is_explained).then_some(side)
    }

    /// Whether a note agrees with that to which the other voice steps, and with it what its own voice leaps to and has
    /// not left by then; or what it comes from, if both go on together.
    fn breaks_chord(&self, contact: &Contact, side: Side) -> bool {
        let [part, other] = [side, side.other()].map(|side| self.part(side));
        let (tones, last) = (self.thread(part).tones(), self.notes[part][1]);
        let Some(goal) = self.thread(other).tones().get(self.notes[other][1] + 1) else { return false };
        let agrees_with = |more: &[Pitch]| {
            let notes = [self.pitches[part], goal.pitch].into_iter().chain(more.iter().copied());
            agree(&notes.map(Pitch::class).collect::<Vec<_>>())
        };
        let after: Vec<Pitch> = tones[last + 1..].iter().take(BROKEN).map(|it| it.pitch).collect();
        let goes_on = (1..=after.len()).take_while(|&count| agrees_with(&after[..count])).last();
        let comes_from = contact.strand(side).turn.before[0];
        let is_kept = match goes_on {
            Some(count) => goal.onset < tones[last + count].end,
            None => goal.onset <= tones[last].end && comes_from.is_some_and(|it| agrees_with(&[it])),
        };
        is_kept && !contact.is_one_degree()
    }

    /// Whether a note is one of a chord that the voices sound beside the other note: another voice doubles it, or three
    /// notes of the chord sound.
    fn is_of_chord(&self, side: Side, heard: &[(usize, Pitch)]) -> bool {
        let (here, other) = (self.pitches[self.part(side)].class(), self.voices()[self.part(side.other())]);
        let beside = heard.iter().filter(|it| it.0 != other);
        let mut classes: Vec<PitchClass> = beside.map(|it| it.1.class()).collect();
        let Some(chord) = HeardChord::of(&classes, [here; 2]) else { return false };
        classes.retain(|&it| chord.contains(it));
        let is_doubled = classes.iter().filter(|&&it| it == here).count() > 1;
        classes.sort_unstable();
        classes.dedup();
        is_doubled || classes.len() > 2
    }
}

/// Whether notes make a chord of thirds, or a part of one: none makes a semitone with another, or is its chromatic form;
/// nor a tone, unless a chord on one of them holds all.
fn agree(notes: &[PitchClass]) -> bool {
    let pairs = || notes.iter().flat_map(|&one| notes.iter().map(move |&other| one.up_to(other)));
    let is_close = |up: Interval| matches!(up.steps(), 1 | 6) && !is_tense(up);
    let is_harsh = |up: Interval| match up.steps() {
        0 => up != Interval::UNISON,
        _ => is_close(up) && matches!(up.semitones(), 1 | 11),
    };
    let holds_all = |chord: HeardChord| notes.iter().all(|&it| chord.contains(it));
    let chord = || notes.first().and_then(|&first| HeardChord::of(notes, [first; 2]));
    !pairs().any(is_harsh) && (!pairs().any(is_close) || chord().is_some_and(holds_all))
}

#[cfg(test)]
mod tests {
    use crate::texture::trial::names;

    /// What D5 is, passing from E to C on the third beat, beside other voices.
    fn beside(others: &[&str]) -> String {
        let lines: Vec<&str> = ["E5:1/2 D5:1/4 C5"].iter().chain(others).copied().collect();
        let found = names("4/4", &lines);
        let third = |name: &&String| name.starts_with("1/2 ");
        found.iter().filter(third).map(|name| name.trim_start_matches("1/2 ")).collect::<Vec<_>>().join(", ")
    }

    // Cherubini, two parts, second and third order.
    #[test]
    fn note_leapt_to_and_from_is_not_excused_by_what_passes() {
        assert_eq!(beside(&["B3:1/2 E4:1/4 B3"]), "E4 leapt dissonance");
        // By step on one side it is the line's own.
        assert_eq!(beside(&["B3:1/2 E4:1/4 D4"]), "D5 accented passing note");
    }

    // Common practice: the accented passing note resolves over what stays.
    #[test]
    fn note_may_pass_over_one_that_leaps_and_stays() {
        assert_eq!(beside(&["B3:1/2 E4:1/2 B3"]), "D5 accented passing note");
    }

    // Common practice: the chord is broken while the other voice passes, or was before.
    #[test]
    fn note_of_a_broken_chord_may_leap() {
        assert_eq!(beside(&["B3:1/2 E4:1/8 G3 E4:1/4"]), "D5 accented passing note");
        assert_eq!(beside(&["C4:1/2 E4:1/4 B3"]), "D5 accented passing note");
        // The chord is left before C comes.
        assert_eq!(beside(&["B3:1/2 E4:1/8 G3 B3:1/4"]), "E4 leapt dissonance");
    }

    // Common practice: G, B and E are a chord without D.
    #[test]
    fn note_of_a_chord_that_others_sound_may_leap() {
        assert_eq!(beside(&["B3:1/2 E4:1/4 B3", "B3:1", "G3:1"]).matches("leapt").count(), 0);
        assert!(beside(&["B3:1/2 E4:1/4 B3", "B3:1"]).contains("E4 leapt dissonance"));
    }

    // Common practice: what lasts is the chord, what goes first the ornament.
    #[test]
    fn note_that_lasts_is_not_passed_by() {
        let lines = |upper| names("4/4", &[upper, "C4:1/2 E4:1/8 B3:3/8"]);
        assert_eq!(lines("E5:1/2 D5:1/8 C5:3/8")[0], "1/2 D5 accented passing note");
        assert_eq!(lines("E5:1/2 D5:3/8 C5:1/8")[0], "1/2 E4 leapt dissonance");
    }

    // Grove 3, "Strict Counterpoint", Fourth Order: the suspended note falls, whatever passes against it.
    #[test]
    fn suspension_that_leaps_away_is_not_excused_by_what_passes() {
        let found = |upper| names("4/4", &[upper, "A3:1/2 B3:1/8 C4:3/8"]).remove(0);
        assert_eq!(found("R:1/4 A4:3/8 D4:3/8"), "1/2 A4 unresolved suspension");
        assert_eq!(found("R:1/4 A4:3/8 G4:3/8"), "1/2 A4 suspension");
        // Common practice: the chord of A is broken, in which the bass passes.
        assert_eq!(found("R:1/4 A4:3/8 E4:3/8"), "1/2 B3 accented passing note");
    }

    // Handbook rules, G14: one degree in two forms belongs to no chord.
    #[test]
    fn degree_against_its_other_form_is_no_chord() {
        let found = names("4/4", &["C5:1/2 C#5:1/4 D5", "E4:1/2 C4:1/4 G4", "A3:1"]);
        assert!(found.contains(&"1/2 C4 leapt dissonance".to_owned()), "{found:?}");
        let first = |lines: &[&str]| names("4/4", lines).remove(0);
        assert_eq!(first(&["D5:1/2 Bb4:1/4 D5", "B3:7/8 C4:1/8"]), "1/2 Bb4 unexplained dissonance");
        assert_eq!(first(&["D5:1/2 B4:1/4 C5", "D4:1/2 Bb3:1/4 C4"]), "1/2 Bb3 resolving altered interval");
    }
}
