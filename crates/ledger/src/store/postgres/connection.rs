//! A connection to the server, and what its errors mean.

use std::collections::HashMap;
use std::error::Error as _;
use std::io;
use std::path::PathBuf;
use std::thread;
use std::time::{Duration, Instant};

use postgres::error::SqlState;
use postgres::types::ToSql;
use postgres::{Client, Row, SimpleQueryMessage, Statement};

use super::settings::Settings;
use crate::{AddressFault, Damage, Error, OpenOptions, Result, Server};

/// How many prepared statements a connection keeps.
const STATEMENTS: usize = 200;
/// How long to wait before the server is asked again.
const PAUSE: Duration = Duration::from_millis(50);

/// Which ledger it is, for what is told of it.
#[derive(Clone)]
pub(super) struct Place {
    /// The address, without password.
    pub path: PathBuf,
    pub options: OpenOptions,
}

impl Place {
    pub fn address(&self, why: AddressFault) -> Error {
        let path = self.path.clone();
        Error::Address { path, why }
    }

    pub fn server(&self, what: Server) -> Error {
        let path = self.path.clone();
        Error::Server { path, what }
    }

    pub fn damaged(&self, what: Damage) -> Error {
        let path = self.path.clone();
        Error::Damaged { path, what }
    }

    /// Tells what an error of the server, or on the way to it, means.
    pub fn told(&self, error: &postgres::Error) -> Error {
        let path = self.path.clone();
        let Some(said) = error.as_db_error() else {
            return self.server(Server::ConnectionLost);
        };
        let code = said.code();
        let detail = format!("{} ({})", said.message(), code.code());
        if is_lost(error) {
            return self.server(Server::ConnectionLost);
        }
        let class = code.code().get(..2).unwrap_or_default();
        match (class, code) {
            (_, code) if *code == SqlState::INSUFFICIENT_PRIVILEGE => {
                self.server(Server::NotPermitted { detail })
            }
            (_, code) if *code == SqlState::UNDEFINED_TABLE => self.server(Server::NoSchema),
            (_, code) if *code == SqlState::READ_ONLY_SQL_TRANSACTION => {
                self.server(Server::TakesNothing)
            }
            (_, code) if *code == SqlState::LOCK_NOT_AVAILABLE => Error::Locked {
                path,
                waited: self.options.patience,
            },
            (_, code) if *code == SqlState::DISK_FULL => Error::DiskFull(path),
            (_, code) if *code == SqlState::INVALID_CATALOG_NAME => self.server(Server::NoDatabase),
            ("28", _) => self.server(Server::LoginRefused { detail }),
            // Another system error, such as of the disk.
            ("58", _) => Error::Disk { path, detail },
            ("XX", code)
                if [SqlState::DATA_CORRUPTED, SqlState::INDEX_CORRUPTED].contains(code) =>
            {
                let what = Damage::Engine { detail };
                Error::Damaged { path, what }
            }
            _ => Error::Storage { path, detail },
        }
    }

    /// The same of an error while connecting.
    fn told_of_connecting(&self, error: &postgres::Error, has_password: bool) -> Error {
        if let Some(said) = error.as_db_error() {
            return match said.code().code().get(..2) {
                // No connections left, stopping or starting.
                Some("53" | "57" | "08") => self.server(Server::Unreachable {
                    detail: said.message().to_owned(),
                }),
                _ => self.told(error),
            };
        }
        let source = error.source();
        match source.and_then(|source| source.downcast_ref::<io::Error>()) {
            Some(found) if found.kind() == io::ErrorKind::PermissionDenied => {
                self.server(Server::TakesNothing)
            }
            None if !has_password => self.server(Server::PasswordMissing),
            _ => self.server(Server::Unreachable {
                detail: source.map_or_else(|| error.to_string(), ToString::to_string),
            }),
        }
    }
}

/// Whether the connection is gone, and what was asked may be asked of another.
fn is_lost(error: &postgres::Error) -> bool {
    match error.code() {
        None => true,
        // Connection exceptions, and a server that stops or crashed.
        Some(code) => {
            code.code().starts_with("08")
                || [
                    SqlState::ADMIN_SHUTDOWN,
                    SqlState::CRASH_SHUTDOWN,
                    SqlState::CANNOT_CONNECT_NOW,
                ]
                .contains(code)
        }
    }
}

/// Whether the connection was lost, or cannot be made for now.
pub(super) fn may_pass(error: &Error) -> bool {
    matches!(
        error,
        Error::Server {
            what: Server::ConnectionLost | Server::Unreachable { .. } | Server::TakesNothing,
            ..
        }
    )
}

/// A connection with the statements it knows.
pub(super) struct Connection {
    client: Client,
    statements: HashMap<String, Statement>,
    place: Place,
}

impl Connection {
    /// Connects, and says what every connection is told first.
    pub fn open(settings: &Settings, place: &Place) -> Result<Self> {
        let client = settings
            .config
            .connect(settings.tls.clone())
            .map_err(|error| place.told_of_connecting(&error, settings.has_password))?;
        let mut connection = Self {
            client,
            statements: HashMap::new(),
            place: place.clone(),
        };
        let patience = place.options.patience.as_millis().max(1);
        // A commit is answered when it is on the disk, whatever the server does for others. The plan of a search depends
        // on the words.
        connection.run(&format!(
            "SET search_path = midflank, public; SET lock_timeout = {patience}; SET plan_cache_mode = force_custom_plan;
             SELECT set_config('synchronous_commit', 'on', false) WHERE current_setting('synchronous_commit') = 'off';
             SET standard_conforming_strings = on"
        ))?;
        Ok(connection)
    }

    /// The same, tried until the patience is used up: a server starts again, or another takes its place.
    pub fn open_patiently(settings: &Settings, place: &Place, until: Instant) -> Result<Self> {
        loop {
            match Self::open(settings, place) {
                Err(error) if may_pass(&error) && Instant::now() < until => thread::sleep(PAUSE),
                done => return done,
            }
        }
    }

    /// Runs statements without values.
    pub fn run(&mut self, sql: &str) -> Result<()> {
        let place = &self.place;
        self.client
            .batch_execute(sql)
            .map_err(|error| place.told(&error))
    }

    /// Runs statements without values in one round trip; gives the last row that comes of them.
    pub fn run_for_row(&mut self, sql: &str) -> Result<Vec<Option<String>>> {
        let place = &self.place;
        let messages = self
            .client
            .simple_query(sql)
            .map_err(|error| place.told(&error))?;
        let rows = messages.into_iter().filter_map(|message| match message {
            SimpleQueryMessage::Row(row) => Some(row),
            _ => None,
        });
        let last = rows.last();
        Ok(last.map_or_else(Vec::new, |row| {
            (0..row.len())
                .map(|index| row.try_get(index).ok().flatten().map(str::to_owned))
                .collect()
        }))
    }

    pub fn query(&mut self, sql: &str, values: &[&(dyn ToSql + Sync)]) -> Result<Vec<Row>> {
        let done = self
            .statement(sql)
            .and_then(|statement| self.client.query(&statement, values));
        done.map_err(|error| self.place.told(&error))
    }

    /// What was read, or the damage that was met.
    pub fn sound<T>(&self, read: std::result::Result<T, Damage>) -> Result<T> {
        read.map_err(|what| self.place.damaged(what))
    }

    pub fn place(&self) -> &Place {
        &self.place
    }

    /// The first row, if there is one.
    pub fn row(&mut self, sql: &str, values: &[&(dyn ToSql + Sync)]) -> Result<Option<Row>> {
        Ok(self.query(sql, values)?.into_iter().next())
    }

    fn statement(&mut self, sql: &str) -> std::result::Result<Statement, postgres::Error> {
        if let Some(known) = self.statements.get(sql) {
            return Ok(known.clone());
        }
        if self.statements.len() >= STATEMENTS {
            self.statements.clear();
        }
        let statement = self.client.prepare(sql)?;
        self.statements.insert(sql.to_owned(), statement.clone());
        Ok(statement)
    }
}
