//! The outcomes of a decision.

use std::fmt;

/// What a decision can say.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// Conforms, under the rule.
    Accept,
    /// Within the limits, but not by the guard band (ILAC-G8:09/2019 "conditional pass").
    ConditionalAccept,
    /// Neither conformity nor nonconformity is proven.
    Undecided,
    /// Outside the limits, but not by the guard band (ILAC-G8:09/2019 "conditional fail").
    ConditionalReject,
    /// Does not conform, under the rule.
    Reject,
    /// The rule may not be applied here.
    Unusable,
}

impl Verdict {
    /// Every one, from accepted to rejected.
    pub const ALL: [Self; 6] = [
        Self::Accept,
        Self::ConditionalAccept,
        Self::Undecided,
        Self::ConditionalReject,
        Self::Reject,
        Self::Unusable,
    ];
}

crate::codes! {
    impl Verdict "verdict" {
        Accept "accept",
        ConditionalAccept "conditional-accept",
        Undecided "undecided",
        ConditionalReject "conditional-reject",
        Reject "reject",
        Unusable "unusable",
    }
}

/// For developers: the key.
impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.key())
    }
}

impl serde::Serialize for Verdict {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.key())
    }
}
