//! A difference and what it points to.

use super::*;
use crate::contacts::Freedom;
use crate::units::{Angle, Force};
use crate::wires::Side;

fn m10() -> MeasuredThread {
    MeasuredThread {
        side: Side::External,
        half_angle: Angle::from_degrees(30.0),
        pitch_mm: 1.5,
        starts: 1,
        pitch_diameter_mm: 9.026,
        to_crest_mm: 0.487,
        to_root_mm: 0.325,
    }
}

fn wires(size_mm: f64, corrected: bool) -> Measured {
    Measured {
        method: Method::Wires {
            wire_mm: 0.866,
            lead_corrected: corrected,
            force_corrected: corrected,
            force: Force::from_newtons(11.12),
        },
        size_mm,
        repeatability_mm: 0.0005,
    }
}

fn contacts(size_mm: f64, zero_on_master: bool, freedom: Freedom) -> Measured {
    Measured {
        method: Method::Contacts {
            zero_on_master,
            freedom,
        },
        size_mm,
        repeatability_mm: 0.001,
    }
}

fn run(first: &Measured, second: &Measured) -> Reconciliation {
    reconcile(&m10(), first, second, &Facts::ORDINARY).unwrap()
}

#[test]
fn the_shares_add_up_to_the_difference() {
    let got = run(&wires(9.020, true), &contacts(9.028, false, Freedom::Free));
    let sum: f64 = got.causes.iter().map(|cause| cause.likely_mm).sum();
    assert!((sum - got.difference_mm).abs() < 1e-12);
    assert!((got.difference_mm + 0.008).abs() < 1e-12);
}

/// Contacts 8 µm above good wires: the flank angle, read by a band and not at the pitch line.
#[test]
fn contacts_above_wires_point_to_the_flank_angle() {
    let got = run(&wires(9.020, true), &contacts(9.028, false, Freedom::Free));
    assert_eq!(got.causes[0].name, CauseName::PartFlanks);
    assert_eq!(got.causes[0].carrier, Carrier::Second);
    assert!(got.surprise < 2.0);
}

/// A locked V gives 20 µm on M10: nothing else comes near.
#[test]
fn a_locked_vee_stands_out() {
    let locked = Freedom::Locked {
        half_length_mm: 2.0,
    };
    let got = run(&wires(9.000, true), &contacts(9.025, false, locked));
    assert_eq!(got.causes[0].name, CauseName::VeeLocked);
    assert!((got.causes[0].likely_mm + 0.0216).abs() < 1e-3);
}

/// Wires under 2.5 lbf without correction read 4.2 µm low.
#[test]
fn uncorrected_force_is_found() {
    let got = run(
        &wires(9.0196, false),
        &contacts(9.0218, true, Freedom::Free),
    );
    let force = got
        .causes
        .iter()
        .find(|cause| cause.name == CauseName::Force)
        .unwrap();
    assert!((force.expected_mm + 0.00423).abs() < 1e-5);
    let lead = got
        .causes
        .iter()
        .find(|cause| cause.name == CauseName::LeadLeftOut)
        .unwrap();
    assert!((lead.expected_mm - 0.00173).abs() < 1e-5);
}

#[test]
fn two_people_with_the_same_equipment_share_its_errors() {
    let facts = Facts {
        same_equipment: true,
        ..Facts::ORDINARY
    };
    let (a, b) = (wires(9.020, true), wires(9.024, true));
    let got = reconcile(&m10(), &a, &b, &facts).unwrap();
    assert!(got.causes.iter().all(|cause| cause.name != CauseName::Zero));
    assert!(
        got.causes
            .iter()
            .all(|cause| cause.name != CauseName::WireDiameter)
    );
    assert!(
        got.causes
            .iter()
            .any(|cause| cause.name == CauseName::Place)
    );
}

/// The flanks of one part under one pair are the same twice; by wires they are not what they are by a pair.
#[test]
fn the_flanks_of_one_part_cancel_under_one_pair() {
    let facts = Facts {
        same_equipment: true,
        ..Facts::ORDINARY
    };
    let flanks = |first: &Measured, facts: &Facts| {
        let other = contacts(9.022, true, Freedom::Free);
        let got = reconcile(&m10(), first, &other, facts).unwrap();
        let mut causes = got.causes.iter();
        causes.any(|cause| cause.name == CauseName::PartFlanks && cause.spread_mm > 0.0)
    };
    let pair = contacts(9.020, true, Freedom::Free);
    assert!(!flanks(&pair, &facts));
    assert!(flanks(&pair, &Facts::ORDINARY));
    assert!(flanks(&wires(9.020, true), &facts));
}

/// Two people, the same wires and force, but only one corrected for the force: that does not cancel.
#[test]
fn the_same_equipment_with_a_correction_left_out_once() {
    let facts = Facts {
        same_equipment: true,
        ..Facts::ORDINARY
    };
    let got = reconcile(&m10(), &wires(9.020, true), &wires(9.016, false), &facts).unwrap();
    let force: Vec<_> = got
        .causes
        .iter()
        .filter(|cause| cause.name == CauseName::Force && cause.expected_mm != 0.0)
        .collect();
    assert_eq!(force.len(), 1);
    assert!((force[0].expected_mm - 0.00423).abs() < 1e-5);
    assert_eq!(force[0].carrier, Carrier::Second);
    // Contacts share no wires with them.
    let other = contacts(9.020, true, Freedom::Free);
    let got = reconcile(&m10(), &wires(9.020, true), &other, &facts).unwrap();
    assert!(
        got.causes
            .iter()
            .any(|cause| cause.name == CauseName::WireDiameter)
    );
}

#[test]
fn a_thimble_turn_is_named() {
    let got = run(&wires(9.52, true), &contacts(9.023, true, Freedom::Free));
    assert_eq!(got.thimble_turns, Some(Turns::OneMetric));
    assert!(got.surprise > 10.0);
    let small = run(&wires(9.02, true), &contacts(9.023, true, Freedom::Free));
    assert_eq!(small.thimble_turns, None);
}

#[test]
fn nonsense_is_refused() {
    let good = contacts(9.0, true, Freedom::Free);
    assert!(reconcile(&m10(), &wires(f64::NAN, true), &good, &Facts::ORDINARY).is_err());
    let bad = Facts {
        form_mm: -1.0,
        ..Facts::ORDINARY
    };
    assert!(reconcile(&m10(), &good, &good, &bad).is_err());
    let mut broken = m10();
    broken.pitch_mm = 0.0;
    assert!(reconcile(&broken, &good, &good, &Facts::ORDINARY).is_err());
}
