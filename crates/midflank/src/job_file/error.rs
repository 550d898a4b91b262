//! What can be wrong with a job file, an equipment file or a file of readings.

use std::io;
use std::path::{Path, PathBuf};

use jiff::civil::Date;
use metrology::message::{Message, Say};
use metrology::units::{Entered, LengthUnit};

use super::place;
use crate::register::Kind;
use crate::say;
use crate::words::{self, Shown};

/// A file that cannot be taken.
#[derive(Debug)]
pub enum JobFileError {
    /// Not there, or not readable.
    Read {
        /// Which file.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// The register that it leans on cannot be read; in words.
    Register(String),
    /// Something in it is wrong.
    Wrong(Box<Fault>),
}

/// What is wrong in a file, and where.
#[derive(Clone, Debug)]
pub struct Fault {
    /// Which file.
    pub path: PathBuf,
    /// Line, from 1.
    pub line: usize,
    /// Column, from 1; none where the whole line is meant.
    pub column: Option<usize>,
    /// The section, such as `instrument.error_curve`; none above all sections and in a file of readings.
    pub section: Option<String>,
    /// The key, or the column of a file of readings.
    pub field: Option<String>,
    /// What is wrong and what would be right.
    pub reason: Message,
}

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
        /// A crimp without limits.
        NoCrimpLimits "no-crimp-limits",
        /// A tolerance with a sign.
        SignedTolerance "signed-tolerance",
        /// Nominal, tolerance and limits mixed.
        MixedLimits "mixed-limits",
        /// A keyseat without its convention.
        NoConvention "no-convention" { known: Vec<&'static str> as one_of },
        /// A crimp without its sheet.
        NoSheet "no-sheet",
        /// A crimp without its wire, or with two.
        NoWire "no-wire",
        /// Places stated beside a file or sections that state their own.
        PlacesTwice "places-twice",
        /// A step that does not turn the part.
        NoStep "no-step" { text: String as Text },
        /// No readings, or two kinds of them.
        NoReadings "no-readings",
        /// A file of readings whose last line is not whole.
        CutLine "cut-line" { reading: Entered as Entered },
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
        /// A description that is not whole.
        NotDescribed "not-described" { id: String as Text, key: String as Text },
        /// Neither kind of errors of a micrometer, or both.
        InstrumentErrors "instrument-errors",
        /// More readings than one job takes.
        TooManyReadings "too-many-readings" { found: usize as count, most: usize as count },
        /// A file that is too large.
        TooLarge "too-large" { most: u64 as Count },
    }
}

impl JobFileError {
    /// Something wrong at a byte of a file of sections and keys.
    pub fn at(path: &Path, text: &str, offset: usize, reason: impl Say) -> Self {
        let (line, column) = place::line_and_column(text, offset);
        let (section, field) = place::named(text, offset);
        Self::Wrong(Box::new(Fault {
            path: path.to_owned(),
            line,
            column: Some(column),
            section,
            field,
            reason: reason.message(),
        }))
    }

    /// Something wrong on a line of a file of readings, in this column of it.
    pub fn on_line(path: &Path, line: usize, column: Option<&str>, reason: impl Say) -> Self {
        Self::Wrong(Box::new(Fault {
            path: path.to_owned(),
            line,
            column: None,
            section: None,
            field: column.map(str::to_owned),
            reason: reason.message(),
        }))
    }

    /// The same about this key, which is missing or stands elsewhere.
    pub fn about(mut self, key: &str) -> Self {
        if let Self::Wrong(fault) = &mut self {
            fault.field = Some(key.to_owned());
        }
        self
    }

    /// What is wrong, without the place.
    pub fn sentence(&self) -> String {
        self.worded(words::message)
    }

    /// The same on a page, which shows neither file nor keys.
    pub fn on_page(&self) -> String {
        self.worded(words::on_page)
    }

    fn worded(&self, said: fn(&Message, Shown) -> String) -> String {
        match self {
            Self::Read { path, source } => {
                say!("command.cannot-read", file = path.display(), why = source)
            }
            Self::Register(words) => words.clone(),
            Self::Wrong(fault) => said(&fault.reason, Shown::in_unit(LengthUnit::Millimetre)),
        }
    }

    /// The place, and what is wrong.
    pub fn told(&self) -> String {
        let sentence = self.sentence();
        match self {
            Self::Wrong(fault) => match fault.column {
                Some(column) => format!(
                    "{}:{}:{column}: {sentence}",
                    fault.path.display(),
                    fault.line
                ),
                None => format!("{}:{}: {sentence}", fault.path.display(), fault.line),
            },
            Self::Read { .. } | Self::Register(_) => sentence,
        }
    }
}
