#![doc = include_str!("../../../docs/ledger-encoding.md")]

use jiff::Timestamp;
use sha2::{Digest, Sha256};

use crate::{Draft, EntryHash};

/// The name and version of the rule, hashed as the first field of every entry.
pub const RULE: &str = "midflank-ledger-1";

/// The exact bytes that are hashed for a draft at a place in the chain.
pub fn bytes(sequence: u64, previous: &EntryHash, draft: &Draft) -> Vec<u8> {
    let mut out = Vec::new();
    write(sequence, previous, draft, &mut |part| {
        out.extend_from_slice(part);
    });
    out
}

/// The hash of a draft at a place in the chain.
pub fn hash(sequence: u64, previous: &EntryHash, draft: &Draft) -> EntryHash {
    let mut hasher = Sha256::new();
    write(sequence, previous, draft, &mut |part| hasher.update(part));
    EntryHash::from_bytes(hasher.finalize().into())
}

/// The one form in which a time is hashed and stored: UTC with nine decimals, which also sorts as text.
pub(crate) fn time(at: Timestamp) -> String {
    format!("{at:.9}")
}

/// Hands the fields to `sink` in their fixed order, each behind its length.
fn write(sequence: u64, previous: &EntryHash, draft: &Draft, sink: &mut dyn FnMut(&[u8])) {
    let mut field = |text: &str| {
        // usize is at most 64 bits on every platform Rust knows.
        sink(&(text.len() as u64).to_be_bytes());
        sink(text.as_bytes());
    };
    let (amended, reason) = match &draft.amends {
        Some(amendment) => (amendment.entry.to_string(), amendment.reason.as_str()),
        None => (String::new(), ""),
    };
    field(RULE);
    field(&sequence.to_string());
    field(&previous.to_string());
    field(&time(draft.recorded_at));
    field(&draft.kind);
    field(&draft.person);
    field(&draft.program);
    field(&draft.inputs);
    field(&draft.results);
    field(&draft.editions);
    field(&amended);
    field(reason);
    field(&draft.subjects.len().to_string());
    for subject in &draft.subjects {
        field(&subject.role);
        field(&subject.identity);
    }
}
