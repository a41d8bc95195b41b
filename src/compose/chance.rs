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
