//! The standard sizes: which diameter has which pitches, and in which series.
//!
//! ISO 261 for metric threads (`data/iso-metric/sizes.csv`), the standard series of ASME B1.1 for Unified
//! threads (`data/unified/series.csv`); the other forms keep their sizes in their own files.

use std::sync::LazyLock;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use serde::Deserialize;

use super::Form;
use super::unified::Series;
use crate::tables;
use crate::units::{Length, LengthUnit, Pitch, ThreadsPerInch};

/// One diameter with one pitch that a standard lists.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StandardThread {
    /// The form.
    pub form: Form,
    /// The designation without class: `1/4-20 UNC`, `M10x1.25`.
    pub designation: String,
    /// The basic major diameter.
    pub nominal: Length,
    /// The pitch.
    pub pitch: Pitch,
    /// The series: `UNC`, `BSF`, ..., or `coarse` and `fine`; the symbol of a form without series.
    pub series: &'static str,
    /// How likely a shop meets it: 1 first choice, 2 second, 3 third or special.
    pub choice: u8,
}

/// A row of the Unified series.
#[derive(Debug)]
pub(crate) struct UnifiedSize {
    /// `#10`, `1/4`, `1 1/2`.
    pub size: String,
    /// In ten-thousandths of an inch.
    pub diameter: u32,
    pub count: ThreadsPerInch,
    pub series: Series,
}

/// A row of ISO 261; lengths in micrometres.
#[derive(Debug)]
pub(crate) struct MetricSize {
    pub diameter: Length,
    pub choice: u8,
    pub coarse: Option<Length>,
    pub fine: Vec<Length>,
}

#[derive(Deserialize)]
struct SeriesRow {
    size: String,
    d_in: String,
    tpi: String,
    series: String,
}

#[derive(Deserialize)]
struct MetricRow {
    d_mm: String,
    choice: u8,
    coarse_pitch_mm: String,
    fine_pitches_mm: String,
}

static UNIFIED: LazyLock<Vec<UnifiedSize>> = LazyLock::new(|| {
    let mut sizes: Vec<_> = tables::rows(tables::UNIFIED_SERIES)
        .into_iter()
        .filter_map(|row: SeriesRow| {
            Some(UnifiedSize {
                diameter: (row.d_in.parse::<Decimal>().ok()? * Decimal::from(10_000)).to_u32()?,
                count: ThreadsPerInch::from_decimal(row.tpi.parse().ok()?).ok()?,
                series: Series::from_symbol(&row.series)?.0,
                size: row.size,
            })
        })
        .collect();
    sizes.sort_by_key(|size| (size.diameter, size.count));
    sizes
});

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

static STANDARD: LazyLock<Vec<StandardThread>> = LazyLock::new(|| {
    let unified = UNIFIED.iter().filter_map(|size| {
        Some(StandardThread {
            form: Form::Unified,
            designation: size.listed(),
            nominal: Length::from_ten_thousandths_inch(i32::try_from(size.diameter).ok()?),
            pitch: Pitch::PerInch(size.count),
            series: size.series.symbol(false),
            choice: match size.series {
                Series::Coarse | Series::Fine => 1,
                Series::ExtraFine | Series::Constant => 2,
                Series::Special => 3,
            },
        })
    });
    let metric = METRIC.iter().flat_map(|size| {
        size.pitches().map(|pitch| StandardThread {
            form: Form::IsoMetric,
            designation: format!(
                "M{}x{}",
                size.diameter.decimal(LengthUnit::Millimetre),
                pitch.decimal(LengthUnit::Millimetre)
            ),
            nominal: size.diameter,
            pitch: Pitch::Metric(pitch),
            series: if size.coarse == Some(pitch) {
                "coarse"
            } else {
                "fine"
            },
            choice: size.choice,
        })
    });
    unified.chain(metric).chain(other_forms()).collect()
});

/// The sizes of the other forms. UNJ and MJ have those of Unified and metric threads and Stub Acme those of Acme, so
/// they are not listed again.
fn other_forms() -> impl Iterator<Item = StandardThread> {
    let inch = |form, designation, diameter: u32, count, series, choice| StandardThread {
        form,
        designation,
        nominal: Length::from_tenth_nanometres(i64::from(diameter) * 25_400),
        pitch: Pitch::PerInch(count),
        series,
        choice,
    };
    let metric = |form, designation, nominal, pitch, series, choice| StandardThread {
        form,
        designation,
        nominal,
        pitch: Pitch::Metric(pitch),
        series,
        choice,
    };
    let whitworth = super::whitworth::sizes().iter().map(move |size| {
        let series = size.series.series.symbol();
        let designation = format!("{} {series}", size.bare());
        inch(
            Form::Whitworth,
            designation,
            size.diameter,
            size.count,
            series,
            2,
        )
    });
    let acme = super::acme::sizes().iter().map(move |size| {
        let designation = format!("{} ACME", size.bare());
        inch(
            Form::Acme,
            designation,
            size.diameter,
            size.count,
            "ACME",
            3,
        )
    });
    let ba = super::ba::sizes().iter().map(move |size| {
        let designation = format!("{} BA", size.number);
        metric(Form::Ba, designation, size.major, size.pitch, "BA", 3)
    });
    let g = super::g_pipe::sizes().iter().map(move |size| {
        metric(
            Form::GPipe,
            format!("G {}", size.size),
            size.major,
            size.pitch,
            "G",
            2,
        )
    });
    let r = super::r_pipe::sizes().iter().map(move |size| {
        metric(
            Form::RPipe,
            format!("R {}", size.size),
            size.major,
            size.pitch,
            "R",
            2,
        )
    });
    let npt = super::npt::sizes().iter().map(move |size| StandardThread {
        form: Form::Npt,
        designation: format!("{}-{} NPT", size.size, size.count),
        nominal: size.pipe,
        pitch: Pitch::PerInch(size.count),
        series: "NPT",
        choice: 2,
    });
    let trapezoidal = super::trapezoidal::sizes().iter().flat_map(move |size| {
        size.pitches().map(move |pitch| {
            let designation = format!(
                "Tr{}x{}",
                size.diameter.decimal(LengthUnit::Millimetre),
                pitch.decimal(LengthUnit::Millimetre)
            );
            let preferred = pitch == size.preferred;
            let choice = if preferred { size.choice + 1 } else { 3 };
            metric(
                Form::Trapezoidal,
                designation,
                size.diameter,
                pitch,
                "Tr",
                choice,
            )
        })
    });
    whitworth
        .chain(acme)
        .chain(ba)
        .chain(g)
        .chain(r)
        .chain(npt)
        .chain(trapezoidal)
}

/// Every standard thread, by form and diameter.
pub fn standard_threads() -> &'static [StandardThread] {
    &STANDARD
}

impl UnifiedSize {
    /// Size and count as the standard prints them: `10-32`, `1 1/8-7`.
    pub fn bare(&self) -> String {
        format!("{}-{}", self.size.trim_start_matches('#'), self.count)
    }

    /// With the series: `10-32 UNF`.
    pub fn listed(&self) -> String {
        format!("{} {}", self.bare(), self.series.symbol(false))
    }
}

impl MetricSize {
    /// The pitches, coarsest first.
    pub fn pitches(&self) -> impl Iterator<Item = Length> + '_ {
        self.coarse.into_iter().chain(self.fine.iter().copied())
    }
}

/// Every row, by diameter and count.
pub(crate) fn unified_sizes() -> impl Iterator<Item = &'static UnifiedSize> {
    UNIFIED.iter()
}

/// The row of a diameter with a count.
pub(crate) fn unified_size(diameter: u32, count: ThreadsPerInch) -> Option<&'static UnifiedSize> {
    UNIFIED
        .binary_search_by_key(&(diameter, count), |size| (size.diameter, size.count))
        .ok()
        .and_then(|index| UNIFIED.get(index))
}

/// The rows of the standard diameter nearest to a diameter, coarsest pitch first.
pub(crate) fn unified_sizes_near(diameter: u32) -> impl Iterator<Item = &'static UnifiedSize> {
    let nearest = UNIFIED
        .iter()
        .map(|size| size.diameter)
        .min_by_key(|listed| listed.abs_diff(diameter));
    UNIFIED
        .iter()
        .filter(move |size| Some(size.diameter) == nearest)
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
