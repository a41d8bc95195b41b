//! In which key the score is, and in which key each entry.
//!
//! Each key that has a signature is charged, in parts of a bit, for what would be unusual in it: the
//! notes of the lone subject and of the exposition by their degrees, those that go with an answer also by
//! their degrees in the dominant; the degrees on which the subject begins and ends and that of the note
//! which a tonal answer alters; the last bass note; and that the file says otherwise. The subject tells more
//! than anything else: the first requirement of it is a clear key (Prout, *Fugue*, §26).

use super::opening::Opening;
use super::strand::Strands;
use crate::exposition::Alignment;
use crate::interval::Interval;
use crate::key::{Key, Mode, Signature};
use crate::line::Note;
use crate::pitch::PitchClass;
use crate::scale::Degree;
use crate::score::Score;

/// Charges are in parts of this size of a bit.
const PER_BIT: i64 = 4;
/// What a note of each degree tells: how rarely tonal music has it (common practice, rounded).
const MAJOR: [i64; 7] = [10, 11, 10, 13, 10, 14, 14];
/// The same in minor, for the degrees of the signature.
const MINOR: [i64; 7] = [10, 11, 11, 13, 10, 15, 19];
/// The raised sixth and seventh of minor.
const RAISED: [i64; 2] = [22, 16];
/// The leading note of the dominant.
const RAISED_FOURTH: i64 = 24;
/// The seventh of the dominant seventh on the tonic, and the major third that leads to the subdominant.
const TO_SUBDOMINANT: i64 = 27;
/// Any other note.
const FOREIGN: i64 = 32;
/// So many notes at most of the lone subject count, and the exposition counts as so many: half of them with
/// subjects, half with answers, whose key is the dominant (Prout, *Fugue*, §67).
const WEIGHT: i64 = 24;
/// What the degree tells on which a subject begins. Of 111 subjects, the 48 that the handbook counts and its 63 worked
/// examples, 74 begin on the tonic, 32 on the dominant, three on the second, two on the seventh; the other degrees
/// together are rarer than one in a hundred.
const BEGINS: [i64; 7] = [2, 21, 32, 32, 7, 32, 23];
/// What the degree tells on which it ends. Of the same subjects 36 end on the tonic, 41 on the third, 22 on the fifth,
/// six each on the seventh and the second (the first 48: Prout, *Fugue*, §42); but where it ends may be misheard.
const CLOSES: [i64; 7] = [6, 17, 6, 26, 9, 26, 17];
/// The same of a note foreign to the key, which none of them has there.
const OUTSIDE: i64 = 10 * PER_BIT;
/// What the degree tells of the first note that a tonal answer alters: the dominant is answered by the tonic
/// (Prout, §§86-88), at times the leading note by the third. In 14 worked examples it is the fifth degree
/// twelve times and the seventh twice.
const ALTERED: [i64; 7] = [20, 20, 20, 20, 1, 20, 11];
/// The tonic is answered at the fourth: the dominant answers it nearly always (Prout, *Fugue*, §57), while a
/// first note that is answered at the fourth mostly is the dominant. One of 63 worked examples is otherwise.
const TONIC_AT_FOURTH: i64 = 5 * PER_BIT;
/// What the last bass note tells: an excerpt may end on the dominant.
const ENDS: [i64; 7] = [2, 14, 10, 14, 6, 14, 14];
/// The same of a bass note foreign to the key: an excerpt may break off anywhere.
const ENDS_FOREIGN: i64 = 18;
/// The relative key has the same signature, and few programs make sure of the mode.
const RELATIVE: i64 = 2 * PER_BIT;
/// The same if the file gives a minor key: no program does so that was not told.
const TOLD_MINOR: i64 = 6 * PER_BIT;
/// A minor key may be signed with a flat less or a sharp more, as the dorian mode was.
const DORIAN: i64 = 6 * PER_BIT;
/// A program may know the tonic and not the mode.
const PARALLEL: i64 = 12 * PER_BIT;
/// Any other signature: the file would be wrong.
const OTHERWISE: i64 = 20 * PER_BIT;
/// The same if the file gives C major, as programs do that were told nothing.
const UNSIGNED: i64 = 8 * PER_BIT;

/// How many notes there are of each class, by fifths from C.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Classes(std::collections::BTreeMap<i32, (PitchClass, i64)>);

impl Classes {
    fn add(&mut self, class: PitchClass) {
        self.0.entry(class.fifths()).or_insert((class, 0)).1 += 1;
    }

    /// What the notes tell against a key, as if they were so many at most. A note that comes again tells less
    /// each time, for a theme turns about a few notes: the square root of their number counts.
    fn charge(&self, key: Key, most: i64) -> i64 {
        let weight = |count: i64| (count << 8).isqrt();
        let sum: i64 = self.0.values().map(|(class, count)| weight(*count) * rarity(key, *class)).sum();
        let weights: i64 = self.0.values().map(|(_, count)| weight(*count)).sum();
        let notes: i64 = self.0.values().map(|(_, count)| count).sum();
        sum * most.min(notes) / weights.max(1)
    }
}

/// What tells the key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Evidence {
    /// The key that the file gives.
    given: Key,
    /// The notes before the answer, those that go with subjects, and those that go with answers at the fifth.
    lone: Classes,
    subjects: Classes,
    answers: Classes,
    first: Option<PitchClass>,
    /// The last note of the subject, as far as it is known.
    closing: Option<PitchClass>,
    /// The first note of the head that is answered at the fourth while most are at the fifth.
    altered: Option<PitchClass>,
    /// Whether the answer begins a fourth above the first note, or a fifth below.
    at_fourth: bool,
    last: Option<PitchClass>,
}

impl Evidence {
    pub(super) fn of(score: &Score, strands: &Strands, opening: &Opening) -> Self {
        let (mut lone, mut subjects, mut answers) = <(Classes, Classes, Classes)>::default();
        let led = strands.voice(opening.leader).get(opening.first..).unwrap_or(&[]);
        let (answer, end) = (opening.answer(), opening.end(led));
        for (voice, part) in score.parts().iter().enumerate() {
            let notes = strands.voice(voice).iter().zip(part.line.notes());
            let heard = notes.skip_while(|(tone, _)| tone.on < opening.onset);
            for (tone, note) in heard.take_while(|(tone, _)| tone.on < end) {
                let class = note.pitch().class();
                if opening.is_answering(tone.on) { &mut answers } else { &mut subjects }.add(class);
                if voice == opening.leader && tone.on < answer {
                    lone.add(class);
                }
            }
        }
        Self {
            given: score.key(),
            lone,
            subjects,
            answers,
            first: led_class(score, opening, 0),
            closing: None,
            altered: opening.altered().and_then(|index| led_class(score, opening, index)),
            at_fourth: opening.answered().is_some_and(|steps| steps.rem_euclid(7) == 3),
            last: final_bass(score),
        }
    }

    /// The same if the subject has so many notes: what the leading voice has after them may be in another key.
    pub(super) fn closing(self, score: &Score, opening: &Opening, count: usize) -> Self {
        let (mut lone, mut closing) = (Classes::default(), None);
        for class in (0..count).filter_map(|index| led_class(score, opening, index)) {
            lone.add(class);
            closing = Some(class);
        }
        Self { lone, closing, ..self }
    }

    /// The key that is charged least.
    pub(super) fn key(&self) -> Key {
        let charged = std::iter::once(self.given).chain(all_keys());
        let charged = charged.map(|key| (self.charge(key) + doubt(key, self.given), key));
        charged.min_by_key(|(charge, _)| *charge).map_or(self.given, |(_, key)| key)
    }

    fn charge(&self, key: Key) -> i64 {
        let at = |class: Option<PitchClass>, table: [i64; 7]| {
            class.map_or(0, |class| match key.degree(class) {
                degree if is_usual(key, degree) => table[index(degree)],
                _ => OUTSIDE,
            })
        };
        let tonic_at_fourth = self.at_fourth && self.altered.is_none() && self.first == Some(key.tonic());
        // The dominant is the key of the answer, but may become clear only towards its end.
        let answering = [key, key.dominant().unwrap_or(key)].map(|key| self.answers.charge(key, WEIGHT / 4));
        self.lone.charge(key, WEIGHT)
            + self.subjects.charge(key, WEIGHT / 2)
            + answering.iter().sum::<i64>()
            + at(self.first, BEGINS)
            + at(self.closing, CLOSES)
            + at(self.altered, ALTERED)
            + if tonic_at_fourth { TONIC_AT_FOURTH } else { 0 }
            + at(self.last, ENDS).min(ENDS_FOREIGN)
    }
}

/// The class of a note of the leading voice.
fn led_class(score: &Score, opening: &Opening, index: usize) -> Option<PitchClass> {
    let notes = score.parts().get(opening.leader)?.line.notes();
    notes.get(opening.first + index).map(|note| note.pitch().class())
}

/// Whether it is a degree of the key, or the leading note of a minor one.
fn is_usual(key: Key, degree: Degree) -> bool {
    let leading = (degree.number(), degree.alteration()) == (7, 1) && key.mode().has_minor_third();
    degree.is_natural() || leading
}

/// What it tells against a key that the file gives another one.
fn doubt(key: Key, given: Key) -> i64 {
    let fifths = |key: Key| key.signature().map_or(0, |signature| i32::from(signature.fifths()));
    match fifths(key) - fifths(given) {
        0 if key == given => 0,
        0 if given.mode() == Mode::Minor => TOLD_MINOR,
        0 => RELATIVE,
        -1 if key.mode() == Mode::Minor => DORIAN,
        _ if fifths(given) == 0 && given.mode() == Mode::Major => UNSIGNED,
        _ if key.tonic() == given.tonic() => PARALLEL,
        _ => OTHERWISE,
    }
}

/// What a note tells in a key, by its degree.
fn rarity(key: Key, class: PitchClass) -> i64 {
    let degree = key.degree(class);
    let minor = key.mode().has_minor_third();
    match (degree.number(), degree.alteration()) {
        (_, 0) => (if minor { MINOR } else { MAJOR })[index(degree)],
        (number @ 6..=7, 1) if minor => RAISED[usize::from(number == 7)],
        (4, 1) => RAISED_FOURTH,
        (7, -1) if !minor => TO_SUBDOMINANT,
        (3, 1) if minor => TO_SUBDOMINANT,
        _ => FOREIGN,
    }
}

fn index(degree: Degree) -> usize {
    usize::from(degree.number() - 1)
}

fn all_keys() -> impl Iterator<Item = Key> {
    let signatures = (-7..=7).filter_map(|fifths| Signature::new(fifths).ok());
    signatures.flat_map(|signature| [Mode::Major, Mode::Minor].map(|mode| signature.key(mode))).flatten()
}

/// The class of the lowest note of those that end last.
fn final_bass(score: &Score) -> Option<PitchClass> {
    let last = score.parts().iter().filter_map(|part| part.line.notes().last());
    let lowest = last.max_by_key(|note| (note.end(), std::cmp::Reverse(note.pitch().staff_step())));
    lowest.map(|note| note.pitch().class())
}

/// The key into which a theme in `key` has been moved so many steps: of all keys on that step the
/// one in which most notes are the same degrees as in the theme.
pub(super) fn of_entry(
    key: Key,
    theme: &[Note],
    alignment: &Alignment,
    notes: &[Note],
    distance: i32,
) -> Key {
    let partners = theme.iter().zip(alignment.partners());
    let pairs: Vec<(&Note, &Note)> =
        partners.filter_map(|(note, partner)| Some((note, notes.get((*partner)?)?))).collect();
    let agreeing = |other: Key| {
        let same = |(from, to): &&(&Note, &Note)| {
            key.degree(from.pitch().class()) == other.degree(to.pitch().class())
        };
        pairs.iter().filter(same).count()
    };
    let steps = distance.rem_euclid(7);
    let moved = |semitones: i32| key.moved(Interval::from_steps(steps, semitones).ok()?).ok();
    let candidates = SEMITONES[usize::try_from(steps).unwrap_or(0)].iter().filter_map(|&size| moved(size));
    let candidates = candidates.flat_map(|key| [key, key.parallel()]);
    candidates.rev().max_by_key(|candidate| agreeing(*candidate)).unwrap_or(key)
}

/// The intervals by which keys on each step lie above a tonic, the usual one first.
const SEMITONES: [&[i32]; 7] = [&[0, -1, 1], &[2, 1], &[3, 4], &[5, 6], &[7, 6], &[9, 8], &[10, 11]];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::recognize::habits::Habits;
    use crate::time::Time;

    /// Evidence of the notes of a lone subject, and nothing else, in a file that was told nothing.
    fn evidence(notes: &str) -> Evidence {
        let mut lone = Classes::default();
        for note in notes.split_whitespace() {
            lone.add(class(note));
        }
        let (given, [subjects, answers]) = (key("C major"), <[Classes; 2]>::default());
        let (first, closing, altered, at_fourth, last) = (None, None, None, false, None);
        Evidence { given, lone, subjects, answers, first, closing, altered, at_fourth, last }
    }

    fn key(text: &str) -> Key {
        text.parse().unwrap()
    }

    fn class(text: &str) -> PitchClass {
        text.parse().unwrap()
    }

    /// Which of two keys the evidence speaks for, whatever the file gives.
    fn likelier(evidence: &Evidence, keys: [&str; 2]) -> String {
        let [one, other] = keys.map(key);
        if evidence.charge(one) < evidence.charge(other) { one.to_string() } else { other.to_string() }
    }

    const RELATIVES: [&str; 2] = ["C major", "A minor"];
    const NATURALS: &str = "C D E F G A B";

    #[test]
    fn first_and_last_note_tell_a_key_from_its_relative() {
        for (note, expected) in [("C", "C major"), ("A", "A minor")] {
            let first = Evidence { first: Some(class(note)), ..evidence(NATURALS) };
            assert_eq!(likelier(&first, RELATIVES), expected, "begins on {note}");
            let closing = Evidence { closing: Some(class(note)), ..evidence(NATURALS) };
            assert_eq!(likelier(&closing, RELATIVES), expected, "ends on {note}");
        }
    }

    /// None of the subjects that were counted begins on the third or the sixth degree, so these tell more against
    /// a key than two leading notes.
    #[test]
    fn rare_first_note_outweighs_the_leading_note() {
        let minor = Evidence { first: Some(class("C")), ..evidence("C D E F A B C G# G#") };
        assert_eq!(likelier(&minor, RELATIVES), "C major");
        let outside = Evidence { first: Some(class("C#")), ..evidence("C D E F G A B") };
        assert_eq!(likelier(&outside, ["C major", "D minor"]), "D minor");
    }

    #[test]
    fn altered_note_is_the_dominant() {
        for (note, expected) in [("G", "C major"), ("E", "A minor")] {
            let altered = Evidence { altered: Some(class(note)), ..evidence(NATURALS) };
            assert_eq!(likelier(&altered, RELATIVES), expected, "{note} is altered");
        }
    }

    /// Prout, *Fugue*, §57: the tonic is answered by the dominant, so that a first note answered at the fourth is
    /// rather the dominant.
    #[test]
    fn first_note_answered_at_the_fourth_is_hardly_the_tonic() {
        let keys = ["C major", "F major"];
        let at_fifth = Evidence { first: Some(class("C")), ..evidence("C D E F G A") };
        assert_eq!(likelier(&at_fifth, keys), "C major");
        assert_eq!(likelier(&Evidence { at_fourth: true, ..at_fifth }, keys), "F major");
    }

    #[test]
    fn bass_at_the_end_tells_a_key_from_its_relative() {
        for (note, expected) in [("C", "C major"), ("A", "A minor")] {
            let last = Evidence { last: Some(class(note)), ..evidence(NATURALS) };
            assert_eq!(likelier(&last, RELATIVES), expected, "ends on {note}");
        }
    }

    /// The leading voice goes on in the relative key for twice as long before it is answered.
    #[test]
    fn notes_after_the_subject_tell_nothing_of_its_key() {
        let lines =
            ["A4:1/4 E5 D5 G#4 A4:1/2 R:1/4 G4:1/4 F4 E4 G4 C5 B4 C5 D5 C5", "R:4 E5:1/4 B5 A5 D#5 E5:1/2"];
        let score = Score::excerpt("A minor", "4/4", &lines).unwrap();
        let strands = Strands::of(&score);
        let opening =
            Opening::of(&strands, &Habits::of(&strands), |_| strands.grid.ticks(Time::WHOLE)).unwrap();
        let heard = Evidence::of(&score, &strands, &opening);
        let charge = |heard: &Evidence| heard.lone.charge(key("A minor"), WEIGHT);
        let subject = charge(&evidence("A E D G# A"));
        assert!(charge(&heard) > subject);
        assert_eq!(charge(&heard.closing(&score, &opening, 5)), subject);
    }

    /// C minor was once less likely than any other key where a file gave C major because it was told nothing.
    #[test]
    fn file_told_nothing_knows_no_tonic() {
        let unsigned = key("C major");
        assert_eq!(doubt(key("C minor"), unsigned), doubt(key("Eb major"), unsigned));
        assert!(doubt(key("D minor"), key("D major")) < doubt(key("E major"), key("D major")));
    }
}
