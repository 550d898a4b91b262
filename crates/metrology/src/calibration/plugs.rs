//! A pair of thread contacts on master plugs of two pitches: wear of both contacts by the same is taken out by the zero on the
//! master, and what stays is uneven wear, which shows as a difference between two pitches (common practice, no source).

use super::criterion::{Guard, Shape, Uncertain, verdict};
use super::error::CalibrationError;
use crate::decision::Verdict;
use crate::uncertainty::{Distribution, statistics};
use crate::units::{Entered, Length};

/// What a pair read on a master plug.
#[derive(Clone, Debug, PartialEq)]
pub struct Plug {
    pub id: String,
    pub pitch: Entered,
    /// Certified pitch diameter.
    pub size: Entered,
    /// Expanded uncertainty of that.
    pub expanded_uncertainty: Entered,
    /// Its coverage factor.
    pub coverage_factor: f64,
    /// Readings on it.
    pub readings: Vec<Entered>,
}

/// A pair checked on two plugs.
#[derive(Clone, Debug, PartialEq)]
pub struct PairCheck {
    pub contacts: String,
    /// The micrometer that it was in.
    pub instrument: String,
    /// One step of the display.
    pub resolution: Entered,
    /// How far the errors on the two plugs may lie apart, either way.
    pub limit: Entered,
    /// How the verdict is made.
    pub guard: Guard,
    /// The two plugs.
    pub plugs: [Plug; 2],
}

/// What came of it, millimetres.
#[derive(Clone, Debug, PartialEq)]
pub struct PairChecked {
    /// Mean reading less certified size, on each plug.
    pub errors: [Uncertain; 2],
    /// The second less the first.
    pub difference: Uncertain,
    /// By the guard that was asked for.
    pub verdict: Verdict,
    /// Without a guard band.
    pub simple: Verdict,
    /// With one.
    pub guarded: Verdict,
}

/// Compares what a pair reads on plugs of two pitches.
pub fn check_pair(check: &PairCheck) -> Result<PairChecked, CalibrationError> {
    let [one, other] = &check.plugs;
    if one.pitch.value() == other.pitch.value() {
        return Err(CalibrationError::OnePitch);
    }
    let step = check.resolution.value().mm();
    if step <= 0.0 {
        return Err(CalibrationError::Resolution);
    }
    let errors = [error_on(one, step)?, error_on(other, step)?];
    let [first, second] = &errors;
    let difference = Uncertain {
        value: second.value - first.value,
        standard_uncertainty: libm::hypot(first.standard_uncertainty, second.standard_uncertainty),
        degrees_of_freedom: f64::INFINITY,
    };
    let limit = check.limit.value();
    let by = |guard| verdict(difference, Shape::EitherWay, limit, guard);
    Ok(PairChecked {
        errors,
        difference,
        verdict: by(check.guard)?,
        simple: by(Guard::Simple)?,
        guarded: by(Guard::Guarded)?,
    })
}

/// Whether the verdict holds with what the micrometer itself adds to the difference, millimetres: the errors of its curve at the two
/// sizes. Plugs of nearly one size have nearly one error, and it falls out.
///
/// Errors: a limit or an uncertainty out of range, as for the check.
pub fn holds_with(
    check: &PairCheck,
    checked: &PairChecked,
    of_micrometer: Uncertain,
) -> Result<bool, CalibrationError> {
    let own = Uncertain {
        value: checked.difference.value - of_micrometer.value,
        standard_uncertainty: libm::hypot(
            checked.difference.standard_uncertainty,
            of_micrometer.standard_uncertainty,
        ),
        degrees_of_freedom: f64::INFINITY,
    };
    let found = verdict(own, Shape::EitherWay, check.limit.value(), check.guard)?;
    Ok(found == checked.verdict)
}

/// A plug that reads further off than this is one of another thread (common practice, no source).
pub const FAR_FROM_PLUG: Length = Length::from_micrometres(200);

fn error_on(plug: &Plug, step: f64) -> Result<Uncertain, CalibrationError> {
    let readings: Vec<f64> = plug.readings.iter().map(|one| one.value().mm()).collect();
    let unread = || CalibrationError::PlugUnread {
        plug: plug.id.clone(),
    };
    let value = statistics::mean(&readings).ok_or_else(unread)? - plug.size.value().mm();
    if value.abs() > FAR_FROM_PLUG.mm() {
        return Err(CalibrationError::FarOff {
            at: plug.size.value(),
            by: value,
        });
    }
    let half_width = step / 2.0;
    let display = Distribution::Rectangular { half_width }.standard_uncertainty();
    let scatter = statistics::standard_deviation(&readings).unwrap_or(0.0);
    // A display hides scatter that is smaller than a step of it: the larger of the two counts.
    let of_mean = (scatter / (readings.len() as f64).sqrt()).max(display);
    let of_plug = plug.expanded_uncertainty.value().mm() / plug.coverage_factor;
    Ok(Uncertain {
        value,
        standard_uncertainty: libm::hypot(of_mean, of_plug),
        degrees_of_freedom: f64::INFINITY,
    })
}

/// The pitch of a plug.
impl Plug {
    /// As a length.
    pub const fn pitch(&self) -> Length {
        self.pitch.value()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn entered(text: &str) -> Entered {
        Entered::parse(text, None).unwrap()
    }

    fn plug(pitch: &str, readings: [&str; 3]) -> Plug {
        Plug {
            id: format!("plug {pitch}"),
            pitch: entered(pitch),
            size: entered("9.026mm"),
            expanded_uncertainty: entered("1um"),
            coverage_factor: 2.0,
            readings: readings.map(entered).to_vec(),
        }
    }

    fn pair(other: Plug) -> PairCheck {
        PairCheck {
            contacts: "pair".to_owned(),
            instrument: "mic".to_owned(),
            resolution: entered("1um"),
            limit: entered("3um"),
            guard: Guard::Guarded,
            plugs: [plug("1.5mm", ["9.026mm", "9.026mm", "9.026mm"]), other],
        }
    }

    fn check(other: Plug) -> Result<PairChecked, CalibrationError> {
        check_pair(&pair(other))
    }

    #[test]
    fn uneven_wear_is_a_difference_between_two_pitches() {
        let even = check(plug("1mm", ["9.026mm", "9.026mm", "9.027mm"])).unwrap();
        assert_eq!(even.verdict, Verdict::Accept);
        // A micrometer that reads 5 µm more on the second plug hides a pair that reads 5 µm less there.
        let of_micrometer = |value| Uncertain {
            value,
            standard_uncertainty: 0.000_2,
            degrees_of_freedom: f64::INFINITY,
        };
        let pair = pair(plug("1mm", ["9.026mm", "9.026mm", "9.027mm"]));
        assert_eq!(holds_with(&pair, &even, of_micrometer(0.000_1)), Ok(true));
        assert_eq!(holds_with(&pair, &even, of_micrometer(0.005)), Ok(false));
        let worn = check(plug("1mm", ["9.020mm", "9.020mm", "9.020mm"])).unwrap();
        assert!((worn.difference.value + 0.006).abs() < 1e-9);
        assert_eq!(worn.verdict, Verdict::Reject);
        assert_eq!(
            check(plug("1.5mm", ["9.026mm", "9.026mm", "9.027mm"])),
            Err(CalibrationError::OnePitch)
        );
    }
}
