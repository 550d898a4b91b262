//! Readings on the part: in the job file, or in a file that a data cable wrote.
//!
//! A readings file either has a header line with a column `reading` (and, where known, `unit`, `along`, `angle`;
//! columns `time` and `n` are passed over), separated by comma, semicolon or tab; or it has none, and every line is
//! one reading.

use crate::say;
use std::collections::HashMap;
use std::path::Path;

use metrology::inspection::Place;
use metrology::units::{Entered, LengthUnit};

use super::shape::Readings;
use super::typed::Source;
use super::{JobFileError, one_unit, read_text};

/// The most readings that one job may have: more than anybody takes by hand, and as many as are computed within seconds.
const MOST: usize = 1_000_000;

/// The readings of a job, place by place, in the order they were taken.
pub fn places(source: &Source, readings: &Readings) -> Result<Vec<Place>, JobFileError> {
    if (readings.step.is_some() || readings.along.is_some()) && readings.values.is_none() {
        return Err(source.wrong(source.line_of_table("readings"), say!("jobfile.places")));
    }
    let in_places = readings
        .place
        .iter()
        .flatten()
        .map(|place| place.values.len());
    not_too_many(readings.values.iter().map(Vec::len).chain(in_places).sum())
        .map_err(|message| source.wrong(source.line_of_table("readings"), message))?;
    match (&readings.values, &readings.file, &readings.place) {
        (Some(values), None, None) if readings.step.is_some() || readings.along.is_some() => {
            let step = readings.step.unwrap_or(0.0);
            if readings.step.is_some() && !(step.abs() > 0.0 && step.abs() <= 180.0) {
                return Err(source.wrong(
                    source.line_of_table("readings"),
                    say!("jobfile.places-a-step-of", step = step),
                ));
            }
            let turned = |index: usize| readings.step.map(|step| step * index as f64);
            let read = source.readings("readings", values)?;
            Ok(read
                .into_iter()
                .enumerate()
                .map(|(index, reading)| Place {
                    along: readings.along.clone(),
                    angle: turned(index),
                    readings: vec![reading],
                })
                .collect())
        }
        (Some(values), None, None) => Ok(source
            .readings("readings", values)?
            .into_iter()
            .map(alone)
            .collect()),
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
                        along: place.along.clone(),
                        angle: place.angle,
                        readings: source.readings("readings", &place.values)?,
                    })
                })
                .collect::<Result<_, JobFileError>>()?;
            one_unit(places.iter().flat_map(|place| &place.readings)).map_err(|message| {
                source.wrong(source.line_of_table("[readings.place]"), message)
            })?;
            Ok(places)
        }
        _ => Err(source.wrong(
            source.line_of_table("readings"),
            say!("jobfile.places-readings-needs-one"),
        )),
    }
}

fn not_too_many(count: usize) -> Result<(), String> {
    if count <= MOST {
        return Ok(());
    }
    Err(crate::say!(
        "command.too-many-readings",
        found = count,
        most = MOST
    ))
}

/// A reading whose place nobody stated is a place of its own.
fn alone(reading: Entered) -> Place {
    Place {
        along: None,
        angle: None,
        readings: vec![reading],
    }
}

fn from_file(path: &Path, unit: Option<LengthUnit>) -> Result<Vec<Place>, JobFileError> {
    parse(path, &read_text(path)?, unit)
}

/// Takes the text of a readings file.
pub fn parse(
    path: &Path,
    text: &str,
    unit: Option<LengthUnit>,
) -> Result<Vec<Place>, JobFileError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let header = text.lines().next().unwrap_or_default();
    let headed = header.to_lowercase().contains("reading");
    let written = text.lines().filter(|line| !line.trim().is_empty()).count();
    not_too_many(written - usize::from(headed)).map_err(|message| wrong(path, 1, message))?;
    let lines = if headed {
        with_header(path, text, unit)?
    } else {
        without_header(path, text, unit)?
    };
    one_unit(lines.iter().map(|(_, row)| &row.reading))
        .map_err(|message| wrong(path, 1, message))?;
    if !text.ends_with('\n')
        && let [rest @ .., (line, last)] = lines.as_slice()
        && rest
            .iter()
            .any(|(_, row)| row.reading.decimals() > last.reading.decimals())
    {
        return Err(wrong(
            path,
            *line,
            say!("jobfile.from-file", last = last.reading.text()),
        ));
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
) -> Result<Vec<(usize, Row)>, JobFileError> {
    text.lines()
        .enumerate()
        .filter(|(_, line)| !line.trim().is_empty())
        .map(|(index, line)| {
            let reading = Entered::parse(line, unit)
                .map_err(|error| wrong(path, index + 1, crate::words::error(&error)))?;
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
) -> Result<Vec<(usize, Row)>, JobFileError> {
    let header = text.lines().next().unwrap_or_default();
    let delimiter = [b';', b'\t']
        .into_iter()
        .find(|d| header.contains(*d as char))
        .unwrap_or(b',');
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let columns = reader
        .headers()
        .map_err(|error| wrong(path, 1, error.to_string()))?
        .clone();
    let known = ["reading", "unit", "along", "angle", "time", "n"];
    if let Some(unknown) = columns
        .iter()
        .find(|column| !known.contains(&column.to_lowercase().as_str()))
    {
        return Err(wrong(
            path,
            1,
            say!(
                "jobfile.with-header",
                unknown = unknown,
                known = known.join(", ")
            ),
        ));
    }
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|error| {
            let line = error.position().map_or(1, csv::Position::line);
            wrong(path, usize::try_from(line).unwrap_or(1), describe(&error))
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
        let unit = match field("unit") {
            Some(text) => Some(text.parse().map_err(|()| {
                wrong(
                    path,
                    line,
                    say!("jobfile.with-header-is-not-a", text = text),
                )
            })?),
            None => unit,
        };
        let reading = Entered::parse(field("reading").unwrap_or_default(), unit)
            .map_err(|error| wrong(path, line, crate::words::error(&error)))?;
        let angle = field("angle")
            .map(|text| {
                text.parse::<f64>()
                    .ok()
                    .filter(|angle| angle.is_finite())
                    .ok_or_else(|| {
                        wrong(
                            path,
                            line,
                            say!("jobfile.with-header-is-not-an", text = text),
                        )
                    })
            })
            .transpose()?;
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

/// A row's trouble in words.
fn describe(error: &csv::Error) -> String {
    match error.kind() {
        csv::ErrorKind::UnequalLengths {
            expected_len, len, ..
        } => {
            say!("jobfile.describe", len = len, expected_len = expected_len)
        }
        _ => error.to_string(),
    }
}

/// Readings at one stated place belong together; those without a place stay alone.
fn by_place(rows: impl Iterator<Item = Row>) -> Vec<Place> {
    let mut places: Vec<Place> = Vec::new();
    let mut known = HashMap::new();
    for row in rows {
        let stated = row.along.is_some() || row.angle.is_some();
        let place = if stated {
            // Adding nothing makes one zero of 0 and -0.
            let angle = row.angle.map(|angle| (angle + 0.0).to_bits());
            *known
                .entry((row.along.clone(), angle))
                .or_insert(places.len())
        } else {
            places.len()
        };
        match places.get_mut(place) {
            Some(place) => place.readings.push(row.reading),
            None => places.push(Place {
                along: row.along,
                angle: row.angle,
                readings: vec![row.reading],
            }),
        }
    }
    places
}

fn wrong(path: &Path, line: usize, message: String) -> JobFileError {
    JobFileError::Wrong {
        path: path.to_owned(),
        line,
        message,
    }
}
