//! What an unknown thread can be, as text: the answer first, at most 78 columns.

use std::fmt::Write as _;

use metrology::designation::Kind;
use metrology::identify::Evidence;

use super::text::{WIDTH, wrap};
use crate::document::IdentificationDocument;
use crate::document::identification::in_words;
use crate::words::number;

/// The whole answer.
pub fn answer(evidence: &Evidence, found: &IdentificationDocument, width: usize) -> String {
    let width = width.clamp(40, WIDTH);
    let mut out = String::new();
    headline(&mut out, found, width);
    measured(&mut out, evidence, found, width);
    if let Some(words) = &found.fit_alike {
        paragraph(&mut out, words, width);
    }
    candidates(&mut out, evidence, found);
    if let Some(next) = found
        .separating_measurement
        .as_ref()
        .filter(|next| next.in_doubt)
    {
        let _ = writeln!(out, "\nMeasure next: {}", next.what);
        paragraph(
            &mut out,
            &format!("{} or {}: {}", next.between[0], next.between[1], next.how),
            width,
        );
    }
    if let (Some(first), false) = (found.candidates.first(), found.look_alikes.is_empty()) {
        let _ = writeln!(
            out,
            "\nNo count of turns tells these from {}:",
            first.designation
        );
        for other in &found.look_alikes {
            paragraph(
                &mut out,
                &format!("{}, told by {}", other.designation, other.told_by),
                width,
            );
        }
        paragraph(
            &mut out,
            "Never screw a gauge in by force to see if it fits.",
            width,
        );
    }
    out.push('\n');
    for note in &found.assumed {
        for (index, line) in wrap(&format!("assumed: {note}"), width - 4)
            .iter()
            .enumerate()
        {
            let _ = writeln!(out, "  {} {line}", if index == 0 { "-" } else { " " });
        }
    }
    out
}

fn paragraph(out: &mut String, words: &str, width: usize) {
    for line in wrap(words, width - 2) {
        let _ = writeln!(out, "  {line}");
    }
}

fn headline(out: &mut String, found: &IdentificationDocument, width: usize) {
    match (&found.message, found.candidates.first()) {
        (Some(message), _) => {
            let _ = writeln!(out, "NO STANDARD THREAD FITS");
            paragraph(out, message, width);
        }
        (None, Some(first)) => {
            let _ = writeln!(
                out,
                "{}  {}, probability {}",
                first.designation,
                found.kind,
                number::probability(first.probability)
            );
        }
        (None, None) => {
            let _ = writeln!(out, "NO STANDARD THREAD OF THIS KIND");
        }
    }
}

fn measured(out: &mut String, evidence: &Evidence, found: &IdentificationDocument, width: usize) {
    let readings: Vec<String> = evidence
        .observations
        .iter()
        .map(|seen| {
            format!(
                "{} {}",
                seen.quantity,
                in_words(seen.quantity, seen.value, found.unit)
            )
        })
        .collect();
    paragraph(out, &format!("measured: {}", readings.join(", ")), width);
}

fn candidates(out: &mut String, evidence: &Evidence, found: &IdentificationDocument) {
    let crest = match evidence.kind {
        Kind::External => "major",
        Kind::Internal => "minor",
    };
    let unit = found.unit;
    let _ = writeln!(
        out,
        "\n  {:<17} {:>14} {:>7} {:>8} {:>7}  {:>17}",
        "thread",
        "probability",
        "misfit",
        "pitch",
        "flanks",
        format!("{crest} ({unit})")
    );
    let decimals = if unit == metrology::units::LengthUnit::Inch {
        4
    } else {
        3
    };
    for candidate in &found.candidates {
        let _ = writeln!(
            out,
            "  {:<17} {:>14} {:>7} {:>8.4} {:>7}  {:>17}",
            candidate.designation,
            number::probability(candidate.probability),
            misfit(candidate.misfit),
            candidate.pitch,
            candidate.included_angle_deg,
            format!(
                "{:.decimals$} - {:.decimals$}",
                candidate.crest.0, candidate.crest.1
            ),
        );
    }
    let _ = writeln!(
        out,
        "  misfit: standard uncertainties outside what any class of the thread allows"
    );
}

/// One decimal, and no endless numbers for what is far off.
fn misfit(misfit: f64) -> String {
    if misfit > 999.0 {
        ">999".to_owned()
    } else {
        format!("{misfit:.1}")
    }
}
