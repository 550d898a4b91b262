//! An inspection plan from a file: TOML, a table saved as CSV, or the sheet of a workbook that has the same table.

use std::path::Path;

use workshop::plan::{self, Plan};

use super::readings::is_workbook;
use crate::failure::Failure;

/// A plan, and what was understood of the workbook that it is from; none of another file.
pub fn read_plan(path: &Path) -> Result<(Plan, Option<String>), Failure> {
    if is_workbook(path) {
        let (plan, understood) = of_workbook(path)?;
        return Ok((plan, Some(understood)));
    }
    Ok((plan::read(path)?, None))
}

#[cfg(not(feature = "sheets"))]
fn of_workbook(path: &Path) -> Result<(Plan, String), Failure> {
    Err(Failure::input(crate::say!("sheet.not-built")).about(path))
}

#[cfg(feature = "sheets")]
fn of_workbook(path: &Path) -> Result<(Plan, String), Failure> {
    let (rows, understood) = super::read::plan(path).map_err(|failure| failure.about(path))?;
    Ok((plan::parse_cells(path, &rows)?, understood))
}
