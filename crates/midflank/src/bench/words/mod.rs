//! What the bench says, each sentence by its code.

pub mod detail;

use jiff::Timestamp;
use jiff::civil::Date;
use metrology::inspection::JobError;
use metrology::message::Say;
use metrology::source::Source;
use metrology::units::{Entered, Length, LengthUnit};

use super::answer::Command;
use super::state::State;
use crate::document::{Inspected, Settle, to_mm};
use crate::report::{sentence, verdict_word};
use crate::say;
use crate::words::InWords as _;
use crate::words::number;
use workshop::bench::finish::RecordedBefore;
use workshop::error::Why;
use workshop::station;

pub fn nothing_fit() -> &'static str {
    say!("bench.nothing-fit")
}

pub fn parked_jobs() -> &'static str {
    say!("bench.parked-jobs")
}

pub fn parked_at(station: &str, at: Timestamp) -> String {
    say!("bench.parked-at", station = station, at = number::time(at))
}

pub fn job_label() -> &'static str {
    say!("bench.job-label")
}

pub fn how_far_label() -> &'static str {
    say!("bench.how-far-label")
}

/// How far the readings of a job are.
pub fn how_far(step: &str, readings: usize, of: usize) -> String {
    say!("bench.how-far", step = step, readings = readings, of = of)
}

pub fn station() -> &'static str {
    say!("bench.station")
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

/// Why a line is not taken, or a piece not offered.
pub fn why(why: &Why) -> String {
    crate::words::on_page(&why.message, crate::words::Shown::in_unit(why.unit))
}

/// What is wrong with the job on the bench, in the unit of its drawing.
pub fn job_error(error: &JobError, unit: LengthUnit) -> String {
    crate::words::on_page(error, crate::words::Shown::in_unit(unit))
}

/// An entry as it is read: its number as entered, and its unit a thin space after it.
pub fn spaced(entered: &Entered) -> String {
    let text = entered.text();
    let digits =
        text.trim_end_matches(|c: char| c.is_alphabetic() || c.is_whitespace() || c == '"');
    let unit = number::sign(entered.unit());
    // With a point or a comma, as the reader has it and not as it was typed.
    format!(
        "{}\u{202f}{unit}",
        number::localized(&digits.replace(',', "."))
    )
}

pub(super) fn small_length(length: Length, unit: LengthUnit) -> String {
    number::difference(length.mm(), unit)
}

/// Beside the number of a sample, for who does not see it.
pub fn sample() -> &'static str {
    say!("bench.sample")
}

/// Halfway between the limits.
pub fn middle() -> &'static str {
    say!("bench.middle")
}

/// The limits as the display shows them.
pub fn as_shown() -> &'static str {
    say!("bench.as-shown")
}

/// Over the list of single pieces, under that of whole set-ups.
pub fn piece_by_piece() -> &'static str {
    say!("bench.piece-by-piece")
}

/// How many pieces are not fit here, `more` than those listed above.
pub fn do_not_fit(count: usize, more: bool) -> String {
    if more {
        say!("bench.more-do-not-fit", n = count)
    } else {
        say!("bench.do-not-fit", n = count)
    }
}

/// A verdict before zero is closed on again.
pub fn provisional() -> &'static str {
    say!("bench.provisional")
}

/// Warnings stand with the budget; beside the verdict they are counted.
/// With what shows them: a key, or the word where the field takes words.
pub fn warnings(count: usize, by: &str) -> String {
    say!("bench.warnings", n = count, by = by)
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

pub fn look_up_as() -> &'static str {
    say!("bench.look-up-as")
}

pub fn on_plain_standard(id: &str) -> String {
    say!("bench.on-plain-standard", id = id)
}

pub fn hidden_characters() -> &'static str {
    say!("bench.hidden-characters")
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

/// That a sample is on the record already.
pub fn recorded_before(before: &RecordedBefore) -> String {
    say!(
        "bench.recorded-before",
        sample = before.sample,
        entry = before.entry,
        what = before.characteristic,
        verdict = verdict_word(&before.verdict)
    )
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

/// That a job was parked, and how it is found again.
pub fn parked(state: &State, job: u64) -> String {
    let line = format!("/{} {job}", Command::TakeUp.word());
    match state.run() {
        Some(run) => say!("bench.parked-run", job = job, line = line, lot = run.of.lot),
        None => say!("bench.parked-job", job = job, line = line),
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

pub fn check() -> &'static str {
    say!("bench.check")
}

pub fn zero_found() -> &'static str {
    say!("bench.zero-found")
}

/// Over a column of times, with the zone that they are told in.
pub fn when() -> String {
    say!("bench.when", zone = station::zone())
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

/// That the first day of a filter is after the last.
pub fn dates_reversed(since: Date, until: Date) -> String {
    say!("bench.dates-reversed", since = since, until = until)
}

pub fn too_few_checks(fewest: usize) -> String {
    say!("bench.too-few-checks", fewest = fewest)
}

pub fn readings_of(readings: usize, parts: usize) -> String {
    say!("bench.readings-of", readings = readings, n = parts)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::details;
    use crate::bench::event::{Answers, Said};
    use crate::bench::stated;

    /// A number that the intake refuses by its key is refused here without it: nobody at the bench writes keys.
    #[test]
    fn a_refusal_names_no_key() {
        let stated = stated::read("lobed 11.98 to 12.00 mm").unwrap().unwrap();
        let said = [
            ("lobes", "3"),
            ("v_angle", "180"),
            ("v_scale", "distance"),
            ("v_readings", "7.01 7.02 7.03"),
        ];
        let said = said.map(|(key, text)| {
            let (text, done) = (text.to_owned(), true);
            (key.to_owned(), Said { text, done })
        });
        let refusal = details::characteristic(&stated, &Answers::from(said)).unwrap_err();
        let told = why(&refusal.why);
        assert!(told.contains("179") && !told.contains("v_angle"), "{told}");
    }
}
