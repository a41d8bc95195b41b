//! What lies close together is told once.

use std::ops::Range;

/// Things that last from a tick to a tick.
pub(super) trait Span {
    /// When it begins.
    fn onset(&self) -> i64;
    /// When it ends.
    fn end(&self) -> i64;
}

/// Groups things in order of onset: what begins within so many ticks of the end of the one before, by
/// the meter of its onset, belongs to its passage. No passage is empty.
pub(super) fn passages<T: Span>(things: Vec<T>, within: impl Fn(i64) -> i64) -> Vec<Vec<T>> {
    let mut passages: Vec<Vec<T>> = Vec::new();
    for thing in things {
        let last = passages.last_mut();
        match last
            .filter(|it| it.last().is_some_and(|last| thing.onset() - last.end() < within(thing.onset())))
        {
            Some(passage) => passage.push(thing),
            None => passages.push(vec![thing]),
        }
    }
    passages
}

/// From when to when a passage lasts.
pub(super) fn span<T: Span>(passage: &[T]) -> Range<i64> {
    let first = passage.first().map_or(0, Span::onset);
    first..passage.iter().map(Span::end).max().unwrap_or(first)
}

/// How often something is in a passage, as the end of a clause: nothing if once.
pub(super) fn times(count: usize) -> String {
    match count {
        0 | 1 => String::new(),
        2 => ", twice in close succession".to_owned(),
        _ => format!(", {count} times in close succession"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    impl Span for (i64, i64) {
        fn onset(&self) -> i64 {
            self.0
        }

        fn end(&self) -> i64 {
            self.1
        }
    }

    #[test]
    fn passages_join_what_is_nearer_than_the_limit() {
        let found = passages(vec![(0, 1), (4, 6), (10, 11), (12, 13)], |_| 4);
        assert_eq!(found, [vec![(0, 1), (4, 6)], vec![(10, 11), (12, 13)]]);
        assert!(passages(Vec::<(i64, i64)>::new(), |_| 4).is_empty());
    }

    #[test]
    fn count_is_told_from_two_upwards() {
        let told = [1, 2, 3].map(times);
        assert_eq!(told, ["", ", twice in close succession", ", 3 times in close succession"]);
    }
}
