//! How an added line is heard against the voices around it.
//!
//! A [`Setting`] names those voices; a [`Hearing`] has worked out, once for a search, what every
//! slot of the line meets in them, so that the search itself only compares small numbers. What is
//! judged here while composing is what the rules of [`crate::rules`] look for afterwards.
//!
//! Source: rules G1 to G10 of the trade (motion, passing notes, suspensions): Grove, *Dictionary*,
//! vol. 3, "Strict Counterpoint"; invertible counterpoint: Prout, *Fugue*, §194.

use super::harmony_track::HarmonyTrack;
use super::strand::{Strand, Tone};
use super::taste::FORBIDDEN;
use crate::interval::Consonance;
use crate::pitch::Pitch;

/// Where another voice lies, seen from the added line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    /// Above the line.
    Above,
    /// Below it.
    Below,
}

/// A voice that sounds with the added line.
#[derive(Clone, Copy, Debug)]
pub(super) struct Companion<'a> {
    pub(super) strand: &'a Strand,
    pub(super) side: Side,
    /// For the next voice above or below: how far it may be, in semitones, without cost.
    pub(super) room: Option<i32>,
}

/// How far neighbouring voices, numbered from the top, may lie apart without cost, in semitones: an
/// octave, and a twelfth above the lowest voice (rule G16, common practice).
pub(super) fn room(one: usize, other: usize, voices: usize) -> i32 {
    if one.max(other) + 1 == voices { 19 } else { 12 }
}

/// The surroundings in which a line is heard.
#[derive(Clone, Debug)]
pub(super) struct Setting<'a> {
    pub(super) companions: Vec<Companion<'a>>,
    /// The sounding heights that the line may take, in semitones (middle C = 60).
    pub(super) range: (i32, i32),
    /// Whether the two lines will also be heard upside down: then a fifth counts as a fourth.
    pub(super) invertible: bool,
    /// Whether intervals and motion are judged, or only range, crossing and distance.
    pub(super) judged: bool,
    /// How much thirds and sixths are preferred to bare and dissonant sounds: 1 is plain taste.
    pub(super) pressure: i64,
}

/// The costs of sounding together, in a table.
mod cost {
    /// A perfect consonance, for the length of a pulse.
    pub(super) const PERFECT: i64 = 70;
    /// A fifth that will turn into a fourth, off the beat; on the beat.
    pub(super) const BARE_FIFTH: (i32, i32) = (60, 4_000);
    /// Any dissonance, for the length of a pulse.
    pub(super) const DISSONANT: i64 = 70;
    /// A passing or neighbour note off the beat; on the beat.
    pub(super) const ORNAMENT: (i32, i32) = (10, 420);
    /// A prepared suspension that resolves to an imperfect consonance is welcome; to a perfect one.
    pub(super) const SUSPENSION: (i32, i32) = (-60, 150);
    /// A seventh or tritone of the chord, led on rightly, off the beat; on the beat.
    pub(super) const CHORD_SEVENTH: (i32, i32) = (24, 160);
    /// A dissonance that nothing explains, off the beat; on the beat.
    pub(super) const UNEXPLAINED: (i32, i32) = (6_000, 12_000);
    /// Consecutive fifths, octaves or unisons.
    pub(super) const CONSECUTIVE: i32 = 50_000;
    /// One perfect consonance after another of another kind.
    pub(super) const PERFECT_CHAIN: i32 = 4_000;
    /// A perfect consonance that moves to a dissonance.
    pub(super) const PERFECT_TO_DISSONANCE: i32 = 900;
    /// A perfect consonance reached in similar motion; by step in the upper voice.
    pub(super) const DIRECT: (i32, i32) = (700, 260);
    /// A voice crossed, a note.
    pub(super) const CROSSING: i32 = 900;
    /// The same pitch as a neighbour.
    pub(super) const UNISON: i32 = 160;
    /// A neighbour too far away, for the length of a pulse.
    pub(super) const DISTANCE: i64 = 40;
    /// A note on a pulse that is not of the chord; elsewhere.
    pub(super) const FOREIGN: (i32, i32) = (70, 6);
    /// A leading note doubled: that of the moment, that of the home key.
    pub(super) const DOUBLED_LEADING_NOTE: (i32, i32) = (3_000, 400);
    /// A note near the end of the range.
    pub(super) const EDGE: i32 = 12;
    /// One kind of perfect consonance struck on two accents in a row, with notes between.
    pub(super) const ON_ACCENTS: i32 = 1_600;
}

/// A pitch as two whole numbers: staff steps and sounding height.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Point {
    step: i32,
    height: i32,
}

impl Point {
    fn of(pitch: Pitch) -> Self {
        Self { step: pitch.staff_step(), height: pitch.height() }
    }
}

/// What one slot of the line meets in one tone of a companion.
#[derive(Clone, Copy, Debug)]
struct Encounter {
    other: Point,
    /// The companion's tone right before, if it did not rest.
    other_before: Option<Point>,
    /// Staff steps by which the companion came to this tone and will leave it.
    other_in: Option<i32>,
    other_out: Option<i32>,
    /// The companion's tone right after.
    other_after: Option<Point>,
    /// Who moves on first: the line (`Less`), both, or the companion.
    left: std::cmp::Ordering,
    /// Who struck last: the line (`Less`: it came after the companion), both, or the companion.
    struck: std::cmp::Ordering,
    /// Whether the meeting begins on a pulse.
    accented: bool,
    /// How long it lasts, in twelfths of a pulse.
    length: i64,
    /// The lowest height that any companion sounds then.
    lowest: i32,
    side: Side,
    room: i32,
}

/// What a companion does when a slot begins.
#[derive(Clone, Copy, Debug)]
struct Step {
    before: Point,
    now: Point,
    side: Side,
}

/// A setting worked out for the slots and the palette of a search.
#[derive(Debug)]
pub(super) struct Hearing {
    /// What a bare or dissonant sound costs, in quarters of the table's figure.
    quarters: i64,
    judged: bool,
    invertible: bool,
    points: Vec<Point>,
    encounters: Vec<Vec<Encounter>>,
    /// Companions that move when the slot begins; one more row for the note after the last slot.
    steps: Vec<Vec<Step>>,
    /// For slots that begin on a pulse: what each companion sounds then.
    accented: Vec<Vec<Option<Point>>>,
    unary: Vec<Vec<i32>>,
    /// Whether a note of a slot meets anything but consonances.
    dissonant: Vec<Vec<bool>>,
    /// For each slot, a bit a staff-step class that is of the chord with a seventh or tritone.
    chords: Vec<Option<ChordNotes>>,
}

/// The chord of a slot, for the dissonances that belong to it.
#[derive(Clone, Debug)]
struct ChordNotes {
    /// Step class and height class of each note.
    notes: Vec<(i32, i32)>,
}

impl ChordNotes {
    fn contains(&self, point: Point) -> bool {
        self.notes.contains(&(point.step.rem_euclid(7), point.height.rem_euclid(12)))
    }
}

impl Hearing {
    /// Works out a setting.
    pub(super) fn of(
        setting: &Setting<'_>,
        slots: &[(i64, i64)],
        palette: &[Pitch],
        track: &HarmonyTrack,
    ) -> Self {
        let encounters: Vec<Vec<Encounter>> =
            slots.iter().map(|&(on, off)| encounters(setting, on, off, track)).collect();
        let ends = slots.last().map(|slot| slot.1);
        let onsets = slots.iter().map(|slot| slot.0).chain(ends);
        let chords = slots.iter().map(|&(on, _)| chord_notes(track, on)).collect();
        let mut hearing = Self {
            quarters: setting.pressure * if setting.companions.len() == 1 { 4 } else { 1 },
            judged: setting.judged,
            invertible: setting.invertible,
            points: palette.iter().map(|&pitch| Point::of(pitch)).collect(),
            encounters,
            accented: onsets.clone().map(|on| accented(setting, on, track)).collect(),
            steps: onsets.map(|on| steps(setting, on)).collect(),
            unary: Vec::new(),
            dissonant: Vec::new(),
            chords,
        };
        hearing.unary = (0..slots.len())
            .map(|slot| hearing.unary_row(slot, slots[slot].0, setting, palette, track))
            .collect();
        hearing.dissonant = (0..slots.len()).map(|slot| hearing.dissonant_row(slot)).collect();
        hearing
    }

    /// What a note costs by itself: range, distance, crossing, consonance and chord.
    pub(super) fn unary(&self, slot: usize, note: usize) -> i32 {
        self.unary[slot][note]
    }

    fn unary_row(
        &self,
        slot: usize,
        on: i64,
        setting: &Setting<'_>,
        palette: &[Pitch],
        track: &HarmonyTrack,
    ) -> Vec<i32> {
        let row = self.points.iter().zip(palette).map(|(&point, &pitch)| {
            let mut cost = range_cost(point.height, setting.range);
            for encounter in &self.encounters[slot] {
                cost += encounter.placing_cost(point);
                if self.judged && self.class(point, encounter) == Consonance::Perfect {
                    cost += self.lasting(cost::PERFECT, encounter);
                }
                if self.judged && point.same_class(encounter.other) {
                    cost += doubling_cost(track, on, pitch);
                }
            }
            if self.judged && !track.suits(on, pitch) {
                cost += pick(cost::FOREIGN, track.is_pulse(on));
            }
            cost
        });
        row.collect()
    }

    fn dissonant_row(&self, slot: usize) -> Vec<bool> {
        let meets = |&point: &Point| {
            self.encounters[slot].iter().any(|encounter| {
                !matches!(self.class(point, encounter), Consonance::Perfect | Consonance::Imperfect)
            })
        };
        self.points.iter().map(|point| self.judged && meets(point)).collect()
    }

    /// How a note and a companion's tone sound together. A fourth over the lowest voice is told
    /// apart from a free one, which counts as imperfect.
    fn class(&self, point: Point, encounter: &Encounter) -> Consonance {
        match class(point, encounter.other) {
            Consonance::Perfect if self.invertible && is_fifth(point, encounter.other) => Consonance::Fourth,
            Consonance::Fourth if !self.invertible && encounter.has_voice_below(point) => {
                Consonance::Imperfect
            }
            other => other,
        }
    }

    /// What the dissonances of a note cost, knowing how it is approached and left.
    pub(super) fn dissonance(
        &self,
        slot: usize,
        note: usize,
        current: Pitch,
        before: Option<Pitch>,
        after: Option<Pitch>,
    ) -> i32 {
        if !self.dissonant[slot][note] {
            return 0;
        }
        let line =
            Passage { before: before.map(Point::of), note: Point::of(current), after: after.map(Point::of) };
        self.encounters[slot].iter().map(|encounter| self.encounter_cost(slot, encounter, &line)).sum()
    }

    fn encounter_cost(&self, slot: usize, encounter: &Encounter, line: &Passage) -> i32 {
        let class = self.class(line.note, encounter);
        if matches!(class, Consonance::Perfect | Consonance::Imperfect) {
            return 0;
        }
        self.lasting(cost::DISSONANT, encounter) + self.figure_cost(slot, encounter, line, class)
    }

    /// A cost a pulse for as long as an encounter lasts. Between two parts every bare sound tells;
    /// among more the others cover it.
    fn lasting(&self, a_pulse: i64, encounter: &Encounter) -> i32 {
        clamp(a_pulse * encounter.length * self.quarters / 48)
    }

    /// What a dissonance costs by the figure that explains it.
    fn figure_cost(&self, slot: usize, encounter: &Encounter, line: &Passage, class: Consonance) -> i32 {
        if line.is_suspended(encounter) || encounter.is_suspended(line) {
            let resolution = line.resolution(encounter);
            return pick(cost::SUSPENSION, resolution != Some(Consonance::Imperfect));
        }
        if line.is_ornament(encounter) || encounter.is_ornament() {
            return pick(cost::ORNAMENT, encounter.accented);
        }
        if self.invertible && class == Consonance::Fourth && is_fifth_or_fourth(line.note, encounter.other) {
            return pick(cost::BARE_FIFTH, encounter.accented);
        }
        if self.belongs_to_chord(slot, encounter, line) {
            return pick(cost::CHORD_SEVENTH, encounter.accented);
        }
        pick(cost::UNEXPLAINED, encounter.accented)
    }

    /// A seventh (or its inversion) or a tritone between notes of the chord, whose dissonant note
    /// falls by step or whose leading note rises.
    fn belongs_to_chord(&self, slot: usize, encounter: &Encounter, line: &Passage) -> bool {
        let Some(chord) = &self.chords[slot] else { return false };
        if !chord.contains(line.note) || !chord.contains(encounter.other) {
            return false;
        }
        let steps = (line.note.step - encounter.other.step).rem_euclid(7);
        let own = line.out();
        match steps {
            6 => own == Some(-1),
            1 => encounter.other_out == Some(-1),
            3 | 4 => {
                own.is_some_and(|out| out.abs() == 1) && encounter.other_out.is_none_or(|out| out.abs() <= 1)
            }
            _ => false,
        }
    }

    /// What it costs that two notes, both struck on pulses with at most one between, make the same
    /// perfect consonance with a companion that has moved: the ear still hears them follow.
    pub(super) fn accents(&self, (slot, left): (usize, Pitch), (later, reached): (usize, Pitch)) -> i32 {
        if !self.judged || left == reached {
            return 0;
        }
        let (left, reached) = (Point::of(left), Point::of(reached));
        let pairs = self.accented[slot].iter().zip(&self.accented[later]);
        let chained = pairs.filter(|&(before, now)| {
            let (Some(before), Some(now)) = (before, now) else { return false };
            let hollow = |class: Consonance| {
                class == Consonance::Perfect || (class == Consonance::Fourth && self.invertible)
            };
            before != now
                && hollow(class(left, *before))
                && hollow(class(reached, *now))
                && same_kind(left, *before, reached, *now)
        });
        cost::ON_ACCENTS * i32::try_from(chained.count()).unwrap_or(1)
    }

    /// What it costs to go from one note to the next while companions move too.
    pub(super) fn motion(&self, slot: usize, left: Pitch, reached: Pitch) -> i32 {
        if !self.judged {
            return 0;
        }
        let (left, reached) = (Point::of(left), Point::of(reached));
        if left == reached {
            return 0;
        }
        self.steps[slot].iter().map(|step| self.step_cost(step, left, reached)).sum()
    }

    fn step_cost(&self, step: &Step, left: Point, reached: Point) -> i32 {
        let (before, after) = (class(left, step.before), class(reached, step.now));
        let hollow = |class: Consonance| {
            class == Consonance::Perfect || (class == Consonance::Fourth && self.invertible)
        };
        let similar =
            (reached.height - left.height).signum() == (step.now.height - step.before.height).signum();
        match (hollow(before), hollow(after)) {
            (true, true) if same_kind(left, step.before, reached, step.now) => cost::CONSECUTIVE,
            (true, true) => cost::PERFECT_CHAIN,
            (true, false) if after != Consonance::Imperfect && after != Consonance::Fourth => {
                cost::PERFECT_TO_DISSONANCE
            }
            (false, true) if similar => {
                let upper_step = if step.side == Side::Above {
                    step.now.step - step.before.step
                } else {
                    reached.step - left.step
                };
                pick((cost::DIRECT.1, cost::DIRECT.0), upper_step.abs() > 1)
            }
            _ => 0,
        }
    }
}

/// A note of the line between its neighbours.
struct Passage {
    before: Option<Point>,
    note: Point,
    after: Option<Point>,
}

impl Passage {
    fn into(&self) -> Option<i32> {
        self.before.map(|before| self.note.step - before.step)
    }

    fn out(&self) -> Option<i32> {
        self.after.map(|after| after.step - self.note.step)
    }

    /// What the two sound when the first of them moves on.
    fn resolution(&self, encounter: &Encounter) -> Option<Consonance> {
        let line = if encounter.left.is_le() { self.after? } else { self.note };
        let other = if encounter.left.is_ge() { encounter.other_after? } else { encounter.other };
        Some(class(line, other))
    }

    /// Struck not before the companion, reached and left by step: passing or neighbour note.
    fn is_ornament(&self, encounter: &Encounter) -> bool {
        encounter.struck.is_le() && is_step(self.into()) && is_step(self.out())
    }

    /// Held (or struck again) from a consonance into a dissonance on the beat, and falling by step.
    fn is_suspended(&self, encounter: &Encounter) -> bool {
        let held = encounter.struck.is_gt() || (encounter.struck.is_eq() && self.before == Some(self.note));
        let prepared = encounter.other_before.is_none_or(|before| is_consonant(class(self.note, before)));
        held && encounter.left.is_le() && encounter.accented && prepared && self.out() == Some(-1)
    }
}

impl Encounter {
    /// The companion's tone is a passing or neighbour note, struck not before the line's.
    fn is_ornament(&self) -> bool {
        self.struck.is_ge() && is_step(self.other_in) && is_step(self.other_out)
    }

    /// The companion's tone is suspended over the line's new note and falls by step.
    fn is_suspended(&self, line: &Passage) -> bool {
        let prepared = line.before.is_none_or(|before| is_consonant(class(before, self.other)));
        self.struck.is_lt() && self.left.is_ge() && self.accented && prepared && self.other_out == Some(-1)
    }

    /// Whether a voice sounds below both notes, so that a fourth between them is free.
    fn has_voice_below(&self, point: Point) -> bool {
        self.lowest < point.height.min(self.other.height)
    }

    fn placing_cost(&self, point: Point) -> i32 {
        let above = self.other.height - point.height;
        let apart = if self.side == Side::Above { above } else { -above };
        let mut cost = 0;
        if apart < 0 {
            cost += cost::CROSSING;
        } else if apart == 0 {
            cost += cost::UNISON;
        }
        if apart > self.room {
            cost += clamp(cost::DISTANCE * self.length / 12) * (1 + (apart - self.room) / 3);
        }
        cost
    }
}

impl Point {
    const fn same_class(self, other: Self) -> bool {
        (self.step - other.step) % 7 == 0 && (self.height - other.height) % 12 == 0
    }
}

const fn is_step(steps: Option<i32>) -> bool {
    matches!(steps, Some(1 | -1))
}

/// One of two costs: off the beat, or on it.
const fn pick(costs: (i32, i32), accented: bool) -> i32 {
    if accented { costs.1 } else { costs.0 }
}

fn clamp(cost: i64) -> i32 {
    i32::try_from(cost).unwrap_or(FORBIDDEN)
}

/// The consonance class of two points, octaves apart being the same, whichever is the higher.
fn class(one: Point, other: Point) -> Consonance {
    let up = one.height >= other.height;
    let (low, high) = if up { (other, one) } else { (one, other) };
    match ((high.step - low.step).rem_euclid(7), (high.height - low.height).rem_euclid(12)) {
        (0, 0) | (4, 7) => Consonance::Perfect,
        (2, 3 | 4) | (5, 8 | 9) => Consonance::Imperfect,
        (3, 5) => Consonance::Fourth,
        _ => Consonance::Dissonant,
    }
}

const fn is_consonant(class: Consonance) -> bool {
    matches!(class, Consonance::Perfect | Consonance::Imperfect)
}

fn is_fifth(one: Point, other: Point) -> bool {
    (one.height - other.height).rem_euclid(12) != 0
}

fn is_fifth_or_fourth(one: Point, other: Point) -> bool {
    matches!((one.height - other.height).rem_euclid(12), 5 | 7)
}

/// Whether two perfect consonances are of one kind: both fifths (or fourths), or both octaves.
fn same_kind(left: Point, before: Point, reached: Point, now: Point) -> bool {
    is_fifth_or_fourth(left, before) == is_fifth_or_fourth(reached, now)
}

fn range_cost(height: i32, (low, high): (i32, i32)) -> i32 {
    if height < low || height > high {
        return FORBIDDEN;
    }
    let room = (height - low).min(high - height);
    if room < 3 { cost::EDGE * (3 - room) } else { 0 }
}

/// What it costs to double a note: much for the leading note of the moment, less for that of the
/// home key where another reigns.
fn doubling_cost(track: &HarmonyTrack, on: i64, pitch: Pitch) -> i32 {
    let (here, home) = cost::DOUBLED_LEADING_NOTE;
    if track.melodic(on, pitch).leading {
        here
    } else if track.home().leading_note() == Ok(pitch.class()) {
        home
    } else {
        0
    }
}

fn chord_notes(track: &HarmonyTrack, on: i64) -> Option<ChordNotes> {
    let classes = track.chord(on)?.classes();
    let notes = classes
        .iter()
        .map(|class| (i32::from(class.letter().index()), class.semitones().rem_euclid(12)))
        .collect();
    Some(ChordNotes { notes })
}

fn lowest_at(setting: &Setting<'_>, ticks: i64) -> i32 {
    let heights = setting.companions.iter().filter_map(|companion| companion.strand.at(ticks));
    heights.map(|tone| tone.pitch.height()).min().unwrap_or(i32::MAX)
}

fn encounters(setting: &Setting<'_>, on: i64, off: i64, track: &HarmonyTrack) -> Vec<Encounter> {
    let mut found = Vec::new();
    for companion in &setting.companions {
        let tones = companion.strand.tones();
        for index in companion.strand.within(on, off) {
            let tone = tones[index];
            let neighbour = |other: Option<&Tone>, joins: fn(&Tone, &Tone) -> bool| {
                other.filter(|other| joins(&tone, other)).map(|other| Point::of(other.pitch))
            };
            let before = neighbour(index.checked_sub(1).map(|before| &tones[before]), |tone, other| {
                other.off == tone.on
            });
            let after = neighbour(tones.get(index + 1), |tone, other| tone.off == other.on);
            let point = Point::of(tone.pitch);
            let start = on.max(tone.on);
            found.push(Encounter {
                other: point,
                other_before: before,
                other_in: before.map(|before| point.step - before.step),
                other_out: after.map(|after| after.step - point.step),
                other_after: after,
                left: off.cmp(&tone.off),
                struck: tone.on.cmp(&on),
                accented: track.is_pulse(start),
                length: 12 * (off.min(tone.off) - start) / track.pulse(),
                lowest: lowest_at(setting, start),
                side: companion.side,
                room: companion.room.unwrap_or(i32::MAX),
            });
        }
    }
    found
}

fn steps(setting: &Setting<'_>, on: i64) -> Vec<Step> {
    let moves = setting.companions.iter().filter_map(|companion| {
        let (before, now) = (companion.strand.before(on)?, companion.strand.at(on)?);
        let moved = now.on == on && now.pitch != before.pitch;
        moved.then(|| Step {
            before: Point::of(before.pitch),
            now: Point::of(now.pitch),
            side: companion.side,
        })
    });
    moves.collect()
}

fn accented(setting: &Setting<'_>, on: i64, track: &HarmonyTrack) -> Vec<Option<Point>> {
    if !track.is_pulse(on) {
        return Vec::new();
    }
    let sounding = |companion: &Companion<'_>| companion.strand.at(on).map(|tone| Point::of(tone.pitch));
    setting.companions.iter().map(sounding).collect()
}
