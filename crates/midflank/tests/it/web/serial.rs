//! Readings by a serial line, over a pseudo-terminal.

use std::io::Write;
use std::time::{Duration, Instant};

use super::support::{Bench, Folder, SET_UP, Window, pseudo_terminal};

/// Waits for what the line does.
fn wait_for(window: &mut Window<'_>, text: &str) {
    let begun = Instant::now();
    while !window.page.contains(text) {
        assert!(
            begun.elapsed() < Duration::from_secs(10),
            "no {text:?} in {}",
            window.page
        );
        std::thread::sleep(Duration::from_millis(20));
        window.page = window.bench.get("/").body;
    }
}

#[test]
fn a_line_answers_what_asks_for_a_reading() {
    let (mut instrument, line) = pseudo_terminal();
    let device = format!("{line}:9600");
    let folder = Folder::new("serial");
    let bench = Bench::start(&folder, 0, &["--serial", &device]);
    let mut window = bench.window();
    let mut send = |text: &str| instrument.write_all(text.as_bytes()).unwrap();

    // Nothing was asked of the instrument yet.
    send("8.929\r\n");
    wait_for(&mut window, "ignored");
    window.enter_all(&SET_UP);
    send("+10.001 mm\r\n10.002\r");
    wait_for(&mut window, "reading 3 of 3");
    send("ERR 3\r\n");
    wait_for(&mut window, "sent `ERR 3`, which is not a reading");
    send("0.3937in\n");
    wait_for(&mut window, "this job is in mm");
    send("10,001\n");
    wait_for(&mut window, "Reading 1 of 6");
    send("8.929 mm\r\n");
    wait_for(&mut window, "Reading 2 of 6");
}

#[test]
fn a_line_that_is_not_there_is_told_at_once() {
    let folder = Folder::new("no-line");
    let done = std::process::Command::new(env!("CARGO_BIN_EXE_midflank"))
        .arg("--ledger")
        .arg(folder.path().join("ledger.db"))
        .args([
            "bench",
            "--no-browser",
            "--port",
            "0",
            "--serial",
            "/dev/no-such-line:9600",
        ])
        .output()
        .unwrap();
    assert_eq!(done.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&done.stderr).contains("/dev/no-such-line"));
}
