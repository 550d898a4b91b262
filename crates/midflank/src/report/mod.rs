//! A result for people: one file a format.

pub mod approved;
pub mod bar;
pub mod calibrated;
pub mod cases;
pub mod certified;
pub mod checked;
pub mod coating;
pub mod contacts;
pub mod correct;
mod evidence;
pub mod feature_picture;
pub mod first_article;
pub mod found;
pub mod functional;
pub mod gauges;
pub mod html;
pub mod identify;
pub mod intervals;
mod kept;
pub mod limits;
pub mod lines;
pub mod lot;
mod monte_carlo;
pub mod nonconforming;
pub mod off_scale;
pub mod picture;
pub mod plan;
pub mod profile;
pub mod reconcile;
mod sections;
pub mod setup;
pub mod sheet;
pub mod simulated;
pub mod small;
pub mod stated;
pub mod status;
pub mod studied;
pub mod text;
pub mod told;
pub mod trial;
pub mod validated;
pub mod wear;
pub mod wires;

use jiff::Timestamp;
use ledger::{Actor, Entry, Identified, Ledger};
use metrology::designation::CLASSES_TAKEN;
use metrology::inspection::{BLOCKING, Basis, Characteristic, Job, Target, ThreadDiameter};
use metrology::message::Value;
use metrology::uncertainty::report::round_f64;
use metrology::units::LengthUnit;

use crate::record;
use crate::words;
use crate::words::InWords as _;
use crate::words::number;
use workshop::RecordKind;
use workshop::in_doubt;
use workshop::plan::Planned;

use crate::document::{BudgetLine, Finding, Inspected, Settle, inspection};
use crate::failure::Failure;
use crate::say;
use workshop::gauge_room::case::OfResult;

/// All that a report is made from.
pub struct Report<'a> {
    /// What went in.
    pub job: &'a Job,
    /// What came out.
    pub result: &'a Inspected,
    /// Where it is recorded, if it is.
    pub record: Option<Record>,
}

impl Report<'_> {
    /// What took the place of the record, where something did.
    pub fn superseded(&self) -> Option<&Superseded> {
        self.record.as_ref()?.superseded.as_ref()
    }

    /// The class of a page in the colour of the verdict; one that no longer holds has none.
    pub fn colour(&self) -> &str {
        match self.superseded() {
            Some(_) => "superseded",
            None => &self.result.decision.decision,
        }
    }

    /// How far it is with what is in doubt about it.
    pub const fn stage(&self) -> Stage {
        match self.record {
            Some(_) => Stage::Recorded,
            None => Stage::Open,
        }
    }
}

/// The record that a report shows.
#[derive(Clone)]
pub struct Record {
    /// Short name of the entry.
    pub id: String,
    pub hash: String,
    /// When it was recorded.
    pub recorded_at: Timestamp,
    /// Who recorded it.
    pub person: String,
    /// At which station.
    pub station: String,
    /// The program that computed it.
    pub program: String,
    /// Entry that it amends, and why.
    pub amends: Option<(String, String)>,
    /// What took its place.
    pub superseded: Option<Superseded>,
    /// What saved recalls make of its verdict, a sentence each.
    pub recalled: Vec<String>,
    /// The method that computed it, and the last validation of that on the record, in words.
    pub validation: Option<(u32, String)>,
}

/// The entry that took the place of another.
#[derive(Clone)]
pub struct Superseded {
    /// Short name of the entry.
    pub id: String,
    /// Whether it withdraws the other and puts no measurement in its place.
    pub withdrawn: bool,
    /// When it was recorded.
    pub recorded_at: Timestamp,
    /// Who recorded it.
    pub person: String,
    pub reason: String,
    /// What holds today, where that entry was amended in its turn.
    pub since: Option<String>,
}

impl Superseded {
    /// By the entries that amend, the oldest first.
    fn by(line: &[Entry]) -> Option<Self> {
        let entry = line.first()?;
        let since = line.last().filter(|last| last.id() != entry.id());
        Some(Self {
            id: entry.id().to_string(),
            withdrawn: RecordKind::Note.is_of(entry),
            recorded_at: entry.content.recorded_at,
            person: entry.content.actor.name.clone(),
            reason: entry
                .content
                .amends
                .as_ref()
                .map_or(String::new(), |amendment| amendment.reason.clone()),
            since: since.map(|last| {
                if RecordKind::Note.is_of(last) {
                    say!("report.superseded-by-none", last = last.id())
                } else {
                    say!("report.superseded-by", last = last.id())
                }
            }),
        })
    }

    /// What became of the record, in a word.
    pub fn word(&self) -> &'static str {
        if self.withdrawn {
            say!("report.withdrawn-word")
        } else {
            say!("report.replaced-word")
        }
    }

    /// The sentence that stands on top of the report.
    pub fn sentence(&self) -> String {
        let on = self.recorded_at.strftime("%Y-%m-%d");
        let told = if self.withdrawn {
            say!(
                "report.withdrawn-by",
                record = self.id,
                person = self.person,
                on = on,
                reason = self.reason
            )
        } else {
            say!(
                "report.replaced-by",
                record = self.id,
                person = self.person,
                on = on,
                reason = self.reason
            )
        };
        match &self.since {
            Some(since) => say!("report.superseded-since", told = told, since = since),
            None => told,
        }
    }
}

impl Record {
    /// What a report shows of an entry, with what took its place.
    pub fn of(ledger: &Ledger, entry: &Entry) -> Result<Self, Failure> {
        let method = record::method_of(entry);
        let validation = match method {
            Some(method) => record::last_validation(ledger, method)?,
            None => None,
        };
        Ok(Self {
            id: entry.id().to_string(),
            hash: entry.hash.to_string(),
            recorded_at: entry.content.recorded_at,
            person: by(&entry.content.actor),
            station: entry.content.station.clone(),
            program: entry.content.program.clone(),
            amends: entry
                .content
                .amends
                .as_ref()
                .map(|amendment| (amendment.entry.to_string(), amendment.reason.clone())),
            superseded: Superseded::by(&ledger.amendments_of(&entry.id().into())?),
            recalled: recalled(ledger, entry)?,
            validation: method.zip(validation.and_then(|entry| validated_in_words(&entry))),
        })
    }
}

/// What saved recalls and else on the record make of the verdict of a result, a sentence each.
fn recalled(ledger: &Ledger, entry: &Entry) -> Result<Vec<String>, Failure> {
    if !RecordKind::Inspection.is_of(entry) {
        return Ok(Vec::new());
    }
    let recalls = OfResult::read(ledger, entry.id())?;
    let together = recalls.together.map(|one| {
        let cases: Vec<String> = one.cases.iter().map(ToString::to_string).collect();
        say!(
            "report.recalled-together",
            recalls = cases.join(", "),
            after = verdict_words(&one.after)
        )
    });
    let told = recalls.alone.into_iter().map(|(recall, case, result)| {
        let decision = case.decision(&result.entry);
        let decided = decision.map_or(say!("report.recalled-open").to_owned(), |decision| {
            words::named("recall-decision", &decision.decided)
        });
        say!(
            "report.recalled",
            recall = recall.id(),
            piece = words::named("recalled-piece", &case.piece),
            id = case.id,
            error = case.error,
            found = case.found,
            after = verdict_words(&result.after),
            decided = decided
        )
    });
    let mut told: Vec<String> = told.chain(together).collect();
    let against = in_doubt::against(ledger, entry)?;
    told.extend(against.map(|why| say!("report.against", why = words::said(&why))));
    Ok(told)
}

/// Who recorded it; a badge says who, and a reader is to know that it was one.
fn by(actor: &Actor) -> String {
    match actor.how {
        Identified::Badge => say!("record.by-badge", name = actor.name),
        _ => actor.name.clone(),
    }
}

/// Which validation that is, when, of which build, and how it came out.
fn validated_in_words(entry: &Entry) -> Option<String> {
    let validated = record::validation(entry).ok()?;
    Some(say!(
        "validate.last",
        entry = entry.id(),
        date = entry.content.recorded_at.strftime("%Y-%m-%d"),
        program = validated.program,
        agree = validated.cases - validated.disagreeing,
        cases = validated.cases
    ))
}

/// The caution on every report: a person decides, not a program.
pub fn caution() -> &'static str {
    say!("report.caution")
}

/// What a pitch diameter over wires does not cover.
fn scope_wires() -> &'static str {
    say!("report.scope-wires")
}

/// What the result does not cover, for a pitch diameter by contacts.
fn scope_contacts() -> &'static str {
    say!("report.scope")
}

/// What the result does not cover; nothing to say where the size is no pitch diameter.
pub fn scope(job: &Job) -> Option<&'static str> {
    match (&job.characteristic, &job.wires) {
        (
            Characteristic::Thread {
                diameter: ThreadDiameter::PitchDiameter,
                ..
            },
            Some(_),
        ) => Some(scope_wires()),
        (
            Characteristic::Thread {
                diameter: ThreadDiameter::PitchDiameter,
                ..
            },
            None,
        ) => Some(scope_contacts()),
        _ => None,
    }
}

/// A size and its expanded uncertainty, rounded together (JCGM 100:2008, 7.2.6), and the decimals they have.
pub fn size(value: f64, expanded: f64) -> (String, String, usize) {
    match round_f64(value, expanded) {
        Ok(rounded) if expanded > 0.0 => {
            let decimals = usize::try_from(rounded.decimals).unwrap_or(0);
            (
                number::decimal(rounded.value, decimals),
                number::decimal(rounded.uncertainty, decimals),
                decimals,
            )
        }
        _ => (number::short(value, 7), number::short(expanded, 7), 7),
    }
}

/// Decimals for corrections and budget lines: tenths of a micrometre, or millionths of an inch.
pub const fn fine_decimals(unit: LengthUnit) -> usize {
    match unit {
        LengthUnit::Inch | LengthUnit::Microinch => 6,
        LengthUnit::Millimetre | LengthUnit::Micrometre => 5,
    }
}

/// Budget lines worth a line of their own, and how many smaller ones there are: each under a thousandth of the whole.
pub fn budget_lines(result: &Inspected) -> (Vec<&BudgetLine>, usize) {
    let (large, small): (Vec<_>, Vec<_>) =
        result.budget.iter().partition(|line| line.share >= 0.001);
    (large, small.len())
}

/// What a characteristic of a plan is: the thread, the size, or what is looked at.
pub fn planned_words(planned: &Planned) -> String {
    let target = planned
        .measured
        .as_ref()
        .and_then(|measured| Target::of(measured).ok());
    let thread = planned.gauged_thread();
    match (target, &planned.says) {
        (Some(target), _) if planned.way.is_measured() => words::characteristic(&target),
        (_, Some(says)) => says.clone(),
        // What a gauge checks: which gauge, and which thread.
        _ => {
            let gauge = planned.gauge.map(|gauge| words::word(&gauge));
            let told: Vec<String> = gauge.into_iter().chain(thread).collect();
            match told.as_slice() {
                [] => words::word(&planned.way),
                told => told.join(" "),
            }
        }
    }
}

/// How far a result is with what is in doubt about it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// Nobody has answered for it.
    Open,
    /// A zero check in doubt was taken as it is, for a reason that stands beside it.
    ZeroAccepted,
    /// On record, in spite of it.
    Recorded,
}

/// Warnings that a reason given for the zero check answers.
const OF_THE_ZERO: [&str; 2] = ["warning.zero-range", "warning.zero-moved"];

/// The word of caution that stands beside the verdict: a reading that looks like a slip, a zero that moved.
pub fn doubt(result: &Inspected, stage: Stage) -> Option<String> {
    let flagged: Vec<String> = result
        .readings
        .iter()
        .enumerate()
        .filter(|(_, reading)| reading.flags.iter().any(|flag| !flag.left))
        .map(|(index, _)| (index + 1).to_string())
        .collect();
    let readings = (!flagged.is_empty()).then(|| {
        say!(
            "doubt.readings",
            n = flagged.len(),
            readings = words::list(flagged)
        )
    });
    let open = result.zero_error.flags.iter().any(|flag| !flag.left);
    let zero = open.then(|| say!("doubt.zero-reading").to_owned());
    let warned = || BLOCKING.into_iter().filter(|code| result.warns(code));
    let told = |code: &str| words::named("doubt", code.strip_prefix("warning.").unwrap_or(code));
    let answered = |code: &&str| stage == Stage::ZeroAccepted && OF_THE_ZERO.contains(code);
    let accepted: Vec<String> = warned().filter(answered).map(told).collect();
    let rest = warned().filter(|code| !answered(code)).map(told);
    let rest: Vec<String> = readings.into_iter().chain(zero).chain(rest).collect();
    let joined = |all: Vec<String>| Some(all.join("; ")).filter(|all| !all.is_empty());
    let rest = joined(rest).map(|why| match stage {
        Stage::Recorded => say!("doubt.recorded", why = why),
        Stage::Open | Stage::ZeroAccepted => say!("doubt.do-not-sign", why = why),
    });
    let accepted = joined(accepted).map(|why| say!("doubt.accepted", why = why));
    let all: Vec<String> = rest.into_iter().chain(accepted).collect();
    Some(all.join(". ")).filter(|all| !all.is_empty())
}

/// The class that was taken where the designation has none: it stands beside the verdict, whose limits rest on it.
pub fn class_taken(result: &Inspected) -> Option<String> {
    result.warnings.iter().find_map(|warning| {
        let Some(Value::Message(taken)) = warning.value("taken") else {
            return None;
        };
        CLASSES_TAKEN
            .contains(&&*taken.code)
            .then(|| sentence(&result.say(taken)))
    })
}

/// A finding's value with its unit, to the digits that matter.
pub fn finding_value(finding: &Finding) -> String {
    let value = finding.value;
    match finding.unit.as_str() {
        "mm" => number::length(value, 4, LengthUnit::Millimetre),
        "in" => number::length(value, 5, LengthUnit::Inch),
        "" if value.abs() < 0.1 => number::fixed(value, 6),
        "" => number::fixed(value, 4),
        "°" if value.abs() < 0.1 => number::fixed_degrees(value, 5),
        "°" => number::fixed_degrees(value, 2),
        unit @ ("%" | "N" | "kPa") => format!("{} {unit}", number::fixed(value, 1)),
        unit => format!("{} {unit}", number::fixed(value, 4)),
    }
}

/// What lies between limits, of which one may be missing; empty where both are.
pub fn range(least: Option<String>, most: Option<String>) -> String {
    match (least, most) {
        (Some(least), Some(most)) => say!("report.range-between", least = least, most = most),
        (Some(least), None) => say!("report.range-at-least", least = least),
        (None, Some(most)) => say!("report.range-at-most", most = most),
        (None, None) => String::new(),
    }
}

/// With a capital, as a sentence begins; an identity, a size or what was typed stays as it is.
pub fn capitalised(text: &str) -> String {
    let first = text.split_whitespace().next().unwrap_or_default();
    if first.contains(|letter: char| letter == '`' || letter.is_ascii_digit()) {
        return text.to_owned();
    }
    // A quotation mark or bracket may stand before the first letter.
    let at = text.find(char::is_alphanumeric).unwrap_or_default();
    let (before, rest) = text.split_at(at);
    let mut letters = rest.chars();
    let first = letters.next().map(char::to_uppercase);
    before
        .chars()
        .chain(first.into_iter().flatten())
        .chain(letters)
        .collect()
}

/// A message as a sentence of its own.
pub fn sentence(message: &str) -> String {
    let mut sentence = capitalised(message);
    if !sentence.ends_with(['.', '?', '!']) {
        sentence.push('.');
    }
    sentence
}

/// The verdict as it stands in a sentence.
pub fn verdict_word(key: &str) -> String {
    words::named("verdict", key)
}

/// The verdict as it stands on top of a report.
pub fn verdict_words(key: &str) -> String {
    verdict_word(key).to_uppercase()
}

/// Where nothing was said of it, what a reading is of: a place, or a crimp.
pub fn unnamed(result: &Inspected, number: usize) -> String {
    let of = if result.is_sampled() {
        Basis::Sample { number }
    } else {
        Basis::Reading { number }
    };
    words::message(&of, result.shown())
}

/// What a place is called: a crimp is a sample.
pub fn place_words(result: &Inspected) -> String {
    if result.is_sampled() {
        say!("report.sample").to_owned()
    } else {
        say!("report.place").to_owned()
    }
}

/// What the place nearest to a limit is called.
pub fn worst_words(result: &Inspected) -> String {
    if result.is_sampled() {
        say!("report.worst-sample").to_owned()
    } else {
        say!("report.worst-place").to_owned()
    }
}

/// The rule that a verdict was made under.
pub fn rule_words(result: &Inspected) -> String {
    words::named("rule", &result.decision.rule)
}

/// Both uncertainties where the laboratory has one of its own, and which of them decides.
pub fn own_uncertainty(result: &Inspected) -> Option<String> {
    let both = result.uncertainty.as_ref()?;
    let expanded = |one: &inspection::Size| {
        let (_, expanded, _) = size(one.value, one.expanded_uncertainty);
        format!("{expanded} {}", result.unit)
    };
    let (program, laboratory) = (expanded(&both.program), expanded(&both.laboratory));
    let decides = match &both.approval {
        Some(approval) if both.decides == "approved" => say!(
            "report.decides-approved",
            person = approval.person,
            on = approval.approved_on,
            due = approval.review_due
        ),
        _ => words::named("decides", &both.decides),
    };
    Some(say!(
        "report.both-uncertainties",
        program = program,
        laboratory = laboratory,
        source = both.source,
        decides = decides
    ))
}

/// Where the limits come from.
pub fn limits_from(result: &Inspected) -> String {
    let all: Vec<String> = result.sources.iter().map(|from| result.say(from)).collect();
    all.join(", ")
}

/// What would settle the verdict.
pub fn settles(result: &Inspected, settle: &Settle) -> String {
    sentence(&say!("report.settle", way = result.say(&settle.sentence)))
}
