//! What is made of a difference: its causes, ranked.

use crate::contacts::MisfitError;
use crate::elastic::ElasticError;
use crate::range::OutOfRange;
use crate::source::Confidence;
use crate::wires::SeatError;

crate::codes! {
    /// Which of the two results carries a cause.
    pub enum Carrier "carrier" {
        First "first",
        Second "second",
    }
}

crate::codes! {
    /// A cause of error of one result.
    pub enum CauseName "cause" {
        /// The flank angle of the part under cone and V.
        PartFlanks "part-flank-angle",
        /// The flank angle of the contacts, which closing them hides.
        ContactFlanks "contact-flank-angle",
        /// Contacts worn where threads touch them.
        Wear "wear",
        /// The lead angle under cone and V.
        LeadAngle "lead-angle",
        /// A V that does not turn to the lead angle.
        VeeLocked "v-locked",
        /// Local width of groove and ridge.
        LocalWidth "local-width",
        /// The calibrated diameter of the wires.
        WireDiameter "wire-diameter",
        /// The pitch, which the wire formula takes as nominal.
        Pitch "pitch",
        /// The flank angle under wires of nearly best size.
        FlanksBestWire "flank-angle-best-wire",
        /// The flank angle under other wires.
        FlanksOtherWire "flank-angle-other-wire",
        /// The lead angle, left out of the wire formula.
        LeadLeftOut "lead-left-out",
        /// The measuring force on the wires.
        Force "force",
        /// The zero of the instrument.
        Zero "zero",
        /// The place on the part: taper and ovality.
        Place "place",
        /// The temperature of the part.
        Temperature "temperature",
        /// The repeatability of the readings.
        Repeatability "repeatability",
    }
}

crate::codes! {
    /// The check that would tell a cause.
    pub enum Check "cause-check" {
        /// Measure the flank angle, or try shorter flanks.
        FlankAngle "flank-angle",
        /// Read a master plug of the same pitch.
        MasterPlug "master-plug",
        /// Read a master plug and compare with earlier readings of it.
        MasterPlugHistory "master-plug-history",
        /// See that the V turns.
        TurnVee "turn-v",
        /// Move on by one pitch and turn by half a turn.
        NextGroove "next-groove",
        /// Measure the wires.
        Wires "wires",
        /// Measure the pitch.
        Pitch "pitch",
        /// Repeat with wires of best size.
        BestWires "best-wires",
        /// Compute the size with the exact contact.
        ExactContact "exact-contact",
        /// Repeat with half the force.
        HalfForce "half-force",
        /// Set zero again.
        SetZero "set-zero",
        /// Read both at one place.
        SamePlace "same-place",
        /// Lay everything together.
        Together "together",
        /// Five readings by each person.
        FiveReadings "five-readings",
    }
}

crate::codes! {
    /// A length that is misread at a thimble or sleeve.
    pub enum Turns "turns" {
        /// One turn of a metric thimble, 0.5 mm.
        OneMetric "one-metric",
        /// One turn of an inch thimble, 0.025 in.
        OneInch "one-inch",
        /// Two turns of a metric thimble, 1 mm.
        TwoMetric "two-metric",
        /// Two turns of an inch thimble, 0.050 in.
        TwoInch "two-inch",
        /// A numeral of an inch sleeve, 0.1 in.
        Numeral "numeral",
    }
}

/// A cause of the difference; sizes are its part of (first − second), millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cause {
    /// What it is.
    pub name: CauseName,
    /// The result that carries it.
    pub carrier: Carrier,
    /// What it gives on average.
    pub expected_mm: f64,
    /// One standard deviation about that.
    pub spread_mm: f64,
    /// Its likely part of the difference that was seen.
    pub likely_mm: f64,
    /// The one check that would tell.
    pub check: Check,
    /// Computed, or from practice.
    pub confidence: Confidence,
}

/// The causes, the likeliest first.
#[derive(Clone, Debug, PartialEq)]
pub struct Reconciliation {
    /// First minus second, millimetres.
    pub difference_mm: f64,
    /// What all causes together give on average, millimetres.
    pub expected_mm: f64,
    /// How far the difference is from that, in standard deviations of all causes together. Above 3 none of these is
    /// it: look for a mistake.
    pub surprise: f64,
    /// A whole number of thimble turns that is as large as the difference, if there is one.
    pub thimble_turns: Option<Turns>,
    pub causes: Vec<Cause>,
}

crate::messages! {
    /// Why no causes are given.
    #[derive(Copy)]
    pub enum ReconcileError "reconcile-error" {
        /// A number is out of range, or not a number.
        Input "input" { error: OutOfRange as said },
        /// The wires do not seat in this thread.
        Seat "seat" { error: SeatError as said },
        /// The contacts do not measure this thread.
        Misfit "misfit" { error: MisfitError as said },
        /// The deformation could not be computed.
        Elastic "elastic" { error: ElasticError as said },
    }
}

impl From<OutOfRange> for ReconcileError {
    fn from(error: OutOfRange) -> Self {
        Self::Input { error }
    }
}

impl From<SeatError> for ReconcileError {
    fn from(error: SeatError) -> Self {
        Self::Seat { error }
    }
}

impl From<MisfitError> for ReconcileError {
    fn from(error: MisfitError) -> Self {
        Self::Misfit { error }
    }
}

impl From<ElasticError> for ReconcileError {
    fn from(error: ElasticError) -> Self {
        Self::Elastic { error }
    }
}
