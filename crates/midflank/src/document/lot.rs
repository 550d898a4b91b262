//! What a lot comes to: counts, verdict, what was not measured, and the sizes of each characteristic.

use metrology::limits::Limits;
use metrology::lot::{Counts, FractionNonconforming, Standing};
use metrology::message::{Say, Value as Said};
use metrology::study::{Indices, Specification, anderson_darling};
use metrology::units::{Length, LengthUnit};
use serde::Serialize;
use serde_json::Value;
use workshop::event::Spot;
use workshop::in_unit::from_mm;
use workshop::lot::{LotNote, Tally};
use workshop::lots::{Gauged, Matrix};
use workshop::plan::Plan;

use super::printed::warning;
use crate::words::Shown;

/// Confidence of intervals.
const CONFIDENCE: f64 = 0.95;

/// Below this probability sizes are taken as not normal, and what rests on that is not told (common practice, no source).
const NOT_NORMAL: f64 = 0.005;

/// Limits of a characteristic by its place in the plan, and their unit; none of what is not measured.
pub type OfLimits<'a> = &'a dyn Fn(usize) -> Option<(Limits, LengthUnit)>;

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
    /// Where a gauge and a measured pitch diameter of a piece disagree.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub gauge_findings: Vec<GaugeFindingDocument>,
    /// What is odd in the file of readings, or in the results on the record.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub warnings: Vec<Value>,
}

impl LotDocument {
    /// Says what is odd in the file of readings that the lot was read from.
    pub fn note(&mut self, notes: &[LotNote]) {
        let shown = Shown::in_unit(LengthUnit::Millimetre);
        let said = notes.iter().map(|note| warning(&note.message(), shown));
        self.warnings.extend(said);
    }
}

/// A disagreement, and what explains it: codes, sentences and numbers, lengths in the unit of the drawing.
#[derive(Serialize)]
pub struct GaugeFindingDocument {
    pub piece: String,
    pub characteristic: String,
    pub against: String,
    pub gauge: String,
    pub unit: String,
    pub disagreement: Value,
    pub reasons: Vec<Value>,
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
    /// Sizes whose verdict is withheld for what puts the size itself in doubt: with any of them there is no Ppk and no fraction.
    #[serde(skip_serializing_if = "is_zero")]
    pub in_doubt: u64,
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

#[allow(clippy::trivially_copy_pass_by_ref, reason = "serde asks so")]
const fn is_zero(count: &u64) -> bool {
    *count == 0
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

/// What is known of a piece on one characteristic.
#[derive(Serialize)]
pub struct CellDocument<'a> {
    piece: &'a str,
    characteristic: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    size: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    expanded_uncertainty: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    unit: Option<String>,
    decision: &'a str,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    provisional: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    because: Option<&'a str>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    places_not_measured: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    entry: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    gauge: Option<GaugeDocument<'a>>,
}

/// The gauge that a piece was tried with. Lengths are as its certificate has them.
#[derive(Serialize)]
struct GaugeDocument<'a> {
    id: &'a str,
    registered: bool,
    conforms: bool,
    turns: Option<f64>,
    member: Option<&'static str>,
    designation: Option<&'a str>,
    size: Option<&'a str>,
    expanded_uncertainty: Option<&'a str>,
    coverage_factor: Option<f64>,
    certificate: Option<&'a str>,
    notes: Vec<Value>,
}

impl<'a> GaugeDocument<'a> {
    fn of(gauged: &'a Gauged) -> Self {
        let gauge = gauged.gauge.as_deref();
        let notes = gauged.notes.iter().filter_map(|note| match note {
            Said::Message(note) => Some(warning(note, Shown::in_unit(LengthUnit::Millimetre))),
            _ => None,
        });
        Self {
            id: &gauged.with,
            registered: gauge.is_some(),
            conforms: gauged.conforms,
            turns: gauged.turns,
            member: gauge.map(|gauge| gauge.member.key()),
            designation: gauge.map(|gauge| gauge.designation.as_str()),
            size: gauge.map(|gauge| gauge.size.text()),
            expanded_uncertainty: gauge.map(|gauge| gauge.expanded_uncertainty.text()),
            coverage_factor: gauge.map(|gauge| gauge.coverage_factor),
            certificate: gauge.and_then(|gauge| gauge.certificate.as_deref()),
            notes: notes.collect(),
        }
    }
}

/// Where gauges and measured pitch diameters disagree.
pub fn gauge_findings(matrix: &Matrix) -> Vec<GaugeFindingDocument> {
    let number = |index: usize| {
        let planned = matrix.plan.characteristics.get(index);
        planned.map_or_else(String::new, |planned| planned.number.clone())
    };
    let findings = matrix.gauge_findings().into_iter();
    let document = findings.map(|finding| {
        let shown = Shown::in_unit(finding.unit);
        let said = |what: &dyn Say| warning(&what.message(), shown);
        let explained = &finding.explained;
        GaugeFindingDocument {
            characteristic: number(finding.index),
            against: number(finding.against),
            gauge: finding.with.clone(),
            unit: finding.unit.to_string(),
            disagreement: said(&explained.disagreement),
            reasons: explained.reasons.iter().map(|one| said(one)).collect(),
            piece: finding.piece,
        }
    });
    document.collect()
}

/// What a lot on the record comes to.
pub fn of_matrix(matrix: &Matrix, number: &str, name: impl Fn(&Spot) -> String) -> LotLine {
    let tally = matrix.tally(name);
    let limits = |index| matrix.limits(index);
    let mut line = lot(&matrix.plan, &limits, Some(number), &tally);
    line.lot.gauge_findings = gauge_findings(matrix);
    let shown = Shown::in_unit(LengthUnit::Millimetre);
    let remarks = matrix.remarks();
    let remarks = remarks.iter().map(|one| warning(&one.message(), shown));
    line.lot.warnings.extend(remarks);
    line
}

/// All that is known of the pieces, in their order; `name` names a place.
pub fn cells<'a>(matrix: &'a Matrix, name: &dyn Fn(&Spot) -> String) -> Vec<CellDocument<'a>> {
    let mut all = Vec::new();
    for row in &matrix.rows {
        for (planned, cell) in matrix.plan.characteristics.iter().zip(&row.cells) {
            let Some(cell) = cell else { continue };
            let outcome = cell.outcome.as_ref();
            all.push(CellDocument {
                piece: &row.piece,
                characteristic: &planned.number,
                size: outcome.map(|outcome| outcome.size),
                expanded_uncertainty: outcome.map(|outcome| outcome.expanded_uncertainty),
                unit: outcome.map(|outcome| outcome.unit.to_string()),
                decision: outcome.map_or_else(|| cell.standing.key(), |outcome| outcome.decision),
                provisional: cell.standing == Standing::Provisional,
                because: cell.because.as_deref(),
                places_not_measured: cell.missing.iter().map(name).collect(),
                entry: cell.entry.map(|entry| entry.to_string()),
                gauge: cell.gauged.as_deref().map(GaugeDocument::of),
            });
        }
    }
    all
}

/// The line of the lot.
pub fn lot(plan: &Plan, limits: OfLimits<'_>, name: Option<&str>, tally: &Tally<'_>) -> LotLine {
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
                take: plan.pieces.by.take().key(),
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
                .filter_map(|index| characteristic(plan, limits, tally, index, whole))
                .collect(),
            gauge_findings: Vec::new(),
            warnings: Vec::new(),
        },
    }
}

fn characteristic(
    plan: &Plan,
    limits: OfLimits<'_>,
    tally: &Tally<'_>,
    index: usize,
    whole: bool,
) -> Option<CharacteristicDocument> {
    let planned = plan.characteristics.get(index)?;
    let of = tally.characteristics.get(index)?;
    let known = limits(index);
    // What is not measured has counts and no sizes.
    if known.is_none() && of.counts.pieces() == 0 {
        return None;
    }
    let unit = known.map(|(_, unit)| unit);
    let limits = known.map(|(limits, _)| limits).unwrap_or_default();
    let (lower, upper) = (limits.lower.map(Length::mm), limits.upper.map(Length::mm));
    let told = |mm: f64| unit.map(|unit| from_mm(mm, unit));
    let Counts {
        accept,
        reject,
        undecided,
        provisional,
    } = of.counts;
    let sizes = &of.sizes;
    let whole = whole && of.in_doubt == 0;
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
        unit: unit.map(|unit| unit.to_string()),
        in_doubt: of.in_doubt,
        n: sizes.n(),
        mean: told(sizes.mean()).filter(|_| sizes.n() > 0),
        standard_deviation: s.and_then(told),
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
