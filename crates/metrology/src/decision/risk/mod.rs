//! What a decision rule costs over a whole production: consumer's and producer's risk.
//!
//! A *specific* risk is about one measured item and is read from its conformance probability: 1 - p_c of an
//! accepted item is the consumer's, p_c of a rejected one the producer's. A *global* risk is about the next item
//! to be made and measured, and needs to know the process it comes from. Source: JCGM 106:2012, clause 9.

mod integral;
mod made;
mod posterior;

use std::cmp::Ordering;

use integral::integrate;
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
    /// From.
    pub lower: Option<f64>,
    /// To.
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

    fn between(lower: Option<f64>, upper: f64) -> Interval {
        Interval {
            lower,
            upper: Some(upper),
        }
    }

    /// Shape, rate, tolerance, acceptance, u; consumer's and producer's risk and what does not conform, computed with 30
    /// digits (mpmath). The first two are the bearing of JCGM 106:2012, 9.5.4.
    #[test]
    fn gamma_processes_to_ten_digits() {
        let half_open = |upper| between(None, upper);
        for (shape, rate, tolerance, acceptance, u, wanted) in [
            (
                (4.0, 4.0, half_open(2.0), half_open(2.0), 0.25),
                [0.0080191118842872, 0.017444569229784, 0.042380111991684],
            ),
            (
                (4.0, 4.0, half_open(2.0), half_open(1.67), 0.25),
                [0.00098495364005995, 0.075983481025263, 0.042380111991684],
            ),
            (
                (0.5, 2.0, half_open(1.0), half_open(0.9), 0.1),
                [0.00080795076549044, 0.014904514183038, 0.045500263896358],
            ),
            (
                (
                    1.0,
                    3.0,
                    between(Some(0.05), 0.9),
                    between(Some(0.1), 0.85),
                    0.02,
                ),
                [0.00011332391587584, 0.12968523608739, 0.20649753631469],
            ),
            (
                (
                    900.0,
                    90.0,
                    between(Some(9.5), 10.6),
                    between(Some(9.6), 10.5),
                    0.06,
                ),
                [0.00067456415136958, 0.087346803998928, 0.10278172907822],
            ),
            (
                (0.02, 0.5, half_open(0.3), half_open(0.25), 0.04),
                [0.00010654000364588, 0.0034486001291728, 0.029128682387857],
            ),
        ]
        .map(|((a, b, t, acceptance, u), wanted)| (a, b, t, acceptance, u, wanted))
        {
            let process = Process::gamma(shape, rate).unwrap();
            let risk = process.global_risk(tolerance, acceptance, u).unwrap();
            let found = [risk.consumer, risk.producer, risk.nonconforming];
            for (found, wanted) in found.into_iter().zip(wanted) {
                assert!((found - wanted).abs() < 1e-10, "{shape}: {found} {wanted}");
            }
        }
    }

    /// Another way to the same numbers: sums over two million sizes, one by one, where (a - 1)! needs no special function.
    #[test]
    fn gamma_process_by_brute_force() {
        let (rate, upper, accepted, u) = (4.0, 2.0, 1.67, 0.25);
        let step = 1e-5;
        let (mut consumer, mut producer) = (0.0, 0.0);
        for n in 0..2_000_000 {
            let x = (f64::from(n) + 0.5) * step;
            let y = rate * x;
            let mass = rate * y * y * y / 6.0 * libm::exp(-y) * step;
            let chance = normal_cdf((accepted - x) / u);
            if x > upper {
                consumer += mass * chance;
            } else {
                producer += mass * (1.0 - chance);
            }
        }
        let process = Process::gamma(4.0, rate).unwrap();
        let risk = process
            .global_risk(at_most(upper), at_most(accepted), u)
            .unwrap();
        assert!(
            (risk.consumer - consumer).abs() < 1e-9,
            "{risk:?} {consumer}"
        );
        assert!(
            (risk.producer - producer).abs() < 1e-9,
            "{risk:?} {producer}"
        );
    }

    /// Shape 1 is the exponential distribution: with T the limit, A the acceptance limit and b the rate,
    /// R_C = e^(-bT) Φ((A - T)/u) - e^(b²u²/2 - bA) Φ((A - T)/u - bu), by parts.
    #[test]
    fn exponential_process_in_closed_form() {
        for (b, limit, accepted, u) in [(1.0, 3.0, 2.8, 0.2), (50.0, 0.1, 0.12, 0.01)] {
            let z = (accepted - limit) / u;
            let beyond = (b * u) * (b * u) / 2.0 - b * accepted;
            let wanted =
                libm::exp(-b * limit) * normal_cdf(z) - libm::exp(beyond) * normal_cdf(z - b * u);
            let risk = Process::gamma(1.0, b)
                .unwrap()
                .global_risk(at_most(limit), at_most(accepted), u)
                .unwrap();
            assert!((risk.consumer - wanted).abs() < 1e-12, "{risk:?} {wanted}");
        }
    }

    #[test]
    fn a_gamma_process_of_large_shape_is_normal() {
        // Shape 1e9 about 10: standard deviation 10/√1e9, skewness 2/√1e9.
        let (gamma, sd) = (Process::gamma(1e9, 1e8).unwrap(), 10.0 / 1e9_f64.sqrt());
        let normal = Process::normal(10.0, sd).unwrap();
        let (limit, u) = (10.0 + sd, sd / 3.0);
        let of = |process: &Process| {
            let risk = process.global_risk(at_most(limit), at_most(limit), u);
            risk.unwrap()
        };
        let (one, other) = (of(&gamma), of(&normal));
        assert!(
            (one.consumer - other.consumer).abs() < 1e-5,
            "{one:?} {other:?}"
        );
        assert!(
            (one.producer - other.producer).abs() < 1e-5,
            "{one:?} {other:?}"
        );
    }

    #[test]
    fn one_item_of_a_gamma_process() {
        // Computed with 30 digits over the sizes themselves (mpmath).
        for ((shape, rate), tolerance, (value, u), wanted) in [
            ((4.0, 4.0), at_most(2.0), (1.9, 0.25), 0.84013475711848),
            ((4.0, 4.0), at_most(2.0), (2.5, 0.25), 0.088560559923927),
            (
                (0.5, 2.0),
                between(Some(0.1), 1.0),
                (-0.2, 0.3),
                0.27517430179989,
            ),
            ((4.0, 4.0), at_most(2.0), (30.0, 0.5), 0.0),
            (
                (900.0, 90.0),
                between(Some(9.5), 10.6),
                (10.5, 0.06),
                0.97439976431669,
            ),
        ] {
            let process = Process::gamma(shape, rate).unwrap();
            let found = process.conformance(value, u, tolerance).unwrap();
            assert!((found - wanted).abs() < 1e-10, "{value}: {found} {wanted}");
        }
        let process = Process::gamma(4.0, 4.0).unwrap();
        assert_eq!(process.conformance(2.0, 0.0, at_most(2.0)), Some(1.0));
        assert_eq!(process.conformance(2.1, 0.0, at_most(2.0)), Some(0.0));
    }

    /// Ten sizes, one of them out by u and one of them in by u: Φ(-1) = 0.158 655 of each goes wrong, and Φ(-5) or less of
    /// the rest.
    #[test]
    fn sizes_as_they_were_recorded() {
        let mut sizes = vec![9.0; 8];
        sizes.extend([9.9, 10.1]);
        let process = Process::empirical(sizes).unwrap();
        let risk = process
            .global_risk(at_most(10.0), at_most(10.0), 0.1)
            .unwrap();
        assert!((risk.consumer - 0.015_865_5).abs() < 1e-7, "{risk:?}");
        assert!((risk.producer - 0.015_865_5).abs() < 1e-7, "{risk:?}");
        assert!((risk.nonconforming - 0.1).abs() < 1e-15);
        assert_eq!(process.conformance(9.9, 0.1, at_most(10.0)), None);
        assert!((process.moments().0 - 9.2).abs() < 1e-12);
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
        for (shape, rate) in [
            (-1.0, 1.0),
            (4.0, 0.0),
            (f64::NAN, 1.0),
            (4.0, f64::INFINITY),
        ] {
            assert!(matches!(
                Process::gamma(shape, rate),
                Err(RiskError::Process { .. })
            ));
        }
        for shape in [1e-4, 1e10] {
            assert!(matches!(
                Process::gamma(shape, 1.0),
                Err(RiskError::Shape { .. })
            ));
        }
        // A mean beyond all numbers.
        assert!(Process::gamma(4.0, 1e-320).is_err());
        assert_eq!(Process::empirical(Vec::new()), Err(RiskError::NoSizes));
        assert!(Process::empirical(vec![1.0, f64::NAN]).is_err());
        let process = Process::normal(0.0, 1.0).unwrap();
        assert!(process.global_risk(within(1.0), within(1.0), -0.1).is_err());
        assert!(
            process
                .global_risk(within(f64::INFINITY), within(1.0), 0.1)
                .is_err()
        );
    }
}
