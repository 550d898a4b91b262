//! `midflank identify`: which thread this can be.

use metrology::identify::{
    Advice, Candidate, Evidence, Expected, Identification, Observation, Quantity, Ranked,
    WELL_WITHIN, turns_to_tell_apart,
};
use metrology::units::LengthUnit;
use serde::Serialize;

use super::from_mm;

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
    pub candidates: Vec<CandidateDocument>,
    /// The probability of a thread that is in none of the tables.
    pub none_of_these: f64,
    pub separating_measurement: Option<AdviceDocument>,
    /// Threads that no count of turns tells from the first.
    pub look_alikes: Vec<LookAlikeDocument>,
    pub assumed: Vec<String>,
    /// For people: which threads the readings do not tell from the first, as a sentence.
    #[serde(skip)]
    pub fit_alike: Option<String>,
}

/// One thread.
#[derive(Serialize)]
pub struct CandidateDocument {
    pub designation: String,
    pub probability: f64,
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

impl IdentificationDocument {
    pub fn of(
        evidence: &Evidence,
        found: &Identification,
        unit: LengthUnit,
        assumed: Vec<String>,
    ) -> Self {
        let fits = found.fits();
        let first = found.ranked.first();
        let candidates = found
            .ranked
            .iter()
            .enumerate()
            .take(if fits { MOST } else { NEAREST })
            .filter(|(index, ranked)| {
                *index == 0 || !fits || ranked.probability >= LEAST_PROBABILITY
            })
            .map(|(_, ranked)| {
                CandidateDocument::of(evidence, ranked, first.map(|first| first.candidate), unit)
            })
            .collect();
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
            candidates,
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
                    told_by: other.words.clone(),
                })
                .collect(),
            assumed,
            fit_alike: first
                .filter(|_| fits)
                .and_then(|first| fit_alike(found, first)),
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
            probability: ranked.probability,
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
    format!("{:.decimals$} {unit}", from_mm(mm, unit))
}

/// A value of a quantity in words.
pub fn in_words(quantity: Quantity, value: f64, unit: LengthUnit) -> String {
    match quantity {
        Quantity::FlankAngle => format!("{value} degrees"),
        Quantity::Taper if value.abs() < 1e-6 => "no taper".to_owned(),
        Quantity::Taper => format!("1:{:.1}", 1.0 / value).replace(".0", ""),
        Quantity::Pitch => format!("{:.4} {unit}", from_mm(value, unit)),
        Quantity::Major | Quantity::PitchDiameter | Quantity::Minor => length(value, unit),
    }
}

/// The threads that the readings do not tell from the first, and what then makes the difference.
fn fit_alike(found: &Identification, first: &Ranked) -> Option<String> {
    let shown = found.ranked.iter().skip(1).take(MOST - 1);
    let others: Vec<_> = shown
        .filter(|other| other.probability >= LEAST_PROBABILITY && other.fits_like(first))
        .map(|other| other.candidate.designation.as_str())
        .collect();
    let (last, between) = others.split_last()?;
    let between = between
        .iter()
        .fold(String::new(), |list, name| list + ", " + name);
    let rest = if found.flat_prior {
        "what is measured next decides"
    } else {
        "the rest of the probability is how common each is, not what was measured"
    };
    let first = &first.candidate.designation;
    Some(format!("{first}{between} and {last} fit alike; {rest}"))
}

/// Which reading fits nothing, and the nearest thread with what is outside of it and by how much.
fn nothing_fits(
    evidence: &Evidence,
    found: &Identification,
    nearest: &Ranked,
    unit: LengthUnit,
) -> String {
    let outside_of = |ranked: &Ranked| {
        let readings: Vec<String> = (evidence.observations.iter().zip(&ranked.misfits))
            .filter(|&(_, &misfit)| misfit > WELL_WITHIN)
            .map(|(seen, _)| outside(seen, ranked.candidate.expected(seen.quantity), unit))
            .collect();
        format!(
            "{}, where the {}",
            ranked.candidate.designation,
            readings.join(" and the ")
        )
    };
    let nearest_of_all = outside_of(nearest);
    match *found.fit_none {
        [_] if evidence.observations.len() == 1 => {
            format!("no standard thread has it; the nearest is {nearest_of_all}")
        }
        [blamed] => {
            let only_this_outside = |ranked: &&Ranked| {
                (evidence.observations.iter().zip(&ranked.misfits))
                    .all(|(seen, &misfit)| (misfit > WELL_WITHIN) == (seen.quantity == blamed))
            };
            let but_for_this = found.ranked.iter().find(only_this_outside);
            let but_for_this = but_for_this.map_or_else(|| nearest_of_all.clone(), outside_of);
            let all_in_all = if but_for_this == nearest_of_all {
                String::new()
            } else {
                format!("; nearest in all readings is {nearest_of_all}")
            };
            format!(
                "of the threads that fit the other readings none fits the {blamed}; the nearest of them is \
                 {but_for_this}{all_in_all}"
            )
        }
        _ => format!(
            "no standard thread fits these readings together; the nearest is {nearest_of_all}"
        ),
    }
}

/// By how much a reading is outside what any class of a thread allows.
fn outside(seen: &Observation, expected: Expected, unit: LengthUnit) -> String {
    let (lower, upper) = match expected {
        Expected::Value(value) => (value, value),
        Expected::Band { any_class, .. } => any_class,
    };
    let (by, side) = if seen.value < lower {
        (lower - seen.value, "below")
    } else {
        (seen.value - upper, "above")
    };
    let by = match seen.quantity {
        Quantity::FlankAngle => format!("{by:.1} degrees"),
        Quantity::Taper => format!("{by:.4}"),
        Quantity::Pitch => in_words(Quantity::Pitch, by, unit),
        Quantity::Major | Quantity::PitchDiameter | Quantity::Minor => length(by, unit),
    };
    let allowed = match expected {
        Expected::Value(value) => in_words(seen.quantity, value, unit),
        Expected::Band { .. } => {
            format!(
                "{} to {} of any class",
                length(lower, unit),
                length(upper, unit)
            )
        }
    };
    let read = in_words(seen.quantity, seen.value, unit);
    format!("{} of {read} is {by} {side} {allowed}", seen.quantity)
}

/// `1 turn`, `20 turns`.
pub fn turns_in_words(turns: u32) -> String {
    match turns {
        1 => "1 turn".to_owned(),
        more => format!("{more} turns"),
    }
}

impl AdviceDocument {
    fn of(advice: &Advice, unit: LengthUnit) -> Self {
        let (a, b) = advice.between;
        let over = advice.turns.map(|turns| f64::from(turns) * a.pitch);
        Self {
            what: match advice.turns {
                Some(turns) => format!("pitch over {}", turns_in_words(turns)),
                None => advice.quantity.to_string(),
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
    let expect = |candidate: &Candidate| match candidate.expected(advice.quantity) {
        Expected::Value(value) => in_words(advice.quantity, value, unit),
        Expected::Band {
            usual: (lower, upper),
            ..
        } => format!("{} to {}", length(lower, unit), length(upper, unit)),
    };
    let both = format!(
        "{} on {}, {} on {}",
        expect(a),
        a.designation,
        expect(b),
        b.designation
    );
    match (advice.quantity, advice.turns) {
        (Quantity::Pitch, Some(turns)) => {
            let over = |candidate: &Candidate| length(f64::from(turns) * candidate.pitch, unit);
            format!(
                "measure {} between like flanks with callipers good to {}: {} on {}, {} on {}",
                turns_in_words(turns),
                length(0.05, unit),
                over(a),
                a.designation,
                over(b),
                b.designation
            )
        }
        (Quantity::Pitch, None) => both,
        (Quantity::Major | Quantity::Minor, _) => {
            format!("measure at three places or more: {both}")
        }
        (Quantity::PitchDiameter, _) => {
            format!("thread micrometer or wires: {both}")
        }
        (Quantity::FlankAngle, _) => format!(
            "profile gauge, projector, or two sizes of wire: {both}; look at crest and root too"
        ),
        (Quantity::Taper, _) => {
            let apart = match unit {
                LengthUnit::Inch | LengthUnit::Microinch => 12.7,
                LengthUnit::Millimetre | LengthUnit::Micrometre => 10.0,
            };
            let growth = |candidate: &Candidate| length(apart * candidate.taper, unit);
            format!(
                "diameter at two places {} apart: it grows by {} on {}, {} on {}",
                length(apart, unit),
                growth(a),
                a.designation,
                growth(b),
                b.designation
            )
        }
    }
}
