//! What a calibration at the bench asks and shows, in words.

use metrology::calibration::Stack;
use metrology::units::{Entered, Length, LengthUnit};
use workshop::bench::calibration::plugs::PLUGS;
use workshop::bench::calibration::{Ask, Calibrating, On, OnBlocks, OnPlugs, READINGS};

use super::question::Question;
use super::state::State;
use crate::say;
use crate::words::number;

/// What is on the bench.
pub fn job(calibrating: &Calibrating) -> String {
    match &calibrating.of {
        On::Blocks(_) => say!("calibrate.job", id = calibrating.id()),
        On::Plugs(_) => say!("pair-check.job", id = calibrating.id()),
    }
}

/// What is asked, in a full sentence.
fn asked(ask: Ask) -> String {
    crate::words::word(&ask)
}

/// How an answer may look.
pub fn hint(ask: Ask) -> &'static str {
    match ask {
        Ask::Blocks => say!("calibrate.hint-blocks"),
        Ask::FirstPlug | Ask::SecondPlug => say!("pair-check.hint-plug"),
        Ask::FirstPitch | Ask::SecondPitch => say!("pair-check.hint-pitch"),
        Ask::Limit => say!("pair-check.hint-limit"),
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
pub fn blocks(on: &OnBlocks, stack: &Stack) -> Option<String> {
    let set = on.set.as_ref()?;
    let unit = on.unit();
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

/// The reading that is asked for.
fn reading(state: &State, calibrating: &Calibrating, index: usize) -> String {
    let place = calibrating.place(index);
    match &calibrating.of {
        On::Blocks(on) => on_blocks(state, on, place),
        On::Plugs(on) => on_plug(on, place),
    }
}

/// Which plug, and which of the readings on it.
fn on_plug(on: &OnPlugs, (plug, reading): (usize, usize)) -> String {
    let Some(Some(standard)) = on.plugs().get(plug) else {
        return String::new();
    };
    say!(
        "pair-check.reading",
        plug = plug + 1,
        plugs = PLUGS.len(),
        id = standard.id,
        number = reading + 1,
        of = READINGS
    )
}

/// Which point, what to wring, and which of its readings.
fn on_blocks(state: &State, on: &OnBlocks, (point, reading): (usize, usize)) -> String {
    let Some((at, stack)) = on.points.get(point) else {
        return String::new();
    };
    let points = match on.found {
        Some(found) => found.div_ceil(READINGS),
        None => state.plan.len().div_ceil(READINGS),
    };
    let at = size(*at, on.unit());
    let of = say!("calibrate.point", point = point + 1, points = points);
    let what = match blocks(on, stack) {
        Some(blocks) => say!("calibrate.wring", blocks = blocks, at = at),
        None => say!("calibrate.closed", at = at),
    };
    let reading = say!("calibrate.reading", number = reading + 1, of = READINGS);
    let asked = format!("{of}: {what}, {reading}");
    if on.found.is_some() {
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
        Question::Sign => Some(match &calibrating.of {
            On::Blocks(_) => say!("calibrate.question-sign").to_owned(),
            On::Plugs(_) => say!("pair-check.question-sign").to_owned(),
        }),
        Question::Instrument => Some(say!("pair-check.question-micrometer").to_owned()),
        _ => None,
    }
}

/// A reading that was taken, by its place.
fn named(calibrating: &Calibrating, index: usize) -> String {
    let (place, reading) = calibrating.place(index);
    let number = reading + 1;
    match &calibrating.of {
        On::Blocks(on) => {
            let at = on.points.get(place).map(|(at, _)| size(*at, on.unit()));
            say!(
                "calibrate.reading-at",
                number = number,
                at = at.unwrap_or_default()
            )
        }
        On::Plugs(on) => {
            let plug = on.plugs().get(place).and_then(Option::as_ref);
            let id = plug.map_or("", |plug| &plug.id);
            say!("pair-check.reading-on", number = number, id = id)
        }
    }
}
