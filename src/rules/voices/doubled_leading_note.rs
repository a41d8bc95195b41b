//! The leading note in two voices.

use crate::pitch::PitchClass;
use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::scale::Degree;
use crate::source::Source;
use crate::texture::{Sonority, Texture};

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

/// The notes of the dominant seventh and ninth chord: leading note, dominant, supertonic,
/// subdominant.
struct Dominant {
    leading: PitchClass,
    others: [PitchClass; 3],
}

impl Dominant {
    fn of(texture: &Texture<'_>) -> Option<Self> {
        let key = texture.score().key();
        let degree = |steps| key.class(Degree::of_steps(steps)).ok();
        Some(Self { leading: key.leading_note().ok()?, others: [degree(4)?, degree(1)?, degree(3)?] })
    }

    /// The voices with the leading note, if there are several and all else is dominant harmony.
    fn doubled(&self, sonority: &Sonority<'_>) -> Option<[(usize, usize); 2]> {
        let is_leading = |class: PitchClass| class == self.leading;
        let mut leading = sonority.sounding().filter(|(_, _, pitch)| is_leading(pitch.class()));
        let (first, second) = (leading.next()?, leading.next()?);
        let mut rest =
            sonority.sounding().map(|(_, _, pitch)| pitch.class()).filter(|it| !is_leading(*it)).peekable();
        let is_dominant = rest.peek().is_some() && rest.all(|class| self.others.contains(&class));
        is_dominant.then_some([(first.0, first.1), (second.0, second.1)])
    }
}

impl Rule for DoubledLeadingNote {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let Some(dominant) = Dominant::of(texture) else { return };
        let mut marked = None;
        for sonority in texture.sonorities() {
            let Some(notes) = dominant.doubled(&sonority) else { continue };
            if marked == Some(notes) {
                continue;
            }
            marked = Some(notes);
            let [(upper, _), (lower, _)] = notes;
            let (Some(one), Some(other)) = (sonority.pitch(upper), sonority.pitch(lower)) else { continue };
            let (upper, lower) = (texture.name(upper), texture.name(lower));
            let message = format_args!("{upper} and {lower} double the leading note");
            report.add(
                Spot::new(sonority.onset(), notes.to_vec()),
                message,
                Evidence::of_vertical(one, other),
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::DoubledLeadingNote;
    use crate::rules::trial::{found, found_in};

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
    fn allows_the_seventh_degree_in_another_chord() {
        assert!(found(&DoubledLeadingNote, "4/4", &["B4:1", "B3:1", "E3:1"]).is_empty());
        assert!(found_in(&DoubledLeadingNote, "A minor", "4/4", &["G4:1", "G3:1", "E3:1"]).is_empty());
    }

    #[test]
    fn allows_other_doublings() {
        assert!(found(&DoubledLeadingNote, "4/4", &["G4:1", "B3:1", "G3:1"]).is_empty());
    }
}
