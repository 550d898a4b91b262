//! What is wrong with a job, and what would be right.

use super::equipment::ContactKind;
use super::field::Right;
use super::of_thread::ThreadDiameter;
use super::warning::{Overridden, Warning};

use crate::coating::{CoatingError, Conflict, ThicknessError};
use crate::contacts::MisfitError;
use crate::correction::CurveError;
use crate::decision::DecisionError;
use crate::designation::ThreadError;
use crate::elastic::ElasticError;
use crate::limits::{Place, TaperError};
use crate::message::{Code, Message, Value};
use crate::uncertainty::monte_carlo::MonteCarloError;
use crate::uncertainty::{BudgetError, CoverageError};
use crate::units::{Entered, EntryError, Length, LengthError, LengthUnit};
use crate::wires::SeatError;

crate::messages! {
    /// A job that cannot give a result.
    pub enum JobError "job" {
        /// The designation is of no thread.
        Designation "designation" { error: ThreadError as said },
        /// A thread whose standard sets no limits for this diameter.
        NoLimits "no-limits" { designation: String as Text, diameter: ThreadDiameter as code },
        /// A taper thread has another diameter at every place of its axis.
        TaperWithoutPosition "taper-without-position" {
            designation: String as Text, diameter: ThreadDiameter as code, positions: Vec<Place> as codes,
            plane: Place as code,
        },
        /// What the drawing says beside the designation, and cannot be so.
        Terms "terms" { error: TermsError as said },
        /// A stated size without limits.
        NoStatedLimits "no-stated-limits",
        /// A lower limit above the upper one.
        LimitsReversed "limits-reversed" { lower: Entered as Entered, upper: Entered as Entered },
        /// The same of percentages.
        PercentsReversed "percents-reversed" { lower: f64 as number, upper: f64 as number },
        /// A length that must be above zero.
        NotPositive "not-positive" { field: Code as code, value: Entered as Entered },
        /// A length that cannot be below zero.
        Negative "negative" { field: Code as code, value: Entered as Entered },
        /// A coverage factor as no certificate states it.
        CoverageFactor "coverage-factor" { field: Code as code, k: f64 as number },
        /// A number beyond what can be meant.
        Number "number" { field: Code as code, value: f64 as number, right: Right as code },
        /// The range of a micrometer that does not rise.
        Range "range" { id: String as Text, from: Entered as Entered, to: Entered as Entered },
        /// A standard that the micrometer cannot be set on.
        StandardOutsideRange "standard-outside-range" {
            id: String as Text, size: Entered as Entered, instrument: String as Text, from: Entered as Entered,
            to: Entered as Entered,
        },
        /// The part has no name.
        NoPart "no-part",
        /// A reading struck out for no reason.
        StruckWithoutReason "struck-without-reason" { reading: Entered as Entered },
        /// A reading that was struck for a typed reason, counts all the same and looks like a mistake.
        StruckCounts "struck-counts" { reading: Entered as Entered },
        /// A flagged reading left for no reason.
        LeftWithoutReason "left-without-reason" { reading: Entered as Entered },
        /// A reading left that is none of the readings.
        LeftNotRead "left-not-read" { reading: Entered as Entered },
        /// `4` for `4um`.
        TooLarge "too-large" { field: Code as code, value: Entered as Entered, probably: Value as itself },
        /// A zero reading far from the certified size.
        ZeroFarFromStandard "zero-far-from-standard" { reading: Entered as Entered, standard: Entered as Entered },
        /// A measured half angle far from that of the thread.
        HalfAngle "half-angle" { given: f64 as Degrees, nominal: f64 as Degrees },
        /// All readings in another unit than they are given in.
        OtherUnit "other-unit" {
            n: usize as count, reading: Entered as Entered, unit: LengthUnit as Unit, other: LengthUnit as Unit,
        },
        /// A reading that the micrometer cannot show.
        ReadingOutsideRange "reading-outside-range" {
            number: usize as count, reading: Entered as Entered, instrument: String as Text, from: Entered as Entered,
            to: Entered as Entered,
        },
        /// The same of a whole number, which may be half of a decimal comma.
        WholeReadingOutsideRange "whole-reading-outside-range" {
            number: usize as count, reading: Entered as Entered, instrument: String as Text, from: Entered as Entered,
            to: Entered as Entered,
        },
        /// A set-up whose reading its micrometer cannot show, millimetres.
        ExpectedOutsideRange "expected-outside-range" {
            id: String as Text, from: Entered as Entered, to: Entered as Entered, reading: f64 as Size,
        },
        /// A temperature that was read in degrees Fahrenheit, and what it is in degrees Celsius.
        TooHot "too-hot" { degrees: f64 as Celsius, celsius: f64 as Celsius },
        /// A temperature below that of any room where one measures.
        TooCold "too-cold" { degrees: f64 as Celsius, coldest: f64 as Celsius },
        /// Wires that do not suit the job.
        WiresUnfit "wires-unfit" { id: String as Text, why: WiresUnfit as said },
        /// No measuring force is known, and none is customary for the pitch.
        ForceNotStated "force-not-stated",
        /// A material without elastic constants.
        NoElasticConstants "no-elastic-constants" { material: String as Text },
        /// No reading on the standard.
        NoZero "no-zero" { standard: String as Text },
        /// Zero was set with another pair of contacts.
        ZeroOfOtherPair "zero-of-other-pair" { zero: String as Text, contacts: String as Text, standard: String as Text },
        /// No zero for a reason, and nothing said of how far it may be off.
        ZeroAllowance "zero-allowance",
        /// A rule put aside for no reason.
        EmptyReason "empty-reason" { of: Overridden as code },
        /// Equipment that may not be used.
        Blocked "blocked" { why: Box<Warning> as said },
        /// A standard that does not set zero for these contacts.
        StandardUnfit "standard-unfit" { id: String as Text, contacts: String as Text, why: StandardUnfit as code },
        /// Contacts that do not suit the job.
        ContactsUnfit "contacts-unfit" { id: String as Text, why: Message as said },
        /// What is wrong with the description of a feature, or with its readings.
        Feature "feature" { error: Message as said },
        /// A pitch that is none.
        PitchRange "pitch-range" { text: String as Text },
        /// No reading of the part.
        NoReadings "no-readings",
        /// A place without readings.
        EmptyPlace "empty-place",
        /// One reading, and nothing known of its scatter.
        OneReading "one-reading",
        /// Readings in two units.
        MixedUnits "mixed-units" { one: Entered as Entered, other: Entered as Entered },
        /// Too few degrees of freedom.
        DegreesOfFreedom "degrees-of-freedom" { value: f64 as number },
        /// A material that is not in the table.
        Material "material" { name: String as Text, known: Vec<String> as texts },
        /// An error curve that is none, or does not reach.
        Curve "curve" { error: CurveError as said },
        /// A result that is no length.
        Result "result" { error: LengthError as said },
        /// A number that is no length.
        Entry "entry" { error: EntryError as said },
        /// No decision can be made.
        Rule "rule" { error: DecisionError as said },
        /// No budget can be made.
        Budget "budget" { error: BudgetError as said },
        /// No coverage factor can be found.
        Coverage "coverage" { error: CoverageError as said },
        /// A coverage factor beyond any use.
        CoverageFound "coverage-found" { k: f64 as number },
        /// Nothing can be propagated.
        MonteCarlo "monte-carlo" { error: MonteCarloError as said },
        /// Contacts that do not sit in the groove.
        Contact "contact" { error: MisfitError as said },
        /// Wires that do not sit in the groove.
        Wires "wires" { error: SeatError as said },
        /// No deformation can be computed.
        Elastic "elastic" { error: ElasticError as said },
    }
}

crate::codes! {
    /// Why a standard does not set zero for contacts other than V and cone.
    pub enum StandardUnfit "standard-unfit" {
        /// Contacts closed on each other that are not stated as zero.
        ClosedSize "closed-size",
        /// Made for V and cone.
        ForVAndCone "for-v-and-cone",
    }
}

/// Kinds of errors that a job passes on.
macro_rules! passed_on {
    ($($variant:ident $kind:ty),* $(,)?) => {
        $(
            impl From<$kind> for JobError {
                fn from(error: $kind) -> Self {
                    Self::$variant { error }
                }
            }
        )*
    };
}
passed_on! {
    Designation ThreadError, Curve CurveError, Result LengthError, Entry EntryError,
    Rule DecisionError, Budget BudgetError, Coverage CoverageError, MonteCarlo MonteCarloError, Contact MisfitError,
    Wires SeatError, Elastic ElasticError,
}

impl From<TermsError> for JobError {
    fn from(error: TermsError) -> Self {
        Self::Terms { error }
    }
}

crate::messages! {
    /// Why wires do not show what is measured, and what would.
    pub enum WiresUnfit "wires-unfit" {
        /// No thread is named.
        NoThread "no-thread",
        /// An internal thread, or another diameter.
        NotPitchDiameter "not-pitch-diameter",
        /// Contacts other than flat faces.
        NotFlat "not-flat" { contacts: String as Text, kind: ContactKind as code },
        /// A standard that is not for flat faces.
        NotPlain "not-plain" { standard: String as Text },
        /// A diameter that does not touch the flanks, and those that do.
        Diameter "diameter" {
            diameter: Entered as Entered, smallest: f64 as Size, largest: f64 as Size,
            best: f64 as Size,
        },
        /// At no size within the limits do they stand clear above the largest crests.
        BelowCrests "below-crests" { diameter: Entered as Entered, over: f64 as Size, crest: f64 as Size, best: f64 as Size },
        /// At every size within the limits they touch further out than the smallest crests reach.
        OnCrestEdges "on-crest-edges" { diameter: Entered as Entered, touch: f64 as Size, crest: f64 as Size, best: f64 as Size },
    }
}

crate::messages! {
    /// What cannot be with a thread and what the drawing says beside its designation.
    pub enum TermsError "terms" {
        /// A plane of a thread without taper.
        PlaneOnParallel "plane-on-parallel" { designation: String as Text },
        /// Another diameter of a taper thread than the pitch diameter.
        TaperDiameter "taper-diameter" { designation: String as Text, diameter: ThreadDiameter as code },
        /// Neither a length nor a plane that the standard names.
        NoSuchPlane "no-such-plane" { plane: String as Text, known: Vec<Place> as codes, error: EntryError as said },
        /// A plane beyond the thread.
        Outside "plane-outside" { error: TaperError as said },
        /// A plane where the standard has no limits: they end at `last`, or it states none at all.
        NoLimitsThere "no-limits-there" { designation: String as Text, at: Entered as Entered, last: Entered as Entered },
        /// Places of a taper thread of which one does not say where it lies.
        PlaceNowhere "place-nowhere" { number: usize as count },
        /// Turned places of a taper thread at one distance from its end.
        SamePlane "same-plane" { along: String as Text, rises: f64 as Size },
        /// A coating that is none.
        Thickness "thickness" { error: ThicknessError as said },
        /// A coating of which no limits can be told.
        Coating "coating" { error: CoatingError as said },
        /// The same, and the drawing must say which state its limits hold in.
        StateUnknown "state-unknown" { error: CoatingError as said },
        /// A coating that does not fit the limits.
        Conflict "conflict" { conflict: Conflict as said },
        /// Own limits of the bare thread whose thinnest coating is thicker than what is left to the basic size of the pitch diameter.
        TooThick "too-thick" { least: Length as thickness, needed: Length as thickness, left: Length as thickness },
        /// Own limits of the bare thread, and the coated one is measured.
        OwnBeforeOnly "own-before-only",
    }
}
