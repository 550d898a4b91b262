//! The sections of a report as facts and tables: what HTML and PDF have alike stands here once.

use metrology::inspection::Job;
use paper::{Column, Table, Words};

use super::{
    Report, budget_lines, capitalised, evidence, finding_value, fine_decimals, limits_from,
    own_uncertainty, place_words, rule_words, size, unnamed, verdict_word, verdict_words,
    worst_words,
};
use crate::document::{FeatureDocument, Inspected};
use crate::words::number;
use crate::words::{InWords as _, Label as _};
use crate::{say, words};

/// A name and what belongs to it.
pub type Fact = (String, Words);

/// How much of a table is shown.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// What stands on one sheet.
    Short,
    /// All there is.
    Long,
}

/// What was measured, as the shop calls it.
pub fn part(report: &Report) -> Vec<Fact> {
    let part = &report.job.part;
    let named = [
        (say!("report.head-part"), Some(&part.name)),
        (say!("report.head-drawing"), part.drawing.as_ref()),
        (
            say!("report.head-characteristic"),
            part.characteristic.as_ref(),
        ),
        (say!("report.head-order"), part.order.as_ref()),
        (say!("report.head-lot"), part.lot.as_ref()),
        (say!("report.head-sample"), part.sample.as_ref()),
    ];
    named
        .into_iter()
        .filter_map(|(name, value)| Some((name.to_owned(), value?.clone().into())))
        .collect()
}

/// When it was measured, and by whom.
pub fn measured(job: &Job) -> Fact {
    let at = number::time(job.measured_at);
    let words = match &job.person {
        Some(person) => say!("report.measured-by", at = at, person = person),
        None => at,
    };
    (say!("report.head-measured").to_owned(), words.into())
}

/// What the verdict rests on, in numbers. On one sheet what was decided on stands above already.
pub fn verdict(result: &Inspected, form: Form) -> Vec<Fact> {
    let (_, _, places) = size(result.size.value, result.size.expanded_uncertainty);
    let decimals = usize::try_from(result.decimals).unwrap_or(4);
    let limit = |limit: Option<f64>| {
        limit.map_or(say!("report.no-limit").to_owned(), |limit| {
            number::fixed(limit, decimals)
        })
    };
    let limits = say!(
        "report.from-to-unit",
        from = limit(result.limits.min),
        to = limit(result.limits.max),
        unit = result.unit
    );
    let rule = match result.decision.guard_band {
        Some(guard) => say!(
            "report.rule-with-guard-band",
            rule = rule_words(result),
            guard = number::length(guard, places.max(decimals), result.unit)
        ),
        None => rule_words(result),
    };
    let margin = number::length(result.decision.margin, places, result.unit);
    let conforms = number::probability(result.decision.conformance_probability);
    let mut facts = vec![(say!("report.verdict-limits"), limits)];
    if let Some(both) = own_uncertainty(result) {
        facts.push((say!("report.verdict-uncertainty"), both));
    }
    // A margin and a probability beside a verdict that is withheld would be read as one.
    let is_withheld = result.decision.because.is_some();
    let unless_withheld = |name, text| (!is_withheld).then_some((name, text));
    facts.extend(unless_withheld(say!("report.verdict-margin"), margin));
    facts.extend([
        (
            say!("report.verdict-decided-on"),
            result.say(&result.decided_on),
        ),
        (say!("report.verdict-rule"), rule),
    ]);
    facts.extend(unless_withheld(say!("report.size-conforms-with"), conforms));
    let mut facts: Vec<Fact> = facts
        .into_iter()
        .map(|(name, words)| (name.to_owned(), words.into()))
        .collect();
    if let Some(worst) = &result.worst_place {
        for (name, outcome) in [
            (say!("report.verdict-mean").to_owned(), &result.mean),
            (capitalised(&worst_words(result)), worst),
        ] {
            if form == Form::Short && outcome.size == result.size {
                continue;
            }
            let (value, expanded, _) = size(outcome.size.value, outcome.size.expanded_uncertainty);
            let of = result.say(&outcome.of);
            let verdict = verdict_word(&outcome.decision.decision);
            let unit = result.unit;
            facts.push((
                name,
                format!("{value} ± {expanded} {unit} ({of}): {verdict}").into(),
            ));
        }
    }
    if let Some(rest) = &result.without_flagged {
        let (value, expanded, _) = size(rest.size.value, rest.size.expanded_uncertainty);
        let verdict = verdict_word(&rest.decision.decision);
        let unit = result.unit;
        facts.push((
            say!("report.unflagged").to_owned(),
            format!("{value} ± {expanded} {unit}: {verdict}").into(),
        ));
    }
    facts
}

/// What else the readings of a feature tell.
pub fn findings(result: &Inspected, feature: &FeatureDocument, form: Form) -> Table {
    let mut columns = vec![
        Column::text(say!("report.findings-name")),
        Column::number(say!("report.findings-value")),
        Column::text(say!("report.findings-required")),
    ];
    if form == Form::Long {
        columns.push(Column::text(say!("report.findings-definition")));
        columns.push(Column::text(say!("report.findings-source")));
    }
    let mut table = Table::new(columns);
    for finding in &feature.findings {
        let required = match (&finding.decision, &finding.reason) {
            (Some(decision), Some(reason)) => {
                Words::strong(verdict_words(decision)).and(format!(": {}", result.say(reason)))
            }
            _ => Words::new(),
        };
        let mut row = vec![
            finding.label().into(),
            finding_value(finding).into(),
            required,
        ];
        if form == Form::Long {
            row.push(result.say(&finding.definition).into());
            row.push(result.say(&finding.source).into());
        }
        table.rows.push(row);
    }
    table
}

/// The readings as they were read, and corrected.
pub fn readings(result: &Inspected) -> Table {
    let places = fine_decimals(result.unit).saturating_sub(1);
    let mut table = Table::new(vec![
        Column::text(say!("report.readings-number")),
        Column::text(capitalised(&place_words(result))),
        Column::number(say!("report.readings-as-read")),
        Column::number(say!("report.readings-corrected", unit = result.unit)),
        Column::text(say!("report.readings-remark")),
    ]);
    for (index, reading) in result.readings.iter().enumerate() {
        let place = reading.place.as_ref();
        let flags: Vec<String> = reading
            .flags
            .iter()
            .map(|flag| format!("? {}", words::on_report(&flag.message, result.shown())))
            .collect();
        table.rows.push(vec![
            (index + 1).to_string().into(),
            place
                .map_or_else(String::new, |place| result.say(place))
                .into(),
            number::as_entered(&reading.as_read).into(),
            number::fixed(reading.corrected, places).into(),
            flags.join(" ").into(),
        ]);
    }
    table
}

/// The same without the columns in which nothing stands.
pub fn readings_in_short(result: &Inspected) -> Table {
    let mut table = readings(result);
    for column in [4, 1] {
        let is_empty = |row: &Vec<Words>| row.get(column).is_none_or(Words::is_empty);
        if table.rows.iter().all(is_empty) {
            table.columns.remove(column);
            for row in &mut table.rows {
                row.truncate(row.len().max(column));
                if column < row.len() {
                    row.remove(column);
                }
            }
        }
    }
    // Where nobody said where, its number is what a reading is told by.
    if table.columns.len() < 4 && result.readings.iter().all(|one| one.place.is_none()) {
        for (index, row) in table.rows.iter_mut().enumerate() {
            if let Some(first) = row.first_mut() {
                *first = unnamed(result, index + 1).into();
            }
        }
    }
    table
}

/// What the readings on the standard gave.
pub fn zero(result: &Inspected) -> String {
    let places = fine_decimals(result.unit).saturating_sub(1);
    let zero = &result.zero_error;
    let unit = result.unit;
    let before = number::signed(zero.before, places);
    let u = number::fixed(zero.standard_uncertainty, places);
    let told = match zero.after {
        Some(after) => say!(
            "report.zero-checked",
            before = before,
            after = number::signed(after, places),
            n = zero.n,
            u = u,
            unit = unit
        ),
        None => say!(
            "report.zero-open",
            before = before,
            n = zero.n,
            u = u,
            unit = unit
        ),
    };
    let flags = zero.flags.iter();
    let flags = flags.map(|flag| words::on_report(&flag.message, result.shown()));
    std::iter::once(told)
        .chain(flags.map(|flag| format!(" ? {flag}")))
        .collect()
}

/// What was added to the reading, effect by effect.
pub fn corrections(result: &Inspected, form: Form) -> Table {
    let places = fine_decimals(result.unit);
    let mut columns = vec![
        Column::text(say!("report.corrections-effect")),
        Column::number(say!("report.corrections-add", unit = result.unit)),
        Column::number(say!("report.corrections-standard-uncertainty")),
    ];
    if form == Form::Long {
        columns.push(Column::text(say!("report.corrections-source")));
    }
    let mut table = Table::new(columns);
    for correction in &result.corrections {
        let mut row = vec![
            correction.label().into(),
            number::signed(correction.value, places).into(),
            number::fixed(correction.standard_uncertainty, places).into(),
        ];
        if form == Form::Long {
            row.push(result.say(&correction.source).into());
        }
        table.rows.push(row);
    }
    table
}

/// A line of the budget that is smaller than this is summed up on one sheet.
const WORTH_A_LINE: f64 = 0.01;

/// The uncertainty budget, largest first.
pub fn budget(result: &Inspected, form: Form) -> Table {
    let places = fine_decimals(result.unit);
    let degrees = |number: Option<f64>| {
        number.map_or("∞".to_owned(), |number| number::fixed(number.floor(), 0))
    };
    let is_long = form == Form::Long;
    let mut columns = vec![
        Column::text(say!("report.budget-contribution")),
        Column::number(result.unit.to_string()),
        Column::number(say!("report.budget-share")),
        Column::number(say!("report.budget-degrees-of-freedom")),
    ];
    if is_long {
        columns.push(Column::text(say!("report.budget-from")));
    }
    let mut table = Table::new(columns);
    let (mut lines, mut smaller) = budget_lines(result);
    if !is_long {
        let before = lines.len();
        lines.retain(|line| line.share >= WORTH_A_LINE);
        smaller += before - lines.len();
    }
    for line in lines {
        let mut row = vec![
            line.label().into(),
            number::fixed(line.contribution, places).into(),
            number::fixed_percent(line.share, 1).into(),
            degrees(line.degrees_of_freedom).into(),
        ];
        if is_long {
            let note = line.note.as_ref();
            row.push(
                note.map_or_else(String::new, |note| words::on_report(note, result.shown()))
                    .into(),
            );
        }
        table.rows.push(row);
    }
    if smaller > 0 {
        let remark = if is_long {
            say!("report.budget-smaller", n = smaller)
        } else {
            say!("paper.budget-smaller", n = smaller)
        };
        table.foot.push(vec![remark.into()]);
    }
    let combined = result.by_budget();
    let mut foot = vec![
        Words::from(say!("report.budget-combined")),
        number::fixed(combined.standard_uncertainty, places).into(),
        Words::new(),
        degrees(combined.degrees_of_freedom).into(),
    ];
    if is_long {
        foot.push("JCGM 100:2008".into());
    }
    table.foot.push(foot);
    table
}

/// Equipment and conditions.
pub fn equipment(report: &Report, form: Form) -> Table {
    let rows = match form {
        Form::Short => evidence::in_short(report.job, report.result),
        Form::Long => evidence::rows(report.job, report.result),
    };
    Table::of_rows(
        rows.into_iter()
            .map(|(name, words)| (name.to_owned(), words.into()))
            .collect(),
    )
}

/// What is stated, and under which rule.
pub fn statement(result: &Inspected) -> String {
    let (limits, rule) = (limits_from(result), rule_words(result));
    let k = number::fixed(result.size.coverage_factor, 2);
    // A probability beside a verdict that is withheld would be read as one.
    if result.decision.because.is_some() {
        return say!(
            "report.statement-withheld",
            limits = limits,
            rule = rule,
            k = k
        );
    }
    say!(
        "report.statement",
        limits = limits,
        rule = rule,
        probability = number::probability(result.decision.conformance_probability),
        k = k
    )
}
