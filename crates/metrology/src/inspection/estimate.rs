//! From the readings of a job to the inputs of the model, and from those to an outcome.

use super::approval::DRIFT_LIMIT_INCH;
use super::approval::StudyPrior;
use super::approval::{DefaultName, Usual};
use super::by_study;
use super::contact_inputs::{contact_angle, contact_lead, contact_wear, flank_angle, pitch_error};
use super::converted::Conversion;
use super::faces::faces;
use super::inputs::{
    Contradicted, all_readings, error_curve, form_history, form_unseen, instrument,
    left_by_harmonic, one_reading, prior, repeatability_default, repeatability_on_standard,
    setting_standard, step, usual_form, usual_repeatability, values,
};
use super::job::{Job, MonteCarlo};
use super::local::opposites;
use super::model::{INPUTS, Quantity};
use super::note::{LineName, Named, Note, OwnName};
use super::opposite::Opposite;
use super::over_wires;
use super::own::{OwnOfJob, by_certificate, compared};
use super::propagation::{Propagation, propagate};
use super::scatter::{Known, KnownFrom, Scatter, TypeA};
use super::settle::Averaged;
use super::since_certificate;
use super::size;
use super::suspicion::{Near, fewer_decimals, on_standard, or_fewer_decimals};
use super::target::Target;
use super::thermal::thermal;
use super::warning::Warning;
use super::zero_inputs::{drift, unset_zero, zero_allowance, zero_reading};
use super::{
    Basis, BudgetLine, Correction, JobError, Outcome, PlaceName, Plausible, ReadingResult, Rule,
    Size, Suspicion, Where, ZeroError, examine, zero_error,
};
use crate::correction::{CorrectionName, ErrorCurve, Temperatures, temperature_correction};
use crate::limits::Limits;
use crate::message::{Message, Value};
use crate::source::Source;
use crate::uncertainty::statistics::Pooled;
use crate::uncertainty::{Budget, Distribution, Input, Model};
use crate::units::{Entered, Length, LengthUnit};

/// Zero drift put up with on a metric instrument where the job does not say (common practice, no source).
const DRIFT_LIMIT: Length = Length::from_micrometres(2);

/// The zero drift that is put up with: as stated, as approved, or the usual one of the instrument's unit.
pub fn drift_limit(stated: Option<&Entered>, usual: &Usual<'_>, unit: LengthUnit) -> Length {
    match stated.map(Entered::value).or(usual.approved_length()) {
        Some(limit) => limit,
        None if unit == LengthUnit::Inch => DRIFT_LIMIT_INCH,
        None => DRIFT_LIMIT,
    }
}

/// Which size is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Of {
    /// The mean over all places.
    Mean,
    /// The mean at one place, or of an inside diameter across two opposite ones.
    Place(usize),
}

/// All that the readings of one job tell, ready for the model.
pub struct Estimate {
    pub zero: ZeroError,
    /// What is known of one reading besides the readings on the part.
    pub known: Known,
    pub scatter: Scatter,
    place_names: Vec<Option<PlaceName>>,
    /// Opposite places, where a size is one across two of them.
    opposites: Vec<Opposite>,
    /// Inputs that do not depend on the basis, by quantity; the reading's own are filled in for each basis.
    pub common: [Named; INPUTS],
    pub curve: Option<ErrorCurve>,
    pub conversion: Conversion,
    pub standard: Length,
    pub drift_limit: Length,
    pub resolution: Length,
    temperatures: Temperatures<f64>,
    over_wires: bool,
    /// What carries the readings of each place along a taper thread to its plane, millimetres.
    pub carried: Vec<f64>,
    /// Each place is another piece.
    sampled: bool,
    /// Form between places that is allowed for until the readings show more.
    pub usual_form: Option<Pooled>,
    /// What the line says where form is as usual, and where repeatability is.
    form_note: (Note, Option<DefaultName>),
    repeatability_note: (Note, DefaultName),
    /// The laboratory's own uncertainty.
    own: Option<OwnOfJob>,
    /// What the line of repeatability says where an approved study tells it.
    study_note: Option<Note>,
    /// Why an approved study was not taken.
    pub study_warning: Option<Warning>,
    /// Why a stated repeatability was not taken.
    pub contradicted: Option<Contradicted>,
}

impl Estimate {
    /// Evaluates the readings. Whether the numbers can be meant was checked before: see [`super::check`].
    pub fn of(job: &Job, target: &Target) -> Result<Self, JobError> {
        let readings = all_readings(job)?;
        let unit = readings.first().ok_or(JobError::NoReadings)?.unit();
        let standard = job.standard.size.value();
        let before = values(&job.zero.before);
        let after = values(&job.zero.after);
        let zero = match zero_error(&before, &after, standard) {
            Some(zero) => zero,
            None => unset_zero(job)?,
        };
        let carried = over_wires::carried(job, target);
        let places = in_millimetres(job, &carried);
        let study = by_study::repeatability(job, &places, zero.scatter);
        let contradicted = Contradicted::of(job, target, &places);
        let stated = prior(job).filter(|_| contradicted.is_none());
        let prior = stated.or_else(|| study.map(StudyPrior::pooled));
        let zero_of_job = zero.scatter;
        let (known, scatter) = scattered(job, target, &places, prior, zero_of_job)?;
        let resolution = resolution(job, &readings);
        let drift_limit = drift_limit(
            job.prior.drift_limit.as_ref(),
            &job.usual(DefaultName::DriftLimit),
            unit,
        );
        let curve = error_curve(job)?;
        let thermal = thermal(job)?;
        let mut common = Quantity::ALL.map(|quantity| Named::normal(quantity, 0.0, 0.0));
        let mut set = |quantity: Quantity, input: Named| common[quantity as usize] = input;

        let zero_input = zero_reading(
            &zero,
            standard,
            prior,
            (&scatter, &repeatability_on_standard(job)),
            (before.len(), after.len()),
        );
        let zero_scatter = zero_input.input.standard_uncertainty();
        set(Quantity::ZeroReading, zero_input);
        set(
            Quantity::ZeroResolution,
            step(Quantity::ZeroResolution, resolution, zero_scatter),
        );
        if before.is_empty() {
            set(
                Quantity::ZeroResolution,
                Named::normal(Quantity::ZeroResolution, 0.0, 0.0),
            );
            set(Quantity::ZeroReading, zero_allowance(job, standard)?);
        }
        set(Quantity::Drift, drift(&zero, drift_limit, job));
        set(Quantity::Standard, setting_standard(job, standard));
        for (quantity, input) in instrument(job, curve.as_ref(), scatter.mean)
            .into_iter()
            .chain(of_equipment(job, scatter.mean))
        {
            set(quantity, input);
        }
        if let Some(operator) = by_study::operator(job) {
            set(Quantity::Operator, operator);
        }
        set(Quantity::FormUnseen, form_unseen(job, target));
        set(Quantity::ContactAngle, contact_angle(job, target));
        set(Quantity::FlankAngle, flank_angle(job, target));
        set(Quantity::ContactLead, contact_lead(job, target)?);
        set(Quantity::PitchError, pitch_error(job, target));
        let conversion = Conversion::of(
            job,
            target,
            scatter.mean - zero.value,
            one_reading(&scatter, resolution).0,
        )?;
        for (quantity, input) in thermal
            .inputs()
            .into_iter()
            .chain(conversion.inputs.clone())
        {
            set(quantity, input);
        }
        Ok(Self {
            zero,
            known,
            scatter,
            carried,
            place_names: job.readings.iter().map(super::Place::name).collect(),
            opposites: opposites(job, target),
            common,
            curve,
            conversion,
            standard,
            drift_limit,
            resolution,
            temperatures: thermal.temperatures(),
            over_wires: job.wires.is_some(),
            sampled: target.is_sampled(),
            usual_form: usual_form(job, target),
            form_note: form_note(job, target),
            repeatability_note: repeatability_note(job, target),
            own: OwnOfJob::of(job),
            study_note: study.map(StudyPrior::note),
            study_warning: by_study::warning(job, &places, zero_of_job),
            contradicted,
        })
    }

    /// How many places were measured.
    pub fn places(&self) -> usize {
        self.scatter.place_means.len()
    }

    /// Whether readings or earlier series tell the scatter of one reading.
    pub fn repeatability_known(&self) -> bool {
        self.scatter.known_from != KnownFrom::Usual
    }

    /// Reading and scatter of those places that have a size of their own: each of them, or each two that are opposite.
    fn local(&self, place: usize, scatter: &Scatter) -> Option<(f64, Option<TypeA>)> {
        if self.conversion.by_place {
            let reading = scatter.place_means.get(place).copied()?;
            return Some((reading, scatter.at_place(place)));
        }
        let [one, other] = self.opposites.get(place)?.places;
        let [first, second] = [one, other].map(|place| scatter.place_means.get(place).copied());
        let u = scatter.across(one, other, self.opposites.len());
        Some((f64::midpoint(first?, second?), u))
    }

    /// The place with the least room to a limit, where more than one was measured and has a size of its own.
    pub fn worst_place(&self, limits: Limits) -> Result<Option<usize>, JobError> {
        let local = (0..).map_while(|place| self.local(place, &self.scatter));
        let local: Vec<f64> = local.map(|(reading, _)| reading).collect();
        if local.len() < 2 && self.places() <= 2 {
            return Ok(None);
        }
        let inputs = self.inputs(Of::Mean, &self.scatter)?;
        let mut at = inputs.map(|named| named.input.estimate);
        let mut worst: Option<(usize, f64)> = None;
        for (place, mean) in local.into_iter().enumerate() {
            let room = size::room(self.corrected(&mut at, mean)?, limits);
            if worst.is_none_or(|(_, least)| room.total_cmp(&least).is_lt()) {
                worst = Some((place, room));
            }
        }
        Ok(worst.map(|(place, _)| place))
    }

    /// The size that a reading gives, millimetres, with the other inputs of the model as they are in `at`.
    pub fn corrected(&self, at: &mut [f64; INPUTS], shown: f64) -> Result<f64, JobError> {
        at[Quantity::Reading as usize] = shown;
        at[Quantity::Curve as usize] = self.curve_difference(shown)?;
        Ok(self.conversion.model.evaluate(*at))
    }

    /// The size that a reading gives, millimetres, of whatever place.
    pub fn size_of_reading(&self, shown: f64) -> Result<f64, JobError> {
        let inputs = self.inputs(Of::Mean, &self.scatter)?;
        self.corrected(&mut inputs.map(|named| named.input.estimate), shown)
    }

    /// What the display shows of a size, millimetres: the reading that [`Self::corrected`] makes that size. `about` is near it.
    pub fn shown(&self, size: f64, about: f64) -> Result<f64, JobError> {
        /// Corrections change by less than a hundredth of what the reading does.
        const STEPS: usize = 4;
        let inputs = self.inputs(Of::Mean, &self.scatter)?;
        let mut at = inputs.map(|named| named.input.estimate);
        let mut shown = about;
        for _ in 0..STEPS {
            shown -= (self.corrected(&mut at, shown)? - size) / self.conversion.model.scale;
        }
        Ok(shown)
    }

    /// The step from reading to size; `None` where the reading is the size.
    pub const fn formula(&self) -> Option<&Message> {
        self.conversion.formula.as_ref()
    }

    /// Standard deviation of one reading, millimetres, and its degrees of freedom: from repeats and earlier series,
    /// or where there are none what the display resolves.
    pub fn one_reading(&self) -> (f64, f64) {
        one_reading(&self.scatter, self.resolution)
    }

    /// Corrected size, budget and decision for the mean or for one place.
    pub fn outcome(&self, of: Of, target: &Target, rule: Rule) -> Result<Outcome, JobError> {
        // The model bends alike for the mean and for each place; once is enough.
        if let Of::Place(_) = of {
            return self.first_order(of, target, rule);
        }
        let named = self.inputs(of, &self.scatter)?;
        let budget = Budget::of_model(&self.conversion.model, &numbers(&named), &[])?;
        self.told(of, named, budget, target, rule)
    }

    /// The same without how much the model bends, which takes most of the time.
    pub fn first_order(&self, of: Of, target: &Target, rule: Rule) -> Result<Outcome, JobError> {
        let named = self.inputs(of, &self.scatter)?;
        let inputs = numbers(&named);
        let budget = Budget::of_model_first_order(&self.conversion.model, &inputs, &[])?;
        self.told(of, named, budget, target, rule)
    }

    /// The same of an outcome if there were so many more of what it averages over, which scatter as those that were
    /// taken and leave the size where it is.
    pub fn with_more(
        &self,
        outcome: &Outcome,
        more: usize,
        target: &Target,
        rule: Rule,
    ) -> Result<Outcome, JobError> {
        let of = outcome.place.map_or(Of::Mean, Of::Place);
        let scatter = match of {
            Of::Mean if self.places() > 1 => self.scatter.with_places(more),
            Of::Mean => self.scatter.with_readings(&[0], more),
            Of::Place(place) => match self.opposites.get(place) {
                Some(pair) => self.scatter.with_readings(&pair.places, more),
                None => self.scatter.with_readings(&[place], more),
            },
        };
        let named = self.inputs(of, &scatter)?;
        let inputs = numbers(&named);
        let budget = Budget::of_model_first_order(&self.conversion.model, &inputs, &[])?;
        self.told(of, named, budget, target, rule)
    }

    fn told(
        &self,
        of: Of,
        named: [Named; INPUTS],
        budget: Budget,
        target: &Target,
        rule: Rule,
    ) -> Result<Outcome, JobError> {
        let program = Size::of(&budget)?;
        let contributions = budget.lines.iter().map(|line| line.contribution.abs());
        let lines = Quantity::ALL.into_iter().zip(contributions);
        let certified = by_certificate(lines, self.over_wires);
        let certified = certified.filter(|_| target.method >= 6);
        let own = self.own.as_ref();
        let own = own.map(|own| compared(own, program, certified.map(|(_, certified)| certified)));
        let size = own.map_or(program, |own| own.size());
        let (second_order, matters) = (budget.second_order, budget.second_order_matters());
        let mut lines: Vec<BudgetLine> = Quantity::ALL
            .into_iter()
            .zip(budget.lines)
            .zip(named)
            .filter(|((_, line), _)| line.contribution > 0.0)
            .map(|((quantity, line), named)| BudgetLine {
                quantity,
                name: named.name,
                note: named.note,
                defaults: named.defaults,
                line,
            })
            .collect();
        lines.sort_by(|a, b| b.line.share.total_cmp(&a.line.share));
        Ok(Outcome {
            of: self.basis(of),
            place: match of {
                Of::Mean => None,
                Of::Place(place) => Some(place),
            },
            decision: size.decide(target, rule)?,
            second_order: second_order.filter(|_| matters),
            budget: lines,
            size,
            own,
        })
    }

    /// The slopes of the size over the error of the standard and over that of the micrometer (see
    /// [`influence`](super::influence)).
    pub fn slopes(&self) -> Result<(f64, f64), JobError> {
        let named = self.inputs(Of::Mean, &self.scatter)?;
        let at = named.map(|named| named.input.estimate);
        let slopes = self.conversion.model.sensitivities(at);
        let of = |quantity: Quantity| slopes[quantity as usize];
        // Where no zero was set, the reading on the standard is taken to be its certified size.
        let unset = if self.zero.n == 0 {
            of(Quantity::ZeroReading)
        } else {
            0.0
        };
        // The error curve is what is taken off; an error that is not in it stays in the size.
        Ok((of(Quantity::Standard) + unset, -of(Quantity::Curve)))
    }

    /// The mean reading less the zero error, millimetres: what the micrometer shows of the part.
    pub fn difference_shown(&self) -> f64 {
        self.scatter.mean - self.zero.value
    }

    /// What an outcome averages over, and of how many.
    pub fn averaged(&self, place: Option<usize>) -> Averaged {
        let count = |place: usize| self.scatter.place_counts.get(place).copied().unwrap_or(1);
        let readings = |place: usize| match self.opposites.get(place) {
            Some(pair) => pair.places.into_iter().map(count).sum(),
            None => count(place),
        };
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
        let of = outcome.place.map_or(Of::Mean, Of::Place);
        propagate(
            self.conversion.model,
            &numbers(&self.inputs(of, &self.scatter)?),
            outcome.by_budget(),
            how,
            unit,
        )
    }

    fn basis(&self, of: Of) -> Basis {
        let places = self.places();
        match of {
            Of::Mean if places == 1 => Basis::Mean,
            Of::Mean if self.sampled => Basis::MeanOfSamples { samples: places },
            Of::Mean => Basis::MeanOfPlaces { places },
            Of::Place(place) if !self.conversion.by_place => {
                let pair = self.opposites.get(place);
                let from = pair.map_or(0.0, |pair| pair.from);
                let along = pair.and_then(|pair| pair.along.clone());
                Basis::Across {
                    from,
                    to: from + 180.0,
                    at: along.map(|section| Where::Section { section }),
                }
            }
            Of::Place(place) => match self.place_names.get(place).cloned().flatten() {
                Some(place) => Basis::Place { place },
                None if self.sampled => Basis::Sample { number: place + 1 },
                None => Basis::Reading { number: place + 1 },
            },
        }
    }

    /// Repeatability and form in the mean over all places.
    pub fn of_mean(&self, scatter: &Scatter) -> (Option<TypeA>, Option<TypeA>) {
        let form = scatter.form_of_mean(self.usual_form);
        // How pieces differ is no doubt about any of them.
        (
            scatter.repeatability_of_mean(),
            form.filter(|_| !self.sampled),
        )
    }

    /// The inputs of the model for one basis.
    pub fn inputs(&self, of: Of, scatter: &Scatter) -> Result<[Named; INPUTS], JobError> {
        let mut inputs = self.common.clone();
        let (reading, repeatability, form) = match of {
            Of::Mean => {
                let (repeatability, form) = self.of_mean(scatter);
                (scatter.mean, repeatability, form)
            }
            Of::Place(place) => {
                let local = self.local(place, scatter);
                let (reading, type_a) = local.ok_or(JobError::EmptyPlace)?;
                (reading, type_a, None)
            }
        };
        let mut set = |quantity: Quantity, input: Named| inputs[quantity as usize] = input;
        set(
            Quantity::Reading,
            Named::normal(Quantity::Reading, reading, 0.0),
        );
        let name = if scatter.repeatability.is_none() && of == Of::Mean {
            OwnName::Scatter.into()
        } else {
            LineName::from(Quantity::FormSeen)
        };
        let known_from = match scatter.known_from {
            KnownFrom::Usual => {
                let (note, name) = self.repeatability_note.clone();
                (note, Some(name))
            }
            KnownFrom::Readings => (self.study_note.clone().unwrap_or(Note::Readings), None),
            KnownFrom::ZeroReadings => (Note::Readings, None),
        };
        let form_from = match self
            .usual_form
            .filter(|usual| scatter.has_usual_form(*usual))
        {
            Some(_) => self.form_note.clone(),
            None => (Note::Readings, None),
        };
        for (quantity, name, type_a, (note, default)) in [
            (
                Quantity::Repeatability,
                Quantity::Repeatability.into(),
                repeatability,
                known_from,
            ),
            (Quantity::FormSeen, name, form, form_from),
        ] {
            if let Some((standard_uncertainty, degrees_of_freedom)) = type_a {
                set(
                    quantity,
                    Named::normal(name, 0.0, standard_uncertainty)
                        .with_degrees_of_freedom(degrees_of_freedom)
                        .noted(note)
                        .resting_on(default),
                );
            }
        }
        let type_a = together(repeatability, form);
        set(
            Quantity::Resolution,
            step(Quantity::Resolution, self.resolution, type_a),
        );
        inputs[Quantity::Curve as usize] = self.curve_input(reading)?;
        Ok(inputs)
    }

    /// The error curve at a reading less the error curve at the standard, with the share of its points in both.
    fn curve_input(&self, reading: f64) -> Result<Named, JobError> {
        let mut named = self.common[Quantity::Curve as usize].clone();
        if let Some((estimate, standard_uncertainty)) = self.curve_at(reading)? {
            named.input.estimate = estimate;
            named.input.distribution = Distribution::Normal {
                standard_uncertainty,
            };
        }
        Ok(named)
    }

    /// The same as numbers; none where there is no curve.
    pub fn curve_at(&self, reading: f64) -> Result<Option<(f64, f64)>, JobError> {
        let points = self.common[Quantity::Curve as usize].input.distribution;
        let (
            Some(curve),
            Distribution::Normal {
                standard_uncertainty,
            },
        ) = (&self.curve, points)
        else {
            return Ok(None);
        };
        let factor = curve.difference_factor(Length::nearest_mm(reading)?, self.standard)?;
        Ok(Some((
            self.curve_difference(reading)?,
            factor * standard_uncertainty,
        )))
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

    /// Standard uncertainty of the zero error, millimetres: its readings, their resolution, the standard and its drift.
    pub fn zero_uncertainty(&self) -> f64 {
        self.together(&[
            Quantity::ZeroReading,
            Quantity::ZeroResolution,
            Quantity::Standard,
            Quantity::StandardDrift,
        ])
    }

    fn together(&self, quantities: &[Quantity]) -> f64 {
        quantities
            .iter()
            .filter_map(|quantity| self.common.get(*quantity as usize))
            .map(|named| named.input.standard_uncertainty())
            .map(|u| u * u)
            .sum::<f64>()
            .sqrt()
    }

    /// What is added to the mean reading, one effect at a time.
    pub fn corrections(&self) -> Result<Vec<Correction>, JobError> {
        let zero_uncertainty = self.together(&[
            Quantity::ZeroReading,
            Quantity::ZeroResolution,
            Quantity::Standard,
            Quantity::StandardDrift,
            Quantity::Drift,
        ]);
        let mut corrections = vec![self.zero.correction(zero_uncertainty)];
        corrections.extend(geometric(CorrectionName::AlongTaper, self.carried_mean()));
        let inputs = numbers(&self.inputs(Of::Mean, &self.scatter)?);
        let mut difference = self.scatter.mean - self.zero.value - self.standard.mm();
        for (name, quantities, source, always) in [
            (
                CorrectionName::ErrorCurve,
                [Quantity::Curve, Quantity::Interpolation],
                Source::CommonPractice,
                self.curve.is_some(),
            ),
            (
                CorrectionName::FlankAngles,
                [Quantity::FlankAngle, Quantity::ContactAngle],
                Source::Geometry,
                false,
            ),
            (
                CorrectionName::LeadAngle,
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
        let budget = Budget::of_model_first_order(&self.conversion.model, &inputs, &[])?;
        let thermal = budget
            .lines
            .iter()
            .skip(Quantity::RoomTemperature as usize)
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
                CorrectionName::ContactGeometry,
                Source::Geometry,
            ),
            (
                Quantity::Deformation,
                CorrectionName::MeasuringForce,
                Source::CsiroTp25,
            ),
        ] {
            let input = self.common.get(quantity as usize).map(|named| &named.input);
            if let Some(input) = input.filter(|input| input.estimate != 0.0) {
                corrections.push(Correction {
                    name,
                    value: input.estimate,
                    standard_uncertainty: input.standard_uncertainty(),
                    source,
                });
            }
        }
        corrections.extend(self.to_pitch_diameter(budget.value, &corrections));
        Ok(corrections)
    }

    /// From the size over wires to the pitch diameter: what the taper has of it, and the rest of the model.
    fn to_pitch_diameter(&self, size: f64, so_far: &[Correction]) -> Vec<Correction> {
        let Some(Named { input, .. }) = self.common.get(Quantity::Companion as usize) else {
            return Vec::new();
        };
        if !self.over_wires {
            return Vec::new();
        }
        let mut corrections = Vec::new();
        let taper = self
            .formula()
            .and_then(|step| step.value("taper_correction"));
        if let Some(Value::Shift(taper)) = taper {
            corrections.extend(geometric(CorrectionName::Taper, *taper));
        }
        let sum: f64 = so_far
            .iter()
            .chain(&corrections)
            .map(|correction| correction.value)
            .sum();
        corrections.push(Correction {
            name: CorrectionName::ToPitchDiameter,
            value: size - (self.scatter.mean - self.carried_mean() + sum),
            standard_uncertainty: input.standard_uncertainty(),
            source: Source::Iso16239,
        });
        corrections
    }

    /// The share of the mean reading that carrying along a taper thread has; each place counts alike.
    fn carried_mean(&self) -> f64 {
        match self.carried.len() {
            0 => 0.0,
            places => self.carried.iter().sum::<f64>() / places as f64,
        }
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
        let known = match self.contradicted {
            Some(contradicted) => Some(Length::nearest_mm(
                contradicted.together.standard_deviation,
            )?),
            None => repeatability_of(&self.scatter)?,
        };
        let flags_of = |readings: &[Entered], carried: f64| {
            let plausible = self.plausible(target, carried)?;
            Ok::<_, JobError>(examine(readings, plausible, known, zero))
        };
        let slips = if self.carried.iter().all(|carried| *carried == 0.0) {
            flags_of(&readings, 0.0)?
        } else {
            // Planes of a taper thread differ by more than readings do: each is looked at by itself.
            let mut flags = Vec::with_capacity(readings.len());
            for (place, carried) in job.readings.iter().zip(&self.carried) {
                flags.extend(flags_of(&place.readings, *carried)?);
            }
            flags
        };
        let step = step_of_display(job, target).filter(|step| all_lost(&readings, step));
        let flags = or_fewer_decimals(slips, &readings, step);
        let places = job
            .readings
            .iter()
            .enumerate()
            .flat_map(|(place, one)| std::iter::repeat_n(place, one.readings.len()));
        let mut at = self
            .inputs(Of::Mean, &self.scatter)?
            .map(|named| named.input.estimate);
        readings
            .into_iter()
            .zip(flags)
            .zip(places)
            .map(|((as_read, flag), place)| {
                let carried = self.carried.get(place).copied().unwrap_or_default();
                let shown = as_read.value().mm() + carried;
                Ok(ReadingResult {
                    place,
                    as_read,
                    corrected: self.corrected(&mut at, shown)?,
                    flag,
                })
            })
            .collect()
    }

    /// Where the readings should lie, as the micrometer would show them where this much is carried to the plane of a taper
    /// thread, millimetres.
    pub fn plausible(&self, target: &Target, carried: f64) -> Result<Plausible, JobError> {
        let zero = Length::nearest_mm(self.zero.value)?;
        let limits = self.conversion.as_read(target.limits)?;
        let by = Length::nearest_mm(carried)?;
        Ok(Plausible {
            limits: Limits {
                lower: limits.lower.map(|limit| limit + zero - by),
                upper: limits.upper.map(|limit| limit + zero - by),
            },
            whose: Near::Limits,
            form: target.form(),
        })
    }

    /// Readings on the standard that look like mistakes.
    pub fn zero_flags(&self, job: &Job, target: &Target) -> Vec<(Entered, Suspicion)> {
        let step = step_of_display(job, target);
        [&job.zero.before, &job.zero.after]
            .into_iter()
            .flat_map(|check| {
                let step = step.filter(|step| all_lost(check, step));
                let flags = on_standard(check, self.standard, step);
                check.iter().zip(flags)
            })
            .filter_map(|(reading, flag)| Some((reading.clone(), flag?)))
            .collect()
    }
}

/// The step of the display that readings are held against, where it is stated.
fn step_of_display<'a>(job: &'a Job, target: &Target) -> Option<&'a Entered> {
    let stated = job.instrument.resolution.as_ref();
    stated.filter(|_| target.method >= 5)
}

/// Whether none of several readings shows the last digit of the display. One in ten ends with a zero, which a spreadsheet or a pen
/// leaves out; that all of them do is not likely (common practice, no source). At the bench each reading is asked about.
fn all_lost(readings: &[Entered], step: &Entered) -> bool {
    let mut all = readings.iter();
    readings.len() > 1 && all.all(|reading| fewer_decimals(reading, Some(step)).is_some())
}

/// Standard deviation of one reading, where it is known.
pub fn repeatability_of(scatter: &Scatter) -> Result<Option<Length>, JobError> {
    let known = scatter.repeatability;
    let known = known.map(|pooled| Length::nearest_mm(pooled.standard_deviation));
    Ok(known.transpose()?)
}

/// Repeatability and form together, standard uncertainty.
pub fn together(repeatability: Option<TypeA>, form: Option<TypeA>) -> f64 {
    let type_a = [repeatability, form].into_iter().flatten();
    type_a.map(|(u, _)| u * u).sum::<f64>().sqrt()
}

/// What contacts, standard and screw are beside their certificates.
fn of_equipment(job: &Job, reading: f64) -> [(Quantity, Named); 4] {
    [
        (Quantity::ContactWear, contact_wear(job)),
        (Quantity::Faces, faces(job)),
        (Quantity::StandardDrift, since_certificate::of_standard(job)),
        (
            Quantity::MicrometerDrift,
            since_certificate::of_micrometer(job, reading),
        ),
    ]
}

/// The step of the display: as stated, or the coarsest that was read.
fn resolution(job: &Job, readings: &[Entered]) -> Length {
    let read = || {
        let all = readings.iter().chain(&job.zero.before);
        all.map(Entered::resolution).max().unwrap_or_default()
    };
    let stated = job.instrument.resolution.as_ref();
    stated.map_or_else(read, Entered::value)
}

/// What the line of repeatability says where that is as usual, and by which default.
fn repeatability_note(job: &Job, target: &Target) -> (Note, DefaultName) {
    let usual = repeatability_default(job, target);
    (usual.note(Note::RepeatabilityUsual), usual.name())
}

/// What the line of form between places says where that is as usual, and by which default.
fn form_note(job: &Job, target: &Target) -> (Note, Option<DefaultName>) {
    if job.prior.form.is_some() {
        return (Note::Readings, None);
    }
    if let Some(history) = form_history(job, target) {
        let note = Note::FormHistory {
            seen: history.standard_deviation,
            records: u32::try_from(history.records.len()).unwrap_or(u32::MAX),
        };
        return (note, None);
    }
    let form = job.usual(DefaultName::Form);
    let usual = form.value();
    (form.note(Note::FormUsual { usual }), Some(form.name()))
}

/// A correction that follows from the taper alone; none where there is none.
fn geometric(name: CorrectionName, value: f64) -> Option<Correction> {
    (value != 0.0).then_some(Correction {
        name,
        value,
        standard_uncertainty: 0.0,
        source: Source::Geometry,
    })
}

/// How the readings scatter, and what is known of one reading besides.
fn scattered(
    job: &Job,
    target: &Target,
    places: &[Vec<f64>],
    prior: Option<Pooled>,
    zero: Option<Pooled>,
) -> Result<(Known, Scatter), JobError> {
    let known = Known {
        prior,
        zero,
        usual: Some(usual_repeatability(job, target)),
        form_is_measured: target.form().is_measured() || target.is_sampled(),
    };
    let mut scatter = Scatter::of(places, known).ok_or(JobError::OneReading)?;
    if let Some(left) = left_by_harmonic(job, target, &scatter) {
        scatter.between_places = Some(left);
    }
    Ok((known, scatter))
}

/// The readings of each place, millimetres as shown, those of a taper thread carried to its plane.
fn in_millimetres(job: &Job, carried: &[f64]) -> Vec<Vec<f64>> {
    let place = |(place, carried): (&super::Place, &f64)| {
        let readings = place.readings.iter();
        readings
            .map(|reading| reading.value().mm() + carried)
            .collect()
    };
    job.readings.iter().zip(carried).map(place).collect()
}

/// The numbers of inputs, without their names and notes.
fn numbers(named: &[Named; INPUTS]) -> [Input; INPUTS] {
    named.each_ref().map(|named| named.input.clone())
}
