//! Results of a lot that do not count: of another plan than the one that the lot was begun under, or after a rejection that
//! stands.

use ledger::{EntryId, Facts, Number, Text};
use metrology::decision::Rule;
use metrology::uncertainty::report::shortest_decimal;

use super::matrix::Matrix;
use crate::inspection_plan::{Plan, Planned};

metrology::codes! {
    /// In what a result differs from the plan that its lot was begun under: it gives no verdict there.
    pub enum OffPlan "off-plan" {
        /// Another part.
        Part "other-part",
        /// Another drawing, or another revision of it.
        Drawing "other-drawing",
        /// What is measured, or its limits.
        Limits "other-limits",
        /// The decision rule.
        Rule "other-rule",
    }
}

metrology::codes! {
    /// Why a later result does not count.
    pub enum WhyNot "not-counted" {
        /// The piece is rejected: that stands until the result is amended, or somebody decides that the piece is worked on.
        Rejected "rejected",
        /// It is of another plan than the result that stands.
        OffPlan "off-plan",
    }
}

/// A result that does not count, because another stands until somebody amends it or decides on the piece.
#[derive(Clone, Debug, PartialEq)]
pub struct NotCounted {
    pub piece: String,
    /// Of which characteristic, by its place in the plan.
    pub index: usize,
    pub entry: EntryId,
    /// The result that stands.
    pub stands: EntryId,
    pub why: WhyNot,
}

metrology::messages! {
    /// What is to be known of results that do not count.
    pub enum LotRemark "lot-remark" {
        /// A later result of a piece that is rejected.
        Rejected "rejected" { piece: String as Text, characteristic: String as Text, entry: String as Text, stands: String as Text },
        /// A result of another plan, beside one that counts.
        OffPlan "off-plan" { piece: String as Text, characteristic: String as Text, entry: String as Text, stands: String as Text },
        /// The only result is of another plan.
        OnlyOffPlan "only-off-plan" { piece: String as Text, characteristic: String as Text, entry: String as Text, differs: OffPlan as code },
    }
}

impl Matrix {
    /// What is to be known of results that do not count, piece by piece.
    pub fn remarks(&self) -> Vec<LotRemark> {
        let number = |index: usize| {
            let planned = self.plan.characteristics.get(index);
            planned.map_or_else(String::new, |planned| planned.number.clone())
        };
        let not_counted = self.not_counted.iter().map(|one| {
            let (piece, characteristic) = (one.piece.clone(), number(one.index));
            let (entry, stands) = (one.entry.to_string(), one.stands.to_string());
            match one.why {
                WhyNot::Rejected => LotRemark::Rejected { piece, characteristic, entry, stands },
                WhyNot::OffPlan => LotRemark::OffPlan { piece, characteristic, entry, stands },
            }
        });
        let cells = self.rows.iter().flat_map(|row| {
            let cells = row.cells.iter().enumerate();
            cells.filter_map(|(index, cell)| Some((&row.piece, index, cell.as_ref()?)))
        });
        let off_plan = cells.filter_map(|(piece, index, cell)| {
            Some(LotRemark::OnlyOffPlan {
                piece: piece.clone(),
                characteristic: number(index),
                entry: cell.entry?.to_string(),
                differs: OffPlan::of(cell.because.as_deref()?)?,
            })
        });
        not_counted.chain(off_plan).collect()
    }
}

/// In what a result differs from what the plan of its lot has.
pub(super) fn off_plan(
    facts: &Facts,
    plan: &Plan,
    planned: &Planned,
    given: Option<&str>,
) -> Option<OffPlan> {
    let is_other = |text: Text, of_plan: &str| {
        facts
            .text(text)
            .is_some_and(|stated| stated.trim() != of_plan.trim())
    };
    if is_other(Text::Part, &plan.part) {
        return Some(OffPlan::Part);
    }
    if is_other(Text::Drawing, &plan.drawing()) {
        return Some(OffPlan::Drawing);
    }
    if given.is_some_and(|given| is_other(Text::Given, given)) {
        return Some(OffPlan::Limits);
    }
    let agreed = Rule::parse(&planned.rule.name, planned.rule.parameter);
    let parameter = facts.number(Number::RuleParameter).map(shortest_decimal);
    let decided = Rule::parse(facts.text(Text::Rule)?, parameter.flatten());
    (agreed.ok() != decided.ok()).then_some(OffPlan::Rule)
}

