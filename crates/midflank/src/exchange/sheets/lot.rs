//! A lot as sheets: what it comes to, its characteristics, every result, and its readings as a file of readings has them.

use ledger::EntryId;
use metrology::units::Entered;
use workshop::lot::HEADER;

use super::{Cell, Table};
use crate::document::{CharacteristicDocument, LotDocument};
use crate::exchange::results::{Characteristic, Of, Piece, Read, Results};
use crate::report::verdict_word;
use crate::say;
use crate::words;

/// A size is shown with so many decimals more than its limits have.
const FINER: usize = 2;

/// Decimals of the limits.
fn decimals(one: &Characteristic) -> usize {
    let target = one.target.as_ref();
    target.map_or(0, |target| target.decimals as usize)
}

pub fn of_lot(results: &Results) -> Vec<Table> {
    let mut tables = vec![facts(results), characteristics(results), all(results)];
    tables.extend(readings(results));
    tables
}

fn facts(results: &Results) -> Table {
    let mut rows = Vec::new();
    let mut row = |name: &str, cell: Cell| {
        if cell != Cell::Nothing {
            rows.push(vec![Cell::text(name), cell]);
        }
    };
    row(say!("sheet.part"), Cell::text(&results.part));
    row(
        say!("sheet.drawing"),
        Cell::optional(results.drawing.as_ref()),
    );
    row(say!("sheet.order"), Cell::optional(results.order.as_ref()));
    row(
        say!("sheet.customer"),
        Cell::optional(results.customer.as_ref()),
    );
    if let Some(lot) = &results.lot {
        row(say!("sheet.lot"), Cell::optional(lot.lot.as_ref()));
        row(say!("sheet.verdict"), Cell::text(verdict_word(lot.verdict)));
        let because = lot.because.map(|why| words::named("lot-reason", why));
        row(say!("sheet.because"), Cell::optional(because));
        for (name, n) in [
            (say!("sheet.pieces"), lot.pieces),
            (say!("sheet.accepted"), lot.accept),
            (say!("sheet.rejected"), lot.reject),
            (say!("sheet.undecided"), lot.undecided),
            (say!("sheet.provisional"), lot.provisional),
            (say!("sheet.not-measured"), lot.not_measured.pieces),
        ] {
            row(name, Cell::Count(n));
        }
    }
    row(say!("sheet.entry"), Cell::text(results.entry));
    row(say!("sheet.hash"), Cell::text(&results.hash));
    Table {
        name: say!("sheet.name-lot").to_owned(),
        columns: vec![
            say!("sheet.what").to_owned(),
            say!("sheet.value").to_owned(),
        ],
        rows,
    }
}

fn named(all: &[&'static str]) -> Vec<String> {
    all.iter().map(|name| (*name).to_owned()).collect()
}

fn characteristics(results: &Results) -> Table {
    let told = |number: Option<&String>| -> Option<&CharacteristicDocument> {
        let lot: &LotDocument = results.lot.as_ref()?;
        let mut all = lot.characteristics.iter();
        all.find(|one| Some(&one.characteristic) == number)
    };
    let rows = results.characteristics.iter().map(|one| {
        let told = told(one.number.as_ref());
        let decimals = decimals(one);
        let fine = decimals + FINER;
        let count = |n: Option<u64>| n.map_or(Cell::Nothing, Cell::Count);
        vec![
            Cell::optional(one.number.as_ref()),
            Cell::text(&one.name),
            Cell::number(one.limits.min, decimals),
            Cell::number(one.limits.max, decimals),
            Cell::optional(one.target.as_ref().map(|_| one.unit)),
            Cell::optional(one.target.as_ref().map(|_| &one.rule.name)),
            count(told.map(|told| told.accept)),
            count(told.map(|told| told.reject)),
            count(told.map(|told| told.undecided + told.provisional)),
            count(told.map(|told| told.n)),
            Cell::number(told.and_then(|told| told.mean), fine),
            Cell::number(told.and_then(|told| told.standard_deviation), fine),
            Cell::number(told.and_then(|told| told.pp), 2),
            Cell::number(told.and_then(|told| told.ppk), 2),
        ]
    });
    Table {
        name: say!("sheet.name-characteristics").to_owned(),
        columns: named(&[
            say!("sheet.number"),
            say!("sheet.characteristic"),
            say!("sheet.lower"),
            say!("sheet.upper"),
            say!("sheet.unit"),
            say!("sheet.rule"),
            say!("sheet.accepted"),
            say!("sheet.rejected"),
            say!("sheet.undecided"),
            say!("sheet.sizes"),
            say!("sheet.mean"),
            say!("sheet.deviation"),
            "Pp",
            "Ppk",
        ]),
        rows: rows.collect(),
    }
}

fn all(results: &Results) -> Table {
    let of_piece = |piece: &Piece| {
        let found = piece.found.iter();
        let rows: Vec<Vec<Cell>> = found.map(|of| row(results, piece, of)).collect();
        rows
    };
    Table {
        name: say!("sheet.name-results").to_owned(),
        columns: named(&[
            say!("sheet.piece"),
            say!("sheet.number"),
            say!("sheet.size"),
            say!("sheet.expanded"),
            "k",
            say!("sheet.unit"),
            say!("sheet.verdict"),
            say!("sheet.because"),
            say!("sheet.measured"),
            say!("sheet.person"),
            say!("sheet.instrument"),
            say!("sheet.entry"),
            say!("sheet.warnings"),
        ]),
        rows: results.pieces.iter().flat_map(of_piece).collect(),
    }
}

fn row(results: &Results, piece: &Piece, of: &Of) -> Vec<Cell> {
    let one = results.characteristics.get(of.characteristic);
    let fine = one.map_or(0, decimals) + FINER;
    let size = of.size.as_ref();
    let instrument = of
        .instrument
        .and_then(|place| results.instruments.get(place));
    // A piece that waits for its zero check, or of which places are missing, is not told as accepted.
    let stands = of.standing.key();
    let verdict = if stands == of.decision {
        &of.decision
    } else {
        stands
    };
    let factor = size.and_then(|size| size.whole.as_ref());
    vec![
        Cell::text(&piece.name),
        Cell::optional(one.and_then(|one| one.number.as_ref())),
        Cell::number(size.map(|size| size.value), fine),
        Cell::number(size.map(|size| size.expanded_uncertainty), fine),
        Cell::number(factor.map(|size| size.coverage_factor), 2),
        Cell::optional(size.and(one).map(|one| one.unit)),
        Cell::text(verdict_word(verdict)),
        Cell::optional(of.because.as_ref()),
        Cell::optional(of.at),
        Cell::optional(of.person.as_ref()),
        Cell::optional(instrument.map(|one| &one.id)),
        Cell::optional(of.entry),
        Cell::optional(Some(of.warnings.join(" ")).filter(|text| !text.is_empty())),
    ]
}

/// The readings of a lot with its zero checks, as `midflank inspect --readings` takes them; none where they are not of one chain of
/// checks, so that the file would say something else.
fn readings(results: &Results) -> Option<Table> {
    let mut all: Vec<(&Piece, &Of, &Read)> = results
        .pieces
        .iter()
        .flat_map(|piece| piece.found.iter().map(move |of| (piece, of)))
        .filter_map(|(piece, of)| Some((piece, of, of.read.as_ref()?)))
        .collect();
    all.sort_by_key(|(_, of, _)| of.entry.map(EntryId::sequence));
    let mut rows = Vec::new();
    // The last check that was written, and the one that is to close what stands under it.
    let mut last: Option<(&[Entered], &[Entered])> = None;
    for (piece, of, read) in all {
        let (before, after) = (read.before.as_slice(), read.after.as_slice());
        match last {
            None => rows.extend(zero(before)),
            Some(same) if same == (before, after) => {}
            Some((_, closing)) if closing == before && !closing.is_empty() => {
                rows.extend(zero(before));
            }
            Some(_) => return None,
        }
        last = Some((before, after));
        let number = results
            .characteristics
            .get(of.characteristic)?
            .number
            .as_ref();
        let mut add =
            |place: &str, reading: &Entered, struck: Option<&String>, left: Option<&String>| {
                rows.push(vec![
                    Cell::text(&piece.name),
                    Cell::optional(number),
                    Cell::text(place),
                    as_read(reading),
                    Cell::text(reading.unit()),
                    Cell::optional(of.at),
                    Cell::optional(struck),
                    Cell::optional(left),
                ]);
            };
        for (place, readings) in &read.places {
            for reading in readings {
                let mut left = read.left.iter();
                let left = left.find(|(known, _)| known == reading);
                add(place, reading, None, left.map(|(_, reason)| reason));
            }
        }
        let first = read.places.first().map_or("", |(place, _)| place.as_str());
        for (reading, reason) in &read.struck {
            add(first, reading, Some(reason), None);
        }
    }
    let (_, closing) = last?;
    rows.extend(zero(closing));
    Some(Table {
        name: say!("sheet.name-readings").to_owned(),
        columns: HEADER.iter().map(|&name| name.to_owned()).collect(),
        rows,
    })
}

fn zero(readings: &[Entered]) -> impl Iterator<Item = Vec<Cell>> {
    readings.iter().map(|reading| {
        vec![
            Cell::Nothing,
            Cell::text("zero"),
            Cell::Nothing,
            as_read(reading),
            Cell::text(reading.unit()),
        ]
    })
}

/// A reading as a number with the decimals it was entered with.
fn as_read(reading: &Entered) -> Cell {
    let text = reading.text().trim_start_matches(['+', '-', '\u{2212}']);
    let decimals = text.split_once(['.', ',']).map_or(0, |(_, after)| {
        after.bytes().take_while(u8::is_ascii_digit).count()
    });
    Cell::Number(reading.value().in_unit(reading.unit()), decimals)
}
