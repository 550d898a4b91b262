//! What a known cause does to a reading, and what to add for it.

use crate::source::{Confidence, Source};

crate::codes! {
    /// A cause of error that can be corrected for.
    pub enum EffectName "effect" {
        /// The half angle of one contact differs from the thread's.
        FlankAngle "flank-angle",
        /// The half angles of both contacts, less what the zero has taken out.
        FlankAngles "flank-angles",
        /// The lead angle under cone and V, the V free to turn.
        LeadAngle "lead-angle",
        /// The lead angle under cone and V, the V locked.
        LeadAngleLocked "lead-angle-locked",
        /// The lead angle, less that of the master on which zero was set.
        LeadAngleLessMaster "lead-angle-less-master",
        /// Local error of groove and ridge width.
        LocalWidth "local-width",
        /// Local wear of the contacts.
        Wear "wear",
        /// Length of the setting standard.
        StandardLength "standard-length",
        /// The line of measurement passes beside the axis.
        OffAxis "off-axis",
        /// The line of measurement leans along the axis.
        LeaningLine "leaning-line",
        /// Flat faces tilted on the part.
        TiltedFaces "tilted-faces",
        /// Balls in grooves half a pitch apart.
        OppositeGrooves "opposite-grooves",
        /// A flat face across a concave wall.
        FlatInBore "flat-in-bore",
        /// A ball beside the line through the bore.
        BallOffCentre "ball-off-centre",
        /// Faces out of parallel, over wires.
        Parallelism "parallelism",
        /// Lobes between two points.
        Lobes "lobes",
        /// Temperature.
        Temperature "temperature",
        /// A cone contact in the groove.
        ConeInGroove "cone-in-groove",
        /// A V contact over the ridge.
        VeeOverRidge "vee-over-ridge",
        /// The measuring force on wires of free diameter.
        ForceOnWires "force-on-wires",
        /// The measuring force on wires that were calibrated under force.
        ForceOnCalibratedWires "force-on-calibrated-wires",
    }
}

crate::codes! {
    /// What the formula of an effect holds for.
    pub enum ValidFor "valid-for" {
        /// Contact on straight flanks of equal angle.
        StraightFlanks "straight-flanks",
        /// Lead angles to 9 degrees.
        LeadAngles "lead-angles",
        /// Lead angles to 9 degrees, zero set without lead.
        LeadAnglesZeroWithout "lead-angles-zero-without",
        /// Width errors small beside the pitch.
        SmallWidthErrors "small-width-errors",
        /// Wear where the thread touches, zero set where it does not.
        WearWhereTouched "wear-where-touched",
        /// The instrument set to the stated length of the standard.
        SetToStatedLength "set-to-stated-length",
        /// Points, cones and balls.
        PointContacts "point-contacts",
        /// Points, cones and balls, but not wide flat faces.
        NotWideFaces "not-wide-faces",
        /// A part wider than the faces, with parallel sides.
        WidePart "wide-part",
        /// Odd numbers of starts, straight distance of the centres.
        OddStarts "odd-starts",
        /// A face square to the wall of a round bore.
        SquareFace "square-face",
        /// A ball smaller than the bore.
        SmallBall "small-ball",
        /// Single wire and pair near the middle of the faces.
        NearMiddle "near-middle",
        /// One number of lobes, all of one height.
        EqualLobes "equal-lobes",
        /// Bodies that have settled.
        Settled "settled",
        /// Elastic contact on outside sizes.
        ElasticContact "elastic-contact",
        /// Elastic contact of three wires on a thread.
        ElasticWires "elastic-wires",
    }
}

/// One cause of error, as a correction.
///
/// Everywhere error = indicated − true, and a correction is what is *added* to the reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Effect {
    pub name: EffectName,
    /// What to add to the reading, millimetres.
    pub correction_mm: f64,
    /// What the formula holds for.
    pub valid_for: ValidFor,
    /// Where the formula comes from.
    pub source: Source,
    /// How far it has been seen in print.
    pub confidence: Confidence,
}
