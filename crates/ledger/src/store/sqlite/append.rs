//! Appending: reads the head and chains to it, in a transaction of the caller's.

use jiff::Timestamp;
use rusqlite::{Connection, Transaction, params};

use super::super::{row::to_i64, search};
use super::{SqliteStore, bench, facts, read};
use crate::{
    Amendment, Damage, Draft, Entry, EntryId, EntryRef, Error, Facts, Hash, JobEvents, Mark,
    Result, Subject, encoding, facts::KeptFacts, time,
};

/// Appends a checked draft with its facts. `looked_at`: events that were found as they were kept in this transaction; the
/// pieces of a run are made from the same.
pub(super) fn append(
    store: &SqliteStore,
    transaction: &Transaction<'_>,
    draft: &Draft,
    facts: Option<Facts>,
    looked_at: &mut Option<JobEvents>,
) -> Result<Entry> {
    let extent = read::extent(store, transaction)?;
    let last = extent.head.map_or(0, |head| head.sequence);
    if extent.issued != last {
        // Appending now would hide that entries are missing.
        let issued = extent.issued;
        return Err(store.damaged(Damage::TailMissing { last, issued }));
    }
    if let Some(amendment) = &draft.amends {
        check_amendment(store, transaction, amendment)?;
    }
    if let Some(events) = draft.events.filter(|_| draft.events != *looked_at) {
        check_events(store, transaction, events)?;
        *looked_at = Some(events);
    }
    let before = match extent.head {
        Some(head) => Some(read::time_of(store, transaction, head.sequence)?),
        None => None,
    };
    let entry = chained(extent.head, before, draft);
    insert(transaction, &entry).map_err(|error| store.told(&error))?;
    if let Some(facts) = facts {
        put_facts(transaction, &entry, facts).map_err(|error| store.told(&error))?;
    }
    Ok(entry)
}

/// Keeps the facts of an entry, where those of all before it are kept: they are made in order and without gaps.
pub(super) fn put_facts(
    transaction: &Transaction<'_>,
    entry: &Entry,
    made: Facts,
) -> rusqlite::Result<()> {
    if facts::reach(transaction)? + 1 != entry.sequence {
        return Ok(());
    }
    let kept = KeptFacts::of(entry.id().check_digits(), &entry.content, made);
    facts::insert(transaction, entry.sequence, &kept)
}

/// The draft as the entry that follows another of that time.
fn chained(head: Option<Mark>, before: Option<Timestamp>, draft: &Draft) -> Entry {
    let sequence = head.map_or(0, |head| head.sequence).saturating_add(1);
    let previous = head.map_or(Hash::NONE, |head| head.hash);
    Entry {
        sequence,
        previous,
        hash: encoding::hash(sequence, &previous, draft),
        content: draft.clone(),
        amended_by: None,
        went_back: before.filter(|before| *before > draft.recorded_at),
    }
}

/// The amended entry must be there and not amended before.
fn check_amendment(
    store: &SqliteStore,
    transaction: &Transaction<'_>,
    amendment: &Amendment,
) -> Result<()> {
    let asked = EntryRef::from(amendment.entry);
    read::get(store, transaction, &asked)?;
    match latest_amendment(transaction, amendment.entry).map_err(|error| store.told(&error))? {
        None => Ok(()),
        Some(latest) => Err(Error::AlreadyAmended {
            entry: amendment.entry,
            latest,
        }),
    }
}

/// The end of the line of amendments of an entry, if it has any.
fn latest_amendment(connection: &Connection, of: EntryId) -> rusqlite::Result<Option<EntryId>> {
    let mut latest = None;
    let mut at = to_i64(of.sequence());
    while let Some(mark) = read::amended_by(connection, at)? {
        at = to_i64(mark.sequence);
        latest = Some(mark.id());
    }
    Ok(latest)
}

/// The events it was made from must be there, and as they were kept.
fn check_events(
    store: &SqliteStore,
    transaction: &Transaction<'_>,
    events: JobEvents,
) -> Result<()> {
    let kept = bench::events(store, transaction, events.job, 0)?;
    let last = usize::try_from(events.count - 1).ok();
    let found = last.and_then(|last| kept.get(last));
    match found.filter(|event| event.hash == events.hash) {
        Some(_) => Ok(()),
        None => Err(Error::OtherEvents(events)),
    }
}

pub(super) fn insert(transaction: &Transaction<'_>, entry: &Entry) -> rusqlite::Result<()> {
    let sequence = to_i64(entry.sequence);
    let content = &entry.content;
    let amends = content.amends.as_ref();
    let events = content.events.as_ref();
    transaction
        .prepare_cached(
            "INSERT INTO entry (sequence, encoding, previous, hash, recorded_at, zone, kind, actor_id, actor_name,
                                actor_how, station, program, amends, amends_check, reason, job, job_events,
                                job_hash, inputs, results, editions, words)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17, ?18, ?19, ?20,
                     ?21, ?22)",
        )?
        .execute(params![
            sequence,
            encoding::RULE,
            entry.previous.to_string(),
            entry.hash.to_string(),
            time::written(content.recorded_at),
            content.zone,
            content.kind,
            content.actor.id,
            content.actor.name,
            content.actor.how.code(),
            content.station,
            content.program,
            amends.map(|amends| to_i64(amends.entry.sequence())),
            amends.map(|amends| amends.entry.check_digits()),
            amends.map(|amends| amends.reason.as_str()),
            events.map(|events| to_i64(events.job)),
            events.map(|events| to_i64(events.count)),
            events.map(|events| events.hash.to_string()),
            content.inputs,
            content.results,
            content.editions,
            content.words,
        ])?;
    let mut subject = transaction
        .prepare_cached("INSERT INTO subject (role, identity, sequence) VALUES (?1, ?2, ?3)")?;
    for Subject { role, identity } in &content.subjects {
        subject.execute(params![role, identity, sequence])?;
    }
    transaction
        .prepare_cached("INSERT INTO search (rowid, text) VALUES (?1, ?2)")?
        .execute(params![sequence, search::text_of(content)])?;
    Ok(())
}
