//! Results of a lot that do not count: of another plan than the one that the lot was begun under, or after a rejection that
//! stands.

use ledger::{EntryId, Facts, Number, Text};
use metrology::decision::Rule;
use metrology::inspection::{Job, Scope};
use metrology::uncertainty::report::shortest_decimal;

use crate::inspection_plan::{Plan, Planned, Way};

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
        /// What the verdict covers: a place, where the plan has the part.
        Scope "other-scope",
        /// The way of measuring: not over the wires that the plan asks for.
        Way "other-way",
    }
}

/// Why a later result does not count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WhyNot {
    /// The piece is rejected: that stands until the result is amended, or somebody decides that the piece is worked on.
    Rejected,
    /// It is of another plan than the result that stands.
    OffPlan,
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

/// In what a result differs from what the plan of its lot has; `same_terms`: it measures that within the same limits. `job` is
/// that of a result which was not measured in a run of its lot: a run takes way and scope from the plan.
pub(super) fn off_plan(
    (facts, job): (&Facts, Option<&Job>),
    plan: &Plan,
    planned: &Planned,
    same_terms: bool,
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
    if !same_terms {
        return Some(OffPlan::Limits);
    }
    if let Some(job) = job {
        if job.scope == Some(Scope::Place) && planned.scope != Some(Scope::Place) {
            return Some(OffPlan::Scope);
        }
        if planned.way == Way::Wires && job.wires.is_none() {
            return Some(OffPlan::Way);
        }
    }
    let agreed = Rule::parse(&planned.rule.name, planned.rule.parameter);
    let parameter = facts.number(Number::RuleParameter).map(shortest_decimal);
    let decided = Rule::parse(facts.text(Text::Rule)?, parameter.flatten());
    (agreed.ok() != decided.ok()).then_some(OffPlan::Rule)
}
