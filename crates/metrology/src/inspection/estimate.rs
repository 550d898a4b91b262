//! From the readings of a job to the inputs of the model, and from those to an outcome.

use super::conversion::Conversion;
use super::feature::Feature;
use super::fitness::{coverage_factor, not_negative, positive, standard_size};
use super::job::{ContactKind, InstrumentErrors, Job, MonteCarlo, StandardForm};
use super::model::{INPUTS, Quantity};
use super::propagation::{Propagation, propagate};
use super::scatter::Scatter;
use super::settle::Averaged;
use super::target::Target;
use super::{
    BudgetLine, Correction, JobError, Outcome, Plausible, ReadingResult, Rule, Size, Suspicion,
    ZeroError, examine, zero_error,
};
use crate::contacts::{Freedom, MeasuredThread, Reach, angle_sensitivity_mm, lead_offset_mm};
use crate::correction::{ErrorCurve, Temperatures, temperature_correction};
use crate::features::tube_wall::eccentricity;
use crate::limits::{Limits, ThreadLimits};
use crate::material;
use crate::source::Source;
use crate::uncertainty::statistics::Pooled;
use crate::uncertainty::{Budget, Distribution, Input, Model, distribution};
use crate::units::{Angle, Celsius, Entered, Length, LengthUnit};
use crate::wires::Side;

/// Half angle of each contact taken as known within this, minutes of arc, where the job does not state it
/// (common practice, no source).
const HALF_ANGLE_LIMIT: f64 = 4.0;
/// Periodic error of a micrometer screw between the points of its curve, millimetres, where it was not measured
/// (common practice, no source).
const PERIODIC_ERROR: f64 = 0.0005;
/// Zero drift put up with where the job does not say: 2 µm, or 0.0001 in on an inch instrument (common practice, no
/// source).
const DRIFT_LIMIT: (Length, Length) = (
    Length::from_micrometres(2),
    Length::from_ten_thousandths_inch(1),
);
/// Difference of temperature between part and standard that is allowed for when none was read, kelvins (common
/// practice, no source).
const UNREAD_TEMPERATURE: f64 = 1.0;

/// Which size is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// The mean over all places.
    Mean,
    /// The mean at one place.
    Place(usize),
}

/// All that the readings of one job tell, ready for the model.
pub struct Estimate {
    pub zero: ZeroError,
    scatter: Scatter,
    place_names: Vec<String>,
    /// Inputs that do not depend on the basis, by quantity; the reading's own are filled in for each basis.
    common: [Input; INPUTS],
    curve: Option<ErrorCurve>,
    conversion: Conversion,
    standard: Length,
    pub drift_limit: Length,
    pub resolution: Length,
    temperatures: Temperatures<f64>,
}

impl Estimate {
    /// Evaluates the readings, after checking every number that the model will see.
    #[expect(
        clippy::too_many_lines,
        reason = "the list of inputs, in the order of the model"
    )]
    pub fn of(job: &Job, target: &Target) -> Result<Self, JobError> {
        let readings = all_readings(job)?;
        let unit = readings.first().ok_or(JobError::NoReadings)?.unit();
        let prior = prior(job)?;
        let standard = standard_size(job)?;
        let before = values(&job.zero.before);
        let after = values(&job.zero.after);
        let zero = match zero_error(&before, &after, standard) {
            Some(zero) => zero,
            None => unset_zero(job)?,
        };
        let places: Vec<Vec<f64>> = job
            .readings
            .iter()
            .map(|place| {
                place
                    .readings
                    .iter()
                    .map(|reading| reading.value().mm())
                    .collect()
            })
            .collect();
        let mut scatter = Scatter::of(&places, prior).ok_or(JobError::OneReading)?;
        if let Some(left) = left_by_harmonic(job, target, &scatter) {
            scatter.between_places = Some(left);
        }
        let resolution = match &job.instrument.resolution {
            Some(step) => positive("resolution", step)?,
            None => readings
                .iter()
                .chain(&job.zero.before)
                .map(Entered::resolution)
                .max()
                .unwrap_or_default(),
        };
        let drift_limit = match &job.prior.drift_limit {
            Some(limit) => positive("drift limit", limit)?,
            None if unit == LengthUnit::Inch => DRIFT_LIMIT.1,
            None => DRIFT_LIMIT.0,
        };
        let curve = error_curve(job)?;
        let thermal = thermal(job)?;
        let mut common = Quantity::ALL.map(|quantity| Input::normal(quantity.words(), 0.0, 0.0));
        let mut set = |quantity: Quantity, input: Input| common[quantity as usize] = input;

        let zero_input = zero_reading(
            &zero,
            standard,
            prior,
            &scatter,
            (before.len(), after.len()),
        );
        let zero_scatter = zero_input.standard_uncertainty();
        set(Quantity::ZeroReading, zero_input);
        set(
            Quantity::ZeroResolution,
            step(Quantity::ZeroResolution, resolution, zero_scatter),
        );
        if before.is_empty() {
            set(
                Quantity::ZeroResolution,
                Input::normal(Quantity::ZeroResolution.words(), 0.0, 0.0),
            );
            set(Quantity::ZeroReading, zero_allowance(job, standard)?);
        }
        set(Quantity::Drift, drift(&zero, drift_limit));
        set(Quantity::Standard, setting_standard(job, standard)?);
        for (quantity, input) in instrument(job, curve.as_ref())? {
            set(quantity, input);
        }
        set(Quantity::FormUnseen, form_unseen(job)?);
        set(Quantity::ContactAngle, contact_angle(job, target)?);
        set(Quantity::FlankAngle, flank_angle(job, target)?);
        set(Quantity::ContactLead, contact_lead(job, target)?);
        let conversion = Conversion::of(job, target, one_reading(&scatter, resolution).0)?;
        for (quantity, input) in thermal
            .inputs()
            .into_iter()
            .chain(conversion.inputs.clone())
        {
            set(quantity, input);
        }
        Ok(Self {
            zero,
            scatter,
            place_names: job.readings.iter().map(super::Place::words).collect(),
            common,
            curve,
            conversion,
            standard,
            drift_limit,
            resolution,
            temperatures: thermal.temperatures(),
        })
    }

    /// How many places were measured.
    pub fn places(&self) -> usize {
        self.scatter.place_means.len()
    }

    /// Whether repeats or earlier series tell the scatter of one reading.
    pub const fn repeatability_known(&self) -> bool {
        self.scatter.repeatability.is_some()
    }

    /// Whether one place on its own has a size.
    pub const fn by_place(&self) -> bool {
        self.conversion.by_place
    }

    /// The step from reading to size in words; empty where the reading is the size.
    pub fn formula(&self) -> &str {
        &self.conversion.formula
    }

    /// Standard deviation of one reading, millimetres, and its degrees of freedom: from repeats and earlier series,
    /// or where there are none what the display resolves.
    pub fn one_reading(&self) -> (f64, f64) {
        one_reading(&self.scatter, self.resolution)
    }

    /// Corrected size, budget and decision for the mean or for one place.
    pub fn outcome(&self, basis: Basis, target: &Target, rule: Rule) -> Result<Outcome, JobError> {
        let inputs = self.inputs(basis)?;
        // The model bends alike for the mean and for each place; once is enough.
        let budget = match basis {
            Basis::Mean => Budget::of_model(&self.conversion.model, &inputs, &[]),
            Basis::Place(_) => Budget::of_model_first_order(&self.conversion.model, &inputs, &[]),
        }
        .map_err(|error| JobError::Budget(error.to_string()))?;
        let size = Size::of(&budget)?;
        let (second_order, matters) = (budget.second_order, budget.second_order_matters());
        let mut lines: Vec<BudgetLine> = Quantity::ALL
            .into_iter()
            .zip(budget.lines)
            .filter(|(_, line)| line.contribution > 0.0)
            .map(|(quantity, line)| BudgetLine { quantity, line })
            .collect();
        lines.sort_by(|a, b| b.line.share.total_cmp(&a.line.share));
        Ok(Outcome {
            of: self.words(basis),
            place: match basis {
                Basis::Mean => None,
                Basis::Place(place) => Some(place),
            },
            decision: size.decide(target, rule)?,
            second_order: second_order.filter(|_| matters),
            budget: lines,
            size,
        })
    }

    /// What an outcome averages over, and of how many.
    pub fn averaged(&self, place: Option<usize>) -> Averaged {
        let readings = |place: usize| self.scatter.place_counts.get(place).copied().unwrap_or(1);
        match place {
            None if self.places() > 1 => Averaged::Places(self.places()),
            None => Averaged::Readings(readings(0)),
            Some(place) => Averaged::Readings(readings(place)),
        }
    }

    /// The size of an outcome by Monte Carlo.
    pub fn propagate(
        &self,
        outcome: &Outcome,
        how: MonteCarlo,
        unit: LengthUnit,
    ) -> Result<Propagation, JobError> {
        let basis = outcome.place.map_or(Basis::Mean, Basis::Place);
        propagate(
            &self.conversion.model,
            &self.inputs(basis)?,
            &outcome.size,
            how,
            unit,
        )
    }

    fn words(&self, basis: Basis) -> String {
        match basis {
            Basis::Mean => match self.places() {
                1 => "the mean".to_owned(),
                places => format!("the mean of {places} places"),
            },
            Basis::Place(place) => {
                match self.place_names.get(place).filter(|name| !name.is_empty()) {
                    Some(name) => name.clone(),
                    None => format!("reading {}", place + 1),
                }
            }
        }
    }

    /// The inputs of the model for one basis.
    fn inputs(&self, basis: Basis) -> Result<[Input; INPUTS], JobError> {
        let mut inputs = self.common.clone();
        let (reading, repeatability, form) = match basis {
            Basis::Mean => (
                self.scatter.mean,
                self.scatter.repeatability_of_mean(),
                self.scatter.form_of_mean(),
            ),
            Basis::Place(place) => (
                self.scatter
                    .place_means
                    .get(place)
                    .copied()
                    .ok_or(JobError::EmptyPlace)?,
                self.scatter.at_place(place),
                None,
            ),
        };
        let mut set = |quantity: Quantity, input: Input| inputs[quantity as usize] = input;
        set(
            Quantity::Reading,
            Input::normal(Quantity::Reading.words(), reading, 0.0),
        );
        let name = if self.scatter.repeatability.is_some() || basis != Basis::Mean {
            Quantity::FormSeen.words()
        } else {
            "scatter of the readings"
        };
        for (quantity, name, type_a) in [
            (
                Quantity::Repeatability,
                Quantity::Repeatability.words(),
                repeatability,
            ),
            (Quantity::FormSeen, name, form),
        ] {
            if let Some((standard_uncertainty, degrees_of_freedom)) = type_a {
                set(
                    quantity,
                    Input::normal(name, 0.0, standard_uncertainty)
                        .with_degrees_of_freedom(degrees_of_freedom)
                        .with_note("readings (type A)"),
                );
            }
        }
        let type_a = [repeatability, form]
            .into_iter()
            .flatten()
            .map(|(u, _)| u * u)
            .sum::<f64>()
            .sqrt();
        set(
            Quantity::Resolution,
            step(Quantity::Resolution, self.resolution, type_a),
        );
        inputs[Quantity::Curve as usize] = self.curve_input(reading)?;
        Ok(inputs)
    }

    /// The error curve at a reading less the error curve at the standard, with the share of its points in both.
    fn curve_input(&self, reading: f64) -> Result<Input, JobError> {
        let mut input = self.common[Quantity::Curve as usize].clone();
        if let (
            Some(curve),
            Distribution::Normal {
                standard_uncertainty,
            },
        ) = (&self.curve, input.distribution)
        {
            input.estimate = self.curve_difference(reading)?;
            let factor = curve.difference_factor(Length::nearest_mm(reading)?, self.standard)?;
            input.distribution = Distribution::Normal {
                standard_uncertainty: factor * standard_uncertainty,
            };
        }
        Ok(input)
    }

    /// Error curve at a reading less error curve at the standard, millimetres.
    fn curve_difference(&self, reading: f64) -> Result<f64, JobError> {
        match &self.curve {
            Some(curve) => Ok(
                curve.error_at(Length::nearest_mm(reading)?)? - curve.error_at(self.standard)?
            ),
            None => Ok(0.0),
        }
    }

    /// Standard uncertainty of the zero error, millimetres: its readings, their resolution, and the standard.
    pub fn zero_uncertainty(&self) -> f64 {
        self.together(&[
            Quantity::ZeroReading,
            Quantity::ZeroResolution,
            Quantity::Standard,
        ])
    }

    fn together(&self, quantities: &[Quantity]) -> f64 {
        quantities
            .iter()
            .filter_map(|quantity| self.common.get(*quantity as usize))
            .map(|input| input.standard_uncertainty() * input.standard_uncertainty())
            .sum::<f64>()
            .sqrt()
    }

    /// What is added to the mean reading, one effect at a time.
    pub fn corrections(&self) -> Result<Vec<Correction>, JobError> {
        let zero_uncertainty = self.together(&[
            Quantity::ZeroReading,
            Quantity::ZeroResolution,
            Quantity::Standard,
            Quantity::Drift,
        ]);
        let mut corrections = vec![self.zero.correction(zero_uncertainty)];
        let inputs = self.inputs(Basis::Mean)?;
        let mut difference = self.scatter.mean - self.zero.value - self.standard.mm();
        for (name, quantities, source, always) in [
            (
                "error curve",
                [Quantity::Curve, Quantity::Interpolation],
                Source::CommonPractice,
                self.curve.is_some(),
            ),
            (
                "flank angles",
                [Quantity::FlankAngle, Quantity::ContactAngle],
                Source::Geometry,
                false,
            ),
            (
                "lead angle",
                [Quantity::ContactLead, Quantity::ContactLead],
                Source::Geometry,
                false,
            ),
        ] {
            let [first, second] = quantities.map(|quantity| &inputs[quantity as usize]);
            if always || first.estimate != 0.0 {
                difference -= first.estimate;
                let more = if quantities[0] == quantities[1] {
                    0.0
                } else {
                    second.standard_uncertainty()
                };
                corrections.push(Correction {
                    name,
                    value: -first.estimate,
                    standard_uncertainty: libm::hypot(first.standard_uncertainty(), more),
                    source,
                });
            }
        }
        let budget = Budget::of_model_first_order(&self.conversion.model, &inputs, &[])
            .map_err(|error| JobError::Budget(error.to_string()))?;
        let thermal = budget
            .lines
            .iter()
            .skip(Quantity::PartTemperature as usize)
            .map(|line| line.contribution * line.contribution)
            .sum::<f64>()
            .sqrt();
        let correction =
            temperature_correction(self.standard.mm(), difference, &self.temperatures, thermal);
        if self.temperatures_stated() {
            corrections.push(correction);
        }
        for (quantity, name, source) in [
            (
                Quantity::ContactGeometry,
                "contact geometry",
                Source::Geometry,
            ),
            (Quantity::Deformation, "measuring force", Source::Csiro25),
        ] {
            let input = self.common.get(quantity as usize);
            if let Some(input) = input.filter(|input| input.estimate != 0.0) {
                corrections.push(Correction {
                    name,
                    value: input.estimate,
                    standard_uncertainty: input.standard_uncertainty(),
                    source,
                });
            }
        }
        Ok(corrections)
    }

    fn temperatures_stated(&self) -> bool {
        self.temperatures.part != 0.0
            || self.temperatures.standard != 0.0
            || self.temperatures.instrument != 0.0
    }

    /// Each reading with its corrections, and what it looks like.
    pub fn readings(&self, job: &Job, target: &Target) -> Result<Vec<ReadingResult>, JobError> {
        let readings = all_readings(job)?;
        let zero = Length::nearest_mm(self.zero.value)?;
        let limits = self.conversion.as_read(target.limits)?;
        let as_shown = Limits {
            lower: limits.lower.map(|limit| limit + zero),
            upper: limits.upper.map(|limit| limit + zero),
        };
        let known = self
            .scatter
            .repeatability
            .map(|pooled| pooled.standard_deviation);
        let known = known.map(Length::nearest_mm).transpose()?;
        let flags = examine(
            &readings,
            Plausible {
                limits: as_shown,
                whose: "the limits",
            },
            known,
            zero,
        );
        let places = job
            .readings
            .iter()
            .enumerate()
            .flat_map(|(place, one)| std::iter::repeat_n(place, one.readings.len()));
        let mut at = self.inputs(Basis::Mean)?.map(|input| input.estimate);
        readings
            .into_iter()
            .zip(flags)
            .zip(places)
            .map(|((as_read, flag), place)| {
                let shown = as_read.value().mm();
                at[Quantity::Reading as usize] = shown;
                at[Quantity::Curve as usize] = self.curve_difference(shown)?;
                Ok(ReadingResult {
                    place,
                    as_read,
                    corrected: self.conversion.model.evaluate(at),
                    flag,
                })
            })
            .collect()
    }

    /// Readings on the standard that look like mistakes.
    pub fn zero_flags(&self, job: &Job) -> Vec<(Entered, Suspicion)> {
        // A tenth of a millimetre about the certified size: no zero is off by more without something being wrong.
        let reach = Length::from_micrometres(50);
        let plausible = Plausible {
            limits: Limits::between(self.standard - reach, self.standard + reach),
            whose: "the certified size",
        };
        [&job.zero.before, &job.zero.after]
            .into_iter()
            .flat_map(|check| {
                check
                    .iter()
                    .zip(examine(check, plausible, None, Length::ZERO))
            })
            .filter_map(|(reading, flag)| Some((reading.clone(), flag?)))
            .collect()
    }
}

/// Every reading of the part, in order; all in one unit.
fn all_readings(job: &Job) -> Result<Vec<Entered>, JobError> {
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
    let all = readings
        .iter()
        .chain(&job.zero.before)
        .chain(&job.zero.after);
    if let Some(first) = readings.first() {
        for reading in all {
            if reading.unit() != first.unit() {
                return Err(JobError::MixedUnits {
                    one: first.text().into(),
                    other: reading.text().into(),
                });
            }
            // Contacts closed on each other may show a little less than nothing; no part does.
            let closed = job.standard.form == StandardForm::Closed
                && job
                    .zero
                    .before
                    .iter()
                    .chain(&job.zero.after)
                    .any(|zero| std::ptr::eq(zero, reading));
            if !closed {
                not_negative("reading", reading)?;
            }
        }
    }
    Ok(readings)
}

fn values(readings: &[Entered]) -> Vec<Length> {
    readings.iter().map(Entered::value).collect()
}

/// What earlier series tell of one reading.
fn prior(job: &Job) -> Result<Option<Pooled>, JobError> {
    let Some(repeatability) = &job.prior.repeatability else {
        return Ok(None);
    };
    let degrees_of_freedom = job.prior.degrees_of_freedom.unwrap_or(0.0);
    if !(degrees_of_freedom >= 1.0 && degrees_of_freedom.is_finite()) {
        return Err(JobError::DegreesOfFreedom(degrees_of_freedom));
    }
    let standard_deviation = positive("repeatability", repeatability)?.mm();
    Ok(Some(Pooled {
        standard_deviation,
        degrees_of_freedom,
    }))
}

/// Resolution, as far as the scatter does not hold it already.
///
/// Readings that scatter over several steps carry their rounding in the scatter; readings that all show the same
/// digits hide up to half a step. So the larger of the two counts: with `scatter` the type A uncertainty of the mean,
/// `u² = d²/12 − scatter²`, but not below nothing. Source: ISO 14253-2:2011, resolution or repeatability, whichever is
/// larger (from memory).
fn step(quantity: Quantity, resolution: Length, scatter: f64) -> Input {
    let half = resolution.mm() / 2.0;
    let half_width = (half * half - 3.0 * scatter * scatter).max(0.0).sqrt();
    named(
        quantity,
        0.0,
        Distribution::Rectangular { half_width },
        "one step of the display, beyond what the scatter holds",
    )
}

fn named(quantity: Quantity, estimate: f64, distribution: Distribution, note: &str) -> Input {
    Input::new(quantity.words(), estimate, distribution).with_note(note)
}

/// The certified size of the standard.
fn setting_standard(job: &Job, size: Length) -> Result<Input, JobError> {
    let expanded = not_negative(
        "expanded uncertainty of the standard",
        &job.standard.expanded_uncertainty,
    )?;
    let k = coverage_factor("standard", job.standard.coverage_factor)?;
    let standard_uncertainty = distribution::normal(expanded.mm(), k);
    let certificate = job.standard.certificate.as_ref();
    let note = certificate.map_or_else(String::new, |number| format!("certificate {number}"));
    Ok(named(
        Quantity::Standard,
        size.mm(),
        Distribution::Normal {
            standard_uncertainty,
        },
        &note,
    ))
}

fn error_curve(job: &Job) -> Result<Option<ErrorCurve>, JobError> {
    let InstrumentErrors::Curve { points, .. } = &job.instrument.errors else {
        return Ok(None);
    };
    let points = points
        .iter()
        .map(|point| (point.at.value(), point.error.value()))
        .collect();
    Ok(Some(ErrorCurve::new(points)?))
}

/// The mean reading on the standard. With checks of `n1` and `n2` readings the mean of both means has
/// `u = s √(1/n1 + 1/n2) / 2`.
fn zero_reading(
    zero: &ZeroError,
    standard: Length,
    prior: Option<Pooled>,
    part: &Scatter,
    (before, after): (usize, usize),
) -> Input {
    let groups: Vec<Pooled> = zero.scatter.into_iter().chain(prior).collect();
    // A single closure on the standard scatters at least as a single reading on the part.
    let pooled = Pooled::of(&groups)
        .or(part.repeatability)
        .or(part.between_places);
    let weight = match after {
        0 => (1.0 / before as f64).sqrt(),
        after => (1.0 / before as f64 + 1.0 / after as f64).sqrt() / 2.0,
    };
    let (u, dof) = pooled.map_or((0.0, f64::INFINITY), |pooled| {
        (
            pooled.standard_deviation * weight,
            pooled.degrees_of_freedom,
        )
    });
    Input::normal(Quantity::ZeroReading.words(), standard.mm() + zero.value, u)
        .with_degrees_of_freedom(dof)
        .with_note("readings on the standard (type A)")
}

/// Scatter of wall readings about their first harmonic, where they are spread evenly around one section of a tube: the
/// offset of its two circles is no doubt about the mean wall, which it leaves as it is.
fn left_by_harmonic(job: &Job, target: &Target, scatter: &Scatter) -> Option<Pooled> {
    let (Feature::TubeWall(_) | Feature::InsideDiameter(_)) = target.feature.as_ref()? else {
        return None;
    };
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
fn one_reading(scatter: &Scatter, resolution: Length) -> (f64, f64) {
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

/// No zero was set, for a reason that is given: nothing is corrected, and what it may be off by is allowed for.
fn unset_zero(job: &Job) -> Result<ZeroError, JobError> {
    if job.overrides.zero.is_none() || !job.zero.after.is_empty() {
        return Err(JobError::NoZero {
            standard: job.standard.id.clone(),
        });
    }
    Ok(ZeroError {
        value: 0.0,
        n: 0,
        before: 0.0,
        after: None,
        scatter: None,
    })
}

fn zero_allowance(job: &Job, standard: Length) -> Result<Input, JobError> {
    let allowance = job.zero.allowance.as_ref().ok_or(JobError::ZeroAllowance)?;
    let half_width = positive("allowance for the zero", allowance)?.mm();
    Ok(named(
        Quantity::ZeroReading,
        standard.mm(),
        Distribution::Rectangular { half_width },
        "no zero was set: the allowance stated",
    ))
}

/// How far the zero may have been from its mean while the part was read: half of what it moved, or, where it was not
/// checked again, the drift that is put up with.
fn drift(zero: &ZeroError, limit: Length) -> Input {
    let (half_width, note) = match zero.drift() {
        Some(drift) => (drift.abs() / 2.0, "half the change between the checks"),
        None => (limit.mm(), "no closing check: the drift limit"),
    };
    named(
        Quantity::Drift,
        0.0,
        Distribution::Rectangular { half_width },
        note,
    )
}

/// Errors of indication: from the curve, or within the maximum permissible error.
fn instrument(job: &Job, curve: Option<&ErrorCurve>) -> Result<Vec<(Quantity, Input)>, JobError> {
    match &job.instrument.errors {
        InstrumentErrors::Within {
            maximum_permissible_error,
        } => {
            let half_width =
                not_negative("maximum permissible error", maximum_permissible_error)?.mm();
            let within = Distribution::Rectangular { half_width };
            let note = "within the maximum permissible error";
            Ok(vec![(
                Quantity::Indication,
                named(Quantity::Indication, 0.0, within, note),
            )])
        }
        InstrumentErrors::Curve {
            expanded_uncertainty,
            coverage_factor: k,
            periodic_error,
            ..
        } => {
            let expanded = not_negative(
                "expanded uncertainty of the error curve",
                expanded_uncertainty,
            )?
            .mm();
            let certificate = Distribution::Normal {
                standard_uncertainty: distribution::normal(
                    expanded,
                    coverage_factor("error curve", *k)?,
                ),
            };
            let periodic = match periodic_error {
                Some(stated) => not_negative("periodic error", stated)?.mm(),
                None => PERIODIC_ERROR,
            };
            let bend = curve.map_or(0.0, ErrorCurve::interpolation_limit);
            // Part and standard both lie between points, each within the bend: the difference is triangular, ± 2 bend
            // (JCGM 100:2008, 4.3.9). The periodic error is a sine of unknown phase; where part and standard lie half a
            // turn apart, it counts twice: arcsine, ± 2 periodic. Taken together as rectangular.
            let u = libm::hypot(
                distribution::triangular(2.0 * bend),
                distribution::arcsine(2.0 * periodic),
            );
            let between = Distribution::Rectangular {
                half_width: u * 3.0_f64.sqrt(),
            };
            Ok(vec![
                (
                    Quantity::Curve,
                    named(Quantity::Curve, 0.0, certificate, "certificate"),
                ),
                (
                    Quantity::Interpolation,
                    named(
                        Quantity::Interpolation,
                        0.0,
                        between,
                        "bend of the curve and periodic error of the screw",
                    ),
                ),
            ])
        }
    }
}

fn form_unseen(job: &Job) -> Result<Input, JobError> {
    let half_width = match &job.prior.form {
        Some(form) => not_negative("form", form)?.mm(),
        None => 0.0,
    };
    Ok(named(
        Quantity::FormUnseen,
        0.0,
        Distribution::Rectangular { half_width },
        "stated with the job",
    ))
}

/// What half-angle errors of V and cone add to the reading, as a spread about nothing.
///
/// One contact of half angle off by `δ` touches the flank at its far end, `y` from the pitch line, and stands out by
/// `h = 2 y δ / sin 2α`; with `y = 3H/8` (full engagement, ISO 68-1) and `δ` anywhere within its limit the root mean square
/// is that at the limit over √3, and two contacts add in quadrature. On a rod the contacts stand out too, by what the
/// reach of its V and cone makes of the same `δ`: with a reach of half to one and a half times that on the thread (common
/// practice, no source) the difference is within half of `h`, of either sign. A thread plug as standard has the same
/// flanks as the part and takes it out. Source: elementary geometry; limit [`Source::CommonPractice`].
fn contact_angle(job: &Job, target: &Target) -> Result<Input, JobError> {
    let nothing = Input::normal(Quantity::ContactAngle.words(), 0.0, 0.0);
    let Some(thread) = &target.thread else {
        return Ok(nothing);
    };
    if job.contacts.kind != ContactKind::VAndCone || job.standard.form == StandardForm::ThreadPlug {
        return Ok(nothing);
    }
    let minutes = job.contacts.half_angle_limit.unwrap_or(HALF_ANGLE_LIMIT);
    if !(0.0..=120.0).contains(&minutes) {
        return Err(JobError::Number {
            what: "half_angle_limit",
            value: minutes,
            right: "contacts are good to some minutes of arc; write 0 to 120",
        });
    }
    let half_angle = thread.included_angle.radians() / 2.0;
    let height = thread.pitch.mm() / (2.0 * libm::tan(half_angle));
    let reach = 3.0 / 8.0 * height;
    let limit = Angle::from_degrees_minutes(0.0, minutes).radians();
    let one_contact = 2.0 * reach * limit / libm::sin(2.0 * half_angle);
    Ok(named(
        Quantity::ContactAngle,
        0.0,
        Distribution::Rectangular {
            half_width: one_contact * std::f64::consts::SQRT_2 / 2.0,
        },
        &format!("half angles within {minutes}\u{2032}"),
    ))
}

/// How far V and cone reach from the pitch line on the flanks of a thread, at most: 3H/8 towards the crest, H/4
/// towards the root (ISO 68-1, full engagement). Millimetres.
fn reach(thread: &ThreadLimits) -> Reach {
    let height = thread.pitch.mm() / (2.0 * libm::tan(thread.included_angle.radians() / 2.0));
    Reach {
        inner_mm: height / 4.0,
        outer_mm: height * 3.0 / 8.0,
    }
}

/// What half-angle errors of the part's flanks add to the reading.
///
/// Cone and V both stand out by `2 y δ / sin 2α`, never in: the reading is too large by 0 to `A`, twice that at the
/// limit with `y = 3H/8`. With `δ` anywhere within its limit, `y` only `H/4` where the flank angle is too large, and
/// contacts that engage half to all of the flank, the mean is `A · ½ · (1 + ⅔)/2 · ¾ = 5A/16` and the standard deviation
/// `0.207 A`: the mean is taken off, the rest stays, as rectangular `± 0.4 A` (0.36 A, and something for angles of the
/// contacts that add to it). On a thread plug as standard the contacts
/// stand out as well where their own angles are off, and only the difference enters, of either sign: `± A`. Source:
/// [`Source::Geometry`].
fn flank_angle(job: &Job, target: &Target) -> Result<Input, JobError> {
    let nothing = Input::normal(Quantity::FlankAngle.words(), 0.0, 0.0);
    let (Some(thread), Some(minutes)) = (&target.thread, job.prior.flank_angle) else {
        return Ok(nothing);
    };
    if job.contacts.kind != ContactKind::VAndCone {
        return Ok(nothing);
    }
    if !(0.0..=120.0).contains(&minutes) {
        return Err(JobError::Number {
            what: "flank_angle",
            value: minutes,
            right: "it is how far the half angles of the part may be off, in minutes of arc; write 0 to 120",
        });
    }
    let half_angle = Angle::from_radians(thread.included_angle.radians() / 2.0);
    let limit = Angle::from_degrees_minutes(0.0, minutes).radians();
    let most = 2.0 * angle_sensitivity_mm(half_angle, reach(thread)) * limit;
    let (estimate, half_width) = match job.standard.form {
        StandardForm::ThreadPlug => (0.0, most),
        _ => (5.0 / 16.0 * most, 0.4 * most),
    };
    Ok(named(
        Quantity::FlankAngle,
        estimate,
        Distribution::Rectangular { half_width },
        &format!("half angles within {minutes}\u{2032}"),
    ))
}

/// What the lead angle adds to the reading where zero was set without lead, on a rod: the cone is lifted in the
/// groove, the V (free to turn) sinks a little over the ridge. A thread plug takes it out.
///
/// Computed for flanks fully engaged; contacts with shorter flanks show as little as half of it, hence ± half,
/// rectangular. Source: [`Source::Geometry`], see [`lead_offset_mm`].
fn contact_lead(job: &Job, target: &Target) -> Result<Input, JobError> {
    let nothing = Input::normal(Quantity::ContactLead.words(), 0.0, 0.0);
    let limits = target.limits;
    let (Some(thread), Some(size)) = (&target.thread, limits.upper.or(limits.lower)) else {
        return Ok(nothing);
    };
    if job.contacts.kind != ContactKind::VAndCone || job.standard.form == StandardForm::ThreadPlug {
        return Ok(nothing);
    }
    let reach = reach(thread);
    let measured = MeasuredThread {
        side: Side::External,
        half_angle: Angle::from_radians(thread.included_angle.radians() / 2.0),
        pitch_mm: thread.pitch.mm(),
        starts: u32::from(thread.starts),
        pitch_diameter_mm: size.mm(),
        to_crest_mm: reach.outer_mm,
        to_root_mm: reach.inner_mm,
    };
    let (cone, vee) = lead_offset_mm(&measured, reach, reach, Freedom::Free)
        .map_err(|error| JobError::Budget(error.to_string()))?;
    let shift = cone + vee;
    Ok(named(
        Quantity::ContactLead,
        shift,
        Distribution::Rectangular {
            half_width: shift.abs() / 2.0,
        },
        "flanks fully or half engaged",
    ))
}

/// Temperatures and expansions with what is known of them.
struct Thermal {
    part: (f64, Distribution, &'static material::Material),
    standard: (f64, Distribution, &'static material::Material),
    instrument: (f64, Distribution, &'static material::Material),
}

fn thermal(job: &Job) -> Result<Thermal, JobError> {
    let of = |name: &str| {
        material::named(name).ok_or_else(|| {
            let known: Vec<&str> = material::all()
                .iter()
                .map(|material| material.name.as_str())
                .collect();
            JobError::Material(name.to_owned(), known.join(", "))
        })
    };
    // The screw of a micrometer is steel.
    let steel = of("steel")?;
    let Some(read) = &job.temperature else {
        let exact = Distribution::Normal {
            standard_uncertainty: 0.0,
        };
        let unread = Distribution::Rectangular {
            half_width: UNREAD_TEMPERATURE,
        };
        return Ok(Thermal {
            part: (0.0, unread, steel),
            standard: (0.0, exact, steel),
            instrument: (0.0, exact, steel),
        });
    };
    let u = read.standard_uncertainty;
    if !(0.0..=20.0).contains(&u) {
        return Err(JobError::Number {
            what: "the standard uncertainty of the temperatures",
            value: u,
            right: "write it in kelvins, such as 0.3",
        });
    }
    let above = |temperature: Celsius| {
        let kelvins = (temperature - Celsius::REFERENCE).kelvins();
        // Beyond this no part is measured at a bench; NaN fails too.
        if (-60.0..=100.0).contains(&kelvins) {
            Ok(kelvins)
        } else {
            Err(JobError::Number {
                what: "a temperature",
                value: temperature.degrees(),
                right: "write it in degrees Celsius, as read at the bench",
            })
        }
    };
    let known = Distribution::Normal {
        standard_uncertainty: u,
    };
    Ok(Thermal {
        part: (above(read.part)?, known, of(&read.part_material)?),
        standard: (above(read.standard)?, known, of(&read.standard_material)?),
        instrument: (
            above(read.instrument.unwrap_or(read.standard))?,
            known,
            steel,
        ),
    })
}

impl Thermal {
    fn temperatures(&self) -> Temperatures<f64> {
        Temperatures {
            part: self.part.0,
            standard: self.standard.0,
            instrument: self.instrument.0,
            part_expansion: self.part.2.expansion.value(),
            standard_expansion: self.standard.2.expansion.value(),
            instrument_expansion: self.instrument.2.expansion.value(),
        }
    }

    fn inputs(&self) -> [(Quantity, Input); 6] {
        let temperature = |quantity, body: &(f64, Distribution, _)| {
            (quantity, named(quantity, body.0, body.1, "thermometer"))
        };
        let expansion = |quantity, material: &material::Material| {
            let coefficient = material.expansion.value();
            let half_width = coefficient * material.expansion_relative_limit;
            let note = format!(
                "{}, {:.1}e-6/K within {:.0} % ({})",
                material.name,
                coefficient * 1e6,
                material.expansion_relative_limit * 100.0,
                material.source
            );
            (
                quantity,
                named(
                    quantity,
                    coefficient,
                    Distribution::Rectangular { half_width },
                    &note,
                ),
            )
        };
        [
            temperature(Quantity::PartTemperature, &self.part),
            temperature(Quantity::StandardTemperature, &self.standard),
            temperature(Quantity::InstrumentTemperature, &self.instrument),
            expansion(Quantity::PartExpansion, self.part.2),
            expansion(Quantity::StandardExpansion, self.standard.2),
            expansion(Quantity::InstrumentExpansion, self.instrument.2),
        ]
    }
}
