//! What is measured, and between which limits it must lie.

use super::drawing_terms::{AtPlane, LimitsTold};
use super::features::Feature;
use super::of_thread::ThreadDiameter;
use super::spread::Turned;
use super::suspicion::Form;
use crate::coating::CoatingAssumed;
use crate::limits::{Limits, ThreadLimits};
use crate::message::{Coded, Value};
use crate::units::{Entered, Length, LengthUnit};

/// The number of the newest method; what a method before it does otherwise asks [`Target::method`].
pub const NEWEST: u32 = 8;

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
    /// The plane of a taper thread.
    pub plane: Option<AtPlane>,
    /// The crests of a thread, in the state that is measured: the major diameter of an external one, the minor of an internal one.
    pub crest: Limits,
    /// What a thread measured after coating had to keep before it.
    pub before_coating: Option<BeforeCoating>,
    /// What the limits of a thread rest on beside the standard of its designation.
    pub told: Vec<LimitsTold>,
    /// What was taken of a coating where the drawing leaves it open.
    pub assumed: Vec<CoatingAssumed>,
    /// By which method the job is computed, see [`crate::method`].
    pub method: u32,
}

/// The least-material limit of a diameter that holds before coating, of a thread that is measured after it.
#[derive(Clone, Copy, Debug)]
pub struct BeforeCoating {
    pub limit: Length,
    /// The thinnest coating stated.
    pub least: Length,
    /// By how much that one moves the diameter, millimetres.
    pub moves: f64,
}

crate::messages! {
    /// What is measured.
    pub enum Measured "characteristic" {
        /// A diameter of a thread.
        Diameter "diameter" { thread: String as Text, diameter: ThreadDiameter as code },
        /// The same at a plane of a taper thread, from its small end.
        DiameterAt "diameter-at" { thread: String as Text, diameter: ThreadDiameter as code, plane: Entered as Entered },
        /// A size or feature, by what the drawing calls it.
        Named "named" { name: Value as itself },
    }
}

impl Target {
    /// What is measured.
    pub fn characteristic(&self) -> Measured {
        match (&self.thread, &self.plane) {
            (Some(_), None) => Measured::Diameter {
                thread: self.name.clone(),
                diameter: self.diameter,
            },
            (Some(_), Some(plane)) => Measured::DiameterAt {
                thread: self.name.clone(),
                diameter: self.diameter,
                plane: plane.at.clone(),
            },
            (None, _) => Measured::Named {
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
        let feature = self.feature.as_ref();
        feature.map_or(Form::Small, |one| one.measurand().form(self.method))
    }

    /// Whether each place measured is another piece, as of crimps.
    pub fn is_sampled(&self) -> bool {
        self.feature
            .as_ref()
            .is_some_and(|one| one.kind().is_sampled())
    }

    /// Whether what is read is the wall of a tube, place by place around it.
    pub fn is_wall_around(&self) -> bool {
        let feature = self.feature.as_ref();
        feature.is_some_and(|one| one.measurand().turned() == Turned::Wall)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inspection::{Characteristic, JobError};

    /// A diameter of a taper thread belongs to a place; without one there is nothing to decide against.
    #[test]
    fn a_taper_thread_without_a_position_is_refused() {
        for designation in ["1/8-27 NPT", "R 1/4", "Rc 1/4"] {
            let refused = Target::of(&Characteristic::Thread {
                designation: designation.to_owned(),
                diameter: ThreadDiameter::PitchDiameter,
                terms: None,
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
            terms: None,
        });
        assert!(parallel.is_ok());
    }
}
