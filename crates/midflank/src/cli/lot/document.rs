//! The machine-readable answer of a lot, a line a piece and characteristic.

use std::fmt;
use std::io::Write as _;

use serde::Serialize;
use workshop::lot::Measured;

use super::why;
use crate::document::LotLine;
use crate::given::escaped;

#[derive(Serialize)]
pub struct Line<'a> {
    piece: &'a str,
    characteristic: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    size: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    expanded_uncertainty: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    decision: Option<&'static str>,
    n: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    unit: Option<&'static str>,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    provisional: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    because: Option<&'a str>,
    #[serde(skip_serializing_if = "<[String]>::is_empty")]
    places_not_measured: &'a [String],
    #[serde(skip_serializing_if = "Option::is_none")]
    error: Option<ErrorDocument>,
}

#[derive(Serialize)]
struct ErrorDocument {
    kind: String,
    message: String,
}

/// The line of a piece and characteristic.
pub fn line<'a>(measured: &'a Measured, number: &'a str) -> Line<'a> {
    let outcome = measured.outcome.as_ref().ok();
    Line {
        piece: &measured.piece,
        characteristic: number,
        size: outcome.map(|outcome| outcome.size),
        expanded_uncertainty: outcome.map(|outcome| outcome.expanded_uncertainty),
        decision: outcome.map(|outcome| outcome.decision),
        n: measured.n,
        unit: outcome.map(|outcome| outcome.unit.symbol()),
        provisional: outcome.is_some_and(|outcome| outcome.provisional),
        because: outcome.and_then(|outcome| outcome.because.as_deref()),
        places_not_measured: &measured.missing_places,
        error: measured
            .outcome
            .as_ref()
            .err()
            .map(|refused| ErrorDocument {
                kind: refused.reason.key().to_owned(),
                message: why(refused),
            }),
    }
}

/// The columns of the CSV.
pub const CSV_HEADER: &str =
    "piece,characteristic,size,expanded_uncertainty,decision,n,unit,provisional,because";

/// The same as a row of CSV, without its end. A list has hundreds of thousands of them: no text of its own for each field.
pub fn csv(measured: &Measured, number: &str, row: &mut Vec<u8>) {
    let line = line(measured, number);
    let error = line.error.as_ref().map(|error| error.kind.as_str());
    put_text(row, line.piece);
    row.push(b',');
    put_text(row, line.characteristic);
    for length in [line.size, line.expanded_uncertainty] {
        row.push(b',');
        if let Some(length) = length {
            put(row, format_args!("{length}"));
        }
    }
    let decision = line.decision.unwrap_or("error");
    let unit = line.unit.unwrap_or_default();
    put(
        row,
        format_args!(",{decision},{},{unit},{},", line.n, line.provisional),
    );
    put_text(row, line.because.or(error).unwrap_or_default());
}

fn put(row: &mut Vec<u8>, text: fmt::Arguments<'_>) {
    // Memory takes whatever is written to it.
    let _ = row.write_fmt(text);
}

/// A text between quotes where a program that reads CSV would cut it, with what would steer a terminal made visible.
fn put_text(row: &mut Vec<u8>, text: &str) {
    let text = escaped(text);
    if text.contains([',', '"', ';', '\t']) {
        put(row, format_args!("\"{}\"", text.replace('"', "\"\"")));
    } else {
        row.extend_from_slice(text.as_bytes());
    }
}

/// The lot as the last row of the CSV: `lot` in the place of a piece, its verdict, and the number of pieces.
pub fn csv_lot(document: &LotLine) -> String {
    let lot = &document.lot;
    format!(
        "lot,,,,{},{},,{},{}",
        lot.verdict,
        lot.pieces,
        lot.provisional > 0,
        lot.because.unwrap_or_default()
    )
}
