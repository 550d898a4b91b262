//! The verdict in one sentence, for somebody who did not measure.

use rust_decimal::Decimal;

use super::zones::{Unusable, Zones};
use super::{Bounds, Drawing, Rule, Verdict};
use crate::units::{Length, LengthUnit};

/// What the sentence is made from. Decimals are millimetres.
pub(super) struct Facts<'a> {
    pub size: Decimal,
    pub limits: Bounds,
    pub margin: Length,
    pub rule: Rule,
    pub zones: &'a Zones,
    pub verdict: Verdict,
    pub probability: f64,
    pub drawing: Drawing,
}

/// One sentence with the numbers that decide.
pub(super) fn sentence(facts: &Facts) -> String {
    if let Some(why) = facts.zones.unusable {
        return unusable(facts, why);
    }
    let text = |mm| facts.drawing.text(mm);
    let size = text(facts.size);
    let limits = facts.range(facts.limits);
    if let Rule::Probability { least } = facts.rule {
        return probability(facts, least, &size, &limits);
    }
    let guard = facts.zones.guard_band.unwrap_or_default();
    let mut sentence = if guard.is_zero() {
        match facts.verdict {
            Verdict::Accept => format!("{size} lies within the limits, {limits}"),
            _ => format!("{size} lies {} the limits, {limits}", facts.beyond()),
        }
    } else {
        let way = if guard.is_sign_positive() {
            "in"
        } else {
            "out"
        };
        let guard = text(guard.abs());
        let moved = format!(
            "{}, the limits moved {way} by a guard band of {guard}",
            facts.range(facts.zones.acceptance)
        );
        match facts.verdict {
            Verdict::Accept => format!("{size} lies within {moved}"),
            Verdict::ConditionalAccept => {
                format!(
                    "{size} lies within the limits, {limits}, but within {guard} of one of them"
                )
            }
            Verdict::ConditionalReject => {
                format!(
                    "{size} lies {} the limits, {limits}, but by no more than {guard}",
                    facts.beyond()
                )
            }
            Verdict::Undecided => format!(
                "{size} is nearer than {guard} to one of the limits, {limits}, so neither conformity nor \
                 nonconformity is proven"
            ),
            _ if facts.margin.is_negative() => {
                format!("{size} lies {} the limits, {limits}", facts.beyond())
            }
            _ => format!("{size} lies within the limits, {limits}, but not within {moved}"),
        }
    };
    if facts.zones.acceptance.is_empty() {
        sentence.push_str(
            "; the guard bands meet, so with this uncertainty no size at all can be accepted",
        );
    }
    sentence.push('.');
    sentence
}

fn probability(facts: &Facts, least: Decimal, size: &str, limits: &str) -> String {
    let percent = percent(facts.probability);
    let asked = (least * Decimal::ONE_HUNDRED).normalize();
    let complement = (Decimal::ONE_HUNDRED - asked).normalize();
    let meaning = match facts.verdict {
        Verdict::Accept => format!("at least the {asked} % asked for"),
        Verdict::Reject => format!("no more than {complement} %"),
        _ => format!("between {complement} % and the {asked} % asked for, so nothing is proven"),
    };
    let hopeless = if facts.zones.acceptance == Bounds::default() {
        "; with this uncertainty no size at all can be accepted"
    } else {
        ""
    };
    format!("{size} conforms to {limits} with a probability of {percent} %, {meaning}{hopeless}.")
}

fn unusable(facts: &Facts, why: Unusable) -> String {
    match why {
        Unusable::OneLimit => format!(
            "Rule {} compares the uncertainty with the tolerance and needs a lower and an upper limit; only one is set.",
            facts.rule
        ),
        Unusable::Ratio(ratio) => {
            let found = ratio.map_or_else(
                || "without bound".to_owned(),
                |ratio| format!("{}", ratio.round_dp(3).normalize()),
            );
            let permitted = facts.rule.parameter().unwrap_or_default().normalize();
            format!(
                "The uncertainty is too large for rule {}: 2U/T is {found}, and at most {permitted} is permitted.",
                facts.rule
            )
        }
    }
}

/// A probability in percent, cut to one decimal: never rounded up to certainty or to what was asked for.
fn percent(probability: f64) -> String {
    match probability * 100.0 {
        p if p > 99.9 && p < 100.0 => "more than 99.9".to_owned(),
        p if p > 0.0 && p < 0.1 => "less than 0.1".to_owned(),
        p => format!("{:.1}", (p * 10.0).floor() / 10.0),
    }
}

impl Facts<'_> {
    /// Bounds in words.
    fn range(&self, bounds: Bounds) -> String {
        let text = |mm| self.drawing.text(mm);
        match (bounds.lower, bounds.upper) {
            (Some(lower), Some(upper)) => format!("{} to {}", text(lower), text(upper)),
            (Some(lower), None) => format!("{} or more", text(lower)),
            (None, Some(upper)) => format!("{} or less", text(upper)),
            (None, None) => "no limits".to_owned(),
        }
    }

    /// By how much and on which side of the limits the size lies, when it lies outside.
    fn beyond(&self) -> String {
        let by = self
            .drawing
            .text(self.margin.abs().decimal(LengthUnit::Millimetre));
        let below = self.limits.lower.is_some_and(|lower| self.size < lower);
        format!("{by} {}", if below { "below" } else { "above" })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn certainty_is_never_rounded_to() {
        assert_eq!(percent(0.99999), "more than 99.9");
        assert_eq!(percent(1e-9), "less than 0.1");
        assert_eq!(percent(1.0), "100.0");
        assert_eq!(percent(0.9192), "91.9");
        assert_eq!(percent(0.94996), "94.9");
    }
}
