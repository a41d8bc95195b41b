//! Remarks on a subject, in a teacher's words.

use super::{ModulationKind, Profile, Sequence, whole};
use crate::interval::Interval;
use crate::scale::Degree;
use crate::source::Source;
use crate::time::Time;
use std::fmt;

/// Something that a teacher would remark on: no error, and often no fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Remark {
    /// Shorter than two beats.
    Short {
        /// Its length in beats.
        beats: Time,
    },
    /// Longer than eight bars. The Forty-eight run from under half a bar to six bars.
    Long {
        /// Its length in bars.
        bars: Time,
    },
    /// Long for many voices.
    FewVoices {
        /// The most voices it suits.
        voices: u8,
        /// Its length in bars.
        bars: Time,
    },
    /// A compass beyond an octave. Of the Forty-eight the smallest compass is a fourth, the largest an
    /// eleventh, the median a seventh; 33 keep within the octave.
    WideCompass {
        /// The compass.
        compass: Interval,
    },
    /// It begins on another degree than tonic or dominant. Of the Forty-eight 29 begin on 1, 17 on 5,
    /// one on 7 and one on 2.
    OddOpening {
        /// The degree.
        degree: Degree,
    },
    /// It ends on another degree than root or third of tonic or dominant. Of the Forty-eight 23 end on
    /// 3, 17 on 1, six on 5 and two on 7.
    OddEnding {
        /// The degree.
        degree: Degree,
    },
    /// Its last note falls on no accent.
    UnaccentedEnding {
        /// The place in the bar.
        place: Time,
    },
    /// It goes to the dominant.
    Modulates {
        /// Expressed or implied.
        kind: ModulationKind,
        /// Index of the note from which on it is in the dominant.
        from: usize,
    },
    /// A figure is repeated at another pitch.
    Sequence(Sequence),
    /// A dissonant leap.
    DissonantLeap {
        /// Index of the note leapt to.
        note: usize,
        /// The interval.
        interval: Interval,
    },
    /// A wide leap after which the line goes on in the same direction or stands still.
    UnrecoveredLeap {
        /// Index of the note leapt to.
        note: usize,
        /// The interval.
        interval: Interval,
    },
    /// The highest note is reached more than once.
    RepeatedClimax {
        /// How often.
        times: usize,
    },
    /// All notes have the same duration.
    EvenRhythm {
        /// That duration.
        duration: Time,
    },
}

impl Remark {
    /// Where the trade says so.
    pub const fn source(&self) -> Source {
        match self {
            Self::Short { .. } | Self::Long { .. } => Source::CommonPractice,
            Self::FewVoices { .. } => Source::Handbook("Prout, Fugue, §54"),
            Self::WideCompass { .. } => Source::Handbook("Prout, Fugue, §§47, 54"),
            Self::OddOpening { .. } => Source::Handbook("Prout, Fugue, §§48-49"),
            Self::OddEnding { .. } => Source::Handbook("Prout, Fugue, §42"),
            Self::UnaccentedEnding { .. } => Source::Handbook("Prout, Fugue, §§43-44"),
            Self::Modulates { .. } => Source::Handbook("Prout, Fugue, §§118-119"),
            Self::DissonantLeap { .. } => Source::Handbook("Prout, Fugue, §139"),
            Self::EvenRhythm { .. } => Source::Handbook("Prout, Fugue, §§50, 52"),
            Self::Sequence(_) | Self::UnrecoveredLeap { .. } | Self::RepeatedClimax { .. } => {
                Source::CommonPractice
            }
        }
    }
}

impl fmt::Display for Remark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Short { beats } => write!(f, "lasts {beats} beats, where two are the least"),
            Self::Long { bars } => write!(f, "lasts {bars} bars, where eight are the most"),
            Self::FewVoices { voices, bars } => {
                write!(f, "suits at most {voices} voices, being {bars} bars long and of its compass")
            }
            Self::WideCompass { compass } => {
                write!(
                    f,
                    "spans {compass}, more than an octave: the entries will be hard to place in the voices"
                )
            }
            Self::OddOpening { degree } => {
                write!(f, "begins on degree {degree}, where tonic and dominant are the rule")
            }
            Self::OddEnding { degree } => {
                write!(f, "ends on degree {degree}, neither root nor third of tonic or dominant")
            }
            Self::UnaccentedEnding { place } => {
                write!(
                    f,
                    "ends off the accent, {place} after the bar line: only a suspension just before excuses it"
                )
            }
            Self::Modulates { kind: ModulationKind::Expressed, from } => {
                write!(f, "goes to the dominant from note {}, with the raised fourth", from + 1)
            }
            Self::Modulates { kind: ModulationKind::Implied, from } => {
                write!(f, "implies the dominant by its end, from note {}", from + 1)
            }
            Self::Sequence(sequence) => write_sequence(f, sequence),
            Self::DissonantLeap { note, interval } => {
                let leap = Directed(*interval);
                write!(f, "leaps {leap} to note {}, which the answer is to keep", note + 1)
            }
            Self::UnrecoveredLeap { note, interval } => {
                let leap = Directed(*interval);
                write!(f, "leaps {leap} to note {} and does not turn back", note + 1)
            }
            Self::RepeatedClimax { times } => write!(f, "comes to its highest note {times} times"),
            Self::EvenRhythm { duration } => {
                write!(f, "moves in notes of {duration} alone: it has little profile")
            }
        }
    }
}

/// An interval as a teacher says it: `m7 up`, `d5 down`.
struct Directed(Interval);

impl fmt::Display for Directed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.0.abs(), if self.0.is_descending() { "down" } else { "up" })
    }
}

/// The names of the intervals by which a figure moves, from the second.
const MOVES: [&str; 7] = ["a second", "a third", "a fourth", "a fifth", "a sixth", "a seventh", "an octave"];

fn write_sequence(f: &mut fmt::Formatter<'_>, sequence: &Sequence) -> fmt::Result {
    let Sequence { first, notes, times, steps } = sequence;
    let way = if *steps < 0 { "lower" } else { "higher" };
    let by = usize::try_from(steps.unsigned_abs()).ok().and_then(|steps| MOVES.get(steps - 1));
    let by = by.unwrap_or(&"more than an octave");
    let from = first + 1;
    write!(
        f,
        "has a sequence: the figure of {notes} notes from note {from} sounds {times} times, each {by} {way}"
    )
}

/// All remarks on a profile.
pub(super) fn all(profile: &Profile) -> Vec<Remark> {
    [length(profile), ends(profile), melody(profile)].concat()
}

fn length(profile: &Profile) -> Vec<Remark> {
    let (bars, beats, compass) = (profile.bars(), profile.beats(), profile.compass());
    let voices = profile.voices_advised();
    let remarks = [
        (beats < whole(2)).then_some(Remark::Short { beats }),
        (bars > whole(8)).then_some(Remark::Long { bars }),
        (voices < 4).then_some(Remark::FewVoices { voices, bars }),
        (compass.semitones() > Interval::OCTAVE.semitones()).then_some(Remark::WideCompass { compass }),
    ];
    remarks.into_iter().flatten().collect()
}

fn ends(profile: &Profile) -> Vec<Remark> {
    let (first, ending) = (profile.first(), profile.ending());
    let plain = |degree: Degree| degree.alteration() == 0;
    let usual_end = match ending.degree.number() {
        1 | 3 | 5 => plain(ending.degree),
        number => number == 7,
    };
    let remarks = [
        (!(plain(first) && matches!(first.number(), 1 | 5))).then_some(Remark::OddOpening { degree: first }),
        (!usual_end).then_some(Remark::OddEnding { degree: ending.degree }),
        (!ending.accented).then_some(Remark::UnaccentedEnding { place: ending.place }),
        profile.modulation().map(|found| Remark::Modulates { kind: found.kind, from: found.from }),
    ];
    remarks.into_iter().flatten().collect()
}

fn melody(profile: &Profile) -> Vec<Remark> {
    let sequences = profile.sequences().iter().copied().map(Remark::Sequence);
    let leaps = profile.leaps().iter();
    let dissonant = leaps.clone().filter(|leap| leap.is_dissonant());
    let dissonant = dissonant.map(|leap| Remark::DissonantLeap { note: leap.note, interval: leap.interval });
    let open = leaps.filter(|leap| leap.is_wide() && !leap.recovered);
    let open = open.map(|leap| Remark::UnrecoveredLeap { note: leap.note, interval: leap.interval });
    let times = profile.climax().times;
    let climax = (times > 1).then_some(Remark::RepeatedClimax { times });
    let even = match profile.durations() {
        [duration] => Some(Remark::EvenRhythm { duration: *duration }),
        _ => None,
    };
    sequences.chain(dissonant).chain(open).chain(climax).chain(even).collect()
}
