//! What was typed and must not be lost: hand, starts, side and classes.

use super::super::read;
use super::super::tail::{hand, kind, starts};
use super::super::text::{Cursor, Text};
use super::words::{self, foreign_hand};
use crate::thread::{Fault, Hand, Kind, ThreadError};

/// What a text says of its thread wherever it stands in it.
pub(super) struct Typed {
    pub left: bool,
    /// An L alone.
    has_l: bool,
    /// By a word, unless the error is about it.
    pub kind: Option<Kind>,
    starts: Option<u16>,
    /// The classes outside the place of the error, in small letters.
    classes: Vec<String>,
}

impl Typed {
    pub fn of(text: &str, error: &ThreadError) -> Self {
        let mut typed = Self::new(text, error.at());
        if matches!(error.fault(), Fault::SideConflict { .. }) {
            typed.kind = None;
        }
        typed
    }

    pub fn new(text: &str, without: Option<std::ops::Range<usize>>) -> Self {
        let mut typed = Self {
            left: matches!(foreign_hand(text), Some((_, Hand::Left))),
            has_l: words::has_l(text),
            kind: None,
            starts: None,
            classes: match without {
                Some(place) => [text.get(..place.start), text.get(place.end..)]
                    .into_iter()
                    .flatten()
                    .flat_map(classes)
                    .collect(),
                None => classes(text),
            },
        };
        let Ok(plain) = Text::new(text) else {
            return typed;
        };
        let mut cursor = Cursor::new(&plain);
        typed.starts = words::starts(text);
        // A hand that was written onto something else: `UNxLH`.
        let mut words = cursor.words();
        typed.left |= words.any(|(_, word)| word.to_ascii_lowercase().ends_with("lh"));
        typed.kind = cursor.words().find_map(|(_, word)| kind(word));
        while !cursor.is_at_end() {
            if !cursor.before().is_ascii_alphanumeric() {
                typed.left |= hand(&mut cursor.clone()) == Some(Hand::Left);
                let found = starts(&mut cursor.clone()).ok().flatten();
                typed.starts = typed.starts.or(found);
            }
            cursor.bump();
        }
        typed
    }

    /// Whether a designation names a thread and says all this, and no other hand or starts.
    pub fn is_kept_by(&self, text: &str) -> bool {
        let other = Self::new(text, None);
        (self.left, self.starts) == (other.left, other.starts) && self.is_within(text)
    }

    /// Whether a designation names a thread and says all this.
    pub fn is_within(&self, text: &str) -> bool {
        let Ok(thread) = read(text) else {
            return false;
        };
        let other = Self::new(text, None);
        (!self.left || other.left)
            && (!self.has_l || other.has_l || other.left)
            && (self.starts.is_none() || self.starts == other.starts)
            && self.kind.is_none_or(|kind| kind == thread.kind())
            && (self.classes.iter()).all(|class| other.classes.contains(class))
    }
}

/// The pieces of a text that are classes: `6g`, `5g6g`, `2A`, `2AG`, `3G`, `7e`.
fn classes(text: &str) -> Vec<String> {
    let is_class = |piece: &&str| {
        let pairs = piece.as_bytes().chunks(2);
        matches!(piece.len(), 2 | 4)
            && pairs
                .into_iter()
                .all(|pair| matches!(pair, [b'1'..=b'9', b'A'..=b'H' | b'a'..=b'h']))
    };
    text.split(|letter: char| !letter.is_ascii_alphanumeric())
        .map(|piece| {
            piece
                .strip_suffix(['G', 'g'])
                .filter(|rest| rest.ends_with(['A', 'a']))
                .unwrap_or(piece)
        })
        .map(class_at_the_end)
        .filter(is_class)
        .map(str::to_ascii_lowercase)
        .collect()
}

/// The class behind the letters that it was written onto: `UNC2A`.
fn class_at_the_end(piece: &str) -> &str {
    let parts = piece
        .len()
        .checked_sub(2)
        .and_then(|at| piece.split_at_checked(at));
    let onto = |before: &str| before.ends_with(|sign: char| sign.is_ascii_alphabetic());
    match parts {
        // `G1A` is a size and its class.
        Some((before, class)) if onto(before) && !matches!(before, "G" | "g") => class,
        _ => piece,
    }
}
