//! How like a theme some notes are.
//!
//! Each note of the theme has its partner by onset (see [`Pairing`]). What remains is to explain the distance in
//! steps from each note to its partner. An exact statement keeps one distance; a tonal answer keeps to two
//! neighbouring ones (at the fifth and at the fourth: Prout, *Fugue*, §§72-97). The cheapest
//! explanation is found note by note, in time linear in the notes.

use super::habits::PER_BIT;
use super::opening::is_answer;
use super::pairing::{Flaws, Onsets, Pairing, Partner};
use super::strand::Tone;
use super::theme::{Point, Theme};

/// From one of the two distances to the other, as a tonal answer does where it has to.
const CHANGE: u32 = 1;
/// The right note in another octave: kept within the compass.
const OCTAVE: u32 = 2;
/// A wrong note.
const WRONG: u32 = 3;
/// No note begins where one should: worse than a wrong one, for the rhythm is what the ear knows first.
const MISSING: u32 = 4;
/// The right note, early or late: one of its two sides is right, as in a wrong one.
const DISPLACED: u32 = WRONG;
/// A note of the theme that adorns the one before, which is held instead.
const HELD: u32 = 1;
/// A first note longer or shorter than in the theme, which is common (Prout, *Fugue*, §61).
const FREE_START: u32 = 1;

/// Where notes are to be compared with a theme.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spot {
    /// The index of the first note.
    pub(super) first: usize,
    /// When the theme begins; the first note may begin at another time.
    pub(super) start: i64,
}

/// What was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Likeness {
    /// The index of the first note.
    pub(super) first: usize,
    /// The index after the last note.
    pub(super) end: usize,
    /// When the theme begins.
    pub(super) start: i64,
    /// Steps from the theme to most of its partners.
    pub(super) distance: i32,
    /// Notes at that distance.
    pub(super) exact: u32,
    /// Notes at the neighbouring distance, a step away.
    pub(super) beside: u32,
    /// Notes of the theme.
    pub(super) notes: u32,
    /// Those of them that are held instead.
    pub(super) held: u32,
    /// The sum by the table of costs.
    pub(super) cost: u32,
    /// What the right notes say, in parts of a bit.
    pub(super) bits: u32,
    /// What those say that are on time and wrong, or follow one that is.
    pub(super) rhythm: u32,
}

impl Likeness {
    /// The right notes.
    pub(super) const fn right(&self) -> u32 {
        self.exact + self.beside
    }

    /// What speaks for it, less what speaks against it, in bits.
    pub(super) fn score(&self) -> i64 {
        i64::from(self.bits / PER_BIT) - i64::from(self.cost)
    }

    /// Whether it lies where the theme is expected: in unison with it, or at the fifth or fourth, octaves apart.
    pub(super) const fn is_in_place(&self) -> bool {
        self.distance.rem_euclid(7) == 0 || is_answer(self.distance)
    }

    /// The same where the theme is expected: there its rhythm is known again whatever the notes. Elsewhere
    /// running notes have any rhythm of their kind.
    pub(super) fn score_if_expected(&self) -> i64 {
        i64::from((self.bits + self.rhythm) / PER_BIT) - i64::from(self.cost)
    }
}

/// How many notes of a theme may be wrong or missing in an entry.
const fn flaws_allowed(notes: u32) -> u32 {
    if notes < 4 {
        0
    } else if notes < 8 {
        1
    } else {
        notes / 4
    }
}

/// Compares notes with a theme, its memory used again from spot to spot.
#[derive(Debug, Default)]
pub(super) struct Comparison {
    /// What stands for each note of the theme.
    partners: Vec<Partner>,
    distances: Distances,
}

/// How often each distance occurs, in the order in which they occur first.
#[derive(Debug, Default)]
struct Distances(Vec<(i32, u32)>);

impl Distances {
    fn count(&mut self, partners: &[Partner]) {
        self.0.clear();
        for distance in partners.iter().filter_map(|partner| partner.distance()) {
            match self.0.iter_mut().find(|(known, _)| *known == distance) {
                Some((_, count)) => *count += 1,
                None => self.0.push((distance, 1)),
            }
        }
    }

    /// The distance that occurs most often; of equals the one that occurs first.
    fn common(&self) -> Option<i32> {
        self.0.iter().rev().max_by_key(|(_, count)| *count).map(|(distance, _)| *distance)
    }

    /// How many notes at least are wrong: those that lie neither at the common distance nor beside it.
    fn wrong(&self, common: i32) -> u32 {
        self.0.iter().filter(|(distance, _)| (distance - common).abs() > 1).map(|(_, count)| count).sum()
    }
}

/// Whether the notes from a spot on may be the theme with so many flaws: most are given up here.
fn may_be_alike(allowed: u32, spot: Spot, theme: &Theme, tones: &[Tone]) -> bool {
    let mut points = theme.points().iter();
    let begun = points.next().and_then(|head| Onsets::begin(spot.first, head, tones));
    let Some((mut onsets, distance)) = begun else { return false };
    let mut flaws = Flaws::default();
    flaws.with(Partner::At(distance));
    points.all(|point| flaws.with(onsets.partner(point, spot.start + point.at)) <= allowed)
}

/// A way to explain the notes so far.
#[derive(Clone, Copy, Debug, Default)]
struct Path {
    cost: u32,
    bits: u32,
    rhythm: u32,
    /// Right notes at the upper distance and at the lower.
    right: [u32; 2],
    held: u32,
    /// Whether the last note was right.
    sound: bool,
    /// Whether it was on time.
    timed: bool,
}

impl Comparison {
    /// How like the theme the notes are from a spot on; `None` if too unlike.
    pub(super) fn at(&mut self, spot: Spot, theme: &Theme, tones: &[Tone]) -> Option<Likeness> {
        let allowed = flaws_allowed(theme.count());
        if !may_be_alike(allowed, spot, theme, tones) {
            return None;
        }
        let (end, surplus) = self.pair(allowed, spot, theme, tones)?;
        self.distances.count(&self.partners);
        let common = self.distances.common()?;
        if self.distances.wrong(common) > allowed {
            return None;
        }
        let [low, high] = [common, common + 1].map(|upper| (upper, self.explain(upper, theme)));
        let (upper, path) = if high.1.cost < low.1.cost { high } else { low };
        let below = path.right[1] > path.right[0];
        let (exact, beside) =
            if below { (path.right[1], path.right[0]) } else { (path.right[0], path.right[1]) };
        let free_start = tones.get(spot.first).is_some_and(|tone| tone.on != spot.start);
        let likeness = Likeness {
            first: spot.first,
            end,
            start: spot.start,
            distance: upper - i32::from(below),
            exact,
            beside,
            notes: theme.count(),
            held: path.held,
            cost: path.cost + surplus + if free_start { FREE_START } else { 0 },
            bits: path.bits,
            rhythm: path.rhythm,
        };
        let flaws = likeness.notes - likeness.right() - likeness.held;
        (flaws <= allowed && 2 * likeness.held <= likeness.right()).then_some(likeness)
    }

    /// Pairs the notes by onset; returns where the entry ends and what the notes left over cost.
    fn pair(&mut self, allowed: u32, spot: Spot, theme: &Theme, tones: &[Tone]) -> Option<(usize, u32)> {
        let (head, rest) = theme.points().split_first()?;
        let mut pairing = Pairing::begin(spot.first, head, tones)?;
        self.partners.clear();
        self.partners.push(pairing.last());
        for point in rest {
            pairing.go_on(point, spot.start + point.at);
            self.put_astray(pairing.stray());
            self.put_late(pairing.late());
            self.partners.push(pairing.last());
            if pairing.is_hopeless(allowed) {
                return None;
            }
        }
        Some((pairing.end(), pairing.surplus()))
    }

    /// Moves the last note that has a partner by some octaves: the next one has shown that it is astray.
    fn put_astray(&mut self, steps: i32) {
        let mut partners = self.partners.iter_mut().rev();
        if let Some(Partner::At(distance)) = partners.find(|partner| partner.distance().is_some()) {
            *distance += steps;
        }
    }

    /// Says of the last note, which was missing, that it is late: the next one has shown it.
    fn put_late(&mut self, late: Option<i32>) {
        if let (Some(distance), Some(last)) = (late, self.partners.last_mut()) {
            *last = Partner::Displaced(distance);
        }
    }

    /// The cheapest explanation by an upper distance and the one a step below it.
    fn explain(&self, upper: i32, theme: &Theme) -> Path {
        let mut paths = [Path::default(), Path::default()];
        for (index, (partner, point)) in self.partners.iter().zip(theme.points()).enumerate() {
            let stay = |state: usize| paths[state].then(*partner, upper, state, point);
            let change = |state: usize| {
                let from = &paths[1 - state];
                let changed = Path { cost: from.cost + CHANGE, sound: false, ..*from };
                changed.then(*partner, upper, state, point)
            };
            let best = |state: usize| {
                let (stay, change) = (stay(state), change(state));
                if index > 0 && change.cost < stay.cost { change } else { stay }
            };
            paths = [best(0), best(1)];
        }
        if paths[1].cost < paths[0].cost { paths[1] } else { paths[0] }
    }
}

impl Path {
    fn then(self, partner: Partner, upper: i32, state: usize, point: &Point) -> Self {
        let wanted = if state == 0 { upper } else { upper - 1 };
        let distance = match partner {
            Partner::At(distance) => distance,
            Partner::Held => return Self { cost: self.cost + HELD, held: self.held + 1, ..self },
            Partner::Displaced(distance) if distance == wanted => return self.off_time(point),
            Partner::Displaced(_) | Partner::Missing => {
                return Self { cost: self.cost + MISSING, sound: false, timed: false, ..self };
            }
        };
        if distance != wanted {
            let cost = if (distance - wanted) % 7 == 0 { OCTAVE } else { WRONG };
            return Self { cost: self.cost + cost, ..self.on_time(point, false) };
        }
        let mut right = self.right;
        right[state] += 1;
        Self { right, ..self.on_time(point, true) }
    }

    /// A note begins when it should. Right after a right one it tells by its interval, and if that was on time by
    /// its rhythm; a wrong note by its rhythm alone.
    const fn on_time(self, point: &Point, right: bool) -> Self {
        let (mut bits, mut rhythm) = (self.bits, self.rhythm);
        let told = if self.timed { point.rhythm } else { 0 };
        if right && self.sound {
            bits += point.interval + told;
        } else {
            rhythm += told;
        }
        Self { bits, rhythm, sound: right, timed: true, ..self }
    }

    /// The right note begins early or late: right after a right one it tells by its interval.
    const fn off_time(self, point: &Point) -> Self {
        let told = if self.sound { point.interval } else { 0 };
        Self { cost: self.cost + DISPLACED, bits: self.bits + told, sound: true, timed: false, ..self }
    }
}
