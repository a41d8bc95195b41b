//! Voices without an entry.

use super::statement::{Statement, all_statements};
use super::turn::{Round, comes_in};
use crate::exposition::PATIENCE;
use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::source::Source;
use crate::texture::Texture;

#[doc = include_str!("missing_entry.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct MissingEntry;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("missing-entry"),
    severity: Severity::Caution,
    summary: "a voice never states subject or answer",
    page: include_str!("missing_entry.md"),
    source: Source::Handbook("Prout, Fugue, §§11, 203"),
};

/// The entries of the first round and the voices that enter after it. The round is over when the theme
/// has been silent for three times its length, or for longer than itself before a voice has it again.
fn waited_for<'s, 't>(
    themes: &'s [Statement<'t>],
    length: i64,
) -> (&'s [Statement<'t>], Vec<&'s Statement<'t>>) {
    let is_over = |next: usize| {
        let (Some(one), Some(theme)) =
            (next.checked_sub(1).and_then(|one| themes.get(one)), themes.get(next))
        else {
            return false;
        };
        let is_again = themes.iter().take(next).any(|it| it.voice() == theme.voice());
        theme.onset - one.end > if is_again { length } else { PATIENCE * length }
    };
    let count = (1..themes.len()).find(|&next| is_over(next)).unwrap_or(themes.len());
    let (before, after) = themes.split_at(count);
    let mut late: Vec<&Statement<'t>> = Vec::new();
    for theme in after {
        let is_known = |it: &&Statement<'_>| it.voice() == theme.voice();
        if !before.iter().any(|it| it.voice() == theme.voice()) && !late.iter().any(is_known) {
            late.push(theme);
        }
    }
    (before, late)
}

/// A voice that has its entry late, or never.
struct Missed<'s, 't> {
    voice: usize,
    late: Option<&'s Statement<'t>>,
}

impl Missed<'_, '_> {
    /// Reports when it missed its turn.
    fn report(&self, texture: &Texture<'_>, turn: i64, report: &mut Report<'_>) {
        let name = texture.name(self.voice);
        if let Some(theme) = self.late {
            let message = format_args!("{name} has its first entry long after the others");
            let evidence = Evidence::of_stretch(texture, theme.onset - turn);
            report.add_lighter(self.spot(texture, turn), message, evidence);
        } else {
            let end = texture.outline().map_or(turn, |outline| texture.grid().ticks(outline.end));
            let message = format_args!("{name} never has subject or answer");
            report.add(self.spot(texture, turn), message, Evidence::of_stretch(texture, end));
        }
    }

    /// A tick, with the first note of the voice if it lies there.
    fn spot(&self, texture: &Texture<'_>, turn: i64) -> Spot {
        let first = comes_in(texture, self.voice);
        match first.filter(|first| texture.tones(self.voice).get(*first).is_some_and(|it| it.onset == turn)) {
            Some(first) => Spot::new(turn, vec![(self.voice, first)]),
            None => Spot::silent(turn, self.voice),
        }
    }
}

/// Whether a part is no voice of the fugue, but thickens a close: long after the round it has notes for less
/// than a theme, or it comes in for the last quarter of the piece alone.
fn is_filling(texture: &Texture<'_>, voice: usize, round: &[Statement<'_>], length: i64) -> bool {
    let end = round.last().map_or(0, |last| last.end);
    let Some(begins) = begins(texture, voice).filter(|begins| begins - end > PATIENCE * length) else {
        return false;
    };
    let sounds: i64 = texture.tones(voice).iter().map(|tone| tone.duration()).sum();
    sounds < length || 4 * begins > 3 * texture.grid().ticks(texture.score().length())
}

/// When a voice comes in.
fn begins(texture: &Texture<'_>, voice: usize) -> Option<i64> {
    texture.tones(voice).get(comes_in(texture, voice)?).map(|first| first.onset)
}

/// The voices that enter late and those that never do, in the order in which they are heard.
fn missed<'s, 't>(
    texture: &Texture<'_>,
    themes: &[Statement<'_>],
    late: Vec<&'s Statement<'t>>,
) -> Vec<Missed<'s, 't>> {
    let enters = |voice: usize| themes.iter().any(|theme| theme.voice() == voice);
    let never = (0..texture.voices()).filter(|&voice| !enters(voice));
    let late = late.into_iter().map(|theme| Missed { voice: theme.voice(), late: Some(theme) });
    let mut missed: Vec<_> = late.chain(never.map(|voice| Missed { voice, late: None })).collect();
    missed.sort_by_key(|it| begins(texture, it.voice).unwrap_or(i64::MAX));
    missed
}

impl Rule for MissingEntry {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let Some(outline) = texture.outline() else { return };
        let themes = all_statements(texture);
        let length = texture.grid().ticks(outline.subject.line().length());
        let (exposed, late) = waited_for(&themes, length);
        let mut missed = missed(texture, &themes, late);
        missed.retain(|it| it.late.is_some() || !is_filling(texture, it.voice, exposed, length));
        if missed.is_empty() {
            return;
        }
        let mut round = Round::of(texture, outline, exposed);
        for (index, it) in missed.iter().enumerate() {
            let silent = it.late.is_none().then_some(it.voice);
            it.report(texture, round.miss(silent, missed.len() - index), report);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exposition::Role::{self, Answer, Countersubject, Subject};
    use crate::exposition::{Form, Outline};
    use crate::rules::trial::{found, found_in_forms, found_in_fugue};
    use crate::score::Score;

    const LINES: [&str; 3] = ["R:1 G4:1/4 A4 B4 G4", "C4:1/4 D4 E4 C4 B3:1/2 G3", "R:1 G3:1"];

    #[test]
    fn finds_a_voice_that_only_accompanies() {
        assert_eq!(
            found_in_fugue(&MissingEntry, &LINES, &[(Subject, 1, 0..4), (Answer, 0, 0..4)]),
            ["bar 2, beat 1: Caution [(2, 0)] tenor never has subject or answer"]
        );
    }

    #[test]
    fn finds_a_silent_voice_where_its_entry_is_due() {
        let lines = [LINES[0], LINES[1], "R:2"];
        let marks = [(Subject, 1, 0..4), (Answer, 0, 0..4)];
        assert_eq!(
            found_in_fugue(&MissingEntry, &lines, &marks),
            ["bar 3, beat 1: Caution [] tenor never has subject or answer"]
        );
        let score = Score::excerpt("C major", "4/4", &lines).unwrap();
        let outline = Outline::marked(&score, &marks).unwrap();
        assert_eq!(Texture::of(&score).with_outline(&outline).marks(&MissingEntry)[0].voices, [2]);
    }

    #[test]
    fn finds_a_voice_that_enters_long_after_the_others() {
        let lines = [LINES[0], LINES[1], "R:6 C3:1/4 D3 E3 C3"];
        assert_eq!(
            found_in_fugue(
                &MissingEntry,
                &lines,
                &[(Subject, 1, 0..4), (Answer, 0, 0..4), (Subject, 2, 0..4)]
            ),
            ["bar 3, beat 1: Remark [] tenor has its first entry long after the others"]
        );
    }

    const ANSWER: &str = "R:1 G4:1/4 A4 B4 G4";
    const THEME: &str = "C4:1/4 D4 E4 C4";

    /// What the rule finds in four voices of which the last has this, the third entering after so long.
    fn fourth(third: &str, role: Role, fourth: &str) -> Vec<String> {
        let (first, third) = (format!("{THEME} B3:1/2 G3 C4:4"), format!("R:{third} C3:1/4 D3 E3 C3"));
        let marks = [(Subject, 1, 0..4), (Answer, 0, 0..4), (role, 2, 0..4)];
        found_in_fugue(&MissingEntry, &[ANSWER, &first, &third, fourth], &marks)
    }

    #[test]
    fn finds_a_turn_passed_over_between_two_entries_of_one_role() {
        let at = |bar: u8| [format!("bar {bar}, beat 1: Caution [] bass never has subject or answer")];
        assert_eq!(fourth("3", Answer, "R:4 C3:2"), at(3));
        assert_eq!(fourth("2", Subject, "R:6 C3:1"), at(4));
    }

    /// Such a voice was once marked where it is first heard, after its turn.
    #[test]
    fn finds_a_voice_that_goes_on_as_after_a_theme_a_theme_earlier() {
        assert_eq!(
            fourth("2", Subject, "R:5 C3:1/4 D3 E3"),
            ["bar 5, beat 1: Caution [] bass never has subject or answer"]
        );
    }

    /// The last note of the entry before it sounds on as the next is due: such a voice was once marked where it is first
    /// heard, as if nothing told when its turn was.
    #[test]
    fn finds_a_turn_on_which_the_theme_before_has_not_ended() {
        let lines =
            ["R:1 G4:1/4 A4 B4 G4:1/2", "C4:1/4 D4 E4 C4:1/2 R:4", "R:2 C3:1/4 D3 E3 C3:1/2", "R:17/4 G3:1"];
        let marks = [(Subject, 1, 0..4), (Answer, 0, 0..4), (Subject, 2, 0..4)];
        assert_eq!(
            found_in_fugue(&MissingEntry, &lines, &marks),
            ["bar 4, beat 1: Caution [] bass never has subject or answer"]
        );
    }

    /// It goes on a quaver after the end of the theme that it should have had between two answers.
    #[test]
    fn finds_the_turn_that_both_neighbours_tell_if_the_voice_goes_on_soon_after() {
        assert_eq!(
            fourth("3", Answer, "R:25/8 C3:2"),
            ["bar 3, beat 1: Caution [] bass never has subject or answer"]
        );
    }

    /// A fourth voice is due in bar 4; the countersubject returns without it a bar later.
    #[test]
    fn finds_a_turn_where_the_countersubject_goes_alone() {
        let lines = |third: &str| {
            let third = format!("R:2 C3:1/4 D3 E3 C3 G3:1 {third}");
            let first = "C4:1/4 D4 E4 C4 E4:1/8 F4 E4 D4 C4:1/4 B3 R:3";
            let answer = "R:1 G4:1/4 A4 B4 G4 B4:1/8 C5 B4 A4 G4:1/4 F#4";
            let marks =
                [(Subject, 1, 0..4), (Answer, 0, 0..4), (Countersubject, 1, 4..10), (Subject, 2, 0..4)];
            found_in_fugue(&MissingEntry, &[answer, first, &third, "R:5"], &marks)
        };
        let at = |bar: u8| [format!("bar {bar}, beat 1: Caution [] bass never has subject or answer")];
        assert_eq!(lines("E3:1/8 F3 E3 D3 C3:1/4 B2"), at(5));
        assert_eq!(lines("E3:1/8 F3 G3 A3 B3:1/4 C4"), at(4));
        assert_eq!(lines("E3:1/8 F3 E3 D3 C4:1/4 B3"), at(5), "it goes on in another octave");
        assert_eq!(lines("R:1/8 F3 E3 D3 C3:1/4 B2"), at(5), "its first note may be what went before");
        assert_eq!(lines("R:1/8 F3 E3 R C3:1/4 B2"), at(4), "of six notes one may be missing");
        assert_eq!(lines("E3:1/8 F3 E3 F3 C3:1/4 B2"), at(5));
        assert_eq!(lines("E3:1/8 G3 F3 C3 C3:1/4 A2"), at(4), "it keeps its distance, or a step below");
    }

    /// It goes on a theme after a place like that of the subject, which is nearer to its turn than where it goes on.
    #[test]
    fn finds_a_turn_a_theme_before_the_voice_goes_on_though_that_would_be_in_time() {
        let first = format!("{THEME} B3:1/2 G3 C4:6");
        let lines = ["R:39/8 G4:1/4 A4 B4 G4", &first, "R:3 C3:1/4 D3 E3 C3", "R:5/2 G3:1"];
        let marks = [(Subject, 1, 0..4), (Subject, 2, 0..4), (Answer, 0, 0..4)];
        assert_eq!(
            found_in_fugue(&MissingEntry, &lines, &marks),
            ["bar 2, beat 3: Caution [] bass never has subject or answer"]
        );
    }

    /// It goes on a little before the end of the theme that it should have had: that may have been heard too long.
    #[test]
    fn finds_the_turn_if_the_voice_goes_on_a_little_before_the_end() {
        assert_eq!(
            fourth("3", Answer, "R:43/16 C3:2"),
            ["bar 3, beat 1: Caution [] bass never has subject or answer"]
        );
    }

    /// What a voice had in the introduction was once taken for that with which it comes in.
    #[test]
    fn finds_a_voice_that_comes_in_with_something_else_after_an_introduction() {
        let lines = [
            "G4:1 R:2 G4:1/4 A4 B4 G4",
            "C4:1 R C4:1/4 D4 E4 C4 B3:1/2 G3 C4:4",
            "E3:1 R:3 C3:1/4 D3 E3 C3",
            "C3:1 R:17/4 C3:1/4 C3 C3",
        ];
        let marks = [(Subject, 1, 1..5), (Answer, 0, 1..5), (Subject, 2, 1..5)];
        assert_eq!(
            found_in_fugue(&MissingEntry, &lines, &marks),
            ["bar 6, beat 2: Caution [(3, 1)] bass never has subject or answer"]
        );
    }

    #[test]
    fn finds_a_voice_that_comes_in_with_something_else_where_it_does() {
        assert_eq!(
            fourth("2", Subject, "R:13/4 C3:1/4 C3 C3"),
            ["bar 4, beat 2: Caution [(3, 0)] bass never has subject or answer"]
        );
    }

    /// Parts that only fill the last chord were once taken for voices.
    #[test]
    fn allows_a_part_that_thickens_the_close() {
        let first = format!("{THEME} B3:1/2 G3 C4:7");
        let marks = [(Subject, 1, 0..4), (Answer, 0, 0..4)];
        assert!(found_in_fugue(&MissingEntry, &[ANSWER, &first, "R:8 E3:1/2"], &marks).is_empty());
    }

    /// Notation splits a line off another where one voice becomes two chords: it was once said never to enter.
    #[test]
    fn allows_a_part_that_comes_in_for_the_close() {
        let first = format!("{THEME} B3:1/2 G3 C4:9");
        let marks = [(Subject, 1, 0..4), (Answer, 0, 0..4)];
        let close = |bars: u8| format!("R:{bars} E3:1/2 F3 E3 F3");
        assert!(found_in_fugue(&MissingEntry, &[ANSWER, &first, &close(9)], &marks).is_empty());
        assert_eq!(found_in_fugue(&MissingEntry, &[ANSWER, &first, &close(7)], &marks).len(), 1);
    }

    /// Such a voice was once said never to enter: BWV 1080, nos. 5 to 7.
    #[test]
    fn allows_a_voice_to_enter_upside_down() {
        let (answer, subject) = ("R:1 G4:1/4 A4 B4 G4", "C4:1/4 D4 E4 C4 B3:1/2 G3 C4:1");
        let (marks, inverted) = ([(Subject, 1, 0..4), (Answer, 0, 0..4)], (Form::Inverted, 2, 0..4));
        let lines = [answer, subject, "R:2 C4:1/4 B3 A3 C4"];
        assert!(found_in_forms(&MissingEntry, &lines, &marks, &[inverted]).is_empty());
        assert_eq!(found_in_fugue(&MissingEntry, &lines, &marks).len(), 1);
    }

    #[test]
    fn allows_every_voice_to_enter_and_music_without_an_outline() {
        let marks = [(Subject, 1, 0..4), (Answer, 0, 0..4), (Subject, 2, 0..1)];
        assert!(found_in_fugue(&MissingEntry, &LINES, &marks).is_empty());
        assert!(found(&MissingEntry, "4/4", &LINES).is_empty());
    }
}
