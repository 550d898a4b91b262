//! The archive: a line for each entry, as NDJSON or CSV, compressed, in a file for each month of recording. Nothing in a line depends on
//! entries recorded later, so the file of a past month stays the same. `docs/archive.schema.json` describes a line.

use std::fs::File;
use std::io::{self, BufWriter, Write};

use ledger::{Entry, Facts, Number, Text};
use serde_json::Value;

/// The form of a line; a changed line gets a new number.
const SCHEMA: u32 = 1;

/// Equipment that has a column: the role in which an entry touches it.
const EQUIPMENT: [&str; 4] = ["instrument", "contacts", "standard", "wires"];

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    Ndjson,
    Csv,
}

impl Form {
    pub const fn ending(self) -> &'static str {
        match self {
            Self::Ndjson => "ndjson.zst",
            Self::Csv => "csv.zst",
        }
    }
}

/// A column and what stands in it.
type Cell = (&'static str, Value);

/// A file that is being filled.
pub struct Archive<'a> {
    form: Form,
    out: zstd::Encoder<'a, BufWriter<&'a File>>,
    lines: u64,
}

impl<'a> Archive<'a> {
    pub fn begin(form: Form, file: &'a File) -> io::Result<Self> {
        let mut out = zstd::Encoder::new(BufWriter::new(file), zstd::DEFAULT_COMPRESSION_LEVEL)?;
        // A file that was cut off or damaged is told from a whole one.
        out.include_checksum(true)?;
        Ok(Self {
            form,
            out,
            lines: 0,
        })
    }

    /// Adds an entry. `whole` is the same entry with its documents, where they are wanted.
    pub fn add(&mut self, heading: &Entry, facts: &Facts, whole: Option<&Entry>) -> io::Result<()> {
        let mut cells = cells(heading, facts);
        match self.form {
            Form::Ndjson => {
                cells.push(("subjects", subjects(heading)));
                if let Some(entry) = whole {
                    cells.extend(documents(entry));
                }
                let line = serde_json::to_string(&Line(cells)).map_err(io::Error::other)?;
                writeln!(self.out, "{line}")?;
            }
            Form::Csv => {
                let mut lines = csv::Writer::from_writer(&mut self.out);
                if self.lines == 0 {
                    lines.write_record(cells.iter().map(|(column, _)| column))?;
                }
                lines.write_record(cells.into_iter().map(|(_, value)| field(value)))?;
                lines.flush()?;
            }
        }
        self.lines += 1;
        Ok(())
    }

    /// Ends the file, and says how many entries are in it.
    pub fn end(self) -> io::Result<u64> {
        self.out.finish()?.flush()?;
        Ok(self.lines)
    }
}

/// A JSON object with its keys in this order.
struct Line(Vec<Cell>);

impl serde::Serialize for Line {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(column, value)| (column, value)))
    }
}

/// What both forms have, every column in every line.
fn cells(entry: &Entry, facts: &Facts) -> Vec<Cell> {
    let content = &entry.content;
    let amends = content.amends.as_ref();
    let mut cells: Vec<Cell> = vec![
        ("schema", SCHEMA.into()),
        ("id", entry.id().to_string().into()),
        ("sequence", entry.sequence.into()),
        ("hash", entry.hash.to_string().into()),
        ("previous_hash", entry.previous.to_string().into()),
        ("kind", content.kind.clone().into()),
        ("recorded_at", content.recorded_at.to_string().into()),
        ("person", content.actor.name.clone().into()),
        ("station", content.station.clone().into()),
        ("program", content.program.clone().into()),
        ("amends", amends.map(|by| by.entry.to_string()).into()),
        ("reason", amends.map(|by| by.reason.clone()).into()),
        ("measured_at", facts.at.map(|at| at.to_string()).into()),
    ];
    cells.extend(Text::ALL.map(|text| (text.column(), facts.text(text).into())));
    cells.extend(Number::ALL.map(|number| (number.column(), facts.number(number).into())));
    cells.extend(EQUIPMENT.map(|role| (role, content.subject(role).into())));
    cells
}

fn subjects(entry: &Entry) -> Value {
    let subjects = entry.content.subjects.iter();
    subjects
        .map(|subject| serde_json::json!({"role": subject.role, "identity": subject.identity}))
        .collect()
}

/// The recorded texts, to the byte: they are what was hashed.
fn documents(entry: &Entry) -> [Cell; 4] {
    let content = &entry.content;
    [
        ("inputs", content.inputs.as_str().into()),
        ("results", content.results.as_str().into()),
        ("editions", content.editions.as_str().into()),
        ("words", content.words.as_str().into()),
    ]
}

/// A value as a field of CSV; nothing is an empty field.
fn field(value: Value) -> String {
    match value {
        Value::Null => String::new(),
        Value::String(text) => text,
        other => other.to_string(),
    }
}
