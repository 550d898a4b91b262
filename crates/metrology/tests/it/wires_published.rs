//! Wires and balls against values computed or printed elsewhere.

use std::f64::consts::PI;

use metrology::units::Angle;
use metrology::wires::{
    Approximation, Arrangement, Feeler, FormHeights, Groove, Side, best_wire_mm, compare,
    flank_angle_sensitivity_mm, pitch_line_wire_mm, reading_from_size, seat, sensitivities,
    simple_reading_mm, size_from_reading, usable_wires,
};

use crate::rows::{near, numbers};

fn external(form_deg: f64, pitch: f64, lead: f64) -> Groove {
    Groove::symmetric(Side::External, Angle::from_degrees(form_deg), pitch, lead)
}

#[test]
fn three_wires_agree_with_the_contact_equations_solved_in_40_digits() {
    for row in numbers(
        include_str!("../../src/validation/cases/wire_exact_contact.csv"),
        7,
    ) {
        let groove = external(row[0], row[1], row[2]);
        let got = reading_from_size(&groove, Arrangement::OverWires, row[3], row[4]).unwrap();
        near(got.reading_mm, row[5], 4e-15 * row[5]);
        near(got.simple_reading_mm, row[6], 1e-13);
        let back = size_from_reading(&groove, Arrangement::OverWires, row[5], row[4]).unwrap();
        near(back.pitch_diameter_mm, row[3], 4e-15 * row[3]);
    }
}

#[test]
fn the_published_formulas_give_their_published_values() {
    let text = include_str!("../../src/validation/cases/wire_exact_contact.csv");
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    for (row, record) in numbers(text, 8).iter().zip(reader.records()) {
        let formula = if record.unwrap()[8].starts_with("small-lead") {
            Approximation::SmallLead
        } else {
            Approximation::NormalSection
        };
        let groove = external(row[0], row[1], row[2]);
        let got = formula
            .reading_mm(&groove, row[3], row[4])
            .unwrap()
            .unwrap();
        near(got, row[7], 1e-12);
    }
}

#[test]
fn every_step_of_the_contact_agrees() {
    for row in numbers(include_str!("fixtures/wire_contact_steps.csv"), 11) {
        let groove = external(row[0], row[1], row[2]);
        let got = reading_from_size(&groove, Arrangement::OverWires, row[3], row[4]).unwrap();
        near(got.reading_mm, row[5], 6e-11);
        near(1e3 * got.lead_correction_mm, row[6], 6e-5 * row[6].max(1.0));
        near(got.seat.upper.radius_mm, row[7], 6e-11 * row[7]);
        near(got.seat.upper.polar_angle.radians(), row[8], 6e-12);
        near(got.seat.lower.polar_angle.radians(), -row[8], 6e-12);
        near(got.seat.centre_radius_mm, row[9], 6e-11 * row[9]);
        near(got.seat.inclination.degrees(), row[10], 6e-7);
    }
}

#[test]
fn two_balls_in_an_internal_thread() {
    for row in numbers(
        include_str!("../../src/validation/cases/two_balls_exact_contact.csv"),
        7,
    ) {
        let angle = Angle::from_degrees(row[0]);
        let groove = Groove::symmetric(Side::Internal, angle, row[1], row[2]);
        let got = reading_from_size(&groove, Arrangement::BallCentres, row[3], row[4]).unwrap();
        near(got.reading_mm, row[5], 6e-11);
        near(got.simple_reading_mm, row[6], 6e-11);
        let back = size_from_reading(&groove, Arrangement::BallCentres, row[5], row[4]).unwrap();
        near(back.pitch_diameter_mm, row[3], 1e-10);
    }
}

/// The published table is for a 1 inch axial pitch and contact at the pitch line.
#[test]
fn large_lead_acme_table_in_print() {
    for row in numbers(
        include_str!("../../src/validation/cases/acme_large_lead.csv"),
        4,
    ) {
        let lead = row[1];
        let d2 = lead / (PI * libm::tan(row[0].to_radians()));
        let groove = external(29.0, 1.0, lead);
        let wire = pitch_line_wire_mm(&groove, d2).unwrap();
        near(wire, row[2], 2.1e-5);
        let got = reading_from_size(&groove, Arrangement::OverWires, d2, wire).unwrap();
        near(got.seat.upper.radius_mm, d2 / 2.0, 1e-14);
        near(got.reading_mm - d2, row[3], 2.1e-5);
    }
}

/// Machinery's Handbook, 31st ed., p. 2135: Acme 5 in, P 0.5, two starts, thread 0.2454 thick at the basic pitch line,
/// wire 0.258: M = 5.056 in.
#[test]
fn printed_acme_example() {
    let groove = external(29.0, 0.5, 1.0);
    let d2 = 4.75 - (0.25 - 0.2454) / libm::tan(14.5_f64.to_radians());
    near(d2, 4.732213, 5e-7);
    let got = reading_from_size(&groove, Arrangement::OverWires, d2, 0.258).unwrap();
    near(got.reading_mm, 5.056, 5e-4);
    near(got.reading_mm, 5.056121, 5e-7);
    near(got.simple_reading_mm, 5.053969, 5e-7);
    let by = |formula: Approximation| formula.reading_mm(&groove, d2, 0.258).unwrap().unwrap();
    near(by(Approximation::SmallLead), 5.056154, 5e-7);
    near(by(Approximation::NormalSection), 5.056151, 5e-7);
}

#[test]
fn the_errors_of_the_approximations_are_as_tabulated() {
    for row in numbers(include_str!("fixtures/approximation_errors.csv"), 9) {
        let d2 = row[2] / (PI * libm::tan(row[1].to_radians()));
        let groove = external(row[0], 1.0, row[2]);
        let wire = best_wire_mm(&groove).unwrap();
        let exact = reading_from_size(&groove, Arrangement::OverWires, d2, wire).unwrap();
        // One unit of the last digit in the table, which was made with rounded diameters.
        let digits = |expected: f64| {
            let size = f64::abs(expected);
            match size {
                s if s >= 100.0 => 0.0051,
                s if s >= 10.0 => 0.051,
                s if s >= 1.0 => 0.0051,
                _ => 0.00101,
            }
        };
        near(1e3 * exact.lead_correction_mm, row[3], 0.0051);
        near(exact.seat.upper.radius_mm - d2 / 2.0, row[8], 5.1e-5);
        let table = compare(&groove, d2, wire, exact.reading_mm).unwrap();
        for (formula, column) in [
            (Approximation::SmallLead, 4),
            (Approximation::NormalSection, 5),
            (Approximation::LocalLead, 6),
            (Approximation::Involute, 7),
        ] {
            let found = table.iter().find(|line| line.formula == formula).unwrap();
            near(1e3 * found.difference_mm, row[column], digits(row[column]));
        }
    }
}

/// Printed: 60° 1.010363 and 0.505182, 29° Acme 0.650013 and 0.487263 (the handbook rounds on the way).
#[test]
fn smallest_and_largest_wires() {
    let cases = [
        (60.0, FormHeights::EXTERNAL_60, 1.010363, 0.505182, 1.1e-6),
        (55.0, FormHeights::WHITWORTH, 0.852724, 0.50568, 1.1e-6),
        (29.0, FormHeights::ACME, 0.650013, 0.487263, 1.1e-5),
        (30.0, FormHeights::TRAPEZOIDAL, 0.656339, 0.486466, 1e-6),
        (29.0, FormHeights::STUB_ACME, 0.596603, 0.447226, 2e-5),
    ];
    for (angle, crest, largest, smallest, tolerance) in cases {
        let got = usable_wires(&external(angle, 1.0, 1.0), crest).unwrap();
        near(got.largest_mm, largest, tolerance);
        near(got.smallest_mm, smallest, tolerance);
    }
    // A ball inside need not stand proud: it clears the root (3H/8 deep) and touches up to the crest (H/4 high).
    let inside = Groove::symmetric(Side::Internal, Angle::from_degrees(60.0), 1.0, 1.0);
    let heights = FormHeights::of_standard_form(Side::Internal, Angle::from_degrees(60.0)).unwrap();
    let balls = usable_wires(&inside, heights).unwrap();
    near(balls.smallest_mm, 0.2165064, 1e-7);
    near(balls.largest_mm, 0.8660254, 1e-7);
    let best = |angle: f64| best_wire_mm(&external(angle, 1.0, 1.0)).unwrap();
    for (angle, ratio) in [
        (60.0, 0.5773503),
        (55.0, 0.5636910),
        (47.5, 0.5462621),
        (30.0, 0.5176381),
        (29.0, 0.5164502),
    ] {
        near(best(angle), ratio, 5e-8);
    }
}

/// Buttress 7°/45°: M = E − 0.89064 P + 3.15689 W (handbooks, from memory), best wire 0.5408 P.
#[test]
fn unequal_flanks() {
    let groove = Groove {
        upper_flank: Angle::from_degrees(45.0),
        lower_flank: Angle::from_degrees(7.0),
        ..external(52.0, 1.0, 0.0)
    };
    let at = |wire: f64| simple_reading_mm(&groove, 20.0, wire).unwrap();
    near(at(0.6) - at(0.5), 0.315689, 1e-6);
    near(at(0.5) - 20.0, 0.5 * 3.15689 - 0.89064, 2e-5);
    near(best_wire_mm(&groove).unwrap(), 0.54083, 1e-5);
    let c = sensitivities(&groove, 0.54).unwrap();
    near(c.wires_common, -3.15689, 1e-5);
    near(c.pitch, 0.89064, 2e-5);
    // The largest wire touches at the end of the steeper flank, the smallest is flush with the crest.
    let heights = FormHeights::flats(0.3, None);
    let usable = usable_wires(&groove, heights).unwrap();
    let edge = seat(&groove, Feeler::Wire, 20.0, usable.largest_mm).unwrap();
    near(edge.lower.radius_mm, 10.3, 1e-12);
    let flush = seat(&groove, Feeler::Wire, 20.0, usable.smallest_mm).unwrap();
    near(
        flush.centre_radius_mm + usable.smallest_mm / 2.0,
        10.3,
        1e-12,
    );
}

/// Per degree and per 0.1 P of oversize: 60° 0.00605 P, 55° 0.00726 P, 30° 0.0252 P, 29° 0.0270 P.
#[test]
fn flank_angle_error_of_a_wire_that_is_not_the_best() {
    for (angle, expected) in [
        (60.0, 0.00605),
        (55.0, 0.00726),
        (30.0, 0.0252),
        (29.0, 0.0270),
    ] {
        let groove = external(angle, 1.0, 0.0);
        let wire = best_wire_mm(&groove).unwrap() + 0.1;
        let per_degree = flank_angle_sensitivity_mm(&groove, wire).unwrap() * PI / 180.0;
        near(-per_degree, expected, 0.006 * expected);
    }
}

/// An M10×1.5 budget with arbitrary inputs: its arithmetic only.
#[test]
fn budget_lines_add_up() {
    let groove = external(60.0, 1.5, 1.5);
    let c = sensitivities(&groove, 0.866).unwrap();
    let lines = [
        (0.6 * c.reading, 0.600),
        (0.10 * c.wires_common, -0.300),
        (0.5 * c.pitch, 0.433),
        (1e3 * c.half_angle_mm * 0.1_f64.to_radians(), -0.0002),
        (0.05 * c.lead_correction, -0.050),
        (0.3 * c.force_correction, 0.300),
        (1e3 * 0.5 * 11.5e-6 * 9.026, 0.0519),
        (0.3, 0.300),
    ];
    for (got, expected) in lines {
        near(got, expected, 6e-4);
    }
    let combined = lines.iter().map(|(u, _)| u * u).sum::<f64>().sqrt();
    near(combined, 0.907, 5e-4);
    near(2.0 * combined, 1.81, 5e-3);
    near(c.wires_independent, -3.0 * 0.612, 2e-3);
}
