//! Facts stand apart from words: with every sentence disguised, nothing that is computed, stored or decided changes, and
//! nothing is shown that is not in the catalogue.

use std::collections::BTreeSet;
use std::fs;
use std::path::PathBuf;
use std::process::Command;

use serde_json::Value;

use crate::bench::{Bench, Run, root};

/// Shows every sentence wrapped and accented; a switch of development builds.
const DISGUISE: &str = "MIDFLANK_DISGUISE";

fn disguised(bench: &Bench, arguments: &[&str]) -> Run {
    as_printed(bench.command(arguments).env(DISGUISE, "1"))
}

fn plain(bench: &Bench, arguments: &[&str]) -> Run {
    as_printed(bench.command(arguments).env_remove(DISGUISE))
}

/// What it prints, with the disguise left on.
fn as_printed(command: &mut Command) -> Run {
    let output = command.output().unwrap();
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
        // The check digits of an entry's short name.
        .filter(|word| {
            word.len() != 4 || !word.bytes().all(|letter| (b'a'..=b'f').contains(&letter))
        })
        .filter(|word| !known.contains(*word))
        .map(str::to_owned)
        .collect()
}

/// What may be shown as it is: what was typed, identities, units, codes, names of standards and of the program.
fn known(bench: &Bench) -> BTreeSet<String> {
    let mut all: BTreeSet<String> = [
        "UTC", "AWG", "midflank", "build", "kPa", "MPa", "DOCTYPE", "html", "lbf", "typed", "Mic",
        "inf",
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

/// A rejected part on the record, and the same entry recorded again in a ledger of its own after a change.
fn recorded_again(change: impl Fn(&mut ledger::Draft)) -> (Bench, Run, Run) {
    let first = Bench::new();
    let job = first.demo("3-dial-bolt.toml", &[]);
    let run = plain(&first, &["inspect", job.to_str().unwrap(), "--record"]);
    assert_eq!(run.status, 0, "{}", run.err);
    let place = first.path("data/midflank/ledger.db");
    let mut draft = ledger::Ledger::open_read_only(&place)
        .unwrap()
        .get(&"1".parse().unwrap())
        .unwrap()
        .content;
    change(&mut draft);
    let second = Bench::new();
    let path = second.path("again.db");
    let ledger = ledger::Ledger::open(&path).unwrap();
    ledger.append(&draft).unwrap();
    drop(ledger);
    let path = path.to_str().unwrap().to_owned();
    let report = plain(&second, &["--ledger", &path, "report", "1"]);
    let verified = plain(&second, &["--ledger", &path, "ledger", "verify"]);
    (second, report, verified)
}

fn changed(document: &str, change: impl Fn(&mut Value)) -> String {
    let mut value: Value = serde_json::from_str(document).unwrap();
    change(&mut value);
    value.to_string()
}

#[test]
fn a_stored_sentence_decides_nothing() {
    let (_bench, report, verified) = recorded_again(|draft| {
        draft.words = draft.words.replace("REJECT", "ACCEPT");
        let words = changed(&draft.words, |words| words["verdict"] = "ACCEPT".into());
        draft.words = words;
    });
    assert!(
        report.out.lines().any(|line| line == "REJECT"),
        "{}",
        report.out
    );
    assert!(
        !report.out.lines().any(|line| line == "ACCEPT"),
        "{}",
        report.out
    );
    assert_eq!(verified.status, 0, "{}", verified.out);
}

#[test]
fn an_added_key_changes_nothing() {
    let (_bench, report, verified) = recorded_again(|draft| {
        draft.results = changed(&draft.results, |results| {
            results["content"]["size"]["colour"] = "green".into();
        });
        draft.inputs = changed(&draft.inputs, |inputs| {
            inputs["content"]["part"]["colour"] = "green".into();
        });
    });
    assert_eq!(verified.status, 0, "{}", verified.out);
    assert_eq!(report.status, 0, "{}", report.err);
}

#[test]
fn a_changed_number_code_or_verdict_is_found() {
    type Change = fn(&mut Value);
    let changes: [(&str, Change); 6] = [
        ("a number by its last bit", |results| {
            let size = results["content"]["size"]["value"].as_f64().unwrap();
            results["content"]["size"]["value"] = f64::from_bits(size.to_bits() + 1).into();
        }),
        ("a share of the budget", |results| {
            results["content"]["budget"][0]["contribution"] = 0.0.into();
        }),
        ("the verdict", |results| {
            results["content"]["decision"]["decision"] = "accept".into();
        }),
        ("a code of a warning", |results| {
            let warnings = results["content"]["warnings"].as_array_mut().unwrap();
            warnings.remove(0);
        }),
        ("a missing key", |results| {
            let size = results["content"]["size"].as_object_mut().unwrap();
            size.remove("standard_uncertainty");
        }),
        ("a method that this build does not have", |results| {
            results["content"]["method"] = 99.into();
        }),
    ];
    for (what, change) in changes {
        let (_bench, _, verified) = recorded_again(|draft| {
            draft.results = changed(&draft.results, change);
        });
        assert_eq!(
            verified.status, 1,
            "{what}: {}{}",
            verified.out, verified.err
        );
    }
}

/// An entry of another method is listed, and passes only where its method is named as one to be taken on trust.
#[test]
fn another_method_is_taken_only_by_name() {
    let (bench, _, _) = recorded_again(|draft| {
        draft.results = changed(&draft.results, |results| {
            results["content"]["method"] = 99.into();
        });
    });
    let path = bench.path("again.db");
    let verify = |more: &[&str]| {
        let mut arguments = vec!["--ledger", path.to_str().unwrap(), "ledger", "verify"];
        arguments.extend(more);
        plain(&bench, &arguments)
    };
    assert_eq!(verify(&[]).status, 1);
    let taken = verify(&["--accept-methods", "90..99"]);
    assert_eq!(taken.status, 0, "{}{}", taken.out, taken.err);
    assert_eq!(verify(&["--accept-methods", "2..9"]).status, 1);
}

/// Every page of a job at the bench, from the first question to the record, and the pages around it.
#[test]
fn no_page_shows_what_the_catalogue_does_not_hold() {
    use crate::web::support::{Bench as Served, Folder, READINGS, SET_UP, TO_THE_RECORD, ZERO};

    let folder = Folder::new("disguised");
    let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_midflank"));
    command.env(DISGUISE, "1");
    let mut served = Served::start_by(command, &folder, 0, &[]);
    served.cookie = served.open(&served.door).1;
    let mut known = known(&Bench::new());
    for line in SET_UP
        .iter()
        .chain(&ZERO)
        .chain(&READINGS)
        .chain(&TO_THE_RECORD)
    {
        known.extend(
            line.split(|letter: char| !letter.is_ascii_alphabetic())
                .map(str::to_owned),
        );
    }
    // The demonstration's equipment, codes that stand in lists, and words that are typed as they stand.
    let demonstration = fs::read_to_string(root().join("demo/equipment.toml")).unwrap_or_default();
    for text in [demonstration.as_str(), TYPED] {
        known.extend(
            text.split(|letter: char| !letter.is_ascii_alphabetic())
                .map(str::to_owned),
        );
    }
    let mut wrong = BTreeSet::new();
    let mut window = served.window();
    let mut look = |what: &str, page: &str| {
        for word in undisguised(&text_of(page), &known) {
            wrong.insert(format!("{what}: {word}"));
        }
    };
    for line in SET_UP
        .iter()
        .chain(&ZERO)
        .chain(&READINGS)
        .chain(&TO_THE_RECORD)
    {
        look(&format!("before {line:?}"), &window.page);
        window.enter_all(&[line]);
    }
    look("at the end", &window.page);
    for page in ["/history", "/equipment", "/record/40"] {
        look(page, &served.get(page).body);
    }
    drop(window);
    assert!(
        wrong.is_empty(),
        "{}",
        wrong.into_iter().collect::<Vec<_>>().join("\n")
    );
}

/// What a technician types as it stands: keys, commands, rules.
const TYPED: &str = "retake back drop next new more end zero anew limits wires gauges identify iso guard band four \
    simple probability stringent relaxed false accept pressure lifting aircraft electrical medical safety Enter Esc none budget tolerance keys old";
