//! A line that does nothing.

use jiff::civil::Date;
use metrology::inspection::State;
use metrology::message::{Message, Say};
use metrology::thread::ThreadError;
use metrology::units::{Entered, EntryError, LengthUnit};

use crate::error::{Error, Why};

/// A line that does nothing: what is wrong, and what would be right.
#[derive(Clone, Debug, PartialEq)]
pub struct Refusal {
    pub why: Why,
    /// Designations or lines that would be right.
    pub suggestions: Vec<String>,
}

metrology::messages! {
    /// Why a line is not taken, or a piece not offered.
    pub enum Refused "bench" {
        /// Something is missing that the question rests on.
        NotComplete "not-complete",
        /// The line is longer than any answer.
        LineTooLong "line-too-long" { limit: usize as count },
        /// Characters that do not show.
        HiddenCharacters "hidden-characters",
        /// Nothing was named to measure.
        DesignationMissing "designation-missing",
        /// A number where a thread or a size is named.
        NumberAlone "number-alone" { line: String as Text },
        /// Words at the first question that are no thread and no feature.
        NothingKnown "nothing-known" { line: String as Text },
        /// A decimal number where a name is asked for.
        NumberForName "number-for-name" { line: String as Text },
        /// The part has no name.
        NameMissing "name-missing",
        /// Nobody is named.
        PersonMissing "person-missing",
        /// The next sample is not named.
        SampleMissing "sample-missing",
        /// No reason, or none to speak of.
        ReasonMissing "reason-missing",
        /// The same for a reading that looks like a mistake.
        FlagUnanswered "flag-unanswered",
        /// One word or a code where a reason is wanted.
        NoReason "no-reason" { line: String as Text },
        /// No reading.
        ReadingMissing "reading-missing",
        /// Something else than a reading.
        NoReading "no-reading" { why: EntryError as said },
        /// A reading in another unit than the micrometer's.
        OtherUnit "other-unit" { text: String as Text, unit: LengthUnit as Unit },
        /// A reading that the micrometer cannot show.
        CannotShow "cannot-show" { id: String as Text, from: Entered as Entered, to: Entered as Entered, text: String as Text },
        /// A reading that is what is measured if the micrometer shows the other unit.
        InOtherUnit "in-other-unit" { reading: Entered as Entered, size: Entered as Entered, unit: LengthUnit as Unit, other: LengthUnit as Unit },
        /// The same where the unit of the job may still be changed.
        InOtherUnitAtFirst "in-other-unit-at-first" { reading: Entered as Entered, size: Entered as Entered, unit: LengthUnit as Unit, other: LengthUnit as Unit, line: String as Text },
        /// A reading of a number that there is not.
        NoSuchReading "no-such-reading" { number: usize as count },
        /// No number.
        NotANumber "not-a-number" { text: String as Text },
        /// No number of things.
        NoCount "no-count" { text: String as Text },
        /// No unit of a display.
        UnitWanted "unit-wanted",
        /// No temperature.
        TemperatureWanted "temperature-wanted",
        /// One number and nothing else where temperatures are asked for.
        TemperatureAlone "temperature-alone" { line: String as Text },
        /// A material that is not known.
        NoSuchMaterial "no-such-material" { given: String as Text, known: String as Text },
        /// No thermometer of that identity.
        NoSuchThermometer "no-such-thermometer" { text: String as Text },
        /// Enter where a signature is wanted.
        NotSigned "not-signed",
        /// A name was typed, and nobody signed.
        NotSignedBy "not-signed-by" { name: String as Text },
        /// Something else at the end.
        AtRecorded "at-recorded",
        /// Something else beside a job that is parked.
        AtParked "at-parked",
        /// No job is parked.
        NothingParked "nothing-parked",
        /// A job that is not parked.
        NotParked "not-parked" { job: u64 as Count },
        /// Several are parked, and none was named.
        WhichParked "which-parked",
        /// A job that is under way at this station.
        UnderWayHere "under-way-here" { job: u64 as Count },
        /// The same at another station.
        UnderWayAt "under-way-at" { job: u64 as Count, station: String as Text },
        /// A job that another station took up in the meantime.
        TakenUpMeanwhile "taken-up-meanwhile" { job: u64 as Count },
        /// A command that does nothing here.
        NotNow "not-now" { word: String as Text },
        /// Neither a command nor an answer.
        NotUnderstood "not-understood" { text: String as Text },
        /// A job is to be given up.
        SurelyDrop "surely-drop" { line: String as Text },
        /// One that has readings.
        SurelyDropWithReadings "surely-drop-with-readings" { n: usize as count, line: String as Text },
        /// A study is to be ended before all its readings are taken.
        SurelyEnd "surely-end" { n: usize as count, of: usize as count, line: String as Text },
        /// An earlier reading than the last one of a study.
        LastAlone "last-alone",
        /// No piece is fit.
        NothingFit "nothing-fit",
        /// No piece of that identity.
        NoSuchPiece "no-such-piece" { text: String as Text },
        /// A piece that is not fit.
        Unfit "unfit" { id: String as Text, why: Message as said },
        /// The same for the next part.
        UnfitForNext "unfit-for-next" { id: String as Text, why: Message as said },
        /// A piece is out of use.
        OutOfUse "out-of-use" { state: State as code },
        /// A piece that gives no verdict, whatever is said for it.
        Barred "barred" { state: State as code },
        /// Its calibration is overdue.
        Overdue "overdue" { due: Date as Date },
        /// It may be used for other things only.
        Limited "limited" { uses: Vec<String> as texts, what: String as Text },
        /// The part lies outside the range of the micrometer.
        PartOutOfRange "part-out-of-range" { from: Entered as Entered, to: Entered as Entered },
        /// No wires lie between these faces and the thread.
        NoWires "no-wires",
        /// Flat faces and wires in a study that compares with known sizes.
        StudyOverWires "study-over-wires",
        /// A feature was named and no limits.
        LimitsMissing "limits-missing" { name: String as Text },
        /// The same of a feature whose limits are those of a sheet.
        LimitsOfSheetMissing "limits-missing-crimp",
        /// What was asked of a feature needs an answer.
        AnswerMissing "answer-missing",
        /// A list that ends too soon.
        ListTooShort "list-too-short" { count: usize as count, n: usize as count },
        /// A badge where nobody signs.
        BadgeHere "badge-here" { name: String as Text },
        /// The lot is known and its samples do not count on by themselves.
        SampleWanted "sample-wanted" { lot: String as Text },
        /// Limits of what looks like a thread and is none.
        NoThread "no-thread" { name: String as Text, why: ThreadError as said },
        /// A lot of which all samples are on the record.
        LotComplete "lot-complete" { lot: String as Text, sample: String as Text },
        /// An uncertainty that is a good part of its size.
        UncertaintyTooLarge "uncertainty-too-large" { uncertainty: String as Text, size: String as Text },
        /// None of those there are.
        NoSuchChoice "no-such-choice" { text: String as Text, known: String as Text },
        /// Nothing that can be named here.
        NoSuchName "no-such-name" { text: String as Text, known: String as Text },
        /// No two different distances along the part.
        SectionsWanted "sections-wanted",
        /// One of two limits that go together.
        OneOfTwoLimits "both-limits-of-compression",
        /// A piece of a lot that has a result already.
        PieceMeasured "piece-measured" { name: String as Text, line: String as Text },
        /// Pieces wait for the zero check.
        CheckFirst "check-first" { n: usize as count },
        /// Something else than Enter where a run stops.
        AtStop "at-stop",
        /// Something else than more readings where a piece has no size.
        AtNoSize "at-no-size",
        /// Neither yes nor no.
        YesOrNo "yes-or-no",
        /// A number where a piece is looked at.
        NumberByEye "number-by-eye" { given: String as Text },
        /// A size in a document beyond the limits of what it is to conform to.
        PastLimit "past-limit" { size: Entered as Entered, limit: Entered as Entered, line: String as Text },
        /// No lot of that number.
        NoSuchLot "no-such-lot" { number: String as Text },
        /// Neither a lot of that number nor a thread or feature.
        NeitherLotNorThread "neither-lot-nor-thread" { number: String as Text, why: Message as said },
        /// Nobody is known who begins it.
        BegunBy "begun-by" { line: String as Text },
        /// A characteristic that the plan has not.
        NoSuchCharacteristic "no-such-characteristic" { number: String as Text, known: Vec<String> as one_of },
        /// A characteristic that another station is at.
        CharacteristicElsewhere "characteristic-elsewhere" { number: String as Text, station: String as Text },
        /// All characteristics of a lot are done or under way elsewhere.
        NothingOpen "nothing-open" { number: String as Text },
        /// A reading of the setting standard where one of the part is asked for.
        OfStandard "of-standard" { reading: Entered as Entered, id: String as Text },
        /// The same reading again at once.
        SentTwice "sent-twice" { text: String as Text },
    }
}

impl Refusal {
    pub fn new(what: impl Say) -> Self {
        Self::of(Why::of(what))
    }

    /// As the calculation or the intake says it.
    pub fn said(error: &impl Say) -> Self {
        Self::of(Why::of(error.message()))
    }

    pub const fn of(why: Why) -> Self {
        Self {
            why,
            suggestions: Vec::new(),
        }
    }
}

impl From<Error> for Refusal {
    /// What the intake refuses.
    fn from(error: Error) -> Self {
        match error {
            Error::Wrong(fault) => Self::new(fault.reason),
            Error::Input(why) | Error::Outside(why) => Self::of(why),
            Error::Ledger(_)
            | Error::Unreadable { .. }
            | Error::Several(_)
            | Error::Register(_) => Self::new(Refused::NotComplete),
        }
    }
}
