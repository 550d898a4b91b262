//! Which names have stood in a file: those that are numbered on, as pieces mostly are, in next to no memory.

use std::collections::{BTreeMap, HashMap, HashSet};

/// First and last of runs of numbers.
type Runs = BTreeMap<u64, u64>;

/// Names that were seen.
#[derive(Debug, Default)]
pub struct Seen {
    /// Runs of numbers, first and last, by what stands before the number and how many digits it has.
    numbered: HashMap<String, HashMap<usize, Runs>>,
    others: HashSet<String>,
}

impl Seen {
    /// Two names that differ in nothing but zeros in front of the number or behind its point, or capital letters, if there are
    /// such.
    pub fn alike(&self) -> Option<(String, String)> {
        if let Some(found) = self.with_decimals().or_else(|| self.with_words()) {
            return Some(found);
        }
        let mut by_letters: HashMap<String, Vec<(&str, usize, &Runs)>> = HashMap::new();
        let numbered = self.numbered.iter();
        let numbered = numbered
            .flat_map(|(before, all)| all.iter().map(move |(digits, runs)| (before, digits, runs)));
        for (before, digits, runs) in numbered {
            let alike = by_letters.entry(before.to_lowercase()).or_default();
            for (other, other_digits, other_runs) in alike.iter() {
                if let Some(number) = in_both(runs, other_runs) {
                    let mut names = [
                        format!("{before}{number:0digits$}"),
                        format!("{other}{number:0other_digits$}"),
                    ];
                    names.sort();
                    let [one, other] = names;
                    return Some((one, other));
                }
            }
            alike.push((before, *digits, runs));
        }
        let mut names: HashMap<String, &str> = HashMap::new();
        self.others.iter().find_map(|name| {
            let other = names.insert(name.to_lowercase(), name)?;
            Some((
                name.clone().min(other.to_owned()),
                name.as_str().max(other).to_owned(),
            ))
        })
    }

    /// A name and the same as a spreadsheet writes a number: `5` and `5.0`.
    fn with_decimals(&self) -> Option<(String, String)> {
        self.numbered.iter().find_map(|(before, all)| {
            let name = before.strip_suffix(['.', ','])?;
            let (letters, digits, number) = numbered(name)?;
            let plain = self.numbered.get(letters)?.get(&digits)?;
            let (zeros, _) = all.iter().find(|(_, runs)| holds(runs, 0))?;
            holds(plain, number).then(|| (name.to_owned(), format!("{before}{:0zeros$}", 0)))
        })
    }

    /// A number, and the same with words that people write beside it: `1`, and `piece 1`, `#1` or `1 of 3`.
    fn with_words(&self) -> Option<(String, String)> {
        let plain = self.numbered.get("")?;
        let is_known = |digits: &str| {
            let number = digits.parse().ok()?;
            plain.values().any(|runs| holds(runs, number)).then_some(())
        };
        let before = self.numbered.iter().find_map(|(before, all)| {
            if let Some((number, _)) = before
                .trim_end()
                .rsplit_once(' ')
                .filter(|(_, of)| is_of(of))
            {
                is_known(number)?;
                let of = all.values().flat_map(BTreeMap::keys).next()?;
                return Some((number.to_owned(), format!("{before}{of}")));
            }
            if before.is_empty() || !is_word_for_piece(before) {
                return None;
            }
            let (digits, number) = all.iter().find_map(|(digits, runs)| {
                let plain = plain.values();
                Some((
                    *digits,
                    plain.filter_map(|known| in_both(runs, known)).min()?,
                ))
            })?;
            Some((number.to_string(), format!("{before}{number:0digits$}")))
        });
        before.or_else(|| {
            let others = self.others.iter();
            let mut others = others.filter_map(|name| Some((name, in_our_digits(name)?)));
            others.find_map(|(name, number)| {
                is_known(&number)?;
                Some((number, name.clone()))
            })
        })
    }

    /// Takes a name; whether it was not there before.
    pub fn insert(&mut self, name: &str) -> bool {
        let Some((before, digits, number)) = numbered(name) else {
            return self.others.insert(name.to_owned());
        };
        let alike = match self.numbered.get_mut(before) {
            Some(alike) => alike,
            None => self.numbered.entry(before.to_owned()).or_default(),
        };
        let runs = alike.entry(digits).or_default();
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

/// Two of these names that differ in nothing but zeros or capital letters, if there are such.
pub fn alike<'a>(names: impl IntoIterator<Item = &'a str>) -> Option<(String, String)> {
    let mut seen = Seen::default();
    for name in names {
        seen.insert(name);
    }
    seen.alike()
}

/// Whether this stands between the number of a piece and how many there are.
fn is_of(text: &str) -> bool {
    text.eq_ignore_ascii_case("of") || text == "/"
}

/// Whether what stands before a number says no more than that it is the number of a piece.
fn is_word_for_piece(before: &str) -> bool {
    let word = before
        .trim()
        .trim_end_matches(['.', ':', '-'])
        .to_lowercase();
    let words = [
        "piece", "pc", "part", "sample", "no", "nr", "#", "n\u{ba}", "\u{2116}",
    ];
    words.contains(&word.as_str())
}

/// A number in the digits of another script or width, in those of ours.
fn in_our_digits(name: &str) -> Option<String> {
    // Arabic-Indic, extended Arabic-Indic, Devanagari and full-width digits (Unicode 15, each ten in their order).
    let zeros = ['\u{660}', '\u{6f0}', '\u{966}', '\u{ff10}'];
    let digit = |c: char| {
        let of = |zero: char| {
            u32::from(c)
                .checked_sub(u32::from(zero))
                .filter(|n| *n < 10)
        };
        c.to_digit(10)
            .or_else(|| zeros.into_iter().find_map(of))
            .and_then(|n| char::from_digit(n, 10))
    };
    name.chars().map(digit).collect()
}

fn holds(runs: &Runs, number: u64) -> bool {
    let below = runs.range(..=number).next_back();
    below.is_some_and(|(_, last)| number <= *last)
}

/// The least number that is in runs of both.
fn in_both(one: &Runs, other: &Runs) -> Option<u64> {
    let (few, many) = if one.len() < other.len() {
        (one, other)
    } else {
        (other, one)
    };
    few.iter().find_map(|(first, last)| {
        let (of, to) = many.range(..=last).next_back()?;
        (to >= first).then_some(*first.max(of))
    })
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
        let plain = &seen.numbered[""][&0];
        assert_eq!(plain.iter().collect::<Vec<_>>(), [(&1, &5), (&9, &10)]);
    }

    #[test]
    fn names_that_may_be_one_are_found() {
        let alike = |names: &[&str]| {
            let mut seen = Seen::default();
            for name in names {
                seen.insert(name);
            }
            seen.alike()
        };
        let found = |one: &str, other: &str| Some((one.to_owned(), other.to_owned()));
        assert_eq!(alike(&["1", "2", "3", "10", "P-1", "Q-1", "a", "b"]), None);
        assert_eq!(alike(&["01", "02", "10", "11"]), None);
        assert_eq!(alike(&["1", "2", "3", "02"]), found("02", "2"));
        assert_eq!(alike(&["P-7", "p-7"]), found("P-7", "p-7"));
        assert_eq!(alike(&["left", "Left"]), found("Left", "left"));
        assert_eq!(alike(&["4", "5", "6", "5.0"]), found("5", "5.0"));
        assert_eq!(alike(&["P-5", "P-5.00"]), found("P-5", "P-5.00"));
        assert_eq!(alike(&["4", "5.0", "6.0", "4.1"]), None);
        assert_eq!(alike(&["1", "2", "1 of 3"]), found("1", "1 of 3"));
        assert_eq!(alike(&["1", "2", "Piece 2"]), found("2", "Piece 2"));
        assert_eq!(alike(&["1", "no. 1"]), found("1", "no. 1"));
        assert_eq!(alike(&["7", "8", "\u{ff18}"]), found("8", "\u{ff18}"));
        assert_eq!(alike(&["1 of 3", "2 of 3", "3 of 3"]), None);
        assert_eq!(alike(&["piece 1", "piece 2", "P 1", "4"]), None);
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
