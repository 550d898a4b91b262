//! `midflank setup`: which set-up, before the measurement.

use metrology::inspection::{self, Advice, ContactKind, Feature, GOOD_SHARE, LARGEST_SHARE, Wrong};
use metrology::soak::{self, Body};
use metrology::units::{Entered, LengthUnit};
use serde::{Serialize, Serializer};

use super::{MaxMin, from_length, from_mm};
use crate::say;
use crate::words::{self, Shown, number};

/// The difference that is reckoned with where no temperature was read: a part from the hand or the machine, kelvins.
const FROM_THE_HAND: f64 = 5.0;

/// Reasons of one refusal that are told: one a micrometer, they are much alike.
const REASONS: usize = 3;

/// What is known of the part's temperature, and how much is asked for.
pub struct Around {
    /// Material of the part.
    pub material: Option<String>,
    /// Temperature of the part.
    pub part_temperature: Option<f64>,
    /// Temperature of the standard and the room.
    pub room_temperature: f64,
    /// To what difference the part should come, kelvins.
    pub within: f64,
    /// Whether everything is told.
    pub all: bool,
}

#[derive(Serialize)]
pub struct SetUpDocument {
    pub characteristic: String,
    pub kind: String,
    pub unit: LengthUnit,
    pub decimals: u32,
    pub limits: MaxMin,
    /// How many readings, and where.
    pub readings: usize,
    pub places: String,
    /// What may be used, in the order of [`inspection::SetUp::order`].
    pub set_ups: Vec<SetUp>,
    /// How many more may be used.
    pub others: usize,
    /// Whether everything is told.
    #[serde(skip)]
    pub all: bool,
    /// What may not.
    pub refused: Vec<Refused>,
    /// What usual contacts that do not suit would add to the reading, owned or not.
    pub wrong_choices: Vec<Refused>,
    /// What would be good enough, where nothing owned is.
    pub wanted: Vec<String>,
    /// The contacts one would want.
    pub ideal: String,
    pub soak: Option<Soak>,
    pub advice: Vec<String>,
}

metrology::codes! {
    /// What a set-up is worth, by the part of the tolerance that its uncertainty takes.
    pub enum Judgement "judgement" {
        /// A small part.
        Good "good",
        /// More than that.
        Usable "usable",
        /// Too much.
        NotGoodEnough "not good enough",
    }
}

#[expect(
    clippy::trivially_copy_pass_by_ref,
    reason = "the signature that serde asks for"
)]
fn by_code<S: Serializer>(judgement: &Judgement, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(judgement.key())
}

#[derive(Serialize)]
pub struct SetUp {
    pub rank: usize,
    pub instrument: String,
    pub contacts: String,
    /// The wires between contacts and thread.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wires: Option<String>,
    pub standard: String,
    /// What the display must show on the standard.
    pub expected_zero_reading: f64,
    /// What it will show in the middle of the limits.
    pub expected_reading: f64,
    /// What it will show at the limits.
    pub expected_at_limits: MaxMin,
    /// What the display counts in; all numbers here are in the unit of the document.
    pub display_unit: LengthUnit,
    /// How many decimals the display has, where its resolution is known.
    #[serde(skip)]
    pub display_decimals: Option<u32>,
    pub standard_uncertainty: f64,
    pub expanded_uncertainty: f64,
    pub coverage_factor: f64,
    /// `2U/T`.
    pub share_of_tolerance: Option<f64>,
    #[serde(serialize_with = "by_code")]
    pub judgement: Judgement,
    pub repeatability: f64,
    pub force_newtons: Option<f64>,
    /// Largest lines of the budget: name and contribution.
    pub largest: Vec<(String, f64)>,
}

#[derive(Serialize)]
pub struct Refused {
    pub kind: &'static str,
    pub id: String,
    pub why: String,
    /// What it would add to the reading.
    pub error: Option<f64>,
    /// Contacts of this kind sit on no thread, and that is all there is to say.
    #[serde(skip)]
    pub off_thread: Option<ContactKind>,
}

/// How long the part should lie.
#[derive(Serialize)]
pub struct Soak {
    pub material: String,
    pub time_constant_minutes: f64,
    pub from_kelvins: f64,
    pub to_kelvins: f64,
    pub minutes: f64,
}

impl SetUpDocument {
    /// Of an advice.
    pub fn of(advice: &Advice, around: &Around) -> Self {
        let target = &advice.target;
        let unit = target.unit;
        let shown = Shown::of(target);
        Self {
            characteristic: words::characteristic(target),
            kind: target
                .feature
                .as_ref()
                .map_or("thread", Feature::key)
                .to_owned(),
            unit,
            decimals: target.decimals,
            limits: MaxMin::of(target.limits, unit),
            readings: advice.places.count,
            places: words::word(&advice.places.how),
            set_ups: advice
                .set_ups
                .iter()
                .enumerate()
                .map(|(index, set_up)| SetUp {
                    rank: index + 1,
                    instrument: set_up.instrument.clone(),
                    contacts: set_up.contacts.clone(),
                    wires: set_up.wires.clone(),
                    standard: set_up.standard.clone(),
                    expected_zero_reading: from_length(set_up.zero_on, unit),
                    expected_reading: from_mm(set_up.plan.expected_reading, unit),
                    expected_at_limits: MaxMin::of(set_up.plan.as_read, unit),
                    display_unit: set_up.display_unit,
                    display_decimals: set_up
                        .resolution
                        .as_ref()
                        .filter(|step| step.unit() == set_up.display_unit)
                        .map(Entered::decimals),
                    standard_uncertainty: from_mm(set_up.plan.size.standard_uncertainty, unit),
                    expanded_uncertainty: from_mm(set_up.plan.size.expanded_uncertainty, unit),
                    coverage_factor: set_up.plan.size.coverage_factor,
                    share_of_tolerance: set_up.share,
                    judgement: match set_up.share {
                        Some(share) if share <= GOOD_SHARE => Judgement::Good,
                        Some(share) if share > LARGEST_SHARE => Judgement::NotGoodEnough,
                        _ => Judgement::Usable,
                    },
                    repeatability: from_mm(set_up.plan.repeatability, unit),
                    force_newtons: set_up.plan.force,
                    largest: set_up
                        .plan
                        .budget
                        .iter()
                        .take(3)
                        .map(|line| {
                            (
                                crate::words::word(&line.name),
                                from_mm(line.line.contribution, unit),
                            )
                        })
                        .collect(),
                })
                .collect(),
            others: advice.others,
            all: around.all,
            refused: advice
                .refused
                .iter()
                .map(|refused| Refused::of(refused, shown, around.all))
                .collect(),
            wrong_choices: advice
                .wrong
                .iter()
                .map(|wrong| Refused::wrong(wrong, shown))
                .collect(),
            wanted: advice
                .wanted
                .iter()
                .map(|wanted| words::message(wanted, shown))
                .collect(),
            ideal: words::message(&inspection::ideal(target), shown),
            soak: soak_of(advice, around),
            advice: said(advice, around),
        }
    }
}

impl Refused {
    fn of(refused: &inspection::Refused, shown: Shown, all: bool) -> Self {
        let told = if all { refused.why.len() } else { REASONS };
        let mut why: Vec<_> = refused
            .why
            .iter()
            .take(told)
            .map(|why| words::message(why, shown))
            .collect();
        if let Some(more) = refused.why.len().checked_sub(told).filter(|more| *more > 0) {
            why.push(say!("setup.more-reasons", n = more));
        }
        Self {
            kind: refused.kind,
            id: refused.id.clone(),
            why: why.join("; "),
            error: refused.error.map(|error| from_mm(error, shown.unit)),
            off_thread: refused.off_thread(),
        }
    }

    fn wrong(wrong: &Wrong, shown: Shown) -> Self {
        Self {
            kind: "contacts",
            id: words::word(&wrong.contacts),
            why: words::message(&wrong.why, shown),
            error: Some(from_mm(wrong.error, shown.unit)),
            off_thread: None,
        }
    }
}

/// The body that takes up the heat: a bar of the size measured, or a wall or sheet.
fn body(advice: &Advice) -> Body {
    let size = inspection::middle(advice.target.limits);
    let feature = advice.target.feature.as_ref();
    feature.map_or(Body::Cylinder(size), |one| one.measurand().body(size))
}

fn soak_of(advice: &Advice, around: &Around) -> Option<Soak> {
    let material = around
        .material
        .clone()
        .unwrap_or_else(|| "steel".to_owned());
    let heat = soak::heat(&material)?;
    let tau = soak::time_constant(body(advice), heat);
    let from = around
        .part_temperature
        .map_or(FROM_THE_HAND, |part| (part - around.room_temperature).abs());
    let seconds = soak::soak_time(tau, from, around.within)?;
    Some(Soak {
        material: heat.material.clone(),
        time_constant_minutes: tau / 60.0,
        from_kelvins: from,
        to_kelvins: around.within,
        minutes: seconds / 60.0,
    })
}

fn said(advice: &Advice, around: &Around) -> Vec<String> {
    let mut all = vec![say!("setup.zero").to_owned()];
    if let Some(difference) = around
        .part_temperature
        .map(|part| part - around.room_temperature)
        .filter(|difference| difference.abs() > around.within)
    {
        all.push(say!("setup.part-warm", by = number::kelvin(difference)));
    }
    all.push(say!("setup.hands").to_owned());
    let feature = advice.target.feature.as_ref();
    let advised = feature.and_then(|one| one.measurand().advice());
    all.extend(advised.iter().map(words::said));
    all
}
