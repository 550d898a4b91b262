//! How far a size may move before the verdict on it would be another.

use rust_decimal::Decimal;

use super::zones::Zones;
use super::{Bounds, Rule, Verdict};

/// Distance in millimetres, from 0 up, from a size to the nearest boundary of the zone that gave its verdict;
/// `None` where the verdict claims nothing (undecided, unusable). `margin` is the distance to the nearest limit,
/// negative outside.
///
/// Under `simple`, `relaxed` and `false-accept-2` the boundary is the limit itself: these rules let the consumer or
/// the producer bear the doubt, and what is not in the uncertainty must not be added to it. There a verdict that
/// lies on the other side of the limit has no margin.
pub(super) fn zone_margin(
    rule: Rule,
    zones: &Zones,
    verdict: Verdict,
    size: Decimal,
    margin: Decimal,
) -> Option<Decimal> {
    let to_the_limit = matches!(
        rule,
        Rule::Simple { .. } | Rule::Relaxed { .. } | Rule::FalseAccept2
    );
    let distance = match verdict {
        Verdict::Accept if to_the_limit => margin,
        Verdict::Reject if to_the_limit => -margin,
        Verdict::Accept => inside(zones.acceptance, size),
        Verdict::Reject => -inside(zones.rejection, size),
        // Where the guard bands meet, nothing is accepted and the limits alone bound the zone.
        Verdict::ConditionalAccept if zones.acceptance.is_empty() => margin,
        Verdict::ConditionalAccept => margin.min(-inside(zones.acceptance, size)),
        Verdict::ConditionalReject => (-margin).min(inside(zones.rejection, size)),
        Verdict::Undecided | Verdict::Unusable => return None,
    };
    // The probability rule decides by the probability, and its bounds are rounded: the last digit may fall short.
    Some(distance.max(Decimal::ZERO))
}

/// How far a size lies inside its bounds; negative outside, 0 without any bound.
fn inside(bounds: Bounds, size: Decimal) -> Decimal {
    let above = bounds.lower.map(|lower| size - lower);
    let below = bounds.upper.map(|upper| upper - size);
    match (above, below) {
        (Some(above), Some(below)) => above.min(below),
        (only, None) | (None, only) => only.unwrap_or_default(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::{MeasurementUncertainty, decide};
    use super::*;
    use crate::limits::Limits;
    use crate::units::Length;

    fn decimal(text: &str) -> Decimal {
        text.parse().unwrap()
    }

    /// A size in micrometres between limits of 0 and 100 µm, u = 5 µm, k = 2: the verdict and the margin in
    /// micrometres.
    fn found(size: i32, rule: &str, parameter: Option<&str>) -> (Verdict, Option<Decimal>) {
        let limits = Limits::between(Length::from_micrometres(0), Length::from_micrometres(100));
        let rule = Rule::parse(rule, parameter.map(decimal)).unwrap();
        let uncertainty = MeasurementUncertainty::new(decimal("0.005"));
        let decision = decide(Length::from_micrometres(size), &uncertainty, limits, rule).unwrap();
        let micrometres = |mm: Decimal| (mm * Decimal::ONE_THOUSAND).normalize();
        (decision.verdict, decision.zone_margin.map(micrometres))
    }

    #[test]
    fn every_rule_and_verdict() {
        use Verdict::{Accept, ConditionalAccept, ConditionalReject, Reject, Undecided, Unusable};
        for (size, rule, parameter, verdict, margin) in [
            (97, "simple", None, Accept, Some("3")),
            (103, "simple", None, Reject, Some("3")),
            (50, "simple", Some("0.1"), Unusable, None),
            // Guard band 1.65 u = 8.25 µm.
            (90, "iso14253-1", None, Accept, Some("1.75")),
            (95, "iso14253-1", None, Undecided, None),
            (110, "iso14253-1", None, Reject, Some("1.75")),
            (-10, "iso14253-1", None, Reject, Some("1.75")),
            // Guard band U = 10 µm.
            (88, "guard-band", None, Accept, Some("2")),
            (13, "guard-band", None, Accept, Some("3")),
            (93, "guard-band", None, Reject, Some("3")),
            (108, "guard-band", Some("-1"), Accept, Some("2")),
            (113, "guard-band", Some("-1"), Reject, Some("3")),
            (88, "guard-band-four", None, Accept, Some("2")),
            (92, "guard-band-four", None, ConditionalAccept, Some("2")),
            (97, "guard-band-four", None, ConditionalAccept, Some("3")),
            (102, "guard-band-four", None, ConditionalReject, Some("2")),
            (-7, "guard-band-four", None, ConditionalReject, Some("3")),
            (114, "guard-band-four", None, Reject, Some("4")),
            // Guard bands that meet at 6 U.
            (
                60,
                "guard-band-four",
                Some("6"),
                ConditionalAccept,
                Some("40"),
            ),
            (60, "guard-band", Some("6"), Reject, Some("20")),
            (88, "stringent", None, Accept, Some("2")),
            (97, "stringent", None, Reject, Some("7")),
            // Limits moved out to -10 and 110 µm; what is unknown counts against the limits themselves.
            (98, "relaxed", None, Accept, Some("2")),
            (104, "relaxed", None, Accept, Some("0")),
            (112, "relaxed", None, Reject, Some("12")),
            // TUR = 5, M = 0: the limits themselves.
            (99, "false-accept-2", None, Accept, Some("1")),
            (101, "false-accept-2", None, Reject, Some("1")),
        ] {
            let expected = (verdict, margin.map(decimal));
            assert_eq!(found(size, rule, parameter), expected, "{size} {rule}");
        }
    }

    #[test]
    fn probability_has_its_bounds() {
        // 1.6449 u inside and outside the limits; 5 % of the other limit does not show 20 u away.
        for (size, verdict, margin) in [
            (90, Verdict::Accept, "1.7757"),
            (10, Verdict::Accept, "1.7757"),
            (111, Verdict::Reject, "2.7757"),
        ] {
            let (given, found) = found(size, "probability", None);
            assert_eq!(given, verdict);
            assert_eq!(found.unwrap().round_dp(4), decimal(margin));
        }
        assert_eq!(found(97, "probability", None), (Verdict::Undecided, None));
    }

    #[test]
    fn false_accept_within_the_managed_guard_band() {
        // T = 20 µm, U = 10 µm: TUR = 1, M = 1.04 - exp(-0.54) = 0.457, so 15.4 µm is the acceptance limit.
        let limits = Limits::between(Length::from_micrometres(0), Length::from_micrometres(20));
        let margin = |size, verdict| {
            let uncertainty = MeasurementUncertainty::new(decimal("0.005"));
            let size = Length::from_micrometres(size);
            let decision = decide(size, &uncertainty, limits, Rule::FalseAccept2).unwrap();
            assert_eq!(decision.verdict, verdict);
            decision.zone_margin.unwrap()
        };
        assert_eq!(margin(15, Verdict::Accept), decimal("0.005"));
        assert_eq!(margin(18, Verdict::Reject), Decimal::ZERO);
        assert_eq!(margin(23, Verdict::Reject), decimal("0.003"));
    }

    #[test]
    fn one_limit_has_one_boundary() {
        let limits = Limits {
            lower: Some(Length::from_micrometres(0)),
            upper: None,
        };
        let uncertainty = MeasurementUncertainty::new(decimal("0.005"));
        for (size, margin) in [(1000, "0.99"), (4, "0.006"), (-3, "0.013")] {
            let size = Length::from_micrometres(size);
            let rule = Rule::parse("guard-band", None).unwrap();
            let decision = decide(size, &uncertainty, limits, rule).unwrap();
            assert_eq!(decision.zone_margin, Some(decimal(margin)));
        }
    }
}
