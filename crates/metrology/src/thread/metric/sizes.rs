//! The sizes of ISO 261 (`data/iso-metric/sizes.csv`).

use std::sync::LazyLock;

use serde::Deserialize;

use crate::tables;
use crate::units::{Length, LengthUnit};

/// A row of ISO 261; lengths in micrometres.
#[derive(Debug)]
pub(crate) struct MetricSize {
    pub diameter: Length,
    pub choice: u8,
    pub coarse: Option<Length>,
    pub fine: Vec<Length>,
}

#[derive(Deserialize)]
struct MetricRow {
    d_mm: String,
    choice: u8,
    coarse_pitch_mm: String,
    fine_pitches_mm: String,
}

static METRIC: LazyLock<Vec<MetricSize>> = LazyLock::new(|| {
    let mm = |number: &str| Length::from_decimal(number.parse().ok()?, LengthUnit::Millimetre).ok();
    let mut sizes: Vec<_> = tables::rows(tables::METRIC_SIZES)
        .into_iter()
        .filter_map(|row: MetricRow| {
            Some(MetricSize {
                diameter: mm(&row.d_mm)?,
                choice: row.choice,
                coarse: mm(&row.coarse_pitch_mm),
                fine: row
                    .fine_pitches_mm
                    .split_whitespace()
                    .filter_map(mm)
                    .collect(),
            })
        })
        .collect();
    sizes.sort_by_key(|size| size.diameter);
    sizes
});

impl MetricSize {
    /// The pitches, coarsest first.
    pub fn pitches(&self) -> impl Iterator<Item = Length> + '_ {
        self.coarse.into_iter().chain(self.fine.iter().copied())
    }
}

/// The row of a diameter.
pub(crate) fn metric_size(diameter: Length) -> Option<&'static MetricSize> {
    METRIC
        .binary_search_by_key(&diameter, |size| size.diameter)
        .ok()
        .and_then(|index| METRIC.get(index))
}

/// The row of the smallest listed diameter that is not below this one, or of the largest.
pub(crate) fn metric_size_at_or_above(diameter: Length) -> Option<&'static MetricSize> {
    let index = METRIC.partition_point(|size| size.diameter < diameter);
    METRIC.get(index).or_else(|| METRIC.last())
}

/// The row of the listed diameter nearest to this one.
pub(crate) fn metric_size_near(diameter: Length) -> Option<&'static MetricSize> {
    METRIC
        .iter()
        .min_by_key(|size| (size.diameter - diameter).abs())
}

/// Whether ISO 261 lists the pitch for the diameter.
pub(crate) fn is_listed_metric(diameter: Length, pitch: Length) -> bool {
    metric_size(diameter).is_some_and(|size| size.pitches().any(|listed| listed == pitch))
}

/// Every row, by diameter.
pub(crate) fn metric_sizes() -> impl Iterator<Item = &'static MetricSize> {
    METRIC.iter()
}
