//! The catalogue of sentences, asked by code. The build script makes a table of all files of `en`, so that a start reads none.

use std::collections::HashMap;
use std::sync::LazyLock;

use super::key::number;

// `TEXT`, each key and its sentence, in the order of the files; `PLACES`, where in it each key begins, its sentence begins, and
// that ends; `SLOTS`, which of them to look at for the number of a key, one after the other up to an empty one: its place
// from one, or nought.
include!(concat!(env!("OUT_DIR"), "/sentences.rs"));

/// The key and the sentence at a place.
fn at([key, sentence, end]: [u32; 3]) -> Option<(&'static str, &'static str)> {
    let text = |from: u32, to: u32| {
        let range = usize::try_from(from).ok()?..usize::try_from(to).ok()?;
        TEXT.get(range)
    };
    Some((text(key, sentence)?, text(sentence, end)?))
}

/// All of them.
fn all() -> impl Iterator<Item = (&'static str, &'static str)> {
    PLACES.iter().filter_map(|place| at(*place))
}

/// Set to anything, this shows every sentence wrapped and accented, so that what is no sentence of the catalogue stands
/// out on a page. Only in builds for development.
const DISGUISE: &str = "MIDFLANK_DISGUISE";

static DISGUISED: LazyLock<Option<HashMap<&str, String>>> = LazyLock::new(|| {
    std::env::var_os(DISGUISE)?;
    Some(
        all()
            .map(|(key, sentence)| (key, disguised(sentence)))
            .collect(),
    )
});

/// The sentence of a key.
pub fn known(key: &str) -> Option<&'static str> {
    if cfg!(debug_assertions)
        && let Some(disguised) = &*DISGUISED
    {
        return disguised.get(key).map(String::as_str);
    }
    let from = number(key) % SLOTS.len();
    let (before, after) = SLOTS.split_at(from);
    after
        .iter()
        .chain(before)
        .map_while(|slot| at(*PLACES.get(usize::from(*slot).checked_sub(1)?)?))
        .find(|(known, _)| *known == key)
        .map(|(_, sentence)| sentence)
}

/// Every key, in the order of the files; a key written twice comes twice.
#[cfg(test)]
pub fn keys() -> impl Iterator<Item = &'static str> {
    all().map(|(key, _)| key)
}

/// A sentence wrapped in brackets, its letters accented, its places left alone.
fn disguised(sentence: &str) -> String {
    const PLAIN: &str = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ";
    const ACCENTED: &str = "áƀçđéƒĝĥíĵķļɱñóþʠŕšţúṽŵẋýžÁɃÇĐÉƑĜĤÍĴĶĻⱮÑÓÞɊŔŠŢÚṼŴẊÝŽ";
    let mut in_place = false;
    let accented: String = sentence
        .chars()
        .map(|letter| {
            match letter {
                '{' => in_place = true,
                '}' => in_place = false,
                _ => {}
            }
            let found = PLAIN.chars().position(|plain| plain == letter);
            found
                .filter(|_| !in_place)
                .and_then(|index| ACCENTED.chars().nth(index))
                .unwrap_or(letter)
        })
        .collect();
    format!("⟦{accented}⟧")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sentence_is_found() {
        if std::env::var_os(DISGUISE).is_none() {
            for (key, sentence) in all() {
                assert_eq!(known(key), Some(sentence));
            }
        }
        assert_eq!(known("no.such-key"), None);
        assert_eq!(known(""), None);
    }

    #[test]
    fn a_disguise_leaves_places_alone() {
        assert_eq!(disguised("by {by} at Zero"), "⟦ƀý {by} áţ Žéŕó⟧");
    }
}
