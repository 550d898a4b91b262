//! A study at the bench, in words: whose turn it is, and with which part.

use workshop::bench::study::Studying;

use super::question::Question;
use super::state::State;
use crate::say;
use crate::words;

/// What is on the bench.
pub fn job(studying: &Studying) -> String {
    let kind = words::word(&studying.plan.kind);
    say!("study-run.job", kind = kind)
}

/// Which reading is asked for: `Reading 7 of 16`.
pub fn place(state: &State, question: &Question) -> Option<String> {
    let index = match question {
        Question::Reading { index } => *index,
        Question::Again { of } | Question::Flagged { of } => {
            state.readings.iter().position(|one| one.number == *of)?
        }
        _ => return None,
    };
    let of = state.plan.len();
    Some(say!("study-run.reading-of", number = index + 1, of = of))
}

/// Whose turn it is: `Anna: part 7 (reading 3 of 90)`.
fn turn(studying: &Studying, index: usize, of: usize) -> String {
    let (operator, part) = studying.turn(index).unwrap_or_default();
    say!(
        "study-run.turn",
        operator = operator,
        part = part,
        number = index + 1,
        of = of
    )
}

/// What is asked in a study alone, or in other words than of a part.
pub fn question(state: &State, studying: &Studying, question: &Question) -> Option<String> {
    let of = state.plan.len();
    let of_reading = |event: u64| {
        let index = state.readings.iter().position(|one| one.number == event);
        index.map(|index| turn(studying, index, of))
    };
    match question {
        Question::Reading { index } => Some(turn(studying, *index, of)),
        Question::Again { of } => of_reading(*of).map(|turn| say!("study-run.again", turn = turn)),
        Question::Flagged { of } => {
            of_reading(*of).map(|turn| say!("study-run.flagged", turn = turn))
        }
        Question::Sign => Some(say!("study-run.question-sign").to_owned()),
        Question::Recorded => Some(say!("study-run.question-recorded").to_owned()),
        _ => None,
    }
}
