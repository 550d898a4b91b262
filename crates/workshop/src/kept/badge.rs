//! The stored form of a badge, schema 1.

use super::kept;
use crate::badge as now;

/// The schema number of badges.
pub const BADGE: u32 = 1;

kept! { Badge of now::Badge { code: String, name: String } }
