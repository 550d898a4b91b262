//! The stored form of a decision on a nonconforming piece, schema 1.

use super::kept;
use crate::nonconformance as now;

/// The schema number of these decisions.
pub const NONCONFORMANCE: u32 = 1;

kept! { Decision of now::Decision {
    number: String,
    lot: String,
    piece: String,
    shown_by: Vec<ShownBy>,
    disposition: Disposition,
    concession: Option<String>,
    confirmed_by: Option<String>,
    note: Option<String>,
} }

kept! { ShownBy of now::ShownBy { characteristic: String, entry: String } }

kept! { Disposition of enum now::Disposition { Held, Rework, Repair, UseAsIs, Return, Scrap } }
