//! What the engine finds wrong with the file itself.

use std::collections::BTreeMap;

use rusqlite::Connection;

use super::schema;

/// Pages, indexes, references and the schema with its guards: one line a fault.
pub(super) fn check(connection: &Connection) -> rusqlite::Result<Vec<String>> {
    let mut faults = integrity(connection)?;
    faults.extend(orphans(connection)?);
    faults.extend(schema_differences(connection)?);
    Ok(faults)
}

/// Whether pages are sound and every index agrees with its table.
fn integrity(connection: &Connection) -> rusqlite::Result<Vec<String>> {
    let mut lines = connection
        .prepare("PRAGMA integrity_check")?
        .query_map([], |row| row.get::<_, String>(0))?
        .collect::<rusqlite::Result<Vec<_>>>()?;
    lines.retain(|line| line != "ok");
    Ok(lines)
}

/// Subjects and amendments that point at an entry that is not there.
fn orphans(connection: &Connection) -> rusqlite::Result<Vec<String>> {
    let mut missing = connection.prepare(
        "SELECT 'a subject (' || role || ' ' || identity || ') belongs to entry ' || sequence
                || ', which is not there'
         FROM subject s WHERE NOT EXISTS (SELECT 1 FROM entry e WHERE e.sequence = s.sequence)
         UNION ALL
         SELECT 'entry ' || sequence || ' amends entry ' || amends || ', which is not there'
         FROM entry a WHERE amends IS NOT NULL
                        AND NOT EXISTS (SELECT 1 FROM entry e WHERE e.sequence = a.amends)",
    )?;
    missing.query_map([], |row| row.get(0))?.collect()
}

/// Where the tables, indexes and guards differ from those a new ledger gets.
fn schema_differences(connection: &Connection) -> rusqlite::Result<Vec<String>> {
    let model = Connection::open_in_memory()?;
    schema::migrate(&model, 0)?;
    let (mut expected, found) = (objects(&model)?, objects(connection)?);
    let mut faults = Vec::new();
    for (name, sql) in found {
        match expected.remove(&name) {
            None => faults.push(format!("{name} is not part of a ledger")),
            Some(right) if right != sql => faults.push(format!("{name} was altered")),
            Some(_) => {}
        }
    }
    faults.extend(expected.keys().map(|name| format!("{name} is missing")));
    Ok(faults)
}

/// Tables, indexes, triggers and views by name, but for those the engine makes for itself.
fn objects(connection: &Connection) -> rusqlite::Result<BTreeMap<String, Option<String>>> {
    connection
        .prepare("SELECT type || ' ' || name, sql FROM sqlite_schema WHERE name NOT LIKE 'sqlite\\_%' ESCAPE '\\'")?
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
        .collect()
}
