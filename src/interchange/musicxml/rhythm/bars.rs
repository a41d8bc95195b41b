//! Lines cut into bars of written notes.

use super::beam;
use super::cell::Cell;
use super::piece::{Bar, Division, Event, Piece};
use super::split::{Span, split};
use super::tuplet::{Ratio, Tuplet, tuplets};
use super::value::NoteValue;
use crate::line::Line;
use crate::meter::{Meter, Meters};
use crate::score::Score;
use crate::time::{Grid, Time};

/// The most bars that are written: enough for any music, few enough for any memory.
pub(in super::super) const MAX_BARS: i64 = 100_000;
/// How much finer than the times of the score the ticks are: room to halve down to the shortest value.
const FINER: i64 = 1024;

/// Why a line cannot be written down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in super::super) enum RhythmError {
    /// A note or rest, or a part of it, has no note value.
    Unwritable {
        /// The bar, a pickup being bar 0.
        bar: i64,
        /// How long the note or rest lasts.
        duration: Time,
    },
    /// Too many bars.
    Bars {
        /// How many there would be.
        bars: i64,
    },
}

/// The ticks and bars common to all parts of a score.
#[derive(Clone, Copy, Debug)]
pub(in super::super) struct Rhythm<'s> {
    meters: &'s Meters,
    grid: Grid,
    /// The first bar and the last.
    bars: (i64, i64),
}

/// A bar in time: its number, its meter, when it begins and ends, and where its bar line stands, which a
/// pickup only imagines.
#[derive(Clone, Copy, Debug)]
struct Frame {
    number: i64,
    meter: Meter,
    span: Span,
    line: i64,
}

impl<'s> Rhythm<'s> {
    /// The rhythm of a score on its grid.
    pub(in super::super) fn of(score: &'s Score, grid: Grid) -> Result<Self, RhythmError> {
        let (first, bars) = (score.first_bar(), score.bar_count());
        match bars {
            bars if bars > MAX_BARS => Err(RhythmError::Bars { bars }),
            _ => Ok(Self { meters: score.meters(), grid, bars: (first, bars.max(first)) }),
        }
    }

    /// Ticks a whole note.
    pub(in super::super) const fn per_whole(&self) -> i64 {
        self.grid.per_whole() * FINER
    }

    /// A time in ticks.
    pub(in super::super) const fn ticks(&self, time: Time) -> i64 {
        self.grid.ticks(time) * FINER
    }

    /// The bars in time. A pickup stands in the meter of the first full bar.
    fn frames(&self) -> impl Iterator<Item = Frame> {
        let (first, last) = self.bars;
        let mut line = self.ticks(self.meters.pickup());
        if first == 0 {
            line -= self.ticks(self.meters.first().bar());
        }
        (first..=last).map(move |number| {
            let meter = self.meters.of_bar(number);
            let end = line + self.ticks(meter.bar());
            let frame = Frame { number, meter, span: (line.max(0), end), line };
            line = end;
            frame
        })
    }

    /// The bars of a line, the last one filled with rests.
    pub(in super::super) fn bars(&self, line: &Line) -> Result<Vec<Bar>, RhythmError> {
        let mut notes = line.notes().iter().enumerate().peekable();
        let mut bars = Vec::new();
        for frame in self.frames() {
            let Frame { number, span: (start, end), .. } = frame;
            let mut inside = Vec::new();
            while let Some(&(index, note)) = notes.peek() {
                let span = (self.ticks(note.onset()), self.ticks(note.end()));
                if span.0 >= end {
                    break;
                }
                inside.push(Event { note: Some(index), span });
                if span.1 > end {
                    break;
                }
                notes.next();
            }
            let pieces = self.fill(frame, &inside)?;
            bars.push(Bar { number, length: end - start, pieces });
        }
        Ok(bars)
    }

    /// Writes the notes of a bar, and rests between them.
    fn fill(&self, frame: Frame, notes: &[Event]) -> Result<Vec<Piece>, RhythmError> {
        let Frame { number, meter, span: bar, line } = frame;
        if notes.is_empty() {
            let event = Event { note: None, span: bar };
            return Ok(vec![event.piece(bar, None, None)]);
        }
        let events = with_rests(bar, notes);
        let cell = Cell::bar(&meter, self.ticks(meter.unit()));
        let spans: Vec<Span> = events.iter().map(|event| inside(event.span, bar, line)).collect();
        let tuplets = tuplets(cell, &spans, self.per_whole());
        let mut pieces = Vec::new();
        for (event, span) in events.iter().zip(spans) {
            let written = self.write(cell, *event, span, line, &tuplets);
            pieces.extend(written.ok_or_else(|| self.unwritable(number, event.span))?);
        }
        beam::join(&mut pieces, &meter, line, self.per_whole());
        Ok(pieces)
    }

    fn unwritable(&self, bar: i64, span: Span) -> RhythmError {
        let duration = self.grid.time((span.1 - span.0) / FINER).unwrap_or(Time::ZERO);
        RhythmError::Unwritable { bar, duration }
    }

    /// Writes one note or rest, cut where irregular divisions begin and end.
    fn write(
        &self,
        cell: Cell<'_>,
        event: Event,
        span: Span,
        line: i64,
        tuplets: &[Tuplet],
    ) -> Option<Vec<Piece>> {
        let mut pieces = Vec::new();
        let mut now = span.0;
        while now < span.1 {
            let next = tuplets.iter().find(|tuplet| now < tuplet.end);
            match next.filter(|tuplet| tuplet.start < span.1) {
                Some(tuplet) if tuplet.start <= now => {
                    let end = span.1.min(tuplet.end);
                    pieces.extend(self.write_in_tuplet(event, (now, end), line, *tuplet)?);
                    now = end;
                }
                next => {
                    let end = next.map_or(span.1, |tuplet| tuplet.start);
                    for part in split(cell, (now, end), event.sound(), self.per_whole())? {
                        let value = NoteValue::of(part.1 - part.0, self.per_whole());
                        pieces.push(event.piece((part.0 + line, part.1 + line), value, None));
                    }
                    now = end;
                }
            }
        }
        Some(pieces)
    }

    /// Writes a span inside an irregular division: one value if there is one, else long ones first.
    fn write_in_tuplet(&self, event: Event, span: Span, line: i64, tuplet: Tuplet) -> Option<Vec<Piece>> {
        let Ratio { actual, normal } = tuplet.ratio;
        let mut pieces = Vec::new();
        let mut now = span.0;
        while now < span.1 {
            let written = (span.1 - now).checked_mul(actual).filter(|w| w % normal == 0)? / normal;
            let (value, length) = NoteValue::of(written, self.per_whole())
                .map(|value| (value, written))
                .or_else(|| NoteValue::longest_in(written, self.per_whole()))?;
            let end = now + length * normal / actual;
            if end <= now || length * normal % actual != 0 {
                return None;
            }
            let (opens, closes) = (now == tuplet.start, end == tuplet.end);
            let division = Division { ratio: tuplet.ratio, opens, closes };
            pieces.push(event.piece((now + line, end + line), Some(value), Some(division)));
            now = end;
        }
        Some(pieces)
    }
}

/// The part of a span in a bar, counted from the bar line (`line`, which a pickup only imagines).
fn inside(span: Span, bar: Span, line: i64) -> Span {
    (span.0.max(bar.0) - line, span.1.min(bar.1) - line)
}

/// The notes with rests in the gaps before, between and after them.
fn with_rests(bar: Span, notes: &[Event]) -> Vec<Event> {
    let mut events = Vec::new();
    let mut now = bar.0;
    for note in notes {
        if now < note.span.0 {
            events.push(Event { note: None, span: (now, note.span.0) });
        }
        events.push(*note);
        now = note.span.1;
    }
    if now < bar.1 {
        events.push(Event { note: None, span: (now, bar.1) });
    }
    events
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::score::Part;
    use crate::voice::Voice;
    use std::fmt::Write as _;

    /// Bars as text: values with dots, rests in brackets, ties as `~`, divisions as `3:2`.
    fn written(meter: &str, pickup: &str, line: &str) -> Result<String, RhythmError> {
        let line: Line = line.parse().unwrap();
        let parts = vec![Part { voice: Voice::new("alto"), line: line.clone() }];
        let key = "C major".parse().unwrap();
        let score = Score::new(key, meter.parse().unwrap(), pickup.parse().unwrap(), parts).unwrap();
        let rhythm = Rhythm::of(&score, score.grid().unwrap())?;
        let mut text = String::new();
        for bar in rhythm.bars(&line)? {
            write!(text, "|{}", bar.number).unwrap();
            for piece in bar.pieces {
                write!(text, " {}", show(piece)).unwrap();
            }
        }
        Ok(text)
    }

    fn show(piece: Piece) -> String {
        let value =
            piece.value.map_or("bar".to_owned(), |v| v.name().to_owned() + &".".repeat(v.dots().into()));
        let ratio =
            piece.division.map_or(String::new(), |d| format!("{}:{}", d.ratio.actual, d.ratio.normal));
        let open = if piece.division.is_some_and(|d| d.opens) { "<" } else { "" };
        let close = if piece.division.is_some_and(|d| d.closes) { ">" } else { "" };
        let tie = if piece.tied_on { "~" } else { "" };
        match piece.note {
            Some(_) => format!("{open}{value}{ratio}{close}{tie}"),
            None => format!("{open}({value}{ratio}){close}"),
        }
    }

    #[test]
    fn note_over_the_bar_line_is_tied() {
        assert_eq!(written("3/4", "0", "C4:1/2 D4:1/2 E4:1/2").unwrap(), "|1 half quarter~|2 quarter half");
    }

    #[test]
    fn pickup_is_bar_nought_and_keeps_its_place_before_the_bar_line() {
        assert_eq!(written("4/4", "3/8", "C4:1/8 D4:1/4 E4:1/2").unwrap(), "|0 eighth quarter|1 half (half)");
    }

    #[test]
    fn last_bar_is_filled_and_empty_bars_are_whole_rests() {
        assert_eq!(
            written("2/4", "0", "C4:1/8 R:3/8 R:1/2 D4:1/2 R:1/8").unwrap(),
            "|1 eighth (eighth) (quarter)|2 (bar)|3 half|4 (bar)"
        );
    }

    #[test]
    fn triplets_are_bracketed_and_leave_plain_notes_alone() {
        assert_eq!(
            written("2/4", "0", "C4:1/12 D4 E4 F4:1/4").unwrap(),
            "|1 <eighth3:2 eighth3:2 eighth3:2> quarter"
        );
        assert_eq!(
            written("4/4", "0", "C4:1/12 D4 E4:5/12 F4").unwrap(),
            "|1 <eighth3:2 eighth3:2 eighth3:2>~ quarter~ <eighth3:2 quarter3:2>~ quarter"
        );
    }

    #[test]
    fn triplet_may_hold_rests_and_shorter_notes() {
        assert_eq!(
            written("2/4", "0", "C4:1/8 D4:1/24 E4:1/12 R:1/12 F4:1/6").unwrap(),
            "|1 eighth <16th3:2 eighth3:2> <(eighth3:2) quarter3:2>"
        );
    }

    #[test]
    fn duration_without_value_is_refused_with_its_bar() {
        assert_eq!(
            written("2/4", "0", "C4:1/2 D4:1/5000"),
            Err(RhythmError::Unwritable { bar: 2, duration: Time::new(1, 5000).unwrap() })
        );
    }

    #[test]
    fn too_many_bars_are_refused() {
        assert_eq!(written("1/64", "0", "C4:100000"), Err(RhythmError::Bars { bars: 6_400_000 }));
    }
}
