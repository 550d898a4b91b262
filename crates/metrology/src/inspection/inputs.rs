//! What readings and certificates give to the model, one input a function.

use super::JobError;
use super::approval::{DefaultName, Usual};
use super::equipment::{CertifiedCurve, ContactKind, InstrumentErrors};
use super::features::harmonic::eccentricity;
use super::job::{FormHistory, Job};
use super::model::Quantity;
use super::note::{Named, Note, OwnName};
use super::scatter::{Scatter, beyond, repeats};
use super::target::Target;
use super::warning::Warning;
use crate::correction::ErrorCurve;
use crate::uncertainty::statistics::Pooled;
use crate::uncertainty::{Distribution, distribution};
use crate::units::{Entered, Length, LengthUnit};

/// Points of a curve that leave no more than this part of a turn of the screw without one show its periodic error: the
/// points 2.5, 5.1, 7.7 mm and so on of ISO 3611 lie a fifth of a turn apart (common practice, no source).
const WIDEST_GAP: f64 = 0.25;

/// Every reading of the part, in order.
pub fn all_readings(job: &Job) -> Result<Vec<Entered>, JobError> {
    if job.readings.is_empty() {
        return Err(JobError::NoReadings);
    }
    if job.readings.iter().any(|place| place.readings.is_empty()) {
        return Err(JobError::EmptyPlace);
    }
    let readings: Vec<Entered> = job
        .readings
        .iter()
        .flat_map(|place| place.readings.iter().cloned())
        .collect();
    Ok(readings)
}

pub fn values(readings: &[Entered]) -> Vec<Length> {
    readings.iter().map(Entered::value).collect()
}

/// What earlier series tell of one reading.
pub fn prior(job: &Job) -> Option<Pooled> {
    let repeatability = job.prior.repeatability.as_ref()?;
    let degrees_of_freedom = job.prior.degrees_of_freedom.unwrap_or(0.0);
    let standard_deviation = repeatability.value().mm();
    Some(Pooled {
        standard_deviation,
        degrees_of_freedom,
    })
}

/// Readings that scatter so much more than was stated from earlier series do so by chance in fewer than one of a hundred jobs
/// (common practice, no source).
const BY_CHANCE: f64 = 0.01;

/// Whether repeats at one place contradict the repeatability that was stated, and how much they scatter, millimetres.
pub fn beyond_stated(stated: Pooled, shown: impl IntoIterator<Item = Pooled>) -> Option<f64> {
    beyond(stated, shown, BY_CHANCE)
}

/// A repeatability that was stated and that the repeats of a job contradict. Readings of two pieces under one number are told by
/// this.
#[derive(Clone, Copy, Debug)]
pub struct Contradicted {
    /// How much the repeats scatter, millimetres.
    shown: f64,
    stated: Pooled,
    /// Both together, by which a stray reading is told all the same: alone it would hide itself.
    pub together: Pooled,
}

impl Contradicted {
    pub fn of(job: &Job, target: &Target, places: &[Vec<f64>]) -> Option<Self> {
        let stated = prior(job).filter(|_| target.method >= 4)?;
        let repeats = repeats(places.iter().map(Vec::as_slice))?;
        Some(Self {
            shown: beyond_stated(stated, Some(repeats))?,
            stated,
            together: Pooled::of(&[repeats, stated])?,
        })
    }

    pub const fn warning(&self) -> Warning {
        Warning::PriorExceeded {
            shown: self.shown,
            stated: self.stated.standard_deviation,
        }
    }
}

/// Degrees of freedom that a usual repeatability is given: known to about a fifth (JCGM 100:2008, G.4.2).
pub const USUAL_DEGREES_OF_FREEDOM: f64 = 10.0;
/// What that weighs beside two or three places, and beside more, which tell the form themselves: degrees of freedom,
/// chosen so that intervals hold up to that form (docs/simulated-bench.md).
const FEW_PLACES: (usize, f64, f64) = (3, 3.0, 1.0);

/// The default of repeatability with such a set-up.
pub fn repeatability_default<'a>(job: &'a Job, target: &Target) -> Usual<'a> {
    let of_feature = target.feature.as_ref();
    let of_feature = of_feature.and_then(|one| one.measurand().repeatability());
    job.usual(if job.wires.is_some() {
        // Wires roll and settle anew at every reading, as V and cone do.
        DefaultName::RepeatabilityWires
    } else {
        of_feature.unwrap_or_else(|| of_contacts(job.contacts.kind))
    })
}

/// The default of repeatability on a setting standard, which is hard, and where no wires are.
pub fn repeatability_on_standard(job: &Job) -> Usual<'_> {
    job.usual(of_contacts(job.contacts.kind))
}

const fn of_contacts(kind: ContactKind) -> DefaultName {
    match kind {
        ContactKind::Flat | ContactKind::SmallFlat => DefaultName::RepeatabilityFlat,
        ContactKind::VAndCone => DefaultName::RepeatabilityVAndCone,
        ContactKind::BladeAndPoint => DefaultName::RepeatabilityBladeAndPoint,
        _ => DefaultName::RepeatabilityOther,
    }
}

/// Standard deviation of one reading with such a set-up, where nothing is known: as approved, or as usual.
pub fn usual_repeatability(job: &Job, target: &Target) -> Pooled {
    Pooled {
        standard_deviation: repeatability_default(job, target).value(),
        degrees_of_freedom: USUAL_DEGREES_OF_FREEDOM,
    }
}

/// What earlier records tell of form between places: where nobody states it and a laboratory has approved no larger one, and
/// where the places differ by form alone, not by an eccentricity that is measured.
pub fn form_history<'a>(job: &'a Job, target: &Target) -> Option<&'a FormHistory> {
    let usual = job.usual(DefaultName::Form);
    job.prior
        .form_history
        .as_ref()
        .filter(|_| job.prior.form.is_none() && !target.form().is_measured())
        .filter(|history| !usual.is_approved() || history.standard_deviation > usual.value())
}

/// Form between places that is allowed for: as earlier records of the part show it, or as usual. None for samples, each of
/// which is a piece of its own, nor where a form is stated, which has a line of its own.
pub fn usual_form(job: &Job, target: &Target) -> Option<Pooled> {
    if target.is_sampled() || job.prior.form.is_some() {
        return None;
    }
    if let Some(history) = form_history(job, target) {
        return Some(Pooled {
            standard_deviation: history.standard_deviation,
            degrees_of_freedom: history.degrees_of_freedom,
        });
    }
    let (few, beside_few, beside_more) = FEW_PLACES;
    Some(Pooled {
        standard_deviation: job.usual(DefaultName::Form).value(),
        degrees_of_freedom: if job.readings.len() <= few {
            beside_few
        } else {
            beside_more
        },
    })
}

/// Resolution, as far as the scatter does not hold it already.
///
/// Readings that scatter over several steps carry their rounding in the scatter; readings that all show the same
/// digits hide up to half a step. So the larger of the two counts: with `scatter` the type A uncertainty of the mean,
/// `u² = d²/12 − scatter²`, but not below nothing. Source: ISO 14253-2:2011, resolution or repeatability, whichever is
/// larger (from memory).
pub fn step(quantity: Quantity, resolution: Length, scatter: f64) -> Named {
    Named::new(quantity, 0.0, beside_scatter(resolution, scatter)).noted(Note::DisplayStep)
}

/// What of a step the scatter does not hold.
pub fn beside_scatter(resolution: Length, scatter: f64) -> Distribution {
    let half = resolution.mm() / 2.0;
    let half_width = (half * half - 3.0 * scatter * scatter).max(0.0).sqrt();
    Distribution::Rectangular { half_width }
}

/// The certified size of the standard.
pub fn setting_standard(job: &Job, size: Length) -> Named {
    let expanded = job.standard.expanded_uncertainty.value();
    let k = job.standard.coverage_factor;
    let standard_uncertainty = distribution::normal(expanded.mm(), k);
    Named::normal(Quantity::Standard, size.mm(), standard_uncertainty)
        .noted_if(certificate(job.standard.certificate.as_ref()))
}

/// The certificate of this number, where there is one.
pub fn certificate(number: Option<&String>) -> Option<Note> {
    number.cloned().map(|number| Note::Certificate { number })
}

pub fn error_curve(job: &Job) -> Result<Option<ErrorCurve>, JobError> {
    let InstrumentErrors::Curve(curve) = &job.instrument.errors else {
        return Ok(None);
    };
    Ok(Some(curve.errors()?))
}

/// One turn of the thimble, millimetres: 0.5 mm, or 0.025 in on an inch micrometer.
pub fn turn(job: &Job) -> f64 {
    match job.instrument.range[1].unit() {
        LengthUnit::Inch | LengthUnit::Microinch => 0.635,
        LengthUnit::Millimetre | LengthUnit::Micrometre => 0.5,
    }
}

/// Errors of indication: from the curve, or within the maximum permissible error.
///
/// `reading` is what the micrometer shows on the part, millimetres. What is measured is a difference of two indications.
/// Within one turn of the thimble both have much the same error, and the maximum permissible error of one is allowed for.
/// Further apart each may be off by so much, either way: the difference is triangular, ± twice that (JCGM 100:2008,
/// 4.3.9).
pub fn instrument(job: &Job, curve: Option<&ErrorCurve>, reading: f64) -> Vec<(Quantity, Named)> {
    match &job.instrument.errors {
        InstrumentErrors::Within {
            maximum_permissible_error,
        } => {
            let most = maximum_permissible_error.value().mm();
            let (within, note) = if (reading - job.standard.size.value().mm()).abs() <= turn(job) {
                let once = Distribution::Rectangular { half_width: most };
                (once, Note::PermissibleError)
            } else {
                let half_width = 2.0 * most;
                let twice = Distribution::Triangular { half_width };
                (twice, Note::PermissibleErrorTwice)
            };
            vec![(
                Quantity::Indication,
                Named::new(Quantity::Indication, 0.0, within).noted(note),
            )]
        }
        InstrumentErrors::Curve(CertifiedCurve {
            expanded_uncertainty,
            coverage_factor: k,
            periodic_error,
            ..
        }) => {
            let expanded = expanded_uncertainty.value().mm();
            let certificate = Distribution::Normal {
                standard_uncertainty: distribution::normal(expanded, *k),
            };
            let usual = job.usual(DefaultName::PeriodicError);
            let periodic = periodic_error
                .as_ref()
                .map_or_else(|| usual.value(), |stated| stated.value().mm());
            let bend = curve.map_or(0.0, ErrorCurve::interpolation_limit);
            // Part and standard both lie between points, each within the bend: the difference is triangular, ± 2 bend
            // (JCGM 100:2008, 4.3.9). The periodic error is a sine of unknown phase; where part and standard lie half a
            // turn apart, it counts twice: arcsine, ± 2 periodic. Taken together as rectangular.
            let beside = libm::hypot(
                distribution::triangular(2.0 * bend),
                distribution::arcsine(2.0 * periodic),
            );
            // Points all around the turn show the periodic error themselves: as an unevenness of the curve, which between
            // two points comes to half of the second difference, four times the bend of a smooth curve.
            let held = distribution::triangular(8.0 * bend);
            let shown = periodic_error.is_none()
                && curve.is_some_and(|curve| curve.widest_gap(turn(job)) <= WIDEST_GAP);
            let between = |u: f64| {
                let half_width = u * 3.0_f64.sqrt();
                let within = Distribution::Rectangular { half_width };
                Named::new(Quantity::Interpolation, 0.0, within)
            };
            let between = if shown && held < beside {
                between(held).noted(Note::BetweenPointsHeld)
            } else if periodic_error.is_some() {
                between(beside).noted(Note::BetweenPoints)
            } else {
                between(beside).by(&usual, Note::BetweenPointsUsual)
            };
            vec![
                (
                    Quantity::Curve,
                    Named::new(Quantity::Curve, 0.0, certificate).noted(Note::CurveCertificate),
                ),
                (Quantity::Interpolation, between),
            ]
        }
    }
}

pub fn form_unseen(job: &Job, target: &Target) -> Named {
    let half_width = match &job.prior.form {
        Some(form) => form.value().mm(),
        None => 0.0,
    };
    let within = Distribution::Rectangular { half_width };
    let unseen = if target.is_sampled() {
        Named::new(OwnName::FormOfSamples, 0.0, within)
    } else {
        Named::new(Quantity::FormUnseen, 0.0, within)
    };
    unseen.noted(Note::Stated)
}

/// Scatter of wall readings about their first harmonic, where they are spread evenly around one section of a tube: the
/// offset of its two circles is no doubt about the mean wall, which it leaves as it is.
pub fn left_by_harmonic(job: &Job, target: &Target, scatter: &Scatter) -> Option<Pooled> {
    if !target.is_wall_around() {
        return None;
    }
    let along = &job.readings.first()?.along;
    let around = job
        .readings
        .iter()
        .zip(&scatter.place_means)
        .map(|(place, mean)| {
            let angle = place.angle.filter(|_| place.along == *along)?;
            Some((angle.to_radians(), *mean))
        })
        .collect::<Option<Vec<_>>>()?;
    let sum = |of: fn(f64) -> f64| around.iter().map(|(angle, _)| of(*angle)).sum::<f64>();
    let uneven = libm::hypot(sum(libm::cos), sum(libm::sin)) / around.len() as f64;
    let fitted = eccentricity(&around).ok()?;
    // Spread evenly, cosines and sines add up to nothing; a hundredth lets whole degrees pass.
    (uneven < 0.01).then_some(Pooled {
        standard_deviation: fitted.residual?,
        degrees_of_freedom: fitted.degrees_of_freedom as f64,
    })
}

/// Standard deviation of one reading, millimetres, and its degrees of freedom.
pub fn one_reading(scatter: &Scatter, resolution: Length) -> (f64, f64) {
    let step = distribution::resolution(resolution.mm());
    scatter
        .repeatability
        .map_or((step, f64::INFINITY), |pooled| {
            (
                pooled.standard_deviation.max(step),
                pooled.degrees_of_freedom,
            )
        })
}
