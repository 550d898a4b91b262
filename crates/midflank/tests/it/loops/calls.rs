//! System calls that fail, and a program that is killed in one of them.

use std::process::Command;
use std::time::Instant;

use ledger::{Filter, Ledger};

use super::{acknowledged, assert_sound, screw};
use crate::bench::{Bench, Run};
use crate::long::{Random, rounds, tell};
use crate::said::says;

/// Calls of a long run that fail.
const CALLS: u32 = 1_000;

/// What storing something asks of the system. `?`: not every machine has each of them.
const NAMES: [&str; 12] = [
    "openat",
    "read",
    "pread64",
    "write",
    "pwrite64",
    "fsync",
    "fdatasync",
    "ftruncate",
    "fcntl",
    "?unlink",
    "?link,?linkat",
    "mmap",
];
const FAILURES: [&str; 5] = [
    "error=EIO",
    "error=ENOSPC",
    "error=EACCES",
    "signal=KILL",
    "error=EMFILE",
];

#[test]
fn a_system_call_that_fails() {
    let strace = Command::new("strace").arg("-V").output();
    if !strace.is_ok_and(|asked| asked.status.success()) {
        println!("skipped: there is no strace");
        return;
    }
    let begun = Instant::now();
    let bench = Bench::new();
    let mut random = Random(17);
    let (mut kept, mut killed, mut refused, mut unsure) = (0, 0, 0, 0);
    for sample in 0..rounds(CALLS) {
        // Every fourth begins a ledger.
        let name = format!("{}.db", sample / 4);
        let job = screw(&bench, sample);
        let arguments = [
            "--ledger",
            &name,
            "inspect",
            job.to_str().unwrap(),
            "--record",
        ];
        let inject = format!(
            "inject={}:{}:when={}",
            random.one_of(&NAMES),
            random.one_of(&FAILURES),
            random.below(40) + 1
        );
        let program = bench.command(&arguments);
        let output = Command::new("strace")
            .args(["-f", "-qq", "-o", "/dev/null", "-e", &inject])
            .arg(program.get_program())
            .args(program.get_args())
            .current_dir(bench.path(""))
            .env("XDG_DATA_HOME", bench.path("data"))
            .output()
            .unwrap();
        let was_killed = output.status.code().is_none();
        let run = Run::from(output);
        let path = bench.path(&name);
        let said = format!("{sample}, {inject}: {}{}", run.out, run.err);
        let found = if path.exists() {
            let this = Filter::touching("sample", sample.to_string());
            let found = Ledger::open_read_only(&path).and_then(|ledger| ledger.count(&this));
            found.unwrap_or_else(|error| panic!("{error:?} after {said}"))
        } else {
            0
        };
        if acknowledged(&run.out).is_some() || says(&run.err, "command.recorded-unanswered") {
            assert_eq!(found, 1, "{said}");
            kept += 1;
        } else if was_killed {
            assert!(found <= 1, "{said}");
            killed += 1;
        } else if says(&run.err, "ledger.disk-failed") {
            // It says to look.
            assert!(found <= 1, "{said}");
            unsure += 1;
        } else {
            assert_eq!(found, 0, "{said}");
            refused += 1;
        }
        if path.exists() {
            assert_sound(&bench, &path);
        }
    }
    let found = format!(
        "{kept} acknowledged, 0 lost; {refused} refused, 0 of them recorded; {unsure} asked to check; {killed} killed"
    );
    tell("system calls that failed", rounds(CALLS), found, begun);
}
