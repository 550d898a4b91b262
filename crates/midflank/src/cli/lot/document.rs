//! The machine-readable answer of a lot, a line a piece and characteristic.

use serde::Serialize;
use workshop::lot::Measured;

use super::why;
use crate::document::LotLine;

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
    unit: Option<String>,
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
        unit: outcome.map(|outcome| outcome.unit.to_string()),
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

/// The same as a row of CSV.
pub fn csv(measured: &Measured, number: &str) -> String {
    let line = line(measured, number);
    let length = |value: Option<f64>| value.map_or_else(String::new, |value| value.to_string());
    let error = line.error.as_ref().map(|error| error.kind.as_str());
    [
        quoted(line.piece),
        quoted(line.characteristic),
        length(line.size),
        length(line.expanded_uncertainty),
        line.decision.unwrap_or("error").to_owned(),
        line.n.to_string(),
        line.unit.unwrap_or_default(),
        line.provisional.to_string(),
        quoted(line.because.or(error).unwrap_or_default()),
    ]
    .join(",")
}

fn quoted(text: &str) -> String {
    if text.contains([',', '"', ';', '\t']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
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
