//! Files and answers that the program writes: whole or not at all, never over a ledger, and what was recorded is told.

use std::fs;
use std::process::{Command, Stdio};

use crate::bench::{Bench, Run};
use crate::said::{assert_says, says};

const DRAW: [&str; 3] = ["limits", "M10x1.5-6g", "--svg"];

fn draw(bench: &Bench, file: &str, more: &[&str]) -> Run {
    bench.run(&[&DRAW[..], &[file], more].concat())
}

/// The files of a bench by name.
fn names(bench: &Bench) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(bench.path("."))
        .unwrap()
        .map(|file| file.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

/// Runs the program by a shell, for what only a shell sets up; `$0` is the program.
#[cfg(unix)]
fn shell(bench: &Bench, script: &str) -> Run {
    let mut command = Command::new("sh");
    let program = bench.command(&[]);
    command
        .args(["-c", script])
        .arg(program.get_program())
        .current_dir(bench.path("."))
        .env("MIDFLANK_LEDGER", bench.path("ledger.db"))
        .stdin(Stdio::null());
    command.output().unwrap().into()
}

#[test]
fn nothing_is_written_over_a_ledger() {
    let bench = Bench::new();
    let job = bench.demo("1-rating-screw.toml", &[]);
    let recorded = bench.run(&[
        "--ledger",
        "ledger.db",
        "inspect",
        job.to_str().unwrap(),
        "--record",
    ]);
    assert_eq!(recorded.status, 0, "{}", recorded.err);
    let before = fs::read(bench.path("ledger.db")).unwrap();
    for file in ["ledger.db", "ledger.db-wal", "ledger.db-journal"] {
        for more in [&[][..], &["--replace"]] {
            let run = draw(&bench, file, more);
            assert_eq!(run.status, 2, "{file} {more:?}");
            assert_says(&run.err, "command.is-a-database");
            let report = ["--ledger", "ledger.db", "report", "1", "--html", file];
            let run = bench.run(&[&report[..], more].concat());
            assert_eq!(run.status, 2, "{file} {more:?}");
            assert_says(&run.err, "command.is-a-database");
        }
    }
    assert!(fs::read(bench.path("ledger.db")).unwrap() == before);
    assert!(!bench.path("ledger.db-journal").exists());
}

#[test]
fn a_file_is_replaced_only_where_asked() {
    let bench = Bench::new();
    assert_eq!(draw(&bench, "thread.svg", &[]).status, 0);
    let drawn = fs::read_to_string(bench.path("thread.svg")).unwrap();
    assert!(
        drawn.starts_with("<?xml") && drawn.trim_end().ends_with("</svg>"),
        "{drawn:.40}"
    );
    bench.write("thread.svg", "mine");
    let run = draw(&bench, "thread.svg", &[]);
    assert_eq!(run.status, 2);
    assert_says(&run.err, "command.file-exists");
    assert_eq!(
        fs::read_to_string(bench.path("thread.svg")).unwrap(),
        "mine"
    );
    assert_eq!(draw(&bench, "thread.svg", &["--replace"]).status, 0);
    assert_eq!(fs::read_to_string(bench.path("thread.svg")).unwrap(), drawn);
    assert_eq!(names(&bench), ["thread.svg"]);
    let run = draw(&bench, ".", &["--replace"]);
    assert_eq!(run.status, 2);
    assert_says(&run.err, "command.not-a-file");
    assert_says(
        &draw(&bench, "no/such/folder.svg", &[]).err,
        "command.cannot-write",
    );
}

#[cfg(unix)]
#[test]
fn a_link_is_followed_and_a_device_left_alone() {
    let bench = Bench::new();
    bench.write("thread.svg", "mine");
    std::os::unix::fs::symlink("thread.svg", bench.path("link.svg")).unwrap();
    assert_eq!(draw(&bench, "link.svg", &["--replace"]).status, 0);
    assert!(bench.path("link.svg").is_symlink());
    assert!(
        fs::read_to_string(bench.path("thread.svg"))
            .unwrap()
            .starts_with("<?xml")
    );
    assert_says(
        &draw(&bench, "/dev/null", &["--replace"]).err,
        "command.not-a-file",
    );
}

/// A limit on the size of files is told; nothing half-written stays.
#[cfg(unix)]
#[test]
fn a_limit_of_file_size_is_told() {
    let bench = Bench::new();
    let run = shell(
        &bench,
        "ulimit -f 1; exec \"$0\" limits M10x1.5-6g --svg thread.svg",
    );
    assert_eq!(run.status, 1, "{}", run.err);
    assert_says(&run.err, "command.cannot-write");
    assert_eq!(names(&bench), Vec::<String>::new());
    let run = shell(
        &bench,
        "ulimit -f 1; yes M10x1.5-6g | head -n 1000 | \"$0\" limits - > limits.txt",
    );
    assert_eq!(run.status, 1, "{}", run.err);
    assert!(run.err.starts_with("midflank: "), "{}", run.err);
    let job = bench.demo("1-rating-screw.toml", &[]);
    let run = shell(
        &bench,
        &format!(
            "ulimit -f 1; exec \"$0\" inspect {} --record",
            job.display()
        ),
    );
    assert_eq!(run.status, 1, "{}", run.err);
    assert!(run.err.contains("midflank: "), "{}", run.err);
}

#[cfg(target_os = "linux")]
#[test]
fn what_was_recorded_is_told_where_the_answer_is_lost() {
    let bench = Bench::new();
    let job = bench.demo("1-rating-screw.toml", &[]);
    let full = || fs::File::options().write(true).open("/dev/full").unwrap();
    for (count, form) in [&["--record"][..], &["--record", "--again", "--json"]]
        .into_iter()
        .enumerate()
    {
        let mut command =
            bench.command(&["--ledger", "ledger.db", "inspect", job.to_str().unwrap()]);
        let run: Run = command.args(form).stdout(full()).output().unwrap().into();
        assert_eq!(run.status, 1);
        assert_says(&run.err, "command.recorded-unanswered");
        let listed = bench
            .run(&["--ledger", "ledger.db", "ledger", "list", "--json"])
            .documents();
        assert_eq!(listed.len(), count + 1);
        let id = listed.iter().map(|entry| entry["id"].as_str().unwrap());
        assert!(
            id.into_iter()
                .any(|id| run.err.contains(&format!("{id} recorded"))),
            "{}",
            run.err
        );
    }
    let amend = [
        "--ledger",
        "ledger.db",
        "ledger",
        "amend",
        "1",
        "--reason",
        "wrong part",
        "--person",
        "A. Quill",
    ];
    let run: Run = bench
        .command(&amend)
        .stdout(full())
        .output()
        .unwrap()
        .into();
    assert_eq!(run.status, 1);
    assert_says(&run.err, "command.recorded-unanswered");
    let equipment = bench.file("equipment.toml", &crate::bench::demo("equipment"));
    let add = ["--ledger", "ledger.db", "equipment", "add", &equipment];
    let run: Run = bench.command(&add).stdout(full()).output().unwrap().into();
    assert_eq!(run.status, 1);
    assert_says(&run.err, "command.recorded-unanswered");
    // Nothing was recorded here, and nothing is said of a record.
    let run: Run = bench
        .command(&["inspect", job.to_str().unwrap()])
        .stdout(full())
        .output()
        .unwrap()
        .into();
    assert_eq!(run.status, 1);
    assert!(
        !says(&run.err, "command.recorded-unanswered"),
        "{}",
        run.err
    );
}

/// Answers from all cores stand in the order of their lines, and so does what is said of wrong ones.
#[cfg(unix)]
#[test]
fn a_list_as_text_is_answered_in_step() {
    let bench = Bench::new();
    let lines: Vec<&str> = (0..5000)
        .map(|n| match n % 1000 {
            999 => "M10x1.5-6q",
            n if n % 2 == 0 => "M10x1.5-6g",
            _ => "1/4-20 UNC-2A",
        })
        .collect();
    bench.write("list.txt", lines.join("\n"));
    let run = shell(&bench, "\"$0\" limits - < list.txt 2>&1");
    assert_eq!(run.status, 2);
    let one = |line: &str| {
        let run = bench.run(&["limits", line]);
        format!("{}{}", run.out, run.err)
    };
    let [good, inch, wrong] = ["M10x1.5-6g", "1/4-20 UNC-2A", "M10x1.5-6q"].map(one);
    let expected: String = lines
        .iter()
        .map(|line| match *line {
            "M10x1.5-6g" => good.as_str(),
            "M10x1.5-6q" => wrong.as_str(),
            _ => inch.as_str(),
        })
        .collect();
    assert!(run.out == expected, "{:.3000}", run.out);
}

/// The ledger of one's work is not for invented parts, also where the environment names it.
#[test]
fn the_demonstration_stays_out_of_the_ledger() {
    let bench = Bench::new();
    let demo = |arguments: &[&str]| {
        let mut command = bench.command(arguments);
        let run: Run = command
            .env("MIDFLANK_LEDGER", bench.path("mine.db"))
            .output()
            .unwrap()
            .into();
        assert_eq!(run.status, 0, "{}", run.err);
    };
    demo(&["demo", "--folder", "demo"]);
    assert_eq!(names(&bench), ["demo"]);
    assert!(bench.path("demo/demo.db").exists());
    demo(&["demo", "--folder", "demo", "--ledger", "after.db"]);
    demo(&["--ledger", "before.db", "demo", "--folder", "demo"]);
    assert_eq!(names(&bench), ["after.db", "before.db", "demo"]);
}
