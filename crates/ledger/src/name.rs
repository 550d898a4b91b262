//! The ways people name an entry.

use std::fmt;
use std::str::FromStr;

use crate::Hash;
use crate::hash::digit;

/// A place in the chain: a sequence number and the hash of the entry there.
///
/// Written down outside the ledger (printed on a report) it proves later that everything up to that entry
/// is as it was.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Mark {
    /// The place of the entry.
    pub sequence: u64,
    pub hash: Hash,
}

impl Mark {
    /// The short name of the entry there.
    pub fn id(self) -> EntryId {
        EntryId {
            sequence: self.sequence,
            check: self.hash.check(),
        }
    }
}

/// The name of an entry, short enough to read aloud and type: `17-9f3c`.
///
/// The sequence number and the first four digits of the hash. The number alone finds the entry; the four
/// digits tell when the number was misread, or is from another ledger.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct EntryId {
    sequence: u64,
    check: [u8; 2],
}

impl EntryId {
    /// The place of the entry in its ledger.
    pub const fn sequence(self) -> u64 {
        self.sequence
    }

    /// From its two parts, the second as four lower-case hexadecimal digits.
    pub(crate) fn from_parts(sequence: u64, check: &str) -> Option<Self> {
        let &[a, b, c, d] = check.as_bytes() else {
            return None;
        };
        let byte = |high, low| Some(digit(high)? << 4 | digit(low)?);
        Some(Self {
            sequence,
            check: [byte(a, b)?, byte(c, d)?],
        })
    }

    /// The four digits after the number.
    pub fn check_digits(self) -> String {
        let [a, b] = self.check;
        format!("{a:02x}{b:02x}")
    }
}

impl fmt::Display for EntryId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}-{}", self.sequence, self.check_digits())
    }
}

/// The least digits of a hash taken as a name.
const LEAST_PREFIX: usize = 4;

/// An entry as a person names it.
///
/// | written | means |
/// |---|---|
/// | `17`, `#17` | the 17th entry |
/// | `17-9f3c` | the 17th entry, whose hash begins with `9f3c` (or more digits of it) |
/// | `9f3c62...` | the entry whose hash begins so: four digits at least |
///
/// Digits alone are always a sequence number, unless there are 64 of them.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct EntryRef {
    pub(crate) sequence: Option<u64>,
    /// Lower-case hexadecimal digits that the hash begins with; may be empty beside a sequence.
    pub(crate) prefix: String,
}

/// Text that names no entry.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "`{0}` is not the name of an entry; write its number (17), its number and check (17-9f3c), or at \
     least four digits of its hash (9f3c62)"
)]
pub struct NotAnEntryRef(
    /// What was given, shortened to 80 characters.
    pub String,
);

impl EntryRef {
    /// Whether it names the entry at this place.
    pub fn names(&self, mark: &Mark) -> bool {
        self.sequence
            .is_none_or(|sequence| sequence == mark.sequence)
            && mark.hash.to_string().starts_with(&self.prefix)
    }
}

impl From<u64> for EntryRef {
    fn from(sequence: u64) -> Self {
        Self {
            sequence: Some(sequence),
            prefix: String::new(),
        }
    }
}

impl From<EntryId> for EntryRef {
    fn from(id: EntryId) -> Self {
        Self {
            sequence: Some(id.sequence),
            prefix: id.check_digits(),
        }
    }
}

impl From<Hash> for EntryRef {
    fn from(hash: Hash) -> Self {
        Self {
            sequence: None,
            prefix: hash.to_string(),
        }
    }
}

impl From<Mark> for EntryRef {
    fn from(mark: Mark) -> Self {
        Self {
            sequence: Some(mark.sequence),
            prefix: mark.hash.to_string(),
        }
    }
}

impl fmt::Display for EntryRef {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.sequence, self.prefix.as_str()) {
            (Some(sequence), "") => write!(f, "{sequence}"),
            (Some(sequence), prefix) => write!(f, "{sequence}-{prefix}"),
            (None, prefix) => f.write_str(prefix),
        }
    }
}

impl FromStr for EntryRef {
    type Err = NotAnEntryRef;

    fn from_str(text: &str) -> Result<Self, NotAnEntryRef> {
        let refused = || NotAnEntryRef(text.chars().take(80).collect());
        let written = text.trim().to_ascii_lowercase();
        let written = written.strip_prefix('#').unwrap_or(&written);
        let (number, hash) = match written.split_once('-') {
            Some((number, hash)) => (Some(number), hash),
            None if is_number(written) && written.len() < 64 => (Some(written), ""),
            None => (None, written),
        };
        let sequence = match number {
            Some(number) if is_number(number) => Some(number.parse().map_err(|_| refused())?),
            Some(_) => return Err(refused()),
            None => None,
        };
        let bare_number = sequence.is_some() && !written.contains('-');
        let least = if sequence.is_some() { 1 } else { LEAST_PREFIX };
        let fits =
            (least..=64).contains(&hash.len()) && hash.bytes().all(|b| b.is_ascii_hexdigit());
        if !bare_number && !fits {
            return Err(refused());
        }
        Ok(Self {
            sequence,
            prefix: hash.to_owned(),
        })
    }
}

fn is_number(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Option<(Option<u64>, String)> {
        let read: EntryRef = text.parse().ok()?;
        Some((read.sequence, read.prefix))
    }

    #[test]
    fn reads_the_forms_people_write() {
        assert_eq!(read("17"), Some((Some(17), String::new())));
        assert_eq!(read(" #17 "), Some((Some(17), String::new())));
        assert_eq!(read("17-9F3C"), Some((Some(17), "9f3c".into())));
        assert_eq!(read("9f3c"), Some((None, "9f3c".into())));
        assert_eq!(read(&"1".repeat(64)), Some((None, "1".repeat(64))));
    }

    #[test]
    fn refuses_the_rest() {
        let long = "a".repeat(65);
        for wrong in [
            "",
            "-",
            "17-",
            "-9f3c",
            "9f3",
            "x",
            "17-xy",
            "9f-3c",
            &long,
            &"9".repeat(30),
        ] {
            assert_eq!(read(wrong), None, "{wrong}");
        }
    }
}
