//! A plan from a file: TOML, or a table saved as CSV.

use std::path::Path;

use super::Plan;
use super::read::parse;
use super::table;
use crate::error::Error;
use crate::job_file::read_text;

/// Reads a plan; what the file is its name says, or else its text: sections are TOML.
pub fn read(path: &Path) -> Result<Plan, Error> {
    let text = read_text(path)?;
    let extension = path.extension().and_then(|name| name.to_str());
    let is_table = match extension.map(str::to_lowercase).as_deref() {
        Some("csv" | "tsv") => true,
        Some("toml") => false,
        _ => !text.lines().any(|line| line.trim_start().starts_with('[')),
    };
    if is_table {
        table::parse(path, &text)
    } else {
        parse(path, &text)
    }
}
