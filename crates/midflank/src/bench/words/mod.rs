//! What the bench says, each sentence by its code.

pub mod detail;

use jiff::civil::Date;
use metrology::inspection::JobError;
use metrology::message::Say;
use metrology::source::Source;
use metrology::units::{Entered, Length, LengthUnit};

use crate::document::{Inspected, Settle, to_mm};
use crate::report::sentence;
use crate::say;
use crate::words::InWords as _;
use crate::words::number;

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

/// What is wrong with the job on the bench, in the unit of its drawing.
pub fn job_error(error: &JobError, unit: LengthUnit) -> String {
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

pub(super) fn small_length(length: Length, unit: LengthUnit) -> String {
    number::difference(length.mm(), unit)
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
        Some(at_hand) => {
            let at_hand = crate::words::on_page(at_hand, result.shown());
            format!("{way} {}", sentence(&at_hand))
        }
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
