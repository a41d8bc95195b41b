//! Faults of rhythm: beats in which nobody moves, voices that keep step.

use crate::chance::Chance;
use crate::faults::Fault;
use crate::music::{Clean, Music};
use crate::plant::Plant;
use soggetto::line::Note;
use soggetto::time::Time;

fn attacks(music: &Music, from: Time, to: Time) -> usize {
    music.lines.iter().flatten().filter(|note| from <= note.onset() && note.onset() < to).count()
}

/// The pulses between two times.
fn pulses(music: &Music, from: Time, to: Time) -> Vec<(Time, Time)> {
    let mut pulses = Vec::new();
    let mut time = from;
    while let Some(pulse) = music.pulse(time).filter(|pulse| pulse.1 <= to) {
        pulses.push(pulse);
        time = pulse.1;
    }
    pulses
}

/// When the second voice enters.
fn second_entry(music: &Music) -> Time {
    let mut entries: Vec<Time> = music.lines.iter().filter_map(|line| Some(line.first()?.onset())).collect();
    entries.sort_unstable();
    entries[1]
}

/// A beat in which every note is taken away, the note before held through it.
pub(crate) fn empty_beat(clean: &Clean, chance: &mut Chance) -> Option<Plant> {
    let music = &clean.music;
    let last = music.lines.iter().filter_map(|line| Some(line.last()?.onset())).max()?;
    let mut pulses = pulses(music, second_entry(music), last);
    pulses.retain(|pulse| attacks(music, pulse.0, pulse.1) > 0 && pulse.0 > second_entry(music));
    let (from, to) = (!pulses.is_empty()).then(|| chance.of(&pulses))?;
    let mut music = music.clone();
    for line in &mut music.lines {
        hold_through(line, from, to);
    }
    let voices = Vec::new();
    (attacks(&music, from, to) == 0).then_some(Plant {
        music,
        fault: Fault { from, to: from, voices },
        note: None,
    })
}

fn hold_through(line: &mut Vec<Note>, from: Time, to: Time) {
    let Some(first) = line.iter().position(|note| from <= note.onset() && note.onset() < to) else { return };
    let end = line.iter().filter(|note| note.onset() < to).map(|note| note.end()).max().unwrap();
    line.retain(|note| !(from <= note.onset() && note.onset() < to));
    if let Some(before) = first.checked_sub(1) {
        let note = line[before];
        line[before] = Note::new(note.pitch(), note.onset(), end.checked_sub(note.onset()).unwrap());
    }
}

/// Two bars in which other voices take the rhythm of one, a third of what they had.
pub(crate) fn unison(clean: &Clean, chance: &mut Chance) -> Option<Plant> {
    let themes = clean.themes();
    let theme = *themes.get(1 + chance.below(themes.len() - 1))?;
    let model: Vec<Note> = clean.notes(theme).to_vec();
    let (from, to) = (model.first()?.onset(), model.last()?.end());
    let mut music = clean.music.clone();
    let mut voices = vec![theme.voice];
    for (voice, line) in music.lines.iter_mut().enumerate() {
        let in_time =
            line.iter().any(|note| note.onset() < from) && line.iter().any(|note| note.end() > from);
        if voice != theme.voice
            && in_time
            && line.iter().any(|note| from <= note.onset() && note.onset() < to)
        {
            follow(line, &model, from, to);
            voices.push(voice);
        }
    }
    voices.sort_unstable();
    (voices.len() > 1 && model.len() > 3).then_some(Plant {
        music,
        fault: Fault { from, to, voices },
        note: None,
    })
}

/// The line with the rhythm of a model for a time, each note with what it had there or next.
fn follow(line: &mut Vec<Note>, model: &[Note], from: Time, to: Time) {
    let pitch = |time: Time| line.iter().find(|note| note.end() > time).or(line.last()).unwrap().pitch();
    let taken: Vec<Note> = model
        .iter()
        .enumerate()
        .map(|(index, note)| {
            let step = if index % 2 == 0 { "P1" } else { "M2" };
            Note::new(
                pitch(note.onset()).moved(step.parse().unwrap()).unwrap(),
                note.onset(),
                note.duration(),
            )
        })
        .collect();
    for note in line.iter_mut().filter(|note| note.onset() < from && note.end() > from) {
        *note = Note::new(note.pitch(), note.onset(), from.checked_sub(note.onset()).unwrap());
    }
    for note in line.iter_mut().filter(|note| from <= note.onset() && note.onset() < to && note.end() > to) {
        *note = Note::new(note.pitch(), to, note.end().checked_sub(to).unwrap());
    }
    line.retain(|note| !(from <= note.onset() && note.onset() < to));
    line.extend(taken);
    line.sort_by_key(|note| note.onset());
}
