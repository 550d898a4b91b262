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
    /// The rival.
    pub designation: String,
    /// What tells it from the first; empty where no measurement of these does.
    pub told_by: Vec<Quantity>,
    /// The same in words.
    pub words: String,
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
    let mut words = Vec::new();
    if (first.angle - other.angle).abs() >= 1.0 {
        told_by.push(Quantity::FlankAngle);
        words.push(format!(
            "flank angle, {} degrees against {}",
            other.angle, first.angle
        ));
        words.push("form of crest and root".to_owned());
    }
    let word = |taper: f64| {
        if taper == 0.0 {
            "none".to_owned()
        } else {
            format!("1:{}", 1.0 / taper)
        }
    };
    if first.taper != other.taper {
        told_by.push(Quantity::Taper);
        words.push(format!(
            "taper, {} against {}",
            word(other.taper),
            word(first.taper)
        ));
    }
    for quantity in [Quantity::Major, Quantity::PitchDiameter] {
        if apart(first.expected(quantity), other.expected(quantity)) {
            told_by.push(quantity);
            words.push(quantity.to_string());
        }
    }
    if words.is_empty() {
        words.push(if first.form == other.form {
            "nothing on the thread: its papers".to_owned()
        } else {
            "the radius of the root alone, and its papers".to_owned()
        });
    }
    LookAlike {
        designation: other.designation.clone(),
        told_by,
        words: words.join("; "),
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
