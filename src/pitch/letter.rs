//! The seven letters.

use crate::interval::natural_semitones;
use std::fmt;

/// A letter name, ordered upwards from C.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[allow(missing_docs, reason = "the letters are their own documentation")]
pub enum Letter {
    C,
    D,
    E,
    F,
    G,
    A,
    B,
}

impl Letter {
    /// All letters, upwards from C.
    pub const ALL: [Self; 7] = [Self::C, Self::D, Self::E, Self::F, Self::G, Self::A, Self::B];

    /// Steps above C, 0 to 6.
    pub const fn index(self) -> u8 {
        self as u8
    }

    /// The letter so many steps above C, octaves apart being the same letter.
    pub const fn from_index(steps: i32) -> Self {
        match steps.rem_euclid(7) {
            0 => Self::C,
            1 => Self::D,
            2 => Self::E,
            3 => Self::F,
            4 => Self::G,
            5 => Self::A,
            _ => Self::B,
        }
    }

    /// Semitones of the natural note above C, 0 to 11.
    pub const fn semitones(self) -> i32 {
        natural_semitones(self as i32)
    }

    /// The letter as a character.
    pub const fn as_char(self) -> char {
        ['C', 'D', 'E', 'F', 'G', 'A', 'B'][self as usize]
    }

    /// The letter of a character, upper or lower case.
    pub fn from_char(c: char) -> Option<Self> {
        Self::ALL.into_iter().find(|letter| letter.as_char() == c.to_ascii_uppercase())
    }
}

impl fmt::Display for Letter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.as_char().encode_utf8(&mut [0; 4]))
    }
}

#[cfg(test)]
mod tests {
    use super::Letter;

    #[test]
    fn all_letters_roundtrip_through_index_and_character() {
        for (index, letter) in (0..).zip(Letter::ALL) {
            assert_eq!(i32::from(letter.index()), index);
            assert_eq!(Letter::from_index(index - 7), letter);
            assert_eq!(Letter::from_char(letter.as_char()), Some(letter));
            assert_eq!(Letter::from_char(letter.as_char().to_ascii_lowercase()), Some(letter));
            assert_eq!(letter.to_string(), letter.as_char().to_string());
        }
    }

    #[test]
    fn natural_notes_lie_as_on_the_keyboard() {
        assert_eq!(Letter::ALL.map(Letter::semitones), [0, 2, 4, 5, 7, 9, 11]);
    }

    #[test]
    fn other_characters_are_no_letters() {
        for c in ['H', 'h', '♯', 'Ａ', 'ſ', '\0', '@'] {
            assert_eq!(Letter::from_char(c), None, "{c:?}");
        }
    }
}
