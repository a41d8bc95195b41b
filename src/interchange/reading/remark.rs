//! What a reader dropped or normalised.

use crate::key::Key;
use crate::meter::Meter;
use crate::time::Time;
use std::fmt;

/// Something of a file that the score does not show as it stood there. Bars are those of the score.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum ReadRemark {
    /// Grace notes are left out.
    GraceNotes {
        /// The part.
        part: String,
        /// How many.
        count: usize,
    },
    /// Cue notes are left out.
    CueNotes {
        /// The part.
        part: String,
        /// How many.
        count: usize,
    },
    /// Notes without pitch are left out.
    Unpitched {
        /// The part.
        part: String,
        /// How many.
        count: usize,
    },
    /// Repeats are not played out.
    Repeats {
        /// The first bar that is repeated or repeats.
        bar: i64,
    },
    /// Durations had been rounded; the note values count.
    RoundedDurations {
        /// The part.
        part: String,
        /// The first bar concerned.
        bar: i64,
        /// How many notes and rests.
        count: usize,
    },
    /// Durations contradict the note values; the durations count.
    UnlikeDurations {
        /// The part.
        part: String,
        /// The first bar concerned.
        bar: i64,
        /// How many notes and rests.
        count: usize,
    },
    /// Bars are counted from the meter, not as the file numbers them.
    BarNumbers {
        /// The first bar with another number.
        bar: i64,
        /// Its number in the file.
        written: String,
    },
    /// A first bar that is short is a pickup, though the file does not say so.
    UnmarkedPickup {
        /// Its length.
        length: Time,
    },
    /// A pickup had been filled up with rests, which are taken away.
    PaddedPickup {
        /// The length of the rests.
        rests: Time,
    },
    /// A bar, or several on end, is longer than its meter, or shorter in all parts: it is read as it
    /// stands, in a meter of its own.
    StrayBars {
        /// The first bar.
        bar: i64,
        /// How many there are.
        count: i64,
        /// How long each is.
        length: Time,
        /// The meter in which it stands.
        meter: Meter,
    },
    /// The meter changes within a bar, at a time at which no bar can end: it stands from the next bar on.
    LateMeter {
        /// The bar.
        bar: i64,
        /// The new meter.
        to: Meter,
    },
    /// A bar was short in all parts, and is filled up with a rest.
    ShortBar {
        /// The bar.
        bar: i64,
        /// The length of the rest.
        by: Time,
    },
    /// No meter was given: this one fits the bars.
    AssumedMeter {
        /// The meter.
        meter: Meter,
    },
    /// The signature changes: the first key stands.
    KeyChange {
        /// The first bar of the new signature.
        bar: i64,
        /// Sharps, or flats if negative.
        fifths: i32,
    },
    /// The file does not say the key, or not its mode: the last bass note decides.
    AssumedKey {
        /// The key.
        key: Key,
    },
    /// The transposition of a part is incomplete: the usual one is taken.
    AssumedTransposition {
        /// The part.
        part: String,
        /// The interval from written to sounding pitch.
        semitones: i32,
    },
    /// The part is marked as transposing, but its signature is that of the sounding key: it is
    /// taken to be written at sounding pitch.
    ConcertPitch {
        /// The part.
        part: String,
    },
    /// The part is written in an enharmonic key: its notes are spelled in the key of the score.
    EnharmonicPart {
        /// The part.
        part: String,
    },
    /// A part with chords or several voices is read as several voices.
    SplitPart {
        /// The part.
        part: String,
        /// How many voices.
        voices: usize,
    },
    /// Chords come and go in a voice: one note of each is kept.
    LeftOut {
        /// The voice.
        voice: String,
        /// The bar of the first note left out.
        bar: i64,
        /// How many notes are left out.
        count: usize,
    },
    /// Notes of a voice overlap: the earlier one ends where the later one begins.
    CutNotes {
        /// The voice.
        voice: String,
        /// The bar of the first end.
        bar: i64,
        /// How many notes are cut.
        count: usize,
    },
    /// A voice steps back before the beginning of a bar: it is read from the beginning.
    EarlyBackup {
        /// The part.
        part: String,
        /// The bar.
        bar: i64,
    },
    /// A rest is longer than the bar has room for, and is cut.
    LongRest {
        /// The part.
        part: String,
        /// The bar.
        bar: i64,
    },
    /// Onsets and ends lie beside the grid by a little, and are moved onto it.
    Quantized {
        /// The part.
        part: String,
        /// The bar of the first.
        bar: i64,
        /// How many notes.
        count: usize,
    },
    /// The format has no spelling: notes are spelled in the key.
    Spelled {
        /// The key.
        key: Key,
    },
    /// Music of percussion is left out.
    Percussion {
        /// How many notes.
        count: usize,
    },
}

#[cfg(any(feature = "musicxml", feature = "midi"))]
impl ReadRemark {
    /// Adds a bar that is longer or shorter than its meter to those told of already.
    pub(in super::super) fn add_stray_bar(
        remarks: &mut Vec<Self>,
        number: i64,
        lasting: Time,
        standing: Meter,
    ) {
        if let Some(Self::StrayBars { bar, count, length, meter }) = remarks.last_mut()
            && (*length, *meter, *bar + *count) == (lasting, standing, number)
        {
            *count += 1;
            return;
        }
        remarks.push(Self::StrayBars { bar: number, count: 1, length: lasting, meter: standing });
    }
}

impl fmt::Display for ReadRemark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::GraceNotes { part, count } => {
                write!(f, "{part}: {} left out", counted(*count, "grace note"))
            }
            Self::CueNotes { part, count } => write!(f, "{part}: {} left out", counted(*count, "cue note")),
            Self::Unpitched { part, count } => {
                write!(f, "{part}: {} without pitch left out", counted(*count, "note"))
            }
            Self::Repeats { bar } => write!(f, "bar {bar}: repeats are not played out"),
            Self::RoundedDurations { part, bar, count } => write!(
                f,
                "{part}, from bar {bar}: {} rounded in the file, read by note value",
                counted(*count, "duration")
            ),
            Self::UnlikeDurations { part, bar, count } => write!(
                f,
                "{part}, from bar {bar}: {} unlike the note value, read by duration",
                counted(*count, "note")
            ),
            Self::BarNumbers { bar, written } => {
                write!(f, "bar {bar} is numbered {written:?} in the file: bars are counted from the meter")
            }
            Self::UnmarkedPickup { length } => {
                write!(f, "the first bar of {length} is read as a pickup, though it is not marked as one")
            }
            Self::PaddedPickup { rests } => {
                write!(f, "the pickup was filled up with rests of {rests}, which are taken away")
            }
            Self::StrayBars { bar, count, length, meter } => {
                let allowed = format!("{length} where the meter {meter} allows {}", meter.bar());
                match count {
                    1 => write!(f, "bar {bar} lasts {allowed}: read as it stands"),
                    _ => write!(f, "bars {bar} to {} last {allowed}: read as they stand", bar + count - 1),
                }
            }
            Self::LateMeter { bar, to } => {
                write!(f, "the meter changes to {to} within bar {bar}: it stands from the next bar on")
            }
            Self::ShortBar { bar, by } => write!(f, "bar {bar} is short by {by}: filled up with a rest"),
            Self::AssumedMeter { meter } => write!(f, "the file has no meter: {meter} fits its bars"),
            Self::KeyChange { bar, fifths } => {
                write!(f, "the signature changes in bar {bar} (to fifths {fifths}): the first key stands")
            }
            Self::AssumedKey { key } => {
                write!(f, "the file does not say the key in full: {key} fits signature and last bass note")
            }
            Self::AssumedTransposition { part, semitones } => write!(
                f,
                "{part}: the transposition is incomplete, taken to be {semitones} semitones from written to sounding pitch"
            ),
            Self::ConcertPitch { part } => {
                write!(f, "{part}: marked as transposing but written in the sounding key, read as it stands")
            }
            Self::EnharmonicPart { part } => {
                write!(f, "{part}: written in an enharmonic key, spelled as the other parts")
            }
            Self::SplitPart { part, voices } => write!(f, "{part}: read as {voices} voices"),
            Self::LeftOut { voice, bar, count } => write!(
                f,
                "{voice}, from bar {bar}: {} left out beside its line",
                counted(*count, "note of chords")
            ),
            Self::CutNotes { voice, bar, count } => {
                write!(f, "{voice}, from bar {bar}: {} cut where the next begins", counted(*count, "note"))
            }
            Self::EarlyBackup { part, bar } => {
                write!(f, "{part}, bar {bar}: a step back beyond the bar line is cut there")
            }
            Self::LongRest { part, bar } => {
                write!(f, "{part}, bar {bar}: a rest beyond the bar line is cut there")
            }
            Self::Quantized { part, bar, count } => {
                write!(f, "{part}, from bar {bar}: {} moved onto the grid", counted(*count, "note"))
            }
            Self::Spelled { key } => write!(f, "the format has no spelling: notes are spelled in {key}"),
            Self::Percussion { count } => {
                write!(f, "{} of percussion left out", counted(*count, "note"))
            }
        }
    }
}

fn counted(count: usize, what: &str) -> String {
    let (noun, rest) =
        what.split_once(" of ").map_or((what, String::new()), |(noun, of)| (noun, format!(" of {of}")));
    format!("{count} {noun}{}{rest}", if count == 1 { "" } else { "s" })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The remarks that no score of `shared/scores` quotes.
    #[test]
    fn remarks_read_as_sentences() {
        let part = || "Alto".to_owned();
        let rows = [
            (ReadRemark::Unpitched { part: part(), count: 2 }, "Alto: 2 notes without pitch left out"),
            (ReadRemark::Repeats { bar: 4 }, "bar 4: repeats are not played out"),
            (
                ReadRemark::UnlikeDurations { part: part(), bar: 4, count: 1 },
                "Alto, from bar 4: 1 note unlike the note value, read by duration",
            ),
            (
                ReadRemark::LateMeter { bar: 4, to: "3/4".parse().unwrap() },
                "the meter changes to 3/4 within bar 4: it stands from the next bar on",
            ),
            (ReadRemark::ShortBar { bar: 4, by: Time::WHOLE }, "bar 4 is short by 1: filled up with a rest"),
            (
                ReadRemark::EarlyBackup { part: part(), bar: 4 },
                "Alto, bar 4: a step back beyond the bar line is cut there",
            ),
            (
                ReadRemark::LongRest { part: part(), bar: 4 },
                "Alto, bar 4: a rest beyond the bar line is cut there",
            ),
            (
                ReadRemark::Quantized { part: part(), bar: 4, count: 3 },
                "Alto, from bar 4: 3 notes moved onto the grid",
            ),
            (
                ReadRemark::Spelled { key: "A minor".parse().unwrap() },
                "the format has no spelling: notes are spelled in A minor",
            ),
            (
                ReadRemark::LeftOut { voice: part(), bar: 4, count: 2 },
                "Alto, from bar 4: 2 notes of chords left out beside its line",
            ),
            (
                ReadRemark::CutNotes { voice: part(), bar: 4, count: 1 },
                "Alto, from bar 4: 1 note cut where the next begins",
            ),
            (ReadRemark::Percussion { count: 8 }, "8 notes of percussion left out"),
        ];
        for (remark, text) in rows {
            assert_eq!(remark.to_string(), text);
        }
    }
}
