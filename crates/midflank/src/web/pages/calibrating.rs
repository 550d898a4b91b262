//! The bench page of a calibration: the blocks to wring for each point, the readings as they land, and then the error curve with
//! its verdicts and the status that follows.

use maud::{Markup, html};
use metrology::calibration::{WIDE_GAP, widest_gap};
use metrology::decision::Verdict;
use workshop::Error;
use workshop::bench::calibration::{Ask, Calibrating, On, OnBlocks, READINGS};
use workshop::bench::finish;
use workshop::gauge_record::calibrated::CalibratedDocument;
use workshop::gauge_record::calibration::{Of, Worked};
use workshop::gauge_record::piece::PieceKind;
use workshop::gauge_record::status::{Set, Status};
use workshop::gauge_room::calibration::{self, Shows, usual_turn};
use workshop::status;

use super::gauge_room::{begin_with, error_curve, faces, judged_table, notes, point_table};
use super::judged::{um, verdict};
use super::parts::{Parts, hidden, under_way};
use super::{ask, pair_check};
use crate::bench::state::End;
use crate::bench::{Question, Step, calibrating as own, words};
use crate::failure::Failure;
use crate::report::calibrated::{receipt, wide};
use crate::report::{picture, sentence, verdict_word};
use crate::say;
use crate::words::{self as in_words, number};

/// The calibration with its result as far as it is measured.
pub type Calibrated = Result<(Worked, CalibratedDocument), Error>;

/// Beside the question.
pub fn beside(parts: &Parts, calibrating: &Calibrating, calibrated: Option<&Calibrated>) -> Markup {
    html! {
        @match (&parts.question, &calibrating.of) {
            (Question::Instrument, _) => (ask::choices(parts)),
            (Question::Calibration(Ask::Blocks), _) => (sets(parts)),
            (Question::Calibration(Ask::Points), On::Blocks(on)) => (proposed(on)),
            (Question::Calibration(Ask::FirstPlug | Ask::SecondPlug), On::Plugs(on)) => (pair_check::plugs(parts, on)),
            (Question::Calibration(Ask::FirstPitch | Ask::SecondPitch), On::Plugs(on)) => (pair_check::marked(on)),
            (Question::Reading { .. } | Question::Again { .. } | Question::Flagged { .. }, of) => {
                @if let On::Blocks(on) = of { (gap(on)) }
                (read(parts, calibrating))
            }
            (question, _) if question.step() == Step::SetUp => {}
            _ => @match calibrated {
                Some(Ok(calibrated)) => (concluded(parts, calibrated)),
                Some(Err(error)) => p class="refusal" role="alert" { (sentence(&in_words::error_on_page(error))) },
                None => (read(parts, calibrating)),
            },
        }
    }
}

/// What was read so far.
fn read(parts: &Parts, calibrating: &Calibrating) -> Markup {
    match &calibrating.of {
        On::Blocks(on) => points(parts, calibrating, on),
        On::Plugs(on) => pair_check::readings(parts, calibrating, on),
    }
}

/// The error curve, or the errors on both plugs, as soon as there are some.
pub fn picture(parts: &Parts, calibrated: Option<&Calibrated>) -> Result<Markup, Failure> {
    let Some(Ok((worked, result))) = calibrated else {
        return Ok(html! {});
    };
    let mut before = calibration::of(&parts.app.ledger, &worked.piece())?;
    before.retain(|one| one.worked.heading.number != worked.heading.number);
    let shown = result.left.as_ref().or(result.found.as_ref());
    Ok(html! {
        h2 { @match &worked.of { Of::Micrometer(_) => (say!("calibrate.curve")), Of::Pair(_) => (say!("pair-check.errors")) } }
        (error_curve(worked, result, before.last()))
        (pair_check::picture(worked, result, before.last()))
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
fn proposed(on: &OnBlocks) -> Markup {
    let (made, left_out) = on.usual();
    let unit = on.unit();
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
                    td { (own::blocks(on, stack).unwrap_or_else(|| say!("calibrate.faces-closed").to_owned())) }
                    td class="number" { (um(2000.0 * stack.standard_uncertainty())) }
                } } }
            }
        }
    }
}

/// How well the points are spread over a turn of the thimble.
fn gap(on: &OnBlocks) -> Markup {
    let gap = on.gap();
    html! {
        @if gap > 0.999 { p class="doubt" role="status" { (say!("calibrate.one-phase")) } }
        @else { p class="soft" { (say!("calibration.gap", gap = number::percent(gap))) } }
    }
}

/// Every point with what to wring and what was read.
fn points(parts: &Parts, calibrating: &Calibrating, on: &OnBlocks) -> Markup {
    let state = parts.state;
    let unit = on.unit();
    let first = on.found.unwrap_or(0);
    let now = under_way(parts, calibrating);
    let planned = (state.plan.len() - first.min(state.plan.len())).div_ceil(READINGS);
    html! {
        div class="wide" tabindex="0" role="region" aria-label=(say!("calibrate.points-label")) {
            table class="points" aria-label=(say!("calibrate.points-label")) {
                thead { tr {
                    th scope="col" class="number" { (say!("calibrate.point-head")) }
                    th scope="col" { (say!("calibrate.blocks-head")) }
                    th scope="col" { (words::readings_so_far()) }
                } }
                tbody { @for (index, (at, stack)) in on.points.iter().take(planned).enumerate() {
                    @let read = state.readings.iter().skip(first + index * READINGS).take(READINGS);
                    tr class=[(now == Some(index)).then_some("now")] aria-current=[(now == Some(index)).then_some("step")] {
                        td class="number" { (own::size(*at, unit)) }
                        td { (own::blocks(on, stack).unwrap_or_else(|| say!("calibrate.faces-closed").to_owned())) }
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
fn recorded_status(parts: &Parts, worked: &Worked) -> Option<&'static str> {
    let changes = status::changes(&parts.app.ledger, Some(&worked.piece())).ok()?;
    let set = changes.last()?.change.set()?;
    let apart = apart_in_register(parts, worked, set);
    Some(apart.map_or_else(|| in_words::name(&set), |apart| in_words::name(&apart)))
}

/// How the register sets a piece apart that the gauge room has in use: the status does not change that.
fn apart_in_register(parts: &Parts, worked: &Worked, set: Set) -> Option<Status> {
    let piece = worked.piece();
    let kind = piece.kind().and_then(PieceKind::registered)?;
    let known = parts.table.register.find(kind, &piece.id)?;
    let apart = Status::apart(known.described.state())?;
    matches!(set, Set::InUse | Set::Limited).then_some(apart)
}

/// The status that follows from the signature, by all that is on the record, and why it is another than the verdict alone would
/// make it.
fn will_be(parts: &Parts, calibrated: &(Worked, CalibratedDocument)) -> Markup {
    let (worked, result) = calibrated;
    let Ok(shows) = finish::shows(&parts.app.ledger, parts.state, calibrated) else {
        return html! {};
    };
    let Some(shows) = shows else {
        return html! { p { strong { (say!("calibrate.history")) } } };
    };
    let apart = apart_in_register(parts, worked, shows.sets());
    let status = match apart {
        Some(apart) => in_words::name(&apart),
        None => in_words::name(&shows.sets()),
    };
    let why = match shows {
        _ if apart.is_some() => Some(say!("calibrate.apart-in-register").to_owned()),
        Shows::GoodInPart => Some(say!("calibrate.good-in-part").to_owned()),
        Shows::GoodBefore { on, .. } => Some(say!("calibrate.good-before", on = on)),
        Shows::Good | Shows::Undecided | Shows::Out => None,
    };
    let has_curve = matches!(worked.of, Of::Micrometer(_)) && result.is_good();
    html! {
        p {
            strong { (say!("calibrate.will-be", status = status)) }
            @if let Some(why) = why { " " (why) }
            @if has_curve { " " (say!("calibrate.curve-goes")) }
        }
    }
}

/// Verdict, what it is held against, the faces, and what follows when it is signed.
fn concluded(parts: &Parts, calibrated: &(Worked, CalibratedDocument)) -> Markup {
    let (worked, result) = calibrated;
    let final_now = matches!(
        parts.question,
        Question::Sign | Question::Finish | Question::Recorded
    );
    let key = &result.verdict;
    let shown = result.left.as_ref().or(result.found.as_ref());
    // What was found out may have touched results.
    let as_found = result.found.as_ref().map_or(key, |found| &found.verdict);
    let piece = worked.piece();
    let out = piece.kind().filter(|_| as_found == Verdict::Reject.key());
    let recall = out.and_then(|kind| begin_with(kind, &piece.id));
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
            (pair_check::found(worked, result))
            @match &parts.state.end {
                Some(End::Recorded(entry)) => p class="recorded" {
                    @match recorded_status(parts, worked) {
                        Some(status) => (say!("calibrate.recorded", status = status)),
                        None => (say!("calibrate.recorded-alone")),
                    }
                    " " a href=(format!("/record/{entry}")) translate="no" { (entry) } ". "
                    a href=(super::gauge_room::address_of(&piece)) { (say!("calibrate.to-the-piece", id = piece.id)) }
                },
                _ => (will_be(parts, calibrated)),
            }
            (notes(result))
            @if let Some(wide) = wide(worked, result) { p class="doubt" { (sentence(&wide)) } }
            p { (say!("calibrate.receipt", receipt = receipt(worked))) }
            @if matches!(parts.question, Question::Sign) {
                p class="soft" { (say!("calibrate.receipt-hint", received = say!("calibrate.received-example"), condition = say!("calibrate.condition-example"))) }
            }
            @if let Some(recall) = recall { p { a href=(recall) { (say!("recall-case.begin")) } } }
            p class=(if result.traceability.key() == NOT_SHOWN { "doubt" } else { "soft" }) { (in_words::said(&result.traceability)) }
        }
    }
}

/// The code of a certificate that nothing shows the traceability of.
const NOT_SHOWN: &str = "not-shown";
