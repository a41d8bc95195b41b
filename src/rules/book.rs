//! Sets of rules.

use super::{Finding, Rule, RuleId, Severity};
use crate::texture::Texture;
use std::cmp::Reverse;

/// A set of rules, each with the weight that the set gives to its findings.
///
/// Three sets come with the library: [`RuleBook::strict_school`], [`RuleBook::free_baroque`] (the
/// default) and [`RuleBook::first_lessons`]. Any of them takes further rules, ours with other limits
/// or a stranger's.
///
/// ```
/// use soggetto::rules::{RuleBook, Severity, Spacing};
/// let book = RuleBook::free_baroque()
///     .without("spacing")?
///     .with_rule(Spacing { upper: 10, ..Spacing::default() })?
///     .with_severity("voice-overlap", Severity::Caution)?;
/// assert!(book.with_rule(Spacing::default()).is_err());
/// # Ok::<(), soggetto::rules::RuleBookError>(())
/// ```
#[derive(Debug)]
pub struct RuleBook {
    name: String,
    rules: Vec<Weighed>,
}

#[derive(Debug)]
struct Weighed {
    rule: Box<dyn Rule>,
    severity: Severity,
}

/// What cannot be done to a set of rules.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum RuleBookError {
    /// The set has a rule of that id.
    #[error("there is a rule {id} already: take it out first with `without`")]
    Duplicate {
        /// The id.
        id: RuleId,
    },
    /// The id is not lower-case words joined by dashes.
    #[error("{:?} is not lawful as the id of a rule: write lower-case words joined by dashes", id.as_str())]
    Unlawful {
        /// The id.
        id: RuleId,
    },
    /// The set has no rule of that id.
    #[error("there is no rule {id:?} in {book}; its rules are {}", known.join(", "))]
    Unknown {
        /// The id asked for.
        id: String,
        /// The name of the book.
        book: String,
        /// The ids that there are.
        known: Vec<&'static str>,
    },
    /// There is no set of that name.
    #[error("there is no rule book {name:?}: the books are {}", RuleBook::NAMES.join(", "))]
    Name {
        /// The name asked for.
        name: String,
    },
}

impl RuleBookError {
    /// A stable name of the kind of error, for programs.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Duplicate { .. } => "rule-book-duplicate",
            Self::Unlawful { .. } => "rule-book-unlawful",
            Self::Unknown { .. } => "rule-book-unknown",
            Self::Name { .. } => "rule-book-name",
        }
    }
}

impl RuleBook {
    /// The names that [`RuleBook::named`] knows, the default first.
    pub const NAMES: [&'static str; 3] = ["free-baroque", "strict-school", "first-lessons"];

    /// A set without rules.
    pub fn empty(name: impl Into<String>) -> Self {
        Self { name: name.into(), rules: Vec::new() }
    }

    /// For rules known to differ from each other.
    pub(super) fn of(name: &str, rules: Vec<Box<dyn Rule>>) -> Self {
        let weigh = |rule: Box<dyn Rule>| Weighed { severity: rule.info().severity, rule };
        Self { name: name.to_owned(), rules: rules.into_iter().map(weigh).collect() }
    }

    /// With one weight for the rules of the given ids.
    pub(super) fn weighing(mut self, ids: &[&str], severity: Severity) -> Self {
        let chosen = |weighed: &&mut Weighed| ids.contains(&weighed.rule.info().id.as_str());
        self.rules.iter_mut().filter(chosen).for_each(|weighed| weighed.severity = severity);
        self
    }

    /// The set of a name.
    ///
    /// # Errors
    /// If there is none: the names are [`RuleBook::NAMES`].
    pub fn named(name: &str) -> Result<Self, RuleBookError> {
        match name {
            "free-baroque" => Ok(Self::free_baroque()),
            "strict-school" => Ok(Self::strict_school()),
            "first-lessons" => Ok(Self::first_lessons()),
            _ => Err(RuleBookError::Name { name: name.to_owned() }),
        }
    }

    /// With another rule.
    ///
    /// # Errors
    /// If its id is not lawful, or the set has a rule of that id.
    pub fn with_rule(mut self, rule: impl Rule + 'static) -> Result<Self, RuleBookError> {
        let (id, severity) = (rule.info().id, rule.info().severity);
        if !id.is_lawful() {
            return Err(RuleBookError::Unlawful { id });
        }
        if self.rules.iter().any(|weighed| weighed.rule.info().id == id) {
            return Err(RuleBookError::Duplicate { id });
        }
        self.rules.push(Weighed { rule: Box::new(rule), severity });
        Ok(self)
    }

    /// With another weight for the findings of a rule.
    ///
    /// # Errors
    /// If the set has no rule of that id.
    pub fn with_severity(mut self, id: &str, severity: Severity) -> Result<Self, RuleBookError> {
        let index = self.position(id)?;
        self.rules[index].severity = severity;
        Ok(self)
    }

    /// Without a rule.
    ///
    /// # Errors
    /// If the set has no rule of that id.
    pub fn without(mut self, id: &str) -> Result<Self, RuleBookError> {
        let index = self.position(id)?;
        self.rules.remove(index);
        Ok(self)
    }

    fn position(&self, id: &str) -> Result<usize, RuleBookError> {
        let known = || self.rules.iter().map(|weighed| weighed.rule.info().id.as_str());
        let unknown = || RuleBookError::Unknown {
            id: id.to_owned(),
            book: self.name.clone(),
            known: known().collect(),
        };
        known().position(|name| name == id).ok_or_else(unknown)
    }

    /// The name.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The rules, each with its weight in this set.
    pub fn rules(&self) -> impl Iterator<Item = (&dyn Rule, Severity)> {
        self.rules.iter().map(|weighed| (weighed.rule.as_ref(), weighed.severity))
    }

    /// The rule of an id.
    pub fn rule(&self, id: &str) -> Option<&dyn Rule> {
        self.rules().map(|(rule, _)| rule).find(|rule| rule.info().id.as_str() == id)
    }

    /// What each rule finds, in order of onset; a rule is not asked before its turn comes.
    pub fn rule_by_rule<'a>(&'a self, texture: &'a Texture<'_>) -> impl Iterator<Item = Vec<Finding>> + 'a {
        self.rules().map(|(rule, severity)| texture.marks_of_weight(rule, severity))
    }

    /// All findings of all rules, in order of onset, then weight, the gravest first, then id.
    pub fn review(&self, texture: &Texture<'_>) -> Vec<Finding> {
        let mut findings: Vec<Finding> = self.rule_by_rule(texture).flatten().collect();
        let key = |it: &Finding| (it.place.onset, Reverse(it.severity), it.rule);
        findings.sort_by(|a, b| key(a).cmp(&key(b)).then_with(|| a.notes.cmp(&b.notes)));
        findings
    }
}

impl Default for RuleBook {
    fn default() -> Self {
        Self::free_baroque()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::{OutOfCompass, ParallelPerfects, Report, RuleInfo};
    use crate::score::Score;
    use crate::source::Source;

    #[derive(Debug)]
    struct HouseRule(RuleInfo);

    impl HouseRule {
        const fn named(id: &'static str) -> Self {
            let (summary, page) = ("the house forbids it", "");
            let (id, severity) = (RuleId::new(id), Severity::Remark);
            Self(RuleInfo { id, severity, summary, page, source: Source::CommonPractice })
        }
    }

    impl Rule for HouseRule {
        fn info(&self) -> &RuleInfo {
            &self.0
        }

        fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
            for pair in texture.pairs() {
                for step in pair.steps() {
                    report.add(
                        &step,
                        format_args!("two voices move"),
                        super::super::Evidence::of_step(&step),
                    );
                }
            }
        }
    }

    #[test]
    fn takes_the_rule_of_a_stranger() {
        let score = Score::excerpt("C major", "4/4", &["G4:1/2 A4", "C4:1/2 D4"]).unwrap();
        let book = RuleBook::empty("house").with_rule(HouseRule::named("house-rule")).unwrap();
        let findings = book.review(&Texture::of(&score));
        assert_eq!(
            findings[0].to_string(),
            "bar 1, beat 3   Remark   house-rule\n    two voices move\n    \
             evidence: G4 over C4, then A4 over D4; both rise a major second\n    source: common practice"
        );
    }

    #[test]
    fn findings_are_in_order_of_onset_then_weight_then_id() {
        let score = Score::excerpt("C major", "4/4", &["G4:1/2 A4 B5", "C4:1/2 D4 E4"]).unwrap();
        let book = RuleBook::empty("house")
            .with_rule(HouseRule::named("house-rule"))
            .and_then(|book| book.with_rule(OutOfCompass))
            .and_then(|book| book.with_rule(ParallelPerfects::default()))
            .unwrap();
        let order: Vec<String> = book
            .review(&Texture::of(&score))
            .iter()
            .map(|finding| format!("{} {}", finding.place.onset, finding.rule))
            .collect();
        let expected = [
            "1/2 parallel-perfects",
            "1/2 house-rule",
            "1 out-of-compass",
            "1 parallel-perfects",
            "1 house-rule",
        ];
        assert_eq!(order, expected);
    }

    #[test]
    fn weight_may_be_changed_and_rules_taken_out() {
        let score = Score::excerpt("C major", "4/4", &["G4:1/2 A4", "C4:1/2 D4"]).unwrap();
        let texture = Texture::of(&score);
        let book = RuleBook::empty("house").with_rule(ParallelPerfects::default()).unwrap();
        let book = book.with_severity("parallel-perfects", Severity::Remark).unwrap();
        assert_eq!(book.review(&texture)[0].severity, Severity::Remark);
        assert!(book.without("parallel-perfects").unwrap().review(&texture).is_empty());
    }

    #[test]
    fn errors_say_what_and_how_to_mend_it() {
        let book = || RuleBook::empty("house").with_rule(ParallelPerfects::default()).unwrap();
        let message = |result: Result<RuleBook, RuleBookError>| result.unwrap_err().to_string();
        assert_eq!(
            message(book().with_rule(ParallelPerfects::default())),
            "there is a rule parallel-perfects already: take it out first with `without`"
        );
        assert_eq!(
            message(book().without("parallel")),
            "there is no rule \"parallel\" in house; its rules are parallel-perfects"
        );
        assert_eq!(
            message(book().with_rule(HouseRule::named("House rule"))),
            "\"House rule\" is not lawful as the id of a rule: write lower-case words joined by dashes"
        );
        assert_eq!(
            message(RuleBook::named("house")),
            "there is no rule book \"house\": the books are free-baroque, strict-school, first-lessons"
        );
    }
}
