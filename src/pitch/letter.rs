//! The seven letters.

/// A letter name.
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
        Self::ALL[steps.rem_euclid(7) as usize]
    }

    /// Semitones of the natural note above C, 0 to 11.
    pub const fn semitones(self) -> i32 {
        [0, 2, 4, 5, 7, 9, 11][self as usize]
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
