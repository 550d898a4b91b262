//! The catalogue of sentences: read once, asked by code.

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};
use std::sync::LazyLock;

/// The files of the catalogue; the order carries no meaning.
const FILES: &[&str] = &[
    include_str!("en/approval.txt"),
    include_str!("en/bench.txt"),
    include_str!("en/coating.txt"),
    include_str!("en/command.txt"),
    include_str!("en/contacts.txt"),
    include_str!("en/correct.txt"),
    include_str!("en/decision.txt"),
    include_str!("en/designation.txt"),
    include_str!("en/effect.txt"),
    include_str!("en/feature.txt"),
    include_str!("en/functional.txt"),
    include_str!("en/gauges.txt"),
    include_str!("en/identify.txt"),
    include_str!("en/inspection.txt"),
    include_str!("en/jobfile.txt"),
    include_str!("en/limits.txt"),
    include_str!("en/list.txt"),
    include_str!("en/number.txt"),
    include_str!("en/page.txt"),
    include_str!("en/pair.txt"),
    include_str!("en/profile.txt"),
    include_str!("en/pull.txt"),
    include_str!("en/quantity.txt"),
    include_str!("en/range.txt"),
    include_str!("en/reconcile.txt"),
    include_str!("en/record.txt"),
    include_str!("en/refusal.txt"),
    include_str!("en/register.txt"),
    include_str!("en/report.txt"),
    include_str!("en/setup.txt"),
    include_str!("en/simulate.txt"),
    include_str!("en/uncertainty.txt"),
    include_str!("en/units.txt"),
    include_str!("en/validate.txt"),
    include_str!("en/warning.txt"),
    include_str!("en/wires.txt"),
];

/// Set to anything, this shows every sentence wrapped and accented, so that what is no sentence of the catalogue stands
/// out on a page. Only in builds for development.
const DISGUISE: &str = "MIDFLANK_DISGUISE";

/// More than there are sentences, so that the table is not moved while it is filled.
const ROOM: usize = 3500;

static SENTENCES: LazyLock<HashMap<&str, &str, BuildHasherDefault<OfKey>>> = LazyLock::new(|| {
    let disguise = cfg!(debug_assertions) && std::env::var_os(DISGUISE).is_some();
    let mut sentences = HashMap::with_capacity_and_hasher(ROOM, BuildHasherDefault::default());
    sentences.extend(lines().map(|(key, sentence)| {
        if disguise {
            (key, &*Box::leak(disguised(sentence).into_boxed_str()))
        } else {
            (key, sentence)
        }
    }));
    sentences
});

/// The number of a key in the table. Every start fills it with all keys, which are our own: no key is made to collide, and
/// eight letters are taken at a time.
#[derive(Default)]
struct OfKey(u64);

impl Hasher for OfKey {
    fn write(&mut self, bytes: &[u8]) {
        for letters in bytes.chunks(8) {
            let mut word = [0; 8];
            for (place, letter) in word.iter_mut().zip(letters) {
                *place = *letter;
            }
            let mixed = self.0.rotate_left(5) ^ u64::from_le_bytes(word);
            self.0 = mixed.wrapping_mul(0x9e37_79b9_7f4a_7c15);
        }
    }

    fn finish(&self) -> u64 {
        self.0 ^ (self.0 >> 32)
    }
}

/// The sentence of a key.
pub fn known(key: &str) -> Option<&'static str> {
    SENTENCES.get(key).copied()
}

/// Every key, in the order of the files; a key written twice comes twice.
#[cfg(test)]
pub fn keys() -> impl Iterator<Item = &'static str> {
    lines().map(|(key, _)| key)
}

/// Keys and sentences of all files.
fn lines() -> impl Iterator<Item = (&'static str, &'static str)> {
    FILES
        .iter()
        .flat_map(|file| file.lines())
        .filter(|line| !line.starts_with('#'))
        .filter_map(|line| {
            let (key, sentence) = line.split_once('=')?;
            Some((key.strip_suffix(' ')?.trim(), sentence.strip_prefix(' ')?))
        })
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
    fn a_disguise_leaves_places_alone() {
        assert_eq!(disguised("by {by} at Zero"), "⟦ƀý {by} áţ Žéŕó⟧");
    }
}
