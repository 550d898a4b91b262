//! Pieces of one lot, measured one like the other: the result of each by numbers alone.
//!
//! The first piece is inspected whole, and with it all that does not depend on the readings: limits, equipment, zero,
//! sensitivities to lengths, warnings. Of each further piece only what its own readings change is computed, by the same
//! formulas in the same order, so that size, uncertainty and verdict are those of [`inspect`] to the bit. Where a piece needs
//! more than numbers (a flag, a verdict that something withholds, an effect beside the budget) there is no answer here, and
//! it is inspected whole.

use super::estimate::{Estimate, Of, repeatability_of, together};
use super::inputs::{beside_scatter, beyond_stated, turn};
use super::job::Job;
use super::model::{INPUTS, Quantity, THERMAL};
use super::other_unit::BEYOND_RANGE;
use super::scatter::{Scatter, TypeA, choice, repeats};
use super::size::{self, Size};
use super::suspicion::{Plausible, are_plausible, usual_step};
use super::target::{NEWEST, Target};
use super::warning::Warning;
use super::withheld::{Withheld, one_place};
use super::{Inspection, inspect, place_governs, rule, status_note, thermal};
use crate::decision::{PROVEN, Rule, Verdict, is_clearly_accepted};
use crate::uncertainty::{
    Component, Model, coverage_factor_95, independent, second_order_bound,
    truncated_degrees_of_freedom,
};
use crate::units::{Entered, Length};

/// Scatter and resolution of no piece are worse than this where the bend of the model is bounded, millimetres.
const LARGEST_SCATTER: f64 = 0.1;
/// The second-order terms are nothing to speak of below this part of the variance: less than the 5 % of the standard
/// uncertainty that [`Budget::second_order_matters`](crate::uncertainty::Budget::second_order_matters) has.
const NOT_BENT: f64 = 0.09;

/// What pieces of one lot have in common, ready for the readings of each.
pub struct Series {
    estimate: Estimate,
    target: Target,
    rule: Rule,
    /// Those that no reading changes; of the others what the last size had.
    inputs: [Number; INPUTS],
    /// Their estimates.
    at: [f64; INPUTS],
    /// To lengths, which are the same for all pieces, and to temperatures and expansions, which go with the size.
    sensitivities: [f64; INPUTS],
    plausible: Plausible,
    /// What the micrometer can show.
    shown: [Length; 2],
    /// Whether the part is read within a turn of the thimble from the standard, and what a turn is, millimetres.
    near: bool,
    turn: f64,
    /// The display where its step is stated, else the coarsest of the readings on the standard.
    step: Result<Length, Length>,
    /// What [`choice`] says of the number of places.
    choice: f64,
    one_place: bool,
    provisional: bool,
    /// More than the second-order terms of a piece up to twice this size, millimetres, add to its variance.
    bend: f64,
    places: Vec<Vec<f64>>,
    values: Vec<Length>,
    steps: Vec<Length>,
}

/// The result of a piece as far as a lot asks for it.
#[derive(Clone, Debug, PartialEq)]
pub struct Brief {
    /// The size that governs.
    pub size: Size,
    pub verdict: Verdict,
    /// It waits for a good closing zero check.
    pub provisional: bool,
    /// What withholds the verdict.
    pub withheld: Option<Withheld>,
    /// Signed contributions to the uncertainty in the order of [`Quantity::ALL`], millimetres, and the variance that they make.
    signed: [f64; INPUTS],
    variance: f64,
}

impl Brief {
    /// The contributions of some quantities, the largest first as a budget lists them, millimetres.
    pub fn contributions(
        &self,
        of: impl Fn(Quantity) -> bool,
    ) -> impl Iterator<Item = (Quantity, f64)> {
        let all = Quantity::ALL.into_iter().zip(self.signed);
        let mut found: Vec<(Quantity, f64, f64)> = all
            .filter(|(quantity, signed)| signed.abs() > 0.0 && of(*quantity))
            .map(|(quantity, signed)| (quantity, signed.abs(), signed * signed / self.variance))
            .collect();
        found.sort_by(|one, other| other.2.total_cmp(&one.2));
        let without_share = found.into_iter();
        without_share.map(|(quantity, contribution, _)| (quantity, contribution))
    }
}

/// A reading of a piece: its value, and one step of its last digit.
pub type Shown = (Length, Length);

/// An input as numbers.
#[derive(Clone, Copy, Debug)]
struct Number {
    estimate: f64,
    standard_uncertainty: f64,
    degrees_of_freedom: f64,
}

impl Number {
    const fn of_type_a(type_a: Option<TypeA>) -> Self {
        let (standard_uncertainty, degrees_of_freedom) = match type_a {
            Some(found) => found,
            None => (0.0, f64::INFINITY),
        };
        Self {
            estimate: 0.0,
            standard_uncertainty,
            degrees_of_freedom,
        }
    }
}

/// A size with the signed contributions to its uncertainty.
struct Sized {
    size: Size,
    variance: f64,
    signed: [f64; INPUTS],
}

impl Series {
    /// From the job of a first piece; none where its pieces are to be inspected one by one.
    pub fn of(job: &Job) -> Option<Self> {
        let inspection = inspect(job).ok()?;
        let target = Target {
            method: NEWEST,
            ..Target::of(&job.characteristic).ok()?
        };
        let rule = rule(job).ok()?;
        let estimate = Estimate::of(job, &target).ok()?;
        if !is_of_numbers_alone(job, &target, &inspection) || estimate.contradicted.is_some() {
            return None;
        }
        let named = estimate.inputs(Of::Mean, &estimate.scatter).ok()?;
        let inputs = named.map(|named| Number {
            estimate: named.input.estimate,
            standard_uncertainty: named.input.standard_uncertainty(),
            degrees_of_freedom: named.input.degrees_of_freedom,
        });
        let at = inputs.map(|input| input.estimate);
        let [smallest, largest] = &job.instrument.range;
        let turn = turn(job);
        let zero_step = job.zero.before.iter().map(Entered::resolution).max();
        let stated = job.instrument.resolution.as_ref();
        let step = stated.map(Entered::value);
        Some(Self {
            sensitivities: estimate.conversion.model.sensitivities(at),
            plausible: estimate.plausible(&target, 0.0).ok()?,
            shown: [
                smallest.value() - BEYOND_RANGE,
                largest.value() + BEYOND_RANGE,
            ],
            near: is_near(&estimate, estimate.scatter.mean, turn),
            turn,
            step: step.ok_or_else(|| zero_step.unwrap_or_default()),
            choice: choice(job.readings.len()),
            one_place: one_place(job, &target).is_some(),
            provisional: inspection.is_provisional(),
            bend: bend(&estimate, &inputs),
            places: Vec::new(),
            values: Vec::new(),
            steps: Vec::new(),
            inputs,
            at,
            estimate,
            target,
            rule,
        })
    }

    /// The result of a piece that was read at the same places, from its readings place by place; none where it is to be
    /// inspected whole.
    pub fn brief<'r>(&mut self, readings: impl IntoIterator<Item = &'r [Shown]>) -> Option<Brief> {
        let mut places = std::mem::take(&mut self.places);
        let scatter = self.scatter(&mut places, readings);
        self.places = places;
        let scatter = scatter?;
        let of_mean = self.estimate.of_mean(&scatter);
        let mean = self.sized(scatter.mean, of_mean)?;
        let (verdict, proven) = self.verdict(mean.size)?;
        let (mut governing, mut computed) = (mean, verdict);
        if let Some(place) = self.worst_place(&scatter) {
            let reading = scatter.place_means.get(place).copied()?;
            let type_a = scatter.at_chosen_place(place, self.choice);
            let worst = self.sized(reading, (type_a, None))?;
            let (of_place, _) = self.verdict(worst.size)?;
            if place_governs(verdict, of_place, false) {
                (governing, computed) = (worst, of_place);
            }
        }
        if !proven || computed == Verdict::Unusable {
            return None;
        }
        Some(Brief {
            size: governing.size,
            verdict: if self.one_place {
                Verdict::Undecided
            } else {
                computed
            },
            provisional: self.provisional,
            withheld: self.one_place.then_some(Withheld::OnePlace),
            signed: governing.signed,
            variance: governing.variance,
        })
    }

    /// The scatter of readings that nothing speaks against.
    fn scatter<'r>(
        &mut self,
        places: &mut Vec<Vec<f64>>,
        readings: impl IntoIterator<Item = &'r [Shown]>,
    ) -> Option<Scatter> {
        self.values.clear();
        self.steps.clear();
        let mut count = 0;
        for place in readings {
            if places.len() == count {
                places.push(Vec::new());
            }
            let millimetres = places.get_mut(count)?;
            millimetres.clear();
            millimetres.extend(place.iter().map(|(value, _)| value.mm()));
            self.values.extend(place.iter().map(|(value, _)| value));
            self.steps.extend(place.iter().map(|(_, step)| step));
            count += 1;
        }
        if count != self.estimate.places() {
            return None;
        }
        let (least, most) = (*self.values.iter().min()?, *self.values.iter().max()?);
        let [smallest, largest] = self.shown;
        let curve = self.estimate.curve.as_ref();
        let covered = curve.is_none_or(|curve| curve.covers(least) && curve.covers(most));
        if least.is_negative() || least < smallest || most > largest || !covered {
            return None;
        }
        let coarsest = self.steps.iter().max().copied()?;
        // Fewer decimals than the display shows are a matter of each reading.
        if self.step.is_ok_and(|step| coarsest > step) {
            return None;
        }
        let resolution = self
            .step
            .unwrap_or_else(|on_standard| on_standard.max(coarsest));
        let scatter = Scatter::of(places.get(..count)?, self.estimate.known)?;
        let contradicts = |stated| {
            let repeats = repeats(places.iter().take(count).map(Vec::as_slice));
            beyond_stated(stated, repeats).is_some()
        };
        if self.estimate.known.prior.is_some_and(contradicts) {
            return None;
        }
        let usual = usual_step(&mut self.steps);
        let known = repeatability_of(&scatter).ok()?;
        let plain = resolution == self.estimate.resolution
            && scatter.place_counts.len() == count
            && is_near(&self.estimate, scatter.mean, self.turn) == self.near
            && are_plausible(&self.values, usual, self.plausible, known);
        plain.then_some(scatter)
    }

    /// The verdict on a size, and whether nothing less than the rule promises stands behind it.
    fn verdict(&self, size: Size) -> Option<(Verdict, bool)> {
        let value = Length::nearest_mm(size.value).ok()?;
        let limits = self.target.limits;
        if is_clearly_accepted(value, size.expanded_uncertainty, limits, self.rule) {
            return Some((Verdict::Accept, true));
        }
        let decision = size.decide(&self.target, self.rule).ok()?;
        let promised = decision.rule == Rule::Iso14253_1 && decision.verdict == Verdict::Accept;
        Some((
            decision.verdict,
            !promised || decision.conformance_probability >= PROVEN,
        ))
    }

    /// The size of a reading, with its uncertainty.
    fn sized(
        &mut self,
        reading: f64,
        (repeatability, form): (Option<TypeA>, Option<TypeA>),
    ) -> Option<Sized> {
        let inputs = &mut self.inputs;
        inputs[Quantity::Reading as usize].estimate = reading;
        inputs[Quantity::Repeatability as usize] = Number::of_type_a(repeatability);
        inputs[Quantity::FormSeen as usize] = Number::of_type_a(form);
        let type_a = together(repeatability, form);
        let step = beside_scatter(self.estimate.resolution, type_a);
        inputs[Quantity::Resolution as usize].standard_uncertainty = step.standard_uncertainty();
        if let Some((estimate, standard_uncertainty)) = self.estimate.curve_at(reading).ok()? {
            let curve = &mut inputs[Quantity::Curve as usize];
            curve.estimate = estimate;
            curve.standard_uncertainty = standard_uncertainty;
        }
        for quantity in [
            Quantity::Reading,
            Quantity::Repeatability,
            Quantity::FormSeen,
            Quantity::Curve,
        ] {
            self.at[quantity as usize] = inputs[quantity as usize].estimate;
        }
        let inputs = &self.inputs;
        let model = &self.estimate.conversion.model;
        let value = model.evaluate(self.at);
        let thermal = model.thermal_sensitivities(&self.at);
        self.sensitivities[INPUTS - THERMAL..].copy_from_slice(&thermal);
        let mut signed = [0.0; INPUTS];
        let known = self.sensitivities.iter().zip(inputs);
        for (signed, (sensitivity, input)) in signed.iter_mut().zip(known) {
            *signed = sensitivity * input.standard_uncertainty;
        }
        let parts = signed.iter().map(|own| own * own);
        let (variance, degrees_of_freedom) =
            independent(parts.zip(inputs.iter().map(|input| input.degrees_of_freedom)));
        let bound = self.bend < NOT_BENT * variance
            && type_a < LARGEST_SCATTER
            && value.abs() < 2.0 * self.largest();
        if !(variance.is_finite() && value.is_finite() && bound) {
            return None;
        }
        let standard_uncertainty = variance.sqrt();
        let truncated = truncated_degrees_of_freedom(degrees_of_freedom);
        let coverage_factor = coverage_factor_95(truncated).ok()?;
        let size = Size {
            value,
            standard_uncertainty,
            degrees_of_freedom,
            coverage_factor,
            expanded_uncertainty: coverage_factor * standard_uncertainty,
        };
        Some(Sized {
            size,
            variance,
            signed,
        })
    }

    /// The first piece, which the bend of the model is bounded for.
    fn largest(&self) -> f64 {
        self.estimate.scatter.mean
    }

    /// The place with the least room to a limit, where more than one was read.
    fn worst_place(&mut self, scatter: &Scatter) -> Option<usize> {
        if scatter.place_means.len() < 2 {
            return None;
        }
        let mut worst: Option<(usize, f64)> = None;
        for (place, mean) in scatter.place_means.iter().enumerate() {
            let size = self.estimate.corrected(&mut self.at, *mean).ok()?;
            let room = size::room(size, self.target.limits);
            if worst.is_none_or(|(_, least)| room.total_cmp(&least).is_lt()) {
                worst = Some((place, room));
            }
        }
        worst.map(|(place, _)| place)
    }
}

/// Whether the part is read within a turn of the thimble from the standard.
fn is_near(estimate: &Estimate, reading: f64, turn: f64) -> bool {
    (reading - estimate.standard.mm()).abs() <= turn
}

/// Whether readings change nothing but numbers: no geometry that goes with the reading, no answers in words to single
/// readings, and nothing that withholds the verdict or moves the size beside the budget.
fn is_of_numbers_alone(job: &Job, target: &Target, inspection: &Inspection) -> bool {
    let plain = target.feature.is_none() && target.plane.is_none() && job.wires.is_none();
    // What a GO gauge feels, and what was there before coating, goes with each size.
    let uncontradicted = job.prior.flanks.is_none() && target.before_coating.is_none();
    let unanswered = job.struck.is_empty() && job.left.is_empty() && job.monte_carlo.is_none();
    // Whether a study holds is told by the readings of each piece.
    let own = job.prior.own.is_none() && job.prior.study.is_none();
    let material_known = thermal::room(job).is_none() || job.material_is_stated();
    let zero_told = job.prior.repeatability.is_some() || inspection.zero_error.scatter.is_some();
    let undisputed = target
        .thread
        .as_ref()
        .is_none_or(|thread| thread.disputes.is_empty());
    let withholds = |warning: &Warning| {
        let blocks = warning.blocks_signature() && !matches!(warning, Warning::NotProven { .. });
        let of_set_up = matches!(
            warning,
            Warning::ZeroFar { .. }
                | Warning::ZeroStepped { .. }
                | Warning::OtherPlug { .. }
                | Warning::PressedUntold { .. }
        );
        blocks || of_set_up
    };
    plain
        && uncontradicted
        && unanswered
        && own
        && material_known
        && zero_told
        && undisputed
        && !inspection.warnings.iter().any(withholds)
        && inspection.zero_flags.is_empty()
        && status_note::withholding(&job.notes).is_none()
}

/// More than the second-order terms add to the variance of any piece like the first: as if it were twice as large and all of
/// that measured by the screw, with the largest scatter, each term counted in full.
fn bend(estimate: &Estimate, inputs: &[Number; INPUTS]) -> f64 {
    let model = &estimate.conversion.model;
    let mut at = inputs.map(|input| input.estimate);
    at[Quantity::Reading as usize] += 2.0 * estimate.scatter.mean.abs();
    let of_readings = [
        Quantity::Repeatability,
        Quantity::FormSeen,
        Quantity::Resolution,
        Quantity::Curve,
        Quantity::MicrometerDrift,
    ];
    let components: Vec<Component> = Quantity::ALL
        .into_iter()
        .zip(inputs)
        .zip(model.sensitivities(at))
        .map(|((quantity, input), sensitivity)| Component {
            name: "".into(),
            standard_uncertainty: if of_readings.contains(&quantity) {
                LARGEST_SCATTER
            } else {
                input.standard_uncertainty
            },
            sensitivity,
            degrees_of_freedom: input.degrees_of_freedom,
        })
        .collect();
    4.0 * second_order_bound(model, at, &components)
}
