//! From what the micrometer compares to the size that the drawing states: over wires, on flanks, or as the feature has it.

use super::converted::Conversion;
use super::job::Job;
use super::model::Quantity;
use super::target::Target;
use super::{JobError, compression, contact_inputs, over_wires};

impl Conversion {
    /// Of a job; `reading` is the mean reading less the zero error and `repeatability` the standard deviation of one
    /// reading, where it is known; millimetres.
    pub fn of(
        job: &Job,
        target: &Target,
        reading: f64,
        repeatability: f64,
    ) -> Result<Self, JobError> {
        if let Some(wires) = &job.wires {
            return over_wires::conversion(job, wires, target, reading);
        }
        if let Some(feature) = &target.feature {
            let (measurand, with) = (feature.measurand(), job.with(target.limits));
            let mut conversion = measurand.conversion(&with, repeatability)?;
            if target.method >= 6 {
                let pressed = compression::compression(measurand.pressed(&with), &with);
                let pressed = pressed.map(|loss| (Quantity::Deformation, loss));
                conversion.inputs.extend(pressed);
            }
            return Ok(conversion);
        }
        let pressed = contact_inputs::flanks_pressed(job, target)?;
        Ok(Self {
            inputs: pressed
                .map(|loss| (Quantity::Deformation, loss))
                .into_iter()
                .collect(),
            ..Self::default()
        })
    }
}
