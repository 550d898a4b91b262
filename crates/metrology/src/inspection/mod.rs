//! The main job: from readings to a verdict.
//!
//! ```text
//! Job -> limits of size
//!     -> zero error from readings on the setting standard
//!     -> readings + corrections, each named -> corrected size with its uncertainty budget
//!     -> decision under a named rule
//! ```
//!
//! Each stage owns its input, so that none can be skipped: a [`Job`] holds readings as shown, and only a [`Size`],
//! corrected and with its uncertainty, can be held against limits.

mod advice;
mod approval;
mod at_hand;
mod by_study;
mod checked;
mod combinations;
mod compression;
mod contact_inputs;
mod contact_pressure;
mod contradicting;
mod conversion;
mod converted;
mod drawer;
mod drawing_terms;
pub mod equipment;
mod error;
mod estimate;
mod faces;
mod feature_warnings;
pub mod features;
mod field;
mod finding;
mod fitness;
mod ideal;
mod influence;
mod inputs;
mod job;
pub mod keys;
mod local;
mod look_up;
mod lookalike;
mod marked;
mod measured_with;
mod misfit;
mod model;
mod note;
mod of_thread;
mod opposite;
mod other_unit;
mod over_wires;
mod overdue;
mod own;
mod place;
mod places;
mod plan;
mod plausible;
mod propagation;
mod ranges;
mod rests_on;
mod scatter;
mod series;
mod settle;
mod since_certificate;
mod size;
mod spread;
mod state;
mod status_note;
mod struck;
mod suited;
mod suspicion;
mod target;
mod terms;
mod thermal;
mod warning;
mod warnings;
mod withheld;
mod worst;
mod zero_inputs;

pub use crate::uncertainty::COVERAGE;
pub use advice::{
    Advice, GOOD_SHARE, Owned, Refused, UsualContacts, Wanted, Wrong, advise, advise_best, ideal,
};
pub use approval::{
    Amount, Approval, Approved, DefaultName, DefaultUnit, NotFoundAt, OwnUncertainty, StudyOfOther,
    StudyPrior, Taken, Usual,
};
pub use at_hand::{AtHand, Together, at_hand};
pub use checked::{not_negative, positive};
pub use drawer::{NotUsable, SetUp};
pub use drawing_terms::{AtPlane, CoatingState, CoatingTerms, LimitsTold, Plane, Terms};
pub use equipment::{
    CertifiedCurve, ContactKind, Contacts, Gauge, GaugeMember, GaugeWrong, Instrument,
    InstrumentErrors, InstrumentLacks, KelvinDrift, Standard, StandardForm, Thermometer, WireSet,
    YearlyDrift,
};
pub use error::{JobError, StandardUnfit, TermsError, WiresUnfit};
pub use estimate::drift_limit;
pub use features::{Feature, FeatureKind};
pub use field::{Field, Right};
pub use finding::{
    Finding, FindingBounds, FindingUnit, Requirement, RequirementReason, StatedUncertainty,
};
pub use fitness::pitch;
pub use ideal::Ideal;
pub use influence::{Influence, influence, influence_by};
pub use job::{
    Characteristic, Flanks, FormHistory, Held, Job, Left, MonteCarlo, Part, Prior, Room, RuleName,
    Scope, Struck, Temperature, Zero,
};
pub use marked::{CurvePoint, PitchEntry};
pub use measured_with::{MeasuredWith, middle};
pub use misfit::{ContactsUnfit, Misfit};
pub use model::Quantity;
pub use note::{DEFAULTS, Formula, LineName, MadeAs, Note, OwnName, WireDiameter};
pub use of_thread::{Made, ThreadDiameter};
pub use over_wires::{best_wires, reading_at as reading_over_wires, takes_wires};
pub use own::{Compared, Decides};
pub use place::Where;
pub use place::{Place, PlaceName};
pub use plan::{Pieces, Plan, Question, places, plan, sits};
pub use plausible::{FAR_FROM_STANDARD, small, too_cold, too_hot};
pub use propagation::Propagation;
pub use rests_on::{RestsOn, rests_on};
pub use series::{Brief, Series, Shown};
pub use settle::{Begin, LineAdvice, More, Settle, Settling, Way, Without};
pub use size::Size;
pub use spread::{Laid, Places, Turned};
pub use state::{Caution, Overrides, Service, State, StateError};
pub use status_note::{KnownBy, StatusNote, Unfit, is_by_room, is_of_room, withholding};
pub use suited::{LARGEST_SHARE, may_turn, rank, suited, trial_contacts, unsuited};
pub use suspicion::{
    Form, Near, OffTo, Plausible, Step, Suspicion, SuspicionKind, about_certified, examine,
    examine_apart, fewer_decimals, in_other_unit, on_standard, or_fewer_decimals,
};
pub use target::{Measured, NEWEST, Target};
pub use warning::{
    BLOCKING, Instead, OtherThread, Overridden, Piece, Unmarked, Untold, Wait, Warning, ZeroCheck,
};
pub use warnings::zero_in_doubt;
pub use withheld::{
    LetStand, Withheld, is_all_around, is_beside, known_beside, puts_size_in_doubt, scope,
};

use crate::correction::{Correction, ZeroError, zero_error};
use crate::decision::{Decision, Rule, Verdict};
use crate::message::{Code, Message};
use crate::uncertainty::Line;
use crate::uncertainty::statistics::mean;
use crate::units::Entered;

use estimate::Estimate;

/// Everything that a job gives.
#[derive(Clone, Debug)]
pub struct Inspection {
    /// What was measured, and its limits.
    pub target: Target,
    /// Zero error of the instrument with these contacts on this standard.
    pub zero_error: ZeroError,
    /// Standard uncertainty of the zero error, millimetres.
    pub zero_uncertainty: f64,
    /// Each reading of the part, in order.
    pub readings: Vec<ReadingResult>,
    /// Suspicions about the readings on the standard, with the reading as shown.
    pub zero_flags: Vec<(Entered, Suspicion)>,
    /// What was added to the mean reading, one effect at a time.
    pub corrections: Vec<Correction>,
    /// The mean over all places.
    pub mean: Outcome,
    /// The place (of an inside diameter the two opposite places) with the least room to a limit, where more than one was
    /// measured; where the least size governs, the least one unless another is judged more strictly.
    pub worst_place: Option<Outcome>,
    /// Whether the least size is asked for and not the mean: a wall that holds pressure, or one with a least limit alone.
    pub least_governs: bool,
    /// The mean without the flagged readings, where that says something else.
    pub without_flagged: Option<Outcome>,
    /// The size that was decided on by Monte Carlo, where asked for.
    pub monte_carlo: Option<Propagation>,
    /// Why the verdict that the size would have is withheld.
    pub withheld: Option<Withheld>,
    /// What would settle the verdict, where it is open or near a limit.
    pub settle: Option<Settle>,
    /// What the person who signs ought to know.
    pub warnings: Vec<Warning>,
    /// The step from reading to size, where there is one.
    pub conversion: Option<Message>,
    /// What else the readings of a feature tell.
    pub findings: Vec<Finding>,
}

/// One reading of the part.
#[derive(Clone, Debug)]
pub struct ReadingResult {
    /// Which place, counted from 0.
    pub place: usize,
    /// As shown.
    pub as_read: Entered,
    /// With all corrections, millimetres.
    pub corrected: f64,
    /// What it looks like, if it looks like a mistake.
    pub flag: Option<Suspicion>,
}

/// A size, how it came about, and what was decided on it.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// What this is the size of: the mean, or a place.
    pub of: Basis,
    /// Which of the places that have a size of their own, counted from 0; `None` for the mean.
    pub place: Option<usize>,
    /// The corrected size.
    pub size: Size,
    /// The laboratory's own uncertainty beside the budget's, where one is stated.
    pub own: Option<Compared>,
    /// Its uncertainty budget, largest share first.
    pub budget: Vec<BudgetLine>,
    /// The decision on it.
    pub decision: Decision,
    /// Standard uncertainty with the second-order terms of the model, millimetres, where they matter (JCGM 100:2008,
    /// 5.1.2 note).
    pub second_order: Option<f64>,
}

impl Outcome {
    /// Whether a line of its budget rests on this default.
    pub fn took(&self, name: DefaultName) -> bool {
        let mut lines = self.budget.iter();
        lines.any(|line| line.defaults.contains(&name))
    }

    /// The size with the uncertainty of the budget, also where the laboratory's decides.
    pub fn by_budget(&self) -> &Size {
        self.own.as_ref().map_or(&self.size, |own| &own.program)
    }
}

/// One line of the budget of a size.
#[derive(Clone, Debug)]
pub struct BudgetLine {
    /// Which input of the model.
    pub quantity: Quantity,
    /// How it is called here.
    pub name: LineName,
    /// Where its numbers come from, where that is told.
    pub note: Option<Message>,
    /// The defaults that its numbers rest on: the laboratory's where it is approved, else the program's.
    pub defaults: Vec<DefaultName>,
    /// Its uncertainty, sensitivity and share; lengths in millimetres.
    pub line: Line,
}

crate::messages! {
    /// What a size is of.
    pub enum Basis "basis" {
        /// The mean of all readings at one place.
        Mean "mean",
        /// The mean over places.
        MeanOfPlaces "mean-of-places" { places: usize as count },
        /// The mean over crimps.
        MeanOfSamples "mean-of-samples" { samples: usize as count },
        /// Two opposite places of a section.
        Across "across" { from: f64 as Degrees, to: f64 as Degrees, at: Option<Where> as said_if },
        Place "place" { place: PlaceName as said },
        /// One reading, by its number.
        Reading "reading" { number: usize as count },
        /// One crimp, by its number.
        Sample "sample" { number: usize as count },
        /// A size, and findings that have limits of their own.
        WithFindings "with-findings" { size: Box<Basis> as said, findings: Vec<Code> as codes },
    }
}

impl Inspection {
    /// The outcome that governs: a part must be within limits at every place, so the stricter of mean and worst place;
    /// of equally strict ones the mean, but where the least size governs the place.
    pub fn governing(&self) -> &Outcome {
        match &self.worst_place {
            Some(worst)
                if place_governs(
                    self.mean.decision.verdict,
                    worst.decision.verdict,
                    self.least_governs,
                ) =>
            {
                worst
            }
            _ => &self.mean,
        }
    }

    /// What the verdict is about: the size of the mean or of a place, and findings that have limits of their own.
    pub fn decided_on(&self) -> Basis {
        let size = self.governing().of.clone();
        let findings: Vec<Code> = self
            .findings
            .iter()
            .filter(|finding| finding.requirement.is_some())
            .map(|finding| finding.code)
            .collect();
        if findings.is_empty() {
            size
        } else {
            Basis::WithFindings {
                size: Box::new(size),
                findings,
            }
        }
    }

    /// The verdict on the part: none where it is withheld.
    pub fn verdict(&self) -> Verdict {
        match self.withheld {
            Some(_) => Verdict::Undecided,
            None => self.computed_verdict(),
        }
    }

    /// Whether the verdict waits for a good closing zero check.
    pub fn is_provisional(&self) -> bool {
        self.warnings.iter().any(|warning| {
            matches!(
                warning,
                Warning::ZeroOpen { .. } | Warning::ZeroMoved { .. }
            )
        })
    }

    /// What the numbers alone say of the part: the verdict on the size, or that on a requirement beside it where it is
    /// stricter.
    pub fn computed_verdict(&self) -> Verdict {
        self.stricter_requirements()
            .into_iter()
            .map(|requirement| requirement.verdict)
            .max_by_key(|verdict| strictness(*verdict))
            .unwrap_or(self.governing().decision.verdict)
    }

    /// Requirements beside the size whose verdict is stricter than that on the size.
    pub fn stricter_requirements(&self) -> Vec<&Requirement> {
        let size = strictness(self.governing().decision.verdict);
        self.findings
            .iter()
            .filter_map(|finding| finding.requirement.as_ref())
            .filter(|requirement| strictness(requirement.verdict) > size)
            .collect()
    }
}

/// Whether the verdict on the worst place governs, beside that on the mean: the stricter does, and of equally strict ones the
/// place where the least size is asked for.
pub fn place_governs(mean: Verdict, place: Verdict, least_governs: bool) -> bool {
    let (mean, place) = (strictness(mean), strictness(place));
    place > mean || (place == mean && least_governs)
}

/// How far a verdict is from an acceptance: 0 for one, 5 for what no rule may be applied to.
pub fn strictness(verdict: Verdict) -> u8 {
    match verdict {
        Verdict::Accept => 0,
        Verdict::ConditionalAccept => 1,
        Verdict::Undecided => 2,
        Verdict::ConditionalReject => 3,
        Verdict::Reject => 4,
        Verdict::Unusable => 5,
    }
}

/// Does the whole job: checks what a person may have mistyped or must not do, then computes.
///
/// ```
/// use metrology::decision::Verdict;
/// use metrology::inspection::{Job, inspect};
///
/// let job: Job = serde_json::from_str(include_str!("../../examples/screw.json"))?;
/// assert_eq!(inspect(&job)?.verdict(), Verdict::Accept);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn inspect(job: &Job) -> Result<Inspection, JobError> {
    check(job)?;
    let inspection = compute(job)?;
    other_unit::check_fit(job, &inspection)?;
    plausible::check_struck(job, &inspection)?;
    Ok(inspection)
}

/// Refuses what could be computed and must not be signed: numbers that cannot be meant, equipment that is not fit, rules
/// put aside for no reason.
///
/// It stands before a measurement is recorded, and nowhere else: it may grow stricter, and no record is refused for that.
pub fn check(job: &Job) -> Result<(), JobError> {
    let target = Target::of(&job.characteristic)?;
    Rule::agreed(&job.rule.name, job.rule.parameter)?;
    plausible::check(job)?;
    if let Characteristic::Thread {
        terms: Some(terms), ..
    } = &job.characteristic
    {
        terms::check(&job.readings, terms, &target)?;
    }
    fitness::check(job, &target)?;
    other_unit::check(job)?;
    plausible::check_readings(job)?;
    ranges::check_readings(job)?;
    ranges::check(job, &target)
}

/// Corrected mean of each place, with its place.
fn means<'a>(job: &'a Job, readings: &[ReadingResult]) -> Vec<(&'a Place, f64)> {
    readings
        .chunk_by(|one, next| one.place == next.place)
        .filter_map(|at_place| {
            let place = job.readings.get(at_place.first()?.place)?;
            let at: Vec<f64> = at_place.iter().map(|result| result.corrected).collect();
            Some((place, mean(&at)?))
        })
        .collect()
}

fn rule(job: &Job) -> Result<Rule, JobError> {
    Ok(Rule::parse(&job.rule.name, job.rule.parameter)?)
}

/// Computes the job as it stands, and refuses only what no result can be computed from: no readings, no limits, an
/// unknown designation or material.
///
/// So a record is computed again long after, whatever [`check`] has learned to refuse since.
pub fn compute(job: &Job) -> Result<Inspection, JobError> {
    compute_by(job, NEWEST)
}

/// The same by the method of a number.
pub fn compute_by(job: &Job, method: u32) -> Result<Inspection, JobError> {
    let target = Target {
        method,
        ..Target::recorded(&job.characteristic)?
    };
    let rule = rule(job)?;
    let estimate = Estimate::of(job, &target)?;
    let mean = estimate.outcome(estimate::Of::Mean, &target, rule)?;
    let worst_place = worst::worst(job, &target, &estimate, rule)?;
    let readings = estimate.readings(job, &target)?;
    let without_flagged = without_flagged(job, &readings, &target, rule)?;
    let outcomes = warnings::Outcomes {
        mean: &mean,
        worst_place: worst_place.as_ref(),
    };
    let warnings = warnings::warnings(job, &target, &estimate, &readings, &outcomes);
    let findings = match &target.feature {
        Some(feature) => feature.measurand().findings(&finding::Readings {
            with: job.with(target.limits),
            unit: target.unit,
            places: means(job, &readings),
            one_reading: estimate.one_reading(),
            rule,
        })?,
        // Nothing for a thread or a stated size.
        None => Vec::new(),
    };
    let mut inspection = Inspection {
        zero_flags: estimate.zero_flags(job, &target),
        corrections: estimate.corrections()?,
        zero_uncertainty: estimate.zero_uncertainty(),
        zero_error: estimate.zero.clone(),
        readings,
        mean,
        worst_place,
        least_governs: local::least_governs(job, &target),
        without_flagged,
        warnings,
        conversion: estimate.formula().cloned(),
        findings,
        target,
        monte_carlo: None,
        settle: None,
        withheld: None,
    };
    inspection.monte_carlo = job
        .monte_carlo
        .map(|how| estimate.propagate(inspection.governing(), how, inspection.target.unit))
        .transpose()?;
    let trials = inspection
        .monte_carlo
        .as_ref()
        .map(|found| found.validation);
    let differ = trials.filter(|check| !check.valid);
    inspection
        .warnings
        .extend(differ.map(|check| Warning::TrialsDiffer {
            up_to: check.low.max(check.high),
        }));
    inspection.withheld = withheld::withheld(job, &inspection);
    let governing = inspection.governing();
    let computed = settle::settle(
        governing,
        &inspection.target,
        rule,
        estimate.averaged(governing.place),
        |more| estimate.with_more(governing, more, &inspection.target, rule),
    )?;
    let settle = match &inspection.withheld {
        None | Some(Withheld::Flagged { .. }) => computed
            .or_else(|| inspection.withheld.as_ref().map(Settle::let_stand))
            .map(|settle| {
                settle.after_slips(
                    job,
                    &inspection.readings,
                    inspection.without_flagged.as_ref(),
                )
            }),
        Some(why) => Some(Settle::let_stand(why)),
    };
    inspection.settle = settle;
    Ok(inspection)
}

/// What the mean would be without the readings that look like mistakes. Told beside the result, never instead of it.
fn without_flagged(
    job: &Job,
    readings: &[ReadingResult],
    target: &Target,
    rule: Rule,
) -> Result<Option<Outcome>, JobError> {
    if readings.iter().all(|reading| reading.flag.is_none()) {
        return Ok(None);
    }
    let mut rest = job.clone();
    let mut flags = readings.iter().map(|reading| reading.flag.is_some());
    for place in &mut rest.readings {
        place.readings.retain(|_| !flags.next().unwrap_or_default());
    }
    rest.readings.retain(|place| !place.readings.is_empty());
    match Estimate::of(&rest, target) {
        Ok(estimate) => estimate.outcome(estimate::Of::Mean, target, rule).map(Some),
        // Too few are left to say anything.
        Err(JobError::NoReadings | JobError::OneReading) => Ok(None),
        Err(error) => Err(error),
    }
}
