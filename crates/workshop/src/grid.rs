//! Rows and fields of a table: of a file whose fields a sign separates, or of the cells of a sheet.

use crate::separated::{split, unquoted};

/// The rows of a table.
pub struct Grid {
    pub rows: Vec<Row>,
    /// The row that names the columns.
    pub header: usize,
    /// Whether commas separate the fields, so that none is a decimal sign.
    pub commas: bool,
}

pub struct Row {
    /// From 1.
    pub line: usize,
    /// Each field, and the character of its line at which it begins, from 1; of cells, which of them it is.
    pub fields: Vec<(String, usize)>,
    /// The character at which a quotation mark opens that is not closed.
    pub open: Option<usize>,
}

impl Row {
    pub fn is_blank(&self) -> bool {
        self.fields.iter().all(|(text, _)| text.is_empty())
    }

    pub fn cell(&self, at: usize) -> &str {
        self.fields.get(at).map_or("", |(text, _)| text.as_str())
    }
}

impl Grid {
    /// The table with this sign between its fields; none where no row names the columns then.
    pub fn of(text: &str, delimiter: u8, names_columns: fn(&Row) -> bool) -> Option<Self> {
        let mut rows = Vec::new();
        let mut ranges = Vec::new();
        for (index, line) in text.lines().enumerate() {
            let open = split(line, delimiter, &mut ranges).err();
            let column = |byte: usize| line.get(..byte).unwrap_or_default().chars().count() + 1;
            let fields = ranges.iter().map(|range| {
                let field = line.get(range.clone()).unwrap_or_default();
                (unquoted(field).trim().to_owned(), column(range.start))
            });
            rows.push(Row {
                line: index + 1,
                fields: fields.collect(),
                open: open.map(column),
            });
        }
        Some(Self {
            header: rows.iter().position(names_columns)?,
            rows,
            commas: delimiter == b',',
        })
    }

    /// The same of cells, none of which has to be parted from another.
    pub fn of_cells(cells: &[Vec<String>], names_columns: fn(&Row) -> bool) -> Option<Self> {
        let rows = cells.iter().enumerate().map(|(index, cells)| Row {
            line: index + 1,
            fields: (1..)
                .zip(cells)
                .map(|(column, text)| (text.trim().to_owned(), column))
                .collect(),
            open: None,
        });
        let rows: Vec<Row> = rows.collect();
        Some(Self {
            header: rows.iter().position(names_columns)?,
            rows,
            commas: false,
        })
    }

    /// Line and character of a field.
    pub fn place(&self, row: usize, cell: usize) -> (usize, usize) {
        let Some(row) = self.rows.get(row) else {
            return (1, 1);
        };
        let field = row.fields.get(cell);
        (row.line, field.map_or(1, |(_, column)| *column))
    }

    /// The first word with a decimal comma, where commas separate.
    pub fn decimal_comma<'a>(&self, text: &'a str) -> Option<&'a str> {
        let is_sign = |word: &&str| {
            let bytes = word.as_bytes();
            bytes.windows(3).any(|three| {
                matches!(three, [one, b',', other] if one.is_ascii_digit() && other.is_ascii_digit())
            })
        };
        text.split_whitespace()
            .find(is_sign)
            .filter(|_| self.commas)
    }
}
