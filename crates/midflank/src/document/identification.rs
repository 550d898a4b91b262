//! `midflank identify`: which thread this can be.

use metrology::identify::{
    Advice, Candidate, Evidence, Expected, Identification, Miscount, Observation, Prior, Quantity,
    Ranked, Shop, WELL_WITHIN, miscounts, turns_to_tell_apart,
};
use metrology::units::LengthUnit;
use serde::Serialize;

use super::from_mm;
use crate::say;
use crate::words::{self, Shown, number};

/// Candidates less probable than this are left out, but for the first.
const LEAST_PROBABILITY: f64 = 1e-4;
/// More than these are no answer.
const MOST: usize = 10;
/// Where nothing fits, so many of the nearest are shown.
const NEAREST: usize = 3;

/// What an unknown thread can be.
#[derive(Serialize)]
pub struct IdentificationDocument {
    pub unit: LengthUnit,
    pub kind: &'static str,
    /// Whether the first goes with every reading.
    pub fits: bool,
    /// Readings that fit none of the threads that the others leave.
    pub fit_none: Vec<&'static str>,
    /// The same as a sentence.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub message: Option<String>,
    /// The threads that the readings do not tell apart, most probable first; `null` where nothing fits.
    pub headline: Option<String>,
    /// Whether a shop, or its records, were stated; without, each probability is the least of all kinds of shop.
    pub prior: &'static str,
    pub candidates: Vec<CandidateDocument>,
    /// Threads that the readings do not tell apart, of those listed.
    pub groups: Vec<GroupDocument>,
    /// The probability of a thread that is in none of the tables.
    pub none_of_these: f64,
    pub separating_measurement: Option<AdviceDocument>,
    /// Threads that no count of turns tells from the first.
    pub look_alikes: Vec<LookAlikeDocument>,
    /// Where nothing fits: mistakes with the pitch that would explain it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub miscounts: Vec<MiscountDocument>,
    pub assumed: Vec<String>,
    /// For people: which threads the readings do not tell from the first, as a sentence.
    #[serde(skip)]
    pub fit_alike: Option<String>,
    /// For people: the probability of the group in the headline is the least of several.
    #[serde(skip)]
    pub least_of_several: bool,
}

/// Threads that the readings do not tell apart.
#[derive(Serialize)]
pub struct GroupDocument {
    pub group: usize,
    pub designations: Vec<String>,
    /// That it is one of them, and of those left out of the list.
    pub probability: f64,
}

#[derive(Serialize)]
pub struct CandidateDocument {
    pub designation: String,
    /// The same for threads that the readings do not tell apart, from 1.
    pub group: usize,
    pub probability: f64,
    /// The greatest under any kind of shop; the same as `probability` where one is stated.
    pub at_most: f64,
    /// Standard uncertainties by which the worst reading lies outside what any class of the thread allows.
    pub misfit: f64,
    pub form: &'static str,
    pub pitch: f64,
    pub included_angle_deg: f64,
    pub taper: f64,
    /// Major diameter of a bolt, minor diameter of a nut, in the usual class.
    pub crest: (f64, f64),
    pub pitch_diameter: (f64, f64),
    /// Turns that tell it from the first with callipers; `null` for the first, and where none do.
    pub turns_from_first: Option<u32>,
}

/// The measurement to make next.
#[derive(Serialize)]
pub struct AdviceDocument {
    pub what: String,
    pub between: [String; 2],
    pub how: String,
    pub quantity: &'static str,
    pub turns: Option<u32>,
    /// The length of those turns on the first.
    pub over: Option<f64>,
    /// Expected information about which of the leading threads it is, bits.
    pub information: f64,
    /// Whether the rival fits what was measured so far; if not, this only makes sure.
    pub in_doubt: bool,
}

/// A rival of the same pitch.
#[derive(Serialize)]
pub struct LookAlikeDocument {
    pub designation: String,
    pub told_by: String,
}

/// A mistake with the pitch that would explain that nothing fits.
#[derive(Serialize)]
pub struct MiscountDocument {
    /// `crests` or `lead`.
    pub kind: &'static str,
    /// The crests that were counted, or the starts of the thread.
    pub number: u32,
    /// The pitch that it is then.
    pub pitch: f64,
    /// The threads that then fit, most probable first.
    pub threads: Vec<String>,
    pub message: String,
}

impl MiscountDocument {
    fn of(miscount: &Miscount, unit: LengthUnit) -> Self {
        Self {
            kind: miscount.kind(),
            number: match miscount {
                Miscount::Crests { crests, .. } => *crests,
                Miscount::Lead { starts, .. } => *starts,
            },
            pitch: from_mm(miscount.pitch(), unit),
            threads: miscount.threads().to_vec(),
            message: words::message(miscount, Shown::in_unit(unit)),
        }
    }
}

impl IdentificationDocument {
    /// `counted` is the number of pitches that a pitch was measured over, where one was stated.
    pub fn of(
        evidence: &Evidence,
        found: &Identification,
        counted: Option<u32>,
        unit: LengthUnit,
        assumed: Vec<String>,
    ) -> Self {
        let fits = found.fits();
        let first = found.ranked.first();
        let listed: Vec<&Ranked> = found
            .ranked
            .iter()
            .enumerate()
            .filter(|(index, ranked)| *index == 0 || !fits || ranked.at_most >= LEAST_PROBABILITY)
            .map(|(_, ranked)| ranked)
            .take(if fits { MOST } else { NEAREST })
            .collect();
        let candidates = (listed.iter())
            .map(|ranked| {
                CandidateDocument::of(evidence, ranked, first.map(|first| first.candidate), unit)
            })
            .collect();
        let groups = groups(found, &listed);
        let headline = first
            .filter(|_| fits)
            .and_then(|_| groups.first())
            .map(|group| headline(found, group));
        Self {
            unit,
            kind: evidence.kind.key(),
            fits,
            fit_none: found
                .fit_none
                .iter()
                .map(|quantity| quantity.key())
                .collect(),
            message: (!fits)
                .then(|| first.map(|first| nothing_fits(evidence, found, first, unit)))
                .flatten(),
            headline,
            prior: match found.prior {
                Prior::Unstated => "unstated",
                Prior::Shop(shop) => shop.key(),
                Prior::Records(_) => "records",
            },
            candidates,
            fit_alike: (groups.first())
                .filter(|_| fits)
                .and_then(|group| fit_alike(found, group)),
            groups,
            least_of_several: found.prior == Prior::Unstated,
            none_of_these: found.none_of_these,
            separating_measurement: found
                .advice
                .as_ref()
                .map(|advice| AdviceDocument::of(advice, unit)),
            look_alikes: found
                .look_alikes
                .iter()
                .map(|other| LookAlikeDocument {
                    designation: other.designation.clone(),
                    told_by: words::all_said(&other.differences).join("; "),
                })
                .collect(),
            miscounts: (miscounts(evidence, found, counted).iter())
                .map(|miscount| MiscountDocument::of(miscount, unit))
                .collect(),
            assumed,
        }
    }
}

impl CandidateDocument {
    fn of(
        evidence: &Evidence,
        ranked: &Ranked,
        first: Option<&Candidate>,
        unit: LengthUnit,
    ) -> Self {
        let candidate = ranked.candidate;
        let band = |quantity| {
            let (lower, upper) = usual(candidate.expected(quantity));
            (from_mm(lower, unit), from_mm(upper, unit))
        };
        Self {
            designation: candidate.designation.clone(),
            group: ranked.group + 1,
            probability: ranked.probability,
            at_most: ranked.at_most,
            misfit: ranked.misfit,
            form: candidate.form.key(),
            pitch: from_mm(candidate.pitch, unit),
            included_angle_deg: candidate.angle,
            taper: candidate.taper,
            crest: band(match evidence.kind {
                metrology::designation::Kind::External => Quantity::Major,
                metrology::designation::Kind::Internal => Quantity::Minor,
            }),
            pitch_diameter: band(Quantity::PitchDiameter),
            turns_from_first: first
                .filter(|first| first.designation != candidate.designation)
                .and_then(|first| turns_to_tell_apart(first.pitch, candidate.pitch)),
        }
    }
}

const fn usual(expected: Expected) -> (f64, f64) {
    match expected {
        Expected::Value(value) => (value, value),
        Expected::Band { usual, .. } => usual,
    }
}

/// A length in the unit, to a micrometre or a ten-thousandth of an inch.
pub fn length(mm: f64, unit: LengthUnit) -> String {
    let decimals = match unit {
        LengthUnit::Inch | LengthUnit::Microinch => 4,
        LengthUnit::Millimetre | LengthUnit::Micrometre => 3,
    };
    number::length(from_mm(mm, unit), decimals, unit)
}

/// A value of a quantity in words.
pub fn in_words(quantity: Quantity, value: f64, unit: LengthUnit) -> String {
    match quantity {
        Quantity::FlankAngle => number::fine_degrees(value),
        Quantity::Taper if value.abs() < 1e-6 => say!("identify.no-taper").into(),
        Quantity::Taper => say!("identify.taper", length = number::short(1.0 / value, 1)),
        Quantity::Pitch => number::length(from_mm(value, unit), 4, unit),
        Quantity::Major | Quantity::PitchDiameter | Quantity::Minor => length(value, unit),
    }
}

/// The groups of the threads that are listed, in their order.
fn groups(found: &Identification, listed: &[&Ranked]) -> Vec<GroupDocument> {
    let mut groups: Vec<GroupDocument> = Vec::new();
    for ranked in listed {
        let number = ranked.group + 1;
        let designation = ranked.candidate.designation.clone();
        if let Some(group) = groups.iter_mut().find(|group| group.group == number) {
            group.designations.push(designation);
        } else if let Some(whole) = found.groups.get(ranked.group) {
            groups.push(GroupDocument {
                group: number,
                designations: vec![designation],
                probability: whole.probability,
            });
        }
    }
    groups
}

/// The threads of a group as alternatives, and how many of them are not listed.
fn headline(found: &Identification, group: &GroupDocument) -> String {
    let members = (found.groups.get(group.group - 1)).map_or(0, |whole| whole.members.len());
    let threads = group.designations.iter().cloned();
    match members - group.designations.len() {
        0 => words::choice(threads),
        others => {
            let others = say!("identify.others", n = others);
            words::choice(threads.chain([others]))
        }
    }
}

/// That the readings do not tell the threads of the first group apart, and what then makes the difference.
fn fit_alike(found: &Identification, group: &GroupDocument) -> Option<String> {
    if group.designations.len() < 2 {
        return None;
    }
    let threads = words::list(group.designations.iter().cloned());
    Some(match found.prior {
        Prior::Shop(Shop::Flat) => say!("identify.fit-alike", threads = threads),
        _ => say!("identify.fit-alike-common", threads = threads),
    })
}

/// Which reading fits nothing, and the nearest thread with what is outside of it and by how much.
fn nothing_fits(
    evidence: &Evidence,
    found: &Identification,
    nearest: &Ranked,
    unit: LengthUnit,
) -> String {
    let outside_of = |ranked: &Ranked| {
        let readings = (evidence.observations.iter().zip(&ranked.misfits))
            .filter(|&(_, &misfit)| misfit > WELL_WITHIN)
            .map(|(seen, _)| outside(seen, ranked.candidate.expected(seen.quantity), unit))
            .reduce(|first, second| say!("identify.and-the", first = first, second = second));
        say!(
            "identify.where",
            thread = ranked.candidate.designation,
            readings = readings.unwrap_or_default()
        )
    };
    let nearest_of_all = outside_of(nearest);
    match *found.fit_none {
        [_] if evidence.observations.len() == 1 => {
            say!("identify.only-reading", nearest = nearest_of_all)
        }
        [blamed] => {
            let only_this_outside = |ranked: &&Ranked| {
                (evidence.observations.iter().zip(&ranked.misfits))
                    .all(|(seen, &misfit)| (misfit > WELL_WITHIN) == (seen.quantity == blamed))
            };
            let but_for_this = found.ranked.iter().find(only_this_outside);
            let but_for_this = but_for_this.map_or_else(|| nearest_of_all.clone(), outside_of);
            let quantity = words::word(&blamed);
            if but_for_this == nearest_of_all {
                say!(
                    "identify.one-reading",
                    quantity = quantity,
                    nearest = but_for_this
                )
            } else {
                say!(
                    "identify.one-reading-of-several",
                    quantity = quantity,
                    nearest = but_for_this,
                    nearest_of_all = nearest_of_all
                )
            }
        }
        _ => say!("identify.together", nearest = nearest_of_all),
    }
}

/// By how much a reading is outside what any class of a thread allows.
fn outside(seen: &Observation, expected: Expected, unit: LengthUnit) -> String {
    let (lower, upper) = match expected {
        Expected::Value(value) => (value, value),
        Expected::Band { any_class, .. } => any_class,
    };
    let below = seen.value < lower;
    let by = if below {
        lower - seen.value
    } else {
        seen.value - upper
    };
    let by = match seen.quantity {
        Quantity::FlankAngle => number::degrees(by),
        Quantity::Taper => number::fixed(by, 4),
        Quantity::Pitch => in_words(Quantity::Pitch, by, unit),
        Quantity::Major | Quantity::PitchDiameter | Quantity::Minor => length(by, unit),
    };
    let allowed = match expected {
        Expected::Value(value) => in_words(seen.quantity, value, unit),
        Expected::Band { .. } => {
            let (lower, upper) = (length(lower, unit), length(upper, unit));
            say!("identify.any-class", lower = lower, upper = upper)
        }
    };
    let read = in_words(seen.quantity, seen.value, unit);
    let quantity = words::word(&seen.quantity);
    if below {
        say!(
            "identify.below",
            quantity = quantity,
            reading = read,
            by = by,
            allowed = allowed
        )
    } else {
        say!(
            "identify.above",
            quantity = quantity,
            reading = read,
            by = by,
            allowed = allowed
        )
    }
}

/// `1 turn`, `20 turns`.
pub fn turns_in_words(turns: u32) -> String {
    say!("identify.turns", n = turns)
}

impl AdviceDocument {
    fn of(advice: &Advice, unit: LengthUnit) -> Self {
        let (a, b) = advice.between;
        let over = advice.turns.map(|turns| f64::from(turns) * a.pitch);
        Self {
            what: match advice.turns {
                Some(turns) => say!("identify.pitch-over", turns = turns_in_words(turns)),
                None => words::word(&advice.quantity),
            },
            between: [a.designation.clone(), b.designation.clone()],
            how: how(advice, unit),
            quantity: advice.quantity.key(),
            turns: advice.turns,
            over: over.map(|over| from_mm(over, unit)),
            information: advice.information,
            in_doubt: advice.in_doubt,
        }
    }
}

/// What to do and what to expect, as one or two sentences.
fn how(advice: &Advice, unit: LengthUnit) -> String {
    let (a, b) = advice.between;
    let on_both = |expected: &dyn Fn(&Candidate) -> String| {
        say!(
            "identify.on-both",
            one = expected(a),
            first = a.designation,
            other = expected(b),
            second = b.designation
        )
    };
    let expect = |candidate: &Candidate| match candidate.expected(advice.quantity) {
        Expected::Value(value) => in_words(advice.quantity, value, unit),
        Expected::Band {
            usual: (lower, upper),
            ..
        } => {
            let (lower, upper) = (length(lower, unit), length(upper, unit));
            say!("identify.range", lower = lower, upper = upper)
        }
    };
    match (advice.quantity, advice.turns) {
        (Quantity::Pitch, Some(turns)) => {
            let over = |candidate: &Candidate| length(f64::from(turns) * candidate.pitch, unit);
            say!(
                "identify.how-turns",
                turns = turns_in_words(turns),
                good_to = length(0.05, unit),
                both = on_both(&over)
            )
        }
        (Quantity::Pitch, None) => on_both(&expect),
        (Quantity::Major | Quantity::Minor, _) => {
            say!("identify.how-diameter", both = on_both(&expect))
        }
        (Quantity::PitchDiameter, _) => {
            say!("identify.how-pitch-diameter", both = on_both(&expect))
        }
        (Quantity::FlankAngle, _) => say!("identify.how-angle", both = on_both(&expect)),
        (Quantity::Taper, _) => {
            let apart = match unit {
                LengthUnit::Inch | LengthUnit::Microinch => 12.7,
                LengthUnit::Millimetre | LengthUnit::Micrometre => 10.0,
            };
            let growth = |candidate: &Candidate| length(apart * candidate.taper, unit);
            say!(
                "identify.how-taper",
                apart = length(apart, unit),
                both = on_both(&growth)
            )
        }
    }
}
