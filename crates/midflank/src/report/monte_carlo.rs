//! The Monte Carlo result in two sentences, the same in every format.

use metrology::uncertainty::report::round_f64;

use crate::document::Inspected;

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
    let show = |length: f64| format!("{length:.decimals$}");
    let unsettled = if found.stabilized {
        ""
    } else {
        ", where the digits do not stand still yet"
    };
    let interval = format!(
        "{} to {} {unit} covers {:.0} % (shortest interval), {} trials{unsettled}, seed {}",
        show(found.interval.lower),
        show(found.interval.upper),
        found.coverage_probability * 100.0,
        found.trials,
        found.seed
    );
    let check = &found.validation;
    let fine = decimals + 1;
    let apart = format!(
        "its ends are {:.fine$} and {:.fine$} {unit} from those of the budget, where {:.fine$} is permitted",
        check.lower, check.upper, check.tolerance
    );
    let verdict = if check.valid {
        format!("{apart}: the budget is borne out (JCGM 101:2008, clause 8)")
    } else {
        format!(
            "{apart}: not borne out, and JCGM 101:2008, clause 8, asks for the interval of the trials"
        )
    };
    Some([interval, verdict])
}
