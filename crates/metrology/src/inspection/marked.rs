//! What makers mark and certificates list, as it was entered.

use serde::{Deserialize, Serialize};

use crate::units::Entered;

/// A pitch as marked on a pair of contacts: a length, or threads per inch (`24 tpi`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum PitchEntry {
    Length(Entered),
    /// A count with `tpi` behind it.
    PerInch(String),
}

/// One point of an error curve: error = indicated − true.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CurvePoint {
    /// Where on the scale.
    pub at: Entered,
    /// Indicated minus true.
    pub error: Entered,
}
