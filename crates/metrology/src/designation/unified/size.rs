//! Listed sizes, and which diameters are taken.

use super::parts::Parts;
use crate::thread::unified::Series;
use crate::thread::unified::{UnifiedSize, unified_size, unified_sizes};
use crate::units::ThreadsPerInch;

/// The listed thread of a size that was written to three decimals, `.312-18` for 5/16-18.
pub(super) fn rounded_size(
    parts: &Parts<'_>,
    diameter: u32,
    count: ThreadsPerInch,
) -> Option<&'static UnifiedSize> {
    if !parts.three_decimals || unified_size(diameter, count).is_some() {
        return None;
    }
    [diameter.saturating_sub(5), diameter + 5]
        .into_iter()
        .find_map(|near| unified_size(near, count))
}

/// The largest and smallest diameters taken, in ten-thousandths of an inch. ASME B1.1 tabulates 0.060 to 6 in.
pub(super) const DIAMETERS: std::ops::RangeInclusive<u32> = 300..=120_000;

/// Coarse and fine threads with a count.
pub(super) fn with_count(count: u32) -> Vec<String> {
    let Some(count) = u16::try_from(count).ok().map(ThreadsPerInch::whole) else {
        return Vec::new();
    };
    unified_sizes()
        .filter(|size| size.count == count && matches!(size.series, Series::Coarse | Series::Fine))
        .map(UnifiedSize::listed)
        .collect()
}
