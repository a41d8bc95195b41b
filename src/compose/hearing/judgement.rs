//! How an added line is heard: all costs for the slots and the palette of one search.

use super::cost::{self, clamp, pick};
use super::encounter::{Encounter, encounters};
use super::moves::Moves;
use super::passage::Passage;
use super::point::{Point, class, is_fifth, is_fifth_or_fourth};
use super::setting::Setting;
use crate::compose::harmony_track::HarmonyTrack;
use crate::compose::taste::FORBIDDEN;
use crate::interval::Consonance;
use crate::pitch::Pitch;

/// A setting worked out for the slots and the palette of a search.
#[derive(Debug)]
pub(in crate::compose) struct Hearing {
    /// What a bare or dissonant sound costs, in quarters of the table's figure.
    quarters: i64,
    judged: bool,
    invertible: bool,
    points: Vec<Point>,
    encounters: Vec<Vec<Encounter>>,
    moves: Moves,
    unary: Vec<Vec<i32>>,
    /// Whether a note of a slot meets anything but consonances.
    dissonant: Vec<Vec<bool>>,
    /// The planned chord at the onset of each slot.
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
    pub(in crate::compose) fn of(
        setting: &Setting<'_>,
        slots: &[(i64, i64)],
        palette: &[Pitch],
        track: &HarmonyTrack,
    ) -> Self {
        let ends = slots.last().map(|slot| slot.1);
        let onsets = slots.iter().map(|slot| slot.0).chain(ends);
        let mut hearing = Self {
            quarters: setting.pressure * if setting.companions.len() == 1 { 4 } else { 1 },
            judged: setting.judged,
            invertible: setting.invertible,
            points: palette.iter().map(|&pitch| Point::of(pitch)).collect(),
            encounters: slots.iter().map(|&(on, off)| encounters(setting, on, off, track)).collect(),
            moves: Moves::of(setting, onsets, track),
            unary: Vec::new(),
            dissonant: Vec::new(),
            chords: slots.iter().map(|&(on, _)| chord_notes(track, on)).collect(),
        };
        hearing.unary = (0..slots.len())
            .map(|slot| hearing.unary_row(slot, slots[slot].0, setting, palette, track))
            .collect();
        hearing.dissonant = (0..slots.len()).map(|slot| hearing.dissonant_row(slot)).collect();
        hearing
    }

    /// What a note costs by itself: range, distance, crossing, consonance and chord.
    pub(in crate::compose) fn unary(&self, slot: usize, note: usize) -> i32 {
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
    pub(in crate::compose) fn dissonance(
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
    /// perfect consonance with a companion that has moved.
    pub(in crate::compose) fn accents(&self, left: (usize, Pitch), reached: (usize, Pitch)) -> i32 {
        if self.judged { self.moves.on_accents(left, reached) } else { 0 }
    }

    /// What it costs to go from one note to the next while companions move too.
    pub(in crate::compose) fn motion(&self, slot: usize, left: Pitch, reached: Pitch) -> i32 {
        if self.judged { self.moves.together(slot, left, reached) } else { 0 }
    }
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
