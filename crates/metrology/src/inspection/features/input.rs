//! Inputs of the model that a feature adds.

use crate::inspection::note::Named;
use crate::message::{Code, Say};
use crate::uncertainty::Distribution;
use crate::units::Entered;

/// An input under a name of its own, with where its numbers come from.
pub fn input(
    name: impl Into<Code>,
    estimate: f64,
    distribution: Distribution,
    note: impl Say,
) -> Named {
    Named::new(name.into(), estimate, distribution).noted(note)
}

/// A rectangular distribution.
pub fn rectangular(half_width: f64) -> Distribution {
    Distribution::Rectangular { half_width }
}

/// Half of an expanded uncertainty of k = 2.
pub fn stated(expanded: &Entered) -> Distribution {
    Distribution::Normal {
        standard_uncertainty: expanded.value().mm() / 2.0,
    }
}
