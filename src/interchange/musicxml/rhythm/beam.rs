//! Beams: which flags of a bar are joined, and how.
//!
//! Notes shorter than a quarter that follow one another within a [beat group](Meter::beat_groups) are
//! under one beam; rests and longer notes part them. Eighths that fill the beat groups of a
//! [wider one](Meter::eighth_groups) are under one beam there. An irregular division stays under one beam
//! even if it is longer than a beat.
//!
//! Where some of the notes are shorter than the others the second beam and those below it join only these;
//! one that stands alone has a hook, towards the note with which it makes up a longer value. These beams part
//! between two irregular divisions, and at each eighth of a group with thirty-seconds or shorter notes.
//!
//! Sources: Gould, *Behind Bars*, the chapters on metre and on tuplets (from memory); common practice.

use super::piece::Piece;
use super::split::Span;
use super::value::NoteValue;
use crate::meter::Meter;
use crate::time::Time;
use std::ops::Range;

/// The most beams of a note: a 1024th has eight.
pub(in super::super) const MAX_BEAMS: usize = 8;
/// A note of so many beams in a group makes the others part at each eighth.
const FINE: usize = 3;

/// What a beam does at a note.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in super::super) enum Beam {
    /// It begins here.
    Begin,
    /// It goes on before and after.
    Continue,
    /// It ends here.
    End,
    /// A hook towards the next note.
    ForwardHook,
    /// A hook towards the note before.
    BackwardHook,
}

/// The beams of a note, the longest first, none where it has fewer or a flag.
pub(in super::super) type Beams = [Option<Beam>; MAX_BEAMS];

/// The beat groups of a bar in ticks.
struct Groups {
    beats: Vec<Span>,
    wide: Vec<Span>,
    /// Ticks of an eighth.
    eighth: i64,
}

/// Joins the notes of a bar of this meter, whose bar line stands at a time.
pub(super) fn join(pieces: &mut [Piece], meter: &Meter, line: i64, per_whole: i64) {
    let groups = Groups::of(meter, line, per_whole);
    let mut start = 0;
    while start < pieces.len() {
        let end = groups.end(pieces, start);
        if end - start > 1 {
            groups.join(&mut pieces[start..end]);
        }
        start = end;
    }
}

impl Groups {
    fn of(meter: &Meter, line: i64, per_whole: i64) -> Self {
        let ticks = |time: Time| time.numerator() * per_whole / time.denominator();
        let spans = |groups: Vec<(Time, Time)>| {
            groups.into_iter().map(|(at, long)| (line + ticks(at), line + ticks(at) + ticks(long))).collect()
        };
        Self { beats: spans(meter.beat_groups()), wide: spans(meter.eighth_groups()), eighth: per_whole / 8 }
    }

    /// The end of the notes under one beam with the one that begins at this index.
    fn end(&self, pieces: &[Piece], start: usize) -> usize {
        let follows = |index: &usize| {
            let (before, note) = (&pieces[*index - 1], &pieces[*index]);
            beams(before) > 0 && beams(note) > 0 && !self.parts(pieces, *index)
        };
        (start + 1..pieces.len()).find(|index| !follows(index)).unwrap_or(pieces.len())
    }

    /// Whether beams part before a note: it begins a beat group, and neither goes on in an irregular division nor
    /// with the eighths of a wider group.
    fn parts(&self, pieces: &[Piece], index: usize) -> bool {
        let at = pieces[index].onset;
        let Some(beat) = self.beats.iter().position(|group| group.0 == at) else { return false };
        let goes_on = pieces[index].division.is_some_and(|division| !division.opens);
        let mut around = self.beats[beat.saturating_sub(1)..=beat].iter();
        let is_wide = self.wide.iter().any(|group| group.0 < at && at < group.1);
        let joins = is_wide && around.all(|group| self.is_of_eighths(pieces, *group));
        !goes_on && !joins
    }

    /// Whether plain eighths fill a beat group.
    fn is_of_eighths(&self, pieces: &[Piece], group: Span) -> bool {
        let from = pieces.partition_point(|piece| piece.onset < group.0);
        let inside = pieces[from..].iter().take_while(|piece| piece.onset < group.1);
        let is_eighth =
            |piece: &&Piece| piece.length == self.eighth && piece.division.is_none() && piece.note.is_some();
        let filled: i64 = inside.take_while(is_eighth).map(|piece| piece.length).sum();
        filled == group.1 - group.0
    }

    /// Writes the beams of notes that are under one beam.
    fn join(&self, notes: &mut [Piece]) {
        let counts: Vec<usize> = notes.iter().map(beams).collect();
        let deepest = counts.iter().copied().max().unwrap_or(0);
        for level in 0..deepest {
            let mut start = 0;
            while start < notes.len() {
                let parts = |index: usize| level > 0 && self.parts_lower(&notes[..=index], deepest);
                let end = (start + 1..notes.len())
                    .find(|&index| counts[index] <= level || counts[index - 1] <= level || parts(index))
                    .unwrap_or(notes.len());
                if counts[start] > level {
                    self.write(notes, start..end, level);
                }
                start = end;
            }
        }
    }

    /// Whether the second beam and those below it part before the last of these notes.
    fn parts_lower(&self, notes: &[Piece], deepest: usize) -> bool {
        let [.., before, note] = notes else { return false };
        let between = before.division.is_some_and(|division| division.closes)
            && note.division.is_some_and(|division| division.opens);
        between || (deepest >= FINE && (note.onset - self.beat(note)) % self.eighth == 0)
    }

    /// The beginning of the beat group that a note stands in.
    fn beat(&self, note: &Piece) -> i64 {
        self.beats.iter().rev().map(|group| group.0).find(|&start| start <= note.onset).unwrap_or(0)
    }

    /// Writes one beam over a run of notes.
    fn write(&self, notes: &mut [Piece], run: Range<usize>, level: usize) {
        let (first, last) = (run.start, run.end - 1);
        for index in run {
            let beam = match (index == first, index == last) {
                (true, true) => self.hook(notes, index),
                (true, false) => Beam::Begin,
                (false, false) => Beam::Continue,
                (false, true) => Beam::End,
            };
            notes[index].beams[level] = Some(beam);
        }
    }

    /// A hook points back from the last note, and from one that does not begin a value twice as long.
    fn hook(&self, notes: &[Piece], index: usize) -> Beam {
        let note = &notes[index];
        let opens = |piece: &&Piece| piece.division.is_some_and(|division| division.opens);
        let opening = notes[..=index].iter().rev().find(opens).filter(|_| note.division.is_some());
        let from = opening.map_or_else(|| self.beat(note), |piece| piece.onset);
        let begins_longer = (note.onset - from) % (2 * note.length) == 0;
        let is_last = index + 1 == notes.len();
        if index > 0 && (is_last || !begins_longer) { Beam::BackwardHook } else { Beam::ForwardHook }
    }
}

/// How many beams a note has; none if it is a rest.
fn beams(piece: &Piece) -> usize {
    piece.note.and(piece.value).map_or(0, NoteValue::flags)
}

#[cfg(test)]
mod tests {
    use super::super::Rhythm;
    use super::*;
    use crate::interchange::fixture;

    /// The beams of each note of a line, the longest first: `(` begins, `-` goes on, `)` ends, `>` and `<` are hooks;
    /// `o` has none. Bars are parted by `|`.
    fn drawn(meter: &str, pickup: &str, line: &str) -> String {
        let score = fixture::score("C major", meter, pickup, &[line]);
        let rhythm = Rhythm::of(&score, score.grid().unwrap()).unwrap();
        let bars = rhythm.bars(&score.parts()[0].line).unwrap();
        let bars = bars.iter().map(|bar| bar.pieces.iter().map(text).collect::<Vec<_>>().join(" "));
        bars.collect::<Vec<_>>().join(" | ")
    }

    fn text(piece: &Piece) -> String {
        let sign = |beam: &Beam| match beam {
            Beam::Begin => '(',
            Beam::Continue => '-',
            Beam::End => ')',
            Beam::ForwardHook => '>',
            Beam::BackwardHook => '<',
        };
        let text: String = piece.beams.iter().flatten().map(sign).collect();
        if text.is_empty() { "o".to_owned() } else { text }
    }

    /// Gould, *Behind Bars*, the chapter on metre, from memory; common practice.
    #[test]
    fn eighths_are_joined_by_the_half_bar_and_never_over_its_middle() {
        assert_eq!(drawn("4/4", "0", "C4:1/8 D4 E4 F4 G4 A4 B4 C5"), "( - - ) ( - - )");
        assert_eq!(drawn("4/4", "0", "C4:1/4 D4:1/8 E4 F4 G4 A4:1/4"), "o ( ) ( ) o");
        assert_eq!(drawn("2/2", "0", "C4:1/8 D4 E4 F4 G4 A4 B4:1/4"), "( - - ) ( ) o");
        assert_eq!(drawn("3/4", "0", "C4:1/8 D4 E4 F4 G4 A4"), "( - - - - )");
        assert_eq!(drawn("3/4", "0", "C4:1/4 D4:1/8 E4 F4 G4"), "o ( - - )");
        assert_eq!(drawn("5/4", "0", "C4:1/8 D4 E4 F4 G4:3/4"), "( ) ( ) o");
    }

    /// As if it were 6/8: three eighths after a dotted quarter.
    #[test]
    fn eighths_beside_a_beat_that_they_do_not_fill_stay_apart() {
        assert_eq!(drawn("3/4", "0", "C4:3/8 D4:1/8 E4 F4"), "o o ( )");
        assert_eq!(drawn("4/4", "0", "C4:1/8 D4:1/4 E4:1/8 F4 G4 A4:1/4"), "o o o ( ) o");
    }

    #[test]
    fn shorter_notes_are_joined_by_the_beat() {
        assert_eq!(drawn("2/4", "0", "C4:1/16 D4 E4 F4 G4:1/8 A4:1/16 B4"), "(( -- -- )) ( -( ))");
        assert_eq!(drawn("2/2", "0", "C4:1/16 D4 E4 F4 G4:1/8 A4 B4:1/2"), "(( -- -- )) ( ) o");
    }

    #[test]
    fn compound_meters_are_joined_by_the_dotted_beat() {
        assert_eq!(drawn("6/8", "0", "C4:1/8 D4 E4 F4:1/4 G4:1/8"), "( - ) o o");
        assert_eq!(drawn("12/8", "0", "C4:3/16 D4:1/16 E4:1/8 F4:9/8"), "( -< ) o o");
        assert_eq!(drawn("6/8", "0", "C4:1/16 D4 E4 F4 G4 A4 B4:3/8"), "(( -- -- -- -- )) o");
        assert_eq!(drawn("3/8", "0", "C4:1/8 D4:1/16 E4 F4:1/8"), "( -( -) )");
        assert_eq!(drawn("7/8", "0", "C4:1/8 D4 E4 F4 G4 A4 B4"), "( ) ( ) ( - )");
    }

    #[test]
    fn rests_and_long_notes_part_beams() {
        assert_eq!(drawn("2/4", "0", "C4:1/16 R D4 E4 R:1/8 F4"), "o o (( )) o o");
        assert_eq!(drawn("6/8", "0", "C4:1/8 R D4 E4 F4 R"), "o o o ( ) o");
    }

    #[test]
    fn hooks_point_to_the_note_that_they_complete() {
        assert_eq!(drawn("2/4", "0", "C4:3/16 D4:1/16 E4:1/16 F4:3/16"), "( )< (> )");
        assert_eq!(drawn("2/4", "0", "C4:1/16 D4:1/8 E4:1/16 F4:7/32 G4:1/32"), "(> - )< ( )<<");
        assert_eq!(drawn("2/4", "0", "C4:1/10 D4:1/20 E4:3/20 F4:1/5"), "( -> ) o");
    }

    #[test]
    fn fine_notes_are_grouped_by_the_eighth_under_one_beam() {
        assert_eq!(drawn("1/4", "0", "C4:1/32 D4 E4 F4 G4 A4 B4 C5"), "((( --- --- -)) -(( --- --- )))");
        assert_eq!(drawn("1/4", "0", "C4:1/16 D4:1/32 E4 F4:1/16 G4"), "(( --( -)) -( ))");
    }

    /// Gould, *Behind Bars*, the chapter on tuplets, from memory.
    #[test]
    fn irregular_divisions_stay_under_one_beam() {
        assert_eq!(drawn("2/4", "0", "C4:1/12 D4 E4 F4:1/6 G4:1/12"), "( - ) o o");
        assert_eq!(drawn("2/4", "0", "C4:1/12 D4 E4 F4:1/8 G4"), "( - ) ( )");
        assert_eq!(drawn("2/4", "0", "C4:1/10 D4 E4 F4 G4"), "( - - - )");
        assert_eq!(drawn("1/4", "0", "C4:1/24 D4 E4 F4 G4 A4"), "(( -- -) -( -- ))");
        assert_eq!(drawn("1/4", "0", "C4:1/24 D4 E4 F4:1/8"), "(( -- -) )");
        assert_eq!(drawn("1/4", "0", "C4:1/8 D4:1/24 E4 F4"), "( -( -- ))");
        assert_eq!(drawn("1/4", "0", "C4:1/8 D4:1/16 E4:1/48 F4 G4"), "( -( --( --- )))");
    }

    #[test]
    fn pickup_is_grouped_from_the_bar_line_before_it() {
        assert_eq!(drawn("4/4", "3/8", "C4:1/8 D4 E4 F4:1/8 G4 A4:3/4"), "o ( ) | ( ) o o");
        assert_eq!(drawn("6/8", "1/4", "C4:1/8 D4 E4 F4 G4 A4:3/8"), "( ) | ( - ) o");
    }
}
