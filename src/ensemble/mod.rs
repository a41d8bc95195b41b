//! Ensembles: voices, from the top part to the bass.
//!
//! Eight ensembles have names ([`Ensemble::NAMES`]); any other is made of [`Voice`]s with
//! [`Ensemble::new`]. A named one has a usual subset for each smaller number of voices.
//!
//! ```
//! use soggetto::ensemble::Ensemble;
//! let trio = Ensemble::named("string-quartet")?.with_voices(3)?;
//! let names: Vec<&str> = trio.voices().iter().map(|voice| voice.name()).collect();
//! assert_eq!(names, ["violin", "viola", "cello"]);
//! # Ok::<(), soggetto::ensemble::EnsembleError>(())
//! ```

mod error;
mod setting;

pub use error::EnsembleError;

use crate::voice::seat::Seat;
use crate::voice::{Voice, name};
use setting::{FEWEST, Setting};

/// The most voices of an ensemble.
pub const MAX_VOICES: usize = 16;

/// How many voices a named ensemble has when nobody asks for another number.
const USUAL: usize = 4;

/// A named group of voices, from the top part downwards.
///
/// Every ensemble guarantees one to [`MAX_VOICES`] voices; voices of one name are numbered from
/// the top, `violin 1` and `violin 2`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ensemble {
    name: String,
    voices: Vec<Voice>,
    /// Where a named one finds its subsets.
    setting: Option<&'static Setting>,
}

impl Ensemble {
    /// The names that [`Ensemble::named`] knows.
    pub const NAMES: [&'static str; 8] = [
        "plain",
        "choir",
        "string-quartet",
        "recorder-consort",
        "woodwind-quartet",
        "brass-quartet",
        "keyboard",
        "organ",
    ];

    /// The ensemble of a name in four voices; case, spaces and hyphens do not count (`String Quartet`).
    ///
    /// | name | voices | compasses (sounding) |
    /// |---|---|---|
    /// | `plain` | 2 to 5: soprano, mezzo-soprano, alto, tenor, bass | as wide as voices are at their widest, in the register of four-part exercises |
    /// | `choir` | 2 to 4: soprano, alto, tenor, bass | a few notes wider: the reach of a trained choir |
    /// | `string-quartet` | 2 to 4: two violins, viola, cello | practical |
    /// | `recorder-consort` | 2 to 4: soprano, alto, tenor, bass recorder | complete |
    /// | `woodwind-quartet` | 2 to 4: flute, oboe, clarinet in B flat, bassoon | practical |
    /// | `brass-quartet` | 2 to 4: two trumpets in B flat, horn in F, trombone | practical |
    /// | `keyboard` | 2 to 5 under two hands | a harpsichord of four octaves |
    /// | `organ` | 2 to 5, the last for the pedal | manual C2-C6, pedal C2-D4 |
    ///
    /// All compasses are common practice, those of the organ from memory, and those of `plain` the ranges
    /// that the general-purpose notation library Abjad gives for voices; sounds are programs of the
    /// General MIDI standard, from memory. The voices of a keyboard may use every key, and their
    /// [`Voice::tessitura`] is that of the choral part of their name.
    ///
    /// # Errors
    /// If there is no ensemble of that name.
    pub fn named(name: &str) -> Result<Self, EnsembleError> {
        let setting = Setting::named(name).ok_or_else(|| EnsembleError::Name { name: name.to_owned() })?;
        Self::seated(setting, USUAL)
    }

    /// An ensemble of one's own, from the top part downwards.
    ///
    /// # Errors
    /// If there are no voices or more than [`MAX_VOICES`].
    pub fn new(name: impl Into<String>, voices: Vec<Voice>) -> Result<Self, EnsembleError> {
        if voices.is_empty() || voices.len() > MAX_VOICES {
            return Err(EnsembleError::Size { count: voices.len() });
        }
        Ok(Self { name: name.into(), voices: numbered(voices), setting: None })
    }

    /// The usual subset (or extension) with so many voices, from the top part downwards: a choir
    /// of three is soprano, alto and bass.
    ///
    /// A choir or keyboard in three parts leaves out the tenor; strings, woodwind and brass become
    /// the trios of their repertory, recorders keep the upper parts; in two parts the outer voices
    /// remain, of recorders the upper two (common practice). An ensemble of one's own keeps its
    /// upper voices and the lowest.
    ///
    /// # Errors
    /// If the ensemble has no such subset.
    pub fn with_voices(&self, count: usize) -> Result<Self, EnsembleError> {
        match self.setting {
            Some(setting) => Self::seated(setting, count),
            None => self.outer(count),
        }
    }

    fn seated(setting: &'static Setting, count: usize) -> Result<Self, EnsembleError> {
        let seats = setting.seats(count).ok_or(EnsembleError::Voices {
            name: setting.name.to_owned(),
            count,
            fewest: FEWEST,
            most: setting.most(),
        })?;
        let ensemble = Self::new(setting.name, seats.iter().map(Seat::voice).collect())?;
        Ok(Self { setting: Some(setting), ..ensemble })
    }

    fn outer(&self, count: usize) -> Result<Self, EnsembleError> {
        let (name, most) = (self.name.clone(), self.voices.len());
        match self.voices.split_last() {
            Some((bass, upper)) if (1..=most).contains(&count) => {
                Self::new(name, upper.iter().take(count - 1).chain([bass]).cloned().collect())
            }
            _ => Err(EnsembleError::Voices { name, count, fewest: 1, most }),
        }
    }

    /// The name, as in `string-quartet`.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The voices, from the top part downwards.
    pub fn voices(&self) -> &[Voice] {
        &self.voices
    }

    /// The voice of a name; see [`Ensemble::position`].
    ///
    /// # Errors
    /// If no voice, or more than one, answers to the name.
    pub fn voice(&self, name: &str) -> Result<&Voice, EnsembleError> {
        self.position(name).map(|index| &self.voices[index])
    }

    /// The place of the voice of a name, 0 for the top part. Case, spaces and hyphens do not
    /// count, Roman numbers are numbers, and a name may be cut short where it stays clear:
    /// `VIOLIN1`, `violin-1`, `Violin I`; `alto` for the alto recorder.
    ///
    /// # Errors
    /// If no voice, or more than one, answers to the name.
    pub fn position(&self, name: &str) -> Result<usize, EnsembleError> {
        let asked = name::words(name).concat();
        let names: Vec<String> = self.voices.iter().map(|voice| name::words(voice.name()).concat()).collect();
        if let Some(index) = names.iter().position(|known| *known == asked) {
            return Ok(index);
        }
        let mut close = names.iter().enumerate().filter(|(_, known)| known.starts_with(&asked));
        let error = |ambiguous| EnsembleError::Voice {
            asked: name.to_owned(),
            ambiguous,
            name: self.name.clone(),
            voices: self.voices.iter().map(|voice| voice.name().to_owned()).collect(),
        };
        match (close.next(), close.next()) {
            (Some((index, _)), None) => Ok(index),
            (first, _) => Err(error(first.is_some() && !asked.is_empty())),
        }
    }
}

/// Voices of one name numbered from the top.
fn numbered(voices: Vec<Voice>) -> Vec<Voice> {
    let names: Vec<String> = voices.iter().map(|voice| voice.name().to_owned()).collect();
    let count = |name: &str, upto: usize| names[..upto].iter().filter(|known| *known == name).count();
    let number = |(index, voice): (usize, Voice)| {
        if count(voice.name(), names.len()) == 1 {
            return voice;
        }
        let name = format!("{} {}", voice.name(), count(voice.name(), index + 1));
        voice.with_name(name)
    };
    voices.into_iter().enumerate().map(number).collect()
}

#[cfg(test)]
mod tests;
