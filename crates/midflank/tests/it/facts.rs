//! Facts stand apart from words: with every sentence disguised, nothing that is computed, stored or decided changes, and
//! nothing is shown that is not in the catalogue.

use std::collections::BTreeSet;
use std::fs;
use std::path::PathBuf;

use serde_json::Value;

use crate::bench::{Bench, Run, root};

/// Shows every sentence wrapped and accented; a switch of development builds.
const DISGUISE: &str = "MIDFLANK_DISGUISE";

fn disguised(bench: &Bench, arguments: &[&str]) -> Run {
    let output = bench
        .command(arguments)
        .env(DISGUISE, "1")
        .output()
        .unwrap();
    Run {
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
        status: output.status.code().unwrap_or(-1),
    }
}

fn plain(bench: &Bench, arguments: &[&str]) -> Run {
    let output = bench
        .command(arguments)
        .env_remove(DISGUISE)
        .output()
        .unwrap();
    Run {
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
        status: output.status.code().unwrap_or(-1),
    }
}

/// Every demo job: each feature is among them, an undecided one, a rejected one.
fn jobs() -> Vec<PathBuf> {
    let mut all = Vec::new();
    for folder in ["demo", "demo/features"] {
        for file in fs::read_dir(root().join(folder)).unwrap() {
            let path = file.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            if name.ends_with(".toml") && name != "equipment.toml" {
                all.push(path);
            }
        }
    }
    all.sort();
    all
}

/// A bench with the demo workshop's equipment, so that jobs that name pieces by identity run too.
fn workshop() -> Bench {
    let bench = Bench::new();
    let file = root().join("demo/features/equipment.toml");
    let added = plain(&bench, &["equipment", "add", file.to_str().unwrap()]);
    assert_eq!(added.status, 0, "{}", added.err);
    bench
}

/// Keys under which words stand.
const WORDS: [&str; 11] = [
    "label",
    "message",
    "reason",
    "decided_on",
    "of",
    "note",
    "definition",
    "source",
    "conversion",
    "sentence",
    "characteristic",
];

/// A document without its words.
fn facts(value: &Value) -> Value {
    match value {
        Value::Object(keys) => keys
            .iter()
            .filter(|(key, _)| !WORDS.contains(&key.as_str()))
            .filter(|(key, _)| {
                !matches!(
                    key.as_str(),
                    "sources" | "cautions" | "at_hand" | "wait" | "others" | "taken"
                )
            })
            .map(|(key, value)| (key.clone(), facts(value)))
            .collect(),
        Value::Array(all) => all.iter().map(facts).collect(),
        one => one.clone(),
    }
}

#[test]
fn numbers_codes_and_verdicts_do_not_depend_on_words() {
    let bench = workshop();
    for job in jobs() {
        let job = job.to_str().unwrap();
        let read = |run: Run| -> Value {
            serde_json::from_str(&run.out).unwrap_or_else(|_| panic!("{job}: {}", run.err))
        };
        let as_worded = read(plain(&bench, &["inspect", job, "--json"]));
        let in_disguise = read(disguised(&bench, &["inspect", job, "--json"]));
        assert_ne!(as_worded, in_disguise, "{job} has no words");
        assert_eq!(facts(&as_worded), facts(&in_disguise), "{job}");
    }
}

/// A ledger that was recorded with one wording is sound with every other, and each report has the caution it had.
#[test]
fn a_reworded_program_finds_old_records_sound() {
    let bench = workshop();
    for (index, job) in jobs().iter().enumerate() {
        let arguments = ["inspect", job.to_str().unwrap(), "--record"];
        let run = if index % 2 == 0 {
            plain(&bench, &arguments)
        } else {
            disguised(&bench, &arguments)
        };
        assert_eq!(run.status, 0, "{}", run.err);
    }
    for verified in [
        plain(&bench, &["ledger", "verify", "--json"]),
        disguised(&bench, &["ledger", "verify", "--json"]),
    ] {
        let report: Value = serde_json::from_str(&verified.out).unwrap();
        assert_eq!(report["sound"], true, "{}", verified.out);
        assert_eq!(verified.status, 0);
    }
    // A zero that moved blocks the signature whatever the sentence for it is.
    let moved = bench.demo(
        "1-rating-screw.toml",
        &[(
            "after = [\"10.002\", \"10.002\", \"10.001\"]",
            "after = [\"10.009\", \"10.009\", \"10.008\"]",
        )],
    );
    let caution = |run: Run| run.out.lines().nth(1).unwrap_or_default().to_owned();
    let moved = moved.to_str().unwrap();
    assert!(caution(plain(&bench, &["inspect", moved])).starts_with("DO NOT SIGN"));
    assert!(caution(disguised(&bench, &["inspect", moved])).contains("ĐÓ ÑÓŢ ŠÍĜÑ"));
}

/// Words that stand in a text beside the disguised sentences. What has digits in it is a number, a hash or an identity.
fn undisguised(text: &str, known: &BTreeSet<String>) -> BTreeSet<String> {
    text.split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| word.len() > 2 && word.bytes().all(|letter| letter.is_ascii_alphabetic()))
        .filter(|word| !known.contains(*word))
        .map(str::to_owned)
        .collect()
}

/// What may be shown as it is: what was typed, identities, units, codes, names of standards and of the program.
fn known(bench: &Bench) -> BTreeSet<String> {
    let mut all: BTreeSet<String> = [
        "UTC", "midflank", "build", "kPa", "MPa", "DOCTYPE", "html", "lbf", "typed", "Mic", "inf",
    ]
    .map(str::to_owned)
    .into();
    let mut take = |text: &str| {
        all.extend(
            text.split(|letter: char| !letter.is_ascii_alphabetic())
                .map(str::to_owned),
        );
    };
    // What was typed: the values of the job files, not their comments.
    for file in jobs()
        .iter()
        .chain([&root().join("demo/features/equipment.toml")])
    {
        for line in fs::read_to_string(file).unwrap().lines() {
            let value = line.split_once('=').map_or(line, |(_, value)| value);
            for typed in value.split('"').skip(1).step_by(2) {
                take(typed);
            }
        }
    }
    // Titles of standards and tables are proper names; keys of the job file and codes are codes.
    for source in metrology_titles() {
        take(&source);
    }
    for key in [
        "iso14253-1",
        "simple",
        "probability",
        "accept",
        "reject",
        "undecided",
        "inspection",
        "equipment",
        "spread",
        "pitch-diameter",
        "major-diameter",
    ] {
        take(key);
    }
    // Where a published table stands, as its file names it.
    take(&fs::read_to_string(root().join("data/crimp-pull-force.csv")).unwrap());
    // The zone of the machine.
    take("Etc");
    // Kinds, states and roles are codes; keys of a job file that a remark names are typed there.
    for code in [
        "active contacts balls wires standard instrument register equipment state",
        "error maximum_permissible_error expanded_uncertainty force size due",
    ] {
        take(code);
    }
    // Where the files are.
    take(bench.path("x").to_str().unwrap());
    take(root().join("demo/features/keyseat.toml").to_str().unwrap());
    for job in jobs() {
        take(job.to_str().unwrap());
    }
    all
}

fn metrology_titles() -> Vec<String> {
    metrology::source::Source::ALL
        .iter()
        .filter_map(|source| source.document())
        .map(str::to_owned)
        .collect()
}

/// The text of a page: without its tags, styles and scripts, with what is read aloud.
fn text_of(page: &str) -> String {
    let mut out = String::new();
    let mut rest = page;
    while let Some((text, more)) = rest.split_once('<') {
        out.push_str(text);
        out.push(' ');
        let (tag, after) = more.split_once('>').unwrap_or((more, ""));
        for attribute in ["aria-label=\"", "title=\"", "alt=\""] {
            if let Some((_, value)) = tag.split_once(attribute) {
                out.push_str(value.split('"').next().unwrap_or_default());
                out.push(' ');
            }
        }
        rest = match tag.split([' ', '>']).next() {
            Some("style") => after.split_once("</style>").map_or("", |(_, after)| after),
            Some("script") => after.split_once("</script>").map_or("", |(_, after)| after),
            _ => after,
        };
    }
    out.push_str(rest);
    out.replace("&quot;", " ").replace("&amp;", " ")
}

#[test]
fn nothing_is_shown_that_the_catalogue_does_not_hold() {
    let bench = workshop();
    let known = known(&bench);
    let mut wrong = Vec::new();
    let mut look = |what: &str, text: &str| {
        let found = undisguised(text, &known);
        if !found.is_empty() {
            wrong.push(format!("{what}: {found:?}"));
        }
    };
    for (index, job) in jobs().iter().enumerate() {
        let name = job.file_name().unwrap().to_string_lossy().into_owned();
        let run = disguised(&bench, &["inspect", job.to_str().unwrap(), "--record"]);
        assert_eq!(run.status, 0, "{}", run.err);
        look(&format!("inspect {name}"), &run.out);
        look(&format!("inspect {name}, said"), &run.err);
        let entry = (index + 1 + pieces()).to_string();
        look(
            &format!("report of {name}"),
            &disguised(&bench, &["report", &entry]).out,
        );
        let file = bench.path(&format!("{index}.html"));
        let html = disguised(
            &bench,
            &["report", &entry, "--html", file.to_str().unwrap()],
        );
        assert_eq!(html.status, 0, "{}", html.err);
        look(
            &format!("page of {name}"),
            &text_of(&fs::read_to_string(&file).unwrap()),
        );
    }
    for arguments in [
        &["ledger", "list"][..],
        &["ledger", "verify"],
        &["ledger", "show", "1"],
        &["equipment", "list"],
        &["report", "1"],
    ] {
        let run = disguised(&bench, arguments);
        look(&arguments.join(" "), &format!("{}{}", run.out, run.err));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Pieces that the demo register holds.
fn pieces() -> usize {
    let text = fs::read_to_string(root().join("demo/features/equipment.toml")).unwrap();
    text.lines().filter(|line| line.starts_with("[[")).count()
}
