//! The Monte Carlo result in two sentences, the same in every format.

use metrology::uncertainty::report::round_f64;

use crate::document::Inspected;
use crate::document::inspection::BudgetLine;
use crate::say;
use crate::words::Label as _;
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
        let differs = say!(
            "monte-carlo.differs",
            lower = at_lower,
            upper = at_upper,
            permitted = permitted
        );
        match least_known(&result.budget) {
            Some((line, freedom)) => say!(
                "monte-carlo.differs-by",
                differs = differs,
                line = line.label(),
                freedom = number::short(freedom, 1)
            ),
            None => differs,
        }
    };
    Some([interval, verdict])
}

/// The line with the largest part in the effective degrees of freedom, u⁴/ν (JCGM 100:2008, G.4.1), and its own: the budget
/// takes an uncertainty from few readings for better known than the trials do.
fn least_known(budget: &[BudgetLine]) -> Option<(&BudgetLine, f64)> {
    budget
        .iter()
        .filter_map(|line| Some((line, line.degrees_of_freedom?)))
        .max_by(|(one, few), (other, many)| {
            let square = |line: &BudgetLine| line.contribution * line.contribution;
            let part = |line: &BudgetLine, freedom: f64| square(line) * square(line) / freedom;
            part(one, *few).total_cmp(&part(other, *many))
        })
}
