//! What a reading becomes a size by: the last step, as each kind of measurement fills it.

use super::model::{Comparison, Quantity};
use super::note::{Formula, Named};

/// The last step from reading to size.
#[derive(Clone, Debug)]
pub struct Conversion {
    /// Factor of the model.
    pub model: Comparison,
    /// Inputs beside those of every job.
    pub inputs: Vec<(Quantity, Named)>,
    /// What it is; `None` where the reading is the size.
    pub formula: Option<Formula>,
    /// Whether one place on its own has a size.
    pub by_place: bool,
}

impl Default for Conversion {
    fn default() -> Self {
        Self {
            model: Comparison::DIRECT,
            inputs: Vec::new(),
            formula: None,
            by_place: true,
        }
    }
}
