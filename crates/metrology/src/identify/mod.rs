//! Which thread is this? From what was measured on an unknown screw or nut to the threads it can be.
//!
//! * `evidence.rs`: what was measured, with its uncertainty, and what is refused;
//! * `candidate.rs`: every standard thread of every form, with what each would measure;
//! * `weights.rs`: how often one meets it in each kind of shop (common practice);
//! * `prior.rs`: how likely it is before anything is measured, by the kind of shop or its records;
//! * `likelihood.rs`: how well a reading goes with what a thread would measure;
//! * `rank.rs`: the two brought together, and whether anything fits at all;
//! * `lookalike.rs`: rivals that no pitch measurement tells apart, and what does;
//! * `advice.rs`: the next measurement that tells most;
//! * `miscount.rs`: where nothing fits, the mistakes with a pitch that would explain it.
//!
//! As long as nobody has said which shop it is, the probability of a thread is the least that any kind of shop gives
//! it (lower probability; P. Walley, Statistical Reasoning with Imprecise Probabilities, 1991): those of all threads
//! then sum to less than one. Threads that the readings do not tell apart are one group, whose probability is found in
//! the same way and is what can be relied on.
//!
//! A real screw is below nominal: a reading is not held against the nominal diameter but against the whole tolerance
//! band. Everything here is `f64` millimetres and degrees; nothing is decided at a limit.

mod advice;
mod candidate;
mod evidence;
mod likelihood;
mod lookalike;
mod miscount;
mod prior;
mod rank;
mod weights;

pub use advice::{Advice, turns_to_tell_apart};
pub use candidate::{Candidate, Expected, candidates};
pub use evidence::{
    Evidence, EvidenceError, Measured, Observation, Possible, Quantity, UNCERTAINTY_LENGTH,
    pitch_from_count, usual_uncertainty,
};
pub use lookalike::{Difference, Growth, LookAlike};
pub use miscount::{Miscount, miscounts};
pub use prior::Prior;
pub use rank::{Group, Ranked, WELL_WITHIN};
pub use weights::Shop;

#[derive(Clone, Debug)]
pub struct Identification {
    /// Threads by falling probability; all of them, so that nothing is hidden by a threshold.
    pub ranked: Vec<Ranked>,
    /// Threads that the readings do not tell apart, in the order of their first; only groups of threads that fit.
    pub groups: Vec<Group>,
    /// The probability that it is none of the standard threads; the greatest, where no prior is stated.
    pub none_of_these: f64,
    /// Readings that fit none of the threads that all other readings leave.
    pub fit_none: Vec<Quantity>,
    /// Rivals of the first that no count of turns tells from it.
    pub look_alikes: Vec<LookAlike>,
    /// The measurement to make next; `None` where nothing fits.
    pub advice: Option<Advice>,
    /// What was taken to be known beforehand.
    pub prior: Prior,
}

impl Identification {
    /// Whether the most probable thread goes with every reading.
    pub fn fits(&self) -> bool {
        self.fit_none.is_empty()
            && self
                .ranked
                .first()
                .is_some_and(|first| first.misfit <= WELL_WITHIN)
    }
}

/// Ranks all standard threads by the evidence and by what is known of the shop.
///
/// ```
/// use metrology::designation::Kind;
/// use metrology::identify::{Evidence, Observation, Prior, Quantity, identify, usual_uncertainty};
///
/// let seen = |quantity, value| Observation {
///     quantity,
///     value,
///     standard_uncertainty: usual_uncertainty(quantity),
/// };
/// let evidence = Evidence {
///     kind: Kind::External,
///     observations: vec![seen(Quantity::Major, 9.85), seen(Quantity::Pitch, 1.5)],
/// };
/// let found = identify(&evidence, &Prior::Unstated)?;
/// assert!(found.fits());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn identify(evidence: &Evidence, prior: &Prior) -> Result<Identification, EvidenceError> {
    evidence.check()?;
    let rank::Ranking {
        ranked,
        groups,
        none_of_these,
    } = rank::rank(evidence, prior);
    let fit_none = rank::fit_none(evidence, &ranked);
    let look_alikes = lookalike::of_first(&ranked);
    let advice = advice::next(evidence, &ranked);
    Ok(Identification {
        ranked,
        groups,
        none_of_these,
        fit_none,
        look_alikes,
        advice,
        prior: prior.clone(),
    })
}
