//! The tree of elements: parts and their bars, whichever of the two is outside.

use super::super::super::reading::MAX_READ_BARS;
use super::error::ReadError;
use crate::score::ScoreError;
use roxmltree::{Document, Node, ParsingOptions};
use std::collections::BTreeSet;

/// The most elements and texts of a file.
const MAX_NODES: u32 = 20_000_000;

/// The most parts of a file, those of an orchestra.
const MAX_PARTS: usize = 100;

/// A part as it stands in the file.
#[derive(Clone, Debug)]
pub(super) struct Source<'a> {
    pub(super) name: String,
    /// General MIDI program, 1 to 128.
    pub(super) sound: Option<u8>,
    pub(super) bars: Vec<Node<'a, 'a>>,
}

/// The tree of a text. A line naming the document type is skipped; nothing is ever fetched.
pub(super) fn parse(text: &str) -> Result<Document<'_>, ReadError> {
    if text.contains("<!ENTITY") {
        return Err(ReadError::Entities);
    }
    let options = ParsingOptions { allow_dtd: true, nodes_limit: MAX_NODES, ..ParsingOptions::default() };
    Document::parse_with_options(text, options).map_err(|error| ReadError::Xml {
        line: error.pos().row,
        column: error.pos().col,
        message: error.to_string(),
    })
}

/// The parts in the order of the list of parts, with their bars.
pub(super) fn parts<'a>(document: &'a Document<'a>) -> Result<Vec<Source<'a>>, ReadError> {
    let root = document.root_element();
    let partwise = match root.tag_name().name() {
        "score-partwise" => true,
        "score-timewise" => false,
        found => return Err(ReadError::Root { found: crate::quote::excerpt(found) }),
    };
    let all = listed(root);
    if all.len() > MAX_PARTS {
        return Err(ReadError::Score(ScoreError::Parts { count: all.len() }));
    }
    if children(root, "measure").count() > MAX_READ_BARS {
        return Err(ReadError::Bars);
    }
    let (mut sources, mut seen) = (Vec::new(), BTreeSet::new());
    for (index, listed) in all.into_iter().enumerate() {
        let id = listed.attribute("id").unwrap_or_default();
        if !seen.insert(id) {
            continue;
        }
        let bars = if partwise { bars_in_part(root, id) } else { part_in_bars(root, id) };
        if bars.len() > MAX_READ_BARS {
            return Err(ReadError::Bars);
        }
        if !bars.is_empty() {
            sources.push(Source { name: name(listed, index), sound: sound(listed), bars });
        }
    }
    if sources.is_empty() { Err(ReadError::Empty) } else { Ok(sources) }
}

/// The entries of the list of parts; without one, the parts themselves.
fn listed<'a>(root: Node<'a, 'a>) -> Vec<Node<'a, 'a>> {
    let list = child(root, "part-list");
    let listed: Vec<_> = list.into_iter().flat_map(|list| children(list, "score-part")).collect();
    if listed.is_empty() { children(root, "part").collect() } else { listed }
}

fn bars_in_part<'a>(root: Node<'a, 'a>, id: &str) -> Vec<Node<'a, 'a>> {
    let own = |part: &Node<'_, '_>| part.attribute("id").unwrap_or_default() == id;
    children(root, "part").filter(own).flat_map(|part| children(part, "measure")).collect()
}

fn part_in_bars<'a>(root: Node<'a, 'a>, id: &str) -> Vec<Node<'a, 'a>> {
    let own = |part: &Node<'_, '_>| part.attribute("id").unwrap_or_default() == id;
    children(root, "measure").filter_map(|bar| children(bar, "part").find(own)).collect()
}

fn name(listed: Node<'_, '_>, index: usize) -> String {
    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let given = text(listed, "part-name").map(words).filter(|name| !name.is_empty());
    given.unwrap_or_else(|| format!("part {}", index + 1))
}

fn sound(listed: Node<'_, '_>) -> Option<u8> {
    let instrument = child(listed, "midi-instrument")?;
    text(instrument, "midi-program")?.parse().ok().filter(|program| (1..=128).contains(program))
}

/// The first child of a name.
pub(super) fn child<'a>(node: Node<'a, 'a>, name: &str) -> Option<Node<'a, 'a>> {
    node.children().find(|child| child.has_tag_name(name))
}

/// All children of a name.
pub(super) fn children<'a>(node: Node<'a, 'a>, name: &str) -> impl Iterator<Item = Node<'a, 'a>> {
    node.children().filter(move |child| child.tag_name().name() == name)
}

/// The text of the first child of a name, trimmed.
pub(super) fn text<'a>(node: Node<'a, 'a>, name: &str) -> Option<&'a str> {
    child(node, name)?.text().map(str::trim)
}

/// The number and the marking of a bar.
pub(super) fn bar_number<'a>(bar: Node<'a, 'a>) -> &'a str {
    let outer = if bar.has_tag_name("part") { bar.parent().unwrap_or(bar) } else { bar };
    outer.attribute("number").unwrap_or_default()
}

/// Whether a bar is marked as not counting.
pub(super) fn is_implicit(bar: Node<'_, '_>) -> bool {
    let outer = if bar.has_tag_name("part") { bar.parent().unwrap_or(bar) } else { bar };
    outer.attribute("implicit") == Some("yes")
}
