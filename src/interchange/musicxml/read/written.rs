//! What a bar of the file holds, as it is written: no value is weighed yet.

use super::elements::{Elements, Tag, Text};
use super::error::ReadError;
use super::number::note_type;
use crate::time::Time;

/// An element of a bar that says something of notes.
#[derive(Clone, Debug)]
pub(super) enum Written<'a> {
    Attributes(Box<Attributes<'a>>),
    Note(Note<'a>),
    /// A step back by a duration.
    Backup(Option<Text<'a>>),
    /// A step on by a duration.
    Forward(Option<Text<'a>>),
    /// A bar line with a repeat sign.
    Repeat,
}

/// A note, a rest, or something that stands for one.
#[derive(Clone, Debug, Default)]
pub(super) struct Note<'a> {
    pub(super) size: Size,
    pub(super) content: Content<'a>,
    pub(super) is_in_chord: bool,
    /// Whether a tie leads on from it.
    pub(super) is_tied_on: bool,
    pub(super) duration: Option<Text<'a>>,
    pub(super) voice: Option<Text<'a>>,
    pub(super) staff: Option<u8>,
    /// The value that its type names, without dots.
    pub(super) value: Option<Time>,
    pub(super) dots: u8,
    /// How many are in the time of how many; 0 is no number.
    pub(super) tuplet: Option<(u16, u16)>,
}

/// How a note is printed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Size {
    #[default]
    Full,
    Grace,
    Cue,
}

/// What a note is.
#[derive(Clone, Debug, Default)]
pub(super) enum Content<'a> {
    #[default]
    Nothing,
    Pitch(Pitch<'a>),
    Unpitched,
    Rest {
        /// Whether it is one for the whole bar, however long that is.
        of_bar: bool,
    },
}

#[derive(Clone, Debug, Default)]
pub(super) struct Pitch<'a> {
    pub(super) step: Option<Text<'a>>,
    pub(super) alter: Option<Text<'a>>,
    pub(super) octave: Option<Text<'a>>,
}

/// What stands from here on.
#[derive(Clone, Debug, Default)]
pub(super) struct Attributes<'a> {
    pub(super) divisions: Option<Text<'a>>,
    pub(super) key: Option<Key<'a>>,
    pub(super) time: Option<Meter<'a>>,
    pub(super) clefs: Vec<Clef<'a>>,
    pub(super) transpose: Option<Transpose<'a>>,
}

#[derive(Clone, Debug, Default)]
pub(super) struct Key<'a> {
    pub(super) fifths: Option<Text<'a>>,
    pub(super) mode: Option<Text<'a>>,
    /// The letters and alterations of a signature that is written out.
    pub(super) steps: Vec<Text<'a>>,
    pub(super) alterations: Vec<Text<'a>>,
}

#[derive(Clone, Debug, Default)]
pub(super) struct Meter<'a> {
    pub(super) beats: Option<Text<'a>>,
    pub(super) lower: Option<Text<'a>>,
    /// Whether several meters take turns.
    pub(super) is_several: bool,
}

#[derive(Clone, Debug, Default)]
pub(super) struct Clef<'a> {
    pub(super) staff: Option<u8>,
    pub(super) sign: Option<Text<'a>>,
    pub(super) line: Option<Text<'a>>,
    pub(super) octaves: Option<Text<'a>>,
}

#[derive(Clone, Debug, Default)]
pub(super) struct Transpose<'a> {
    pub(super) diatonic: Option<Text<'a>>,
    pub(super) chromatic: Option<Text<'a>>,
    pub(super) octaves: Option<Text<'a>>,
}

type Found<T> = Result<T, ReadError>;

/// Reads what an element of a bar says; `None` if that is nothing of notes.
pub(super) fn written<'a>(elements: &mut Elements<'a>, tag: &Tag<'a>) -> Found<Option<Written<'a>>> {
    Ok(match tag.name() {
        "attributes" => Some(Written::Attributes(Box::new(attributes(elements)?))),
        "note" => Some(Written::Note(note(elements)?)),
        "backup" => Some(Written::Backup(duration(elements)?)),
        "forward" => Some(Written::Forward(duration(elements)?)),
        "barline" => has_child(elements, "repeat")?.then_some(Written::Repeat),
        _ => None,
    })
}

/// Reads a note.
pub(super) fn note<'a>(elements: &mut Elements<'a>) -> Found<Note<'a>> {
    let mut note = Note::default();
    elements.each_child(|elements, tag| {
        match tag.name() {
            "grace" => note.size = Size::Grace,
            "cue" if note.size == Size::Full => note.size = Size::Cue,
            "chord" => note.is_in_chord = true,
            "duration" => elements.text_into(&mut note.duration)?,
            "voice" => elements.text_into(&mut note.voice)?,
            "staff" => note.staff = number(elements)?,
            "type" => note.value = elements.text()?.and_then(|name| note_type(&name)),
            "dot" => note.dots = note.dots.saturating_add(1),
            "time-modification" => note.tuplet = Some(tuplet(elements)?),
            "tie" | "notations" => note.is_tied_on |= is_tied_on(elements, tag)?,
            "pitch" | "unpitched" | "rest" => content(elements, tag, &mut note.content)?,
            _ => {}
        }
        Ok(())
    })?;
    Ok(note)
}

/// A rest goes before a pitch, should a note have both.
fn content<'a>(elements: &mut Elements<'a>, tag: &Tag<'a>, content: &mut Content<'a>) -> Found<()> {
    match (tag.name(), &content) {
        ("rest", _) => *content = Content::Rest { of_bar: elements.has(tag, "measure", "yes")? },
        ("unpitched", Content::Nothing | Content::Pitch(_)) => *content = Content::Unpitched,
        ("pitch", Content::Nothing) => *content = Content::Pitch(pitch(elements)?),
        _ => {}
    }
    Ok(())
}

fn pitch<'a>(elements: &mut Elements<'a>) -> Found<Pitch<'a>> {
    let mut pitch = Pitch::default();
    texts(elements, [("step", &mut pitch.step), ("alter", &mut pitch.alter), ("octave", &mut pitch.octave)])?;
    Ok(pitch)
}

/// Whether a tie leads on, as it sounds (`tie`) or as it is drawn (`tied` among the notations).
fn is_tied_on<'a>(elements: &mut Elements<'a>, tag: &Tag<'a>) -> Found<bool> {
    if tag.name() == "tie" {
        return elements.has(tag, "type", "start");
    }
    let mut is_tied_on = false;
    elements.each_child(|elements, tag| {
        if tag.name() == "tied" {
            is_tied_on |= elements.has(tag, "type", "start")?;
        }
        Ok(())
    })?;
    Ok(is_tied_on)
}

fn tuplet(elements: &mut Elements<'_>) -> Found<(u16, u16)> {
    let (mut actual, mut normal) = (0, 0);
    elements.each_child(|elements, tag| {
        match tag.name() {
            "actual-notes" => actual = number(elements)?.unwrap_or(0),
            "normal-notes" => normal = number(elements)?.unwrap_or(0),
            _ => {}
        }
        Ok(())
    })?;
    Ok((actual, normal))
}

fn duration<'a>(elements: &mut Elements<'a>) -> Found<Option<Text<'a>>> {
    let mut duration = None;
    texts(elements, [("duration", &mut duration)])?;
    Ok(duration)
}

/// Reads the texts of children by their names, each into its place.
fn texts<'a, const N: usize>(
    elements: &mut Elements<'a>,
    mut places: [(&str, &mut Option<Text<'a>>); N],
) -> Found<()> {
    elements.each_child(|elements, tag| match places.iter_mut().find(|(name, _)| *name == tag.name()) {
        Some((_, place)) => elements.text_into(place),
        None => Ok(()),
    })
}

fn has_child(elements: &mut Elements<'_>, name: &str) -> Found<bool> {
    let mut has_child = false;
    elements.each_child(|_, tag| {
        has_child |= tag.name() == name;
        Ok(())
    })?;
    Ok(has_child)
}

fn number<T: std::str::FromStr>(elements: &mut Elements<'_>) -> Found<Option<T>> {
    Ok(elements.text()?.and_then(|text| text.parse().ok()))
}

fn attributes<'a>(elements: &mut Elements<'a>) -> Found<Attributes<'a>> {
    let mut attributes = Attributes::default();
    elements.each_child(|elements, tag| {
        match tag.name() {
            "divisions" => elements.text_into(&mut attributes.divisions)?,
            "key" if attributes.key.is_none() => attributes.key = Some(key(elements)?),
            "time" if attributes.time.is_none() => attributes.time = Some(meter(elements)?),
            "clef" => attributes.clefs.push(clef(elements, tag)?),
            "transpose" if attributes.transpose.is_none() => {
                attributes.transpose = Some(transpose(elements)?);
            }
            _ => {}
        }
        Ok(())
    })?;
    Ok(attributes)
}

fn key<'a>(elements: &mut Elements<'a>) -> Found<Key<'a>> {
    let mut key = Key::default();
    elements.each_child(|elements, tag| {
        match tag.name() {
            "fifths" => elements.text_into(&mut key.fifths)?,
            "mode" => elements.text_into(&mut key.mode)?,
            "key-step" => key.steps.extend(elements.text()?),
            "key-alter" => key.alterations.extend(elements.text()?),
            _ => {}
        }
        Ok(())
    })?;
    Ok(key)
}

fn meter<'a>(elements: &mut Elements<'a>) -> Found<Meter<'a>> {
    let mut meter = Meter::default();
    elements.each_child(|elements, tag| {
        match tag.name() {
            "beats" if meter.beats.is_some() => meter.is_several = true,
            "beats" => meter.beats = elements.text()?,
            "beat-type" => elements.text_into(&mut meter.lower)?,
            _ => {}
        }
        Ok(())
    })?;
    Ok(meter)
}

fn clef<'a>(elements: &mut Elements<'a>, tag: &Tag<'a>) -> Found<Clef<'a>> {
    let staff = elements.attribute(tag, "number")?.and_then(|number| number.parse().ok());
    let mut clef = Clef { staff, ..Clef::default() };
    texts(
        elements,
        [("sign", &mut clef.sign), ("line", &mut clef.line), ("clef-octave-change", &mut clef.octaves)],
    )?;
    Ok(clef)
}

fn transpose<'a>(elements: &mut Elements<'a>) -> Found<Transpose<'a>> {
    let mut transpose = Transpose::default();
    texts(
        elements,
        [
            ("diatonic", &mut transpose.diatonic),
            ("chromatic", &mut transpose.chromatic),
            ("octave-change", &mut transpose.octaves),
        ],
    )?;
    Ok(transpose)
}
