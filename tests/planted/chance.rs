//! Chance that comes out the same every time.

/// A row of numbers from a seed (D. E. Knuth's multiplier for 64 bits).
pub(crate) struct Chance(u64);

impl Chance {
    pub(crate) const fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// A number below another.
    pub(crate) fn below(&mut self, count: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).unwrap() % count.max(1)
    }

    /// One of several.
    pub(crate) fn of<T: Copy>(&mut self, several: &[T]) -> T {
        several[self.below(several.len())]
    }
}
