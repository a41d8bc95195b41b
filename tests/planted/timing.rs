//! Faults of time in entries: they come later than their place in the bar.

use crate::chance::Chance;
use crate::faults::Fault;
use crate::music::Clean;
use crate::plant::Plant;
use soggetto::exposition::Entry;
use soggetto::line::Note;
use soggetto::time::Time;

/// An entry comes a beat late, as the conductor beats.
pub(crate) fn by_a_beat(clean: &Clean, entry: &Entry, _: &mut Chance) -> Option<Plant> {
    let (begin, end) = clean.music.pulse(entry.onset)?;
    late(clean, entry, end.checked_sub(begin).ok()?)
}

/// An entry comes half a beat late, or a third of one in a compound meter.
pub(crate) fn by_part_of_a_beat(clean: &Clean, entry: &Entry, _: &mut Chance) -> Option<Plant> {
    let ((begin, end), unit) = (clean.music.pulse(entry.onset)?, clean.music.beat());
    let beat = end.checked_sub(begin).ok()?;
    late(clean, entry, if beat == unit { unit.scaled(1, 2).ok()? } else { unit })
}

/// The entry so much later, and what its voice has then, cut off where the entry still lasts. Half a bar of four
/// beats is no fault, nor is a place in the bar in which another entry begins: it is the composer's own.
fn late(clean: &Clean, entry: &Entry, by: Time) -> Option<Plant> {
    let beat = |time: Time| clean.music.frame().place(time).ok().map(|place| place.beat);
    let begins = beat(entry.onset.checked_add(by).ok()?);
    if clean.themes().iter().any(|other| beat(other.onset) == begins) {
        return None;
    }
    let mut music = clean.music.clone();
    let line = &mut music.lines[entry.voice];
    let rest = line.split_off(entry.notes.end);
    for note in &mut line[entry.notes.clone()] {
        *note = Note::new(note.pitch(), note.onset().checked_add(by).ok()?, note.duration());
    }
    let end = line.last()?.end();
    let cut = |note: Note| {
        let onset = note.onset().max(end);
        Some(Note::new(
            note.pitch(),
            onset,
            note.end().checked_sub(onset).ok().filter(|it| *it > Time::ZERO)?,
        ))
    };
    line.extend(rest.into_iter().filter_map(cut));
    let fault = Fault { from: entry.onset, to: entry.onset.checked_add(by).ok()?, voices: vec![entry.voice] };
    Some(Plant { music, fault, note: None })
}
