//! Two voices that are one: the same line in unison or octaves.

use super::{Moment, Pair, Perfect, Step, Stretch};

/// How many steps in unison or octaves make a doubling: fewer are consecutive octaves.
const STEPS: usize = 3;

/// Whether two voices sound a unison or octaves and strike together.
fn is_one(moment: &Moment<'_>) -> bool {
    let interval = moment.interval();
    moment.attacked() == [true; 2] && interval.and_then(Perfect::of) == Some(Perfect::Octave)
}

/// A doubling as it is found: where it lies, and how many steps it has.
struct Run<'t> {
    stretch: Stretch,
    last: Moment<'t>,
    steps: usize,
}

impl<'t> Run<'t> {
    fn from(moment: Moment<'t>) -> Self {
        let stretch = Stretch { onset: moment.onset(), end: moment.end(), attacks: 1 };
        Self { stretch, last: moment, steps: 0 }
    }

    fn go_on(&mut self, moment: Moment<'t>) {
        let step = Step::between(self.last, moment);
        self.steps += usize::from(step.is_some_and(|step| step.parallel_perfect().is_some()));
        self.stretch = Stretch { end: moment.end(), attacks: self.stretch.attacks + 1, ..self.stretch };
        self.last = moment;
    }
}

impl Pair<'_> {
    /// The stretches in which the two voices double each other: all their notes begin together, a
    /// unison or octaves apart, and go three steps or more in the same direction. Rests of both do
    /// not end it. Cost: linear in the moments.
    ///
    /// ```
    /// use soggetto::score::Score;
    /// use soggetto::texture::Texture;
    /// let score = Score::excerpt("C major", "4/4", &["C5:1/4 D5 E5 F5", "C4:1/4 D4 E4 F4"])?;
    /// let texture = Texture::of(&score);
    /// let found = texture.pair(0, 1).map(|pair| pair.doublings()).unwrap_or_default();
    /// assert_eq!(found[0].attacks, 4);
    /// # Ok::<(), soggetto::score::ExcerptError>(())
    /// ```
    pub fn doublings(self) -> Vec<Stretch> {
        let (mut found, mut run): (Vec<Stretch>, Option<Run<'_>>) = (Vec::new(), None);
        let mut close = |run: Option<Run<'_>>| {
            found.extend(run.filter(|run| run.steps >= STEPS).map(|run| run.stretch));
        };
        for moment in self.moments() {
            match (&mut run, is_one(&moment)) {
                (Some(run), true) => run.go_on(moment),
                (None, true) => run = Some(Run::from(moment)),
                (_, false) if moment.notes() == [None; 2] => {}
                (_, false) => close(run.take()),
            }
        }
        close(run.take());
        found
    }
}

impl Step<'_> {
    /// Whether it begins and ends within one of some stretches.
    pub fn is_within(&self, stretches: &[Stretch]) -> bool {
        let (from, to) = (self.before().onset(), self.after().onset());
        stretches.iter().any(|stretch| stretch.contains(from) && stretch.contains(to))
    }
}

impl Stretch {
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
        Texture::of(&score).pair(0, 1).unwrap().doublings()
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
