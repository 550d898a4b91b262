//! From what a certificate or a data sheet says (a half-width, a step) to a standard uncertainty.
//!
//! One function for each distribution, named for it: the name is the assumption. A half-width and the result
//! are in the same unit; nothing here can fail, a bad number is refused where an [`Input`](super::Input) is used.

/// What is known of an input quantity about its estimate; widths are in the unit of the quantity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Distribution {
    /// Normal: a calibration certificate, a mean of many readings.
    Normal {
        /// Standard deviation.
        standard_uncertainty: f64,
    },
    /// Scaled and shifted Student t: a mean of few readings (JCGM 101:2008, 6.4.9).
    StudentT {
        /// The GUM's standard uncertainty s/√n; the t distribution itself is wider, by √(ν/(ν-2)).
        standard_uncertainty: f64,
        /// Degrees of freedom of the standard deviation.
        degrees_of_freedom: f64,
    },
    /// Rectangular: limits and nothing more.
    Rectangular {
        /// Half the distance of the limits.
        half_width: f64,
    },
    /// Triangular: limits, with values in the middle the likeliest.
    Triangular {
        /// Half the distance of the limits.
        half_width: f64,
    },
    /// Arcsine (U-shaped): a quantity that cycles, as a controlled room temperature.
    Arcsine {
        /// Amplitude of the cycle.
        half_width: f64,
    },
    /// Symmetric trapezoid.
    Trapezoid {
        /// Half the width at the base.
        half_width: f64,
        /// Width at the top over width at the base, 0 (triangle) to 1 (rectangle).
        beta: f64,
    },
    /// Rectangular, with limits that are themselves only known to ± `inexactness` (JCGM 101:2008, 6.4.3).
    CurvilinearTrapezoid {
        /// Half the distance of the limits.
        half_width: f64,
        /// How far each limit may be off, at most the half-width.
        inexactness: f64,
    },
}

impl Distribution {
    /// The standard uncertainty that the GUM takes for it.
    pub fn standard_uncertainty(&self) -> f64 {
        match *self {
            Self::Normal {
                standard_uncertainty,
            }
            | Self::StudentT {
                standard_uncertainty,
                ..
            } => standard_uncertainty,
            Self::Rectangular { half_width } => rectangular(half_width),
            Self::Triangular { half_width } => triangular(half_width),
            Self::Arcsine { half_width } => arcsine(half_width),
            Self::Trapezoid { half_width, beta } => trapezoid(half_width, beta),
            Self::CurvilinearTrapezoid {
                half_width,
                inexactness,
            } => curvilinear_trapezoid(half_width, inexactness),
        }
    }

    /// The name as it stands in a budget.
    pub const fn name(&self) -> &'static str {
        match self {
            Self::Normal { .. } => "normal",
            Self::StudentT { .. } => "Student t",
            Self::Rectangular { .. } => "rectangular",
            Self::Triangular { .. } => "triangular",
            Self::Arcsine { .. } => "arcsine",
            Self::Trapezoid { .. } => "trapezoidal",
            Self::CurvilinearTrapezoid { .. } => "curvilinear trapezoid",
        }
    }
}

/// An expanded uncertainty `expanded` stated with its coverage factor: U/k (JCGM 100:2008, 4.3.3).
pub fn normal(expanded: f64, coverage_factor: f64) -> f64 {
    expanded / coverage_factor
}

/// Limits ± `half_width`: a/√3 (JCGM 100:2008, 4.3.7).
pub fn rectangular(half_width: f64) -> f64 {
    half_width / 3.0_f64.sqrt()
}

/// Limits ± `half_width`, the middle likeliest: a/√6 (JCGM 100:2008, 4.3.9).
pub fn triangular(half_width: f64) -> f64 {
    half_width / 6.0_f64.sqrt()
}

/// A cycle of amplitude `half_width`: a/√2 (JCGM 100:2008, H.1.3.4).
pub fn arcsine(half_width: f64) -> f64 {
    half_width / 2.0_f64.sqrt()
}

/// A trapezoid of base ± `half_width` and top `beta` times the base: a√((1+β²)/6) (JCGM 100:2008, 4.3.9).
pub fn trapezoid(half_width: f64, beta: f64) -> f64 {
    half_width * ((1.0 + beta * beta) / 6.0).sqrt()
}

/// A display that moves in steps of `step`: d/(2√3), the rectangular ± d/2 (JCGM 100:2008, F.2.2.1).
pub fn resolution(step: f64) -> f64 {
    rectangular(step / 2.0)
}

/// Limits ± `half_width`, each only known to ± `inexactness`: √(a²/3 + d²/9) (JCGM 101:2008, 6.4.3).
pub fn curvilinear_trapezoid(half_width: f64, inexactness: f64) -> f64 {
    (half_width * half_width / 3.0 + inexactness * inexactness / 9.0).sqrt()
}

/// Degrees of freedom of an uncertainty that is itself only known to the fraction `reliability` (0.25: to 25 %).
///
/// ν = ½ (Δu/u)⁻²; a reliability of 0 means exactly known and gives infinity. Source: JCGM 100:2008, G.4.2.
pub fn degrees_of_freedom(reliability: f64) -> f64 {
    0.5 / (reliability * reliability)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The variance of a density on (-1, 1) by the midpoint rule, as an independent check of a divisor.
    fn by_integration(density: impl Fn(f64) -> f64) -> f64 {
        let points = (0..200_000).map(|i| (f64::from(i) + 0.5) / 100_000.0 - 1.0);
        let (mass, square) = points.fold((0.0, 0.0), |(mass, square), x| {
            (mass + density(x), square + x * x * density(x))
        });
        (square / mass).sqrt()
    }

    #[test]
    fn divisors_follow_from_the_variance() {
        assert!((by_integration(|_| 1.0) - rectangular(1.0)).abs() < 1e-6);
        assert!((by_integration(|x| 1.0 - x.abs()) - triangular(1.0)).abs() < 1e-6);
        let top = 0.4;
        let trapezoidal = |x: f64| ((1.0 - x.abs()) / (1.0 - top)).min(1.0);
        assert!((by_integration(trapezoidal) - trapezoid(1.0, top)).abs() < 1e-6);
        // The arcsine density is infinite at its ends, hence the coarser agreement.
        assert!((by_integration(|x| 1.0 / (1.0 - x * x).sqrt()) - arcsine(1.0)).abs() < 1e-3);
    }

    #[test]
    fn trapezoid_lies_between_triangle_and_rectangle() {
        assert!((trapezoid(2.0, 0.0) - triangular(2.0)).abs() < 1e-15);
        assert!((trapezoid(2.0, 1.0) - rectangular(2.0)).abs() < 1e-15);
        assert_eq!(curvilinear_trapezoid(2.0, 0.0), (4.0_f64 / 3.0).sqrt());
    }

    #[test]
    fn resolution_is_twenty_nine_percent_of_the_step() {
        // JCGM 100:2008, F.2.2.1: u = 0.29 δx.
        assert!((resolution(1.0) - 0.29).abs() < 0.002);
    }

    #[test]
    fn reliability_gives_degrees_of_freedom() {
        // JCGM 100:2008, G.4.2 and H.1.6: 25 % is 8, 10 % is 50, 50 % is 2.
        assert!((degrees_of_freedom(0.25) - 8.0).abs() < 1e-12);
        assert!((degrees_of_freedom(0.10) - 50.0).abs() < 1e-12);
        assert!((degrees_of_freedom(0.50) - 2.0).abs() < 1e-12);
        assert_eq!(degrees_of_freedom(0.0), f64::INFINITY);
    }
}
