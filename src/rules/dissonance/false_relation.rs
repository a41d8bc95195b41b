//! One degree in two forms, in two voices.

use crate::pitch::Pitch;
use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::source::Source;
use crate::texture::{Pair, Step, Texture, Tone, is_melodic_step};

#[doc = include_str!("false_relation.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct FalseRelation;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("false-relation"),
    severity: Severity::Remark,
    summary: "a note in one voice is followed at once by its chromatic form in another",
    page: include_str!("false_relation.md"),
    source: Source::Memory("handbooks of harmony"),
};

/// Whether two notes are one degree in two forms.
fn are_chromatic_forms(one: Pitch, other: Pitch) -> bool {
    let up = other - one;
    up.steps() % 7 == 0 && up.semitones() != 12 * (up.steps() / 7)
}

/// The false relations of a step, each as the note left and the note reached.
fn relations<'t>(step: &Step<'t>) -> impl Iterator<Item = [(usize, Pitch); 2]> + use<'t> {
    let (pair, [a, c], [b, d]) = (step.after().pair(), step.upper(), step.lower());
    let (upper, lower) = (pair.upper(), pair.lower());
    let is_struck = |part: usize| step.after().attacked()[part];
    let is_below = are_chromatic_forms(a, d) && !are_chromatic_forms(b, d) && is_struck(1);
    let is_above = are_chromatic_forms(b, c) && !are_chromatic_forms(a, c) && is_struck(0);
    let below = is_below.then_some([(upper, a), (lower, d)]);
    below.into_iter().chain(is_above.then_some([(lower, b), (upper, c)]))
}

/// Whether two forms of a degree cross as the melodic minor bids: the lower form falls to its natural neighbour below
/// while the raised one rises, the two going out of each other by a tone and a semitone, whichever key is touched.
fn is_melodic_minor(texture: &Texture<'_>, forms: [((usize, Option<usize>), Pitch); 2]) -> bool {
    let departure = |((voice, note), pitch): ((usize, Option<usize>), Pitch)| {
        let (tone, next) = (texture.tones(voice).get(note?)?, texture.tones(voice).get(note? + 1)?);
        let follows = next.onset - tone.end <= texture.accents().bar_at(tone.end);
        Some(next.pitch - pitch).filter(|&it| follows && is_melodic_step(it))
    };
    let [low, high] =
        if forms[0].1.alteration() < forms[1].1.alteration() { forms } else { [forms[1], forms[0]] };
    let ways = departure(low).zip(departure(high));
    ways.is_some_and(|(down, up)| {
        (down.steps(), up.steps()) == (-1, 1) && up.semitones() - down.semitones() == 3
    })
}

/// Whether a voice ends with the piece, in its last bar, on the major third of a minor key: the tierce de
/// Picardie.
fn is_picardie(texture: &Texture<'_>, note: Option<usize>, (voice, pitch): (usize, Pitch)) -> bool {
    let key = texture.score().key();
    let degree = key.degree(pitch.class());
    let is_major_third = key.mode().has_minor_third() && degree.number() == 3 && degree.alteration() == 1;
    let end = texture.grid().ticks(texture.score().length());
    let in_last_bar = |tone: &Tone| end - tone.end < texture.accents().bar_at(tone.end);
    let last = texture.tones(voice).last().filter(|tone| in_last_bar(tone));
    is_major_third && last.is_some() && note.is_some_and(|note| note + 1 == texture.tones(voice).len())
}

fn report_pair(pair: Pair<'_>, report: &mut Report<'_>) {
    let texture = pair.texture();
    for step in pair.steps() {
        for [(left, from), (reached, to)] in relations(&step) {
            let part = usize::from(reached == pair.lower());
            let note = step.after().notes()[part];
            let forms = [((left, step.before().notes()[1 - part]), from), ((reached, note), to)];
            if is_picardie(texture, note, (reached, to)) || is_melodic_minor(texture, forms) {
                continue;
            }
            let message =
                format_args!("{} answers {from} in {} with {to}", texture.name(reached), texture.name(left));
            report.add(Spot::from(&step), message, Evidence::of_melody(from, to));
        }
    }
}

impl Rule for FalseRelation {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, _texture: &Texture<'_>) -> Reach {
        Reach::near()
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        texture.pairs().for_each(|pair| report_pair(pair, report));
    }
}

#[cfg(test)]
mod tests {
    use super::FalseRelation;
    use crate::rules::trial::found;
    use crate::score::Score;
    use crate::texture::Texture;

    #[test]
    fn finds_natural_against_sharp_in_another_voice() {
        assert_eq!(
            found(&FalseRelation, "4/4", &["E5:1/2 F#5", "F4:1/2 D4"]),
            ["bar 1, beat 3: Remark [(0, 0), (1, 0), (0, 1), (1, 1)] soprano answers F4 in alto with F#5"]
        );
    }

    #[test]
    fn allows_chromatic_step_in_one_voice() {
        assert!(found(&FalseRelation, "4/4", &["F4:1/2 F#4", "A3:1/2 D4"]).is_empty());
    }

    #[test]
    fn allows_the_major_third_that_closes_a_piece_in_minor() {
        let close = |key, last: &str| {
            let score = Score::excerpt(key, "4/4", &[last, "C4:1/2 E4", "A3:1"]).unwrap();
            Texture::of(&score).marks(&FalseRelation).len()
        };
        assert_eq!(close("A minor", "E4:1/2 C#5"), 0);
        assert_eq!(close("A minor", "E4:1/2 C#5:1/4 D5"), 1);
        assert_eq!(close("G major", "E4:1/2 C#5"), 1);
    }

    // Common practice: in minor the sixth and seventh degrees fall in their natural form and rise in the raised one.
    #[test]
    fn allows_the_forms_of_the_melodic_minor_to_cross() {
        let marks = |lines: &[&str]| found(&FalseRelation, "4/4", lines).len();
        assert_eq!(marks(&["Bb4:1/4 A4 G4:1/2", "A2:1/4 B2 C#3 D3"]), 0);
        assert_eq!(marks(&["C5:1/2 Bb4", "E4:1/4 C#4 D4:1/2"]), 0);
        // In major both forms go by semitone.
        assert_eq!(marks(&["F5:1/2 E5", "D4:1/4 F#4 G4:1/2"]), 1);
        // The raised form falls.
        assert_eq!(marks(&["Bb4:1/4 A4 G4:1/2", "A2:1/4 B2 A2 D3"]), 1);
    }

    #[test]
    fn allows_other_letters() {
        assert!(found(&FalseRelation, "4/4", &["E5:1/2 Gb5", "F#4:1/2 D4"]).is_empty());
    }
}
