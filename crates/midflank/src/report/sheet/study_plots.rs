//! The drawings of studies of a way of measuring, from a file and from the record alike.

use super::study::{Dot, Plot};
use crate::say;

/// How wide the readings of one part stand apart, operator beside operator; parts are one apart.
const SPREAD: f64 = 0.6;

/// A reading, in the unit of the readings.
pub struct Taken<'a> {
    pub part: &'a str,
    pub operator: &'a str,
    pub value: f64,
}

/// Readings, means and ranges over the parts, the operators beside one another: parts and operators in the order in which they
/// first come in `known`, which may name more than were read.
pub fn by_part<'a>(
    known: impl Iterator<Item = (&'a str, &'a str)>,
    taken: &[Taken<'_>],
    unit: Option<&str>,
) -> Vec<Plot> {
    let (mut parts, mut operators): (Vec<&str>, Vec<&str>) = (Vec::new(), Vec::new());
    for (part, operator) in known {
        for (all, one) in [(&mut parts, part), (&mut operators, operator)] {
            if !all.contains(&one) {
                all.push(one);
            }
        }
    }
    let apart = SPREAD / operators.len().max(1) as f64;
    let middle = operators.len().saturating_sub(1) as f64 / 2.0;
    let plot = |title: &str, is_joined, of: fn(&[f64]) -> Vec<f64>| {
        let operators = operators.iter().enumerate();
        let series = operators.map(|(order, operator)| {
            let parts = parts.iter().enumerate();
            let dots = parts.flat_map(|(place, part)| {
                let own = |one: &&Taken<'_>| one.part == *part && one.operator == *operator;
                let values: Vec<f64> = taken.iter().filter(own).map(|one| one.value).collect();
                let x = place as f64 + 1.0 + (order as f64 - middle) * apart;
                let dot = move |y| Dot {
                    x,
                    y,
                    ends: None,
                    is_marked: false,
                };
                of(&values).into_iter().map(dot)
            });
            ((*operator).to_owned(), dots.collect())
        });
        let under = parts.iter().enumerate();
        let under = under.map(|(place, part)| (place as f64 + 1.0, (*part).to_owned()));
        Plot {
            title: title.to_owned(),
            unit: unit.map(str::to_owned),
            series: series.collect(),
            is_joined,
            under: under.collect(),
            ..Plot::default()
        }
    };
    vec![
        plot(say!("study-sheet.by-part"), false, <[f64]>::to_vec),
        plot(say!("study-sheet.means"), true, |values| {
            let mean = values.iter().sum::<f64>() / values.len() as f64;
            (!values.is_empty()).then_some(mean).into_iter().collect()
        }),
        plot(say!("study-sheet.ranges"), false, |values| {
            let most = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let least = values.iter().copied().fold(f64::INFINITY, f64::min);
            let range = (values.len() > 1).then_some(most - least);
            range.into_iter().collect()
        }),
    ]
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
