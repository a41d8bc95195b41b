//! Note values: what a single note head with its dots can last.

/// The names of the note values from eight whole notes down to 1/1024, as MusicXML spells them.
const NAMES: [&str; 14] = [
    "maxima", "long", "breve", "whole", "half", "quarter", "eighth", "16th", "32nd", "64th", "128th",
    "256th", "512th", "1024th",
];
/// The place of the whole note in [`NAMES`].
const WHOLE: usize = 3;
/// The place of the quarter note, the shortest without a flag.
const QUARTER: usize = WHOLE + 2;
/// The most dots a note may carry: a third one is hardly ever read right.
const MAX_DOTS: u8 = 2;

/// A note value with its dots.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in super::super) struct NoteValue {
    index: usize,
    dots: u8,
}

impl NoteValue {
    /// The value of so many ticks, if one note with at most two dots lasts so long.
    pub(super) fn of(ticks: i64, per_whole: i64) -> Option<Self> {
        (0..NAMES.len()).find_map(|index| {
            (0..=MAX_DOTS).map(|dots| Self { index, dots }).find(|value| value.lasts(ticks, per_whole))
        })
    }

    /// The longest undotted value that fits into so many ticks.
    pub(super) fn longest_in(ticks: i64, per_whole: i64) -> Option<(Self, i64)> {
        (0..NAMES.len()).find_map(|index| {
            let value = Self { index, dots: 0 };
            let length = value.exact_ticks(per_whole)?;
            (length <= ticks).then_some((value, length))
        })
    }

    /// Whether it lasts so many ticks: `ticks / per_whole = (2 - 2^-dots) * 2^(WHOLE - index)`.
    fn lasts(self, ticks: i64, per_whole: i64) -> bool {
        let dotted = (1_i128 << (self.dots + 1)) - 1;
        (i128::from(ticks) << (usize::from(self.dots) + self.index))
            == (i128::from(per_whole) * dotted) << WHOLE
    }

    fn exact_ticks(self, per_whole: i64) -> Option<i64> {
        let eight = per_whole << WHOLE;
        let divisor = 1 << self.index;
        (eight % divisor == 0).then_some(eight / divisor)
    }

    /// The name in MusicXML.
    pub(in super::super) fn name(self) -> &'static str {
        NAMES[self.index]
    }

    /// The number of flags, or of beams in their stead.
    pub(super) const fn flags(self) -> usize {
        self.index.saturating_sub(QUARTER)
    }

    /// The number of dots.
    pub(in super::super) const fn dots(self) -> u8 {
        self.dots
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(ticks: i64) -> Option<String> {
        NoteValue::of(ticks, 1024).map(|value| format!("{}{}", value.name(), ".".repeat(value.dots().into())))
    }

    #[test]
    fn plain_dotted_and_double_dotted_values_have_names() {
        assert_eq!(text(1024).as_deref(), Some("whole"));
        assert_eq!(text(384).as_deref(), Some("quarter."));
        assert_eq!(text(448).as_deref(), Some("quarter.."));
        assert_eq!(text(8 * 1024).as_deref(), Some("maxima"));
        assert_eq!(text(1).as_deref(), Some("1024th"));
    }

    #[test]
    fn five_eighths_and_triple_dots_have_none() {
        assert_eq!(text(640), None);
        assert_eq!(text(480), None);
        assert_eq!(NoteValue::of(1, 12), None);
    }

    #[test]
    fn longest_value_in_five_eighths_is_the_half() {
        let (value, length) = NoteValue::longest_in(640, 1024).unwrap();
        assert_eq!((value.name(), length), ("half", 512));
    }
}
