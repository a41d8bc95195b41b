//! Repeatable variety: small numbers drawn from a seed and a place.

/// A source of variety. The same seed gives the same draft: nothing is drawn in order, every
/// number depends on the seed and on the place it is asked for alone.
#[derive(Clone, Copy, Debug)]
pub(super) struct Chance {
    seed: u64,
}

impl Chance {
    /// Variety from a seed.
    pub(super) const fn new(seed: u64) -> Self {
        Self { seed }
    }

    /// Another independent source.
    pub(super) const fn fork(self, label: u64) -> Self {
        Self { seed: mix(self.seed ^ mix(label)) }
    }

    /// A number from 0 to `below - 1` for a place (0 if `below` is 0).
    pub(super) fn pick(self, place: u64, below: u32) -> u32 {
        let bits = mix(self.seed ^ mix(place)) >> 32;
        u32::try_from((bits * u64::from(below)) >> 32).unwrap_or(0)
    }
}

/// The finalizer of the `SplitMix64` generator (Steele, Lea, Flood, 2014).
const fn mix(value: u64) -> u64 {
    let mut z = value.wrapping_add(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn mixes_as_the_published_generator_does() {
        // The first two numbers of SplitMix64 from seed 0 (from memory, widely printed).
        assert_eq!(mix(0), 0xE220_A839_7B1D_CDAF);
        assert_eq!(mix(0x9E37_79B9_7F4A_7C15), 0x6E78_9E6A_A1B9_65F4);
    }

    #[test]
    fn a_pick_below_nothing_is_zero() {
        assert_eq!(Chance::new(5).pick(3, 0), 0);
        assert_eq!(Chance::new(5).pick(3, 1), 0);
    }

    #[test]
    fn picks_are_spread_evenly() {
        let chance = Chance::new(1);
        let mut counts = [0_usize; 6];
        for place in 0..6_000 {
            counts[chance.pick(place, 6) as usize] += 1;
        }
        assert!(counts.iter().all(|count| (850..1_150).contains(count)), "{counts:?}");
    }

    #[test]
    fn forks_are_independent() {
        let chance = Chance::new(1);
        let row = |chance: Chance| (0..40).map(|place| chance.pick(place, 100)).collect::<Vec<_>>();
        assert_ne!(row(chance.fork(0)), row(chance.fork(1)));
        assert_ne!(row(chance), row(chance.fork(0)));
        assert_ne!(row(chance.fork(1).fork(2)), row(chance.fork(2).fork(1)));
    }

    proptest! {
        #[test]
        fn prop_a_pick_depends_on_seed_and_place_alone(seed: u64, place: u64, below in 1..u32::MAX) {
            let picked = Chance::new(seed).pick(place, below);
            prop_assert!(picked < below);
            prop_assert_eq!(picked, Chance::new(seed).pick(place, below));
        }
    }
}
