//! A summary in plain text: what a composer wants to know of a draft before hearing it.
//!
//! [`write()`] says what the subject is like, why the answer is as it is, who enters when, what the
//! countersubject makes with the answer, and what the review found. The findings that weigh
//! something are spelled out; remarks are counted, and stand in full in the report. [`write_review`]
//! does the like for a score that somebody else wrote.

mod review;

pub use review::write_review;

use crate::answer::{Alteration, Answer};
use crate::exposition::{Entry, Exposition};
use crate::harmony::Harmony;
use crate::interchange::review::counts;
use crate::key::Key;
use crate::rules::{Finding, Severity};
use crate::subject::Subject;
use crate::texture::{Meeting, Shares, Texture};
use crate::time::Time;
use std::fmt::Write as _;

/// Writes the summary of an exposition, with the findings of its review. It ends with a line feed.
pub fn write(exposition: &Exposition, findings: &[Finding]) -> String {
    let sections = [
        head(exposition),
        subject(exposition.subject()),
        answer(exposition.answer(), exposition.subject()),
        entries(exposition),
        intervals(exposition),
        review(findings),
    ];
    sections.join("\n")
}

fn head(exposition: &Exposition) -> String {
    let score = exposition.score();
    let names: Vec<&str> = score.parts().iter().map(|part| part.voice.name()).collect();
    let title = exposition.subject().title().unwrap_or("Exposition");
    format!("{}\n{}, {}, for {}\n", one_line(title), score.key(), score.meters(), names.join(", "))
}

/// A text without anything that would break its line.
fn one_line(text: &str) -> String {
    text.split(char::is_control).collect::<Vec<_>>().join(" ")
}

fn subject(subject: &Subject) -> String {
    let profile = subject.profile();
    let (notes, bars) = (subject.line().notes().len(), in_bars(profile.bars()));
    let (lowest, highest, compass) = (profile.lowest(), profile.highest(), profile.compass().name());
    let mut text = format!("Subject: {notes} notes in {bars}, from {lowest} to {highest} ({compass})\n");
    let _ = writeln!(text, "  {}", subject.line().text_in(subject.meter(), subject.offset()));
    text += &harmony(&subject.plan(), subject.key());
    if profile.modulation().is_none() {
        let _ = writeln!(text, "  It stays in {}.", subject.key());
    }
    for remark in profile.remarks() {
        let _ = writeln!(text, "  It {remark}.");
    }
    text
}

/// `2 bars`, `2 1/2 bars`, `1 bar`.
fn in_bars(count: Time) -> String {
    let number = match count.divided(Time::WHOLE) {
        Ok((whole, rest)) if whole > 0 && rest.is_positive() => format!("{whole} {rest}"),
        _ => count.to_string(),
    };
    let plural = if count > Time::WHOLE { "s" } else { "" };
    format!("{number} bar{plural}")
}

fn answer(answer: &Answer, subject: &Subject) -> String {
    let line = answer.line().text_in(subject.meter(), subject.offset());
    let mut text = format!("Answer: {}, in {}\n  {line}\n", answer.kind(), answer.key());
    text += &harmony(&answer.plan(subject), answer.key());
    if answer.alterations().is_empty() {
        text += "  It keeps every interval of the subject.\n";
    }
    for Alteration { note, degree, real, chosen, reason } in answer.alterations() {
        let number = note + 1;
        let _ =
            writeln!(text, "  Note {number}, degree {degree}, is {chosen} where a copy has {real}: {reason}");
        let _ = writeln!(text, "    ({})", reason.source());
    }
    text
}

/// The chords of a plan, spelled in a key.
fn harmony(plan: &Harmony, key: Key) -> String {
    plan.spelled(key).map(|chords| format!("  Harmony: {chords}\n")).unwrap_or_default()
}

/// The plan of the entries, the codettas among them.
fn entries(exposition: &Exposition) -> String {
    let score = exposition.score();
    let mut rows: Vec<(Time, [String; 4])> = Vec::new();
    for entry in exposition.entries() {
        let (voice, role, key) = (name(exposition, entry), entry.role.name(), format!("in {}", entry.key));
        rows.push((entry.onset, [place(exposition, entry.onset), voice.to_owned(), role.to_owned(), key]));
    }
    for link in exposition.codettas() {
        let until = format!("until {}", place(exposition, link.end));
        let cells = [place(exposition, link.onset), String::new(), "codetta".to_owned(), until];
        rows.push((link.onset, cells));
    }
    rows.sort_by_key(|row| row.0);
    let bars = score.bar_count();
    let rows: Vec<[String; 4]> = rows.into_iter().map(|(_, cells)| cells).collect();
    format!("Entries, in {bars} bars\n{}", columns(&rows))
}

fn place(exposition: &Exposition, onset: Time) -> String {
    exposition.score().place(onset).map_or(onset.to_string(), |place| place.to_string())
}

fn name<'a>(exposition: &'a Exposition, entry: &Entry) -> &'a str {
    exposition.score().parts().get(entry.voice).map_or("", |part| part.voice.name())
}

/// The interval table where the countersubject is first heard, and its shares wherever it stands.
fn intervals(exposition: &Exposition) -> String {
    let texture = Texture::of(exposition.score());
    let mut text = String::new();
    for (index, (theme, against)) in exposition.pairings().into_iter().enumerate() {
        let meetings = texture.meetings(theme, against);
        let (voice, other) = (name(exposition, theme), name(exposition, against));
        let from = place(exposition, against.onset.max(theme.onset));
        let _ = writeln!(text, "Countersubject ({other}) with {} ({voice}) from {from}", theme.role.name());
        if index == 0 {
            text += &table(&meetings);
        }
        text += &shares(&meetings);
    }
    text
}

fn table(meetings: &[Meeting]) -> String {
    let row = |row: &Meeting| {
        let simple = row.interval().simple().to_string();
        [row.place.to_string(), row.upper.to_string(), row.lower.to_string(), simple, row.class().to_owned()]
    };
    columns(&meetings.iter().map(row).collect::<Vec<_>>())
}

fn shares(meetings: &[Meeting]) -> String {
    let Shares { imperfect, perfect, dissonant } = Shares::of_meetings(meetings);
    format!(
        "  Of the time that both sound: imperfect {imperfect} ({}), perfect {perfect} ({}), dissonant {dissonant} ({})\n",
        imperfect.percent(),
        perfect.percent(),
        dissonant.percent()
    )
}

fn review(findings: &[Finding]) -> String {
    let grave = findings.iter().filter(|finding| finding.severity > Severity::Remark);
    let row = |finding: &Finding| {
        let (place, severity) = (finding.place.to_string(), finding.severity.to_string());
        [place, severity, format!("{} ({})", one_line(&finding.message), finding.rule)]
    };
    format!("Review: {}\n{}", counts(findings), columns(&grave.map(row).collect::<Vec<_>>()))
}

/// Rows in aligned columns, indented.
fn columns<const N: usize>(rows: &[[String; N]]) -> String {
    let width = |column: usize| rows.iter().map(|row| row[column].chars().count()).max().unwrap_or(0);
    let widths: [usize; N] = std::array::from_fn(width);
    let line = |row: &[String; N]| {
        let cells = row.iter().zip(widths).map(|(cell, width)| format!("  {cell:<width$}"));
        cells.collect::<String>().trim_end().to_owned() + "\n"
    };
    rows.iter().map(line).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::interchange::fixture;

    #[test]
    fn summary_of_the_fughetta_reads_like_this() {
        let text = write(&fixture::exposition(), &[fixture::finding()]);
        assert_eq!(text, include_str!("fughetta.txt"));
    }

    #[test]
    fn nothing_found_is_said() {
        assert!(write(&fixture::exposition(), &[]).ends_with("Review: no Fault, no Caution, no Remark\n"));
    }

    #[test]
    fn titles_stay_on_their_line() {
        let mut exposition = fixture::exposition();
        exposition.subject = exposition.subject.with_title("a\nb\u{1b}[31m");
        assert!(write(&exposition, &[]).starts_with("a b [31m\nD minor, 4/4, for Soprano, Alto, Bass\n"));
    }

    #[test]
    fn lengths_in_bars_are_mixed_numbers() {
        let lengths = ["1/2", "1", "7/4", "8"].map(|count| in_bars(count.parse().unwrap()));
        assert_eq!(lengths, ["1/2 bar", "1 bar", "1 3/4 bars", "8 bars"]);
    }
}
