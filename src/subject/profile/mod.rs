//! The profile of a subject: what a teacher would say of it, as data.
//!
//! Facts first ([`Profile`]), judgement second ([`Profile::remarks`]): a subject of nine bars is a
//! subject, and a remark. Counts of the Forty-eight, given beside some remarks, are of the subjects of
//! the Well-Tempered Clavier, computed from one encoding.

mod figure;
mod modulation;
mod remark;
mod shape;

pub use figure::Sequence;
pub use modulation::{Modulation, ModulationKind};
pub use remark::Remark;
pub use shape::{Climax, Ending, Leap};

use super::Subject;
use crate::ensemble::Ensemble;
use crate::interval::Interval;
use crate::pitch::Pitch;
use crate::scale::Degree;
use crate::time::Time;
use crate::voice::{Compass, Voice};

/// The most voices that a profile recommends a subject for: three to five are usual (common practice).
pub const MAX_VOICES_ADVISED: u8 = 5;

/// The facts of a subject.
///
/// ```
/// use soggetto::subject::{ModulationKind, Subject};
/// // Prout, *Fugue*, §57 (b): it goes to the dominant, whose leading note C# sounds.
/// let subject = Subject::from_text("G major", "4/4", "0", "G4:1 B4 E5 C#5 D5:1/2")?;
/// let profile = subject.profile();
/// assert_eq!(profile.compass().to_string(), "M6");
/// let modulation = profile.modulation().ok_or("it modulates")?;
/// assert_eq!((modulation.kind, modulation.from), (ModulationKind::Expressed, 1));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Profile {
    bars: Time,
    beats: Time,
    lowest: Pitch,
    highest: Pitch,
    first: Degree,
    ending: Ending,
    modulation: Option<Modulation>,
    head: usize,
    notes: usize,
    sequences: Vec<Sequence>,
    leaps: Vec<Leap>,
    durations: Vec<Time>,
    climax: Climax,
}

impl Profile {
    pub(super) fn of(subject: &Subject) -> Self {
        let (key, meter, line) = (subject.key(), subject.meter(), subject.line());
        let notes = line.notes();
        let count = |unit: Time| {
            let whole = line.length().scaled(unit.denominator(), unit.numerator());
            whole.unwrap_or(Time::ZERO)
        };
        let degree = |pitch: Pitch| key.degree(pitch.class());
        let (lowest, highest) = shape::extremes(notes);
        Self {
            bars: count(meter.bar()),
            beats: count(meter.unit()),
            lowest,
            highest,
            first: notes.first().map_or(Degree::TONIC, |note| degree(note.pitch())),
            ending: Ending::of(subject),
            modulation: modulation::find(key, notes),
            head: shape::head(notes),
            notes: notes.len(),
            sequences: figure::sequences(notes),
            leaps: shape::leaps(notes),
            durations: shape::durations(notes),
            climax: Climax::of(notes),
        }
    }

    /// The length in bars of the meter, as an exact fraction: 5/2 for two bars and a half.
    pub const fn bars(&self) -> Time {
        self.bars
    }

    /// The length in beats of the lower figure of the meter, as an exact fraction.
    pub const fn beats(&self) -> Time {
        self.beats
    }

    /// The lowest pitch, by sounding height.
    pub const fn lowest(&self) -> Pitch {
        self.lowest
    }

    /// The highest pitch, by sounding height.
    pub const fn highest(&self) -> Pitch {
        self.highest
    }

    /// The interval from the lowest pitch to the highest.
    pub fn compass(&self) -> Interval {
        self.highest - self.lowest
    }

    /// The degree of the first note.
    pub const fn first(&self) -> Degree {
        self.first
    }

    /// The last note: its degree, and where in the bar it stands.
    pub const fn ending(&self) -> Ending {
        self.ending
    }

    /// How it goes to the dominant, if it does.
    pub const fn modulation(&self) -> Option<Modulation> {
        self.modulation
    }

    /// How many notes its head has: those up to the first breath, a rest or a note longer than the
    /// one after it. All of them if it runs on without one.
    pub const fn head(&self) -> usize {
        self.head
    }

    /// How many notes its tail has: those after the head.
    pub const fn tail(&self) -> usize {
        self.notes - self.head
    }

    /// The figures that are repeated at once at another pitch.
    pub fn sequences(&self) -> &[Sequence] {
        &self.sequences
    }

    /// Its leaps, a fourth or wider.
    pub fn leaps(&self) -> &[Leap] {
        &self.leaps
    }

    /// The durations that occur, shortest first: how varied the rhythm is.
    pub fn durations(&self) -> &[Time] {
        &self.durations
    }

    /// Its highest note, and how often it is reached.
    pub const fn climax(&self) -> Climax {
        self.climax
    }

    /// For how many voices it suits at most, 2 to [`MAX_VOICES_ADVISED`].
    ///
    /// The more voices, the shorter the subject should be (Prout, *Fugue*, §§46, 54). The scale is our
    /// own: five for two bars, four for four, three for eight, one less if the compass is beyond an octave.
    pub fn voices_advised(&self) -> u8 {
        let by_length = match self.bars {
            bars if bars <= whole(2) => MAX_VOICES_ADVISED,
            bars if bars <= whole(4) => 4,
            bars if bars <= whole(8) => 3,
            _ => 2,
        };
        let wide = self.compass().semitones() > Interval::OCTAVE.semitones();
        by_length.saturating_sub(u8::from(wide)).max(2)
    }

    /// The shifts by octaves, negative downwards, that put all its notes into a compass.
    pub fn octaves_in(&self, compass: Compass) -> Vec<i32> {
        let (low, high) = (self.lowest.height(), self.highest.height());
        let fits = |octave: &i32| {
            low + 12 * octave >= compass.lowest().height() && high + 12 * octave <= compass.highest().height()
        };
        (-10..=10).filter(fits).collect()
    }

    /// The voices of an ensemble that can perform it in some octave; a voice without a known compass can.
    pub fn singers<'a>(&self, ensemble: &'a Ensemble) -> Vec<&'a Voice> {
        let can = |voice: &&Voice| voice.compass().is_none_or(|compass| !self.octaves_in(compass).is_empty());
        ensemble.voices().iter().filter(can).collect()
    }

    /// What a teacher would remark on, in the order: length, compass, beginning, end, key, melody, rhythm.
    pub fn remarks(&self) -> Vec<Remark> {
        remark::all(self)
    }
}

/// A whole number, as bars and beats are counted.
fn whole(count: i64) -> Time {
    Time::new(count, 1).unwrap_or(Time::ZERO)
}

#[cfg(test)]
mod tests;
