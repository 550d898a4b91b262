//! The warnings that can stand beside a result, as codes with numbers.

use jiff::civil::Date;

use super::approval::{DefaultName, NotFoundAt};
use super::model::Quantity;
use super::of_thread::Made;
use super::state::State;
use crate::coating::CoatingAssumed;
use crate::decision::Verdict;
use crate::designation::Assumed;
use crate::limits::Dispute;
use crate::message::Value;
use crate::source::Confidence;
use crate::units::{Entered, Length};

crate::messages! {
    /// What the person who signs ought to know beside the result.
    pub enum Warning "warning" {
        /// Readings look like mistakes and were not taken again.
        Flagged "flagged" { n: usize as count },
        /// The size would fit another thread.
        OtherThread "other-thread" {
            millimetres: f64 as InMillimetres, inches: f64 as InInches, others: Vec<OtherThread> as all_said,
            thread: String as Text, other: String as Text, other_pitch: Value as itself, pitch: Value as itself,
        },
        /// Outside its limits by the convention that was stated, within them by another.
        OtherConvention "other-convention" { stated: Value as itself, other: Value as itself, size: f64 as Size },
        /// A stated depth of a groove that is not the one that the diameters of land and floor give.
        OtherDepth "other-depth" {
            depth: Entered as Entered, land: Entered as Entered, floor: f64 as Size, reckoned: f64 as Size, allowed: f64 as Difference,
        },
        /// Accepted by a guard band that counts on more readings than there are.
        NotProven "not-proven" { probability: f64 as Probability, degrees_of_freedom: f64 as number },
        /// No closing zero check.
        ZeroOpen "zero-open" { limit: f64 as Difference },
        /// The zero moved by more than the limit during the job.
        ZeroMoved "zero-moved" { by: f64 as Difference, limit: f64 as Difference },
        /// The zero lies far from the certified size of the standard.
        ZeroFar "zero-far" { by: f64 as Difference, standard: String as Text },
        /// The zero lies far from where this pair last stood.
        ZeroStepped "zero-stepped" { by: f64 as Difference, from: f64 as Difference, limit: f64 as Difference, standard: String as Text },
        /// The readings of one zero check lie too far apart.
        ZeroRange "zero-range" { check: ZeroCheck as code, range: f64 as Difference, limit: f64 as Difference },
        /// Part of the circumference was not measured.
        NotAllAround "not-all-around" { from: f64 as Degrees, to: f64 as Degrees },
        /// An inside diameter of which no two walls are opposite: the mean alone was judged.
        NoneOpposite "none-opposite",
        /// A rule was put aside for a stated reason.
        Overridden "overridden" { what: Overridden as code, reason: String as Text },
        /// Equipment past its due date, used for a stated reason.
        Overdue "overdue" { what: Piece as code, id: String as Text, due: Date as Date, used: Date as Date },
        /// An approved value whose review is overdue: the program's default was taken.
        ApprovalOverdue "approval-overdue" { what: DefaultName as code, person: String as Text, due: Date as Date, used: Date as Date },
        /// These readings scatter by more than the approved uncertainty that decides.
        OwnExceeded "own-exceeded" { shown: f64 as Difference, own: f64 as Difference },
        /// An approved uncertainty whose review is overdue: the larger decided.
        OwnOverdue "own-overdue" { person: String as Text, due: Date as Date, used: Date as Date },
        /// An approved uncertainty that was found at other sizes or temperatures: the larger decided.
        OwnNotHeld "own-not-held" { person: String as Text, why: NotFoundAt as said },
        /// An approved study whose review is overdue: what is usual was taken.
        StudyOverdue "study-overdue" { study: String as Text, person: String as Text, due: Date as Date, used: Date as Date },
        /// The repeats contradict the repeatability stated from earlier series: the larger was taken.
        PriorExceeded "prior-exceeded" { shown: f64 as Difference, stated: f64 as Difference },
        /// This job scatters by more than an approved study allows for: the larger was taken.
        StudyExceeded "study-exceeded" { study: String as Text, shown: f64 as Difference, approved: f64 as Difference },
        /// An approved study of the set-up that measured something else: it was not taken.
        StudyOfOther "study-of-other" { study: String as Text, measured: String as Text },
        /// An approved study of the set-up for the same at other sizes: it was not taken.
        StudyOfOtherSizes "study-of-other-sizes" { study: String as Text, from: Entered as Entered, to: Entered as Entered },
        /// Equipment out of use, used for a stated reason.
        OutOfUse "out-of-use" { what: Piece as code, id: String as Text, state: State as code },
        /// Equipment without a due date.
        NoDueDate "no-due-date" { what: Piece as code, id: String as Text },
        /// Zero was set with the contacts closed on each other.
        ClosedZero "closed-zero",
        /// The uncertainty takes a large part of the tolerance.
        LargeUncertainty "large-uncertainty" { share: f64 as Share, tolerance: f64 as Difference, line: Quantity as code },
        /// One step of the display is a large part of the tolerance.
        CoarseDisplay "coarse-display" { share: f64 as Share },
        /// The model is not linear over the uncertainty of its inputs.
        NotLinear "not-linear" { second_order: f64 as Difference, first_order: f64 as Difference },
        /// The interval of the Monte Carlo trials ends elsewhere than that of the budget, by up to so much.
        TrialsDiffer "trials-differ" { up_to: f64 as Difference },
        /// Fewer than three readings.
        FewReadings "few-readings" { n: usize as count },
        /// Every reading is the same to the last digit.
        AllAlike "all-alike" { n: usize as count, reading: Entered as Entered },
        /// A reading that was struck stands among those that count.
        StruckCounts "struck-counts" { reading: Entered as Entered },
        /// Struck readings that agree with each other, what size they give and what would be decided on it.
        StruckAgree "struck-agree" {
            n: usize as count, least: Entered as Entered, most: Entered as Entered, size: f64 as Size, verdict: Verdict as code,
        },
        /// The same where no more readings count than were struck.
        StruckOutweigh "struck-outweigh" {
            n: usize as count, least: Entered as Entered, most: Entered as Entered, size: f64 as Size, verdict: Verdict as code,
            standing: usize as count,
        },
        /// Struck readings that would each be rejected beyond one limit.
        StruckBeyond "struck-beyond" { n: usize as count, least: Entered as Entered, most: Entered as Entered },
        /// The same where no more readings count than were struck.
        StruckBeyondOutweigh "struck-beyond-outweigh" {
            n: usize as count, least: Entered as Entered, most: Entered as Entered, standing: usize as count,
        },
        /// No temperatures were read: what is allowed for instead, degrees Celsius, and kelvins between part and standard.
        NoTemperature "no-temperature" { from: f64 as Number, to: f64 as Number, apart: f64 as Kelvins, material: String as Text },
        /// Nobody says what the part is made of: another metal would move the size by so much.
        MaterialAssumed "material-assumed" { material: String as Text, other: String as Text, up_to: f64 as Difference },
        /// The part is some kelvins from the standard, and still changing.
        PartWarm "part-warm" { by: f64 as Kelvin, wait: Option<Wait> as said_if },
        /// The part is far from the temperature of the standard.
        PartFar "part-far" { by: f64 as Kelvin, wait: Option<Wait> as said_if },
        /// The setting standard is a plug of another thread.
        OtherPlug "other-plug" { standard: String as Text, size: Entered as Entered, half_angle: f64 as Minutes, up_to: f64 as Difference },
        /// Angle or pitches of a pair are not stated.
        UnmarkedPair "unmarked-pair" { unknown: Unmarked as code, pair: String as Text },
        /// Readings beyond the range that the micrometer is calibrated over.
        BeyondRange "beyond-range" { n: usize as count, reading: Entered as Entered, from: Entered as Entered, to: Entered as Entered },
        /// Readings finer than the display.
        FinerThanDisplay "finer-than-display" { n: usize as count, step: Entered as Entered },
        /// A contact that presses the part beyond its first yield, in force and greatest pressure.
        Marks "marks" {
            pressure: f64 as Megapascal, onset: f64 as Megapascal, force: f64 as Newton, material: String as Text, instead: Instead as said,
        },
        /// What the contacts lose on the part, by up to so much, is not corrected: nobody says what it hangs on.
        PressedUntold "pressed-untold" { up_to: f64 as Difference, force: f64 as Newton, material: String as Text, untold: Untold as code },
        /// Over the wires it is no more than over the largest crests: the faces may rest on these.
        WiresBelowCrests "wires-below-crests" { over: f64 as Size, crest: f64 as Size, diameter: Entered as Entered },
        /// The wires touch the flanks further out than the smallest crests reach: they may sit on the edges of these.
        WiresOnCrestEdges "wires-on-crest-edges" { touch: f64 as Size, crest: f64 as Size, diameter: Entered as Entered },
        /// With the flank angles as measured the functional size is beyond the maximum-material limit: a GO gauge does not go.
        FunctionalBeyond "functional-beyond" { functional: f64 as Size, by: f64 as Difference, limit: f64 as Size },
        /// Without the thinnest coating the thread is beyond the limit that holds before coating.
        BareBeyond "bare-beyond" { bare: f64 as Size, least: Length as thickness, limit: f64 as Size },
        /// The two-point size, without the lobing that is in the mating size, is beyond the least-material limit.
        TwoPointBeyond "two-point-beyond" { two_point: f64 as Size, lobing: f64 as Difference, limit: f64 as Size },
        /// A measuring force over wires that nobody stated.
        ForceAssumed "force-assumed" { force: f64 as Newton, confidence: Confidence as code },
        /// Flank angles taken as nominal where that matters.
        NominalFlanks "nominal-flanks" { off: f64 as Minutes, up_to: f64 as Difference, made: Made as code },
        /// The place of the plane on a taper thread within the default, where that matters.
        PlaneUsual "plane-usual" { within: f64 as Length, up_to: f64 as Difference },
        /// The scatter of one reading is not known.
        RepeatabilityUnknown "repeatability-unknown",
        /// No decision rule was named.
        RuleAssumed "rule-assumed" { rule: String as Text },
        /// The designation left something open.
        Assumed "assumed" { taken: Assumed as said },
        /// A coating left something open.
        CoatingAssumed "coating-assumed" { taken: CoatingAssumed as said },
        /// Sources differ in a limit.
        Disputed "disputed" { dispute: Dispute as said },
    }
}

crate::messages! {
    /// Another thread whose limits hold the size.
    pub enum OtherThread "other-thread" {
        /// With its limits.
        Fits "fits" { designation: String as Text, lower: Value as itself, upper: Value as itself },
    }
}

crate::messages! {
    /// What leaves no mark on a part: less force, or with the force as it is another contact.
    pub enum Instead "instead" {
        /// Less force alone.
        LessForce "less-force" { force: f64 as Newton },
        /// Or a sphere of at least this radius.
        LargerSphere "larger-sphere" { force: f64 as Newton, radius: f64 as Size },
        /// Or such a sphere, or a flat face.
        SphereOrFlat "sphere-or-flat" { force: f64 as Newton, radius: f64 as Size },
        /// Or a flat face.
        Flat "flat" { force: f64 as Newton },
        /// Or a face at least so wide along the part.
        WiderFace "wider-face" { force: f64 as Newton, face: f64 as Size },
    }
}

crate::messages! {
    /// How long to wait until a part has come to the temperature of the room.
    pub enum Wait "wait" {
        /// In still air, as method 2 has it: with a sign that says nothing.
        StillAir "still-air" { time: f64 as Seconds, within: f64 as Kelvin },
        /// In still air.
        InStillAir "in-still-air" { time: f64 as Seconds, within: f64 as Kelvins },
    }
}

crate::codes! {
    /// One of the two zero checks of a job.
    pub enum ZeroCheck "zero-check" {
        /// Before the readings.
        Before "before",
        /// After them.
        After "after",
    }
}

crate::codes! {
    /// A rule that a job may put aside for a reason.
    pub enum Overridden "overridden" {
        /// The rule on zero.
        Zero "zero",
        /// The choice of contacts.
        Contacts "contacts",
        /// The state and due dates of equipment.
        Equipment "equipment",
    }
}

crate::codes! {
    /// A piece of the set-up.
    pub enum Piece "piece" {
        Micrometer "micrometer",
        /// The pair of contacts.
        Contacts "contacts",
        /// The setting standard.
        Standard "standard",
        /// The set of wires or balls.
        Wires "wires",
        /// A GO or NOT GO gauge.
        Gauge "gauge",
        /// What the temperatures are read with.
        Thermometer "thermometer",
    }
}

crate::codes! {
    /// What nobody says of a contact on the part, so that what it loses is not corrected.
    pub enum Untold "untold" {
        /// The width of the face, or the thickness of the blade.
        Face "face",
        /// What the part is where it is touched.
        Shape "shape",
        /// How many crests carry the faces, and how wide they are.
        Crests "crests",
    }
}

crate::codes! {
    /// What a pair of contacts does not say of itself.
    pub enum Unmarked "unmarked" {
        /// Neither its angle nor its pitches.
        AngleAndPitches "angle-and-pitches",
        /// Its included angle.
        Angle "angle",
        /// The pitches that it is for.
        Pitches "pitches",
    }
}

/// The codes of warnings that no result is signed beside. It may only grow.
pub const BLOCKING: [&str; 8] = [
    "warning.zero-range",
    "warning.zero-moved",
    "warning.not-all-around",
    "warning.not-proven",
    "warning.part-far",
    "warning.struck-outweigh",
    "warning.struck-beyond-outweigh",
    "warning.beyond-range",
];

impl Warning {
    /// Whether nobody may sign the result until the work is done again.
    pub fn blocks_signature(&self) -> bool {
        BLOCKING.contains(&self.code())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A result that could not be signed under one build must not be signed under the next: codes may join the list, and
    /// none may leave it.
    #[test]
    fn codes_that_block_a_signature_block_it_for_good() {
        for code in [
            "warning.zero-range",
            "warning.zero-moved",
            "warning.not-all-around",
            "warning.not-proven",
            "warning.part-far",
            "warning.struck-outweigh",
            "warning.struck-beyond-outweigh",
            "warning.beyond-range",
        ] {
            assert!(BLOCKING.contains(&code), "{code}");
        }
        for code in BLOCKING {
            assert!(
                Warning::DECLARED.iter().any(|(known, _)| *known == code),
                "{code}"
            );
        }
    }
}
