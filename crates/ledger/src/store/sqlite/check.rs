//! What the engine finds wrong with the file itself.

use std::collections::BTreeMap;

use rusqlite::Connection;

use super::{facts, schema};
use crate::StorageFault;

/// Pages, indexes, references and the schema with its guards.
pub(super) fn check(connection: &Connection) -> rusqlite::Result<Vec<StorageFault>> {
    let mut faults = integrity(connection)?;
    faults.extend(alone(connection)?);
    if schema::version(connection)? >= schema::WITH_FACTS {
        let alone = facts::alone(connection)?;
        faults.extend(alone.map(|sequence| StorageFault::FactsAlone { sequence }));
    }
    faults.extend(schema_differences(connection)?);
    Ok(faults)
}

/// Whether pages are sound and every index agrees with its table, the one for searches included.
fn integrity(connection: &Connection) -> rusqlite::Result<Vec<StorageFault>> {
    let lines = connection
        .prepare("PRAGMA integrity_check")?
        .query_map([], |row| row.get::<_, String>(0))?
        .collect::<rusqlite::Result<Vec<_>>>()?;
    let faults = lines.into_iter().filter(|line| line != "ok");
    Ok(faults
        .map(|detail| StorageFault::Engine { detail })
        .collect())
}

/// Subjects and words that point at an entry that is not there. An amendment that does is told at its entry.
fn alone(connection: &Connection) -> rusqlite::Result<Vec<StorageFault>> {
    let mut subjects = connection.prepare(
        "SELECT role, identity, sequence FROM subject s
         WHERE NOT EXISTS (SELECT 1 FROM entry e WHERE e.sequence = s.sequence)",
    )?;
    let subjects = subjects.query_map([], |row| {
        Ok(StorageFault::SubjectAlone {
            role: row.get(0)?,
            identity: row.get(1)?,
            sequence: row.get(2)?,
        })
    })?;
    let mut words = connection.prepare(
        "SELECT rowid FROM search w WHERE NOT EXISTS (SELECT 1 FROM entry e WHERE e.sequence = w.rowid)",
    )?;
    let words = words.query_map([], |row| {
        let sequence = row.get(0)?;
        Ok(StorageFault::SearchAlone { sequence })
    })?;
    subjects.chain(words).collect()
}

/// Where the tables, indexes and guards differ from those a new ledger gets.
fn schema_differences(connection: &Connection) -> rusqlite::Result<Vec<StorageFault>> {
    let model = Connection::open_in_memory()?;
    schema::create_as(&model, schema::version(connection)?)?;
    let (mut expected, found) = (objects(&model)?, objects(connection)?);
    let mut faults = Vec::new();
    for (object, sql) in found {
        match expected.remove(&object) {
            None => faults.push(StorageFault::SchemaUnknown { object }),
            Some(right) if right != sql => faults.push(StorageFault::SchemaAltered { object }),
            Some(_) => {}
        }
    }
    faults.extend(
        expected
            .into_keys()
            .map(|object| StorageFault::SchemaMissing { object }),
    );
    Ok(faults)
}

/// Tables, indexes, triggers and views by name, but for those the engine makes for itself.
fn objects(connection: &Connection) -> rusqlite::Result<BTreeMap<String, Option<String>>> {
    connection
        .prepare("SELECT type || ' ' || name, sql FROM sqlite_schema WHERE name NOT LIKE 'sqlite\\_%' ESCAPE '\\'")?
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
        .collect()
}
