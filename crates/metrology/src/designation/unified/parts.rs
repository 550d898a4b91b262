//! What was read of a designation, before it is put together.

use super::stated::Stated;
use crate::thread::Kind;
use crate::thread::unified::{
    Class, Meaning, Series, bare_number, number_size, size_and_count, unified_size,
};
use crate::units::ThreadsPerInch;

/// A size as written.
pub(super) enum Size {
    /// In ten-thousandths of an inch.
    Known(u32),
    /// A whole number without a sign that tells its meaning.
    Bare(u32),
}

/// What was read before it is put together.
pub(super) struct Parts<'t> {
    pub size: Size,
    pub three_decimals: bool,
    pub size_from: usize,
    pub size_end: usize,
    pub size_typed: &'t str,
    pub count: Option<ThreadsPerInch>,
    pub count_typed: &'t str,
    pub count_from: usize,
    pub count_end: usize,
    pub lead_starts: Option<u16>,
    /// With the place of the symbol.
    pub series: Option<((Series, bool), usize, usize)>,
}

/// The elements that only Unified designations have.
#[derive(Default)]
pub(super) struct Elements {
    pub class: Option<(Class, Kind, bool)>,
    /// The class of the other thread of a fit, `2A/2B`.
    pub other: Option<(Class, Kind, bool)>,
    pub class_from: usize,
    pub class_end: usize,
    pub class_typed: String,
    pub special_engagement: bool,
    pub special_from: usize,
    pub stated: Vec<Stated>,
}

impl Parts<'_> {
    /// The diameter, in ten-thousandths of an inch; a number that may be either is taken as inches.
    fn diameter(&self) -> u32 {
        match self.size {
            Size::Known(diameter) => diameter,
            Size::Bare(number) => match bare_number(number, self.count) {
                Some(Meaning::Number) => number_size(number).unwrap_or(0),
                _ => number.saturating_mul(10_000),
            },
        }
    }

    /// Whether ASME B1.1 lists size and count together.
    pub(super) fn is_listed(&self) -> bool {
        let listed = |count| unified_size(self.diameter(), count).is_some();
        self.count.is_some_and(listed)
    }

    /// Size, count and the series they belong to: the beginning of a suggestion.
    pub(super) fn stem(&self) -> String {
        let diameter = self.diameter();
        let Some(count) = self.count else {
            return self.size_typed.to_owned();
        };
        let listed = unified_size(diameter, count);
        let series = listed.map_or(Series::Special, |size| size.series);
        let root = self.series.is_some_and(|((_, root), ..)| root);
        format!(
            "{} {}",
            size_and_count(diameter, count),
            series.symbol(root)
        )
    }
}
