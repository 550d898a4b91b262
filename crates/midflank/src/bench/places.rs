//! Where on the part readings are taken: around and along it, so that its form shows.

use metrology::inspection::{self, Feature, Place, Target};
use serde::{Deserialize, Serialize};

/// One place on the part.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Spot {
    /// Where along the axis, or which of several.
    #[serde(default)]
    pub along: Option<String>,
    /// Turned by how much, degrees.
    #[serde(default)]
    pub angle: Option<f64>,
}

/// The stations along a screw, from its head.
pub const STATIONS: [&str; 3] = ["near the head", "middle", "near the end"];
/// The stations along anything else.
pub const ALONG: [&str; 3] = ["near one end", "middle", "near the other end"];
const ACROSS_A_WEB: [&str; 3] = ["front", "middle", "back"];
/// What several small parts, or places that look all alike, are counted as.
const SAMPLE: &str = "sample";
const SPOT: &str = "spot";

impl Spot {
    pub fn new(along: &str, angle: f64) -> Self {
        Self {
            along: Some(along.to_owned()),
            angle: Some(angle),
        }
    }

    pub fn along(along: impl Into<String>) -> Self {
        Self {
            along: Some(along.into()),
            angle: None,
        }
    }

    const fn around(angle: f64) -> Self {
        Self {
            along: None,
            angle: Some(angle),
        }
    }

    /// In words, as a report says it.
    pub fn words(&self) -> String {
        self.place(Vec::new()).words()
    }

    /// As a place of a job.
    pub fn place(&self, readings: Vec<metrology::units::Entered>) -> Place {
        Place {
            along: self.along.clone(),
            angle: self.angle,
            readings,
        }
    }
}

/// Each station at two angles a quarter turn apart; shows taper and ovality (common practice, no source).
fn stations<'a>(along: impl IntoIterator<Item = &'a str>) -> Vec<Spot> {
    along
        .into_iter()
        .flat_map(|along| [0.0, 90.0].map(|angle| Spot::new(along, angle)))
        .collect()
}

fn counted(what: &str, from: usize, count: usize) -> Vec<Spot> {
    (from..from + count)
        .map(|number| Spot::along(format!("{what} {number}")))
        .collect()
}

/// The usual plan for what is measured: as many readings as [`inspection::places`] asks for, and where. `sections` are
/// distances along a plain part, where they were stated.
pub fn usual(target: &Target, sections: &[String]) -> Vec<Spot> {
    let wanted = inspection::places(target);
    match &target.feature {
        None if target.thread.is_some() => stations(STATIONS),
        None => stations(ALONG),
        Some(Feature::PlainDiameter(_)) if sections.is_empty() => stations(ALONG),
        Some(Feature::PlainDiameter(_)) => stations(sections.iter().map(String::as_str)),
        Some(Feature::BoreToFlat(_)) => ACROSS_A_WEB.map(Spot::along).to_vec(),
        Some(Feature::Keyseat(_)) => ALONG.map(Spot::along).to_vec(),
        Some(Feature::CrimpHeight(_)) => counted(SAMPLE, 1, wanted.count),
        Some(_) => match wanted.step {
            Some(step) => (0..wanted.count)
                .map(|index| Spot::around(f64::from(step) * index as f64))
                .collect(),
            None => counted(SPOT, 1, wanted.count),
        },
    }
}

/// Angles that later readings are taken at, between those before.
const LATER_ANGLES: [f64; 6] = [45.0, 135.0, 22.5, 67.5, 112.5, 157.5];

/// The next places beyond those of a plan: the next samples, or between the angles, station by station.
pub fn more(plan: &[Spot], count: usize) -> Vec<Spot> {
    let counts_on = [SAMPLE, SPOT].into_iter().find(|what| {
        plan.iter().all(|spot| {
            spot.along
                .as_ref()
                .is_some_and(|along| along.starts_with(what))
        })
    });
    if let Some(what) = counts_on.filter(|_| !plan.is_empty()) {
        return counted(what, plan.len() + 1, count);
    }
    let turns = plan.iter().any(|spot| spot.angle.is_some());
    let mut along: Vec<&Option<String>> = Vec::new();
    for spot in plan {
        if !along.contains(&&spot.along) {
            along.push(&spot.along);
        }
    }
    LATER_ANGLES
        .iter()
        .filter(|_| turns)
        .flat_map(|angle| {
            along.iter().map(|along| Spot {
                along: (*along).clone(),
                angle: Some(*angle),
            })
        })
        .filter(|spot| !plan.contains(spot))
        // When all of them are used up the first ones come again: repeats tell repeatability.
        .chain(plan.iter().cloned().cycle())
        .take(count)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn later_places_are_new_ones() {
        let mut plan = stations(STATIONS);
        plan.extend(more(&plan, 4));
        assert_eq!(plan.len(), 10);
        let words: std::collections::BTreeSet<String> = plan.iter().map(Spot::words).collect();
        assert_eq!(words.len(), 10, "{words:?}");
        assert_eq!(more(&plan, 50).len(), 50);
        let samples = counted(SAMPLE, 1, 5);
        assert_eq!(more(&samples, 2), counted(SAMPLE, 6, 2));
        let along = ALONG.map(Spot::along);
        assert_eq!(more(&along, 2), along[..2]);
        assert_eq!(more(&[], 2), []);
    }

    /// Jobs of earlier days are read as they were written.
    #[test]
    fn a_place_with_both_reads_as_before() {
        let spot: Spot = serde_json::from_str(r#"{"along":"middle","angle":90.0}"#).unwrap();
        assert_eq!(spot, Spot::new("middle", 90.0));
        assert_eq!(spot.words(), "middle, 90°");
    }
}
