//! What was found of a piece with a gauge: the gauge, what its status makes of the result, and where a measurement of the same
//! piece says otherwise.

use ledger::{Entry, Ledger};
use metrology::inspection::Gauge;
use metrology::message::{Say as _, Value};
use workshop::gauges;
use workshop::lot_entry::Found;
use workshop::lots::{self, GaugeFinding, Gauged, Matrix};

use crate::failure::Failure;
use crate::kept;
use crate::say;
use crate::words::equipment::{on_report, role};
use crate::words::{self, Shown};

/// The lines below the entry.
pub fn lines(ledger: &Ledger, entry: &Entry) -> Result<Vec<String>, Failure> {
    let found: Found = kept::read(kept::FOUND, &entry.content.inputs).map_err(Failure::outside)?;
    let mut lines = Vec::new();
    if let Some(gauge) = &found.gauge {
        lines.push(say!(
            "lots.found-with-gauge",
            gauge = described(gauge, &found.notes)
        ));
    }
    lines.extend(notes(&found.notes));
    lines.extend(found.earlier.iter().map(|answer| {
        let told = match (answer.conforms, &answer.note) {
            (true, None) => say!("lots.answered-yes").to_owned(),
            (false, None) => say!("lots.answered-no").to_owned(),
            (true, Some(note)) => say!("lots.answered-yes-note", note = note),
            (false, Some(note)) => say!("lots.answered-no-note", note = note),
        };
        say!("lots.taken-back", at = answer.at, told = told)
    }));
    let Some(lot) = lots::find(ledger, &found.lot)?.filter(|_| found.gauge.is_some()) else {
        return Ok(lines);
    };
    let matrix = lots::matrix_by_facts(ledger, &lot, &[])?;
    let of_entry = matrix.gauge_findings().into_iter().filter(|finding| {
        let row = matrix.rows.iter().find(|row| row.piece == finding.piece);
        let cell = row.and_then(|row| row.cells.get(finding.index)?.as_ref());
        cell.is_some_and(|cell| cell.entry == Some(entry.id()))
    });
    lines.extend(of_entry.map(|finding| explained(&matrix, &finding)));
    Ok(lines)
}

/// What the status of a gauge makes of its results.
pub fn notes(notes: &[Value]) -> Vec<String> {
    notes
        .iter()
        .map(|note| {
            words::value(
                note,
                Shown::in_unit(metrology::units::LengthUnit::Millimetre),
            )
        })
        .collect()
}

/// The gauges that pieces of a lot were tried with, each with what its status makes of the results.
pub fn used(matrix: &Matrix) -> Vec<String> {
    let mut lines = Vec::new();
    let cells = matrix
        .rows
        .iter()
        .flat_map(|row| row.cells.iter().flatten());
    for gauged in cells.filter_map(|cell| cell.gauged.as_deref()) {
        let mut line = vec![say!("lots.found-with-gauge", gauge = gauge(gauged))];
        line.extend(notes(&gauged.notes));
        let line = line.join(" ");
        if !lines.contains(&line) {
            lines.push(line);
        }
    }
    lines
}

/// What a result rests on with a gauge.
pub fn described(gauge: &Gauge, notes: &[Value]) -> String {
    let gauge = gauges::equipment(gauge);
    on_report(gauge.kind(), gauge.piece(), notes)
}

/// What a gauge is called among the equipment of a lot.
pub fn role_of(gauge: &Gauge) -> &'static str {
    role(gauges::equipment(gauge).kind())
}

/// A gauge as the register described it, or by its name.
fn gauge(gauged: &Gauged) -> String {
    let gauge = gauged.gauge.as_ref();
    gauge.map_or_else(
        || gauged.with.clone(),
        |gauge| described(gauge, &gauged.notes),
    )
}

/// A disagreement with what explains it, in one paragraph.
pub fn explained(matrix: &Matrix, finding: &GaugeFinding) -> String {
    let number = |index: usize| {
        let planned = matrix.plan.characteristics.get(index);
        planned.map_or("", |planned| planned.number.as_str())
    };
    let shown = Shown::in_unit(finding.unit);
    let explained = &finding.explained;
    let mut told = vec![words::message(&explained.disagreement.message(), shown)];
    let reasons = explained.reasons.iter();
    told.extend(reasons.map(|reason| words::message(&reason.message(), shown)));
    say!(
        "lots.gauge-finding",
        piece = finding.piece,
        with = finding.with,
        characteristic = number(finding.index),
        against = number(finding.against),
        told = told.join(" ")
    )
}
