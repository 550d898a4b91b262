//! Cone and V against values computed independently and against the plain geometry of wedges.

#![allow(clippy::unwrap_used)]

use metrology::contacts::{
    Cone, ContactPair, Freedom, MeasuredThread, MisfitError, Reach, Vee, Zero,
    angle_sensitivity_mm, check_marked_range, effects_after_zero, engagement, flank_angle_mismatch,
    lead_offset_mm, local_width, wear, zero_offset_mm,
};
use metrology::units::Angle;
use metrology::wires::Side;

use crate::rows::near;

fn thread(pitch: f64, d2: f64, starts: u32) -> MeasuredThread {
    let height = pitch * 0.8660254037844386;
    MeasuredThread {
        side: Side::External,
        half_angle: Angle::from_degrees(30.0),
        pitch_mm: pitch,
        starts,
        pitch_diameter_mm: d2,
        to_crest_mm: 0.375 * height,
        to_root_mm: 0.25 * height,
    }
}

fn full(thread: &MeasuredThread) -> Reach {
    Reach {
        inner_mm: thread.to_root_mm,
        outer_mm: thread.to_crest_mm,
    }
}

fn pair(cone: f64, vee: f64) -> ContactPair {
    ContactPair {
        cone: Cone {
            half_angle: Angle::from_degrees(cone),
            tip_half_width_mm: 0.20,
            base_half_width_mm: 0.80,
        },
        vee: Vee {
            half_angle: Angle::from_degrees(vee),
            root_half_width_mm: 0.12,
            relief_depth_mm: 0.3,
            mouth_half_width_mm: 0.70,
        },
    }
}

/// M10×1.5, 60° cone, full engagement: −1° 19.44, −0.5° 9.77, +0.5° 6.58, +1° 13.2 µm (direct search).
#[test]
fn flank_angle_of_the_work() {
    for (off, expected) in [(-1.0, 19.44), (-0.5, 9.77), (0.5, 6.58), (1.0, 13.2)] {
        let mut work = thread(1.5, 9.026, 1);
        work.half_angle = Angle::from_degrees(30.0 + off);
        let got = flank_angle_mismatch(Angle::from_degrees(30.0), &work, full(&work)).unwrap();
        // Outside it always reads too large, so the correction is negative.
        near(-1e3 * got.correction_mm, expected, 0.06);
    }
    // Two contacts, y = 3H/8: 0.0262 P per degree of half angle.
    let both = 2.0 * angle_sensitivity_mm(Angle::from_degrees(30.0), full(&thread(1.0, 9.0, 1)));
    near(both * 1.0_f64.to_radians(), 0.0262, 5e-5);
}

/// Exact numeric values, zeroed without lead, full engagement: cone, free V, locked V.
#[test]
fn lead_angle_of_the_work() {
    let cases = [
        (0.5, 2.675, 1, 0.49, -0.08, 7.7, 0.9),
        (0.8, 4.480, 1, 0.73, -0.11, 11.7, 1.5),
        (1.5, 9.026, 1, 1.20, -0.19, 20.0, 2.0),
        (2.5, 18.376, 1, 1.41, -0.22, 27.0, 2.0),
        (1.27, 5.5245, 1, 1.77, -0.28, 24.0, 1.8),
        (1.5, 9.026, 3, 10.7, -1.7, 178.0, 2.0),
    ];
    for (pitch, d2, starts, cone, vee, locked, half_length_mm) in cases {
        let thread = thread(pitch, d2, starts);
        let reach = full(&thread);
        let tolerance = if starts == 1 { 0.006 } else { 0.15 };
        let free = lead_offset_mm(&thread, reach, reach, Freedom::Free).unwrap();
        near(1e3 * free.0, cone, tolerance);
        near(1e3 * free.1, vee, tolerance);
        let got =
            lead_offset_mm(&thread, reach, reach, Freedom::Locked { half_length_mm }).unwrap();
        near(1e3 * got.1, locked, 0.035 * locked);
    }
}

/// The lead offset of the cone against a search over the surface: a cone on the x axis, axis pointing inwards, is pushed
/// in until it touches the helicoid.
#[test]
fn lead_of_the_cone_against_a_search() {
    let work = thread(1.5, 9.026, 1);
    let (c, tan) = (
        1.5 / std::f64::consts::TAU,
        libm::tan(30.0_f64.to_radians()),
    );
    let r2 = work.pitch_diameter_mm / 2.0;
    let mut shift = f64::NEG_INFINITY;
    for i in 0..=400 {
        let r = r2 - work.to_root_mm + (work.to_root_mm + work.to_crest_mm) * f64::from(i) / 400.0;
        for j in -400..=400 {
            let theta = f64::from(j) * 1e-4;
            let z = c * theta + work.pitch_mm / 4.0 + (r - r2) * tan;
            let (x, y) = (r * libm::cos(theta), r * libm::sin(theta));
            // The cone's radius at x is P/4 + (x − r2 − h) tan α; the least h for which it holds the point outside.
            let across = (y * y + z * z).sqrt();
            shift = shift.max(x - r2 - (across - work.pitch_mm / 4.0) / tan);
        }
    }
    let reach = full(&work);
    let (cone, _) = lead_offset_mm(&work, reach, reach, Freedom::Free).unwrap();
    near(cone, shift, 5e-6);
}

#[test]
fn width_and_wear() {
    let work = thread(1.5, 9.026, 1);
    let wider = local_width(&work, 0.01, 0.0).unwrap();
    near(wider.correction_mm, 0.005 * 3.0_f64.sqrt(), 1e-15);
    let thicker = local_width(&work, 0.0, 0.01).unwrap();
    near(thicker.correction_mm, -0.005 * 3.0_f64.sqrt(), 1e-15);
    let worn = wear(&work, 0.001, 0.002).unwrap();
    near(worn.correction_mm, 0.006, 1e-15);
    assert!(wear(&work, -0.001, 0.0).is_err());
    assert!(local_width(&work, f64::NAN, 0.0).is_err());
}

#[test]
fn closing_the_pair_hides_a_common_error() {
    let work = thread(1.5, 9.026, 1);
    let common = pair(30.5, 30.5);
    let engaged = engagement(&common, &work).unwrap();
    assert_eq!(zero_offset_mm(&common, &engaged, &Zero::Closed), 0.0);
    let effects =
        effects_after_zero(&common, &engaged, &work, Freedom::Free, &Zero::Closed).unwrap();
    let reach = engaged.cone.outer_mm + engaged.vee.outer_mm;
    let slope = 2.0 / libm::sin(60.0_f64.to_radians()) * 0.5_f64.to_radians();
    near(
        effects[0].correction_mm,
        -reach * slope,
        0.02 * reach * slope,
    );
    // A master with the work's angle takes the error out, and the lead with it.
    let master = Zero::Master { thread: work };
    for effect in effects_after_zero(&common, &engaged, &work, Freedom::Free, &master).unwrap() {
        near(effect.correction_mm, 0.0, 1e-15);
    }
    // Contacts that differ stand apart when closed.
    let unlike = pair(30.0, 30.5);
    let engaged = engagement(&unlike, &work).unwrap();
    assert!(zero_offset_mm(&unlike, &engaged, &Zero::Closed) > 0.0);
}

/// A standard that is longer than the length it is set to makes everything read too small.
#[test]
fn a_long_standard_asks_for_a_positive_correction() {
    let work = thread(1.5, 9.026, 1);
    let pair = pair(30.0, 30.0);
    let engaged = engagement(&pair, &work).unwrap();
    let zero = Zero::Standard {
        longer_by_mm: 0.003,
        vee: Angle::from_degrees(30.0),
        cone: Angle::from_degrees(30.0),
    };
    let effects = effects_after_zero(&pair, &engaged, &work, Freedom::Free, &zero).unwrap();
    near(effects[0].correction_mm, 0.0, 1e-15);
    near(effects[2].correction_mm, 0.003, 0.0);
}

#[test]
fn internal_threads_turn_the_sign() {
    let mut work = thread(1.5, 9.026, 1);
    work.half_angle = Angle::from_degrees(29.5);
    let contact = Angle::from_degrees(30.0);
    let outside = flank_angle_mismatch(contact, &work, full(&work)).unwrap();
    work.side = Side::Internal;
    let inside = flank_angle_mismatch(contact, &work, full(&work)).unwrap();
    assert!(outside.correction_mm < 0.0);
    assert_eq!(inside.correction_mm, -outside.correction_mm);
}

/// H = 0.866 025 P; 3H/8 and H/4 (ISO 68-1). A pair that fills the thread engages all of it and just fits.
#[test]
fn a_pair_that_fills_the_thread() {
    let angle = Angle::from_degrees(60.0);
    let work = MeasuredThread::of_standard_form(Side::External, angle, 1.5, 1, 9.026).unwrap();
    near(work.to_crest_mm, 0.375 * 1.5 * 0.8660254, 1e-7);
    near(work.to_root_mm, 0.25 * 1.5 * 0.8660254, 1e-7);
    for degrees in [60.0, 55.0, 47.5, 30.0, 29.0] {
        for side in [Side::External, Side::Internal] {
            let angle = Angle::from_degrees(degrees);
            let work = MeasuredThread::of_standard_form(side, angle, 1.5, 1, 9.026).unwrap();
            let half = work.half_angle;
            let pair = ContactPair::of_whole_flanks(half, half, &work);
            let engaged = engagement(&pair, &work).unwrap();
            near(engaged.cone.inner_mm, work.to_root_mm, 1e-12);
            near(engaged.vee.outer_mm, work.to_crest_mm, 1e-12);
            assert_eq!(engaged.tip_clearance_mm, 0.0);
            assert_eq!(engaged.crest_clearance_mm, 0.0);
        }
    }
    let odd = Angle::from_degrees(45.0);
    assert!(MeasuredThread::of_standard_form(Side::External, odd, 1.5, 1, 9.026).is_none());
}

#[test]
fn a_pair_covers_a_range_of_pitches() {
    let pair = pair(30.0, 30.0);
    let at = |pitch: f64| engagement(&pair, &thread(pitch, 6.0 * pitch, 1));
    let engaged = at(1.5).unwrap();
    assert!(engaged.tip_clearance_mm > 0.0 && engaged.crest_clearance_mm > 0.0);
    near(
        engaged.cone.inner_mm,
        (0.375 - 0.20) * 3.0_f64.sqrt(),
        1e-12,
    );
    assert!(matches!(at(0.7), Err(MisfitError::TooWide { .. })));
    assert!(matches!(at(3.0), Err(MisfitError::TooNarrow { .. })));
    assert!(matches!(at(f64::NAN), Err(MisfitError::Input { .. })));
    let two = engagement(&pair, &thread(1.5, 9.026, 2));
    assert!(matches!(two, Err(MisfitError::EvenStarts { starts: 2 })));
    let mut whitworth = thread(1.5, 9.026, 1);
    whitworth.half_angle = Angle::from_degrees(27.5);
    assert!(matches!(
        engagement(&pair, &whitworth),
        Err(MisfitError::WrongAngle { .. })
    ));
    // Half a degree apart, and yet another form.
    let mut acme = thread(1.5, 9.026, 1);
    acme.half_angle = Angle::from_degrees(14.5);
    let trapezoidal = self::pair(15.0, 15.0);
    assert!(matches!(
        engagement(&trapezoidal, &acme),
        Err(MisfitError::WrongAngle { .. })
    ));
    let mut shallow = thread(1.5, 9.026, 1);
    shallow.to_root_mm = 0.2;
    assert!(matches!(
        engagement(&pair, &shallow),
        Err(MisfitError::TipMeetsRoot { .. })
    ));
    let mut tall = thread(1.5, 9.026, 1);
    tall.to_crest_mm = 0.9;
    assert!(matches!(
        engagement(&pair, &tall),
        Err(MisfitError::CrestMeetsBottom { .. })
    ));
    check_marked_range(25.4 / 14.0, 25.4 / 24.0, 1.814286).unwrap();
    assert!(check_marked_range(2.0, 1.0, 1.75).is_err());
    assert!(check_marked_range(f64::NAN, 1.0, 1.75).is_err());
}
