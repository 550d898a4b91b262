//! The two commands of the README, so that they cannot rot.

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Command, Stdio};

use crate::bench::{Bench, root};
use crate::said::assert_says;

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

/// The page answers, and knows the equipment that it was opened with.
#[test]
#[ignore = "builds the release program; the test script runs it"]
fn the_first_command_opens_the_bench() {
    let bench = Bench::new();
    // Cargo becomes the program, so that this child is the one that serves.
    let command = format!("exec {} --no-browser --port 0", commands()[0]);
    let mut child = Command::new("sh")
        .args(["-c", &command])
        .current_dir(root())
        .env("XDG_DATA_HOME", bench.path("data"))
        .env_remove("MIDFLANK_LEDGER")
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut line = String::new();
    BufReader::new(child.stdout.take().unwrap())
        .read_line(&mut line)
        .unwrap();
    let page = line
        .trim()
        .strip_prefix("The bench is open at http://")
        .and_then(|address| address.split_once('/'))
        .map(|(host, door)| {
            let opened = get(host, &format!("/{door}"), "");
            let (_, cookie) = opened.split_once("set-cookie: ").unwrap();
            get(host, "/", cookie.split(';').next().unwrap())
        });
    child.kill().unwrap();
    child.wait().unwrap();
    let page = page.unwrap_or_else(|| panic!("no address in {line:?}"));
    assert!(page.starts_with("HTTP/1.1 200"), "{page}");
    assert!(
        page.contains("Which thread or feature, as on the drawing?"),
        "{page}"
    );
    assert!(bench.path("data/midflank/demo/bench.db").exists());
}

fn get(host: &str, path: &str, cookie: &str) -> String {
    let mut stream = TcpStream::connect(host).unwrap();
    write!(
        stream,
        "GET {path} HTTP/1.1\r\nHost: {host}\r\nCookie: {cookie}\r\nConnection: close\r\n\r\n"
    )
    .unwrap();
    let mut page = String::new();
    stream.read_to_string(&mut page).unwrap();
    page
}

/// The other way into it that the README names.
#[test]
fn the_demonstration_does_the_whole_job() {
    let bench = Bench::new();
    let run = bench.run(&["demo"]);
    assert_eq!(run.status, 0, "{}", run.err);
    for expected in ["ACCEPT", "UNDECIDED", "REJECT", "recorded 3-"] {
        assert!(
            run.out.contains(expected),
            "{expected} is missing in\n{}",
            run.out
        );
    }
    assert_says(&run.out, "warning.other-thread");
}
