//! The first harmonic of the wall around a tube: how far its two circles lie apart, and which way.
//!
//! Lengths in millimetres, angles in radians.

use crate::uncertainty::statistics::mean;

/// The first harmonic of the wall around the tube.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Eccentricity {
    /// Distance of the two centres, `e = √(A² + B²)`.
    pub offset: f64,
    /// Where the wall is thickest, radians from 0 up to 2π: `atan2(B, A)`.
    pub direction: f64,
    /// Standard deviation of what the harmonic leaves: ovality and noise; `None` of three readings.
    pub residual: Option<f64>,
    /// Degrees of freedom of it, `n − 3`.
    pub degrees_of_freedom: usize,
    /// What a standard deviation of one reading is to be multiplied by for that of the offset.
    pub sensitivity: f64,
}

crate::messages! {
    /// Why a harmonic cannot be fitted.
    #[derive(Copy)]
    pub enum EccentricityError "eccentricity-error" {
        /// Too few angles.
        TooFew "too-few" { n: usize as count },
        /// Angles too close together to tell an offset from the mean.
        Bunched "bunched",
    }
}

/// Least-squares fit of `t(θ) = t̄ + A cos θ + B sin θ` to walls at stated angles.
///
/// For angles evenly spread it is `A = 2/n Σ t cos θ`, `B = 2/n Σ t sin θ`; the fit also holds where they are not.
/// For circles of offset `e` the wall is `R_o − R_i + e cos(θ − θ0) + (e²/2R_i) sin²(θ − θ0)` and the small second
/// term goes to the mean and the second harmonic. Source: elementary, JCGM 100:2008 H.3 for least squares.
pub fn eccentricity(walls: &[(f64, f64)]) -> Result<Eccentricity, EccentricityError> {
    let n = walls.len();
    if n < 4 {
        return Err(EccentricityError::TooFew { n });
    }
    // Normal equations of the three unknowns mean, A, B, about the mean wall so that digits are kept.
    let origin = mean(&walls.iter().map(|(_, wall)| *wall).collect::<Vec<_>>()).unwrap_or(0.0);
    let count = n as f64;
    let (mut c, mut s, mut cc, mut ss, mut cs) = (0.0, 0.0, 0.0, 0.0, 0.0);
    let (mut t, mut tc, mut ts) = (0.0, 0.0, 0.0);
    for (angle, wall) in walls {
        let (cosine, sine, wall) = (libm::cos(*angle), libm::sin(*angle), wall - origin);
        c += cosine;
        s += sine;
        cc += cosine * cosine;
        ss += sine * sine;
        cs += cosine * sine;
        t += wall;
        tc += wall * cosine;
        ts += wall * sine;
    }
    // The mean taken out: a 2 × 2 system in A and B.
    let (xx, yy, xy) = (cc - c * c / count, ss - s * s / count, cs - c * s / count);
    let (xt, yt) = (tc - c * t / count, ts - s * t / count);
    let determinant = xx * yy - xy * xy;
    // An even spread has n²/4; a hundredth of that is a quarter of the tube at most.
    if determinant.is_nan() || determinant <= count * count / 400.0 {
        return Err(EccentricityError::Bunched);
    }
    let a = (yy * xt - xy * yt) / determinant;
    let b = (xx * yt - xy * xt) / determinant;
    let offset = libm::hypot(a, b);
    let level = (t - a * c - b * s) / count;
    let squares: f64 = walls
        .iter()
        .map(|(angle, wall)| {
            let rest = wall - origin - level - a * libm::cos(*angle) - b * libm::sin(*angle);
            rest * rest
        })
        .sum();
    // Variance along the direction of the offset, per unit variance of one reading.
    let variance = if offset > 0.0 {
        (a * a * yy + b * b * xx - 2.0 * a * b * xy) / (offset * offset * determinant)
    } else {
        f64::midpoint(xx, yy) / determinant
    };
    let turn = 2.0 * std::f64::consts::PI;
    let direction = libm::atan2(b, a);
    Ok(Eccentricity {
        offset,
        direction: if direction < 0.0 {
            direction + turn
        } else {
            direction
        },
        residual: (n > 3).then(|| (squares / (n - 3) as f64).sqrt()),
        degrees_of_freedom: n - 3,
        sensitivity: variance.sqrt(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn refuses_what_cannot_tell() {
        assert_eq!(
            eccentricity(&[(0.0, 2.0), (1.0, 2.0), (2.0, 2.1)]),
            Err(EccentricityError::TooFew { n: 3 })
        );
        let bunched: Vec<(f64, f64)> = (0..8).map(|i| (f64::from(i) * 0.05, 2.0)).collect();
        assert_eq!(eccentricity(&bunched), Err(EccentricityError::Bunched));
    }

    #[test]
    fn even_spread_is_the_usual_sum() {
        let angles = (0..8).map(|i| f64::from(i) * std::f64::consts::FRAC_PI_4);
        let walls = [2.04, 2.02, 2.0, 1.985, 1.96, 1.97, 2.0, 2.03];
        let fitted = eccentricity(&angles.clone().zip(walls).collect::<Vec<_>>()).unwrap();
        let a: f64 = angles
            .clone()
            .zip(walls)
            .map(|(q, t)| t * libm::cos(q))
            .sum::<f64>()
            / 4.0;
        let b: f64 = angles
            .zip(walls)
            .map(|(q, t)| t * libm::sin(q))
            .sum::<f64>()
            / 4.0;
        assert!((fitted.offset - libm::hypot(a, b)).abs() < 1e-12);
        assert!((fitted.sensitivity - (2.0f64 / 8.0).sqrt()).abs() < 1e-12);
    }
}
