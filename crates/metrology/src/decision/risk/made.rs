//! The distributions that the true sizes of a process can have, each along a coordinate in which its density is smooth.

use std::f64::consts::TAU;

use super::{Parameter, RiskError};

/// The shapes of a gamma process that risks are computed for: below, the sizes are spread over hundreds of powers of ten;
/// above, they are as good as normal.
pub const SHAPES: (f64, f64) = (0.001, 1e9);

/// The tails end where the density is e⁻⁴⁵ of its greatest.
const NEGLIGIBLE: f64 = 45.0;

/// A distribution with a density.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Made {
    /// Along z = (size - mean)/sd.
    Normal { mean: f64, sd: f64 },
    /// Along t = ln(size/mean), where the density has no pole at a size of zero; the mean is shape/rate.
    Gamma { shape: f64, mean: f64 },
}

impl Made {
    pub fn normal(mean: f64, standard_deviation: f64) -> Result<Self, RiskError> {
        if !mean.is_finite() {
            let what = Parameter::Mean;
            return Err(RiskError::NotFinite { what, given: mean });
        }
        let sd = above_zero(Parameter::StandardDeviation, standard_deviation)?;
        Ok(Self::Normal { mean, sd })
    }

    pub fn gamma(shape: f64, rate: f64) -> Result<Self, RiskError> {
        let shape = above_zero(Parameter::Shape, shape)?;
        let rate = above_zero(Parameter::Rate, rate)?;
        let (least, most) = SHAPES;
        if !(least..=most).contains(&shape) {
            return Err(RiskError::Shape {
                given: shape,
                least,
                most,
            });
        }
        let mean = above_zero(Parameter::Mean, shape / rate)?;
        Ok(Self::Gamma { shape, mean })
    }

    pub fn mean(self) -> f64 {
        match self {
            Self::Normal { mean, .. } | Self::Gamma { mean, .. } => mean,
        }
    }

    pub fn standard_deviation(self) -> f64 {
        match self {
            Self::Normal { sd, .. } => sd,
            Self::Gamma { shape, mean } => mean / shape.sqrt(),
        }
    }

    /// The size at a coordinate.
    pub fn size(self, at: f64) -> f64 {
        match self {
            Self::Normal { mean, sd } => mean + at * sd,
            Self::Gamma { mean, .. } => mean * libm::exp(at),
        }
    }

    /// The coordinate of a size; none where there is no such size.
    pub fn coordinate(self, size: f64) -> Option<f64> {
        match self {
            Self::Normal { mean, sd } => Some((size - mean) / sd),
            Self::Gamma { mean, .. } => (size > 0.0).then(|| libm::log(size / mean)),
        }
    }

    /// The density along the coordinate.
    pub fn density(self, at: f64) -> f64 {
        libm::exp(self.fall(at)) * self.peak()
    }

    /// The places between which the density lies, and some between them.
    pub fn landmarks(self) -> Vec<f64> {
        reach(0.0, self.width(), |at| self.fall(at))
    }

    /// The logarithm of the density over its greatest, which is at 0.
    pub fn fall(self, at: f64) -> f64 {
        match self {
            Self::Normal { .. } => -at * at / 2.0,
            Self::Gamma { shape, .. } => -shape * excess(at),
        }
    }

    fn peak(self) -> f64 {
        match self {
            Self::Normal { .. } => 1.0 / TAU.sqrt(),
            Self::Gamma { shape, .. } => libm::exp(gamma_peak(shape)),
        }
    }

    fn width(self) -> f64 {
        match self {
            Self::Normal { .. } => 1.0,
            Self::Gamma { shape, .. } => (1.0 / shape.sqrt()).min(1.0),
        }
    }
}

/// From a greatest value outwards, by steps that double, to where nothing is left; `fall` is the logarithm of a function
/// over its greatest value.
pub(super) fn reach(middle: f64, width: f64, fall: impl Fn(f64) -> f64) -> Vec<f64> {
    let mut places = vec![middle];
    for direction in [-1.0, 1.0] {
        let (mut at, mut step) = (middle, width);
        loop {
            at += direction * step;
            if !at.is_finite() {
                break;
            }
            places.push(at);
            if fall(at).is_nan() || fall(at) < -NEGLIGIBLE {
                break;
            }
            step *= 2.0;
        }
    }
    places.sort_by(f64::total_cmp);
    places
}

/// eᵗ - 1 - t, with all its digits near 0.
fn excess(t: f64) -> f64 {
    if t.abs() < 1e-3 {
        t * t * (1.0 / 2.0 + t * (1.0 / 6.0 + t * (1.0 / 24.0 + t * (1.0 / 120.0 + t / 720.0))))
    } else {
        libm::expm1(t) - t
    }
}

/// ln(aᵃ e⁻ᵃ/Γ(a)): the greatest density of ln x for a gamma distribution of shape a.
fn gamma_peak(shape: f64) -> f64 {
    if shape < 30.0 {
        return shape * libm::log(shape) - shape - libm::lgamma(shape);
    }
    // Stirling's series (Abramowitz and Stegun 6.1.41), where the terms above would lose digits against each other.
    let square = shape * shape;
    let series = (1.0 / 12.0 - (1.0 / 360.0 - 1.0 / 1260.0 / square) / square) / shape;
    0.5 * libm::log(shape / TAU) - series
}

fn above_zero(what: Parameter, given: f64) -> Result<f64, RiskError> {
    if given.is_finite() && given > 0.0 {
        Ok(given)
    } else {
        Err(RiskError::Process { what, given })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::probability::integrate;

    #[test]
    fn every_density_is_one_in_all() {
        let gamma = |shape| Made::gamma(shape, 3.0).unwrap();
        let shapes = [0.001, 0.1, 0.5, 1.0, 1.5, 4.0, 29.9, 30.1, 1e3, 1e6, 1e9].map(gamma);
        for made in shapes.into_iter().chain([Made::normal(2.0, 0.1).unwrap()]) {
            let mass: f64 = made
                .landmarks()
                .windows(2)
                .map(|ends| integrate(ends[0], ends[1], &|at| made.density(at)))
                .sum();
            assert!((mass - 1.0).abs() < 1e-11, "{made:?}: {mass}");
            let mean: f64 = made
                .landmarks()
                .windows(2)
                .map(|ends| integrate(ends[0], ends[1], &|at| made.density(at) * made.size(at)))
                .sum();
            assert!((mean / made.mean() - 1.0).abs() < 1e-11, "{made:?}: {mean}");
        }
    }

    #[test]
    fn coordinates_lead_back() {
        for made in [
            Made::normal(8.9, 0.01).unwrap(),
            Made::gamma(4.0, 4.0).unwrap(),
        ] {
            let at = made.coordinate(1.25).unwrap();
            assert!((made.size(at) - 1.25).abs() < 1e-14);
        }
        assert_eq!(Made::gamma(4.0, 4.0).unwrap().coordinate(0.0), None);
        assert_eq!(Made::gamma(4.0, 4.0).unwrap().standard_deviation(), 0.5);
    }
}
