//! Rivals that no count of turns tells apart.

use super::advice::turns_to_tell_apart;
use super::candidate::{Candidate, Expected};
use super::evidence::Quantity;
use super::rank::{Ranked, WELL_WITHIN};

/// More than this would be a table, not a warning.
const MOST: usize = 6;

/// A rival of the same pitch, and what tells it apart.
#[derive(Clone, Debug, PartialEq)]
pub struct LookAlike {
    pub designation: String,
    /// What tells it from the first; empty where no measurement of these does.
    pub told_by: Vec<Quantity>,
    /// The same with its values, and what else tells them apart.
    pub differences: Vec<Difference>,
}

crate::messages! {
    /// What tells a rival from the first.
    pub enum Difference "thread-difference" {
        /// The angle between the flanks.
        FlankAngle "flank-angle" { other: f64 as Degrees, first: f64 as Degrees },
        /// Crest and root, with the flank angle.
        CrestAndRoot "crest-and-root",
        Taper "taper" { other: Growth as said, first: Growth as said },
        Diameter "diameter" { quantity: Quantity as code },
        /// Nothing that can be measured on the thread.
        Papers "papers",
        /// The radius of the root.
        RootRadius "root-radius",
    }
}

crate::messages! {
    /// How the diameter of a thread grows along it.
    pub enum Growth "growth" {
        /// Not at all.
        None "none",
        /// By one in so many.
        OneIn "one-in" { length: f64 as number },
    }
}

impl Growth {
    /// Of a taper as a ratio.
    pub fn of(taper: f64) -> Self {
        if taper.abs() < 1e-6 {
            Self::None
        } else {
            Self::OneIn {
                length: 1.0 / taper,
            }
        }
    }
}

/// Threads that fit everything measured and have the pitch of the first, most probable first.
pub(super) fn of_first(ranked: &[Ranked]) -> Vec<LookAlike> {
    let Some((first, others)) = ranked.split_first() else {
        return Vec::new();
    };
    if first.misfit > WELL_WITHIN {
        return Vec::new();
    }
    others
        .iter()
        .filter(|other| other.misfit <= WELL_WITHIN)
        .map(|other| other.candidate)
        .filter(|other| turns_to_tell_apart(first.candidate.pitch, other.pitch).is_none())
        .map(|other| told_apart(first.candidate, other))
        .take(MOST)
        .collect()
}

fn told_apart(first: &Candidate, other: &Candidate) -> LookAlike {
    let mut told_by = Vec::new();
    let mut differences = Vec::new();
    if (first.angle - other.angle).abs() >= 1.0 {
        told_by.push(Quantity::FlankAngle);
        differences.push(Difference::FlankAngle {
            other: other.angle,
            first: first.angle,
        });
        differences.push(Difference::CrestAndRoot);
    }
    if first.taper != other.taper {
        told_by.push(Quantity::Taper);
        differences.push(Difference::Taper {
            other: Growth::of(other.taper),
            first: Growth::of(first.taper),
        });
    }
    for quantity in [Quantity::Major, Quantity::PitchDiameter] {
        if apart(first.expected(quantity), other.expected(quantity)) {
            told_by.push(quantity);
            differences.push(Difference::Diameter { quantity });
        }
    }
    if differences.is_empty() {
        differences.push(if first.form == other.form {
            Difference::Papers
        } else {
            Difference::RootRadius
        });
    }
    LookAlike {
        designation: other.designation.clone(),
        told_by,
        differences,
    }
}

/// Whether two bands have nothing in common.
fn apart(a: Expected, b: Expected) -> bool {
    match (a, b) {
        (Expected::Band { any_class: a, .. }, Expected::Band { any_class: b, .. }) => {
            a.1 < b.0 || b.1 < a.0
        }
        _ => false,
    }
}
