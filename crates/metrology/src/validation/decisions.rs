//! Every decision rule at its bounds, met exactly and missed by the smallest length.

use rust_decimal::Decimal;

use super::{Comparison, Value, cell, half_digit, rows};
use crate::decision::{MeasurementUncertainty, Rule, decide};
use crate::limits::Limits;
use crate::units::{Length, LengthUnit};

pub(super) fn bounds() -> Vec<Comparison> {
    let mut all: Vec<Comparison> = rows(include_str!("cases/decision_bounds.csv"))
        .map(|row| {
            let column = |index| cell(&row, index);
            Comparison {
                case: [0, 1, 2, 3, 4, 5].map(column).join(" "),
                published: Some(Value::Verdict(column(6).to_owned())),
                found: verdict([0, 1, 2, 3, 4, 5].map(column)).map(Value::Verdict),
                allowed: 0.0,
            }
        })
        .collect();
    all.push(Comparison::of_numbers(
        "JCGM 106:2012, 8.3: excess of speed".to_owned(),
        Some(107.0),
        speed(),
        half_digit("107"),
    ));
    all
}

fn verdict([value, u, lower, upper, rule, parameter]: [&str; 6]) -> Option<String> {
    let parameter = match parameter {
        "" => None,
        text => Some(decimal(text)?),
    };
    let rule = Rule::parse(rule, parameter).ok()?;
    let uncertainty = MeasurementUncertainty::new(decimal(u)?);
    let limits = Limits {
        lower: mm(lower),
        upper: mm(upper),
    };
    let decision = decide(mm(value)?, &uncertainty, limits, rule).ok()?;
    Some(decision.verdict.key().to_owned())
}

/// Speeds of more than 100 km/h are fined once that is sure to 99.9 %, u = 2 % of the speed: from 107 km/h on (from
/// memory; 106.59 unrounded). One km/h stands as 1 mm.
fn speed() -> Option<f64> {
    let rule = Rule::parse("probability", Some(decimal("0.999")?)).ok()?;
    let uncertainty = MeasurementUncertainty::new(decimal("2.1318")?);
    let limits = Limits {
        lower: None,
        upper: mm("100"),
    };
    let decision = decide(mm("106.59")?, &uncertainty, limits, rule).ok()?;
    decision.rejection.upper?.to_string().parse().ok()
}

fn decimal(text: &str) -> Option<Decimal> {
    text.parse().ok()
}

fn mm(text: &str) -> Option<Length> {
    Length::from_decimal(decimal(text)?, LengthUnit::Millimetre).ok()
}
