//! Where on the part readings are taken: around and along it, so that its form shows.

use metrology::inspection::{self, Laid, Place, PlaceName, Target};
use metrology::message::Value;
use metrology::units::Entered;

use crate::given;

/// One place on the part.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Spot {
    /// Where along the axis, or which of several.
    pub along: Option<Value>,
    /// Turned by how much, degrees.
    pub angle: Option<f64>,
}

metrology::codes! {
    /// The usual places along a part.
    pub enum Station "place" {
        /// Of a screw.
        NearTheHead "near-the-head",
        /// Between two others.
        Middle "middle",
        /// Of a screw, away from its head.
        NearTheEnd "near-the-end",
        /// Of a part without a head.
        NearOneEnd "near-one-end",
        /// The end across from it.
        NearTheOtherEnd "near-the-other-end",
        /// Of a bore.
        Front "front",
        /// Of a bore.
        Back "back",
    }
}

metrology::messages! {
    /// Places that are counted.
    pub enum Numbered "place" {
        /// One of several small parts.
        Sample "sample" { number: usize as count },
        /// One of several places that look all alike.
        Spot "spot" { number: usize as count },
    }
}

/// From the head of a screw.
pub const ALONG_A_SCREW: [Station; 3] =
    [Station::NearTheHead, Station::Middle, Station::NearTheEnd];
/// Along anything else.
pub const ALONG_A_PART: [Station; 3] = [
    Station::NearOneEnd,
    Station::Middle,
    Station::NearTheOtherEnd,
];
const ACROSS_A_WEB: [Station; 3] = [Station::Front, Station::Middle, Station::Back];

impl From<Station> for Value {
    fn from(station: Station) -> Self {
        Self::code(station)
    }
}

impl Spot {
    pub fn new(along: impl Into<Value>, angle: f64) -> Self {
        Self {
            along: Some(along.into()),
            angle: Some(angle),
        }
    }

    pub fn along(along: impl Into<Value>) -> Self {
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

    /// As it is written in a plan or a file: `near the head 90°`, `middle`, `120 deg`.
    pub fn named(text: &str) -> Self {
        let bare = text.strip_suffix('°').or_else(|| text.strip_suffix("deg"));
        let angle = bare.and_then(|bare| {
            let bare = bare.trim_end();
            let (before, number) = bare.rsplit_once(' ').unwrap_or(("", bare));
            // Adding nothing makes one zero of 0 and -0.
            let angle = given::ANGLE.read("place", number).ok()? + 0.0;
            Some((before.trim_end(), angle))
        });
        let (along, angle) = angle.map_or((text, None), |(before, angle)| (before, Some(angle)));
        Self {
            along: (!along.is_empty()).then(|| Value::text(along)),
            angle,
        }
    }

    /// What a report calls it.
    pub fn name(&self) -> Option<PlaceName> {
        self.place(Vec::new()).name()
    }

    /// As a place of a job.
    pub fn place(&self, readings: Vec<Entered>) -> Place {
        Place {
            along: self.along.clone(),
            angle: self.angle,
            readings,
        }
    }
}

/// Each station at two angles a quarter turn apart; shows taper and ovality (common practice, no source).
fn stations<T: Into<Value>>(along: impl IntoIterator<Item = T>) -> Vec<Spot> {
    along
        .into_iter()
        .map(Into::into)
        .flat_map(|along: Value| [0.0, 90.0].map(|angle| Spot::new(along.clone(), angle)))
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
    match inspection::places(target).laid {
        Laid::Samples => Some(Counted::Samples),
        Laid::Spots => Some(Counted::Spots),
        Laid::Stations | Laid::Along | Laid::FrontToBack | Laid::Around => None,
    }
}

fn counted(how: Counted, from: usize, count: usize) -> Vec<Spot> {
    (from..from + count)
        .map(|number| {
            Spot::along(Value::said(match how {
                Counted::Samples => Numbered::Sample { number },
                Counted::Spots => Numbered::Spot { number },
            }))
        })
        .collect()
}

/// The usual plan for what is measured: as many readings as [`inspection::places`] asks for, and where. `sections` are
/// distances along a plain part, where they were stated.
pub fn usual(target: &Target, sections: &[String]) -> Vec<Spot> {
    let wanted = inspection::places(target);
    match wanted.laid {
        Laid::Samples => counted(Counted::Samples, 1, wanted.count),
        Laid::Spots => counted(Counted::Spots, 1, wanted.count),
        Laid::Stations if target.thread.is_some() => stations(ALONG_A_SCREW),
        Laid::Stations if sections.is_empty() => stations(ALONG_A_PART),
        Laid::Stations => stations(sections.iter().map(Value::text)),
        Laid::FrontToBack => ACROSS_A_WEB.map(Spot::along).to_vec(),
        Laid::Along => ALONG_A_PART.map(Spot::along).to_vec(),
        Laid::Around => (0..wanted.count)
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
    let mut along: Vec<&Option<Value>> = Vec::new();
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
        let mut plan = stations(ALONG_A_SCREW);
        plan.extend(more(None, &plan, 4));
        assert_eq!(plan.len(), 10);
        let names: std::collections::BTreeSet<String> = plan
            .iter()
            .map(|spot| format!("{:?}", spot.name()))
            .collect();
        assert_eq!(names.len(), 10, "{names:?}");
        assert_eq!(more(None, &plan, 50).len(), 50);
        let along = ALONG_A_PART.map(Spot::along);
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

    /// A usual place is kept by its code; what was typed, as it was typed.
    #[test]
    fn a_place_is_kept_by_its_code() {
        for (stored, spot) in [
            (
                r#"{"schema":1,"content":{"along":{"code":"place.middle"},"angle":90.0}}"#,
                Spot::new(Station::Middle, 90.0),
            ),
            (
                r#"{"schema":1,"content":{"along":{"text":"middle"},"angle":null}}"#,
                Spot::along(Value::text("middle")),
            ),
        ] {
            assert_eq!(kept::write(kept::EVENT, &spot).unwrap(), stored);
            assert_eq!(kept::read::<Spot>(kept::EVENT, stored).unwrap(), spot);
        }
    }
}
