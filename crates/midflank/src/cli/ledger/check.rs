//! `midflank ledger verify`: is everything still as it was recorded?

use std::path::Path;

use clap::Args;
use ledger::{EntryRef, VerifyReport, verify};
use serde::Serialize;

use crate::cli::{Failure, Output};
use crate::record;
use crate::say;

/// What the chain is held against.
#[derive(Args)]
pub struct Check {
    /// An entry noted outside the ledger: its hash as verify or a report printed it, or number and check (17-9f3c); it
    /// must be in the chain. Only this shows entries that were cut off at the end
    #[arg(long, value_name = "HASH")]
    expect: Option<EntryRef>,
    /// Answer in JSON
    #[arg(long)]
    json: bool,
}

/// The answer as a document.
#[derive(Serialize)]
struct Verified {
    sound: bool,
    entries: u64,
    recomputed: u64,
    head: Option<String>,
    head_hash: Option<String>,
    faults: Vec<String>,
    not_recomputed: Vec<(String, String)>,
}

impl Verified {
    fn of(report: &VerifyReport) -> Self {
        Self {
            sound: report.is_sound(),
            entries: report.entries,
            recomputed: report.recomputed,
            head: report.head.map(|head| head.id().to_string()),
            head_hash: report.head.map(|head| head.hash.to_string()),
            faults: report.faults.iter().map(ToString::to_string).collect(),
            not_recomputed: report
                .not_recomputed
                .iter()
                .map(|(id, why)| (id.to_string(), why.clone()))
                .collect(),
        }
    }
}

impl Check {
    /// Verifies, and says what the answer is worth.
    pub fn run(&self, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
        if let Some(noted) = &self.expect {
            vouches(noted)?;
        }
        let ledger = record::open_to_read(path)?;
        let report = verify(&ledger, self.expect.as_ref(), &mut record::recompute)?;
        if self.json {
            output.json(&Verified::of(&report))?;
        } else {
            self.tell(&report, output)?;
        }
        output.finish()?;
        if report.is_sound() {
            Ok(())
        } else {
            Err(Failure::Outside(say!(
                "record.does-not-verify",
                ledger = ledger.path().display()
            )))
        }
    }

    fn tell(&self, report: &VerifyReport, output: &mut Output) -> Result<(), Failure> {
        for fault in &report.faults {
            output.line(&say!("record.fault", fault = fault))?;
        }
        for (id, why) in &report.not_recomputed {
            output.line(&say!("record.not-recomputed", entry = id, why = why))?;
        }
        let (n, recomputed) = (report.entries, report.recomputed);
        output.line(&if report.is_sound() {
            say!("record.sound", n = n, recomputed = recomputed)
        } else {
            say!("record.not-sound", n = n, recomputed = recomputed)
        })?;
        if let Some(head) = report.head {
            output.line(&say!("record.last", entry = head.id(), hash = head.hash))?;
        }
        match &self.expect {
            _ if !report.is_sound() => Ok(()),
            Some(noted) => output.line(&say!("record.noted-is-in", noted = noted)),
            None => output.line(&say!("record.note-this")),
        }
    }
}

/// A number without digits of the hash is in every ledger that is long enough, and vouches for nothing.
fn vouches(noted: &EntryRef) -> Result<(), Failure> {
    let text = noted.to_string();
    if text.len() < 64 && text.bytes().all(|byte| byte.is_ascii_digit()) {
        return Err(Failure::Input(say!("record.number-alone", text = text)));
    }
    Ok(())
}
