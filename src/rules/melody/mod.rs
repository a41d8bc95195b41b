//! How one voice goes: its intervals, its leaps, its leading notes.

mod augmented_interval;
mod hanging_leading_note;
mod idle_repetition;
mod restated;
mod stride;
mod unrecovered_leap;
mod wide_leap;

pub use augmented_interval::AugmentedInterval;
pub use hanging_leading_note::HangingLeadingNote;
pub use idle_repetition::{IdleRepetition, Recited};
pub use unrecovered_leap::{Further, UnrecoveredLeap};
pub use wide_leap::{Leaps, WideLeap};
