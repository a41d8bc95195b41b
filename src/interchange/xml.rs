//! Writing XML elements into memory.

use quick_xml::Writer;
use quick_xml::events::{BytesDecl, BytesEnd, BytesStart, BytesText, Event};

/// An XML document being written, two spaces a level.
///
/// Writing into memory cannot fail, so its methods return nothing.
pub(super) struct Xml {
    writer: Writer<Vec<u8>>,
    open: Vec<&'static str>,
}

/// The attributes of an element.
pub(super) type Attributes<'a> = &'a [(&'static str, &'a str)];

impl Xml {
    /// A document of version 1.0 in UTF-8.
    pub(super) fn new() -> Self {
        let mut xml = Self { writer: Writer::new_with_indent(Vec::new(), b' ', 2), open: Vec::new() };
        xml.write(Event::Decl(BytesDecl::new("1.0", Some("UTF-8"), None)));
        xml
    }

    /// Names the document type.
    #[cfg(feature = "musicxml")]
    pub(super) fn doctype(&mut self, text: &str) {
        self.write(Event::DocType(BytesText::from_escaped(text)));
    }

    /// Begins an element that holds others; [`Xml::close`] ends it.
    pub(super) fn open(&mut self, name: &'static str, attributes: Attributes<'_>) {
        self.write(Event::Start(start(name, attributes)));
        self.open.push(name);
    }

    /// Ends the element begun last.
    pub(super) fn close(&mut self) {
        if let Some(name) = self.open.pop() {
            self.write(Event::End(BytesEnd::new(name)));
        }
    }

    /// An element that holds text.
    pub(super) fn text(&mut self, name: &'static str, attributes: Attributes<'_>, text: &str) {
        self.write(Event::Start(start(name, attributes)));
        let text = legal(text);
        self.write(Event::Text(BytesText::new(&text)));
        self.write(Event::End(BytesEnd::new(name)));
    }

    /// An element that holds nothing.
    pub(super) fn empty(&mut self, name: &'static str, attributes: Attributes<'_>) {
        self.write(Event::Empty(start(name, attributes)));
    }

    /// The document, all elements closed, a line feed at the end.
    pub(super) fn finish(mut self) -> String {
        while !self.open.is_empty() {
            self.close();
        }
        let mut bytes = self.writer.into_inner();
        bytes.push(b'\n');
        String::from_utf8_lossy(&bytes).into_owned()
    }

    fn write(&mut self, event: Event<'_>) {
        let written = self.writer.write_event(event);
        debug_assert!(written.is_ok(), "writing into memory cannot fail");
    }
}

fn start<'a>(name: &'static str, attributes: Attributes<'a>) -> BytesStart<'a> {
    let mut start = BytesStart::new(name);
    for (key, value) in attributes {
        start.push_attribute((*key, legal(value).as_str()));
    }
    start
}

/// The text without the control characters that no XML document may hold.
fn legal(text: &str) -> String {
    let forbidden = |c: char| (c < ' ' && !"\t\n\r".contains(c)) || matches!(c, '\u{fffe}' | '\u{ffff}');
    text.chars().map(|c| if forbidden(c) { '\u{fffd}' } else { c }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_and_attributes_are_escaped() {
        let mut xml = Xml::new();
        xml.open("a", &[("title", "<\"&'>")]);
        xml.text("b", &[], "Bach & <Sons>\u{0}");
        xml.empty("c", &[]);
        assert_eq!(
            xml.finish(),
            "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<a title=\"&lt;&quot;&amp;&apos;&gt;\">\n  \
             <b>Bach &amp; &lt;Sons&gt;\u{fffd}</b>\n  <c/>\n</a>\n"
        );
    }
}
