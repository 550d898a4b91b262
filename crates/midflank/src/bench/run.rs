//! What a run of a lot asks and shows, in words.

use super::question::Question;
use super::state::State;
use super::words::job_error;
use crate::document::Inspected;
use crate::report::{size, verdict_word};
use crate::say;
use crate::words::InWords as _;
use metrology::inspection::Withheld;
use metrology::lot::Standing;
use workshop::bench::event::OfLot;
use workshop::bench::run::Stop;
use workshop::plan::Way;

/// The piece that a reading is of, with its place: `Piece 8, reading 1 of 6: near the head, 0°.`
pub fn reading(state: &State, index: usize) -> String {
    let Some(run) = state.run() else {
        return String::new();
    };
    let begins = index == 0 && (run.piece.is_none() || !state.readings.is_empty());
    let piece = if begins {
        run.next_piece()
    } else {
        run.piece.clone()
    };
    // More readings may have been taken of the piece before.
    let plan = if begins {
        state.plan_of_next()
    } else {
        state.plan.clone()
    };
    let place = plan.get(index).map_or_else(String::new, crate::words::spot);
    say!(
        "run.question-reading",
        piece = piece.unwrap_or_default(),
        number = index + 1,
        of = plan.len(),
        place = place
    )
}

/// What is asked in a run alone.
pub fn question(state: &State, question: &Question) -> String {
    let Some(run) = state.run() else {
        return String::new();
    };
    let piece = run.piece.clone().unwrap_or_default();
    match question {
        Question::Person => say!("run.question-person").to_owned(),
        Question::Stopped { stop } => match stop {
            Stop::Rejected if state.looks() => {
                let last = run.found.last().map(|found| found.piece.clone());
                say!("run.stop-found", piece = last.unwrap_or_default())
            }
            Stop::Rejected => say!("run.stop-rejected", piece = piece),
            Stop::Undecided => undecided(state, &piece),
            Stop::Incomplete => say!(
                "run.stop-incomplete",
                piece = piece,
                places = left_out(state)
            ),
            Stop::NoSize => {
                let why = state.no_size();
                let why = why.map(|error| job_error(&error, state.drawing_unit()));
                say!(
                    "run.stop-no-size",
                    piece = piece,
                    why = why.unwrap_or_default()
                )
            }
        },
        Question::Settle => say!("run.question-settle").to_owned(),
        Question::With if run.of.way == Way::Gauge => say!("run.question-gauge").to_owned(),
        Question::With => say!("run.question-document").to_owned(),
        Question::Find => {
            let piece = run.next_piece().unwrap_or_default();
            say!("run.question-find", piece = piece, says = says(state))
        }
        _ if run.of.n.is_some_and(|n| run.measured() < n) => say!(
            "run.question-ended",
            characteristic = run.of.number,
            done = run.measured(),
            of = run.of.n.unwrap_or_default()
        ),
        _ => say!(
            "run.question-done",
            n = run.measured(),
            characteristic = run.of.number
        ),
    }
}

/// That a piece is undecided, why where that is not the size itself, and what settles it.
fn undecided(state: &State, piece: &str) -> String {
    let result = state.inspect().and_then(Result::ok);
    let Some((job, result)) = result else {
        return say!("run.stop-undecided", piece = piece);
    };
    match &result.withheld {
        None => say!("run.stop-undecided", piece = piece),
        Some(Withheld::OnePlace) => say!("run.stop-one-place", piece = piece),
        Some(withheld) => {
            let why = crate::words::on_page(withheld, Inspected::of(&job, &result).shown());
            say!("run.stop-withheld", piece = piece, why = why)
        }
    }
}

/// What the plan says of a characteristic that is not measured.
pub fn says(state: &State) -> String {
    let Some(run) = state.run() else {
        return String::new();
    };
    let gauge = run.of.gauge.map(|gauge| crate::words::word(&gauge));
    let told: Vec<String> = gauge.into_iter().chain(run.of.thread.clone()).collect();
    match (&run.of.says, told.as_slice()) {
        (Some(says), _) => says.clone(),
        (None, []) => crate::words::word(&run.of.way),
        (None, told) => told.join(" "),
    }
}

/// How the answer may look.
pub fn hint(state: &State) -> Option<String> {
    let run = state.run()?;
    Some(match run.of.way {
        Way::Gauge if run.with.is_none() => say!("run.hint-gauge").to_owned(),
        Way::Document if run.with.is_none() => say!("run.hint-document").to_owned(),
        Way::Gauge => say!("run.hint-turns").to_owned(),
        _ => say!("run.hint-find").to_owned(),
    })
}

fn left_out(state: &State) -> String {
    let places: Vec<String> = state.left_out.iter().map(crate::words::spot).collect();
    places.join(", ")
}

/// A piece in one line: its size and its verdict.
pub fn verdict(result: &Inspected) -> String {
    let (value, expanded, _) = size(result.size.value, result.size.expanded_uncertainty);
    say!(
        "run.small-verdict",
        size = value,
        uncertainty = expanded,
        unit = result.unit,
        verdict = verdict_word(&result.decision.decision)
    )
}

/// What a zero check made of the pieces before it.
pub fn settled(names: &[String], good: bool, entry: &str) -> String {
    let pieces = names.join(", ");
    if good {
        say!(
            "run.settled-good",
            n = names.len(),
            pieces = pieces,
            entry = entry
        )
    } else {
        say!(
            "run.settled-moved",
            n = names.len(),
            pieces = pieces,
            entry = entry
        )
    }
}

/// What a run comes to that was ended, and what is left of it.
pub fn run_ended(of: &OfLot, standings: &[Standing], n: Option<u64>) -> String {
    let count = |standing| standings.iter().filter(|one| **one == standing).count();
    let done = standings.len();
    let told = say!(
        "run.ended",
        n = done,
        lot = of.lot,
        characteristic = of.number,
        accepted = count(Standing::Accept),
        rejected = count(Standing::Reject),
        undecided = count(Standing::Undecided),
        provisional = count(Standing::Provisional)
    );
    let left = n.map(|n| n.saturating_sub(done as u64));
    let line = format!("{} / {}", of.lot, of.number);
    let next = match left {
        Some(0) => say!("run.ended-done", lot = of.lot),
        Some(left) => say!("run.ended-left", n = left, line = line),
        None => say!("run.ended-open", line = line),
    };
    format!("{told} {next}")
}

/// What the pieces of a characteristic came to, those verdicts that there are; nothing where there is none.
pub fn counted(standings: &[Standing]) -> Option<String> {
    let count = |standing| standings.iter().filter(|one| **one == standing).count();
    let told = [
        (count(Standing::Accept), "accepted"),
        (count(Standing::Reject), "rejected"),
        (count(Standing::Undecided), "undecided"),
        (count(Standing::Provisional), "provisional"),
    ];
    let told = told.into_iter().filter(|(n, _)| *n > 0);
    let counts: Vec<String> = told
        .map(|(n, standing)| match standing {
            "accepted" => say!("run.counted-accepted", n = n),
            "rejected" => say!("run.counted-rejected", n = n),
            "undecided" => say!("run.counted-undecided", n = n),
            _ => say!("run.counted-provisional", n = n),
        })
        .collect();
    (!counts.is_empty()).then(|| say!("run.counted", counts = counts.join(", ")))
}

/// The size and the verdict of a result beside its record.
pub fn sized(outcome: &workshop::lot::Outcome) -> String {
    let (value, expanded, _) = size(outcome.size, outcome.expanded_uncertainty);
    say!(
        "run.small-verdict",
        size = value,
        uncertainty = expanded,
        unit = outcome.unit,
        verdict = verdict_word(outcome.decision)
    )
}
