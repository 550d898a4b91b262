//! Plain gauges for the crest: gagemaker classes of ASME B89.1.5.
//!
//! The class is chosen by the trade's ten per cent rule: one twentieth of the product tolerance to each gauge, and
//! the coarsest class that keeps within it ([`Source::CommonPractice`](crate::source::Source::CommonPractice)).

use super::{Crest, Direction, Gauge, GaugeName, GaugeNote, minus, plus, tables};
use crate::designation::Kind;
use crate::limits::{Limits, ThreadLimits};
use crate::source::Confidence;
use crate::units::Length;

/// A gagemaker class, finest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PlainClass {
    XXX,
    /// Masters.
    XX,
    /// Fine working gauges.
    X,
    /// Between X and Z.
    Y,
    /// Usual working gauges.
    Z,
    /// Pins and cheap rings.
    ZZ,
}

impl PlainClass {
    /// Finest first, as the table has them.
    pub const ALL: [Self; 6] = [Self::XXX, Self::XX, Self::X, Self::Y, Self::Z, Self::ZZ];

    /// As it is written.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::XXX => "XXX",
            Self::XX => "XX",
            Self::X => "X",
            Self::Y => "Y",
            Self::Z => "Z",
            Self::ZZ => "ZZ",
        }
    }
}

/// A class and what it allows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PlainTolerance {
    pub class: PlainClass,
    /// Its whole tolerance, one way.
    pub tolerance: Length,
}

/// The tolerance of a class at a diameter over 0.010 up to 12.010 in.
pub fn plain_tolerance(class: PlainClass, diameter: Length) -> Option<Length> {
    PlainClass::ALL
        .into_iter()
        .zip(tables::plain(diameter)?)
        .find(|(other, _)| *other == class)
        .map(|(_, tolerance)| tolerance)
}

/// The coarsest class up to Z whose tolerance keeps within a twentieth of the product tolerance; `None` if even XXX
/// does not, or the diameter is outside the table.
///
/// ZZ is left to pins and cheap rings.
pub fn share_class(diameter: Length, product_tolerance: Length) -> Option<PlainTolerance> {
    PlainClass::ALL
        .into_iter()
        .zip(tables::plain(diameter)?)
        .filter(|(class, _)| *class != PlainClass::ZZ)
        .filter(|(_, tolerance)| tolerance.times(20) <= product_tolerance)
        .map(|(class, tolerance)| PlainTolerance { class, tolerance })
        .next_back()
}

/// The plain gauges for the crest, and what to say about them.
pub(super) struct Plain {
    pub gauges: Vec<Gauge>,
    pub note: GaugeNote,
}

/// Plain plugs for the minor diameter of a nut, plain rings for the major diameter of a bolt.
pub(super) fn gauges(thread: &ThreadLimits) -> Plain {
    let (limits, crest) = match thread.kind {
        Kind::Internal => (thread.minor, Crest::Minor),
        Kind::External => (thread.major, Crest::Major),
    };
    let none = |note: GaugeNote| Plain {
        gauges: Vec::new(),
        note,
    };
    let Limits {
        lower: Some(lower),
        upper: Some(upper),
    } = limits
    else {
        return none(GaugeNote::NoCrestLimits { crest });
    };
    let Some(PlainTolerance { class, tolerance }) = share_class(upper, upper - lower) else {
        return none(GaugeNote::NoPlainGauges { crest });
    };
    let gauge = |name, diameter, direction| Gauge {
        diameter,
        confidence: Confidence::Solid,
        ..Gauge::named(name, format!("ASME B89.1.5 {}", class.symbol()), direction)
    };
    let gauges = match thread.kind {
        Kind::Internal => vec![
            gauge(
                GaugeName::GoPlainPlug,
                plus(lower, tolerance),
                Direction::UpFromSmallestMinor,
            ),
            gauge(
                GaugeName::NotGoPlainPlug,
                minus(upper, tolerance),
                Direction::DownFromLargestMinor,
            ),
        ],
        Kind::External => vec![
            gauge(
                GaugeName::GoPlainRing,
                minus(upper, tolerance),
                Direction::DownFromLargestMajor,
            ),
            gauge(
                GaugeName::NotGoPlainRing,
                plus(lower, tolerance),
                Direction::UpFromSmallestMajor,
            ),
        ],
    };
    Plain {
        gauges,
        note: GaugeNote::PlainGauges {
            crest,
            class: class.symbol(),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::LengthUnit;

    fn inch(text: &str) -> Length {
        Length::from_decimal(text.parse().unwrap(), LengthUnit::Inch).unwrap()
    }

    /// Both examples of the ten per cent rule on a gauge-house page, and the ends of the table.
    #[test]
    fn the_share_decides_the_class() {
        let class = |upper, tolerance| share_class(inch(upper), inch(tolerance));
        assert_eq!(class("0.5020", "0.0020").unwrap().class, PlainClass::Z);
        let fine = class("0.5010", "0.0010").unwrap();
        assert_eq!(
            (fine.class, fine.tolerance),
            (PlainClass::X, inch("0.00004"))
        );
        assert_eq!(class("0.5", "0.0001"), None);
        assert_eq!(class("0.010", "1"), None);
        assert_eq!(class("12.010", "0.1").unwrap().class, PlainClass::Z);
        assert_eq!(class("12.011", "0.1"), None);
    }

    /// TM 9-243, p. 15-2: class Z above 0.825 in up to 1.510 in.
    #[test]
    fn published_class_cells() {
        assert_eq!(
            plain_tolerance(PlainClass::Z, inch("1.510")),
            Some(inch("0.000120"))
        );
        assert_eq!(
            plain_tolerance(PlainClass::ZZ, inch("0.825")),
            Some(inch("0.000200"))
        );
    }
}
