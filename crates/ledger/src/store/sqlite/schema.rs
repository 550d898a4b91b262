//! The tables of the file.

use rusqlite::{Connection, TransactionBehavior};

/// Marks the file as ours, in its header: `MFLG`.
pub(super) const APPLICATION_ID: i64 = 0x4D46_4C47;

/// The schema of this program: 4 is 3 with the tables of facts, 5 has them indexed by months, 6 has facts made again.
pub(crate) const NEWEST: i64 = 6;

/// What each schema after the oldest adds.
const LATER: [(i64, &str); 3] = [
    (WITH_FACTS, include_str!("facts.sql")),
    (WITH_MONTHS, include_str!("months.sql")),
    (NEWEST, include_str!("facts-again.sql")),
];

/// The first schema that has facts.
pub(super) const WITH_FACTS: i64 = 4;

/// The first schema that has them indexed by months.
pub(super) const WITH_MONTHS: i64 = 5;

/// The oldest schema that is read. 1 and 2 were before the first release.
pub(super) const OLDEST: i64 = 3;

/// What the header of a database says about it.
pub(super) struct Header {
    pub application_id: i64,
    pub version: i64,
    /// Whether it has no table yet.
    pub empty: bool,
}

impl Header {
    /// Reads it as it is at one moment.
    pub fn read(connection: &mut Connection) -> rusqlite::Result<Self> {
        let moment = connection.transaction_with_behavior(TransactionBehavior::Deferred)?;
        let header = Self::read_within(&moment)?;
        moment.commit()?;
        Ok(header)
    }

    /// Reads it in a transaction of the caller's.
    pub fn read_within(transaction: &Connection) -> rusqlite::Result<Self> {
        let number = |sql| transaction.query_row(sql, [], |row| row.get::<_, i64>(0));
        Ok(Self {
            // The table first: it is what begins the transaction.
            empty: number("SELECT count(*) FROM sqlite_schema")? == 0,
            application_id: number("PRAGMA application_id")?,
            version: number("PRAGMA user_version")?,
        })
    }

    /// Whether nothing was ever put into it.
    pub fn is_blank(&self) -> bool {
        self.empty && self.application_id == 0 && self.version == 0
    }
}

/// Makes the tables. The caller holds the transaction.
pub(super) fn create(connection: &Connection) -> rusqlite::Result<()> {
    create_as(connection, NEWEST)
}

/// Makes the tables as those of a version are.
pub(super) fn create_as(connection: &Connection, version: i64) -> rusqlite::Result<()> {
    connection.execute_batch(include_str!("schema.sql"))?;
    connection.pragma_update(None, "application_id", APPLICATION_ID)?;
    bring_up(connection, OLDEST, version)
}

/// Adds what a file of an older schema does not have. The caller holds the transaction.
pub(super) fn bring_up_to_date(connection: &Connection) -> rusqlite::Result<()> {
    bring_up(connection, version(connection)?, NEWEST)
}

fn bring_up(connection: &Connection, from: i64, to: i64) -> rusqlite::Result<()> {
    for (made, sql) in LATER {
        if (from..to).contains(&(made - 1)) {
            connection.execute_batch(sql)?;
        }
    }
    connection.pragma_update(None, "user_version", to)
}

/// The version of a file.
pub(super) fn version(connection: &Connection) -> rusqlite::Result<i64> {
    connection.query_row("PRAGMA user_version", [], |row| row.get(0))
}
