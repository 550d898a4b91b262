//! Rows and columns.

use crate::words::Words;

/// On which side the cells of a column stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// As text does.
    Left,
    /// As numbers do, which have the same decimals in a column.
    Right,
}

/// A column.
#[derive(Debug, Clone)]
pub struct Column {
    /// What stands in it.
    pub title: String,
    /// On which side.
    pub align: Align,
}

impl Column {
    /// A column of text.
    pub fn text(title: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            align: Align::Left,
        }
    }

    /// A column of numbers.
    pub fn number(title: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            align: Align::Right,
        }
    }
}

/// Rows and columns. Where the columns have no titles, the first of each row is the title of the row.
#[derive(Debug, Clone, Default)]
pub struct Table {
    /// The columns.
    pub columns: Vec<Column>,
    /// The rows; a cell that is missing is empty.
    pub rows: Vec<Vec<Words>>,
    /// What sums them up, under a line of its own.
    pub foot: Vec<Vec<Words>>,
}

impl Table {
    /// A table of so many columns without rows.
    pub fn new(columns: Vec<Column>) -> Self {
        Self {
            columns,
            ..Self::default()
        }
    }

    /// Names and what belongs to them, row by row.
    pub fn of_rows(rows: Vec<(String, Words)>) -> Self {
        Self {
            columns: vec![Column::text(""), Column::text("")],
            rows: rows
                .into_iter()
                .map(|(name, words)| vec![name.into(), words])
                .collect(),
            foot: Vec::new(),
        }
    }

    /// Whether the columns have titles.
    pub fn is_titled(&self) -> bool {
        self.columns.iter().any(|column| !column.title.is_empty())
    }
}
