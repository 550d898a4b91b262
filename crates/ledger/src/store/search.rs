//! The words by which a search finds an entry, the same for either engine.

use crate::{Draft, Error, Result};

/// Words of fewer letters have no trigram, and are looked up as the beginning of what an entry touches.
const TRIGRAM: usize = 3;
/// The most words of one search.
const MOST_WORDS: usize = 32;

/// What the index holds of an entry: who, why and what, in lower case, a line each.
pub(crate) fn text_of(draft: &Draft) -> String {
    let mut lines = vec![draft.actor.name.as_str(), draft.actor.id.as_str()];
    lines.extend(draft.amends.as_ref().map(|amends| amends.reason.as_str()));
    lines.extend(draft.subjects.iter().map(|s| s.identity.as_str()));
    lines.join("\n").to_lowercase()
}

/// The words of a search, in lower case.
pub(crate) struct Words {
    /// Those of three letters or more: all of them must be found.
    pub long: Vec<String>,
    /// The shorter ones.
    pub short: Vec<String>,
}

impl Words {
    pub fn of(text: &str) -> Result<Self> {
        let (long, short): (Vec<String>, Vec<String>) = text
            .to_lowercase()
            .split_whitespace()
            .map(str::to_owned)
            .partition(|word| word.chars().count() >= TRIGRAM);
        let found = long.len() + short.len();
        if found > MOST_WORDS {
            return Err(Error::TooManyWords {
                found,
                limit: MOST_WORDS,
            });
        }
        Ok(Self { long, short })
    }
}

/// Where all that begins with a short word ends: at the word with the last of all characters after it.
pub(crate) fn end_of(short: &str) -> String {
    format!("{short}\u{10FFFF}")
}
