//! Reads the numbers of a fixture.

#![allow(clippy::unwrap_used)]

/// The leading numeric columns of every row.
pub fn numbers(csv_text: &str, columns: usize) -> Vec<Vec<f64>> {
    let mut reader = csv::Reader::from_reader(csv_text.as_bytes());
    let rows: Vec<Vec<f64>> = reader
        .records()
        .map(|record| {
            let record = record.unwrap();
            (0..columns).map(|i| record[i].parse().unwrap()).collect()
        })
        .collect();
    assert!(!rows.is_empty());
    rows
}

/// Fails with both numbers when they differ by more than `tolerance`.
#[track_caller]
pub fn near(got: f64, expected: f64, tolerance: f64) {
    assert!(
        (got - expected).abs() <= tolerance,
        "got {got}, expected {expected} within {tolerance:e}"
    );
}
