//! From two clashing notes to the name of the dissonance.
//!
//! [`Contact::classify`] is a pure function of a [`Contact`]. The note that yields is the dissonant
//! one: what is held and then falls is a suspension, what is struck and moves on while the other
//! stays is an ornament of its own line.

use super::contact::{Contact, Entry, Naming, Side};
use super::figure::{Figure, Weight};
use super::turn::{Resolution, is_melodic_step};
use crate::interval::Interval;
use crate::meter::Strength;
use crate::pitch::Pitch;

impl Contact {
    /// The name of the dissonance.
    ///
    /// ```
    /// use soggetto::meter::Strength;
    /// use soggetto::pitch::PitchError;
    /// use soggetto::texture::{Contact, Entry, Figure, Resolution, Side, Strand, Turn};
    /// // The soprano holds C5 while the alto strikes D4, then falls to B4: a suspended seventh.
    /// let (c, b, d) = ("C5".parse()?, "B4".parse()?, "D4".parse()?);
    /// let soprano = Strand {
    ///     turn: Turn { before: [None; 2], here: c, after: [Some(b), None, None, None] },
    ///     entry: Entry::Held,
    ///     prepared: true,
    ///     end: 4,
    ///     leaves_on: Strength::Accent,
    ///     next: Some((b - d, false)),
    ///     is_long: false,
    /// };
    /// let alto = Strand {
    ///     turn: Turn { before: ["E4".parse().ok(), None], here: d, after: [None; 4] },
    ///     entry: Entry::Struck,
    ///     prepared: false,
    ///     end: 8,
    ///     leaves_on: Strength::Downbeat,
    ///     next: None,
    ///     is_long: true,
    /// };
    /// let (strength, suspect) = (Strength::Downbeat, Side::Upper);
    /// let contact = Contact { upper: soprano, lower: alto, strength, suspect, chord: None, taken_over: false, leapt: None };
    /// let naming = contact.classify();
    /// assert_eq!((naming.side, naming.figure), (Side::Upper, Figure::Suspension(Resolution::Direct)));
    /// # Ok::<(), PitchError>(())
    /// ```
    pub fn classify(&self) -> Naming {
        match (self.holder(), self.leapt) {
            (None, Some(side)) => Naming { side, figure: Figure::Leapt },
            (Some(_), Some(side)) => Naming { side, figure: Figure::UnresolvedSuspension },
            (Some(holder), None) => self.against_held(holder),
            (None, None) => self.both_struck(),
        }
    }

    /// The note that stays while the other is struck anew; of two that stay, the one held.
    pub(super) fn holder(&self) -> Option<Side> {
        match (self.upper.entry, self.lower.entry) {
            (Entry::Struck, Entry::Struck) => None,
            (Entry::Held, _) | (Entry::Repeated, Entry::Struck) => Some(Side::Upper),
            (_, Entry::Held) | (Entry::Struck, Entry::Repeated) => Some(Side::Lower),
            (Entry::Repeated, Entry::Repeated) => Some(self.suspect),
        }
    }

    /// A note struck against one that stays. Where the one that stays is the first to go, it is
    /// judged first.
    fn against_held(&self, holder: Side) -> Naming {
        let mover = holder.other();
        let holder_goes = self.strand(holder).end <= self.strand(mover).end;
        let suspended = || self.suspension(holder);
        let ornamental = || self.stepwise(mover);
        let first =
            if holder_goes { suspended().or_else(ornamental) } else { ornamental().or_else(suspended) };
        first
            .or_else(|| self.chordal())
            .or_else(|| self.ornament(mover))
            .or_else(|| self.six_four())
            .or_else(|| self.held_six_four())
            .or_else(|| self.six_four_three())
            .or_else(|| self.pedal(holder))
            .or_else(|| self.broken_chord(mover))
            .or_else(|| self.broken_chord(holder))
            .or_else(|| self.in_broken_line(mover))
            .or_else(|| self.exchanged())
            .unwrap_or_else(|| self.unexplained(holder, holder_goes))
    }

    /// Two notes struck together: where they make a chord on a pulse, the chord is heard before an
    /// ornament.
    fn both_struck(&self) -> Naming {
        let (first, second) = (self.suspect, self.suspect.other());
        let stepwise = || self.stepwise(first).or_else(|| self.stepwise(second));
        let name = if self.strength >= Strength::Pulse && self.is_chord() {
            self.chordal().or_else(stepwise)
        } else {
            stepwise().or_else(|| self.chordal())
        };
        name.or_else(|| self.ornament(first))
            .or_else(|| self.ornament(second))
            .or_else(|| self.six_four())
            .or_else(|| self.held_six_four())
            .or_else(|| self.six_four_three())
            .or_else(|| self.broken_chord(first))
            .or_else(|| self.broken_chord(second))
            .or_else(|| self.in_broken_line(first))
            .or_else(|| self.in_broken_line(second))
            .or_else(|| self.exchanged())
            .unwrap_or(Naming { side: first, figure: Figure::Unexplained })
    }

    /// The weight of a note against the place on which it is left.
    pub fn weight(&self, side: Side) -> Weight {
        if self.strength > self.strand(side).leaves_on { Weight::Accented } else { Weight::Light }
    }

    /// Whether the note of a side is left before the other one is, or with it.
    fn leaves_first(&self, side: Side) -> bool {
        self.strand(side).end <= self.strand(side.other()).end
    }

    /// Passing or neighbour note; a double neighbour while the other note stays.
    pub fn stepwise(&self, side: Side) -> Option<Naming> {
        let turn = &self.strand(side).turn;
        let figure = match () {
            () if turn.is_passing() => Figure::Passing(self.weight(side)),
            () if turn.is_neighbour() => Figure::Neighbour(self.weight(side)),
            () if turn.is_double_neighbour() && self.leaves_first(side) => Figure::DoubleNeighbour,
            () => return None,
        };
        Some(Naming { side, figure })
    }

    /// Cambiata, échappée, anticipation on a light place, while the other note stays; appoggiatura on a place
    /// no lighter than what follows.
    pub fn ornament(&self, side: Side) -> Option<Naming> {
        let strand = self.strand(side);
        let (turn, light) = (&strand.turn, self.leaves_first(side) && self.weight(side) == Weight::Light);
        let brief = self.strength < Strength::Pulse || turn.approach().is_some_and(is_melodic_step);
        let figure = match () {
            () if light && turn.is_cambiata() => Figure::Cambiata,
            () if light && turn.is_echappee() => Figure::Echappee,
            () if light && brief && turn.is_anticipation() && strand.reaches_consonance() => {
                Figure::Anticipation
            }
            () if self.strength >= strand.leaves_on && turn.is_appoggiatura() && strand.reaches_relief() => {
                Figure::Appoggiatura
            }
            () if light
                && self.strength < Strength::Pulse
                && turn.is_incomplete_neighbour()
                && strand.reaches_consonance() =>
            {
                Figure::IncompleteNeighbour
            }
            () => return None,
        };
        Some(Naming { side, figure })
    }

    /// A note of a voice that leaps back and forth between two lines, off the beat: passing or neighbour note in
    /// the one, or the note that stands still in the other and is heard on through all (common practice).
    pub fn in_broken_line(&self, side: Side) -> Option<Naming> {
        let turn = &self.strand(side).turn;
        let moving = turn.in_broken_line();
        let figure = match moving {
            _ if self.strength >= Strength::Pulse => return None,
            Some(line) if line.is_passing() => Figure::Passing(self.weight(side)),
            Some(line) if line.is_neighbour() => Figure::Neighbour(self.weight(side)),
            _ if turn.stands_still() => Figure::Pedal,
            _ => return None,
        };
        Some(Naming { side, figure })
    }

    /// Whether the note of a side is struck against as a suspension is: prepared, and on a place no
    /// lighter than that on which it is left.
    pub fn is_suspended(&self, side: Side) -> bool {
        let strand = self.strand(side);
        strand.stays()
            && strand.prepared
            && self.strand(side.other()).entry != Entry::Held
            && self.strength >= strand.leaves_on
    }

    /// Whether the other voice leaves with the note and rises to meet it, on its way by step through a passing note:
    /// the note resolves for all that (common practice).
    fn is_met(&self, side: Side) -> bool {
        let (strand, other) = (self.strand(side), self.strand(side.other()));
        let [first, second, ..] = other.turn.after;
        let way = [Some(other.turn.here), first, second];
        let rises = |from: Option<Pitch>, to: Option<Pitch>| {
            from.zip(to).map(|(from, to)| to - from).is_some_and(|it| is_melodic_step(it) && it.steps() == 1)
        };
        strand.end == other.end && side == Side::Upper && rises(way[0], way[1]) && rises(way[1], way[2])
    }

    /// Suspension or retardation.
    pub fn suspension(&self, side: Side) -> Option<Naming> {
        let strand = self.strand(side);
        if !self.is_suspended(side) {
            return None;
        }
        let figure = match (strand.turn.falls(), strand.turn.rises()) {
            (Some(Resolution::Direct), _) if strand.reaches_relief() || self.is_met(side) => {
                Figure::Suspension(Resolution::Direct)
            }
            (Some(Resolution::Ornamented), _) if self.is_decorated(side) => {
                Figure::Suspension(Resolution::Ornamented)
            }
            (None, Some(_)) if !self.is_one_degree() => Figure::Retardation,
            _ => return None,
        };
        Some(Naming { side, figure })
    }

    /// Whether a suspended note that does not fall at once goes to something milder meanwhile, or no further than a third
    /// but for its octave; one degree against its other form may not wait.
    fn is_decorated(&self, side: Side) -> bool {
        let strand = self.strand(side);
        let is_near = |it: Interval| it.steps().abs() <= 2 || it.abs() == Interval::OCTAVE;
        !self.is_one_degree() && (strand.turn.departure().is_some_and(is_near) || strand.reaches_relief())
    }

    /// A long note, held or struck again and again.
    pub fn pedal(&self, side: Side) -> Option<Naming> {
        let (strand, other) = (self.strand(side), self.strand(side.other()));
        let goes_on = other.end < strand.end || strand.turn.departure() == Some(Interval::UNISON);
        let held = strand.stays() && strand.is_long && goes_on;
        held.then_some(Naming { side, figure: Figure::Pedal })
    }

    fn unexplained(&self, holder: Side, holder_goes: bool) -> Naming {
        let hanging = holder_goes && self.is_suspended(holder) && self.strength >= Strength::Pulse;
        if hanging {
            return Naming { side: holder, figure: Figure::UnresolvedSuspension };
        }
        Naming { side: holder.other(), figure: Figure::Unexplained }
    }
}

#[cfg(test)]
mod tests {
    use crate::texture::trial::names;

    // Common practice: repeated notes are one note struck again.
    #[test]
    fn note_struck_again_and_again_resolves_where_it_moves() {
        let lines = ["R:1/4 C5:1/4 C5:1/8 C5 C5 C5 C5 B4", "E4:1/2 D4:1/8 E4 A3 E4 E4 G4"];
        assert_eq!(names("4/4", &lines), ["1/2 C5 suspension with ornamented resolution"]);
    }

    // Common practice: one voice that leaps back and forth is heard as two.
    #[test]
    fn broken_line_holds_a_line_and_a_note_that_stands_still() {
        let found = names("4/4", &["C5:1/8 G4 D5 G4 E5 G4 F5:1/4", "E4:3/8 A3:1/4 A3 A3:1/8"]);
        assert_eq!(found[1..], ["3/8 G4 pedal", "5/8 G4 pedal"]);
        let found = names("4/4", &["C5:1/16 G4 D5 G4 E5 G4 F5:1/8 E5:1/2", "C4:1"]);
        assert_eq!(found[0], "1/8 D5 accented passing note");
        // The other notes leap: no line goes on above the one that returns.
        let found = names("4/4", &["C5:1/8 G4 E5 G4 C5 G4 E5:1/4", "C4:3/8 F3 C4:1/4"]);
        assert_eq!(found[0], "3/8 G4 unexplained dissonance");
    }

    // Common practice: the bass passes on as the suspended note falls.
    #[test]
    fn suspension_may_resolve_over_a_passing_note_that_rises_to_meet_it() {
        let found = |bass| names("4/4", &["R:1/2 E5:3/4 D5:3/4", bass]).remove(0);
        assert_eq!(found("C4:1 D4:1/4 E4 F4:1/2"), "1 E5 suspension");
        // It turns back: the bass is no passing note.
        assert_eq!(found("C4:1 D4:1/4 E4 C4:1/2"), "1 D4 accented passing note");
        // Both fall, from seventh to seventh.
        assert_ne!(names("4/4", &["R:1/2 C5:3/4 B4:3/4", "E4:1 D4:1/4 C4 A3:1/2"])[0], "1 C5 suspension");
    }
}
