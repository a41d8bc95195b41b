//! The review of a score, to read in a terminal.

use super::{columns, in_bars, one_line};
use crate::exposition::{Entry, Form};
use crate::interchange::Review;
use crate::interchange::review::{MANY, counts, stated};
use crate::rules::{RuleId, Severity};
use crate::texture::{Pair, Share, Shares, Texture};
use crate::time::Time;
use std::fmt::Write as _;

/// Writes a review: what the score is, its subject and entries, how its voices agree, and each
/// finding as a note in the margin. It ends with a line feed.
pub fn write_review(review: &Review<'_>) -> String {
    let sections = [head(review), fugue(review), consonance(review), findings(review)];
    let sections: Vec<String> = sections.into_iter().filter(|section| !section.is_empty()).collect();
    sections.join("\n")
}

fn name<'a>(review: &Review<'a>, voice: usize) -> &'a str {
    review.score.parts().get(voice).map_or("", |part| part.voice.name())
}

fn place(review: &Review<'_>, onset: Time) -> String {
    review.score.place(onset).map_or(onset.to_string(), |place| place.to_string())
}

fn head(review: &Review<'_>) -> String {
    let score = review.score;
    let names: Vec<String> = score.parts().iter().map(|part| one_line(part.voice.name())).collect();
    let bars = match score.bar_count() {
        1 => "1 bar".to_owned(),
        count => format!("{count} bars"),
    };
    let mut text = format!("{}\n", one_line(review.title));
    let _ = writeln!(text, "{}, {}, {bars}, for {}", review.key(), score.meters(), names.join(", "));
    for remark in review.remarks {
        let _ = writeln!(text, "  As read: {}", one_line(&remark.to_string()));
    }
    text
}

fn fugue(review: &Review<'_>) -> String {
    let Some((outline, first)) = review.outline.zip(review.first_entry()) else {
        return "No subject is answered here: this is reviewed as counterpoint, not as a fugue.\n".to_owned();
    };
    let (subject, profile) = (&outline.subject, outline.subject.profile());
    let (notes, bars) = (subject.line().notes().len(), in_bars(profile.bars()));
    let mut text = format!("Subject: {notes} notes in {bars}; {} begins\n", name(review, first.voice));
    let _ = writeln!(text, "  {}", subject.line().text_in(subject.meter(), subject.offset()));
    let row = |(entry, form): (&Entry, Form)| {
        let (role, key) = (stated((entry, form)), format!("in {}", entry.key));
        [place(review, entry.onset), one_line(name(review, entry.voice)), role, key]
    };
    let rows: Vec<[String; 4]> = review.statements().into_iter().map(row).collect();
    format!("{text}\nEntries\n{}", columns(&rows))
}

fn consonance(review: &Review<'_>) -> String {
    let texture = Texture::of(review.score);
    let share = |share: Share| format!("{share} ({})", share.percent());
    let row = |pair: Pair<'_>| {
        let names = pair.names().map(one_line).join(" and ");
        let Shares { imperfect, perfect, dissonant } = pair.shares_by_time();
        [names, share(imperfect), share(perfect), share(dissonant)]
    };
    let heard = texture.pairs().filter(|pair| pair.shares_by_time() != Shares::default());
    let rows: Vec<[String; 4]> = heard.map(row).collect();
    if rows.is_empty() {
        return String::new();
    }
    let heading = ["of the time both sound", "imperfect", "perfect", "dissonant"].map(str::to_owned);
    format!("Consonance\n{}", columns(&[vec![heading], rows].concat()))
}

/// The findings, the words of the friend first if there are none.
fn findings(review: &Review<'_>) -> String {
    let mut text = match review.findings {
        [] => "Review: nothing to mark. The counterpoint is clean: play it, and enjoy it.\n".to_owned(),
        findings if review.count(Severity::Fault) == 0 => {
            format!("Review: {}. No rule that holds absolutely is broken.\n", counts(findings))
        }
        findings => format!("Review: {}.\n", counts(findings)),
    };
    text += &by_rule(review);
    for finding in review.findings {
        let _ = writeln!(text, "\n{}", lines(&finding.to_string()));
    }
    text
}

/// How often each rule is broken, if there are many findings.
fn by_rule(review: &Review<'_>) -> String {
    if review.findings.len() <= MANY {
        return String::new();
    }
    let of_rule = |(rule, [faults, cautions, remarks]): (RuleId, [usize; 3])| {
        let counts = [faults, cautions, remarks]
            .map(|count| if count == 0 { "-".to_owned() } else { count.to_string() });
        let [faults, cautions, remarks] = counts;
        [rule.to_string(), faults, cautions, remarks]
    };
    let heading = ["rule", "Faults", "Cautions", "Remarks"].map(str::to_owned);
    let rows: Vec<[String; 4]> = review.by_rule().into_iter().map(of_rule).collect();
    columns(&[vec![heading], rows].concat())
}

/// A text without anything but line feeds that would break its lines.
fn lines(text: &str) -> String {
    text.lines().map(one_line).collect::<Vec<_>>().join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::interchange::fixture;
    use crate::rules::Finding;
    use crate::score::Score;

    #[test]
    fn review_of_the_fughetta_reads_like_this() {
        let exposition = fixture::exposition();
        let (outline, findings) = (exposition.outline(), [fixture::finding()]);
        let title = "fughetta.musicxml";
        let review = Review { title, outline: Some(&outline), ..Review::of(exposition.score(), &findings) };
        assert_eq!(write_review(&review), include_str!("review.txt"));
    }

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
    fn clean_score_that_is_no_fugue_has_a_friendly_word() {
        let score = Score::excerpt("C major", "4/4", &["E5:1"]).unwrap();
        let text = write_review(&Review { title: "a.mid", ..Review::of(&score, &[]) });
        assert_eq!(
            text,
            "a.mid\nC major, 4/4, 1 bar, for soprano\n\n\
             No subject is answered here: this is reviewed as counterpoint, not as a fugue.\n\n\
             Review: nothing to mark. The counterpoint is clean: play it, and enjoy it.\n"
        );
    }

    #[test]
    fn many_findings_are_counted_by_rule_first() {
        let score = Score::excerpt("C major", "4/4", &["E5:1"]).unwrap();
        let (one, other) = (fixture::finding(), RuleId::new("out-of-compass"));
        let mut findings = vec![one; 12];
        assert!(!write_review(&Review::of(&score, &findings)).contains("rule "));
        findings.push(Finding { rule: other, severity: Severity::Remark, ..fixture::finding() });
        let text = write_review(&Review::of(&score, &findings));
        let table = "Review: 12 Faults, no Caution, 1 Remark.\n  \
                     rule               Faults  Cautions  Remarks\n  \
                     parallel-perfects  12      -         -\n  \
                     out-of-compass     -       -         1\n\n";
        assert!(text.contains(table), "{text}");
    }

    #[test]
    fn titles_stay_on_their_line() {
        let score = Score::excerpt("C major", "4/4", &["E5:1"]).unwrap();
        let review = Review { title: "a\n\u{1b}[31m", ..Review::of(&score, &[]) };
        assert!(write_review(&review).starts_with("a  [31m\nC major"));
    }
}
