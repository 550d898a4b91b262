//! The tables of the file, and how an older file gets them.

use rusqlite::Connection;

/// Marks the file as ours, in its header: `MFLG`.
pub(super) const APPLICATION_ID: i64 = 0x4D46_4C47;

/// Every step from an empty file to the tables of today. Steps are added, never changed.
const MIGRATIONS: &[&str] = &[
    include_str!("migrations/0001_entries.sql"),
    include_str!("migrations/0002_bench.sql"),
];

/// The schema this program writes: how many steps there are.
#[expect(clippy::cast_possible_wrap, reason = "a handful")]
pub(super) const NEWEST: i64 = MIGRATIONS.len() as i64;

/// What the header of a database says about it.
pub(super) struct Header {
    pub application_id: i64,
    pub version: i64,
    /// Whether it has no table yet.
    pub empty: bool,
}

impl Header {
    pub fn read(connection: &Connection) -> rusqlite::Result<Self> {
        let number = |sql| connection.query_row(sql, [], |row| row.get::<_, i64>(0));
        Ok(Self {
            application_id: number("PRAGMA application_id")?,
            version: number("PRAGMA user_version")?,
            empty: number("SELECT count(*) FROM sqlite_schema")? == 0,
        })
    }

    /// Whether nothing was ever put into it.
    pub fn is_blank(&self) -> bool {
        self.empty && self.application_id == 0 && self.version == 0
    }
}

/// Takes the steps that are missing. The caller holds the transaction.
pub(super) fn migrate(connection: &Connection, from: i64) -> rusqlite::Result<()> {
    let done = usize::try_from(from).unwrap_or(0);
    for step in MIGRATIONS.iter().skip(done) {
        connection.execute_batch(step)?;
    }
    connection.pragma_update(None, "application_id", APPLICATION_ID)?;
    connection.pragma_update(None, "user_version", NEWEST)
}
