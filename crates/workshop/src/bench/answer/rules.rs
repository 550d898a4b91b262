//! The decision rules to choose from, and what each means for the limits of this part.

use metrology::decision::{Bounds, MeasurementUncertainty, Rule, decide};
use metrology::inspection::RuleName;
use metrology::units::Length;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::{Proposals, Table};
use crate::bench::question::Question;
use crate::bench::state::State;

/// The rules in the order of the list: what is taken where nothing was agreed comes first.
pub const LISTED: [&str; 8] = [
    "iso14253-1",
    "simple",
    "probability",
    "guard-band",
    "guard-band-four",
    "stringent",
    "relaxed",
    "false-accept-2",
];

/// The rules with what they make of the limits.
pub struct Rules {
    /// Expanded uncertainty that the best set-up at hand is expected to give, millimetres.
    pub expanded: Option<f64>,
    /// The limits, millimetres.
    pub limits: Bounds,
    pub zones: Vec<Zones>,
}

/// What one rule makes of the limits with that uncertainty.
pub struct Zones {
    pub name: &'static str,
    pub rule: Rule,
    /// Accepted from and to, rejected below and above, millimetres; none where no uncertainty is expected.
    pub accepted_rejected: Option<(Bounds, Bounds)>,
}

impl Table<'_> {
    /// The rules as this part's limits and the best set-up at hand have them; none where no rule is asked for.
    pub fn rules(&self) -> Option<Rules> {
        let target = self.state.target.as_ref()?;
        if self.state.question() != Question::Rule {
            return None;
        }
        let limits = target.limits;
        let expanded = self.expected_of_best();
        let uncertainty = expanded.and_then(|expanded| {
            let standard = MeasurementUncertainty::from_mm(expanded / 2.0).ok()?;
            Some(standard.with_coverage_factor(Decimal::TWO))
        });
        let bounds = Bounds::from(limits);
        let at = middle(bounds)?;
        let zones = LISTED.into_iter().filter_map(|name| {
            let rule = Rule::parse(name, None).ok()?;
            let decided = uncertainty
                .as_ref()
                .and_then(|uncertainty| decide(at, uncertainty, limits, rule).ok());
            Some(Zones {
                name,
                rule,
                accepted_rejected: decided.map(|decided| (decided.acceptance, decided.rejection)),
            })
        });
        Some(Rules {
            expanded,
            limits: bounds,
            zones: zones.collect(),
        })
    }

    /// The expanded uncertainty of the set-up that will be proposed first, millimetres.
    fn expected_of_best(&self) -> Option<f64> {
        let mut with = self.state.clone();
        with.rule = Some(RuleName {
            name: LISTED[0].to_owned(),
            parameter: None,
            assumed: true,
        });
        with.service = Some(None);
        let proposals = Proposals::default();
        let table = self.at(&with, &proposals);
        let best = table.set_ups().into_iter().next()?;
        best.expected.map(|(expanded, _)| expanded)
    }

    /// The same table at another state.
    pub(super) fn at<'b>(&'b self, state: &'b State, proposals: &'b Proposals) -> Table<'b> {
        Table {
            state,
            register: self.register,
            today: self.today,
            last_part: None,
            room: None,
            parked_jobs: false,
            blocks: self.blocks,
            proposals,
        }
    }
}

/// A size within the limits, to ask the rules at.
fn middle(limits: Bounds) -> Option<Length> {
    let size = match (limits.lower, limits.upper) {
        (Some(lower), Some(upper)) => lower.checked_add(upper)?.checked_div(Decimal::TWO)?,
        (Some(only), None) | (None, Some(only)) => only,
        (None, None) => return None,
    };
    Length::nearest_mm(size.to_f64()?).ok()
}
