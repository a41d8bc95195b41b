//! The report.

use super::table::{Table, escaped};
use crate::answer::AnswerKind;
use crate::exposition::Exposition;
use crate::harmony::Harmony;
use crate::key::Key;
use crate::rules::Finding;
use crate::texture::{Shares, Texture};
use crate::time::Time;

/// How the files of a draft are heard and printed.
const TO_HEAR_AND_PRINT: &str = "\
- To hear it, open `exposition.mid` in any player or sequencer.
- To print it, open `exposition.musicxml` in any notation program.
- To see its plan, open `exposition.svg` in a browser.
- To go on working with it in a program, read `exposition.json`.
";

/// Writes the report of an exposition, with the findings of its review.
pub fn write(exposition: &Exposition, findings: &[Finding]) -> String {
    let sections = [
        head(exposition),
        subject(exposition),
        answer(exposition),
        countersubject(exposition),
        entries(exposition),
        intervals(exposition),
        remarks(findings),
        format!("## To hear and print it\n\n{TO_HEAR_AND_PRINT}"),
    ];
    let sections: Vec<String> = sections.into_iter().filter(|section| !section.is_empty()).collect();
    sections.join("\n")
}

fn head(exposition: &Exposition) -> String {
    let score = exposition.score();
    let names: Vec<String> = score.parts().iter().map(|part| escaped(part.voice.name())).collect();
    let title = escaped(exposition.subject().title().unwrap_or("Exposition"));
    let (key, meter, count) = (score.key(), score.meters(), names.len());
    let voices = if count == 1 { "voice" } else { "voices" };
    format!("# {title}\n\nExposition in {key}, {meter}, for {count} {voices}: {}.\n", names.join(", "))
}

pub(super) fn music(text: impl std::fmt::Display) -> String {
    format!("\n```text\n{text}\n```\n")
}

fn subject(exposition: &Exposition) -> String {
    let subject = exposition.subject();
    let place = match subject.offset() {
        offset if offset == Time::ZERO => "on the bar line".to_owned(),
        offset => format!("{offset} of a whole note after a bar line"),
    };
    let heard = if subject.harmony().is_some() { "Its harmony" } else { "The harmony it implies" };
    let harmony = harmony(heard, &subject.plan(), subject.key());
    let count = subject.line().notes().len();
    format!("## Subject\n\n{count} notes, beginning {place}.\n{}{harmony}", music(subject.line()))
}

fn answer(exposition: &Exposition) -> String {
    let answer = exposition.answer();
    let kind = match answer.kind() {
        AnswerKind::Real => "A real answer",
        AnswerKind::Tonal => "A tonal answer",
        AnswerKind::Subdominant => "An answer in the subdominant",
    };
    let (key, line) = (answer.key(), music(answer.line()));
    let harmony = harmony("Its harmony", &answer.plan(exposition.subject()), key);
    format!("## Answer\n\n{kind}, in {key}.\n{line}{harmony}\n{}", alterations(exposition))
}

/// The chords of a plan under a heading, spelled in a key.
fn harmony(heading: &str, plan: &Harmony, key: Key) -> String {
    plan.spelled(key).map(|chords| format!("\n{heading}:\n{}", music(&chords))).unwrap_or_default()
}

fn alterations(exposition: &Exposition) -> String {
    let alterations = exposition.answer().alterations();
    if alterations.is_empty() {
        return "It copies every interval of the subject.\n".to_owned();
    }
    let mut table = Table::new(&["note", "degree", "exact copy", "answer", "reason", "source"]);
    for alteration in alterations {
        let (note, degree, source) = (alteration.note + 1, alteration.degree, alteration.source());
        table.row(&[&note, &degree, &alteration.real, &alteration.chosen, &alteration.reason, &source]);
    }
    format!("Where it departs from an exact copy:\n\n{table}")
}

fn countersubject(exposition: &Exposition) -> String {
    let line = exposition.countersubject();
    line.map_or(String::new(), |line| {
        format!("## Countersubject\n\nAs first heard, against the answer.\n{}", music(line))
    })
}

fn entries(exposition: &Exposition) -> String {
    let score = exposition.score();
    let place = |onset: Time| score.place(onset).map_or(onset.to_string(), |place| place.to_string());
    let name = |voice: usize| score.parts().get(voice).map_or("", |part| part.voice.name());
    let mut rows: Vec<(Time, [String; 4])> = Vec::new();
    for entry in exposition.entries() {
        let cells = [
            place(entry.onset),
            entry.role.name().to_owned(),
            name(entry.voice).to_owned(),
            entry.key.to_string(),
        ];
        rows.push((entry.onset, cells));
    }
    for link in exposition.codettas() {
        let codetta = format!("codetta, until {}", place(link.end));
        rows.push((link.onset, [place(link.onset), codetta, String::new(), String::new()]));
    }
    rows.sort_by_key(|row| row.0);
    let mut table = Table::new(&["place", "what enters", "voice", "key"]);
    for (_, [place, role, voice, key]) in &rows {
        table.row(&[place, role, voice, key]);
    }
    format!("## Entries\n\n{table}")
}

/// The interval table where the countersubject is first heard.
fn intervals(exposition: &Exposition) -> String {
    let Some(&(theme, against)) = exposition.pairings().first() else { return String::new() };
    let meetings = Texture::of(exposition.score()).meetings(theme, against);
    let mut table = Table::new(&["place", "upper", "lower", "interval", "simple", "class"]);
    for row in &meetings {
        let interval = row.interval();
        table.row(&[&row.place, &row.upper, &row.lower, &interval, &interval.simple(), &row.class()]);
    }
    format!("## Answer against countersubject\n\n{table}\n{}", shares(Shares::of_meetings(&meetings)))
}

fn shares(Shares { imperfect, perfect, dissonant }: Shares) -> String {
    format!(
        "Of the time in which both sound, imperfect consonances have {imperfect} ({}), perfect ones {perfect} \
         ({}), dissonances {dissonant} ({}).\n",
        imperfect.percent(),
        perfect.percent(),
        dissonant.percent()
    )
}

pub(super) fn remarks(findings: &[Finding]) -> String {
    if findings.is_empty() {
        return "## Findings\n\nNone.\n".to_owned();
    }
    let findings: Vec<String> =
        (1..).zip(findings).map(|(number, finding)| remark(number, finding)).collect();
    format!("## Findings\n\n{}", findings.join("\n"))
}

fn remark(number: usize, finding: &Finding) -> String {
    let Finding { severity, place, rule, evidence, source, .. } = finding;
    let message = escaped(&finding.message);
    let remedy = finding.remedy.as_ref();
    let remedy =
        remedy.map_or(String::new(), |remedy| format!("   Remedy: {}.\n", escaped(remedy.message())));
    format!(
        "{number}. **{severity}**, {place}: {message} ({rule}).\n   Evidence: {evidence}. Source: {source}.\n{remedy}"
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::interchange::fixture;

    #[test]
    fn report_of_the_fughetta_reads_like_this() {
        let text = write(&fixture::exposition(), &[fixture::finding()]);
        assert_eq!(text, include_str!("fughetta.md"));
    }

    #[test]
    fn report_without_findings_says_so() {
        assert!(write(&fixture::exposition(), &[]).contains("## Findings\n\nNone.\n"));
    }

    #[test]
    fn titles_cannot_break_the_page() {
        let mut exposition = fixture::exposition();
        exposition.subject = exposition.subject.with_title("a\n# b <script> *c*");
        assert!(write(&exposition, &[]).starts_with("# a # b \\<script> \\*c\\*\n"));
    }
}
