//! What is not what it should be, with both values.

/// One value that is not what follows from the documents.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// Where: `decision.verdict`, `budget[2].contribution`.
    pub path: String,
    /// As stored.
    pub stored: String,
    /// As computed.
    pub computed: String,
}
