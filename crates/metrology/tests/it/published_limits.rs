//! Limits against published rows, to the last digit. Each row names its source in its file.

#![allow(clippy::unwrap_used, clippy::panic, reason = "tests")]

use metrology::designation::parse;
use metrology::limits::{Limits, ThreadLimits};
use metrology::units::{Length, LengthUnit};
use metrology::validation::limits::limit;

const UNIFIED: &str = include_str!("../../src/validation/cases/unified_limits.csv");
const METRIC: &str = include_str!("../../src/validation/cases/metric_limits.csv");

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

/// Single published cells: ties, exceptions, what a table needs of the rounding, and the right values of known
/// misprints. The remark says which.
#[test]
fn single_published_cells_and_no_known_misprint() {
    const CELLS: &str = include_str!("../../src/validation/cases/published_cells.csv");
    let mut rows = 0;
    for row in csv::Reader::from_reader(CELLS.as_bytes())
        .records()
        .map(Result::unwrap)
    {
        let thread = limits(&row[0]);
        let answered = limit(&thread, &row[1]).unwrap_or_else(|| panic!("{} is no cell", &row[1]));
        let slack = i32::from(row[4].ends_with("within 0.001"));
        check(
            &format!("{} {}", &row[0], &row[1]),
            &row[2],
            answered,
            thread.unit,
            Length::from_micrometres(slack),
        );
        row[3].parse::<metrology::source::Source>().unwrap();
        rows += 1;
    }
    assert_eq!(rows, 68);
}

/// Worked calculation of 1/2-28 UNEF, Machinery's Handbook, 31st ed., pp. 2010-2013 and 2020-2023: the length
/// of engagement behind it is 9 P.
#[test]
fn engagement_is_told() {
    use metrology::limits::Engagement;
    assert_eq!(
        limits("1/2-28 UNEF-2A").engagement,
        Some(Engagement::Pitches(9))
    );
    assert_eq!(limits("1/4-20 UNC-2A").included_angle.degrees(), 60.0);
    let quarter = Length::from_ten_thousandths_inch(2500);
    assert_eq!(
        limits("1/4-20 UNC-2A").engagement,
        Some(Engagement::Length(quarter))
    );
}

/// A special length of engagement changes the tolerance and keeps the allowance.
#[test]
fn special_engagement_changes_the_tolerance_alone() {
    let (usual, special) = (
        limits("7/16-28 UNEF-2A"),
        limits("7/16-28 UNEF-2A SE LE 1.00"),
    );
    assert_eq!(usual.allowance, special.allowance);
    assert_eq!(usual.major, special.major);
    assert_eq!(usual.pitch_diameter.upper, special.pitch_diameter.upper);
    // Td2 = 0.0015 (0.4375^(1/3) + 1) + 0.015 (1/28)^(2/3) = 0.004266, by hand.
    assert_eq!(
        special.pitch_diameter.tolerance(),
        Some(Length::from_ten_thousandths_inch(43))
    );
    let inside = limits("1/4-20 UNC-2A LE 0.3");
    assert_eq!(
        inside.pitch_diameter,
        limits("1/4-20 UNC-2A").pitch_diameter
    );
    assert_eq!(inside.assumed.len(), 1);
    let outside = limits("1/4-20 UNC-2A LE 1");
    assert!(outside.pitch_diameter.tolerance() > inside.pitch_diameter.tolerance());
}
