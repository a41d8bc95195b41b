//! From the notes of a part to its voices: ties, chords, order.

use super::super::super::reading::ReadRemark;
use super::error::{ReadError, Spot};
use super::part::Read;
use super::timeline::Timeline;
use crate::line::{Line, Note};
use crate::pitch::Pitch;
use crate::score::{Part, ScoreError};
use crate::time::Time;
use crate::voice::{Clef, Voice};
use std::collections::BTreeMap;

/// A note in the time of the piece.
#[derive(Clone, Copy, Debug)]
struct Tone {
    onset: Time,
    duration: Time,
    pitch: Pitch,
    staff: u8,
    tied_on: bool,
}

impl Tone {
    fn end(self) -> Time {
        self.onset.checked_add(self.duration).unwrap_or(self.onset)
    }
}

/// Where a part stands among the others.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Standing {
    Alone,
    Lowest,
    Higher,
}

/// The voices of a part, the highest first.
pub(super) fn voices(
    part: &Read,
    timeline: &Timeline,
    standing: Standing,
    remarks: &mut Vec<ReadRemark>,
) -> Result<Vec<Part>, ReadError> {
    let mut groups: Vec<(String, Vec<Tone>)> = grouped(part, timeline)?.into_iter().collect();
    for (_, tones) in &mut groups {
        merge_ties(tones);
    }
    groups.sort_by_key(|(_, tones)| std::cmp::Reverse(twice_mean(tones)));
    let count = groups.len();
    let bass = standing == Standing::Lowest || (standing == Standing::Alone && count > 1);
    let mut streams = Vec::new();
    for (index, (voice, tones)) in groups.into_iter().enumerate() {
        let splitter = Splitter { part, timeline, voice: &voice, keeps_bottom: index + 1 == count && bass };
        streams.extend(splitter.split(tones, remarks)?);
    }
    if streams.is_empty() {
        streams.push(Vec::new());
    }
    if streams.len() > 1 {
        remarks.push(ReadRemark::SplitPart { part: part.name.clone(), voices: streams.len() });
    }
    let several = streams.len() > 1;
    streams.iter().enumerate().map(|(index, tones)| finish(part, timeline, tones, index, several)).collect()
}

/// The notes of each voice; by staff as well if a voice of the file stands on two staves at once.
fn grouped(part: &Read, timeline: &Timeline) -> Result<BTreeMap<String, Vec<Tone>>, ReadError> {
    let mut groups: BTreeMap<String, Vec<Tone>> = BTreeMap::new();
    for (bar, (read, &start)) in part.bars.iter().zip(&timeline.starts).enumerate() {
        for note in &read.notes {
            let begin = if bar == 0 { -timeline.cut } else { start };
            let onset = begin.checked_add(note.onset).and_then(|onset| onset.checked_add(Time::ZERO));
            let onset =
                onset.map_err(|source| ReadError::Time { spot: spot(part, timeline, start), source })?;
            let tone = Tone {
                onset,
                duration: note.duration,
                pitch: note.pitch,
                staff: note.staff,
                tied_on: note.tied_on,
            };
            groups.entry(note.voice.clone()).or_default().push(tone);
        }
    }
    let mut apart = BTreeMap::new();
    for (voice, mut tones) in groups {
        tones.sort_by_key(|tone| (tone.onset, std::cmp::Reverse(tone.pitch.height())));
        let crossing = |pair: &[Tone]| pair[0].staff != pair[1].staff && pair[1].onset < pair[0].end();
        if !tones.windows(2).any(crossing) {
            apart.insert(voice, tones);
            continue;
        }
        for tone in tones {
            apart.entry(format!("{voice} of staff {}", tone.staff)).or_insert_with(Vec::new).push(tone);
        }
    }
    Ok(apart)
}

/// Makes tied notes one: of the same key on the keyboard, the first spelling stands.
fn merge_ties(tones: &mut Vec<Tone>) {
    let mut merged: Vec<Tone> = Vec::with_capacity(tones.len());
    let mut open: BTreeMap<i32, usize> = BTreeMap::new();
    for &tone in tones.iter() {
        let height = tone.pitch.height();
        let before = open.get(&height).and_then(|&index| merged.get_mut(index));
        if let Some(before) = before.filter(|before| before.tied_on && before.end() == tone.onset) {
            before.duration = before.duration.checked_add(tone.duration).unwrap_or(before.duration);
            before.tied_on = tone.tied_on;
        } else {
            open.insert(height, merged.len());
            merged.push(tone);
        }
    }
    *tones = merged;
}

/// Twice the mean height, in semitones, each note counting once.
fn twice_mean(tones: &[Tone]) -> i64 {
    let sum: i64 = tones.iter().map(|tone| i64::from(tone.pitch.height())).sum();
    2 * sum / i64::try_from(tones.len()).unwrap_or(i64::MAX).max(1)
}

/// Makes lines of the notes of one voice of the file.
struct Splitter<'r> {
    part: &'r Read,
    timeline: &'r Timeline,
    voice: &'r str,
    keeps_bottom: bool,
}

impl Splitter<'_> {
    fn split(&self, tones: Vec<Tone>, remarks: &mut Vec<ReadRemark>) -> Result<Vec<Vec<Tone>>, ReadError> {
        let mut chords = chords(tones);
        let most = chords.iter().map(Vec::len).max().unwrap_or(0);
        let chord = chords.iter().position(|chord| chord.len() > 1);
        if let Some(first) = chord.filter(|_| chords.iter().any(|chord| chord.len() != most)) {
            if first + 1 < chords.len() {
                return Err(self.chord_error(&chords[first]));
            }
            remarks.extend(chords.last_mut().and_then(|chord| self.reduce(chord)));
        }
        let most = chords.iter().map(Vec::len).max().unwrap_or(0);
        let line = |index: usize| chords.iter().filter_map(move |chord| chord.get(index).copied()).collect();
        let lines: Vec<Vec<Tone>> = (0..most).map(line).collect();
        for line in &lines {
            self.check(line)?;
        }
        Ok(lines)
    }

    /// Keeps one note of the last chord: the top, or in the bass the bottom.
    fn reduce(&self, chord: &mut Vec<Tone>) -> Option<ReadRemark> {
        let kept = if self.keeps_bottom { *chord.last()? } else { *chord.first()? };
        *chord = vec![kept];
        let Spot { part, bar } = spot(self.part, self.timeline, kept.onset);
        Some(ReadRemark::ReducedChord { part, bar, kept: kept.pitch })
    }

    fn check(&self, line: &[Tone]) -> Result<(), ReadError> {
        let Some(pair) = line.windows(2).find(|pair| pair[1].onset < pair[0].end()) else { return Ok(()) };
        let spot = spot(self.part, self.timeline, pair[1].onset);
        Err(ReadError::Overlap { spot, voice: self.voice.to_owned() })
    }

    fn chord_error(&self, chord: &[Tone]) -> ReadError {
        let onset = chord.first().map_or(Time::ZERO, |tone| tone.onset);
        let spot = spot(self.part, self.timeline, onset);
        ReadError::Chord { spot, voice: self.voice.to_owned(), notes: chord.len() }
    }
}

/// The notes that begin together, the highest first, a unison once.
fn chords(tones: Vec<Tone>) -> Vec<Vec<Tone>> {
    let mut chords: Vec<Vec<Tone>> = Vec::new();
    for tone in tones {
        match chords.last_mut().filter(|chord| chord.first().is_some_and(|first| first.onset == tone.onset)) {
            Some(chord) if chord.iter().any(|other| other.pitch == tone.pitch) => {}
            Some(chord) => chord.push(tone),
            None => chords.push(vec![tone]),
        }
    }
    chords
}

fn finish(
    part: &Read,
    timeline: &Timeline,
    tones: &[Tone],
    index: usize,
    several: bool,
) -> Result<Part, ReadError> {
    let name = if several { format!("{} {}", part.name, index + 1) } else { part.name.clone() };
    let notes = tones.iter().map(|tone| Note::new(tone.pitch, tone.onset, tone.duration));
    let line = Line::from_notes(notes, timeline.end)
        .map_err(|source| ReadError::Score(ScoreError::Line { part: index, name: name.clone(), source }))?;
    let staff = tones.first().map_or(1, |tone| tone.staff);
    let clef = part.clefs.get(&staff).or_else(|| part.clefs.values().next()).copied().unwrap_or(Clef::Treble);
    let mut voice = Voice::new(&name).with_clef(clef).with_transposition(-part.to_sounding);
    if let Some(sound) = part.sound {
        voice = voice.with_sound(sound);
    }
    Ok(Part { voice, line })
}

fn spot(part: &Read, timeline: &Timeline, onset: Time) -> Spot {
    let bar = timeline.meter.bar_and_beat(onset, timeline.pickup).map_or(0, |(bar, _)| bar);
    Spot { part: part.name.clone(), bar }
}
