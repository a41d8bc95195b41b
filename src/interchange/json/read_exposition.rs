//! Reading an exposition back, with every claim of the file checked.

use super::error::ReadError;
use super::fields::{Fields, parse};
use super::subject;
use crate::answer::Answer;
use crate::exposition::{Entry, Exposition, Link, Role};
use crate::key::Key;
use crate::line::Line;
use crate::score::{Place, Score};
use crate::subject::Subject;
use crate::time::Time;

const FIELDS: [&str; 7] = ["id", "score", "subject", "answer", "countersubject", "entries", "codettas"];
const ANSWER: [&str; 5] = ["kind", "key", "line", "cost", "alterations"];
const ENTRY: [&str; 7] = ["role", "voice", "onset", "bar", "beat", "notes", "key"];
const LINK: [&str; 2] = ["onset", "end"];

/// Reads what [`super::write_exposition`] writes.
///
/// The answer must be one that its subject has: cost and alterations are found anew and never
/// believed. Entries must lie in the score as the file says. An `id`, which a run over many
/// expositions gives to each, may stand beside the rest.
///
/// # Errors
/// If the text is no JSON, a field is missing, unknown or of the wrong kind, or its value
/// contradicts the others.
pub fn read_exposition(text: &str) -> Result<Exposition, ReadError> {
    let value = parse(text)?;
    let fields = Fields::of(&value, "", &FIELDS)?;
    let score: Score = serde_json::from_value(fields.need("score", "an object")?.clone())
        .map_err(|error| fields.error("score", error))?;
    let subject = subject::read(&fields.object("subject", &subject::FIELDS)?)?;
    let answer = read_answer(&fields.object("answer", &ANSWER)?, &subject)?;
    let countersubject = fields.optional::<Line>("countersubject")?;
    let entries = fields.objects("entries", &ENTRY)?;
    let entries: Result<Vec<Entry>, ReadError> =
        entries.iter().map(|entry| read_entry(entry, &score)).collect();
    let codettas = fields.objects("codettas", &LINK)?;
    let codettas: Result<Vec<Link>, ReadError> =
        codettas.iter().map(|link| read_link(link, &score)).collect();
    Ok(Exposition { score, subject, answer, countersubject, entries: entries?, codettas: codettas? })
}

fn read_answer(fields: &Fields<'_>, subject: &Subject) -> Result<Answer, ReadError> {
    let line: Line = fields.parsed("line")?;
    let key: Key = fields.parsed("key")?;
    let kind = fields.text("kind")?;
    let answers = subject.answers().map_err(|error| fields.refused("line", &error))?;
    let same = |answer: &Answer| *answer.line() == line;
    let answer = answers.into_iter().find(same).ok_or_else(|| {
        fields.error("line", "it is no answer to the subject (write one that the subject's answers hold)")
    })?;
    match (answer.key() == key, answer.kind().name() == kind) {
        (false, _) => {
            Err(fields.error("key", format_args!("the answer is in {}, not in {key}", answer.key())))
        }
        (_, false) => Err(fields.error("kind", format_args!("the answer is {}, not {kind}", answer.kind()))),
        _ => Ok(answer),
    }
}

fn read_entry(fields: &Fields<'_>, score: &Score) -> Result<Entry, ReadError> {
    let voice = fields.count("voice")?;
    let voices = score.parts().len();
    let part = score.parts().get(voice);
    let part =
        part.ok_or_else(|| fields.error("voice", format_args!("the score has voices 0 to {}", voices - 1)))?;
    let onset: Time = fields.parsed("onset")?;
    check_place(fields, score, onset)?;
    let notes = part.line.notes();
    let first = notes.binary_search_by_key(&onset, |note| note.onset());
    let first = first.map_err(|_| {
        fields.error("onset", format_args!("{} begins no note at {onset}", part.voice.name()))
    })?;
    let count = fields.count("notes")?;
    if count == 0 || count > notes.len() - first {
        let message =
            format_args!("{} has 1 to {} notes from {onset} on", part.voice.name(), notes.len() - first);
        return Err(fields.error("notes", message));
    }
    let (role, key) = (read_role(fields)?, fields.parsed("key")?);
    Ok(Entry { role, voice, onset, notes: first..first + count, key })
}

fn read_role(fields: &Fields<'_>) -> Result<Role, ReadError> {
    let name = fields.text("role")?;
    let roles = [Role::Subject, Role::Answer, Role::Countersubject];
    let message = "a role is subject, answer or countersubject";
    roles.into_iter().find(|role| role.name() == name).ok_or_else(|| fields.error("role", message))
}

/// Bar and beat repeat what the onset says; a file in which they disagree is refused.
fn check_place(fields: &Fields<'_>, score: &Score, onset: Time) -> Result<(), ReadError> {
    let place: Place = score.place(onset).map_err(|error| fields.refused("onset", &error))?;
    let bar = fields.need("bar", "a whole number")?;
    if bar.as_i64() != Some(place.bar) {
        return Err(fields.error("bar", format_args!("onset {onset} lies in bar {}", place.bar)));
    }
    if fields.parsed::<Time>("beat")? != place.beat {
        return Err(fields.error("beat", format_args!("onset {onset} lies on beat {}", place.beat)));
    }
    Ok(())
}

fn read_link(fields: &Fields<'_>, score: &Score) -> Result<Link, ReadError> {
    let (onset, end): (Time, Time) = (fields.parsed("onset")?, fields.parsed("end")?);
    if onset < Time::ZERO || end <= onset || end > score.length() {
        let message =
            format_args!("a codetta ends after it begins (at {onset}) and within the {}", score.length());
        return Err(fields.error("end", message));
    }
    Ok(Link { onset, end })
}

#[cfg(test)]
mod tests {
    use super::super::write_exposition;
    use super::*;
    use crate::interchange::fixture;

    #[test]
    fn exposition_is_read_back_as_it_was_written() {
        let exposition = fixture::exposition();
        let text = write_exposition(&exposition);
        assert_eq!(read_exposition(&text).unwrap(), exposition);
        assert_eq!(write_exposition(&read_exposition(&text).unwrap()), text);
    }

    #[test]
    fn exposition_with_an_id_is_read_without_it() {
        let exposition = fixture::exposition();
        let text = write_exposition(&exposition).replacen('{', r#"{"id": "7b","#, 1);
        assert_eq!(read_exposition(&text).unwrap(), exposition);
    }

    #[test]
    fn contradictions_are_refused_by_field() {
        let text = write_exposition(&fixture::exposition());
        let rows = [
            (r#""kind": "tonal""#, r#""kind": "real""#, "answer.kind: the answer is tonal, not real"),
            (
                r#""kind": "tonal""#,
                r#""sort": "tonal""#,
                "answer.sort: there is no such field (the fields here are kind, key, line, cost, alterations)",
            ),
            (
                r#""line": "A3:1/4 D4"#,
                r#""line": "A3:1/4 F4"#,
                "answer.line: it is no answer to the subject (write one that the subject's answers hold)",
            ),
            (r#""voice": 1"#, r#""voice": 9"#, "entries[0].voice: the score has voices 0 to 2"),
            (
                r#""voice": 1"#,
                r#""voice": -1"#,
                "entries[0].voice: write it as a whole number from 0, not as such a number",
            ),
            (r#""bar": 1"#, r#""bar": 2"#, "entries[0].bar: onset 0 lies in bar 1"),
            (r#""notes": 11"#, r#""notes": 99"#, "entries[0].notes: Alto has 1 to 28 notes from 0 on"),
            (
                r#""role": "answer""#,
                r#""role": "reply""#,
                "entries[1].role: a role is subject, answer or countersubject",
            ),
            (
                r#""end": "5""#,
                r#""end": "4""#,
                "codettas[0].end: a codetta ends after it begins (at 4) and within the 7",
            ),
            (
                r#""meter": "4/4""#,
                r#""meter": "4/5""#,
                "score: \"4/5\" is not a meter: the lower figure is 1, 2, 4, 8, 16, 32 or 64",
            ),
        ];
        for (from, to, message) in rows {
            assert!(text.contains(from), "{from}");
            let error = read_exposition(&text.replacen(from, to, 1)).unwrap_err();
            assert_eq!(error.to_string(), message);
        }
    }
}
