//! Which names have stood in a file: those that are numbered on, as pieces mostly are, in next to no memory.

use std::collections::{BTreeMap, HashMap, HashSet};

/// Names that were seen.
#[derive(Debug, Default)]
pub struct Seen {
    /// Runs of numbers, first and last, by what stands before the number and how many digits it has.
    numbered: HashMap<(String, usize), BTreeMap<u64, u64>>,
    others: HashSet<String>,
}

impl Seen {
    /// Takes a name; whether it was not there before.
    pub fn insert(&mut self, name: &str) -> bool {
        let Some((before, digits, number)) = numbered(name) else {
            return self.others.insert(name.to_owned());
        };
        let runs = match self.numbered.get_mut(&(before.to_owned(), digits)) {
            Some(runs) => runs,
            None => self
                .numbered
                .entry((before.to_owned(), digits))
                .or_default(),
        };
        let below = runs.range(..=number).next_back();
        let below = below.map(|(first, last)| (*first, *last));
        if below.is_some_and(|(_, last)| number <= last) {
            return false;
        }
        let follows = below.filter(|(_, last)| last.checked_add(1) == Some(number));
        let next = number.checked_add(1).and_then(|next| runs.remove(&next));
        let first = follows.map_or(number, |(first, _)| first);
        runs.insert(first, next.unwrap_or(number));
        true
    }
}

/// What stands before the number at the end of a name, its digits and the number: `P-007` is `P-`, 3 and 7.
fn numbered(name: &str) -> Option<(&str, usize, u64)> {
    let before = name.trim_end_matches(|c: char| c.is_ascii_digit());
    let digits = name.get(before.len()..)?;
    // One without zeros in front goes on through all lengths.
    let padded = digits.len() > 1 && digits.starts_with('0');
    let length = if padded { digits.len() } else { 0 };
    Some((before, length, digits.parse().ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_name_is_new_once() {
        let mut seen = Seen::default();
        let names = [
            "1", "2", "3", "5", "4", "01", "001", "P-07", "P-7", "P-8", "", "a", "x1y", "10", "9",
        ];
        for name in names {
            assert!(seen.insert(name), "{name}");
        }
        for name in names {
            assert!(!seen.insert(name), "{name}");
        }
        let plain = &seen.numbered[&(String::new(), 0)];
        assert_eq!(plain.iter().collect::<Vec<_>>(), [(&1, &5), (&9, &10)]);
    }

    #[test]
    fn zeros_in_front_make_another_name() {
        let mut seen = Seen::default();
        assert!(seen.insert("099"));
        // Three digits without a zero in front are told from those with one, and no two names fall together.
        assert!(seen.insert("99"));
        assert!(seen.insert("100"));
        assert!(!seen.insert("099"));
    }
}
