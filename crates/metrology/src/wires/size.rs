//! Which wire: best, smallest, largest, and the best of those one owns.

use super::flank::outward;
use super::groove::{CheckedGroove, length};
use super::{Feeler, Groove, SeatError, Side};
use crate::designation::Form;
use crate::range::{Measure, OutOfRange, Within};
use crate::root::bracketed;
use crate::units::Angle;

/// How far crest, straight flank and root lie from the pitch line, as parts of the pitch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FormHeights {
    /// Height of the crest over the pitch line.
    pub crest: f64,
    /// Height over the pitch line at which the straight flank ends towards the crest.
    pub flank: f64,
    /// Depth of the root under the pitch line; `None` where the form leaves a clearance there that depends on the
    /// size. Then [`Seat::check`](super::Seat::check) with the diameters of the thread must tell whether the wire
    /// clears the root: on Stub Acme threads the best wire reaches 0.194 P below the pitch line, the basic root only
    /// 0.15 P.
    pub root: Option<f64>,
}

impl FormHeights {
    /// 60° external: crest flat P/8 at 3H/8, root at H/4. ISO 68-1, ASME B1.1.
    pub const EXTERNAL_60: Self = Self::flats(0.375 * HEIGHT_60, Some(0.25 * HEIGHT_60));
    /// 60° internal: crest flat P/4 at H/4, root at 3H/8. ISO 68-1, ASME B1.1.
    pub const INTERNAL_60: Self = Self::flats(0.25 * HEIGHT_60, Some(0.375 * HEIGHT_60));
    /// 30° trapezoidal, P/4 over the pitch line (crest 0.366025 P).
    pub const TRAPEZOIDAL: Self = Self::flats(0.25, None);
    /// 29° Acme, P/4 over the pitch line (crest 0.3707 P). ASME B1.5.
    pub const ACME: Self = Self::flats(0.25, None);
    /// 29° Stub Acme, 0.15 P over the pitch line (crest 0.4224 P). ASME B1.8.
    pub const STUB_ACME: Self = Self::flats(0.15, None);
    /// 60° pipe thread, 0.8 P high. ASME B1.20.1.
    pub const NPT: Self = Self::flats(0.4, Some(0.4));
    /// 55°, depth 0.640327 P, radius 0.137329 P at crest and root.
    pub const WHITWORTH: Self = Self {
        crest: 0.3201635,
        flank: 0.3201635 - 0.137329 * (1.0 - SIN_27_5),
        root: Some(0.3201635),
    };
    /// 47.5°, depth 0.6 P, radius 2P/11 at crest and root.
    pub const BA: Self = Self {
        crest: 0.3,
        flank: 0.3 - 2.0 / 11.0 * (1.0 - SIN_23_75),
        root: Some(0.3),
    };

    /// Flat crest and root at these distances from the pitch line, divided by the pitch.
    pub const fn flats(crest: f64, root: Option<f64>) -> Self {
        Self {
            crest,
            flank: crest,
            root,
        }
    }

    /// The heights of a form: two forms have 29°, general-purpose and Stub Acme.
    pub fn of_form(form: Form, side: Side, included_angle: Angle) -> Option<Self> {
        match form {
            Form::StubAcme => Some(Self::STUB_ACME),
            Form::Npt => Some(Self::NPT),
            _ => Self::of_standard_form(side, included_angle),
        }
    }

    /// The heights of the standard form with this included angle; `None` for an angle of no standard form. 29° is
    /// taken as the general-purpose Acme form.
    pub fn of_standard_form(side: Side, included_angle: Angle) -> Option<Self> {
        let sixty = match side {
            Side::External => Self::EXTERNAL_60,
            Side::Internal => Self::INTERNAL_60,
        };
        let forms = [
            (60.0, sixty),
            (55.0, Self::WHITWORTH),
            (47.5, Self::BA),
            (30.0, Self::TRAPEZOIDAL),
            (29.0, Self::ACME),
        ];
        of_included_angle(forms, included_angle)
    }
}

/// What stands beside an included angle, to a hundredth of a degree.
pub(crate) fn of_included_angle<T>(
    forms: impl IntoIterator<Item = (f64, T)>,
    included_angle: Angle,
) -> Option<T> {
    forms
        .into_iter()
        .find(|(degrees, _)| (degrees - included_angle.degrees()).abs() < 0.01)
        .map(|(_, form)| form)
}

/// √3/2: height of the sharp 60° triangle over its pitch.
const HEIGHT_60: f64 = 0.86602540378443865;
const SIN_27_5: f64 = 0.46174861323503391;
const SIN_23_75: f64 = 0.40274668985873721;

/// The best wire of [`Iso16239`](crate::source::Source::Iso16239): it touches at the pitch cylinder of a thread without
/// lead, W = P/(2 cos α), so that an error of the flank angle does not matter in the first order.
///
/// Between unequal flanks no wire touches both at the pitch line; then it is the wire for which an error common to both
/// flank angles does not matter, the zero of [`flank_angle_sensitivity_mm`]. For 7°/45° that is 0.54083 P.
pub fn best_wire_mm(groove: &Groove) -> Result<f64, SeatError> {
    let checked = groove.checked(Feeler::Ball)?;
    if checked.symmetric {
        return Ok(checked.pitch / (2.0 * checked.upper.cos));
    }
    let v = Vee::of(&checked);
    Ok(v.depth_by_angle / v.rise_by_angle)
}

/// The groove without lead, as a V whose sharp bottom lies under the pitch line.
struct Vee {
    /// Depth of the sharp bottom under the pitch line: (P/2)/(tan α1 + tan α2).
    depth: f64,
    /// Height of a wire's centre over the bottom for each unit of its radius: cos((α1−α2)/2)/sin((α1+α2)/2), 1/sin α
    /// for equal flanks.
    rise: f64,
    /// Diameter that the depth loses when both flank angles grow by a radian.
    depth_by_angle: f64,
    /// Diameter that the centres lose by that for each unit of the wire's diameter.
    rise_by_angle: f64,
}

impl Vee {
    fn of(groove: &CheckedGroove) -> Self {
        let (upper, lower) = (&groove.upper, &groove.lower);
        let tangents = upper.tan + lower.tan;
        let steepness = 1.0 / (upper.cos * upper.cos) + 1.0 / (lower.cos * lower.cos);
        let (sin, cos, apart) = if groove.symmetric {
            (upper.sin, upper.cos, 1.0)
        } else {
            let (sin, cos) = libm::sincos(f64::midpoint(upper.angle, lower.angle));
            (sin, cos, libm::cos((upper.angle - lower.angle) / 2.0))
        };
        Self {
            depth: groove.pitch / 2.0 / tangents,
            rise: apart / sin,
            depth_by_angle: groove.pitch * steepness / (tangents * tangents),
            rise_by_angle: apart * cos / (sin * sin),
        }
    }
}

/// The wire that touches exactly at the pitch cylinder with the lead angle taken into account: a little smaller
/// than [`best_wire_mm`]. Equal flanks only.
pub fn pitch_line_wire_mm(groove: &Groove, pitch_diameter_mm: f64) -> Result<f64, SeatError> {
    wire_touching_at(groove, pitch_diameter_mm, pitch_diameter_mm)
}

/// The wire or ball that touches equal flanks at the diameter `contact_mm`.
///
/// From the contact equation: the half width of the groove there is R r/q + c atan(R c/(r (q + e R tan α))), which
/// grows with R.
pub fn wire_touching_at(
    groove: &Groove,
    pitch_diameter_mm: f64,
    contact_mm: f64,
) -> Result<f64, SeatError> {
    let checked = groove.checked(Feeler::Ball)?;
    let d2 = length(Measure::PitchDiameter, pitch_diameter_mm)?;
    let r = length(Measure::ContactDiameter, contact_mm)? / 2.0;
    let fault = SeatError::from(OutOfRange::of(
        Measure::ContactDiameter,
        contact_mm,
        Within::StraightFlank,
    ));
    if !checked.symmetric {
        return Err(fault);
    }
    let flank = &checked.upper;
    let half_width = checked.pitch / 4.0 + flank.outward * (r - d2 / 2.0) * flank.tan;
    let c = flank.advance;
    let q = (r * r / (flank.cos * flank.cos) + c * c).sqrt();
    // Of an internal flank a ball of q/tan α reaches the axis: no larger one touches here.
    let largest = match groove.side {
        Side::External => half_width * q / r,
        Side::Internal => (half_width * q / r).min(q / flank.tan * (1.0 - 1e-12)),
    };
    let miss = |ball: f64| {
        let touch = flank.touch(r, ball);
        let reach = r * (q + flank.outward * ball * flank.tan);
        let around = ball * c;
        // d/dR of b: r/q + c · (c r q)/(reach² + around²).
        let slope = r / q + c * c * r * q / (reach * reach + around * around);
        (touch.half_width - half_width, slope)
    };
    let ball = bracketed(miss, 0.0, largest, largest).ok_or(fault)?;
    if ball > 0.0 {
        Ok(2.0 * ball)
    } else {
        Err(fault)
    }
}

/// Smallest and largest usable wire, and the best one, in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UsableWires {
    /// Smallest: a wire stands at least flush with the crest and clears the root; a ball clears the root.
    pub smallest_mm: f64,
    /// The best wire of a thread without lead.
    pub best_mm: f64,
    /// Largest: it touches at the end of the straight flank at the crest.
    pub largest_mm: f64,
}

/// The usable wires of a form, lead angle neglected.
///
/// For equal flanks: largest W = G/cos α with G the groove's width where the straight flank ends; flush with the crest
/// W = 2 (y_c + (P/4) cot α)/(1 + csc α); clear of the root W = 2 ((P/4) cot α − y_r)/(csc α − 1).
/// Agrees with Machinery's Handbook, 31st ed., for 60° (1.010363 P, 0.505182 P) and 29°; the printed largest wire for
/// 55°, 0.82573 P, looks like transposed digits of the 0.85273 P that this gives.
pub fn usable_wires(groove: &Groove, heights: FormHeights) -> Result<UsableWires, SeatError> {
    let checked = groove.checked(Feeler::Ball)?;
    let pitch = checked.pitch;
    let Vee { depth, rise, .. } = Vee::of(&checked);
    let flush = 2.0 * (pitch * heights.crest + depth) / (1.0 + rise);
    let clear = heights
        .root
        .map_or(0.0, |root| 2.0 * (depth - pitch * root) / (rise - 1.0));
    // Both contacts are as far from the sharp bottom; the steeper flank carries its own higher up.
    let half = f64::midpoint(checked.upper.angle, checked.lower.angle);
    let from_bottom = (depth + pitch * heights.flank) / checked.upper.cos.max(checked.lower.cos);
    Ok(UsableWires {
        smallest_mm: match groove.side {
            Side::External => flush.max(clear),
            Side::Internal => clear.max(0.0),
        },
        best_mm: best_wire_mm(groove)?,
        largest_mm: 2.0 * from_bottom * libm::tan(half),
    })
}

/// How a pitch diameter computed with the nominal flank angles errs when both half angles are larger by `δ`:
/// −δ (W cos α − P/2)/sin²α for equal flanks, in millimetres per radian. Computed minus true, external; the sign turns
/// inside. First order, lead neglected; zero for the best wire.
pub fn flank_angle_sensitivity_mm(groove: &Groove, wire_mm: f64) -> Result<f64, SeatError> {
    let v = Vee::of(&groove.checked(Feeler::Ball)?);
    let wire = length(Measure::WireDiameter, wire_mm)?;
    Ok(-outward(groove.side) * (wire * v.rise_by_angle - v.depth_by_angle))
}

/// What a wire diameter multiplies in the simple formula, and a pitch: 1/sin α and ½ cot α for equal flanks.
pub(super) fn simple_factors(groove: &Groove) -> Result<(f64, f64), SeatError> {
    Ok(simple_factors_of(&groove.checked(Feeler::Ball)?))
}

/// [`simple_factors`], of a groove that is checked already.
pub(super) fn simple_factors_of(groove: &CheckedGroove) -> (f64, f64) {
    let v = Vee::of(groove);
    (v.rise, 2.0 * v.depth / groove.pitch)
}

/// A wire one owns, judged for a thread.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WireChoice {
    /// Its place in the list that was given.
    pub index: usize,
    /// Diameter, millimetres.
    pub wire_mm: f64,
    /// Whether it lies between the smallest and the largest usable wire.
    pub usable: bool,
    /// Error of the pitch diameter for each radian by which both half angles are larger, millimetres.
    pub flank_angle_sensitivity_mm: f64,
}

/// The wires one owns in the order of preference: usable ones first, nearest the best size first.
pub fn choose_wire(
    groove: &Groove,
    usable: UsableWires,
    owned_mm: &[f64],
) -> Result<Vec<WireChoice>, SeatError> {
    let mut choices = Vec::with_capacity(owned_mm.len());
    for (index, &wire_mm) in owned_mm.iter().enumerate() {
        choices.push(WireChoice {
            index,
            wire_mm,
            usable: (usable.smallest_mm..=usable.largest_mm).contains(&wire_mm),
            flank_angle_sensitivity_mm: flank_angle_sensitivity_mm(groove, wire_mm)?,
        });
    }
    choices.sort_by(|a, b| {
        let distance = |choice: &WireChoice| (choice.wire_mm - usable.best_mm).abs();
        b.usable
            .cmp(&a.usable)
            .then(distance(a).total_cmp(&distance(b)))
    });
    Ok(choices)
}
