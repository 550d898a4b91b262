//! A number out of its range: which, as given, and what is permitted.

crate::codes! {
    /// A number that geometry or elasticity is asked with.
    pub enum Measure "measure" {
        /// Half angle, degrees.
        HalfAngle "half-angle",
        /// Half angle of the thread, degrees.
        ThreadHalfAngle "thread-half-angle",
        /// Half angle of a contact, degrees.
        ContactHalfAngle "contact-half-angle",
        /// Error of a half angle, degrees.
        HalfAngleError "half-angle-error",
        /// Half angle that the part or a contact may be off by, degrees.
        HalfAngleDeviation "half-angle-deviation",
        /// Angle of the upper flank, degrees.
        UpperFlank "upper-flank",
        /// Angle of the lower flank, degrees.
        LowerFlank "lower-flank",
        /// Included angle of a groove, degrees.
        IncludedAngle "included-angle",
        /// Included angle of a V, degrees.
        VeeAngle "vee-angle",
        /// Tilt, degrees.
        Tilt "tilt",
        /// Pitch, millimetres.
        Pitch "pitch",
        /// Half the pitch, millimetres.
        HalfPitch "half-pitch",
        /// Lead, millimetres.
        Lead "lead",
        /// Number of starts.
        Starts "starts",
        /// Pitch diameter, millimetres.
        PitchDiameter "pitch-diameter",
        /// Pitch diameter found, millimetres.
        PitchDiameterFound "pitch-diameter-found",
        /// Height of the straight flank to the crest, millimetres.
        ToCrest "to-crest",
        /// Depth of the straight flank to the root, millimetres.
        ToRoot "to-root",
        /// Height of a flank in mesh, divided by the pitch.
        FlankInMesh "flank-in-mesh",
        /// Height of the flank that a contact engages, millimetres.
        EngagedFlank "engaged-flank",
        /// Pitch error, millimetres.
        PitchError "pitch-error",
        /// Groove width error, millimetres.
        GrooveWidthError "groove-width-error",
        /// Ridge thickness error, millimetres.
        RidgeThicknessError "ridge-thickness-error",
        /// Reach of a contact from the pitch line, millimetres.
        Reach "reach",
        /// Reach of a V towards the axis, millimetres.
        VeeReach "vee-reach",
        /// Half length of a V, millimetres.
        VeeHalfLength "vee-half-length",
        /// Relief depth of a V, millimetres.
        ReliefDepth "relief-depth",
        /// Wear of a cone, millimetres.
        ConeWear "cone-wear",
        /// Wear of a V, millimetres.
        VeeWear "vee-wear",
        /// Wear of the contacts, millimetres.
        Wear "wear",
        /// Error of the length of a setting standard, millimetres.
        StandardError "standard-error",
        /// Diameter, millimetres.
        Diameter "diameter",
        /// Diameter between two points, millimetres.
        TwoPointDiameter "two-point-diameter",
        /// Length, millimetres.
        Length "length",
        /// Offset from the axis, millimetres.
        AxisOffset "axis-offset",
        /// Offset of a ball, millimetres.
        BallOffset "ball-offset",
        /// Width of a face, millimetres.
        FaceWidth "face-width",
        /// Half the width of a face, millimetres.
        FaceHalfWidth "face-half-width",
        /// Distance along a face, millimetres.
        AlongFace "along-face",
        /// Distance of two centres, millimetres.
        CentreDistance "centre-distance",
        /// Radius of a bore, millimetres.
        BoreRadius "bore-radius",
        /// Radius of a ball, millimetres.
        BallRadius "ball-radius",
        /// Radius of a bore less that of the ball in it, millimetres.
        BallPlay "ball-play",
        /// Roundness error, millimetres.
        Roundness "roundness",
        /// A reading, millimetres.
        Reading "reading",
        /// Variation of a reading, millimetres.
        Variation "variation",
        /// Number of lobes.
        Lobes "lobes",
        /// Wire diameter, millimetres.
        WireDiameter "wire-diameter",
        /// Contact diameter, millimetres.
        ContactDiameter "contact-diameter",
        /// Distance of a wire from the thread axis, millimetres.
        WireFromAxis "wire-from-axis",
        /// Reading over wires, millimetres.
        OverWires "over-wires",
        /// Crest diameter, or the diameter where the straight flank ends, millimetres.
        CrestDiameter "crest-diameter",
        /// Diameter of the cylinder that wires are calibrated on, millimetres.
        CalibrationCylinder "calibration-cylinder",
        /// Length of contact, millimetres.
        ContactLength "contact-length",
        /// Relative curvature, 1/mm.
        Curvature "curvature",
        /// Modulus of elasticity, gigapascals.
        Modulus "modulus",
        /// Poisson's ratio.
        Poisson "poisson",
        /// Force, newtons.
        Force "force",
        /// Repeatability, millimetres.
        Repeatability "repeatability",
        /// Standard deviation of the pitch error, millimetres.
        PitchDeviation "pitch-deviation",
        /// Standard deviation of the wire diameter, millimetres.
        WireDeviation "wire-deviation",
        /// Standard deviation of the zero, millimetres.
        ZeroDeviation "zero-deviation",
        /// Standard deviation of the form of the part, millimetres.
        FormDeviation "form-deviation",
        /// Standard deviation of the temperature, kelvins.
        TemperatureDeviation "temperature-deviation",
        /// Expansion, 1/K.
        Expansion "expansion",
    }
}

crate::messages! {
    /// What is permitted.
    #[derive(Copy)]
    pub enum Within "within" {
        /// From one number to another, both included.
        Between "between" { least: f64 as Given, most: f64 as Given },
        /// The same of lengths, millimetres.
        Lengths "lengths" { least: f64 as Length, most: f64 as Length },
        /// A length above nothing, up to so many millimetres.
        LengthUpTo "length-up-to" { most: f64 as Length },
        /// A number and more.
        AtLeast "at-least" { least: f64 as Given },
        /// Less than the radius.
        Radius "radius" { bound: f64 as Length },
        /// From nothing to less than the diameter.
        Diameter "diameter" { bound: f64 as Length },
        /// Less than the distance of the centres.
        Centres "centres" { bound: f64 as Length },
        /// Less than the radius of the bore.
        BoreRadius "bore-radius" { bound: f64 as Length },
        /// Less than the play of the ball in the bore.
        Play "play" { bound: f64 as Length },
        /// Less than half the pitch diameter.
        HalfPitchDiameter "half-pitch-diameter" { bound: f64 as Length },
        /// At most a quarter of the pitch.
        QuarterPitch "quarter-pitch" { bound: f64 as Length },
        /// At most so much either way; more belongs to another thread form.
        SameForm "same-form" { most: f64 as Given },
        /// Curvatures of surfaces that do not fit into each other.
        Curvature "curvature" { least: f64 as Given, most: f64 as Given },
        /// Between crest and root of a groove with equal flanks.
        StraightFlank "straight-flank",
        /// Both crest diameters have to be known.
        BothCrests "both-crests",
        /// Contacts that touch the part as stated.
        Touching "touching",
    }
}

crate::messages! {
    /// A number that nothing can be computed with.
    #[derive(Copy)]
    pub enum OutOfRange "out-of-range" {
        /// Out of its range, or not a number; in the unit that its name states.
        Number "number" { what: Measure as code, value: f64 as Given, permitted: Within as said },
        /// The same of a length, millimetres.
        Length "length" { what: Measure as code, value: f64 as Length, permitted: Within as said },
    }
}

/// Lengths of things that occur, millimetres.
const LENGTHS: (f64, f64) = (1e-6, 1e6);

impl OutOfRange {
    /// The refusal of a number.
    pub const fn of(what: Measure, value: f64, permitted: Within) -> Self {
        if what.is_length() {
            Self::Length {
                what,
                value,
                permitted,
            }
        } else {
            Self::Number {
                what,
                value,
                permitted,
            }
        }
    }
}

impl Measure {
    /// Whether it is a length, millimetres.
    pub const fn is_length(self) -> bool {
        !matches!(
            self,
            Self::HalfAngle
                | Self::ThreadHalfAngle
                | Self::ContactHalfAngle
                | Self::HalfAngleError
                | Self::HalfAngleDeviation
                | Self::UpperFlank
                | Self::LowerFlank
                | Self::IncludedAngle
                | Self::VeeAngle
                | Self::Tilt
                | Self::Starts
                | Self::FlankInMesh
                | Self::Lobes
                | Self::Curvature
                | Self::Modulus
                | Self::Poisson
                | Self::Force
                | Self::TemperatureDeviation
                | Self::Expansion
        )
    }
}

/// Refuses a number that does not lie between two others, or is none.
pub(crate) fn between(what: Measure, value: f64, least: f64, most: f64) -> Result<(), OutOfRange> {
    let within = match (what.is_length(), least > 0.0) {
        // Of a length the least is as good as nothing.
        (true, true) => Within::LengthUpTo { most },
        (true, false) => Within::Lengths { least, most },
        (false, _) => Within::Between { least, most },
    };
    permitted((least..=most).contains(&value), what, value, within)
}

/// Refuses what is not a length, in millimetres, of something that occurs.
pub(crate) fn length(what: Measure, millimetres: f64) -> Result<(), OutOfRange> {
    between(what, millimetres, LENGTHS.0, LENGTHS.1)
}

/// Refuses a number unless it holds.
pub(crate) const fn permitted(
    holds: bool,
    what: Measure,
    value: f64,
    permitted: Within,
) -> Result<(), OutOfRange> {
    if holds {
        Ok(())
    } else {
        Err(OutOfRange::of(what, value, permitted))
    }
}
