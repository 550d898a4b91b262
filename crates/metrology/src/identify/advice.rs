//! The next measurement: the one that is expected to tell most.
//!
//! For each quantity that is still open, the expected information (in bits) that its reading gives about which of the
//! leading threads this is: the mean over threads and readings of log2 of the reading's density under the thread over
//! that under all of them. Readings are taken with the usual hand tools; pitch by a count of turns with callipers.

use super::candidate::{Candidate, Expected};
use super::evidence::{Evidence, Quantity, UNCERTAINTY_LENGTH, usual_uncertainty};
use super::likelihood::density;
use super::rank::{Ranked, WELL_WITHIN};
use crate::designation::Kind;

/// Threads taken into account, most probable first.
const LEADING: usize = 6;
/// A thread this many times less probable than the first is no rival; look-alikes are named all the same.
const NEGLIGIBLE: f64 = 1e-4;
/// Turns that one can count on a screw.
const MOST_TURNS: u32 = 40;
/// Less information than this, in bits out of 1, does not tell two threads apart.
const TELLS_APART: f64 = 0.5;

/// The measurement to make next.
#[derive(Clone, Debug, PartialEq)]
pub struct Advice {
    /// What to measure.
    pub quantity: Quantity,
    /// The leading thread and the most probable rival that this tells from it.
    pub between: (&'static Candidate, &'static Candidate),
    /// Pitch: how many turns to count.
    pub turns: Option<u32>,
    /// The standard uncertainty that is counted on, in the unit of the quantity.
    pub standard_uncertainty: f64,
    /// Expected information about which of the leading threads it is, bits.
    pub information: f64,
    /// Expected information about which of the two it is, bits of 1, if both were equally likely.
    pub separation: f64,
    /// Whether the rival fits what was measured so far; if not, this only makes sure.
    pub in_doubt: bool,
}

/// Turns to count so that two pitches show with callipers: N at least 2 U(L)/ΔP; `None` above 40.
///
/// U(L) = 0.05 mm, twice the standard uncertainty of a length read over turns.
pub fn turns_to_tell_apart(pitch: f64, other: f64) -> Option<u32> {
    let turns = (4.0 * UNCERTAINTY_LENGTH / (pitch - other).abs()).ceil();
    if turns > f64::from(MOST_TURNS) || turns.is_nan() {
        return None;
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 0 and 40"
    )]
    Some((turns as u32).max(1))
}

/// The best next measurement among those that are still open.
pub(super) fn next(evidence: &Evidence, ranked: &[Ranked]) -> Option<Advice> {
    let leading: Vec<&Ranked> = leading(ranked);
    let (first, rivals) = leading.split_first()?;
    if rivals.is_empty() {
        return None;
    }
    let in_doubt = rivals.iter().any(|rival| rival.misfit <= WELL_WITHIN);
    let weighted: Vec<(&'static Candidate, f64)> = leading
        .iter()
        .map(|ranked| {
            // Only to make sure: as if nothing were known.
            let weight = if in_doubt { ranked.mean() } else { 1.0 };
            (ranked.candidate, weight)
        })
        .collect();
    Quantity::ALL
        .into_iter()
        .filter_map(|quantity| {
            let (turns, u) = method(evidence, quantity, first.candidate, rivals)?;
            let information = information(&weighted, quantity, u);
            let (rival, separation) = rival(first.candidate, rivals, quantity, u)?;
            Some(Advice {
                quantity,
                between: (first.candidate, rival),
                turns,
                standard_uncertainty: u,
                information,
                separation,
                in_doubt,
            })
        })
        .max_by(|a, b| worth(a).total_cmp(&worth(b)))
}

/// The most probable threads that fit; where only one does, the nearest other one with it, to make sure.
fn leading(ranked: &[Ranked]) -> Vec<&Ranked> {
    let Some(first) = ranked.first().filter(|first| first.misfit <= WELL_WITHIN) else {
        return Vec::new();
    };
    let is_rival = |ranked: &&Ranked| {
        ranked.misfit <= WELL_WITHIN && ranked.at_most > NEGLIGIBLE * first.at_most
    };
    let fitting: Vec<&Ranked> = ranked.iter().filter(is_rival).take(LEADING).collect();
    if fitting.len() < 2 {
        ranked.iter().take(2).collect()
    } else {
        fitting
    }
}

/// Information, less for what takes longer at the bench (common practice).
fn worth(advice: &Advice) -> f64 {
    let ease = match advice.quantity {
        Quantity::Pitch | Quantity::Major => 1.0,
        Quantity::Taper | Quantity::FlankAngle | Quantity::Minor => 0.95,
        Quantity::PitchDiameter => 0.85,
    };
    advice.information * ease
}

/// How the quantity would be measured: turns, and standard uncertainty. `None` if that is done, or tells nothing new.
fn method(
    evidence: &Evidence,
    quantity: Quantity,
    first: &Candidate,
    rivals: &[&Ranked],
) -> Option<(Option<u32>, f64)> {
    // Roots are out of reach of hand tools.
    let reachable = !matches!(
        (quantity, evidence.kind),
        (Quantity::Major, Kind::Internal) | (Quantity::Minor, Kind::External)
    );
    if !reachable {
        return None;
    }
    let done = evidence
        .best(quantity)
        .map(|seen| seen.standard_uncertainty);
    if quantity == Quantity::Pitch {
        // As many turns as the hardest rival needs that turns can tell at all, and enough to halve the uncertainty
        // of a count already made.
        let needed = rivals
            .iter()
            .filter_map(|rival| turns_to_tell_apart(first.pitch, rival.candidate.pitch))
            .max()?;
        let finer = done.map_or(1.0, |done| (2.0 * UNCERTAINTY_LENGTH / done).ceil());
        let turns = f64::from(needed).max(finer);
        if turns > f64::from(MOST_TURNS) {
            return None;
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "between 1 and 40"
        )]
        return Some((Some(turns as u32), UNCERTAINTY_LENGTH / turns));
    }
    // A second reading of the same diameter is the same diameter again.
    done.is_none().then(|| (None, usual_uncertainty(quantity)))
}

/// The most probable rival that the measurement tells from the first, or the one it tells best.
fn rival(
    first: &'static Candidate,
    rivals: &[&Ranked],
    quantity: Quantity,
    u: f64,
) -> Option<(&'static Candidate, f64)> {
    let told: Vec<(&'static Candidate, f64)> = rivals
        .iter()
        .map(|rival| {
            let both = [(first, 0.5), (rival.candidate, 0.5)];
            (rival.candidate, information(&both, quantity, u))
        })
        .collect();
    told.iter()
        .find(|(_, separation)| *separation >= TELLS_APART)
        .or_else(|| told.iter().max_by(|a, b| a.1.total_cmp(&b.1)))
        .copied()
}

/// Expected information of a reading about which of the threads it is, bits.
fn information(threads: &[(&'static Candidate, f64)], quantity: Quantity, u: f64) -> f64 {
    let total: f64 = threads.iter().map(|(_, weight)| weight).sum();
    let mut bits = 0.0;
    for (candidate, weight) in threads {
        let expected = candidate.expected(quantity);
        let mut own = 0.0;
        let mut share = 0.0;
        for reading in readings(expected, u) {
            let here = density(reading, u, expected);
            let all: f64 = threads
                .iter()
                .map(|(other, weight)| {
                    weight / total * density(reading, u, other.expected(quantity))
                })
                .sum();
            if here > 0.0 && all > 0.0 {
                own += here * libm::log2(here / all);
            }
            share += here;
        }
        if share > 0.0 {
            bits += weight / total * own / share;
        }
    }
    bits
}

/// Evenly spaced readings that a thread can give.
fn readings(expected: Expected, u: f64) -> impl Iterator<Item = f64> {
    const STEPS: u32 = 60;
    let (lower, upper) = match expected {
        Expected::Value(value) => (value, value),
        Expected::Band { any_class, .. } => any_class,
    };
    let (from, to) = (lower - 4.0 * u, upper + 4.0 * u);
    (0..=STEPS).map(move |step| from + (to - from) * f64::from(step) / f64::from(STEPS))
}
