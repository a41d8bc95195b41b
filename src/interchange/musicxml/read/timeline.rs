//! When each bar begins: meter, pickup, bars that are short or split.

use super::super::super::reading::ReadRemark;
use super::document::{Source, bar_number, is_implicit};
use super::error::{ReadError, Spot};
use super::part::Read;
use crate::meter::{Meter, MeterError};
use crate::time::{Time, TimeError};
use std::collections::BTreeMap;

/// Where the bars of a piece lie in time.
#[derive(Clone, Debug)]
pub(super) struct Timeline {
    pub(super) meter: Meter,
    pub(super) pickup: Time,
    /// The rests taken away before a pickup.
    pub(super) cut: Time,
    /// When each bar of the file that is kept begins.
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
        let meter = first_meter(parts, &lengths, remarks)
            .map_err(|source| ReadError::Meter { spot: spot(), source })?;
        let marked = source.bars.first().is_some_and(|&bar| is_implicit(bar) || bar_number(bar) == "0");
        if let Some(first) = lengths.first_mut().filter(|length| marked && length.is_zero()) {
            *first = rested(parts).min(meter.bar());
        }
        let mut builder = Builder {
            parts,
            meter,
            pickup: Time::ZERO,
            cut: Time::ZERO,
            starts: Vec::new(),
            now: Time::ZERO,
        };
        let first = builder.length(0, &lengths, remarks)?;
        builder.begin(first, marked, lengths.get(1).copied(), remarks)?;
        let changed = builder.change(count, remarks);
        for bar in 1..changed {
            let length = builder.length(bar, &lengths, remarks)?;
            builder.add(bar, length, remarks)?;
        }
        let Builder { pickup, cut, starts, now: end, .. } = builder;
        let timeline = Self { meter, pickup, cut, starts, end };
        timeline.renumber(source, remarks);
        timeline.change_remark(parts, changed, remarks);
        Ok(timeline)
    }

    /// The bar of the score at which a bar of the file begins.
    pub(super) fn bar(&self, bar: usize) -> i64 {
        let start = self.starts.get(bar).copied().unwrap_or(self.end);
        self.bar_at(start).0
    }

    /// The bar at a time, and how far into it.
    fn bar_at(&self, time: Time) -> (i64, Time) {
        let (bar, beat) = self.meter.bar_and_beat(time, self.pickup).unwrap_or((0, Time::WHOLE));
        (bar, beat)
    }

    /// Says where the numbers of the file first differ from the count.
    fn renumber(&self, source: &Source<'_>, remarks: &mut Vec<ReadRemark>) {
        for (&start, &bar) in self.starts.iter().zip(&source.bars) {
            let (number, beat) = self.bar_at(start);
            let written = bar_number(bar);
            let begins = beat == Time::WHOLE || start.is_zero();
            if begins && !written.is_empty() && written != number.to_string() {
                remarks.push(ReadRemark::BarNumbers { bar: number, written: crate::quote::excerpt(written) });
                return;
            }
        }
    }

    fn change_remark(&self, parts: &[Read], changed: usize, remarks: &mut Vec<ReadRemark>) {
        if let Some(to) = meter_in(parts, changed) {
            remarks.push(ReadRemark::MeterChange { bar: self.bar(changed), from: self.meter, to });
        }
    }
}

struct Builder<'p> {
    parts: &'p [Read],
    meter: Meter,
    pickup: Time,
    cut: Time,
    starts: Vec<Time>,
    now: Time,
}

impl Builder<'_> {
    /// The length of a bar of the file; rests that lead beyond the bar line do not count.
    fn length(&self, bar: usize, lengths: &[Time], remarks: &mut Vec<ReadRemark>) -> Result<Time, ReadError> {
        let full = self.meter.bar();
        let filled = lengths.get(bar).copied().unwrap_or(Time::ZERO);
        if filled.is_zero() {
            return Ok(full);
        }
        if filled <= full || self.timed(filled.remainder(full), bar)?.is_zero() {
            return Ok(filled);
        }
        let ends = self.parts.iter().map(|part| (sounding(part, bar), part));
        let Some((end, part)) = ends.max_by_key(|(end, _)| *end) else { return Ok(filled) };
        let spot = Spot { part: part.name.clone(), bar: self.number(bar) };
        if end <= full {
            remarks.push(ReadRemark::LongRest { part: spot.part, bar: spot.bar });
            return Ok(full);
        }
        let by = self.timed(end.checked_sub(full), bar)?;
        Err(ReadError::LongBar { spot, by, meter: self.meter })
    }

    /// The first bar: a pickup if it is short, unless the second is the rest of it.
    fn begin(
        &mut self,
        length: Time,
        marked: bool,
        second: Option<Time>,
        remarks: &mut Vec<ReadRemark>,
    ) -> Result<(), ReadError> {
        self.starts.push(Time::ZERO);
        let full = self.meter.bar();
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
                self.pickup = self.timed(length.checked_sub(rests), 0)?;
                remarks.push(ReadRemark::PaddedPickup { rests });
            }
        }
        self.now = self.timed(length.checked_sub(self.cut), 0)?;
        Ok(())
    }

    /// A further bar: it completes a short one before it, or that one is filled up.
    fn add(&mut self, bar: usize, length: Time, remarks: &mut Vec<ReadRemark>) -> Result<(), ReadError> {
        let full = self.meter.bar();
        let since = self.timed(self.now.checked_sub(self.pickup), bar)?;
        let into = self.timed(since.remainder(full), bar)?;
        let together = self.timed(into.checked_add(length), bar)?;
        if into.is_positive() && together > full {
            let by = self.timed(full.checked_sub(into), bar)?;
            let (number, _) =
                self.meter.bar_and_beat(self.now, self.pickup).unwrap_or((self.number(bar - 1), by));
            remarks.push(ReadRemark::ShortBar { bar: number, by });
            self.now = self.timed(self.now.checked_add(by), bar)?;
        }
        self.starts.push(self.now);
        self.now = self.timed(self.now.checked_add(length), bar)?;
        Ok(())
    }

    /// The first bar whose meter has bars of another length; else the number of bars.
    fn change(&self, count: usize, remarks: &mut Vec<ReadRemark>) -> usize {
        let mut standing = self.meter;
        for bar in 1..count {
            let Some(to) = meter_in(self.parts, bar).filter(|&to| to != standing) else { continue };
            if to.bar() != self.meter.bar() {
                return bar;
            }
            standing = to;
            remarks.push(ReadRemark::LikeMeter { bar: self.number(bar), to });
        }
        count
    }

    fn number(&self, bar: usize) -> i64 {
        i64::try_from(bar).unwrap_or(i64::MAX).saturating_add(i64::from(self.pickup.is_zero()))
    }

    fn timed(&self, time: Result<Time, TimeError>, bar: usize) -> Result<Time, ReadError> {
        let part = self.parts.first().map_or(String::new(), |part| part.name.clone());
        time.map_err(|source| ReadError::Time { spot: Spot { part, bar: self.number(bar) }, source })
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

/// The meter of the piece. A meter of the pickup alone is none.
fn first_meter(parts: &[Read], lengths: &[Time], remarks: &mut Vec<ReadRemark>) -> Result<Meter, MeterError> {
    let (first, second) = (meter_in(parts, 0), meter_in(parts, 1));
    let pickup = lengths.first().copied().unwrap_or(Time::ZERO);
    match (first, second) {
        (Some(first), Some(second)) if first.bar() == pickup && pickup < second.bar() => Ok(second),
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
