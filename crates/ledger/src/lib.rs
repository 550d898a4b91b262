//! Append-only, hash-chained records.
