//! One simulated job, measured by the same `inspect` as any other, and held against the truth.

use crate::technician::{Aim, virtual_job};
use crate::{RULES, SET_UPS, Settings, SimulationError};
use metrology::decision::Verdict;
use metrology::inspection::{Outcome, inspect};
use metrology::uncertainty::monte_carlo::random::Generator;
use metrology::units::Length;

/// A measured size beside the true one, millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Judged {
    /// Measured minus true.
    pub error: f64,
    /// The same, above zero where it is towards the limit that the true size is nearest to (or beyond it).
    pub towards_limit: f64,
    /// As stated.
    pub standard_uncertainty: f64,
    /// As stated, for 95 %.
    pub expanded_uncertainty: f64,
}

/// What one job tells.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    pub set_up: usize,
    pub aim: Aim,
    pub mean: Judged,
    pub worst: Option<Judged>,
    pub mean_conforms: bool,
    /// Of a thread: its functional size is above the upper limit.
    pub go_refuses: Option<bool>,
    /// For each rule: on the mean, and on the worst place.
    pub verdicts: Vec<(Verdict, Verdict)>,
    /// Where there was a slip: whether it was flagged.
    pub slip: Option<bool>,
    pub false_flags: Count,
}

const AIMS: [Aim; 4] = [
    Aim::Process,
    Aim::MeanAtLimit,
    Aim::WorstAtLimit,
    Aim::Middle,
];

/// Makes and measures job number `index`; set-ups and aims take turns.
pub fn trial(settings: &Settings, index: u32) -> Result<Trial, SimulationError> {
    let number = index as usize;
    let place = number % SET_UPS.len();
    let (Some(set_up), Some(&aim)) = (
        SET_UPS.get(place),
        AIMS.get(number / SET_UPS.len() % AIMS.len()),
    ) else {
        return Err(SimulationError::NoSetUp {
            given: place,
            most: SET_UPS.len() - 1,
        });
    };
    let mut random = Generator::new(settings.seed, u64::from(index));
    let made = virtual_job(set_up, aim, settings.slips, &mut random)?;
    let found = inspect(&made.job).map_err(SimulationError::of)?;
    let limits = found.target.limits;
    let middle = f64::midpoint(
        limits.lower.map_or(0.0, Length::mm),
        limits.upper.map_or(0.0, Length::mm),
    );
    let judged = |outcome: &Outcome, truth: f64| Judged {
        error: outcome.size.value - truth,
        towards_limit: (outcome.size.value - truth) * (truth - middle).signum(),
        standard_uncertainty: outcome.size.standard_uncertainty,
        expanded_uncertainty: outcome.size.expanded_uncertainty,
    };
    let worst_truth = found
        .worst_place
        .as_ref()
        .and_then(|worst| worst.place)
        .and_then(|place| made.places.get(place).copied());
    let conforms = |size: f64| {
        limits.lower.is_none_or(|lower| size >= lower.mm())
            && limits.upper.is_none_or(|upper| size <= upper.mm())
    };
    let mut verdicts = Vec::new();
    for rule in RULES {
        let decide = |outcome: &Outcome| {
            outcome
                .size
                .decide(&found.target, rule)
                .map(|decision| decision.verdict)
                .map_err(SimulationError::of)
        };
        let mean = decide(&found.mean)?;
        let worst = found.worst_place.as_ref().map_or(Ok(mean), decide)?;
        verdicts.push((mean, worst));
    }
    let flags = || found.readings.iter().map(|reading| reading.flag.is_some());
    Ok(Trial {
        set_up: place,
        aim,
        mean: judged(&found.mean, made.mean),
        worst: found
            .worst_place
            .as_ref()
            .zip(worst_truth)
            .map(|(outcome, truth)| judged(outcome, truth)),
        mean_conforms: conforms(made.mean),
        go_refuses: made
            .functional
            .map(|felt| limits.upper.is_some_and(|upper| felt > upper.mm())),
        verdicts,
        slip: made
            .slip
            .map(|reading| flags().nth(reading).unwrap_or(false)),
        false_flags: Count {
            times: u32::try_from(
                flags()
                    .enumerate()
                    .filter(|(index, flagged)| *flagged && made.slip != Some(*index))
                    .count(),
            )
            .unwrap_or(u32::MAX),
            of: u32::try_from(found.readings.len()).unwrap_or(u32::MAX),
        },
    })
}

/// How often something happened.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Count {
    /// That it happened.
    pub times: u32,
    /// That it could have.
    pub of: u32,
}

impl Count {
    /// As a fraction; 0 of nothing.
    pub fn share(self) -> f64 {
        if self.of == 0 {
            0.0
        } else {
            f64::from(self.times) / f64::from(self.of)
        }
    }

    pub(crate) fn of(trials: impl Iterator<Item = bool>) -> Self {
        trials.fold(Self::default(), |count, happened| Self {
            times: count.times + u32::from(happened),
            of: count.of + 1,
        })
    }
}
