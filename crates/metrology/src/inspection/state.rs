//! May it be used, and what was put aside on purpose.

use serde::{Deserialize, Serialize};

use super::keys::choice;

choice! {
    /// Whether a piece of equipment may be used.
    pub enum State "state" or Active {
        /// In use.
        Active "active",
        /// Set apart until it has been looked at.
        Quarantined "quarantined",
        /// Out for calibration or repair.
        Out "out",
        /// For comparison only, never for acceptance.
        ReferenceOnly "reference-only",
        /// No longer used.
        Retired "retired",
        /// Not to be found.
        Lost "lost",
    }
}

impl State {
    /// Whether it may be used without a word.
    pub fn is_active(&self) -> bool {
        *self == Self::Active
    }
}

crate::messages! {
    /// A state that is none.
    pub enum StateError "state-error" {
        /// Not one of them.
        Unknown "unknown" { text: String as Text, known: Vec<&'static str> as one_of },
    }
}

impl std::str::FromStr for State {
    type Err = StateError;

    fn from_str(text: &str) -> Result<Self, StateError> {
        Self::of(text.trim()).ok_or_else(|| StateError::Unknown {
            text: text.to_owned(),
            known: Self::EVERY.iter().map(|state| state.key()).collect(),
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
    pub const ALL: [Self; 6] = [
        Self::Pressure,
        Self::Lifting,
        Self::Aircraft,
        Self::Electrical,
        Self::Medical,
        Self::Safety,
    ];

    /// The line that defers to the drawing, the governing standard and licensed practice.
    pub const fn caution(self) -> Caution {
        match self {
            Self::Pressure => Caution::Pressure,
            Self::Lifting => Caution::Lifting,
            Self::Aircraft => Caution::Aircraft,
            Self::Electrical => Caution::Electrical,
            Self::Medical => Caution::Medical,
            Self::Safety => Caution::Safety,
        }
    }
}

crate::codes! {
    /// What is said of a part whose wrong acceptance can hurt someone: the drawing, the governing standard and licensed
    /// practice decide.
    pub enum Caution "caution" {
        /// Of a part under pressure.
        Pressure "pressure",
        /// Of a taper thread, which makes a joint tight.
        TaperThread "taper-thread",
        /// Of a part that lifts.
        Lifting "lifting",
        /// Of a part that flies.
        Aircraft "aircraft",
        /// Of a part that carries current.
        Electrical "electrical",
        /// Of a medical device.
        Medical "medical",
        /// Of a part that lives hang on.
        Safety "safety",
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
