//! Every English sentence of the bench, in one place.

use jiff::civil::Date;
use metrology::inspection::{JobError, Quantity};
use metrology::units::{Length, LengthUnit};

use super::answer::Command;
use super::event::When;
use super::question::{Question, Step};
use super::settle::Way;
use super::state::State;
use super::zero::{CLOSURES, Doubt};

pub const NONE: &str = "none";
pub const NOT_READ: &str = "not read";
pub const RULE_ASSUMED: &str = "iso14253-1, none agreed";
pub const A_SIZE: &str = "size";
pub const NOT_COMPLETE: &str =
    "something is missing before this can be done; look at what is asked";
pub const CONTROL_CHARACTERS: &str = "there are control characters in that line; type it again";
pub const NAME_MISSING: &str = "write what the part is called";
pub const PERSON_MISSING: &str = "a record needs the name of who measured";
pub const READING_MISSING: &str = "nothing came; read the micrometer and press Enter";
pub const DESIGNATION_MISSING: &str = "write the thread as the drawing does, such as M10x1.5-6g or 1/4-20 UNC-2A, or a size as shank 8.90 to 8.95 mm";
pub const SAMPLE_MISSING: &str =
    "that was the last sample of the lot; write lot and sample, or /new for another job";
pub const NOTHING_FIT: &str =
    "nothing here is fit for this job; register what is needed, or go back with /back";
pub const UNIT_WANTED: &str = "write mm or in";
pub const TEMPERATURE_WANTED: &str = "write the temperature of part and standard in °C, and the material of the part, such as 21.4 20.9 brass; Enter if they were not read";
pub const AT_VERDICT: &str = "the readings are complete: Enter goes on to the closing check, M takes two more readings, R takes one again";
pub const AT_RECORDED: &str =
    "this job is on the record: Enter begins the next part of the lot, N another job";
pub const OVERTAKEN: &str = "the job went on in another window, and what was typed here was not taken; look at what is asked now";
pub const STALE_FORM: &str = "this page was older than the program that runs; nothing was taken. Press Enter to send it again";
pub const FAILED: &str = "something failed on this computer and nothing was taken; the window where the program runs says what";
pub const NO_TABLE_YET: &str =
    "write limits and a designation, such as limits M8 or limits 1/4-20 UNC-2A";

pub fn line_too_long(limit: usize) -> String {
    format!("that line has more than {limit} characters; write a shorter one")
}

pub fn out_of_use(state: &str) -> String {
    format!("it is {state}")
}

pub fn overdue(due: Date) -> String {
    format!("it was due for calibration on {due}")
}

pub fn part_out_of_range(from: &str, to: &str) -> String {
    format!("it reads {from} to {to}, and the limits of the part lie outside")
}

/// An error of a job without the parts that only a job file needs.
pub fn job_error(error: &JobError) -> String {
    match error {
        JobError::ContactsUnfit { why, .. } => why.clone(),
        other => other.to_string(),
    }
}

pub fn sent_twice(text: &str) -> String {
    format!("{text} came twice within a third of a second: was it sent twice?")
}

pub fn not_now(word: &str) -> String {
    format!("`{word}` does nothing at this question; the keys that do are at the foot of the page")
}

pub fn not_understood(text: &str) -> String {
    format!(
        "`{text}` is neither a reading nor a key; the keys that work here are at the foot of the page, and limits M8 looks limits up"
    )
}

pub fn no_such_piece(text: &str) -> String {
    format!("`{text}` is not in the list; write its number in the list or its name")
}

pub fn no_such_reading(number: usize) -> String {
    format!("there is no reading {number} that could be taken again now")
}

pub fn unfit(id: &str, why: &str) -> String {
    format!("{id} is not fit for this job: {why}")
}

pub fn no_reading(why: &str) -> String {
    format!("{why}; nothing was taken")
}

pub fn other_unit(text: &str, unit: LengthUnit) -> String {
    format!(
        "{text} came, and this job is in {unit}: set the micrometer to {unit} and read again; nothing was taken"
    )
}

pub fn cannot_show(id: &str, text: &str, from: &str, to: &str) -> String {
    format!("{id} reads {from} to {to} and cannot show {text}; read again; nothing was taken")
}

pub fn not_a_number(text: &str) -> String {
    format!("`{text}` is not a number; write 0.95 or 0,95")
}

pub fn no_temperature(value: f64) -> String {
    format!("{value} °C is no temperature at a bench; write it in degrees Celsius")
}

pub fn no_such_material(given: &str, known: &str) -> String {
    format!("the material `{given}` is not in the table; it has {known}")
}

/// A small difference as one says it at the bench.
pub fn small(millimetres: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Inch | LengthUnit::Microinch => format!("{:.5} in", millimetres / 25.4),
        LengthUnit::Millimetre | LengthUnit::Micrometre => {
            format!("{:.1} µm", millimetres * 1000.0)
        }
    }
}

pub fn small_length(length: Length, unit: LengthUnit) -> String {
    small(length.mm(), unit)
}

pub const fn step(step: Step) -> &'static str {
    match step {
        Step::Part => "Part",
        Step::SetUp => "Set-up",
        Step::Zero => "Zero",
        Step::Readings => "Readings",
        Step::Verdict => "Verdict",
        Step::ClosingZero => "Closing zero",
        Step::Close => "Close",
    }
}

const fn ordinal(number: usize) -> &'static str {
    match number {
        1 => "first",
        2 => "second",
        _ => "third",
    }
}

/// What is asked, in a full sentence.
pub fn question(state: &State, question: &Question) -> String {
    let standard = || {
        state
            .standard
            .as_ref()
            .map_or_else(String::new, |standard| {
                format!("{} ({})", standard.id, standard.size.text())
            })
    };
    let reading_place = |of: &u64| {
        let index = state.readings.iter().position(|one| one.number == *of);
        match (index, state.reading(*of)) {
            (Some(index), Some(reading)) => {
                format!("Reading {} ({})", index + 1, reading.spot.words())
            }
            _ => "The reading".to_owned(),
        }
    };
    match question {
        Question::Designation => {
            "Which thread is on the bench, as the drawing writes it?".to_owned()
        }
        Question::Name => "What is the part called?".to_owned(),
        Question::Drawing => "Which drawing and revision?".to_owned(),
        Question::Lot if state.lot_before.is_some() => {
            "Next part of the lot: which lot and sample?".to_owned()
        }
        Question::Lot => "Which lot and sample, with a stroke between?".to_owned(),
        Question::Rule => "Which decision rule was agreed?".to_owned(),
        Question::Instrument => "Which micrometer?".to_owned(),
        Question::Contacts => "Which contacts are in it?".to_owned(),
        Question::Standard => "Which setting standard is zero set on?".to_owned(),
        Question::Unit => "Which unit does the micrometer show?".to_owned(),
        Question::Temperature => "How warm are part and standard, in °C?".to_owned(),
        Question::Closure { when, number } => format!(
            "{} {}: {} of three.",
            match when {
                When::Before => "Close on",
                When::After => "Check the zero: close again on",
            },
            standard(),
            ordinal(*number),
        ),
        Question::ZeroDoubt { .. } => format!(
            "Clean the contacts and close again on {}: first of three.",
            standard()
        ),
        Question::Reading { index } => {
            let place = state
                .plan
                .get(*index)
                .map_or_else(String::new, super::places::Spot::words);
            format!("Reading {} of {}: {place}.", index + 1, state.plan.len())
        }
        Question::Again { of } => format!("{} again.", reading_place(of)),
        Question::Flagged { of } => {
            format!("{} looks like a mistake. Take it again.", reading_place(of))
        }
        Question::Verdict => "The readings are complete.".to_owned(),
        Question::Person => "Who measured?".to_owned(),
        Question::Finish => "The name is there and the record is not made yet.".to_owned(),
        Question::Recorded => "The job is on the record.".to_owned(),
        Question::Dropped => "This job was given up; nothing was recorded.".to_owned(),
    }
}

/// What Enter does when the field is empty; nothing where an answer must be typed.
pub fn enter(question: &Question, offer: Option<&str>) -> Option<String> {
    match (question, offer) {
        (Question::Person, Some(offer)) => Some(format!("Enter records as {offer}")),
        (_, Some(offer)) => Some(format!("Enter takes {offer}")),
        (Question::ZeroDoubt { .. }, _) => {
            Some("Enter goes on with the check as it is; the doubt stays on the record".to_owned())
        }
        (Question::Again { .. } | Question::Flagged { .. }, _) => {
            Some("Enter leaves it as it was read".to_owned())
        }
        (Question::Verdict, _) => Some("Enter goes on to the closing check".to_owned()),
        (Question::Finish, _) => Some("Enter makes the record".to_owned()),
        (Question::Recorded, _) => Some("Enter begins the next part of the lot".to_owned()),
        (Question::Dropped, _) => Some("Enter begins a new job".to_owned()),
        _ => None,
    }
}

/// How an answer may look.
pub fn hint(question: &Question) -> Option<&'static str> {
    match question {
        Question::Designation => Some(
            "M10x1.5-6g, 1/4-20 UNC-2A; add major for the major diameter; or a size with its limits, as shank 8.90 to 8.95 mm",
        ),
        Question::Lot => Some("cs-118 / 4 of 12"),
        Question::Drawing => Some("TC-0412 rev C"),
        Question::Rule => Some(
            "iso14253-1, simple, probability 0.95, guard-band, guard-band-four, stringent, relaxed, false-accept-2",
        ),
        Question::Instrument | Question::Contacts | Question::Standard => {
            Some("its number in the list, or its name")
        }
        Question::Temperature => Some("part, standard, material of the part: 21.4 20.9 brass"),
        _ => None,
    }
}

/// Why a check of the zero is in doubt.
pub fn doubt(doubt: &Doubt, unit: LengthUnit) -> String {
    match doubt {
        Doubt::Spread { spread, limit } => format!(
            "The {CLOSURES} closures spread over {}, more than {}.",
            small_length(*spread, unit),
            small_length(*limit, unit)
        ),
        Doubt::Slip { message } => format!("A closure looks like a mistake: {message}."),
        Doubt::Drift { drift, limit } => format!(
            "Zero moved by {} during the job, more than {}. What was read in between is in doubt by as much.",
            small(*drift, unit),
            small_length(*limit, unit)
        ),
    }
}

pub const fn command(command: Command) -> &'static str {
    match command {
        Command::Retake => "take the last again",
        Command::ZeroAgain => "zero anew",
        Command::End => "end the readings here",
        Command::More => "two more readings",
        Command::Back => "back one answer",
        Command::Drop => "give the job up",
        Command::Next => "next part",
        Command::New => "another job",
        Command::LookUp => "look up limits",
    }
}

/// What would settle it.
pub fn way(way: &Way, unit: LengthUnit) -> String {
    match way {
        Way::MoreReadings { count, where_ } => {
            let readings = if *count == 1 { "reading" } else { "readings" };
            format!(
                "What would settle it: about {count} more {readings} for {where_}, if they scatter as those so far and \
                 the size stays where it is. M takes two more."
            )
        }
        Way::Line {
            quantity,
            name,
            from,
            to,
        } => format!(
            "What would settle it: {name} brought down from {} to {}{}.",
            small(*from, unit),
            small(*to, unit),
            remedy(*quantity)
        ),
        Way::Nothing { largest } => format!(
            "Nothing at this bench settles it: the size lies too near the limit, even without the largest line of the \
             budget ({largest}). The rule that was agreed says who carries the doubt."
        ),
    }
}

const fn remedy(quantity: Quantity) -> &'static str {
    match quantity {
        Quantity::Drift => {
            "; the closing check of the zero does that when it finds the zero where it was"
        }
        Quantity::ContactAngle => {
            "; a thread plug of this form and pitch as setting standard does that"
        }
        Quantity::Indication | Quantity::Curve | Quantity::Interpolation => {
            "; a micrometer with a better error curve does that"
        }
        Quantity::Resolution | Quantity::ZeroResolution => "; a finer display does that",
        Quantity::Standard => "; a standard with a better certificate does that",
        Quantity::ZeroReading => "; more closures on the standard do that",
        Quantity::FormUnseen => "; readings at more places do that",
        Quantity::PartTemperature
        | Quantity::StandardTemperature
        | Quantity::InstrumentTemperature => {
            "; part and standard left to reach one temperature, and read better, do that"
        }
        _ => "",
    }
}

/// What the record says of readings that were taken again: nothing is replaced in silence.
pub fn note(state: &State) -> Option<String> {
    let mut told: Vec<String> = state
        .readings
        .iter()
        .filter(|reading| !reading.earlier.is_empty())
        .map(|reading| {
            let earlier: Vec<&str> = reading.earlier.iter().map(|one| one.text()).collect();
            format!(
                "{}: {} was read first and taken again",
                reading.spot.words(),
                earlier.join(", ")
            )
        })
        .collect();
    for (when, check) in [("before", &state.before), ("after", &state.after)] {
        let aside: Vec<&str> = check
            .closures
            .iter()
            .filter(|closure| closure.set_aside)
            .map(|closure| closure.reading.text())
            .collect();
        if !aside.is_empty() {
            told.push(format!("zero {when}: {} set aside", aside.join(", ")));
        }
        if check.accepted {
            told.push(format!("zero {when}: taken as it is in spite of a doubt"));
        }
    }
    if state.zero_kept {
        told.push("zero before: the closing check of the part before".to_owned());
    }
    (!told.is_empty()).then(|| told.join("; "))
}
