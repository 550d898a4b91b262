//! Every row of every file under `data/`.

#![allow(clippy::unwrap_used, clippy::panic, reason = "tests")]

use std::collections::HashSet;
use std::path::{Path, PathBuf};
use std::str::FromStr;

use metrology::designation::parse;
use metrology::limits::ThreadLimits;
use metrology::source::Source;
use metrology::units::{Length, LengthUnit};

fn data() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("data")
}

fn csv_files() -> Vec<PathBuf> {
    let mut files = Vec::new();
    let mut folders = vec![data()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|extension| extension == "csv") {
                files.push(path);
            }
        }
    }
    files.sort();
    files
}

/// Columns that are the row's key: what stands before the first value.
fn key_columns(header: &csv::StringRecord) -> Vec<usize> {
    let named = |names: &[&str]| {
        let found: Vec<_> = header
            .iter()
            .enumerate()
            .filter(|(_, name)| names.contains(name))
            .collect();
        found.into_iter().map(|(index, _)| index).collect()
    };
    named(&[
        "name",
        "above_per_inch",
        "table",
        "size",
        "d_mm",
        "d_in",
        "d_over_mm",
        "d_upto_mm",
        "d_over_in",
        "t_over_um",
        "pitch_mm",
        "tpi",
        "class",
        "quantity",
        "column",
    ])
}

#[test]
fn every_row_names_its_source_and_stands_once() {
    for file in csv_files() {
        let name = file.display();
        let mut reader = csv::Reader::from_path(&file).unwrap();
        let header = reader.headers().unwrap().clone();
        let column = |name: &str| header.iter().position(|column| column == name);
        let source = column("source").unwrap_or_else(|| panic!("{name}: no source column"));
        let clause = column("clause").unwrap_or_else(|| panic!("{name}: no clause column"));
        let keys = key_columns(&header);
        // A table without a column that names its rows must at least not have a row twice.
        let keys = if keys.is_empty() {
            (0..header.len()).collect()
        } else {
            keys
        };
        let mut seen = HashSet::new();
        let mut rows = 0;
        for row in reader.records() {
            let row = row.unwrap_or_else(|error| panic!("{name}: {error}"));
            Source::from_str(&row[source]).unwrap_or_else(|error| panic!("{name}: {error}"));
            assert!(!row[clause].is_empty(), "{name}: {row:?}");
            if let Some(confidence) = column("confidence") {
                let known = ["solid", "secondary", "formula-backed", "weak"];
                assert!(known.contains(&&row[confidence]), "{name}: {row:?}");
            }
            let key: Vec<_> = keys.iter().map(|&index| row[index].to_owned()).collect();
            assert!(seen.insert(key), "{name}: {row:?} stands twice");
            for (index, column) in header.iter().enumerate() {
                let number = ["_mm", "_um", "_in"]
                    .iter()
                    .any(|unit| column.ends_with(unit));
                let list = column == "fine_pitches_mm" || column == "other_pitches_mm";
                if number && !list && !row[index].is_empty() {
                    row[index]
                        .parse::<rust_decimal::Decimal>()
                        .unwrap_or_else(|_| panic!("{name}: {column} of {row:?}"));
                }
            }
            rows += 1;
        }
        assert!(rows > 0, "{name} is empty");
    }
}

fn answered(limits: &ThreadLimits, quantity: &str) -> Option<Length> {
    match quantity {
        "allowance" => Some(limits.allowance),
        "major_max" => limits.major.upper,
        "major_min" => limits.major.lower,
        "pitch_max" => limits.pitch_diameter.upper,
        "pitch_min" => limits.pitch_diameter.lower,
        "minor_max" => limits.minor.upper,
        "minor_min" => limits.minor.lower,
        _ => panic!("{quantity} is no quantity"),
    }
}

/// A cell of a published Unified table that differs from the formula: the value taken is the one answered, the
/// other one is told, and a row whose two values agree is struck from the list.
#[test]
fn every_disputed_unified_cell_is_answered_as_listed() {
    let mut reader = csv::Reader::from_path(data().join("unified/disputed.csv")).unwrap();
    let mut rows = 0;
    for row in reader.records().map(Result::unwrap) {
        let designation = format!("{}-{} {}-{}", &row[0], &row[2], &row[3], &row[4]);
        let inch =
            |text: &str| Length::from_decimal(text.parse().unwrap(), LengthUnit::Inch).unwrap();
        let (published, formula) = (inch(&row[6]), inch(&row[7]));
        assert_ne!(published, formula, "{designation} {}", &row[5]);
        let (taken, other) = match &row[8] {
            "formula" => (formula, published),
            "table" => (published, formula),
            word => panic!("{word} is neither formula nor table"),
        };
        let limits = parse(&designation)
            .and_then(|thread| thread.limits())
            .unwrap_or_else(|error| panic!("{designation}: {error}"));
        assert_eq!(
            answered(&limits, &row[5]),
            Some(taken),
            "{designation} {}",
            &row[5]
        );
        assert!(
            limits
                .disputes
                .iter()
                .any(|dispute| dispute.taken == taken && dispute.other == other),
            "{designation} {}: not told",
            &row[5]
        );
        rows += 1;
    }
    assert!(rows > 50);
}
