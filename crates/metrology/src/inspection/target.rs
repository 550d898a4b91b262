//! What is measured, and between which limits it must lie.

use super::JobError;
use super::feature::Feature;
use super::job::{Characteristic, ThreadDiameter};
use super::suspicion::Form;
use crate::designation;
use crate::limits::{Limits, ThreadLimits};
use crate::message::{Coded, Value};
use crate::units::{Entered, LengthUnit};

/// The limits of one size, and where they come from.
#[derive(Clone, Debug)]
pub struct Target {
    /// What is measured, as it is stated: the designation of the thread, or what the drawing calls the size; empty where
    /// nobody said.
    pub name: String,
    /// The unit that the drawing states it in.
    pub unit: LengthUnit,
    /// Decimals that the limits are stated to.
    pub decimals: u32,
    /// Smallest and largest permitted size.
    pub limits: Limits,
    /// Which diameter of a thread.
    pub diameter: ThreadDiameter,
    /// The thread, where it is one.
    pub thread: Option<ThreadLimits>,
    /// The feature, where it is another than a thread.
    pub feature: Option<Feature>,
}

crate::messages! {
    /// What is measured.
    pub enum Measured "characteristic" {
        /// A diameter of a thread.
        Diameter "diameter" { thread: String as Text, diameter: ThreadDiameter as code },
        /// A size or feature, by what the drawing calls it.
        Named "named" { name: Value as itself },
    }
}

impl Target {
    /// What is measured.
    pub fn characteristic(&self) -> Measured {
        match &self.thread {
            Some(_) => Measured::Diameter {
                thread: self.name.clone(),
                diameter: self.diameter,
            },
            None => Measured::Named {
                name: self.own_name(),
            },
        }
    }

    /// What the drawing calls it, or what kind of size it is.
    fn own_name(&self) -> Value {
        match &self.feature {
            _ if !self.name.is_empty() => Value::text(&self.name),
            Some(feature) => Value::Code(feature.code()),
            None => Value::Code("characteristic.size".into()),
        }
    }

    /// How far the part itself may put readings apart.
    pub fn form(&self) -> Form {
        self.feature.as_ref().map_or(Form::Small, Feature::form)
    }

    /// Whether each place measured is another piece, as of crimps.
    pub const fn is_sampled(&self) -> bool {
        matches!(self.feature, Some(Feature::CrimpHeight(_)))
    }

    /// Looks the limits up, or takes those stated.
    pub fn of(characteristic: &Characteristic) -> Result<Self, JobError> {
        match characteristic {
            Characteristic::Thread {
                designation,
                diameter,
            } => {
                let thread = designation::parse(designation)?.limits()?;
                let limits = match diameter {
                    ThreadDiameter::PitchDiameter => thread.pitch_diameter,
                    ThreadDiameter::MajorDiameter => thread.major,
                    ThreadDiameter::MinorDiameter => thread.minor,
                };
                if let Some(taper) = &thread.taper {
                    let places = taper.positions.iter().map(|place| place.name);
                    return Err(JobError::TaperWithoutPosition {
                        designation: thread.designation,
                        diameter: *diameter,
                        positions: places.collect(),
                    });
                }
                if limits == Limits::default() {
                    return Err(JobError::NoLimits {
                        designation: thread.designation,
                        diameter: *diameter,
                    });
                }
                Ok(Self {
                    name: thread.designation.clone(),
                    unit: thread.unit,
                    decimals: if thread.unit == LengthUnit::Inch {
                        4
                    } else {
                        3
                    },
                    limits,
                    diameter: *diameter,
                    thread: Some(thread),
                    feature: None,
                })
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
                    unit: match first.unit() {
                        LengthUnit::Inch | LengthUnit::Microinch => LengthUnit::Inch,
                        LengthUnit::Millimetre | LengthUnit::Micrometre => LengthUnit::Millimetre,
                    },
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
                })
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A diameter of a taper thread belongs to a place; without one there is nothing to decide against.
    #[test]
    fn a_taper_thread_without_a_position_is_refused() {
        for designation in ["1/8-27 NPT", "R 1/4", "Rc 1/4"] {
            let refused = Target::of(&Characteristic::Thread {
                designation: designation.to_owned(),
                diameter: ThreadDiameter::PitchDiameter,
            });
            let Err(JobError::TaperWithoutPosition { positions, .. }) = refused else {
                panic!("{designation} has limits");
            };
            assert!(
                positions.contains(&crate::limits::Place::SmallEnd),
                "{positions:?}"
            );
        }
        let parallel = Target::of(&Characteristic::Thread {
            designation: "Rp 1/4".to_owned(),
            diameter: ThreadDiameter::PitchDiameter,
        });
        assert!(parallel.is_ok());
    }
}
