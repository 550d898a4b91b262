//! The drawings of studies of a way of measuring, from a file and from the record alike.

use metrology::study::repeatability::{PartLimits, range};
use workshop::gauge_record::studied::{AtReferenceDocument, LinearityDocument};

use super::study::{Dot, Plot};
use crate::report::studied::by_size;
use crate::say;
use crate::words::number;

/// How wide the readings of one part stand apart, operator beside operator; parts are one apart.
const SPREAD: f64 = 0.6;

/// A reading, in the unit of the readings.
pub struct Taken<'a> {
    pub part: &'a str,
    pub operator: &'a str,
    pub value: f64,
}

fn of_ranges(limits: &PartLimits) -> Vec<(f64, String)> {
    levels([limits.lower, limits.mean_range, limits.upper])
}

fn of_means(limits: &PartLimits) -> Vec<(f64, String)> {
    let (mean, off) = (limits.mean, limits.of_means);
    levels([mean - off, mean, mean + off])
}

/// Lower limit, mean and upper limit.
fn levels([lower, mean, upper]: [f64; 3]) -> Vec<(f64, String)> {
    [
        (lower, say!("study-sheet.lower-control")),
        (mean, say!("study-sheet.mean")),
        (upper, say!("study-sheet.upper-control")),
    ]
    .map(|(level, name)| (level, name.to_owned()))
    .to_vec()
}

/// What is drawn of the readings of a part by an operator: values, each with whether it stands out.
type DotsOf<'a> = dyn Fn(&[f64]) -> Vec<(f64, bool)> + 'a;

/// Readings, means and ranges over the parts, the operators beside one another: parts and operators in the order in which they
/// first come in `known`, which may name more than were read.
pub fn by_part<'a>(
    known: impl Iterator<Item = (&'a str, &'a str)>,
    taken: &[Taken<'_>],
    unit: Option<&str>,
) -> Vec<Plot> {
    let (mut parts, mut operators): (Vec<&str>, Vec<&str>) = (Vec::new(), Vec::new());
    let mut pairs: Vec<(&str, &str)> = Vec::new();
    for (part, operator) in known {
        for (all, one) in [(&mut parts, part), (&mut operators, operator)] {
            if !all.contains(&one) {
                all.push(one);
            }
        }
        if !pairs.contains(&(part, operator)) {
            pairs.push((part, operator));
        }
    }
    let cell = |part: &str, operator: &str| -> Vec<f64> {
        let own = |one: &&Taken<'_>| one.part == part && one.operator == operator;
        taken.iter().filter(own).map(|one| one.value).collect()
    };
    let cells = pairs.iter().map(|(part, operator)| cell(part, operator));
    let limits = PartLimits::of(&cells.collect::<Vec<_>>());
    // How far from the middle of its part an operator stands: of a nested study nobody stands beside.
    let off = |part: &str, operator: &str| {
        let own = pairs.iter().filter(|(known, _)| *known == part);
        let own: Vec<&str> = own.map(|(_, operator)| *operator).collect();
        let apart = SPREAD / own.len().max(1) as f64;
        let middle = own.len().saturating_sub(1) as f64 / 2.0;
        let order = own.iter().position(|known| *known == operator);
        order.map_or(0.0, |order| (order as f64 - middle) * apart)
    };
    let plot = |title: &str, of: &DotsOf<'_>| {
        let series = operators.iter().map(|operator| {
            let parts = parts.iter().enumerate();
            let dots = parts.flat_map(|(place, part)| {
                let x = place as f64 + 1.0 + off(part, operator);
                let dot = move |(y, is_marked)| Dot {
                    x,
                    y,
                    ends: None,
                    is_marked,
                };
                of(&cell(part, operator)).into_iter().map(dot)
            });
            ((*operator).to_owned(), dots.collect())
        });
        let under = parts.iter().enumerate();
        let under = under.map(|(place, part)| (place as f64 + 1.0, (*part).to_owned()));
        Plot {
            title: title.to_owned(),
            unit: unit.map(str::to_owned),
            series: series.collect(),
            under: under.collect(),
            ..Plot::default()
        }
    };
    let readings = plot(say!("study-sheet.by-part"), &|values| {
        values.iter().map(|value| (*value, false)).collect()
    });
    let means = plot(say!("study-sheet.means"), &|values| {
        let mean = values.iter().sum::<f64>() / values.len() as f64;
        let mean = (!values.is_empty()).then_some((mean, false));
        mean.into_iter().collect()
    });
    let is_beyond = |range: f64| limits.is_some_and(|limits| limits.is_beyond(range));
    let title = match limits {
        Some(_) => say!("study-sheet.ranges-with-limits"),
        None => say!("study-sheet.ranges"),
    };
    let ranges = plot(title, &|values| {
        let range = range(values).map(|range| (range, is_beyond(range)));
        range.into_iter().collect()
    });
    let across = |of: fn(&PartLimits) -> Vec<(f64, String)>| limits.as_ref().map(of);
    vec![
        readings,
        Plot {
            is_joined: true,
            levels: across(of_means).unwrap_or_default(),
            ..means
        },
        Plot {
            levels: across(of_ranges).unwrap_or_default(),
            ..ranges
        },
    ]
}

/// Bias over reference value, with the fitted line and its band.
pub fn over_reference(study: &LinearityDocument) -> Plot {
    let references = by_size(study);
    let at = || references.iter();
    let dot = |at: &AtReferenceDocument| Dot {
        x: at.reference,
        y: at.bias,
        ends: None,
        is_marked: !(at.lower..=at.upper).contains(&0.0),
    };
    let curve =
        |of: fn(&AtReferenceDocument) -> f64| at().map(|at| (at.reference, of(at))).collect();
    Plot {
        title: say!(
            "study-sheet.bias-by-reference",
            confidence = number::percent(study.confidence)
        ),
        unit: study.unit.clone(),
        series: vec![(String::new(), at().map(dot).collect())],
        levels: vec![(0.0, say!("study-sheet.zero").to_owned())],
        curves: vec![
            curve(|at| at.fitted),
            curve(|at| at.lower),
            curve(|at| at.upper),
        ],
        ..Plot::default()
    }
}

/// Readings in their order, with lines across.
pub fn in_order(values: &[f64], levels: Vec<(f64, String)>, unit: Option<&str>) -> Plot {
    Plot {
        title: say!("study-sheet.readings").to_owned(),
        unit: unit.map(str::to_owned),
        series: vec![(String::new(), Dot::in_order(values))],
        is_joined: true,
        levels,
        ..Plot::default()
    }
}

/// The lines across readings of one part of known size.
pub fn reference_and_mean(reference: Option<f64>, mean: f64) -> Vec<(f64, String)> {
    let reference = reference.map(|at| (at, say!("study-sheet.reference").to_owned()));
    let mean = (mean, say!("study-sheet.mean").to_owned());
    reference.into_iter().chain([mean]).collect()
}

/// The same with the part of the tolerance, in percent, which the readings of a type-1 study may take up.
pub fn of_type_1(
    reference: Option<f64>,
    mean: f64,
    tolerance: f64,
    percent: f64,
) -> Vec<(f64, String)> {
    let part = tolerance * percent / 200.0;
    let limits = [
        (say!("study-sheet.lower"), -part),
        (say!("study-sheet.upper"), part),
    ];
    let limits = limits.into_iter();
    let limits = limits.filter_map(|(name, from)| Some((reference? + from, name.to_owned())));
    let mut levels = reference_and_mean(reference, mean);
    levels.extend(limits);
    levels
}
