//! What holds for every thread and every wire.

#![allow(clippy::unwrap_used)]

use metrology::range::{Measure, OutOfRange};
use metrology::units::Angle;
use metrology::wires::{
    Approximation, Arrangement, Feeler, FlankLimits, Groove, SeatError, Side, best_wire_mm,
    flank_angle_sensitivity_mm, pitch_line_wire_mm, reading_from_size, reading_over_unequal_wires,
    seat, seat_from_centre, simple_reading_mm, size_from_reading,
};
use proptest::prelude::*;

use crate::rows::near;

fn groove(side: Side, upper: f64, lower: f64, pitch: f64, lead: f64) -> Groove {
    Groove {
        upper_flank: Angle::from_degrees(upper),
        lower_flank: Angle::from_degrees(lower),
        ..Groove::symmetric(side, Angle::from_degrees(60.0), pitch, lead)
    }
}

/// Half angle, starts, pitch, d2/P, W/W_best.
fn wide() -> impl Strategy<Value = (f64, u8, f64, f64, f64)> {
    (3.0..60.0, 0_u8..9, 1e-3..1e3, 0.45..300.0, 0.4..2.2).prop_map(
        |(angle, starts, pitch, ratio, wire): (f64, u8, f64, f64, f64)| {
            (angle, starts, pitch, ratio * pitch, wire)
        },
    )
}

/// The contact equation itself, with the normal taken from the derivatives of the surface: the centre is half a wire
/// from the contact, along the normal.
fn assert_touches(groove: &Groove, feeler: Feeler, d2: f64, wire: f64) -> f64 {
    let seat = seat(groove, feeler, d2, wire).unwrap();
    let tan = libm::tan(groove.upper_flank.radians());
    let e = if groove.side == Side::External {
        1.0
    } else {
        -1.0
    };
    let c = groove.lead_mm / std::f64::consts::TAU;
    let (r, theta) = (seat.upper.radius_mm, seat.upper.polar_angle.radians());
    let (sin, cos) = libm::sincos(theta);
    let z = c * theta + groove.pitch_mm / 4.0 + e * (r - d2 / 2.0) * tan;
    let contact = [r * cos, r * sin, z];
    // ∂/∂r × ∂/∂θ of (r cosθ, r sinθ, z).
    let (dr, dt) = ([cos, sin, e * tan], [-r * sin, r * cos, c]);
    let n = [
        dr[1] * dt[2] - dr[2] * dt[1],
        dr[2] * dt[0] - dr[0] * dt[2],
        dr[0] * dt[1] - dr[1] * dt[0],
    ];
    let size = (n[0] * n[0] + n[1] * n[1] + n[2] * n[2]).sqrt();
    let centre = [seat.centre_radius_mm, 0.0, seat.axial_offset_mm];
    let scale = d2 + groove.pitch_mm + groove.lead_mm + wire;
    for i in 0..3 {
        near(
            contact[i] - wire / 2.0 * n[i] / size,
            centre[i],
            2e-13 * scale,
        );
    }
    seat.centre_radius_mm
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4000))]

    /// Lead angles up to some eighty degrees; nothing fails outside, and the way back leads home.
    #[test]
    fn every_external_thread_seats_and_returns((angle, starts, pitch, d2, wire) in wide()) {
        let groove = groove(Side::External, angle, angle, pitch, f64::from(starts) * pitch);
        let wire = wire * best_wire_mm(&groove).unwrap();
        match seat(&groove, Feeler::Wire, d2, wire) {
            // Annular grooves can meet beyond the axis; a helix always holds the wire.
            Err(SeatError::FallsThrough { .. }) => prop_assert_eq!(starts, 0),
            Err(other) => prop_assert!(false, "{}", other),
            Ok(_) => {
                let centre = assert_touches(&groove, Feeler::Ball, d2, wire);
                // Wires thicker than the thread are refused on the way back; nobody lays them in.
                match seat_from_centre(&groove, Feeler::Wire, centre, wire) {
                    Ok(back) => near(back.pitch_diameter_mm, d2, 1e-12 * (d2 + wire + pitch)),
                    Err(_) => prop_assert!(centre <= wire / 2.0 * (1.0 + 1e-9)),
                }
            }
        }
    }

    /// The threads that exist: lead angle to 30 degrees, d2 at least 2 P.
    #[test]
    fn round_trip_to_1e_12(
        angle in 7.0..45.0, starts in 1_u8..7, pitch in 0.1..10.0, ratio in 1.0..60.0, wire in 0.8..1.4,
    ) {
        let lead = f64::from(starts) * pitch;
        let d2: f64 = pitch * f64::max(1.0 + ratio, f64::from(starts) * 0.56);
        for side in [Side::External, Side::Internal] {
            let groove = groove(side, angle, angle, pitch, lead);
            let wire = wire * best_wire_mm(&groove).unwrap();
            let arrangement = Arrangement::usual(side);
            let there = match reading_from_size(&groove, arrangement, d2, wire) {
                Ok(there) => there,
                // Large balls in small steep bores do not seat.
                Err(SeatError::TooLarge { .. }) if side == Side::Internal => continue,
                Err(other) => return Err(TestCaseError::fail(other.to_string())),
            };
            let back = size_from_reading(&groove, arrangement, there.reading_mm, wire).unwrap();
            near(back.pitch_diameter_mm, d2, 1e-12 * d2);
            near(back.lead_correction_mm, there.lead_correction_mm, 1e-12 * d2);
        }
    }

    #[test]
    fn internal_threads_seat_or_say_why((angle, starts, pitch, d2, wire) in wide()) {
        let groove = groove(Side::Internal, angle, angle, pitch, f64::from(starts) * pitch);
        let wire = wire * best_wire_mm(&groove).unwrap();
        match seat(&groove, Feeler::Ball, d2, wire) {
            Ok(_) => {
                let centre = assert_touches(&groove, Feeler::Ball, d2, wire);
                let back = seat_from_centre(&groove, Feeler::Ball, centre, wire).unwrap();
                // Close to the largest ball that seats, the centre hardly depends on the size.
                near(back.pitch_diameter_mm, d2, 1e-9 * d2);
            }
            Err(SeatError::TooLarge { .. }) => {}
            Err(other) => prop_assert!(false, "{}", other),
        }
    }

    /// Solved by a code path of its own, equal flanks must give the same.
    #[test]
    fn nearly_equal_flanks_are_nearly_equal_flanks(
        angle in 5.0..45.0, starts in 1_u8..5, pitch in 0.1..10.0, ratio in 2.0..60.0, wire in 0.8..1.4,
    ) {
        let lead = f64::from(starts) * pitch;
        for (side, feeler) in [
            (Side::External, Feeler::Wire),
            (Side::External, Feeler::HeldWire(Angle::from_degrees(1.0))),
            (Side::External, Feeler::Ball),
            (Side::Internal, Feeler::Ball),
        ] {
            let equal = groove(side, angle, angle, pitch, lead);
            let unequal = groove(side, angle * (1.0 + 1e-15), angle, pitch, lead);
            prop_assert!(!unequal.is_symmetric() || angle * (1.0 + 1e-15) == angle);
            let wire = wire * best_wire_mm(&equal).unwrap();
            if let Ok(expected) = seat(&equal, feeler, ratio * pitch, wire) {
                let got = seat(&unequal, feeler, ratio * pitch, wire).unwrap();
                near(got.centre_radius_mm, expected.centre_radius_mm, 1e-12 * ratio * pitch);
                near(got.inclination.radians(), expected.inclination.radians(), 1e-9);
            }
        }
    }

    #[test]
    fn unequal_flanks_never_fail_and_return(
        upper in 0.0..50.0, lower in 7.0..50.0, starts in 1_u8..5, pitch in 0.1..10.0, ratio in 2.0..60.0,
        wire in 0.8..1.3,
    ) {
        let lead = f64::from(starts) * pitch;
        let d2 = ratio * pitch;
        let groove = groove(Side::External, upper, lower, pitch, lead);
        let wire = wire * best_wire_mm(&groove).unwrap();
        for feeler in [Feeler::Wire, Feeler::Ball] {
            let there = seat(&groove, feeler, d2, wire).unwrap();
            let back = seat_from_centre(&groove, feeler, there.centre_radius_mm, wire).unwrap();
            near(back.pitch_diameter_mm, d2, 1e-12 * d2);
            near(back.axial_offset_mm, there.axial_offset_mm, 1e-11 * d2);
        }
        assert_touches(&groove, Feeler::Ball, d2, wire);
        // Exchanging the flanks mirrors the seat.
        let mirrored = Groove { upper_flank: groove.lower_flank, lower_flank: groove.upper_flank, ..groove };
        let a = seat(&groove, Feeler::Wire, d2, wire).unwrap();
        let b = seat(&mirrored, Feeler::Wire, d2, wire).unwrap();
        near(a.centre_radius_mm, b.centre_radius_mm, 1e-12 * d2);
        near(a.axial_offset_mm, -b.axial_offset_mm, 1e-11 * d2);
    }

    #[test]
    fn a_held_wire_rides_higher_and_returns(
        angle in 10.0..45.0, pitch in 0.1..10.0, ratio in 3.0..60.0, wire in 0.8..1.3, off in -5.0..5.0,
    ) {
        let d2 = ratio * pitch;
        let groove = groove(Side::External, angle, angle, pitch, pitch);
        let wire = wire * best_wire_mm(&groove).unwrap();
        let free = seat(&groove, Feeler::Wire, d2, wire).unwrap();
        let psi = Angle::from_degrees(free.inclination.degrees() + off);
        // The wire may lean as far as the flanks do.
        if psi.degrees().abs() < angle {
            let held = seat(&groove, Feeler::HeldWire(psi), d2, wire).unwrap();
            prop_assert!(held.centre_radius_mm >= free.centre_radius_mm - 1e-14 * d2);
            let back = seat_from_centre(&groove, Feeler::HeldWire(psi), held.centre_radius_mm, wire).unwrap();
            near(back.pitch_diameter_mm, d2, 1e-12 * d2);
        }
        let resting = seat(&groove, Feeler::HeldWire(free.inclination), d2, wire).unwrap();
        near(resting.centre_radius_mm, free.centre_radius_mm, 1e-13 * d2);
    }

    #[test]
    fn without_lead_the_simple_formula_is_exact(
        upper in 5.0..60.0, lower in 5.0..60.0, pitch in 0.1..10.0, ratio in 12.0..60.0, wire in 0.7..1.5,
    ) {
        for (side, lower) in [
            (Side::External, lower), (Side::External, upper), (Side::Internal, upper), (Side::Internal, lower),
        ] {
            let groove = groove(side, upper, lower, pitch, 0.0);
            let wire = wire * best_wire_mm(&groove).unwrap();
            let d2 = ratio * pitch;
            let got = reading_from_size(&groove, Arrangement::usual(side), d2, wire).unwrap();
            near(got.reading_mm, simple_reading_mm(&groove, d2, wire).unwrap(), 1e-12 * d2);
            prop_assert_eq!(got.seat.inclination.radians().abs(), 0.0);
        }
    }

    #[test]
    fn the_best_wire_does_not_feel_the_flank_angle(angle in 5.0..45.0, pitch in 0.1..10.0, ratio in 12.0..60.0) {
        let at = |degrees: f64, wire: f64| {
            let groove = groove(Side::External, degrees, degrees, pitch, 0.0);
            seat(&groove, Feeler::Wire, ratio * pitch, wire).unwrap().centre_radius_mm
        };
        let groove = groove(Side::External, angle, angle, pitch, 0.0);
        let best = best_wire_mm(&groove).unwrap();
        near(flank_angle_sensitivity_mm(&groove, best).unwrap(), 0.0, 1e-12 * pitch);
        let step = 1e-4;
        let slope = (at(angle + step, best) - at(angle - step, best)) / (2.0 * step);
        near(slope, 0.0, 1e-8 * ratio * pitch);
        // For another wire the formula is that slope: M moves by minus the error of the computed diameter.
        let other = 1.3 * best;
        let slope = 2.0 * (at(angle + step, other) - at(angle - step, other)) / (2.0 * step.to_radians());
        let formula = flank_angle_sensitivity_mm(&groove, other).unwrap();
        near(slope, formula, 1e-5 * formula.abs() + 1e-7 * ratio * pitch);
    }

    #[test]
    fn the_best_wire_between_unequal_flanks_does_not_feel_a_common_error(
        upper in 3.0..50.0, lower in 7.0..50.0, ratio in 12.0..60.0,
    ) {
        let at = |off: f64, wire: f64| {
            let groove = groove(Side::External, upper + off, lower + off, 1.0, 0.0);
            simple_reading_mm(&groove, ratio, wire).unwrap()
        };
        let nominal = groove(Side::External, upper, lower, 1.0, 0.0);
        let best = best_wire_mm(&nominal).unwrap();
        for wire in [best, 0.8 * best] {
            let slope = (at(1e-4, wire) - at(-1e-4, wire)) / 2e-4_f64.to_radians();
            let formula = flank_angle_sensitivity_mm(&nominal, wire).unwrap();
            near(slope, formula, 1e-5 * formula.abs() + 1e-6 * ratio);
        }
    }

    #[test]
    fn mirror_and_scale(angle in 5.0..45.0, starts in 1_u8..5, ratio in 2.0..40.0, scale in 0.01..100.0) {
        let right = groove(Side::External, angle, angle, 1.0, f64::from(starts));
        let wire = best_wire_mm(&right).unwrap();
        let one = seat(&right, Feeler::Wire, ratio, wire).unwrap();
        let other = seat(&right.left_hand(), Feeler::Wire, ratio, wire).unwrap();
        prop_assert_eq!(one.centre_radius_mm, other.centre_radius_mm);
        prop_assert_eq!(one.inclination.radians(), -other.inclination.radians());
        prop_assert_eq!(one.upper.polar_angle.radians(), -other.upper.polar_angle.radians());
        let large = groove(Side::External, angle, angle, scale, scale * f64::from(starts));
        let scaled = seat(&large, Feeler::Wire, scale * ratio, scale * wire).unwrap();
        near(scaled.centre_radius_mm, scale * one.centre_radius_mm, 1e-14 * scale * ratio);
    }

    #[test]
    fn the_pitch_line_wire_touches_the_pitch_line(angle in 5.0..45.0, starts in 1_u8..5, ratio in 2.0..40.0) {
        for side in [Side::External, Side::Internal] {
            let groove = groove(side, angle, angle, 1.0, f64::from(starts));
            let wire = pitch_line_wire_mm(&groove, ratio).unwrap();
            match seat(&groove, Feeler::Ball, ratio, wire) {
                Ok(seat) => near(seat.upper.radius_mm, ratio / 2.0, 1e-12 * ratio),
                Err(fault) => prop_assert!(side == Side::Internal, "{}", fault),
            }
        }
    }

    #[test]
    fn unequal_wires_count_a_half_and_two_quarters(ratio in 3.0..40.0, a in 0.9..1.1, b in 0.9..1.1, c in 0.9..1.1) {
        let groove = groove(Side::External, 30.0, 30.0, 1.0, 1.0);
        let best = best_wire_mm(&groove).unwrap();
        let (single, pair) = (a * best, [b * best, c * best]);
        let reading = reading_over_unequal_wires(&groove, ratio, single, pair).unwrap();
        let mean = single / 2.0 + (pair[0] + pair[1]) / 4.0;
        let equal = reading_from_size(&groove, Arrangement::OverWires, ratio, mean).unwrap();
        near(reading, equal.reading_mm, 2e-3);
    }

    /// Nothing but an error comes of nonsense: no panic, no endless loop, no NaN.
    #[test]
    fn any_number_is_answered(
        pitch in any::<f64>(), lead in any::<f64>(), upper in any::<f64>(), d2 in any::<f64>(), wire in any::<f64>(),
    ) {
        for side in [Side::External, Side::Internal] {
            for (p, l, a) in [(pitch, lead, 30.0), (1.0, 1.0, upper), (1.0, lead, 30.0), (1.0, 1e6, 30.0)] {
                let groove = groove(side, a, a, p, l);
                for (d, w) in [(d2, wire), (10.0, wire), (d2, 0.6), (1e6, 1e-6), (1e-6, 1e6), (10.0, 0.6)] {
                    for feeler in [Feeler::Wire, Feeler::Ball, Feeler::HeldWire(Angle::from_degrees(upper))] {
                        if let Ok(seat) = seat(&groove, feeler, d, w) {
                            prop_assert!(seat.centre_radius_mm.is_finite());
                        }
                        if let Ok(seat) = seat_from_centre(&groove, feeler, d, w) {
                            prop_assert!(seat.pitch_diameter_mm.is_finite() && seat.pitch_diameter_mm > 0.0);
                        }
                    }
                    for formula in Approximation::ALL {
                        let _ = formula.reading_mm(&groove, d, w);
                    }
                }
            }
        }
    }
}

#[test]
fn the_other_arrangements_say_the_same() {
    let groove = groove(Side::External, 30.0, 30.0, 1.5, 1.5);
    let over = reading_from_size(&groove, Arrangement::OverWires, 9.026, 0.866).unwrap();
    let under = reading_from_size(&groove, Arrangement::UnderWires, 9.026, 0.866).unwrap();
    near(under.reading_mm, over.reading_mm - 2.0 * 0.866, 1e-14);
    let major_diameter_mm = 9.968;
    let inclination = over.seat.inclination;
    let held = Arrangement::OverHeldWires { inclination };
    let resting = reading_from_size(&groove, held, 9.026, 0.866).unwrap();
    near(resting.reading_mm, over.reading_mm, 1e-13);
    let one = Arrangement::OneWire { major_diameter_mm };
    let single = reading_from_size(&groove, one, 9.026, 0.866).unwrap();
    near(
        2.0 * single.reading_mm - major_diameter_mm,
        over.reading_mm,
        1e-14,
    );
    near(
        2.0 * single.lead_correction_mm,
        over.lead_correction_mm,
        1e-13,
    );
    for (arrangement, reading) in [(Arrangement::UnderWires, under), (one, single)] {
        let back = size_from_reading(&groove, arrangement, reading.reading_mm, 0.866).unwrap();
        near(back.pitch_diameter_mm, 9.026, 1e-13);
    }
}

#[test]
fn what_is_wrong_is_said() {
    let m10 = groove(Side::External, 30.0, 30.0, 1.5, 1.5);
    let limits = FlankLimits::flats(9.968, 8.376);
    let wrong = |wire: f64| {
        let seat = seat(&m10, Feeler::Wire, 9.026, wire).unwrap();
        seat.check(Side::External, &limits).unwrap_err()
    };
    assert!(matches!(wrong(1.6), SeatError::TouchesCrestEdge { .. }));
    assert!(matches!(wrong(0.3), SeatError::FallsToRoot { .. }));
    assert!(matches!(wrong(0.74), SeatError::NotProud { .. }));
    let inside = groove(Side::Internal, 30.0, 30.0, 1.5, 1.5);
    assert!(matches!(
        seat(&inside, Feeler::Wire, 9.026, 0.9),
        Err(SeatError::WireInInternalThread)
    ));
    let steep = groove(Side::Internal, 14.5, 14.5, 1.0, 6.0);
    assert!(matches!(
        seat(&steep, Feeler::Ball, 2.0, 0.52),
        Err(SeatError::TooLarge { .. })
    ));
    let ring = groove(Side::External, 5.0, 5.0, 1.0, 0.0);
    assert!(matches!(
        seat(&ring, Feeler::Wire, 2.0, 0.1),
        Err(SeatError::FallsThrough { .. })
    ));
    let far = Feeler::HeldWire(Angle::from_degrees(31.0));
    assert!(matches!(
        seat(&m10, far, 9.026, 0.866),
        Err(SeatError::HeldTooFar { .. })
    ));
    assert!(matches!(
        size_from_reading(&m10, Arrangement::OverWires, 1.0, 0.866),
        Err(SeatError::Input { .. } | SeatError::NoSuchThread { .. })
    ));
    assert!(matches!(
        seat(&m10, Feeler::Wire, f64::NAN, 0.866),
        Err(SeatError::Input {
            error: OutOfRange::Length {
                what: Measure::PitchDiameter,
                ..
            }
        })
    ));
}
