//! The measurement model of a size compared with a setting standard, written once.
//!
//! Sensitivities, budget and (where asked for) Monte Carlo all come from [`Comparison::evaluate`]; the corrections
//! listed on the report are its parts, one by one, and a test holds their sum against it.

use crate::correction::{Temperatures, to_reference_temperature};
use crate::uncertainty::{Dual, Model, Scalar, follow};

/// How many input quantities the model has.
pub const INPUTS: usize = 34;

/// A reading on the part compared with readings on a setting standard:
///
/// `L = [(S + δs) (1 + αs θs) + D (1 + αm θm)] / (1 + αp θp)` with
/// `D = (x + δr + δb + δf + δo + δq) − (z + δz + δd) − (c + δi + δm + δp + δv) − (h + f + l + e + w)`
///
/// in the order of [`Quantity`], each temperature being that of the body and the room together, `θ + r`, of the part with
/// what the hand adds, `θ + r + δθ`; and from that to the size that the drawing states:
/// `Y = σ (L + g + p + k) + a + b`, with `σ` = 1 and the rest nothing for a thread and for any size read directly.
///
/// # Correlations
///
/// None has to be stated, since what readings share stands in the model once:
/// - `S`, `z`, `δz`, `δd`: one zero serves all readings; it is subtracted once from their mean.
/// - `c`: the error curve at part and standard comes from one certificate. The model holds the *difference*, whose
///   uncertainty counts the points that both have in common with the weight they have in the difference
///   ([`ErrorCurve::difference_factor`](crate::correction::ErrorCurve::difference_factor)); what all points share
///   falls out.
/// - `δq`, `δz` rounding on the part and on the standard: independent unless both show the same digits, where they
///   would cancel; taken as independent, which is the larger.
/// - `δr` and `z` may be evaluated from one standard deviation. The errors of the readings are independent all the
///   same; what is shared is the *estimate* of their spread, and so its degrees of freedom, which the effective
///   degrees of freedom count twice. The simulated bench shows no loss of coverage by that.
/// - `f` and `h` pull on the same contacts; `f` is one quantity for both flanks and both contacts.
/// - θs and θm are read with one thermometer; taken as independent, which is the larger for like materials.
///
/// Between the mean and one place, or two places, everything but `x`, `δr` and `δf` is common: the *difference* of two
/// places is far better known than either. No decision is made on a difference; each size is held against the limits
/// by itself. What choosing the worst place by its reading does is in [`Scatter`](super::scatter::Scatter::at_place).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Comparison {
    /// `σ`: +1, or −1 and −2 where the size is what the reading takes away from another.
    pub scale: f64,
}

impl Comparison {
    /// A size read directly.
    pub const DIRECT: Self = Self { scale: 1.0 };
}

/// The input quantities, in the order of the model's array. Lengths in millimetres, temperatures above 20 °C in
/// kelvins, expansion coefficients per kelvin.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// `x`: reading on the part.
    Reading,
    /// `δr`: repeatability of the reading.
    Repeatability,
    /// `δb`: how operators differ, as a study found it.
    Operator,
    /// `δf`: form of the part as the readings show it.
    FormSeen,
    /// `δo`: form where nothing was measured.
    FormUnseen,
    /// `δq`: resolution on the part.
    Resolution,
    /// `z`: reading on the standard.
    ZeroReading,
    /// `δz`: resolution on the standard.
    ZeroResolution,
    /// `δd`: movement of the zero during the job.
    Drift,
    /// `S`: certified size of the standard.
    Standard,
    /// `δs`: what the standard has changed by since its certificate.
    StandardDrift,
    /// `c`: error curve at the part less error curve at the standard.
    Curve,
    /// `δi`: error between the points of the curve.
    Interpolation,
    /// `δm`: error of indication where no curve is used.
    Indication,
    /// `δp`: faces that are not flat and parallel, where a curve is used.
    Faces,
    /// `δv`: what the error curve has changed by since its certificate.
    MicrometerDrift,
    /// `h`: what the half-angle errors of the contacts add to the reading, V and cone together.
    ContactAngle,
    /// `f`: what half-angle errors of the part's flanks add to it.
    FlankAngle,
    /// `l`: what the lead angle adds to it, on the part more than on the standard.
    ContactLead,
    /// `e`: what an error of the part's pitch adds to it.
    PitchError,
    /// `w`: wear of the contacts that a zero on each other hides.
    ContactWear,
    /// `g`: what is added for the form of the contact and how it is held.
    ContactGeometry,
    /// `p`: what is added for what the measuring force takes away.
    Deformation,
    /// `k`: what is added for the place of the measuring plane on a taper thread.
    MeasuringPlane,
    /// `a`: another size that the one asked for is reckoned from.
    Companion,
    /// `b`: a second such size.
    SecondCompanion,
    /// `r`: the room above 20 °C, common to part, standard and micrometer.
    RoomTemperature,
    /// `θp`.
    PartTemperature,
    /// `δθ`: the mean of a part in the hand above what was taken for it.
    PartGradient,
    /// `θs`.
    StandardTemperature,
    /// `θm`.
    InstrumentTemperature,
    /// `αp`.
    PartExpansion,
    /// `αs`.
    StandardExpansion,
    /// `αm`.
    InstrumentExpansion,
}

impl Quantity {
    /// All of them, in the order of the model's array.
    pub const ALL: [Self; INPUTS] = [
        Self::Reading,
        Self::Repeatability,
        Self::Operator,
        Self::FormSeen,
        Self::FormUnseen,
        Self::Resolution,
        Self::ZeroReading,
        Self::ZeroResolution,
        Self::Drift,
        Self::Standard,
        Self::StandardDrift,
        Self::Curve,
        Self::Interpolation,
        Self::Indication,
        Self::Faces,
        Self::MicrometerDrift,
        Self::ContactAngle,
        Self::FlankAngle,
        Self::ContactLead,
        Self::PitchError,
        Self::ContactWear,
        Self::ContactGeometry,
        Self::Deformation,
        Self::MeasuringPlane,
        Self::Companion,
        Self::SecondCompanion,
        Self::RoomTemperature,
        Self::PartTemperature,
        Self::PartGradient,
        Self::StandardTemperature,
        Self::InstrumentTemperature,
        Self::PartExpansion,
        Self::StandardExpansion,
        Self::InstrumentExpansion,
    ];

    /// The unit of its uncertainty, where it is no length: `K` or `1/K`.
    pub const fn unit_but_length(self) -> Option<&'static str> {
        match self {
            Self::RoomTemperature
            | Self::PartTemperature
            | Self::PartGradient
            | Self::StandardTemperature
            | Self::InstrumentTemperature => Some("K"),
            Self::PartExpansion | Self::StandardExpansion | Self::InstrumentExpansion => {
                Some("1/K")
            }
            _ => None,
        }
    }
}

crate::codes! {
    impl Quantity "quantity" {
        Reading "reading",
        Repeatability "repeatability",
        Operator "operator",
        FormSeen "form-seen",
        FormUnseen "form-unseen",
        Resolution "resolution",
        ZeroReading "zero-reading",
        ZeroResolution "zero-resolution",
        Drift "drift",
        Standard "standard",
        StandardDrift "standard-drift",
        Curve "curve",
        Interpolation "interpolation",
        Indication "indication",
        Faces "faces",
        MicrometerDrift "micrometer-drift",
        ContactAngle "contact-angle",
        FlankAngle "flank-angle",
        ContactLead "contact-lead",
        PitchError "pitch-error",
        ContactWear "contact-wear",
        ContactGeometry "contact-geometry",
        Deformation "deformation",
        MeasuringPlane "measuring-plane",
        Companion "companion",
        SecondCompanion "second-companion",
        RoomTemperature "room-temperature",
        PartTemperature "part-temperature",
        PartGradient "part-gradient",
        StandardTemperature "standard-temperature",
        InstrumentTemperature "instrument-temperature",
        PartExpansion "part-expansion",
        StandardExpansion "standard-expansion",
        InstrumentExpansion "instrument-expansion",
    }
}

impl Model<INPUTS> for Comparison {
    /// Lengths are only added to each other; it is temperatures and expansion that multiply them.
    fn is_linear_in(&self, i: usize, j: usize) -> bool {
        const FIRST_THERMAL: usize = Quantity::RoomTemperature as usize;
        i < FIRST_THERMAL && j < FIRST_THERMAL
    }

    fn evaluate<T: Scalar>(&self, inputs: [T; INPUTS]) -> T {
        let (standard, difference) = compared(&inputs);
        let measured = at_reference_temperature(standard, difference, thermal(&inputs));
        let of = |quantity: Quantity| inputs[quantity as usize];
        let size = measured
            + of(Quantity::ContactGeometry)
            + of(Quantity::Deformation)
            + of(Quantity::MeasuringPlane);
        size * T::constant(self.scale) + of(Quantity::Companion) + of(Quantity::SecondCompanion)
    }
}

impl Comparison {
    /// The sensitivities to temperatures and expansions, from [`Quantity::RoomTemperature`] on: those of
    /// [`Model::sensitivities`], without adding up the lengths anew for each.
    pub fn thermal_sensitivities(self, at: &[f64; INPUTS]) -> [f64; THERMAL] {
        let (standard, difference) = compared(at);
        let [standard, difference] = [standard, difference].map(Dual::constant);
        std::array::from_fn(|i| {
            let followed = follow(thermal(at), i);
            at_reference_temperature(standard, difference, followed).slope * self.scale
        })
    }
}

/// Temperatures and expansions among the inputs: those from [`Quantity::RoomTemperature`] on.
pub const THERMAL: usize = INPUTS - Quantity::RoomTemperature as usize;

fn thermal<T: Copy>(inputs: &[T; INPUTS]) -> [T; THERMAL] {
    std::array::from_fn(|i| inputs[Quantity::RoomTemperature as usize + i])
}

/// The standard, and how much larger the part is as the micrometer compares them, both as they are.
fn compared<T: Scalar>(inputs: &[T; INPUTS]) -> (T, T) {
    let &[
        reading,
        repeatability,
        operator,
        form_seen,
        form_unseen,
        resolution,
        zero_reading,
        zero_resolution,
        drift,
        standard,
        standard_drift,
        curve,
        interpolation,
        indication,
        faces,
        micrometer_drift,
        contact_angle,
        flank_angle,
        contact_lead,
        pitch_error,
        contact_wear,
        ..,
    ] = inputs;
    let shown = reading + repeatability + operator + form_seen + form_unseen + resolution;
    let zero = zero_reading + zero_resolution + drift;
    let screw = curve + interpolation + indication + faces + micrometer_drift;
    let contacts = contact_angle + flank_angle + contact_lead + pitch_error + contact_wear;
    (standard + standard_drift, shown - zero - screw - contacts)
}

fn at_reference_temperature<T: Scalar>(
    standard: T,
    difference: T,
    [
        room,
        part_temperature,
        part_gradient,
        standard_temperature,
        instrument_temperature,
        part_expansion,
        standard_expansion,
        instrument_expansion,
    ]: [T; THERMAL],
) -> T {
    let temperatures = Temperatures {
        part: part_temperature + room + part_gradient,
        standard: standard_temperature + room,
        instrument: instrument_temperature + room,
        part_expansion,
        standard_expansion,
        instrument_expansion,
    };
    to_reference_temperature(standard, difference, &temperatures)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What is left out of the second-order terms is nothing.
    #[test]
    fn pairs_that_are_linear_have_no_higher_derivatives() {
        let at: [f64; INPUTS] = std::array::from_fn(|index| 0.3 + 0.7 * index as f64);
        let model = Comparison { scale: -2.0 };
        let mut linear = 0;
        for (i, j) in (0..INPUTS).flat_map(|i| (0..INPUTS).map(move |j| (i, j))) {
            if model.is_linear_in(i, j) {
                linear += 1;
                let (second, third) = model.higher_derivatives(at, i, j);
                assert!(second == 0.0 && third == 0.0, "{i} {j}");
            }
        }
        assert_eq!(linear, 26 * 26);
    }

    /// They are the same to the bit.
    #[test]
    fn thermal_sensitivities_are_those_of_the_model() {
        for scale in [1.0, -1.0, -2.0] {
            let model = Comparison { scale };
            for case in 0..50_u32 {
                let at: [f64; INPUTS] = std::array::from_fn(|index| {
                    let phase = f64::from(case) * 12.9898 + index as f64 * 78.233;
                    libm::sin(phase) / [1.0, 10.0, 1e3, 1e6][(index + 3) % 4]
                });
                let all = model.sensitivities(at);
                assert_eq!(model.thermal_sensitivities(&at), all[INPUTS - THERMAL..]);
            }
        }
    }
}
