//! The leading note in two voices.

use crate::key::Key;
use crate::meter::Strength;
use crate::pitch::PitchClass;
use crate::rules::local::Local;
use crate::rules::words::listed;
use crate::rules::{Evidence, NEAR_NOTES, Reach, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::scale::Degree;
use crate::source::Source;
use crate::texture::{Pair, Sonority, Stretch, Texture};

#[doc = include_str!("doubled_leading_note.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct DoubledLeadingNote;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("doubled-leading-note"),
    severity: Severity::Caution,
    summary: "two voices have the leading note at once in dominant harmony",
    page: include_str!("doubled_leading_note.md"),
    source: Source::Memory("handbooks of harmony"),
};

/// The notes of the dominant seventh chord.
struct Dominant {
    leading: PitchClass,
    /// That to which it leads.
    tonic: PitchClass,
    root: PitchClass,
    fifth: PitchClass,
    /// The subdominant of the key.
    seventh: PitchClass,
    /// Whether the leading note is raised, as in minor: then it leads whatever the harmony is.
    is_raised: bool,
}

impl Dominant {
    fn of(key: Key) -> Option<Self> {
        let degree = |steps| key.class(Degree::of_steps(steps)).ok();
        let leading = key.leading_note().ok()?;
        let is_raised = degree(6)? != leading;
        Some(Self {
            leading,
            tonic: key.tonic(),
            root: degree(4)?,
            fifth: degree(1)?,
            seventh: degree(3)?,
            is_raised,
        })
    }

    /// Whether the leading note leads beside other notes: a raised one always does, that of a major key where there
    /// are some and all are of dominant harmony.
    fn is_made(&self, rest: &[PitchClass]) -> bool {
        let is_dominant = |class: &PitchClass| [self.root, self.fifth, self.seventh].contains(class);
        self.is_raised || (!rest.is_empty() && rest.iter().all(is_dominant))
    }

    /// Whether the dominant is the tonic of the moment: a voice has come to it from its own leading note, the
    /// raised fourth degree of a key in major. In minor that would have the third unraised.
    fn is_tonic(&self, texture: &Texture<'_>, sonority: &Sonority<'_>) -> bool {
        let ways = sonority.sounding().filter_map(|(voice, note, to)| {
            let from = texture.tones(voice).get(note.checked_sub(1)?)?;
            let now = texture.tones(voice).get(note)?;
            let follows = now.onset - from.end <= texture.accents().bar_at(from.end);
            follows.then_some((from.pitch.class(), to.class()))
        });
        let mut ways = ways.filter(|(from, _)| self.is_fourth(*from) == Some(1));
        !self.is_raised && ways.any(|(_, to)| to == self.root)
    }

    /// Whether the dominant may still be the tonic of the moment: the fourth degree that was heard last, within
    /// a bar, was raised.
    fn was_tonic(&self, texture: &Texture<'_>, sonority: &Sonority<'_>) -> bool {
        let tick = sonority.onset();
        let since = tick - texture.accents().bar_at(tick);
        let last = (0..texture.voices()).filter_map(|voice| {
            let tones = texture.tones(voice);
            let begun = || tones.partition_point(|tone| tone.onset <= tick);
            let begun = sonority.note(voice).map_or_else(begun, |note| note + 1);
            let mut recent = tones[..begun].iter().rev().take_while(|tone| tone.end > since);
            recent.find(|tone| self.is_fourth(tone.pitch.class()).is_some())
        });
        let last = last.max_by_key(|tone| tone.onset);
        !self.is_raised && last.is_some_and(|tone| self.is_fourth(tone.pitch.class()) == Some(1))
    }

    /// By how many semitones a note is a raised fourth degree: none, or one.
    fn is_fourth(&self, class: PitchClass) -> Option<i32> {
        let up = self.seventh.up_to(class);
        (up.steps() == 0 && matches!(up.semitones(), 0 | 1)).then_some(up.semitones())
    }

    /// Whether a voice takes the leading note of an index on to the tonic, perhaps struck again before, or has it
    /// for its last.
    fn leads(&self, texture: &Texture<'_>, (voice, note): (usize, usize)) -> bool {
        let mut tones = texture.tones(voice).iter().skip(note).take(NEAR_NOTES);
        let Some(leading) = tones.next() else { return true };
        let next = tones.find(|tone| tone.pitch != leading.pitch);
        next.is_none_or(|next| next.pitch.class() == self.tonic && (next.pitch - leading.pitch).steps() == 1)
    }

    /// The notes that are the leading note, if there are several and it leads.
    fn doubled(&self, sonority: &Sonority<'_>) -> Option<Vec<(usize, usize)>> {
        let is_leading = |class: PitchClass| class == self.leading;
        let leading = sonority.sounding().filter(|(_, _, pitch)| is_leading(pitch.class()));
        let leading: Vec<(usize, usize)> = leading.map(|(voice, note, _)| (voice, note)).collect();
        if leading.len() < 2 {
            return None;
        }
        let rest = sonority.sounding().map(|(_, _, pitch)| pitch.class()).filter(|it| !is_leading(*it));
        self.is_made(&rest.collect::<Vec<_>>()).then_some(leading)
    }
}

/// Whether voices have their notes of one line, or go with a choir: of an oboe with the sopranos nothing is
/// said.
fn are_one(texture: &Texture<'_>, notes: &[(usize, usize)], tick: i64) -> bool {
    notes.windows(2).all(|pair| {
        let [(one, _), (other, _)] = pair else { return false };
        let pair = texture.pair(*one, *other);
        let is_one = |pair: Pair<'_>| Stretch::holding(pair.doublings(), tick).is_some();
        pair.is_some_and(|pair| is_one(pair) || pair.is_accompanied())
    })
}

impl Rule for DoubledLeadingNote {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, texture: &Texture<'_>) -> Reach {
        Reach::along_octaves(texture)
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let Some(dominants) = Local::of(texture, Dominant::of) else { return };
        let mut marked = None;
        let on_beat = |it: &Sonority<'_>| texture.strength(it.onset()) >= Strength::Pulse;
        for sonority in texture.sonorities().filter(on_beat) {
            let (onset, dominant) = (sonority.onset(), dominants.at(sonority.onset()));
            let Some(notes) = dominant.doubled(&sonority) else { continue };
            let is_told = marked.as_ref() == Some(&notes);
            if is_told || are_one(texture, &notes, onset) || dominant.is_tonic(texture, &sonority) {
                continue;
            }
            dominant.report(texture, &sonority, &notes, report);
            marked = Some(notes);
        }
    }
}

impl Dominant {
    /// Why the leading note in some voices is a lighter matter, as the end of a clause; nothing if it is none.
    fn relief(&self, texture: &Texture<'_>, sonority: &Sonority<'_>, notes: &[(usize, usize)]) -> String {
        if !notes.iter().any(|note| self.leads(texture, *note)) {
            ", and none resolves it".to_owned()
        } else if self.was_tonic(texture, sonority) {
            format!(", unless {} is the tonic of the moment", self.root)
        } else {
            String::new()
        }
    }

    /// Tells of the leading note in some voices.
    fn report(
        &self,
        texture: &Texture<'_>,
        sonority: &Sonority<'_>,
        notes: &[(usize, usize)],
        report: &mut Report<'_>,
    ) {
        let voices: Vec<usize> = notes.iter().map(|(voice, _)| *voice).collect();
        let [Some(one), Some(other)] = [voices.first(), voices.last()].map(|voice| sonority.pitch(*voice?))
        else {
            return;
        };
        let (names, evidence) = (listed(texture, &voices), Evidence::of_vertical(one, other));
        let spot = Spot::new(sonority.onset(), notes.to_vec());
        let relief = self.relief(texture, sonority, notes);
        let message = format_args!("{names} double the leading note{relief}");
        if relief.is_empty() {
            report.add(spot, message, evidence);
        } else {
            report.add_lighter(spot, message, evidence);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::DoubledLeadingNote;
    use crate::exposition::Role::{Answer, Subject};
    use crate::rules::trial::{found, found_in, found_in_fugue};

    #[test]
    fn finds_two_leading_notes_once() {
        assert_eq!(
            found(&DoubledLeadingNote, "4/4", &["B4:1", "B3:1", "G3:1/2 G3"]),
            ["bar 1, beat 1: Caution [(0, 0), (1, 0)] soprano and alto double the leading note"]
        );
        let minor = found_in(&DoubledLeadingNote, "A minor", "4/4", &["G#4:1", "E4:1", "G#3:1"]);
        assert_eq!(
            minor,
            ["bar 1, beat 1: Caution [(0, 0), (2, 0)] soprano and tenor double the leading note"]
        );
    }

    #[test]
    fn finds_three_leading_notes_once() {
        let found = found(&DoubledLeadingNote, "4/4", &["B4:1", "B3:1", "B3:1", "G3:1"]);
        assert_eq!(
            found,
            [
                "bar 1, beat 1: Caution [(0, 0), (1, 0), (2, 0)] soprano, alto and tenor double the leading note"
            ]
        );
    }

    /// Over the submediant, and alone, it was once passed over: it belongs to no dominant seventh chord.
    #[test]
    fn finds_a_raised_leading_note_over_any_harmony() {
        let found = |lines: &[&str]| found_in(&DoubledLeadingNote, "A minor", "4/4", lines).len();
        assert_eq!(found(&["G#4:1/2 A4", "G#3:1/2 B3", "F3:1/2 E3"]), 1);
        assert_eq!(found(&["G#4:1/2 A4", "G#3:1/2 C3"]), 1);
        assert_eq!(found(&["G4:1/2 A4", "G3:1/2 C3"]), 0);
    }

    #[test]
    fn allows_a_line_that_is_doubled() {
        let lines = ["G4:1/4 A4 B4 C5", "G3:1/4 A3 B3 C4", "E3:1/4 D3 G3 C3"];
        assert!(found(&DoubledLeadingNote, "4/4", &lines).is_empty());
    }

    #[test]
    fn allows_the_seventh_degree_in_another_chord() {
        assert!(found(&DoubledLeadingNote, "4/4", &["B4:1", "B3:1", "E3:1"]).is_empty());
        assert!(found_in(&DoubledLeadingNote, "A minor", "4/4", &["G4:1", "G3:1", "E3:1"]).is_empty());
    }

    /// In the answer the key is the dominant: its F sharp leads, and B is a third like another.
    #[test]
    fn finds_the_leading_note_of_the_answer_while_it_sounds() {
        let lines = ["R:1 A4:1/4 F#4 B4 G4", "C4:1/4 D4 E4 C4 D4:1/2 G3", "R:1 D3:1/4 F#3 G3:1/2"];
        assert_eq!(
            found_in_fugue(&DoubledLeadingNote, &lines, &[(Subject, 1, 0..4), (Answer, 0, 0..4)]),
            ["bar 2, beat 2: Caution [(0, 1), (2, 1)] soprano and tenor double the leading note"]
        );
    }

    #[test]
    fn allows_the_seventh_degree_of_the_score_in_the_answer() {
        let lines = ["R:1 G4:1/4 B4 D5 G4", "C4:1/4 D4 E4 C4 G4:1", "R:1 G3:1/4 B3 G3:1/2"];
        assert!(!found(&DoubledLeadingNote, "4/4", &lines).is_empty());
        let marks = [(Subject, 1, 0..4), (Answer, 0, 0..4)];
        assert!(found_in_fugue(&DoubledLeadingNote, &lines, &marks).is_empty());
    }

    /// F sharp that rises to G makes G major of the moment, in which B is a third like another.
    #[test]
    fn allows_the_third_of_the_dominant_when_that_is_the_tonic_of_the_moment() {
        let lines = |second: &'static str| ["A4:1/4 B4:3/4", "D4:1/4 B3:3/4", second];
        assert!(found(&DoubledLeadingNote, "4/4", &lines("F#3:1/4 G3:3/4")).is_empty());
        assert_eq!(found(&DoubledLeadingNote, "4/4", &lines("F3:1/4 G3:3/4")).len(), 1);
        let minor = ["F#4:1/4 G#4:3/4", "B3:1/4 G#3:3/4", "D#3:1/4 E3:3/4"];
        assert_eq!(found_in(&DoubledLeadingNote, "A minor", "4/4", &minor).len(), 1);
    }

    /// Violin and viola have B over G a bar after F sharp.
    #[test]
    fn finds_it_within_a_bar_of_the_raised_fourth_degree_as_a_lighter_matter() {
        let lines = |fourth: &'static str| [fourth, "D4:1/4 D4 B3 B3", "D4:1/4 D4 G3 G3"];
        let told = "soprano and alto double the leading note, unless G is the tonic of the moment";
        assert_eq!(
            found(&DoubledLeadingNote, "4/4", &lines("F#4:1/4 G4 B4 C5")),
            [format!("bar 1, beat 3: Remark [(0, 2), (1, 2)] {told}")]
        );
        let natural = [lines("F4:1/4 G4 B4 C5"), ["F#4:1/4 G4 B4 C5", "D4:1/4 F4 B3 B3", "D4:1/4 D4 G3 G3"]];
        for lines in natural {
            assert!(found(&DoubledLeadingNote, "4/4", &lines)[0].contains("Caution"), "{lines:?}");
        }
    }

    /// B over G in the mixolydian mode, which goes on to A and to D.
    #[test]
    fn finds_one_that_does_not_lead_as_a_lighter_matter() {
        let lines = |soprano: &'static str| [soprano, "D4:1/2 C4", "B3:1/2 D4", "G3:1/2 F3"];
        let told = "soprano and tenor double the leading note, and none resolves it";
        assert_eq!(
            found(&DoubledLeadingNote, "4/4", &lines("B4:1/2 A4")),
            [format!("bar 1, beat 1: Remark [(0, 0), (2, 0)] {told}")]
        );
        assert!(found(&DoubledLeadingNote, "4/4", &lines("B4:1/4 B4 C5:1/2"))[0].contains("Caution"));
    }

    /// Chorales touch it in passing every few bars.
    #[test]
    fn allows_a_touch_off_the_beat() {
        let lines = ["B4:1/2 C5", "D4:1/8 B3 D4:1/4 E4:1/2", "G3:1/2 C3"];
        assert!(found(&DoubledLeadingNote, "4/4", &lines).is_empty());
    }

    #[test]
    fn allows_other_doublings() {
        assert!(found(&DoubledLeadingNote, "4/4", &["G4:1", "B3:1", "G3:1"]).is_empty());
    }
}
