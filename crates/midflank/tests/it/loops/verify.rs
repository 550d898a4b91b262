//! A whole ledger is computed again in seconds, and in little memory.

use std::fs;
use std::path::Path;
use std::process::Stdio;
use std::thread;
use std::time::{Duration, Instant};

use crate::bench::Bench;
use crate::long::{rounds, tell};

/// Entries of the ledger in a long run.
const ENTRIES: u32 = 100_000;
/// Entries a second that two cores verify at least; a build without optimization is not held to it.
const SPEED: f64 = 2_500.0;
/// Memory that it takes at most, megabytes.
const MEMORY: u64 = 100;

#[test]
fn a_ledger_is_verified() {
    if !Path::new("/proc/self/stat").exists() {
        println!("skipped: there is no /proc");
        return;
    }
    let bench = Bench::new();
    let job = bench.demo("1-rating-screw.toml", &[]);
    // In memory where there is such a disk: that each entry is on a real one is waited for.
    let memory = Path::new("/dev/shm");
    let own = bench.path("ledger.db");
    let path = if memory.is_dir() {
        memory.join(format!("midflank-verify-{}.db", std::process::id()))
    } else {
        own
    };
    let named = path.to_str().unwrap();
    let recorded = bench.run(&[
        "--ledger",
        named,
        "inspect",
        job.to_str().unwrap(),
        "--record",
    ]);
    assert_eq!(recorded.status, 0, "{}", recorded.err);
    let ledger = crate::bench::open(&path);
    let draft = ledger.latest(1).unwrap().remove(0).content;
    let entries = rounds(ENTRIES);
    for _ in 1..entries {
        ledger.append(&draft).unwrap();
    }
    drop(ledger);

    let begun = Instant::now();
    let mut verify = bench.command(&["--ledger", named, "ledger", "verify", "--json"]);
    let mut running = verify.stdout(Stdio::piped()).spawn().unwrap();
    let folder = format!("/proc/{}", running.id());
    let (mut ticks, mut kilobytes) = (0, 0);
    while running.try_wait().unwrap().is_none() {
        // Both only grow, and nothing is left of them at the end.
        ticks = ticks.max(ticks_of(&folder));
        kilobytes = kilobytes.max(peak_of(&folder));
        thread::sleep(Duration::from_millis(10));
    }
    let elapsed = begun.elapsed().as_secs_f64();
    let output = running.wait_with_output().unwrap();
    fs::remove_file(&path).unwrap();
    assert!(output.status.success());
    let report: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(report["entries"], entries);

    // By the time of the processor, whatever else the machine does: a tick is a hundredth of a second.
    let busy = (f64::from(ticks) / 100.0).max(0.01);
    let by_two = f64::from(entries) / busy * 2.0;
    assert!(kilobytes < MEMORY << 10, "{kilobytes} kB");
    if !cfg!(debug_assertions) {
        assert!(by_two > SPEED, "{by_two:.0} a second");
    }
    let found = format!(
        "{:.0} a second, {by_two:.0} by two cores of its own; {} MB",
        f64::from(entries) / elapsed,
        kilobytes >> 10
    );
    tell("entries verified", entries, found, begun);
}

/// Time that a process had the processor, in ticks: fields 14 and 15 of its state.
fn ticks_of(folder: &str) -> u32 {
    let Ok(state) = fs::read_to_string(format!("{folder}/stat")) else {
        return 0;
    };
    let fields = state.rsplit(')').next().unwrap().split_whitespace();
    fields
        .skip(11)
        .take(2)
        .map(|field| field.parse::<u32>().unwrap())
        .sum()
}

/// The most memory that a process had, kilobytes.
fn peak_of(folder: &str) -> u64 {
    let state = fs::read_to_string(format!("{folder}/status")).unwrap_or_default();
    let line = state.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    line.and_then(|line| line.trim().trim_end_matches(" kB").parse().ok())
        .unwrap_or(0)
}
