//! The state of a ledger in one line, to be kept outside it.

use std::fmt;
use std::str::FromStr;

use jiff::Timestamp;

use crate::{Hash, Mark, time};

/// How the line begins: its name and its version.
const BEGINNING: &str = "midflank-ledger-witness 1";

/// The newest entry at one moment. Kept on paper, in a mail or on another computer it shows later that no entry up to
/// that one was changed, removed or written anew, the last ones included.
///
/// It is written as one line:
///
/// ```text
/// midflank-ledger-witness 1 <number of entries> <hash of the last, 64 digits> <its time, RFC 3339 UTC, nine decimals>
/// ```
///
/// Entries are numbered from 1 without gaps, so the number of entries is also the number of the last one. There is one
/// way to write a witness; a line that differs in anything is refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Witness {
    /// How many entries there are, and the sequence number of the last.
    pub count: u64,
    /// The hash of the last.
    pub hash: Hash,
    /// When the last was recorded, by the caller's clock.
    pub at: Timestamp,
}

/// Text that is not a witness.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a witness; it reads `{BEGINNING} COUNT HASH TIME`")]
pub struct NotAWitness(
    /// What was given, shortened to 200 characters.
    pub String,
);

impl Witness {
    /// The place in the chain it tells of.
    pub fn mark(&self) -> Mark {
        Mark {
            sequence: self.count,
            hash: self.hash,
        }
    }
}

impl fmt::Display for Witness {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (count, hash, at) = (self.count, self.hash, time::written(self.at));
        write!(f, "{BEGINNING} {count} {hash} {at}")
    }
}

impl FromStr for Witness {
    type Err = NotAWitness;

    fn from_str(text: &str) -> Result<Self, NotAWitness> {
        read(text)
            .filter(|witness| witness.count > 0 && witness.to_string() == text)
            .ok_or_else(|| NotAWitness(text.chars().take(200).collect()))
    }
}

fn read(text: &str) -> Option<Witness> {
    let mut words = text.strip_prefix(BEGINNING)?.strip_prefix(' ')?.split(' ');
    Some(Witness {
        count: words.next()?.parse().ok()?,
        hash: words.next()?.parse().ok()?,
        at: words.next()?.parse().ok()?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const LINE: &str = "midflank-ledger-witness 1 17 \
        32dd0c5557e79e60401905e2128ff909792ceca6239af3339ede65aa68591bc5 2026-03-04T05:06:07.000000000Z";

    #[test]
    fn reads_its_own_line_back() {
        let witness: Witness = LINE.parse().unwrap();
        assert_eq!(witness.count, 17);
        assert_eq!(witness.to_string(), LINE);
    }

    #[test]
    fn refuses_any_other_line() {
        for wrong in [
            "",
            &LINE.replace(" 1 17", " 2 17"),
            &LINE.replace(" 17", " 017"),
            &LINE.replace(" 17", " 0"),
            &LINE.replace(" 17", " +17"),
            &LINE.replace("32dd", "32DD"),
            &LINE.replace(".000000000Z", "Z"),
            &LINE.replace("05:06:07.000000000Z", "06:06:07.000000000+01:00"),
            &format!("{LINE} "),
            &format!("{LINE}\n"),
            &format!("{LINE} 1"),
            &format!(" {LINE}"),
            LINE.split_at(60).0,
        ] {
            assert!(wrong.parse::<Witness>().is_err(), "{wrong}");
        }
    }
}
