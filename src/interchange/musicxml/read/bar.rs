//! One bar of one part: where its notes lie in it.

use super::attributes::{self, Signed};
use super::document::Measure;
use super::elements::Text;
use super::error::{ReadError, Spot};
use super::number::{are_whole_notes, decimal, value, whole_notes};
use super::part::State;
use super::written::{self, Attributes, Content, Size, Written};
use crate::meter::Meter;
use crate::pitch::{Letter, Pitch, PitchClass};
use crate::quote::excerpt;
use crate::time::{Time, TimeError};
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

/// A written note, at its sounding pitch.
#[derive(Clone, Debug)]
pub(super) struct Sounded {
    /// The voice as the file names it.
    pub(super) voice: Rc<str>,
    pub(super) staff: u8,
    /// How often the bar had stepped back before it.
    pub(super) layer: usize,
    /// From the beginning of the bar.
    pub(super) onset: Time,
    pub(super) duration: Time,
    pub(super) pitch: Pitch,
    /// Whether a tie leads on from it.
    pub(super) tied_on: bool,
}

/// A bar of a part as read.
#[derive(Clone, Debug, Default)]
pub(super) struct Bar {
    pub(super) notes: Vec<Sounded>,
    /// The voices, as the file names them, in which rests are written.
    pub(super) resting: BTreeSet<Rc<str>>,
    /// The last moment at which something written ends, rests of a whole bar apart.
    pub(super) filled: Time,
    /// The last moment at which a rest for the whole bar ends.
    pub(super) rested: Time,
    /// The last moment to which the file steps on over silence.
    pub(super) forwarded: Time,
    pub(super) signed: Option<Signed>,
    pub(super) meter: Option<Meter>,
    pub(super) repeats: bool,
    pub(super) marks: Marks,
}

/// What had to be normalised in a bar.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Marks {
    pub(super) grace: usize,
    pub(super) cue: usize,
    pub(super) unpitched: usize,
    pub(super) rounded: usize,
    pub(super) unlike: usize,
    pub(super) early_backup: bool,
}

/// Walks through the elements of a bar.
pub(super) struct Walk<'s> {
    state: &'s mut State,
    spot: Spot,
    bar: Bar,
    /// Where the next note begins, by note values.
    now: Time,
    /// Where the file believes that it begins, by its durations.
    counted: Time,
    /// Where the last note began, for the rest of its chord.
    last: Time,
    /// How often the bar has stepped back.
    layer: usize,
    /// Moments of the file and the moments meant, once they differ.
    meant: BTreeMap<Time, Time>,
    /// The moments meant.
    moments: BTreeSet<Time>,
}

impl<'s> Walk<'s> {
    /// Reads a bar; `state` is what stands from the bars before.
    pub(super) fn read(written: &Measure<'_>, spot: Spot, state: &'s mut State) -> Result<Bar, ReadError> {
        let (now, counted, last) = (Time::ZERO, Time::ZERO, Time::ZERO);
        let (bar, meant, moments) = (Bar::default(), BTreeMap::new(), BTreeSet::new());
        let mut walk = Walk { state, spot, bar, now, counted, last, layer: 0, meant, moments };
        for written in &written.written {
            match written {
                Written::Attributes(attributes) => walk.attributes(attributes)?,
                Written::Note(note) => walk.note(note)?,
                Written::Backup(duration) => walk.backup(duration.as_ref())?,
                Written::Forward(duration) => walk.forward(duration.as_ref())?,
                Written::Repeat => walk.bar.repeats = true,
            }
        }
        walk.bar.notes.shrink_to_fit();
        Ok(walk.bar)
    }

    fn attributes(&mut self, attributes: &Attributes<'_>) -> Result<(), ReadError> {
        if let Some(text) = &attributes.divisions {
            let divisions = decimal(text).filter(|&(number, _)| number > 0);
            let expected = "a number above 0";
            self.state.divisions =
                divisions.ok_or_else(|| attributes::value(&self.spot, "divisions", text, expected))?;
        }
        self.bar.signed = attributes::signature(attributes, &self.spot)?.or(self.bar.signed);
        let meter = attributes::meter(attributes, &self.spot)?;
        self.bar.meter = self.bar.meter.or(meter);
        for (staff, clef) in attributes::clefs(attributes) {
            self.state.clefs.entry(staff).or_insert(clef);
        }
        if let Some(transposition) = attributes::transposition(attributes, &self.spot)? {
            self.state.transpose(transposition);
        }
        Ok(())
    }

    fn note(&mut self, note: &written::Note<'_>) -> Result<(), ReadError> {
        if note.size == Size::Grace {
            self.bar.marks.grace += 1;
            return Ok(());
        }
        let of_bar = matches!(note.content, Content::Rest { of_bar: true });
        if matches!(note.content, Content::Rest { .. }) {
            let voice = self.voice(note);
            self.bar.resting.insert(voice);
        }
        let (duration, counted) = self.duration(note)?;
        let onset = if note.is_in_chord { self.last } else { self.now };
        match &note.content {
            _ if note.size == Size::Cue => self.bar.marks.cue += 1,
            Content::Unpitched => self.bar.marks.unpitched += 1,
            Content::Rest { .. } => {}
            _ if duration.is_positive() => self.sound(note, onset, duration)?,
            _ => {}
        }
        if !note.is_in_chord {
            self.last = self.now;
            self.advance(duration, counted, !of_bar)?;
        }
        Ok(())
    }

    /// How long a note lasts, and what the file counts for it.
    ///
    /// Where the two differ by less than a division the file had to round, and the value counts;
    /// where they differ by more the duration counts, which is what is played.
    fn duration(&mut self, note: &written::Note<'_>) -> Result<(Time, Time), ReadError> {
        let value = value(note).filter(|_| !matches!(note.content, Content::Rest { of_bar: true }));
        let Some(number) = self.number(note.duration.as_ref())? else {
            let missing = ReadError::Missing { spot: self.spot.clone(), inside: "note", element: "duration" };
            return value.map(|value| (value, value)).ok_or(missing);
        };
        if let Some(value) = value.filter(|&value| are_whole_notes(number, self.state.divisions, value)) {
            return Ok((value, value));
        }
        let counted = self.timed(whole_notes(number, self.state.divisions))?;
        let Some(value) = value else { return Ok((counted, counted)) };
        let apart = self.timed(value.checked_sub(counted))?;
        let division = self.timed(whole_notes((1, 1), self.state.divisions))?;
        if apart < division && -apart < division {
            self.bar.marks.rounded += 1;
            return Ok((value, counted));
        }
        self.bar.marks.unlike += usize::from(!matches!(note.content, Content::Rest { .. }));
        Ok((counted, counted))
    }

    /// A number of divisions, as a fraction.
    fn number(&self, text: Option<&Text<'_>>) -> Result<Option<(i64, i64)>, ReadError> {
        let Some(text) = text else { return Ok(None) };
        let number = decimal(text).filter(|&(number, _)| number >= 0);
        let refused = || attributes::value(&self.spot, "duration", text, "a number of divisions");
        number.map(Some).ok_or_else(refused)
    }

    /// The time of a step back or on; without a number it is none.
    fn counted_duration(&self, text: Option<&Text<'_>>) -> Result<Time, ReadError> {
        let time = self.number(text)?.map(|number| self.timed(whole_notes(number, self.state.divisions)));
        time.unwrap_or(Ok(Time::ZERO))
    }

    fn sound(&mut self, note: &written::Note<'_>, onset: Time, duration: Time) -> Result<(), ReadError> {
        let written = self.pitch(&note.content)?;
        let pitch = written.moved(self.state.to_sounding);
        let pitch = pitch.map_err(|source| ReadError::Pitch { spot: self.spot.clone(), source })?;
        let (voice, staff, tied_on) = (self.voice(note), note.staff.unwrap_or(1), note.is_tied_on);
        let layer = self.layer;
        self.bar.notes.push(Sounded { voice, staff, layer, onset, duration, pitch, tied_on });
        Ok(())
    }

    /// The voice as the file names it, or else by the pass through the bar.
    fn voice(&mut self, note: &written::Note<'_>) -> Rc<str> {
        let Some(name) = note.voice.as_deref().filter(|voice| !voice.is_empty()) else {
            return self.state.pass(self.layer);
        };
        if *self.state.voice != *name {
            self.state.voice = excerpt(name).into();
        }
        Rc::clone(&self.state.voice)
    }

    fn pitch(&self, content: &Content<'_>) -> Result<Pitch, ReadError> {
        let missing = |inside, element| ReadError::Missing { spot: self.spot.clone(), inside, element };
        let Content::Pitch(pitch) = content else { return Err(missing("note", "pitch")) };
        let step = pitch.step.as_deref().ok_or_else(|| missing("pitch", "step"))?;
        let octave = pitch.octave.as_deref().ok_or_else(|| missing("pitch", "octave"))?;
        let mut letters = step.chars();
        let letter = letters.next().and_then(Letter::from_char).filter(|_| letters.next().is_none());
        let letter =
            letter.ok_or_else(|| attributes::value(&self.spot, "step", step, "a letter from A to G"))?;
        let number = octave.parse::<i32>().ok().filter(|octave| (0..=9).contains(octave));
        let octave =
            number.ok_or_else(|| attributes::value(&self.spot, "octave", octave, "an octave from 0 to 9"))?;
        let class = PitchClass::new(letter, self.alteration(pitch)?);
        class
            .and_then(|class| Pitch::new(class, octave))
            .map_err(|source| ReadError::Pitch { spot: self.spot.clone(), source })
    }

    fn alteration(&self, pitch: &written::Pitch<'_>) -> Result<i32, ReadError> {
        let Some(text) = pitch.alter.as_deref().filter(|text| !text.is_empty()) else { return Ok(0) };
        let (number, unit) = decimal(text)
            .ok_or_else(|| attributes::value(&self.spot, "alter", text, "a number of semitones"))?;
        if number % unit != 0 {
            return Err(ReadError::Quartertone { spot: self.spot.clone(), text: excerpt(text) });
        }
        Ok(i32::try_from(number / unit).unwrap_or(i32::MAX))
    }

    fn backup(&mut self, duration: Option<&Text<'_>>) -> Result<(), ReadError> {
        let by = self.counted_duration(duration)?;
        self.layer += 1;
        let target = self.timed(self.counted.checked_sub(by))?;
        self.bar.marks.early_backup |= target.is_negative();
        self.counted = target.max(Time::ZERO);
        self.now = self.moment_meant(self.counted);
        Ok(())
    }

    /// What moment the file means: the one it counts, unless it had rounded durations before.
    fn moment_meant(&self, counted: Time) -> Time {
        if counted.is_zero() || self.moments.contains(&counted) {
            return counted;
        }
        self.meant.get(&counted).copied().unwrap_or(counted)
    }

    fn forward(&mut self, duration: Option<&Text<'_>>) -> Result<(), ReadError> {
        let by = self.counted_duration(duration)?;
        let counted = self.timed(self.counted.checked_add(by))?;
        if self.counted == self.now {
            self.advance(by, by, false)?;
        } else {
            self.counted = counted;
            self.now = self.moment_meant(counted);
        }
        self.bar.forwarded = self.now.max(self.bar.forwarded);
        Ok(())
    }

    fn advance(&mut self, by: Time, counted: Time, fills: bool) -> Result<(), ReadError> {
        self.now = self.timed(self.now.checked_add(by))?;
        self.counted = self.timed(self.counted.checked_add(counted))?;
        if self.bar.marks.rounded > 0 {
            self.meant.insert(self.counted, self.now);
            self.moments.insert(self.now);
        }
        let end = if fills { &mut self.bar.filled } else { &mut self.bar.rested };
        *end = self.now.max(*end);
        Ok(())
    }

    fn timed(&self, time: Result<Time, TimeError>) -> Result<Time, ReadError> {
        time.map_err(|source| ReadError::Time { spot: self.spot.clone(), source })
    }
}
