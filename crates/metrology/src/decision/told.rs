//! How many digits of a measured size are told.

use rust_decimal::Decimal;

use super::drawing::{in_unit, rounded};
use super::{Bounds, Drawing};
use crate::message::Told;
use crate::uncertainty::report;

impl Told {
    /// A size that is compared with these bounds.
    pub fn size(value: Decimal, expanded: Decimal, bounds: &[Bounds]) -> Self {
        let both = |bounds: &Bounds| [bounds.lower, bounds.upper];
        let mut bounds: Vec<Decimal> = bounds.iter().flat_map(both).flatten().collect();
        bounds.sort_unstable();
        bounds.dedup();
        Self {
            value,
            expanded,
            bounds,
        }
    }

    /// The distance of a size from a bound, above 0.
    pub fn distance(value: Decimal, expanded: Decimal) -> Self {
        Self {
            value,
            expanded,
            bounds: vec![Decimal::ZERO],
        }
    }
}

impl Drawing {
    /// A measured size as text with its unit.
    pub fn told(self, told: &Told) -> String {
        if told.expanded.is_zero() {
            return self.text(told.value);
        }
        let value = in_unit(told.value, self.unit);
        let bounds = || told.bounds.iter().map(|bound| in_unit(*bound, self.unit));
        let least = report::round(value, in_unit(told.expanded, self.unit))
            .ok()
            .and_then(|rounded| u32::try_from(rounded.decimals).ok())
            .unwrap_or_default();
        let least = least.min(Self::MOST);
        let enough = |decimals: &u32| {
            bounds().all(|bound| rounded(value, *decimals).cmp(&bound) == value.cmp(&bound))
        };
        let decimals = (least..Self::MOST).find(enough).unwrap_or(Self::MOST);
        self.fixed(value, decimals)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::LengthUnit;

    fn told(unit: LengthUnit, value: &str, expanded: &str, bounds: &[&str]) -> String {
        let decimal = |text: &str| text.parse::<Decimal>().unwrap();
        let told = Told {
            value: decimal(value),
            expanded: decimal(expanded),
            bounds: bounds.iter().map(|bound| decimal(bound)).collect(),
        };
        Drawing { unit, decimals: 1 }.told(&told)
    }

    #[test]
    fn digits_that_the_uncertainty_allows() {
        let mm = |value, expanded, bounds: &[&str]| {
            told(LengthUnit::Millimetre, value, expanded, bounds)
        };
        let limits = ["3.9", "4.004"];
        assert_eq!(mm("3.9996667", "0.004", &limits), "3.9997 mm");
        assert_eq!(mm("3.9996667", "0.04", &limits), "4.000 mm");
        assert_eq!(mm("3.9996667", "12", &limits), "4 mm");
        // Beside a bound it has as many as tell the side.
        assert_eq!(mm("4.0040001", "0.004", &limits), "4.0040001 mm");
        assert_eq!(mm("4.004", "0.04", &limits), "4.004 mm");
        assert_eq!(mm("-0.0000001", "0.004", &limits), "0.0000 mm");
        assert_eq!(mm("0.0003", "0.2", &["0"]), "0.0003 mm");
        // Nothing uncertain: as the drawing writes it, and so that it reads as no limit.
        assert_eq!(mm("3.9996667", "0", &limits), "3.9997 mm");
    }

    #[test]
    fn inches_have_their_own_digits() {
        let inch = |value, bounds: &[&str]| told(LengthUnit::Inch, value, "0.0024", bounds);
        assert_eq!(inch("8.9253846", &[]), "0.351393 in");
        assert_eq!(inch("5.49656", &["5.49656"]), "0.216400 in");
    }
}
