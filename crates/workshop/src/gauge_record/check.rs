//! Check parts and the room: what is measured at the start of a shift, and what a thermometer showed.

use std::collections::BTreeSet;

use jiff::Timestamp;
use ledger::Subject;
use metrology::chart::{FEWEST, Individuals, Signal, signals};
use serde::{Deserialize, Serialize};

/// The subject that every check touches.
pub const CHECKS: (&str, &str) = ("gauge-room", "checks");
/// The subject that every record of the room touches.
pub const ROOM: (&str, &str) = ("gauge-room", "room");

/// The source of what was read by hand, as it is stored.
pub const BY_HAND: &str = "by hand";

/// A check part measured with a set-up.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Check {
    /// The check part.
    pub part: String,
    pub instrument: String,
    /// The pair of contacts.
    pub contacts: String,
    pub measured_at: Timestamp,
    /// Readings, as they were read.
    pub readings: Vec<String>,
    /// Their mean, millimetres.
    pub mean: f64,
}

/// A room as a thermometer showed it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Room {
    pub thermometer: String,
    /// By hand, or the name of a logger's file.
    pub source: String,
    pub values: Vec<RoomValue>,
}

/// One moment of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct RoomValue {
    pub at: Timestamp,
    pub celsius: f64,
    /// Relative humidity, percent.
    pub humidity: Option<f64>,
}

impl Check {
    pub fn subjects(&self) -> BTreeSet<Subject> {
        BTreeSet::from([
            Subject::new(CHECKS.0, CHECKS.1),
            Subject::new("check-part", self.part.trim()),
        ])
    }

    /// Whether it was made with this set-up.
    pub fn is_with(&self, instrument: &str, contacts: &str) -> bool {
        self.instrument.trim() == instrument.trim() && self.contacts.trim() == contacts.trim()
    }
}

impl Room {
    pub fn subjects(&self) -> BTreeSet<Subject> {
        BTreeSet::from([
            Subject::new(ROOM.0, ROOM.1),
            Subject::new("thermometer", self.thermometer.trim()),
        ])
    }
}

/// What the chart of a check part says of its last check.
#[derive(Clone, Debug, PartialEq)]
pub struct OnChart {
    pub n: usize,
    /// From the first eight checks; none before there are so many.
    pub limits: Option<Individuals>,
    pub signals: Vec<(usize, Signal)>,
    /// Whether the last check is beyond a limit.
    pub out: bool,
}

/// The chart of checks of one part with one set-up, millimetres; `step` is the least that limits lie from the mean.
pub fn chart(means: &[f64], step: f64) -> OnChart {
    let base = means.get(..FEWEST);
    let limits = base.and_then(Individuals::of).map(|limits| {
        let reach = (limits.upper - limits.mean).max(step);
        Individuals {
            mean: limits.mean,
            lower: limits.mean - reach,
            upper: limits.mean + reach,
        }
    });
    let signals = signals(means, limits);
    let last = means.len().saturating_sub(1);
    let out = signals
        .iter()
        .any(|(at, signal)| *at == last && *signal == Signal::Beyond);
    OnChart {
        n: means.len(),
        limits,
        signals,
        out,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_check_beyond_its_limits_is_out() {
        let mut means = vec![5.000, 5.001, 5.000, 5.001, 5.000, 5.001, 5.000, 5.001];
        assert!(!chart(&means, 0.0).out);
        means.push(5.009);
        assert!(chart(&means, 0.0).out);
        // A good check after it lets the set-up be used again.
        means.push(5.000);
        assert!(!chart(&means, 0.0).out);
        assert_eq!(chart(&means[..7], 0.0).limits, None);
    }
}
