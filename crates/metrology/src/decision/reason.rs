//! Why the verdict is what it is, for somebody who did not measure.

use rust_decimal::Decimal;

use super::zones::{Unusable, Zones};
use super::{Bounds, Rule, Told, Verdict};
use crate::units::{Length, LengthUnit};

crate::messages! {
    /// The numbers that decided. Lengths are exact millimetres; the digits of a measured one are chosen where it is told.
    pub enum Reason "reason" {
        /// Within the limits, without a guard band.
        Within "within" { size: Told as Told, limits: Range as said },
        /// Below the lower limit.
        Below "below" { size: Told as Told, by: Told as Told, limits: Range as said, none: Option<NoneAccepted> as said_if },
        /// Above the upper limit.
        Above "above" { size: Told as Told, by: Told as Told, limits: Range as said, none: Option<NoneAccepted> as said_if },
        /// Within the limits moved in by a guard band.
        WithinGuard "within-guard" { size: Told as Told, zone: Range as said, guard: Decimal as Exact },
        /// Within the limits moved out by a guard band.
        WithinWider "within-wider" { size: Told as Told, zone: Range as said, guard: Decimal as Exact },
        /// Within the limits, not within the guard band, and rejected.
        WithinLimitsOnly "within-limits-only" {
            size: Told as Told, limits: Range as said, zone: Range as said, guard: Decimal as Exact,
            none: Option<NoneAccepted> as said_if,
        },
        /// Within the limits, not within the guard band, and accepted under conditions.
        NearLimit "near-limit" {
            size: Told as Told, limits: Range as said, guard: Decimal as Exact, none: Option<NoneAccepted> as said_if,
        },
        /// Below the lower limit by no more than the guard band.
        JustBelow "just-below" {
            size: Told as Told, by: Told as Told, limits: Range as said, guard: Decimal as Exact,
            none: Option<NoneAccepted> as said_if,
        },
        /// Above the upper limit by no more than the guard band.
        JustAbove "just-above" {
            size: Told as Told, by: Told as Told, limits: Range as said, guard: Decimal as Exact,
            none: Option<NoneAccepted> as said_if,
        },
        /// Within the guard band of a limit, on either side.
        Unproven "unproven" {
            size: Told as Told, limits: Range as said, guard: Decimal as Exact, none: Option<NoneAccepted> as said_if,
        },
        /// Probable enough; `asked` is in percent.
        Probable "probable" {
            size: Told as Told, limits: Range as said, probability: f64 as Probability, asked: Decimal as Stated,
        },
        /// As improbable as the rule rejects; `complement` is in percent.
        Improbable "improbable" {
            size: Told as Told, limits: Range as said, probability: f64 as Probability, complement: Decimal as Stated,
            none: Option<NoneAccepted> as said_if,
        },
        /// Neither; both in percent.
        Between "between" {
            size: Told as Told, limits: Range as said, probability: f64 as Probability, complement: Decimal as Stated,
            asked: Decimal as Stated, none: Option<NoneAccepted> as said_if,
        },
        /// The rule needs two limits.
        OneLimit "one-limit" { rule: Rule as code },
        /// 2U/T is larger than the rule permits.
        TooUncertain "too-uncertain" { rule: Rule as code, ratio: Decimal as Stated, permitted: Decimal as Stated },
        /// The limits leave no tolerance.
        NoTolerance "no-tolerance" { rule: Rule as code },
    }
}

crate::messages! {
    /// Limits or the bounds of a zone, exact millimetres.
    pub enum Range "bounds" {
        /// Both.
        Between "between" { lower: Decimal as Exact, upper: Decimal as Exact },
        /// The lower one alone.
        AtLeast "or-more" { lower: Decimal as Exact },
        /// The upper one alone.
        AtMost "or-less" { upper: Decimal as Exact },
        /// Neither.
        Open "open",
    }
}

crate::messages! {
    /// That no size at all can be accepted.
    pub enum NoneAccepted "none-accepted" {
        /// The guard bands of both limits meet.
        GuardBandsMeet "guard-bands-meet",
        /// No size is probable enough.
        Improbable "improbable",
    }
}

/// What the reason is made from. Decimals are millimetres.
pub(super) struct Facts<'a> {
    pub size: Decimal,
    pub expanded: Decimal,
    pub limits: Bounds,
    pub margin: Length,
    pub rule: Rule,
    pub zones: &'a Zones,
    pub verdict: Verdict,
    pub probability: f64,
}

/// The numbers that decide.
pub(super) fn reason(facts: &Facts) -> Reason {
    if let Some(why) = facts.zones.unusable {
        return unusable(facts.rule, why);
    }
    if let Rule::Probability { least } = facts.rule {
        return probability(facts, least);
    }
    let size = facts.told();
    let limits = Range::from(facts.limits);
    let zone = Range::from(facts.zones.acceptance);
    let guard = facts.zones.guard_band.unwrap_or_default();
    let moved_in = guard.is_sign_positive();
    let by = Told::distance(
        facts.margin.abs().decimal(LengthUnit::Millimetre),
        facts.expanded,
    );
    let below = facts.limits.lower.is_some_and(|lower| facts.size < lower);
    let none = (facts.zones.acceptance.is_empty()).then_some(NoneAccepted::GuardBandsMeet);
    match facts.verdict {
        Verdict::Accept if guard.is_zero() => Reason::Within { size, limits },
        Verdict::Accept if moved_in => Reason::WithinGuard { size, zone, guard },
        Verdict::Accept => Reason::WithinWider {
            size,
            zone,
            guard: guard.abs(),
        },
        Verdict::ConditionalAccept => Reason::NearLimit {
            size,
            limits,
            guard,
            none,
        },
        Verdict::ConditionalReject if below => Reason::JustBelow {
            size,
            by,
            limits,
            guard,
            none,
        },
        Verdict::ConditionalReject => Reason::JustAbove {
            size,
            by,
            limits,
            guard,
            none,
        },
        Verdict::Undecided => Reason::Unproven {
            size,
            limits,
            guard,
            none,
        },
        _ if !facts.margin.is_negative() => Reason::WithinLimitsOnly {
            size,
            limits,
            zone,
            guard,
            none,
        },
        _ if below => Reason::Below {
            size,
            by,
            limits,
            none,
        },
        _ => Reason::Above {
            size,
            by,
            limits,
            none,
        },
    }
}

fn probability(facts: &Facts, least: Decimal) -> Reason {
    let (size, limits, probability) = (facts.told(), Range::from(facts.limits), facts.probability);
    let asked = (least * Decimal::ONE_HUNDRED).normalize();
    let complement = (Decimal::ONE_HUNDRED - asked).normalize();
    let none = (facts.zones.acceptance == Bounds::default()).then_some(NoneAccepted::Improbable);
    match facts.verdict {
        Verdict::Accept => Reason::Probable {
            size,
            limits,
            probability,
            asked,
        },
        Verdict::Reject => Reason::Improbable {
            size,
            limits,
            probability,
            complement,
            none,
        },
        _ => Reason::Between {
            size,
            limits,
            probability,
            complement,
            asked,
            none,
        },
    }
}

fn unusable(rule: Rule, why: Unusable) -> Reason {
    match why {
        Unusable::OneLimit => Reason::OneLimit { rule },
        Unusable::Ratio(None) => Reason::NoTolerance { rule },
        Unusable::Ratio(Some(ratio)) => Reason::TooUncertain {
            rule,
            ratio: ratio.round_dp(3).normalize(),
            permitted: rule.parameter().unwrap_or_default().normalize(),
        },
    }
}

impl Facts<'_> {
    fn told(&self) -> Told {
        let bounds = [self.limits, self.zones.acceptance, self.zones.rejection];
        Told::size(self.size, self.expanded, &bounds)
    }
}

impl From<Bounds> for Range {
    fn from(bounds: Bounds) -> Self {
        match (bounds.lower, bounds.upper) {
            (Some(lower), Some(upper)) => Self::Between { lower, upper },
            (Some(lower), None) => Self::AtLeast { lower },
            (None, Some(upper)) => Self::AtMost { upper },
            (None, None) => Self::Open,
        }
    }
}
