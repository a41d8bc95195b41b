//! A clash of two notes, from its first moment to its last, put into the terms of a [`Contact`].

use super::chord::HeardChord;
use super::chordal::is_tense;
use super::contact::{Contact, Entry, Naming, Side, Strand};
use super::dissonance::Dissonance;
use super::motion::is_dissonant;
use super::pair::Moment;
use super::thread::Thread;
use super::turn::{Turn, is_leap, is_root_progression};
use super::{Tone, Walk};
use crate::interval::Interval;
use crate::pitch::{Pitch, PitchClass};

/// A clash from its first moment to its last: notes struck again prolong it.
pub(super) struct Clash<'t> {
    first: Moment<'t>,
    last: Moment<'t>,
    pitches: [Pitch; 2],
    /// First and last note of each part.
    notes: [[usize; 2]; 2],
}

impl<'t> Clash<'t> {
    /// The clash that begins with a moment; `None` if the moment prolongs one.
    pub(super) fn beginning(first: Moment<'t>) -> Option<Self> {
        let (pair, pitches) = (first.pair(), first.pitches()?);
        let before = first.index().checked_sub(1).and_then(|index| pair.moment(index));
        if before.is_some_and(|before| before.pitches() == Some(pitches) && before.is_dissonant()) {
            return None;
        }
        let mut last = first;
        while let Some(next) = pair.moment(last.index() + 1) {
            if next.pitches() != Some(pitches) {
                break;
            }
            last = next;
        }
        let ([Some(a), Some(b)], [Some(c), Some(d)]) = (first.notes(), last.notes()) else { return None };
        Some(Self { first, last, pitches, notes: [[a, c], [b, d]] })
    }

    fn voices(&self) -> [usize; 2] {
        [self.first.pair().upper, self.first.pair().lower]
    }

    /// The part that holds the higher note: 0 the upper part, 1 the lower part if they have crossed.
    fn higher(&self) -> usize {
        usize::from(self.pitches[0].height() < self.pitches[1].height())
    }

    /// The part that has the note of a side.
    fn part(&self, side: Side) -> usize {
        if side == Side::Upper { self.higher() } else { 1 - self.higher() }
    }

    /// The dissonance, named; the walk tells what the other voices sound.
    pub(super) fn name(&self, walk: &mut Walk<'_>) -> Dissonance {
        let (texture, higher) = (self.first.pair().texture, self.higher());
        let strength = texture.strength(self.first.onset());
        let heard = self.heard_at(self.first.onset(), walk);
        let suspect = self.suspect(higher, &heard);
        let [upper, lower] = [higher, 1 - higher].map(|part| self.strand(part, walk));
        let chord = self.chord(&heard, [&upper.turn, &lower.turn], walk);
        let mut contact = Contact { upper, lower, strength, suspect, chord, taken_over: false, leapt: None };
        contact.taken_over = chord.is_some() && self.is_taken_over(&contact);
        contact.leapt = self.leapt(&contact, &heard);
        let Naming { side, figure } = contact.classify();
        let part = self.part(side);
        let at = |part: usize| (self.voices()[part], self.notes[part][0]);
        Dissonance {
            note: at(part),
            against: at(1 - part),
            interval: contact.interval(),
            onset: self.first.onset(),
            end: self.last.end(),
            strength,
            figure,
        }
    }

    /// A part's line as it is heard beside the other.
    fn thread(&self, part: usize) -> Thread<'t> {
        let voices = self.voices();
        Thread::new(self.first.pair().texture, voices[part], voices[1 - part])
    }

    fn strand(&self, part: usize, walk: &mut Walk<'_>) -> Strand {
        let (texture, thread, [first, last]) =
            (self.first.pair().texture, self.thread(part), self.notes[part]);
        let end = thread.tones().get(last).map_or(self.last.end(), |tone| tone.end);
        Strand {
            turn: thread.turn(first, last),
            entry: self.entry(thread.tones(), first),
            prepared: self.prepared(part, walk),
            end,
            leaves_on: texture.strength(end),
            next: self.next(part, end),
            is_long: thread.is_longer(first, last, texture.accents().bar_at(end)),
        }
    }

    fn entry(&self, tones: &[Tone], first: usize) -> Entry {
        let Some(tone) = tones.get(first) else { return Entry::Struck };
        let before = first.checked_sub(1).and_then(|before| tones.get(before));
        match before {
            _ if tone.onset < self.first.onset() => Entry::Held,
            Some(before) if before.end == tone.onset && before.pitch.class() == tone.pitch.class() => {
                Entry::Repeated
            }
            _ => Entry::Struck,
        }
    }

    /// Whether a part's note was there before, consonant with the other voice or alone.
    fn prepared(&self, part: usize, walk: &mut Walk<'_>) -> bool {
        let before = self.first.index().checked_sub(1).and_then(|index| self.first.pair().moment(index));
        before.is_some_and(|before| {
            before.tones()[part].is_some()
                && (!before.is_dissonant()
                    || is_chordal(&before, self.first.onset() - 1, walk)
                    || self.leaves_root(part, &before))
        })
    }

    /// Whether the other part goes from the root to which a part's note was the seventh a fourth up or a fifth down: as
    /// a root goes, so that it was a chord though its third did not sound on (handbook rules, G7).
    fn leaves_root(&self, part: usize, before: &Moment<'_>) -> bool {
        before.pitches().map(|pitches| pitches[1 - part]).is_some_and(|root| {
            (self.pitches[part] - root).steps().rem_euclid(7) == 6
                && is_root_progression(self.pitches[1 - part] - root)
        })
    }

    /// What the next note of a part makes with the other voice.
    fn next(&self, part: usize, end: i64) -> Option<(Interval, bool)> {
        let (pair, thread) = (self.first.pair(), self.thread(part));
        let next = thread.tones().get(self.notes[part][1] + 1)?;
        let begins = next.onset;
        if !thread.waits(end, begins) {
            return None;
        }
        let after = (self.last.index() + 1..).map_while(|index| pair.moment(index));
        let moment =
            after.take_while(|moment| moment.onset() <= begins).find(|moment| moment.onset() == begins)?;
        let other = moment.tones()[1 - part]?;
        let up = (next.pitch - other.pitch).abs();
        Some((up, is_dissonant(up, moment.holds_lowest())))
    }

    /// The chord that holds both notes, with what else sounds and what either voice leaps from, or else what other
    /// voices sound as one of the two is left, before or, unless both go on, after; of a fourth the third must sound.
    fn chord(&self, heard: &[(usize, Pitch)], turns: [&Turn; 2], walk: &mut Walk<'_>) -> Option<HeardChord> {
        let two = self.pitches.map(Pitch::class);
        if two[0].up_to(two[1]).steps() == 0 {
            return None;
        }
        let mut heard: Vec<PitchClass> = heard.iter().map(|(_, pitch)| pitch.class()).collect();
        if (self.pitches[0] - self.pitches[1]).abs().simple() == Interval::PERFECT_FOURTH {
            return HeardChord::of(&heard, two);
        }
        let left = |turn: &Turn| turn.before[0].filter(|_| turn.approach().is_some_and(is_leap));
        heard.extend(turns.into_iter().filter_map(left).map(Pitch::class));
        HeardChord::of(&heard, two).or_else(|| {
            heard.extend(self.others_at_end(walk));
            HeardChord::of(&heard, two)
        })
    }

    /// What other voices sound as one of the two is left: before and, unless both go on, after.
    fn others_at_end(&self, walk: &mut Walk<'_>) -> impl Iterator<Item = PitchClass> {
        let (end, voices) = (self.last.end(), self.voices());
        let [before, mut after] = [end - 1, end].map(|tick| self.heard_at(tick, walk));
        let goes_on = |part: usize| after.iter().any(|it| it.0 == voices[part] && it.1 != self.pitches[part]);
        if goes_on(0) && goes_on(1) {
            after.clear();
        }
        let others = before.into_iter().chain(after).filter(move |(voice, _)| !voices.contains(voice));
        others.map(|(_, pitch)| pitch.class())
    }

    /// Whether another voice strikes the note to which the seventh falls, as the seventh is left or within a beat
    /// after.
    fn is_taken_over(&self, contact: &Contact) -> bool {
        let (texture, side) = (self.first.pair().texture, contact.seventh());
        let (seventh, end) = (self.pitches[self.part(side)].class(), contact.strand(side).end);
        let voices = (0..texture.voices()).filter(|&voice| voice != self.voices()[self.part(side)]);
        let thread = self.thread(self.part(side));
        let mut struck = voices.filter_map(|voice| texture.struck_from(voice, end));
        struck.any(|tone| thread.waits(end, tone.onset) && is_step_below(tone.pitch.class(), seventh))
    }

    /// The note that its voice leaps to and from while the other passes by, unless a chord explains it.
    fn leapt(&self, contact: &Contact, heard: &[(usize, Pitch)]) -> Option<Side> {
        let side = contact.leapt_beside_step().filter(|&side| !contact.strand(side).is_long)?;
        let beat = self.first.pair().texture.accents().pulse_at(self.first.onset()).1;
        let is_brief = contact.strand(side.other()).end - self.first.onset() <= beat;
        let is_explained = contact.is_passed_by(side)
            || contact.is_of_resolving_chord(side)
            || (is_brief && (self.breaks_chord(contact, side) || self.is_of_chord(side, heard)));
        (!is_explained).then_some(side)
    }

    /// Whether a note agrees with that to which the other voice steps, and with it a note that its own voice leaps to
    /// and has not left by then, or comes from if both go on together.
    fn breaks_chord(&self, contact: &Contact, side: Side) -> bool {
        let [part, other] = [side, side.other()].map(|side| self.part(side));
        let (tones, last) = (self.thread(part).tones(), self.notes[part][1]);
        let Some(goal) = self.thread(other).tones().get(self.notes[other][1] + 1) else { return false };
        let two = [self.pitches[part], goal.pitch].map(Pitch::class);
        let with = |more: &[Pitch]| agree(&two.into_iter().chain(more.iter().map(|it| it.class())).collect::<Vec<_>>());
        let after = |count: usize| -> Vec<Pitch> { tones[last + 1..].iter().take(count).map(|it| it.pitch).collect() };
        let goes_on = (1..=2).take_while(|&count| with(&after(count))).last();
        let was_there = contact.strand(side).turn.before[0].is_some_and(|it| with(&[it]));
        match goes_on.and_then(|count| tones.get(last + count)) {
            Some(left) => goal.onset < left.end,
            None => was_there && goal.onset <= tones[last].end,
        }
    }

    /// Whether a note is one of a chord that the voices sound beside the other note: another voice doubles it, or three
    /// notes of the chord sound.
    fn is_of_chord(&self, side: Side, heard: &[(usize, Pitch)]) -> bool {
        let [part, other] = [side, side.other()].map(|side| self.part(side));
        let beside = heard.iter().filter(|it| it.0 != self.voices()[other]);
        let mut classes: Vec<PitchClass> = beside.map(|it| it.1.class()).collect();
        let here = self.pitches[part].class();
        let Some(chord) = HeardChord::of(&classes, [here; 2]) else { return false };
        classes.retain(|&it| chord.contains(it));
        let is_doubled = classes.iter().filter(|&&it| it == here).count() > 1;
        classes.sort_unstable();
        classes.dedup();
        is_doubled || classes.len() > 2
    }

    /// What all voices sound on a tick.
    fn heard_at(&self, tick: i64, walk: &mut Walk<'_>) -> Vec<(usize, Pitch)> {
        let voices = 0..self.first.pair().texture.voices();
        voices.filter_map(|voice| Some((voice, walk.sounding(voice, tick)?.1.pitch))).collect()
    }

    /// The note that clashes with more of the other voices.
    fn suspect(&self, higher: usize, heard: &[(usize, Pitch)]) -> Side {
        let clashes = |part: usize| {
            let others = heard.iter().filter(|(voice, _)| !self.voices().contains(voice));
            others.filter(|(_, pitch)| is_dissonant(*pitch - self.pitches[part], false)).count()
        };
        if clashes(1 - higher) > clashes(higher) { Side::Lower } else { Side::Upper }
    }
}

/// Whether the two notes of a moment clash as notes of a chord as it ends: a tense interval, or a seventh over
/// the root whose third sounds on its last tick. Such a note is prepared for what comes as a consonant one is.
fn is_chordal(moment: &Moment<'_>, tick: i64, walk: &mut Walk<'_>) -> bool {
    let Some([upper, lower]) = moment.pitches() else { return false };
    if is_tense((upper - lower).abs()) {
        return true;
    }
    let voices = 0..moment.pair().texture().voices();
    let tones = voices.filter_map(|voice| walk.sounding(voice, tick));
    let heard: Vec<PitchClass> = tones.map(|(_, tone)| tone.pitch.class()).collect();
    HeardChord::of(&heard, [upper, lower].map(Pitch::class)).is_some()
}

/// Whether notes make a chord of thirds, or a part of one: none is the chromatic form of another, and none makes a second
/// or a seventh with another, but for the diminished one, unless a chord on one of them holds all.
fn agree(notes: &[PitchClass]) -> bool {
    let pairs = || notes.iter().flat_map(|&one| notes.iter().map(move |&other| one.up_to(other)));
    let chord = || HeardChord::of(notes, [notes[0]; 2]);
    pairs().all(|up| up.steps() != 0 || up == Interval::UNISON)
        && (pairs().all(|up| is_tense(up) || !matches!(up.steps(), 1 | 6))
            || chord().is_some_and(|chord| notes.iter().all(|&it| chord.contains(it))))
}

/// Whether a note lies a major or minor second below another.
fn is_step_below(note: PitchClass, other: PitchClass) -> bool {
    matches!(note.up_to(other), Interval::MINOR_SECOND | Interval::MAJOR_SECOND)
}

#[cfg(test)]
mod tests {
    use crate::texture::trial::names;

    // Handbook rules, G7: the root goes a fifth, so that the third need not sound.
    #[test]
    fn seventh_over_a_root_that_goes_a_fifth_is_prepared() {
        let suspended = "1 C5 suspension".to_owned();
        assert!(names("4/4", &["D5:3/4 C5:1/2 Bb4:3/4", "D3:1 G3"]).contains(&suspended));
        // The root moves by step.
        assert!(!names("4/4", &["G5:3/4 C5:1/2 A4:3/4", "D3:1 B2"]).contains(&suspended));
    }
}
