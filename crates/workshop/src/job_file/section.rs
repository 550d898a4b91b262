//! Values by section and key, as a form or a line of the bench states them: what a job file states in TOML, without a text.

use std::ops::Range;

#[derive(Clone, Debug, PartialEq)]
pub enum Given {
    /// A text, or a length with its unit.
    Text(String),
    /// A number, with the digits that it was written with.
    Number(String),
    Flag(bool),
    List(Vec<Given>),
    Section(Section),
}

/// The values of a section by their keys, in the order in which they were given.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Section(Vec<(String, Given)>);

impl Given {
    pub fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }
}

impl Section {
    pub fn new() -> Self {
        Self::default()
    }

    /// Gives a value, in the place of an earlier one of the same key.
    pub fn insert(&mut self, key: &str, value: Given) {
        self.remove(key);
        self.0.push((key.to_owned(), value));
    }

    pub fn remove(&mut self, key: &str) -> Option<Given> {
        let at = self.0.iter().position(|(known, _)| known == key)?;
        Some(self.0.remove(at).1)
    }

    pub fn has(&self, key: &str) -> bool {
        self.0.iter().any(|(known, _)| known == key)
    }

    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Its texts by their keys.
    pub fn texts(&self) -> Vec<(String, String)> {
        let texts = self.0.iter().filter_map(|(key, value)| match value {
            Given::Text(text) => Some((key.clone(), text.clone())),
            _ => None,
        });
        texts.collect()
    }

    /// The section under a key, where there is one.
    pub fn section_mut(&mut self, key: &str) -> Option<&mut Self> {
        self.0.iter_mut().find_map(|(known, value)| match value {
            Given::Section(section) if known == key => Some(section),
            _ => None,
        })
    }

    /// The section under a key, which is begun where there is none.
    pub fn begin(&mut self, key: &str) -> Option<&mut Self> {
        if !self.has(key) {
            self.insert(key, Given::Section(Self::new()));
        }
        self.section_mut(key)
    }
}

/// A section in which every value has a place, by which section and key are found again.
#[derive(Debug)]
pub struct Placed {
    /// What was given, value after value: the places are bytes of it.
    text: String,
    pub root: Entry,
    names: Vec<Name>,
}

/// A value at its place.
#[derive(Debug)]
pub struct Entry {
    pub at: Range<usize>,
    pub value: Node,
}

#[derive(Debug)]
pub enum Node {
    Text(String),
    /// As it stands in the text.
    Number,
    Flag(bool),
    List(Vec<Entry>),
    Section(Vec<(String, Entry)>),
}

/// What stands from a place on.
#[derive(Debug)]
struct Name {
    from: usize,
    section: Option<String>,
    field: Option<String>,
}

impl Placed {
    pub fn of(section: &Section) -> Self {
        let mut placing = Placing::default();
        let root = placing.section(section, &[]);
        Self {
            text: placing.text,
            root,
            names: placing.names,
        }
    }

    pub fn text(&self) -> &str {
        &self.text
    }

    /// Section and key of what stands at a place; a section has no key.
    pub fn named(&self, at: usize) -> (Option<String>, Option<String>) {
        let behind = self.names.partition_point(|name| name.from <= at);
        match self.names.get(behind.saturating_sub(1)) {
            Some(name) => (name.section.clone(), name.field.clone()),
            None => (None, None),
        }
    }

    /// The place at which a section begins; the first place where there is none of that name.
    pub fn of_section(&self, section: &str) -> usize {
        let found = self
            .names
            .iter()
            .find(|name| name.field.is_none() && name.section.as_deref() == Some(section));
        found.map_or(0, |name| name.from)
    }
}

#[derive(Default)]
struct Placing {
    text: String,
    names: Vec<Name>,
}

impl Placing {
    /// Begins a place of its own.
    fn begin(&mut self, path: &[&str], field: Option<&str>) -> usize {
        self.text.push('\n');
        let from = self.text.len();
        self.names.push(Name {
            from,
            section: (!path.is_empty()).then(|| path.join(".")),
            field: field.map(str::to_owned),
        });
        from
    }

    fn section(&mut self, section: &Section, path: &[&str]) -> Entry {
        let from = self.begin(path, None);
        let entries = section.0.iter();
        let entries = entries.map(|(key, value)| (key.clone(), self.value(value, path, key)));
        let value = Node::Section(entries.collect());
        Entry {
            at: from..self.text.len(),
            value,
        }
    }

    fn value(&mut self, given: &Given, path: &[&str], key: &str) -> Entry {
        if let Given::Section(section) = given {
            return self.section(section, &[path, &[key]].concat());
        }
        let from = self.begin(path, Some(key));
        let value = match given {
            Given::Text(text) => {
                self.text.push_str(text);
                Node::Text(text.clone())
            }
            Given::Number(digits) => {
                self.text.push_str(digits);
                Node::Number
            }
            Given::Flag(flag) => {
                self.text.push_str(if *flag { "true" } else { "false" });
                Node::Flag(*flag)
            }
            Given::List(all) => {
                Node::List(all.iter().map(|one| self.value(one, path, key)).collect())
            }
            // Begun above.
            Given::Section(_) => Node::Section(Vec::new()),
        };
        Entry {
            at: from..self.text.len(),
            value,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_value_is_found_by_section_and_key() {
        let mut curve = Section::new();
        curve.insert("factor", Given::Number("2".into()));
        let mut piece = Section::new();
        piece.insert("id", Given::text("mic-04"));
        piece.insert(
            "range",
            Given::List(vec![Given::text("0"), Given::text("25")]),
        );
        piece.insert("curve", Given::Section(curve));
        let mut all = Section::new();
        all.insert("unit", Given::text("mm"));
        all.insert("instrument", Given::List(vec![Given::Section(piece)]));
        let placed = Placed::of(&all);
        let named = |what: &str| placed.named(placed.text().find(what).unwrap());
        let some = |text: &str| Some(text.to_owned());
        assert_eq!(named("mm"), (None, some("unit")));
        assert_eq!(named("mic-04"), (some("instrument"), some("id")));
        assert_eq!(named("25"), (some("instrument"), some("range")));
        assert_eq!(
            placed.named(placed.text().rfind('2').unwrap()),
            (some("instrument.curve"), some("factor"))
        );
        let curve = placed.of_section("instrument.curve");
        assert_eq!(placed.named(curve), (some("instrument.curve"), None));
        assert_eq!(placed.of_section("zero"), 0);
    }
}
