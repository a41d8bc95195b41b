//! The classes of faults, and which rules are about each.

use crate::chance::Chance;
use crate::music::Clean;
use crate::plant::{Plant, singles};
use crate::{cadence, entries, faults, rhythm, timing};

/// A class of faults.
pub(crate) struct Class {
    pub(crate) name: &'static str,
    /// The rules that find it.
    pub(crate) rules: &'static [&'static str],
    /// At most so many plants in an exposition.
    pub(crate) plants: fn(&Clean, &mut Chance, usize) -> Vec<Plant>,
}

const DISSONANCE: &[&str] = &["unexplained-dissonance", "unprepared-dissonance", "unresolved-suspension"];
const WRONG_NOTE: &[&str] = &["wrong-subject-note", "wrong-answer-note"];
const DISPLACED: &[&str] = &["displaced-entry"];
const ALTERED: &[&str] = &["altered-entry"];

/// All classes.
pub(crate) static CLASSES: &[Class] = &[
    Class {
        name: "consecutive fifths",
        rules: &["parallel-perfects"],
        plants: |clean, chance, count| singles(clean, faults::fifths, chance, count),
    },
    Class {
        name: "consecutive octaves",
        rules: &["parallel-perfects"],
        plants: |clean, chance, count| singles(clean, faults::octaves, chance, count),
    },
    Class {
        name: "direct perfects",
        rules: &["direct-perfects"],
        plants: |clean, chance, count| singles(clean, faults::direct, chance, count),
    },
    Class {
        name: "clash on the beat",
        rules: DISSONANCE,
        plants: |clean, chance, count| singles(clean, faults::clash, chance, count),
    },
    Class {
        name: "unprepared dissonance",
        rules: DISSONANCE,
        plants: |clean, chance, count| singles(clean, faults::unprepared, chance, count),
    },
    Class {
        name: "unresolved suspension",
        rules: DISSONANCE,
        plants: |clean, chance, count| singles(clean, faults::suspension, chance, count),
    },
    Class {
        name: "out of compass",
        rules: &["out-of-compass"],
        plants: |clean, chance, count| singles(clean, faults::compass, chance, count),
    },
    Class {
        name: "crossing",
        rules: &["voice-crossing"],
        plants: |clean, chance, count| singles(clean, faults::crossing, chance, count),
    },
    Class {
        name: "overlap",
        rules: &["voice-overlap"],
        plants: |clean, chance, count| singles(clean, faults::overlap, chance, count),
    },
    Class {
        name: "spacing",
        rules: &["spacing"],
        plants: |clean, chance, count| singles(clean, faults::spacing, chance, count),
    },
    Class {
        name: "false relation",
        rules: &["false-relation"],
        plants: |clean, chance, count| singles(clean, faults::false_relation, chance, count),
    },
    Class {
        name: "augmented interval",
        rules: &["augmented-interval"],
        plants: |clean, chance, count| singles(clean, faults::augmented, chance, count),
    },
    Class {
        name: "doubled leading note",
        rules: &["doubled-leading-note"],
        plants: |clean, chance, count| singles(clean, faults::doubled_leading, chance, count),
    },
    Class { name: "hanging leading note", rules: &["hanging-leading-note"], plants: cadence::hanging },
    Class {
        name: "wrong note, a step",
        rules: WRONG_NOTE,
        plants: |clean, chance, count| entries::in_entries(clean, chance, count, entries::step_away),
    },
    Class {
        name: "wrong note, accidental",
        rules: WRONG_NOTE,
        plants: |clean, chance, count| entries::in_entries(clean, chance, count, entries::accidental),
    },
    Class {
        name: "wrong note, octave",
        rules: WRONG_NOTE,
        plants: |clean, chance, count| entries::in_entries(clean, chance, count, entries::octave),
    },
    Class {
        name: "durations in an entry",
        rules: ALTERED,
        plants: |clean, chance, count| entries::in_entries(clean, chance, count, entries::durations),
    },
    Class {
        name: "note left out of an entry",
        rules: ALTERED,
        plants: |clean, chance, count| entries::in_entries(clean, chance, count, entries::omission),
    },
    Class {
        name: "note put into an entry",
        rules: ALTERED,
        plants: |clean, chance, count| entries::in_entries(clean, chance, count, entries::addition),
    },
    Class {
        name: "entry late by a beat",
        rules: DISPLACED,
        plants: |clean, chance, count| entries::in_entries(clean, chance, count, timing::by_a_beat),
    },
    Class {
        name: "entry late by part of a beat",
        rules: DISPLACED,
        plants: |clean, chance, count| entries::in_entries(clean, chance, count, timing::by_part_of_a_beat),
    },
    Class {
        name: "answer in another key",
        rules: &["misplaced-answer", "misplaced-return"],
        plants: |clean, chance, count| entries::in_entries(clean, chance, count, entries::misplaced_answer),
    },
    Class {
        name: "answer real for tonal",
        rules: &["wrong-answer-note", "misplaced-answer"],
        plants: |clean, chance, count| entries::in_entries(clean, chance, count, entries::real_for_tonal),
    },
    Class {
        name: "return outside the tonic",
        rules: &["misplaced-return"],
        plants: |clean, chance, count| entries::in_entries(clean, chance, count, entries::misplaced_return),
    },
    Class {
        name: "entry out of order",
        rules: &["irregular-order"],
        plants: |clean, chance, count| entries::in_entries(clean, chance, count, entries::out_of_order),
    },
    Class {
        name: "entry missing, a rest",
        rules: &["missing-entry"],
        plants: |clean, chance, count| entries::in_entries(clean, chance, count, entries::silence),
    },
    Class {
        name: "entry missing, other notes",
        rules: &["missing-entry"],
        plants: |clean, chance, count| entries::in_entries(clean, chance, count, entries::replacement),
    },
    Class {
        name: "countersubject dropped",
        rules: &["dropped-countersubject"],
        plants: entries::dropped_countersubject,
    },
    Class {
        name: "countersubject not invertible",
        rules: &["uninvertible-countersubject"],
        plants: |clean, chance, _| entries::uninvertible(clean, chance).into_iter().collect(),
    },
    Class {
        name: "first voice silent",
        rules: &["silent-first-voice"],
        plants: |clean, _, _| entries::silent_first_voice(clean).into_iter().collect(),
    },
    Class {
        name: "empty beat",
        rules: &["empty-beat"],
        plants: |clean, chance, _| rhythm::empty_beat(clean, chance).into_iter().collect(),
    },
    Class {
        name: "rhythmic unison",
        rules: &["rhythmic-unison", "shadowing-countersubject"],
        plants: |clean, chance, _| rhythm::unison(clean, chance).into_iter().collect(),
    },
];
