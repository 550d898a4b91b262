//! The Monte Carlo result in two sentences, the same in every format.

use metrology::uncertainty::report::round_f64;

use crate::document::Inspected;
use crate::say;
use crate::words::number;

/// What the trials gave, and whether they bear the budget out; nothing where none were made.
pub fn sentences(result: &Inspected) -> Option<[String; 2]> {
    let found = result.monte_carlo.as_ref()?;
    let unit = result.unit;
    let half = (found.interval.upper - found.interval.lower) / 2.0;
    // One digit more than U is stated with.
    let decimals = round_f64(found.value, half)
        .ok()
        .and_then(|rounded| usize::try_from(rounded.decimals).ok())
        .map_or(7, |decimals| decimals + 1);
    let shown = |length: f64| number::length(length, decimals, unit);
    let fine = |length: f64| number::length(length, decimals + 1, unit);
    let (lower, upper) = (shown(found.interval.lower), shown(found.interval.upper));
    let probability = number::percent(found.coverage_probability);
    let (trials, seed) = (found.trials, found.seed);
    let interval = if found.stabilized {
        say!(
            "monte-carlo.interval",
            lower = lower,
            upper = upper,
            probability = probability,
            trials = trials,
            seed = seed
        )
    } else {
        say!(
            "monte-carlo.not-stable",
            lower = lower,
            upper = upper,
            probability = probability,
            trials = trials,
            seed = seed
        )
    };
    let check = &found.validation;
    let (at_lower, at_upper) = (fine(check.lower), fine(check.upper));
    let permitted = fine(check.tolerance);
    let verdict = if check.valid {
        say!(
            "monte-carlo.agrees",
            lower = at_lower,
            upper = at_upper,
            permitted = permitted
        )
    } else {
        say!(
            "monte-carlo.differs",
            lower = at_lower,
            upper = at_upper,
            permitted = permitted
        )
    };
    Some([interval, verdict])
}
