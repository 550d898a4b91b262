//! What a drawing says of a thread beside its designation.

use serde::{Deserialize, Serialize};

use crate::coating;
use crate::source::Source;
use crate::units::{Entered, Length};

/// What the drawing says of a thread beside its designation.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Terms {
    /// Smallest permitted size, where the drawing states limits of its own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lower: Option<Entered>,
    /// Largest permitted size.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub upper: Option<Entered>,
    /// Where these limits are from, as typed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub origin: Option<String>,
    /// The coating of the thread.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub coating: Option<CoatingTerms>,
    /// Where along a taper thread the diameter is measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plane: Option<Plane>,
}

/// A coating, and what is meant by it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CoatingTerms {
    /// Thickness on each surface, as typed: `5um..8um`.
    pub thickness: String,
    /// The state in which the part is measured.
    pub state: CoatingState,
    /// The state that the limits hold in, where it is stated: else own limits hold in the state of the part, those of a
    /// class as its standard says.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub limits_hold: Option<CoatingState>,
}

crate::codes! {
    /// Before or after coating.
    #[derive(Serialize, Deserialize)]
    #[serde(rename_all = "kebab-case")]
    pub enum CoatingState "coated" {
        /// Uncoated.
        BeforeCoating "before-coating",
        /// Coated.
        AfterCoating "after-coating",
    }
}

impl From<CoatingState> for coating::State {
    fn from(state: CoatingState) -> Self {
        match state {
            CoatingState::BeforeCoating => Self::Before,
            CoatingState::AfterCoating => Self::After,
        }
    }
}

impl From<coating::State> for CoatingState {
    fn from(state: coating::State) -> Self {
        match state {
            coating::State::Before => Self::BeforeCoating,
            coating::State::After => Self::AfterCoating,
        }
    }
}

/// A plane of a taper thread.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Plane {
    /// Distance from the small end, or the standard's name of the plane (`hand-tight`), as typed.
    pub at: String,
    /// How far the plane may lie from there, either way.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub within: Option<Entered>,
}

/// The plane of a taper thread that a size is of.
#[derive(Clone, Debug, PartialEq)]
pub struct AtPlane {
    /// From the small end of the basic thread.
    pub at: Entered,
    /// How far it may lie from there, either way, millimetres, where that is stated.
    pub within: Option<f64>,
}

crate::messages! {
    /// What the limits of a thread rest on beside the standard of its designation.
    pub enum LimitsTold "limits-told" {
        /// The drawing's own, and where it has them from.
        Own "own" { origin: String as Text },
        /// The drawing's own, and nobody says from where.
        OwnOfJob "own-of-job",
        /// The limit that the drawing does not state.
        OtherOfClass "other-of-class",
        /// Basic pitch diameter at the plane, and what a turn of the gauge is as a diameter.
        AtPlane "at-plane" { at: Entered as Entered, tolerance: Length as thickness },
        /// Limits that hold in the state that the part is in.
        AsHeld "as-held" { state: CoatingState as code, least: Length as thickness, most: Length as thickness },
        /// Limits of one state carried to the other.
        Carried "carried" {
            state: CoatingState as code, hold: CoatingState as code, least: Length as thickness, most: Length as thickness,
            source: Source as source,
        },
    }
}
