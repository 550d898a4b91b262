//! What holds for a ledger wherever it is kept: on a server.

use std::cell::RefCell;
use std::path::{Path, PathBuf};

use postgres::{Client, NoTls, SimpleQueryMessage};

use crate::cluster::{Cluster, RECORDER};

#[path = "../both/backup.rs"]
mod backup;
#[path = "../both/bench.rs"]
mod bench;
#[path = "../both/concurrency.rs"]
mod concurrency;
mod encrypted;
#[path = "../both/facts.rs"]
mod facts;
#[path = "../both/jobs.rs"]
mod jobs;
#[path = "../both/killed.rs"]
mod killed;
#[path = "../both/reading.rs"]
mod reading;
mod server;
#[path = "../both/tampering.rs"]
mod tampering;
mod torn;
#[path = "../both/verifying.rs"]
mod verifying;
#[path = "../both/witness.rs"]
mod witness;

/// A folder for the files of a test, and databases for its ledgers.
pub struct Folder {
    files: crate::books::Folder,
    ledgers: RefCell<Vec<(String, String)>>,
}

impl Folder {
    pub fn new() -> Self {
        Self {
            files: crate::books::Folder::new(),
            ledgers: RefCell::new(Vec::new()),
        }
    }

    pub fn path(&self) -> &Path {
        self.files.path()
    }

    pub fn join(&self, name: &str) -> PathBuf {
        self.files.join(name)
    }

    /// Where a ledger of that name is: a database of its own.
    pub fn ledger(&self, name: &str) -> PathBuf {
        let cluster = Cluster::shared();
        let mut ledgers = self.ledgers.borrow_mut();
        if let Some((_, database)) = ledgers.iter().find(|(known, _)| known == name) {
            return cluster.address(RECORDER, database);
        }
        let database = cluster.ledger();
        ledgers.push((name.to_owned(), database.clone()));
        cluster.address(RECORDER, &database)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        for (_, database) in self.ledgers.borrow().iter() {
            Cluster::shared().remove(database);
        }
    }
}

/// How the highest number of an entry that was ever given out is set.
pub const SET_ISSUED: &str = "UPDATE issued SET entries = 4;";

/// A connection of the one who may do everything.
fn admin(database: &str) -> Client {
    Client::connect(&Cluster::shared().admin(database), NoTls).unwrap()
}

fn database(path: &Path) -> &str {
    path.to_str().unwrap().rsplit('/').next().unwrap()
}

/// Ledgers of a long run that two processes begin at the same time.
pub const BEGUN_BY_TWO: u32 = 200;

/// As whom facts are made again: the owner of the tables.
pub const MAKES_AGAIN: fn(&Path) -> PathBuf =
    |path| Cluster::shared().address(crate::cluster::OWNER, database(path));

/// Columns of an entry that only this engine has.
pub const MORE_COLUMNS: &str = ", search, key";

/// What lets an entry be amended twice.
pub const ALLOW_TWO_AMENDMENTS: &str = "DROP INDEX entry_by_amended;";

/// Changes after which a row is no entry, which only this engine lets happen.
pub const NO_ENTRY: &[&str] = &[];

/// Changes the tables as someone who means to deceive: as the one who may do everything, and with no guard in the way.
pub fn tamper(path: &Path, sql: &str) {
    let mut admin = admin(database(path));
    admin
        .batch_execute("SET search_path = midflank; SET session_replication_role = replica;")
        .unwrap();
    let checks = "SELECT format('ALTER TABLE %s DROP CONSTRAINT %I', conrelid::regclass, conname) FROM pg_constraint
                  WHERE contype = 'c' AND connamespace = 'midflank'::regnamespace";
    for row in admin.query(checks, &[]).unwrap() {
        admin.batch_execute(row.get(0)).unwrap();
    }
    admin.batch_execute(sql).unwrap();
}

/// What a careless hand does, as the one who records and as the owner of the tables; whether both are refused.
pub fn is_refused(path: &Path, sql: &str) -> bool {
    [RECORDER, crate::cluster::OWNER].into_iter().all(|role| {
        let mut admin = admin(database(path));
        let settings = format!("SET ROLE {role}; SET search_path = midflank");
        admin.batch_execute(&settings).unwrap();
        admin.batch_execute(sql).is_err()
    })
}

/// The rows of a query, as text.
pub fn rows(path: &Path, sql: &str) -> Vec<Vec<String>> {
    let mut admin = admin(database(path));
    admin.batch_execute("SET search_path = midflank").unwrap();
    let rows = admin.simple_query(sql).unwrap().into_iter();
    rows.filter_map(|message| match message {
        SimpleQueryMessage::Row(row) => Some(
            (0..row.len())
                .map(|index| row.get(index).unwrap_or_default().to_owned())
                .collect(),
        ),
        _ => None,
    })
    .collect()
}
