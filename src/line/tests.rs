use super::strategy::any_line;
use super::*;
use proptest::prelude::*;

fn time(text: &str) -> Time {
    text.parse().unwrap()
}

fn note(pitch: &str, onset: &str, duration: &str) -> Note {
    Note::new(pitch.parse().unwrap(), time(onset), time(duration))
}

proptest! {
    #[test]
    fn prop_events_give_the_line_back(line in any_line()) {
        let events = line.events().into_iter().map(|event| (event.pitch, event.duration));
        prop_assert_eq!(Line::from_events(events), Ok(line));
    }

    #[test]
    fn prop_events_fill_the_line_without_gaps(line in any_line()) {
        let mut now = Time::ZERO;
        let mut rested = false;
        for event in line.events() {
            prop_assert_eq!(event.onset, now);
            prop_assert!(!(rested && event.pitch.is_none()), "two rests in a row");
            rested = event.pitch.is_none();
            now = now.checked_add(event.duration).unwrap();
        }
        prop_assert_eq!(now, line.length());
    }

    #[test]
    fn prop_grid_is_the_coarsest_for_all_times(line in any_line()) {
        let times = line.notes().iter().flat_map(|note| [note.onset(), note.duration()]);
        prop_assert_eq!(line.grid(), Grid::of(times.chain([line.length()])));
    }
}

#[test]
fn rests_in_a_row_are_one() {
    let line: Line = "R:1/12 R:1/6 C4:1/4 R:1/3 R:2/3".parse().unwrap();
    assert_eq!(line, "R:1/4 C4:1/4 R:1".parse().unwrap());
    assert_eq!(line.grid().unwrap().per_whole(), 4);
}

#[test]
fn a_refused_note_leaves_the_line_as_it_was() {
    let mut line: Line = "C4:1/999983".parse().unwrap();
    let before = line.clone();
    for (pitch, duration) in [(None, "1/2"), (Some("D4"), "1/2"), (Some("D4"), "0"), (None, "-1")] {
        let pitch = pitch.map(|pitch| pitch.parse().unwrap());
        assert!(line.push(pitch, time(duration)).is_err(), "{duration}");
        assert_eq!(line, before);
    }
}

#[test]
fn notes_out_of_order_or_over_the_edges_are_refused() {
    let rows = [
        (
            vec![note("C4", "0", "1/2"), note("D4", "1/4", "1/4")],
            "note 2 begins at 1/4, before the one before has ended at 1/2: a line has one note at a time",
        ),
        (vec![note("C4", "-1/4", "1/2")], "note 1 begins at -1/4: a line begins at 0 (delay it by 1/4)"),
        (
            vec![note("C4", "0", "5/4")],
            "a line whose last note ends at 5/4 cannot have the length 1: it must be at least 5/4",
        ),
        (vec![note("C4", "0", "0")], "note 1: a duration of 0 is impossible: it must be greater than 0"),
    ];
    for (notes, message) in rows {
        assert_eq!(Line::from_notes(notes, Time::WHOLE).unwrap_err().to_string(), message);
    }
    assert_eq!(
        Line::from_notes([], time("-1")).unwrap_err().to_string(),
        "a line whose last note ends at 0 cannot have the length -1: it must be at least 0"
    );
}

#[test]
fn refuses_more_notes_than_the_limit() {
    let quaver = (Some("C4".parse().unwrap()), time("1/8"));
    let line = Line::from_events(std::iter::repeat_n(quaver, MAX_NOTES + 1));
    assert_eq!(line.unwrap_err().to_string(), "note 2000001: a line has at most 2000000 notes: split it");
}
