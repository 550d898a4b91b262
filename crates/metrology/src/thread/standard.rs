//! Every standard thread: which diameter has which pitches, and in which series.

use std::sync::LazyLock;

use super::Form;
use super::metric::metric_sizes;
use super::unified::{Series, unified_sizes};
use crate::units::{Length, LengthUnit, Pitch};

/// One diameter with one pitch that a standard lists.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StandardThread {
    pub form: Form,
    /// The designation without class: `1/4-20 UNC`, `M10x1.25`.
    pub designation: String,
    /// The basic major diameter.
    pub nominal: Length,
    pub pitch: Pitch,
    /// The series: `UNC`, `BSF`, ..., or `coarse` and `fine`; the symbol of a form without series.
    pub series: &'static str,
    /// How likely a shop meets it: 1 first choice, 2 second, 3 third or special.
    pub choice: u8,
}

static STANDARD: LazyLock<Vec<StandardThread>> = LazyLock::new(|| {
    let unified = unified_sizes().filter_map(|size| {
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
    let metric = metric_sizes().flat_map(|size| {
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
