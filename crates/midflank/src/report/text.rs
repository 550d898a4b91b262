//! A result as plain text: the verdict first, at most 78 columns, nothing carried by colour.

use std::fmt::Write as _;

use metrology::inspection::Job;
use metrology::message::Say;

use super::bar::Bar;
use super::monte_carlo;
use super::sections::statement;
pub use super::small::WIDTH;
use super::small::{indented, wrap};
use super::{
    Report, Stage, budget_lines, caution, class_taken, doubt, evidence, fine_decimals,
    own_uncertainty, place_words, rule_words, scope, sentence, settles, size, unnamed,
    verdict_word, verdict_words, worst_words,
};
use crate::document::Inspected;
use crate::document::inspection::BudgetLine;
use crate::words::number;
use crate::words::{InWords as _, Label as _};
use crate::{say, words};

/// The short answer at the bench: verdict, size, limits, and what made them.
pub fn answer(job: &Job, result: &Inspected, width: usize) -> String {
    let mut text = Text::new(width);
    text.verdict(job, result, Stage::Open);
    text.numbers(result);
    text.feature(result);
    text.readings(result);
    text.corrections(result);
    text.budget(result);
    text.warnings(result);
    text.evidence(job, result);
    text.done()
}

/// The whole record.
pub fn report(report: &Report, width: usize) -> String {
    let mut text = Text::new(width);
    text.is_report = true;
    if let Some(record) = &report.record {
        text.title(say!("report.text-title"));
        text.field(say!("report.field-record"), &record.id);
        text.field(
            say!("report.field-recorded"),
            &say!(
                "report.recorded-by",
                at = number::time(record.recorded_at),
                person = record.person,
                station = record.station
            ),
        );
        if let Some((id, reason)) = &record.amends {
            text.field(say!("report.field-amends"), &format!("{id}: {reason}"));
        }
        if let Some(superseded) = &record.superseded {
            text.blank();
            text.paragraph(&superseded.sentence());
        }
        for sentence in &record.recalled {
            text.blank();
            text.paragraph(sentence);
        }
        text.blank();
    }
    text.part(report.job);
    text.verdict(report.job, report.result, report.stage());
    text.numbers(report.result);
    text.feature(report.result);
    text.readings(report.result);
    text.corrections(report.result);
    text.budget(report.result);
    text.warnings(report.result);
    text.evidence(report.job, report.result);
    text.title(say!("report.title-statement"));
    text.paragraph(&statement(report.result));
    if let Some(scope) = scope(report.job) {
        text.paragraph(scope);
    }
    text.paragraph(caution());
    text.blank();
    text.line(say!("report.text-signed"));
    if let Some(record) = &report.record {
        text.blank();
        text.field(say!("report.text-computed-by"), &record.program);
        if let Some((_, validation)) = &record.validation {
            text.field(say!("report.field-validated"), validation);
        }
        text.field(say!("report.field-hash"), "");
        text.line(&format!("  {}", record.hash));
    }
    text.line(say!("report.text-end"));
    text.done()
}

/// Text under way.
struct Text {
    out: String,
    width: usize,
    /// The report of a record, not the answer to whoever measured.
    is_report: bool,
}

impl Text {
    fn new(width: usize) -> Self {
        Self {
            out: String::new(),
            width: width.clamp(40, WIDTH),
            is_report: false,
        }
    }

    /// What is told to whom it is for.
    fn tell(&self, result: &Inspected, what: &impl Say) -> String {
        if self.is_report {
            words::on_report(what, result.shown())
        } else {
            words::message(what, result.shown())
        }
    }

    fn done(self) -> String {
        self.out
    }

    fn line(&mut self, line: &str) {
        self.out.push_str(line.trim_end());
        self.out.push('\n');
    }

    fn blank(&mut self) {
        self.out.push('\n');
    }

    fn title(&mut self, title: &str) {
        self.blank();
        self.line(title);
    }

    /// A name and what belongs to it, on one line or folded under it.
    fn field(&mut self, name: &str, value: &str) {
        for (index, line) in wrap(value, self.width.saturating_sub(17))
            .iter()
            .enumerate()
        {
            let name = if index == 0 { name } else { "" };
            self.line(&format!("  {name:<14} {line}"));
        }
    }

    fn paragraph(&mut self, words: &str) {
        for line in wrap(words, self.width) {
            self.line(&line);
        }
    }

    fn verdict(&mut self, job: &Job, result: &Inspected, stage: Stage) {
        self.line(&verdict_words(&result.decision.decision));
        if let Some(doubt) = doubt(result, stage) {
            self.paragraph(&doubt);
        } else if result.decision.provisional {
            self.paragraph(say!("report.provisional"));
        }
        if let Some(class) = class_taken(result) {
            self.paragraph(&class);
        }
        let sample = job.part.sample.as_ref().map_or(String::new(), |sample| {
            say!("report.of-sample", sample = sample)
        });
        self.paragraph(&format!(
            "{}{sample}: {}",
            job.part.name,
            result.characteristic()
        ));
        self.paragraph(&result.say(&result.decision.reason));
        if let Some(settle) = &result.settle {
            self.paragraph(&settles(result, settle));
            if let Some(at_hand) = &result.at_hand {
                self.paragraph(&sentence(&result.say(at_hand)));
            }
        }
        self.blank();
    }

    fn part(&mut self, job: &Job) {
        let part = &job.part;
        self.field(say!("report.field-part"), &part.name);
        for (name, value) in [
            (say!("report.field-drawing"), &part.drawing),
            (say!("report.field-characteristic"), &part.characteristic),
            (say!("report.field-order"), &part.order),
            (say!("report.field-lot"), &part.lot),
            (say!("report.field-sample"), &part.sample),
        ] {
            if let Some(value) = value {
                self.field(name, value);
            }
        }
        self.blank();
    }

    fn numbers(&mut self, result: &Inspected) {
        let unit = result.unit;
        let decimals = usize::try_from(result.decimals).unwrap_or(4);
        let (value, expanded, places) = size(result.size.value, result.size.expanded_uncertainty);
        let limit = |limit: Option<f64>| {
            limit.map_or(say!("report.no-limit").to_owned(), |limit| {
                number::fixed(limit, decimals)
            })
        };
        let (min, max) = (limit(result.limits.min), limit(result.limits.max));
        // The decimal points of size and limits stand under each other.
        let before = value
            .find('.')
            .unwrap_or(value.len())
            .max(min.find('.').unwrap_or(0));
        let align = |number: &str| {
            " ".repeat(before.saturating_sub(number.find('.').unwrap_or(number.len()))) + number
        };
        self.field(
            say!("report.field-size"),
            &format!(
                "{} {unit}  ± {expanded} {unit}   (k = {}, 95 %)",
                align(&value),
                number::fixed(result.size.coverage_factor, 2)
            ),
        );
        if let Some(both) = own_uncertainty(result) {
            self.field(say!("report.field-uncertainty"), &both);
        }
        self.field(
            say!("report.field-limits"),
            &say!(
                "report.from-to-unit",
                from = align(&min),
                to = max,
                unit = unit
            ),
        );
        let side = match (result.limits.min, result.limits.max) {
            (Some(min), Some(max)) if (result.size.value - min) < (max - result.size.value) => {
                say!("report.side-lower")
            }
            (_, None) => say!("report.side-lower"),
            _ => say!("report.side-upper"),
        };
        // Beside a verdict that is withheld a margin and a probability would be read as one.
        let is_withheld = result.decision.because.is_some();
        if !is_withheld {
            self.field(
                say!("report.field-margin"),
                &say!(
                    "report.text-margin",
                    length = number::length(result.decision.margin, places, unit),
                    side = side
                ),
            );
        }
        let guard = result.decision.guard_band.map_or(String::new(), |guard| {
            say!(
                "report.text-guard-band",
                length = number::length(guard, places.max(decimals), unit)
            )
        });
        self.field(
            say!("report.field-rule"),
            &format!("{}{guard}", rule_words(result)),
        );
        if !is_withheld {
            self.field(say!("report.field-conforms"), &conforms(result));
        }
        self.field(
            say!("report.text-decided-on"),
            &result.say(&result.decided_on),
        );
        self.around(result);
    }

    /// The bar, and what stands beside the size: mean and worst place, what the rest would give, Monte Carlo.
    fn around(&mut self, result: &Inspected) {
        let unit = result.unit;
        self.blank();
        let bar = Bar::of(result);
        self.line(&format!(
            "  {}",
            bar.in_characters(self.width.saturating_sub(4))
        ));
        let broken = if bar.broken.is_some() {
            say!("report.text-bar-broken")
        } else {
            ""
        };
        self.line(&say!("report.text-bar-key", broken = broken));
        for (name, outcome) in [
            (say!("report.field-mean"), Some(&result.mean)),
            (&*worst_words(result), result.worst_place.as_ref()),
        ] {
            if let Some(outcome) = outcome.filter(|_| result.worst_place.is_some()) {
                let (value, expanded, _) =
                    size(outcome.size.value, outcome.size.expanded_uncertainty);
                self.field(
                    name,
                    &format!(
                        "{value} ± {expanded} {unit}, {}: {}",
                        result.say(&outcome.of),
                        verdict_word(&outcome.decision.decision)
                    ),
                );
            }
        }
        if let Some(rest) = &result.without_flagged {
            let (value, expanded, _) = size(rest.size.value, rest.size.expanded_uncertainty);
            self.field(
                say!("report.field-unflagged"),
                &say!(
                    "report.text-unflagged",
                    value = value,
                    expanded = expanded,
                    unit = unit,
                    verdict_word = verdict_word(&rest.decision.decision)
                ),
            );
        }
        if let Some([interval, check]) = monte_carlo::sentences(result) {
            self.field(say!("report.text-monte-carlo"), &interval);
            self.field("", &check);
        }
    }

    /// What else the readings of a feature tell, each with its definition, and whom the result defers to.
    fn feature(&mut self, result: &Inspected) {
        if let Some(feature) = result
            .feature
            .as_ref()
            .filter(|feature| !feature.is_empty())
        {
            self.title(say!("report.title-feature"));
            if let Some(conversion) = &feature.conversion {
                self.field(say!("report.field-size"), &result.say(conversion));
            }
            for finding in &feature.findings {
                let required = finding.decision.as_ref().map_or(String::new(), |decision| {
                    format!("   {}", verdict_words(decision))
                });
                self.line(&format!(
                    "  {:<34} {:>14}{required}",
                    finding.label(),
                    super::finding_value(finding)
                ));
                if let Some(reason) = &finding.reason {
                    self.folded(&result.say(reason));
                }
                self.folded(&result.say(&finding.definition));
            }
        }
        for caution in &result.cautions {
            self.blank();
            self.paragraph(&format!("! {}", result.say(caution)));
        }
    }

    /// Words set in under what they belong to.
    fn folded(&mut self, words: &str) {
        for line in wrap(words, self.width.saturating_sub(6)) {
            self.line(&format!("      {line}"));
        }
    }

    fn readings(&mut self, result: &Inspected) {
        let places = fine_decimals(result.unit).saturating_sub(1);
        self.title(&say!("report.title-readings", unit = result.unit));
        let _ = writeln!(
            self.out,
            "  {:<24} {:>14} {:>12}",
            place_words(result),
            say!("report.column-as-read"),
            say!("report.column-corrected")
        );
        for (index, reading) in result.readings.iter().enumerate() {
            let place = if let Some(place) = &reading.place {
                result.say(place)
            } else {
                unnamed(result, index + 1)
            };
            let mark = if reading.flags.is_empty() { "" } else { "  ?" };
            self.line(&format!(
                "  {place:<24} {:>14} {:>12}{mark}",
                number::as_entered(&reading.as_read),
                number::fixed(reading.corrected, places)
            ));
            for flag in &reading.flags {
                for line in wrap(
                    &self.tell(result, &flag.message),
                    self.width.saturating_sub(6),
                ) {
                    self.line(&format!("    ? {line}"));
                }
            }
        }
        let zero = &result.zero_error;
        let after = zero
            .after
            .map_or(say!("report.text-not-checked").to_owned(), |after| {
                number::signed(after, places)
            });
        self.line(&say!(
            "report.text-zero",
            zero = number::signed(zero.before, places),
            after = after,
            n = zero.n
        ));
        for flag in &zero.flags {
            for line in wrap(
                &say!("report.at-zero", what = self.tell(result, &flag.message)),
                self.width.saturating_sub(6),
            ) {
                self.line(&format!("    ? {line}"));
            }
        }
    }

    fn corrections(&mut self, result: &Inspected) {
        let places = fine_decimals(result.unit);
        self.title(&say!("report.text-corrections", unit = result.unit));
        let _ = writeln!(
            self.out,
            "  {:<22} {:>11} {:>10}",
            "",
            say!("report.column-add"),
            "u"
        );
        for correction in &result.corrections {
            let numbers = format!(
                "  {:<22} {:>11} {:>10}  ",
                correction.label(),
                number::signed(correction.value, places),
                number::fixed(correction.standard_uncertainty, places),
            );
            self.out
                .push_str(&indented(&numbers, &result.say(&correction.source), WIDTH));
        }
    }

    fn budget(&mut self, result: &Inspected) {
        let places = fine_decimals(result.unit);
        self.title(&say!("report.text-budget", unit = result.unit));
        let _ = writeln!(
            self.out,
            "  {:<36} {:>12} {:>8} {:>6}",
            "",
            say!("report.column-contribution"),
            say!("report.column-share"),
            say!("report.column-degrees-of-freedom")
        );
        let (lines, smaller) = budget_lines(result);
        for line in lines {
            let mark = if line.is_default() { " *" } else { "" };
            self.line(&format!(
                "  {:<36} {:>12} {:>6} % {:>6}",
                format!("{}{mark}", line.label()),
                number::fixed(line.contribution, places),
                number::fixed(line.share * 100.0, 1),
                degrees(line.degrees_of_freedom)
            ));
        }
        if smaller > 0 {
            self.line(&format!("  {}", say!("report.budget-smaller", n = smaller)));
        }
        let default = result.budget.iter().any(BudgetLine::is_default);
        self.line(&format!(
            "  {:<36} {:>12} {:>8} {:>6}",
            say!("report.text-combined"),
            number::fixed(result.by_budget().standard_uncertainty, places),
            "",
            degrees(result.by_budget().degrees_of_freedom)
        ));
        if default {
            self.line(&format!("  {}", say!("report.budget-default")));
        }
        for what in &result.rests_on {
            self.folded(&result.say(what));
        }
    }

    fn warnings(&mut self, result: &Inspected) {
        if result.warnings.is_empty() {
            return;
        }
        self.title(say!("report.warnings"));
        for warning in &result.warnings {
            let warning = self.tell(result, warning);
            for (index, line) in wrap(&warning, self.width.saturating_sub(4))
                .iter()
                .enumerate()
            {
                self.line(&format!("  {} {line}", if index == 0 { "-" } else { " " }));
            }
        }
    }

    fn evidence(&mut self, job: &Job, result: &Inspected) {
        self.title(say!("report.equipment"));
        for (name, words) in evidence::rows(job, result) {
            self.field(name, &words);
        }
    }
}

/// How surely the size conforms; where more than the size is judged, this is of the size alone.
fn conforms(result: &Inspected) -> String {
    let probability = number::probability(result.decision.conformance_probability);
    if judges_more(result) {
        say!("report.size-conforms", probability = probability)
    } else {
        say!("report.conforms", probability = probability)
    }
}

/// Degrees of freedom as one prints them: whole, cut down.
fn degrees(number: Option<f64>) -> String {
    number.map_or(say!("report.endless").to_owned(), |number| {
        if number > 999.0 {
            ">999".to_owned()
        } else {
            number::fixed(number.floor(), 0)
        }
    })
}

fn judges_more(result: &Inspected) -> bool {
    let mut findings = result.feature.iter().flat_map(|feature| &feature.findings);
    findings.any(|finding| finding.decision.is_some())
}

#[cfg(test)]
mod tests {
    use super::wrap;

    #[test]
    fn words_are_folded_not_cut() {
        assert_eq!(wrap("one two three", 7), ["one two", "three"]);
        assert_eq!(wrap("incompressible", 4), ["incompressible"]);
        assert_eq!(wrap("", 4), [""]);
    }
}
