//! The published tables of the top-level `data` folder, compiled in.
//!
//! A row that cannot be read is left out here and fails the test that reads every row of every file, so that
//! no such row reaches a user.

use serde::de::DeserializeOwned;

/// Sizes and counts of the Unified series.
pub(crate) const UNIFIED_SERIES: &str = include_str!("../../../data/unified/series.csv");
/// Values that published Unified tables hold on to against the formula.
pub(crate) const UNIFIED_EXCEPTIONS: &str = include_str!("../../../data/unified/exceptions.csv");
/// Cells where published Unified tables differ from what is calculated here.
pub(crate) const UNIFIED_DISPUTED: &str = include_str!("../../../data/unified/disputed.csv");
/// Diameters and pitches of ISO 261.
pub(crate) const METRIC_SIZES: &str = include_str!("../../../data/iso-metric/sizes.csv");
/// Fundamental deviations of ISO 965-1.
pub(crate) const METRIC_DEVIATIONS: &str =
    include_str!("../../../data/iso-metric/fundamental-deviations.csv");
/// Td of ISO 965-1.
pub(crate) const METRIC_MAJOR: &str = include_str!("../../../data/iso-metric/major-external.csv");
/// TD1 of ISO 965-1.
pub(crate) const METRIC_MINOR: &str = include_str!("../../../data/iso-metric/minor-internal.csv");
/// Td2 of ISO 965-1.
pub(crate) const METRIC_PITCH_EXTERNAL: &str =
    include_str!("../../../data/iso-metric/pitch-diameter-external.csv");
/// TD2 of ISO 965-1.
pub(crate) const METRIC_PITCH_INTERNAL: &str =
    include_str!("../../../data/iso-metric/pitch-diameter-internal.csv");
/// Lengths of engagement of ISO 965-1.
pub(crate) const METRIC_ENGAGEMENT: &str = include_str!("../../../data/iso-metric/engagement.csv");

/// American wire gauge.
pub(crate) const AWG: &str = include_str!("../../../data/awg.csv");
/// Least pull forces of crimps, by standard.
pub(crate) const CRIMP_PULL_FORCE: &str = include_str!("../../../data/crimp-pull-force.csv");
/// Density and specific heat of materials.
pub(crate) const HEAT: &str = include_str!("../../../data/heat.csv");

/// The rows of a table.
pub(crate) fn rows<T: DeserializeOwned>(table: &'static str) -> Vec<T> {
    csv::Reader::from_reader(table.as_bytes())
        .into_deserialize()
        .filter_map(Result::ok)
        .collect()
}
