//! What comes of a transaction.

/// What a transaction did, before it is committed.
pub(super) enum Done<T> {
    /// It added something; the statement finds the key of the transaction where it was committed.
    Added {
        answer: T,
        look_up: String,
        key: String,
    },
    /// There was nothing to add.
    Nothing(T),
}
