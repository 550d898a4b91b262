//! What a calibration at the bench asks and shows, in words.

use metrology::calibration::Stack;
use metrology::units::{Entered, Length, LengthUnit};
use workshop::bench::calibration::{Ask, Calibrating, READINGS};

use super::question::Question;
use super::state::State;
use crate::say;
use crate::words::number;

/// What is on the bench.
pub fn job(calibrating: &Calibrating) -> String {
    say!("calibrate.job", id = calibrating.of.instrument.id)
}

/// What is asked, in a full sentence.
fn asked(ask: Ask) -> String {
    crate::words::word(&ask)
}

/// How an answer may look.
pub fn hint(ask: Ask) -> &'static str {
    match ask {
        Ask::Blocks => say!("calibrate.hint-blocks"),
        Ask::Criterion => say!("calibrate.hint-criterion"),
        Ask::Number => say!("calibrate.hint-number"),
        Ask::Issuer => say!("calibrate.hint-issuer"),
        Ask::Procedure => say!("calibrate.hint-procedure"),
        Ask::Temperature => say!("calibrate.hint-temperature"),
        Ask::Points => say!("calibrate.hint-points"),
        Ask::Flatness => say!("calibrate.hint-flatness"),
        Ask::Parallelism => say!("calibrate.hint-parallelism"),
        Ask::Adjusted => say!("calibrate.hint-adjusted"),
        Ask::Due => say!("calibrate.hint-due"),
    }
}

/// A size as it is stated, without zeros at the end.
pub fn size(at: Length, unit: LengthUnit) -> String {
    number::stated_length(at.mm(), unit)
}

/// The blocks to wring, the longest first; none where the faces are closed on each other.
pub fn blocks(calibrating: &Calibrating, stack: &Stack) -> Option<String> {
    let set = calibrating.set.as_ref()?;
    let unit = calibrating.unit();
    let blocks = stack
        .blocks
        .iter()
        .filter_map(|index| set.blocks.get(*index));
    let size = |nominal: &Entered| {
        if nominal.unit() == unit {
            number::localized(&nominal.number().to_string())
        } else {
            number::entered(nominal)
        }
    };
    let blocks: Vec<String> = blocks.map(|block| size(&block.nominal)).collect();
    (!blocks.is_empty()).then(|| format!("{} {unit}", blocks.join(" + ")))
}

/// The reading that is asked for: which point, what to wring, and which of its readings.
fn reading(state: &State, calibrating: &Calibrating, index: usize) -> String {
    let (point, reading) = calibrating.place(index);
    let Some((at, stack)) = calibrating.points.get(point) else {
        return String::new();
    };
    let points = match calibrating.found {
        Some(found) => found.div_ceil(READINGS),
        None => state.plan.len().div_ceil(READINGS),
    };
    let at = size(*at, calibrating.unit());
    let of = say!("calibrate.point", point = point + 1, points = points);
    let what = match blocks(calibrating, stack) {
        Some(blocks) => say!("calibrate.wring", blocks = blocks, at = at),
        None => say!("calibrate.closed", at = at),
    };
    let reading = say!("calibrate.reading", number = reading + 1, of = READINGS);
    let asked = format!("{of}: {what}, {reading}");
    if calibrating.found.is_some() {
        say!("calibrate.left", asked = asked)
    } else {
        asked
    }
}

/// What is asked in a calibration alone, or in other words than of a part.
pub fn question(state: &State, calibrating: &Calibrating, question: &Question) -> Option<String> {
    let of_reading = |of: u64| {
        let index = state.readings.iter().position(|one| one.number == of);
        index.map(|index| named(calibrating, index))
    };
    match question {
        Question::Calibration(ask) => Some(asked(*ask)),
        Question::Reading { index } => Some(reading(state, calibrating, *index)),
        Question::Again { of } => {
            of_reading(*of).map(|reading| say!("bench.question-again", reading = reading))
        }
        Question::Flagged { of } => {
            of_reading(*of).map(|reading| say!("bench.question-flagged", reading = reading))
        }
        Question::Sign => Some(say!("calibrate.question-sign").to_owned()),
        _ => None,
    }
}

/// A reading that was taken, by its place.
fn named(calibrating: &Calibrating, index: usize) -> String {
    let (point, reading) = calibrating.place(index);
    let at = calibrating.points.get(point);
    let at = at.map_or_else(String::new, |(at, _)| size(*at, calibrating.unit()));
    say!("calibrate.reading-at", number = reading + 1, at = at)
}
