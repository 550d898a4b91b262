//! What each finding is.

use crate::message::Value;

crate::messages! {
    /// What a finding is: its formula, where it was taken, what it does not see.
    pub enum Definition "definition" {
        /// Area of a stranded conductor as marked.
        AsMarked "as-marked",
        /// Area of a conductor as it was stated apart.
        AsStated "as-stated",
        /// Area of a solid wire of this gauge.
        SolidWire "solid-wire" { gauge: String as Text, diameter: f64 as Size },
        /// The same where nobody said whether it is stranded, with the areas that it may have.
        TakenAsSolid "taken-as-solid" {
            gauge: String as Text, diameter: f64 as Size, least: f64 as SquareMillimetre, most: f64 as SquareMillimetre,
        },
        /// Area of so many strands of this gauge.
        Stranded "stranded" { strands: u32 as whole, gauge: u32 as whole, diameter: f64 as Size },
        /// Greatest less least height.
        HeightRange "height-range",
        /// Conductor after over conductor before.
        Conductor "conductor",
        /// Section after over conductor and barrel before.
        ConductorAndBarrel "conductor-and-barrel",
        /// CW dCH over the area before.
        WidthOverArea "width-over-area",
        /// Smallest of so many, against what is required.
        SmallestPull "smallest-pull" { n: usize as count, against: Value as itself },
        /// Mean of all.
        MeanOfAll "mean-of-all",
        /// Flat of the floor less thickness of the blade.
        FloorLessBlade "floor-less-blade",
        /// Half of land less groove.
        HalfOfDiameters "half-of-diameters",
        /// Outside diameter less two opposite walls.
        OppositeWalls "opposite-walls" { from: f64 as Degrees, to: f64 as Degrees, at: Option<Where> as said_if },
        /// (D − √(D² − b²))/2.
        ArcHeight "arc-height",
        /// S.
        OppositeSide "opposite-side",
        /// D − S.
        FromCrown "from-crown",
        /// D − h − S.
        FromEdge "from-edge",
        /// Range of the distances read in the V over its factor.
        VOverFactor "v-over-factor" { lobes: u32 as whole, v: f64 as Degrees },
        /// The same, and nobody said that they are distances but their level.
        VAsLevel "v-as-level" { lobes: u32 as whole, v: f64 as Degrees },
        /// Range of the diameters read in the V, times what makes distances of them, over its factor.
        VDiameters "v-diameters" { lobes: u32 as whole, v: f64 as Degrees, ratio: f64 as Number },
        /// Factor of a V that sees every count of lobes up to nine.
        VFactor "v-factor",
        /// Factor of a V, and the counts of lobes that it hardly sees.
        BlindVFactor "blind-v-factor" { lobes: Vec<usize> as counts },
        /// Two points show twice the lobing of even lobes.
        TwicePoints "even-lobes",
        /// Two points do not show odd lobes.
        BlindPoints "odd-lobes",
        /// Smallest at any place.
        Smallest "smallest",
        /// Largest at any place.
        Largest "largest",
        /// Greatest less least diameter at one section.
        Ovality "ovality" { at: Option<Where> as said_if },
        /// Mean diameters so far apart, smaller toward the far end.
        TaperSmaller "taper-smaller" { distance: f64 as Size },
        /// Mean diameters so far apart, larger toward the far end.
        TaperLarger "taper-larger" { distance: f64 as Size },
        /// (D2 − D1) over the distance.
        TaperRatio "taper-ratio",
        /// atan(taper / 2).
        HalfAngle "half-angle",
        /// Middle section above the line between the ends.
        Barrel "barrel",
        /// Middle section below it.
        Hollow "hollow",
        /// Force on a face, read after the dwell in seconds.
        PressedFace "pressed-face" { force: f64 as Newton, face: f64 as Size, dwell: f64 as Number },
        /// p t/E.
        Strain "strain",
        /// Mean around one section.
        MeanWall "mean-wall" { at: Option<Where> as said_if },
        /// Governs under pressure.
        LeastWall "least-wall",
        /// Most less least.
        MostLessLeast "most-less-least" { at: Option<Where> as said_if },
        /// Eccentricity as tubing makers take it.
        HalfRunOut "half-run-out",
        /// Offset of the centres by the first harmonic.
        FirstHarmonic "first-harmonic" { at: Option<Where> as said_if },
        /// Its direction.
        HarmonicDirection "harmonic-direction",
        /// What it leaves.
        HarmonicResidual "harmonic-residual",
        /// (most − least) / (most + least).
        RunOutOverSum "run-out-over-sum",
        /// (most − least) / mean.
        RunOutOverMean "run-out-over-mean",
        /// least / most.
        LeastOverMost "least-over-most",
    }
}

crate::messages! {
    /// Where along the part.
    pub enum Where "where" {
        /// At a section, as it was stated.
        Section "section" { section: Value as itself },
    }
}
