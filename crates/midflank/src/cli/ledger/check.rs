//! `midflank ledger verify`: is everything still as it was recorded?

use std::path::Path;

use clap::Args;
use ledger::{EntryRef, VerifyOptions, VerifyReport, verify};
use serde::Serialize;

use crate::cli::{Failure, Output};
use crate::record;

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
                .map(|one| (one.entry.to_string(), format!("method {}", one.method)))
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
        let options = VerifyOptions {
            noted: self.expect.clone(),
            ..VerifyOptions::default()
        };
        let report = verify(&ledger, &options, record::recompute)?;
        if self.json {
            output.json(&Verified::of(&report))?;
        } else {
            self.tell(&report, output)?;
        }
        output.finish()?;
        if report.is_sound() {
            Ok(())
        } else {
            Err(Failure::outside(format!(
                "{} does not verify",
                ledger.path().display()
            )))
        }
    }

    fn tell(&self, report: &VerifyReport, output: &mut Output) -> Result<(), Failure> {
        for fault in &report.faults {
            output.line(&format!("FAULT {fault}"))?;
        }
        for one in &report.not_recomputed {
            let (id, method) = (one.entry, one.method);
            output.line(&format!(
                "entry {id} was not computed again: method {method}"
            ))?;
        }
        output.line(&format!(
            "{}: {} {}, {} computed again with the same result",
            if report.is_sound() {
                "sound"
            } else {
                "NOT SOUND"
            },
            report.entries,
            if report.entries == 1 {
                "entry"
            } else {
                "entries"
            },
            report.recomputed
        ))?;
        if let Some(head) = report.head {
            output.line(&format!("last entry {}, hash {}", head.id(), head.hash))?;
        }
        match &self.expect {
            _ if !report.is_sound() => Ok(()),
            Some(noted) => output.line(&format!("the noted {noted} is in it, and so is all before")),
            None => output.line(
                "entries cut off at the end show only against a hash noted outside: note this one for --expect",
            ),
        }
    }
}

/// A number without digits of the hash is in every ledger that is long enough, and vouches for nothing.
fn vouches(noted: &EntryRef) -> Result<(), Failure> {
    let text = noted.to_string();
    if text.len() < 64 && text.bytes().all(|byte| byte.is_ascii_digit()) {
        return Err(Failure::input(format!(
            "`{text}` is taken as the number of an entry, and a number alone vouches for nothing; give --expect the \
             whole hash, or number and check such as 17-9f3c"
        )));
    }
    Ok(())
}
