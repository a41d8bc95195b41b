//! The parts of a file and their bars, whichever of the two is outside.

use super::super::super::reading::{MAX_READ_BARS, MAX_READ_NOTES};
use super::elements::{Elements, Tag, Text};
use super::error::ReadError;
use super::written::{Written, written};
use crate::score::ScoreError;
use std::collections::BTreeMap;

/// The most parts of a file, those of an orchestra.
const MAX_PARTS: usize = 100;
/// The most elements that are kept: of notes, rests, and steps back and on.
const MAX_WRITTEN: usize = 4 * MAX_READ_NOTES;

/// What a file holds.
#[derive(Clone, Debug)]
pub(super) struct Document<'a> {
    /// The parts that have bars.
    pub(super) sources: Vec<Source<'a>>,
    /// Whether the file says that its parts are written as they sound.
    pub(super) is_concert: bool,
}

/// A part as it stands in the file.
#[derive(Clone, Debug)]
pub(super) struct Source<'a> {
    pub(super) name: String,
    /// General MIDI program, 1 to 128.
    pub(super) sound: Option<u8>,
    pub(super) bars: Vec<Measure<'a>>,
}

/// A bar of a part as it stands in the file.
#[derive(Clone, Debug, Default)]
pub(super) struct Measure<'a> {
    pub(super) number: String,
    is_implicit: bool,
    pub(super) written: Vec<Written<'a>>,
}

impl Measure<'_> {
    /// Whether it is marked as not counting.
    pub(super) const fn is_implicit(&self) -> bool {
        self.is_implicit
    }

    /// Whether it is marked as a pickup, were it the first.
    pub(super) fn is_pickup(&self) -> bool {
        self.is_implicit || self.number == "0"
    }
}

/// Reads what a text holds.
pub(super) fn parse(text: &str) -> Result<Document<'_>, ReadError> {
    let mut elements = Elements::of(text)?;
    let root = elements.root()?;
    let mut builder = Builder::default();
    match root.name() {
        "score-partwise" | "score-timewise" => {}
        found => return Err(ReadError::Root { found: crate::quote::excerpt(found) }),
    }
    elements.each_child(|elements, tag| builder.child(elements, tag))?;
    elements.finish()?;
    builder.document()
}

/// A part of the list of parts.
#[derive(Clone, Debug, Default)]
struct Listed {
    id: String,
    name: Option<String>,
    sound: Option<u8>,
}

/// Collects the parts.
#[derive(Debug, Default)]
struct Builder<'a> {
    listed: Vec<Listed>,
    /// The names of the parts that have bars, in the order of the file.
    order: Vec<String>,
    bars: BTreeMap<String, Vec<Measure<'a>>>,
    /// How many bars have gone by, of a file that has the parts inside them.
    gone: usize,
    /// How many elements are kept.
    count: usize,
    is_concert: bool,
}

impl<'a> Builder<'a> {
    /// A child of the outermost element.
    fn child(&mut self, elements: &mut Elements<'a>, tag: &Tag<'a>) -> Result<(), ReadError> {
        match tag.name() {
            "defaults" => elements.each_child(|_, tag| {
                self.is_concert |= tag.name() == "concert-score";
                Ok(())
            }),
            "part-list" => elements.each_child(|elements, tag| {
                if tag.name() == "score-part" {
                    self.listed.push(listed(elements, tag)?);
                }
                Ok(())
            }),
            "part" => self.part_with_bars(elements, tag),
            "measure" => self.bar_with_parts(elements, tag),
            _ => Ok(()),
        }
    }

    fn part_with_bars(&mut self, elements: &mut Elements<'a>, tag: &Tag<'a>) -> Result<(), ReadError> {
        let id = self.begin_part(elements, tag)?;
        elements.each_child(|elements, tag| {
            if tag.name() == "measure" {
                let bar = self.filled(elements, empty_bar(elements, tag)?)?;
                self.bars_of(&id)?.push(bar);
            }
            Ok(())
        })
    }

    /// A part that is not in a bar is silent there; of two of one name in a bar the first counts.
    fn bar_with_parts(&mut self, elements: &mut Elements<'a>, tag: &Tag<'a>) -> Result<(), ReadError> {
        let (empty, before) = (empty_bar(elements, tag)?, self.gone);
        elements.each_child(|elements, part| {
            if part.name() == "part" {
                let id = self.begin_part(elements, part)?;
                let bar = self.filled(elements, empty.clone())?;
                let bars = self.bars_of(&id)?;
                if bars.len() <= before {
                    bars.resize(before, Measure::default());
                    bars.push(bar);
                }
            }
            Ok(())
        })?;
        self.gone += 1;
        Ok(())
    }

    /// The name of a part.
    fn begin_part(&mut self, elements: &Elements<'a>, tag: &Tag<'a>) -> Result<String, ReadError> {
        let id = elements.attribute(tag, "id")?.unwrap_or_default();
        if !self.bars.contains_key(&id) {
            self.order.push(id.clone());
            self.bars.insert(id.clone(), Vec::new());
        }
        Ok(id)
    }

    /// The bars of a part, if there is room for another.
    fn bars_of(&mut self, id: &str) -> Result<&mut Vec<Measure<'a>>, ReadError> {
        let bars = self.bars.entry(id.to_owned()).or_default();
        if bars.len() == MAX_READ_BARS || self.gone == MAX_READ_BARS {
            return Err(ReadError::Bars);
        }
        Ok(bars)
    }

    /// Reads what is written in a bar.
    fn filled(
        &mut self,
        elements: &mut Elements<'a>,
        mut bar: Measure<'a>,
    ) -> Result<Measure<'a>, ReadError> {
        elements.each_child(|elements, tag| {
            bar.written.extend(written(elements, tag)?);
            Ok(())
        })?;
        // Memory that is touched for the first time is dear, and all bars are kept.
        bar.written.shrink_to_fit();
        self.count += bar.written.len();
        if self.count > MAX_WRITTEN { Err(ReadError::Notes) } else { Ok(bar) }
    }

    /// The parts in the order of the list of parts; without one, in that of the file.
    fn document(mut self) -> Result<Document<'a>, ReadError> {
        if self.listed.is_empty() {
            self.listed =
                self.order.iter().map(|id| Listed { id: id.clone(), ..Listed::default() }).collect();
        }
        if self.listed.len() > MAX_PARTS {
            return Err(ReadError::Score(ScoreError::Parts { count: self.listed.len() }));
        }
        let mut sources = Vec::new();
        for (index, Listed { id, name, sound }) in self.listed.into_iter().enumerate() {
            let bars = self.bars.remove(&id).unwrap_or_default();
            if !bars.is_empty() {
                let name = name.unwrap_or_else(|| format!("part {}", index + 1));
                sources.push(Source { name, sound, bars });
            }
        }
        let is_concert = self.is_concert;
        if sources.is_empty() { Err(ReadError::Empty) } else { Ok(Document { sources, is_concert }) }
    }
}

/// A bar with its number and its marking.
fn empty_bar<'a>(elements: &Elements<'a>, tag: &Tag<'a>) -> Result<Measure<'a>, ReadError> {
    let number = elements.attribute(tag, "number")?.unwrap_or_default();
    let is_implicit = elements.has(tag, "implicit", "yes")?;
    Ok(Measure { number, is_implicit, written: Vec::new() })
}

/// An entry of the list of parts.
fn listed<'a>(elements: &mut Elements<'a>, tag: &Tag<'a>) -> Result<Listed, ReadError> {
    let id = elements.attribute(tag, "id")?.unwrap_or_default();
    let (mut name, mut program) = (None, None);
    elements.each_child(|elements, tag| match tag.name() {
        "part-name" => elements.text_into(&mut name),
        "midi-instrument" => elements.each_child(|elements, tag| match tag.name() {
            "midi-program" => elements.text_into(&mut program),
            _ => Ok(()),
        }),
        _ => Ok(()),
    })?;
    let words = |text: Text<'_>| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let name = name.map(words).filter(|name| !name.is_empty());
    let sound = program.and_then(|text| text.parse().ok()).filter(|program| (1..=128).contains(program));
    Ok(Listed { id, name, sound })
}
