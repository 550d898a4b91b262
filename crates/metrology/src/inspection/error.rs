//! What is wrong with a job, and what would be right.

use crate::correction::CurveError;
use crate::decision::DecisionError;
use crate::designation::ThreadError;
use crate::units::LengthError;

/// A job that cannot give a result. Each says what is wrong and what would be right.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[expect(missing_docs, reason = "the messages say what the variants are")]
pub enum JobError {
    #[error("{0}")]
    Designation(#[from] ThreadError),
    #[error(
        "{designation} sets no limits for the {diameter}; state them with `name`, `lower` and `upper`"
    )]
    NoLimits {
        designation: String,
        diameter: &'static str,
    },
    #[error(
        "{designation} is a taper thread: its {diameter} is another one at every place along the axis ({positions}), \
         so no limits can be looked up; take the size at your measuring plane from `midflank limits \"{designation}\" \
         --at LENGTH` and state it with `name`, `lower` and `upper`"
    )]
    TaperWithoutPosition {
        designation: String,
        diameter: &'static str,
        positions: String,
    },
    #[error("a stated size needs `lower` or `upper`, or both")]
    NoStatedLimits,
    #[error("the limits {lower} to {upper} are the wrong way round")]
    LimitsReversed { lower: String, upper: String },
    #[error("the {what} is `{text}`; it must be above zero")]
    NotPositive { what: &'static str, text: String },
    #[error("the {what} is `{text}`; it cannot be below zero")]
    Negative { what: &'static str, text: String },
    #[error(
        "a coverage factor of {k} for the {of} is not usual; certificates state 2, sometimes up to 3"
    )]
    CoverageFactor { of: &'static str, k: f64 },
    #[error("the range of micrometer {id}, {from} to {to}, must rise from zero or above")]
    Range {
        id: String,
        from: String,
        to: String,
    },
    #[error(
        "setting standard {id} ({size}) lies outside the range of micrometer {instrument} ({from} to {to}); \
         set zero on a standard within it"
    )]
    StandardOutsideRange {
        id: String,
        size: String,
        instrument: String,
        from: String,
        to: String,
    },
    #[error("the part has no name; write what lies on the bench")]
    NoPart,
    #[error(
        "the reading {0} is struck out without a reason; say why, such as \"one turn misread, taken again\""
    )]
    StruckWithoutReason(String),
    #[error("the {what} is stated as {text}; that is too large to be meant: {probably}?")]
    TooLargeToBeMeant {
        what: &'static str,
        text: String,
        probably: String,
    },
    #[error(
        "the zero reading {reading} is far from the certified size of the standard, {standard}; write what the display \
         shows on the standard, or preset the display to its certified size"
    )]
    ZeroFarFromStandard { reading: String, standard: String },
    #[error(
        "reading {number}, {reading}, is outside the range of micrometer {instrument} ({from} to {to}){comma}"
    )]
    ReadingOutsideRange {
        number: usize,
        reading: String,
        instrument: String,
        from: String,
        to: String,
        comma: &'static str,
    },
    #[error(
        "{degrees} °C is too hot to measure; let it cool, or if that was read in °F, write {celsius:.1}"
    )]
    TooHot { degrees: f64, celsius: f64 },
    #[error("wires {id} do not fit this job: {why}")]
    WiresUnfit { id: String, why: String },
    #[error("{0}")]
    Wires(String),
    #[error("there is no zero reading; close three times on {standard} before measuring")]
    NoZero { standard: String },
    #[error(
        "zero was set with pair {zero} and {contacts} is in the micrometer; a change of either contact is a new pair: \
         set zero with {contacts} on {standard}, or state why not as `zero` under [override]"
    )]
    ZeroOfOtherPair {
        zero: String,
        contacts: String,
        standard: String,
    },
    #[error(
        "without a zero nothing says how far the readings are off; beside the reason under [override] state \
         `allowance` under [zero]: how far the zero may be off, such as 5um"
    )]
    ZeroAllowance,
    #[error(
        "the reason for `{0}` under [override] is empty; say why in words that the report can print"
    )]
    EmptyReason(&'static str),
    #[error("equipment may not be used: {0}")]
    Blocked(Box<super::warning::Warning>),
    #[error("standard {id} does not set zero for {contacts}: {why}")]
    StandardUnfit {
        id: String,
        contacts: String,
        why: &'static str,
    },
    #[error("{0}")]
    Feature(String),
    #[error("contacts {id} do not fit this job: {why}")]
    ContactsUnfit { id: String, why: String },
    #[error("`{0}` in the pitch range of the contacts is no pitch; write 1.5mm or 24tpi")]
    PitchRange(String),
    #[error("there are no readings of the part; take at least three, around and along it")]
    NoReadings,
    #[error("a place has no readings; leave the place out or take one")]
    EmptyPlace,
    #[error(
        "one reading tells nothing of its scatter; take at least three around and along the part, \
         or state `repeatability` with its degrees of freedom from earlier series under [prior] of a job file"
    )]
    OneReading,
    #[error(
        "readings in mixed units: {one} and {other}; write all of them in the unit the micrometer showed"
    )]
    MixedUnits { one: String, other: String },
    #[error("degrees of freedom of {0} are no experience; they must be 1 or more")]
    DegreesOfFreedom(f64),
    #[error("{what} is {value}; {right}")]
    Number {
        what: &'static str,
        value: f64,
        right: &'static str,
    },
    #[error("the material `{0}` is not in the table; it has {1}")]
    Material(String, String),
    #[error("{0}")]
    Curve(#[from] CurveError),
    #[error("the result is no length: {0}; check the numbers of the job for one that is far off")]
    Result(#[from] LengthError),
    #[error("{0}")]
    Rule(#[from] DecisionError),
    #[error("{0}")]
    Budget(String),
}
