//! What would settle an undecided part: more readings, a better line in the budget, or nothing at hand.
//!
//! Asked of the decision itself: the standard uncertainty is made smaller until the verdict is one. What that needs is
//! held against what the readings and each line of the budget could give.

use metrology::decision::{Rule, Verdict};
use metrology::inspection::{BudgetLine, Inspection, Job, Outcome, Quantity};

/// More readings than this are no help to anyone at a bench (a proposal, no source).
const MOST_READINGS: f64 = 12.0;

/// What would settle it.
#[derive(Clone, Debug, PartialEq)]
pub enum Way {
    /// So many more readings, if they scatter as those so far and the size stays where it is.
    MoreReadings { count: u32, where_: String },
    /// One line of the budget brought down from, to (standard uncertainties as they enter the result, millimetres).
    Line {
        quantity: Quantity,
        name: String,
        from: f64,
        to: f64,
    },
    /// Not even without the largest line.
    Nothing { largest: String },
}

/// What would settle a job that is undecided; none where it is not.
pub fn way(job: &Job, result: &Inspection) -> Option<Way> {
    let outcome = result.governing();
    if outcome.decision.verdict != Verdict::Undecided {
        return None;
    }
    let rule = outcome.decision.rule;
    let largest = || outcome.budget.first();
    let nothing = || {
        Some(Way::Nothing {
            largest: largest().map_or_else(String::new, |line| line.line.name.clone()),
        })
    };
    let Some(factor) = needed(outcome, result, rule) else {
        return nothing();
    };
    let wanted = factor * factor;
    let scatter: f64 = outcome
        .budget
        .iter()
        .filter(|line| is_scatter(line.quantity))
        .map(|line| line.line.share)
        .sum();
    let rest = 1.0 - scatter;
    if scatter > 0.0 && rest < wanted {
        let taken = readings_behind(job, outcome, result);
        let more = (taken * (scatter / (wanted - rest) - 1.0)).ceil();
        if (1.0..=MOST_READINGS).contains(&more) {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "1 to 12"
            )]
            let count = more as u32;
            return Some(Way::MoreReadings {
                count,
                where_: outcome.of.clone(),
            });
        }
    }
    // The largest line that, made smaller alone, would do.
    let variance = outcome.size.standard_uncertainty * outcome.size.standard_uncertainty;
    let found = outcome
        .budget
        .iter()
        .filter(|line| !is_scatter(line.quantity))
        .find_map(|line| brought_down(line, variance, wanted));
    found.or_else(nothing)
}

const fn is_scatter(quantity: Quantity) -> bool {
    matches!(quantity, Quantity::Repeatability | Quantity::FormSeen)
}

fn brought_down(line: &BudgetLine, variance: f64, wanted: f64) -> Option<Way> {
    let own = line.line.contribution * line.line.contribution;
    let left = wanted * variance - (variance - own);
    (left > 0.0).then(|| Way::Line {
        quantity: line.quantity,
        name: line.line.name.clone(),
        from: line.line.contribution,
        to: left.sqrt(),
    })
}

/// How many readings stand behind the outcome: all places for the mean, those of its place for a place.
fn readings_behind(job: &Job, outcome: &Outcome, result: &Inspection) -> f64 {
    let named = job
        .readings
        .iter()
        .find(|place| place.words() == outcome.of && !outcome.of.is_empty());
    let taken = match named {
        Some(place) => place.readings.len(),
        // A place that nobody named holds one reading.
        None if !outcome.of.starts_with("the mean") => 1,
        None => result.readings.len(),
    };
    taken as f64
}

/// By which factor the standard uncertainty must shrink for a verdict, the size staying where it is; none where no
/// uncertainty is small enough.
fn needed(outcome: &Outcome, result: &Inspection, rule: Rule) -> Option<f64> {
    let decided = |factor: f64| {
        let mut size = outcome.size;
        size.standard_uncertainty *= factor;
        size.expanded_uncertainty *= factor;
        size.decide(&result.target, rule)
            .is_ok_and(|decision| decision.verdict != Verdict::Undecided)
    };
    let (mut good, mut bad) = (1e-3, 1.0);
    if !decided(good) {
        return None;
    }
    for _ in 0..40 {
        let middle = f64::midpoint(good, bad);
        if decided(middle) {
            good = middle;
        } else {
            bad = middle;
        }
    }
    Some(good)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job_file;
    use metrology::inspection::inspect;
    use std::path::Path;

    fn job(readings: &str, standard: &str) -> Job {
        let text = format!(
            r#"
unit = "mm"
[part]
name = "pin"
[measure]
name = "diameter"
lower = "9.990"
upper = "10.010"
[instrument]
id = "mic"
range = ["0", "25"]
maximum_permissible_error = "0.1um"
[contacts]
id = "flat"
kind = "flat"
[standard]
id = "block"
size = "10.000"
expanded_uncertainty = "{standard}"
coverage_factor = 2
form = "plain"
[zero]
before = ["10.0000", "10.0000", "10.0000"]
after = ["10.0000", "10.0000", "10.0000"]
[readings]
values = [{readings}]
[temperature]
part = 20
standard = 20
standard_uncertainty = 0.01
part_material = "steel"
[decision]
rule = "iso14253-1"
"#
        );
        job_file::parse(Path::new("job.toml"), &text, jiff::Timestamp::UNIX_EPOCH).unwrap()
    }

    fn settled(job: &Job) -> Option<Way> {
        way(job, &inspect(job).unwrap())
    }

    #[test]
    fn a_clear_part_needs_nothing() {
        assert_eq!(settled(&job("9.9990, 10.0000, 10.0010", "0.1um")), None);
    }

    #[test]
    fn a_standard_that_is_too_coarse_is_named() {
        let coarse = job("10.0070, 10.0070, 10.0070, 10.0071", "8um");
        let Some(Way::Line {
            quantity, from, to, ..
        }) = settled(&coarse)
        else {
            panic!("{:?}", settled(&coarse));
        };
        assert_eq!(quantity, Quantity::Standard);
        assert!(from > to && to > 0.0);
    }

    #[test]
    fn on_the_limit_nothing_helps() {
        let on_it = job("10.0100, 10.0100, 10.0100, 10.0100", "1um");
        assert!(
            matches!(settled(&on_it), Some(Way::Nothing { .. })),
            "{:?}",
            settled(&on_it)
        );
    }

    /// The count that is promised keeps its promise, the size and the scatter staying as they are.
    #[test]
    fn more_readings_are_promised_only_where_they_help() {
        let scattered = job("10.0072, 10.0092, 10.0072, 10.0092", "0.1um");
        let result = inspect(&scattered).unwrap();
        let Some(Way::MoreReadings { count, .. }) = way(&scattered, &result) else {
            panic!("{:?}", way(&scattered, &result));
        };
        let outcome = result.governing();
        let share: f64 = outcome
            .budget
            .iter()
            .filter(|line| is_scatter(line.quantity))
            .map(|line| line.line.share)
            .sum();
        let decided = |more: u32| {
            let taken = readings_behind(&scattered, outcome, &result);
            let factor = (1.0 - share + share * taken / (taken + f64::from(more))).sqrt();
            let mut size = outcome.size;
            size.standard_uncertainty *= factor;
            size.expanded_uncertainty *= factor;
            size.decide(&result.target, outcome.decision.rule)
                .unwrap()
                .verdict
                != Verdict::Undecided
        };
        assert!(decided(count));
        assert!(!decided(count - 1));
    }
}
