//! What readings around and along a plain diameter tell: ovality, taper, barrel.

use super::physics::{Section, barrel, ovality, taper};
use super::{PlainDiameter, Unseen};
use crate::inspection::JobError;
use crate::inspection::features::refused;
use crate::inspection::finding::{Around, Finding, FindingUnit, Readings};
use crate::inspection::place::Where;
use crate::limits::Limits;
use crate::message::Value;
use crate::source::Source;
use crate::uncertainty::statistics::extremes;
use crate::units::Entered;

crate::codes! {
    /// What is found.
    pub enum Code "finding" {
        /// Least diameter.
        LeastDiameter "least_diameter",
        /// Greatest diameter.
        GreatestDiameter "greatest_diameter",
        /// Ovality.
        Ovality "ovality",
        /// Taper as a difference of diameters.
        Taper "taper",
        /// Taper, diameter to length.
        TaperRatio "taper_ratio",
        /// Half angle of a cone.
        HalfAngle "half_angle",
        /// Middle section against the ends.
        Barrel "barrel",
    }
}

crate::messages! {
    /// What each finding is.
    pub enum Definition "definition" {
        /// Smallest at any place.
        Smallest "smallest",
        /// Largest at any place.
        Largest "largest",
        /// Greatest less least diameter at one section.
        Ovality "ovality" { at: Option<Where> as said_if },
        /// Mean diameters so far apart, smaller toward the far end.
        TaperSmaller "taper-smaller" { distance: f64 as Size },
        /// Mean diameters so far apart, larger toward the far end.
        TaperLarger "taper-larger" { distance: f64 as Size },
        /// (D2 − D1) over the distance.
        TaperRatio "taper-ratio",
        /// atan(taper / 2).
        HalfAngle "half-angle",
        /// Middle section above the line between the ends.
        Barrel "barrel",
        /// Middle section below it.
        Hollow "hollow",
    }
}

pub fn findings(readings: &Readings, plain: &PlainDiameter) -> Result<Vec<Finding>, JobError> {
    let around = readings.sections();
    let all: Vec<f64> = around
        .iter()
        .flat_map(|section| section.sizes.iter().map(|(_, size)| *size))
        .collect();
    let mut found = Vec::new();
    if let Some((least, most)) = extremes(&all) {
        let length = FindingUnit::Length;
        found.push(Finding::of(
            Code::LeastDiameter,
            least,
            length,
            Definition::Smallest,
        ));
        found.push(Finding::of(
            Code::GreatestDiameter,
            most,
            length,
            Definition::Largest,
        ));
    }
    let limit = Readings::at_most(plain.ovality_limit.as_ref());
    found.extend(oval(readings, &around, limit)?);
    let sections: Vec<Section> = around
        .iter()
        .map(|section| placed(readings, section))
        .collect();
    let limit = Readings::at_most(plain.taper_limit.as_ref());
    found.extend(tapered(readings, &sections, limit)?);
    let limit = Readings::at_most(plain.barrel_limit.as_ref());
    found.extend(barrelled(readings, &sections, limit)?);
    Ok(found)
}

/// A section with its distance, where `along` is one.
fn placed(readings: &Readings, section: &Around) -> Section {
    let unit = Some(readings.unit);
    Section {
        along: section
            .along
            .and_then(|along| match along {
                Value::Text(along) => Entered::parse(along, unit).ok(),
                _ => None,
            })
            .map(|distance| distance.value().mm()),
        diameters: section.sizes.iter().map(|(_, size)| *size).collect(),
    }
}

/// A limit that the readings cannot be held against is told, not passed over.
fn unless_required(limit: Limits, why: Unseen) -> Result<Vec<Finding>, JobError> {
    if limit == Limits::default() {
        Ok(Vec::new())
    } else {
        Err(refused(why))
    }
}

fn oval(readings: &Readings, around: &[Around], limit: Limits) -> Result<Vec<Finding>, JobError> {
    let worst = around
        .iter()
        .filter_map(|section| {
            let diameters: Vec<f64> = section.sizes.iter().map(|(_, size)| *size).collect();
            Some((section, ovality(&diameters)?))
        })
        .max_by(|a, b| a.1.total_cmp(&b.1));
    let Some((section, value)) = worst else {
        return unless_required(limit, Unseen::Ovality);
    };
    let definition = Definition::Ovality { at: section.at() };
    Ok(vec![
        Finding::of(Code::Ovality, value, FindingUnit::Length, definition)
            .by(Source::CommonPractice)
            .within(readings.of_difference())
            .require(limit, readings.one_reading.1, readings)?,
    ])
}

fn tapered(
    readings: &Readings,
    sections: &[Section],
    limit: Limits,
) -> Result<Vec<Finding>, JobError> {
    let Some(taper) = taper(sections) else {
        return unless_required(limit, Unseen::Taper);
    };
    let distance = taper.distance;
    let definition = if taper.difference < 0.0 {
        Definition::TaperSmaller { distance }
    } else {
        Definition::TaperLarger { distance }
    };
    Ok(vec![
        Finding::of(
            Code::Taper,
            taper.difference.abs(),
            FindingUnit::Length,
            definition,
        )
        .within(readings.of_difference())
        .require(limit, readings.one_reading.1, readings)?,
        Finding::of(
            Code::TaperRatio,
            taper.ratio(),
            FindingUnit::Number,
            Definition::TaperRatio,
        ),
        Finding::of(
            Code::HalfAngle,
            taper.half_angle().to_degrees(),
            FindingUnit::Degrees,
            Definition::HalfAngle,
        ),
    ])
}

fn barrelled(
    readings: &Readings,
    sections: &[Section],
    limit: Limits,
) -> Result<Vec<Finding>, JobError> {
    let Some(value) = barrel(sections) else {
        return unless_required(limit, Unseen::Barrel);
    };
    let definition = if value < 0.0 {
        Definition::Hollow
    } else {
        Definition::Barrel
    };
    Ok(vec![
        Finding::of(Code::Barrel, value.abs(), FindingUnit::Length, definition)
            .within(readings.of_difference())
            .require(limit, readings.one_reading.1, readings)?,
    ])
}
