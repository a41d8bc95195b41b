//! Faults planted into entries: wrong notes, other durations, other keys, gaps.

use crate::chance::Chance;
use crate::faults::{Fault, is_led_on};
use crate::music::{Clean, Music};
use crate::plant::{Plant, moved};
use soggetto::exposition::{Entry, Role};
use soggetto::line::Note;
use soggetto::time::Time;

/// Makes one plant of an entry; `None` if the entry does not suit.
type Change = fn(&Clean, &Entry, &mut Chance) -> Option<Plant>;

/// At most so many plants, one an entry of subject or answer, the first aside.
pub(crate) fn in_entries(clean: &Clean, chance: &mut Chance, count: usize, change: Change) -> Vec<Plant> {
    let mut entries: Vec<&Entry> = clean.themes().into_iter().skip(1).collect();
    let mut plants = Vec::new();
    while plants.len() < count && !entries.is_empty() {
        let entry = entries.swap_remove(chance.below(entries.len()));
        plants.extend(change(clean, entry, chance));
    }
    plants
}

fn with(note: Note, onset: Time, end: Time) -> Note {
    Note::new(note.pitch(), onset, end.checked_sub(onset).unwrap())
}

fn middle(note: Note) -> Time {
    note.onset().checked_add(note.duration().scaled(1, 2).unwrap()).unwrap()
}

/// The whole of an entry, as a fault of its voice and others.
fn whole(clean: &Clean, entry: &Entry, voices: Vec<usize>) -> Fault {
    Fault { from: entry.onset, to: clean.end_of(entry), voices }
}

/// A note of an entry by an interval that neither the subject at the fifth nor at the fourth has.
fn wrong_by(clean: &Clean, entry: &Entry, chance: &mut Chance, moves: &[&str]) -> Option<Plant> {
    let index = chance.below(entry.notes.len());
    let place = (entry.voice, entry.notes.start + index);
    let music = moved(&clean.music, place, chance.of(moves))?;
    let (is, was) = (music.lines[place.0][place.1], clean.music.lines[place.0][place.1]);
    let model = clean.outline.subject.line().notes()[index].pitch().class();
    let lawful = |by: &str| model.moved(by.parse().unwrap()) == Ok(is.pitch().class());
    let is_lawful = entry.role == Role::Answer
        && is.pitch().class() != was.pitch().class()
        && (lawful("P5") || lawful("P4"));
    (!is_lawful).then(|| Plant { music, fault: Fault::at(is.onset(), [entry.voice]), note: Some(place) })
}

pub(crate) fn step_away(clean: &Clean, entry: &Entry, chance: &mut Chance) -> Option<Plant> {
    wrong_by(clean, entry, chance, &["M2", "-M2", "m2", "-m2", "m3", "-M3"])
}

pub(crate) fn accidental(clean: &Clean, entry: &Entry, chance: &mut Chance) -> Option<Plant> {
    wrong_by(clean, entry, chance, &["A1", "-A1"])
}

pub(crate) fn octave(clean: &Clean, entry: &Entry, chance: &mut Chance) -> Option<Plant> {
    wrong_by(clean, entry, chance, &["P8", "-P8"])
}

/// A note inside an entry, with the one after it: neither the first nor the last.
fn inner(entry: &Entry, chance: &mut Chance) -> Option<usize> {
    let count = entry.notes.len().checked_sub(3).filter(|count| *count > 0)?;
    Some(entry.notes.start + 1 + chance.below(count))
}

/// Two neighbouring notes change durations: long and short for short and long, or even for dotted.
pub(crate) fn durations(clean: &Clean, entry: &Entry, chance: &mut Chance) -> Option<Plant> {
    let index = inner(entry, chance)?;
    let mut music = clean.music.clone();
    let line = &mut music.lines[entry.voice];
    let (one, other) = (line[index], line[index + 1]);
    if one.end() != other.onset() {
        return None;
    }
    let border = if one.duration() == other.duration() {
        middle(other)
    } else {
        one.onset().checked_add(other.duration()).ok()?
    };
    line[index] = with(one, one.onset(), border);
    line[index + 1] = with(other, border, other.end());
    let fault = Fault { from: one.onset(), to: other.end(), voices: vec![entry.voice] };
    Some(Plant { music, fault, note: None })
}

/// A note is left out, the one before held through it.
pub(crate) fn omission(clean: &Clean, entry: &Entry, chance: &mut Chance) -> Option<Plant> {
    let index = inner(entry, chance)?;
    let mut music = clean.music.clone();
    let line = &mut music.lines[entry.voice];
    let gone = line.remove(index);
    line[index - 1] = with(line[index - 1], line[index - 1].onset(), gone.end());
    let fault = Fault { from: gone.onset(), to: gone.end(), voices: vec![entry.voice] };
    Some(Plant { music, fault, note: None })
}

/// A neighbouring note is put in, in the second half of a note.
pub(crate) fn addition(clean: &Clean, entry: &Entry, chance: &mut Chance) -> Option<Plant> {
    let index = inner(entry, chance)?;
    let mut music = clean.music.clone();
    let line = &mut music.lines[entry.voice];
    let note = line[index];
    let pitch = note.pitch().moved(chance.of(&["M2", "-M2", "m2", "-m2"]).parse().unwrap()).ok()?;
    line[index] = with(note, note.onset(), middle(note));
    line.insert(index + 1, with(Note::new(pitch, note.onset(), note.duration()), middle(note), note.end()));
    let fault = Fault { from: note.onset(), to: note.end(), voices: vec![entry.voice] };
    Some(Plant { music, fault, note: None })
}

/// A whole entry by an interval.
fn transposed(clean: &Clean, entry: &Entry, by: &str) -> Option<Plant> {
    let mut music = clean.music.clone();
    for note in &mut music.lines[entry.voice][entry.notes.clone()] {
        *note = Note::new(note.pitch().moved(by.parse().unwrap()).ok()?, note.onset(), note.duration());
    }
    let fault = whole(clean, entry, vec![entry.voice]);
    Some(Plant { music, fault: Fault { to: fault.from, ..fault }, note: None })
}

/// The answer a step or a third from its place.
pub(crate) fn misplaced_answer(clean: &Clean, entry: &Entry, chance: &mut Chance) -> Option<Plant> {
    let by = chance.of(&["M2", "-M2", "m3", "-m3", "M3"]);
    (entry.role == Role::Answer).then(|| transposed(clean, entry, by))?
}

/// A tonal answer made a real one: every note a fifth above the subject's. A third entry must tell where the
/// subject ends; a short dominant at the opening is exempt (Prout, *Fugue*, §102, note), and so is one that the
/// tonic chord leads to (§§91-99), and one that leaps to the tonic (§106), if no more is altered.
pub(crate) fn real_for_tonal(clean: &Clean, entry: &Entry, _: &mut Chance) -> Option<Plant> {
    if entry.role != Role::Answer || clean.themes().len() < 3 {
        return None;
    }
    let mut music = clean.music.clone();
    let subject = clean.outline.subject.line().notes();
    let (mut first, mut altered) = (None, Vec::new());
    let notes = music.lines[entry.voice][entry.notes.clone()].iter_mut();
    for (index, (note, model)) in notes.zip(subject).enumerate() {
        let class = model.pitch().class().moved("P5".parse().unwrap()).ok()?;
        if note.pitch().class() != class {
            let pitch = ["M2", "-M2", "m2", "-m2"].iter().find_map(|by| {
                note.pitch().moved(by.parse().unwrap()).ok().filter(|pitch| pitch.class() == class)
            })?;
            let (begin, end) = clean.music.pulse(note.onset())?;
            let is_short = note.duration().scaled(2, 1).ok()? < end.checked_sub(begin).ok()?;
            first = first.or((!is_short).then_some(note.onset()));
            *note = Note::new(pitch, note.onset(), note.duration());
            altered.push(index);
        }
    }
    let is_free = match altered[..] {
        [0] => leaps_to_tonic(clean),
        [index] => index > 1,
        _ => false,
    };
    if is_free {
        return None;
    }
    let fault = Fault { from: entry.onset, to: first?, voices: vec![entry.voice] };
    Some(Plant { music, fault, note: None })
}

/// Whether the subject begins by a leap from the dominant to the tonic: masters copy such an opening as readily as
/// they answer its dominant by the tonic.
fn leaps_to_tonic(clean: &Clean) -> bool {
    let subject = &clean.outline.subject;
    let degree = |note: &Note| subject.key().degree(note.pitch().class()).number();
    matches!(subject.line().notes(), [first, second, ..] if (degree(first), degree(second)) == (5, 1))
}

/// The returning subject outside the tonic, not at the fifth or fourth.
pub(crate) fn misplaced_return(clean: &Clean, entry: &Entry, chance: &mut Chance) -> Option<Plant> {
    let by = chance.of(&["M2", "-M2", "m3", "-m3", "M3"]);
    (entry.role == Role::Subject).then(|| transposed(clean, entry, by))?
}

/// The returning subject in the key of the answer: two answers in succession.
pub(crate) fn out_of_order(clean: &Clean, entry: &Entry, chance: &mut Chance) -> Option<Plant> {
    (entry.role == Role::Subject).then(|| transposed(clean, entry, chance.of(&["P5", "-P4"])))?
}

/// An entry is not there: its voice rests. Where another voice has no entry either, nobody can tell which of the
/// two has missed this turn; where but two entries are left, nobody can tell where the subject ends.
pub(crate) fn silence(clean: &Clean, entry: &Entry, _: &mut Chance) -> Option<Plant> {
    let themes = clean.themes();
    let has_others = themes.iter().filter(|theme| theme.role == Role::Answer).count() > 1;
    let mut voices = 0..clean.music.lines.len();
    let all_enter = voices.all(|voice| themes.iter().any(|theme| theme.voice == voice));
    if !all_enter || themes.len() < 4 || entry.role == Role::Answer && !has_others {
        return None;
    }
    let mut music = clean.music.clone();
    music.lines[entry.voice].drain(entry.notes.clone());
    Some(Plant { music, fault: Fault::at(entry.onset, [entry.voice]), note: None })
}

/// An entry is not there: its voice has other notes in even beats.
pub(crate) fn replacement(clean: &Clean, entry: &Entry, chance: &mut Chance) -> Option<Plant> {
    let plant = silence(clean, entry, chance)?;
    let mut music = plant.music;
    let fill = even(clean, entry, chance);
    if states(&fill, clean.notes(entry)) {
        return None;
    }
    music.lines[entry.voice].splice(entry.notes.start..entry.notes.start, fill);
    Some(Plant { music, ..plant })
}

/// Whether notes have the pitches of an entry in a row, each as often as they like: it is stated in other values.
fn states(notes: &[Note], entry: &[Note]) -> bool {
    let row = |notes: &[Note]| {
        let mut pitches: Vec<_> = notes.iter().map(|note| note.pitch()).collect();
        pitches.dedup();
        pitches
    };
    let entry = row(entry);
    row(notes).windows(entry.len()).any(|stretch| stretch == entry)
}

/// The time of an entry in even beats, each with some pitch of the entry.
fn even(clean: &Clean, entry: &Entry, chance: &mut Chance) -> Vec<Note> {
    let (notes, beat) = (clean.notes(entry), clean.music.beat());
    let (mut time, end) = (notes[0].onset(), clean.end_of(entry));
    let mut fill = Vec::new();
    while time < end {
        let until = time.checked_add(beat).unwrap().min(end);
        fill.push(with(chance.of(notes), time, until));
        time = until;
    }
    fill
}

/// A later countersubject is replaced by other notes in even beats. The voice of the theme that is
/// left without it is to be named. What returned but once, and not with the third entry, is not known for a
/// countersubject when it is gone.
pub(crate) fn dropped_countersubject(clean: &Clean, chance: &mut Chance, count: usize) -> Vec<Plant> {
    let later = clean.countersubjects().into_iter().skip(1).take(count);
    let plants = later.filter_map(|entry| {
        let themes = clean.themes();
        let theme =
            themes.iter().rev().find(|theme| theme.onset <= entry.onset && theme.voice != entry.voice)?;
        let is_known = clean.countersubjects().len() > 2 || themes.get(2)?.onset == theme.onset;
        if !is_known {
            return None;
        }
        let mut music = clean.music.clone();
        let fill = even(clean, entry, chance);
        music.lines[entry.voice].splice(entry.notes.clone(), fill);
        Some(Plant { music, fault: whole(clean, theme, vec![theme.voice]), note: None })
    });
    plants.collect()
}

/// The first voice rests from the end of its subject until the answer has ended.
pub(crate) fn silent_first_voice(clean: &Clean) -> Option<Plant> {
    let themes = clean.themes();
    let (first, answer) = (themes[0], themes[1]);
    let mut music = clean.music.clone();
    let (from, to) = (clean.end_of(first), clean.end_of(answer));
    music.lines[first.voice].retain(|note| note.onset() < from || note.onset() >= to);
    let is_long = to.checked_sub(from.max(answer.onset)).ok()? > clean.music.beat().scaled(4, 1).ok()?;
    let fault = Fault { from, to, voices: vec![first.voice] };
    is_long.then_some(Plant { music, fault, note: None })
}

/// A note of the first countersubject that makes a fifth on the beat, reached and left by leap; neither of the two
/// is led on by step later, as a fourth that is held into the beat would be.
pub(crate) fn uninvertible(clean: &Clean, chance: &mut Chance) -> Option<Plant> {
    let (theme, first) = (*clean.themes().get(1)?, *clean.countersubjects().first()?);
    let inside = first.notes.start + 1..first.notes.end - 1;
    let mut places: Vec<usize> = inside
        .filter(|index| {
            let note = clean.music.lines[first.voice][*index];
            clean.music.is_pulse(note.onset())
                && note.onset() >= theme.onset
                && note.onset() < clean.end_of(theme)
        })
        .collect();
    while !places.is_empty() {
        let index = places.swap_remove(chance.below(places.len()));
        for by in ["M2", "-M2", "m2", "-m2", "m3", "-m3", "M3", "-M3", "P4", "-P4", "P5", "-P5"] {
            let Some(music) = moved(&clean.music, (first.voice, index), by) else { continue };
            if is_bare_fifth(&music, theme, (first.voice, index)) {
                let note = music.lines[first.voice][index];
                let fault =
                    Fault::at(note.onset(), [first.voice.min(theme.voice), first.voice.max(theme.voice)]);
                return Some(Plant { music, fault, note: Some((first.voice, index)) });
            }
        }
    }
    None
}

fn is_bare_fifth(music: &Music, theme: &Entry, (voice, index): (usize, usize)) -> bool {
    let line = &music.lines[voice];
    let (before, note, after) = (line[index - 1], line[index], line[index + 1]);
    let leap = |one: Note, other: Note| (one.pitch().staff_step() - other.pitch().staff_step()).abs() >= 2;
    let themes = &music.lines[theme.voice];
    let Some(against) = themes.iter().position(|it| it.sounds_at(note.onset())) else { return false };
    let stands = |other: Option<&Note>| other.is_none_or(|other| leap(*other, themes[against]));
    let bare = leap(before, note) && leap(note, after) && stands(themes.get(against + 1));
    let bare = bare && against.checked_sub(1).is_none_or(|before| stands(themes.get(before)));
    let bare = bare && !is_led_on(music, voice, index) && !is_led_on(music, theme.voice, against);
    let (one, other) = (note.pitch(), themes[against].pitch());
    let (high, low) = if voice < theme.voice { (one, other) } else { (other, one) };
    let interval =
        ((high.staff_step() - low.staff_step()).rem_euclid(7), (high.height() - low.height()).rem_euclid(12));
    bare && interval == (4, 7) && high.height() > low.height()
}
