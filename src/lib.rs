//! Fugal exposition theory: from a short theme to a finished, playable, defensible exposition, or to
//! a fair and precise review of one that somebody else wrote.
//!
//! ```
//! use soggetto::compose::{DraftOptions, draft};
//! use soggetto::{AnswerKind, Ensemble, RuleBook, Severity, Subject, Texture};
//!
//! let theme = "C5:1/4 G4 A4:1/8 B4 C5 D5 | E5:1/4 D5:1/8 C5 D5:1/4 B4 | C5:1/4";
//! let subject = Subject::from_text("C major", "4/4", "0", theme)?;
//! let answer = &subject.answers()?[0];
//! assert_eq!(answer.kind(), AnswerKind::Tonal);
//! assert!(answer.line().to_string().starts_with("G4:1/4 C4:1/4 E4:1/8 F#4:1/8"));
//!
//! let trio = Ensemble::named("choir")?.with_voices(3)?;
//! let exposition = draft(&subject, &DraftOptions::new(trio))?;
//! let findings = RuleBook::default().review(&Texture::of(exposition.score()));
//! assert!(findings.iter().all(|finding| finding.severity < Severity::Fault));
//! # Ok::<(), soggetto::Error>(())
//! ```
//!
//! # Overview
//!
//! The central type is the [`Subject`]: a [`Line`] of notes in a [`Key`] and a [`Meter`]. From it come
//!
//! - its [profile](Subject::profile): what a teacher would say of the theme;
//! - its [harmony](Subject::plan): a plan of Roman numerals, given or inferred ([`Harmony`]);
//! - its [answers](Subject::answers): real, tonal, at times subdominant, the best first ([`Answer`]);
//! - a [draft](compose::draft): an [`Exposition`] for an [`Ensemble`], with countersubject, entries,
//!   links and free parts.
//!
//! Any [`Score`] can be reviewed. A [`Texture`] holds the facts of what sounds together, each found
//! once; a [`Rule`] judges them; a [`RuleBook`] is a set of rules and returns [`Finding`]s, each with
//! its place, its weight ([`Severity`]), its evidence and its source. Composing asks the same rules
//! that reviewing uses.
//!
//! Beneath lie exact values. An [`Interval`] is a vector and a [`Pitch`] a point: spelled, never
//! rounded, never respelled by guess. A [`Time`] is a fraction of a whole note. Floating point occurs
//! in [`tuning`] alone. Every value has a text form ([`FromStr`](std::str::FromStr) and
//! [`Display`](std::fmt::Display) invert each other), and a value that could not be written down or
//! played cannot be made.
//!
//! Music is written as text: `F#4:1/8 Bb3:3/16 R:1/4`, a pitch (C4 is middle C) or a rest with its
//! duration, a missing duration repeating the one before. A bar line `|` is checked.
//!
//! # Cookbook
//!
//! ## Judge a theme
//!
//! ```
//! use soggetto::Subject;
//! let subject = Subject::from_text("C major", "4/4", "0", "C5:1/4 G4 A4:1/8 B4 C5 D5 | E5:1/4 D5")?;
//! let profile = subject.profile();
//! assert_eq!(profile.compass().to_string(), "M6");
//! assert_eq!(profile.bars().to_string(), "3/2");
//! for remark in profile.remarks() {
//!     println!("{remark}");
//! }
//! # Ok::<(), soggetto::Error>(())
//! ```
//!
//! ## Hear the harmony that a line implies
//!
//! ```
//! use soggetto::{Harmony, Time};
//! let line = "C5:1/4 E5 D5 B4 C5:1/2".parse()?;
//! let plan = Harmony::infer(&line, "C major".parse()?, "4/4".parse()?, Time::ZERO);
//! assert_eq!(plan.to_string(), "I:1/2 V:1/2 I:1/2");
//! # Ok::<(), soggetto::Error>(())
//! ```
//!
//! ## Show why an answer is tonal
//!
//! ```
//! use soggetto::Subject;
//! let subject = Subject::from_text("C major", "4/4", "0", "C5:1/4 G4 A4:1/8 B4 C5 D5 | E5:1/2 C5")?;
//! let answers = subject.answers()?;
//! let altered = &answers[0].alterations()[0];
//! assert_eq!((altered.note, altered.degree.to_string().as_str()), (1, "5"));
//! assert_eq!((altered.real.to_string(), altered.chosen.to_string()), ("D4".into(), "C4".into()));
//! println!("{}: {}", altered.reason, altered.source());
//! # Ok::<(), soggetto::Error>(())
//! ```
//!
//! ## Draft an exposition, choosing voices, order and seed
//!
//! ```
//! use soggetto::compose::{DraftOptions, draft};
//! use soggetto::exposition::Role;
//! use soggetto::{Ensemble, Subject};
//! let subject = Subject::from_text("C major", "4/4", "0", "C5:1/4 G4 A4:1/8 B4 C5 D5 | E5:1/2 C5")?;
//! let duo = Ensemble::named("string-quartet")?.with_voices(2)?;
//! let options = DraftOptions::new(duo).with_order(vec![1, 0]).with_seed(7);
//! let exposition = draft(&subject, &options)?;
//! let first = &exposition.entries()[0];
//! assert_eq!((first.role, first.voice), (Role::Subject, 1));
//! assert!(exposition.countersubject().is_some());
//! # Ok::<(), soggetto::Error>(())
//! ```
//!
//! ## Review what somebody wrote
//!
//! ```
//! use soggetto::{RuleBook, Score, Severity, Texture};
//! let score = Score::excerpt("C major", "4/4", &["G4:1/2 A4", "C4:1/2 D4"])?;
//! let mut findings = RuleBook::strict_school().review(&Texture::of(&score));
//! findings.retain(|finding| finding.severity == Severity::Fault);
//! assert_eq!(findings[0].place.to_string(), "bar 1, beat 3");
//! assert_eq!(findings[0].message, "soprano and alto move in parallel fifths");
//! # Ok::<(), soggetto::Error>(())
//! ```
//!
//! ## Find subject and answer in a score that nobody annotated, and mend what is wrong
//!
//! ```
//! use soggetto::compose::{DraftOptions, draft};
//! use soggetto::recognize::recognize;
//! use soggetto::{Ensemble, RuleBook, Subject, remedy};
//! let theme = "C5:1/4 G4 A4:1/8 B4 C5 D5 | E5:1/4 D5:1/8 C5 D5:1/4 B4 | C5:1/4";
//! let subject = Subject::from_text("C major", "4/4", "0", theme)?;
//! let trio = Ensemble::named("choir")?.with_voices(3)?;
//! let score = draft(&subject, &DraftOptions::new(trio))?.score().clone();
//! let outline = recognize(&score).map(|found| found.outline);
//! assert_eq!(outline.as_ref().map(|outline| outline.themes().count()), Some(3));
//! for finding in remedy::review(&score, outline.as_ref(), &RuleBook::strict_school()) {
//!     println!("{finding}");
//!     if let Some(remedy) = &finding.remedy {
//!         println!("{remedy}");
//!     }
//! }
//! # Ok::<(), soggetto::Error>(())
//! ```
//!
//! ## Change a rule book, or add a rule of the house
//!
//! ```
//! use soggetto::rules::{Evidence, Report, RuleId, RuleInfo, Spot};
//! use soggetto::source::Source;
//! use soggetto::{Rule, RuleBook, Score, Severity, Texture};
//!
//! /// No voice may leap by more than an octave.
//! #[derive(Debug)]
//! struct BeyondTheOctave;
//!
//! static INFO: RuleInfo = RuleInfo {
//!     id: RuleId::new("beyond-the-octave"),
//!     severity: Severity::Fault,
//!     summary: "a voice leaps by more than an octave",
//!     page: "House rule: beginners stay within the octave.",
//!     source: Source::CommonPractice,
//! };
//!
//! impl Rule for BeyondTheOctave {
//!     fn info(&self) -> &RuleInfo {
//!         &INFO
//!     }
//!
//!     fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
//!         for voice in 0..texture.voices() {
//!             for (note, pair) in texture.tones(voice).windows(2).enumerate() {
//!                 let [from, to] = [pair[0], pair[1]];
//!                 if (to.pitch - from.pitch).steps().abs() > 7 {
//!                     let spot = Spot::new(to.onset, vec![(voice, note), (voice, note + 1)]);
//!                     let message = format_args!("{} leaps beyond the octave", texture.name(voice));
//!                     report.add(spot, message, Evidence::of_melody(from.pitch, to.pitch));
//!                 }
//!             }
//!         }
//!     }
//! }
//!
//! let book = RuleBook::free_baroque().without("wide-leap")?.with_rule(BeyondTheOctave)?;
//! let score = Score::excerpt("C major", "4/4", &["C4:1/2 D5"])?;
//! let findings = book.review(&Texture::of(&score));
//! assert!(findings.iter().any(|finding| finding.rule.as_str() == "beyond-the-octave"));
//! # Ok::<(), soggetto::Error>(())
//! ```
//!
//! ## Turn the countersubject over
//!
//! ```
//! use soggetto::combine::inversion::{Effect, Inversion};
//! let sixth = Inversion::Octave.turn(6).ok_or("a sixth inverts at the octave")?;
//! assert_eq!((sixth.after(), sixth.effect()), (3, Effect::StaysConsonant));
//! # Ok::<(), &str>(())
//! ```
//!
//! ## Transpose without losing the spelling
//!
//! ```
//! use soggetto::{Interval, Pitch};
//! let pitch: Pitch = "F#4".parse()?;
//! assert_eq!(pitch.moved(Interval::PERFECT_FIFTH)?.to_string(), "C#5");
//! assert_eq!(pitch.moved("d5".parse()?)?.to_string(), "C5");
//! # Ok::<(), soggetto::Error>(())
//! ```
//!
//! ## Hand it over: notation, sound, picture, data, report
//!
//! ```
//! # #[cfg(all(feature = "serde", feature = "musicxml", feature = "midi", feature = "svg"))] {
//! use soggetto::compose::{DraftOptions, draft};
//! use soggetto::interchange::{json, markdown, midi, musicxml, svg};
//! use soggetto::{Ensemble, RuleBook, Texture};
//! let file = r#"{"key": "C major", "meter": "4/4", "offset": "0", "subject": "C5:1/4 G4 E5:1/4 D5"}"#;
//! let duo = Ensemble::named("plain")?.with_voices(2)?;
//! let exposition = draft(&json::read_subject(file)?, &DraftOptions::new(duo))?;
//! let findings = RuleBook::default().review(&Texture::of(exposition.score()));
//!
//! let notation: String = musicxml::write(&exposition)?;
//! let sound: Vec<u8> = midi::write(&exposition)?;
//! let picture: String = svg::write(&exposition, &findings)?;
//! let data: String = json::write_exposition(&exposition);
//! let report: String = markdown::write(&exposition, &findings);
//! assert_eq!(json::read_exposition(&data)?, exposition);
//! # let _ = (notation, sound, picture, report);
//! # }
//! # Ok::<(), soggetto::Error>(())
//! ```
//!
//! # What is not supported
//!
//! - Sound: the library reads and writes notes. Players and engravers open what it writes.
//! - Microtones, and more than three sharps or flats on a note.
//! - Ties in text notation: sum the durations. They are written again where the page needs them.
//! - Changes of key within a score, words, dynamics, ornaments. The meter may change ([`meter::Meters`]).
//! - Fugue beyond the exposition: episodes, middle entries and stretto are the composer's.
//!
//! # Features
//!
//! The theory needs none of them; all are on by default and purely additive.
//!
//! | feature | what it adds |
//! |---|---|
//! | `serde` | JSON of subjects, answers, expositions and reviews; `Serialize` and `Deserialize` for values |
//! | `musicxml` | MusicXML 4.0 for notation programs |
//! | `midi` | Standard MIDI Files for players and sequencers |
//! | `svg` | the picture of an exposition |
#![forbid(unsafe_code)]
#![deny(missing_docs)]
#![cfg_attr(
    test,
    allow(
        clippy::unwrap_used,
        clippy::expect_used,
        clippy::panic,
        reason = "a test may panic: that is how it fails"
    )
)]

pub mod answer;
pub mod chord;
pub mod combine;
pub mod compose;
pub mod ensemble;
pub mod exposition;
pub mod harmony;
pub mod interchange;
pub mod interval;
pub mod key;
pub mod line;
pub mod meter;
pub mod pitch;
pub mod recognize;
pub mod remedy;
pub mod rules;
pub mod scale;
pub mod score;
pub mod source;
pub mod subject;
pub mod texture;
pub mod time;
pub mod tuning;
pub mod voice;

mod error;
mod quote;
mod text_serde;

pub use crate::{
    answer::{Answer, AnswerKind},
    chord::{Chord, Numeral},
    ensemble::Ensemble,
    error::Error,
    exposition::Exposition,
    harmony::Harmony,
    interval::Interval,
    key::Key,
    line::{Line, Note},
    meter::Meter,
    pitch::{Pitch, PitchClass},
    rules::{Finding, Rule, RuleBook, Severity},
    scale::Degree,
    score::{Part, Score},
    subject::Subject,
    texture::Texture,
    time::Time,
    voice::{Compass, Voice},
};

/// The code in the README, so that it cannot go stale.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
