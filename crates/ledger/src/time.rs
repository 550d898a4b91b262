//! Times as they are stored and hashed.

use jiff::Timestamp;

/// The one form in which a time is hashed and stored: UTC with nine decimals, which also sorts as text.
pub(crate) fn written(at: Timestamp) -> String {
    format!("{at:.9}")
}
