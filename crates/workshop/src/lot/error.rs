//! What can be wrong with a file of readings of many pieces.

use metrology::message::Value;
use metrology::units::Entered;

metrology::messages! {
    /// What can be wrong with a file of readings.
    pub enum LotError "lot" {
        /// A column that every row needs.
        MissingColumn "missing-column" { column: String as Text, known: Vec<&'static str> as texts },
        /// A column twice.
        ColumnTwice "column-twice" { column: String as Text },
        /// A column that there is not.
        UnknownColumn "unknown-column" { column: String as Text, known: Vec<&'static str> as texts },
        /// A first line that names no column at all.
        NoHeader "no-header" { needed: Vec<&'static str> as texts },
        /// An empty file.
        Empty "empty",
        /// A header and nothing below it.
        NoRows "no-rows",
        /// A line that is too long.
        LongLine "long-line" { most: usize as count },
        /// Bytes that are no text.
        NotText "not-text",
        /// More or fewer fields than columns.
        Fields "fields" { found: usize as count, columns: usize as count },
        /// A decimal comma in a file that commas separate.
        DecimalComma "decimal-comma" { reading: String as Text, right: String as Text },
        /// A quotation mark that is not closed.
        OpenQuote "open-quote",
        /// The last line, which is not whole.
        Cut "cut",
        /// A row without its piece or its characteristic.
        NoName "no-name" { column: String as Text },
        /// A characteristic that the plan does not know.
        UnknownCharacteristic "unknown-characteristic" { given: String as Text, known: Vec<String> as texts },
        /// A characteristic that the plan has otherwise than measured.
        NotMeasured "not-measured" { given: String as Text, way: Value as itself },
        /// A place that the plan does not have.
        UnknownPlace "unknown-place" { given: String as Text, known: Vec<String> as texts },
        /// Two units.
        MixedUnits "mixed-units" { one: Entered as Entered, line: usize as count, other: Entered as Entered },
        /// A piece and characteristic that stood above.
        PieceTwice "piece-twice" { piece: String as Text, characteristic: String as Text },
        /// A row that says the same as one above it, its time included.
        RowTwice "row-twice" { above: usize as count },
        /// What should be a time.
        NoTime "no-time" { text: String as Text },
        /// A reading on the standard below one that was taken later.
        ZeroBackwards "zero-backwards" { text: String as Text },
        /// A reading of a piece from before the zero check that stands above it.
        BeforeZero "before-zero" { text: String as Text },
        /// No reading on the standard before the first piece.
        NoZero "no-zero" { piece: String as Text },
        /// A reason to strike or to leave a reading on the standard.
        ZeroReason "zero-reason",
        /// Both reasons for one reading.
        TwoReasons "two-reasons",
        /// The file is another than it was when it was looked over.
        Changed "changed",
    }
}
