//! What can be wrong with a plan, and what should be known of one.

use metrology::message::{Message, Value};
use metrology::thread::ThreadError;

metrology::messages! {
    /// What can be wrong with a plan.
    pub enum PlanError "plan" {
        /// A number that another characteristic has.
        NumberTwice "number-twice" { number: String as Text, line: usize as count },
        /// The word that rows of readings on the standard have.
        NumberZero "number-zero",
        /// No characteristic.
        Empty "empty",
        /// A characteristic that is measured, and nothing of what.
        NothingMeasured "nothing-measured" { number: String as Text, way: Value as itself },
        /// A key that another way of taking pieces needs.
        NeedsKey "needs-key" { key: String as Text, take: Value as itself },
        /// A key that goes with another way of taking pieces.
        OtherKey "other-key" { key: String as Text, take: Value as itself },
        /// A rejection number that is not above the acceptance number.
        Numbers "numbers" { accept: u64 as Count, reject: u64 as Count },
        /// An acceptance number that no finding can exceed.
        AcceptsAll "accepts-all" { accept: u64 as Count, n: u64 as Count },
        /// A rejection number that no finding can reach.
        NeverRejects "never-rejects" { reject: u64 as Count, n: u64 as Count },
        /// An AQL of nonconformities: the verdict on a lot counts pieces.
        CountsNonconformities "counts-nonconformities" { aql: String as Text },
        /// More pieces than the lot has.
        OverLot "over-lot" { n: u64 as Count, lot: u64 as Count },
        /// A place twice.
        PlaceTwice "place-twice" { place: String as Text },
        /// A gauge for a characteristic that is shown in another way.
        GaugeOfAnother "gauge-of-another" { number: String as Text, way: Value as itself },
        /// A plug for a bolt, or a ring for a nut.
        GaugeMember "gauge-member" { number: String as Text, thread: String as Text, gauge: Value as itself, right: Value as itself },
        /// Who agreed a rule that is not stated.
        AgreedAlone "agreed-alone",
        /// A `[room]` section without a limit.
        RoomEmpty "room-empty",
        /// Limits of the room of which the first is not below the second.
        RoomLimits "room-limits",
        /// A characteristic without a number.
        NoNumber "no-number",
        /// A characteristic without what the drawing says.
        NoRequirement "no-requirement",
        /// A part of a line that begins with none of the words known there.
        UnknownPart "unknown-part" { text: String as Text, known: Vec<String> as texts },
        /// The same word twice.
        PartTwice "part-twice" { key: String as Text },
        /// Something that what is measured cannot do without.
        PartMissing "part-missing" { key: String as Text },
        /// Something that a plan cannot do without.
        HeadMissing "head-missing" { key: String as Text },
        /// A word without what belongs to it.
        PartEmpty "part-empty" { key: String as Text },
        /// Limits of what looks like a thread and is none.
        NoThread "no-thread" { name: String as Text, why: ThreadError as said },
        /// A feature that there is not.
        NoFeature "no-feature" { given: String as Text, known: Vec<String> as texts },
        /// A feature beside a designation.
        FeatureOfThread "feature-of-thread" { designation: String as Text },
        /// No row that names the columns.
        NoHeader "no-header" { needed: Vec<&'static str> as texts },
        /// Rows that name the columns with more than one separator.
        Separators "separators",
        /// A column that there is not.
        UnknownColumn "unknown-column" { column: String as Text, known: Vec<String> as texts },
        /// A column twice.
        ColumnTwice "column-twice" { column: String as Text },
        /// A row above the columns that states nothing of the plan.
        UnknownHead "unknown-head" { key: String as Text, known: Vec<&'static str> as texts },
        /// The same twice above the columns.
        HeadTwice "head-twice" { key: String as Text },
        /// More than one value in a row above the columns.
        HeadCells "head-cells" { key: String as Text },
        /// More or fewer fields than columns.
        Fields "fields" { found: usize as count, columns: usize as count },
        /// A decimal comma in a file that commas separate.
        DecimalComma "decimal-comma" { text: String as Text, right: String as Text },
        /// A quotation mark that is not closed in its line.
        OpenQuote "open-quote",
        /// Something wrong in a column of a table.
        InColumn "in-column" { column: String as Text, what: Message as said },
    }
}

metrology::messages! {
    /// What should be known of a plan.
    pub enum PlanNote "plan-note" {
        /// An edition that is withdrawn: it is kept, as the drawing names it.
        Withdrawn "withdrawn" { number: String as Text, edition: String as Text, by: String as Text },
        /// An edition that the limits do not come from.
        OtherEdition "other-edition" { number: String as Text, edition: String as Text, used: Vec<String> as texts },
        /// One position of a part that has more: every piece stays undecided.
        OnePlace "one-place" { number: String as Text },
        /// One reading alone, which gives no size where no repeatability is known.
        OneReading "one-reading" { number: String as Text },
        /// The plan that a result was made under, and the entry that holds it.
        UnderPlan "under-plan" { number: String as Text, plan: String as Text, entry: String as Text },
        /// The piece was worked on, by this nonconformance; what showed it.
        AfterWork "after-work" { number: String as Text, first: Vec<String> as texts },
        /// Who agreed the decision rule.
        RuleAgreed "rule-agreed" { by: String as Text },
        /// Which temperature the room must have, and how near a value of it must be on record, minutes.
        RoomTemperature "room-temperature" { lower: f64 as Celsius, upper: f64 as Celsius, within: u64 as Count },
        /// The same of relative humidity.
        RoomHumidity "room-humidity" { lower: f64 as Percent, upper: f64 as Percent, within: u64 as Count },
    }
}
