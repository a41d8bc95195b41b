//! When each bar begins: meters, pickup, bars that are long, short or split.

use super::super::super::reading::ReadRemark;
use super::document::{Measure, Source};
use super::error::{ReadError, Spot};
use super::part::Read;
use crate::meter::{Meter, MeterError, Meters};
use crate::time::{Time, TimeError};
use std::collections::BTreeMap;

/// So many bars of a file at most are one of the score.
const MOST_SPLIT: usize = 16;

/// Where the bars of a piece lie in time.
#[derive(Clone, Debug)]
pub(super) struct Timeline {
    pub(super) meters: Meters,
    /// The rests taken away before a pickup.
    pub(super) cut: Time,
    /// When each bar of the file begins.
    pub(super) starts: Vec<Time>,
    pub(super) end: Time,
}

impl Timeline {
    /// The bars of these parts.
    pub(super) fn of(
        parts: &[Read],
        source: &Source<'_>,
        remarks: &mut Vec<ReadRemark>,
    ) -> Result<Self, ReadError> {
        let count = parts.iter().map(|part| part.bars.len()).max().unwrap_or(0);
        let mut lengths: Vec<Time> = (0..count).map(|bar| filled(parts, bar)).collect();
        let spot = || Spot { part: source.name.clone(), bar: 1 };
        let named = |source| ReadError::Meter { spot: spot(), source };
        let marked = source.bars.first().is_some_and(Measure::is_pickup);
        let meter = first_meter(parts, &lengths, marked, remarks).map_err(named)?;
        if let Some(first) = lengths.first_mut().filter(|length| marked && length.is_zero()) {
            *first = rested(parts).min(meter.bar());
        }
        let (pickup, cut, starts) = (Time::ZERO, Time::ZERO, Vec::new());
        let (number, now, meters) = (1, Time::ZERO, Vec::new());
        let mut builder =
            Builder { parts, source, lengths, standing: meter, pickup, cut, starts, number, now, meters };
        builder.begin(marked, remarks)?;
        builder.go_on(remarks)?;
        let meters = builder.meters().map_err(named)?;
        let timeline = Self { meters, cut: builder.cut, starts: builder.starts, end: builder.now };
        timeline.renumber(source, remarks);
        Ok(timeline)
    }

    /// The bar of the score at which a bar of the file begins.
    pub(super) fn bar(&self, bar: usize) -> i64 {
        self.bar_of(self.starts.get(bar).copied().unwrap_or(self.end))
    }

    /// The bar of the score at a time.
    pub(super) fn bar_of(&self, time: Time) -> i64 {
        self.meters.bar_and_beat(time).map_or(0, |(bar, _)| bar)
    }

    /// Says where the numbers of the file first differ from the count.
    fn renumber(&self, source: &Source<'_>, remarks: &mut Vec<ReadRemark>) {
        for (&start, bar) in self.starts.iter().zip(&source.bars) {
            let (number, beat) = self.meters.bar_and_beat(start).unwrap_or((0, Time::WHOLE));
            let written = &bar.number;
            let begins = beat == Time::WHOLE || start.is_zero();
            if begins && !written.is_empty() && *written != number.to_string() {
                remarks.push(ReadRemark::BarNumbers { bar: number, written: crate::quote::excerpt(written) });
                return;
            }
        }
    }
}

/// Walks from bar to bar of the file.
struct Builder<'p, 'x> {
    parts: &'p [Read],
    source: &'p Source<'x>,
    /// How far each bar of the file is filled.
    lengths: Vec<Time>,
    /// The meter that the file has given last.
    standing: Meter,
    pickup: Time,
    cut: Time,
    starts: Vec<Time>,
    /// The bar of the score that begins now.
    number: i64,
    now: Time,
    /// The bars in which a meter begins.
    meters: Vec<(i64, Meter)>,
}

impl Builder<'_, '_> {
    /// The first bar, if it is a pickup: it is short, and the second is not the rest of it.
    fn begin(&mut self, marked: bool, remarks: &mut Vec<ReadRemark>) -> Result<(), ReadError> {
        let full = self.standing.bar();
        let (length, second) = (self.length(0), self.lengths.get(1).copied());
        let completed = second.is_some_and(|second| length.checked_add(second) == Ok(full));
        if length < full && (marked || (second.is_some() && !completed)) {
            self.pickup = length;
            if !marked {
                remarks.push(ReadRemark::UnmarkedPickup { length });
            }
        } else if length == full && marked {
            let onsets = self.parts.iter().filter_map(|part| part.bars.first()).flat_map(|bar| &bar.notes);
            let rests = onsets.map(|note| note.onset).min().unwrap_or(Time::ZERO);
            if rests.is_positive() {
                self.cut = rests;
                self.pickup = self.timed(length.checked_sub(rests))?;
                remarks.push(ReadRemark::PaddedPickup { rests });
            }
        }
        if self.pickup.is_positive() {
            self.starts.push(Time::ZERO);
            self.now = self.pickup;
        }
        Ok(())
    }

    /// The bars after the pickup.
    fn go_on(&mut self, remarks: &mut Vec<ReadRemark>) -> Result<(), ReadError> {
        self.take_meter(self.starts.len());
        while self.starts.len() < self.lengths.len() {
            let bar = self.starts.len();
            let (length, meter) = (self.length(bar), self.standing);
            match self.split(bar, length) {
                Some(pieces) => self.add(&pieces, meter, 1)?,
                None => self.stray(bar, length, remarks)?,
            }
            self.take_meter(self.starts.len());
        }
        Ok(())
    }

    /// The meter that a bar of the file begins with, if it gives one; that of the first is known.
    fn take_meter(&mut self, bar: usize) {
        if let Some(meter) = meter_in(self.parts, bar).filter(|_| bar > 0) {
            self.standing = meter;
        }
    }

    /// The bars of the file, from one on, that are one bar together: it may be split, by repeat signs or a
    /// change of key, or by the pickup of a new meter that the file does not count; the last one of the
    /// piece need not be full.
    fn split(&self, bar: usize, length: Time) -> Option<Vec<Time>> {
        let full = self.standing.bar();
        let (mut pieces, mut together) = (vec![length], length);
        let mut is_pickup = false;
        while together < full && bar + pieces.len() < self.lengths.len() {
            let next = bar + pieces.len();
            let changed = meter_in(self.parts, next).filter(|&meter| meter != self.standing);
            if is_pickup || pieces.len() == MOST_SPLIT || (changed.is_some() && !self.is_uncounted(next)) {
                return None;
            }
            is_pickup = changed.is_some();
            pieces.push(self.length(next));
            together = together.checked_add(self.length(next)).ok()?;
        }
        let fits = if is_pickup { together == full } else { together <= full };
        fits.then_some(pieces)
    }

    /// Whether the file gives a bar no number of its own.
    fn is_uncounted(&self, bar: usize) -> bool {
        let number = |bar: usize| self.source.bars.get(bar).map_or("", |bar| &bar.number);
        let is_numbered = number(bar).parse::<i64>().is_ok() && (bar == 0 || number(bar) != number(bar - 1));
        !is_numbered || self.source.bars.get(bar).is_some_and(Measure::is_implicit)
    }

    /// A bar that is longer or shorter than its meter: it is one of its own length. Rests that lead
    /// beyond the bar line do not count.
    fn stray(&mut self, bar: usize, length: Time, remarks: &mut Vec<ReadRemark>) -> Result<(), ReadError> {
        let (number, meter) = (self.number, self.standing);
        let (bars, inside) = self.timed(length.divided(meter.bar()))?;
        let end = self.parts.iter().map(|part| sounding(part, bar)).max().unwrap_or_default();
        if length > meter.bar() && end <= meter.bar() && inside.is_positive() {
            remarks.push(ReadRemark::LongRest { part: self.longest(bar).to_owned(), bar: number });
            return self.add(&[meter.bar()], meter, 1);
        }
        let own = meter.lasting(length).filter(|own| number > 1 || own.bar() > self.pickup);
        if let Some(own) = own {
            ReadRemark::add_stray_bar(remarks, number, length, meter);
            return self.add(&[length], own, 1);
        }
        if inside.is_zero() {
            return self.add(&[length], meter, bars);
        }
        if length > meter.bar() {
            let by = self.timed(length.checked_sub(meter.bar()))?;
            let part = self.longest(bar).to_owned();
            return Err(ReadError::LongBar { spot: Spot { part, bar: number }, by, meter });
        }
        let by = self.timed(meter.bar().checked_sub(length))?;
        remarks.push(ReadRemark::ShortBar { bar: number, by });
        self.add(&[length], meter, 1)?;
        self.now = self.timed(self.now.checked_add(by))?;
        Ok(())
    }

    /// The name of the first part in which most is written in a bar.
    fn longest(&self, bar: usize) -> &str {
        let filled = |part: &&Read| part.bars.get(bar).map(|bar| bar.filled);
        self.parts.iter().rev().max_by_key(filled).map_or("", |part| &part.name)
    }

    /// Bars of the file that are so many bars of the score in this meter.
    fn add(&mut self, lengths: &[Time], meter: Meter, bars: i64) -> Result<(), ReadError> {
        if self.meters.last().is_none_or(|last| last.1 != meter) {
            self.meters.push((self.number, meter));
        }
        for &length in lengths {
            self.take_meter(self.starts.len());
            self.starts.push(self.now);
            self.now = self.timed(self.now.checked_add(length))?;
        }
        self.number += bars;
        Ok(())
    }

    /// How long a bar of the file is; one that is empty, or in which the file steps on to the bar line over
    /// silence, is as long as its meter says.
    fn length(&self, bar: usize) -> Time {
        let filled = self.lengths.get(bar).copied().unwrap_or(Time::ZERO);
        let full = meter_in(self.parts, bar).filter(|_| bar > 0).unwrap_or(self.standing).bar();
        let bars = self.parts.iter().filter_map(|part| part.bars.get(bar));
        let is_silent_to_its_end = || filled < full && bars.map(|bar| bar.forwarded).max() == Some(full);
        if filled.is_zero() || is_silent_to_its_end() { full } else { filled }
    }

    fn meters(&self) -> Result<Meters, MeterError> {
        let first = self.meters.first().map_or(self.standing, |first| first.1);
        let mut meters = Meters::new(first, self.pickup)?;
        for &(bar, meter) in self.meters.iter().skip(1) {
            meters = meters.with_change(bar, meter)?;
        }
        Ok(meters)
    }

    fn timed<T>(&self, time: Result<T, TimeError>) -> Result<T, ReadError> {
        let part = self.parts.first().map_or(String::new(), |part| part.name.clone());
        time.map_err(|source| ReadError::Time { spot: Spot { part, bar: self.number }, source })
    }
}

fn filled(parts: &[Read], bar: usize) -> Time {
    parts.iter().filter_map(|part| part.bars.get(bar)).map(|bar| bar.filled).max().unwrap_or(Time::ZERO)
}

/// How long the rests of a first bar without notes are: a pickup may be silent.
fn rested(parts: &[Read]) -> Time {
    parts.iter().filter_map(|part| part.bars.first()).map(|bar| bar.rested).max().unwrap_or(Time::ZERO)
}

/// When the last note of a bar ends.
fn sounding(part: &Read, bar: usize) -> Time {
    let notes = part.bars.get(bar).into_iter().flat_map(|bar| &bar.notes);
    let ends = notes.filter_map(|note| note.onset.checked_add(note.duration).ok());
    ends.max().unwrap_or(Time::ZERO)
}

fn meter_in(parts: &[Read], bar: usize) -> Option<Meter> {
    parts.iter().find_map(|part| part.bars.get(bar)?.meter)
}

/// The meter of the first bar. That of the pickup alone is none: of a first bar that is marked as one,
/// or is less than half as long as the second.
fn first_meter(
    parts: &[Read],
    lengths: &[Time],
    marked: bool,
    remarks: &mut Vec<ReadRemark>,
) -> Result<Meter, MeterError> {
    let (first, second) = (meter_in(parts, 0), meter_in(parts, 1));
    let pickup = lengths.first().copied().unwrap_or(Time::ZERO);
    let is_pickup = |first: Meter, second: Meter| {
        let is_short =
            pickup < second.bar() && (marked || pickup.scaled(2, 1).is_ok_and(|it| it < second.bar()));
        first.bar() == pickup && is_short
    };
    match (first, second) {
        (Some(first), Some(second)) if is_pickup(first, second) => Ok(second),
        (Some(first), _) => Ok(first),
        (None, Some(second)) if pickup <= second.bar() => Ok(second),
        _ => {
            let meter = assumed(lengths)?;
            remarks.push(ReadRemark::AssumedMeter { meter });
            Ok(meter)
        }
    }
}

/// A meter with bars of the length that most bars have: over quarters where they fit, else over
/// halves, eighths and so on.
fn assumed(lengths: &[Time]) -> Result<Meter, MeterError> {
    let mut counts: BTreeMap<Time, usize> = BTreeMap::new();
    for &length in lengths.iter().filter(|length| length.is_positive()) {
        *counts.entry(length).or_default() += 1;
    }
    let usual = counts.iter().max_by_key(|(_, count)| **count).map_or(Time::WHOLE, |(length, _)| *length);
    let mut figures = [4_u8, 2, 8, 16, 32, 64].into_iter().filter_map(|lower| {
        let upper = usual.scaled(lower.into(), 1).ok().filter(|upper| upper.denominator() == 1)?;
        Meter::new(u8::try_from(upper.numerator()).ok()?, lower).ok()
    });
    figures.next().map_or_else(|| Meter::new(4, 4), Ok)
}
