//! Which severity of inspection the lots of a part before propose for the next one (MIL-STD-105E, 4.7).

use ledger::{Filter, Ledger, Order, Page, Subject};
use metrology::lot::LotVerdict;
use metrology::sampling::{LotResult, Proposal, Severity, next_severity};

use super::known::lot_of;
use super::matrix::{matrix_by_facts, open_runs};
use crate::error::Error;
use crate::inspection_plan::{By, Plan};
use crate::record_kind::RecordKind;

/// So many of the latest lots are looked at: the rules count to ten.
const LOOKED_AT: u32 = 30;

/// The severity that is proposed, with the numbers of the lots that count, the oldest first.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Switching {
    pub proposal: Proposal,
    pub lots: Vec<String>,
}

/// What the lots of the same part and AQL before propose for the next under a plan of MIL-STD-105E; none for a plan of another
/// kind. A lot without a verdict does not count.
pub fn switching(ledger: &Ledger, plan: &Plan) -> Result<Option<Switching>, Error> {
    let By::MilStd105E { aql, .. } = &plan.pieces.by else {
        return Ok(None);
    };
    let filter = Filter {
        subjects: vec![Subject::new("part", plan.part.trim())],
        ..RecordKind::Lot.standing()
    };
    let page = Page::first(Order::NewestFirst, LOOKED_AT);
    let mut lots = Vec::new();
    let mut results = Vec::new();
    for entry in ledger.list(&filter, &page)?.entries {
        let lot = lot_of(ledger, &entry)?;
        // Lots that came back do not count (4.7.1).
        if lot.begun.resubmits.is_some() {
            continue;
        }
        let severity = match &lot.begun.pieces.by {
            By::MilStd105E {
                aql: own, severity, ..
            } if own == aql => Severity::parse(severity),
            _ => continue,
        };
        let Ok(severity) = severity else { continue };
        let open = open_runs(ledger, &lot.begun.number)?;
        let matrix = matrix_by_facts(ledger, &lot, &open)?;
        let tally = matrix.tally(|_| String::new());
        let accepted = match tally.verdict().0 {
            LotVerdict::Accept => true,
            LotVerdict::Reject => false,
            LotVerdict::Undecided => continue,
        };
        results.push(LotResult {
            severity,
            accepted,
            // Of an undecided piece nobody knows that it conforms.
            between: accepted
                && tally.counts.pieces() - tally.counts.accept > lot.begun.pieces.accept,
        });
        lots.push(lot.begun.number);
    }
    lots.reverse();
    results.reverse();
    let proposal = next_severity(&results);
    Ok(Some(Switching { proposal, lots }))
}
