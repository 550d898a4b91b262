//! Lobed shafts: what two points see, what a V sees, and what mates.
//!
//! The profile is `r(θ) = R + a cos nθ`; its departure from roundness, peak to valley, is `2a`. Angles in degrees
//! here, as Vs are marked. Source: derived by the support function, confirmed by numeric rotation in the tests;
//! ISO 4292:1985 tabulates such divisors.

/// Below this factor a method is called blind: it would show less than a tenth of the roundness.
pub const BLIND: f64 = 0.1;

/// How much of the roundness `2a` the two-point diameter varies by: 2 for even lobes, 0 for odd.
pub fn two_point_factor(lobes: u32) -> f64 {
    if lobes.is_multiple_of(2) { 2.0 } else { 0.0 }
}

/// How much of the roundness the reading in a V varies by, spindle on the bisector: `|F|` with
/// `F = 1 + (−1)^n cos(nγ)/cos γ`, `γ = 90° − V/2`. `None` for an angle that is no V, or no lobes.
pub fn v_factor(lobes: u32, v_angle: f64) -> Option<f64> {
    if lobes == 0 || !(v_angle > 0.0 && v_angle < 180.0) {
        return None;
    }
    let gamma = (90.0 - v_angle / 2.0).to_radians();
    let sign = if lobes.is_multiple_of(2) { 1.0 } else { -1.0 };
    Some(1.0 + sign * libm::cos(f64::from(lobes) * gamma) / libm::cos(gamma))
}

/// Height of the spindle face above the apex for a round part of unit radius: `1 + 1/cos γ = 1 + 1/sin(V/2)`.
pub fn v_size_factor(v_angle: f64) -> Option<f64> {
    (v_angle > 0.0 && v_angle < 180.0).then(|| 1.0 + 1.0 / libm::sin((v_angle / 2.0).to_radians()))
}

/// Distance from the apex for each diameter of a round part: `M/D = (1 + 1/sin(V/2))/2`, 1.5 for a V of 60°.
pub fn distance_to_diameter(v_angle: f64) -> Option<f64> {
    Some(v_size_factor(v_angle)? / 2.0)
}

/// Departure from roundness from the spread of readings in a V: `(M_max − M_min)/|F|`; `None` where the V is blind.
pub fn roundness_from_v(spread: f64, lobes: u32, v_angle: f64) -> Option<f64> {
    let factor = v_factor(lobes, v_angle)?.abs();
    (factor >= BLIND).then(|| spread / factor)
}

/// Which lobe counts up to nine a V hardly sees.
pub fn v_blind_to(v_angle: f64) -> Vec<u32> {
    (2..=9)
        .filter(|lobes| v_factor(*lobes, v_angle).is_some_and(|factor| factor.abs() < BLIND))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Table of factors, to the two decimals it is known to; size factors to four.
    #[test]
    fn the_table_of_factors() {
        let table: [(f64, f64, [f64; 8]); 5] = [
            (60.0, 3.0, [0.0, 3.0, 0.0, 0.0, 3.0, 0.0, 0.0, 3.0]),
            (90.0, 2.4142, [1.0, 2.0, -0.41, 2.0, 1.0, 0.0, 2.41, 0.0]),
            (108.0, 2.2361, [1.38, 1.38, 0.0, 2.24, 0.0, 1.38, 1.38, 0.0]),
            (120.0, 2.1547, [1.58, 1.0, 0.42, 2.0, -0.15, 2.0, 0.42, 1.0]),
            (
                128.0 + 34.0 / 60.0,
                2.1099,
                [1.69, 0.75, 0.75, 1.69, 0.0, 2.11, 0.0, 1.69],
            ),
        ];
        for (angle, size, factors) in table {
            assert!(
                (v_size_factor(angle).unwrap() - size).abs() < 5.1e-5,
                "{angle}"
            );
            for (lobes, expected) in (2..=9).zip(factors) {
                let factor = v_factor(lobes, angle).unwrap();
                assert!(
                    (factor - expected).abs() < 5.1e-3,
                    "{angle}° {lobes}: {factor}"
                );
            }
        }
    }

    /// 0.6667 M, 0.8944 M, 0.9479 M for three, five and seven flutes.
    #[test]
    fn odd_flutes() {
        for (angle, factor) in [
            (60.0, 0.6667),
            (108.0, 0.8944),
            (128.0 + 34.0 / 60.0, 0.9479),
        ] {
            assert!((1.0 / distance_to_diameter(angle).unwrap() - factor).abs() < 5.1e-5);
        }
    }

    #[test]
    fn each_is_blind_to_something() {
        assert!(v_blind_to(60.0).contains(&2));
        assert_eq!(two_point_factor(3), 0.0);
        assert_eq!(roundness_from_v(0.01, 2, 60.0), None);
        assert!((roundness_from_v(0.024, 3, 60.0).unwrap() - 0.008).abs() < 1e-12);
        assert_eq!(v_factor(3, 180.0), None);
        assert_eq!(v_factor(0, 60.0), None);
    }
}
