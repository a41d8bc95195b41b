//! Notes struck again and again.

use crate::exposition::{Entry, Role};
use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::source::Source;
use crate::texture::{Texture, Tone};

#[doc = include_str!("idle_repetition.md")]
#[derive(Clone, Copy, Debug)]
pub struct IdleRepetition {
    /// How often in succession a note may be struck: 4 times by default.
    pub times: usize,
    /// Whether a chord that is struck again and again is judged voice by voice, as by default.
    pub chords: Recited,
}

/// What a rule makes of a note that is repeated in company: of a chord that a choir recites or strings repeat.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Recited {
    /// As much as of any other.
    #[default]
    Judged,
    /// Nothing, if another voice repeats a note of its own half of the times.
    Excused,
}

impl Default for IdleRepetition {
    fn default() -> Self {
        Self { times: 4, chords: Recited::Judged }
    }
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("idle-repetition"),
    severity: Severity::Remark,
    summary: "a voice strikes one note many times in succession",
    page: include_str!("idle_repetition.md"),
    source: Source::CommonPractice,
};

/// A note of a voice that is struck again and again: from a note of an index, so many times.
#[derive(Clone, Copy)]
struct Run {
    voice: usize,
    first: usize,
    count: usize,
}

/// The runs of one pitch in a voice, without a rest.
fn runs<'t>(texture: &'t Texture<'_>, voice: usize) -> impl Iterator<Item = Run> + use<'t> {
    texture.tones(voice).chunk_by(|before, tone| before.is_repeated_by(*tone)).scan(0, move |next, notes| {
        let (first, count) = (*next, notes.len());
        *next += count;
        Some(Run { voice, first, count })
    })
}

impl Run {
    fn tones<'t>(self, texture: &'t Texture<'_>) -> &'t [Tone] {
        texture.tones(self.voice).get(self.first..self.first + self.count).unwrap_or(&[])
    }

    fn spot(self, onset: i64) -> Spot {
        Spot::new(onset, (self.first..self.first + self.count).map(|note| (self.voice, note)).collect())
    }

    /// Whether it lies in an entry of subject or answer, which is as its theme is, or in a later one of the
    /// countersubject, which has it from the first.
    fn is_thematic(self, texture: &Texture<'_>) -> bool {
        let Some(outline) = texture.outline() else { return false };
        let first = outline.entries.iter().find(|entry| entry.role == Role::Countersubject);
        let mut own = outline.entries.iter().filter(|entry| {
            let notes = &entry.notes;
            entry.voice == self.voice && notes.start < self.first + self.count && self.first < notes.end
        });
        own.any(|entry| {
            let is_later =
                |first: &Entry| first.onset < entry.onset && self.is_restated(texture, first, entry);
            entry.role != Role::Countersubject || first.is_some_and(is_later)
        })
    }

    /// Whether the first of two entries strikes one note again and again where it lies in the other.
    fn is_restated(self, texture: &Texture<'_>, first: &Entry, entry: &Entry) -> bool {
        let shared = self.first.max(entry.notes.start)..(self.first + self.count).min(entry.notes.end);
        let there = |note: usize| first.notes.start + (note - entry.notes.start);
        let tones = texture.tones(first.voice).get(there(shared.start)..there(shared.end));
        tones.is_some_and(|tones| tones.windows(2).all(|pair| pair[0].is_repeated_by(pair[1])))
    }

    /// Whether another voice repeats a note of its own with half of its strokes, the first not counted.
    fn is_in_company(self, texture: &Texture<'_>) -> bool {
        let strokes = self.tones(texture).get(1..).unwrap_or(&[]);
        let mut others = (0..texture.voices()).filter(|voice| *voice != self.voice);
        others.any(|voice| {
            let together = strokes.iter().filter(|tone| repeats(texture.tones(voice), tone.onset));
            together.count() * 2 >= strokes.len()
        })
    }
}

/// Whether a voice strikes its note again on a tick.
fn repeats(tones: &[Tone], tick: i64) -> bool {
    let at = tones.partition_point(|tone| tone.onset < tick);
    let pair = at.checked_sub(1).and_then(|before| tones.get(before)).zip(tones.get(at));
    pair.is_some_and(|(before, tone)| tone.onset == tick && tone.pitch == before.pitch)
}

impl Rule for IdleRepetition {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, texture: &Texture<'_>) -> Reach {
        let all = (0..texture.voices()).flat_map(|voice| runs(texture, voice));
        let whole = |run: Run| Some(run.tones(texture).first()?.onset..run.tones(texture).last()?.end);
        Reach::Near(all.filter_map(whole).collect())
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let voices = (0..texture.voices()).filter(|voice| !texture.is_companion(*voice));
        let long = voices.flat_map(|voice| runs(texture, voice)).filter(|run| run.count > self.times);
        for run in long.filter(|run| !run.is_thematic(texture)) {
            let [from, .., to] = run.tones(texture) else { continue };
            if self.chords == Recited::Excused && run.is_in_company(texture) {
                continue;
            }
            let (name, pitch, count) = (texture.name(run.voice), from.pitch, run.count);
            let message = format_args!("{name} strikes one note, {pitch}, {count} times in succession");
            report.add(run.spot(from.onset), message, Evidence::of_stretch(texture, to.end - from.onset));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{IdleRepetition, Recited};
    use crate::exposition::Role::{Answer, Countersubject, Subject};
    use crate::rules::trial::{found, found_by_name, found_in_fugue};

    const LINE: &str = "C5:1/4 D5:1/8 D5 D5 D5 D5:1/4 C5:1";

    /// Of the countersubject it is told once, where it is first heard.
    #[test]
    fn finds_it_in_the_first_countersubject() {
        let lines = [
            "R:1 G4:1/4 A4 B4 G4 B4:1/8 B4 B4 B4 B4 D5 C5:1/4",
            "C4:1/4 D4 E4 C4 E4:1/8 E4 E4 E4 E4 G4 F4:1/4 R:1",
            "R:2 C3:1/4 D3 E3 C3",
        ];
        let themes = [(Subject, 1, 0..4), (Answer, 0, 0..4), (Subject, 2, 0..4)];
        let marks = [&themes[..], &[(Countersubject, 1, 4..11), (Countersubject, 0, 4..11)]].concat();
        let found = |lines: &[&str]| found_in_fugue(&IdleRepetition::default(), lines, &marks);
        let once = found(&lines);
        assert_eq!(once.len(), 1, "{once:?}");
        assert!(
            once[0].starts_with("bar 2, beat 1") && once[0].contains("alto strikes one note, E4, 5 times")
        );
        // The second alone has it: it is told there.
        let changed = found(&[lines[0], "C4:1/4 D4 E4 C4 E4:1/8 F4 E4 D4 E4 G4 F4:1/4 R:1", lines[2]]);
        assert!(changed.len() == 1 && changed[0].starts_with("bar 3, beat 1"), "{changed:?}");
    }

    #[test]
    fn finds_a_note_struck_five_times() {
        assert_eq!(
            found(&IdleRepetition::default(), "4/4", &[LINE]),
            ["bar 1, beat 2: Remark [(0, 1), (0, 2), (0, 3), (0, 4), (0, 5)] \
                 soprano strikes one note, D5, 5 times in succession"]
        );
    }

    #[test]
    fn allows_four_times_and_a_rest_between() {
        let rule = IdleRepetition::default();
        assert!(found(&rule, "4/4", &["C5:1/4 D5 D5 D5 D5 C5:3/4"]).is_empty());
        assert!(found(&rule, "4/4", &["D5:1/4 D5 D5 R D5 D5 D5:1/2"]).is_empty());
    }

    #[test]
    fn allows_the_theme_to_repeat_its_note() {
        assert!(found_in_fugue(&IdleRepetition::default(), &[LINE], &[(Subject, 0, 0..7)]).is_empty());
    }

    /// Choirs recite on a chord, and second violin and viola repeat theirs under the first violin.
    #[test]
    fn allows_a_chord_to_be_repeated_where_the_style_is_free() {
        let free = IdleRepetition { chords: Recited::Excused, ..IdleRepetition::default() };
        let chord = ["G5:1/4 F5 E5 D5", "C5:1/8 C5 C5 C5 C5 B4:3/8", "E4:1/8 E4 E4 E4 E4 D4:3/8"];
        assert!(found(&free, "4/4", &chord).is_empty());
        assert_eq!(found(&IdleRepetition::default(), "4/4", &chord).len(), 2);
        assert_eq!(found(&free, "4/4", &[chord[0], chord[1], "E4:1/8 F4 E4 D4 E4 D4:3/8"]).len(), 1);
    }

    /// Drums have two notes.
    #[test]
    fn allows_an_instrument_that_goes_with_a_choir_to_repeat_its_note() {
        let choir = [("Soprano", "E5:1"), ("Alto", "C5:1"), ("Bass", "C3:1")];
        let drums = ("Timpani", "C3:1/8 C3 C3 C3 C3 C3 C3 C3");
        assert!(found_by_name(&IdleRepetition::default(), &[&[drums], &choir[..]].concat()).is_empty());
        assert_eq!(found_by_name(&IdleRepetition::default(), &[drums, choir[0]]).len(), 1);
    }
}
