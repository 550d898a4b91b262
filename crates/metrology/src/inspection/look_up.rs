//! From what is measured to the limits that it must keep.

use super::JobError;
use super::drawing_terms::Terms;
use super::job::Characteristic;
use super::of_thread::ThreadDiameter;
use super::target::{NEWEST, Target};
use super::terms;
use crate::designation::parse;
use crate::limits::Limits;
use crate::units::Entered;

impl Target {
    /// Looks the limits up, or takes those stated.
    pub fn of(characteristic: &Characteristic) -> Result<Self, JobError> {
        if let Characteristic::Thread { designation, .. } = characteristic {
            parse(designation)?;
        }
        Self::recorded(characteristic)
    }

    /// The same of a record, with a designation that is refused today but was read then.
    pub fn recorded(characteristic: &Characteristic) -> Result<Self, JobError> {
        match characteristic {
            Characteristic::Thread {
                designation,
                diameter,
                terms,
            } => {
                let nothing = Terms::default();
                terms::target(designation, *diameter, terms.as_deref().unwrap_or(&nothing))
            }
            Characteristic::Stated { name, lower, upper }
            | Characteristic::Feature {
                name, lower, upper, ..
            } => {
                let first = lower
                    .as_ref()
                    .or(upper.as_ref())
                    .ok_or(JobError::NoStatedLimits)?;
                if let (Some(lower), Some(upper)) = (lower, upper)
                    && lower.value() > upper.value()
                {
                    return Err(JobError::LimitsReversed {
                        lower: lower.clone(),
                        upper: upper.clone(),
                    });
                }
                Ok(Self {
                    name: name.clone(),
                    unit: first.unit().of_drawing(),
                    decimals: [lower, upper]
                        .into_iter()
                        .flatten()
                        .map(Entered::decimals)
                        .max()
                        .unwrap_or(3),
                    limits: Limits {
                        lower: lower.as_ref().map(Entered::value),
                        upper: upper.as_ref().map(Entered::value),
                    },
                    diameter: ThreadDiameter::default(),
                    thread: None,
                    feature: match characteristic {
                        Characteristic::Feature { feature, .. } => Some((**feature).clone()),
                        _ => None,
                    },
                    plane: None,
                    crest: Limits::default(),
                    before_coating: None,
                    told: Vec::new(),
                    assumed: Vec::new(),
                    method: NEWEST,
                })
            }
        }
    }
}
