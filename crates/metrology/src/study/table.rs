//! A study's readings as they stand in a CSV file.

use std::collections::BTreeSet;

use crate::double_double::{DoubleDouble, Unread};

/// The columns that a study asks for, row by row.
#[derive(Clone, Debug)]
pub struct Table {
    columns: Vec<String>,
    rows: Vec<Row>,
    /// Whether something else than commas separates the fields, so that a comma in a number is a decimal one.
    decimal_commas: bool,
}

#[derive(Clone, Debug)]
struct Row {
    line: u64,
    fields: Vec<String>,
}

crate::messages! {
    /// What is wrong with a table.
    pub enum TableError "table" {
        /// No line at all.
        Empty "empty",
        /// A header and nothing below.
        NoRows "no-rows",
        /// A column that is needed is missing.
        NoColumn "no-column" { column: String as Text, has: Vec<String> as texts },
        /// A column stands twice.
        DoubledColumn "doubled-column" { column: String as Text },
        /// A row that is longer or shorter than the header.
        Width "width" { line: u64 as Count, n: usize as count, wanted: usize as count },
        /// A row that is longer than the header, as one with decimal commas is.
        DecimalComma "decimal-comma" { line: u64 as Count, column: String as Text, text: String as Text },
        /// A header with several separators, by none of which the needed columns stand in it.
        Separators "separators" { found: Vec<String> as texts, column: String as Text },
        /// A quotation mark that opens a field and is not closed on its line.
        OpenQuote "open-quote" { line: u64 as Count, at: u64 as Count },
        /// A row that no CSV reader understands.
        Unreadable "unreadable" { line: u64 as Count },
        /// Nothing where something is needed.
        Missing "missing" { line: u64 as Count, column: String as Text },
        /// A text where a number is needed.
        NotANumber "not-a-number" { line: u64 as Count, column: String as Text, text: String as Text },
        /// Infinite, or `nan`.
        NotFinite "not-finite" { line: u64 as Count, column: String as Text, text: String as Text },
        /// Larger or smaller than is computed with.
        OutOfRange "out-of-range" { line: u64 as Count, column: String as Text, text: String as Text },
    }
}

impl Table {
    /// Reads a table whose header has these columns; others are passed over. Fields are separated by what separates those of the
    /// header ([`separator`]), and none goes over more than one line.
    pub fn read(text: &str, needed: &[&str]) -> Result<Self, TableError> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let header_line = header(text);
        let separator = separating(header_line, needed);
        if let Some((line, at)) = open_quote(text, separator) {
            return Err(TableError::OpenQuote { line, at });
        }
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(separator)
            .has_headers(false)
            .trim(csv::Trim::All)
            .flexible(true)
            .from_reader(text.as_bytes());
        let mut records = reader.records().map(|record| {
            record.map_err(|error| TableError::Unreadable {
                line: error.position().map_or(1, csv::Position::line),
            })
        });
        let header = records.next().ok_or(TableError::Empty)??;
        let columns: Vec<String> = header.iter().map(str::to_ascii_lowercase).collect();
        let found = separators(header_line);
        for (index, column) in columns.iter().enumerate() {
            let before = columns.get(..index).unwrap_or_default();
            if !column.is_empty() && before.contains(column) {
                return Err(TableError::DoubledColumn {
                    column: column.clone(),
                });
            }
        }
        for column in needed {
            if !columns.iter().any(|name| name == column) {
                if found.len() > 1 {
                    let name = |separator: &u8| match separator {
                        b'\t' => "tab".to_owned(),
                        sign => char::from(*sign).to_string(),
                    };
                    return Err(TableError::Separators {
                        found: found.iter().map(name).collect(),
                        column: (*column).to_owned(),
                    });
                }
                return Err(TableError::NoColumn {
                    column: (*column).to_owned(),
                    has: columns.iter().map(|name| short(name)).collect(),
                });
            }
        }
        let mut table = Self {
            columns,
            rows: Vec::new(),
            decimal_commas: separator != b',',
        };
        for record in records {
            let record = record?;
            let line = record.position().map_or(0, csv::Position::line);
            let fields: Vec<String> = record.iter().map(str::to_owned).collect();
            // A line of nothing but separators, as spreadsheets leave them.
            if fields.iter().all(String::is_empty) {
                continue;
            }
            table.check_width(line, &fields)?;
            table.rows.push(Row { line, fields });
        }
        if table.rows.is_empty() {
            return Err(TableError::NoRows);
        }
        Ok(table)
    }

    fn check_width(&self, line: u64, fields: &[String]) -> Result<(), TableError> {
        let wanted = self.columns.len();
        if fields.len() == wanted {
            return Ok(());
        }
        let comma = fields.windows(2).position(|pair| match pair {
            [whole, rest] => is_digits(whole.trim_start_matches(['-', '+'])) && is_digits(rest),
            _ => false,
        });
        if let Some(index) = comma.filter(|_| fields.len() > wanted && !self.decimal_commas) {
            let part = |index: usize| fields.get(index).map_or("", String::as_str);
            return Err(TableError::DecimalComma {
                line,
                column: self.columns.get(index).cloned().unwrap_or_default(),
                text: short(&format!("{},{}", part(index), part(index + 1))),
            });
        }
        Err(TableError::Width {
            line,
            n: fields.len(),
            wanted,
        })
    }

    /// The first row, counted from 0, that has in these columns what a row above it has, and its line.
    pub(super) fn repeated(&self, [a, b, c]: [&[String]; 3]) -> Option<(usize, u64)> {
        let mut seen = BTreeSet::new();
        let mut rows = a.iter().zip(b).zip(c).zip(self.lines()).enumerate();
        rows.find_map(|(row, (key, line))| (!seen.insert(key)).then_some((row, line)))
    }

    /// Whether the header has this column.
    pub fn has(&self, column: &str) -> bool {
        self.columns.iter().any(|name| name == column)
    }

    /// How many rows.
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// Never: a table without rows is refused.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// The line of each row in the file, from 1.
    pub fn lines(&self) -> impl Iterator<Item = u64> {
        self.rows.iter().map(|row| row.line)
    }

    /// What stands in a column, as it is written.
    pub fn texts(&self, column: &str) -> Result<Vec<String>, TableError> {
        self.rows
            .iter()
            .map(|row| self.field(row, column).map(str::to_owned))
            .collect()
    }

    /// The numbers of a column, as exact as they are written.
    pub fn numbers(&self, column: &str) -> Result<Vec<DoubleDouble>, TableError> {
        self.rows
            .iter()
            .map(|row| self.number(row, column))
            .collect()
    }

    /// The numbers of a column that may be missing, or empty in a row.
    pub fn optional_values(&self, column: &str) -> Result<Vec<Option<f64>>, TableError> {
        let rows = self.rows.iter();
        rows.map(|row| {
            if self.field(row, column).is_err() {
                return Ok(None);
            }
            let number = self.number(row, column)?;
            Ok(Some(number.value()))
        })
        .collect()
    }

    /// The numbers of a column as doubles.
    pub fn values(&self, column: &str) -> Result<Vec<f64>, TableError> {
        let numbers = self.numbers(column)?;
        Ok(numbers.into_iter().map(DoubleDouble::value).collect())
    }

    fn number(&self, row: &Row, column: &str) -> Result<DoubleDouble, TableError> {
        let text = &self.field(row, column)?.replace('\u{2212}', "-");
        self.check_comma(row, column)?;
        let with_point = text.replacen(',', ".", 1);
        let has_comma = text.contains(',');
        let read = if self.decimal_commas && has_comma && !text.contains('.') {
            DoubleDouble::parse(&with_point)
        } else {
            DoubleDouble::parse(text)
        };
        let (line, column, text) = (row.line, column.to_owned(), short(text));
        read.map_err(|why| match why {
            Unread::NotANumber if has_comma && DoubleDouble::parse(&with_point).is_ok() => {
                TableError::DecimalComma { line, column, text }
            }
            Unread::NotANumber => TableError::NotANumber { line, column, text },
            Unread::NotFinite => TableError::NotFinite { line, column, text },
            Unread::OutOfRange => TableError::OutOfRange { line, column, text },
        })
    }

    /// A whole number with digits alone in the text beside it is a number with a decimal comma: `8,925` below `value,note`.
    fn check_comma(&self, row: &Row, column: &str) -> Result<(), TableError> {
        let index = self.columns.iter().position(|name| name == column);
        let next = index.map_or(usize::MAX, |index| index + 1);
        let is_text = |name: &String| TEXTS.contains(&name.as_str());
        if self.decimal_commas || !self.columns.get(next).is_some_and(is_text) {
            return Ok(());
        }
        let (whole, rest) = (self.field(row, column)?, row.fields.get(next));
        let rest = rest.map_or("", String::as_str);
        if is_digits(whole.trim_start_matches(['-', '+', '\u{2212}'])) && is_digits(rest) {
            return Err(TableError::DecimalComma {
                line: row.line,
                column: column.to_owned(),
                text: short(&format!("{whole},{rest}")),
            });
        }
        Ok(())
    }

    fn field<'a>(&self, row: &'a Row, column: &str) -> Result<&'a str, TableError> {
        let index = self.columns.iter().position(|name| name == column);
        let text = index.and_then(|index| row.fields.get(index));
        let text = text.map_or("", String::as_str);
        if text.is_empty() {
            return Err(TableError::Missing {
                line: row.line,
                column: column.to_owned(),
            });
        }
        Ok(text)
    }
}

/// Columns in which nobody writes a number that is computed with.
const TEXTS: [&str; 8] = [
    "note", "notes", "remark", "remarks", "comment", "comments", "text", "unit",
];

fn is_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

/// The first line with anything on it, which is the header: a file may begin with empty lines, and end its lines by CR alone.
fn header(text: &str) -> &str {
    let mut lines = text.split(['\n', '\r']);
    let first = lines.find(|line| !line.trim().is_empty());
    first.unwrap_or_default()
}

/// What separates the fields of a file with this header: a comma, a semicolon where there is none, a tab where there is neither.
pub fn separator(header: &str) -> u8 {
    separators(header).first().copied().unwrap_or(b',')
}

/// All that may separate the fields of this header.
fn separators(header: &str) -> Vec<u8> {
    let all = [b',', b';', b'\t'].into_iter();
    all.filter(|separator| header.as_bytes().contains(separator))
        .collect()
}

/// What separates its fields so that the needed columns stand in it; else as [`separator`] has it.
fn separating(header: &str, needed: &[&str]) -> u8 {
    let has_all = |separator: &u8| {
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(*separator)
            .has_headers(false)
            .trim(csv::Trim::All)
            .from_reader(header.as_bytes());
        let columns = reader.records().next().and_then(Result::ok);
        let columns = columns.unwrap_or_default();
        let has = |name: &&str| {
            columns
                .iter()
                .any(|column| column.eq_ignore_ascii_case(name))
        };
        needed.iter().all(has)
    };
    let mut all = separators(header).into_iter();
    all.find(has_all).unwrap_or_else(|| separator(header))
}

/// Line and character, from 1, of the first quotation mark that opens a field and is not closed on its line: what stands below it
/// would be taken for one field, and its rows would be missed without a word.
pub fn open_quote(text: &str, separator: u8) -> Option<(u64, u64)> {
    let (mut line, mut at) = (1, 0);
    // Where the field was opened, and whether the mark before may have closed it.
    let (mut opened, mut closing, mut at_start) = (None, false, true);
    for character in text.chars() {
        at += 1;
        let separates = character == char::from(separator);
        if matches!(character, '\n' | '\r') {
            if opened.is_some() && !closing {
                return opened;
            }
            line += u64::from(character == '\n');
            (at, opened, closing, at_start) = (0, None, false, true);
        } else if opened.is_some() {
            if character == '"' {
                closing = !closing;
            } else if closing {
                (opened, closing, at_start) = (None, false, separates);
            }
        } else if character == '"' && at_start {
            opened = Some((line, at));
            at_start = false;
        } else {
            at_start = separates || at_start && character == ' ';
        }
    }
    opened.filter(|_| !closing)
}

/// So much of a text as a sentence can hold.
fn short(text: &str) -> String {
    text.chars().take(40).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn values(text: &str) -> Result<Vec<f64>, TableError> {
        Table::read(text, &["value"])?.values("value")
    }

    #[test]
    fn what_people_write() {
        assert_eq!(values("value\n1.5\n-2e-3\n"), Ok(vec![1.5, -0.002]));
        assert_eq!(
            values("\u{feff}Part;Value\r\na;1,5\r\n\r\nb;2.5\r\n"),
            Ok(vec![1.5, 2.5])
        );
        assert_eq!(
            values("note,value\n\"a, b\",1\n,2\n,\n"),
            Ok(vec![1.0, 2.0])
        );
    }

    #[test]
    fn tabs_separate_as_well() {
        assert_eq!(values("part\tvalue\na\t1.5\nb\t2,5\n"), Ok(vec![1.5, 2.5]));
        assert_eq!(separator("a;b\tc"), b';');
        assert_eq!(separator("value"), b',');
    }

    /// Empty lines before the header, lines that end by CR alone, and separators that also stand within a name.
    #[test]
    fn the_separator_is_that_of_the_header() {
        assert_eq!(values("\n\npart;value\na;1,5\n"), Ok(vec![1.5]));
        assert_eq!(values("part;value\ra;1,5\rb;1,6\r"), Ok(vec![1.5, 1.6]));
        assert_eq!(
            values("part;\"value\";\"note, free\"\na;1,5;x\n"),
            Ok(vec![1.5])
        );
        let Err(TableError::Separators { found, column }) = values("part;value, mm\na;1,5\n")
        else {
            panic!("two separators");
        };
        assert_eq!((found.join(" "), &*column), (", ;".to_owned(), "value"));
    }

    /// `8,925` below `value,note` is 8.925, not 8 with a note.
    #[test]
    fn a_decimal_comma_that_ends_in_a_note_is_told() {
        let Err(TableError::DecimalComma { line, text, .. }) = values("value,note\n8,ok\n8,925\n")
        else {
            panic!("taken for 8");
        };
        assert_eq!((line, &*text), (3, "8,925"));
        // Another column may hold a number, and a number with a point has its decimals.
        assert_eq!(values("value,trial\n8,1\n"), Ok(vec![8.0]));
        assert_eq!(values("value,note\n8.9,25\n"), Ok(vec![8.9]));
        assert_eq!(values("value;note\n8;25\n"), Ok(vec![8.0]));
    }

    #[test]
    fn signs_and_powers() {
        assert_eq!(values("value\n\u{2212}1.5\n"), Ok(vec![-1.5]));
        for far in ["1e99999999999", "1e-99999999999"] {
            let found = values(&format!("value\n{far}\n"));
            assert!(matches!(found, Err(TableError::OutOfRange { .. })), "{far}");
        }
        let found = values("value\n1e\n");
        assert!(matches!(found, Err(TableError::NotANumber { .. })));
    }

    /// A mark within a field is one of inches.
    #[test]
    fn a_quotation_mark_is_closed_on_its_line() {
        let open = |line, at| Err(TableError::OpenQuote { line, at });
        let of = |text: &str| values(&format!("value,note\n{text}"));
        assert_eq!(of("1,\"a\n2,b\n3,c\n"), open(2, 3));
        assert_eq!(of("1,a\n2,\"b"), open(3, 3));
        assert_eq!(of("1, \"a\r\n2,b\r\n"), open(2, 4));
        assert_eq!(of("1,\"a\nb\"\n"), open(2, 3));
        assert_eq!(of("\"1,a\n2,b\n"), open(2, 1));
        assert_eq!(of("1,\"a \"\"b\n2,c\n"), open(2, 3));
        assert_eq!(
            of("1,3/4\" pin\n2,\"3/4\"\" pin\"\n3,\"\"\n"),
            Ok(vec![1.0, 2.0, 3.0])
        );
        assert_eq!(open_quote("a;\"b,c\n", b','), None);
        assert_eq!(open_quote("a;\"b,c\n", b';'), Some((1, 3)));
    }

    #[test]
    fn each_mistake_has_its_place() {
        assert_eq!(values(""), Err(TableError::Empty));
        assert_eq!(values("value\n"), Err(TableError::NoRows));
        assert_eq!(
            values("value,Value\n1,2\n"),
            Err(TableError::DoubledColumn {
                column: "value".into()
            })
        );
        assert!(matches!(
            values("size\n1\n"),
            Err(TableError::NoColumn { .. })
        ));
        assert_eq!(
            values("a,value\n1,2\n3,\n"),
            Err(TableError::Missing {
                line: 3,
                column: "value".into()
            })
        );
        assert_eq!(
            values("a,value\n1\n"),
            Err(TableError::Width {
                line: 2,
                n: 1,
                wanted: 2
            })
        );
        let comma =
            |text: &str| matches!(values(text), Err(TableError::DecimalComma { line: 2, .. }));
        assert!(comma("a,value\nx,8,925\n"));
        assert!(comma("a,value\nx,\"8,925\"\n"));
        assert!(comma("value\n8,925\n"));
        assert!(matches!(
            values("value\n1\ntwo\n"),
            Err(TableError::NotANumber { line: 3, .. })
        ));
        assert!(matches!(
            values("value\nNaN\n"),
            Err(TableError::NotFinite { .. })
        ));
        assert!(matches!(
            values("value\n1e300\n"),
            Err(TableError::OutOfRange { .. })
        ));
        assert!(matches!(
            values("a;value\n1;1.234,5\n"),
            Err(TableError::NotANumber { .. })
        ));
    }
}
