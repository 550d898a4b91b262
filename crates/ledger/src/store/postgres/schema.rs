//! The tables on the server: made and brought up to date by their owner, by numbered migrations.

use super::connection::Connection;
use super::place::Place;
use crate::{Error, Result, Server};

/// The migrations in their order. One that was released is never edited; a change of the tables is a further one.
const MIGRATIONS: [(i64, &str); 4] = [
    (1, include_str!("migrations/0001_ledger.sql")),
    (2, include_str!("migrations/0002_facts.sql")),
    (3, include_str!("migrations/0003_months.sql")),
    (4, include_str!("migrations/0004_facts_again.sql")),
];

/// The migration that this program needs: the last one.
pub(crate) const NEWEST: i64 = MIGRATIONS[MIGRATIONS.len() - 1].0;

/// Held while the tables are changed.
const LOCK: &str = "SELECT pg_advisory_xact_lock(1296452679, 1)";

/// The extension that searches need.
const TRIGRAMS: &str = "pg_trgm";

/// What a role that records may do, and no more.
const GRANTS: [&str; 3] = [
    "USAGE ON SCHEMA midflank",
    "SELECT, INSERT ON entry, subject, bench_event, fact, used",
    "SELECT ON issued, migration",
];

/// The last migration that was made; none where there is no ledger.
fn version(connection: &mut Connection) -> Result<Option<i64>> {
    let found = "SELECT to_regclass('midflank.migration')::text";
    let there = connection.run_for_row(found)?;
    if there.first().is_none_or(Option::is_none) {
        return Ok(None);
    }
    let row = connection.run_for_row("SELECT max(number) FROM midflank.migration")?;
    let number = row.into_iter().next().flatten();
    Ok(number.and_then(|number| number.parse().ok()))
}

/// Refuses a database without a ledger, and one of an earlier or later program.
pub(super) fn admit(connection: &mut Connection) -> Result<()> {
    let version = version(connection)?;
    let place = connection.place();
    let Some(found) = version else {
        return Err(place.server(Server::NoSchema));
    };
    let known = NEWEST;
    match found.cmp(&known) {
        std::cmp::Ordering::Equal => Ok(()),
        std::cmp::Ordering::Greater => Err(newer(place, found)),
        std::cmp::Ordering::Less => Err(place.server(Server::MigrationNeeded { found, known })),
    }
}

fn newer(place: &Place, found: i64) -> Error {
    let path = place.path.clone();
    let known = NEWEST;
    Error::NewerSchema { path, found, known }
}

/// Makes the tables where they are missing, and brings them up to date where they are not; then lets the roles record.
/// Whoever comes second waits and finds it done.
pub(super) fn migrate(connection: &mut Connection, roles: &[String]) -> Result<()> {
    connection.run(&format!("BEGIN; {LOCK}"))?;
    let done = migrate_within(connection).and_then(|()| grant(connection, roles));
    match done {
        Ok(()) => connection.run("COMMIT"),
        Err(error) => {
            // What is lost with the connection is rolled back, too.
            let _ = connection.run("ROLLBACK");
            Err(error)
        }
    }
}

fn migrate_within(connection: &mut Connection) -> Result<()> {
    let found = version(connection)?;
    if let Some(found) = found.filter(|found| *found > NEWEST) {
        return Err(newer(connection.place(), found));
    }
    if found.is_none() {
        begin(connection)?;
    }
    let found = found.unwrap_or(0);
    for (number, sql) in MIGRATIONS.iter().filter(|(number, _)| *number > found) {
        connection.run(sql)?;
        connection.run(&format!("INSERT INTO migration (number) VALUES ({number})"))?;
    }
    Ok(())
}

/// What comes before the first migration.
fn begin(connection: &mut Connection) -> Result<()> {
    let encoding = connection.run_for_row("SHOW server_encoding")?;
    if let Some(encoding) = encoding.into_iter().next().flatten()
        && encoding != "UTF8"
    {
        return Err(connection.place().server(Server::NotUtf8 { encoding }));
    }
    let missing = Server::ExtensionMissing {
        extension: TRIGRAMS,
    };
    let extension = format!("CREATE EXTENSION IF NOT EXISTS {TRIGRAMS} SCHEMA public");
    match connection.run(&extension) {
        // Not there to be made, or this user may not.
        Err(
            Error::Storage { .. }
            | Error::Server {
                what: Server::NotPermitted { .. },
                ..
            },
        ) => return Err(connection.place().server(missing)),
        done => done?,
    }
    connection.run(
        "CREATE SCHEMA IF NOT EXISTS midflank;
         CREATE TABLE midflank.migration (
             number bigint PRIMARY KEY,
             made_at timestamptz NOT NULL DEFAULT now()
         )",
    )
}

fn grant(connection: &mut Connection, roles: &[String]) -> Result<()> {
    for role in roles {
        let role = role.replace('"', "\"\"");
        for grant in GRANTS {
            connection.run(&format!("GRANT {grant} TO \"{role}\""))?;
        }
    }
    Ok(())
}
