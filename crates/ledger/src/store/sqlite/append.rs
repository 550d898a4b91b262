//! Appending: one transaction that reads the head, chains to it and commits.

use rusqlite::{Connection, Transaction, TransactionBehavior, params};

use super::{SqliteStore, read};
use crate::{
    Amendment, Draft, Entry, EntryHash, EntryId, EntryRef, Error, Mark, Result, Subject, encoding,
};

/// Appends a checked draft. Any error before the commit leaves the file as it was.
pub(super) fn append(
    store: &SqliteStore,
    connection: &mut Connection,
    draft: &Draft,
) -> Result<Entry> {
    let told = |error: rusqlite::Error| store.told(&error);
    // IMMEDIATE takes the right to write at once, so that no one else can append after we read the head.
    let transaction = connection
        .transaction_with_behavior(TransactionBehavior::Immediate)
        .map_err(told)?;
    let extent = read::extent(store, &transaction)?;
    let last = extent.head.map_or(0, |head| head.sequence);
    if extent.issued != last {
        // Appending now would hide that entries are missing.
        return Err(Error::Damaged {
            path: store.path.clone(),
            detail: format!(
                "its last entry is {last}, but {} have been recorded; nothing is added to a ledger whose \
                 end is missing",
                extent.issued
            ),
        });
    }
    if let Some(amendment) = &draft.amends {
        check_amendment(store, &transaction, amendment)?;
    }
    let entry = chained(extent.head, draft);
    insert(&transaction, &entry).map_err(told)?;
    transaction.commit().map_err(told)?;
    Ok(entry)
}

/// The draft as the entry that follows the head.
fn chained(head: Option<Mark>, draft: &Draft) -> Entry {
    let sequence = head.map_or(0, |head| head.sequence).saturating_add(1);
    let previous = head.map_or(EntryHash::NONE, |head| head.hash);
    Entry {
        sequence,
        previous,
        hash: encoding::hash(sequence, &previous, draft),
        content: draft.clone(),
        amended_by: None,
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
    let mut at = read::to_i64(of.sequence());
    while let Some(mark) = read::amended_by(connection, at)? {
        at = read::to_i64(mark.sequence);
        latest = Some(mark.id());
    }
    Ok(latest)
}

fn insert(transaction: &Transaction<'_>, entry: &Entry) -> rusqlite::Result<()> {
    let content = &entry.content;
    let amends = content.amends.as_ref();
    let amended = amends.map(|amendment| read::to_i64(amendment.entry.sequence()));
    let check = amends.map(|amendment| amendment.entry.check_digits());
    let reason = amends.map(|amendment| amendment.reason.as_str());
    transaction
        .prepare_cached(
            "INSERT INTO entry (sequence, encoding, previous, hash, recorded_at, kind, person, program,
                                inputs, results, editions, amends, amends_check, reason)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14)",
        )?
        .execute(params![
            read::to_i64(entry.sequence),
            encoding::RULE,
            entry.previous.to_string(),
            entry.hash.to_string(),
            encoding::time(content.recorded_at),
            content.kind,
            content.person,
            content.program,
            content.inputs,
            content.results,
            content.editions,
            amended,
            check,
            reason,
        ])?;
    let mut subject = transaction
        .prepare_cached("INSERT INTO subject (role, identity, sequence) VALUES (?1, ?2, ?3)")?;
    for Subject { role, identity } in &content.subjects {
        subject.execute(params![role, identity, read::to_i64(entry.sequence)])?;
    }
    Ok(())
}
