//! What the bench says, each sentence by its code.

mod detail;

use jiff::civil::Date;
use metrology::inspection::{Feature, JobError};
use metrology::message::Say;
use metrology::source::Source;
use metrology::units::{Entered, Length, LengthUnit};

use super::answer::Command;
use super::event::When;
use super::places::Spot;
use super::question::{Question, Step};
use super::state::State;
use super::stated::Stated;
use super::zero::{CLOSURES, Doubt};
use crate::document::{Inspected, Settle, to_mm};
use crate::report::{range, sentence};
use crate::say;
use crate::words::number;

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
        _ if state.over_wires() => say!("bench.gives-pitch-diameter"),
        _ => say!("bench.gives-corrected"),
    }
}

pub fn none() -> &'static str {
    say!("bench.none")
}

pub fn no_service() -> &'static str {
    say!("bench.no-service")
}

pub fn no_wires() -> &'static str {
    say!("bench.no-wires")
}

pub fn not_read() -> &'static str {
    say!("bench.not-read")
}

pub fn rule_assumed() -> &'static str {
    say!("bench.rule-assumed")
}

pub fn not_complete() -> &'static str {
    say!("bench.not-complete")
}

pub fn hidden_characters() -> &'static str {
    say!("bench.hidden-characters")
}

pub fn name_missing() -> &'static str {
    say!("bench.name-missing")
}

pub fn person_missing() -> &'static str {
    say!("bench.person-missing")
}

pub fn reason_missing() -> &'static str {
    say!("bench.reason-missing")
}

pub fn flag_unanswered() -> &'static str {
    say!("bench.flag-unanswered")
}

pub fn reading_missing() -> &'static str {
    say!("bench.reading-missing")
}

pub fn designation_missing() -> &'static str {
    say!("bench.designation-missing")
}

pub fn sample_missing() -> &'static str {
    say!("bench.sample-missing")
}

pub fn nothing_fit() -> &'static str {
    say!("bench.nothing-fit")
}

pub fn unit_wanted() -> &'static str {
    say!("bench.unit-wanted")
}

pub fn temperature_wanted() -> &'static str {
    say!("bench.temperature-wanted")
}

pub fn at_verdict() -> &'static str {
    say!("bench.at-verdict")
}

pub fn at_recorded() -> &'static str {
    say!("bench.at-recorded")
}

pub fn overtaken_label() -> &'static str {
    say!("bench.overtaken")
}

pub fn stale_form() -> &'static str {
    say!("bench.stale-form")
}

pub fn failed() -> &'static str {
    say!("bench.failed")
}

pub fn how_to_look_up() -> &'static str {
    say!("bench.how-to-look-up")
}

pub fn pitch_wanted() -> &'static str {
    say!("bench.pitch-wanted")
}

/// What is lost with a job that is given up, and the line that gives it up.
pub fn surely_drop(readings: usize, line: &str) -> String {
    match readings {
        0 => say!("bench.surely-drop", line = line),
        n => say!("bench.surely-drop-with-readings", n = n, line = line),
    }
}

pub fn line_too_long(limit: usize) -> String {
    say!("bench.line-too-long", limit = limit)
}

pub fn out_of_use(state: metrology::inspection::State) -> String {
    say!("bench.out-of-use", state = crate::words::name(&state))
}

pub fn overdue(due: Date) -> String {
    say!("bench.overdue", due = due)
}

pub fn part_out_of_range(from: &str, to: &str) -> String {
    say!("bench.part-out-of-range", from = from, to = to)
}

/// A feature was named and nothing else.
pub fn limits_missing(feature: &str) -> String {
    let name = feature.replace('-', " ");
    if feature == "crimp-height" {
        return say!("bench.limits-missing-crimp").to_owned();
    }
    say!("bench.limits-missing", name = name)
}

pub fn answer_missing() -> String {
    say!("bench.answer-missing").to_owned()
}

pub fn list_too_short(count: usize, fewest: usize) -> String {
    say!("bench.list-too-short", count = count, n = fewest)
}

pub fn no_count(text: &str) -> String {
    say!("bench.no-count", text = text)
}

pub fn no_such_choice(text: &str, known: &str) -> String {
    say!("bench.no-such-choice", text = text, known = known)
}

pub fn no_such_name(text: &str, known: &str) -> String {
    say!("bench.no-such-name", text = text, known = known)
}

pub fn wire_wanted(text: &str) -> String {
    say!("bench.wire-wanted", text = text)
}

pub fn sections_wanted() -> String {
    say!("bench.sections-wanted").to_owned()
}

pub fn both_limits_of_compression() -> String {
    say!("bench.both-limits-of-compression").to_owned()
}

/// A choice that is offered, explained.
pub fn choice(question: &Question, choice: &str) -> &'static str {
    match question {
        Question::Detail(_) => detail::choice(choice),
        _ => "",
    }
}

/// What is wrong with the job on the bench, in the unit of its drawing.
pub fn job_error(error: &JobError, state: &State) -> String {
    let drawing = state.target.as_ref();
    let unit = drawing.map_or(LengthUnit::Millimetre, |target| target.unit);
    crate::words::on_page(error, crate::words::Shown::in_unit(unit))
}

pub fn sent_twice(text: &str) -> String {
    say!("bench.sent-twice", text = text)
}

pub fn not_now(word: &str) -> String {
    say!("bench.not-now", word = word)
}

pub fn not_understood(text: &str) -> String {
    say!("bench.not-understood", text = text)
}

pub fn no_such_piece(text: &str) -> String {
    say!("bench.no-such-piece", text = text)
}

pub fn no_such_reading(number: usize) -> String {
    say!("bench.no-such-reading", number = number)
}

pub fn unfit_for_next(id: &str, why: &str) -> String {
    say!("bench.unfit-for-next", id = id, why = why)
}

pub fn unfit(id: &str, why: &str) -> String {
    say!("bench.unfit", id = id, why = why)
}

pub fn no_reading(why: &str) -> String {
    say!("bench.no-reading", why = why)
}

pub fn other_unit(text: &str, unit: LengthUnit) -> String {
    say!("bench.other-unit", text = text, unit = unit)
}

pub fn cannot_show(id: &str, text: &str, from: &str, to: &str) -> String {
    say!(
        "bench.cannot-show",
        id = id,
        from = from,
        to = to,
        text = text
    )
}

pub fn not_a_number(text: &str) -> String {
    say!("bench.not-a-number", text = text)
}

pub fn no_such_material(given: &str, known: &str) -> String {
    say!("bench.no-such-material", given = given, known = known)
}

/// An entry as it is read: its number as entered, and its unit a thin space after it.
pub fn spaced(entered: &Entered) -> String {
    let text = entered.text();
    let digits =
        text.trim_end_matches(|c: char| c.is_alphabetic() || c.is_whitespace() || c == '"');
    let unit = text.get(digits.len()..).unwrap_or_default().trim();
    format!("{}\u{202f}{unit}", number::localized(digits))
}

fn small_length(length: Length, unit: LengthUnit) -> String {
    number::difference(length.mm(), unit)
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
                    place = reading.spot.words()
                )
            }
            _ => say!("bench.reading-unnamed").to_owned(),
        }
    };
    match question {
        Question::Designation => say!("bench.question-designation").to_owned(),
        Question::Detail(asked) => detail::asked(feature(state), asked.key).0,
        Question::Name => say!("bench.question-name").to_owned(),
        Question::Drawing => say!("bench.question-drawing").to_owned(),
        Question::Lot if state.lot_before.is_some() => {
            say!("bench.question-next-sample").to_owned()
        }
        Question::Lot => say!("bench.question-lot").to_owned(),
        Question::Rule => say!("bench.question-rule").to_owned(),
        Question::Service => say!("bench.question-service").to_owned(),
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
        Question::Reading { index } => {
            let place = state.plan.get(*index).map_or_else(String::new, Spot::words);
            say!(
                "bench.question-reading",
                number = index + 1,
                of = state.plan.len(),
                place = place
            )
        }
        Question::Again { of } => say!("bench.question-again", reading = reading_place(of)),
        Question::Flagged { of } => say!("bench.question-flagged", reading = reading_place(of)),
        Question::Verdict => say!("bench.question-verdict").to_owned(),
        Question::Person => say!("bench.question-person").to_owned(),
        Question::Finish => say!("bench.question-finish").to_owned(),
        Question::Recorded => say!("bench.question-recorded").to_owned(),
        Question::Dropped => say!("bench.question-dropped").to_owned(),
    }
}

/// What Enter does when the field is empty; nothing where an answer must be typed.
pub fn enter(question: &Question, offer: Option<&str>) -> Option<String> {
    match (question, offer) {
        (Question::Detail(asked), None) if asked.is_list() => {
            Some(say!("bench.enter-ends-list").to_owned())
        }
        (Question::Person, Some(offer)) => Some(say!("bench.enter-records-as", offer = offer)),
        (_, Some(offer)) => Some(say!("bench.enter-takes-offer", offer = offer)),
        (Question::ZeroDoubt { .. }, _) => Some(say!("bench.enter-zero-doubt").to_owned()),
        (Question::Again { .. }, _) => Some(say!("bench.enter-leaves-reading").to_owned()),
        (Question::Flagged { .. }, _) => Some(say!("bench.enter-flagged").to_owned()),
        (Question::Verdict, _) => Some(say!("bench.enter-to-closing-check").to_owned()),
        (Question::Finish, _) => Some(say!("bench.enter-makes-record").to_owned()),
        (Question::Recorded, _) => Some(say!("bench.enter-next-part").to_owned()),
        (Question::Dropped, _) => Some(say!("bench.enter-new-job").to_owned()),
        _ => None,
    }
}

/// How an answer may look.
pub fn hint(state: &State, question: &Question) -> Option<String> {
    match question {
        Question::Designation => Some(say!("bench.hint-designation").to_owned()),
        Question::Detail(asked) => {
            Some(detail::asked(feature(state), asked.key).1).filter(|hint| !hint.is_empty())
        }
        Question::Service => Some(say!("bench.hint-choice").to_owned()),
        Question::Lot => Some(say!("bench.hint-lot").to_owned()),
        Question::Drawing => Some(say!("bench.hint-drawing").to_owned()),
        Question::Rule => Some(say!("bench.hint-rule").to_owned()),
        question if question.chooses() => Some(say!("bench.hint-choice").to_owned()),
        Question::Temperature => Some(say!("bench.hint-temperature").to_owned()),
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
        Doubt::Slip { message } => say!("bench.doubt-slip", message = message),
        Doubt::Drift { drift, limit } => say!(
            "bench.doubt-drift",
            drift = number::difference(*drift, unit),
            limit = small_length(*limit, unit)
        ),
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
        Command::LookUp => say!("bench.command-look"),
    }
}

/// A verdict before zero is closed on again.
pub fn provisional() -> &'static str {
    say!("bench.provisional")
}

/// Warnings stand with the budget; beside the verdict they are counted.
pub fn warnings(count: usize) -> String {
    say!("bench.warnings", n = count)
}

pub fn not_asked_for(line: &str) -> String {
    let line: String = line.chars().take(40).collect();
    say!("bench.not-asked-for", line = line)
}

pub fn line_no_reading(line: &str) -> String {
    let line: String = line.chars().filter(|c| !c.is_control()).take(40).collect();
    say!("bench.line-no-reading", line = line)
}

pub fn line_lost(device: &str) -> String {
    say!("bench.line-lost", device = device)
}

/// What the page says while the program does not answer it.
pub fn no_answer() -> &'static str {
    say!("bench.no-answer")
}

pub fn form_too_long() -> &'static str {
    say!("bench.form-too-long")
}

pub fn form_broken() -> &'static str {
    say!("bench.form-broken")
}

pub fn not_taken() -> &'static str {
    say!("bench.not-taken")
}

pub fn overtaken(line: &str) -> String {
    let line: String = line.chars().take(60).collect();
    if line.is_empty() {
        overtaken_label().to_owned()
    } else {
        format!("{} ({line})", overtaken_label())
    }
}

pub fn look_up_as() -> &'static str {
    say!("bench.look-up-as")
}

pub fn pages() -> &'static str {
    say!("bench.pages")
}

pub fn bench() -> &'static str {
    say!("bench.bench")
}

pub fn history() -> &'static str {
    say!("bench.history")
}

pub fn to_the_bench() -> &'static str {
    say!("bench.to-the-bench")
}

pub fn nothing_here() -> &'static str {
    say!("bench.nothing-here")
}

pub fn nothing_here_long() -> &'static str {
    say!("bench.nothing-here-long")
}

pub fn new_job() -> &'static str {
    say!("bench.new-job")
}

pub fn steps() -> &'static str {
    say!("bench.steps")
}

pub fn budget() -> &'static str {
    say!("bench.budget")
}

pub fn corrections() -> &'static str {
    say!("bench.corrections")
}

pub fn conforms(probability: &str) -> String {
    say!("bench.conforms", probability = probability)
}

pub fn warnings_title() -> &'static str {
    say!("bench.warnings-title")
}

pub fn no_budget_yet() -> &'static str {
    say!("bench.no-budget-yet")
}

pub fn all_keys() -> &'static str {
    say!("bench.all-keys")
}

pub fn keys() -> &'static str {
    say!("bench.keys")
}

pub fn key() -> &'static str {
    say!("bench.key")
}

pub fn word() -> &'static str {
    say!("bench.word")
}

pub fn does() -> &'static str {
    say!("bench.does")
}

pub fn how_keys_work() -> &'static str {
    say!("bench.how-keys-work")
}

pub fn take() -> &'static str {
    say!("bench.take")
}

pub fn as_label() -> &'static str {
    say!("bench.as")
}

pub fn limits() -> &'static str {
    say!("bench.limits")
}

pub fn least() -> &'static str {
    say!("bench.least")
}

pub fn most() -> &'static str {
    say!("bench.most")
}

/// What the designation left open, and what was taken.
pub fn assumed(taken: &impl Say) -> String {
    say!("bench.assumed", taken = crate::words::said(taken))
}

/// Where the limits are from.
pub fn by(sources: &[Source]) -> String {
    let named: Vec<_> = sources
        .iter()
        .map(|source| crate::words::source(*source))
        .collect();
    say!("bench.by", sources = named.join(", "))
}

pub fn due() -> &'static str {
    say!("bench.due")
}

pub fn not_fit() -> &'static str {
    say!("bench.not-fit")
}

pub fn empty_register() -> &'static str {
    say!("bench.empty-register")
}

pub fn tolerance_taken_label() -> &'static str {
    say!("bench.tolerance-taken-label")
}

pub fn looked_up() -> &'static str {
    say!("bench.looked-up")
}

pub fn zero_readings_so_far() -> &'static str {
    say!("bench.zero-readings-so-far")
}

pub fn readings_so_far() -> &'static str {
    say!("bench.readings-so-far")
}

pub fn set_aside() -> &'static str {
    say!("bench.set-aside")
}

pub fn stands(reason: &str) -> String {
    say!("bench.stands", reason = reason)
}

pub fn verdict() -> &'static str {
    say!("bench.verdict")
}

pub fn recorded_as() -> &'static str {
    say!("bench.recorded-as")
}

pub fn record() -> &'static str {
    say!("bench.record")
}

pub fn more_about() -> &'static str {
    say!("bench.more-about")
}

pub fn all_of_lot() -> &'static str {
    say!("bench.all-of-lot")
}

pub fn zero_checks_of() -> &'static str {
    say!("bench.zero-checks-of")
}

pub fn inputs() -> &'static str {
    say!("bench.inputs")
}

pub fn amendments() -> &'static str {
    say!("bench.amendments")
}

pub fn holds() -> &'static str {
    say!("bench.holds")
}

/// What would settle it, as the calculation says it; where nothing does, that.
pub fn settles(result: &Inspected, settle: &Settle) -> String {
    let told = result.say(&settle.sentence);
    let way = if settle.way == "nothing" {
        sentence(&told)
    } else {
        crate::report::settles(result, settle)
    };
    match &result.at_hand {
        Some(at_hand) => format!("{way} {}", sentence(at_hand)),
        None => way,
    }
}

pub fn number_alone(line: &str) -> String {
    say!("bench.number-alone", line = line)
}

/// That a sample is on the record already.
pub fn recorded_before(sample: &str, entry: &str, what: &str, verdict: &str) -> String {
    say!(
        "bench.recorded-before",
        sample = sample,
        entry = entry,
        what = what,
        verdict = verdict
    )
}

/// A decimal number where a name is asked for.
pub fn number_for_name(line: &str) -> String {
    say!("bench.number-for-name", line = line)
}

pub fn worst_too(name: &str, of: &str, value: &str, unit: LengthUnit) -> String {
    say!(
        "bench.worst-too",
        name = name,
        of = of,
        value = value,
        unit = unit
    )
}

pub fn decided_on(what: &str) -> String {
    say!("bench.decided-on", what = what)
}

/// What the micrometer will show in the middle of the limits, and how often it is read.
pub fn will_show(millimetres: f64, unit: LengthUnit, readings: usize) -> String {
    let about = number::display(millimetres, unit);
    say!("bench.will-show", readings = readings, about = about)
}

pub fn expected(expanded: f64, unit: LengthUnit) -> String {
    say!(
        "bench.expected",
        expanded = number::difference(expanded, unit)
    )
}

/// The part of the tolerance that the uncertainty takes.
pub fn tolerance_taken(part: f64) -> String {
    let taken = number::whole_percent(part);
    if part > 0.5 {
        say!("bench.tolerance-taken-over-half", taken = taken)
    } else if part > 0.25 {
        say!("bench.tolerance-taken-over-quarter", taken = taken)
    } else {
        say!("bench.tolerance-taken", taken = taken)
    }
}

pub fn zero_error(error: f64, unit: LengthUnit) -> String {
    let sign = if error > 0.0 { "+" } else { "" };
    say!(
        "bench.zero-error",
        error = format!("{sign}{}", number::difference(error, unit))
    )
}

pub fn range_of_zero(range: Length, unit: LengthUnit) -> String {
    say!("bench.range-of-zero", range = small_length(range, unit))
}

pub fn drift(drift: f64, unit: LengthUnit) -> String {
    let sign = if drift > 0.0 { "+" } else { "" };
    say!(
        "bench.drift",
        drift = format!("{sign}{}", number::difference(drift, unit))
    )
}

/// How far the corrected readings lie apart.
pub fn range_of_readings(result: &Inspected) -> String {
    let values = || result.readings.iter().map(|reading| reading.corrected);
    let (low, high) = (
        values().fold(f64::INFINITY, f64::min),
        values().fold(f64::NEG_INFINITY, f64::max),
    );
    let millimetres = to_mm(high - low, result.unit);
    say!(
        "bench.range-of-readings",
        range = number::difference(millimetres, result.unit)
    )
}

pub fn view(view: super::answer::View) -> &'static str {
    match view {
        super::answer::View::Budget => say!("bench.view-budget"),
        super::answer::View::Tolerance => say!("bench.view-tolerance"),
        super::answer::View::Keys => say!("bench.view-keys"),
    }
}

/// What Enter does, in a word for the foot line.
pub fn enter_does(question: &Question) -> &'static str {
    match question {
        Question::Verdict => say!("bench.foot-go-on"),
        Question::Recorded => say!("bench.foot-next-part"),
        Question::Person | Question::Finish => say!("bench.foot-record"),
        Question::Dropped => say!("bench.foot-begin"),
        _ => say!("bench.foot-take"),
    }
}

pub fn section_label() -> &'static str {
    say!("bench.section-label")
}

pub fn on_standard_label() -> &'static str {
    say!("bench.on-standard-label")
}

pub fn certified() -> &'static str {
    say!("bench.certified")
}

pub fn on_standard(id: &str) -> String {
    say!("bench.on-standard", id = id)
}

pub fn place() -> &'static str {
    say!("bench.place")
}

pub fn broken_out() -> &'static str {
    say!("bench.broken-out")
}

pub fn section(designation: &str, seated: bool, over_wires: bool) -> String {
    if seated {
        say!("bench.section-seated", designation = designation)
    } else if over_wires {
        say!("bench.section-over-wires", designation = designation)
    } else {
        say!("bench.section", designation = designation)
    }
}

pub fn feature_section(name: &str, feature: &str, contacts: Option<&str>) -> String {
    match contacts {
        Some(contacts) => say!(
            "bench.feature-section-with",
            name = name,
            feature = feature,
            contacts = contacts
        ),
        None => say!("bench.feature-section", name = name, feature = feature),
    }
}

/// The limits of what was named, while more is asked of it.
pub fn stated(stated: &Stated) -> String {
    range(
        stated.lower.as_ref().map(spaced),
        stated.upper.as_ref().map(spaced),
    )
}

pub fn findings() -> &'static str {
    say!("bench.findings")
}

pub fn so_far() -> &'static str {
    say!("bench.so-far")
}

pub fn to_scale() -> &'static str {
    say!("bench.to-scale")
}

pub fn sketch() -> &'static str {
    say!("bench.sketch")
}

pub fn plain_section(name: &str) -> String {
    say!("bench.plain-section", name = name)
}

pub fn times_large(times: f64) -> String {
    say!("bench.times-large", times = number::fixed(times, 0))
}

pub fn chart(title: &str, count: usize) -> String {
    say!("bench.chart", title = title, count = count)
}

pub fn part() -> &'static str {
    say!("bench.part")
}

pub fn lot() -> &'static str {
    say!("bench.lot")
}

pub fn instrument() -> &'static str {
    say!("bench.instrument")
}

pub fn standard() -> &'static str {
    say!("bench.standard")
}

pub fn person() -> &'static str {
    say!("bench.person")
}

pub fn since() -> &'static str {
    say!("bench.since")
}

pub fn until() -> &'static str {
    say!("bench.until")
}

pub fn show() -> &'static str {
    say!("bench.show")
}

pub fn under_way() -> &'static str {
    say!("bench.under-way")
}

pub fn no_records() -> &'static str {
    say!("bench.no-records")
}

pub fn older() -> &'static str {
    say!("bench.older")
}

pub fn records() -> &'static str {
    say!("bench.records")
}

pub fn when() -> &'static str {
    say!("bench.when")
}

pub fn characteristic() -> &'static str {
    say!("bench.characteristic")
}

pub fn size() -> &'static str {
    say!("bench.size")
}

pub fn amended_by() -> &'static str {
    say!("bench.amended-by")
}

pub fn unreadable() -> &'static str {
    say!("bench.unreadable")
}

pub fn upper_control() -> &'static str {
    say!("bench.upper-control")
}

pub fn lower_control() -> &'static str {
    say!("bench.lower-control")
}

pub fn mean() -> &'static str {
    say!("bench.mean")
}

pub fn no_error() -> &'static str {
    say!("bench.no-error")
}

/// What the chart of the zero shows; `times` the mean moving range are its limits.
pub fn zero_chart(times: f64) -> String {
    say!("bench.zero-chart", times = number::short(times, 2))
}

pub fn zero_before() -> &'static str {
    say!("bench.zero-before")
}

pub fn remark() -> &'static str {
    say!("bench.remark")
}

pub fn run() -> &'static str {
    say!("bench.run")
}

pub fn histogram() -> &'static str {
    say!("bench.histogram")
}

pub fn job(number: u64) -> String {
    say!("bench.job", number = number)
}

pub fn no_date(text: &str) -> String {
    say!("bench.no-date", text = text)
}

pub fn too_few_checks(fewest: usize) -> String {
    say!("bench.too-few-checks", fewest = fewest)
}

pub fn readings_of(readings: usize, parts: usize) -> String {
    say!("bench.readings-of", readings = readings, n = parts)
}

pub fn signal(signal: crate::web::Signal) -> &'static str {
    match signal {
        crate::web::Signal::Beyond => say!("bench.signal-beyond"),
        crate::web::Signal::TwoOfThree => say!("bench.signal-two-of-three"),
        crate::web::Signal::EightOnOneSide => say!("bench.signal-eight-on-one-side"),
        crate::web::Signal::Drift => say!("bench.signal-drift"),
    }
}
