//! What an unknown thread can be, as text: the answer first, at most 78 columns.

use std::fmt::Write as _;

use metrology::designation::Kind;
use metrology::identify::Evidence;

use super::small::{self, indented, item};
use super::text::WIDTH;
use crate::document::IdentificationDocument;
use crate::document::identification::in_words;
use crate::say;
use crate::words::{self, number};

/// The whole answer.
pub fn answer(evidence: &Evidence, found: &IdentificationDocument, width: usize) -> String {
    let width = width.clamp(40, WIDTH);
    let mut out = String::new();
    headline(&mut out, evidence, found, width);
    measured(&mut out, evidence, found, width);
    for miscount in &found.miscounts {
        paragraph(&mut out, &miscount.message, width);
    }
    if let Some(words) = &found.fit_alike {
        paragraph(&mut out, words, width);
    }
    candidates(&mut out, evidence, found);
    if let Some(next) = found
        .separating_measurement
        .as_ref()
        .filter(|next| next.in_doubt)
    {
        let _ = writeln!(out, "\n{}", say!("identify.next", what = next.what));
        let [first, second] = &next.between;
        let words = say!(
            "identify.next-how",
            first = first,
            second = second,
            how = next.how
        );
        paragraph(&mut out, &words, width);
    }
    if let (Some(first), false) = (found.candidates.first(), found.look_alikes.is_empty()) {
        let words = say!("identify.look-alikes", first = first.designation);
        let _ = writeln!(out, "\n{words}");
        for other in &found.look_alikes {
            let words = say!(
                "identify.told-by",
                thread = other.designation,
                differences = other.told_by
            );
            paragraph(&mut out, &words, width);
        }
        let words = say!("identify.never-force");
        paragraph(&mut out, words, width);
    }
    out.push('\n');
    for note in &found.assumed {
        out += &item(&say!("limits-table.assumed", taken = note), width);
    }
    out
}

fn paragraph(out: &mut String, words: &str, width: usize) {
    *out += &indented("  ", words, width);
}

fn headline(out: &mut String, evidence: &Evidence, found: &IdentificationDocument, width: usize) {
    let first = first_line(evidence, found);
    match &found.message {
        Some(message) => {
            let _ = writeln!(out, "{first}");
            paragraph(out, message, width);
        }
        None if found.headline.is_none() || found.groups.is_empty() => {
            let _ = writeln!(out, "{first}");
        }
        None => *out += &small::paragraph(&first, width),
    }
}

/// What it is, with its probability; or that nothing fits.
pub fn first_line(evidence: &Evidence, found: &IdentificationDocument) -> String {
    if found.message.is_some() {
        return say!("identify.nothing-fits").to_owned();
    }
    let (Some(threads), Some(group)) = (&found.headline, found.groups.first()) else {
        return say!("identify.none-of-kind").to_owned();
    };
    let kind = words::word(&evidence.kind);
    let probability = number::probability(group.probability);
    if found.least_of_several {
        say!(
            "identify.first-at-least",
            threads = threads,
            kind = kind,
            probability = probability
        )
    } else {
        say!(
            "identify.first",
            threads = threads,
            kind = kind,
            probability = probability
        )
    }
}

fn measured(out: &mut String, evidence: &Evidence, found: &IdentificationDocument, width: usize) {
    let readings: Vec<String> = evidence
        .observations
        .iter()
        .map(|seen| {
            say!(
                "identify.reading",
                quantity = words::word(&seen.quantity),
                value = in_words(seen.quantity, seen.value, found.unit)
            )
        })
        .collect();
    let words = say!("identify.measured", readings = readings.join(", "));
    paragraph(out, &words, width);
}

fn candidates(out: &mut String, evidence: &Evidence, found: &IdentificationDocument) {
    let unit = found.unit;
    let crest = match evidence.kind {
        Kind::External => say!("identify.crest-major", unit = unit),
        Kind::Internal => say!("identify.crest-minor", unit = unit),
    };
    let _ = writeln!(
        out,
        "\n  {:<17} {:>14} {:>7} {:>8} {:>7}  {:>17}",
        say!("identify.thread"),
        if found.least_of_several {
            say!("identify.at-least")
        } else {
            say!("identify.probability")
        },
        say!("identify.off"),
        say!("identify.pitch"),
        say!("identify.flanks"),
        crest
    );
    let decimals = if unit == metrology::units::LengthUnit::Inch {
        4
    } else {
        3
    };
    for candidate in &found.candidates {
        let _ = writeln!(
            out,
            "  {:<17} {:>14} {:>7} {:>8} {:>7}  {:>17}",
            candidate.designation,
            number::probability(candidate.probability),
            misfit(candidate.misfit),
            number::fixed(candidate.pitch, 4),
            number::short(candidate.included_angle_deg, 4),
            say!(
                "identify.crest-range",
                lower = number::fixed(candidate.crest.0, decimals),
                upper = number::fixed(candidate.crest.1, decimals)
            ),
        );
    }
    paragraph(out, say!("identify.off-is"), WIDTH);
}

/// One decimal, and no endless numbers for what is far off.
pub fn misfit(misfit: f64) -> String {
    if misfit > 999.0 {
        ">999".to_owned()
    } else {
        number::fixed(misfit, 1)
    }
}
