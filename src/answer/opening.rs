//! The opening of a subject: a dominant that asks for an answer of its own, and how long the tonic
//! holds.

use super::facts::{Facts, NoteFacts};
use crate::meter::Strength;
use crate::scale::Degree;

/// The dominant at the opening: the first note, or the note to which the tonic leaps, directly or
/// through the third. The flags tell what would be lost if the tonic answered it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Opening {
    /// Its first note.
    pub(super) first: usize,
    /// Its last note, if it is repeated.
    pub(super) last: usize,
    /// How the subject comes to it.
    pub(super) approach: Approach,
    /// Whether a neighbour note follows and leads back to it.
    pub(super) neighbour: Option<Side>,
    /// Whether it is but a note of the tonic chord in which the subject begins.
    pub(super) in_chord: bool,
    /// Whether the answer would begin with the notes of the tonic chord instead.
    pub(super) makes_chord: bool,
    /// Whether it begins a sequence.
    pub(super) in_sequence: bool,
}

/// How the opening dominant is reached.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Approach {
    /// It is the first note.
    None,
    /// The tonic leaps to it.
    Leap,
    /// The tonic goes to it through the third.
    ThroughThird,
}

/// On which side of a note its neighbour lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    /// A step above.
    Upper,
    /// A step below.
    Lower,
}

impl Opening {
    /// Whether it is the dominant itself.
    pub(super) fn has(&self, index: usize) -> bool {
        (self.first..=self.last).contains(&index)
    }

    /// Whether its neighbour note is a second of the wrong size for the tonic: above the dominant a
    /// semitone, below it a whole tone, where the tonic has them the other way about (Prout,
    /// *Fugue*, §144).
    pub(super) fn second_gives_way(&self, notes: &[NoteFacts]) -> bool {
        let second = self.neighbour.map(|side| (side, notes[self.last + 1].pitch - notes[self.last].pitch));
        second.is_some_and(|(side, second)| match side {
            Side::Upper => second.semitones() == 1,
            Side::Lower => second.semitones() == -2,
        })
    }

    /// Whether it is the neighbour note, or the dominant to which it returns.
    pub(super) fn has_in_tow(&self, index: usize) -> bool {
        self.neighbour.is_some() && (self.last + 1..=self.last + 2).contains(&index)
    }
}

/// The opening dominant (Prout, *Fugue*, §§86-87, 102).
pub(super) fn find(facts: &Facts<'_>) -> Option<Opening> {
    let notes = &facts.notes;
    let first = notes.iter().position(|note| note.is_any(&[5]))?;
    if first > 0 && !leaps_from_tonic(facts, first) {
        return None;
    }
    let same = |note: &&NoteFacts| note.pitch == notes[first].pitch;
    let last = first + notes[first..].iter().take_while(same).count() - 1;
    let approach = match first {
        0 => Approach::None,
        _ if notes[..first].iter().any(|note| note.is_any(&[3])) => Approach::ThroughThird,
        _ => Approach::Leap,
    };
    let in_chord = match approach {
        Approach::None => begins_in_chord(facts, last),
        Approach::ThroughThird => !is_goal(facts, first, last),
        Approach::Leap => falls_through_chord(notes, first, last),
    };
    Some(Opening {
        first,
        last,
        approach,
        neighbour: neighbour(facts, last),
        in_chord,
        makes_chord: first == 0 && makes_chord(notes, last),
        in_sequence: first == 0 && is_sequence_of_chords(facts),
    })
}

/// Whether the notes before are the tonic and perhaps its third, with their neighbour notes, and
/// the last of them is left by leap.
fn leaps_from_tonic(facts: &Facts<'_>, first: usize) -> bool {
    let chordal = |index: usize| facts.notes[index].is_any(&[1, 3]);
    let is_neighbour = |index: usize| {
        chordal(index - 1)
            && chordal(index + 1)
            && facts.steps_to(index).abs() == 1
            && facts.steps_to(index + 1).abs() == 1
    };
    facts.notes[0].degree == Degree::TONIC
        && chordal(first - 1)
        && (0..first).all(|index| chordal(index) || is_neighbour(index))
}

/// How many notes of the opening are held by tonic harmony and cannot be heard in the dominant:
/// all up to the first tonic, and the whole tonic chord if the subject runs through it (Prout,
/// *Fugue*, §§74, 127-128).
pub(super) fn tonic_hold(notes: &[NoteFacts]) -> usize {
    let run = chord_run(notes);
    let whole = is_whole_chord(&notes[..run]);
    let begins_on_dominant = notes.first().is_some_and(|note| note.is_any(&[5]));
    match notes.iter().position(|note| note.degree == Degree::TONIC) {
        Some(_) if whole => run,
        Some(tonic) if tonic < run || begins_on_dominant => tonic + 1,
        _ if begins_on_dominant => run,
        _ => 0,
    }
}

/// Whether the opening invites the subdominant: the first notes outline the chord on the dominant, or
/// the dominant to which the tonic leaps goes on by chromatic steps, which a return to the fifth
/// would break (Prout, *Fugue*, §§74-80, 110, 149).
pub(super) fn invites_subdominant(facts: &Facts<'_>) -> bool {
    begins_on_dominant_chord(&facts.notes)
        || facts.opening.is_some_and(|opening| {
            let next = facts.notes.get(opening.last + 1);
            opening.approach == Approach::Leap
                && next.is_some_and(|note| note.degree == Degree::of_steps(3).altered(1))
        })
}

fn begins_on_dominant_chord(notes: &[NoteFacts]) -> bool {
    let [first, next, ..] = notes else { return false };
    let numbers = [first, next].map(|note| note.degree.number());
    matches!(numbers, [5, 2 | 7] | [7, 2 | 5])
}

/// How many notes from the beginning belong to the tonic chord.
fn chord_run(notes: &[NoteFacts]) -> usize {
    notes.iter().take_while(|note| note.is_any(&[1, 3, 5])).count()
}

/// Whether the dominant on which a subject begins belongs to the tonic chord: the line runs through
/// the whole chord and back to it, or goes to the tonic from a dominant that is long or stands on the
/// downbeat, where it is no upbeat on dominant harmony (Prout, *Fugue*, §§102, 105-106).
fn begins_in_chord(facts: &Facts<'_>, last: usize) -> bool {
    let notes = &facts.notes;
    let run = chord_run(notes);
    let comes_back =
        is_whole_chord(&notes[..run]) && notes[last + 1..run].iter().any(|note| note.is_any(&[5]));
    let to_tonic = notes.get(last + 1).is_some_and(|note| note.degree == Degree::TONIC);
    comes_back || (to_tonic && (is_long(facts, 0) || facts.strength(0) == Strength::Downbeat))
}

/// Whether a note lasts a pulse or more, and longer than most notes of the subject.
fn is_long(facts: &Facts<'_>, index: usize) -> bool {
    let duration = facts.notes[index].duration;
    let shorter = facts.notes.iter().filter(|note| note.duration < duration).count();
    let pulse = facts.subject.meter().pulses().next();
    2 * shorter > facts.notes.len() && pulse.is_some_and(|(_, pulse)| duration >= pulse)
}

/// Whether the dominant reached through the third is a goal and no note of the chord in passing:
/// it stands on the downbeat, and a rest follows or it is longer than the note before and no
/// shorter than the next (Prout, *Fugue*, §§87, 92, 94).
fn is_goal(facts: &Facts<'_>, first: usize, last: usize) -> bool {
    let notes = &facts.notes;
    let duration = notes[first].duration;
    let stands_out = duration > notes[first - 1].duration
        && notes.get(last + 1).is_none_or(|next| next.duration <= duration);
    let rests = notes.get(first + 1).is_none_or(|next| next.onset > notes[first].end());
    facts.strength(first) == Strength::Downbeat && (rests || stands_out)
}

/// Whether the tonic falls to the dominant and the third completes the chord (Prout, *Fugue*,
/// §§95, 97).
fn falls_through_chord(notes: &[NoteFacts], first: usize, last: usize) -> bool {
    let completes = notes.get(last + 1).is_some_and(|note| note.is_any(&[3]));
    completes && notes[first].pitch < notes[first - 1].pitch
}

/// The neighbour note after which the dominant returns.
fn neighbour(facts: &Facts<'_>, last: usize) -> Option<Side> {
    let back = facts.notes.get(last + 2)?;
    match facts.steps_to(last + 1) {
        _ if back.pitch != facts.notes[last].pitch => None,
        1 => Some(Side::Upper),
        -1 => Some(Side::Lower),
        _ => None,
    }
}

/// Whether the line circles about the dominant by sixth and tonic and so returns to it: the answer's
/// first notes would be the tonic chord instead (Prout, *Fugue*, §§100, 107). A line that goes on
/// elsewhere has no shape to lose.
fn makes_chord(notes: &[NoteFacts], last: usize) -> bool {
    let circle = notes[last + 1..].iter().take_while(|note| note.is_any(&[1, 6])).count();
    let about = &notes[last + 1..last + 1 + circle];
    let has = |number: u8| about.iter().any(|note| note.is_any(&[number]));
    has(1) && has(6) && notes.get(last + 1 + circle).is_some_and(|note| note.is_any(&[5]))
}

/// Whether the whole tonic chord begins the subject and its figure, of two to four notes, follows at
/// once on other degrees, whatever the octaves (Prout, *Fugue*, §105).
fn is_sequence_of_chords(facts: &Facts<'_>) -> bool {
    let step = |index: usize| facts.steps_to(index + 1).rem_euclid(7);
    let repeats = |period: usize| {
        2 * period < facts.notes.len() && (0..period).all(|index| step(index) == step(index + period))
    };
    is_whole_chord(&facts.notes[..chord_run(&facts.notes)]) && (2..=4).any(repeats)
}

/// Whether tonic, third and dominant are all there.
fn is_whole_chord(notes: &[NoteFacts]) -> bool {
    [1, 3, 5].into_iter().all(|number| notes.iter().any(|note| note.is_any(&[number])))
}

#[cfg(test)]
mod tests {
    use crate::answer::AnswerKind;
    use crate::subject::Subject;

    fn first_choice(key: &str, meter: &str, offset: &str, line: &str) -> (AnswerKind, String) {
        let subject = Subject::from_text(key, meter, offset, line).unwrap();
        let answer = subject.answers().unwrap().remove(0);
        (answer.kind(), answer.line().notes()[0].pitch().class().to_string())
    }

    #[test]
    fn line_that_circles_about_the_dominant_keeps_its_shape() {
        // Prout, Fugue, §107 (e).
        let line = "G3:1/4 Ab3:3/16 C4:1/16 Ab3:3/16 G3:1/16 G3:1/4 R:1/8 G3 C4:1/4";
        assert_eq!(first_choice("C minor", "4/4", "1/4", line), (AnswerKind::Real, "D".to_owned()));
    }

    #[test]
    fn dominant_that_goes_by_the_sixth_to_the_tonic_and_on_is_answered_by_the_tonic() {
        // Prout, Fugue, §102: all dominant openings of the Forty-eight are so answered.
        let line = "A4:1/8 Bb4 D5 C#5 D5:1/4 E5 F5:1/8 E5 D5:1/4";
        assert_eq!(first_choice("D minor", "4/4", "1/8", line), (AnswerKind::Tonal, "D".to_owned()));
    }
}
