//! What a decision rule costs over a whole production: consumer's and producer's risk.
//!
//! A *specific* risk is about one measured item and is read from its conformance probability: 1 - p_c of an
//! accepted item is the consumer's, p_c of a rejected one the producer's. A *global* risk is about the next item
//! to be made and measured, and needs to know the process it comes from. Source: JCGM 106:2012, clause 9.

use std::cmp::Ordering;

use crate::uncertainty::{normal_cdf, normal_density};

/// The distribution of the true sizes that a process makes, in any one unit.
pub struct Process {
    density: Box<dyn Fn(f64) -> f64>,
    /// Where the density begins and ends, and places between that cut it into smooth, similar pieces.
    landmarks: Vec<f64>,
}

crate::messages! {
    /// Why no risk can be computed.
    pub enum RiskError "risk" {
        /// A parameter of a process that is not a finite number above 0.
        Process "process" { what: Parameter as code, given: f64 as Number },
        /// A number that is not finite.
        NotFinite "not-finite" { what: Parameter as code, given: f64 as Number },
        /// Below zero or not finite, millimetres.
        StandardUncertainty "standard-uncertainty" { given: f64 as Number },
    }
}

crate::codes! {
    /// A number that a risk is computed from.
    pub enum Parameter "risk-number" {
        /// The standard deviation of a normal process.
        StandardDeviation "standard-deviation",
        /// The shape of a gamma process.
        Shape "shape",
        /// The rate of a gamma process.
        Rate "rate",
        /// A place where the density of a process is cut into pieces.
        Landmark "landmark",
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
    /// From.
    pub lower: Option<f64>,
    /// To.
    pub upper: Option<f64>,
}

impl Process {
    /// A normal process.
    pub fn normal(mean: f64, standard_deviation: f64) -> Result<Self, RiskError> {
        let (mean, sd) = (
            mean,
            above_zero(Parameter::StandardDeviation, standard_deviation)?,
        );
        let landmarks = [-9.0, -5.0, -2.0, 0.0, 2.0, 5.0, 9.0].map(|z| mean + z * sd);
        Self::new(
            move |size| normal_density((size - mean) / sd) / sd,
            landmarks.to_vec(),
        )
    }

    /// A gamma process, for a quantity that cannot be below zero: density ∝ xᵃ⁻¹ e⁻ᵇˣ.
    pub fn gamma(shape: f64, rate: f64) -> Result<Self, RiskError> {
        let (shape, rate) = (
            above_zero(Parameter::Shape, shape)?,
            above_zero(Parameter::Rate, rate)?,
        );
        let norm = shape * libm::log(rate) - libm::lgamma(shape);
        let (mean, sd) = (shape / rate, shape.sqrt() / rate);
        let mut landmarks = vec![0.0];
        landmarks.extend([0.25, 0.5, 1.0].map(|part| mean * part));
        landmarks.extend([1.0, 3.0, 6.0, 12.0, 24.0].map(|z| mean + z * sd));
        Self::new(
            move |x| libm::exp(norm + (shape - 1.0) * libm::log(x) - rate * x),
            landmarks,
        )
    }

    /// Any process: its density, with where it begins, where it ends, and places between that cut it into smooth,
    /// similar pieces.
    pub fn new(
        density: impl Fn(f64) -> f64 + 'static,
        landmarks: Vec<f64>,
    ) -> Result<Self, RiskError> {
        match landmarks.iter().find(|landmark| !landmark.is_finite()) {
            Some(&given) => Err(RiskError::NotFinite {
                what: Parameter::Landmark,
                given,
            }),
            None => Ok(Self {
                density: Box::new(density),
                landmarks,
            }),
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
        for piece in self.pieces(tolerance, acceptance, u).windows(2) {
            let &[from, to] = piece else { continue };
            let conforms = tolerance.contains(f64::midpoint(from, to));
            let mass = integrate(from, to, &self.density);
            let accepted = integrate(from, to, |size| {
                (self.density)(size) * acceptance.chance(size, u)
            });
            if conforms {
                risk.producer += mass - accepted;
            } else {
                risk.consumer += accepted;
                risk.nonconforming += mass;
            }
        }
        risk
    }

    /// The ends of the pieces over which everything under the integral is smooth.
    fn pieces(&self, tolerance: Interval, acceptance: Interval, u: f64) -> Vec<f64> {
        let mut ends = self.landmarks.clone();
        ends.sort_by(f64::total_cmp);
        let (Some(&first), Some(&last)) = (ends.first(), ends.last()) else {
            return ends;
        };
        ends.extend([tolerance.lower, tolerance.upper].into_iter().flatten());
        for bound in [acceptance.lower, acceptance.upper].into_iter().flatten() {
            ends.extend([-9.0, -4.0, -1.5, 0.0, 1.5, 4.0, 9.0].map(|z| bound + z * u));
        }
        ends.retain(|end| (first..=last).contains(end));
        ends.sort_by(f64::total_cmp);
        ends.dedup();
        ends
    }
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

    /// The chance that an item of this size is measured inside.
    fn chance(&self, size: f64, u: f64) -> f64 {
        let beyond = |distance: Option<f64>| match distance {
            Some(distance) if u > 0.0 => normal_cdf(-distance / u),
            Some(distance) if distance < 0.0 => 1.0,
            _ => 0.0,
        };
        let below = beyond(self.lower.map(|lower| size - lower));
        let above = beyond(self.upper.map(|upper| upper - size));
        (1.0 - (below + above)).max(0.0)
    }
}

fn above_zero(what: Parameter, given: f64) -> Result<f64, RiskError> {
    if given.is_finite() && given > 0.0 {
        Ok(given)
    } else {
        Err(RiskError::Process { what, given })
    }
}

/// Gauss-Legendre integration with eight points (Abramowitz and Stegun 25.4.30) on each of four panels.
fn integrate(from: f64, to: f64, f: impl Fn(f64) -> f64) -> f64 {
    const POINTS: [(f64, f64); 4] = [
        (0.183434642495649805, 0.362683783378361983),
        (0.525532409916328986, 0.313706645877887287),
        (0.796666477413626740, 0.222381034453374471),
        (0.960289856497536232, 0.101228536290376259),
    ];
    const PANELS: f64 = 4.0;
    let half = (to - from) / PANELS / 2.0;
    let panel = |middle: f64| -> f64 {
        POINTS
            .iter()
            .map(|(x, weight)| weight * (f(middle - half * x) + f(middle + half * x)))
            .sum()
    };
    [1.0, 3.0, 5.0, 7.0]
        .map(|n| panel(from + n * half))
        .iter()
        .sum::<f64>()
        * half
}

#[cfg(test)]
mod tests {
    use super::super::zones::managed_multiplier;
    use super::*;

    fn at_most(upper: f64) -> Interval {
        Interval {
            lower: None,
            upper: Some(upper),
        }
    }

    fn within(half: f64) -> Interval {
        Interval {
            lower: Some(-half),
            upper: Some(half),
        }
    }

    #[test]
    fn bearing_error_motion() {
        // JCGM 106:2012, 9.5.4 (second-hand quotation): gamma prior a = 4, b = 4 per µm, T_U = 2 µm, u = 0.25 µm:
        // 4.2 % nonconforming, R_C = 0.8 %. Full precision recomputed: 0.04238, 0.00802, R_P 0.01744.
        let process = Process::gamma(4.0, 4.0).unwrap();
        let simple = process
            .global_risk(at_most(2.0), at_most(2.0), 0.25)
            .unwrap();
        assert!((simple.nonconforming - 0.04238).abs() < 5e-6, "{simple:?}");
        assert!((simple.consumer - 0.00802).abs() < 5e-6, "{simple:?}");
        assert!((simple.producer - 0.01744).abs() < 5e-6, "{simple:?}");
        // A guard band that brings R_C to 0.1 % ends at 1.67 µm; recomputed A = 1.6718, R_P = 0.0755.
        let guarded = process
            .global_risk(at_most(2.0), at_most(1.6718), 0.25)
            .unwrap();
        assert!((guarded.consumer - 0.001).abs() < 1e-6, "{guarded:?}");
        assert!((guarded.producer - 0.0755).abs() < 5e-5, "{guarded:?}");
        let guard = process
            .guard_band(at_most(2.0), 0.25, 0.001)
            .unwrap()
            .unwrap();
        assert!((2.0 - guard - 1.6718).abs() < 5e-5, "{guard}");
        assert_eq!(process.guard_band(at_most(2.0), 0.25, 0.01), Ok(Some(0.0)));
        assert_eq!(process.guard_band(at_most(2.0), 0.25, -1.0), Ok(None));
    }

    /// The largest global consumer's risk over all centred normal processes, T = 2 and U95 = 1/TUR with k = 2.
    fn worst(test_uncertainty_ratio: f64, multiplier: f64) -> f64 {
        let expanded = 1.0 / test_uncertainty_ratio;
        let u = expanded / 2.0;
        (1..400)
            .map(|i| {
                let process = Process::normal(0.0, 0.01 * f64::from(i)).unwrap();
                process
                    .global_risk(within(1.0), within(1.0 - multiplier * expanded), u)
                    .unwrap()
                    .consumer
            })
            .fold(0.0, f64::max)
    }

    #[test]
    fn managed_guard_band_keeps_two_percent() {
        // ANSI/NCSL Z540.3-2006, 5.3 b: worst global risk of false acceptance, with the managed guard band and
        // without any; recomputed by an independent integration.
        for (ratio, managed, none) in [
            (1.5, 0.0191, 0.053),
            (2.0, 0.0192, 0.042),
            (3.0, 0.0193, 0.029),
            (4.0, 0.0196, 0.022),
            (4.6, 0.0196, 0.0196),
        ] {
            let found = worst(ratio, managed_multiplier(ratio));
            assert!((found - managed).abs() < 1e-4, "{ratio}: {found}");
            assert!(found < 0.02);
            let found = worst(ratio, 0.0);
            assert!((found - none).abs() < 6e-4, "{ratio}: {found}");
        }
    }

    #[test]
    fn chances_sum() {
        // Certain measurement: no risk; and what is nonconforming is the tail.
        let process = Process::normal(0.3, 0.5).unwrap();
        let risk = process.global_risk(within(1.0), within(1.0), 0.0).unwrap();
        assert!(risk.consumer.abs() < 1e-14 && risk.producer.abs() < 1e-14);
        let tails = normal_cdf(-1.4) + normal_cdf(-2.6);
        assert!((risk.nonconforming - tails).abs() < 1e-12);
    }

    #[test]
    fn the_managed_guard_band_needs_a_centred_process() {
        // A narrow process just outside the upper limit: the 2 % rule does not hold 2 %.
        let (ratio, expanded) = (4.0, 0.25);
        let acceptance = within(1.0 - managed_multiplier(ratio) * expanded);
        let risk = Process::normal(1.02, 0.01).unwrap().global_risk(
            within(1.0),
            acceptance,
            expanded / 2.0,
        );
        assert!(risk.unwrap().consumer > 0.2);
    }

    #[test]
    fn wrong_questions_are_refused() {
        assert!(Process::normal(0.0, 0.0).is_err());
        assert!(Process::normal(f64::NAN, 1.0).is_err());
        assert!(Process::gamma(-1.0, 1.0).is_err());
        let process = Process::normal(0.0, 1.0).unwrap();
        assert!(process.global_risk(within(1.0), within(1.0), -0.1).is_err());
        assert!(
            process
                .global_risk(within(f64::INFINITY), within(1.0), 0.1)
                .is_err()
        );
    }
}
