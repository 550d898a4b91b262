//! What the server finds wrong with the tables.

use std::collections::BTreeSet;

use super::connection::Connection;
use super::facts;
use super::row::column;
use crate::{Result, StorageFault};

/// What a ledger has: tables, indexes and guards. Those that the server makes for itself are not named.
const OBJECTS: [&str; 27] = [
    "table bench_event",
    "table entry",
    "table fact",
    "table issued",
    "table migration",
    "table subject",
    "table used",
    "index bench_job_ended",
    "index entry_by_actor",
    "index entry_by_amended",
    "index entry_by_hash",
    "index entry_by_kind",
    "index entry_by_time",
    "index entry_by_words",
    "index fact_by_month",
    "index fact_by_month_measured",
    "index subject_by_entry",
    "index subject_by_identity",
    "index used_by_entry",
    "trigger bench_event_follows_the_last",
    "trigger bench_event_is_never_changed",
    "trigger entry_follows_the_last",
    "trigger entry_is_never_changed",
    "trigger fact_is_never_changed",
    "trigger subject_comes_with_its_entry",
    "trigger subject_is_never_changed",
    "trigger used_is_never_changed",
];

/// Subjects without an entry, and tables, indexes and guards that are missing, disabled or broken.
pub(super) fn check(connection: &mut Connection) -> Result<Vec<StorageFault>> {
    let mut faults = alone(connection)?;
    let facts = facts::alone(connection)?;
    faults.extend(facts.map(|sequence| StorageFault::FactsAlone { sequence }));
    faults.extend(objects(connection)?);
    Ok(faults)
}

fn alone(connection: &mut Connection) -> Result<Vec<StorageFault>> {
    let rows = connection.query(
        "SELECT role, identity, sequence FROM subject s
         WHERE NOT EXISTS (SELECT FROM entry e WHERE e.sequence = s.sequence)",
        &[],
    )?;
    let alone = rows.iter().map(|row| {
        Ok(StorageFault::SubjectAlone {
            role: column(row, 0)?,
            identity: column(row, 1)?,
            sequence: column(row, 2)?,
        })
    });
    connection.sound(alone.collect())
}

fn objects(connection: &mut Connection) -> Result<Vec<StorageFault>> {
    let rows = connection.query(
        "SELECT 'table ' || relname, true FROM pg_class
         WHERE relnamespace = 'midflank'::regnamespace AND relkind IN ('r', 'p')
         UNION ALL
         SELECT 'index ' || c.relname, i.indisvalid FROM pg_class c JOIN pg_index i ON i.indexrelid = c.oid
         WHERE c.relnamespace = 'midflank'::regnamespace
           AND NOT EXISTS (SELECT FROM pg_constraint k WHERE k.conindid = c.oid AND k.contype IN ('p', 'u'))
         UNION ALL
         SELECT 'trigger ' || t.tgname, t.tgenabled IN ('O', 'A') FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid
         WHERE c.relnamespace = 'midflank'::regnamespace AND NOT t.tgisinternal
         ORDER BY 1",
        &[],
    )?;
    let found = rows
        .iter()
        .map(|row| Ok((column(row, 0)?, column(row, 1)?)));
    let found: Vec<(String, bool)> = connection.sound(found.collect())?;
    let mut expected = BTreeSet::from(OBJECTS);
    let mut faults = Vec::new();
    for (object, sound) in found {
        if !expected.remove(object.as_str()) {
            faults.push(StorageFault::SchemaUnknown { object });
        } else if !sound {
            faults.push(StorageFault::SchemaAltered { object });
        }
    }
    let missing = expected.into_iter().map(|object| {
        let object = object.to_owned();
        StorageFault::SchemaMissing { object }
    });
    faults.extend(missing);
    Ok(faults)
}
