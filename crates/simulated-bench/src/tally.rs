//! What the simulated jobs add up to.

use crate::trial::{Count, Judged, Trial};
use crate::{Aim, RULES, SET_UPS, SetUpName};
use metrology::decision::Verdict;

/// How often intervals of 95 % held the truth, and how measured sizes lay about it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Coverage {
    /// Intervals looked at.
    pub of: u32,
    /// Those that held the true size.
    pub held: u32,
    /// Mean of (measured minus true)/u: no bias is 0.
    pub bias: f64,
    /// Mean of the same, counted above zero towards the nearest limit: what choosing the worst by its reading does.
    pub towards_limit: f64,
    /// Root mean square of (measured minus true)/u: a budget that is just right gives 1, a cautious one less.
    pub spread: f64,
    /// Mean standard uncertainty, millimetres.
    pub standard_uncertainty: f64,
    /// Median of the expanded uncertainty, millimetres.
    pub expanded_uncertainty: f64,
}

#[derive(Clone, Debug, PartialEq)]
pub struct SetUpResult {
    pub name: SetUpName,
    /// Of the mean over all places, against the true mean of the part.
    pub mean: Coverage,
    /// Of the place with the least room to a limit, against the true size at that place.
    pub worst_place: Coverage,
    /// The true mean is at a limit, the least bit outside, and proven to conform by ISO 14253-1: what no set-up may do
    /// more often than 5 % of the time.
    pub proven_at_limit: Count,
    /// The same, accepted by the probability rule at 95 %.
    pub probable_at_limit: Count,
    /// The true mean is in the middle between the limits, and ISO 14253-1 leaves it undecided, on the mean or on the worst
    /// place.
    pub undecided_in_the_middle: Count,
}

/// One decision rule, with the default of its parameter.
#[derive(Clone, Debug, PartialEq)]
pub struct RuleResult {
    pub rule: &'static str,
    /// The true mean is at a limit, the least bit outside, and the mean is accepted: the worst false acceptance.
    pub mean_accepted_at_limit: Count,
    /// The same, and it is rejected: the worst false rejection.
    pub mean_rejected_at_limit: Count,
    /// The worst place measured is at a limit, and mean and worst place are both accepted.
    pub all_accepted_at_limit: Count,
    /// The same, and one of both is rejected.
    pub all_rejected_at_limit: Count,
    /// Of all jobs of the process: the mean does not conform and is accepted (global consumer's risk).
    pub false_acceptance: Count,
    /// Of all jobs of the process: the mean conforms and is rejected (global producer's risk).
    pub false_rejection: Count,
    /// Of all jobs of the process: neither accepted nor rejected.
    pub undecided: Count,
}

/// All that the bench found.
#[derive(Clone, Debug, PartialEq)]
pub struct Results {
    /// How many jobs.
    pub jobs: u32,
    /// The seed they came from.
    pub seed: u64,
    /// Set-up by set-up.
    pub set_ups: Vec<SetUpResult>,
    /// All set-ups together.
    pub all: SetUpResult,
    /// Rule by rule.
    pub rules: Vec<RuleResult>,
    /// Slips of the hand, and those that were flagged.
    pub slips: Count,
    /// Readings without a slip, and those that were flagged all the same.
    pub false_flags: Count,
    /// Mean conforms but a GO gauge would refuse, of the threads whose mean conforms.
    pub go_refuses: Count,
}

impl Coverage {
    /// The share of intervals that held the truth.
    pub fn share(self) -> f64 {
        Count {
            times: self.held,
            of: self.of,
        }
        .share()
    }

    fn of<'a>(judged: impl Iterator<Item = &'a Judged>) -> Self {
        let mut sum = Self::default();
        let mut expanded = Vec::new();
        for one in judged {
            let ratio = one.error / one.standard_uncertainty;
            sum.of += 1;
            sum.held += u32::from(one.error.abs() <= one.expanded_uncertainty);
            sum.bias += ratio;
            sum.towards_limit += one.towards_limit / one.standard_uncertainty;
            sum.spread += ratio * ratio;
            sum.standard_uncertainty += one.standard_uncertainty;
            expanded.push(one.expanded_uncertainty);
        }
        expanded.sort_by(f64::total_cmp);
        let n = f64::from(sum.of.max(1));
        Self {
            bias: sum.bias / n,
            towards_limit: sum.towards_limit / n,
            spread: (sum.spread / n).sqrt(),
            standard_uncertainty: sum.standard_uncertainty / n,
            expanded_uncertainty: expanded.get(expanded.len() / 2).copied().unwrap_or(0.0),
            ..sum
        }
    }
}

fn set_up_result(name: SetUpName, trials: &[&Trial]) -> SetUpResult {
    // A slip is a blunder, not an uncertainty: such jobs are for the flags.
    let good = || trials.iter().filter(|trial| trial.slip.is_none());
    let verdicts = |key: &str, aim: Aim| {
        let index = RULES.iter().position(|rule| rule.key() == key);
        good()
            .filter(move |trial| trial.aim == aim)
            .filter_map(move |trial| trial.verdicts.get(index?).copied())
    };
    let accepted = |(mean, _): (Verdict, Verdict)| mean == Verdict::Accept;
    let undecided = |(mean, worst)| [mean, worst].contains(&Verdict::Undecided);
    SetUpResult {
        name,
        mean: Coverage::of(good().map(|trial| &trial.mean)),
        worst_place: Coverage::of(good().filter_map(|trial| trial.worst.as_ref())),
        proven_at_limit: Count::of(verdicts("iso14253-1", Aim::MeanAtLimit).map(accepted)),
        probable_at_limit: Count::of(verdicts("probability", Aim::MeanAtLimit).map(accepted)),
        undecided_in_the_middle: Count::of(verdicts("iso14253-1", Aim::Middle).map(undecided)),
    }
}

fn rule_result(rule: &'static str, index: usize, trials: &[Trial]) -> RuleResult {
    let verdicts = |aim: Aim| {
        trials
            .iter()
            .filter(move |trial| trial.aim == aim && trial.slip.is_none())
            .filter_map(move |trial| Some((trial, *trial.verdicts.get(index)?)))
    };
    let accepted = |verdict: Verdict| verdict == Verdict::Accept;
    let rejected = |verdict: Verdict| verdict == Verdict::Reject;
    let mean = |happens: fn(Verdict) -> bool| {
        Count::of(verdicts(Aim::MeanAtLimit).map(move |(_, (mean, _))| happens(mean)))
    };
    RuleResult {
        rule,
        mean_accepted_at_limit: mean(accepted),
        mean_rejected_at_limit: mean(rejected),
        all_accepted_at_limit: Count::of(
            verdicts(Aim::WorstAtLimit).map(|(_, (mean, worst))| accepted(mean) && accepted(worst)),
        ),
        all_rejected_at_limit: Count::of(
            verdicts(Aim::WorstAtLimit).map(|(_, (mean, worst))| rejected(mean) || rejected(worst)),
        ),
        false_acceptance: Count::of(
            verdicts(Aim::Process).map(|(trial, (mean, _))| !trial.mean_conforms && accepted(mean)),
        ),
        false_rejection: Count::of(
            verdicts(Aim::Process).map(|(trial, (mean, _))| trial.mean_conforms && rejected(mean)),
        ),
        undecided: Count::of(
            verdicts(Aim::Process).map(|(_, (mean, _))| !accepted(mean) && !rejected(mean)),
        ),
    }
}

/// Adds the trials up.
pub fn results(seed: u64, trials: &[Trial]) -> Results {
    let of_set_up = |index: usize| -> Vec<&Trial> {
        trials
            .iter()
            .filter(|trial| trial.set_up == index)
            .collect()
    };
    let everything: Vec<&Trial> = trials.iter().collect();
    Results {
        jobs: u32::try_from(trials.len()).unwrap_or(u32::MAX),
        seed,
        set_ups: SET_UPS
            .iter()
            .enumerate()
            .map(|(index, set_up)| set_up_result(set_up.name, &of_set_up(index)))
            .collect(),
        all: set_up_result(SetUpName::All, &everything),
        rules: RULES
            .iter()
            .enumerate()
            .map(|(index, rule)| rule_result(rule.key(), index, trials))
            .collect(),
        slips: Count::of(trials.iter().filter_map(|trial| trial.slip)),
        false_flags: trials.iter().fold(Count::default(), |count, trial| Count {
            times: count.times + trial.false_flags.times,
            of: count.of + trial.false_flags.of,
        }),
        go_refuses: Count::of(
            trials
                .iter()
                .filter(|trial| trial.aim == Aim::Process && trial.mean_conforms)
                .filter_map(|trial| trial.go_refuses),
        ),
    }
}
