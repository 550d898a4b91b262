//! The SHA-256 hash that names an entry or an event and chains it to the one before.

use std::fmt;
use std::str::FromStr;

/// The hash of an entry or an event: 32 bytes of SHA-256, written as 64 lower-case hexadecimal digits.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Hash([u8; 32]);

/// Text that is not a hash.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("a hash is 64 hexadecimal digits in lower case, not `{0}`")]
pub struct NotAHash(
    /// What was given, shortened to 80 characters.
    pub String,
);

impl Hash {
    /// What stands in the place of the previous hash in the first entry: all zeros.
    pub const NONE: Self = Self([0; 32]);

    /// From the 32 bytes of the hash.
    pub const fn from_bytes(bytes: [u8; 32]) -> Self {
        Self(bytes)
    }

    /// The 32 bytes of the hash.
    pub const fn as_bytes(&self) -> &[u8; 32] {
        &self.0
    }

    /// The first two bytes, which people read aloud after the sequence number (`17-9f3c`).
    pub(crate) const fn check(self) -> [u8; 2] {
        [self.0[0], self.0[1]]
    }
}

impl fmt::Display for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for Hash {
    type Err = NotAHash;

    /// Strict: there is one way to write a hash, so that a stored one cannot be altered unseen.
    fn from_str(text: &str) -> Result<Self, NotAHash> {
        let refused = || NotAHash(text.chars().take(80).collect());
        let (pairs, rest) = text.as_bytes().as_chunks::<2>();
        if pairs.len() != 32 || !rest.is_empty() {
            return Err(refused());
        }
        let mut bytes = [0; 32];
        for (byte, [high, low]) in bytes.iter_mut().zip(pairs) {
            *byte = digit(*high)
                .zip(digit(*low))
                .map(|(high, low)| high << 4 | low)
                .ok_or_else(refused)?;
        }
        Ok(Self(bytes))
    }
}

/// The value of a lower-case hexadecimal digit.
pub(crate) const fn digit(ascii: u8) -> Option<u8> {
    match ascii {
        b'0'..=b'9' => Some(ascii - b'0'),
        b'a'..=b'f' => Some(ascii - b'a' + 10),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_and_back() {
        let hash = Hash::from_bytes(std::array::from_fn(|i| u8::try_from(i * 8).unwrap()));
        assert_eq!(hash.to_string().parse(), Ok(hash));
        assert_eq!(Hash::NONE.to_string(), "0".repeat(64));
    }

    #[test]
    fn only_one_way_to_write_it() {
        for wrong in [
            "",
            "9f3c",
            &"A".repeat(64),
            &"g".repeat(64),
            &"0".repeat(65),
            &"é".repeat(32),
        ] {
            assert!(wrong.parse::<Hash>().is_err(), "{wrong}");
        }
    }
}
