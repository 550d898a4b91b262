//! The examples in the documents: every `console` block is run, and must print what it shows.
//!
//! A line that begins with `$ ` is run by a shell in the folder of the sources; what follows is what it prints. `[..]`
//! stands for anything within a line, a line `...` for any lines. The blocks of one document share one data folder.

use std::fs;
use std::path::Path;
use std::process::Command;

use crate::bench::{Bench, root};

/// A command and what it prints.
struct Example {
    line: usize,
    command: String,
    expected: Vec<String>,
}

fn examples(text: &str) -> Vec<Example> {
    let mut examples: Vec<Example> = Vec::new();
    let mut inside = false;
    for (index, line) in text.lines().enumerate() {
        match line {
            "```console" => inside = true,
            "```" => inside = false,
            _ if !inside => {}
            _ => match line.strip_prefix("$ ") {
                Some(command) => examples.push(Example {
                    line: index + 1,
                    command: command.to_owned(),
                    expected: Vec::new(),
                }),
                None => examples
                    .last_mut()
                    .expect("a console block begins with a command")
                    .expected
                    .push(line.to_owned()),
            },
        }
    }
    examples
}

/// Whether a line is as shown, where `[..]` stands for anything.
fn line_fits(pattern: &str, line: &str) -> bool {
    let mut parts = pattern.split("[..]");
    let first = parts.next().unwrap_or_default();
    let Some(mut rest) = line.strip_prefix(first) else {
        return false;
    };
    let mut last = None;
    for part in parts {
        last = Some(part);
        match rest.find(part) {
            Some(at) => rest = &rest[at + part.len()..],
            None => return false,
        }
    }
    match last {
        None | Some("") => last.is_some() || rest.is_empty(),
        Some(_) => rest.is_empty(),
    }
}

fn fits(expected: &[String], printed: &[&str]) -> bool {
    match (expected, printed) {
        ([], []) => true,
        ([], _) => false,
        ([any, rest @ ..], _) if any == "..." => {
            (0..=printed.len()).any(|skip| fits(rest, &printed[skip..]))
        }
        ([one, rest @ ..], [line, more @ ..]) => line_fits(one, line) && fits(rest, more),
        (_, []) => false,
    }
}

fn run(document: &Path) {
    let text = fs::read_to_string(document).unwrap();
    let bench = Bench::new();
    let programs = Path::new(env!("CARGO_BIN_EXE_midflank")).parent().unwrap();
    let path = format!("{}:{}", programs.display(), std::env::var("PATH").unwrap());
    for example in examples(&text) {
        let output = Command::new("sh")
            .args(["-c", &format!("{} 2>&1", example.command)])
            .current_dir(root())
            .env("PATH", &path)
            .env("XDG_DATA_HOME", bench.path("data"))
            .env("TMPDIR", bench.path("."))
            .env_remove("MIDFLANK_LEDGER")
            .output()
            .unwrap();
        let printed = String::from_utf8(output.stdout).unwrap();
        let lines: Vec<&str> = printed.lines().collect();
        assert!(
            fits(&example.expected, &lines),
            "{}:{}: `{}` prints\n{printed}\nand not\n{}",
            document.display(),
            example.line,
            example.command,
            example.expected.join("\n")
        );
    }
}

#[test]
fn documents_show_what_the_program_prints() {
    let mut documents = vec![root().join("README.md")];
    documents.extend(
        fs::read_dir(root().join("docs"))
            .unwrap()
            .map(|entry| entry.unwrap().path()),
    );
    for document in documents
        .iter()
        .filter(|path| path.extension().is_some_and(|ending| ending == "md"))
    {
        run(document);
    }
}

#[test]
fn patterns() {
    let fits_lines = |expected: &[&str], printed: &[&str]| {
        fits(
            &expected.iter().map(ToString::to_string).collect::<Vec<_>>(),
            printed,
        )
    };
    assert!(fits_lines(
        &["a [..] c", "...", "z"],
        &["a b c", "1", "2", "z"]
    ));
    assert!(fits_lines(&["recorded [..]"], &["recorded 1-ab"]));
    assert!(!fits_lines(&["a"], &["a", "b"]));
    assert!(!fits_lines(&["a", "b"], &["a"]));
    assert!(!fits_lines(&["a[..]c"], &["abd"]));
}
