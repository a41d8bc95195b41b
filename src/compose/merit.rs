//! The merits of a whole countersubject: what no single note shows.
//!
//! The search for pitches sees three notes at a time. Among the lines it finds for several rhythms
//! the best is chosen by what the craft asks of the whole: thirds and sixths for most of the time,
//! few accented dissonances, a rhythm of its own, a compass worth the name of a melody.
//!
//! Source: countersubject, rules C1 to C4; imperfect consonances, rule K7 (common practice). The
//! limits are those of the best tenth of well-known fugues.

use super::frame::Frame;
use super::strand::{Strand, Tone};
use crate::interval::Consonance;

/// The share of imperfect consonance, in percent of the time that both sound, to be reached.
const IMPERFECT_PERCENT: i64 = 62;
/// The share below which no countersubject is content.
const LEAST_IMPERFECT: i64 = 60;
/// The share of accented dissonances, in percent of the attacks, above which none is content.
const MOST_ACCENTED: i64 = 15;
/// The largest share of accented dissonances, in percent of the attacks.
const ACCENTED_PERCENT: i64 = 10;
/// The largest share of attacks in common, in percent of all attacks of both.
const SHARED_PERCENT: i64 = 45;
/// The narrowest and widest compass of a melody, in staff steps: a sixth and a tenth.
const COMPASS: (i32, i32) = (5, 9);

/// Costs of falling short, a percent point, a step or a note.
mod cost {
    pub(super) const IMPERFECT: i64 = 12;
    pub(super) const ACCENTED: i64 = 30;
    pub(super) const SHARED: i64 = 20;
    pub(super) const COMPASS: i64 = 40;
    pub(super) const CLIMAX: i64 = 30;
}

/// What was measured of a line against its theme.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Merit {
    together: i64,
    imperfect: i64,
    attacks: i64,
    shared: i64,
    theme_attacks: i64,
    accented: i64,
    compass: i32,
    climaxes: i64,
}

impl Merit {
    /// Measures a line against the theme it accompanies.
    pub(super) fn of(line: &Strand, theme: &Strand, frame: &Frame) -> Self {
        let mut merit = Self::default();
        let steps = line.tones().iter().map(|tone| tone.pitch.staff_step());
        let (low, high) = (steps.clone().min().unwrap_or(0), steps.clone().max().unwrap_or(0));
        merit.compass = high - low;
        merit.climaxes = i64::try_from(steps.filter(|step| *step == high).count()).unwrap_or(0);
        merit.theme_attacks = i64::try_from(theme.tones().len()).unwrap_or(i64::MAX / 200);
        for tone in line.tones() {
            merit.attacks += 1;
            for other in &theme.tones()[theme.within(tone.on, tone.off)] {
                merit.meet(tone, other, frame);
            }
        }
        merit
    }

    fn meet(&mut self, tone: &Tone, other: &Tone, frame: &Frame) {
        let start = tone.on.max(other.on);
        let length = tone.off.min(other.off) - start;
        self.together += length;
        let interval = tone.pitch - other.pitch;
        match interval.consonance() {
            Consonance::Imperfect => self.imperfect += length,
            Consonance::Dissonant if tone.on == other.on && frame.is_pulse(start) => self.accented += 1,
            Consonance::Perfect | Consonance::Fourth | Consonance::Dissonant => {}
        }
        self.shared += i64::from(tone.on == other.on);
    }

    /// Whether it reaches what is asked of every countersubject.
    pub(super) fn is_met(&self) -> bool {
        100 * self.imperfect >= LEAST_IMPERFECT * self.together
            && 100 * self.accented <= MOST_ACCENTED * self.attacks
            && 100 * self.shared <= SHARED_PERCENT * (self.attacks + self.theme_attacks - self.shared)
    }

    /// What it costs to fall short of the merits of a good line.
    pub(super) fn shortfall(&self) -> i32 {
        let percent = |part: i64, whole: i64| if whole == 0 { 0 } else { 100 * part / whole };
        let imperfect = (IMPERFECT_PERCENT - percent(self.imperfect, self.together)).max(0);
        let accented = (percent(self.accented, self.attacks) - ACCENTED_PERCENT).max(0);
        let shared =
            (percent(self.shared, self.attacks + self.theme_attacks - self.shared) - SHARED_PERCENT).max(0);
        let compass = (COMPASS.0 - self.compass).max(self.compass - COMPASS.1).max(0);
        let cost = cost::IMPERFECT * imperfect
            + cost::ACCENTED * accented
            + cost::SHARED * shared
            + cost::COMPASS * i64::from(compass)
            + cost::CLIMAX * (self.climaxes - 1).clamp(0, 3);
        i32::try_from(cost).unwrap_or(i32::MAX / 2)
    }
}
