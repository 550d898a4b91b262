//! May it be used, and what was put aside on purpose.

use serde::{Deserialize, Serialize};

/// Whether a piece of equipment may be used.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// In use.
    #[default]
    Active,
    /// Set apart until it has been looked at.
    Quarantined,
    /// Out for calibration or repair.
    Out,
    /// For comparison only, never for acceptance.
    ReferenceOnly,
    /// No longer used.
    Retired,
    /// Not to be found.
    Lost,
}

impl State {
    /// Every state.
    pub const ALL: [Self; 6] = [
        Self::Active,
        Self::Quarantined,
        Self::Out,
        Self::ReferenceOnly,
        Self::Retired,
        Self::Lost,
    ];

    /// Whether it may be used without a word.
    pub fn is_active(&self) -> bool {
        *self == Self::Active
    }
}

crate::codes! {
    impl State "state" {
        Active "active",
        Quarantined "quarantined",
        Out "out",
        ReferenceOnly "reference-only",
        Retired "retired",
        Lost "lost",
    }
}

impl std::str::FromStr for State {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        Self::ALL
            .into_iter()
            .find(|state| state.key() == text.trim())
            .ok_or_else(|| {
                format!(
                    "`{text}` is no state; write one of {}",
                    Self::ALL.map(Self::key).join(", ")
                )
            })
    }
}

/// Rules put aside on purpose. Each needs a reason, which stands on the report.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Overrides {
    /// Why it was measured without a valid zero, or without a closing check of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub zero: Option<String>,
    /// Why equipment was used that is overdue or not active.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub equipment: Option<String>,
    /// Why contacts were used that do not suit the feature.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub contacts: Option<String>,
}

impl Overrides {
    /// Nothing was put aside.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// Where the part is used, where a wrong acceptance can hurt someone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Service {
    /// Holds pressure or gas.
    Pressure,
    /// Lifts or suspends a load.
    Lifting,
    /// Flies.
    Aircraft,
    /// Carries current.
    Electrical,
    /// Medical use.
    Medical,
    /// Brakes, steering or another part that people's lives hang on.
    Safety,
}

impl Service {
    /// Every one.
    pub const ALL: [Self; 6] = [
        Self::Pressure,
        Self::Lifting,
        Self::Aircraft,
        Self::Electrical,
        Self::Medical,
        Self::Safety,
    ];

    /// What such a part does.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Pressure => "holds pressure or gas",
            Self::Lifting => "lifts or suspends a load",
            Self::Aircraft => "flies",
            Self::Electrical => "carries current",
            Self::Medical => "medical use",
            Self::Safety => "brakes, steering or the like",
        }
    }

    /// One calm line that defers to the drawing, the governing standard and licensed practice.
    pub const fn caution(self) -> &'static str {
        match self {
            Self::Pressure => {
                "pressure service: where a wall holds it, the least wall governs, not the mean; the drawing, the pressure code and a \
                 licensed inspector decide on release"
            }
            Self::Lifting => {
                "lifting service: no rounding in favour; the drawing, the lifting standard and a competent person \
                 decide on release"
            }
            Self::Aircraft => {
                "aircraft service: gauging system and records are set by the contract; the drawing, its standards \
                 and licensed certifying staff decide on release"
            }
            Self::Electrical => {
                "electrical service: height alone does not prove a crimp, nor does pull force alone; the terminal \
                 maker's sheet, the standard that the contract names and a qualified person decide on release"
            }
            Self::Medical => {
                "medical service: the drawing, the device file and the responsible person decide on release"
            }
            Self::Safety => {
                "safety-critical service: the drawing, the governing standard and a competent person decide on release"
            }
        }
    }
}

crate::codes! {
    impl Service "service" {
        Pressure "pressure",
        Lifting "lifting",
        Aircraft "aircraft",
        Electrical "electrical",
        Medical "medical",
        Safety "safety",
    }
}
