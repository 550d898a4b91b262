//! What readings around and along a plain diameter tell: ovality, taper, barrel.

use super::{Around, Finding, FindingUnit, Readings};
use crate::features::plain_diameter::{Section, barrel, extremes, ovality, taper};
use crate::inspection::{FeatureError, JobError, PlainDiameter};
use crate::limits::Limits;
use crate::source::Source;
use crate::units::Entered;

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
            "least_diameter",
            "least diameter",
            least,
            length,
            "smallest at any place",
        ));
        found.push(Finding::of(
            "greatest_diameter",
            "greatest diameter",
            most,
            length,
            "largest at any place",
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
    let unit = Some(readings.target.unit);
    Section {
        along: section
            .along
            .and_then(|along| Entered::parse(along, unit).ok())
            .map(|distance| distance.value().mm()),
        diameters: section.sizes.iter().map(|(_, size)| *size).collect(),
    }
}

/// A limit that the readings cannot be held against is told, not passed over.
fn unless_required(limit: Limits, why: FeatureError) -> Result<Vec<Finding>, JobError> {
    if limit == Limits::default() {
        Ok(Vec::new())
    } else {
        Err(why.into())
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
        return unless_required(limit, FeatureError::OvalityUnseen);
    };
    let definition = format!(
        "greatest less least diameter at one section{}; two points are blind to odd lobes",
        section.words()
    );
    Ok(vec![
        Finding::of(
            "ovality",
            "ovality",
            value,
            FindingUnit::Length,
            &definition,
        )
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
        return unless_required(limit, FeatureError::TaperUnseen);
    };
    let definition = format!(
        "difference of the mean diameters {} mm apart, {} toward the far end",
        taper.distance,
        if taper.difference < 0.0 {
            "smaller"
        } else {
            "larger"
        }
    );
    Ok(vec![
        Finding::of(
            "taper",
            "taper",
            taper.difference.abs(),
            FindingUnit::Length,
            &definition,
        )
        .within(readings.of_difference())
        .require(limit, readings.one_reading.1, readings)?,
        Finding::of(
            "taper_ratio",
            "taper, diameter to length",
            taper.ratio(),
            FindingUnit::Number,
            "(D2 \u{2212} D1) / distance",
        ),
        Finding::of(
            "half_angle",
            "half angle of the cone",
            taper.half_angle().to_degrees(),
            FindingUnit::Degrees,
            "atan(taper / 2)",
        ),
    ])
}

fn barrelled(
    readings: &Readings,
    sections: &[Section],
    limit: Limits,
) -> Result<Vec<Finding>, JobError> {
    let Some(value) = barrel(sections) else {
        return unless_required(limit, FeatureError::BarrelUnseen);
    };
    let name = if value < 0.0 {
        "hollow of the middle"
    } else {
        "barrel"
    };
    let definition = "middle section against the straight line between the ends";
    Ok(vec![
        Finding::of("barrel", name, value.abs(), FindingUnit::Length, definition)
            .within(readings.of_difference())
            .require(limit, readings.one_reading.1, readings)?,
    ])
}
