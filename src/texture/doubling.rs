//! Two voices that are one: the same line in unison or octaves.

use super::{Moment, Pair, Perfect, Step, Stretch};

/// How many steps in unison or octaves make a doubling: fewer are consecutive octaves.
const STEPS: usize = 3;

/// Whether two voices sound a unison or octaves.
fn is_one(moment: &Moment<'_>) -> bool {
    moment.interval().and_then(Perfect::of) == Some(Perfect::Octave)
}

/// A doubling as it is found: where it lies, and how many steps it has.
struct Run<'t> {
    stretch: Stretch,
    last: Moment<'t>,
    steps: usize,
    /// How often one voice alone began a note.
    loose: usize,
}

impl<'t> Run<'t> {
    fn from(moment: Moment<'t>) -> Self {
        let stretch = Stretch { onset: moment.onset(), end: moment.end(), attacks: 1 };
        Self { stretch, last: moment, steps: 0, loose: 0 }
    }

    /// Whether the voices go alone too often to be one: half as often as together.
    const fn is_loose(&self) -> bool {
        2 * self.loose >= self.stretch.attacks
    }

    fn go_on(&mut self, moment: Moment<'t>) {
        let step = Step::between(self.last, moment);
        self.steps += usize::from(step.is_some_and(|step| step.parallel_perfect().is_some()));
        self.stretch = Stretch { end: moment.end(), attacks: self.stretch.attacks + 1, ..self.stretch };
        self.last = moment;
    }

    /// What a moment does to it; whether it goes on.
    fn takes(&mut self, moment: Moment<'t>, bar: i64) -> bool {
        if moment.onset() - self.stretch.end > bar {
            return false;
        }
        match moment.attacked() {
            [true, true] if is_one(&moment) => self.go_on(moment),
            [true, true] => return false,
            [false, false] => {}
            _ => self.loose += 1,
        }
        !self.is_loose()
    }
}

impl<'t> Pair<'t> {
    /// The stretches in which the two voices double each other: wherever both begin a note they are a
    /// unison or octaves apart, and they go three steps or more in the same direction. What one of them
    /// adds between, if it is little, and rests of up to a bar do not end it: a part that doubles another breathes and
    /// ornaments as it likes. Cost: at the first call linear in the moments.
    ///
    /// ```
    /// use soggetto::score::Score;
    /// use soggetto::texture::Texture;
    /// let score = Score::excerpt("C major", "4/4", &["C5:1/4 D5 E5 F5", "C4:1/4 D4 E4 F4"])?;
    /// let texture = Texture::of(&score);
    /// let pair = texture.pair(0, 1).ok_or("there are two voices")?;
    /// assert_eq!(pair.doublings()[0].attacks, 4);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn doublings(self) -> &'t [Stretch] {
        self.facts.doublings.get_or_init(|| self.find_doublings())
    }

    fn find_doublings(self) -> Vec<Stretch> {
        self.runs(|run| run.steps >= STEPS)
    }

    /// The stretches in which the two voices might double each other, but for the number of their steps.
    pub fn octave_runs(self) -> impl Iterator<Item = Stretch> {
        self.runs(|_| true).into_iter()
    }

    /// The runs that are to be kept: a few of many.
    fn runs(self, is_kept: impl Fn(&Run<'t>) -> bool) -> Vec<Stretch> {
        let (mut found, mut run): (Vec<Stretch>, Option<Run<'_>>) = (Vec::new(), None);
        let accents = self.texture().accents();
        let mut keep = |run: Option<Run<'t>>| found.extend(run.filter(&is_kept).map(|run| run.stretch));
        for moment in self.moments() {
            keep(run.take_if(|run| !run.takes(moment, accents.bar_at(moment.onset()))));
            if run.is_none() && is_one(&moment) {
                run = Some(Run::from(moment));
            }
        }
        keep(run);
        found
    }
}

impl Step<'_> {
    /// Whether it begins and ends within one of some stretches in order of onset, of which none begins
    /// before another ends. Cost: logarithmic.
    pub fn is_within(&self, stretches: &[Stretch]) -> bool {
        let (from, to) = (self.before().onset(), self.after().onset());
        Stretch::holding(stretches, from).is_some_and(|stretch| stretch.contains(to))
    }
}

impl Stretch {
    /// Of stretches in order of onset, none of which begins before another ends, the one that contains a
    /// tick. Cost: logarithmic.
    pub fn holding(stretches: &[Self], tick: i64) -> Option<Self> {
        let next = stretches.partition_point(|stretch| stretch.end <= tick);
        stretches.get(next).copied().filter(|stretch| stretch.contains(tick))
    }

    /// Whether a tick lies within.
    pub const fn contains(self, tick: i64) -> bool {
        self.onset <= tick && tick < self.end
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::score::Score;
    use crate::texture::Texture;

    fn doublings(lines: &[&str]) -> Vec<Stretch> {
        let score = Score::excerpt("C major", "4/4", lines).unwrap();
        Texture::of(&score).pair(0, 1).unwrap().doublings().to_vec()
    }

    #[test]
    fn doubling_has_three_steps_in_octaves() {
        let found = doublings(&["C5:1/4 D5 E5 F5", "C4:1/4 D4 E4 F4"]);
        assert_eq!(found, [Stretch { onset: 0, end: 8, attacks: 4 }]);
        assert!(doublings(&["C5:1/4 D5 E5 F5", "C4:1/4 D4 E4 D4"]).is_empty());
    }

    #[test]
    fn doubling_goes_on_after_a_rest_of_both() {
        let found = doublings(&["C5:1/4 D5 R E5 F5 G5:3/4", "C4:1/4 D4 R E4 F4 G4:3/4"]);
        assert_eq!(found, [Stretch { onset: 0, end: 16, attacks: 5 }]);
    }

    /// An oboe with the sopranos, a 'cello with the viola: one line, though not note for note.
    #[test]
    fn doubling_goes_on_where_one_voice_adds_a_note_or_breathes() {
        let found = doublings(&["C5:1/4 D5 E5:1/8 G5 F5:1/4", "C4:1/4 D4 E4 F4"]);
        assert_eq!(found, [Stretch { onset: 0, end: 8, attacks: 4 }]);
        let found = doublings(&["C5:1/4 D5 E5 D5 E5 F5:3/4", "C4:1/4 D4 E4 R E4 F4:3/4"]);
        assert_eq!(found, [Stretch { onset: 0, end: 16, attacks: 5 }]);
    }

    #[test]
    fn doubling_begins_under_a_held_note() {
        let found = doublings(&["C5:1/2 D5:1/4 E5 F5:1", "R:1/4 C4 D4 E4 F4:1"]);
        assert_eq!(found, [Stretch { onset: 2, end: 16, attacks: 4 }]);
    }

    #[test]
    fn doubling_ends_with_a_rest_of_more_than_a_bar() {
        let lines = ["C5:1/4 D5 R:5/4 E5:1/4 F5", "C4:1/4 D4 R:5/4 E4:1/4 F4"];
        assert!(doublings(&lines).is_empty());
    }

    #[test]
    fn doubling_ends_where_a_voice_goes_its_own_way() {
        let found = doublings(&["C5:1/4 D5 E5 F5 G5:1", "C4:1/4 D4 E4 F4 E4:1"]);
        assert_eq!(found, [Stretch { onset: 0, end: 8, attacks: 4 }]);
    }

    #[test]
    fn fifths_are_no_doubling() {
        assert!(doublings(&["G4:1/4 A4 B4 C5", "C4:1/4 D4 E4 F4"]).is_empty());
    }
}
