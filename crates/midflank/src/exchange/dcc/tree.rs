//! A document of XML in memory, with its namespaces, small enough and not too deep. It has no document type: what that could
//! declare, entities that grow or files from elsewhere, is refused with it.

use std::collections::HashSet;

use quick_xml::XmlVersion;
use quick_xml::events::{BytesStart, Event};
use quick_xml::name::ResolveResult;
use quick_xml::reader::NsReader;

use super::{DCC, SI};
use crate::failure::Failure;
use crate::say;

/// No certificate has so many elements one in another.
const DEEPEST: usize = 100;

/// Which vocabulary an element is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Space {
    Dcc,
    Si,
    Other,
}

#[derive(Debug)]
pub struct Node {
    pub space: Space,
    pub name: String,
    pub attributes: Vec<(String, String)>,
    pub text: String,
    pub children: Vec<Node>,
    /// The line it begins on.
    pub line: usize,
}

/// What is wrong at a line.
pub fn wrong(line: usize, what: impl std::fmt::Display) -> Failure {
    Failure::input(say!("dcc.line", line = line, what = what))
}

impl Node {
    /// The root of a document.
    pub fn parse(text: &str) -> Result<Self, Failure> {
        let mut reader = NsReader::from_str(text);
        let mut lines = Lines::new(text);
        let mut open: Vec<Self> = Vec::new();
        let mut root = None;
        loop {
            let at = reader.buffer_position();
            let (space, event) = match reader.read_resolved_event() {
                Ok(read) => read,
                Err(error) => {
                    let line = lines.of(at);
                    return Err(wrong(line, say!("dcc.no-xml", why = error)));
                }
            };
            let space = match space {
                ResolveResult::Bound(bound) if bound.0 == DCC => Space::Dcc,
                ResolveResult::Bound(bound) if bound.0 == SI => Space::Si,
                _ => Space::Other,
            };
            match event {
                Event::Start(start) => {
                    let line = lines.of(at);
                    if open.len() >= DEEPEST {
                        return Err(wrong(line, say!("dcc.too-deep", n = DEEPEST)));
                    }
                    open.push(Self::begun(space, &start, line)?);
                }
                Event::Empty(start) => {
                    let node = Self::begun(space, &start, lines.of(at))?;
                    Self::done(node, &mut open, &mut root)?;
                }
                Event::End(_) => {
                    if let Some(node) = open.pop() {
                        Self::done(node, &mut open, &mut root)?;
                    }
                }
                Event::Text(read) => {
                    if let Some(node) = open.last_mut() {
                        node.text.push_str(&read.xml10_content());
                    } else if !read.trim().is_empty() {
                        return Err(wrong(lines.of(at), say!("dcc.text-outside")));
                    }
                }
                Event::CData(read) => {
                    if let Some(node) = open.last_mut() {
                        node.text.push_str(&read);
                    }
                }
                Event::GeneralRef(reference) => {
                    let character = match reference.resolve_char_ref() {
                        Ok(Some(character)) => Some(character),
                        Ok(None) => predefined(&reference),
                        Err(_) => None,
                    };
                    let Some(character) = character else {
                        let name = format!("&{};", &*reference);
                        return Err(wrong(lines.of(at), say!("dcc.entity", name = name)));
                    };
                    if let Some(node) = open.last_mut() {
                        node.text.push(character);
                    }
                }
                Event::DocType(_) => return Err(wrong(lines.of(at), say!("dcc.document-type"))),
                Event::Eof => break,
                Event::Decl(_) | Event::PI(_) | Event::Comment(_) => {}
            }
        }
        if let Some(node) = open.last() {
            return Err(wrong(node.line, say!("dcc.not-closed", name = node.name)));
        }
        root.ok_or_else(|| Failure::input(say!("dcc.empty")))
    }

    fn begun(space: Space, start: &BytesStart, line: usize) -> Result<Self, Failure> {
        let mut attributes = Vec::new();
        for attribute in start.attributes() {
            let attribute =
                attribute.map_err(|error| wrong(line, say!("dcc.no-xml", why = error)))?;
            let value = attribute
                .normalized_value(XmlVersion::Implicit1_0)
                .map_err(|error| wrong(line, say!("dcc.no-xml", why = error)))?;
            attributes.push((attribute.key.as_ref().to_owned(), value.into_owned()));
        }
        Ok(Self {
            space,
            name: start.local_name().as_ref().to_owned(),
            attributes,
            text: String::new(),
            children: Vec::new(),
            line,
        })
    }

    fn done(node: Self, open: &mut [Self], root: &mut Option<Self>) -> Result<(), Failure> {
        match open.last_mut() {
            Some(parent) => parent.children.push(node),
            None if root.is_some() => return Err(wrong(node.line, say!("dcc.two-roots"))),
            None => *root = Some(node),
        }
        Ok(())
    }

    pub fn attribute(&self, name: &str) -> Option<&str> {
        let mut all = self.attributes.iter();
        all.find(|(known, _)| known == name)
            .map(|(_, value)| value.as_str())
    }

    /// Children of the certificate's vocabulary with this name.
    pub fn all<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a Self> {
        let children = self.children.iter();
        children.filter(move |child| child.space == Space::Dcc && child.name == name)
    }

    pub fn first<'a>(&'a self, name: &'a str) -> Option<&'a Self> {
        self.all(name).next()
    }

    /// The child at the end of a path of names.
    pub fn at(&self, path: &[&str]) -> Option<&Self> {
        let mut node = self;
        for name in path {
            node = node
                .children
                .iter()
                .find(|child| child.space == Space::Dcc && child.name == *name)?;
        }
        Some(node)
    }

    /// The child of the quantities' vocabulary with this name.
    pub fn si(&self, name: &str) -> Option<&Self> {
        let mut children = self.children.iter();
        children.find(|child| child.space == Space::Si && child.name == name)
    }

    /// Its text without the blanks around it.
    pub fn told(&self) -> &str {
        self.text.trim()
    }

    /// Its text in English, or the first there is.
    pub fn content(&self) -> Option<String> {
        let english = self
            .all("content")
            .find(|content| content.attribute("lang") == Some("en"));
        let content = english.or_else(|| self.first("content"))?;
        let words: Vec<&str> = content.text.split_whitespace().collect();
        Some(words.join(" ")).filter(|text| !text.is_empty())
    }

    /// This node and all below it.
    pub fn each<'a>(
        &'a self,
        see: &mut impl FnMut(&'a Self) -> Result<(), Failure>,
    ) -> Result<(), Failure> {
        see(self)?;
        self.children.iter().try_for_each(|child| child.each(see))
    }

    /// Refuses references that name no element, and two elements of one name.
    pub fn check_references(&self) -> Result<(), Failure> {
        let mut known = HashSet::new();
        self.each(&mut |node| match node.attribute("id") {
            Some(id) if !known.insert(id) => Err(wrong(node.line, say!("dcc.two-ids", id = id))),
            _ => Ok(()),
        })?;
        self.each(&mut |node| {
            let all = node.attribute("refId").unwrap_or_default();
            match all.split_whitespace().find(|id| !known.contains(id)) {
                Some(id) => Err(wrong(node.line, say!("dcc.broken-reference", id = id))),
                None => Ok(()),
            }
        })
    }
}

fn predefined(name: &str) -> Option<char> {
    Some(match name {
        "amp" => '&',
        "lt" => '<',
        "gt" => '>',
        "quot" => '"',
        "apos" => '\'',
        _ => return None,
    })
}

/// Lines of a text by the place of a byte, which only ever rises.
struct Lines<'a> {
    text: &'a [u8],
    at: usize,
    line: usize,
}

impl<'a> Lines<'a> {
    fn new(text: &'a str) -> Self {
        Self {
            text: text.as_bytes(),
            at: 0,
            line: 1,
        }
    }

    fn of(&mut self, at: u64) -> usize {
        let at = usize::try_from(at)
            .unwrap_or(usize::MAX)
            .min(self.text.len());
        let passed = self.text.get(self.at..at).unwrap_or_default();
        self.line += passed.split(|byte| *byte == b'\n').skip(1).count();
        self.at = self.at.max(at);
        self.line
    }
}
