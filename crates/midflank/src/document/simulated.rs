//! `midflank simulate`: what the simulated bench found.

use serde::Serialize;
use simulated_bench::Results;

/// The results of a run. Lengths are in millimetres.
#[derive(Clone, Debug, Serialize)]
pub struct Simulated {
    pub jobs: u32,
    pub seed: u64,
    pub coverage_probability: f64,
    pub set_ups: Vec<SetUp>,
    pub all: SetUp,
    pub rules: Vec<OfRule>,
    /// Readings that were wrong by a slip, and those of them that were flagged.
    pub slips: Count,
    /// Readings without a slip, and those of them that were flagged.
    pub false_flags: Count,
    /// Threads whose mean pitch diameter conforms, and those of them whose functional size does not.
    pub functional_too_large: Count,
}

#[derive(Clone, Debug, Serialize)]
pub struct SetUp {
    pub name: &'static str,
    pub label: String,
    pub mean: Held,
    pub worst_place: Held,
    /// The mean at a limit, the least bit outside, and proven to conform by ISO 14253-1.
    pub proven_at_limit: Count,
    /// The same, accepted by the probability rule.
    pub probable_at_limit: Count,
    /// The mean in the middle between the limits, and left undecided by ISO 14253-1.
    pub undecided_in_the_middle: Count,
}

/// How often intervals held the true size.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Held {
    pub intervals: u32,
    pub coverage: f64,
    /// Mean of (measured minus true)/u.
    pub bias: f64,
    /// The same, above zero towards the nearest limit.
    pub towards_limit: f64,
    /// Root mean square of (measured minus true)/u.
    pub spread: f64,
    pub standard_uncertainty: f64,
    /// Median, for 95 %.
    pub expanded_uncertainty: f64,
}

/// How often something happened, as a fraction.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Count {
    pub share: f64,
    pub times: u32,
    pub of: u32,
}

/// One rule, with the default of its parameter.
#[derive(Clone, Debug, Serialize)]
pub struct OfRule {
    pub rule: &'static str,
    pub mean_accepted_at_limit: Count,
    pub mean_rejected_at_limit: Count,
    pub all_accepted_at_limit: Count,
    pub all_rejected_at_limit: Count,
    pub false_acceptance: Count,
    pub false_rejection: Count,
    pub undecided: Count,
}

impl Simulated {
    /// The document of a run.
    pub fn of(results: &Results) -> Self {
        Self {
            jobs: results.jobs,
            seed: results.seed,
            coverage_probability: metrology::inspection::COVERAGE,
            set_ups: results.set_ups.iter().map(set_up).collect(),
            all: set_up(&results.all),
            rules: results.rules.iter().map(rule).collect(),
            slips: share(results.slips),
            false_flags: share(results.false_flags),
            functional_too_large: share(results.go_refuses),
        }
    }
}

fn set_up(result: &simulated_bench::SetUpResult) -> SetUp {
    SetUp {
        name: result.name.key(),
        label: crate::words::word(&result.name),
        mean: coverage(result.mean),
        worst_place: coverage(result.worst_place),
        proven_at_limit: share(result.proven_at_limit),
        probable_at_limit: share(result.probable_at_limit),
        undecided_in_the_middle: share(result.undecided_in_the_middle),
    }
}

fn coverage(found: simulated_bench::Coverage) -> Held {
    Held {
        intervals: found.of,
        coverage: found.share(),
        bias: found.bias,
        towards_limit: found.towards_limit,
        spread: found.spread,
        standard_uncertainty: found.standard_uncertainty,
        expanded_uncertainty: found.expanded_uncertainty,
    }
}

fn share(count: simulated_bench::Count) -> Count {
    Count {
        share: count.share(),
        times: count.times,
        of: count.of,
    }
}

fn rule(result: &simulated_bench::RuleResult) -> OfRule {
    OfRule {
        rule: result.rule,
        mean_accepted_at_limit: share(result.mean_accepted_at_limit),
        mean_rejected_at_limit: share(result.mean_rejected_at_limit),
        all_accepted_at_limit: share(result.all_accepted_at_limit),
        all_rejected_at_limit: share(result.all_rejected_at_limit),
        false_acceptance: share(result.false_acceptance),
        false_rejection: share(result.false_rejection),
        undecided: share(result.undecided),
    }
}
