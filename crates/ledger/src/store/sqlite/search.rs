//! The words by which a search finds an entry.

use crate::{Draft, Error, Result};

/// Words of fewer letters have no trigram, and are looked up as the beginning of what an entry touches.
const TRIGRAM: usize = 3;
/// The most words of one search.
const MOST_WORDS: usize = 32;

/// What the index holds of an entry: who, why and what, in lower case, a line each.
pub(super) fn text_of(draft: &Draft) -> String {
    let mut lines = vec![draft.actor.name.as_str(), draft.actor.id.as_str()];
    lines.extend(draft.amends.as_ref().map(|amends| amends.reason.as_str()));
    lines.extend(draft.subjects.iter().map(|s| s.identity.as_str()));
    lines.join("\n").to_lowercase()
}

/// The words of a search.
pub(super) struct Words {
    /// Those of three letters or more, as a query of the index: all of them must be found.
    pub long: Option<String>,
    /// The shorter ones.
    pub short: Vec<String>,
}

impl Words {
    pub fn of(text: &str) -> Result<Self> {
        let lower = text.to_lowercase();
        let (long, short): (Vec<&str>, Vec<&str>) = lower
            .split_whitespace()
            .partition(|word| word.chars().count() >= TRIGRAM);
        let found = long.len() + short.len();
        if found > MOST_WORDS {
            return Err(Error::TooManyWords {
                found,
                limit: MOST_WORDS,
            });
        }
        let phrases: Vec<String> = long
            .iter()
            .map(|word| format!("\"{}\"", word.replace('"', "\"\"")))
            .collect();
        Ok(Self {
            long: (!phrases.is_empty()).then(|| phrases.join(" ")),
            short: short.into_iter().map(str::to_owned).collect(),
        })
    }
}
