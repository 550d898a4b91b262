//! Functional (virtual) size: what a GO gauge feels.
//!
//! A thread micrometer and wires of best size give the simple pitch diameter at one place. A GO gauge goes over the whole
//! engaged length and both flanks at once, so errors of pitch and of the flank angles make an external thread feel
//! larger than it is, an internal one smaller. Both verdicts can be right.

use crate::designation::Form;
use crate::range::{self, Measure, OutOfRange, Within};
use crate::source::{Confidence, Source};
use crate::units::Angle;
use crate::wires::{Side, of_included_angle};

/// How far the straight flanks reach from the pitch line while in mesh with the mating part, as parts of the pitch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlankInMesh {
    /// Towards the crest.
    pub to_crest: f64,
    /// Towards the root.
    pub to_root: f64,
}

/// √3/2: height of the sharp 60° triangle over its pitch.
const HEIGHT_60: f64 = 0.86602540378443865;

impl FlankInMesh {
    /// ISO and unified 60°: 5H/8 in all, 3H/8 towards the crest of the external thread. ISO 68-1, ASME B1.1.
    pub const ISO_60: Self = Self {
        to_crest: 0.375 * HEIGHT_60,
        to_root: 0.25 * HEIGHT_60,
    };
    /// 55°: depth 0.640327 P less the roundings of 0.137329 P.
    pub const WHITWORTH: Self = Self::symmetric(0.49249195);
    /// 47.5°: depth 0.6 P less the roundings of 2P/11.
    pub const BA: Self = Self::symmetric(0.38281698);
    /// 30° trapezoidal, P/2.
    pub const TRAPEZOIDAL: Self = Self::symmetric(0.5);
    /// 29° Acme, P/2.
    pub const ACME: Self = Self::symmetric(0.5);
    /// 29° Stub Acme, 0.3 P.
    pub const STUB_ACME: Self = Self::symmetric(0.3);

    /// A flank of this depth, divided by the pitch, half on either side of the pitch line.
    pub const fn symmetric(depth: f64) -> Self {
        Self {
            to_crest: depth / 2.0,
            to_root: depth / 2.0,
        }
    }

    /// The flank of the standard form with this included angle; `None` for an angle of no standard form. 29° is taken
    /// as the general-purpose Acme form.
    ///
    /// Crest and root are those of the thread itself: of a 60° internal thread they lie the other way round.
    pub fn of_standard_form(side: Side, included_angle: Angle) -> Option<Self> {
        let sixty = match side {
            Side::External => Self::ISO_60,
            Side::Internal => Self {
                to_crest: Self::ISO_60.to_root,
                to_root: Self::ISO_60.to_crest,
            },
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

    /// The flank of a form: two forms have 29°, general-purpose and Stub Acme.
    pub fn of_form(form: Form, side: Side, included_angle: Angle) -> Option<Self> {
        match form {
            Form::StubAcme => Some(Self::STUB_ACME),
            _ => Self::of_standard_form(side, included_angle),
        }
    }

    /// All of the straight flank, divided by the pitch.
    pub const fn depth(self) -> f64 {
        self.to_crest + self.to_root
    }
}

/// The errors of form of a thread.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FormErrors {
    /// External or internal.
    pub side: Side,
    /// Pitch, millimetres.
    pub pitch_mm: f64,
    /// Nominal half angle of the leading flank.
    pub leading_half_angle: Angle,
    /// Nominal half angle of the following flank.
    pub following_half_angle: Angle,
    /// The flanks in mesh.
    pub flank: FlankInMesh,
    /// The largest cumulative axial error between any two flanks within the engaged length, millimetres; the sign does
    /// not matter.
    pub pitch_error_mm: f64,
    /// Measured minus nominal half angle of the leading flank.
    pub leading_angle_error: Angle,
    /// Measured minus nominal half angle of the following flank.
    pub following_angle_error: Angle,
}

/// How the flank-angle term counts the height of the flank.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AngleTerm {
    /// As printed: half of the depth in mesh on either side of the pitch line, h/sin 2α (|δ1| + |δ2|).
    Published,
    /// The height on the side on which this flank really sticks out: towards the root when its angle is too large,
    /// towards the crest when too small.
    SignAware,
}

/// What the errors of form do to the size that a mating part feels; all in millimetres, none negative.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct FunctionalDifference {
    /// From pitch (lead): 2 δP/(tan α1 + tan α2), |δP| cot α for equal flanks.
    pub pitch_term_mm: f64,
    /// From the flank angles.
    pub angle_term_mm: f64,
    /// Millimetres of diameter for each millimetre of pitch error.
    pub per_pitch_error: f64,
    /// Millimetres of diameter for each radian of error of one flank (the mean of both, published form).
    pub per_radian_mm: f64,
    /// Source of the formula.
    pub source: Source,
    /// Formula in print and derived.
    pub confidence: Confidence,
}

impl FunctionalDifference {
    /// Both terms together.
    pub fn total_mm(&self) -> f64 {
        self.pitch_term_mm + self.angle_term_mm
    }

    /// The functional pitch diameter of a thread with this simple pitch diameter: larger outside, smaller inside.
    pub fn functional_size_mm(&self, side: Side, simple_mm: f64) -> f64 {
        match side {
            Side::External => simple_mm + self.total_mm(),
            Side::Internal => simple_mm - self.total_mm(),
        }
    }

    /// The largest pitch error that still lets the thread pass a limit `room_mm` away from its simple pitch diameter,
    /// the angle term being what it is; zero when that alone takes the room. Millimetres.
    pub fn permitted_pitch_error_mm(&self, room_mm: f64) -> f64 {
        ((room_mm - self.angle_term_mm) / self.per_pitch_error).max(0.0)
    }
}

/// The difference of functional and simple pitch diameter.
///
/// Pitch: Δd2 = 2|δP|/(tan α1 + tan α2). Angle: the axial space that the flanks take, y_i |δ_i|/cos²α_i each, divided by
/// the mean tangent; for equal flanks (2/sin 2α)(y1|δ1| + y2|δ2|), with y = h/2 the printed h/sin 2α (|δ1| + |δ2|).
/// First order in the errors: within 1 % for half a degree. Source: [`Handbook31`](Source::Handbook31) and derived.
///
/// ```
/// use metrology::functional::{AngleTerm, FlankInMesh, FormErrors, functional_difference};
/// use metrology::units::Angle;
/// use metrology::wires::Side;
///
/// let right = Angle::from_degrees(0.0);
/// let errors = FormErrors {
///     side: Side::External,
///     pitch_mm: 1.5,
///     leading_half_angle: Angle::from_degrees(30.0),
///     following_half_angle: Angle::from_degrees(30.0),
///     flank: FlankInMesh::ISO_60,
///     pitch_error_mm: 0.010,
///     leading_angle_error: right,
///     following_angle_error: right,
/// };
/// // 1.732 times the error of pitch at 60°.
/// let difference = functional_difference(&errors, AngleTerm::Published)?;
/// assert!((difference.pitch_term_mm - 0.017_32).abs() < 1e-5);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn functional_difference(
    errors: &FormErrors,
    term: AngleTerm,
) -> Result<FunctionalDifference, OutOfRange> {
    errors.checked()?;
    let tangent = |angle: Angle| libm::tan(angle.radians());
    let both = tangent(errors.leading_half_angle) + tangent(errors.following_half_angle);
    let FlankInMesh { to_crest, to_root } = errors.flank;
    let mean = f64::midpoint(to_crest, to_root);
    // Axial space per radian at the height y: y (1 + tan²α).
    let space = |half_angle: Angle, y: f64| {
        let tan = tangent(half_angle);
        errors.pitch_mm * y * (1.0 + tan * tan)
    };
    let axial = |half_angle: Angle, error: Angle| {
        let y = match term {
            AngleTerm::Published => mean,
            AngleTerm::SignAware if error.radians() > 0.0 => to_root,
            AngleTerm::SignAware => to_crest,
        };
        space(half_angle, y) * error.radians().abs()
    };
    let taken = axial(errors.leading_half_angle, errors.leading_angle_error)
        + axial(errors.following_half_angle, errors.following_angle_error);
    let per_pitch_error = 2.0 / both;
    let per_radian_mm = per_pitch_error
        * f64::midpoint(
            space(errors.leading_half_angle, mean),
            space(errors.following_half_angle, mean),
        );
    Ok(FunctionalDifference {
        pitch_term_mm: errors.pitch_error_mm.abs() * per_pitch_error,
        angle_term_mm: taken * per_pitch_error,
        per_pitch_error,
        per_radian_mm,
        source: Source::Handbook31,
        confidence: Confidence::FormulaBacked,
    })
}

impl FormErrors {
    fn checked(&self) -> Result<(), OutOfRange> {
        range::length(Measure::Pitch, self.pitch_mm)?;
        let bound = self.pitch_mm / 4.0;
        range::permitted(
            self.pitch_error_mm.abs() <= bound,
            Measure::PitchError,
            self.pitch_error_mm,
            Within::QuarterPitch { bound },
        )?;
        for angle in [self.leading_half_angle, self.following_half_angle] {
            range::between(Measure::HalfAngle, angle.degrees(), 0.0, 80.0)?;
        }
        let sum = self.leading_half_angle.degrees() + self.following_half_angle.degrees();
        range::between(Measure::IncludedAngle, sum, 2.0, 160.0)?;
        for angle in [self.leading_angle_error, self.following_angle_error] {
            let most = 5.0;
            range::permitted(
                angle.degrees().abs() <= most,
                Measure::HalfAngleError,
                angle.degrees(),
                Within::SameForm { most },
            )?;
        }
        for height in [self.flank.to_crest, self.flank.to_root] {
            range::between(Measure::FlankInMesh, height, 0.0, 5.0)?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn errors(half_angle: f64, flank: FlankInMesh, um: f64, degrees: (f64, f64)) -> FormErrors {
        FormErrors {
            side: Side::External,
            pitch_mm: 1.0,
            leading_half_angle: Angle::from_degrees(half_angle),
            following_half_angle: Angle::from_degrees(half_angle),
            flank,
            pitch_error_mm: um / 1e3,
            leading_angle_error: Angle::from_degrees(degrees.0),
            following_angle_error: Angle::from_degrees(degrees.1),
        }
    }

    fn published(errors: &FormErrors) -> FunctionalDifference {
        functional_difference(errors, AngleTerm::Published).unwrap()
    }

    /// cot α and h/P/sin 2α of every form; the last column are factors in print or remembered per degree of δ1 + δ2.
    #[test]
    fn factors_of_the_forms() {
        let forms = [
            (30.0, FlankInMesh::ISO_60, 1.7321, 0.62500, 0.01091),
            (27.5, FlankInMesh::WHITWORTH, 1.9210, 0.60122, 0.0105),
            (23.75, FlankInMesh::BA, 2.2727, 0.51923, 0.0091),
            (15.0, FlankInMesh::TRAPEZOIDAL, 3.7321, 1.00000, 0.01745),
            (14.5, FlankInMesh::ACME, 3.8667, 1.03133, 0.01800),
            (14.5, FlankInMesh::STUB_ACME, 3.8667, 0.61880, 0.01080),
        ];
        for (half_angle, flank, cot, per_radian, per_degree) in forms {
            let got = published(&errors(half_angle, flank, 0.0, (1.0, 0.0)));
            assert!((got.per_pitch_error - cot).abs() < 5.1e-5, "{half_angle}");
            assert!(
                (got.per_radian_mm - per_radian).abs() < 6e-6,
                "{half_angle}"
            );
            assert!(
                (got.angle_term_mm - per_degree).abs() < 6e-5,
                "{half_angle}"
            );
        }
    }

    #[test]
    fn the_flank_of_a_form_by_its_angle() {
        let of = |side, degrees| FlankInMesh::of_standard_form(side, Angle::from_degrees(degrees));
        assert_eq!(of(Side::External, 60.0), Some(FlankInMesh::ISO_60));
        let inside = of(Side::Internal, 60.0).unwrap();
        assert_eq!(inside.to_crest, FlankInMesh::ISO_60.to_root);
        assert_eq!(inside.depth(), FlankInMesh::ISO_60.depth());
        assert_eq!(of(Side::Internal, 55.0), Some(FlankInMesh::WHITWORTH));
        assert_eq!(of(Side::External, 45.0), None);
    }

    /// M10×1.5, δP 10 µm, δ +0.5° and −0.3°: 17.32 + 13.09 = 30.4 µm above d2.
    #[test]
    fn worked_example() {
        let mut m10 = errors(30.0, FlankInMesh::ISO_60, 10.0, (0.5, -0.3));
        m10.pitch_mm = 1.5;
        let got = published(&m10);
        assert!((1e3 * got.pitch_term_mm - 17.32).abs() < 0.005);
        assert!((1e3 * got.angle_term_mm - 13.09).abs() < 0.005);
        let size = got.functional_size_mm(Side::External, 9.0);
        assert!((size - 9.0304).abs() < 5e-5);
        assert!((got.functional_size_mm(Side::Internal, 9.0) - 8.9696).abs() < 5e-5);
        let permitted = got.permitted_pitch_error_mm(got.total_mm());
        assert!((permitted - 0.010).abs() < 1e-15);
        assert_eq!(got.permitted_pitch_error_mm(0.001), 0.0);
    }

    /// 0.36 P µm for each minute of mean half-angle error, P in millimetres.
    #[test]
    fn printed_factor_per_minute() {
        let minute = 1.0 / 60.0;
        let got = published(&errors(30.0, FlankInMesh::ISO_60, 0.0, (minute, minute)));
        assert!((1e3 * got.angle_term_mm - 0.36).abs() < 0.005);
    }

    #[test]
    fn the_sign_tells_on_which_side_a_flank_sticks_out() {
        let at = |degrees: f64| {
            let errors = errors(30.0, FlankInMesh::ISO_60, 0.0, (degrees, degrees));
            functional_difference(&errors, AngleTerm::SignAware)
                .unwrap()
                .angle_term_mm
        };
        assert!((at(-0.5) / at(0.5) - 1.5).abs() < 1e-12);
        let both = published(&errors(30.0, FlankInMesh::ISO_60, 0.0, (0.5, 0.5)));
        assert!((f64::midpoint(at(0.5), at(-0.5)) - both.angle_term_mm).abs() < 1e-15);
    }

    /// 12 µm of lead error alone take 20.8 µm of pitch diameter.
    #[test]
    fn a_good_pitch_diameter_may_fail_go() {
        let got = published(&errors(30.0, FlankInMesh::ISO_60, 12.0, (0.0, 0.0)));
        assert!((1e3 * got.total_mm() - 20.785).abs() < 1e-3);
    }

    #[test]
    fn nonsense_is_refused() {
        for bad in [
            errors(30.0, FlankInMesh::ISO_60, f64::NAN, (0.0, 0.0)),
            errors(30.0, FlankInMesh::ISO_60, 400.0, (0.0, 0.0)),
            errors(0.0, FlankInMesh::ISO_60, 1.0, (0.0, 0.0)),
            errors(30.0, FlankInMesh::ISO_60, 1.0, (20.0, 0.0)),
            errors(30.0, FlankInMesh::symmetric(-1.0), 1.0, (0.0, 0.0)),
        ] {
            assert!(functional_difference(&bad, AngleTerm::Published).is_err());
        }
    }
}
