//! Documents of XML: a tree of elements whose counts and identifiers cannot disagree with what is in it.

use std::io;

use quick_xml::Writer;
use quick_xml::events::{BytesDecl, BytesText, Event};

/// An element with its attributes and either elements or a text in it.
#[derive(Clone, Debug)]
pub struct Element {
    name: &'static str,
    attributes: Vec<(&'static str, String)>,
    text: Option<String>,
    children: Vec<Element>,
}

impl Element {
    pub const fn new(name: &'static str) -> Self {
        Self {
            name,
            attributes: Vec::new(),
            text: None,
            children: Vec::new(),
        }
    }

    /// An element that holds a text.
    pub fn text(name: &'static str, text: impl ToString) -> Self {
        Self {
            text: Some(allowed(&text.to_string())),
            ..Self::new(name)
        }
    }

    /// One that holds elements.
    pub fn of(name: &'static str, children: impl IntoIterator<Item = Self>) -> Self {
        Self {
            children: children.into_iter().collect(),
            ..Self::new(name)
        }
    }

    /// The same, with their number as attribute `n`; nothing where there are none.
    pub fn counted(name: &'static str, children: impl IntoIterator<Item = Self>) -> Option<Self> {
        let element = Self::of(name, children);
        let n = element.children.len();
        (n > 0).then(|| element.with("n", n))
    }

    pub fn with(mut self, attribute: &'static str, value: impl ToString) -> Self {
        let value = allowed(&value.to_string());
        self.attributes.push((attribute, value));
        self
    }

    pub fn with_if(self, attribute: &'static str, value: Option<impl ToString>) -> Self {
        match value {
            Some(value) => self.with(attribute, value),
            None => self,
        }
    }

    pub fn and(mut self, child: impl Into<Option<Self>>) -> Self {
        self.children.extend(child.into());
        self
    }

    pub fn and_all(mut self, children: impl IntoIterator<Item = Self>) -> Self {
        self.children.extend(children);
        self
    }

    /// Writes the document that this element is the root of.
    pub fn document(&self) -> io::Result<Vec<u8>> {
        let mut writer = Writer::new_with_indent(Vec::new(), b' ', 1);
        writer.write_event(Event::Decl(BytesDecl::new("1.0", Some("UTF-8"), None)))?;
        self.write(&mut writer)?;
        let mut bytes = writer.into_inner();
        bytes.push(b'\n');
        Ok(bytes)
    }

    fn write(&self, writer: &mut Writer<Vec<u8>>) -> io::Result<()> {
        let attributes = self.attributes.iter();
        let element = writer
            .create_element(self.name)
            .with_attributes(attributes.map(|(name, value)| (*name, value.as_str())));
        match &self.text {
            Some(text) => element.write_text_content(BytesText::new(text))?,
            None if self.children.is_empty() => element.write_empty()?,
            None => element.write_inner_content(|writer| {
                self.children
                    .iter()
                    .try_for_each(|child| child.write(writer))
            })?,
        };
        Ok(())
    }
}

/// Without the characters that XML 1.0 (2.2) has no way to write; U+FFFD stands in their place.
fn allowed(text: &str) -> String {
    let is_allowed = |one: char| matches!(one, '\t' | '\n' | '\r' | ' '..='\u{D7FF}' | '\u{E000}'..='\u{FFFD}' | '\u{10000}'..);
    text.chars()
        .map(|one| if is_allowed(one) { one } else { '\u{FFFD}' })
        .collect()
}

/// A number as `xs:decimal`, to the last digit: without exponent; none where it is not finite.
pub fn number(value: f64) -> Option<String> {
    // Never "-0".
    value.is_finite().then(|| (value + 0.0).to_string())
}
