//! The published approximations to the reading over wires.
//!
//! For comparison only: a certificate made with one of them can be understood, and the difference shown. The
//! exact seat is in [`super::seat`]. All are for equal flanks and the simple form takes lead angle as zero.
//! A reading of balls in an internal thread is the distance of their centres, of wires the distance of the faces.

use super::flank::outward;
use super::groove::CheckedGroove;
use super::size::simple_factors_of;
use super::{Groove, SeatError, Side};
use crate::range::Measure;

/// The formulas in print.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Approximation {
    /// Lead angle neglected.
    /// M = d2 + W(1 + 1/sin α) − (P/2) cot α; unequal flanks
    /// M = d2 − P/(tan α1 + tan α2) + W[1 + cos((α1−α2)/2)/sin((α1+α2)/2)].
    /// Source: [`Handbook31`](crate::source::Source::Handbook31) p. 2127; valid for lead angles that do not matter.
    Simple,
    /// Simple plus (W/2) tan²λ cos α cot α. Good to 0.3 µm per millimetre of pitch below 5°; always corrects too far
    /// on external threads. Source: [`Handbook31`](crate::source::Source::Handbook31) p. 2127, quoting ASME B1.2.
    SmallLead,
    /// M = d2 − (P/2) cot α + W[1 + √(csc²α + cot²α tan²λ)]: the groove in its normal section.
    /// Source: [`Handbook31`](crate::source::Source::Handbook31) p. 2133, formula (2).
    NormalSection,
    /// Simple plus (W/2) cos α cot α c²/(r0 ρ0): the λ² term with the lead where the contact and the centre are.
    /// Not in print; derived as the exact second-order coefficient.
    LocalLead,
    /// The involute helicoid through the same pitch cylinder: exact for a flank that is straight in a plane tangent
    /// to its base cylinder, an approximation for a straight axial profile. External only, whole numbers of starts.
    /// Source: [`Handbook31`](crate::source::Source::Handbook31) p. 2133, formula (4), from memory.
    Involute,
    /// Of a taper thread, lead angle neglected: M = [d2 − (P/2) cot α + W cosec α] cos β + W.
    /// Source: NBS Handbook H28 (1957), as wire tables quote it for NPT. Only of a
    /// [`TaperGroove`](super::TaperGroove).
    Taper,
}

crate::codes! {
    impl Approximation "approximation" {
        Simple "simple",
        SmallLead "small-lead",
        NormalSection "normal-section",
        LocalLead "local-lead",
        Involute "involute",
        Taper "taper",
    }
}

impl Approximation {
    /// Every formula for a parallel thread, the plainest first.
    pub const ALL: [Self; 5] = [
        Self::Simple,
        Self::SmallLead,
        Self::NormalSection,
        Self::LocalLead,
        Self::Involute,
    ];

    /// The reading this formula gives, in millimetres; `None` where the formula does not apply.
    pub fn reading_mm(
        self,
        groove: &Groove,
        pitch_diameter_mm: f64,
        wire_mm: f64,
    ) -> Result<Option<f64>, SeatError> {
        let simple = simple_reading_mm(groove, pitch_diameter_mm, wire_mm)?;
        if self == Self::Simple {
            return Ok(Some(simple));
        }
        if !groove.is_symmetric() {
            return Ok(None);
        }
        let (sin, cos) = libm::sincos(groove.upper_flank.radians());
        let cot = cos / sin;
        let e = outward(groove.side);
        let tan_lead = groove.lead_mm / (std::f64::consts::PI * pitch_diameter_mm);
        let series = wire_mm / 2.0 * cos * cot;
        Ok(match self {
            Self::Simple => Some(simple),
            Self::SmallLead => Some(simple + e * series * tan_lead * tan_lead),
            Self::NormalSection => {
                let oblique = (1.0 / (sin * sin) + cot * cot * tan_lead * tan_lead).sqrt();
                Some(simple + e * wire_mm * (oblique - 1.0 / sin))
            }
            Self::LocalLead => {
                let c = groove.lead_mm / (2.0 * std::f64::consts::PI);
                let ball = wire_mm / 2.0;
                let contact =
                    pitch_diameter_mm / 2.0 + e * (ball * cos - groove.pitch_mm / 4.0) * cot;
                let centre = contact + e * ball * sin;
                Some(simple + e * series * c * c / (contact * centre))
            }
            Self::Involute if groove.side == Side::External => {
                involute_reading(groove, pitch_diameter_mm, wire_mm)
            }
            Self::Involute | Self::Taper => None,
        })
    }
}

/// The reading without lead angle: over wires between flat faces, or of the distance of two ball centres.
pub fn simple_reading_mm(
    groove: &Groove,
    pitch_diameter_mm: f64,
    wire_mm: f64,
) -> Result<f64, SeatError> {
    let checked = groove.checked(super::Feeler::Ball)?;
    let d2 = super::groove::length(Measure::PitchDiameter, pitch_diameter_mm)?;
    let wire = super::groove::length(Measure::WireDiameter, wire_mm)?;
    Ok(simple_reading_in(&checked, d2, wire))
}

/// [`simple_reading_mm`], of a groove and lengths that are checked already.
pub(super) fn simple_reading_in(groove: &CheckedGroove, d2: f64, wire: f64) -> f64 {
    let (rise, depth) = simple_factors_of(groove);
    let centres = d2 + outward(groove.side) * (wire * rise - groove.pitch * depth);
    match groove.side {
        Side::External => centres + wire,
        Side::Internal => centres,
    }
}

/// One formula beside the exact reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Comparison {
    pub formula: Approximation,
    /// Its reading, millimetres.
    pub reading_mm: f64,
    /// Its reading minus the exact one, millimetres. A pitch diameter computed with the formula comes out smaller
    /// by this amount.
    pub difference_mm: f64,
}

/// Every published formula that applies, beside the exact reading `exact_mm`.
pub fn compare(
    groove: &Groove,
    pitch_diameter_mm: f64,
    wire_mm: f64,
    exact_mm: f64,
) -> Result<Vec<Comparison>, SeatError> {
    let mut rows = Vec::new();
    for formula in Approximation::ALL {
        if let Some(reading_mm) = formula.reading_mm(groove, pitch_diameter_mm, wire_mm)? {
            rows.push(Comparison {
                formula,
                reading_mm,
                difference_mm: reading_mm - exact_mm,
            });
        }
    }
    Ok(rows)
}

/// With tan F = tan α/tan λ, R_b = (d2/2) cos F, tan H_b = cos F cot λ, inv x = tan x − x:
/// inv G = (P/2)/(d2 tan λ) + inv F + W/(2 R_b cos H_b) − π/S; M = 2 R_b/cos G + W.
fn involute_reading(groove: &Groove, d2: f64, wire: f64) -> Option<f64> {
    let starts = groove.lead_mm / groove.pitch_mm;
    if starts < 0.5 || (starts - starts.round()).abs() > 1e-6 {
        return None;
    }
    let tan_lead = groove.lead_mm / (std::f64::consts::PI * d2);
    let tan_f = libm::tan(groove.upper_flank.radians()) / tan_lead;
    let f = libm::atan(tan_f);
    let cos_f = libm::cos(f);
    let base = d2 / 2.0 * cos_f;
    let cos_h = libm::cos(libm::atan2(cos_f, tan_lead));
    let involute =
        groove.pitch_mm / 2.0 / (tan_lead * d2) + (tan_f - f) + wire / (2.0 * base * cos_h)
            - std::f64::consts::PI / starts;
    // tan G, from tan G − atan(tan G) = involute; the left side grows with tan G.
    let miss = |tan: f64| {
        (
            tan - libm::atan(tan) - involute,
            tan * tan / (1.0 + tan * tan),
        )
    };
    let tan_g = crate::root::bracketed(miss, 0.0, involute + 2.0, tan_f)?;
    Some(2.0 * base * (1.0 + tan_g * tan_g).sqrt() + wire)
}
