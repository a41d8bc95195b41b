//! Scores through serde: the form of the file, and the checks on the way in.

use super::{Part, Score, ScoreError};
use crate::interval::Interval;
use crate::key::Key;
use crate::line::{Bars, Line};
use crate::meter::Meter;
use crate::time::Time;
use crate::voice::{Clef, Compass, Voice};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

/// A score as it stands in a file, not yet checked.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ScoreFile {
    key: Key,
    meter: Meter,
    #[serde(default)]
    pickup: Time,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    meters: Vec<ChangeFile>,
    voices: Vec<VoiceFile>,
}

/// A change of meter as it stands in a file, not yet checked.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ChangeFile {
    bar: i64,
    meter: Meter,
}

impl ChangeFile {
    /// The changes of meter in a score.
    pub(crate) fn all(score: &Score) -> Vec<Self> {
        score.meters.changes().map(|(bar, _, meter)| Self { bar, meter }).collect()
    }
}

/// A part as it stands in a file, not yet checked.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct VoiceFile {
    name: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    compass: Option<Compass>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    tessitura: Option<Compass>,
    #[serde(default)]
    clef: Clef,
    #[serde(default = "sounding_pitch")]
    transposition: Interval,
    #[serde(default = "piano")]
    sound: u64,
    line: String,
}

const fn sounding_pitch() -> Interval {
    Interval::UNISON
}

const fn piano() -> u64 {
    1
}

impl From<&Score> for ScoreFile {
    fn from(score: &Score) -> Self {
        let voices = score.parts.iter().map(VoiceFile::from).collect();
        let meters = ChangeFile::all(score);
        Self { key: score.key, meter: score.meter(), pickup: score.pickup(), meters, voices }
    }
}

impl From<&Part> for VoiceFile {
    fn from(Part { voice, line }: &Part) -> Self {
        Self {
            name: voice.name().to_owned(),
            compass: voice.compass(),
            tessitura: voice.own_tessitura(),
            clef: voice.clef(),
            transposition: voice.transposition(),
            sound: voice.sound().into(),
            line: line.to_string(),
        }
    }
}

impl TryFrom<ScoreFile> for Score {
    type Error = ScoreError;

    fn try_from(file: ScoreFile) -> Result<Self, ScoreError> {
        let ScoreFile { key, meter, pickup, meters: changes, voices } = file;
        let mut meters = super::meters(meter, pickup)?;
        for change in changes {
            meters = meters.with_change(change.bar, change.meter)?;
        }
        let bars = Bars::of(&meters);
        let read = |(part, voice): (usize, VoiceFile)| voice.read(part, bars.clone());
        let parts: Result<Vec<Part>, ScoreError> = voices.into_iter().enumerate().map(read).collect();
        Self::over(key, meters, parts?)
    }
}

impl VoiceFile {
    fn read(self, part: usize, bars: Bars) -> Result<Part, ScoreError> {
        let voice = self.voice(part)?;
        let line = Line::parse_with(&self.line, bars).map_err(|source| ScoreError::Line {
            part,
            name: self.name,
            source,
        })?;
        Ok(Part { voice, line })
    }

    fn voice(&self, part: usize) -> Result<Voice, ScoreError> {
        let error = || ScoreError::Sound { part, name: self.name.clone(), sound: self.sound };
        let sound = u8::try_from(self.sound).ok().filter(|sound| (1..=128).contains(sound));
        let mut voice = Voice::new(&self.name)
            .with_clef(self.clef)
            .with_transposition(self.transposition)
            .with_sound(sound.ok_or_else(error)?);
        if let Some(compass) = self.compass {
            voice = voice.with_compass(compass);
        }
        if let Some(tessitura) = self.tessitura {
            voice = voice.with_tessitura(tessitura);
        }
        Ok(voice)
    }
}

impl Serialize for Score {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        ScoreFile::from(self).serialize(serializer)
    }
}

impl<'de> Deserialize<'de> for Score {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        ScoreFile::deserialize(deserializer)?.try_into().map_err(de::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::score::strategy::any_score;
    use proptest::prelude::*;

    const DUET: &str = concat!(
        r#"{"key":"G major","meter":"3/4","pickup":"1/4","voices":["#,
        r#"{"name":"clarinet","compass":"D3-D6","clef":"treble","transposition":"M2","sound":72,"#,
        r#""line":"D4:1/4 G4:1/2 A4:1/4 B4:3/4"},"#,
        r#"{"name":"cello","clef":"bass","transposition":"P1","sound":43,"line":"R:1/4 G2:3/4"}]}"#
    );

    fn read(json: &str) -> Result<Score, String> {
        serde_json::from_str(json).map_err(|error| error.to_string())
    }

    /// The message without the place in the file that the JSON reader adds.
    fn refused(json: &str) -> String {
        let message = read(json).unwrap_err();
        message.rsplit_once(" at line ").map_or(message.clone(), |(message, _)| message.to_owned())
    }

    proptest! {
        #[test]
        fn prop_json_gives_the_score_back(score in any_score()) {
            let json = serde_json::to_string(&score).unwrap();
            prop_assert_eq!(read(&json), Ok(score));
        }
    }

    #[test]
    fn a_score_is_written_as_it_was_read() {
        let duet = read(DUET).unwrap();
        assert_eq!(duet.parts().len(), 2);
        assert_eq!(serde_json::to_string(&duet).unwrap(), DUET);
    }

    #[test]
    fn what_is_missing_is_filled_in() {
        let json = r#"{"key":"C major","meter":"4/4","voices":[{"name":"x","line":"C4:1 | D4:1/2 |"}]}"#;
        let error = "part 1 (x): bar 2 is too short by 1/2: it holds 1/2 where the meter 4/4 allows 1";
        assert_eq!(refused(json), error);
        let score = read(&json.replace("1/2 |", "1/2")).unwrap();
        assert_eq!(score.pickup(), Time::ZERO);
        assert_eq!(score.parts()[0].voice, Voice::new("x"));
    }

    #[test]
    fn bars_of_a_pickup_count_from_nought() {
        let json = DUET.replace("D4:1/4 G4", "D4:1/8 | G4");
        let error =
            "part 1 (clarinet): bar 0 is too short by 1/8: it holds 1/8 where the meter 3/4 allows 1/4";
        assert_eq!(refused(&json), error);
    }

    #[test]
    fn errors_name_the_part_and_the_note() {
        let rows = [
            (
                "\"key\"",
                "\"tempo\":1,\"key\"",
                "unknown field `tempo`, expected one of `key`, `meter`, `pickup`, `meters`, `voices`",
            ),
            (
                "\"sound\":43",
                "\"sound\":43,\"hand\":\"left\"",
                "unknown field `hand`, expected one of `name`, `compass`, `tessitura`, `clef`, `transposition`, \
                 `sound`, `line`",
            ),
            ("\"name\":\"cello\",", "", "missing field `name`"),
            (
                "G2:3/4",
                "H2:3/4",
                "part 2 (cello): note 2: \"H2\" is not a pitch: letters run from A to G (write B4 or Bb4)",
            ),
            (
                "\"sound\":43",
                "\"sound\":0",
                "part 2 (cello): there is no sound 0: General MIDI programs run from 1 to 128",
            ),
            (
                "\"sound\":43",
                "\"sound\":300",
                "part 2 (cello): there is no sound 300: General MIDI programs run from 1 to 128",
            ),
            (
                "\"pickup\":\"1/4\"",
                "\"pickup\":\"3/4\"",
                "a pickup of 3/4 is impossible in 3/4: it must be shorter than a bar, and not negative",
            ),
            ("D3-D6", "D6-D3", "D6 to D3 is not a compass: the lowest note must sound below the highest"),
        ];
        for (from, to, message) in rows {
            assert!(DUET.contains(from), "{from}");
            assert_eq!(refused(&DUET.replacen(from, to, 1)), message);
        }
    }

    #[test]
    fn codes_tell_the_kind_of_error() {
        let code = |from, to| {
            let file: ScoreFile = serde_json::from_str(&DUET.replacen(from, to, 1)).unwrap();
            Score::try_from(file).map_err(|error| error.code())
        };
        assert_eq!(code("G2:3/4", "G2:0"), Err("score-line"));
        assert_eq!(code("\"sound\":43", "\"sound\":129"), Err("score-sound"));
        assert_eq!(code("\"pickup\":\"1/4\"", "\"pickup\":\"7\""), Err("score-pickup"));
    }

    #[test]
    fn a_score_without_voices_cannot_be_read() {
        assert_eq!(
            refused(r#"{"key":"C major","meter":"4/4","voices":[]}"#),
            "a score has 1 to 16 parts, not 0"
        );
    }
}
