//! What is said of results of a lot that do not count, and of those that leave a piece undecided.

use jiff::civil::Date;
use metrology::message::Value;
use metrology::units::Entered;

use super::not_counted::OffPlan;
use crate::in_doubt::Against;
use crate::nonconformance::Disposition;

metrology::messages! {
    /// What is to be known of results that do not count, or of what speaks against one that does.
    pub enum LotRemark "lot-remark" {
        /// A later result of a piece that is rejected.
        Rejected "rejected" { piece: String as Text, characteristic: String as Text, entry: String as Text, stands: String as Text },
        /// A result of another plan, beside one that counts.
        OffPlan "off-plan" { piece: String as Text, characteristic: String as Text, entry: String as Text, stands: String as Text },
        /// A result that was recorded later than the one that counts, and measured before it.
        Older "older" { piece: String as Text, characteristic: String as Text, entry: String as Text, stands: String as Text },
        /// A result of a piece that was scrapped or sent back before.
        AfterFinal "after-final" {
            piece: String as Text, characteristic: String as Text, entry: String as Text, disposition: Disposition as code,
            decided: String as Text,
        },
        /// A piece that its results accept, and that was decided to be held, reworked or repaired.
        NotReleased "not-released" { piece: String as Text, disposition: Disposition as code, decided: String as Text },
        /// Entries that were changed, or of which the search facts say something else than their documents.
        NotAsRecorded "not-as-recorded" { entries: Vec<String> as texts },
        /// Two pieces with names that may be of one.
        NamesAlike "names-alike" { one: String as Text, other: String as Text },
        /// More pieces by name than the lot has.
        MorePieces "more-pieces" { n: u64 as Count, lot_size: u64 as Count, pieces: Vec<String> as texts },
        /// The only result is of another plan.
        OnlyOffPlan "only-off-plan" { piece: String as Text, characteristic: String as Text, entry: String as Text, differs: OffPlan as code },
        /// A result with a number that the plan does not have.
        UnknownNumber "unknown-number" { piece: String as Text, characteristic: String as Text, entry: String as Text },
        /// A result that measures another feature than that of its number.
        OtherFeature "other-feature" { piece: String as Text, characteristic: String as Text, entry: String as Text },
        /// A result without a number where several characteristics fit.
        SeveralFit "several-fit" { piece: String as Text, entry: String as Text, all: Vec<String> as texts },
        /// A result without a number, within other limits than those of the plan.
        OtherLimits "other-limits" { piece: String as Text, entry: String as Text, all: Vec<String> as texts },
        /// A result of what is not in the plan.
        NotPlanned "not-planned" { piece: String as Text, entry: String as Text },
        /// A result of a lot that was not begun, with a number written almost as this one's.
        OtherLot "other-lot" { piece: String as Text, lot: String as Text, entry: String as Text },
        /// The same without a piece.
        OtherLotNoPiece "other-lot-no-piece" { lot: String as Text, entry: String as Text },
        /// A rejection that is not the result of its piece.
        RejectedOtherwise "rejected-otherwise" { piece: String as Text, all: Vec<String> as texts, entry: String as Text },
        /// A rejection without a piece.
        RejectedNoPiece "rejected-no-piece" { entry: String as Text },
        /// Two sizes that cannot both be right.
        Contradicted "contradicted" {
            piece: String as Text, characteristic: String as Text, entry: String as Text, other: String as Text, e_n: f64 as Number,
        },
        /// What a gauge accepted that does not check this characteristic.
        GaugeUnfit "gauge-unfit" { piece: String as Text, characteristic: String as Text, entry: String as Text, why: Value as itself },
        /// What a gauge accepted, and a measured size that it cannot have passed.
        GaugeContradicted "gauge-contradicted" {
            piece: String as Text, characteristic: String as Text, entry: String as Text, other: String as Text, by: f64 as Difference,
        },
        /// What was found to conform, with a size beside it that is past a limit.
        StatedPastLimit "stated-past-limit" {
            piece: String as Text, characteristic: String as Text, entry: String as Text, size: Entered as Entered, limit: Entered as Entered,
        },
        /// A result whose verdict a saved recall changes.
        Recalled "recalled" { piece: String as Text, characteristic: String as Text, entry: String as Text, case: String as Text },
        /// A result that something else on the record speaks against.
        Against "against" { piece: String as Text, characteristic: String as Text, entry: String as Text, why: Against as said },
        /// A piece that was measured before its lot came in.
        BeforeReceipt "before-receipt" {
            piece: String as Text, characteristic: String as Text, entry: String as Text, measured: Date as Date, received: Date as Date,
        },
    }
}

/// A remark, and the piece that it is of.
#[derive(Clone, Debug)]
pub struct Remarked {
    /// None of one that is of no piece.
    pub piece: Option<String>,
    pub remark: LotRemark,
}
