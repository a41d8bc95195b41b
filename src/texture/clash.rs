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
    pub(super) first: Moment<'t>,
    last: Moment<'t>,
    pub(super) pitches: [Pitch; 2],
    /// First and last note of each part.
    pub(super) notes: [[usize; 2]; 2],
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

    pub(super) fn voices(&self) -> [usize; 2] {
        [self.first.pair().upper, self.first.pair().lower]
    }

    /// The part that holds the higher note: 0 the upper part, 1 the lower part if they have crossed.
    fn higher(&self) -> usize {
        usize::from(self.pitches[0].height() < self.pitches[1].height())
    }

    /// The part that has the note of a side.
    pub(super) fn part(&self, side: Side) -> usize {
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
    pub(super) fn thread(&self, part: usize) -> Thread<'t> {
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
            // No chord holds a degree in two forms.
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
