//! A size that is written behind the answer on a piece, as a document states it.

use metrology::inspection::{Characteristic, Target};
use metrology::limits::Limits;
use metrology::units::{Entered, LengthUnit};

/// A size that is not what the piece was said to conform to, and the limit that it is past.
#[derive(Clone, Debug, PartialEq)]
pub struct PastLimit {
    pub size: Entered,
    pub limit: Entered,
}

/// The size that a text is, or begins with, where it is past a limit of what is asked for. A number without a unit is in that of
/// the drawing.
pub fn past_limit(text: &str, asked: &Characteristic) -> Option<PastLimit> {
    let target = Target::of(asked).ok()?;
    let size = size(text, target.unit)?;
    let Limits { lower, upper } = target.limits;
    let lower = lower.filter(|lower| size.value() < *lower);
    let limit = lower.or_else(|| upper.filter(|upper| size.value() > *upper))?;
    let limit = Entered::of(limit, target.unit);
    Some(PastLimit { size, limit })
}

/// Whether a text is a size and nothing else.
pub fn is_bare(text: &str) -> bool {
    Entered::parse(text, Some(LengthUnit::Millimetre)).is_ok()
}

fn size(text: &str, unit: LengthUnit) -> Option<Entered> {
    let mut words = text.split_whitespace();
    let first = words.next().unwrap_or_default();
    let with_unit = words.next().map(|second| format!("{first} {second}"));
    let all = [Some(text.to_owned()), with_unit, Some(first.to_owned())];
    let mut all = all.into_iter().flatten();
    all.find_map(|text| Entered::parse(&text, Some(unit)).ok())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_size_is_read_at_the_beginning_of_a_text() {
        let mm = |text: &str| Some(Entered::parse(text, Some(LengthUnit::Millimetre)).unwrap());
        let asked = Characteristic::Stated {
            name: "length".to_owned(),
            lower: mm("9.90"),
            upper: mm("10.00"),
        };
        let limit = |text: &str| past_limit(text, &asked).map(|past| past.limit.value().mm());
        assert_eq!(limit("12.5"), Some(10.0));
        assert_eq!(limit("12,5 mm by certificate"), Some(10.0));
        assert_eq!(limit("0.35 in"), Some(9.9));
        assert_eq!(limit("9.899 mean"), Some(9.9));
        for text in ["9.90", "10.00 mm", "by certificate 12", "", "C-77"] {
            assert_eq!(limit(text), None, "{text}");
        }
        assert!(is_bare("12.5") && is_bare("12,5 mm"));
        assert!(!is_bare("2 small burrs") && !is_bare(""));
    }
}
