//! Two mistakes with a pitch that show in the numbers: crests counted as pitches, and the lead of several starts taken for the pitch.
//!
//! n crests span n - 1 pitches, so the pitch of crests counted as pitches is too small by (n - 1)/n. A thread of several starts
//! advances by its lead in one turn, which is the pitch times the starts (ISO 5408, from memory). Both are looked for only where no
//! standard thread fits what was measured, and a diameter was measured too: almost any pitch is some fraction of a standard one.

use super::Identification;
use super::evidence::{Evidence, Quantity};
use super::rank::{Ranked, WELL_WITHIN, rank};

/// Counts tried where none is known: those that one counts (common practice, no source).
const USUAL_COUNTS: [u32; 3] = [10, 20, 5];
/// More starts than these are rare on a thread with a standard pitch (common practice, no source).
const STARTS: std::ops::RangeInclusive<u32> = 2..=6;
/// More would be a table, not a hint.
const MOST: usize = 3;

crate::messages! {
    /// What a measured pitch can be instead.
    pub enum Miscount "miscount" {
        /// The crests were counted; so many pitches lie between them.
        Crests "crests" { crests: u32 as whole, pitches: u32 as whole, pitch: f64 as Size, threads: Vec<String> as one_of },
        /// The lead of several starts.
        Lead "lead" { starts: u32 as whole, lead: f64 as Size, pitch: f64 as Size, threads: Vec<String> as one_of },
    }
}

impl Miscount {
    /// A short name for programs.
    pub fn kind(&self) -> &'static str {
        let code = self.code();
        code.split_once('.').map_or(code, |(_, kind)| kind)
    }

    /// The pitch that it is then, mm.
    pub const fn pitch(&self) -> f64 {
        match self {
            Self::Crests { pitch, .. } | Self::Lead { pitch, .. } => *pitch,
        }
    }

    /// The threads that then fit everything measured, most probable first.
    pub fn threads(&self) -> &[String] {
        match self {
            Self::Crests { threads, .. } | Self::Lead { threads, .. } => threads,
        }
    }
}

/// The mistakes that make a standard thread of what fits none; `counted` is the number that the pitch was found with, if it was
/// found by a count. Empty where a thread fits, and where no diameter or no pitch was measured.
pub fn miscounts(
    evidence: &Evidence,
    found: &Identification,
    counted: Option<u32>,
) -> Vec<Miscount> {
    let diameter = [Quantity::Major, Quantity::PitchDiameter, Quantity::Minor]
        .into_iter()
        .any(|quantity| evidence.best(quantity).is_some());
    let Some(measured) = evidence.best(Quantity::Pitch) else {
        return Vec::new();
    };
    if !diameter || found.fits() {
        return Vec::new();
    }
    let measured = measured.value;
    let fits = |factor: f64| Some(fitting(evidence, found, factor)).filter(|all| !all.is_empty());
    let known = counted.filter(|crests| *crests > 1);
    let counts = known.map_or(USUAL_COUNTS.to_vec(), |crests| vec![crests]);
    let crests = counts.into_iter().find_map(|crests| {
        let factor = f64::from(crests) / f64::from(crests - 1);
        fits(factor).map(|threads| Miscount::Crests {
            crests,
            pitches: crests - 1,
            pitch: measured * factor,
            threads,
        })
    });
    let lead = STARTS.into_iter().find_map(|starts| {
        let pitch = measured / f64::from(starts);
        fits(1.0 / f64::from(starts)).map(|threads| Miscount::Lead {
            starts,
            lead: measured,
            pitch,
            threads,
        })
    });
    crests.into_iter().chain(lead).collect()
}

/// The threads that fit with the pitch so many times as large.
fn fitting(evidence: &Evidence, found: &Identification, factor: f64) -> Vec<String> {
    let mut other = evidence.clone();
    for seen in &mut other.observations {
        if seen.quantity == Quantity::Pitch {
            seen.value *= factor;
            seen.standard_uncertainty *= factor;
        }
    }
    let ranked = rank(&other, &found.prior).ranked;
    let fits = |ranked: &&Ranked| ranked.misfit <= WELL_WITHIN;
    let threads = ranked.iter().filter(fits).take(MOST);
    threads
        .map(|ranked| ranked.candidate.designation.clone())
        .collect()
}
