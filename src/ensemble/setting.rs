//! The ensembles of the trade, with their usual subsets.

use crate::voice::name;
use crate::voice::seat::{Seat, brass, choir, keyboard, organ, plain, strings, woodwind};
use std::fmt;

/// A named ensemble: what it has for each number of voices.
#[derive(PartialEq, Eq)]
pub(super) struct Setting {
    pub(super) name: &'static str,
    /// The voices for two, three, four ... voices, each from the top part downwards.
    pub(super) seats: &'static [&'static [Seat]],
}

/// The fewest voices of a named ensemble.
pub(super) const FEWEST: usize = 2;

impl Setting {
    pub(super) fn named(name: &str) -> Option<&'static Self> {
        let name = name::words(name).join("-");
        SETTINGS.iter().find(|setting| setting.name == name)
    }

    /// The most voices it has.
    pub(super) const fn most(&self) -> usize {
        self.seats.len() + FEWEST - 1
    }

    /// The voices for so many.
    pub(super) fn seats(&self, count: usize) -> Option<&'static [Seat]> {
        self.seats.get(count.checked_sub(FEWEST)?).copied()
    }
}

impl fmt::Debug for Setting {
    /// The name alone: the table is long, and the same for all.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name)
    }
}

/// All named ensembles. Where several subsets are in use, the reason of the choice stands beside it.
pub(super) static SETTINGS: [Setting; 8] = [
    Setting {
        name: "plain",
        seats: &[
            &[plain::SOPRANO, plain::BASS],
            &[plain::SOPRANO, plain::ALTO, plain::BASS],
            &[plain::SOPRANO, plain::ALTO, plain::TENOR, plain::BASS],
            &[plain::SOPRANO, plain::MEZZO, plain::ALTO, plain::TENOR, plain::BASS],
        ],
    },
    Setting {
        name: "choir",
        seats: &[
            &[choir::SOPRANO, choir::BASS],
            &[choir::SOPRANO, choir::ALTO, choir::BASS],
            &[choir::SOPRANO, choir::ALTO, choir::TENOR, choir::BASS],
        ],
    },
    // Three are the string trio; two are the outer voices, which leave each other the most room.
    Setting {
        name: "string-quartet",
        seats: &[
            &[strings::VIOLIN, strings::CELLO],
            &[strings::VIOLIN, strings::VIOLA, strings::CELLO],
            &[strings::VIOLIN, strings::VIOLIN, strings::VIOLA, strings::CELLO],
        ],
    },
    // Neighbours lie a fourth or a fifth apart, as subject and answer do; trios without the bass are
    // the common ones.
    Setting {
        name: "recorder-consort",
        seats: &[
            &[woodwind::SOPRANO_RECORDER, woodwind::ALTO_RECORDER],
            &[woodwind::SOPRANO_RECORDER, woodwind::ALTO_RECORDER, woodwind::TENOR_RECORDER],
            &[
                woodwind::SOPRANO_RECORDER,
                woodwind::ALTO_RECORDER,
                woodwind::TENOR_RECORDER,
                woodwind::BASS_RECORDER,
            ],
        ],
    },
    // Three are the reed trio.
    Setting {
        name: "woodwind-quartet",
        seats: &[
            &[woodwind::FLUTE, woodwind::BASSOON],
            &[woodwind::OBOE, woodwind::CLARINET, woodwind::BASSOON],
            &[woodwind::FLUTE, woodwind::OBOE, woodwind::CLARINET, woodwind::BASSOON],
        ],
    },
    // Three are the brass trio.
    Setting {
        name: "brass-quartet",
        seats: &[
            &[brass::TRUMPET, brass::TROMBONE],
            &[brass::TRUMPET, brass::HORN, brass::TROMBONE],
            &[brass::TRUMPET, brass::TRUMPET, brass::HORN, brass::TROMBONE],
        ],
    },
    // The upper half of the voices, rounded up, is for the right hand.
    Setting {
        name: "keyboard",
        seats: &[
            &[keyboard::SOPRANO, keyboard::BASS],
            &[keyboard::SOPRANO, keyboard::ALTO, keyboard::BASS],
            &[keyboard::SOPRANO, keyboard::ALTO, keyboard::TENOR, keyboard::BASS],
            &[keyboard::SOPRANO, keyboard::MEZZO, keyboard::ALTO, keyboard::TENOR, keyboard::BASS],
        ],
    },
    Setting {
        name: "organ",
        seats: &[
            &[organ::SOPRANO, organ::PEDAL],
            &[organ::SOPRANO, organ::ALTO, organ::PEDAL],
            &[organ::SOPRANO, organ::ALTO, organ::TENOR, organ::PEDAL],
            &[organ::SOPRANO, organ::MEZZO, organ::ALTO, organ::TENOR, organ::PEDAL],
        ],
    },
];
