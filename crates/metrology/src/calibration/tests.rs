//! A whole calibration, its numbers by hand.

use super::*;
use crate::decision::Verdict;
use crate::units::Entered;
use jiff::civil::date;

fn entered(text: &str) -> Entered {
    Entered::parse(text, None).unwrap()
}

/// Closed faces and blocks of 5.1, 10.3, 15 and 25 mm, read with these errors in micrometres, three times each with a scatter of
/// 1 µm about it.
fn calibration(errors: [i32; 5], limit: &str, shape: Shape) -> Calibration {
    let sizes = ["", "5.1mm", "10.3mm", "15mm", "25mm"];
    let point = |(size, error): (&str, i32)| {
        let nominal = if size.is_empty() {
            0.0
        } else {
            entered(size).value().mm()
        };
        let reading = |more: i32| {
            let mm = nominal + f64::from(error + more) / 1000.0;
            entered(&format!("{mm:.3}mm"))
        };
        Point {
            blocks: if size.is_empty() {
                vec![]
            } else {
                vec![entered(size)]
            },
            readings: vec![reading(-1), reading(0), reading(1)],
        }
    };
    let block = |size: &str| Block {
        nominal: entered(size),
        known: Known::Certified {
            deviation: entered("0um"),
            expanded_uncertainty: entered("0.1um"),
            coverage_factor: 2.0,
        },
    };
    Calibration {
        micrometer: Micrometer {
            id: "mic".to_owned(),
            range: [entered("0mm"), entered("25mm")],
            resolution: entered("1um"),
            turn: entered("0.5mm"),
            frame_per_ten_newtons: Some(entered("2um")),
        },
        on: date(2026, 3, 1),
        criterion: Criterion {
            shape,
            limit: entered(limit),
            guard: Guard::Simple,
        },
        blocks: sizes[1..].iter().map(|size| block(size)).collect(),
        found: sizes.into_iter().zip(errors).map(point).collect(),
        left: Vec::new(),
        repeatability: None,
        conditions: Conditions {
            off_reference: 1.0,
            apart: 0.5,
            force_within: 1.0,
        },
        faces: Faces::default(),
    }
}

#[test]
fn the_budget_of_a_point_by_hand() {
    let calibrated = calibrate(&calibration([0, 1, 2, 1, 3], "4um", Shape::Span)).unwrap();
    let last = calibrated.found.points.last().unwrap();
    assert!((last.error - 0.003).abs() < 1e-12);
    // Blocks 0.05; display 1/(2√3); three readings of s = 1: 1/√3; 25 mm, 0.5 K: 0.14375/√3; 1 K, triangle of 2e-6: 0.05/√6;
    // 0.2/√3 of force, in micrometres.
    let third: f64 = 1.0 / 3.0;
    let variance = 0.05 * 0.05
        + third / 4.0
        + third
        + 0.143_75 * 0.143_75 * third
        + 0.05 * 0.05 / 6.0
        + 0.2 * 0.2 * third;
    assert!((last.standard_uncertainty * 1000.0 - variance.sqrt()).abs() < 1e-9);
    assert_eq!(last.lines.len(), 7);
    assert!((last.lines[3].degrees_of_freedom - 10.0).abs() < 1e-12);
    assert!((calibrated.found.span.value - 0.003).abs() < 1e-12);
    assert_eq!(calibrated.verdict, Verdict::Accept);
    assert!(calibrated.notes.contains(&CalibrationNote::NoFaces));
}

/// +1 to +4 µm: within a span of 4 µm, outside ±2.5 µm.
#[test]
fn the_shape_of_the_criterion_decides() {
    let errors = [1, 2, 3, 2, 4];
    let span = calibrate(&calibration(errors, "4um", Shape::Span)).unwrap();
    assert_eq!(span.verdict, Verdict::Accept);
    let either = calibrate(&calibration(errors, "2.5um", Shape::EitherWay)).unwrap();
    assert_eq!(either.verdict, Verdict::Reject);
    assert!(matches!(
        either.notes.first(),
        Some(CalibrationNote::FoundOut { .. })
    ));
    let norms: Vec<Norm> = either.found.judged.iter().map(|one| one.norm).collect();
    assert_eq!(norms, [Norm::Own, Norm::Din863, Norm::AsmeB89]);
}

#[test]
fn what_was_adjusted_goes_on_as_it_was_left() {
    let mut job = calibration([4, 5, 6, 5, 7], "2.5um", Shape::EitherWay);
    job.left = calibration([0, 1, 2, 1, 2], "2.5um", Shape::EitherWay).found;
    let calibrated = calibrate(&job).unwrap();
    assert_eq!(calibrated.found.verdict, Verdict::Reject);
    assert_eq!(calibrated.verdict, Verdict::Accept);
    job.left.pop();
    assert!(matches!(
        calibrate(&job),
        Err(CalibrationError::NotCovered { .. })
    ));
}

#[test]
fn what_is_wrong_is_told() {
    let good = || calibration([0, 1, 2, 1, 3], "4um", Shape::Span);
    let mut job = good();
    job.found[1].blocks = vec![entered("5.2mm")];
    assert!(matches!(
        calibrate(&job),
        Err(CalibrationError::NoBlock { .. })
    ));
    let mut job = good();
    job.found.swap(1, 2);
    assert!(matches!(
        calibrate(&job),
        Err(CalibrationError::NotRising { .. })
    ));
    let mut job = good();
    job.found[1].readings = vec![entered("5.6mm")];
    assert!(matches!(
        calibrate(&job),
        Err(CalibrationError::FarOff { .. })
    ));
    let mut job = good();
    for point in &mut job.found {
        point.readings.truncate(1);
    }
    assert_eq!(calibrate(&job), Err(CalibrationError::NoRepeatability));
    let mut job = good();
    job.found.truncate(2);
    assert!(matches!(
        calibrate(&job),
        Err(CalibrationError::TooFewPoints { .. })
    ));
}
