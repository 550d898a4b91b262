//! `midflank ledger verify`: is everything still as it was recorded?

use std::fs;
use std::io::{self, IsTerminal as _, Write as _};
use std::ops::RangeInclusive;
use std::path::{Path, PathBuf};
use std::str::FromStr;

use clap::Args;
use ledger::{
    EntryRef, Fault, NotRecomputed, Progress, Remark, VerifyOptions, VerifyReport, Witness, verify,
};
use serde::Serialize;

use crate::desk;
use crate::failure::Failure;
use crate::output::Output;
use crate::say;
use crate::words;

#[derive(Args)]
pub struct Check {
    #[arg(long, value_name = "FILE|HASH")]
    expect: Option<String>,
    #[arg(long, value_name = "N..M")]
    accept_methods: Option<Methods>,
    #[arg(long)]
    json: bool,
}

/// A range of methods: `1..3`, both included, or `2`.
#[derive(Clone)]
struct Methods(RangeInclusive<u32>);

impl FromStr for Methods {
    type Err = Failure;

    fn from_str(text: &str) -> Result<Self, Failure> {
        let (first, last) = text.split_once("..").unwrap_or((text, text));
        match (first.parse(), last.parse()) {
            (Ok(first), Ok(last)) if first <= last => Ok(Self(first..=last)),
            _ => Err(Failure::Input(say!("ledger.accept-methods", text = text))),
        }
    }
}

/// The answer as a document.
#[derive(Serialize)]
struct Verified {
    sound: bool,
    entries: u64,
    recomputed: u64,
    events: u64,
    head: Option<String>,
    head_hash: Option<String>,
    faults: Vec<Told>,
    not_recomputed: Vec<ByMethod>,
    remarks: Vec<Told>,
}

/// A fault or a remark.
#[derive(Serialize)]
struct Told {
    kind: &'static str,
    message: String,
}

/// An entry by a method that the program does not have.
#[derive(Serialize)]
struct ByMethod {
    entry: String,
    method: u32,
    accepted: bool,
}

impl From<&Fault> for Told {
    fn from(fault: &Fault) -> Self {
        Self {
            kind: fault.kind.code(),
            message: words::ledger::fault(fault),
        }
    }
}

impl From<&Remark> for Told {
    fn from(remark: &Remark) -> Self {
        Self {
            kind: remark.kind.code(),
            message: words::ledger::remark(remark),
        }
    }
}

impl From<&NotRecomputed> for ByMethod {
    fn from(one: &NotRecomputed) -> Self {
        Self {
            entry: one.entry.to_string(),
            method: one.method,
            accepted: one.accepted,
        }
    }
}

impl Verified {
    fn of(report: &VerifyReport) -> Self {
        Self {
            sound: report.is_sound(),
            entries: report.entries,
            recomputed: report.recomputed,
            events: report.events,
            head: report.head.map(|head| head.id().to_string()),
            head_hash: report.head.map(|head| head.hash.to_string()),
            faults: report.faults.iter().map(Told::from).collect(),
            not_recomputed: report.not_recomputed.iter().map(ByMethod::from).collect(),
            remarks: report.remarks.iter().map(Told::from).collect(),
        }
    }
}

impl Check {
    /// Verifies, and says what the answer is worth.
    pub fn run(&self, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
        let expected = self.expect.as_deref().map(Expected::read).transpose()?;
        let ledger = desk::open_to_read(path)?;
        let on_terminal = !self.json && io::stderr().is_terminal();
        let options = VerifyOptions {
            noted: expected.as_ref().and_then(Expected::noted),
            witness: expected.as_ref().and_then(Expected::witness),
            accept_methods: self.accept_methods.clone().map(|methods| methods.0),
            progress: on_terminal.then_some(&show),
            ..VerifyOptions::default()
        };
        let report = verify(&ledger, &options, desk::recompute_in(&ledger));
        if on_terminal {
            let _ = write!(io::stderr(), "{LINE_START}");
        }
        let report = report?;
        if self.json {
            output.json(&Verified::of(&report))?;
        } else {
            tell(&report, expected.as_ref(), output)?;
        }
        output.finish()?;
        if report.is_sound() {
            Ok(())
        } else {
            Err(Failure::outside(say!(
                "ledger.verify-failed",
                path = ledger.path().display()
            )))
        }
    }
}

fn tell(
    report: &VerifyReport,
    expected: Option<&Expected>,
    output: &mut Output,
) -> Result<(), Failure> {
    for fault in &report.faults {
        output.line(&say!(
            "ledger.verify-fault",
            fault = words::ledger::fault(fault)
        ))?;
    }
    for one in &report.not_recomputed {
        let why = say!("ledger.method-unknown", method = one.method);
        output.line(&if one.accepted {
            say!("ledger.verify-accepted", entry = one.entry, why = why)
        } else {
            say!("ledger.verify-not-computed", entry = one.entry, why = why)
        })?;
    }
    for remark in &report.remarks {
        output.line(&words::ledger::remark(remark))?;
    }
    let (n, recomputed) = (report.entries, report.recomputed);
    output.line(&if report.is_sound() {
        say!("ledger.verify-sound", n = n, recomputed = recomputed)
    } else {
        say!("ledger.verify-unsound", n = n, recomputed = recomputed)
    })?;
    if let Some(head) = report.head {
        output.line(&say!(
            "ledger.verify-last",
            entry = head.id(),
            hash = head.hash
        ))?;
    }
    if !report.is_sound() {
        return Ok(());
    }
    match expected {
        Some(Expected::Noted(noted)) => output.line(&say!("ledger.verify-noted", noted = noted)),
        Some(Expected::Witness(witness)) => {
            output.line(&say!("ledger.verify-witness", number = witness.count))
        }
        None => output.line(say!("ledger.verify-alone")),
    }
}

/// What was noted outside the ledger.
enum Expected {
    Noted(EntryRef),
    Witness(Witness),
}

impl Expected {
    fn read(text: &str) -> Result<Self, Failure> {
        let file = PathBuf::from(text);
        if file.is_file() {
            return witness(&file).map(Self::Witness);
        }
        if let Ok(witness) = text.trim().parse() {
            return Ok(Self::Witness(witness));
        }
        let noted: EntryRef = text
            .parse()
            .map_err(|_| Failure::input(say!("ledger.expect-what", text = text)))?;
        vouches(&noted)?;
        Ok(Self::Noted(noted))
    }

    fn noted(&self) -> Option<EntryRef> {
        match self {
            Self::Noted(noted) => Some(noted.clone()),
            Self::Witness(_) => None,
        }
    }

    const fn witness(&self) -> Option<Witness> {
        match self {
            Self::Noted(_) => None,
            Self::Witness(witness) => Some(*witness),
        }
    }
}

/// The witness in a file: its one line.
fn witness(file: &Path) -> Result<Witness, Failure> {
    let text = fs::read_to_string(file).map_err(|error| {
        Failure::input(say!(
            "command.cannot-read",
            file = file.display(),
            why = error
        ))
    })?;
    text.trim()
        .parse()
        .map_err(|_| Failure::input(say!("ledger.expect-file", file = file.display())))
}

/// A number without digits of the hash is in every ledger that is long enough, and vouches for nothing.
fn vouches(noted: &EntryRef) -> Result<(), Failure> {
    let text = noted.to_string();
    if text.len() < 64 && text.bytes().all(|byte| byte.is_ascii_digit()) {
        return Err(Failure::input(say!("ledger.expect-number", text = text)));
    }
    Ok(())
}

/// How far the verification is, on a line of the terminal that is written over.
fn show(progress: Progress) {
    let line = say!(
        "ledger.verify-progress",
        entries = progress.entries,
        of = progress.of
    );
    let mut terminal = io::stderr();
    let _ = write!(terminal, "{LINE_START}{line}").and_then(|()| terminal.flush());
}

/// To the start of the line, and all of it cleared.
const LINE_START: &str = "\r\u{1b}[K";
