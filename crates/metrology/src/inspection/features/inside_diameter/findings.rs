//! Inside diameters across a tube, from the walls at opposite places.

use crate::inspection::finding::{Finding, FindingUnit, Readings};
use crate::inspection::opposite::{Opposite, all_opposite};
use crate::inspection::place::Where;

crate::codes! {
    /// What is found.
    pub enum Code "finding" {
        /// Least inside diameter across.
        LeastAcross "least_across",
        /// Greatest inside diameter across.
        GreatestAcross "greatest_across",
    }
}

crate::messages! {
    /// What each finding is.
    pub enum Definition "definition" {
        /// Outside diameter less two opposite walls.
        OppositeWalls "opposite-walls" { from: f64 as Degrees, to: f64 as Degrees, at: Option<Where> as said_if },
    }
}

/// The least and greatest diameter across; nothing where no two places are opposite.
///
/// Two opposite walls give a chord through the middle, `D_o − w_1 − w_2`: the mean of what each gives alone.
pub fn findings(readings: &Readings) -> Vec<Finding> {
    let size = |place: usize| readings.places.get(place).map(|(_, size)| *size);
    let places = readings.places.iter().map(|(place, _)| *place);
    let across: Vec<(f64, Opposite)> = all_opposite(places)
        .into_iter()
        .filter_map(|pair| {
            let [one, other] = pair.places.map(size);
            Some((f64::midpoint(one?, other?), pair))
        })
        .collect();
    let finding = |code, (size, pair): &(f64, Opposite)| {
        let definition = Definition::OppositeWalls {
            from: pair.from,
            to: pair.from + 180.0,
            at: pair.along.clone().map(|section| Where::Section { section }),
        };
        Finding::of(code, *size, FindingUnit::Length, definition)
    };
    let least = across.iter().min_by(|a, b| a.0.total_cmp(&b.0));
    let greatest = across.iter().max_by(|a, b| a.0.total_cmp(&b.0));
    let least = least.map(|least| finding(Code::LeastAcross, least));
    let greatest = greatest.map(|greatest| finding(Code::GreatestAcross, greatest));
    least.into_iter().chain(greatest).collect()
}
