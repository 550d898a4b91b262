//! Whether a calibration is good: the criterion that is stored with the instrument, and what others say of the same curve.

use crate::decision::{DecisionError, MeasurementUncertainty, Rule, Verdict, decide};
use crate::limits::Limits;
use crate::units::{Entered, Length};

crate::codes! {
    /// What of an error curve is held against a limit.
    pub enum Shape "criterion-shape" {
        /// The largest error less the smallest.
        Span "span",
        /// Every error, either way of zero.
        EitherWay "either-way",
    }
}

crate::codes! {
    /// How a verdict is made.
    pub enum Guard "criterion-guard" {
        /// Without a guard band.
        Simple "simple",
        /// Good or bad only where that is proven (ISO 14253-1:2017).
        Guarded "guarded",
    }
}

crate::codes! {
    /// By what a curve is judged.
    pub enum Norm "calibration-norm" {
        /// The criterion that is stored with the instrument.
        Own "own",
        /// DIN 863-1: the span of the curve within f_max.
        Din863 "din-863-1",
        /// GGG-C-105C and ASME B89.1.13: every error within a limit by the range.
        AsmeB89 "asme-b89.1.13",
    }
}

impl Guard {
    /// The decision rule.
    pub const fn rule(self) -> Rule {
        match self {
            Self::Simple => Rule::Simple {
                largest_ratio: None,
            },
            Self::Guarded => Rule::Iso14253_1,
        }
    }
}

/// What the errors of an instrument must keep.
#[derive(Clone, Debug, PartialEq)]
pub struct Criterion {
    /// What is held against the limit.
    pub shape: Shape,
    pub limit: Entered,
    pub guard: Guard,
}

/// A value held against a limit.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// By what.
    pub norm: Norm,
    /// What is held.
    pub shape: Shape,
    /// The limit, millimetres.
    pub limit: f64,
    /// The value: the span, or the error that is largest either way, millimetres.
    pub value: f64,
    /// Its standard uncertainty, millimetres.
    pub standard_uncertainty: f64,
    /// Without a guard band.
    pub simple: Verdict,
    /// With one.
    pub guarded: Verdict,
}

impl Judged {
    /// The verdict by a guard.
    pub const fn by(&self, guard: Guard) -> Verdict {
        match guard {
            Guard::Simple => self.simple,
            Guard::Guarded => self.guarded,
        }
    }
}

/// A value that has an uncertainty, millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Uncertain {
    pub value: f64,
    /// Its standard uncertainty.
    pub standard_uncertainty: f64,
    /// The degrees of freedom of that.
    pub degrees_of_freedom: f64,
}

/// What the value of a characteristic says against a limit: of a span and of flatness from above, of an error either way.
pub fn verdict(
    of: Uncertain,
    shape: Shape,
    limit: Length,
    guard: Guard,
) -> Result<Verdict, DecisionError> {
    let limits = match shape {
        Shape::Span => Limits::at_most(limit),
        Shape::EitherWay => Limits::between(Length::ZERO - limit, limit),
    };
    let uncertainty = MeasurementUncertainty::from_mm(of.standard_uncertainty)?
        .with_degrees_of_freedom(of.degrees_of_freedom);
    let value = Length::nearest_mm(of.value).map_err(|_| DecisionError::TooLarge)?;
    decide(value, &uncertainty, limits, guard.rule()).map(|decision| decision.verdict)
}

/// A value held against a limit, with and without a guard band.
pub fn judge(
    norm: Norm,
    shape: Shape,
    limit: Length,
    of: Uncertain,
) -> Result<Judged, DecisionError> {
    let by = |guard| verdict(of, shape, limit, guard);
    Ok(Judged {
        norm,
        shape,
        limit: limit.mm(),
        value: of.value,
        standard_uncertainty: of.standard_uncertainty,
        simple: by(Guard::Simple)?,
        guarded: by(Guard::Guarded)?,
    })
}

/// f_max of DIN 863-1 by the lower limit of the range: floor(4 + L/50) µm, L in mm, up to ranges of 200 mm (a public reprint
/// of the table; the formula by fit, all rows agree).
pub fn din_span(lower: Length) -> Option<Length> {
    let millimetres = whole_millimetres(lower)?;
    Some(Length::from_micrometres(4 + millimetres / 50))
}

/// Parallelism of the faces of DIN 863-1 at 10 N: round(2 + L/100) µm (the same reprint).
pub fn din_parallelism(lower: Length) -> Option<Length> {
    let millimetres = whole_millimetres(lower)?;
    Some(Length::from_micrometres(2 + (millimetres + 50) / 100))
}

/// Flatness of each face: 0.6 µm, two interference bands (DIN 863-1; from memory).
pub const DIN_FLATNESS: Length = Length::from_tenth_nanometres(6000);

/// The lower limit of a range of 25 mm that DIN 863-1 has a row for.
fn whole_millimetres(lower: Length) -> Option<i32> {
    let millimetres = lower.tenth_nanometres() / 10_000_000;
    i32::try_from(millimetres)
        .ok()
        .filter(|known| (0..=175).contains(known))
}

/// Largest error of inch micrometers, either way: 0.0001 in up to 1 in, 0.0002 in up to 9 in (GGG-C-105C and ASME B89.1.13 as a
/// practitioner quotes them; the end at 9 in is uncertain).
pub fn inch_limit(upper: Length) -> Option<Length> {
    let ten_thousandths = upper.tenth_nanometres() / 25_400;
    match ten_thousandths {
        ..=10_000 => Some(Length::from_ten_thousandths_inch(1)),
        10_001..=90_000 => Some(Length::from_ten_thousandths_inch(2)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rows_of_the_table() {
        let mm = |count: i32| Length::from_micrometres(count * 1000);
        let um = Length::from_micrometres;
        for (lower, span, parallelism) in [
            (0, 4, 2),
            (25, 4, 2),
            (50, 5, 3),
            (75, 5, 3),
            (100, 6, 3),
            (125, 6, 3),
            (150, 7, 4),
            (175, 7, 4),
        ] {
            assert_eq!(din_span(mm(lower)), Some(um(span)), "{lower}");
            assert_eq!(din_parallelism(mm(lower)), Some(um(parallelism)), "{lower}");
        }
        assert_eq!(din_span(mm(200)), None);
        assert_eq!(inch_limit(mm(25)).unwrap().tenth_nanometres(), 25_400);
        assert_eq!(inch_limit(mm(50)).unwrap().tenth_nanometres(), 50_800);
    }

    /// +1 to +4 µm passes a span of 4 µm and fails ±2.5 µm.
    #[test]
    fn one_curve_passes_by_one_shape_and_fails_by_the_other() {
        let of = |value| Uncertain {
            value,
            standard_uncertainty: 0.0003,
            degrees_of_freedom: f64::INFINITY,
        };
        let um = Length::from_micrometres;
        let span = judge(Norm::Din863, Shape::Span, um(4), of(0.003)).unwrap();
        assert_eq!(
            (span.simple, span.guarded),
            (Verdict::Accept, Verdict::Accept)
        );
        let limit = Length::from_tenth_nanometres(25_000);
        let either = judge(Norm::Own, Shape::EitherWay, limit, of(0.004)).unwrap();
        assert_eq!(
            (either.simple, either.guarded),
            (Verdict::Reject, Verdict::Reject)
        );
        let near = judge(Norm::Own, Shape::EitherWay, limit, of(-0.0024)).unwrap();
        assert_eq!(
            (near.simple, near.guarded),
            (Verdict::Accept, Verdict::Undecided)
        );
    }
}
