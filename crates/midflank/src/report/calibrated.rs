//! The certificate of a calibration as text: curve, verdicts, faces, traceability, and a budget for the widest point.

use metrology::calibration::Guard;
use metrology::decision::Verdict;
use metrology::message::{Message, Value};
use rust_decimal::prelude::ToPrimitive as _;
use workshop::gauge_record::calibrated::{
    CalibratedDocument, CurveDocument, JudgedDocument, PairDocument,
};
use workshop::gauge_record::calibration::{Of, Worked};
use workshop::gauge_room::calibration::{Planned, Shows};

use super::verdict_word;
use crate::say;
use crate::words::{self, number};

/// Columns of the picture of a curve.
const COLUMNS: usize = 41;

/// Why status and register change with it.
pub fn reason(worked: &Worked, shows: Shows) -> String {
    let number = &worked.heading.number;
    match shows {
        Shows::Good => say!("calibration.reason-good", number = number),
        Shows::GoodInPart => say!("calibration.reason-part", number = number),
        Shows::GoodBefore { set, on } => say!(
            "calibration.reason-before",
            number = number,
            status = words::word(&set),
            on = on
        ),
        Shows::Undecided => say!("calibration.reason-undecided", number = number),
        Shows::Out => say!("calibration.reason-out", number = number),
    }
}

/// The whole certificate.
pub fn answer(worked: &Worked, result: &CalibratedDocument) -> String {
    let piece = worked.piece();
    let heading = &worked.heading;
    let mut lines = vec![
        say!(
            "calibration.title",
            kind = words::named("piece-kind", &piece.kind),
            id = piece.id,
            number = heading.number,
            date = heading.date,
            person = worked.person
        ),
        say!(
            "calibration.verdict",
            verdict = verdict_word(&result.verdict)
        ),
        words::said(&result.traceability),
    ];
    lines.push(say!("calibration.receipt", receipt = receipt(worked)));
    if let Some(due) = worked.due {
        lines.push(say!("calibration.due", due = due));
    }
    for (of, curve) in [
        (say!("calibration.as-found"), &result.found),
        (say!("calibration.as-left"), &result.left),
    ] {
        if let Some(curve) = curve {
            lines.push(String::new());
            lines.push(of.to_owned());
            lines.extend(self::curve(worked, curve));
        }
    }
    for (index, form) in result.flatness.iter().enumerate() {
        lines.push(say!(
            "calibration.flatness",
            face = index + 1,
            value = um(form.value_um),
            limit = um(form.limit_um),
            simple = verdict_word(&form.simple),
            guarded = verdict_word(&form.guarded)
        ));
    }
    if let Some(form) = &result.parallelism {
        lines.push(say!(
            "calibration.parallelism",
            value = um(form.value_um),
            limit = um(form.limit_um),
            simple = verdict_word(&form.simple),
            guarded = verdict_word(&form.guarded)
        ));
    }
    if let (Some(pair), Of::Pair(check)) = (&result.pair, &worked.of) {
        lines.push(String::new());
        let plugs = check.plugs.each_ref().map(|plug| plug.id.as_str());
        lines.extend(self::pair(pair, plugs));
    }
    if !result.notes.is_empty() {
        lines.push(String::new());
        lines.extend(words::all_said(&notes(result)));
    }
    lines.extend(wide(worked, result));
    lines.push(String::new());
    lines.join("\n")
}

/// That the uncertainty is larger than the limit, where it is.
pub fn wide(worked: &Worked, result: &CalibratedDocument) -> Option<String> {
    let (expanded, limit) = result.wider_than_limit(worked)?;
    Some(say!(
        "calibration.wide",
        expanded = um(expanded),
        limit = um(limit)
    ))
}

/// When the item came in, and in what condition it was (ISO/IEC 17025:2017, 7.8.2.1 h and i).
pub fn receipt(worked: &Worked) -> String {
    match (worked.received, worked.condition.as_deref()) {
        (Some(received), Some(condition)) => say!(
            "paper.received-as",
            received = received,
            condition = condition
        ),
        (Some(received), None) => say!("paper-calibration.received-on", received = received),
        (None, Some(condition)) => {
            say!("paper-calibration.condition-alone", condition = condition)
        }
        (None, None) => say!("paper-calibration.no-receipt").to_owned(),
    }
}

/// Micrometres with a sign.
fn signed(um: f64) -> String {
    format!("{} µm", number::signed(um, 2))
}

fn um(um: f64) -> String {
    format!("{} µm", number::fixed(um, 2))
}

fn curve(worked: &Worked, curve: &CurveDocument) -> Vec<String> {
    let mut lines = Vec::new();
    let reach = curve
        .points
        .iter()
        .map(|point| point.error_um.abs() + point.expanded_uncertainty_um)
        .fold(0.1, f64::max);
    for point in &curve.points {
        lines.push(format!(
            "{:>10} mm  {:>9}  ± {}  k {}  {}",
            number::fixed(point.at_mm, 4),
            signed(point.error_um),
            um(point.expanded_uncertainty_um),
            number::fixed(point.coverage_factor, 2),
            bar(point.error_um, point.expanded_uncertainty_um, reach)
        ));
    }
    lines.push(say!(
        "calibration.span",
        span = um(curve.span_um),
        largest = signed(curve.largest_um)
    ));
    lines.extend(curve.judged.iter().map(judged));
    let widest = curve.points.iter().max_by(|one, other| {
        one.expanded_uncertainty_um
            .total_cmp(&other.expanded_uncertainty_um)
    });
    if let (Some(point), Of::Micrometer(_)) = (widest, &worked.of) {
        lines.push(say!(
            "calibration.budget-of",
            at = number::fixed(point.at_mm, 4)
        ));
        lines.extend(point.budget.iter().map(|line| {
            format!(
                "  {:<40} {:>8}  {:>6}",
                words::named("calibration-line", &line.name),
                um(line.standard_uncertainty_um),
                number::percent(line.share)
            )
        }));
    }
    lines
}

/// An error with its uncertainty, on a scale with zero in the middle.
fn bar(error: f64, expanded: f64, reach: f64) -> String {
    let half = (COLUMNS / 2) as f64;
    let column = |value: f64| {
        let column = (value / reach * half + half).round();
        column
            .clamp(0.0, (COLUMNS - 1) as f64)
            .to_usize()
            .unwrap_or(0)
    };
    let (from, to) = (column(error - expanded), column(error + expanded));
    let (at, zero) = (column(error), COLUMNS / 2);
    (0..COLUMNS)
        .map(|place| match place {
            _ if place == at => '*',
            _ if place == zero => '|',
            _ if (from..=to).contains(&place) => '-',
            _ => ' ',
        })
        .collect()
}

fn judged(judged: &JudgedDocument) -> String {
    say!(
        "calibration.judged",
        norm = words::named("calibration-norm", &judged.norm),
        shape = words::named("criterion-shape", &judged.shape),
        value = um(judged.value_um.abs()),
        limit = um(judged.limit_um),
        simple = verdict_word(&judged.simple),
        guarded = verdict_word(&judged.guarded)
    )
}

fn pair(pair: &PairDocument, plugs: [&str; 2]) -> Vec<String> {
    let on = plugs
        .iter()
        .zip(pair.errors_um.iter().zip(&pair.standard_uncertainties_um))
        .map(|(plug, (error, u))| {
            say!(
                "calibration.on-plug",
                plug = plug,
                error = signed(*error),
                expanded = um(2.0 * u)
            )
        });
    let mut lines: Vec<String> = on.collect();
    lines.push(say!(
        "calibration.between-plugs",
        difference = signed(pair.difference_um),
        expanded = um(2.0 * pair.standard_uncertainty_um),
        simple = verdict_word(&pair.simple),
        guarded = verdict_word(&pair.guarded)
    ));
    lines
}

/// What to measure: a point a line, with the blocks to wring.
pub fn planned(plan: &Planned) -> String {
    let mut lines = vec![say!("calibration.plan").to_owned()];
    for (at, stack) in &plan.points {
        let unit = plan.unit;
        let size = words::value(&Value::bound(*at), words::Shown { unit, decimals: 3 });
        lines.push(match stack {
            _ if at.tenth_nanometres() == 0 => say!("calibration.closed", at = size),
            None => say!("calibration.no-stack", at = size),
            Some(stack) => {
                let blocks = stack
                    .blocks
                    .iter()
                    .filter_map(|index| plan.blocks.get(*index));
                let blocks = blocks.map(|block| number::entered(&block.nominal));
                say!(
                    "calibration.stack",
                    at = size,
                    blocks = blocks.collect::<Vec<_>>().join(" + "),
                    expanded = um(2000.0 * stack.standard_uncertainty())
                )
            }
        });
    }
    lines.push(say!(
        "calibration.gap",
        gap = number::percent(plan.widest_gap)
    ));
    lines.push(String::new());
    lines.join("\n")
}

/// The rule that the verdict was made by.
pub fn rule(worked: &Worked) -> String {
    let (guard, limit) = match &worked.of {
        Of::Micrometer(calibration) => (
            calibration.criterion.guard,
            say!(
                "paper-calibration.criterion",
                shape = words::word(&calibration.criterion.shape),
                limit = fine_um(calibration.criterion.limit.value().mm() * 1000.0)
            ),
        ),
        Of::Pair(check) => (
            check.guard,
            say!(
                "paper-calibration.criterion-of-pair",
                limit = fine_um(check.limit.value().mm() * 1000.0)
            ),
        ),
    };
    match guard {
        Guard::Simple => say!("paper-calibration.rule-simple", criterion = limit),
        Guard::Guarded => say!("paper-calibration.rule-guarded", criterion = limit),
    }
}

fn fine_um(um: f64) -> String {
    format!("{} µm", number::fixed(um, 2))
}

/// What is remarked on a calibration. A curve that was neither shown to keep its criterion nor to be outside it is not called outside.
pub fn notes(result: &CalibratedDocument) -> Vec<Message> {
    let is_open = result
        .found
        .as_ref()
        .is_some_and(|found| found.verdict == Verdict::Undecided.key());
    let told = |note: &Message| match &*note.code {
        FOUND_OUT if is_open => Message::of(FOUND_OPEN),
        _ => note.clone(),
    };
    result.notes.iter().map(told).collect()
}

const FOUND_OUT: &str = "calibration-note.found-out";
const FOUND_OPEN: &str = "calibration-note.found-open";
