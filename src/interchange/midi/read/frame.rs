//! Meters, pickup and key of a file.

use super::super::super::reading::ReadRemark;
use super::clock::Clock;
use super::error::ReadError;
use super::events::Events;
use super::spelling;
use super::strand::Voiced;
use crate::key::{Key, Mode, Signature};
use crate::meter::{Meter, MeterError, Meters};
use crate::time::{Time, TimeError};
use std::collections::BTreeMap;

/// What the music stands in.
#[derive(Clone, Debug)]
pub(super) struct Frame {
    pub(super) meters: Meters,
}

impl Frame {
    /// The meters, and the pickup if the file announces one as a short bar of its own.
    pub(super) fn of(
        events: &Events,
        clock: Clock,
        remarks: &mut Vec<ReadRemark>,
    ) -> Result<Self, ReadError> {
        let refused = |source: TimeError| ReadError::Time { part: "meters".to_owned(), source };
        let mut given: BTreeMap<Time, Meter> = BTreeMap::new();
        for &(ticks, upper, power) in &events.meters {
            let lower = 1_u8.checked_shl(power.into()).unwrap_or(0);
            let at = clock.value(ticks).map_or_else(|| clock.exact(ticks), Ok).map_err(refused)?;
            if let Ok(meter) = Meter::new(upper, lower) {
                given.insert(at, meter);
            }
        }
        let given: Vec<(Time, Meter)> = given.into_iter().collect();
        let named = |source: MeterError| match source {
            MeterError::Time(source) => refused(source),
            source => ReadError::Score(source.into()),
        };
        let meters = of_changes(&given, remarks).map_err(named)?;
        Ok(Self { meters })
    }

    /// The bar of a time.
    pub(super) fn bar(&self, time: Time) -> i64 {
        self.meters.bar_and_beat(time).map_or(0, |(bar, _)| bar)
    }
}

/// The meters of a file that gives these, each from a time on. One that stands anew before the first bar
/// is full makes that bar a pickup.
fn of_changes(given: &[(Time, Meter)], remarks: &mut Vec<ReadRemark>) -> Result<Meters, MeterError> {
    let (mut meters, rest) = match given {
        [(start, short), (at, meter), rest @ ..]
            if start.is_zero() && *at <= short.bar() && *at < meter.bar() =>
        {
            (Meters::new(*meter, *at)?, rest)
        }
        [(at, meter), rest @ ..] if at.is_zero() => (Meters::new(*meter, Time::ZERO)?, rest),
        _ => {
            let meter = Meter::new(4, 4)?;
            remarks.push(ReadRemark::AssumedMeter { meter });
            (Meters::new(meter, Time::ZERO)?, given)
        }
    };
    for &(at, to) in rest {
        meters = changed(meters, at, to, remarks)?;
    }
    Ok(meters)
}

/// The meters with a change at a time. In the middle of a bar it ends that bar, which then is one of its
/// own length; where no meter has bars of that length the change waits for the next bar.
fn changed(meters: Meters, at: Time, to: Meter, remarks: &mut Vec<ReadRemark>) -> Result<Meters, MeterError> {
    let (bar, inside) = meters.bar_and_place(at)?;
    let meter = meters.of_bar(bar);
    if meter == to {
        return Ok(meters);
    }
    if inside.is_zero() {
        return meters.with_change(bar, to);
    }
    let is_free = bar > meters.changes().last().map_or(1, |(last, ..)| last);
    let Some(own) = meter.lasting(inside).filter(|_| is_free) else {
        remarks.push(ReadRemark::LateMeter { bar, to });
        return meters.with_change(bar + 1, to);
    };
    ReadRemark::add_stray_bar(remarks, bar, inside, meter);
    meters.with_change(bar, own)?.with_change(bar + 1, to)
}

/// The key that the file gives, or else the one that most of the notes belong to.
pub(super) fn key(events: &Events, voices: &[Voiced], remarks: &mut Vec<ReadRemark>) -> Option<Key> {
    let given = events.keys.first().and_then(|&(_, fifths, minor)| {
        let mode = if minor { Mode::Minor } else { Mode::Major };
        Signature::new(fifths.into()).ok()?.key(mode).ok()
    });
    if given.is_some() {
        return given;
    }
    let mut weights = [0_i64; 12];
    for note in voices.iter().flat_map(|voice| &voice.notes) {
        let ticks = note.duration.numerator() * 1_000 / note.duration.denominator().max(1);
        weights[usize::from(note.key % 12)] += ticks;
    }
    let bass = voices.iter().rev().find_map(|voice| voice.notes.last())?;
    let key = spelling::estimate(&weights, bass.key)?;
    remarks.push(ReadRemark::AssumedKey { key });
    Some(key)
}
