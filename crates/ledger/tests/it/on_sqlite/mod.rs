//! What holds for a ledger wherever it is kept: in a file.

use std::path::Path;

use rusqlite::Connection;

pub use crate::books::Folder;
pub use guards::tamper;

#[path = "../both/backup.rs"]
mod backup;
#[path = "../both/bench.rs"]
pub mod bench;
#[path = "../both/concurrency.rs"]
mod concurrency;
#[path = "../both/facts.rs"]
mod facts;
mod guards;
#[path = "../both/jobs.rs"]
mod jobs;
#[path = "../both/killed.rs"]
mod killed;
#[path = "../both/reading.rs"]
mod reading;
#[path = "../both/tampering.rs"]
mod tampering;
#[path = "../both/verifying.rs"]
mod verifying;
#[path = "../both/witness.rs"]
mod witness;

/// How the highest number of an entry that was ever given out is set.
pub const SET_ISSUED: &str = "UPDATE sqlite_sequence SET seq = 4 WHERE name = 'entry';
     DELETE FROM search WHERE rowid > 4;";

/// Ledgers of a long run that two processes begin at the same time.
pub const BEGUN_BY_TWO: u32 = 4_000;

/// As whom facts are made again.
pub const MAKES_AGAIN: fn(&Path) -> std::path::PathBuf = |path| path.to_owned();

/// Columns of an entry that only this engine has.
pub const MORE_COLUMNS: &str = "";

/// What lets an entry be amended twice.
pub const ALLOW_TWO_AMENDMENTS: &str = "";

/// Changes after which a row is no entry, which only this engine lets happen.
pub const NO_ENTRY: &[&str] = &["kind = CAST(x'ff' AS TEXT)"];

/// What a careless hand does; whether it is refused.
pub fn is_refused(path: &Path, sql: &str) -> bool {
    Connection::open(path).unwrap().execute(sql, []).is_err()
}

/// The rows of a query, as text.
pub fn rows(path: &Path, sql: &str) -> Vec<Vec<String>> {
    let connection = Connection::open(path).unwrap();
    let mut statement = connection.prepare(sql).unwrap();
    let count = statement.column_count();
    let rows = statement.query_map([], |row| {
        (0..count)
            .map(|index| {
                Ok(match row.get_ref(index)? {
                    rusqlite::types::ValueRef::Integer(number) => number.to_string(),
                    value => value.as_str()?.to_owned(),
                })
            })
            .collect()
    });
    rows.unwrap().collect::<Result<_, _>>().unwrap()
}
