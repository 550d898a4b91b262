//! What can be wrong with a job file, an equipment file or a file of readings.

use std::path::Path;

use jiff::Timestamp;
use jiff::civil::Date;
use metrology::message::Say;
use metrology::units::Entered;

use super::held::Contradiction;
use crate::error::{Error, Fault, InFile};
use crate::register::Kind;

metrology::messages! {
    /// What can be wrong in a file.
    pub enum Wrong "jobfile" {
        /// Bytes that are no text.
        NotUtf8 "not-utf-8" { at: usize as count },
        /// No TOML.
        NotToml "not-toml" { text: String as Text },
        /// A key or a section that stands there already.
        Twice "twice" { key: String as Text },
        /// A day or a time that there is not.
        NoSuchDay "no-such-day" { text: String as Text },
        /// A section is missing.
        MissingSection "missing-section" { section: String as Text },
        /// A key is missing.
        MissingKey "missing-key" { key: String as Text, section: String as Text },
        /// A key that takes one of a few words is missing.
        MissingChoice "missing-choice" { key: String as Text, known: Vec<&'static str> as one_of },
        /// A key that there is not.
        UnknownKey "unknown-key" { key: String as Text, known: Vec<&'static str> as texts },
        /// One that looks like another.
        UnknownKeyNear "unknown-key-near" { key: String as Text, near: String as Text },
        /// A word that the key does not take.
        UnknownWord "unknown-word" { word: String as Text, known: Vec<&'static str> as texts },
        /// One that looks like another.
        UnknownWordNear "unknown-word-near" { word: String as Text, near: String as Text },
        /// Something else where a text is needed.
        NotText "not-text" { text: String as Text },
        /// Something else where true or false is needed.
        NotFlag "not-flag" { text: String as Text },
        /// Something else where a list is needed.
        NotList "not-list" { text: String as Text },
        /// Something else where two values are needed.
        NotTwo "not-two" { text: String as Text },
        /// Something else where a section is needed.
        NotSection "not-section" { text: String as Text },
        /// A list or a section where one value is needed.
        NotValue "not-value",
        /// Quotes where a bare number is needed.
        QuotedNumber "quoted-number" { text: String as Text },
        /// No unit.
        NoUnit "no-unit" { text: String as Text },
        /// No time.
        NoTime "no-time" { text: String as Text },
        /// A time that the clock on the wall never shows, or twice.
        NotOneTime "not-one-time" { text: String as Text, zone: String as Text },
        /// A time before 1970, as no clock shows it.
        TimeTooEarly "time-too-early" { text: String as Text },
        /// A time that is to come.
        TimeAhead "time-ahead" { text: String as Text },
        /// No date.
        NoDate "no-date" { text: String as Text },
        /// A certificate from before there were any of this kind.
        CertificateTooEarly "certificate-too-early" { date: Date as Date, earliest: Date as Date },
        /// A certificate that is to come.
        CertificateAhead "certificate-ahead" { date: Date as Date, today: Date as Date },
        /// A certificate from after the measurement.
        ReceivedAfter "received-after" { received: Date as Date, measured: Date as Date },
        CertificateAfter "certificate-after" { date: Date as Date, measured: Date as Date },
        /// No number.
        NoNumber "no-number" { text: String as Text },
        /// Readings in two units.
        MixedUnits "mixed-units" { one: Entered as Entered, other: Entered as Entered },
        /// Neither a thread nor limits nor a feature.
        NothingMeasured "nothing-measured",
        /// A name beside a designation.
        NameBesideDesignation "name-beside-designation",
        /// Where limits come from, and no limits.
        OriginAlone "origin-alone",
        /// How far a plane may be off, and no plane.
        PlaneWithinAlone "plane-within-alone",
        /// A coating, and no word of the state that is meant.
        NoCoatingState "no-coating-state",
        /// A key that belongs to threads.
        OfThreads "of-threads" { key: String as Text },
        /// A range of the room beside temperatures that were read.
        RoomBesideReadings "room-beside-readings",
        /// A thermometer without temperatures that it showed.
        ThermometerAlone "thermometer-alone" { id: String as Text },
        /// A room whose highest temperature is below its lowest.
        RoomFalls "room-falls",
        /// Measured flank angles without how far they may be off, or the reverse.
        FlankAnglesAlone "flank-angles-alone",
        /// A repeatability without its degrees of freedom.
        NoDegreesOfFreedom "no-degrees-of-freedom",
        /// Not all of an uncertainty of the laboratory's own: it, its coverage factor, where it was found.
        OwnUncertaintyAlone "own-uncertainty-alone",
        /// Two features.
        TwoFeatures "two-features",
        /// A designation beside a feature.
        DesignationOfFeature "designation-of-feature",
        /// A feature without limits.
        NoLimits "no-limits",
        /// The same of a feature whose limits are those of a sheet.
        NoSheetLimits "no-crimp-limits",
        /// A tolerance with a sign.
        SignedTolerance "signed-tolerance",
        /// Nominal, tolerance and limits mixed.
        MixedLimits "mixed-limits",
        /// Places stated beside a file or sections that state their own.
        PlacesTwice "places-twice",
        /// A step that does not turn the part.
        NoStep "no-step" { text: String as Text },
        /// Readings on the standard where the file of readings has them.
        ZeroInReadings "zero-in-readings",
        /// No readings, or two kinds of them.
        NoReadings "no-readings",
        /// A file of readings whose last line is not whole.
        CutLine "cut-line" { reading: Entered as Entered },
        /// A quotation mark that is not closed.
        OpenQuote "open-quote",
        /// A column that there is not.
        UnknownColumn "unknown-column" { column: String as Text, known: Vec<&'static str> as one_of },
        /// More or fewer fields than columns.
        Fields "fields" { n: usize as count, columns: usize as count },
        /// A row that is no CSV.
        NoRow "no-row",
        /// A pitch range the wrong way round.
        PitchRange "pitch-range" { from: String as Text, to: String as Text },
        /// A job file in place of an equipment file.
        IsAJob "is-a-job",
        /// No equipment.
        NoEquipment "no-equipment",
        /// A blank identity.
        NoIdentity "no-identity",
        /// A piece twice in one file.
        PieceTwice "piece-twice" { kind: Kind as code, id: String as Text },
        /// Contacts of two pairs.
        MixedPair "mixed-pair" {
            one: String as Text, other: String as Text, pair: String as Text, its_one: String as Text, its_other: String as Text,
        },
        /// An identity alone that the register has not.
        Unregistered "unregistered" { kind: Kind as code, section: String as Text, id: String as Text },
        /// The same, where the register has an identity that is nearly that.
        UnregisteredNear "unregistered-near" { kind: Kind as code, section: String as Text, id: String as Text, known: Vec<String> as one_of },
        /// A thermometer that the register has not.
        NoThermometer "no-thermometer" { id: String as Text },
        /// The same, where the register has an identity that is nearly that.
        NoThermometerNear "no-thermometer-near" { id: String as Text, known: Vec<String> as one_of },
        /// A description that is not whole.
        NotDescribed "not-described" { id: String as Text, key: String as Text },
        /// More readings than one job takes.
        TooManyReadings "too-many-readings" { found: usize as count, most: usize as count },
        /// A file that is too large.
        TooLarge "too-large" { most: u64 as Count },
    }
}

metrology::messages! {
    /// What should be known of a file that was taken.
    pub enum FileNote "jobfile" {
        /// A piece that the register describes otherwise.
        Contradiction "contradiction" { file: String as Text, kind: Kind as code, id: String as Text, what: Contradiction as said },
        /// Readings that went round more than once by their step, and the step by which they went round once, degrees.
        SamePosition "same-position" { step: f64 as Degrees, again: usize as count, n: usize as count, once: f64 as Degrees },
        /// A time without an offset.
        TimeOfHere "time-of-here" { text: String as Text, zone: String as Text, at: Timestamp as Time },
    }
}

/// Something wrong on a line of a file of readings, in this column of it.
pub fn on_line(path: &Path, line: usize, column: Option<&str>, reason: impl Say) -> Error {
    Error::Wrong(Box::new(Fault {
        file: Some(InFile {
            path: path.to_owned(),
            line,
            column: None,
        }),
        section: None,
        field: column.map(str::to_owned),
        reason: reason.message(),
    }))
}
