use super::*;
use crate::voice::Clef;

fn names(ensemble: &Ensemble) -> String {
    let names: Vec<&str> = ensemble.voices().iter().map(Voice::name).collect();
    names.join(", ")
}

fn subset(name: &str, count: usize) -> Ensemble {
    Ensemble::named(name).unwrap().with_voices(count).unwrap()
}

/// The practical compasses of the trade (common practice), plain lines as wide as the ranges that
/// the notation library Abjad gives for voices: choral parts with their wider reach; bowed strings; wind as it sounds; recorders; a harpsichord of four
/// octaves; an organ of the early 18th century. Clefs and transpositions are custom, sounds the
/// General MIDI programs as remembered.
#[test]
fn all_ensembles_have_the_compasses_clefs_and_sounds_of_the_trade() {
    use Clef::{Alto, Bass, BassOctaveUp, Treble, TrebleOctaveDown, TrebleOctaveUp};
    let rows = [
        ("plain", 5, "soprano", "C4-E6", Treble, "P1", 53),
        ("plain", 5, "mezzo-soprano", "A3-C6", Treble, "P1", 53),
        ("plain", 5, "alto", "F3-G5", Treble, "P1", 53),
        ("plain", 5, "tenor", "C3-D5", TrebleOctaveDown, "P1", 53),
        ("plain", 5, "bass", "E2-F4", Bass, "P1", 53),
        ("choir", 4, "soprano", "C4-A5", Treble, "P1", 53),
        ("choir", 4, "alto", "G3-E5", Treble, "P1", 53),
        ("choir", 4, "tenor", "C3-A4", TrebleOctaveDown, "P1", 53),
        ("choir", 4, "bass", "E2-E4", Bass, "P1", 53),
        ("string-quartet", 4, "violin 1", "G3-A6", Treble, "P1", 41),
        ("string-quartet", 4, "violin 2", "G3-A6", Treble, "P1", 41),
        ("string-quartet", 4, "viola", "C3-A5", Alto, "P1", 42),
        ("string-quartet", 4, "cello", "C2-C5", Bass, "P1", 43),
        ("recorder-consort", 4, "soprano recorder", "C5-D7", TrebleOctaveUp, "P1", 75),
        ("recorder-consort", 4, "alto recorder", "F4-G6", Treble, "P1", 75),
        ("recorder-consort", 4, "tenor recorder", "C4-D6", Treble, "P1", 75),
        ("recorder-consort", 4, "bass recorder", "F3-G5", BassOctaveUp, "P1", 75),
        ("woodwind-quartet", 4, "flute", "C4-A6", Treble, "P1", 74),
        ("woodwind-quartet", 4, "oboe", "Bb3-D6", Treble, "P1", 69),
        ("woodwind-quartet", 4, "clarinet", "D3-D6", Treble, "M2", 72),
        ("woodwind-quartet", 4, "bassoon", "Bb1-Bb4", Bass, "P1", 71),
        ("brass-quartet", 4, "trumpet 1", "E3-Bb5", Treble, "M2", 57),
        ("brass-quartet", 4, "trumpet 2", "E3-Bb5", Treble, "M2", 57),
        ("brass-quartet", 4, "horn", "F2-C5", Treble, "P5", 61),
        ("brass-quartet", 4, "trombone", "E2-Bb4", Bass, "P1", 58),
        ("keyboard", 5, "soprano", "C2-C6", Treble, "P1", 7),
        ("keyboard", 5, "mezzo-soprano", "C2-C6", Treble, "P1", 7),
        ("keyboard", 5, "alto", "C2-C6", Treble, "P1", 7),
        ("keyboard", 5, "tenor", "C2-C6", Bass, "P1", 7),
        ("keyboard", 5, "bass", "C2-C6", Bass, "P1", 7),
        ("organ", 5, "soprano", "C2-C6", Treble, "P1", 20),
        ("organ", 5, "mezzo-soprano", "C2-C6", Treble, "P1", 20),
        ("organ", 5, "alto", "C2-C6", Treble, "P1", 20),
        ("organ", 5, "tenor", "C2-C6", Bass, "P1", 20),
        ("organ", 5, "pedal", "C2-D4", Bass, "P1", 20),
    ];
    for (ensemble, count, name, compass, clef, transposition, sound) in rows {
        let ensemble = subset(ensemble, count);
        let voice = ensemble.voice(name).unwrap();
        assert_eq!(voice.name(), name);
        assert_eq!(voice.compass().map(|compass| compass.to_string()).as_deref(), Some(compass), "{name}");
        assert_eq!(voice.clef(), clef, "{name}");
        assert_eq!(voice.transposition().to_string(), transposition, "{name}");
        assert_eq!(voice.sound(), sound, "{name}");
    }
    let seats: usize = Ensemble::NAMES.iter().map(|name| largest(name).voices().len()).sum();
    assert_eq!(seats, rows.len(), "every voice has its row");
}

fn largest(name: &str) -> Ensemble {
    let ensemble = Ensemble::named(name).unwrap();
    (2..=5).rev().find_map(|count| ensemble.with_voices(count).ok()).unwrap()
}

/// Common practice, as the docs of `with_voices` say.
#[test]
fn all_subsets_are_the_usual_ones() {
    let rows = [
        ("plain", "soprano, bass"),
        ("plain", "soprano, alto, bass"),
        ("plain", "soprano, alto, tenor, bass"),
        ("plain", "soprano, mezzo-soprano, alto, tenor, bass"),
        ("choir", "soprano, bass"),
        ("choir", "soprano, alto, bass"),
        ("choir", "soprano, alto, tenor, bass"),
        ("string-quartet", "violin, cello"),
        ("string-quartet", "violin, viola, cello"),
        ("string-quartet", "violin 1, violin 2, viola, cello"),
        ("recorder-consort", "soprano recorder, alto recorder"),
        ("recorder-consort", "soprano recorder, alto recorder, tenor recorder"),
        ("recorder-consort", "soprano recorder, alto recorder, tenor recorder, bass recorder"),
        ("woodwind-quartet", "flute, bassoon"),
        ("woodwind-quartet", "oboe, clarinet, bassoon"),
        ("woodwind-quartet", "flute, oboe, clarinet, bassoon"),
        ("brass-quartet", "trumpet, trombone"),
        ("brass-quartet", "trumpet, horn, trombone"),
        ("brass-quartet", "trumpet 1, trumpet 2, horn, trombone"),
        ("keyboard", "soprano, bass"),
        ("keyboard", "soprano, alto, bass"),
        ("keyboard", "soprano, alto, tenor, bass"),
        ("keyboard", "soprano, mezzo-soprano, alto, tenor, bass"),
        ("organ", "soprano, pedal"),
        ("organ", "soprano, alto, pedal"),
        ("organ", "soprano, alto, tenor, pedal"),
        ("organ", "soprano, mezzo-soprano, alto, tenor, pedal"),
    ];
    for (ensemble, voices) in rows {
        assert_eq!(names(&subset(ensemble, voices.split(", ").count())), voices, "{ensemble}");
    }
}

#[test]
fn all_names_are_known_in_every_spelling() {
    for name in Ensemble::NAMES {
        let ensemble = Ensemble::named(&name.to_uppercase()).unwrap();
        assert_eq!(ensemble.name(), name);
        assert_eq!(Ensemble::named(&name.replace('-', " ")), Ok(ensemble.clone()));
        assert_eq!(ensemble.voices().len(), 4);
        assert!(Setting::named(name).is_some());
    }
    assert_eq!(setting::SETTINGS.each_ref().map(|setting| setting.name), Ensemble::NAMES);
}

#[test]
fn keyboard_voices_keep_to_the_register_of_their_choral_part() {
    for name in ["soprano", "mezzo-soprano", "alto", "tenor", "bass"] {
        let (hand, part) = (subset("keyboard", 5), subset("plain", 5));
        let tessitura = |ensemble: &Ensemble| ensemble.voice(name).unwrap().tessitura();
        assert_eq!(tessitura(&hand), tessitura(&part), "{name}");
    }
}

#[test]
fn voices_answer_to_every_spelling_of_their_name() {
    let quartet = Ensemble::named("string-quartet").unwrap();
    for name in ["VIOLIN2", "violin-2", "Violin 2", "Violin II", "violin_2"] {
        assert_eq!(quartet.position(name), Ok(1), "{name}");
    }
    assert_eq!(quartet.position("cel"), Ok(3));
    let consort = Ensemble::named("recorder-consort").unwrap();
    assert_eq!(consort.position("ALTO"), Ok(1));
    assert_eq!(subset("string-quartet", 3).position("violin"), Ok(0));
}

#[test]
fn an_ensemble_of_ones_own_keeps_its_outer_voices() {
    let voices = ["cornett", "viol", "viol", "serpent"].map(Voice::new).to_vec();
    let ensemble = Ensemble::new("choir", voices).unwrap();
    assert_eq!(names(&ensemble), "cornett, viol 1, viol 2, serpent");
    assert_eq!(names(&ensemble.with_voices(3).unwrap()), "cornett, viol 1, serpent");
    assert_eq!(names(&ensemble.with_voices(1).unwrap()), "serpent");
}

#[test]
fn errors_say_what_is_wrong_and_what_to_choose() {
    let refused = |result: Result<Ensemble, EnsembleError>| result.unwrap_err().to_string();
    assert_eq!(
        refused(Ensemble::named("quintet")),
        "\"quintet\" is not an ensemble: choose from plain, choir, string-quartet, recorder-consort, \
         woodwind-quartet, brass-quartet, keyboard, organ"
    );
    let choir = Ensemble::named("choir").unwrap();
    assert_eq!(refused(choir.with_voices(6)), "choir has no setting for 6 voices: ask for 2 to 4");
    assert_eq!(refused(choir.with_voices(0)), "choir has no setting for 0 voices: ask for 2 to 4");
    assert_eq!(refused(Ensemble::new("none", vec![])), "an ensemble has 1 to 16 voices, not 0");
    assert_eq!(
        choir.voice("oboe").unwrap_err().to_string(),
        "\"oboe\" is no voice of choir: choose from soprano, alto, tenor, bass"
    );
    assert_eq!(
        Ensemble::named("string-quartet").unwrap().voice("violin").unwrap_err().to_string(),
        "\"violin\" is more than one voice of string-quartet: choose from violin 1, violin 2, viola, cello"
    );
    assert_eq!(
        choir.voice("").unwrap_err().to_string(),
        "\"\" is no voice of choir: choose from soprano, alto, tenor, bass"
    );
}

#[test]
fn codes_tell_the_kind_of_error() {
    let choir = Ensemble::named("choir").unwrap();
    assert_eq!(Ensemble::named("").unwrap_err().code(), "ensemble-name");
    assert_eq!(Ensemble::new("none", vec![]).unwrap_err().code(), "ensemble-size");
    assert_eq!(choir.with_voices(usize::MAX).unwrap_err().code(), "ensemble-voices");
    assert_eq!(choir.voice("oboe").unwrap_err().code(), "ensemble-voice");
}
