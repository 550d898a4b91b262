//! Readings on the part: in the job file, or in a file that a data cable wrote.
//!
//! A readings file either has a header line with a column `reading` (and, where known, `unit`, `along`, `angle`;
//! columns `time` and `n` are passed over), separated by comma, semicolon or tab; or it has none, and every line is
//! one reading.

use std::collections::HashMap;
use std::path::Path;

use metrology::inspection::Place;
use metrology::message::{Message, Say as _, Value};
use metrology::study::open_quote;
use metrology::units::{Entered, LengthUnit};

use super::error::{FileNote, Wrong, on_line};
use super::shape::Readings;
use super::typed::Source;
use super::{one_unit, read_text};
use crate::error::Error;
use crate::given;
use crate::register::Shelf;
use crate::remark::Remark;

/// The most readings that one job may have: more than anybody takes by hand, and as many as are computed within seconds.
const MOST: usize = 1_000_000;

/// The readings of a job, place by place, in the order they were taken.
pub fn places(source: &Source, readings: &Readings, shelf: &Shelf) -> Result<Vec<Place>, Error> {
    if (readings.step.is_some() || readings.along.is_some()) && readings.values.is_none() {
        return Err(source.wrong_in("readings", Wrong::PlacesTwice));
    }
    let in_places = readings
        .place
        .iter()
        .flatten()
        .map(|place| place.values.len());
    not_too_many(readings.values.iter().map(Vec::len).chain(in_places).sum())
        .map_err(|wrong| source.wrong_in("readings", wrong))?;
    match (&readings.values, &readings.file, &readings.place) {
        (Some(values), None, None) if readings.step.is_some() || readings.along.is_some() => {
            let step = source.number_if(readings.step.as_ref(), given::STEP)?;
            if let (Some(0.0), Some(typed)) = (step, &readings.step) {
                let text = source.text(typed);
                return Err(source.wrong_at(typed, Wrong::NoStep { text }));
            }
            let turned = |index: usize| step.map(|step| step * index as f64);
            let read = source.readings(values)?;
            let n = read.len();
            let turned = read.into_iter().enumerate().map(|(index, reading)| Place {
                along: readings.along.as_ref().map(Value::text),
                angle: turned(index),
                readings: vec![reading],
            });
            let Some(step) = step else {
                return Ok(turned.collect());
            };
            let places = together(turned);
            // One reading more than there are positions closes the turn.
            if n > places.len() + 1 {
                shelf.remark(Remark::of(FileNote::SamePosition {
                    step,
                    again: places.len() + 1,
                    n,
                    once: 360.0 / n as f64,
                }));
            }
            Ok(places)
        }
        (Some(values), None, None) => Ok(source.readings(values)?.into_iter().map(alone).collect()),
        (None, Some(file), None) => {
            let path = source
                .path()
                .parent()
                .unwrap_or_else(|| Path::new(""))
                .join(source.text(file));
            from_file(&path, source.unit())
        }
        (None, None, Some(places)) => {
            let places: Vec<Place> = places
                .iter()
                .map(|place| {
                    Ok(Place {
                        along: place.along.as_ref().map(Value::text),
                        angle: source.number_if(place.angle.as_ref(), given::ANGLE)?,
                        readings: source.readings(&place.values)?,
                    })
                })
                .collect::<Result<_, Error>>()?;
            one_unit(places.iter().flat_map(|place| &place.readings))
                .map_err(|wrong| source.wrong_in("readings.place", wrong))?;
            Ok(together(places))
        }
        _ => Err(source.wrong_in("readings", Wrong::NoReadings)),
    }
}

fn not_too_many(count: usize) -> Result<(), Wrong> {
    if count <= MOST {
        return Ok(());
    }
    Err(Wrong::TooManyReadings {
        found: count,
        most: MOST,
    })
}

/// A reading whose place nobody stated is a place of its own.
fn alone(reading: Entered) -> Place {
    Place {
        along: None,
        angle: None,
        readings: vec![reading],
    }
}

fn from_file(path: &Path, unit: Option<LengthUnit>) -> Result<Vec<Place>, Error> {
    parse(path, &read_text(path)?, unit)
}

/// Takes the text of a readings file.
pub fn parse(path: &Path, text: &str, unit: Option<LengthUnit>) -> Result<Vec<Place>, Error> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let header = text.lines().next().unwrap_or_default();
    let headed = header.to_lowercase().contains("reading");
    let written = text.lines().filter(|line| !line.trim().is_empty()).count();
    not_too_many(written - usize::from(headed)).map_err(|wrong| on_line(path, 1, None, wrong))?;
    let lines = if headed {
        with_header(path, text, unit)?
    } else {
        without_header(path, text, unit)?
    };
    one_unit(lines.iter().map(|(_, row)| &row.reading))
        .map_err(|wrong| on_line(path, 1, None, wrong))?;
    if !text.ends_with('\n')
        && let [rest @ .., (line, last)] = lines.as_slice()
        && rest
            .iter()
            .any(|(_, row)| row.reading.decimals() > last.reading.decimals())
    {
        let reading = last.reading.clone();
        return Err(on_line(path, *line, None, Wrong::CutLine { reading }));
    }
    Ok(by_place(lines.into_iter().map(|(_, row)| row)))
}

struct Row {
    along: Option<String>,
    angle: Option<f64>,
    reading: Entered,
}

fn without_header(
    path: &Path,
    text: &str,
    unit: Option<LengthUnit>,
) -> Result<Vec<(usize, Row)>, Error> {
    text.lines()
        .enumerate()
        .filter(|(_, line)| !line.trim().is_empty())
        .map(|(index, line)| {
            let reading = Entered::parse(line, unit)
                .map_err(|error| on_line(path, index + 1, None, error))?;
            Ok((
                index + 1,
                Row {
                    along: None,
                    angle: None,
                    reading,
                },
            ))
        })
        .collect()
}

fn with_header(
    path: &Path,
    text: &str,
    unit: Option<LengthUnit>,
) -> Result<Vec<(usize, Row)>, Error> {
    let header = text.lines().next().unwrap_or_default();
    let delimiter = [b';', b'\t']
        .into_iter()
        .find(|d| header.contains(*d as char))
        .unwrap_or(b',');
    // Rows below it would be taken for a part of its field.
    if let Some((line, _)) = open_quote(text, delimiter) {
        let line = usize::try_from(line).unwrap_or(usize::MAX);
        return Err(on_line(path, line, None, Wrong::OpenQuote));
    }
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let columns = reader
        .headers()
        .map_err(|_| on_line(path, 1, None, Wrong::NoRow))?
        .clone();
    let known = ["reading", "unit", "along", "angle", "time", "n"];
    if let Some(unknown) = columns
        .iter()
        .find(|column| !known.contains(&column.to_lowercase().as_str()))
    {
        let wrong = Wrong::UnknownColumn {
            column: unknown.to_owned(),
            known: known.to_vec(),
        };
        return Err(on_line(path, 1, Some(unknown), wrong));
    }
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|error| {
            let line = error.position().map_or(1, csv::Position::line);
            on_line(
                path,
                usize::try_from(line).unwrap_or(1),
                None,
                describe(&error),
            )
        })?;
        let line = record
            .position()
            .map_or(1, |position| usize::try_from(position.line()).unwrap_or(1));
        let field = |name: &str| {
            let index = columns
                .iter()
                .position(|column| column.eq_ignore_ascii_case(name))?;
            record.get(index).filter(|text| !text.is_empty())
        };
        let wrong = |column, reason: Message| on_line(path, line, Some(column), reason);
        let unit = match field("unit") {
            Some(text) => Some(text.parse().map_err(|()| {
                let text = text.to_owned();
                wrong("unit", Wrong::NoUnit { text }.message())
            })?),
            None => unit,
        };
        let reading = Entered::parse(field("reading").unwrap_or_default(), unit)
            .map_err(|error| wrong("reading", error.message()))?;
        let angle = field("angle")
            .map(|text| given::ANGLE.read("angle", text))
            .transpose()
            .map_err(|error| wrong("angle", error.message()))?;
        if let Some(along) = field("along") {
            given::on_one_line("along", along).map_err(|error| wrong("along", error.message()))?;
        }
        rows.push((
            line,
            Row {
                along: field("along").map(str::to_owned),
                angle,
                reading,
            },
        ));
    }
    Ok(rows)
}

/// What is wrong with a row.
fn describe(error: &csv::Error) -> Wrong {
    match error.kind() {
        csv::ErrorKind::UnequalLengths {
            expected_len, len, ..
        } => Wrong::Fields {
            n: usize::try_from(*len).unwrap_or(usize::MAX),
            columns: usize::try_from(*expected_len).unwrap_or(usize::MAX),
        },
        _ => Wrong::NoRow,
    }
}

fn by_place(rows: impl Iterator<Item = Row>) -> Vec<Place> {
    together(rows.map(|row| Place {
        along: row.along.map(Value::Text),
        angle: row.angle,
        readings: vec![row.reading],
    }))
}

/// Readings at one stated position belong together, and a whole turn brings it back; those without a position stay alone.
fn together(all: impl IntoIterator<Item = Place>) -> Vec<Place> {
    let mut places: Vec<Place> = Vec::new();
    let mut known = HashMap::new();
    for place in all {
        let along = place.along.as_ref().map(|along| match along {
            Value::Text(text) => text.clone(),
            other => format!("{other:?}"),
        });
        let angle = place.angle.map(micro_degrees);
        let at = if along.is_some() || angle.is_some() {
            *known.entry((along, angle)).or_insert(places.len())
        } else {
            places.len()
        };
        match places.get_mut(at) {
            Some(first) => first.readings.extend(place.readings),
            None => places.push(place),
        }
    }
    places
}

/// Where in the turn an angle lies, as the bits of millionths of a degree: steps that are added up differ by less from what was
/// meant.
fn micro_degrees(angle: f64) -> u64 {
    const TURN: f64 = 360e6;
    let within = (angle.rem_euclid(360.0) * 1e6).round();
    // Adding nothing makes one zero of 0 and -0.
    (within % TURN + 0.0).to_bits()
}
