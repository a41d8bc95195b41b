//! The compass of a voice.

use crate::line::Line;
use crate::pitch::{Letter, Pitch, PitchClass, PitchError};
use std::fmt;
use std::str::FromStr;

/// The pitches a voice can reach, by sounding height, both ends included.
///
/// The lowest pitch always sounds below the highest: neither `G5-C4` nor `C4-C4` can exist. Its
/// text form is `C4-G5`.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Compass {
    lowest: Pitch,
    highest: Pitch,
}

/// What makes two pitches or a text no compass.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum CompassError {
    /// The lowest pitch does not sound below the highest.
    #[error("{lowest} to {highest} is not a compass: the lowest note must sound below the highest")]
    Order {
        /// The pitch given as lowest.
        lowest: Pitch,
        /// The pitch given as highest.
        highest: Pitch,
    },
    /// Not two pitches with a hyphen between them.
    #[error("{text:?} is not a compass: write the lowest and the highest note, as in C4-G5")]
    Syntax {
        /// What was given.
        text: String,
    },
    /// One of the two is no pitch.
    #[error("{text:?} is not a compass: {source}")]
    Pitch {
        /// What was given.
        text: String,
        /// What is wrong with the pitch.
        source: PitchError,
    },
}

impl CompassError {
    /// A stable name of the kind of error, for programs.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Order { .. } => "compass-order",
            Self::Syntax { .. } => "compass-syntax",
            Self::Pitch { .. } => "compass-pitch",
        }
    }
}

impl Compass {
    /// The compass between two pitches.
    ///
    /// # Errors
    /// If the first does not sound below the second.
    pub fn new(lowest: Pitch, highest: Pitch) -> Result<Self, CompassError> {
        if lowest.height() >= highest.height() {
            return Err(CompassError::Order { lowest, highest });
        }
        Ok(Self { lowest, highest })
    }

    /// The lowest pitch.
    pub const fn lowest(self) -> Pitch {
        self.lowest
    }

    /// The highest pitch.
    pub const fn highest(self) -> Pitch {
        self.highest
    }

    /// Whether a pitch sounds within it.
    pub fn contains(self, pitch: Pitch) -> bool {
        (self.lowest.height()..=self.highest.height()).contains(&pitch.height())
    }

    /// Whether every note of a line sounds within it; a silent line always does.
    pub fn holds(self, line: &Line) -> bool {
        [line.lowest(), line.highest()].into_iter().flatten().all(|pitch| self.contains(pitch))
    }

    /// Twice the sounding height of its middle, in semitones: exact for every compass.
    pub fn twice_middle(self) -> i32 {
        self.lowest.height() + self.highest.height()
    }

    /// The comfortable middle: from each end a quarter of its staff steps is left out, rounded
    /// down, and the natural notes there are the new ends. A compass too narrow for that is its
    /// own middle.
    ///
    /// The rule is this library's own; on choral parts it gives the registers that choirmasters
    /// name (common practice).
    ///
    /// ```
    /// use soggetto::voice::Compass;
    /// let soprano: Compass = "C4-G5".parse()?;
    /// assert_eq!(soprano.middle().to_string(), "E4-E5");
    /// # Ok::<(), soggetto::voice::CompassError>(())
    /// ```
    #[must_use]
    pub fn middle(self) -> Self {
        let (low, high) = (self.lowest.staff_step(), self.highest.staff_step());
        let quarter = (high - low) / 4;
        if quarter < 1 {
            return self;
        }
        match (natural(low + quarter), natural(high - quarter)) {
            (Ok(low), Ok(high)) if self.contains(low) && self.contains(high) => {
                Self::new(low, high).unwrap_or(self)
            }
            _ => self,
        }
    }
}

/// The natural note so many staff steps above the C of octave 0.
fn natural(step: i32) -> Result<Pitch, PitchError> {
    Pitch::new(PitchClass::new(Letter::from_index(step), 0)?, step.div_euclid(7))
}

impl fmt::Display for Compass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{}-{}", self.lowest, self.highest))
    }
}

impl fmt::Debug for Compass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for Compass {
    type Err = CompassError;
    /// The hyphen between the pitches is the first that follows a digit: in `C-1-G5` the other
    /// belongs to the octave.
    fn from_str(text: &str) -> Result<Self, CompassError> {
        let syntax = || CompassError::Syntax { text: text.to_owned() };
        let pairs = text.as_bytes().windows(2);
        let hyphen = pairs.into_iter().position(|pair| pair[0].is_ascii_digit() && pair[1] == b'-');
        let (lowest, highest) = text.split_at_checked(hyphen.ok_or_else(syntax)? + 1).ok_or_else(syntax)?;
        let pitch = |part: &str| {
            part.trim().parse().map_err(|source| CompassError::Pitch { text: text.to_owned(), source })
        };
        Self::new(pitch(lowest)?, pitch(&highest[1..])?)
    }
}

crate::text_serde::serde_as_text!(Compass);

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use crate::line::strategy::any_line;
    use proptest::prelude::*;

    /// Any compass.
    pub(crate) fn any_compass() -> impl Strategy<Value = Compass> {
        let step = -7..=69_i32;
        (step.clone(), step, -1..=1_i32).prop_filter_map("two pitches", |(a, b, alteration)| {
            let class = |step| PitchClass::new(Letter::from_index(step), alteration);
            let pitch = |step: i32| Pitch::new(class(step).ok()?, step.div_euclid(7)).ok();
            Compass::new(pitch(a.min(b))?, pitch(a.max(b))?).ok()
        })
    }

    fn compass(text: &str) -> Compass {
        text.parse().unwrap()
    }

    proptest! {
        #[test]
        fn prop_text_gives_the_compass_back(compass in any_compass()) {
            prop_assert_eq!(compass.to_string().parse(), Ok(compass));
        }

        #[test]
        fn prop_no_text_panics(text in any::<String>(), near in "[A-H]?[b#4-]{0,4}[A-H]?[0-9-]{0,4}") {
            for text in [text, near] {
                if let Ok(compass) = text.parse::<Compass>() {
                    prop_assert_eq!(compass.to_string().parse(), Ok(compass));
                }
            }
        }

        #[test]
        fn prop_it_holds_a_line_that_it_holds_note_by_note(compass in any_compass(), line in any_line()) {
            let each = line.notes().iter().all(|note| compass.contains(note.pitch()));
            prop_assert_eq!(compass.holds(&line), each);
        }

        #[test]
        fn prop_middle_lies_inside(compass in any_compass()) {
            let middle = compass.middle();
            prop_assert!(compass.contains(middle.lowest()) && compass.contains(middle.highest()));
        }
    }

    #[test]
    fn hyphens_of_negative_octaves_are_told_apart() {
        for text in ["C4-G5", "C-1-G5", "C-1-B-1", "Bb1-F#4"] {
            assert_eq!(compass(text).to_string(), text);
        }
    }

    #[test]
    fn ends_belong_to_it_by_sound() {
        let alto = compass("G3-C5");
        for (pitch, inside) in [("G3", true), ("F##3", true), ("F#3", false), ("B#4", true), ("C#5", false)] {
            assert_eq!(alto.contains(pitch.parse().unwrap()), inside, "{pitch}");
        }
        assert_eq!(alto.twice_middle(), 55 + 72);
    }

    /// The middles of the choral compasses by the rule of `middle`, worked out by hand; a compass
    /// of less than four steps is its own.
    #[test]
    fn middle_leaves_out_a_quarter_at_each_end() {
        let rows = [
            ("C4-G5", "E4-E5"),
            ("G3-C5", "B3-A4"),
            ("C3-G4", "E3-E4"),
            ("E2-C4", "A2-G3"),
            ("C4-E4", "C4-E4"),
        ];
        for (whole, middle) in rows {
            assert_eq!(compass(whole).middle(), compass(middle), "{whole}");
        }
    }

    #[test]
    fn errors_say_what_is_wrong_and_how_to_write_it() {
        let rows = [
            (
                "G5-C4",
                "compass-order",
                "G5 to C4 is not a compass: the lowest note must sound below the highest",
            ),
            (
                "B#3-C4",
                "compass-order",
                "B#3 to C4 is not a compass: the lowest note must sound below the highest",
            ),
            (
                "C4",
                "compass-syntax",
                "\"C4\" is not a compass: write the lowest and the highest note, as in C4-G5",
            ),
            (
                "",
                "compass-syntax",
                "\"\" is not a compass: write the lowest and the highest note, as in C4-G5",
            ),
            (
                "C4-H5",
                "compass-pitch",
                "\"C4-H5\" is not a compass: \"H5\" is not a pitch: letters run from A to G (write B4 or Bb4)",
            ),
            (
                "C4-",
                "compass-pitch",
                "\"C4-\" is not a compass: \"\" is not a pitch: letters run from A to G (write B4 or Bb4)",
            ),
        ];
        for (text, code, message) in rows {
            let error = text.parse::<Compass>().unwrap_err();
            assert_eq!((error.code(), error.to_string().as_str()), (code, message));
        }
    }
}
