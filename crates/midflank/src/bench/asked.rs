//! What the bench asks and shows of a job as it stands, each sentence by its code.

use metrology::inspection::{Made, Service};
use metrology::units::LengthUnit;

use super::answer::{Command, Offer, Unstated};
use super::event::{Stated, When};
use super::last_part::LastPart;
use super::question::{Question, Step};
use super::state::State;
use super::words::{detail, small_length, spaced};
use super::zero::{CLOSURES, Doubt};
use super::{calibrating, studying};
use crate::report::range;
use crate::say;
use crate::words::number;
use workshop::bench::run::Stop;

/// What stands before the size that one reading gives: a reading of a wall gives an inside diameter, one over wires a pitch
/// diameter, any other the same size, corrected.
pub fn gives(state: &State) -> &'static str {
    let feature = state
        .target
        .as_ref()
        .and_then(|target| target.feature.as_ref());
    match feature {
        Some(reckoned) if reckoned.measurand().is_reckoned() => crate::words::name(reckoned),
        _ if state.over_wires() => say!("bench.gives-pitch-diameter"),
        _ => say!("bench.gives-corrected"),
    }
}

pub fn step(step: Step) -> &'static str {
    match step {
        Step::Part => say!("bench.step-part"),
        Step::SetUp => say!("bench.step-set-up"),
        Step::Zero => say!("bench.step-zero"),
        Step::Readings => say!("bench.step-readings"),
        Step::Verdict => say!("bench.step-verdict"),
        Step::ClosingZero => say!("bench.step-closing-zero"),
        Step::Close => say!("bench.step-close"),
    }
}

fn feature(state: &State) -> &str {
    let stated = state.feature.as_ref();
    stated
        .and_then(|stated| stated.feature.as_deref())
        .unwrap_or_default()
}

/// What is asked, in a full sentence.
pub fn question(state: &State, question: &Question) -> String {
    let calibrating = state.calibrating();
    let of_calibration = calibrating.and_then(|one| calibrating::question(state, one, question));
    let studying = state.studying();
    let of_study = studying.and_then(|one| studying::question(state, one, question));
    of_calibration
        .or(of_study)
        .unwrap_or_else(|| of_part(state, question))
}

/// The same of a part or a lot, and what is asked in every job.
fn of_part(state: &State, question: &Question) -> String {
    let standard = || {
        state
            .standard
            .as_ref()
            .map_or_else(String::new, |standard| {
                let certified = spaced(&standard.size);
                let shown = state.display_unit();
                if standard.size.unit() == shown {
                    format!("{} ({certified})", standard.id)
                } else {
                    let decimals = if shown == LengthUnit::Inch { 5 } else { 4 };
                    let converted = number::rounded(standard.size.value(), shown, decimals);
                    format!("{} ({certified}, {converted}\u{202f}{shown})", standard.id)
                }
            })
    };
    let reading_place = |of: &u64| {
        let index = state.readings.iter().position(|one| one.number == *of);
        match (index, state.reading(*of)) {
            (Some(index), Some(reading)) => {
                say!(
                    "bench.reading-named",
                    number = index + 1,
                    place = crate::words::spot(&reading.spot)
                )
            }
            _ => say!("bench.reading-unnamed").to_owned(),
        }
    };
    match question {
        Question::Designation => say!("bench.question-designation").to_owned(),
        Question::Detail(asked) => detail::asked(feature(state), asked.key()).0,
        Question::Name => say!("bench.question-name").to_owned(),
        Question::Drawing => say!("bench.question-drawing").to_owned(),
        Question::Lot if state.lot_before.is_some() => {
            say!("bench.question-next-sample").to_owned()
        }
        Question::Lot => say!("bench.question-lot").to_owned(),
        Question::Rule => say!("bench.question-rule").to_owned(),
        Question::Service => say!("bench.question-service").to_owned(),
        Question::Instrument if offers_set_ups(state) => say!("bench.question-set-up").to_owned(),
        Question::Instrument => say!("bench.question-instrument").to_owned(),
        Question::Contacts => say!("bench.question-contacts").to_owned(),
        Question::Wires => say!("bench.question-wires").to_owned(),
        Question::Standard => say!("bench.question-standard").to_owned(),
        Question::Unit => say!("bench.question-unit").to_owned(),
        Question::Temperature => say!("bench.question-temperature").to_owned(),
        Question::Closure {
            when: When::Before,
            number,
        } => say!(
            "bench.question-zero-check",
            number = number,
            of = CLOSURES,
            standard = standard()
        ),
        Question::Closure {
            when: When::After,
            number,
        } => say!(
            "bench.question-closing-check",
            number = number,
            of = CLOSURES,
            standard = standard()
        ),
        Question::ZeroDoubt { .. } => {
            say!("bench.question-zero-doubt", standard = standard())
        }
        Question::Calibration(ask) => crate::words::word(ask),
        Question::Reading { index } if state.run().is_some() => super::run::reading(state, *index),
        Question::Reading { index } => {
            let place = state
                .plan
                .get(*index)
                .map_or_else(String::new, crate::words::spot);
            say!(
                "bench.question-reading",
                number = index + 1,
                of = state.plan.len(),
                place = place
            )
        }
        Question::Again { of } => say!("bench.question-again", reading = reading_place(of)),
        Question::Flagged { of } => say!("bench.question-flagged", reading = reading_place(of)),
        Question::Made => say!("bench.question-made").to_owned(),
        Question::Sign => say!("bench.question-sign").to_owned(),
        Question::Finish => say!("bench.question-finish").to_owned(),
        Question::Recorded => say!("bench.question-recorded").to_owned(),
        Question::Person
        | Question::Stopped { .. }
        | Question::Settle
        | Question::With
        | Question::Find
        | Question::RunDone => super::run::question(state, question),
        Question::Dropped => say!("bench.question-dropped").to_owned(),
        Question::Parked { .. } => {
            let since = state.parked.map_or_else(String::new, number::time);
            say!("bench.question-parked", since = since)
        }
    }
}

/// What Enter does when the field is empty; nothing where an answer must be typed.
pub fn enter(question: &Question, offer: Option<&str>) -> Option<String> {
    match (question, offer) {
        (Question::Detail(asked), None) if asked.is_list() => {
            Some(say!("bench.enter-ends-list").to_owned())
        }
        (Question::Sign, Some(offer)) => Some(say!("bench.signs-as", name = offer)),
        (Question::Sign, None) => Some(say!("bench.signs-name").to_owned()),
        (_, Some(offer)) => Some(say!("bench.enter-takes-offer", offer = offer)),
        (Question::ZeroDoubt { .. }, _) => Some(say!("bench.enter-zero-doubt").to_owned()),
        (Question::Again { .. }, _) => Some(say!("bench.enter-leaves-reading").to_owned()),
        (Question::Flagged { .. }, _) => Some(say!("bench.enter-flagged").to_owned()),
        (Question::Stopped { stop: Stop::NoSize }, _) => None,
        (Question::Stopped { .. }, _) => Some(say!("run.enter-goes-on").to_owned()),
        (Question::Settle, _) => Some(say!("run.enter-settles").to_owned()),
        (Question::RunDone, _) => Some(say!("run.enter-next").to_owned()),
        (Question::Finish, _) => Some(say!("bench.enter-makes-record").to_owned()),
        (Question::Recorded, _) => Some(say!("bench.enter-next-part").to_owned()),
        (Question::Dropped, _) => Some(say!("bench.enter-new-job").to_owned()),
        (Question::Parked { .. }, _) => Some(say!("bench.enter-takes-up").to_owned()),
        _ => None,
    }
}

/// Whether whole set-ups are proposed: no piece is chosen yet.
const fn offers_set_ups(state: &State) -> bool {
    state.contacts.is_none() && state.standard.is_none()
}

/// How an answer may look.
pub fn hint(state: &State, question: &Question) -> Option<String> {
    match question {
        Question::Designation => Some(say!("bench.hint-designation").to_owned()),
        Question::Detail(asked) => {
            Some(detail::asked(feature(state), asked.key()).1).filter(|hint| !hint.is_empty())
        }
        Question::Service | Question::Made => Some(say!("bench.hint-choice").to_owned()),
        Question::Lot => Some(say!("bench.hint-lot").to_owned()),
        Question::Drawing => Some(say!("bench.hint-drawing").to_owned()),
        Question::Rule => Some(say!("bench.hint-rule").to_owned()),
        Question::Instrument if offers_set_ups(state) => Some(say!("bench.hint-set-up").to_owned()),
        question if question.chooses() => Some(say!("bench.hint-choice").to_owned()),
        Question::Temperature => Some(say!("bench.hint-temperature").to_owned()),
        Question::Find | Question::With => super::run::hint(state),
        Question::Calibration(ask) => Some(calibrating::hint(*ask).to_owned()),
        Question::Reading { index: 0 } if state.run().is_some() => {
            Some(say!("run.hint-beside").to_owned())
        }
        _ => None,
    }
}

/// Why a check of the zero is in doubt.
pub fn doubt(doubt: &Doubt, unit: LengthUnit) -> String {
    match doubt {
        Doubt::Spread { spread, limit } => say!(
            "bench.doubt-range",
            readings = CLOSURES,
            range = small_length(*spread, unit),
            limit = small_length(*limit, unit)
        ),
        Doubt::Far { warning } => say!(
            "bench.doubt-far",
            warning = crate::words::on_page(warning, crate::words::Shown::in_unit(unit))
        ),
        Doubt::Slip { message } => {
            say!(
                "bench.doubt-slip",
                message = crate::words::at_standard(message)
            )
        }
        Doubt::Drift { drift, limit } => say!(
            "bench.doubt-drift",
            drift = number::difference(*drift, unit),
            limit = small_length(*limit, unit)
        ),
    }
}

/// What Enter alone takes.
pub fn offer(offer: &Offer) -> String {
    match offer {
        Offer::Line(line) => line.clone(),
        Offer::SetUp(ids) => ids.join(" · "),
        Offer::AsLast(last) => {
            let (drawing, rule, service) = stated_last(last);
            say!(
                "bench.as-last",
                drawing = drawing,
                rule = rule,
                service = service,
                person = last.person,
                record = last.entry
            )
        }
        Offer::Nothing(what) => crate::words::name(what).to_owned(),
    }
}

/// Drawing, rule and service of an earlier record, in words.
fn stated_last(last: &LastPart) -> (String, String, String) {
    let none = || crate::words::name(&Unstated::None).to_owned();
    let drawing = last.drawing.clone().unwrap_or_else(none);
    let rule = match last.rule.parameter {
        Some(parameter) => format!("{} {parameter}", last.rule.name),
        None => last.rule.name.clone(),
    };
    let service = match &last.service {
        Some(service) => crate::words::name(service),
        None => crate::words::name(&Unstated::NoService),
    };
    (drawing, rule, service.to_owned())
}

/// One of the names to choose from, explained.
pub fn option(question: &Question, name: &str) -> &'static str {
    match question {
        Question::Service => Service::ALL
            .iter()
            .find(|service| service.key() == name)
            .map_or("", crate::words::name),
        Question::Made => Made::ALL
            .iter()
            .find(|made| made.key() == name)
            .map_or("", crate::words::name),
        _ => detail::choice(name),
    }
}

pub fn command(command: Command) -> &'static str {
    match command {
        Command::Retake => say!("bench.command-retake"),
        Command::ZeroAgain => say!("bench.command-zero"),
        Command::End => say!("bench.command-end"),
        Command::More => say!("bench.command-more"),
        Command::Back => say!("bench.command-back"),
        Command::Drop => say!("bench.command-drop"),
        Command::Next => say!("bench.command-next"),
        Command::New => say!("bench.command-new"),
        Command::Park => say!("bench.command-park"),
        Command::TakeUp => say!("bench.command-take"),
        Command::LookUp => say!("bench.command-look"),
        Command::Unit => say!("bench.command-unit"),
        Command::Sign => say!("bench.command-sign"),
        Command::History => say!("bench.command-history"),
    }
}

pub fn view(view: super::answer::View) -> &'static str {
    match view {
        super::answer::View::Budget => say!("bench.view-budget"),
        super::answer::View::Tolerance => say!("bench.view-tolerance"),
        super::answer::View::Pieces => say!("run.view-pieces"),
        super::answer::View::Keys => say!("bench.view-keys"),
        super::answer::View::Unfit => say!("bench.view-unfit"),
    }
}

/// After a calibration or a study Enter begins a new job: no part comes next.
pub fn at_end<'a>(state: &State, question: &'a Question) -> &'a Question {
    match question {
        Question::Recorded if state.is_of_gauge_room() => &Question::Dropped,
        question => question,
    }
}

/// What Enter does, in a word for the foot line.
pub fn enter_does(question: &Question) -> Option<&'static str> {
    Some(match question {
        // A signature wants a key of its own.
        Question::Sign | Question::Stopped { stop: Stop::NoSize } => return None,
        Question::Recorded => say!("bench.foot-next-part"),
        Question::Finish | Question::Settle => say!("bench.foot-record"),
        Question::Stopped { .. } => say!("run.foot-go-on"),
        Question::RunDone => say!("run.foot-next"),
        Question::Dropped => say!("bench.foot-begin"),
        Question::Parked { .. } => say!("bench.foot-take-up"),
        question if question.takes_reading() => say!("bench.foot-reading"),
        question if question.chooses() => say!("bench.foot-take"),
        _ => say!("bench.foot-answer"),
    })
}

/// The limits of what was named, while more is asked of it.
pub fn stated(stated: &Stated) -> String {
    range(
        stated.lower.as_ref().map(spaced),
        stated.upper.as_ref().map(spaced),
    )
}
