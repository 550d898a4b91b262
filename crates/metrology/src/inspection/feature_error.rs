//! What is wrong with a feature: its description, or what was read of it.

use super::feature::{EccentricityDefinition, Keyseat, KeyseatConvention, VScale};
use crate::features::pull_force::PullError;
use crate::features::tube_wall::EccentricityError;
use crate::features::wire_size::WireError;
use crate::message::Value;
use crate::units::Entered;

crate::messages! {
    /// A feature that cannot be computed, or whose numbers cannot be meant.
    pub enum FeatureError "feature-error" {
        /// A tube that is no larger outside than inside.
        OutsideNotLarger "outside-not-larger" { outside: Entered as Entered, inside: f64 as Size },
        /// Limits of a distance that look like a depth.
        LooksLikeDepth "looks-like-depth" { convention: KeyseatConvention as code, shaft: Entered as Entered },
        /// Limits of a depth that look like a distance.
        LooksLikeDistance "looks-like-distance" { convention: KeyseatConvention as code, shaft: Entered as Entered },
        /// A seat wider than its shaft.
        SeatTooWide "seat-too-wide" { width: Entered as Entered, shaft: Entered as Entered },
        /// Readings on a keyseat that put its floor above the edge of its walls.
        SeatAboveEdge "seat-above-edge" { reading: f64 as Size, shaft: Entered as Entered, depth: f64 as Size, convention: KeyseatConvention as code },
        /// Readings on a keyseat that put its floor below the axis of the shaft.
        SeatBelowAxis "seat-below-axis" { reading: f64 as Size, shaft: Entered as Entered },
        /// A lobed shaft that was not read in a V.
        NoVReadings "no-v-readings",
        /// Too few readings in the V.
        FewVReadings "few-v-readings" { n: usize as count },
        /// Fewer than two lobes.
        FewLobes "few-lobes" { n: u32 as whole },
        /// An angle that is no V, degrees.
        NoV "no-v" { angle: f64 as number },
        /// A V that does not see these lobes, and those that do.
        BlindV "blind-v" { angle: f64 as number, lobes: u32 as whole, others: Vec<Value> as List },
        /// Readings in the V that lie where another scale would show them; sizes on the diameter and distance scales.
        VLevel "v-level" { scale: VScale as code, level: f64 as Size, diameter: f64 as Size, distance: f64 as Size },
        /// Readings in the V of which neither a statement nor their level says what they show.
        VScaleUnknown "v-scale-unknown" { level: f64 as Size, diameter: f64 as Size, distance: f64 as Size },
        /// Lobes that no V sees.
        BlindVs "blind-vs" { angle: f64 as number, lobes: u32 as whole },
        /// Free thickness without force and contacts.
        NoPressure "no-pressure",
        /// A pressure as large as the modulus.
        TooSoft "too-soft" { force: f64 as Newton, face: f64 as Size, pressure: f64 as Kilopascal },
        /// More strain than a modulus can correct.
        Strain "strain" { share: f64 as Share },
        /// Thickness under a pressure that is not stated.
        NoStatedPressure "no-stated-pressure",
        /// An ovality limit, and no section read twice.
        OvalityUnseen "ovality-unseen",
        /// A taper limit, and no two sections whose places are known.
        TaperUnseen "taper-unseen",
        /// A barrel limit, and no three sections whose places are known.
        BarrelUnseen "barrel-unseen",
        /// A land no larger than the floor of the groove.
        LandNotLarger "land-not-larger" { land: Entered as Entered, floor: f64 as Size },
        /// Wall readings without angles.
        NoAngles "no-angles",
        /// No eccentricity can be found.
        Eccentricity "eccentricity" { error: EccentricityError as said },
        /// A percentage that may be one of three.
        PercentUndefined "percent-undefined" { definitions: Vec<EccentricityDefinition> as codes },
        /// A ratio that no tube has.
        RatioNotMeant "ratio-not-meant" { percent: f64 as number, others: Vec<EccentricityDefinition> as codes },
        /// A crimp whose limits are from nowhere.
        NoSheet "no-sheet",
        /// A conductor of no known size.
        Wire "wire" { error: WireError as said },
        /// A compression that counts the barrel, without it.
        NoBarrelArea "no-barrel-area",
        /// Areas that are none.
        NoAreas "no-areas",
        /// A pull test that cannot be judged.
        Pull "pull" { error: PullError as said },
        /// A pull test without forces.
        NoForces "no-forces",
    }
}

/// A seat that does not fit its shaft.
pub fn too_wide(seat: &Keyseat) -> FeatureError {
    FeatureError::SeatTooWide {
        width: seat.width.clone(),
        shaft: seat.shaft_diameter.clone(),
    }
}
