//! What is said of a coated thread: errors, what was taken, and which gauges go on it.

use super::{Basis, State};
use crate::units::EntryError;

crate::messages! {
    /// Why a coating cannot be put on a thread at all.
    #[derive(Eq)]
    pub enum CoatingError "coating" {
        /// No rule is known for the form: the drawing must say.
        StateUnknown "state-unknown" { thread: String as Text },
        /// A taper thread, or one whose pitch diameter has no limits.
        NoLimits "no-limits" { thread: String as Text },
    }
}

crate::messages! {
    /// Text that is no coating thickness.
    #[derive(Eq)]
    pub enum ThicknessError "coating-thickness" {
        /// Not a length.
        NotALength "not-a-length" { why: EntryError as said },
        /// Zero or below.
        NotPositive "not-positive" { text: String as Text },
        /// The range runs backwards: as typed, with its two ends.
        Backwards "backwards" { text: String as Text, least: String as Text, most: String as Text },
    }
}

impl From<EntryError> for ThicknessError {
    fn from(why: EntryError) -> Self {
        Self::NotALength { why }
    }
}

crate::messages! {
    /// What was left open of a coating and what was taken.
    pub enum CoatingAssumed "coating-assumed" {
        /// One thickness is the nominal one (ASME B1.1-2003, 7.4.2).
        Nominal "nominal",
        /// One thickness is exact.
        Exact "exact",
        /// The state that the limits hold in.
        State "state" { state: State as code, basis: Basis as code },
    }
}

crate::codes! {
    /// Which gauges go on the coated thread.
    pub enum CoatingNote "coating-note" {
        /// Unified.
        UnifiedGauges "unified-gauges",
        /// M.
        MetricGauges "metric-gauges",
    }
}
