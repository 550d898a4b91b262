//! What a reading becomes a size by: the last step, as each kind of measurement fills it.

use super::JobError;
use super::model::{Comparison, Quantity};
use super::note::Named;
use crate::limits::Limits;
use crate::message::Message;
use crate::units::Length;

/// The last step from reading to size.
#[derive(Clone, Debug)]
pub struct Conversion {
    /// Factor of the model.
    pub model: Comparison,
    /// Inputs beside those of every job.
    pub inputs: Vec<(Quantity, Named)>,
    /// What it is; `None` where the reading is the size.
    pub formula: Option<Message>,
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

impl Conversion {
    /// Limits of size as the micrometer would show them, before zero error.
    pub fn as_read(&self, limits: Limits) -> Result<Limits, JobError> {
        let estimate = |quantity| {
            self.inputs
                .iter()
                .filter(|(of, _)| *of == quantity)
                .map(|(_, of)| of.input.estimate)
                .sum::<f64>()
        };
        let added = estimate(Quantity::ContactGeometry) + estimate(Quantity::Deformation);
        let beside = estimate(Quantity::Companion) + estimate(Quantity::SecondCompanion);
        if self.model.scale == 1.0 && added == 0.0 && beside == 0.0 {
            return Ok(limits);
        }
        let back = |limit: Option<Length>| {
            limit
                .map(|limit| Length::nearest_mm((limit.mm() - beside) / self.model.scale - added))
                .transpose()
        };
        let (lower, upper) = (back(limits.lower)?, back(limits.upper)?);
        Ok(if self.model.scale < 0.0 {
            Limits {
                lower: upper,
                upper: lower,
            }
        } else {
            Limits { lower, upper }
        })
    }
}
