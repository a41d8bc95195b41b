//! The report.

use super::intervals::{Together, share, together};
use super::table::{Table, escaped};
use crate::answer::AnswerKind;
use crate::exposition::{Entry, Exposition, Role};
use crate::line::Note;
use crate::rules::Finding;
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
    let (key, meter, count) = (score.key(), score.meter(), names.len());
    let voices = if count == 1 { "voice" } else { "voices" };
    format!("# {title}\n\nExposition in {key}, {meter}, for {count} {voices}: {}.\n", names.join(", "))
}

fn music(text: impl std::fmt::Display) -> String {
    format!("\n```text\n{text}\n```\n")
}

fn subject(exposition: &Exposition) -> String {
    let subject = exposition.subject();
    let place = match subject.offset() {
        offset if offset == Time::ZERO => "on the bar line".to_owned(),
        offset => format!("{offset} of a whole note after a bar line"),
    };
    let harmony =
        subject.harmony().map_or(String::new(), |harmony| format!("\nIts harmony:\n{}", music(harmony)));
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
    format!("## Answer\n\n{kind}, in {key}.\n{line}\n{}", alterations(exposition))
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

fn intervals(exposition: &Exposition) -> String {
    let pairs = first_pair(exposition).map_or(Vec::new(), |(theme, against)| {
        together(notes(exposition, theme), notes(exposition, against))
    });
    if pairs.is_empty() {
        return String::new();
    }
    let mut table = Table::new(&["place", "upper", "lower", "interval", "simple", "class"]);
    for pair in &pairs {
        let place =
            exposition.score().place(pair.onset).map_or(pair.onset.to_string(), |place| place.to_string());
        let interval = pair.interval();
        table.row(&[&place, &pair.upper, &pair.lower, &interval, &interval.simple(), &pair.class()]);
    }
    format!("## Answer against countersubject\n\n{table}\n{}", shares(&pairs))
}

fn shares(pairs: &[Together]) -> String {
    let of = |class: &str| {
        let (part, all) = share(pairs, class);
        let fraction = part.scaled(all.denominator(), all.numerator()).unwrap_or(Time::ZERO);
        format!("{fraction} ({})", percent(fraction))
    };
    let (imperfect, perfect, dissonant) = (of("imperfect"), of("perfect"), of("dissonant"));
    format!(
        "Of the time in which both sound, imperfect consonances have {imperfect}, perfect ones {perfect}, \
         dissonances {dissonant}.\n"
    )
}

/// A fraction in hundredths, to the nearest tenth of one.
fn percent(fraction: Time) -> String {
    let tenths = (fraction.numerator() * 2000 / fraction.denominator() + 1) / 2;
    format!("{}.{} %", tenths / 10, tenths % 10)
}

/// The first countersubject, and the subject or answer that begins last before it ends.
fn first_pair(exposition: &Exposition) -> Option<(&Entry, &Entry)> {
    let against = exposition.entries().iter().find(|entry| entry.role == Role::Countersubject)?;
    let end = notes(exposition, against).last()?.end();
    let mut themes = exposition.entries().iter().filter(|entry| entry.role != Role::Countersubject);
    let theme = themes.rfind(|entry| entry.onset < end && entry.voice != against.voice)?;
    Some((theme, against))
}

fn notes<'a>(exposition: &'a Exposition, entry: &Entry) -> &'a [Note] {
    let part = exposition.score().parts().get(entry.voice);
    part.and_then(|part| part.line.notes().get(entry.notes.clone())).unwrap_or(&[])
}

fn remarks(findings: &[Finding]) -> String {
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
    let remedy = remedy.map_or(String::new(), |remedy| format!("   Remedy: {}.\n", escaped(&remedy.message)));
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

    #[test]
    fn percent_is_rounded_to_the_nearest_tenth() {
        let of = |text: &str| percent(text.parse().unwrap());
        assert_eq!(
            ["0", "1", "2/3", "1/16", "1/3"].map(of),
            ["0.0 %", "100.0 %", "66.7 %", "6.3 %", "33.3 %"]
        );
    }
}
