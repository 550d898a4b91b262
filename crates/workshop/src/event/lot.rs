//! What a run of a lot measures, as its plan says.

use metrology::inspection::{Characteristic, GaugeMember, RuleName, Scope};

use super::places::Spot;
use crate::inspection_plan::Way;

/// One characteristic of a lot.
#[derive(Clone, Debug, PartialEq)]
pub struct OfLot {
    /// The number of the lot, and the entry that began it.
    pub lot: String,
    pub lot_entry: String,
    /// What the plan is called, and the entry that holds it.
    pub plan: String,
    pub plan_entry: String,
    pub part: String,
    pub drawing: String,
    pub order: Option<String>,
    /// The number of the characteristic.
    pub number: String,
    pub way: Way,
    /// What the plan gives limits of: what is measured, or what a gauge or a document shows.
    pub measured: Option<Characteristic>,
    /// The thread that a gauge checks, and which gauge, where the plan says so.
    pub thread: Option<String>,
    pub gauge: Option<GaugeMember>,
    pub says: Option<String>,
    pub scope: Option<Scope>,
    pub rule: RuleName,
    pub agreed: Option<String>,
    /// Where; empty where the plan leaves it to the usual places.
    pub spots: Vec<Spot>,
    /// How many pieces, where that is known.
    pub n: Option<u64>,
}
