//! Every English sentence of the bench, in one place.

mod detail;

use jiff::civil::Date;
use metrology::inspection::{Feature, JobError};
use metrology::units::{Entered, Length, LengthUnit};

use super::answer::Command;
use super::event::When;
use super::places::Spot;
use super::question::{Question, Step};
use super::state::State;
use super::stated::Stated;
use super::zero::{CLOSURES, Doubt};
use crate::document::Settle;
use crate::report::{range, sentence};

/// What stands before the size that one reading gives: a reading of a wall gives an inside diameter, one over wires a pitch
/// diameter, any other the same size, corrected.
pub fn gives(state: &State) -> &'static str {
    let feature = state
        .target
        .as_ref()
        .and_then(|target| target.feature.as_ref());
    match feature {
        Some(reckoned @ (Feature::InsideDiameter(_) | Feature::Keyseat(_))) => {
            crate::words::name(reckoned)
        }
        _ if state.over_wires() => "pitch diameter",
        _ => "corrected",
    }
}

pub const NONE: &str = "none";
pub const NO_SERVICE: &str = "none of these";
pub const NO_WIRES: &str =
    "flat faces show a pitch diameter over wires, and no wires of the register suit this thread";
pub const NOT_READ: &str = "not read";
pub const RULE_ASSUMED: &str = "iso14253-1, none agreed";
pub const A_SIZE: &str = "size";
pub const NOT_COMPLETE: &str =
    "something is missing before this can be done; look at what is asked";
pub const CONTROL_CHARACTERS: &str = "there are control characters in that line; type it again";
pub const NAME_MISSING: &str = "write what the part is called";
pub const PERSON_MISSING: &str = "a record needs the name of who measured";
pub const REASON_MISSING: &str = "close again on the standard, or write why this check may stand as it is: the reason stands on the report";
pub const READING_MISSING: &str = "nothing came; read the micrometer and press Enter";
pub const DESIGNATION_MISSING: &str = "write the thread as the drawing does, such as M10x1.5-6g or 1/4-20 UNC-2A, or a size as shank 8.90 to 8.95 mm, or \
    a feature as tube wall 2.50 ± 0.20 mm";
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
pub const HOW_TO_LOOK_UP: &str = "write what to look up and a designation: limits M8, wires M10x1.5-6g, gauges 1/4-20 UNC-2A; \
    or identify, the diameter over the crests, and the pitch: identify 7.9mm 1.25mm, identify 0.247in 20tpi";
pub const PITCH_WANTED: &str = "write the pitch after the diameter, as a length or as threads per inch: identify 7.9mm 1.25mm, \
    identify 0.247in 20tpi";

/// Gives the job up; `/drop` alone asks first.
pub const DROP_IT: &str = "/drop it";

pub fn surely_drop(readings: usize) -> String {
    let lost = match readings {
        0 => String::new(),
        1 => ", nor is its one reading".to_owned(),
        more => format!(", nor are its {more} readings"),
    };
    format!(
        "a job given up is not recorded{lost}, and it cannot be taken up again; write {DROP_IT} to give it up"
    )
}

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

/// A feature was named and nothing else.
pub fn limits_missing(feature: &str) -> String {
    let name = feature.replace('-', " ");
    if feature == "crimp-height" {
        return "the limits of a crimp are those of the terminal maker's sheet and are never assumed: write crimp height \
                1.45 ± 0.05 mm"
            .to_owned();
    }
    format!(
        "write its limits from the drawing too: {name} 2.30 to 2.70 mm, {name} 2.50 ± 0.20 mm, {name} at least 2.30 mm"
    )
}

pub fn answer_missing() -> String {
    "this needs an answer; the example shows how it may look".to_owned()
}

pub fn list_too_short(count: usize, fewest: usize) -> String {
    let wanted = match fewest {
        1 => "one".to_owned(),
        3 => "three".to_owned(),
        other => other.to_string(),
    };
    format!("{count} so far, and at least {wanted} are needed; Enter ends the list then")
}

pub fn no_count(text: &str) -> String {
    format!("`{text}` is not a count; write a whole number, such as 3")
}

pub fn no_such_choice(text: &str, known: &str) -> String {
    format!("`{text}` is none of {known}; write its number in the list, or its name")
}

pub fn no_such_name(text: &str, known: &str) -> String {
    format!(
        "`{text}` is none of what can stand here: {known}, each with its value behind it and a comma between them"
    )
}

pub fn wire_wanted(text: &str) -> String {
    format!("`{text}` could be a gauge or an area; write AWG 18, or 0.75 mm²")
}

pub fn sections_wanted() -> String {
    "write two distances or more, all different, such as 5 30 55 mm".to_owned()
}

pub fn both_limits_of_compression() -> String {
    "a compression ratio has two limits: write both, at least 75, at most 90".to_owned()
}

/// A choice that is offered, explained.
pub fn choice(question: &Question, choice: &str) -> &'static str {
    match question {
        Question::Detail(asked) => detail::choice(asked.key, choice),
        _ => "",
    }
}

/// What is wrong with the job on the bench.
pub fn job_error(error: &JobError) -> String {
    crate::words::on_page(error, crate::words::Shown::in_unit(LengthUnit::Millimetre))
}

pub fn sent_twice(text: &str) -> String {
    format!("{text} came twice within a third of a second: was it sent twice?")
}

pub fn not_now(word: &str) -> String {
    format!("`{word}` does nothing at this question; the keys that do are at the foot of the page")
}

pub fn not_understood(text: &str) -> String {
    format!(
        "`{text}` is neither a reading nor a key; the keys that work here are at the foot of the page, and limits, wires, gauges and identify look things up"
    )
}

pub fn no_such_piece(text: &str) -> String {
    format!("`{text}` is not in the list; write its number in the list or its name")
}

pub fn no_such_reading(number: usize) -> String {
    format!("there is no reading {number} that could be taken again now")
}

pub fn unfit_for_next(id: &str, why: &str) -> String {
    format!("the next part cannot keep {id}: {why}; N begins another job")
}

pub fn unfit(id: &str, why: &str) -> String {
    format!("for this job {id} is not fit: {why}")
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

pub fn no_such_material(given: &str, known: &str) -> String {
    format!("the material `{given}` is not in the table; it has {known}")
}

/// An entry as it is read: its number as entered, and its unit a thin space after it.
pub fn spaced(entered: &Entered) -> String {
    let text = entered.text();
    let number =
        text.trim_end_matches(|c: char| c.is_alphabetic() || c.is_whitespace() || c == '"');
    let unit = text.get(number.len()..).unwrap_or_default().trim();
    format!("{number}\u{202f}{unit}")
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

fn feature(state: &State) -> &str {
    let stated = state.feature.as_ref();
    stated
        .and_then(|stated| stated.feature.as_deref())
        .unwrap_or_default()
}

/// What is asked, in a full sentence.
pub fn question(state: &State, question: &Question) -> String {
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
                    let converted = standard.size.value().to_fixed(shown, decimals);
                    format!("{} ({certified}, {converted}\u{202f}{shown})", standard.id)
                }
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
            "Which thread or feature is on the bench, as the drawing writes it?".to_owned()
        }
        Question::Detail(asked) => detail::asked(feature(state), asked.key).0.to_owned(),
        Question::Name => "What is the part called?".to_owned(),
        Question::Drawing => "Which drawing and revision?".to_owned(),
        Question::Lot if state.lot_before.is_some() => {
            "Next part of the lot: which lot and sample?".to_owned()
        }
        Question::Lot => "Which lot and sample, with a stroke between?".to_owned(),
        Question::Rule => "Which decision rule was agreed?".to_owned(),
        Question::Service => "Could a wrong acceptance hurt someone?".to_owned(),
        Question::Instrument => "Which micrometer?".to_owned(),
        Question::Contacts => "Which contacts are in it?".to_owned(),
        Question::Wires => "Which wires lie between the faces and the thread?".to_owned(),
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
            let place = state.plan.get(*index).map_or_else(String::new, Spot::words);
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
        (Question::Detail(asked), None) if asked.is_list() => {
            Some("Enter alone ends the list".to_owned())
        }
        (Question::Person, Some(offer)) => Some(format!("Enter records as {offer}")),
        (_, Some(offer)) => Some(format!("Enter takes {offer}")),
        (Question::ZeroDoubt { .. }, _) => Some(
            "Or write why the check may stand as it is; the reason stays on the record".to_owned(),
        ),
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
pub fn hint(state: &State, question: &Question) -> Option<&'static str> {
    match question {
        Question::Designation => Some(
            "M10x1.5-6g, 1/4-20 UNC-2A (add major for the major diameter); shank 8.90 to 8.95 mm, boss 3.2 mm max; \
             tube wall 2.50 ± 0.20 mm, groove 13.69 to 13.80 mm, keyseat, crimp height, lobed shaft and others with their \
             limits",
        ),
        Question::Detail(asked) => {
            Some(detail::asked(feature(state), asked.key).1).filter(|hint| !hint.is_empty())
        }
        Question::Service => Some("its number in the list, or its name"),
        Question::Lot => Some("cs-118 / 4 of 12"),
        Question::Drawing => Some("TC-0412 rev C"),
        Question::Rule => Some(
            "iso14253-1, simple, probability 0.95, guard-band, guard-band-four, stringent, relaxed, false-accept-2",
        ),
        question if question.chooses() => Some("its number in the list, or its name"),
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
        Doubt::Far { error, limit } => format!(
            "The closures lie {} from the certified size, more than {}: is another standard between the contacts?",
            small(*error, unit),
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
        Command::Retake => "retake",
        Command::ZeroAgain => "zero anew",
        Command::End => "end here",
        Command::More => "two more readings",
        Command::Back => "back",
        Command::Drop => "give the job up",
        Command::Next => "next part",
        Command::New => "another job",
        Command::LookUp => "look up",
    }
}

/// Why a reading that was taken again does not count.
pub fn taken_again(place: &str, now: &str) -> String {
    format!("{place}: taken again as {now}")
}

/// What the record says of the checks of the zero beside their readings: nothing is put aside in silence.
pub fn note(state: &State) -> Option<String> {
    let mut told: Vec<String> = Vec::new();
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
        if let Some(reason) = &check.accepted {
            told.push(format!(
                "zero {when}: taken as it is in spite of a doubt: {reason}"
            ));
        }
    }
    if state.zero_kept {
        told.push("zero before: the closing check of the part before".to_owned());
    }
    told.extend(left_out(state));
    (!told.is_empty()).then(|| told.join("; "))
}

/// The places that were to be measured and were not.
pub fn left_out(state: &State) -> Option<String> {
    // More readings may have gone there since.
    let measured = |spot: &&Spot| state.readings.iter().any(|one| one.spot == **spot);
    let left = state.left_out.iter().filter(|spot| !measured(spot));
    let places: Vec<String> = left.map(Spot::words).collect();
    (!places.is_empty()).then(|| format!("not measured: {}", places.join("; ")))
}

/// A verdict before zero is closed on again.
pub const PROVISIONAL: &str = "Provisional: zero is still to be closed on again.";

/// What stands with the budget, counted beside the verdict.
pub fn to_know(count: usize) -> String {
    match count {
        1 => "1 thing to know before you sign: B shows it.".to_owned(),
        n => format!("{n} things to know before you sign: B shows them."),
    }
}

pub fn not_asked_for(line: &str) -> String {
    let line: String = line.chars().take(40).collect();
    format!("{line} came from the instrument while nothing was asked of it; it was not taken")
}

pub fn line_no_reading(line: &str) -> String {
    let line: String = line.chars().filter(|c| !c.is_control()).take(40).collect();
    format!("the serial line sent `{line}`, which is no reading; it was not taken")
}

pub fn line_lost(device: &str) -> String {
    format!("the serial line {device} is gone; plug it in again, or type the readings")
}

pub const FORM_TOO_LONG: &str = "That was more than an answer can be. Nothing was taken.";
pub const FORM_BROKEN: &str = "That was not an answer of this page. Nothing was taken.";
pub const NOT_TAKEN: &str = "Nothing was taken";

pub fn overtaken(line: &str) -> String {
    let line: String = line.chars().take(60).collect();
    if line.is_empty() {
        OVERTAKEN.to_owned()
    } else {
        format!("{OVERTAKEN} ({line})")
    }
}

pub const LOOK_UP_AS: &str = "limits M8";
pub const PAGES: &str = "Pages";
pub const BENCH: &str = "Bench";
pub const HISTORY: &str = "History";
pub const TO_THE_BENCH: &str = "To the bench";
pub const NOTHING_HERE: &str = "Nothing here";
pub const NOTHING_HERE_LONG: &str = "There is no such page or record.";
pub const NEW_JOB: &str = "New job";
pub const STEPS: &str = "Steps of the job";
pub const BUDGET: &str = "Uncertainty budget";
pub const CORRECTIONS: &str = "Corrections";
pub const CONFORMS: &str = "The size conforms with a probability of";
pub const TO_KNOW: &str = "To know before you sign";
pub const NO_BUDGET_YET: &str = "There is no budget before there are readings.";
pub const ALL_KEYS: &str = "All keys";
pub const KEYS: &str = "Keys that work now";
pub const KEY: &str = "Key";
pub const WORD: &str = "Typed";
pub const DOES: &str = "Does";
pub const HOW_KEYS_WORK: &str = "A key acts in an empty field where a reading is asked; anywhere else its word is typed after a \
    stroke. limits M8 looks limits up at any question; so do wires, gauges and identify. Esc empties the field.";
pub const TAKE: &str = "Take";
pub const AS: &str = "As";
pub const LIMITS: &str = "limits";
pub const LEAST: &str = "least";
pub const MOST: &str = "most";
pub const ASSUMED: &str = "Left open by the designation:";
pub const BY: &str = "By";
pub const DUE: &str = "due";
pub const NOT_FIT: &str = "not fit";
pub const EMPTY_REGISTER: &str = "There is nothing of this kind in the register. midflank equipment add FILE registers what one \
    owns; midflank bench --demo puts invented equipment into an empty register.";
pub const SHARE: &str = "Share of the tolerance taken by the uncertainty";
pub const LOOKED_UP: &str = "Looked up";
pub const CLOSURES_SO_FAR: &str = "Closures so far";
pub const READINGS_SO_FAR: &str = "Readings so far";
pub const SET_ASIDE: &str = "set aside";
pub const STANDS: &str = "(stands as read)";
pub const VERDICT: &str = "Verdict";
pub const RECORDED_AS: &str = "Recorded as";
pub const RECORD: &str = "Record";
pub const MORE_ABOUT: &str = "More about this record";
pub const ALL_OF_LOT: &str = "All readings of lot";
pub const ZERO_CHECKS_OF: &str = "Zero checks of";
pub const INPUTS: &str = "Inputs";
pub const AMENDMENTS: &str = "Amendments";
pub const HOLDS: &str = "this one holds";

/// What would settle it, as the calculation says it; where nothing does, that.
pub fn settles(settle: &Settle) -> String {
    let way = if settle.way == "nothing" {
        sentence(&settle.sentence)
    } else {
        format!("What would settle it: {}.", settle.sentence)
    };
    match &settle.at_hand {
        Some(at_hand) => format!("{way} {}", sentence(at_hand)),
        None => way,
    }
}

pub fn number_alone(line: &str) -> String {
    format!(
        "{line} alone may be a reading, and readings come after the zero: write here what is on the bench, a thread with \
         its pitch (M10x1.5-6g, 1/4-20 UNC-2A) or a size with its limits (shank 8.90 to 8.95 mm)"
    )
}

/// That a sample is on the record already.
pub fn recorded_before(sample: &str, entry: &str, what: &str, verdict: &str) -> String {
    format!(
        "sample {sample} of this part is on the record already: {entry}, {what}, {verdict}; a result that is to take its place \
         amends it"
    )
}

/// A decimal number where a name is asked for.
pub fn number_for_name(line: &str) -> String {
    format!(
        "{line} alone is a number as a micrometer sends it, and nothing was read just now: write it in words"
    )
}

pub fn worst_too(name: &str, of: &str, value: &str, unit: LengthUnit) -> String {
    format!("The {name}, {of}, with {value} {unit} is accepted too.")
}

pub fn decided_on(what: &str) -> String {
    format!("Decided on {what}.")
}

/// What the micrometer will show in the middle of the limits, and how often it is read.
pub fn will_show(millimetres: f64, unit: LengthUnit, readings: usize) -> String {
    let about = match unit {
        LengthUnit::Inch | LengthUnit::Microinch => format!("{:.4} in", millimetres / 25.4),
        LengthUnit::Millimetre | LengthUnit::Micrometre => format!("{millimetres:.3} mm"),
    };
    format!("{readings} readings; in the middle of the limits the micrometer shows about {about}.")
}

pub fn expected(expanded: f64, unit: LengthUnit) -> String {
    format!("Expected U = {}.", small(expanded, unit))
}

pub fn share(share: f64) -> String {
    let percent = share * 100.0;
    let judged = if share > 0.5 {
        ": more than half; something finer would do better"
    } else if share > 0.25 {
        ": more than a quarter"
    } else {
        ""
    };
    format!("2U will take {percent:.0} % of the tolerance{judged}.")
}

pub fn zero_error(error: f64, unit: LengthUnit) -> String {
    let sign = if error > 0.0 { "+" } else { "" };
    format!("zero {sign}{}", small(error, unit))
}

pub fn spread(spread: Length, unit: LengthUnit) -> String {
    format!("spread {}", small_length(spread, unit))
}

pub fn drift(drift: f64, unit: LengthUnit) -> String {
    let sign = if drift > 0.0 { "+" } else { "" };
    format!("drift {sign}{}", small(drift, unit))
}

/// How far the corrected readings lie apart.
pub fn readings_spread(result: &crate::document::Inspected) -> String {
    let values = || result.readings.iter().map(|reading| reading.corrected);
    let (low, high) = (
        values().fold(f64::INFINITY, f64::min),
        values().fold(f64::NEG_INFINITY, f64::max),
    );
    let millimetres = (high - low) * result.unit.tenth_nanometres() as f64 * 1e-7;
    format!("spread of the readings {}", small(millimetres, result.unit))
}

pub const fn view(view: super::answer::View) -> &'static str {
    match view {
        super::answer::View::Budget => "budget, corrections",
        super::answer::View::Tolerance => "tolerance large",
        super::answer::View::Keys => "all keys",
    }
}

/// What Enter does, in a word for the foot line.
pub const fn enter_does(question: &Question) -> &'static str {
    match question {
        Question::Verdict => "go on",
        Question::Recorded => "next part",
        Question::Person | Question::Finish => "record",
        Question::Dropped => "begin",
        _ => "take",
    }
}

pub const SECTION: &str = "The part in section";
pub const ON_STANDARD: &str = "The setting standard between the contacts";
pub const CERTIFIED: &str = "certified";

pub fn on_standard(id: &str) -> String {
    format!("The rod {id} in section: the cone sits in its V, and its cone in the V below.")
}

pub const PLACE: &str = "Where to read:";
pub const BROKEN_OUT: &str = "to scale, middle broken out";

pub fn section(designation: &str, seated: bool, over_wires: bool) -> String {
    let contacts = if seated {
        ", a cone seated in a groove above and a V over a ridge below, both touching the flanks at the pitch line"
    } else if over_wires {
        ", one wire in a groove above and two below, each touching both flanks, between flat faces"
    } else {
        ""
    };
    format!("{designation} in section, to scale{contacts}.")
}

pub fn feature_section(name: &str, feature: &str, contacts: Option<&str>) -> String {
    let with = contacts.map_or_else(String::new, |contacts| format!(", with {contacts}"));
    format!("{name} ({feature}) in section{with}.")
}

/// The limits of what was named, while more is asked of it.
pub fn stated(stated: &Stated) -> String {
    range(
        stated.lower.as_ref().map(spaced),
        stated.upper.as_ref().map(spaced),
    )
}

pub const FINDINGS: &str = "What else the readings tell";
pub const SO_FAR: &str = "So far:";
pub const TO_SCALE: &str = "to scale";
pub const SKETCH: &str = "sketch, not to scale";

pub fn plain_section(name: &str) -> String {
    format!("{name}: a plain part between flat faces.")
}

pub fn times_large(times: f64) -> String {
    format!("tolerance drawn {times:.0} times its size")
}

pub fn chart(title: &str, count: usize) -> String {
    format!("{title}: {count} values in order; the table has the numbers")
}

pub const PART: &str = "Part";
pub const LOT: &str = "Lot";
pub const INSTRUMENT: &str = "Micrometer";
pub const STANDARD: &str = "Standard";
pub const PERSON: &str = "Who";
pub const SINCE: &str = "From";
pub const UNTIL: &str = "To";
pub const SHOW: &str = "Show";
pub const UNDER_WAY: &str = "Under way:";
pub const NO_RECORDS: &str = "No records.";
pub const OLDER: &str = "Older records";
pub const RECORDS: &str = "Records";
pub const WHEN: &str = "When (UTC)";
pub const CHARACTERISTIC: &str = "Characteristic";
pub const SIZE: &str = "Size";
pub const AMENDED_BY: &str = "amended by";
pub const UNREADABLE: &str = "recorded by a program this one does not understand";
pub const UPPER_CONTROL: &str = "upper";
pub const LOWER_CONTROL: &str = "lower";
pub const MEAN: &str = "mean";
pub const NO_ERROR: &str = "no error";
pub const ZERO_CHART: &str = "Zero error found before each job, indicated less certified. Limits of the mean ± 2.66 times the \
    mean moving range of the first eight checks. After an adjustment, a new certificate or with another micrometer the series \
    begins anew.";
pub const ZERO_BEFORE: &str = "Zero before";
pub const REMARK: &str = "Remark";
pub const RUN: &str = "Readings in order";
pub const HISTOGRAM: &str = "How often which size";

pub fn job(number: u64) -> String {
    format!("job {number}")
}

pub fn no_date(text: &str) -> String {
    format!("`{text}` is not a date; write it as 2026-03-09")
}

pub fn too_few_checks(fewest: usize) -> String {
    format!("Control limits are drawn from {fewest} checks on.")
}

pub fn readings_of(readings: usize, parts: usize) -> String {
    let records = if parts == 1 { "record" } else { "records" };
    format!("{readings} corrected readings from {parts} {records}.")
}

pub const fn signal(signal: crate::web::Signal) -> &'static str {
    match signal {
        crate::web::Signal::Beyond => "beyond a control limit",
        crate::web::Signal::TwoOfThree => "two of three near a control limit",
        crate::web::Signal::EightOnOneSide => "eight in a row on one side",
        crate::web::Signal::Drift => "six in a row that rise or fall: a slow drift",
    }
}
