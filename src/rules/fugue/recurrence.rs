//! What several entries have alike, which is told once.

use std::collections::BTreeMap;

/// How often each of several things occurs.
pub(super) struct Recurrences<K>(BTreeMap<K, usize>);

impl<K: Ord> Recurrences<K> {
    /// Of things that occur one after the other.
    pub(super) fn of(things: impl Iterator<Item = K>) -> Self {
        let mut counts = BTreeMap::new();
        for thing in things {
            *counts.entry(thing).or_insert(0) += 1;
        }
        Self(counts)
    }

    /// How often a thing occurs elsewhere.
    pub(super) fn others(&self, thing: &K) -> usize {
        self.0.get(thing).map_or(0, |count| count.saturating_sub(1))
    }

    /// The same, once: `None` if it was told before.
    pub(super) fn tell(&mut self, thing: &K) -> Option<usize> {
        self.0.remove(thing).map(|count| count.saturating_sub(1))
    }
}

/// How many other entries have the same, as the end of a clause: nothing if none.
pub(super) fn so_too(others: usize) -> String {
    match others {
        0 => String::new(),
        1 => "; another entry has it so, too".to_owned(),
        _ => format!("; {others} other entries have it so, too"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_recurs_is_told_once() {
        let mut counts = Recurrences::of(["a", "b", "a", "a"].into_iter());
        assert_eq!((counts.others(&"a"), counts.others(&"b"), counts.others(&"c")), (2, 0, 0));
        assert_eq!([counts.tell(&"a"), counts.tell(&"a"), counts.tell(&"b")], [Some(2), None, Some(0)]);
        assert_eq!([0, 1, 2].map(so_too)[2], "; 2 other entries have it so, too");
    }
}
