//! Where on the part readings are taken: around and along it, so that its form shows.

use metrology::inspection::Place;
use serde::{Deserialize, Serialize};

/// One place on the part.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Spot {
    /// Where along the axis.
    pub along: String,
    /// Turned by how much, degrees.
    pub angle: f64,
}

/// The stations along the part, from its head.
pub const STATIONS: [&str; 3] = ["near the head", "middle", "near the end"];

impl Spot {
    pub fn new(along: &str, angle: f64) -> Self {
        Self {
            along: along.to_owned(),
            angle,
        }
    }

    /// In words, as a report says it.
    pub fn words(&self) -> String {
        self.place(Vec::new()).words()
    }

    /// As a place of a job.
    pub fn place(&self, readings: Vec<metrology::units::Entered>) -> Place {
        Place {
            along: Some(self.along.clone()),
            angle: Some(self.angle),
            readings,
        }
    }
}

/// The usual plan: three stations, each at two angles a quarter turn apart; shows taper and ovality (common practice,
/// no source).
pub fn usual() -> Vec<Spot> {
    STATIONS
        .iter()
        .flat_map(|along| [0.0, 90.0].map(|angle| Spot::new(along, angle)))
        .collect()
}

/// Angles that later readings are taken at, between those before.
const LATER_ANGLES: [f64; 6] = [45.0, 135.0, 22.5, 67.5, 112.5, 157.5];

/// The next places beyond those of a plan: between the angles, station by station.
pub fn more(plan: &[Spot], count: usize) -> Vec<Spot> {
    LATER_ANGLES
        .iter()
        .flat_map(|angle| STATIONS.map(|along| Spot::new(along, *angle)))
        .filter(|spot| !plan.contains(spot))
        // When all of them are used up the first ones come again: repeats tell repeatability.
        .chain(usual().into_iter().cycle())
        .take(count)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn later_places_are_new_ones() {
        let mut plan = usual();
        plan.extend(more(&plan, 4));
        assert_eq!(plan.len(), 10);
        let words: std::collections::BTreeSet<String> = plan.iter().map(Spot::words).collect();
        assert_eq!(words.len(), 10, "{words:?}");
        assert_eq!(more(&plan, 50).len(), 50);
    }
}
