//! Going through a document element by element: nothing is kept but what the caller takes.

use super::error::ReadError;
use quick_xml::Reader;
use quick_xml::escape::resolve_xml_entity;
use quick_xml::events::{BytesRef, BytesStart, Event};
use std::borrow::Cow;

/// A text of the document; only one with an entity in it is a copy.
pub(super) type Text<'a> = Cow<'a, str>;

/// The elements of a document, in their order.
pub(super) struct Elements<'a> {
    text: &'a str,
    reader: Reader<&'a [u8]>,
    /// How many elements are open.
    depth: usize,
}

impl<'a> Elements<'a> {
    /// The elements of a text. A line naming the document type is skipped; nothing is ever fetched.
    pub(super) fn of(text: &'a str) -> Result<Self, ReadError> {
        if text.contains("<!ENTITY") {
            return Err(ReadError::Entities);
        }
        let mut reader = Reader::from_str(text);
        reader.config_mut().expand_empty_elements = true;
        Ok(Self { text, reader, depth: 0 })
    }

    /// Opens the outermost element.
    pub(super) fn root(&mut self) -> Result<Tag<'a>, ReadError> {
        loop {
            match self.next()? {
                Event::Start(tag) => return Ok(Tag(tag)),
                event => self.refuse_text(&event)?,
            }
        }
    }

    /// Reads the children of the element opened last, to its end. What `read` leaves of a child is
    /// skipped.
    pub(super) fn each_child(
        &mut self,
        mut read: impl FnMut(&mut Self, &Tag<'a>) -> Result<(), ReadError>,
    ) -> Result<(), ReadError> {
        let inside = self.depth;
        loop {
            match self.next()? {
                Event::Start(tag) => {
                    read(self, &Tag(tag))?;
                    while self.depth > inside {
                        self.next()?;
                    }
                }
                Event::End(_) => return Ok(()),
                _ => {}
            }
        }
    }

    /// The text of the element opened last, trimmed, to its end; `None` if there is none at all.
    pub(super) fn text(&mut self) -> Result<Option<Text<'a>>, ReadError> {
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
                Event::Start(_) => return Err(self.error("another element after the last one")),
                event => self.refuse_text(&event)?,
            }
        }
    }

    /// The value of an attribute.
    pub(super) fn attribute(&self, tag: &Tag<'a>, name: &str) -> Result<Option<String>, ReadError> {
        let attribute = tag.0.try_get_attribute(name).map_err(|error| self.error(&error.to_string()))?;
        let value = |found: quick_xml::events::attributes::Attribute<'_>| {
            found.normalized_value(quick_xml::XmlVersion::Implicit1_0).map(Cow::into_owned)
        };
        attribute.map(value).transpose().map_err(|error| self.error(&error.to_string()))
    }

    /// Whether an attribute has a value.
    pub(super) fn has(&self, tag: &Tag<'a>, name: &str, value: &str) -> Result<bool, ReadError> {
        let found = tag.0.try_get_attribute(name).map_err(|error| self.error(&error.to_string()))?;
        Ok(found.is_some_and(|found| found.value == value))
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
pub(super) struct Tag<'a>(BytesStart<'a>);

impl Tag<'_> {
    /// Its name, without a prefix.
    pub(super) fn name(&self) -> &str {
        let name = self.0.name().into_inner();
        let prefix = name.bytes().position(|byte| byte == b':');
        prefix.map_or(name, |colon| &name[colon + 1..])
    }
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
            ("<a><b/></a>", None),
            ("<a><b></b></a>", None),
        ];
        for (xml, text) in rows {
            assert_eq!(children(xml), Ok(vec![("b".to_owned(), text.map(str::to_owned))]), "{xml}");
        }
    }

    #[test]
    fn what_is_not_taken_is_skipped() {
        let mut elements = Elements::of("<a><b><c>1</c><c>2</c></b><b><c>3</c></b></a>").unwrap();
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
