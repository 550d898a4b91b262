//! The capability of what was inspected and is on the record, and its control chart, over lots.

use std::collections::HashMap;

use metrology::study::{Capability, Process, Specification, StudyError};
use metrology::units::LengthUnit;
use serde::Serialize;
use workshop::process_on_record::{Piece, Sizes};

use super::capability::{self, CapabilityDocument};
use super::chart::{self, ChartDocument, Charted};
use super::{Answer, From};
use crate::failure::Failure;
use crate::report::sheet::study::StudyName;
use crate::report::told::Told;
use crate::say;
use crate::station;
use crate::words;

pub struct Settings {
    /// Of the intervals.
    pub confidence: f64,
    /// The share of the process within the tolerance interval.
    pub coverage: f64,
    /// So many pieces of a lot measured one after the other are a subgroup; each piece by itself where nobody says.
    pub subgroup: Option<usize>,
}

#[derive(Serialize)]
pub struct RecordedDocument {
    #[serde(flatten)]
    capability: CapabilityDocument,
    lots: usize,
    /// Results that are left out: of pieces measured again, those whose size is in doubt, and those that fill no subgroup.
    repeats: usize,
    in_doubt: usize,
    in_no_subgroup: usize,
    /// None of too few pieces, or of pieces without spread.
    chart: Option<ChartDocument>,
}

/// What was computed from: the sizes as a file, and in words.
pub struct Taken {
    pub text: String,
    of: String,
}

impl Taken {
    pub fn from(&self) -> From<'_> {
        From {
            of: self.of.clone(),
            name: "sizes.csv",
            text: &self.text,
        }
    }
}

pub fn answer(
    found: &Sizes,
    settings: &Settings,
) -> Result<(Answer<RecordedDocument>, Taken), Failure> {
    let refused = |error: StudyError| Failure::refused(&error);
    let unit = Some(found.unit);
    if found.pieces.is_empty() {
        let n = found.in_doubt;
        return Err(Failure::input(say!("studied.recorded-none-left", n = n)));
    }
    let subgroups = match settings.subgroup {
        None => vec![None; found.pieces.len()],
        Some(size) => in_subgroups(&found.pieces, size),
    };
    let is_left = |subgroup: &&Option<usize>| settings.subgroup.is_some() && subgroup.is_none();
    let in_no_subgroup = subgroups.iter().filter(is_left).count();
    let text = table(&found.pieces, &subgroups, found.unit)?;
    let sizes: Vec<f64> = found.pieces.iter().map(|piece| piece.size).collect();
    let process = Process::of(&sizes, &subgroups);
    let specification = Specification {
        lower: found.lower,
        upper: found.upper,
        confidence: settings.confidence,
        coverage: settings.coverage,
        standard_uncertainty: Some(found.standard_uncertainty).filter(|u| *u > 0.0),
    };
    let study = Capability::of(&process, &specification).map_err(refused)?;
    let mut told = Told::default();
    told.value(say!("process-page.characteristic"), &found.characteristic);
    told.value(say!("process-page.part"), found.parts.join(", "));
    if let Some((first, last)) = found.measured {
        let days = [first, last].map(|at| station::day(at).to_string());
        let days = match days {
            [first, last] if first == last => first,
            [first, last] => say!("studied.recorded-days", first = first, last = last),
        };
        told.value(say!("studied.recorded-measured"), days);
    }
    let n = found.pieces.len();
    told.sentence(match found.lots {
        0 => say!("studied.recorded-in-no-lot", n = n),
        lots => say!("studied.recorded", n = n, lots = lots),
    });
    capability::tell_limits(&specification, unit, &mut told);
    for (n, sentence) in [
        (
            found.repeats,
            say!("studied.recorded-repeats", n = found.repeats),
        ),
        (
            found.in_doubt,
            say!("studied.recorded-in-doubt", n = found.in_doubt),
        ),
        (
            in_no_subgroup,
            say!("studied.recorded-in-no-subgroup", n = in_no_subgroup),
        ),
    ] {
        if n > 0 {
            told.sentence(sentence);
        }
    }
    capability::tell(&study, unit, settings.coverage, &mut told);
    let chart = match chart::of(&process, unit) {
        Ok(chart) => {
            chart.document.tell(unit, &mut told);
            Some(chart)
        }
        Err(why) => {
            let why = words::said(&why);
            told.sentence(say!("studied.no-chart", why = why));
            None
        }
    };
    let drawn = chart.as_ref().map(Charted::plots);
    let document = RecordedDocument {
        capability: capability::document(&study, unit, settings.coverage),
        lots: found.lots,
        repeats: found.repeats,
        in_doubt: found.in_doubt,
        in_no_subgroup,
        chart: chart.map(|chart| chart.document),
    };
    let mut answer = Answer::of(StudyName::Recorded, document, told);
    for plot in drawn.into_iter().flatten() {
        answer.plot(plot);
    }
    capability::drawn(&mut answer, &process.values(), &specification, unit);
    let characteristic = &found.characteristic;
    let of = match found.lots {
        0 => say!(
            "study-sheet.of-ledger-in-no-lot",
            characteristic = characteristic,
            n = n
        ),
        lots => say!(
            "study-sheet.of-ledger",
            characteristic = characteristic,
            n = n,
            lots = lots
        ),
    };
    Ok((answer, Taken { text, of }))
}

/// The subgroup of each piece: pieces of one lot that were recorded one after the other, so many at a time. What is left of a lot
/// is in none.
fn in_subgroups(pieces: &[Piece], size: usize) -> Vec<Option<usize>> {
    let mut lots: HashMap<&str, Vec<usize>> = HashMap::new();
    for (at, piece) in pieces.iter().enumerate() {
        lots.entry(&piece.lot).or_default().push(at);
    }
    let whole = lots.values().flat_map(|lot| lot.chunks_exact(size.max(1)));
    let mut whole: Vec<&[usize]> = whole.collect();
    whole.sort();
    let mut of_pieces = vec![None; pieces.len()];
    for (number, subgroup) in whole.into_iter().enumerate() {
        for at in subgroup {
            if let Some(of_piece) = of_pieces.get_mut(*at) {
                *of_piece = Some(number + 1);
            }
        }
    }
    of_pieces
}

/// The sizes as a file.
fn table(
    pieces: &[Piece],
    subgroups: &[Option<usize>],
    unit: LengthUnit,
) -> Result<String, Failure> {
    let mut file = csv::Writer::from_writer(Vec::new());
    let in_subgroups = subgroups.iter().any(Option::is_some);
    let head = ["lot", "piece", "value", "unit", "subgroup"];
    let columns = if in_subgroups { 5 } else { 4 };
    file.write_record(head.iter().take(columns))
        .map_err(Failure::outside)?;
    for (piece, subgroup) in pieces.iter().zip(subgroups) {
        let size = piece.size.to_string();
        let subgroup = subgroup.map(|at| at.to_string()).unwrap_or_default();
        let row = [&piece.lot, &piece.name, &size, unit.symbol(), &subgroup];
        file.write_record(row.iter().take(columns))
            .map_err(Failure::outside)?;
    }
    let bytes = file.into_inner().map_err(Failure::outside)?;
    String::from_utf8(bytes).map_err(Failure::outside)
}
