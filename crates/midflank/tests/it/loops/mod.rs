//! Loops that `scripts/long.sh` runs for long: what is acknowledged stays, what is forged shows.

mod calls;
mod crash;
mod forgery;
mod search;
mod verify;

use std::path::{Path, PathBuf};

use ledger::{Entry, Filter, Ledger, Order, Page};

use crate::bench::Bench;

/// The demo's screw as some sample of its lot.
fn screw(bench: &Bench, sample: u32) -> PathBuf {
    let sample = format!("sample = \"{sample}\"");
    bench.demo("1-rating-screw.toml", &[("sample = \"1\"", &sample)])
}

/// The name of the entry that an answer ends with, where it acknowledges one.
fn acknowledged(answer: &str) -> Option<&str> {
    answer.lines().last()?.strip_prefix("recorded ")
}

/// All that is on the record.
fn all(ledger: &Ledger) -> Vec<Entry> {
    let page = Page::first(Order::OldestFirst, Page::LARGEST);
    let listing = ledger.list(&Filter::default(), &page).unwrap();
    assert_eq!(listing.next, None);
    listing.entries
}

/// Verifies with the program itself, which computes everything again.
fn assert_sound(bench: &Bench, ledger: &Path) {
    let run = bench.run(&["--ledger", ledger.to_str().unwrap(), "ledger", "verify"]);
    assert_eq!(run.status, 0, "{}{}", run.out, run.err);
}
