//! Where published tables print another limit than the one answered.

use crate::message::{Message, Say, Value};
use crate::units::{Entered, Length};

/// A limit for which published tables print another value than the one answered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Dispute {
    /// Which limit.
    pub limit: DisputedLimit,
    /// The value answered.
    pub taken: Length,
    /// The other value.
    pub other: Length,
    /// Where the other value stands, and why it differs.
    pub reason: DisputeReason,
}

impl Dispute {
    /// The code with the names of its values.
    pub const DECLARED: &'static [(&'static str, &'static [&'static str])] =
        &[("dispute.limit", &["limit", "taken", "other", "reason"])];
}

impl Say for Dispute {
    fn message(&self) -> Message {
        Message::of("dispute.limit")
            .with("limit", Value::code(self.limit))
            .with("taken", Value::bound(self.taken))
            .with("other", Value::bound(self.other))
            .with("reason", Value::said(self.reason.clone()))
    }
}

crate::codes! {
    /// A limit of which tables print different values, as the tables name it.
    pub enum DisputedLimit "disputed-limit" {
        Allowance "allowance",
        /// The largest major diameter.
        MajorMax "major_max",
        /// The smallest major diameter.
        MajorMin "major_min",
        /// The largest pitch diameter.
        PitchMax "pitch_max",
        /// The smallest pitch diameter.
        PitchMin "pitch_min",
        /// The largest minor diameter.
        MinorMax "minor_max",
        /// The smallest minor diameter.
        MinorMin "minor_min",
        /// What the pitch diameter may be off at a place of a taper thread.
        PitchTolerance "pitch_tolerance",
    }
}

crate::messages! {
    /// Why two values are in print, as `data/unified/disputed.csv` names it.
    #[derive(Eq)]
    pub enum DisputeReason "dispute-reason" {
        /// A former fine thread that is UNS by its number of threads.
        FormerFine "former-fine",
        /// The tables group diameters.
        Grouped "grouped" { made_with: Entered as Entered },
        /// Rounded in another order.
        RoundingOrder "rounding-order",
        /// An engagement of one diameter.
        OneDiameter "one-diameter",
        /// Follows from the printed allowance.
        PrintedAllowance "printed-allowance",
        /// The rule of larger sizes.
        LargeSizeRule "large-size-rule",
        /// Half way between two, and no printed table was seen that shows how it rounds.
        HalfWay "half-way",
        /// No rule gives the printed value.
        Unexplained "unexplained",
        /// A national standard prints it.
        NationalForm "national-form",
    }
}

impl DisputeReason {
    /// The reason of this code; the diameter that the tables make a tolerance with belongs to one of them.
    pub(super) fn of(code: &str, made_with: Option<Entered>) -> Option<Self> {
        Some(match code {
            "former-fine" => Self::FormerFine,
            "grouped" => Self::Grouped {
                made_with: made_with?,
            },
            "rounding-order" => Self::RoundingOrder,
            "one-diameter" => Self::OneDiameter,
            "printed-allowance" => Self::PrintedAllowance,
            "large-size-rule" => Self::LargeSizeRule,
            "unexplained" => Self::Unexplained,
            _ => return None,
        })
    }
}
