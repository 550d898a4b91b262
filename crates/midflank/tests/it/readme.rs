//! The two commands of the README, so that they cannot rot.

use std::fs;
use std::process::Command;

use crate::bench::{Bench, root};

/// The commands in the first `sh` block of the README.
fn commands() -> Vec<String> {
    let text = fs::read_to_string(root().join("README.md")).unwrap();
    let block = text
        .split("```sh\n")
        .nth(1)
        .unwrap()
        .split("```")
        .next()
        .unwrap();
    let command = |line: &str| line.split('#').next().unwrap_or_default().trim().to_owned();
    block
        .lines()
        .map(command)
        .filter(|line| !line.is_empty())
        .collect()
}

#[test]
fn the_second_command_is_what_ci_calls() {
    let commands = commands();
    assert_eq!(commands.len(), 2, "{commands:?}");
    let ci = fs::read_to_string(root().join(".ci/run")).unwrap();
    assert!(
        ci.lines().any(|line| line.trim() == commands[1]),
        "{commands:?} and {ci}"
    );
    let status = Command::new("bash")
        .arg("-n")
        .arg(root().join(&commands[1]))
        .status()
        .unwrap();
    assert!(status.success());
}

#[test]
#[ignore = "builds the release program; the test script runs it"]
fn the_first_command_does_the_main_job() {
    let bench = Bench::new();
    let output = Command::new("sh")
        .args(["-c", &commands()[0]])
        .current_dir(root())
        .env("XDG_DATA_HOME", bench.path("data"))
        .env_remove("MIDFLANK_LEDGER")
        .output()
        .unwrap();
    let out = String::from_utf8(output.stdout).unwrap();
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    for expected in [
        "ACCEPT",
        "UNDECIDED",
        "REJECT",
        "is the pitch diameter of M6x1-6g",
        "recorded 3-",
    ] {
        assert!(out.contains(expected), "{expected} is missing in\n{out}");
    }
}
