//! What is to be recorded by this process waits here for its turn, and goes in together.
//!
//! One thread records. While a commit is on its way to the disk others queue up; then all that wait are chained and put
//! in by one transaction, and each is answered once that is committed. The head is read while an advisory lock is held,
//! which any other process waits for.
//!
//! A commit whose answer is lost with the connection may have been made or not. Each transaction has a key of its own in
//! the rows that it adds, and is looked up by it, behind the same lock, before it is tried again.

use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread::{self, JoinHandle};
use std::time::Instant;

use super::connection::{Connection, may_pass};
use super::done::Done;
use super::place::Place;
use super::settings::Settings;
use super::{append, bench};
use crate::store::row::size;
use crate::{Error, Result, Server};

/// The most entries of one transaction.
const MOST_ENTRIES: usize = 500;
/// The most bytes of documents of one transaction; at least one entry is.
const MOST_BYTES: usize = 4 << 20;

/// Something to be recorded, and who waits for it.
pub(super) enum Request {
    Entries(append::Asked, Sender<Result<append::Answer>>),
    Events(bench::Asked, Sender<Result<u64>>),
}

/// The thread that records. It ends when nobody can ask any more.
pub(super) struct Queue {
    sender: Option<Sender<Request>>,
    thread: Option<JoinHandle<()>>,
}

impl Queue {
    pub fn start(settings: Arc<Settings>, place: Place) -> Self {
        let (sender, receiver) = channel();
        let recorder = Recorder {
            settings,
            place,
            connection: None,
        };
        let thread = thread::spawn(move || recorder.work(&receiver));
        Self {
            sender: Some(sender),
            thread: Some(thread),
        }
    }

    /// Hands something in and waits until it is recorded, or is not.
    pub fn ask<T>(
        &self,
        place: &Place,
        request: impl FnOnce(Sender<Result<T>>) -> Request,
    ) -> Result<T> {
        let (sender, receiver) = channel();
        let gone = || place.server(Server::ConnectionLost);
        let queue = self.sender.as_ref().ok_or_else(gone)?;
        queue.send(request(sender)).map_err(|_| gone())?;
        // A thread that ended by itself may have recorded it.
        receiver
            .recv()
            .map_err(|_| Error::AnswerLost(place.path.clone()))?
    }
}

impl Drop for Queue {
    fn drop(&mut self) {
        self.sender = None;
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}

struct Recorder {
    settings: Arc<Settings>,
    place: Place,
    connection: Option<Connection>,
}

impl Recorder {
    fn work(mut self, requests: &Receiver<Request>) {
        while let Ok(first) = requests.recv() {
            let (mut entries, mut events) = (Vec::new(), Vec::new());
            let mut bytes = 0;
            let mut next = Some(first);
            while let Some(request) = next {
                match request {
                    Request::Entries(asked, sender) => {
                        bytes += asked.drafts.iter().map(size).sum::<usize>();
                        entries.push((asked, sender));
                    }
                    Request::Events(asked, sender) => events.push((asked, sender)),
                }
                let full = entries.len() + events.len() >= MOST_ENTRIES || bytes >= MOST_BYTES;
                next = if full { None } else { requests.try_recv().ok() };
            }
            self.together(events, bench::LOCK, &bench::add);
            self.together(entries, append::LOCK, &append::add);
        }
    }

    /// Records what waits in one transaction. Where the server refuses something of it, each goes alone, so that one does
    /// not stand in the way of the others.
    fn together<Q, A>(
        &mut self,
        waiting: Vec<(Q, Sender<Result<A>>)>,
        lock: &str,
        add: &Add<Q, A>,
    ) {
        if waiting.is_empty() {
            return;
        }
        let (asked, senders): (Vec<Q>, Vec<_>) = waiting.into_iter().unzip();
        match self.settle(&asked, lock, add) {
            Ok(answers) => {
                for (sender, answer) in senders.into_iter().zip(answers) {
                    let _ = sender.send(answer);
                }
            }
            Err(Error::Storage { .. }) if asked.len() > 1 => {
                for (asked, sender) in asked.into_iter().zip(senders) {
                    self.together(vec![(asked, sender)], lock, add);
                }
            }
            Err(error) => {
                for sender in senders {
                    let _ = sender.send(Err(error.clone()));
                }
            }
        }
    }

    /// Records in one transaction, with as many connections as that takes, until the patience is used up.
    fn settle<Q, A>(&mut self, asked: &[Q], lock: &str, add: &Add<Q, A>) -> Result<Vec<Result<A>>> {
        let until = Instant::now() + self.place.options.patience;
        loop {
            match self.attempt(asked, lock, add, until) {
                Err(error) if may_pass(&error) && Instant::now() < until => {
                    self.connection = None;
                }
                Err(error) => {
                    self.connection = None;
                    return Err(error);
                }
                done => return done,
            }
        }
    }

    fn attempt<Q, A>(
        &mut self,
        asked: &[Q],
        lock: &str,
        add: &Add<Q, A>,
        until: Instant,
    ) -> Result<Vec<Result<A>>> {
        let connection = self.connected(until)?;
        let (answer, look_up, key) = match add(connection, asked)? {
            Done::Nothing(answer) => {
                connection.run("ROLLBACK")?;
                return Ok(answer);
            }
            Done::Added {
                answer,
                look_up,
                key,
            } => (answer, look_up, key),
        };
        let Err(error) = connection.run("COMMIT") else {
            return Ok(answer);
        };
        if self.was_committed(lock, &look_up, &key)? {
            return Ok(answer);
        }
        // Certain by now: nothing was recorded.
        Err(error)
    }

    /// Whether a transaction was committed whose answer was lost.
    fn was_committed(&mut self, lock: &str, look_up: &str, key: &str) -> Result<bool> {
        let until = Instant::now() + self.place.options.patience;
        loop {
            self.connection = None;
            // Behind the lock: a server that still works on the commit holds it.
            let looked = self.connected(until).and_then(|connection| {
                connection.run(&format!("BEGIN; {lock}"))?;
                let found = connection.run_for_row(look_up)?;
                connection.run("ROLLBACK")?;
                Ok(found.into_iter().next().flatten())
            });
            match looked {
                Ok(found) => return Ok(found.as_deref() == Some(key)),
                Err(error) if may_pass(&error) && Instant::now() < until => {}
                Err(_) => return Err(Error::AnswerLost(self.place.path.clone())),
            }
        }
    }

    fn connected(&mut self, until: Instant) -> Result<&mut Connection> {
        let connection = match self.connection.take() {
            Some(connection) => connection,
            None => {
                Connection::open_patiently(&self.settings, &self.place, until)?.for_own_thread()
            }
        };
        Ok(self.connection.insert(connection))
    }
}

/// Adds what is asked for in a transaction that it begins and leaves open.
type Add<Q, A> = dyn Fn(&mut Connection, &[Q]) -> Result<Done<Vec<Result<A>>>>;
