//! Deformation under force against values computed independently.

#![allow(clippy::unwrap_used)]

use metrology::elastic::{
    Elastic, OverWires, WireConvention, calibration_compression_mm, over_wires, reading_correction,
};
use metrology::units::{Angle, Force};

use crate::rows::{near, numbers};

const STEEL: Elastic = Elastic {
    young_gpa: 205.0,
    poisson: 0.29,
};

fn set_up(half_angle: f64, d2: f64, wire: f64, newtons: f64) -> OverWires {
    OverWires {
        half_angle: Angle::from_degrees(half_angle),
        pitch_diameter_mm: d2,
        wire_mm: wire,
        force: Force::from_newtons(newtons),
        face_width_mm: 6.35,
        thread: STEEL,
        wires: STEEL,
        faces: STEEL,
    }
}

#[test]
fn loss_of_a_reading_over_wires() {
    for row in numbers(include_str!("fixtures/force_over_wires.csv"), 9) {
        let loss = over_wires(&set_up(row[0], row[1], row[2], row[3])).unwrap();
        near(1e3 * loss.single_wire_mm, row[4], 6e-4);
        near(1e3 * loss.pair_mm, row[5], 6e-4);
        near(1e3 * loss.face_on_single_mm, row[6], 6e-4);
        near(1e3 * loss.face_on_pair_mm, row[7], 6e-4);
        near(1e3 * loss.total_mm(), row[8], 6e-3);
    }
}

#[test]
fn what_the_deformed_convention_leaves() {
    for row in numbers(include_str!("fixtures/force_conventions.csv"), 7) {
        let [d2, wire, newtons, cylinder, compression, loss, residual] = row[..] else {
            panic!("seven columns")
        };
        let force = Force::from_newtons(newtons);
        let got = calibration_compression_mm(wire, force, cylinder, 6.35, STEEL, STEEL).unwrap();
        near(1e3 * got, compression, 1e-3);
        let set_up = set_up(30.0, d2, wire, newtons);
        let free = reading_correction(&set_up, WireConvention::Undeformed).unwrap();
        near(1e3 * free.correction_mm, loss, 6e-3);
        let convention = WireConvention::Deformed {
            force,
            cylinder_mm: cylinder,
        };
        let deformed = reading_correction(&set_up, convention).unwrap();
        near(-1e3 * deformed.correction_mm, residual, 1.1e-2);
    }
}
