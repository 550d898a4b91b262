//! A connection to the server, and what its errors mean.

use std::collections::HashMap;
use std::thread;
use std::time::{Duration, Instant};

use postgres::fallible_iterator::FallibleIterator as _;
use postgres::types::ToSql;
use postgres::{Client, Row, SimpleQueryMessage, Statement};

use super::place::Place;
use super::settings::Settings;
use crate::{Damage, Error, Result, Server};

/// How many prepared statements a connection keeps.
const STATEMENTS: usize = 200;
/// How long to wait before the server is asked again.
const PAUSE: Duration = Duration::from_millis(50);

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
    /// There until it is dropped.
    client: Option<Client>,
    statements: HashMap<String, Statement>,
    place: Place,
    /// Whether it is used on a thread that waits for nothing else.
    on_own_thread: bool,
}

impl Connection {
    /// Connects, and says what every connection is told first.
    pub fn open(settings: &Settings, place: &Place) -> Result<Self> {
        let client = aside(|| settings.config.connect(settings.tls.clone()))
            .map_err(|error| place.told_of_connecting(&error, settings.has_password))?;
        let mut connection = Self {
            client: Some(client),
            statements: HashMap::new(),
            place: place.clone(),
            on_own_thread: false,
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

    /// For use on a thread that waits for nothing else: it is asked there directly.
    pub fn for_own_thread(mut self) -> Self {
        self.on_own_thread = true;
        self
    }

    /// Asks something of the client.
    fn ask<T: Send>(
        &mut self,
        ask: impl FnOnce(&mut Client) -> std::result::Result<T, postgres::Error> + Send,
    ) -> Result<T> {
        let Some(client) = &mut self.client else {
            return Err(self.place.server(Server::ConnectionLost));
        };
        let answer = if self.on_own_thread {
            ask(client)
        } else {
            aside(|| ask(client))
        };
        answer.map_err(|error| self.place.told(&error))
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
        self.ask(|client| client.batch_execute(sql))
    }

    /// Runs statements without values in one round trip; gives the last row that comes of them.
    pub fn run_for_row(&mut self, sql: &str) -> Result<Vec<Option<String>>> {
        let messages = self.ask(|client| client.simple_query(sql))?;
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
        let statement = self.statement(sql)?;
        self.ask(|client| client.query(&statement, values))
    }

    /// Does something with each row as it comes, until that says false.
    pub fn each(
        &mut self,
        sql: &str,
        values: &[&(dyn ToSql + Sync)],
        mut with: impl FnMut(Row) -> bool + Send,
    ) -> Result<()> {
        let statement = self.statement(sql)?;
        self.ask(|client| {
            let mut rows = client.query_raw(&statement, values.iter().copied())?;
            while let Some(row) = rows.next()? {
                if !with(row) {
                    break;
                }
            }
            Ok(())
        })
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

    fn statement(&mut self, sql: &str) -> Result<Statement> {
        if let Some(known) = self.statements.get(sql) {
            return Ok(known.clone());
        }
        if self.statements.len() >= STATEMENTS {
            self.statements.clear();
        }
        let statement = self.ask(|client| client.prepare(sql))?;
        self.statements.insert(sql.to_owned(), statement.clone());
        Ok(statement)
    }
}

impl Drop for Connection {
    fn drop(&mut self) {
        let client = self.client.take();
        if self.on_own_thread {
            drop(client);
        } else {
            aside(|| drop(client));
        }
    }
}

/// Runs something on a thread of its own and waits for it. The client drives tasks of its own while it waits, and a thread
/// that does so for others already, as those of a web server do, must not.
fn aside<T: Send>(work: impl FnOnce() -> T + Send) -> T {
    thread::scope(|scope| match scope.spawn(work).join() {
        Ok(done) => done,
        Err(panic) => std::panic::resume_unwind(panic),
    })
}
