//! The verdict on a lot by attributes, where some of its pieces are not decided.
//!
//! An undecided or provisional piece, and one that was not measured, may be nonconforming: it speaks against an acceptance
//! and never for a rejection. So the verdict is one that no later finding can turn round.

crate::codes! {
    /// The verdict on a lot.
    pub enum LotVerdict "lot-verdict" {
        /// Accepted.
        Accept "accept",
        /// Rejected.
        Reject "reject",
        /// Neither can be said.
        Undecided "undecided",
    }
}

crate::codes! {
    /// Why a lot is not accepted.
    pub enum LotReason "lot-reason" {
        /// As many nonconforming pieces as the rejection number, or more.
        Nonconforming "nonconforming",
        /// A nonconforming piece of a characteristic that accepts none.
        Critical "critical",
        /// Pieces or characteristics that the plan asks for were not measured.
        NotMeasured "not-measured",
        /// The closing zero check is missing.
        Provisional "provisional",
        /// Too many pieces are undecided.
        UndecidedPieces "undecided-pieces",
        /// Two pieces have names that may be of one.
        NamesAlike "names-alike",
        /// More pieces have results by name than the lot has.
        MorePieces "more-pieces",
        /// A rejection on the record that is not the result of a piece.
        OtherRejection "other-rejection",
        /// The verdicts on some pieces change by a saved recall.
        Recalled "recalled",
        /// Entries of the lot are not as they were recorded.
        NotAsRecorded "not-as-recorded",
        /// Pieces that their results accept are held, or worked on.
        Held "held",
        /// Some results are in doubt by what was found of their equipment since, or rest on what was withdrawn.
        InDoubt "in-doubt",
    }
}

crate::codes! {
    /// How a piece stands.
    pub enum Standing "standing" {
        /// Conforms.
        Accept "accept",
        /// Neither shown.
        Undecided "undecided",
        /// Waits for a good closing zero check.
        Provisional "provisional",
        /// Does not conform.
        Reject "reject",
    }
}

/// How many pieces stand how.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Conforming.
    pub accept: u64,
    /// Nonconforming.
    pub reject: u64,
    /// Undecided.
    pub undecided: u64,
    /// Provisional.
    pub provisional: u64,
}

impl Counts {
    /// Counts a piece.
    pub const fn add(&mut self, standing: Standing) {
        match standing {
            Standing::Accept => self.accept += 1,
            Standing::Reject => self.reject += 1,
            Standing::Undecided => self.undecided += 1,
            Standing::Provisional => self.provisional += 1,
        }
    }

    /// All of them.
    pub const fn pieces(&self) -> u64 {
        self.accept + self.reject + self.undecided + self.provisional
    }
}

/// What a lot is held against.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Criteria {
    /// Pieces to be measured; none where all are that there are.
    pub n: Option<u64>,
    /// Acceptance number Ac.
    pub accept: u64,
    /// Rejection number Re.
    pub reject: u64,
    /// Characteristics that no piece was measured for.
    pub missing_characteristics: bool,
}

/// The verdict on a lot, and why it is not accepted.
///
/// `critical` has the counts of each characteristic that accepts no nonconforming piece, by pieces.
///
/// ```
/// use metrology::lot::{Counts, Criteria, LotReason, LotVerdict, verdict};
///
/// let counts = Counts { accept: 12, undecided: 1, ..Counts::default() };
/// let criteria = Criteria { n: Some(13), accept: 0, reject: 1, missing_characteristics: false };
/// let open = Some(LotReason::UndecidedPieces);
/// assert_eq!(verdict(counts, &[], &criteria), (LotVerdict::Undecided, open));
/// ```
pub fn verdict(
    counts: Counts,
    critical: &[Counts],
    criteria: &Criteria,
) -> (LotVerdict, Option<LotReason>) {
    if counts.reject >= criteria.reject {
        return (LotVerdict::Reject, Some(LotReason::Nonconforming));
    }
    if critical.iter().any(|one| one.reject > 0) {
        return (LotVerdict::Reject, Some(LotReason::Critical));
    }
    let missing = criteria.n.map_or(0, |n| n.saturating_sub(counts.pieces()));
    let open = |why| (LotVerdict::Undecided, Some(why));
    if counts.pieces() == 0 || criteria.missing_characteristics {
        return open(LotReason::NotMeasured);
    }
    let measured = counts.reject + counts.undecided + counts.provisional;
    let in_critical = |of: fn(&Counts) -> u64| critical.iter().any(|one| of(one) > 0);
    let accepted = measured + missing <= criteria.accept
        && !in_critical(|one| one.undecided + one.provisional)
        && (critical.is_empty() || missing == 0);
    if accepted {
        return (LotVerdict::Accept, None);
    }
    if counts.provisional > 0 {
        return open(LotReason::Provisional);
    }
    if counts.reject + counts.undecided <= criteria.accept && missing > 0 {
        return open(LotReason::NotMeasured);
    }
    open(LotReason::UndecidedPieces)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn counts(accept: u64, reject: u64, undecided: u64, provisional: u64) -> Counts {
        Counts {
            accept,
            reject,
            undecided,
            provisional,
        }
    }

    #[test]
    fn what_is_not_known_speaks_against_an_acceptance_and_for_no_rejection() {
        let plan = Criteria {
            n: Some(20),
            accept: 1,
            reject: 2,
            missing_characteristics: false,
        };
        let of = |counts| verdict(counts, &[], &plan);
        assert_eq!(of(counts(19, 1, 0, 0)), (LotVerdict::Accept, None));
        assert_eq!(of(counts(19, 0, 1, 0)), (LotVerdict::Accept, None));
        assert_eq!(of(counts(19, 0, 0, 1)), (LotVerdict::Accept, None));
        assert_eq!(of(counts(19, 0, 0, 0)), (LotVerdict::Accept, None));
        let open = |why| (LotVerdict::Undecided, Some(why));
        assert_eq!(of(counts(18, 1, 1, 0)), open(LotReason::UndecidedPieces));
        assert_eq!(of(counts(0, 0, 0, 20)), open(LotReason::Provisional));
        assert_eq!(of(counts(10, 0, 0, 0)), open(LotReason::NotMeasured));
        assert_eq!(of(Counts::default()), open(LotReason::NotMeasured));
        // Rejected as soon as nothing can turn it round, and not before.
        assert_eq!(
            of(counts(0, 2, 0, 0)),
            (LotVerdict::Reject, Some(LotReason::Nonconforming))
        );
        let none = [counts(19, 1, 0, 0)];
        assert_eq!(
            verdict(counts(19, 1, 0, 0), &none, &plan),
            (LotVerdict::Reject, Some(LotReason::Critical))
        );
        let open_one = [counts(19, 0, 1, 0)];
        assert_eq!(
            verdict(counts(19, 0, 1, 0), &open_one, &plan).0,
            LotVerdict::Undecided
        );
        let half = Criteria {
            missing_characteristics: true,
            ..plan
        };
        assert_eq!(
            verdict(counts(20, 0, 0, 0), &[], &half),
            open(LotReason::NotMeasured)
        );
    }
}
