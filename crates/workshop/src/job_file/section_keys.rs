//! The keys of a coating in `[measure]`.

use metrology::inspection::CoatingState;
use serde::Deserialize;

use super::typed::Typed;

/// `[measure.coating]`.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CoatingKeys {
    pub thickness: Typed,
    pub state: Option<CoatingState>,
    pub limits_hold: Option<CoatingState>,
}
