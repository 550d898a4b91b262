//! What a decision rule costs over a whole production: consumer's and producer's risk.
//!
//! A *specific* risk is about one measured item and is read from its conformance probability: 1 - p_c of an
//! accepted item is the consumer's, p_c of a rejected one the producer's. A *global* risk is about the next item
//! to be made and measured, and needs to know the process it comes from. Source: JCGM 106:2012, clause 9.

mod made;
mod posterior;
#[cfg(test)]
mod tests;

use std::cmp::Ordering;

use crate::probability::integrate;
use made::Made;
pub use made::SHAPES;
use posterior::{of_gamma, of_normal};

use crate::uncertainty::normal_cdf;
use crate::uncertainty::statistics::Sample;

/// The distribution of the true sizes that a process makes, in any one unit.
#[derive(Clone, Debug, PartialEq)]
pub struct Process(Distribution);

#[derive(Clone, Debug, PartialEq)]
enum Distribution {
    /// With a density.
    Made(Made),
    /// These sizes, each as likely.
    Sizes(Vec<f64>),
}

crate::messages! {
    /// Why no risk can be computed.
    pub enum RiskError "risk" {
        /// A parameter of a process that is not a finite number above 0.
        Process "process" { what: Parameter as code, given: f64 as Given },
        /// The shape of a gamma process beyond what risks are computed for.
        Shape "shape" { given: f64 as Given, least: f64 as Given, most: f64 as Given },
        /// No sizes to make a distribution of.
        NoSizes "no-sizes",
        /// A number that is not finite.
        NotFinite "not-finite" { what: Parameter as code, given: f64 as Given },
        /// Below zero or not finite, millimetres.
        StandardUncertainty "standard-uncertainty" { given: f64 as Given },
    }
}

crate::codes! {
    /// A number that a risk is computed from.
    pub enum Parameter "risk-number" {
        /// The mean of a process.
        Mean "mean",
        /// The standard deviation of a normal process.
        StandardDeviation "standard-deviation",
        /// The shape of a gamma process.
        Shape "shape",
        /// The rate of a gamma process.
        Rate "rate",
        /// One of several sizes.
        Size "size",
        /// A bound of the acceptance or the tolerance.
        Bound "bound",
    }
}

/// Chances that concern the next item, each from 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GlobalRisk {
    /// Consumer's: the item does not conform and is accepted.
    pub consumer: f64,
    /// Producer's: the item conforms and is rejected.
    pub producer: f64,
    /// The item does not conform.
    pub nonconforming: f64,
}

/// An interval with one side or both; the other side is open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    pub lower: Option<f64>,
    pub upper: Option<f64>,
}

impl Process {
    /// A normal process.
    pub fn normal(mean: f64, standard_deviation: f64) -> Result<Self, RiskError> {
        Made::normal(mean, standard_deviation).map(|made| Self(Distribution::Made(made)))
    }

    /// A gamma process, for a quantity that cannot be below zero: density ∝ xᵃ⁻¹ e⁻ᵇˣ, a the shape and b the rate
    /// (JCGM 106:2012, 9.5.4).
    pub fn gamma(shape: f64, rate: f64) -> Result<Self, RiskError> {
        Made::gamma(shape, rate).map(|made| Self(Distribution::Made(made)))
    }

    /// The empirical distribution of these sizes, each as likely as another.
    pub fn empirical(sizes: Vec<f64>) -> Result<Self, RiskError> {
        if let Some(&given) = sizes.iter().find(|size| !size.is_finite()) {
            let what = Parameter::Size;
            return Err(RiskError::NotFinite { what, given });
        }
        if sizes.is_empty() {
            return Err(RiskError::NoSizes);
        }
        Ok(Self(Distribution::Sizes(sizes)))
    }

    /// Mean and standard deviation; of sizes, as of a sample of the process.
    pub fn moments(&self) -> (f64, f64) {
        match &self.0 {
            Distribution::Made(made) => (made.mean(), made.standard_deviation()),
            Distribution::Sizes(sizes) => Sample::of(sizes)
                .map_or((f64::NAN, f64::NAN), |sample| {
                    (sample.mean, sample.standard_deviation)
                }),
        }
    }

    /// The probability that an item of this process, measured as `value` with normal standard uncertainty `u`, lies within
    /// the tolerance (JCGM 106:2012, 6.4 and 7). `None` for a distribution of sizes, which says nothing of what lies
    /// between them, and for a value that the process cannot have made.
    pub fn conformance(&self, value: f64, u: f64, tolerance: Interval) -> Option<f64> {
        if u == 0.0 {
            return Some(f64::from(u8::from(tolerance.contains(value))));
        }
        match &self.0 {
            Distribution::Made(Made::Normal { mean, sd }) => {
                Some(of_normal(*mean, *sd, value, u, tolerance))
            }
            Distribution::Made(made @ Made::Gamma { shape, mean }) => {
                of_gamma(*made, *shape, *mean, value, u, tolerance)
            }
            Distribution::Sizes(_) => None,
        }
    }

    /// The risks of accepting what is *measured* within `acceptance`, with normal standard uncertainty `u`, when
    /// what *is* within `tolerance` conforms.
    ///
    /// R_C = ∫ g₀(η) a(η) dη outside the tolerance, R_P = ∫ g₀(η) (1 - a(η)) dη inside; a(η) is the chance that
    /// an item of size η is accepted (JCGM 106:2012, 9.5).
    pub fn global_risk(
        &self,
        tolerance: Interval,
        acceptance: Interval,
        u: f64,
    ) -> Result<GlobalRisk, RiskError> {
        for given in [
            tolerance.lower,
            tolerance.upper,
            acceptance.lower,
            acceptance.upper,
        ] {
            if let Some(given) = given.filter(|given| !given.is_finite()) {
                return Err(RiskError::NotFinite {
                    what: Parameter::Bound,
                    given,
                });
            }
        }
        if !u.is_finite() || u < 0.0 {
            return Err(RiskError::StandardUncertainty { given: u });
        }
        Ok(self.integrated(tolerance, acceptance, u))
    }

    /// How far the tolerance must be moved in for a consumer's risk of at most `consumer`; `None` where no guard band
    /// brings it there, 0 where none is needed (JCGM 106:2012, 9.5.4).
    pub fn guard_band(
        &self,
        tolerance: Interval,
        u: f64,
        consumer: f64,
    ) -> Result<Option<f64>, RiskError> {
        self.global_risk(tolerance, tolerance, u)?;
        let risk = |guard: f64| {
            self.integrated(tolerance, tolerance.moved_in(guard), u)
                .consumer
        };
        let (mut short, mut enough) = (0.0, 16.0 * u);
        if risk(short) <= consumer {
            return Ok(Some(0.0));
        }
        // NaN fails this comparison too.
        if !matches!(
            risk(enough).partial_cmp(&consumer),
            Some(Ordering::Less | Ordering::Equal)
        ) {
            return Ok(None);
        }
        for _ in 0..60 {
            let middle = f64::midpoint(short, enough);
            if risk(middle) <= consumer {
                enough = middle;
            } else {
                short = middle;
            }
        }
        Ok(Some(enough))
    }

    fn integrated(&self, tolerance: Interval, acceptance: Interval, u: f64) -> GlobalRisk {
        let mut risk = GlobalRisk {
            consumer: 0.0,
            producer: 0.0,
            nonconforming: 0.0,
        };
        match &self.0 {
            Distribution::Made(made) => {
                for piece in pieces(*made, tolerance, acceptance, u).windows(2) {
                    let &[from, to] = piece else { continue };
                    let missed = |at| acceptance.missed(made.size(at), u);
                    if tolerance.contains(made.size(f64::midpoint(from, to))) {
                        risk.producer += integrate(from, to, &|at| made.density(at) * missed(at));
                    } else {
                        risk.consumer +=
                            integrate(from, to, &|at| made.density(at) * (1.0 - missed(at)));
                        risk.nonconforming += integrate(from, to, &|at| made.density(at));
                    }
                }
            }
            Distribution::Sizes(sizes) => {
                for size in sizes {
                    let missed = acceptance.missed(*size, u);
                    if tolerance.contains(*size) {
                        risk.producer += missed;
                    } else {
                        risk.consumer += 1.0 - missed;
                        risk.nonconforming += 1.0;
                    }
                }
                let n = sizes.len() as f64;
                risk.producer /= n;
                risk.consumer /= n;
                risk.nonconforming /= n;
            }
        }
        risk
    }
}

/// The ends of the pieces over which everything under the integral is smooth, along the coordinate.
fn pieces(made: Made, tolerance: Interval, acceptance: Interval, u: f64) -> Vec<f64> {
    let edges = [acceptance.lower, acceptance.upper].into_iter().flatten();
    let near = |bound: f64| [-9.0, -4.0, -1.5, 0.0, 1.5, 4.0, 9.0].map(|z| bound + z * u);
    let sizes = edges.flat_map(near);
    cut(made.landmarks(), made, tolerance, sizes)
}

/// Places along the coordinate, with those of the limits and of some sizes between them.
fn cut(
    mut places: Vec<f64>,
    made: Made,
    tolerance: Interval,
    sizes: impl Iterator<Item = f64>,
) -> Vec<f64> {
    let (Some(&first), Some(&last)) = (places.first(), places.last()) else {
        return places;
    };
    let limits = [tolerance.lower, tolerance.upper].into_iter().flatten();
    places.extend(
        limits
            .chain(sizes)
            .filter_map(|size| made.coordinate(size))
            .filter(|place| (first..=last).contains(place)),
    );
    places.sort_by(f64::total_cmp);
    places.dedup();
    places
}

impl Interval {
    fn moved_in(self, guard: f64) -> Self {
        Self {
            lower: self.lower.map(|lower| lower + guard),
            upper: self.upper.map(|upper| upper - guard),
        }
    }

    fn contains(&self, size: f64) -> bool {
        self.lower.is_none_or(|lower| size >= lower) && self.upper.is_none_or(|upper| size <= upper)
    }

    /// The chance that an item of this size is measured outside.
    fn missed(&self, size: f64, u: f64) -> f64 {
        let beyond = |distance: Option<f64>| match distance {
            Some(distance) if u > 0.0 => normal_cdf(-distance / u),
            Some(distance) if distance < 0.0 => 1.0,
            _ => 0.0,
        };
        let below = beyond(self.lower.map(|lower| size - lower));
        let above = beyond(self.upper.map(|upper| upper - size));
        (below + above).min(1.0)
    }
}
