//! Inspections and validations on the record: what an entry holds, and how it is found again.

use std::collections::BTreeSet;
use std::path::Path;

use jiff::civil::Date;
use ledger::{Between, Draft, Entry, EntryId, Filter, JobEvents, Ledger, Order, Page, Subject};
use metrology::inspection::Job;
use metrology::message::{Message, Value};
use serde::Serialize;

use crate::document::Inspected;
use crate::document::validated::Validated;
use crate::equipment::{CONTACT, Kind, pieces};
use crate::error::Error;
use crate::kept::{self, Unreadable};
use crate::lot_entry::{NUMBER, PLAN};
use crate::record_kind::RecordKind;
use crate::recorder::Recorder;
use crate::station;

/// Under this role an entry names the job at the bench that it was made from.
pub const BENCH_JOB: &str = "bench-job";
/// Under this role a validation names the method that it is of.
const METHOD: &str = "method";
metrology::messages! {
    /// Why an inspection is not put on the record, or not taken from it.
    pub enum RecordError "record" {
        /// Nobody is named.
        NoPerson "no-person",
        /// The zero was not checked again at the end.
        ZeroLeftOpen "zero-left-open" { standard: String as Text, contacts: String as Text },
        /// An entry that was changed after it was recorded.
        Altered "altered" { entry: String as Text },
        /// An entry that holds something else.
        NoInspection "no-inspection" { id: String as Text, what: Value as itself },
        /// An entry that this program cannot read.
        Unreadable "unreadable" { what: Part as code, id: String as Text, why: Unreadable as said, program: String as Text },
    }
}

metrology::codes! {
    /// Which document of an entry.
    pub enum Part "record-part" {
        /// What was put in.
        Inputs "inputs",
        /// What came out.
        Results "results",
    }
}

/// The entry of an inspection, with what was said of it.
pub fn draft(
    job: &Job,
    result: &Inspected,
    words: &Words,
    recorder: &Recorder,
) -> Result<Draft, Error> {
    if recorder.person.is_empty() {
        return Err(Error::input(RecordError::NoPerson));
    }
    if job.zero.after.is_empty() && job.overrides.zero.is_none() {
        return Err(Error::input(RecordError::ZeroLeftOpen {
            standard: job.standard.id.clone(),
            contacts: job.contacts.id.clone(),
        }));
    }
    Ok(Draft {
        inputs: kept::write(kept::JOB, job).map_err(Error::outside)?,
        results: kept::write(kept::RESULT, result).map_err(Error::outside)?,
        editions: json_text(&Editions {
            schema: EDITIONS_SCHEMA,
            sources: &result.sources,
            tables_sha256: recorder.tables,
        })?,
        words: json_text(words)?,
        subjects: subjects(job, result),
        ..recorder.blank(RecordKind::Inspection)?
    })
}

/// The schema number of words.
const WORDS: u32 = 1;

/// What was said of a result on the day, as it was printed: words of a later build may be others.
#[derive(Serialize)]
pub struct Words {
    schema: u32,
    reason: String,
    warnings: Vec<String>,
    settle: Option<String>,
}

impl Words {
    /// `say` has the sentence of each.
    pub fn of(result: &Inspected, say: impl Fn(&Message) -> String) -> Self {
        let settle = result.settle.as_ref();
        Self {
            schema: WORDS,
            reason: say(&result.decision.reason),
            warnings: result.warnings.iter().map(&say).collect(),
            settle: settle.map(|settle| say(&settle.sentence)),
        }
    }
}

/// The schema number of editions.
const EDITIONS_SCHEMA: u32 = 1;

/// Editions of the published tables that the result rests on.
#[derive(Serialize)]
struct Editions<'a> {
    schema: u32,
    sources: &'a [Message],
    tables_sha256: &'a str,
}

metrology::messages! {
    /// What the record says of how it came about.
    pub enum RecordNote "record-note" {
        /// The time of the measurement is ahead of the computer's.
        Ahead "ahead" { seconds: u32 as whole },
        /// The same job is on the record, and was recorded again on purpose.
        Again "again" { entry: String as Text },
    }
}

/// Under this role an entry names the day of the measurement.
pub const MEASURED: &str = "measured";

/// What was measured or recorded from one day to another, both included, by the time zone of this computer.
pub fn in_days(since: Option<Date>, until: Option<Date>) -> Filter {
    let day = |day: Option<Date>| day.map(|day| day.to_string());
    Filter {
        since: since.and_then(station::midnight),
        until: until
            .and_then(|until| until.tomorrow().ok())
            .and_then(station::midnight),
        or_between: Some(Between {
            role: MEASURED.to_owned(),
            first: day(since),
            last: day(until),
        }),
        ..Filter::default()
    }
}

/// The entry of the same job, if there is one: the same inputs but for what was noted when it was recorded again and, where
/// the time of the measurement was `taken_from_clock`, that.
pub fn same_job(
    ledger: &Ledger,
    draft: &Draft,
    taken_from_clock: bool,
) -> Result<Option<EntryId>, Error> {
    let (part, alike) = alike(draft, taken_from_clock)?;
    Ok(ledger.find_alike(RecordKind::Inspection.key(), &part, alike)?)
}

/// Puts a job on the record that is not there yet.
pub fn append_once(ledger: &Ledger, draft: &Draft, taken_from_clock: bool) -> Result<Entry, Error> {
    let (part, alike) = alike(draft, taken_from_clock)?;
    Ok(ledger.append_once(draft, &part, alike)?)
}

/// What was put on the record of many results.
#[derive(Debug, Default)]
pub struct Put {
    /// The entries that were added.
    pub added: Vec<Entry>,
    /// How many were on the record already.
    pub already: usize,
    /// Drafts, by their number, whose piece has another result of the same characteristic and lot on the record; which.
    pub repeats: Vec<(usize, EntryId)>,
}

/// How often entries are tried that others keep getting in front of.
const TRIES_AS_READ: u32 = 50;

/// Appends what `make` makes of the ledger as it stands, made anew where somebody recorded in between; what it was made from is
/// given back with the entries. Nothing is appended where there is nothing.
pub fn append_as_read<T>(
    ledger: &Ledger,
    make: impl Fn() -> Result<(T, Vec<Draft>), Error>,
) -> Result<(T, Vec<Entry>), Error> {
    let mut tries = 0;
    loop {
        let head = ledger.head()?;
        let (made_from, drafts) = make()?;
        if drafts.is_empty() {
            return Ok((made_from, Vec::new()));
        }
        match ledger.append_all(&drafts, head) {
            Err(ledger::Error::WentOn { .. }) if tries < TRIES_AS_READ => tries += 1,
            entries => return Ok((made_from, entries?)),
        }
    }
}

/// How often the ledger may go on while results are looked for, before that is told.
const TRIES: u32 = 5;

/// Puts results on the record that are not there yet, all or none.
pub fn append_all_once(
    ledger: &Ledger,
    drafts: &[Draft],
    taken_from_clock: bool,
) -> Result<Put, Error> {
    let mut tries = TRIES;
    loop {
        let head = ledger.head()?;
        let mut put = Put::default();
        let mut new = Vec::new();
        for (number, draft) in drafts.iter().enumerate() {
            match standing_like(ledger, draft, taken_from_clock)? {
                Like::Same => put.already += 1,
                like => {
                    new.push(draft.clone());
                    if let Like::Repeat(entry) = like {
                        put.repeats.push((number, entry));
                    }
                }
            }
        }
        if new.is_empty() {
            return Ok(put);
        }
        tries -= 1;
        match ledger.append_all(&new, head) {
            Ok(added) => return Ok(Put { added, ..put }),
            // Another program recorded something in between, perhaps the same.
            Err(ledger::Error::WentOn { .. }) if tries > 0 => {}
            Err(error) => return Err(error.into()),
        }
    }
}

/// Another result of the same piece, characteristic and lot on the record, beside the same job itself.
pub fn earlier(
    ledger: &Ledger,
    draft: &Draft,
    taken_from_clock: bool,
) -> Result<Option<EntryId>, Error> {
    Ok(match standing_like(ledger, draft, taken_from_clock)? {
        Like::Repeat(entry) => Some(entry),
        Like::Nothing | Like::Same => None,
    })
}

/// What the record has of a piece and characteristic.
enum Like {
    Nothing,
    Same,
    Repeat(EntryId),
}

fn standing_like(ledger: &Ledger, draft: &Draft, taken_from_clock: bool) -> Result<Like, Error> {
    let subject = |role: &str| Some(Subject::new(role, draft.subject(role)?));
    let roles = ["sample", "part", "lot", "characteristic"];
    let filter = Filter {
        subjects: roles.into_iter().filter_map(subject).collect(),
        ..RecordKind::Inspection.standing()
    };
    let (_, alike) = alike(draft, taken_from_clock)?;
    let own = number(&draft.inputs);
    // A plan may ask the same of two places of a part: with another number it is another characteristic.
    let is_other = |inputs: &str| {
        let known = number(inputs);
        known
            .zip(own.as_ref())
            .is_some_and(|(known, own)| known != *own)
    };
    let of_piece = draft.subject("lot").is_some() && draft.subject("sample").is_some();
    let mut page = Some(Page::first(Order::NewestFirst, 100));
    let mut repeat = None;
    while let Some(asked) = page {
        let listing = ledger.list(&filter, &asked)?;
        for entry in &listing.entries {
            if alike(&entry.content.inputs) {
                return Ok(Like::Same);
            }
            if of_piece && repeat.is_none() && !is_other(&entry.content.inputs) {
                repeat = Some(entry.id());
            }
        }
        page = listing.next;
    }
    Ok(repeat.map_or(Like::Nothing, Like::Repeat))
}

/// The number of the characteristic that the inputs of a job state.
pub fn number(inputs: &str) -> Option<String> {
    let job = kept::content(kept::JOB, inputs).ok()?;
    let number = job["part"]["characteristic"].as_str()?.trim();
    (!number.is_empty()).then(|| number.to_owned())
}

/// Where entries of the same job stand, and whether inputs are those of the draft.
fn alike(
    draft: &Draft,
    taken_from_clock: bool,
) -> Result<(Subject, impl Fn(&str) -> bool + use<>), Error> {
    let part = draft.subject("part").unwrap_or_default();
    let part = Subject::new("part", part);
    let compared = move |inputs: &str| -> Option<serde_json::Value> {
        let mut job = kept::content(kept::JOB, inputs).ok()?;
        let keys = job.as_object_mut()?;
        if taken_from_clock {
            keys.remove("measured_at");
            keys.remove("measured_on");
        }
        // What the ledger itself gave the job: it may know more by now.
        keys.remove("approved");
        forget(keys, "prior", "form_history", |it| &it["records"]);
        forget(keys, "prior", "own", |it| &it["approval"]);
        forget(keys, "prior", "study", |it| &it["approval"]);
        for kind in Kind::EVERY {
            forget(keys, kind.key(), "drift", |it| &it["certificates"]);
            // What temperatures were read with stands beside them.
            let read = keys.get_mut("temperature");
            if let Some(read) = read.and_then(serde_json::Value::as_object_mut) {
                forget(read, kind.key(), "drift", |it| &it["certificates"]);
            }
        }
        let from_record = |zero: &serde_json::Value| !zero["last_record"].is_null();
        if keys.get("zero").is_some_and(from_record) {
            forget(keys, "zero", "last", |it| it);
            forget(keys, "zero", "last_record", |it| it);
        }
        // A remark makes no other measurement.
        keys.remove("notes");
        Some(job)
    };
    let own = compared(&draft.inputs).ok_or_else(|| {
        Error::outside(Unreadable::Text {
            detail: draft.inputs.clone(),
        })
    })?;
    let alike = move |inputs: &str| compared(inputs).is_some_and(|other| other == own);
    Ok((part, alike))
}

/// Takes out what stands under a key of a section where the ledger gave it: as if it had known nothing.
fn forget(
    keys: &mut serde_json::Map<String, serde_json::Value>,
    section: &str,
    key: &str,
    given: impl Fn(&serde_json::Value) -> &serde_json::Value,
) {
    let section = keys.get_mut(section);
    if let Some(known) = section.and_then(|section| section.get_mut(key))
        && !given(known).is_null()
    {
        *known = serde_json::Value::Null;
    }
}

fn json_text(value: &impl Serialize) -> Result<String, Error> {
    serde_json::to_string(value).map_err(|error| Error::outside(Unreadable::from(error)))
}

/// The job at the bench that an entry was made from, as what it touches.
pub fn bench_job(events: JobEvents) -> Subject {
    Subject::new(BENCH_JOB, events.job.to_string())
}

/// What an inspection touches, so that it is found again by any of them.
pub fn subjects(job: &Job, result: &Inspected) -> BTreeSet<Subject> {
    let part = &job.part;
    let measured = result.measured();
    let stated = [
        ("part", Some(&part.name)),
        ("drawing", part.drawing.as_ref()),
        ("order", part.order.as_ref()),
        ("lot", part.lot.as_ref()),
        ("sample", part.sample.as_ref()),
        ("characteristic", Some(&measured)),
        ("verdict", Some(&result.decision.decision)),
    ];
    let day = job.measured_on.to_string();
    let under = under_plan(job);
    let under = under.iter().flat_map(|under| {
        let named = [(NUMBER, &under.number), (PLAN, &under.entry)];
        named.map(|(role, identity)| (role, Some(identity)))
    });
    // Either of a pair leads to what was measured with it.
    let members = job.contacts.members.iter().flatten();
    stated
        .into_iter()
        .chain([(MEASURED, Some(&day))])
        .chain(under)
        .chain(members.map(|member| (CONTACT, Some(member))))
        .filter_map(|(role, identity)| Some((role, identity?.trim())))
        .chain(pieces(job).map(|(kind, piece)| (kind.key(), piece.id().trim())))
        .filter(|(_, identity)| !identity.is_empty())
        .map(|(role, identity)| Subject::new(role, identity))
        .collect()
}

/// The plan that a job was measured under.
pub struct UnderPlan {
    /// The number of the characteristic.
    pub number: String,
    /// The entry of the plan.
    pub entry: String,
}

/// The plan that a job says it was measured under, if it does.
pub fn under_plan(job: &Job) -> Option<UnderPlan> {
    job.notes.iter().find_map(|note| {
        let Value::Message(message) = note else {
            return None;
        };
        let text = |name| match message.value(name) {
            Some(Value::Text(text)) => Some(text.clone()),
            _ => None,
        };
        let is_plan = message.code == "plan-note.under-plan";
        let (number, entry) = (text("number")?, text("entry")?);
        is_plan.then_some(UnderPlan { number, entry })
    })
}

/// The entry of a validation.
pub fn validation_draft(validated: &Validated, recorder: &Recorder) -> Result<Draft, Error> {
    Ok(Draft {
        results: kept::write(kept::VALIDATION, validated).map_err(Error::outside)?,
        subjects: validation_subjects(validated),
        ..recorder.blank(RecordKind::Validation)?
    })
}

pub fn validation_subjects(validated: &Validated) -> BTreeSet<Subject> {
    BTreeSet::from([Subject::new(METHOD, validated.method.to_string())])
}

/// The validation that an entry holds.
pub fn validation(entry: &Entry) -> Result<Validated, Unreadable> {
    kept::read(kept::VALIDATION, &entry.content.results)
}

/// The last validation of a method that stands on the record.
pub fn last_validation(ledger: &Ledger, method: u32) -> Result<Option<Entry>, ledger::Error> {
    let filter = Filter {
        subjects: vec![Subject::new(METHOD, method.to_string())],
        ..RecordKind::Validation.standing()
    };
    let listing = ledger.list(&filter, &Page::first(Order::NewestFirst, 1))?;
    Ok(listing.entries.into_iter().next())
}

/// Whether there is a ledger at a place; of one on a server that is told when it is opened.
pub fn is_there(place: &Path) -> bool {
    Ledger::is_address(place) || place.exists()
}

/// Refuses an entry that was changed after it was recorded.
pub fn intact(entry: &Entry) -> Result<(), Error> {
    if entry.is_intact() {
        return Ok(());
    }
    Err(Error::outside(RecordError::Altered {
        entry: entry.id().to_string(),
    }))
}

/// The inspection that an entry holds.
pub fn read(entry: &Entry) -> Result<(Job, Inspected), Error> {
    let id = entry.id().to_string();
    intact(entry)?;
    if !RecordKind::Inspection.is_of(entry) {
        let what = match RecordKind::of_entry(entry) {
            Some(kind) => Value::code(kind),
            None => Value::text(&entry.content.kind),
        };
        return Err(Error::input(RecordError::NoInspection { id, what }));
    }
    let unreadable = |what: Part, why: Unreadable| {
        Error::outside(RecordError::Unreadable {
            what,
            id: id.clone(),
            why,
            program: entry.content.program.clone(),
        })
    };
    let job = kept::read(kept::JOB, &entry.content.inputs)
        .map_err(|error| unreadable(Part::Inputs, error))?;
    let result = kept::read(kept::RESULT, &entry.content.results)
        .map_err(|error| unreadable(Part::Results, error))?;
    Ok((job, result))
}

/// The method that the results of an inspection name.
pub fn method_of(entry: &Entry) -> Option<u32> {
    let results = kept::content(kept::RESULT, &entry.content.results).ok()?;
    RecordKind::Inspection
        .is_of(entry)
        .then(|| number_of_method(&results))
        .flatten()
}

pub fn number_of_method(results: &serde_json::Value) -> Option<u32> {
    u32::try_from(results.get("method")?.as_u64()?).ok()
}
