//! Where on the part readings are taken: around and along it, so that its form shows.

use metrology::inspection::{self, Feature, Place, Target};

use crate::say;

/// One place on the part.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot {
    /// Where along the axis, or which of several.
    pub along: Option<String>,
    /// Turned by how much, degrees.
    pub angle: Option<f64>,
}

/// The stations along a screw, from its head.
pub fn along_a_screw() -> [&'static str; 3] {
    [
        say!("place.near-the-head"),
        say!("place.middle"),
        say!("place.near-the-end"),
    ]
}

/// The stations along anything else.
pub fn along_a_part() -> [&'static str; 3] {
    [
        say!("place.near-one-end"),
        say!("place.middle"),
        say!("place.near-the-other-end"),
    ]
}

fn across_a_web() -> [&'static str; 3] {
    [
        say!("place.front"),
        say!("place.middle"),
        say!("place.back"),
    ]
}

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

/// How places without an angle are counted.
#[derive(Clone, Copy)]
enum Counted {
    /// Several small parts.
    Samples,
    /// Places that look all alike.
    Spots,
}

/// How the places of what is measured are counted; none where they have stations or angles.
fn counts(target: &Target) -> Option<Counted> {
    match &target.feature {
        Some(Feature::CrimpHeight(_)) => Some(Counted::Samples),
        None | Some(Feature::PlainDiameter(_) | Feature::BoreToFlat(_) | Feature::Keyseat(_)) => {
            None
        }
        Some(_) => match inspection::places(target).step {
            Some(_) => None,
            None => Some(Counted::Spots),
        },
    }
}

fn counted(how: Counted, from: usize, count: usize) -> Vec<Spot> {
    (from..from + count)
        .map(|number| {
            Spot::along(match how {
                Counted::Samples => say!("place.sample", number = number),
                Counted::Spots => say!("place.spot", number = number),
            })
        })
        .collect()
}

/// The usual plan for what is measured: as many readings as [`inspection::places`] asks for, and where. `sections` are
/// distances along a plain part, where they were stated.
pub fn usual(target: &Target, sections: &[String]) -> Vec<Spot> {
    let wanted = inspection::places(target);
    if let Some(how) = counts(target) {
        return counted(how, 1, wanted.count);
    }
    match &target.feature {
        None if target.thread.is_some() => stations(along_a_screw()),
        None => stations(along_a_part()),
        Some(Feature::PlainDiameter(_)) if sections.is_empty() => stations(along_a_part()),
        Some(Feature::PlainDiameter(_)) => stations(sections.iter().map(String::as_str)),
        Some(Feature::BoreToFlat(_)) => across_a_web().map(Spot::along).to_vec(),
        Some(Feature::Keyseat(_)) => along_a_part().map(Spot::along).to_vec(),
        Some(_) => (0..wanted.count)
            .map(|index| Spot::around(f64::from(wanted.step.unwrap_or_default()) * index as f64))
            .collect(),
    }
}

/// Angles that later readings are taken at, between those before.
const LATER_ANGLES: [f64; 6] = [45.0, 135.0, 22.5, 67.5, 112.5, 157.5];

/// The next places beyond those of a plan: the next samples, or between the angles, station by station.
pub fn more(target: Option<&Target>, plan: &[Spot], count: usize) -> Vec<Spot> {
    if let Some(how) = target.and_then(counts).filter(|_| !plan.is_empty()) {
        return counted(how, plan.len() + 1, count);
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
    use crate::kept;

    #[test]
    fn later_places_are_new_ones() {
        let mut plan = stations(along_a_screw());
        plan.extend(more(None, &plan, 4));
        assert_eq!(plan.len(), 10);
        let words: std::collections::BTreeSet<String> = plan.iter().map(Spot::words).collect();
        assert_eq!(words.len(), 10, "{words:?}");
        assert_eq!(more(None, &plan, 50).len(), 50);
        let along = along_a_part().map(Spot::along);
        assert_eq!(more(None, &along, 2), along[..2]);
        assert_eq!(more(None, &[], 2), []);
    }

    #[test]
    fn samples_and_spots_are_counted_on() {
        assert_eq!(counted(Counted::Samples, 6, 2).len(), 2);
        assert_ne!(
            counted(Counted::Samples, 1, 1),
            counted(Counted::Spots, 1, 1)
        );
    }

    /// Jobs of earlier days are read as they were written.
    #[test]
    fn a_place_with_both_reads_as_before() {
        let stored = r#"{"schema":1,"content":{"along":"middle","angle":90.0}}"#;
        let spot: Spot = kept::read(kept::EVENT, stored).unwrap();
        assert_eq!(spot, Spot::new("middle", 90.0));
        assert_eq!(spot.words(), "middle, 90°");
    }
}
