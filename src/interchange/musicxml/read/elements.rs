//! Going through a document element by element: nothing is kept but what the caller takes.

use super::error::ReadError;
use quick_xml::Reader;
use quick_xml::escape::resolve_xml_entity;
use quick_xml::events::attributes::Attribute;
use quick_xml::events::{BytesRef, BytesStart, Event};
use std::borrow::Cow;
use std::io::BufRead as _;

/// A text of the document; only one with an entity in it is a copy.
pub(super) type Text<'a> = Cow<'a, str>;

/// The elements of a document, in their order.
pub(super) struct Elements<'a> {
    text: &'a str,
    reader: Reader<&'a [u8]>,
    /// How many elements are open.
    depth: usize,
    /// The text of the element opened last, if that has been read to its end.
    whole: Option<&'a str>,
}

impl<'a> Elements<'a> {
    /// The elements of a text. A line naming the document type is skipped; nothing is ever fetched.
    pub(super) fn of(text: &'a str) -> Result<Self, ReadError> {
        if text.contains("<!ENTITY") {
            return Err(ReadError::Entities);
        }
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        Ok(Self { text, reader: Reader::from_str(text), depth: 0, whole: None })
    }

    /// Opens the outermost element.
    pub(super) fn root(&mut self) -> Result<Tag<'a>, ReadError> {
        loop {
            let event = self.next()?;
            self.refuse_text(&event)?;
            if let Some(tag) = self.opened(event) {
                return Ok(tag);
            }
        }
    }

    /// Reads the children of the element opened last, to its end. What `read` leaves of a child is
    /// skipped.
    pub(super) fn each_child(
        &mut self,
        mut read: impl FnMut(&mut Self, &Tag<'a>) -> Result<(), ReadError>,
    ) -> Result<(), ReadError> {
        if self.whole.take().is_some() {
            return Ok(());
        }
        let inside = self.depth;
        while let Some(child) = self.child()? {
            read(self, &child)?;
            while self.depth > inside {
                self.child()?;
            }
        }
        Ok(())
    }

    /// The text of the element opened last, trimmed, to its end; `None` if there is none at all.
    pub(super) fn text(&mut self) -> Result<Option<Text<'a>>, ReadError> {
        if let Some(text) = self.whole.take() {
            return Ok((!text.is_empty()).then(|| Cow::Borrowed(text.trim())));
        }
        let inside = self.depth;
        let mut found: Option<Text<'a>> = None;
        loop {
            let event = self.next()?;
            if self.depth < inside {
                return Ok(found.map(trimmed));
            }
            let piece = match event {
                _ if self.depth > inside => continue,
                Event::Text(text) => text.into_inner(),
                Event::CData(text) => text.into_inner(),
                Event::GeneralRef(entity) => Cow::Owned(self.resolved(&entity)?),
                _ => continue,
            };
            found = Some(match found {
                Some(before) => before + piece,
                None => piece,
            });
        }
    }

    /// Reads the text of the element opened last into a place that is still empty.
    pub(super) fn text_into(&mut self, place: &mut Option<Text<'a>>) -> Result<(), ReadError> {
        if place.is_none() {
            *place = self.text()?;
        }
        Ok(())
    }

    /// Reads what follows the outermost element: there may be no other.
    pub(super) fn finish(&mut self) -> Result<(), ReadError> {
        loop {
            match self.read()? {
                Event::Eof => return Ok(()),
                Event::Start(_) | Event::Empty(_) => {
                    return Err(self.error("another element after the last one"));
                }
                event => self.refuse_text(&event)?,
            }
        }
    }

    /// The value of an attribute.
    pub(super) fn attribute(&self, tag: &Tag<'a>, name: &str) -> Result<Option<String>, ReadError> {
        let value = |found: Attribute<'_>| {
            found.normalized_value(quick_xml::XmlVersion::Implicit1_0).map(Cow::into_owned)
        };
        let found = self.found(tag, name)?.map(value).transpose();
        found.map_err(|error| self.error(&error.to_string()))
    }

    /// Whether an attribute has a value.
    pub(super) fn has(&self, tag: &Tag<'a>, name: &str, value: &str) -> Result<bool, ReadError> {
        Ok(self.found(tag, name)?.is_some_and(|found| found.value == value))
    }

    fn found<'t>(&self, tag: &'t Tag<'a>, name: &str) -> Result<Option<Attribute<'t>>, ReadError> {
        let Tag::Open(tag) = tag else { return Ok(None) };
        tag.try_get_attribute(name).map_err(|error| self.error(&error.to_string()))
    }

    /// Opens the next child of an element; `None` at the end of the element.
    fn child(&mut self) -> Result<Option<Tag<'a>>, ReadError> {
        let (name, text) = self.leaf().unzip();
        self.whole = text;
        if let Some(name) = name {
            return Ok(Some(Tag::Leaf(name)));
        }
        loop {
            match self.next()? {
                Event::End(_) => return Ok(None),
                event => match self.opened(event) {
                    None => {}
                    tag => return Ok(tag),
                },
            }
        }
    }

    /// Takes the next element whole if it is such as most are, a name and a plain text: `<step>C</step>`. Whatever
    /// is written otherwise is left to the reader, and so is every error. To be asked after a tag, not after a text.
    fn leaf(&mut self) -> Option<(&'a str, &'a str)> {
        let tag = self.next_tag()?;
        let (name, inside) = leading(tag, is_of_name);
        let (text, end) = leading(inside.strip_prefix('>')?, |byte| !matches!(byte, b'<' | b'&'));
        let after = end.strip_prefix("</")?.strip_prefix(name)?.strip_prefix('>')?;
        self.reader.stream().consume(1 + tag.len() - after.len());
        Some((name, text))
    }

    /// What comes after the `<` of the next tag, if there is but white space before it, which says nothing and is
    /// stepped over.
    fn next_tag(&mut self) -> Option<&'a str> {
        let rest = self.text.get(usize::try_from(self.reader.buffer_position()).ok()?..)?;
        let tag = rest.trim_ascii_start().strip_prefix('<')?;
        self.reader.stream().consume(rest.len() - tag.len() - 1);
        Some(tag)
    }

    /// The tag of an element that an event opens.
    fn opened(&mut self, event: Event<'a>) -> Option<Tag<'a>> {
        match event {
            Event::Start(tag) => Some(Tag::Open(tag)),
            Event::Empty(tag) => {
                self.whole = Some("");
                Some(Tag::Open(tag))
            }
            _ => None,
        }
    }

    /// The next event inside the outermost element.
    fn next(&mut self) -> Result<Event<'a>, ReadError> {
        let event = self.read()?;
        match &event {
            Event::Start(_) => self.depth += 1,
            Event::End(_) => self.depth -= 1,
            Event::Eof => return Err(self.error("the text ends before its elements do")),
            _ => {}
        }
        Ok(event)
    }

    fn read(&mut self) -> Result<Event<'a>, ReadError> {
        self.reader
            .read_event()
            .map_err(|error| self.error_at(self.reader.error_position(), &error.to_string()))
    }

    /// Outside the outermost element there may be white space, but no text.
    fn refuse_text(&self, event: &Event<'a>) -> Result<(), ReadError> {
        match event {
            Event::Text(text) if text.trim().is_empty() => Ok(()),
            Event::Text(_) | Event::CData(_) | Event::GeneralRef(_) => {
                Err(self.error("text outside the outermost element"))
            }
            _ => Ok(()),
        }
    }

    /// The characters for which an entity stands.
    fn resolved(&self, entity: &BytesRef<'_>) -> Result<String, ReadError> {
        let character = entity.resolve_char_ref().map_err(|error| self.error(&error.to_string()))?;
        let known = || resolve_xml_entity(entity).map(str::to_owned);
        let resolved = character.map(String::from).or_else(known);
        resolved.ok_or_else(|| {
            self.error(&format!("nothing says what &{}; stands for", crate::quote::excerpt(entity)))
        })
    }

    fn error(&self, message: &str) -> ReadError {
        self.error_at(self.reader.buffer_position(), message)
    }

    fn error_at(&self, at: u64, message: &str) -> ReadError {
        let at = usize::try_from(at).unwrap_or(usize::MAX).min(self.text.len());
        let before = self.text.get(..at).unwrap_or_default();
        let columns = before.rsplit('\n').next().map_or(0, |line| line.chars().count());
        let counted = |count: usize| u32::try_from(count + 1).unwrap_or(u32::MAX);
        let (line, column) = (counted(before.matches('\n').count()), counted(columns));
        ReadError::Xml { line, column, message: message.to_owned() }
    }
}

/// The beginning of an element.
pub(super) enum Tag<'a> {
    /// Of one without attributes, of this name.
    Leaf(&'a str),
    Open(BytesStart<'a>),
}

impl Tag<'_> {
    /// Its name, without a prefix.
    pub(super) fn name(&self) -> &str {
        match self {
            Self::Leaf(name) => name,
            Self::Open(tag) => {
                let name = tag.name().into_inner();
                let prefix = name.bytes().position(|byte| byte == b':');
                prefix.map_or(name, |colon| &name[colon + 1..])
            }
        }
    }
}

/// Whether a byte may stand in a plain name, one without a prefix.
const fn is_of_name(byte: u8) -> bool {
    byte.is_ascii_alphanumeric() || byte == b'-'
}

/// The first bytes of a text that belong together, and the rest.
fn leading(text: &str, belongs: impl Fn(u8) -> bool) -> (&str, &str) {
    text.split_at(text.bytes().position(|byte| !belongs(byte)).unwrap_or(text.len()))
}

fn trimmed(text: Text<'_>) -> Text<'_> {
    match text {
        Cow::Borrowed(text) => Cow::Borrowed(text.trim()),
        Cow::Owned(text) => Cow::Owned(text.trim().to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The names and texts of the children of the outermost element.
    fn children(xml: &str) -> Result<Vec<(String, Option<String>)>, String> {
        let mut found = Vec::new();
        let mut read = || {
            let mut elements = Elements::of(xml)?;
            elements.root()?;
            elements.each_child(|elements, tag| {
                found.push((tag.name().to_owned(), elements.text()?.map(Cow::into_owned)));
                Ok(())
            })?;
            elements.finish()
        };
        read().map_err(|error: ReadError| error.to_string())?;
        Ok(found)
    }

    #[test]
    fn text_is_trimmed_and_resolved_wherever_it_stands() {
        let rows = [
            ("<a><b> C </b></a>", Some("C")),
            ("<!-- no --><?x y?><!DOCTYPE a><a><b>C</b></a>\n<!-- no more -->\n", Some("C")),
            ("<a><b>Flute &amp; Oboe &#9839;</b></a>", Some("Flute & Oboe ♯")),
            ("<a><b><![CDATA[<C>]]></b></a>", Some("<C>")),
            ("<a><b>C<!-- no --><d>no</d>#</b></a>", Some("C#")),
            ("<a><m:b xmlns:m='n'>C</m:b></a>", Some("C")),
            ("\u{feff}<a><b>C</b></a>", Some("C")),
            ("<a> and <b>C > D</b > so on</a>", Some("C > D")),
            ("<a>\n <b>C</b>\n</a>", Some("C")),
            ("<a><b/></a>", None),
            ("<a><b></b></a>", None),
        ];
        for (xml, text) in rows {
            assert_eq!(children(xml), Ok(vec![("b".to_owned(), text.map(str::to_owned))]), "{xml}");
        }
    }

    #[test]
    fn what_is_not_taken_is_skipped() {
        let xml = "<a><b><c>1</c><c>2</c><d><e>4</e></d></b><b><c>3</c></b></a>";
        let mut elements = Elements::of(xml).unwrap();
        elements.root().unwrap();
        let mut texts = Vec::new();
        let first_of_each = elements.each_child(|elements, _| {
            let mut text = None;
            elements.each_child(|elements, _| elements.text_into(&mut text))?;
            texts.push(text.unwrap().into_owned());
            Ok(())
        });
        assert_eq!((first_of_each, texts), (Ok(()), vec!["1".to_owned(), "3".to_owned()]));
    }

    #[test]
    fn attributes_are_found_by_name() {
        let mut elements = Elements::of("<a id='x &lt; y' no=\"2\"><b id=/></a>").unwrap();
        let tag = elements.root().unwrap();
        assert_eq!(elements.attribute(&tag, "id").unwrap().as_deref(), Some("x < y"));
        assert_eq!(elements.attribute(&tag, "number"), Ok(None));
        assert_eq!((elements.has(&tag, "no", "2"), elements.has(&tag, "no", "3")), (Ok(true), Ok(false)));
        let damaged = elements.each_child(|elements, tag| elements.attribute(tag, "id").map(|_| ()));
        assert_eq!(damaged.unwrap_err().code(), "musicxml-syntax");
    }

    #[test]
    fn damage_is_refused_at_its_place() {
        let rows = [
            ("", "line 1, column 1: the text ends before its elements do"),
            ("<a>\n<b>", "line 2, column 4: the text ends before its elements do"),
            ("<a>\n<b", "line 2, column 1: syntax error: tag not closed: `>` not found before end of input"),
            (
                "<a>\n♯<b></c></a>",
                "line 2, column 5: ill-formed document: expected `</b>`, but `</c>` was found",
            ),
            (
                "<a><b>C</b",
                "line 1, column 8: syntax error: tag not closed: `>` not found before end of input",
            ),
            (
                "<a>\n<b>C</b>\n<b>D</c></a>",
                "line 3, column 5: ill-formed document: expected `</b>`, but `</c>` was found",
            ),
            ("<a><b>C</b>", "line 1, column 12: the text ends before its elements do"),
            ("<a/><a/>", "line 1, column 9: another element after the last one"),
            ("<a/> and", "line 1, column 9: text outside the outermost element"),
            ("C <a/>", "line 1, column 3: text outside the outermost element"),
            ("<a><b>&flat;</b></a>", "line 1, column 13: nothing says what &flat; stands for"),
        ];
        for (xml, message) in rows {
            let message = format!("{message} (the file is damaged: export it again)");
            assert_eq!(children(xml), Err(message), "{xml:?}");
        }
    }
}
