//! The table of readings that a study is computed from, and their unit.

use std::path::PathBuf;

use metrology::message::Say;
use metrology::study::{DoubleDouble, Table};
use metrology::units::{Entered, LengthUnit};
use workshop::gauge_record::studied::in_unit;

use super::answer::From;
use crate::failure::Failure;
use crate::say;

/// The column that says the unit of each reading.
const UNIT: &str = "unit";

/// The readings of a study.
pub struct Readings {
    /// What they are called.
    pub name: String,
    /// The file that every error names; none of readings on a page.
    pub file: Option<PathBuf>,
    /// As CSV with a header.
    pub text: String,
    /// The unit that is stated beside them.
    pub stated: Option<LengthUnit>,
}

impl Readings {
    /// What is said of them on a sheet.
    pub fn from(&self) -> From<'_> {
        From {
            of: self.name.clone(),
            name: "readings.csv",
            text: &self.text,
        }
    }

    /// The values of the column `value`.
    pub fn values(&self) -> Result<Vec<f64>, Failure> {
        let values =
            self.study(|text| Table::read(text, &["value"]).and_then(|all| all.numbers("value")));
        Ok(values?.into_iter().map(DoubleDouble::value).collect())
    }

    /// The answer of a calculation on them, or what is wrong with them.
    pub fn study<T, E: Say>(&self, of: impl FnOnce(&str) -> Result<T, E>) -> Result<T, Failure> {
        of(&self.text).map_err(|error| self.refused(&error))
    }

    /// What is wrong, naming the file.
    pub fn refused(&self, error: &impl Say) -> Failure {
        self.named(Failure::refused(error))
    }

    fn named(&self, failure: Failure) -> Failure {
        match &self.file {
            Some(file) => failure.about(file),
            None => failure,
        }
    }

    /// Their unit: that of the column `unit`, or the stated one; none where nobody says.
    pub fn unit(&self) -> Result<Option<LengthUnit>, Failure> {
        let of_column = self.study(|text| {
            let table = Table::read(text, &[])?;
            let lines = || table.lines().collect::<Vec<_>>();
            let read = || table.texts(UNIT).map(|texts| (texts, lines()));
            table.has(UNIT).then(read).transpose()
        })?;
        let rows = of_column.into_iter();
        let rows = rows.flat_map(|(all, lines)| all.into_iter().zip(lines));
        let mut found = self.stated;
        let mut first = None;
        for (text, line) in rows {
            let refused = |why: String| Err(self.named(Failure::Input(why)));
            let Ok(unit) = text.parse::<LengthUnit>() else {
                return refused(say!("studied.no-unit", line = line, text = text));
            };
            match found {
                Some(other) if other != unit => {
                    let (one, unit) = (other.symbol(), unit.symbol());
                    return refused(match first {
                        Some(first) => say!(
                            "studied.units",
                            line = line,
                            unit = unit,
                            first = first,
                            one = one
                        ),
                        None => say!("studied.other-unit", line = line, unit = unit, stated = one),
                    });
                }
                _ => (found, first) = (Some(unit), first.or(Some(line))),
            }
        }
        Ok(found)
    }

    /// Lengths given beside them, in their unit. Where neither the table nor the stated unit says it they are millimetres, and
    /// inches where the first length is in inches or microinches.
    pub fn lengths<const N: usize>(
        &self,
        given: [Option<&Entered>; N],
    ) -> Result<(Option<LengthUnit>, [Option<DoubleDouble>; N]), Failure> {
        let first = given.iter().flatten().next();
        let unit = self
            .unit()?
            .or_else(|| first.map(|length| length.unit().of_drawing()));
        let converted = given.map(|length| Some(in_unit(length?, unit?)));
        Ok((unit, converted))
    }
}
