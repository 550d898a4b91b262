use metrology::inspection::State;
use metrology::message::Message;

use crate::equipment::Kind;

metrology::messages! {
    /// What is wrong with a list of equipment.
    pub enum ListError "equipment-list" {
        /// No row names the columns.
        NoHeader "no-header" { needed: Vec<&'static str> as texts },
        /// Rows that name them with more than one separator.
        Separators "separators",
        UnknownColumn "unknown-column" { column: String as Text, known: Vec<String> as texts },
        ColumnTwice "column-twice" { column: String as Text },
        OpenQuote "open-quote",
        /// A row with more or fewer fields than there are columns.
        Fields "fields" { found: usize as count, columns: usize as count },
        /// A decimal comma in a file that commas separate.
        DecimalComma "decimal-comma" { text: String as Text, right: String as Text },
        /// A decimal point and a decimal comma in one file.
        Mixed "mixed" { text: String as Text, other: String as Text, line: usize as count },
        /// Something wrong in a column.
        InColumn "in-column" { column: String as Text, what: Message as said },
        /// A column that other kinds have.
        NotOfKind "not-of-kind" { kind: Kind as code, known: Vec<String> as texts },
        /// A piece in two rows.
        Twice "twice" { kind: Kind as code, id: String as Text, line: usize as count },
        /// A new piece that lacks what its kind needs.
        Lacks "lacks" { kind: Kind as code, id: String as Text, key: String as Text },
        NotTwo "not-two" { text: String as Text, between: String as Text },
        /// A point of a curve that has no error.
        NoPoint "no-point" { text: String as Text },
        NoNumber "no-number" { text: String as Text },
        NoFlag "no-flag" { text: String as Text },
        /// Columns, and no piece below them.
        Empty "empty",
    }
}

metrology::messages! {
    /// What is said of a row beside what it changes.
    pub enum ListNote "equipment-list-note" {
        /// A state in the list that is not the one that holds.
        OtherState "other-state" { kind: Kind as code, id: String as Text, listed: State as code, stands: State as code },
        /// A piece that may not be used, and stays so.
        StaysSo "stays-so" { kind: Kind as code, id: String as Text, stands: State as code },
    }
}
