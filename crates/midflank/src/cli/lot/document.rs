//! The machine-readable answer of a lot: a line a piece and characteristic, and one of the lot.

use metrology::lot::{Counts, FractionNonconforming};
use metrology::study::{Indices, Specification, anderson_darling};
use serde::Serialize;
use workshop::in_unit::from_mm;
use workshop::lot::{Lot, Measured, Tally};
use workshop::plan::Plan;

use super::why;

/// Confidence of intervals.
const CONFIDENCE: f64 = 0.95;

/// Below this probability sizes are taken as not normal, and what rests on that is not told (common practice, no source).
const NOT_NORMAL: f64 = 0.005;

#[derive(Serialize)]
pub struct Line<'a> {
    piece: &'a str,
    characteristic: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    size: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    expanded_uncertainty: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    decision: Option<&'static str>,
    n: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    unit: Option<String>,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    provisional: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    because: Option<&'a str>,
    #[serde(skip_serializing_if = "<[String]>::is_empty")]
    places_not_measured: &'a [String],
    #[serde(skip_serializing_if = "Option::is_none")]
    error: Option<ErrorDocument>,
}

#[derive(Serialize)]
struct ErrorDocument {
    kind: String,
    message: String,
}

/// The line of a piece and characteristic.
pub fn line<'a>(measured: &'a Measured, number: &'a str) -> Line<'a> {
    let outcome = measured.outcome.as_ref().ok();
    Line {
        piece: &measured.piece,
        characteristic: number,
        size: outcome.map(|outcome| outcome.size),
        expanded_uncertainty: outcome.map(|outcome| outcome.expanded_uncertainty),
        decision: outcome.map(|outcome| outcome.decision),
        n: measured.n,
        unit: outcome.map(|outcome| outcome.unit.to_string()),
        provisional: outcome.is_some_and(|outcome| outcome.provisional),
        because: outcome.and_then(|outcome| outcome.because.as_deref()),
        places_not_measured: &measured.missing_places,
        error: measured
            .outcome
            .as_ref()
            .err()
            .map(|refused| ErrorDocument {
                kind: refused.reason.key().to_owned(),
                message: why(refused),
            }),
    }
}

/// The columns of the CSV.
pub const CSV_HEADER: &str =
    "piece,characteristic,size,expanded_uncertainty,decision,n,unit,provisional,because";

/// The same as a row of CSV.
pub fn csv(measured: &Measured, number: &str) -> String {
    let line = line(measured, number);
    let length = |value: Option<f64>| value.map_or_else(String::new, |value| value.to_string());
    let error = line.error.as_ref().map(|error| error.kind.as_str());
    [
        quoted(line.piece),
        quoted(line.characteristic),
        length(line.size),
        length(line.expanded_uncertainty),
        line.decision.unwrap_or("error").to_owned(),
        line.n.to_string(),
        line.unit.unwrap_or_default(),
        line.provisional.to_string(),
        quoted(line.because.or(error).unwrap_or_default()),
    ]
    .join(",")
}

fn quoted(text: &str) -> String {
    if text.contains([',', '"', ';', '\t']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}

#[derive(Serialize)]
pub struct LotLine {
    pub lot: LotDocument,
}

#[derive(Serialize)]
pub struct LotDocument {
    pub pieces: u64,
    pub accept: u64,
    pub reject: u64,
    pub undecided: u64,
    pub provisional: u64,
    pub verdict: &'static str,
    /// Why the lot is not accepted.
    pub because: Option<&'static str>,
    /// By the characteristics that were measured alone.
    pub verdict_of_measured: &'static str,
    pub lot: Option<String>,
    pub plan: PlanDocument,
    /// As far as lists go: the counts are above.
    pub undecided_pieces: Vec<String>,
    pub rejected_pieces: Vec<String>,
    pub not_measured: NotMeasuredDocument,
    pub characteristics: Vec<CharacteristicDocument>,
}

#[derive(Serialize)]
pub struct PlanDocument {
    number: Option<String>,
    part: String,
    drawing: String,
    take: &'static str,
    lot_size: Option<u64>,
    n: Option<u64>,
    accept: u64,
    reject: u64,
}

/// What is not known: pieces that the plan asks for, characteristics of the plan, places and characteristics of single pieces.
#[derive(Serialize)]
pub struct NotMeasuredDocument {
    pub pieces: u64,
    pub characteristics: Vec<String>,
    pub of_pieces: Vec<OfPiece>,
    pub of_pieces_count: u64,
}

#[derive(Serialize)]
pub struct OfPiece {
    pub piece: String,
    pub characteristic: String,
    pub place: Option<String>,
}

#[derive(Serialize)]
pub struct CharacteristicDocument {
    pub characteristic: String,
    pub class: &'static str,
    pub rule: String,
    pub agreed: Option<String>,
    pub accept: u64,
    pub reject: u64,
    pub undecided: u64,
    pub provisional: u64,
    pub unit: Option<String>,
    pub n: u64,
    pub mean: Option<f64>,
    pub standard_deviation: Option<f64>,
    pub pp: Option<f64>,
    pub pp_interval: Option<IntervalDocument>,
    pub ppk: Option<f64>,
    pub ppk_interval: Option<IntervalDocument>,
    /// Probability of sizes as far from normal as these, where they are normal (Anderson-Darling).
    pub normality_p: Option<f64>,
    pub fraction_nonconforming: Option<FractionDocument>,
}

#[derive(Serialize)]
pub struct IntervalDocument {
    pub lower: f64,
    pub upper: f64,
    pub confidence: f64,
}

#[derive(Serialize)]
pub struct FractionDocument {
    pub estimate: f64,
    pub lower: f64,
    pub upper: f64,
    pub confidence: f64,
}

/// The line of the lot.
pub fn lot(plan: &Plan, lot: &Lot<'_>, name: Option<&str>, tally: &Tally<'_>) -> LotLine {
    let (verdict, because) = tally.verdict();
    let counts = tally.counts;
    // A run that was stopped early is no sample of the process: where it stopped was chosen by what was found.
    let whole = tally.missing_pieces() == 0;
    let missing = tally.missing_characteristics();
    LotLine {
        lot: LotDocument {
            pieces: counts.pieces(),
            accept: counts.accept,
            reject: counts.reject,
            undecided: counts.undecided,
            provisional: counts.provisional,
            verdict: verdict.key(),
            because: because.map(metrology::lot::LotReason::key),
            verdict_of_measured: tally.verdict_of_measured().0.key(),
            lot: name.map(str::to_owned),
            plan: PlanDocument {
                number: plan.number.clone(),
                part: plan.part.clone(),
                drawing: plan.drawing(),
                take: plan.pieces.take.key(),
                lot_size: plan.pieces.lot_size,
                n: plan.pieces.n,
                accept: plan.pieces.accept,
                reject: plan.pieces.reject,
            },
            undecided_pieces: tally.undecided.clone(),
            rejected_pieces: tally.rejected.clone(),
            not_measured: NotMeasuredDocument {
                pieces: tally.missing_pieces(),
                characteristics: missing.into_iter().map(str::to_owned).collect(),
                of_pieces: tally
                    .not_measured
                    .iter()
                    .map(|one| OfPiece {
                        piece: one.piece.clone(),
                        characteristic: one.characteristic.clone(),
                        place: one.place.clone(),
                    })
                    .collect(),
                of_pieces_count: tally.not_measured_count,
            },
            characteristics: (0..plan.characteristics.len())
                .filter_map(|index| characteristic(plan, lot, tally, index, whole))
                .collect(),
        },
    }
}

fn characteristic(
    plan: &Plan,
    lot: &Lot<'_>,
    tally: &Tally<'_>,
    index: usize,
    whole: bool,
) -> Option<CharacteristicDocument> {
    let planned = plan.characteristics.get(index)?;
    let of = tally.characteristics.get(index)?;
    let (limits, unit) = lot.limits(index)?;
    let (lower, upper) = (
        limits.lower.map(metrology::units::Length::mm),
        limits.upper.map(metrology::units::Length::mm),
    );
    let Counts {
        accept,
        reject,
        undecided,
        provisional,
    } = of.counts;
    let sizes = &of.sizes;
    let normality = anderson_darling(&of.first).map(|test| test.p);
    let normal = normality.is_none_or(|p| p >= NOT_NORMAL);
    let s = sizes.standard_deviation();
    let specification = Specification {
        lower,
        upper,
        confidence: CONFIDENCE,
        coverage: CONFIDENCE,
        standard_uncertainty: None,
    };
    let n = usize::try_from(sizes.n()).unwrap_or(usize::MAX);
    let indices = s
        .filter(|_| whole)
        .and_then(|s| Indices::overall(n, sizes.mean(), s, &specification).ok());
    let fraction = (whole && normal)
        .then(|| FractionNonconforming::of(sizes, lower, upper, CONFIDENCE))
        .flatten();
    let interval = |interval: metrology::study::Interval| IntervalDocument {
        lower: interval.lower,
        upper: interval.upper,
        confidence: interval.confidence,
    };
    Some(CharacteristicDocument {
        characteristic: planned.number.clone(),
        class: planned.class.key(),
        rule: planned.rule.name.clone(),
        agreed: planned.agreed.clone(),
        accept,
        reject,
        undecided,
        provisional,
        unit: Some(unit.to_string()),
        n: sizes.n(),
        mean: (sizes.n() > 0).then(|| from_mm(sizes.mean(), unit)),
        standard_deviation: s.map(|s| from_mm(s, unit)),
        pp: indices.and_then(|found| found.c),
        pp_interval: indices.and_then(|found| found.c_interval).map(interval),
        ppk: indices.map(|found| found.ck),
        ppk_interval: indices.map(|found| interval(found.ck_interval)),
        normality_p: normality,
        fraction_nonconforming: fraction.map(|found| FractionDocument {
            estimate: found.estimate,
            lower: found.lower,
            upper: found.upper,
            confidence: found.confidence,
        }),
    })
}

/// The lot as the last row of the CSV: `lot` in the place of a piece, its verdict, and the number of pieces.
pub fn csv_lot(document: &LotLine) -> String {
    let lot = &document.lot;
    format!(
        "lot,,,,{},{},,{},{}",
        lot.verdict,
        lot.pieces,
        lot.provisional > 0,
        lot.because.unwrap_or_default()
    )
}
