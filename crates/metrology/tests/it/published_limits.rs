//! Limits against published rows, to the last digit. Each row names its source in its file.

#![allow(clippy::unwrap_used, clippy::panic, reason = "tests")]

use metrology::designation::parse;
use metrology::limits::{Limits, ThreadLimits};
use metrology::units::{Length, LengthUnit};

const UNIFIED: &str = include_str!("fixtures/unified_limits.csv");
const METRIC: &str = include_str!("fixtures/metric_limits.csv");

fn limits(designation: &str) -> ThreadLimits {
    parse(designation)
        .and_then(|thread| thread.limits())
        .unwrap_or_else(|error| panic!("{designation}: {error}"))
}

/// Compares a published cell, blank = not given, with a calculated one.
fn check(what: &str, cell: &str, answered: Option<Length>, unit: LengthUnit, slack: Length) {
    if cell.is_empty() {
        return;
    }
    let published = Length::from_decimal(cell.parse().unwrap(), unit).unwrap();
    let answered = answered.unwrap_or_else(|| panic!("{what}: {cell} published, nothing answered"));
    assert!(
        (published - answered).abs() <= slack,
        "{what}: published {cell}, answered {}",
        answered.decimal(unit)
    );
}

fn check_row(
    designation: &str,
    row: &csv::StringRecord,
    unit: LengthUnit,
    minor_slack: [Length; 2],
) {
    let thread = limits(designation);
    let cell = |index| row.get(index).unwrap();
    let pairs: [(&str, Limits, usize, [Length; 2]); 3] = [
        ("major", thread.major, 4, [Length::ZERO; 2]),
        ("pitch", thread.pitch_diameter, 6, [Length::ZERO; 2]),
        ("minor", thread.minor, 8, minor_slack),
    ];
    for (name, limits, column, slack) in pairs {
        let what = format!("{designation} {name}");
        check(
            &format!("{what} max"),
            cell(column),
            limits.upper,
            unit,
            slack[0],
        );
        check(
            &format!("{what} min"),
            cell(column + 1),
            limits.lower,
            unit,
            slack[1],
        );
    }
}

#[test]
fn every_published_unified_row() {
    let mut reader = csv::Reader::from_reader(UNIFIED.as_bytes());
    let mut rows = 0;
    for row in reader.records().map(Result::unwrap) {
        let designation = format!("{}-{}", &row[0], &row[1]);
        // The external minor diameter is a reference: published with a tolerance of 0.0002 in.
        let slack = if &row[2] == "external" { 2 } else { 0 };
        let slack = Length::from_ten_thousandths_inch(slack);
        check_row(&designation, &row, LengthUnit::Inch, [slack; 2]);
        let thread = limits(&designation);
        if &row[2] == "external" {
            check(
                "allowance",
                &row[3],
                Some(thread.allowance),
                LengthUnit::Inch,
                Length::ZERO,
            );
        }
        rows += 1;
    }
    assert_eq!(rows, 12);
}

#[test]
fn every_published_metric_row() {
    let mut reader = csv::Reader::from_reader(METRIC.as_bytes());
    let mut rows = 0;
    for row in reader.records().map(Result::unwrap) {
        let external = &row[2] == "external";
        // Rounded-root minor diameters differ by a micrometre between printings; nothing else does.
        let slack = Length::from_micrometres(i32::from(external));
        check_row(&row[0], &row, LengthUnit::Millimetre, [slack; 2]);
        let deviation: i32 = row[3].parse().unwrap();
        let deviation = if external { -deviation } else { deviation };
        assert_eq!(
            limits(&row[0]).allowance,
            Length::from_micrometres(deviation)
        );
        rows += 1;
    }
    assert_eq!(rows, 12);
}
