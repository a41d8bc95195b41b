//! From the notes of a part to its voices: ties, chords, order.

use super::super::super::reading::{
    Lines, MAX_WOVEN, NEW_VOICE, Number, Rank, ReadRemark, Sign, Sounding, lines, most_together, price, weave,
};
use super::alone;
use super::error::{ReadError, Spot};
use super::part::Read;
use super::ranks::Numbering;
use super::timeline::Timeline;
use crate::line::{Line, Note};
use crate::pitch::Pitch;
use crate::score::{Part, ScoreError};
use crate::time::Time;
use crate::voice::{Clef, Voice};
use std::collections::BTreeMap;
use std::rc::Rc;

/// Numbers that may be ranks are not taken for voices if woven lines spare one semitone of leap, or what is as bad (see
/// [`price`]), for so many notes: masters who let their voices cross spare less.
const RANKED: i64 = 2;

/// A note in the time of the piece.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tone {
    onset: Time,
    duration: Time,
    pitch: Pitch,
    pub(super) staff: u8,
    /// Where it begins and where it ends on paper.
    signs: [Sign; 2],
    /// Which pass through its bar it was written in.
    layer: usize,
    tied_on: bool,
}

impl Tone {
    /// A note as if it were written on one staff, in bars of a whole note.
    #[cfg(test)]
    pub(super) fn of(note: &Note) -> Self {
        let (onset, duration, pitch) = (note.onset(), note.duration(), note.pitch());
        let bar = u32::try_from(onset.numerator() / onset.denominator()).unwrap_or(u32::MAX);
        let signs = [Sign { staff: 1, number: None, bar }; 2];
        Self { onset, duration, pitch, staff: 1, signs, layer: 0, tied_on: false }
    }

    /// The bar in which it begins, counted from 0.
    pub(super) const fn bar(&self) -> u32 {
        self.signs[0].bar
    }

    /// Where it begins and where it ends on paper, its number standing for one voice in its bar or not.
    fn signs(&self, of_bar: bool) -> [Sign; 2] {
        let number = |sign: Sign| sign.number.map(|number| Number { of_bar, ..number });
        self.signs.map(|sign| Sign { number: number(sign), ..sign })
    }

    /// Whether a tie leads on from it.
    pub(super) const fn is_tied_on(&self) -> bool {
        self.tied_on
    }
}

impl Sounding for Tone {
    fn onset(&self) -> Time {
        self.onset
    }

    fn end(&self) -> Time {
        self.onset.checked_add(self.duration).unwrap_or(self.onset)
    }

    fn height(&self) -> i32 {
        self.pitch.height()
    }

    fn cut(&mut self, end: Time) {
        self.duration = end.checked_sub(self.onset).unwrap_or(self.duration);
    }
}

/// Where a part stands among the others, from the top.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Standing {
    pub(super) index: usize,
    pub(super) count: usize,
}

impl Standing {
    /// The rank in the score of one of the voices of the part.
    fn rank(self, voice: usize, voices: usize) -> Rank {
        let above = if self.index == 0 { voice } else { voice + 1 };
        let below = voices - voice - 1 + self.count - self.index - 1;
        Rank::of(above, above + below + 1)
    }
}

/// The voices of a part, the highest first.
pub(super) fn voices(
    part: &Read,
    timeline: &Timeline,
    standing: Standing,
    remarks: &mut Vec<ReadRemark>,
) -> Result<Vec<Part>, ReadError> {
    let mut split = split(part, timeline, standing)?;
    if split.is_empty() {
        split.push(lines(Vec::new(), Rank::Top, timeline.meters.first().bar()));
    }
    let total: usize = split.iter().map(|voice| voice.each.len()).sum();
    if total > 1 {
        remarks.push(ReadRemark::SplitPart { part: part.name.clone(), voices: total });
    }
    let name =
        |index: usize| if total > 1 { format!("{} {}", part.name, index + 1) } else { part.name.clone() };
    let mut parts = Vec::with_capacity(total);
    for voice in split {
        let main = name(parts.len() + voice.main);
        remarks.extend(voice.remarks(&main, |onset| spot(part, timeline, onset).bar));
        for tones in &voice.each {
            parts.push(finish(part, timeline, tones, parts.len(), &name(parts.len()))?);
        }
    }
    Ok(parts)
}

/// The voices as their numbers say; on more than one staff woven anew, if that makes smoother lines.
fn split(part: &Read, timeline: &Timeline, standing: Standing) -> Result<Vec<Lines<Tone>>, ReadError> {
    let written = grouped(part, timeline)?;
    let bar = timeline.meters.first().bar();
    let numbered = as_numbered(written.clone(), (part, timeline), standing, bar);
    let count: usize = written.values().map(Vec::len).sum();
    if !is_keyboard(&written) || count > MAX_WOVEN {
        return Ok(numbered);
    }
    let numbering = Numbering::of(&written, &part.bars);
    Ok(woven_anew(&numbered, numbering, &all_numbered(written), bar).unwrap_or(numbered))
}

/// The voices woven anew if the numbers are ranks, or more than ever sound together, and woven lines are smoother: if
/// the numbers stand for one voice within each bar, lines that hold to that as well; to begin as one more voice is not
/// counted against numbers that are kept like voices.
fn woven_anew(
    numbered: &[Lines<Tone>],
    numbering: Numbering,
    tones: &[Tone],
    bar: Time,
) -> Option<Vec<Lines<Tone>>> {
    let most = most_together(tones, bar, |tone| tone.signs[0].number.map(|number| number.of));
    let count: usize = numbered.iter().map(|voice| voice.each.len()).sum();
    let least = match (numbering, count > most) {
        (Numbering::Voices, false) => return None,
        (Numbering::Voices, true) => NEW_VOICE * i64::try_from(count - most).unwrap_or(i64::MAX),
        (_, true) => 0,
        (_, false) => i64::try_from(tones.len()).unwrap_or(i64::MAX) / RANKED,
    };
    let smoother = |of_bar: bool| {
        let woven = vec![weave(tones.to_vec(), |tone| tone.signs(of_bar), count.min(most))];
        (price(numbered) - price(&woven) > least).then_some(woven)
    };
    if numbering == Numbering::Bars && count <= most {
        smoother(true)?;
    }
    smoother(false)
}

/// The voices as their numbers say.
fn as_numbered(
    written: BTreeMap<String, Vec<Tone>>,
    (part, timeline): (&Read, &Timeline),
    standing: Standing,
    bar: Time,
) -> Vec<Lines<Tone>> {
    let apart = alone::told_apart(written, &part.bars, &timeline.starts);
    let mut groups: Vec<Vec<Tone>> = apart.into_values().filter(|tones| !tones.is_empty()).collect();
    groups.iter_mut().for_each(merge_ties);
    groups.sort_by_key(|tones| std::cmp::Reverse(twice_mean(tones)));
    let count = groups.len();
    let ranked = groups.into_iter().enumerate();
    ranked.map(|(index, tones)| lines(tones, standing.rank(index, count), bar)).collect()
}

/// All notes of a part, each with the number of its voice, tied notes as one even from one number to
/// another.
fn all_numbered(written: BTreeMap<String, Vec<Tone>>) -> Vec<Tone> {
    let number = |(tones, of): (Vec<Tone>, u32)| {
        let named = move |tone: Tone| Tone {
            signs: tone.signs.map(|sign| Sign { number: Some(Number { of, of_bar: false }), ..sign }),
            ..tone
        };
        tones.into_iter().map(named)
    };
    let mut tones: Vec<Tone> = written.into_values().zip(1..).flat_map(number).collect();
    tones.sort_by_key(|tone| (tone.onset, std::cmp::Reverse(tone.pitch.height())));
    merge_ties(&mut tones);
    tones
}

/// Whether notes stand on more than one staff.
fn is_keyboard(written: &BTreeMap<String, Vec<Tone>>) -> bool {
    let mut staves = written.values().flatten().map(|tone| tone.staff);
    staves.next().is_some_and(|first| staves.any(|staff| staff != first))
}

/// The notes of each voice; by staff as well if the file writes a voice of its own on each of two
/// staves under one name. A line that crosses to the other staff, alone or in a chord, is one.
fn grouped(part: &Read, timeline: &Timeline) -> Result<BTreeMap<String, Vec<Tone>>, ReadError> {
    let mut groups: BTreeMap<Rc<str>, Vec<Tone>> = BTreeMap::new();
    for (bar, (read, &start)) in part.bars.iter().zip(&timeline.starts).enumerate() {
        for note in &read.notes {
            let begin = if bar == 0 { -timeline.cut } else { start };
            let onset = begin.checked_add(note.onset);
            let onset =
                onset.map_err(|source| ReadError::Time { spot: spot(part, timeline, start), source })?;
            let tone = Tone {
                onset,
                duration: note.duration,
                pitch: note.pitch,
                staff: note.staff,
                signs: [Sign { staff: note.staff, number: None, bar: u32::try_from(bar).unwrap_or(u32::MAX) };
                    2],
                layer: note.layer,
                tied_on: note.tied_on,
            };
            groups.entry(Rc::clone(&note.voice)).or_default().push(tone);
        }
    }
    let mut apart = BTreeMap::new();
    for (voice, mut tones) in groups {
        tones.sort_by_key(|tone| (tone.onset, std::cmp::Reverse(tone.pitch.height())));
        let apart_at_once = |pair: &[Tone]| {
            let [a, b] = pair else { return false };
            a.staff != b.staff && a.layer != b.layer && b.onset < a.end()
        };
        if !tones.windows(2).any(apart_at_once) {
            apart.insert(voice.to_string(), tones);
            continue;
        }
        for tone in tones {
            apart.entry(format!("{voice} of staff {}", tone.staff)).or_insert_with(Vec::new).push(tone);
        }
    }
    Ok(apart)
}

/// Makes tied notes one: of the same key on the keyboard, the first spelling stands; of two that are tied
/// on, that of the same voice number.
fn merge_ties(tones: &mut Vec<Tone>) {
    let mut merged: Vec<Tone> = Vec::with_capacity(tones.len());
    let mut open: BTreeMap<i32, Vec<usize>> = BTreeMap::new();
    for &tone in tones.iter() {
        let tied = open.entry(tone.pitch.height()).or_default();
        tied.retain(|&index| merged[index].tied_on && merged[index].end() >= tone.onset);
        let mut joined = tied.iter().copied().filter(|&index| merged[index].end() == tone.onset);
        let is_same = |&index: &usize| merged[index].signs[1].number == tone.signs[0].number;
        if let Some(index) = joined.clone().find(is_same).or_else(|| joined.next()) {
            let before = &mut merged[index];
            before.duration = before.duration.checked_add(tone.duration).unwrap_or(before.duration);
            (before.tied_on, before.signs[1]) = (tone.tied_on, tone.signs[1]);
        } else {
            tied.push(merged.len());
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

fn finish(
    part: &Read,
    timeline: &Timeline,
    tones: &[Tone],
    index: usize,
    name: &str,
) -> Result<Part, ReadError> {
    let notes = tones.iter().map(|tone| Note::new(tone.pitch, tone.onset, tone.duration));
    let line = Line::from_notes(notes, timeline.end).map_err(|source| {
        ReadError::Score(ScoreError::Line { part: index, name: name.to_owned(), source })
    })?;
    let staff = tones.first().map_or(1, |tone| tone.staff);
    let clef = part.clefs.get(&staff).or_else(|| part.clefs.values().next()).copied().unwrap_or(Clef::Treble);
    let mut voice = Voice::new(name).with_clef(clef).with_transposition(-part.to_sounding);
    if let Some(sound) = part.sound {
        voice = voice.with_sound(sound);
    }
    Ok(Part { voice, line })
}

fn spot(part: &Read, timeline: &Timeline, onset: Time) -> Spot {
    Spot { part: part.name.clone(), bar: timeline.bar_of(onset) }
}
