//! The bench page of a calibration: the blocks to wring for each point, the readings as they land, and then the error curve with
//! its verdicts and the status that follows.

use maud::{Markup, html};
use metrology::calibration::{WIDE_GAP, widest_gap};
use metrology::decision::Verdict;
use workshop::Error;
use workshop::bench::calibration::{Ask, Calibrating, READINGS};
use workshop::gauge_record::calibrated::CalibratedDocument;
use workshop::gauge_record::calibration::Worked;
use workshop::gauge_record::piece::PieceKind;
use workshop::gauge_record::status::Set;
use workshop::gauge_room::calibration;
use workshop::gauge_room::calibration::usual_turn;
use workshop::status;

use super::gauge_room::{
    begin_with, error_curve, faces, judged_table, notes, point_table, um, verdict,
};
use super::parts::{Parts, hidden};
use crate::bench::state::End;
use crate::bench::{Question, Step, calibrating as own, words};
use crate::failure::Failure;
use crate::report::calibrated::receipt;
use crate::report::{picture, sentence, verdict_word};
use crate::say;
use crate::words::{self as in_words, number};

/// The calibration with its result as far as it is measured.
pub type Calibrated = Result<(Worked, CalibratedDocument), Error>;

/// Beside the question.
pub fn beside(parts: &Parts, calibrating: &Calibrating, calibrated: Option<&Calibrated>) -> Markup {
    html! {
        @match &parts.question {
            Question::Calibration(Ask::Blocks) => (sets(parts)),
            Question::Calibration(Ask::Points) => (proposed(calibrating)),
            Question::Reading { .. } | Question::Again { .. } | Question::Flagged { .. } => { (gap(calibrating)) (points(parts, calibrating)) }
            question if question.step() == Step::SetUp => {}
            _ => @match calibrated {
                Some(Ok((worked, result))) => (concluded(parts, worked, result)),
                Some(Err(error)) => p class="refusal" role="alert" { (sentence(&in_words::error_on_page(error))) },
                None => (points(parts, calibrating)),
            },
        }
    }
}

/// The error curve, as soon as there is one.
pub fn picture(parts: &Parts, calibrated: Option<&Calibrated>) -> Result<Markup, Failure> {
    let Some(Ok((worked, result))) = calibrated else {
        return Ok(html! {});
    };
    let mut before = calibration::of(&parts.app.ledger, &worked.piece())?;
    before.retain(|one| one.worked.heading.number != worked.heading.number);
    let shown = result.left.as_ref().or(result.found.as_ref());
    Ok(html! {
        h2 { (say!("calibrate.curve")) }
        (error_curve(worked, result, before.last()))
        @if let Some(curve) = shown { (point_table(say!("calibrate.curve"), curve)) }
    })
}

/// Sets of blocks to choose from.
fn sets(parts: &Parts) -> Markup {
    html! {
        @if parts.table.blocks.is_empty() { p { (say!("calibrate.no-sets")) } }
        @else {
            form class="choices" method="post" action="/answer" {
                (hidden(parts))
                ol { @for (index, owned) in parts.table.blocks.iter().enumerate() {
                    li class=(if owned.may_be_used() { "" } else { "unfit" }) {
                        @let what = say!("calibrate.set", n = owned.set.blocks.len(), certificate = owned.set.certificate.as_deref().unwrap_or_default());
                        @if owned.may_be_used() {
                            button name="line" value=(owned.set.id) { span class="nth" { (index + 1) } " " strong class="id" translate="no" { (owned.set.id) } " " span class="soft" { (what) } }
                        } @else {
                            span class="nth" { (index + 1) } " " s class="id" translate="no" { (owned.set.id) } " " (in_words::word(&owned.status))
                        }
                    }
                } }
            }
        }
    }
}

/// The usual points with the stacks that make them.
fn proposed(calibrating: &Calibrating) -> Markup {
    let (made, left_out) = calibrating.usual();
    let unit = calibrating.unit();
    let points: Vec<_> = made.iter().map(|(at, _)| *at).collect();
    let is_around = widest_gap(&points, usual_turn(unit).value()) <= WIDE_GAP;
    html! {
        p { (say!("calibrate.proposed")) @if is_around { " " (say!("calibrate.around-the-turn")) } }
        @if *left_out > 0 { p class="doubt" { (say!("calibrate.not-made", n = left_out)) } }
        div class="wide" tabindex="0" role="region" aria-label=(say!("calibrate.proposed-label")) {
            table aria-label=(say!("calibrate.proposed-label")) {
                thead { tr { th scope="col" class="number" { (say!("calibrate.point-head")) } th scope="col" { (say!("calibrate.blocks-head")) } th scope="col" class="number" { (say!("calibrate.stack-head")) } } }
                tbody { @for (at, stack) in made { tr {
                    td class="number" { (own::size(*at, unit)) }
                    td { (own::blocks(calibrating, stack).unwrap_or_else(|| say!("calibrate.faces-closed").to_owned())) }
                    td class="number" { (um(2000.0 * stack.standard_uncertainty())) }
                } } }
            }
        }
    }
}

/// How well the points are spread over a turn of the thimble.
fn gap(calibrating: &Calibrating) -> Markup {
    let gap = calibrating.gap();
    html! {
        @if gap > 0.999 { p class="doubt" role="status" { (say!("calibrate.one-phase")) } }
        @else { p class="soft" { (say!("calibration.gap", gap = number::percent(gap))) } }
    }
}

/// Every point with what to wring and what was read.
fn points(parts: &Parts, calibrating: &Calibrating) -> Markup {
    let state = parts.state;
    let unit = calibrating.unit();
    let first = calibrating.found.unwrap_or(0);
    let now = match &parts.question {
        Question::Reading { index } => Some(calibrating.place(*index).0),
        Question::Again { of } | Question::Flagged { of } => {
            let index = state.readings.iter().position(|one| one.number == *of);
            index.map(|index| calibrating.place(index).0)
        }
        _ => None,
    };
    let planned = (state.plan.len() - first.min(state.plan.len())).div_ceil(READINGS);
    html! {
        div class="wide" tabindex="0" role="region" aria-label=(say!("calibrate.points-label")) {
            table class="points" aria-label=(say!("calibrate.points-label")) {
                thead { tr {
                    th scope="col" class="number" { (say!("calibrate.point-head")) }
                    th scope="col" { (say!("calibrate.blocks-head")) }
                    th scope="col" { (words::readings_so_far()) }
                } }
                tbody { @for (index, (at, stack)) in calibrating.points.iter().take(planned).enumerate() {
                    @let read = state.readings.iter().skip(first + index * READINGS).take(READINGS);
                    tr class=[(now == Some(index)).then_some("now")] aria-current=[(now == Some(index)).then_some("step")] {
                        td class="number" { (own::size(*at, unit)) }
                        td { (own::blocks(calibrating, stack).unwrap_or_else(|| say!("calibrate.faces-closed").to_owned())) }
                        td { @for (nth, reading) in read.enumerate() {
                            @if nth > 0 { " · " }
                            @for earlier in &reading.earlier { s { (words::spaced(earlier)) } " " }
                            span class=(if reading.flag.is_some() { "value flagged" } else { "value" }) { (words::spaced(&reading.shown)) }
                        } }
                    }
                } }
            }
        }
    }
}

/// The status that a piece has now.
fn recorded_status(parts: &Parts, worked: &Worked) -> Option<Set> {
    let changes = status::changes(&parts.app.ledger, Some(&worked.piece())).ok()?;
    changes.last()?.change.set()
}

/// Verdict, what it is held against, the faces, and what follows when it is signed.
fn concluded(parts: &Parts, worked: &Worked, result: &CalibratedDocument) -> Markup {
    let final_now = matches!(
        parts.question,
        Question::Sign | Question::Finish | Question::Recorded
    );
    let key = &result.verdict;
    let set = if result.is_good() {
        Set::InUse
    } else {
        Set::Quarantined
    };
    // What the record made of it may be another: somebody may have set the piece apart meanwhile.
    let set = match &parts.state.end {
        Some(End::Recorded(_)) => recorded_status(parts, worked).unwrap_or(set),
        _ => set,
    };
    let shown = result.left.as_ref().or(result.found.as_ref());
    // What was found out may have touched results.
    let out = result
        .found
        .as_ref()
        .filter(|found| found.verdict == Verdict::Reject.key());
    let recall = out.and_then(|_| begin_with(PieceKind::Instrument, &worked.piece().id));
    html! {
        section aria-label=(words::verdict()) {
            p class=(format!("judged lot-verdict {key}{}", if final_now { "" } else { " provisional" })) role="status" {
                (picture::mark(key)) (verdict_word(key))
            }
            @if let Some(found) = result.found.as_ref().filter(|_| result.left.is_some()) {
                p { (say!("calibrate.as-found")) " " (verdict(&found.verdict)) }
            }
            @if let Some(curve) = shown { (judged_table(&curve.judged)) }
            (faces(result))
            @match &parts.state.end {
                Some(End::Recorded(entry)) => p class="recorded" {
                    (say!("calibrate.recorded", status = in_words::word(&set))) " " a href=(format!("/record/{entry}")) translate="no" { (entry) } ". "
                    a href=(super::gauge_room::address_of(&worked.piece())) { (say!("calibrate.to-the-piece", id = worked.piece().id)) }
                },
                _ => p { strong { (say!("calibrate.will-be", status = in_words::word(&set))) } " " @if result.is_good() { (say!("calibrate.curve-goes")) } },
            }
            (notes(result))
            p { (say!("calibrate.receipt", receipt = receipt(worked))) }
            @if matches!(parts.question, Question::Sign) {
                p class="soft" { (say!("calibrate.receipt-hint", received = say!("calibrate.received-example"), condition = say!("calibrate.condition-example"))) }
            }
            @if let Some(recall) = recall { p { a href=(recall) { (say!("recall-case.begin")) } } }
            p class="soft" { (in_words::said(&result.traceability)) }
        }
    }
}
