//! The dissonances of a texture, each found and named once.

use super::Texture;
use super::alike::Alike;
use super::clash::Clash;
use super::figure::Figure;
use super::pair::{Moment, Pair};
use super::walk::Walk;
use crate::interval::Interval;
use crate::meter::Strength;

/// Two notes that clash, which of them is the dissonant one, and what it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Dissonance {
    /// The voice with the dissonant note, and the index of that note.
    pub note: (usize, usize),
    /// The voice with the other note, and its index.
    pub against: (usize, usize),
    /// The interval from the lower note up to the upper one.
    pub interval: Interval,
    /// The tick on which it begins.
    pub onset: i64,
    /// The tick on which it ends.
    pub end: i64,
    /// How heavy the place is on which it begins.
    pub strength: Strength,
    /// What it is.
    pub figure: Figure,
}

impl Dissonance {
    /// Whether it begins on a pulse of the meter.
    pub fn is_on_beat(&self) -> bool {
        self.strength >= Strength::Pulse
    }

    /// Whether it stands on the beat where the handbooks want it prepared, and is not.
    ///
    /// | on | needs no preparation |
    /// |---|---|
    /// | any beat | what is [prepared](Figure::is_prepared), and what [belongs to a chord](Figure::is_chordal) |
    /// | a beat that bears no accent | besides these what goes [by step](Figure::is_stepwise) |
    ///
    /// On the accent (the first beat, and the middle one of four) even a passing note is struck against the
    /// rule, while in the second and the third order it may stand on the other beats. Sources: Grove 3,
    /// "Strict Counterpoint", Second to Fourth Order; Cherubini, two parts, second and third order; what a
    /// chord excuses: common practice.
    ///
    /// ```
    /// use soggetto::{Score, Texture};
    /// // A passing note on the first beat, and one on the fourth.
    /// let score = Score::excerpt("C major", "4/4", &["E5:1 D5:1/4 C5 E5 D5 C5:1", "C4:3"])?;
    /// let texture = Texture::of(&score);
    /// let unprepared: Vec<bool> =
    ///     texture.dissonances().iter().map(|it| it.is_unprepared_on_beat()).collect();
    /// assert_eq!(unprepared, [true, false]);
    /// assert_eq!(texture.unprepared_on_beats().to_string(), "1/6");
    /// # Ok::<(), soggetto::Error>(())
    /// ```
    pub fn is_unprepared_on_beat(&self) -> bool {
        let figure = self.figure;
        let is_free = figure.is_prepared()
            || figure.is_chordal()
            || (figure.is_stepwise() && self.strength < Strength::Accent);
        self.is_on_beat() && !is_free
    }
}

/// So many moments of a pair are looked at before the next pair's turn comes: few enough for what is
/// found meanwhile to be sorted while it is at hand.
const TURN: usize = 256;

/// Finds the dissonances of all pairs, in order of onset. All pairs go through time together.
pub(super) fn find(texture: &Texture<'_>) -> Vec<Dissonance> {
    let (mut found, mut walk, mut alike) = (Vec::new(), texture.walk(), Alike::of(texture));
    let mut pairs: Vec<Search<'_>> = texture.pairs().map(|pair| Search { pair, next: 0 }).collect();
    while pairs.iter().any(|it| it.next < it.pair.len()) {
        let turn_ends = |it: &Search<'_>| it.pair.moment(it.next + TURN).map(|it| it.onset());
        let until = pairs.iter().filter_map(turn_ends).min().unwrap_or(i64::MAX);
        let before = found.len();
        for it in &mut pairs {
            it.go_on(until, &mut walk, &mut found);
        }
        found[before..].sort_by_key(|it: &Dissonance| (it.onset, it.note, it.against));
        found[before..]
            .chunk_by_mut(|one, other| one.onset == other.onset)
            .for_each(|together| alike.name(together));
    }
    found
}

impl Pair<'_> {
    /// The dissonance of the two voices that begins on a tick, if one does: one of
    /// [`Texture::dissonances`], without the others, so that it has no name from one that is like it. Cost: the
    /// notes before it.
    pub fn dissonance_at(self, tick: i64) -> Option<Dissonance> {
        let moment = self.moment_at(tick).filter(|moment| moment.onset() == tick)?;
        beginning_with(moment, &mut self.texture.walk())
    }
}

/// How far the search has come in a pair.
struct Search<'t> {
    pair: Pair<'t>,
    next: usize,
}

impl<'t> Search<'t> {
    /// Goes on to a tick.
    fn go_on(&mut self, until: i64, walk: &mut Walk<'t>, found: &mut Vec<Dissonance>) {
        while let Some(moment) = self.pair.moment(self.next).filter(|moment| moment.onset() < until) {
            self.next += 1;
            found.extend(beginning_with(moment, walk));
        }
    }
}

/// The dissonance that begins with a moment.
fn beginning_with(moment: Moment<'_>, walk: &mut Walk<'_>) -> Option<Dissonance> {
    let clash = moment.is_dissonant().then(|| Clash::beginning(moment)).flatten()?;
    Some(clash.name(walk))
}

#[cfg(test)]
mod tests {
    use crate::score::{Part, Score};
    use crate::texture::Texture;
    use crate::texture::trial::names;
    use proptest::prelude::*;

    // Passing notes: Cherubini, two parts, second order, rule 10; Grove 3, "Strict Counterpoint",
    // Second Order.
    #[test]
    fn passing_note_is_light_and_by_step() {
        assert_eq!(names("4/4", &["E5:1/2 D5 C5:1", "C4:1 C4:1"]), ["1/2 D5 passing note"]);
        assert_eq!(names("4/4", &["C5:1/4 D5 E5:1/2", "C4:1"]), ["1/4 D5 passing note"]);
        assert_eq!(names("4/4", &["C5:1", "C4:1/4 D4 E4:1/2"]), ["1/4 D4 passing note"]);
    }

    // Common practice.
    #[test]
    fn accented_passing_note_is_heavier_than_its_resolution() {
        assert_eq!(names("4/4", &["E5:1/2 D5:1/4 C5", "C4:1"]), ["1/2 D5 accented passing note"]);
        assert_eq!(names("3/4", &["C5:3/4 D5:1/4 E5:1/2", "C4:3/2"]), ["3/4 D5 accented passing note"]);
    }

    #[test]
    fn chromatic_passing_note_is_one() {
        assert_eq!(names("4/4", &["C5:1/4 C#5 D5:1/2", "F4:1/2 F4"]), ["1/4 C#5 passing note"]);
    }

    // Cherubini, two parts, third order.
    #[test]
    fn neighbour_returns() {
        assert_eq!(names("4/4", &["C5:1/4 B4 C5:1/2", "C4:1"]), ["1/4 B4 neighbour note"]);
        assert_eq!(names("4/4", &["C5:1/2 D5:1/4 C5", "C4:1"]), ["1/2 D5 accented neighbour note"]);
    }

    // Common practice.
    #[test]
    fn double_neighbour_surrounds_its_note() {
        let found = names("4/4", &["C5:1/4 D5 B4 C5", "C4:1"]);
        assert_eq!(found, ["1/4 D5 double neighbour", "1/2 B4 double neighbour"]);
    }

    // Grove 3, Fourth Order: 7-6, 4-3, 9-8 above, 2-3 below.
    #[test]
    fn suspension_is_prepared_and_falls() {
        assert_eq!(names("4/4", &["R:1/2 C5:1 B4:1/2", "E4:1 D4:1"]), ["1 C5 suspension"]);
        assert_eq!(names("4/4", &["R:1/2 C5:1 B4:1/2", "A3:1 G3:1"]), ["1 C5 suspension"]);
        assert_eq!(names("4/4", &["R:1/2 E5:1 D5:1/2", "C4:1 D4:1"]), ["1 E5 suspension"]);
        assert_eq!(names("4/4", &["E5:1 D5:1", "R:1/2 C4:1 B3:1/2"]), ["1 C4 suspension"]);
    }

    #[test]
    fn suspension_may_be_struck_again() {
        assert_eq!(names("4/4", &["R:1/2 C5:1/2 C5:1/2 B4:1/2", "E4:1 D4:1"]), ["1 C5 suspension"]);
        assert_eq!(names("3/4", &["C5:3/4 C5:1/2 B4:1/4", "E4:3/4 D4:3/4"]), ["3/4 C5 suspension"]);
    }

    #[test]
    fn suspension_may_resolve_over_a_new_bass() {
        assert_eq!(names("4/4", &["R:1/2 C5:1 B4:1/2", "E4:1 D4:1/2 G4:1/2"]), ["1 C5 suspension"]);
    }

    #[test]
    fn chain_of_suspensions_is_named_link_by_link() {
        let found = names("4/4", &["R:1/2 C5:1 B4:1 A4:1 G4:1/2", "E4:1 D4 C4 B3"]);
        assert_eq!(found, ["1 C5 suspension", "2 B4 suspension", "3 A4 suspension"]);
    }

    #[test]
    fn suspension_may_be_ornamented() {
        let found = names("4/4", &["R:1/2 C5:3/4 G4:1/8 A4:1/8 B4:1/2", "E4:1 D4:1"]);
        assert_eq!(found[0], "1 C5 suspension with ornamented resolution");
    }

    // Common practice: the leading note, held over, rises.
    #[test]
    fn retardation_rises() {
        assert_eq!(names("4/4", &["R:1/2 B4:1 C5:1/2", "G4:1 C4:1"]), ["1 B4 retardation"]);
    }

    #[test]
    fn suspension_that_leaps_away_is_unresolved() {
        assert_eq!(
            names("4/4", &["R:1/2 C5:1 G4:1/2", "E4:1 D4:1/2 B3:1/2"]),
            ["1 C5 unresolved suspension"]
        );
    }

    // Common practice.
    #[test]
    fn appoggiatura_is_leapt_to_and_falls() {
        assert_eq!(names("4/4", &["E5:1/2 A5:1/4 G5", "C4:1/2 B3"]), ["1/2 A5 appoggiatura"]);
    }

    // Common practice.
    #[test]
    fn anticipation_echappee_and_cambiata_are_light() {
        assert_eq!(names("4/4", &["D5:3/8 C5:1/8 C5:1/2", "G4:1/2 E4"]), ["3/8 C5 anticipation"]);
        assert_eq!(names("4/4", &["E5:3/8 F5:1/8 D5:1/2", "C4:1/2 B3"]), ["3/8 F5 échappée"]);
        // Cherubini reports the cambiata in the old masters.
        assert_eq!(names("4/4", &["C5:1/4 B4 G4 A4", "C4:1"]), ["1/4 B4 cambiata"]);
    }

    // Common practice: the notes of a seventh chord in turn, the seventh first prepared by its root.
    #[test]
    fn broken_seventh_chord_needs_its_third() {
        let broken = ["E4:1/2 G4:1/4 E4", "C4:1/4 C#4:1/8 A3 C#4:1/2"];
        assert_eq!(names("4/4", &broken), ["1/2 G4 broken chord"]);
        assert_eq!(names("4/4", &["F5:1/2 F5:1/4 D5", "B3:1/2 G3:1/4 B3"])[1], "1/2 G3 broken chord");
        assert_eq!(names("4/4", &["F5:1/2 F5:1/4 C5", "D4:1/2 G3:1/4 C4"]), ["1/2 F5 unresolved suspension"]);
    }

    // Common practice: half of a neighbour note, off the beat.
    #[test]
    fn incomplete_neighbour_is_leapt_to_and_falls_back() {
        let light = ["C5:1/8 F5 E5:1/4 C5:1/2", "C4:1"];
        assert_eq!(names("4/4", &light), ["1/8 F5 incomplete neighbour note"]);
        assert_eq!(names("4/4", &["A5:1/8 F5 E5:1/4 C5:1/2", "C4:1"]), ["1/8 F5 unexplained dissonance"]);
    }

    // Common practice: a chord over its fifth, held through.
    #[test]
    fn six_four_over_a_held_bass_needs_its_third() {
        let chord = ["D5:1/2 G4:1/4 C5 G4:1", "B4:1/2 B4:1/4 E4 D4:1", "G3:1 G3"];
        assert_eq!(names("4/4", &chord), ["3/4 C5 six-four over a held bass"]);
        let bare = ["D5:1/2 G4:1/4 C5 G4:1", "B4:1/2 B4:1/4 G4 D4:1", "G3:1 B3"];
        assert_eq!(names("4/4", &bare), ["3/4 C5 unexplained dissonance"]);
        let struck_again = ["D5:1/2 G4:1/4 C5 G4:1", "B4:1/2 B4:1/4 E4 D4:1", "G3:1/2 G3:1/4 G3 B3:1"];
        assert_eq!(names("4/4", &struck_again), ["3/4 C5 six-four over a held bass"]);
    }

    // Common practice: a bass that is struck again and again is held all the same.
    #[test]
    fn note_struck_again_for_more_than_a_bar_is_a_pedal() {
        let bass = "C3:1/4 C3 C3 C3 C3:1/2 C3";
        assert_eq!(names("4/4", &["E5:1/2 G5:1/4 B4 G5:1/2 G5:1/2", bass]), ["3/4 C3 pedal"]);
    }

    // Common practice: the chord's fifth in the bass on the way from or to its root or third.
    #[test]
    fn six_four_may_be_struck_with_its_root_or_left_by_leap() {
        let lines = ["C5:1/2 C5", "E4:1/2 E4:1/2", "C4:1/4 G3 A3:1/2"];
        assert_eq!(names("4/4", &lines), ["1/4 G3 arpeggiated six-four"]);
        let lines = ["C5:1", "E4:1", "F3:1/8 A3 G3:1/4 E3 C3"];
        assert!(names("4/4", &lines).contains(&"1/4 G3 arpeggiated six-four".to_owned()));
    }

    // Common practice: the seventh of one chord, held, prepares the suspension over the next.
    #[test]
    fn seventh_held_over_its_resolution_is_prepared() {
        let lines = ["R:1/2 F5:1 E5:1/2", "R:1/2 B4:1/2 G4:1", "R:1/2 G3:1/2 C4:1"];
        assert!(names("4/4", &lines).contains(&"1 F5 suspension".to_owned()));
    }

    #[test]
    fn note_longer_than_a_bar_is_a_pedal() {
        assert_eq!(names("4/4", &["E5:1/2 G5 B4:1/2 G5:1/2", "C3:2"]), ["1 C3 pedal"]);
        assert_eq!(names("4/4", &["E5:1/4 B4 G4:1/2", "C3:1"]), ["1/4 B4 unexplained dissonance"]);
    }

    // Handbook rules, G7: the diminished fifth closes to the third, the augmented fourth opens to
    // the sixth.
    #[test]
    fn tritone_resolves_inwards_and_outwards() {
        assert_eq!(names("4/4", &["F5:1/2 E5", "B4:1/2 C5"]), ["0 F5 resolving tritone"]);
        assert_eq!(names("4/4", &["B4:1/2 C5", "F4:1/2 E4"]), ["0 F4 resolving tritone"]);
        assert_eq!(names("4/4", &["F5:1/2 B5", "B4:1/2 G4"]), ["0 F5 unexplained dissonance"]);
    }

    // Handbook rules, G11: the seventh falls by step.
    #[test]
    fn chord_seventh_falls() {
        assert_eq!(names("4/4", &["D5:1/2 F5 E5:1", "B3:1/2 G3 C4:1"]), ["1/2 F5 unprepared chord seventh"]);
        assert_eq!(names("4/4", &["A4:1/4 F5:1/2 E5:1/4", "D4:1/2 G4:1/4 C4"]), ["1/2 F5 suspension"]);
    }

    // Handbook rules, G7: a fourth is a dissonance against the lowest sounding voice only.
    #[test]
    fn fourth_counts_against_the_bass_alone() {
        assert_eq!(names("4/4", &["C5:1", "G4:1"]), ["0 C5 unexplained dissonance"]);
        assert!(names("4/4", &["C5:1", "G4:1", "E4:1"]).is_empty());
    }

    #[test]
    fn struck_again_is_one_dissonance() {
        assert_eq!(names("4/4", &["E5:1/2 D5:1/4 D5 C5:1", "C4:2"]), ["1/2 D5 passing note"]);
    }

    #[test]
    fn crossed_voices_are_heard_by_height() {
        assert_eq!(names("4/4", &["C4:1", "C5:1/4 D5 E5:1/2"]), ["1/4 D5 passing note"]);
    }

    // Handbook rules, G7 and G11: the seventh above a root that goes down a fifth belongs to the
    // chord; above a root that moves by step it is an ornament of its line.
    #[test]
    fn seventh_struck_with_its_root_is_a_chord_or_an_ornament_by_the_root() {
        let chord = names("4/4", &["G5:1/2 F5 E5:1", "E4:1/2 G4 C4:1"]);
        assert_eq!(chord, ["1/2 F5 unprepared chord seventh"]);
        let ornament = names("4/4", &["E5:1/2 D5 C5:1", "C4:1/2 E4 F4:1"]);
        assert_eq!(ornament, ["1/2 D5 passing note"]);
    }

    // Common practice: the diminished seventh closes, the augmented sixth opens.
    #[test]
    fn altered_intervals_go_where_they_tend() {
        assert_eq!(names("4/4", &["F5:1/2 E5", "G#4:1/2 A4"]), ["0 F5 unprepared chord seventh"]);
        assert_eq!(names("4/4", &["F#5:1/2 G5", "Ab4:1/2 G4"]), ["0 Ab4 resolving altered interval"]);
        assert_eq!(names("4/4", &["C5:1/2 B4", "G#4:1/2 A4"])[0], "0 C5 resolving altered interval");
    }

    // Grove 3, Fourth Order, in four parts: the fourth over the bass and the seventh over the alto
    // clash, the fourth over the tenor does not.
    #[test]
    fn suspension_in_four_parts_is_one_against_each_voice_it_clashes_with() {
        let lines = ["R:1/2 C5:1 B4:1/2", "E4:1 D4:1", "C4:1 G3:1", "A2:1 G2:1"];
        assert_eq!(names("4/4", &lines), ["1 C5 suspension", "1 C5 suspension"]);
    }

    // Handbook rules, G7: the bass goes through its chord.
    #[test]
    fn bass_may_leap_through_its_chord() {
        assert_eq!(names("4/4", &["C5:1/2 C5", "C4:1/4 G3 C4:1/2"]), ["1/4 G3 arpeggiated six-four"]);
    }

    #[test]
    fn anticipation_before_the_final_clashes_with_the_leading_note() {
        let lines = ["D5:3/8 C5:1/8 C5:1/2", "B4:1/2 C5", "G3:1/2 C3"];
        assert_eq!(names("4/4", &lines), ["3/8 C5 anticipation", "3/8 C5 anticipation"]);
    }

    proptest! {
        /// Moved music has the same dissonances; nothing that sounds makes the search panic.
        #[test]
        fn prop_transposition_keeps_every_name(
            lines in prop::collection::vec(prop::collection::vec((0..9_usize, 1..5_u8), 1..16), 1..5),
        ) {
            const NAMES: [&str; 9] = ["R", "B3", "C4", "D4", "F4", "G#4", "A4", "B4", "C5"];
            let text = |line: &Vec<(usize, u8)>| {
                let token = |&(name, length): &(usize, u8)| format!("{}:{length}/8", NAMES[name]);
                line.iter().map(token).collect::<Vec<_>>().join(" ")
            };
            let lines: Vec<String> = lines.iter().map(text).collect();
            let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
            let score = Score::excerpt("C major", "4/4", &lines).unwrap();
            let moved = score.parts().iter().cloned().map(|part| Part {
                line: part.line.moved("M3".parse().unwrap()).unwrap(),
                ..part
            });
            let moved = score.with_parts(moved.collect()).unwrap();
            let (before, after) = (Texture::of(&score), Texture::of(&moved));
            prop_assert_eq!(before.dissonances(), after.dissonances());
            prop_assert_eq!(
                before.dissonances().iter().all(|it| it.onset < it.end && it.note.0 != it.against.0),
                true
            );
        }
    }
}
