//! The published tables of the top-level `data` folder, compiled in.
//!
//! A row that cannot be read is left out here and fails the test that reads every row of every file, so that
//! no such row reaches a user.

use csv::StringRecord;
use serde::de::DeserializeOwned;

use crate::units::{Length, LengthUnit};

/// Sizes and counts of the Unified series.
pub(crate) const UNIFIED_SERIES: &str = include_str!("../data/unified/series.csv");
/// Values that published Unified tables hold on to against the formula.
pub(crate) const UNIFIED_EXCEPTIONS: &str = include_str!("../data/unified/exceptions.csv");
/// Cells where published Unified tables differ from what is calculated here.
pub(crate) const UNIFIED_DISPUTED: &str = include_str!("../data/unified/disputed.csv");
/// Diameters and pitches of ISO 261.
pub(crate) const METRIC_SIZES: &str = include_str!("../data/iso-metric/sizes.csv");
/// Fundamental deviations of ISO 965-1.
pub(crate) const METRIC_DEVIATIONS: &str =
    include_str!("../data/iso-metric/fundamental-deviations.csv");
/// Td of ISO 965-1.
pub(crate) const METRIC_MAJOR: &str = include_str!("../data/iso-metric/major-external.csv");
/// TD1 of ISO 965-1.
pub(crate) const METRIC_MINOR: &str = include_str!("../data/iso-metric/minor-internal.csv");
/// Td2 of ISO 965-1.
pub(crate) const METRIC_PITCH_EXTERNAL: &str =
    include_str!("../data/iso-metric/pitch-diameter-external.csv");
/// TD2 of ISO 965-1.
pub(crate) const METRIC_PITCH_INTERNAL: &str =
    include_str!("../data/iso-metric/pitch-diameter-internal.csv");
/// Lengths of engagement of ISO 965-1.
pub(crate) const METRIC_ENGAGEMENT: &str = include_str!("../data/iso-metric/engagement.csv");

/// Basic sizes of BSW and BSF.
pub(crate) const WHITWORTH_SERIES: &str = include_str!("../data/whitworth/series.csv");
/// ISO 228-1, Table 1.
pub(crate) const G_PIPE_SIZES: &str = include_str!("../data/g-pipe/sizes.csv");
/// ISO 7-1, Table 1.
pub(crate) const R_PIPE_SIZES: &str = include_str!("../data/r-pipe/sizes.csv");
/// Where JIS B 0203 prints another value than ISO 7-1.
pub(crate) const R_PIPE_DISPUTED: &str = include_str!("../data/r-pipe/disputed.csv");
/// Basic sizes of BS 93.
pub(crate) const BA_SIZES: &str = include_str!("../data/ba/sizes.csv");
/// The standard series of ASME B1.5.
pub(crate) const ACME_SERIES: &str = include_str!("../data/acme/series.csv");
/// ASME B1.20.1, Table 2.
pub(crate) const NPT_SIZES: &str = include_str!("../data/npt/sizes.csv");
/// Diameters and pitches of ISO 2902.
pub(crate) const TRAPEZOIDAL_SIZES: &str = include_str!("../data/trapezoidal/sizes.csv");
/// Clearances, deviations and crest tolerances of ISO 2901 and 2903, by pitch.
pub(crate) const TRAPEZOIDAL_PITCHES: &str = include_str!("../data/trapezoidal/pitches.csv");
/// Td2 and TD2 of ISO 2903.
pub(crate) const TRAPEZOIDAL_PITCH_DIAMETER: &str =
    include_str!("../data/trapezoidal/pitch-diameter.csv");

/// A cell in millimetres.
pub(crate) fn mm(cell: &str) -> Option<Length> {
    Length::from_decimal(cell.parse().ok()?, LengthUnit::Millimetre).ok()
}

/// A cell in inches.
pub(crate) fn inch(cell: &str) -> Option<Length> {
    Length::from_decimal(cell.parse().ok()?, LengthUnit::Inch).ok()
}
/// American wire gauge.
pub(crate) const AWG: &str = include_str!("../data/awg.csv");
/// Least pull forces of crimps, by standard.
pub(crate) const CRIMP_PULL_FORCE: &str = include_str!("../data/crimp-pull-force.csv");
/// Density and specific heat of materials.
pub(crate) const HEAT: &str = include_str!("../data/heat.csv");

/// Yield strength of materials in usual states.
pub(crate) const YIELD_STRENGTH: &str = include_str!("../data/yield-strength.csv");

/// Code letters of MIL-STD-105E, Table I.
pub(crate) const SAMPLING_LETTERS: &str =
    include_str!("../data/sampling/mil-std-105e-code-letters.csv");
/// Single plans of MIL-STD-105E, Tables II-A to II-C.
pub(crate) const SAMPLING_PLANS: &str = include_str!("../data/sampling/mil-std-105e-single.csv");

/// As long as most lines are.
const LONGEST: usize = 512;

/// The rows of a table.
///
/// A reader of any CSV is built at run time, which takes longer than to read these; their lines are cut here.
pub(crate) fn rows<T: DeserializeOwned>(table: &'static str) -> Vec<T> {
    let mut lines = table.lines().filter(|line| !line.is_empty());
    let columns: StringRecord = lines.next().into_iter().flat_map(fields).collect();
    let mut record = StringRecord::with_capacity(LONGEST, columns.len());
    lines
        .filter_map(|line| {
            record.clear();
            fields(line).for_each(|field| record.push_field(field));
            let whole = record.len() == columns.len();
            whole.then(|| record.deserialize(Some(&columns)).ok())?
        })
        .collect()
}

/// The fields of a line; quotation marks are around some, and none is within one.
fn fields(line: &str) -> impl Iterator<Item = &str> {
    let mut rest = Some(line);
    std::iter::from_fn(move || {
        let from = rest?;
        if let Some((field, after)) = from
            .strip_prefix('"')
            .and_then(|quoted| quoted.split_once('"'))
        {
            rest = after.strip_prefix(',');
            return Some(field);
        }
        let (field, after) = match from.split_once(',') {
            Some((field, after)) => (field, Some(after)),
            None => (from, None),
        };
        rest = after;
        Some(field)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Each table that is read by [`rows`], against a reader of any CSV.
    #[test]
    fn lines_are_cut_as_csv_is() {
        let tables = [
            UNIFIED_SERIES,
            UNIFIED_EXCEPTIONS,
            UNIFIED_DISPUTED,
            METRIC_SIZES,
            METRIC_DEVIATIONS,
            METRIC_MAJOR,
            METRIC_MINOR,
            METRIC_PITCH_EXTERNAL,
            METRIC_PITCH_INTERNAL,
            METRIC_ENGAGEMENT,
            WHITWORTH_SERIES,
            G_PIPE_SIZES,
            R_PIPE_SIZES,
            R_PIPE_DISPUTED,
            BA_SIZES,
            ACME_SERIES,
            NPT_SIZES,
            TRAPEZOIDAL_SIZES,
            TRAPEZOIDAL_PITCHES,
            TRAPEZOIDAL_PITCH_DIAMETER,
            AWG,
            CRIMP_PULL_FORCE,
            HEAT,
            YIELD_STRENGTH,
            SAMPLING_LETTERS,
            SAMPLING_PLANS,
        ];
        for table in tables {
            let any = csv::ReaderBuilder::new()
                .has_headers(false)
                .from_reader(table.as_bytes())
                .into_records()
                .map(Result::unwrap);
            let cut = table
                .lines()
                .map(|line| fields(line).collect::<StringRecord>());
            assert!(any.eq(cut), "{table}");
        }
    }
}
