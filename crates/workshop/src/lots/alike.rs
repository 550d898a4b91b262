//! Numbers of lots that differ in nothing but capital letters: `l-1` is typed where `L-1` was begun.

use std::collections::BTreeSet;

use ledger::{Filter, Ledger, Order, Page, Subject};

use super::known::find;
use crate::error::Error;
use crate::lot_entry::LOT;

/// With so many letters every way to write them is looked for: 64 of them. With more, those that somebody would type.
const EVERY_WAY: usize = 6;

/// Whether two numbers differ in nothing but capital letters.
pub fn is_alike(one: &str, other: &str) -> bool {
    one != other && one.to_lowercase() == other.to_lowercase()
}

/// A lot that was begun under a number that differs from this in nothing but capital letters, where none was begun under this.
pub fn begun_almost_as(ledger: &Ledger, number: &str) -> Result<Option<String>, Error> {
    let number = number.trim();
    if number.is_empty() || find(ledger, number)?.is_some() {
        return Ok(None);
    }
    for way in ways(number) {
        if let Some(lot) = find(ledger, &way)? {
            return Ok(Some(lot.begun.number));
        }
    }
    Ok(None)
}

/// Other ways to write the number of a lot under which something is on the record, and no lot was begun.
pub(super) fn begun_as_none(ledger: &Ledger, number: &str) -> Result<Vec<String>, Error> {
    let mut found = Vec::new();
    for way in ways(number) {
        let filter = Filter {
            subjects: vec![Subject::new(LOT, &way)],
            standing: true,
            ..Filter::default()
        };
        let any = ledger.list(&filter, &Page::first(Order::NewestFirst, 1))?;
        if !any.entries.is_empty() && find(ledger, &way)?.is_none() {
            found.push(way);
        }
    }
    Ok(found)
}

/// Other ways to write a number in small and capital letters.
fn ways(number: &str) -> BTreeSet<String> {
    let letters = number.chars().filter(|one| one.is_alphabetic()).count();
    let mut ways = BTreeSet::new();
    if letters <= EVERY_WAY {
        for way in 0..1_u32 << letters {
            let mut nth = 0;
            let cased = number.chars().map(|one| {
                if !one.is_alphabetic() {
                    return one.to_string();
                }
                let is_capital = way >> nth & 1 == 1;
                nth += 1;
                if is_capital {
                    one.to_uppercase().to_string()
                } else {
                    one.to_lowercase().to_string()
                }
            });
            ways.insert(cased.collect());
        }
    } else {
        let small = number.to_lowercase();
        let mut first = small.chars();
        let capital = first
            .next()
            .map(|one| one.to_uppercase().chain(first).collect());
        ways.extend([number.to_uppercase(), small].into_iter().chain(capital));
    }
    ways.remove(number);
    ways
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_other_way_to_write_a_number() {
        assert_eq!(ways("L-1"), BTreeSet::from(["l-1".to_owned()]));
        assert_eq!(ways("a-B").len(), 3);
        assert!(ways("2026/11").is_empty());
        let long = ways("Spindles-11");
        assert!(long.contains("spindles-11") && long.contains("SPINDLES-11"));
        assert!(!long.contains("Spindles-11"));
        assert!(is_alike("l-1", "L-1") && !is_alike("L-1", "L-1"));
    }
}
