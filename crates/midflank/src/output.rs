//! Standard output: buffered, and at ease when the reader of a pipe goes away.

use std::io::{self, Stdout, Write};
use std::process::ExitCode;
use std::sync::OnceLock;

use serde::Serialize;

use crate::failure::Failure;
use crate::given::escaped;
use crate::say;

/// Standard output of a command; without a way out, answers that are kept until they are appended to one.
#[derive(Default)]
pub struct Output {
    waiting: Vec<u8>,
    /// What is to be said on standard error, and after how many bytes of the answers.
    asides: Vec<(usize, String)>,
    out: Option<Stdout>,
}

/// As much as waits before it is sent.
const FULL: usize = 1 << 16;

impl Output {
    pub fn new() -> Self {
        Self {
            waiting: Vec::with_capacity(2 * FULL),
            asides: Vec::new(),
            out: Some(io::stdout()),
        }
    }

    /// Bytes as they are.
    pub fn bytes(&mut self, bytes: &[u8]) -> Result<(), Failure> {
        self.waiting.extend_from_slice(bytes);
        self.send_if_full()
    }

    /// Text, with what would steer a terminal made visible: old records may hold it.
    pub fn text(&mut self, text: &str) -> Result<(), Failure> {
        self.bytes(escaped(text).as_bytes())
    }

    /// A line of text.
    pub fn line(&mut self, text: &str) -> Result<(), Failure> {
        self.text(text)?;
        self.text("\n")
    }

    /// One JSON document on one line.
    pub fn json(&mut self, document: &impl Serialize) -> Result<(), Failure> {
        serde_json::to_writer(&mut self.waiting, document).map_err(Failure::outside)?;
        self.waiting.push(b'\n');
        self.send_if_full()
    }

    /// A line that is written in its place.
    pub fn written(&mut self, write: impl FnOnce(&mut Vec<u8>)) -> Result<(), Failure> {
        write(&mut self.waiting);
        self.waiting.push(b'\n');
        self.send_if_full()
    }

    /// Says something on standard error, in step with the answers before it.
    pub fn aside(&mut self, text: &str) -> Result<(), Failure> {
        if self.out.is_some() {
            self.finish()?;
            // A standard error that is closed leaves nobody to tell.
            let _ = io::stderr().write_all(escaped(text).as_bytes());
        } else {
            self.asides.push((self.waiting.len(), text.to_owned()));
        }
        Ok(())
    }

    /// How much is to be said on standard error.
    pub fn asides(&self) -> usize {
        self.asides.len()
    }

    /// What has not been sent.
    pub fn kept(&self) -> &[u8] {
        &self.waiting
    }

    /// Takes over what another output has kept.
    pub fn append(&mut self, other: &mut Self) -> Result<(), Failure> {
        if !other.asides.is_empty() {
            let mut from = 0;
            for (at, text) in other.asides.drain(..) {
                self.bytes(other.waiting.get(from..at).unwrap_or_default())?;
                self.aside(&text)?;
                from = at;
            }
            self.bytes(other.waiting.get(from..).unwrap_or_default())?;
            other.waiting.clear();
        } else if other.waiting.len() >= FULL {
            // Sent from where it is.
            self.send()?;
            std::mem::swap(&mut self.waiting, &mut other.waiting);
            self.send()?;
            std::mem::swap(&mut self.waiting, &mut other.waiting);
        } else {
            self.bytes(&other.waiting)?;
            other.waiting.clear();
        }
        Ok(())
    }

    /// Sends what is waiting: an acknowledgement must be seen before the next piece of work.
    pub fn finish(&mut self) -> Result<(), Failure> {
        self.send()?;
        let flushed = self.out.as_mut().map_or(Ok(()), Write::flush);
        flushed.map_err(write_failure)
    }

    fn send_if_full(&mut self) -> Result<(), Failure> {
        if self.waiting.len() < FULL {
            return Ok(());
        }
        self.send()
    }

    fn send(&mut self) -> Result<(), Failure> {
        if let Some(out) = &mut self.out {
            out.write_all(&self.waiting).map_err(write_failure)?;
            self.waiting.clear();
        }
        Ok(())
    }
}

impl Failure {
    /// Says it on standard error and goes on.
    pub fn say(self) {
        let _ = self.tell();
    }

    /// Says it on standard error and gives the exit status.
    pub fn tell(self) -> ExitCode {
        let (message, status) = match self {
            Self::Input(message) => (message, 2),
            Self::Outside(message) => (message, 1),
            Self::SomeLines => return ExitCode::from(2),
            Self::NobodyReads => return ExitCode::SUCCESS,
        };
        warn(&message);
        ExitCode::from(status)
    }
}

/// Says something of this program on standard error at once, with what would steer a terminal made visible.
pub fn warn(text: &str) {
    // A standard error that is closed leaves nobody to tell.
    let _ = writeln!(io::stderr(), "midflank: {}", escaped(text));
}

/// A pipe whose reader has gone is no failure; a full disk is.
fn write_failure(error: io::Error) -> Failure {
    match error.kind() {
        io::ErrorKind::BrokenPipe => Failure::NobodyReads,
        _ => Failure::outside(say!("command.answer-unwritten", why = error)),
    }
}

/// Columns of the terminal, or the widest that reports use where there is none. Asked once: a list has many answers.
pub fn width() -> usize {
    static WIDTH: OnceLock<usize> = OnceLock::new();
    *WIDTH.get_or_init(|| {
        terminal_size::terminal_size().map_or(crate::report::text::WIDTH, |(width, _)| {
            usize::from(width.0)
        })
    })
}
