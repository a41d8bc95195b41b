//! Meter, pickup and key of a file.

use super::super::super::reading::ReadRemark;
use super::clock::Clock;
use super::error::ReadError;
use super::events::Events;
use super::spelling;
use super::strand::Voiced;
use crate::key::{Key, Mode, Signature};
use crate::meter::Meter;
use crate::time::{Time, TimeError};

/// What the music stands in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Frame {
    pub(super) meter: Meter,
    pub(super) pickup: Time,
    /// When the meter changes: the music from there is left out.
    pub(super) end: Option<Time>,
}

impl Frame {
    /// The meter, and the pickup if the file announces one as a short bar of its own.
    pub(super) fn of(
        events: &Events,
        clock: Clock,
        remarks: &mut Vec<ReadRemark>,
    ) -> Result<Self, ReadError> {
        let refused = |source: TimeError| ReadError::Time { part: "meters".to_owned(), source };
        let mut meters: Vec<(Time, Meter)> = Vec::new();
        for &(ticks, upper, power) in &events.meters {
            let lower = 1_u8.checked_shl(power.into()).unwrap_or(0);
            if let Ok(meter) = Meter::new(upper, lower) {
                meters.push((clock.exact(ticks).map_err(refused)?, meter));
            }
        }
        let mut meters = meters.into_iter().peekable();
        let (first, pickup) = match (meters.next(), meters.peek().copied()) {
            (Some((_, short)), Some((at, meter))) if short.bar() == at && at < meter.bar() => {
                meters.next();
                (Some(meter), at)
            }
            (first, _) => (first.filter(|(at, _)| at.is_zero()).map(|(_, meter)| meter), Time::ZERO),
        };
        let meter = match first {
            Some(meter) => meter,
            None => Meter::new(4, 4).map_err(|_| ReadError::Empty)?,
        };
        if first.is_none() {
            remarks.push(ReadRemark::AssumedMeter { meter });
        }
        let mut frame = Self { meter, pickup, end: None };
        if let Some((at, to)) =
            meters.find(|(_, to)| to.bar() != meter.bar()).filter(|(at, _)| at.is_positive())
        {
            frame.end = Some(at);
            remarks.push(ReadRemark::MeterChange { bar: frame.bar(at), from: meter, to });
        }
        Ok(frame)
    }

    /// The bar of a time.
    pub(super) fn bar(&self, time: Time) -> i64 {
        self.meter.bar_and_beat(time, self.pickup).map_or(0, |(bar, _)| bar)
    }
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
