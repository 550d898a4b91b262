//! Prior and likelihood brought together.

use super::candidate::{Candidate, candidates};
use super::evidence::{Evidence, Quantity};
use super::likelihood::{density, density_of_any, misfit};

/// A reading further outside than this many standard uncertainties does not fit.
pub const WELL_WITHIN: f64 = 3.0;

/// How likely a thread is of no table at all, before anything is measured (common practice).
const NONE_OF_THESE: f64 = 0.001;

/// A thread and how well it goes with everything measured.
#[derive(Clone, Debug)]
pub struct Ranked {
    /// The thread.
    pub candidate: &'static Candidate,
    /// From 0 to 1.
    pub probability: f64,
    /// The worst of all readings: by how many standard uncertainties it lies outside what any class allows.
    pub misfit: f64,
    /// The same for each reading, in the order of the evidence.
    pub misfits: Vec<f64>,
    /// Natural logarithm of the likelihood: how well the readings go with it, whatever one meets more often.
    log_likelihood: f64,
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

    /// How many readings do not fit.
    fn outside(&self) -> usize {
        self.misfits
            .iter()
            .filter(|&&misfit| misfit > WELL_WITHIN)
            .count()
    }
}

/// All candidates by falling probability (then by misfit), and the probability of none of them.
pub(super) fn rank(evidence: &Evidence, flat_prior: bool) -> (Vec<Ranked>, f64) {
    let candidates = candidates(evidence.kind);
    let weight = |candidate: &Candidate| if flat_prior { 1.0 } else { candidate.weight };
    let total: f64 = candidates.iter().map(weight).sum();
    // Logarithms, because densities of many good readings leave the range of a number.
    let likelihood = |candidate: &Candidate| -> f64 {
        let logarithms = evidence.observations.iter().map(|seen| {
            let expected = candidate.expected(seen.quantity);
            libm::log(density(seen.value, seen.standard_uncertainty, expected))
        });
        logarithms.sum()
    };
    let likelihoods: Vec<f64> = candidates.iter().map(likelihood).collect();
    let prior = |candidate| libm::log((1.0 - NONE_OF_THESE) * weight(candidate) / total);
    let logarithms: Vec<f64> = (candidates.iter().zip(&likelihoods))
        .map(|(candidate, likelihood)| prior(candidate) + likelihood)
        .collect();
    let none = libm::log(NONE_OF_THESE)
        + evidence
            .observations
            .iter()
            .map(|seen| libm::log(density_of_any(seen)))
            .sum::<f64>();
    let largest = logarithms.iter().copied().fold(none, f64::max);
    let share = |logarithm: f64| libm::exp(logarithm - largest);
    let sum: f64 = share(none) + logarithms.iter().copied().map(share).sum::<f64>();
    let mut ranked: Vec<Ranked> = candidates
        .iter()
        .zip(logarithms.into_iter().zip(likelihoods))
        .map(|(candidate, (logarithm, log_likelihood))| {
            let misfits: Vec<f64> = evidence
                .observations
                .iter()
                .map(|seen| misfit(seen, candidate.expected(seen.quantity)))
                .collect();
            Ranked {
                candidate,
                probability: share(logarithm) / sum,
                misfit: misfits.iter().copied().fold(0.0, f64::max),
                misfits,
                log_likelihood,
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
    (ranked, share(none) / sum)
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
