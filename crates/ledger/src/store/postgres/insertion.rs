//! Rows of several tables that go in by one statement.

use postgres::types::ToSql;

use super::connection::Connection;
use crate::Result;

/// An insertion into one table after the other. A column is an array: the statement is as long for one row as for many.
#[derive(Default)]
pub(super) struct Insertion<'a> {
    tables: Vec<String>,
    values: Vec<Box<dyn ToSql + Sync + 'a>>,
}

/// The values of a column, row by row.
pub(super) struct Column<'a> {
    name: &'static str,
    kind: &'static str,
    values: Box<dyn ToSql + Sync + 'a>,
}

impl<'a> Column<'a> {
    pub fn texts<T: ToSql + Sync + 'a>(name: &'static str, texts: Vec<T>) -> Self {
        Self::of(name, "text[]", texts)
    }

    pub fn numbers<T: ToSql + Sync + 'a>(name: &'static str, numbers: Vec<T>) -> Self {
        Self::of(name, "bigint[]", numbers)
    }

    pub fn reals<T: ToSql + Sync + 'a>(name: &'static str, reals: Vec<T>) -> Self {
        Self::of(name, "double precision[]", reals)
    }

    /// Texts that the server is to read as keys.
    pub fn keys(name: &'static str, keys: Vec<&'a str>) -> Self {
        Self::of(name, "text[]::uuid[]", keys)
    }

    fn of<T: ToSql + Sync + 'a>(name: &'static str, kind: &'static str, values: Vec<T>) -> Self {
        let values = Box::new(values);
        Self { name, kind, values }
    }
}

impl<'a> Insertion<'a> {
    /// Adds rows of a table; there is at least one.
    pub fn into(&mut self, table: &str, columns: Vec<Column<'a>>) {
        let (mut names, mut arrays) = (Vec::new(), Vec::new());
        for Column { name, kind, values } in columns {
            self.values.push(values);
            names.push(name);
            arrays.push(format!("${}::{kind}", self.values.len()));
        }
        self.tables.push(format!(
            "INSERT INTO {table} ({}) SELECT * FROM unnest({})",
            names.join(", "),
            arrays.join(", ")
        ));
    }

    /// Puts all of them in.
    pub fn put(mut self, connection: &mut Connection) -> Result<()> {
        let Some(last) = self.tables.pop() else {
            return Ok(());
        };
        let before = self.tables.iter().enumerate();
        let before: Vec<String> = before
            .map(|(index, table)| format!("t{index} AS ({table})"))
            .collect();
        let sql = if before.is_empty() {
            last
        } else {
            format!("WITH {} {last}", before.join(", "))
        };
        let values: Vec<&(dyn ToSql + Sync)> =
            self.values.iter().map(|values| &**values as _).collect();
        connection.query(&sql, &values)?;
        Ok(())
    }
}
