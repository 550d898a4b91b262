//! The bench page of a run: the question, the piece under the contacts with its small verdict, and what waits for the next
//! zero check.

use maud::{Markup, html};
use workshop::bench::run::{Piece, Run};
use workshop::lot_entry::standing;
use workshop::lots::Matrix;

use super::parts::{Parts, Shown};
use super::{ask, readings};
use crate::bench::{Question, State, Step, View, run as words};
use crate::document::Inspected;
use crate::failure::Failure;
use crate::report::{self, picture, verdict_word};
use crate::say;
use crate::web::app::App;

/// Pieces whose small verdicts stand on the page, the latest.
const SHOWN: usize = 5;

/// Beside the question.
pub fn beside(parts: &Parts, run: &Run) -> Markup {
    html! {
        @if let Some(counts) = &parts.counts { p role="status" { (counts) } }
        (pieces(parts, run))
        (carried(parts, run))
        @match parts.question.step() {
            Step::SetUp if parts.question.chooses() => { (ask::choices(parts)) (ask::limits(parts.state)) }
            Step::SetUp => (ask::limits(parts.state)),
            Step::Zero | Step::ClosingZero => (readings::zero(parts)),
            _ if parts.state.readings.is_empty() => {}
            _ => {
                // The question is about the next piece already.
                @if let Some(piece) = run.piece.as_ref().filter(|_| parts.state.piece_is_complete()) {
                    p class="soft" { (say!("run.readings-of", piece = piece)) }
                }
                (readings::list(parts))
            }
        }
        (gauge(run))
    }
}

/// The gauge as the register describes it, and what its status makes of the results.
fn gauge(run: &Run) -> Markup {
    let notes = report::found::notes(&run.notes);
    html! {
        @if let Some(gauge) = &run.gauge { p class="soft" translate="no" { (report::found::described(gauge, &run.notes)) } }
        @if !notes.is_empty() { ul class="warnings" { @for note in notes { li { (note) } } } }
    }
}

/// Where the run is: lot, characteristic, how many pieces, who measures, and when the zero is checked next.
fn carried(parts: &Parts, run: &Run) -> Markup {
    let waiting = parts.state.pieces_since_check();
    let n = run.of.n.map(|n| n.to_string());
    let person = parts.state.person.as_deref().unwrap_or_default();
    html! {
        p class="soft run" role="status" {
            (say!("run.where", lot = run.of.lot, characteristic = run.of.number)) " · "
            @match n {
                Some(n) => (say!("run.measured-of", n = parts.state.pieces_measured(), of = n)),
                None => (say!("run.measured", n = parts.state.pieces_measured())),
            }
            " · " span translate="no" { (person) }
            @if run.of.way.is_measured() { " · " (say!("run.since-check", n = waiting, every = run.every())) }
        }
    }
}

/// The latest pieces since the last check, each with its size and a verdict in outline.
fn pieces(parts: &Parts, run: &Run) -> Markup {
    let open = parts.state.open_pieces();
    let under = run
        .piece
        .as_deref()
        .filter(|_| !parts.state.piece_is_complete());
    let done: Vec<&Piece> = open
        .iter()
        .filter(|piece| under != Some(piece.name.as_str()))
        .collect();
    let found = run.found.iter().rev().take(SHOWN);
    html! {
        ol class="small-verdicts" aria-label=(say!("run.waiting")) {
            @for piece in done.iter().rev().take(SHOWN) { (small(parts, piece)) }
            @for one in found {
                li {
                    strong translate="no" { (one.piece) } " "
                    @let verdict = standing(one.conforms, &run.notes).key();
                    span class=(format!("judged {verdict}")) { (picture::mark(verdict)) (verdict_word(verdict)) }
                    @if let Some(note) = &one.note { " " span class="soft" { (note) } }
                }
            }
        }
    }
}

fn small(parts: &Parts, piece: &Piece) -> Markup {
    let inspected = parts.state.inspect_piece(piece);
    let result = inspected.and_then(|(job, result)| Some(Inspected::of(&job, &result.ok()?)));
    let missing = parts.state.missing_places(piece);
    html! {
        li {
            strong translate="no" { (piece.name) } " "
            @if let Some(result) = result {
                @let verdict = result.decision.decision.as_str();
                span class=(format!("judged provisional {verdict}")) { (picture::mark(verdict)) (words::verdict(&result)) }
                " " span class="soft" { (say!("run.provisional")) }
            } @else { span class="judged undecided" { (picture::mark("undecided")) (say!("run.no-size")) } }
            @if !missing.is_empty() {
                " " span class="soft" { (say!("run.not-measured", places = missing.iter().map(crate::words::spot).collect::<Vec<_>>().join(", "))) }
            }
        }
    }
}

/// The pieces of the lot, where they were asked for.
pub fn asked(app: &App, state: &State, shown: &Shown) -> Result<Option<Matrix>, Failure> {
    let Some(run) = state.run().filter(|_| shown.view == Some(View::Pieces)) else {
        return Ok(None);
    };
    let known = app.of_lot(&run.of.lot)?;
    Ok(known.map(|(_, matrix, _)| matrix))
}

/// Whether the picture of the part belongs beside the question.
pub const fn has_picture(question: &Question) -> bool {
    !matches!(
        question,
        Question::Find | Question::With | Question::RunDone
    )
}
