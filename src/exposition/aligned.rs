//! A theme and one of its statements, note beside note.

use crate::line::Note;
use crate::time::Time;

/// For each note of a theme, which note of a statement begins at the same distance from the theme's
/// beginning; `None` where the statement begins no note there.
///
/// First notes may be longer or shorter in a statement (Prout, *Fugue*, §57), so the two are laid on
/// each other by their first notes and by their second ones, and the way in which more notes meet
/// counts; of two alike the one in which more of them have the same number. Cost: linear in the notes.
///
/// ```
/// use soggetto::{exposition::aligned, line::Line};
/// let subject: Line = "C4:1/2 E4:1/4 G4:1/4 C4:1/2".parse()?;
/// let entry: Line = "R:1/4 G3:1/4 B3:1/4 D4:1/8 E4:1/8 G3:1/2".parse()?;
/// assert_eq!(aligned(subject.notes(), entry.notes()), [None, Some(1), Some(2), Some(4)]);
/// # Ok::<(), soggetto::line::LineError>(())
/// ```
pub fn aligned(theme: &[Note], statement: &[Note]) -> Vec<Option<usize>> {
    let mut best = vec![None; theme.len()];
    for (one, other) in theme.iter().zip(statement).take(2) {
        let Ok(distance) = other.onset().checked_sub(one.onset()) else { continue };
        let laid = laid_at(theme, statement, distance);
        if weight(&laid) > weight(&best) {
            best = laid;
        }
    }
    best
}

/// The notes that meet when the theme begins so much later.
fn laid_at(theme: &[Note], statement: &[Note], distance: Time) -> Vec<Option<usize>> {
    let mut from = 0;
    let mut meet = |note: &Note| {
        let onset = note.onset().checked_add(distance).ok()?;
        from += statement.get(from..)?.iter().take_while(|other| other.onset() < onset).count();
        statement.get(from).filter(|other| other.onset() == onset).map(|_| from)
    };
    theme.iter().map(&mut meet).collect()
}

/// How many notes meet, and how many of these have the same number in both.
fn weight(laid: &[Option<usize>]) -> (usize, usize) {
    let alike = laid.iter().enumerate().filter(|(index, note)| **note == Some(*index));
    (laid.iter().flatten().count(), alike.count())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::Line;
    use crate::line::strategy::any_line;
    use proptest::prelude::*;

    fn laid(theme: &str, statement: &str) -> Vec<Option<usize>> {
        let [theme, statement]: [Line; 2] = [theme, statement].map(|line| line.parse().unwrap());
        aligned(theme.notes(), statement.notes())
    }

    #[test]
    fn notes_meet_wherever_the_statement_begins() {
        assert_eq!(laid("C4:1/4 D4 E4", "R:1 G4:1/4 A4 B4"), [Some(0), Some(1), Some(2)]);
        assert_eq!(laid("R:1/8 C4:1/4 D4", "G4:1/4 A4"), [Some(0), Some(1)]);
    }

    #[test]
    fn first_note_may_be_shorter() {
        assert_eq!(laid("C4:1/2 D4:1/4 E4 F4", "G4:1/4 A4 B4 C5"), [None, Some(1), Some(2), Some(3)]);
    }

    #[test]
    fn notes_left_out_or_put_in_move_no_other() {
        assert_eq!(laid("C4:1/4 D4 E4 F4", "G4:1/4 A4:1/2 C5:1/4"), [Some(0), Some(1), None, Some(2)]);
        assert_eq!(laid("C4:1/2 E4", "G4:1/4 A4 B4:1/2"), [Some(0), Some(2)]);
    }

    #[test]
    fn nothing_meets_nothing() {
        assert_eq!(laid("C4:1/4 D4", "R:1"), [None, None]);
        assert!(laid("R:1", "C4:1").is_empty());
    }

    proptest! {
        #[test]
        fn prop_a_theme_meets_itself_note_by_note(line in any_line()) {
            let whole: Vec<Option<usize>> = (0..line.notes().len()).map(Some).collect();
            prop_assert_eq!(aligned(line.notes(), line.notes()), whole);
        }

        #[test]
        fn prop_notes_that_meet_are_in_order(one in any_line(), other in any_line()) {
            let laid: Vec<usize> = aligned(one.notes(), other.notes()).into_iter().flatten().collect();
            prop_assert!(laid.is_sorted() && laid.iter().all(|&index| index < other.notes().len()));
        }
    }
}
