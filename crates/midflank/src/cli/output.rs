//! Standard output: buffered, and at ease when the reader of a pipe goes away.

use std::io::{self, BufWriter, StdoutLock, Write};

use serde::Serialize;

use super::Failure;

/// Standard output of a command.
pub struct Output {
    out: BufWriter<StdoutLock<'static>>,
    /// What goes out, for whoever wants to say it again.
    copy: Option<String>,
}

impl Output {
    pub fn new() -> Self {
        Self {
            out: BufWriter::with_capacity(1 << 16, io::stdout().lock()),
            copy: None,
        }
    }

    /// Text as it is.
    pub fn text(&mut self, text: &str) -> Result<(), Failure> {
        if let Some(copy) = &mut self.copy {
            copy.push_str(text);
        }
        self.out.write_all(text.as_bytes()).map_err(write_failure)
    }

    /// Keeps a copy of what goes out from here on.
    pub fn keep_a_copy(&mut self) {
        self.copy = Some(String::new());
    }

    /// The copy, which ends here.
    pub fn take_copy(&mut self) -> String {
        self.copy.take().unwrap_or_default()
    }

    /// A line of text.
    pub fn line(&mut self, text: &str) -> Result<(), Failure> {
        self.text(text)?;
        self.text("\n")
    }

    /// One JSON document on one line.
    pub fn json(&mut self, document: &impl Serialize) -> Result<(), Failure> {
        let mut text = serde_json::to_string(document).map_err(Failure::outside)?;
        text.push('\n');
        self.text(&text)
    }

    /// Sends what is waiting: an acknowledgement must be seen before the next piece of work.
    pub fn finish(&mut self) -> Result<(), Failure> {
        self.out.flush().map_err(write_failure)
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
