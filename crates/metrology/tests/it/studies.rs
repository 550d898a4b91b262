//! Studies against published results.

use metrology::chart::ChartConstants;
use metrology::study::{DoubleDouble, OneWay, StudyError, Summary};

use crate::rows::near;

/// NIST Statistical Reference Datasets, univariate: certified values to 15 digits. PiDigits here are the first 5000 digits of π;
/// its values are computed with fractions of whole numbers, since the published set differs from π in a digit.
#[test]
fn univariate_reference_data() {
    let pi = include_str!("fixtures/strd/PiDigits.txt");
    let digits: Vec<String> = pi
        .chars()
        .filter(char::is_ascii_digit)
        .map(String::from)
        .collect();
    let made = |values: Vec<String>| format!("value\n{}\n", values.join("\n"));
    let accuracy = |start: &str| {
        let pairs = (0..500).flat_map(|_| [format!("{start}1"), format!("{start}3")]);
        made([format!("{start}2")].into_iter().chain(pairs).collect())
    };
    let mut reader = csv::Reader::from_reader(&include_bytes!("fixtures/strd/summary.csv")[..]);
    let mut count = 0;
    for row in reader.records().map(Result::unwrap) {
        let text = match &row[0] {
            "Lew" => include_str!("fixtures/strd/Lew.csv").to_owned(),
            "Lottery" => include_str!("fixtures/strd/Lottery.csv").to_owned(),
            "Mavro" => include_str!("fixtures/strd/Mavro.csv").to_owned(),
            "Michelso" => include_str!("fixtures/strd/Michelso.csv").to_owned(),
            "PiDigits" => made(digits.clone()),
            "NumAcc1" => "value\n10000001\n10000003\n10000002\n".to_owned(),
            "NumAcc2" => accuracy("1."),
            "NumAcc3" => accuracy("1000000."),
            "NumAcc4" => accuracy("10000000."),
            other => panic!("{other}"),
        };
        let summary = Summary::read(&text).unwrap();
        assert_eq!(summary.n.to_string(), row[1]);
        let found = [
            summary.mean,
            summary.standard_deviation.unwrap(),
            summary.autocorrelation.unwrap(),
        ];
        for (value, certified) in found.into_iter().zip(row.iter().skip(2)) {
            let certified: f64 = certified.parse().unwrap();
            let off = (value / certified - 1.0).abs();
            assert!(off < 3e-15, "{}: {value} {certified}", &row[0]);
        }
        count += 1;
    }
    assert_eq!(count, 9);
}

/// NIST Statistical Reference Datasets, one-way analysis of variance: all eleven sets, certified values to 15 digits.
#[test]
fn one_way_reference_data() {
    let mut reader = csv::Reader::from_reader(&include_bytes!("fixtures/strd/one-way.csv")[..]);
    let mut count = 0;
    for row in reader.records().map(Result::unwrap) {
        let text = match &row[0] {
            "SiRstv" => include_str!("fixtures/strd/SiRstv.csv").to_owned(),
            "AtmWtAg" => include_str!("fixtures/strd/AtmWtAg.csv").to_owned(),
            name => {
                let start = match name {
                    "SmLs01" | "SmLs02" | "SmLs03" => "1",
                    "SmLs04" | "SmLs05" | "SmLs06" => "1000000",
                    _ => "1000000000000",
                };
                simon_and_lesage(start, row[3].parse().unwrap())
            }
        };
        let study = OneWay::read(&text).unwrap();
        let found = [
            study.between.degrees_of_freedom as f64,
            study.between.sum_of_squares,
            study.between.mean_square,
            study.within.degrees_of_freedom as f64,
            study.within.sum_of_squares,
            study.within.mean_square,
            study.f,
            study.r_squared,
            study.residual_standard_deviation,
        ];
        for (value, certified) in found.into_iter().zip(row.iter().skip(4)) {
            let certified: f64 = certified.parse().unwrap();
            let off = (value / certified - 1.0).abs();
            assert!(off < 4e-15, "{}: {value} {certified}", &row[0]);
        }
        assert!((0.0..=1.0).contains(&study.p));
        count += 1;
    }
    assert_eq!(count, 11);
}

/// The generated sets: nine treatments about 0.4, 0.3, 0.5, ...; the first reading is the centre, the others alternate 0.1 below
/// and above it (S. D. Simon and J. P. Lesage, Computational Statistics & Data Analysis 8 (1989) 325).
fn simon_and_lesage(start: &str, replicates: usize) -> String {
    let mut text = String::from("group,value\n");
    for group in 1..=9 {
        let centre = if group == 1 {
            4
        } else if group % 2 == 0 {
            3
        } else {
            5
        };
        for replicate in 0..replicates {
            let tenths = match replicate {
                0 => centre,
                odd if odd % 2 == 1 => centre - 1,
                _ => centre + 1,
            };
            text += &format!("{group},{start}.{tenths}\n");
        }
    }
    text
}

#[test]
fn one_way_needs_groups_and_replicates() {
    let of = |text: &str| OneWay::read(text);
    assert_eq!(of("group,value\na,1\na,2\n"), Err(StudyError::OneGroup));
    assert_eq!(of("group,value\na,1\nb,2\n"), Err(StudyError::NoReplicates));
    assert_eq!(
        of("group,value\na,1\na,1\nb,2\n"),
        Err(StudyError::NoSpreadWithin)
    );
    assert!(matches!(
        of("group,value\na,x\n"),
        Err(StudyError::Table { .. })
    ));
    let one = Summary::of(&[DoubleDouble::from(3.0)]);
    assert_eq!(
        (one.mean, one.standard_deviation, one.autocorrelation),
        (3.0, None, None)
    );
}

/// Constants as ASTM and the NIST/SEMATECH e-Handbook print them, to five decimals from the integrals of their definitions; and
/// the factors K of the manual for measurement-systems analysis, 4th edition (from memory), which are 1/d2*.
#[test]
fn chart_constants() {
    let table = include_str!("fixtures/control_chart_constants.csv");
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    for row in reader.records().map(Result::unwrap) {
        let column = |index: usize| row[index].parse::<f64>().unwrap();
        let of = ChartConstants::of(row[0].parse().unwrap()).unwrap();
        let found = [
            of.d2,
            of.d3,
            of.c4,
            of.d2_star(1),
            of.a2(),
            of.a3(),
            of.b3(),
            of.b4(),
            of.lower_of_ranges(),
            of.upper_of_ranges(),
        ];
        for (index, value) in (1..).zip(found) {
            near(value, column(index), 0.6e-5);
        }
    }
    let k = [
        0.7071, 0.5231, 0.4467, 0.4030, 0.3742, 0.3534, 0.3375, 0.3249, 0.3146,
    ];
    for (n, printed) in (2..).zip(k) {
        near(
            1.0 / ChartConstants::of(n).unwrap().d2_star(1),
            printed,
            0.6e-4,
        );
    }
    near(
        ChartConstants::of(2).unwrap().d2,
        2.0 / std::f64::consts::PI.sqrt(),
        1e-12,
    );
    near(
        ChartConstants::of(3).unwrap().d2,
        3.0 / std::f64::consts::PI.sqrt(),
        1e-12,
    );
    assert_eq!(ChartConstants::of(1), None);
}
