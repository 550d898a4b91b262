//! The values of a certificate as a table, as they are typed on a page.

use metrology::study::{Table, TableError};

use super::certificate_file::{UNCERTAINTY, VALUE};
use crate::gauge_record::certificate::CertifiedValue;
use crate::given::{self, NumberError, Range};

metrology::messages! {
    /// What is wrong with such a table.
    pub enum ValuesError "certified-values" {
        Table "table" { why: TableError as said },
        /// A number out of its range.
        Value "value" { line: u64 as Count, why: NumberError as said },
    }
}

impl From<TableError> for ValuesError {
    fn from(why: TableError) -> Self {
        Self::Table { why }
    }
}

/// The columns that are needed, and those that there may be.
const NEEDED: [&str; 5] = [
    "quantity",
    "value",
    "unit",
    "expanded_uncertainty",
    "coverage_factor",
];
const AT: &str = "at";
const WEAR_LIMIT: &str = "wear_limit";

/// Takes the text of a table, a value a row.
pub fn parse(text: &str) -> Result<Vec<CertifiedValue>, ValuesError> {
    let table = Table::read(text, &NEEDED)?;
    let quantities = table.texts("quantity")?;
    let units = table.texts("unit")?;
    let [values, uncertainties, factors] = [
        table.values("value")?,
        table.values("expanded_uncertainty")?,
        table.values("coverage_factor")?,
    ];
    let (places, limits) = (
        table.optional_values(AT)?,
        table.optional_values(WEAR_LIMIT)?,
    );
    let within = |line: u64, range: Range, field: &str, number: f64| {
        let read = range.read(field, &number.to_string());
        read.map_err(|why| ValuesError::Value { line, why })
    };
    let names = quantities.into_iter().zip(units).zip(table.lines());
    let numbers = values.into_iter().zip(uncertainties).zip(factors);
    let others = places.into_iter().zip(limits);
    let rows = names.zip(numbers).zip(others);
    rows.map(
        |((((quantity, unit), line), ((value, uncertainty), factor)), (at, limit))| {
            let optional = |field: &str, number: Option<f64>| {
                let number = number.map(|number| within(line, VALUE, field, number));
                number.transpose()
            };
            Ok(CertifiedValue {
                quantity,
                at: optional(AT, at)?,
                value: within(line, VALUE, "value", value)?,
                unit,
                expanded_uncertainty: within(
                    line,
                    UNCERTAINTY,
                    "expanded_uncertainty",
                    uncertainty,
                )?,
                coverage_factor: within(line, given::COVERAGE_FACTOR, "coverage_factor", factor)?,
                wear_limit: optional(WEAR_LIMIT, limit)?,
            })
        },
    )
    .collect()
}

/// The same values as such a table.
pub fn table(values: &[CertifiedValue]) -> String {
    let has_place = values.iter().any(|value| value.at.is_some());
    let has_limit = values.iter().any(|value| value.wear_limit.is_some());
    let mut rows: Vec<Vec<String>> = Vec::new();
    let optional = |number: Option<f64>| number.map_or_else(String::new, |it| it.to_string());
    let head = NEEDED.into_iter();
    let head = head.chain(has_place.then_some(AT));
    let head = head.chain(has_limit.then_some(WEAR_LIMIT));
    rows.push(head.map(str::to_owned).collect());
    for value in values {
        let mut row = vec![
            value.quantity.clone(),
            value.value.to_string(),
            value.unit.clone(),
            value.expanded_uncertainty.to_string(),
            value.coverage_factor.to_string(),
        ];
        row.extend(has_place.then(|| optional(value.at)));
        row.extend(has_limit.then(|| optional(value.wear_limit)));
        rows.push(row);
    }
    let quoted = |text: &String| {
        if text.contains([',', '"', ';', '\t']) {
            format!("\"{}\"", text.replace('"', "\"\""))
        } else {
            text.clone()
        }
    };
    let rows = rows.iter();
    let rows = rows.map(|row| row.iter().map(quoted).collect::<Vec<_>>().join(","));
    rows.map(|row| row + "\n").collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_read_as_they_are_written() {
        let text = "quantity,value,unit,expanded_uncertainty,coverage_factor,at\n\
                    error of indication,0.5,um,0.6,2,5\n\"size, left\",9.9994,mm,0.0006,2,\n";
        let values = parse(text).unwrap();
        assert_eq!(values[0].at, Some(5.0));
        assert_eq!((values[1].at, values[1].value), (None, 9.9994));
        assert_eq!(parse(&table(&values)).unwrap(), values);
        let commas =
            "quantity;value;unit;expanded_uncertainty;coverage_factor\nsize;9,9994;mm;0,0006;2\n";
        assert_eq!(parse(commas).unwrap()[0].value, 9.9994);
    }

    #[test]
    fn what_is_no_value_is_told_with_its_line() {
        let head = "quantity,value,unit,expanded_uncertainty,coverage_factor\n";
        for row in [
            "size,9.9,mm,-1,2",
            "size,9.9,mm,0.1,0",
            "size,1e12,mm,0.1,2",
        ] {
            let wrong = parse(&format!("{head}{row}\n"));
            assert!(
                matches!(wrong, Err(ValuesError::Value { line: 2, .. })),
                "{wrong:?}"
            );
        }
        assert!(matches!(
            parse("quantity,value\n"),
            Err(ValuesError::Table { .. })
        ));
    }
}
