//! Why a designation names no thread.

use std::fmt;
use std::ops::Range;

use super::fault::Fault;
use crate::message::{Message, Say, Value};

/// More would be a table, not a hint.
const MOST_SUGGESTIONS: usize = 6;

/// One error for one wrong designation: what is wrong, where, and what would be right.
///
/// Boxed, so that the happy path does not carry its size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ThreadError(Box<Details>);

#[derive(Clone, Debug, PartialEq, Eq)]
struct Details {
    fault: Fault,
    place: Option<Range<usize>>,
    suggestions: Vec<String>,
    /// Taken where no suggestion holds: the right size without the rest of what was typed.
    fallback: Vec<String>,
}

impl ThreadError {
    pub(crate) fn new(fault: Fault) -> Self {
        Self(Box::new(Details {
            fault,
            place: None,
            suggestions: Vec::new(),
            fallback: Vec::new(),
        }))
    }

    pub(crate) fn with_place(mut self, place: Range<usize>) -> Self {
        self.0.place = Some(place);
        self
    }

    pub(crate) fn suggest(mut self, suggestions: impl IntoIterator<Item = String>) -> Self {
        for suggestion in suggestions {
            if !self.0.suggestions.contains(&suggestion) {
                self.0.suggestions.push(suggestion);
            }
        }
        self
    }

    /// Rewrites what is suggested, for a form that reads its designations as another's.
    pub(crate) fn map_suggestions(mut self, rewrite: impl Fn(&str) -> String) -> Self {
        for suggestion in (self.0.suggestions.iter_mut()).chain(&mut self.0.fallback) {
            *suggestion = rewrite(suggestion);
        }
        self
    }

    /// Suggests each beginning with the rest of what was typed, or alone if the rest is wrong too.
    pub(crate) fn suggest_with(self, beginnings: Vec<String>, rest: &str) -> Self {
        let mut error = self.suggest(beginnings.iter().map(|stem| format!("{stem}{rest}")));
        error.0.fallback = beginnings;
        error
    }

    /// Suggests one designation and no other.
    pub(crate) fn suggest_only(mut self, designation: String) -> Self {
        self.0.suggestions = vec![designation];
        self.0.fallback.clear();
        self
    }

    /// Suggests these designations and no others.
    pub(crate) fn suggest_these(mut self, designations: Vec<String>) -> Self {
        self.0.suggestions = designations;
        self.0.fallback.clear();
        self
    }

    /// Suggests a designation before the others.
    pub(crate) fn suggest_first(mut self, designation: String) -> Self {
        self.0.suggestions.insert(0, designation);
        self
    }

    /// Takes for each suggestion what it is kept as, if it is: a suggestion that is wrong itself helps nobody.
    pub(crate) fn keep(mut self, kept: impl Fn(&str) -> Option<String>) -> Self {
        let fallback = std::mem::take(&mut self.0.fallback);
        let suggestions = std::mem::take(&mut self.0.suggestions);
        self = self.suggest(suggestions.iter().filter_map(|text| kept(text)));
        if self.0.suggestions.is_empty() {
            self = self.suggest(fallback.iter().filter_map(|text| kept(text)));
        }
        self.0.suggestions.truncate(MOST_SUGGESTIONS);
        self
    }

    /// A short name for programs, such as `unknown-class`.
    pub fn kind(&self) -> &'static str {
        self.0.fault.kind()
    }

    /// What is wrong, typed.
    pub fn fault(&self) -> &Fault {
        &self.0.fault
    }

    /// Where: a range of bytes of the input, on character boundaries.
    pub fn at(&self) -> Option<Range<usize>> {
        self.0.place.clone()
    }

    /// Designations that would be right, nearest first.
    pub fn suggestions(&self) -> &[String] {
        &self.0.suggestions
    }
}

impl ThreadError {
    /// The code of an error that says what to write instead, with its values: the fault, and the designations.
    pub const SUGGESTED: (&'static str, &'static [&'static str]) =
        ("designation.suggested", &["fault", "suggestions"]);
}

/// The fault, with what to write instead where something is known.
impl Say for ThreadError {
    fn message(&self) -> Message {
        let fault = self.0.fault.message();
        if self.0.suggestions.is_empty() {
            return fault;
        }
        Message::of(Self::SUGGESTED.0)
            .with("fault", Value::said(fault))
            .with("suggestions", Value::one_of(self.0.suggestions.clone()))
    }
}

/// For developers: the fault and what is suggested.
impl fmt::Display for ThreadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {:?}", self.0.fault, self.0.suggestions)
    }
}

impl std::error::Error for ThreadError {}
