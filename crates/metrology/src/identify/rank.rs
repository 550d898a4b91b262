//! Prior and likelihood brought together.

use super::candidate::{Candidate, candidates};
use super::evidence::{Evidence, Quantity};
use super::likelihood::{density, density_of_any, misfit};
use super::prior::Prior;

/// A reading further outside than this many standard uncertainties does not fit.
pub const WELL_WITHIN: f64 = 3.0;

/// How likely a thread is of no table at all, before anything is measured (common practice).
const NONE_OF_THESE: f64 = 0.001;

/// A thread and how well it goes with everything measured.
#[derive(Clone, Debug)]
pub struct Ranked {
    pub candidate: &'static Candidate,
    /// From 0 to 1; the least under every prior that is to be satisfied.
    pub probability: f64,
    /// The greatest; the same where one prior is stated.
    pub at_most: f64,
    /// Position of its group among the groups.
    pub group: usize,
    /// The worst of all readings: by how many standard uncertainties it lies outside what any class allows.
    pub misfit: f64,
    /// The same for each reading, in the order of the evidence.
    pub misfits: Vec<f64>,
    /// Natural logarithm of the likelihood: how well the readings go with it, whatever one meets more often.
    log_likelihood: f64,
    /// The probability under each prior.
    posteriors: Vec<f64>,
}

/// Threads that the readings do not tell apart.
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    /// Positions in the ranking, the most probable first.
    pub members: Vec<usize>,
    /// The probability that it is one of them; the least under every prior that is to be satisfied.
    pub probability: f64,
}

/// What rank gives.
pub(super) struct Ranking {
    pub ranked: Vec<Ranked>,
    pub groups: Vec<Group>,
    pub none_of_these: f64,
}

/// Evidence by less than this factor is "barely worth mentioning" (H. Jeffreys, Theory of Probability, appendix B:
/// the root of ten).
const ALIKE: f64 = 3.162_277_660_168_379_5;

impl Ranked {
    /// Whether the readings alone do not tell it from another thread: what is left between them is how common they
    /// are.
    pub fn fits_like(&self, other: &Self) -> bool {
        (self.log_likelihood - other.log_likelihood).abs() < libm::log(ALIKE)
    }

    /// The mean of the probabilities under all priors.
    pub(super) fn mean(&self) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "a handful of priors")]
        let count = self.posteriors.len() as f64;
        self.posteriors.iter().sum::<f64>() / count
    }

    /// How many readings do not fit.
    fn outside(&self) -> usize {
        self.misfits
            .iter()
            .filter(|&&misfit| misfit > WELL_WITHIN)
            .count()
    }
}

/// All candidates by falling probability (then by misfit), their groups, and the probability of none of them.
pub(super) fn rank(evidence: &Evidence, prior: &Prior) -> Ranking {
    let candidates = candidates(evidence.kind);
    // Logarithms, because densities of many good readings leave the range of a number.
    let likelihood = |candidate: &Candidate| -> f64 {
        let logarithms = evidence.observations.iter().map(|seen| {
            let expected = candidate.expected(seen.quantity);
            libm::log(density(seen.value, seen.standard_uncertainty, expected))
        });
        logarithms.sum()
    };
    let likelihoods: Vec<f64> = candidates.iter().map(likelihood).collect();
    let of_any: f64 = (evidence.observations.iter())
        .map(|seen| libm::log(density_of_any(seen)))
        .sum();
    let mut posteriors: Vec<Vec<f64>> = vec![Vec::new(); candidates.len()];
    let mut none_of_these: f64 = 0.0;
    for shares in prior.shares(candidates) {
        let (of_each, none) = posterior(&shares, &likelihoods, of_any);
        for (all, probability) in posteriors.iter_mut().zip(of_each) {
            all.push(probability);
        }
        none_of_these = none_of_these.max(none);
    }
    let mut ranked: Vec<Ranked> = (candidates.iter().zip(likelihoods).zip(posteriors))
        .map(|((candidate, log_likelihood), posteriors)| {
            let misfits: Vec<f64> = evidence
                .observations
                .iter()
                .map(|seen| misfit(seen, candidate.expected(seen.quantity)))
                .collect();
            Ranked {
                candidate,
                probability: posteriors.iter().copied().fold(1.0, f64::min),
                at_most: posteriors.iter().copied().fold(0.0, f64::max),
                group: 0,
                misfit: misfits.iter().copied().fold(0.0, f64::max),
                misfits,
                log_likelihood,
                posteriors,
            }
        })
        .collect();
    ranked.sort_by(|a, b| {
        b.probability
            .total_cmp(&a.probability)
            .then(a.misfit.total_cmp(&b.misfit))
    });
    // Where nothing fits at all, every probability is near zero and says little: the nearest first, by its worst
    // reading in standard uncertainties.
    if ranked.iter().all(|ranked| ranked.misfit > WELL_WITHIN) {
        ranked.sort_by(|a, b| a.misfit.total_cmp(&b.misfit));
    }
    let groups = group(&mut ranked);
    Ranking {
        ranked,
        groups,
        none_of_these,
    }
}

/// The probability of each candidate, and of none of them, under one prior.
fn posterior(shares: &[f64], likelihoods: &[f64], of_any: f64) -> (Vec<f64>, f64) {
    let logarithms: Vec<f64> = (shares.iter().zip(likelihoods))
        .map(|(share, likelihood)| libm::log((1.0 - NONE_OF_THESE) * share) + likelihood)
        .collect();
    let none = libm::log(NONE_OF_THESE) + of_any;
    let largest = logarithms.iter().copied().fold(none, f64::max);
    let weight = |logarithm: f64| libm::exp(logarithm - largest);
    let sum: f64 = weight(none) + logarithms.iter().copied().map(weight).sum::<f64>();
    let of_each = logarithms.into_iter().map(|one| weight(one) / sum);
    (of_each.collect(), weight(none) / sum)
}

/// Puts each thread that fits with the first that the readings do not tell it from; one that does not fit is alone.
fn group(ranked: &mut [Ranked]) -> Vec<Group> {
    let mut groups: Vec<(usize, Vec<usize>)> = Vec::new();
    for index in 0..ranked.len() {
        let Some(one) = ranked.get(index) else { break };
        let with = (groups.iter()).position(|(first, _)| {
            (ranked.get(*first)).is_some_and(|first| {
                first.misfit <= WELL_WITHIN && one.misfit <= WELL_WITHIN && one.fits_like(first)
            })
        });
        let group = with.unwrap_or(groups.len());
        if let Some((_, members)) = groups.get_mut(group) {
            members.push(index);
        } else {
            groups.push((index, vec![index]));
        }
        if let Some(one) = ranked.get_mut(index) {
            one.group = group;
        }
    }
    let priors = ranked.first().map_or(0, |first| first.posteriors.len());
    let together = |members: &[usize]| {
        let under = |prior: usize| -> f64 {
            let posteriors = members.iter().filter_map(|member| ranked.get(*member));
            posteriors.filter_map(|one| one.posteriors.get(prior)).sum()
        };
        (0..priors).map(under).fold(1.0, f64::min)
    };
    groups
        .into_iter()
        .map(|(_, members)| Group {
            probability: together(&members),
            members,
        })
        .collect()
}

/// Quantities whose reading fits none of the threads that the other readings leave.
///
/// Empty where some thread fits everything, and where no single reading is to blame all are named.
pub(super) fn fit_none(evidence: &Evidence, ranked: &[Ranked]) -> Vec<Quantity> {
    if ranked.iter().any(|ranked| ranked.misfit <= WELL_WITHIN) {
        return Vec::new();
    }
    let others_fit = |index: usize| {
        let alone = |ranked: &Ranked| {
            ranked.outside() == 1
                && ranked
                    .misfits
                    .get(index)
                    .is_some_and(|&misfit| misfit > WELL_WITHIN)
        };
        ranked.iter().any(alone)
    };
    let quantities = |blamed: &dyn Fn(usize) -> bool| {
        let mut found: Vec<Quantity> = Vec::new();
        for (index, seen) in evidence.observations.iter().enumerate() {
            if blamed(index) && !found.contains(&seen.quantity) {
                found.push(seen.quantity);
            }
        }
        found
    };
    let blamed = quantities(&others_fit);
    if blamed.is_empty() {
        quantities(&|_| true)
    } else {
        blamed
    }
}
