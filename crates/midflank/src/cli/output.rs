//! Standard output: buffered, and at ease when the reader of a pipe goes away.

use std::io::{self, Stdout, Write};

use serde::Serialize;

use super::Failure;

/// Standard output of a command; without a way out, answers that are kept until they are appended to one.
#[derive(Default)]
pub struct Output {
    waiting: Vec<u8>,
    out: Option<Stdout>,
}

/// As much as waits before it is sent.
const FULL: usize = 1 << 16;

impl Output {
    pub fn new() -> Self {
        Self {
            waiting: Vec::with_capacity(2 * FULL),
            out: Some(io::stdout()),
        }
    }

    /// Bytes as they are.
    pub fn bytes(&mut self, bytes: &[u8]) -> Result<(), Failure> {
        self.waiting.extend_from_slice(bytes);
        self.send_if_full()
    }

    /// Text as it is.
    pub fn text(&mut self, text: &str) -> Result<(), Failure> {
        self.bytes(text.as_bytes())
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

    /// What has not been sent.
    pub fn kept(&self) -> &[u8] {
        &self.waiting
    }

    /// Takes over what another output has kept.
    pub fn append(&mut self, other: &mut Self) -> Result<(), Failure> {
        if other.waiting.len() >= FULL {
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

/// A pipe whose reader has gone is no failure; a full disk is.
fn write_failure(error: io::Error) -> Failure {
    match error.kind() {
        io::ErrorKind::BrokenPipe => Failure::NobodyReads,
        _ => Failure::outside(format!("cannot write the answer: {error}")),
    }
}

/// Columns of the terminal, or the widest that reports use where there is none.
pub fn width() -> usize {
    terminal_size::terminal_size().map_or(crate::report::text::WIDTH, |(width, _)| {
        usize::from(width.0)
    })
}
