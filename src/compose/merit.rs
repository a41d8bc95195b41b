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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compose::fixtures::{frame, strand};

    /// A theme in quarters, and lines against it.
    const THEME: &str = "C4:1/4 D4 E4 D4 | C4 E4 D4 C4";

    fn merit(line: &str) -> Merit {
        let frame = frame("4/4");
        let theme = THEME.replace("| ", "");
        Merit::of(&strand(&frame, line), &strand(&frame, &theme), &frame)
    }

    /// Thirds and sixths with a rhythm of its own: a compass of a sixth, one highest note.
    const GOOD: &str = "E4:3/8 F4:1/8 G4:1/8 C5 B4:3/8 A4:1/8 G4 F#4 G4:1/8 C5:1/8 F4:1/4 E4:1/4 A4:1/8";

    #[test]
    fn thirds_and_sixths_are_counted_by_time() {
        // third, fifth, sixth, fifth | fifth, fifth, fifth, fifth
        let line = merit("E4:1/4 A4 C5 A4 G4 B4 A4 G4");
        assert_eq!((line.together, line.imperfect), (64, 16));
    }

    #[test]
    fn a_line_in_the_rhythm_of_its_theme_is_not_content() {
        let together = merit("E4:1/4 F4 G4 F4 E4 G4 F4 E4");
        assert_eq!((together.shared, together.imperfect), (8, 64));
        assert!(!together.is_met());
    }

    #[test]
    fn a_line_of_fifths_is_not_content() {
        assert!(!merit("G4:3/8 A4:1/4 B4 A4 G4 B4 A4 G4:1/8").is_met());
    }

    #[test]
    fn accented_dissonances_are_counted_where_both_strike_on_a_pulse() {
        // seconds over the first beats of both bars and over the second beat
        assert_eq!(merit("D4:1/4 E4:3/4 D4:1/4 C4:3/4").accented, 3);
        assert_eq!(merit("F4:1/4 A4:3/4").accented, 0, "a fourth is weighed by the search alone");
        assert_eq!(merit("E4:1/8 F4:1/8 F4:3/4").accented, 0);
        assert!(!merit("D4:1/4 C4:1/4 F4 E4 D4 F4 E4 D4").is_met());
    }

    #[test]
    fn a_narrow_or_wide_compass_costs() {
        let narrow = merit("E4:1/8 F4:7/8 E4:1");
        let fitting = merit("E4:1/8 C5:7/8 E4:1");
        let wide = merit("E4:1/8 C6:7/8 E4:1");
        assert_eq!((narrow.compass, fitting.compass, wide.compass), (1, 5, 12));
        let cost = |merit: Merit| Merit { imperfect: 0, shared: 0, accented: 0, ..merit }.shortfall();
        assert!(cost(fitting) < cost(narrow) && cost(fitting) < cost(wide));
    }

    #[test]
    fn a_highest_note_struck_again_costs() {
        let once = Merit { climaxes: 1, ..merit(GOOD) };
        let twice = Merit { climaxes: 2, ..once };
        assert!(once.shortfall() < twice.shortfall());
    }

    #[test]
    fn falling_short_costs_more_the_shorter() {
        let whole = Merit {
            together: 100,
            imperfect: 62,
            attacks: 10,
            theme_attacks: 10,
            compass: 6,
            ..Merit::default()
        };
        assert_eq!(whole.shortfall(), 0);
        let fewer_thirds = |imperfect| Merit { imperfect, ..whole }.shortfall();
        assert!(fewer_thirds(60) > 0 && fewer_thirds(50) > fewer_thirds(60));
        let accented = |accented| Merit { accented, ..whole }.shortfall();
        assert!(accented(1) == 0 && accented(2) > 0 && accented(3) > accented(2));
        let shared = |shared| Merit { shared, ..whole }.shortfall();
        assert!(shared(6) == 0 && shared(7) > 0 && shared(8) > shared(7));
    }

    #[test]
    fn an_empty_line_has_no_merits_to_divide_by() {
        let empty = Merit::of(&Strand::default(), &Strand::default(), &frame("4/4"));
        assert_eq!(empty.together, 0);
        assert!(empty.shortfall() >= 0);
    }
}
