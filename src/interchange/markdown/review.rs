//! The sheet of a review.

use super::report::{music, remarks};
use super::table::{Table, escaped};
use crate::interchange::Review;
use crate::interchange::review::{MANY, counts, stated};
use crate::texture::{Shares, Texture};

/// Writes the review of a score: what it is, its subject and entries, how its voices agree, and every
/// finding with its remedy.
pub fn write_review(review: &Review<'_>) -> String {
    let parts: [fn(&Review<'_>) -> String; 6] = [head, subject, entries, consonance, by_rule, findings];
    let sections = parts.map(|part| part(review));
    let sections: Vec<String> = sections.into_iter().filter(|section| !section.is_empty()).collect();
    sections.join("\n")
}

fn name(review: &Review<'_>, voice: usize) -> String {
    review.score.parts().get(voice).map_or_else(String::new, |part| escaped(part.voice.name()))
}

fn head(review: &Review<'_>) -> String {
    let score = review.score;
    let names: Vec<String> = (0..score.parts().len()).map(|voice| name(review, voice)).collect();
    let (title, key, meter) = (escaped(review.title), review.key(), score.meters());
    let names = names.join(", ");
    let mut text = format!("# {title}\n\n{key}, {meter}, for {names}: {}.\n", counts(review.findings));
    if !review.remarks.is_empty() {
        text += "\nAs read:\n\n";
        text.extend(review.remarks.iter().map(|remark| format!("- {}\n", escaped(&remark.to_string()))));
    }
    text
}

fn subject(review: &Review<'_>) -> String {
    let Some((outline, first)) = review.outline.zip(review.first_entry()) else {
        return "## Subject\n\nNone: the score is reviewed as counterpoint, not as a fugue.\n".to_owned();
    };
    let subject = &outline.subject;
    let (count, voice) = (subject.line().notes().len(), name(review, first.voice));
    let line = subject.line().text_in(subject.meter(), subject.offset());
    format!("## Subject\n\n{count} notes; {voice} begins.\n{}", music(line))
}

fn entries(review: &Review<'_>) -> String {
    if review.entries().is_empty() {
        return String::new();
    }
    let mut table = Table::new(&["place", "what enters", "voice", "key"]);
    for (entry, form) in review.statements() {
        let place = review.score.place(entry.onset).map_or(String::new(), |place| place.to_string());
        table.row(&[&place, &stated((entry, form)), &name(review, entry.voice), &entry.key]);
    }
    format!("## Entries\n\n{table}")
}

fn consonance(review: &Review<'_>) -> String {
    let texture = Texture::of(review.score);
    let mut table = Table::new(&["voices", "imperfect", "perfect", "dissonant"]);
    let mut heard = false;
    for pair in texture.pairs() {
        let shares = pair.shares_by_time();
        if shares != Shares::default() {
            heard = true;
            let names = [pair.upper(), pair.lower()].map(|voice| name(review, voice)).join(" and ");
            let shares = [shares.imperfect, shares.perfect, shares.dissonant];
            let [imperfect, perfect, dissonant] = shares.map(|it| format!("{it} ({})", it.percent()));
            table.row(&[&names, &imperfect, &perfect, &dissonant]);
        }
    }
    if heard {
        format!("## Consonance\n\nOf the time in which both sound.\n\n{table}")
    } else {
        String::new()
    }
}

/// How often each rule is broken, if there are many findings.
fn by_rule(review: &Review<'_>) -> String {
    if review.findings.len() <= MANY {
        return String::new();
    }
    let mut table = Table::new(&["rule", "Faults", "Cautions", "Remarks"]);
    for (rule, [faults, cautions, remarks]) in review.by_rule() {
        table.row(&[&rule, &faults, &cautions, &remarks]);
    }
    format!("## By rule\n\n{table}")
}

fn findings(review: &Review<'_>) -> String {
    match review.findings {
        [] => "## Findings\n\nNothing to mark: the counterpoint is clean.\n".to_owned(),
        findings => remarks(findings),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::interchange::fixture;
    use crate::score::Score;

    #[test]
    fn entry_in_another_form_says_so() {
        let exposition = fixture::exposition();
        let (outline, transformed) = (exposition.outline(), [fixture::inverted(&exposition)]);
        let review = Review {
            outline: Some(&outline),
            transformed: &transformed,
            ..Review::of(exposition.score(), &[])
        };
        assert!(write_review(&review).contains("answer, inverted"), "{}", write_review(&review));
    }

    #[test]
    fn sheet_has_the_sections_of_a_review() {
        let exposition = fixture::exposition();
        let (outline, findings) = (exposition.outline(), [fixture::finding()]);
        let title = "fughetta.mid";
        let review = Review { title, outline: Some(&outline), ..Review::of(exposition.score(), &findings) };
        let sheet = write_review(&review);
        assert!(sheet.starts_with(
            "# fughetta.mid\n\nD minor, 4/4, for Soprano, Alto, Bass: 1 Fault, no Caution, no Remark.\n\n"
        ));
        let headings: Vec<&str> = sheet.lines().filter(|line| line.starts_with("## ")).collect();
        assert_eq!(headings, ["## Subject", "## Entries", "## Consonance", "## Findings"]);
        assert!(sheet.contains("1. **Fault**, bar 3, beat 2: Soprano and Alto move in parallel fifths"));
    }

    #[test]
    fn many_findings_are_counted_by_rule() {
        let score = Score::excerpt("C major", "4/4", &["E5:1"]).unwrap();
        let sheet = |count| write_review(&Review::of(&score, &vec![fixture::finding(); count]));
        assert!(!sheet(12).contains("## By rule"));
        let table = "## By rule\n\n\
                     | rule              | Faults | Cautions | Remarks |\n\
                     |-------------------|--------|----------|---------|\n\
                     | parallel-perfects | 13     | 0        | 0       |\n\n## Findings\n";
        assert!(sheet(13).contains(table), "{}", sheet(13));
    }

    #[test]
    fn clean_score_that_is_no_fugue_says_so() {
        let score = Score::excerpt("C major", "4/4", &["E5:1"]).unwrap();
        let sheet = write_review(&Review { title: "a_b", ..Review::of(&score, &[]) });
        assert_eq!(
            sheet,
            "# a\\_b\n\nC major, 4/4, for soprano: no Fault, no Caution, no Remark.\n\n\
             ## Subject\n\nNone: the score is reviewed as counterpoint, not as a fugue.\n\n\
             ## Findings\n\nNothing to mark: the counterpoint is clean.\n"
        );
    }
}
