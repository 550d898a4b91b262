//! Readings that would be expected if the micrometer showed the other unit.

use metrology::inspection::in_other_unit;
use metrology::units::{Entered, Length, LengthUnit};

use super::{Command, Table};
use crate::bench::question::Question;
use crate::bench::refusal::{Refusal, Refused};

/// A reading no further than this from what is measured is taken to be of it (common practice, no source).
const NEAR: Length = Length::from_micrometres(1000);

/// A size smaller than the distance above is near only to what is of its own order.
fn near(of: Length, size: Length) -> bool {
    let off = (size - of).abs();
    off <= NEAR && off.times(2) <= of.abs()
}

impl Table<'_> {
    /// Why a reading of the standard or the part is refused that would be expected if the micrometer showed the other unit.
    /// Nothing is converted: only who stands at the micrometer can see its unit.
    pub(super) fn in_other_unit(&self, reading: &Entered) -> Option<Refusal> {
        if matches!(
            self.state.question(),
            Question::Closure { .. } | Question::ZeroDoubt { .. }
        ) {
            let standard = self.state.standard.as_ref()?.size.value();
            return self.if_in_other_unit(reading, |size| near(standard, size));
        }
        let limits = self.state.limits_as_shown();
        let mut limits = limits.lower.into_iter().chain(limits.upper);
        self.if_in_other_unit(reading, |size| limits.any(|limit| near(limit, size)))
    }

    /// Why a reading of the part is refused that is near nothing as typed, and fits if the micrometer showed the other unit.
    /// It is held against the limits, and against the other readings but the one that it replaces.
    pub(super) fn part_in_other_unit(
        &self,
        reading: &Entered,
        instead_of: Option<u64>,
    ) -> Option<Refusal> {
        let limits = self.state.limits_as_shown();
        let others = self.state.readings.iter();
        let others = others.filter(|other| Some(other.number) != instead_of);
        let others: Vec<Length> = others.map(|other| other.shown.value()).collect();
        let fits = |size: Length| {
            let between = matches!((limits.lower, limits.upper), (Some(lower), Some(upper)) if (lower..=upper).contains(&size));
            let limits = limits.lower.into_iter().chain(limits.upper);
            between
                || limits
                    .chain(others.iter().copied())
                    .any(|of| near(of, size))
        };
        if fits(reading.value()) {
            return None;
        }
        self.if_in_other_unit(reading, fits)
    }

    /// The same of a size that is told by `is_expected`.
    pub(super) fn if_in_other_unit(
        &self,
        reading: &Entered,
        mut is_expected: impl FnMut(Length) -> bool,
    ) -> Option<Refusal> {
        let (other, size) = in_other_unit(reading)?;
        if !is_expected(size) {
            return None;
        }
        let unit = reading.unit();
        let decimals = if unit == LengthUnit::Inch { 4 } else { 3 };
        let entered = |text: String, unit| Entered::parse(&text, Some(unit)).ok();
        let reading = entered(reading.number().to_string(), other)?;
        let size = entered(size.to_fixed(unit, decimals), unit)?;
        if !self.commands().contains(&Command::Unit) {
            return Some(Refusal::new(Refused::InOtherUnit {
                reading,
                size,
                unit,
                other,
            }));
        }
        let line = format!("/{}", Command::Unit.word());
        Some(Refusal {
            suggestions: vec![line.clone()],
            ..Refusal::new(Refused::InOtherUnitAtFirst {
                reading,
                size,
                unit,
                other,
                line,
            })
        })
    }
}
