//! The sets of rules that come with the library.

use super::{
    Alone, AlteredEntry, AugmentedInterval, Bareness, Between, ContraryPerfects, CrowdedMotion,
    DirectPerfects, DisplacedEntry, DoubledLeadingNote, DoubledResolution, Doubling, DroppedCountersubject,
    EmptyBeat, Equals, FalseRelation, Further, HandSpan, HangingLeadingNote, IdleRepetition, InnerLastEntry,
    IrregularOrder, Leaps, MisplacedAnswer, MisplacedReturn, MissingCodetta, MissingEntry, Music,
    OutOfCompass, OutOfTessitura, Outside, OverlongCodetta, ParallelPerfects, PerfectsAcrossRest,
    PerfectsInSuccession, PerfectsOnAccents, QuickPedal, Recited, RhythmicUnison, Rule, RuleBook, Severity,
    ShadowingCountersubject, SilentFirstVoice, Singers, Spacing, StalledMotion, UnequalFifths,
    UnexplainedDissonance, UninvertibleCountersubject, UnpreparedDissonance, UnrecoveredLeap,
    UnresolvedSuspension, Veiled, VoiceCrossing, VoiceOverlap, WideLeap, WrongAnswerNote, WrongSubjectNote,
};

/// Every rule of the library with its defaults. Findings are put in order afterwards; the order of
/// the rules is that of their cost, for a search that stops at the first mark.
fn all() -> Vec<Box<dyn Rule>> {
    vec![
        Box::new(ParallelPerfects::default()),
        Box::new(ContraryPerfects),
        Box::new(UnequalFifths),
        Box::new(PerfectsAcrossRest::default()),
        Box::new(PerfectsOnAccents::default()),
        Box::new(DirectPerfects::default()),
        Box::new(FalseRelation),
        Box::new(OutOfCompass),
        Box::new(Spacing::default()),
        Box::new(VoiceCrossing::default()),
        Box::new(VoiceOverlap::default()),
        Box::new(DoubledLeadingNote),
        Box::new(Doubling),
        Box::new(UnexplainedDissonance::default()),
        Box::new(UnresolvedSuspension),
        Box::new(UnpreparedDissonance::default()),
        Box::new(DoubledResolution),
        Box::new(AugmentedInterval::default()),
        Box::new(WideLeap::default()),
        Box::new(UnrecoveredLeap::default()),
        Box::new(HangingLeadingNote),
        Box::new(RhythmicUnison::default()),
        Box::new(EmptyBeat::default()),
        Box::new(PerfectsInSuccession::default()),
        Box::new(IdleRepetition::default()),
        Box::new(OutOfTessitura::default()),
        Box::new(HandSpan::default()),
        Box::new(QuickPedal::default()),
        Box::new(StalledMotion::default()),
        Box::new(CrowdedMotion::default()),
        Box::new(WrongSubjectNote),
        Box::new(WrongAnswerNote),
        Box::new(AlteredEntry),
        Box::new(DisplacedEntry),
        Box::new(MisplacedAnswer),
        Box::new(MisplacedReturn),
        Box::new(MissingEntry),
        Box::new(IrregularOrder),
        Box::new(InnerLastEntry),
        Box::new(SilentFirstVoice::default()),
        Box::new(MissingCodetta),
        Box::new(OverlongCodetta),
        Box::new(DroppedCountersubject),
        Box::new(UninvertibleCountersubject),
        Box::new(ShadowingCountersubject::default()),
    ]
}

/// The rules but those of the given ids.
fn all_but(ids: &[&str]) -> Vec<Box<dyn Rule>> {
    without(all(), ids)
}

fn without(mut rules: Vec<Box<dyn Rule>>, ids: &[&str]) -> Vec<Box<dyn Rule>> {
    rules.retain(|rule| !ids.contains(&rule.info().id.as_str()));
    rules
}

/// The rules, some of them in another form, each in its place.
fn all_with(forms: Vec<Box<dyn Rule>>) -> Vec<Box<dyn Rule>> {
    let mut rules = all();
    for form in forms {
        if let Some(rule) = rules.iter_mut().find(|rule| rule.info().id == form.info().id) {
            *rule = form;
        }
    }
    rules
}

/// The milder forms that the free style has of some rules.
fn free() -> Vec<Box<dyn Rule>> {
    vec![
        Box::new(ParallelPerfects { veiled: Veiled::Lighter }),
        Box::new(UnpreparedDissonance { only_leaps: true, ..UnpreparedDissonance::default() }),
        Box::new(PerfectsInSuccession { bareness: Bareness::OfTwo, ..PerfectsInSuccession::default() }),
        Box::new(Spacing { played: 3, ..Spacing::default() }),
        Box::new(VoiceCrossing { equals: Equals::Lighter, ..VoiceCrossing::default() }),
        Box::new(VoiceOverlap { between: Singers::SungParts }),
        Box::new(WideLeap { leaps: Leaps::Free }),
        Box::new(AugmentedInterval { leaps: Leaps::Free }),
        Box::new(UnrecoveredLeap { further: Further::OutOfTheChord, ..UnrecoveredLeap::default() }),
        Box::new(RhythmicUnison { beats: 1, attacks: 6, bars: 2, outside: Outside::Lighter }),
        Box::new(EmptyBeat { music: Music::Fugues, ..EmptyBeat::default() }),
        Box::new(IdleRepetition { times: 7, chords: Recited::Excused }),
    ]
}

/// What the free style only notes: the masters do it in most fugues and chorales. Of fifths with a rest between a
/// dozen were read in quartets and madrigals: chords struck as punctuation, new phrases, none of them amiss.
const FREE_REMARKS: [&str; 5] = [
    "contrary-perfects",
    "doubled-resolution",
    "perfects-across-rest",
    "perfects-on-accents",
    "unprepared-dissonance",
];

/// What the strict school holds absolute.
const STRICT_FAULTS: [&str; 9] = [
    "contrary-perfects",
    "direct-perfects",
    "misplaced-answer",
    "misplaced-return",
    "missing-entry",
    "perfects-across-rest",
    "unexplained-dissonance",
    "unprepared-dissonance",
    "unresolved-suspension",
];

/// Notes that a pupil copies wrongly and a master alters: absolute where pupils are taught.
const WRONG_NOTES: [&str; 2] = ["wrong-answer-note", "wrong-subject-note"];

impl RuleBook {
    /// Every rule of the library, each with its defaults and its own weight.
    pub fn every_rule() -> Self {
        Self::of("every-rule", all())
    }

    /// The style of the fugues in daily use, the default: a Fault is only what every teacher holds
    /// absolute (parallel perfects, notes out of compass). What the masters do in every fugue is not
    /// marked: named ornaments on the beat that go by step, lines that leap a minor seventh or break a
    /// chord, instruments that overlap or lie as wide as two hands, two voices in one rhythm for a beat. An
    /// answer may differ from the derived ones if somebody can defend it.
    pub fn free_baroque() -> Self {
        Self::of("free-baroque", all_with(free())).weighing(&FREE_REMARKS, Severity::Remark)
    }

    /// What a draft is held to: stricter than [`Self::free_baroque`], of which a draft breaks nothing
    /// either, since a pupil's work should not need a master's licence.
    pub(crate) fn drafting() -> Self {
        let leaps = UnpreparedDissonance { only_leaps: true, ..UnpreparedDissonance::default() };
        Self::of("drafting", all_with(vec![Box::new(leaps)]))
            .weighing(&["unprepared-dissonance"], Severity::Remark)
    }

    /// Strict counterpoint as the handbooks of Cherubini and Rockstro teach it: dissonances on the
    /// beat are suspensions, and perfect consonances are never reached in the same direction, nor
    /// follow each other in contrary motion.
    pub fn strict_school() -> Self {
        let direct = DirectPerfects { between: Between::AllVoices, alone: Alone::Strictly };
        let rules = all_with(vec![Box::new(direct)]);
        Self::of("strict-school", without(rules, &["hanging-leading-note"]))
            .weighing(&STRICT_FAULTS, Severity::Fault)
            .weighing(&WRONG_NOTES, Severity::Fault)
            .weighing(&["perfects-in-succession"], Severity::Caution)
    }

    /// What a first lesson looks at: the perfect consonances, the dissonances on the beat, the
    /// compass, the large leaps, the rhythm; nothing that needs a trained ear to dispute.
    pub fn first_lessons() -> Self {
        let later = [
            "unequal-fifths",
            "perfects-across-rest",
            "perfects-on-accents",
            "false-relation",
            "voice-overlap",
            "doubled-leading-note",
            "hanging-leading-note",
            "idle-repetition",
            "inner-last-entry",
            "irregular-order",
            "out-of-tessitura",
            "perfects-in-succession",
        ];
        Self::of("first-lessons", all_but(&later)).weighing(&WRONG_NOTES, Severity::Fault)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::RuleInfo;
    use crate::score::Score;
    use crate::texture::Texture;
    use proptest::prelude::*;
    use std::collections::HashSet;

    const HEADINGS: [&str; 5] = ["# What it finds", "# Why", "# Example", "# Exceptions", "# Source"];

    fn infos() -> Vec<RuleInfo> {
        RuleBook::every_rule().rules().map(|(rule, _)| *rule.info()).collect()
    }

    #[test]
    fn all_ids_are_lawful_unique_and_found_again() {
        let (book, infos) = (RuleBook::every_rule(), infos());
        let unique: HashSet<&str> = infos.iter().map(|info| info.id.as_str()).collect();
        assert_eq!((infos.len(), unique.len()), (45, 45));
        for info in &infos {
            assert!(info.id.is_lawful(), "{}", info.id);
            assert_eq!(book.rule(info.id.as_str()).unwrap().info().id, info.id);
        }
    }

    #[test]
    fn all_pages_have_every_heading_once_and_in_order() {
        for info in infos() {
            let headings: Vec<&str> =
                info.page.lines().filter(|line| line.starts_with("# ") && !line.contains("Ok::")).collect();
            assert_eq!(headings, HEADINGS, "{}", info.id);
        }
    }

    #[test]
    fn all_pages_show_an_error_and_its_opposite() {
        for info in infos() {
            for part in ["// It errs:", "// It is right:", "marks[0]", "is_empty()"] {
                assert!(info.page.contains(part), "{} lacks {part:?}", info.id);
            }
        }
    }

    #[test]
    fn all_pages_and_summaries_are_clauses_of_their_own() {
        for info in infos() {
            assert!(info.page.lines().next().unwrap().ends_with('.'), "{}", info.id);
            assert!(
                !info.summary.ends_with('.') && info.summary.starts_with(char::is_lowercase),
                "{}",
                info.id
            );
        }
    }

    #[test]
    fn all_names_lead_to_their_books() {
        for name in RuleBook::NAMES {
            assert_eq!(RuleBook::named(name).unwrap().name(), name);
        }
    }

    #[test]
    fn free_baroque_holds_only_two_rules_absolute() {
        let book = RuleBook::free_baroque();
        let faults: Vec<&str> = book
            .rules()
            .filter(|(_, severity)| *severity == Severity::Fault)
            .map(|(rule, _)| rule.info().id.as_str())
            .collect();
        assert_eq!(faults, ["parallel-perfects", "out-of-compass"]);
    }

    #[test]
    fn all_rules_that_the_free_style_softens_are_among_its_rules_once() {
        let (book, every) = (RuleBook::free_baroque(), RuleBook::every_rule());
        let ids = |book: &RuleBook| book.rules().map(|(rule, _)| rule.info().id).collect::<Vec<_>>();
        assert_eq!(ids(&book), ids(&every));
        let forms: Vec<_> = free().iter().map(|rule| rule.info().id.as_str()).collect();
        for id in forms.iter().chain(&FREE_REMARKS) {
            assert!(every.rule(id).is_some(), "{id}");
        }
    }

    /// A master's licence is no pupil's: drafts keep the rules as they are.
    #[test]
    fn drafts_are_held_to_veiled_fifths_that_the_free_style_excuses() {
        let score = Score::excerpt("C major", "4/4", &["G4:1/2 A4", "E4:1/4 C4 D4:1/2"]).unwrap();
        let weight = |book: RuleBook| {
            let findings = book.review(&Texture::of(&score));
            findings.iter().find(|it| it.rule.as_str() == "parallel-perfects").map(|it| it.severity)
        };
        assert_eq!(weight(RuleBook::drafting()), Some(Severity::Fault));
        assert_eq!(weight(RuleBook::strict_school()), Some(Severity::Fault));
        assert_eq!(weight(RuleBook::free_baroque()), Some(Severity::Caution));
    }

    #[test]
    fn all_strict_faults_are_rules_of_the_strict_school() {
        let book = RuleBook::strict_school();
        for id in STRICT_FAULTS {
            let weight = book.rules().find(|(rule, _)| rule.info().id.as_str() == id).map(|it| it.1);
            assert_eq!(weight, Some(Severity::Fault), "{id}");
        }
    }

    proptest! {
        /// Whatever sounds, every rule gives its findings in order, on notes that exist.
        #[test]
        fn prop_findings_are_in_order_and_on_notes_that_exist(
            lines in prop::collection::vec(prop::collection::vec((0..9_usize, 1..9_u8), 0..16), 1..6),
        ) {
            const NAMES: [&str; 9] = ["R", "C2", "B3", "C4", "F4", "G#4", "Ab4", "D5", "C7"];
            let text = |line: &Vec<(usize, u8)>| {
                let token = |&(name, length): &(usize, u8)| format!("{}:{length}/8", NAMES[name]);
                line.iter().map(token).collect::<Vec<_>>().join(" ")
            };
            let lines: Vec<String> = lines.iter().map(text).collect();
            let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
            let score = Score::excerpt("A minor", "6/8", &lines).unwrap();
            let findings = RuleBook::every_rule().review(&Texture::of(&score));
            prop_assert!(findings.is_sorted_by_key(|finding| finding.place.onset));
            for (voice, note) in findings.iter().flat_map(|finding| &finding.notes) {
                prop_assert!(*note < score.parts()[*voice].line.notes().len());
            }
        }
    }
}
