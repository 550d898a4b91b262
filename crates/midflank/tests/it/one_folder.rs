//! A feature stands in one folder, its words in one file, its registration in one line: no other file names it. Likewise a
//! kind of equipment.

use std::fs;
use std::path::{Path, PathBuf};

use metrology::inspection::FeatureKind;
use workshop::equipment::Kind;

/// Files that name a feature all the same, and why.
const BUT: &[(&str, &str)] = &[
    (
        "crates/workshop/src/kept/feature.rs",
        "the stored form of a schema, which is declared field by field and never follows the calculation",
    ),
    (
        "crates/midflank/src/web/figure/feature.rs",
        "the drawing of what is measured, with the contacts on it",
    ),
    (
        "crates/midflank/src/web/figure/convention.rs",
        "the drawings of the ways in which a drawing may limit a wall",
    ),
    (
        "crates/midflank/src/report/feature_picture.rs",
        "the drawing of what was measured, with what the readings say",
    ),
    (
        "crates/midflank/src/cli/correct/lobing.rs",
        "the command for what a V does on any lobed part, by the same physics",
    ),
];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn rust_files(folder: &Path, all: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            rust_files(&path, all);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            all.push(path);
        }
    }
}

/// `tube-wall` as a variant is written: `TubeWall`.
fn variant(key: &str) -> String {
    key.split('-')
        .map(|word| word[..1].to_uppercase() + &word[1..])
        .collect()
}

/// What code that means this feature has in it.
fn names(kind: FeatureKind) -> Vec<String> {
    let (key, variant) = (kind.key(), variant(kind.key()));
    let mut all = vec![
        format!("\"{key}\""),
        format!("Feature::{variant}("),
        format!("FeatureKind::{variant}"),
        format!("features::{}", key.replace('-', "_")),
    ];
    if key.contains('-') {
        all.push(format!("{variant} "));
        all.push(format!("{variant},"));
        all.push(format!("{variant}("));
    }
    all
}

/// The sources of the program by their paths, without comments and tests: tests measure by name, and comments give examples.
fn sources(own: &[&str]) -> Vec<(String, String)> {
    let mut files = Vec::new();
    for name in [
        "metrology",
        "ledger",
        "workshop",
        "midflank",
        "simulated-bench",
    ] {
        rust_files(&root().join("crates").join(name).join("src"), &mut files);
    }
    let mut all = Vec::new();
    for file in files {
        let shown = file.strip_prefix(root()).unwrap().to_string_lossy();
        let shown = shown.replace('\\', "/");
        let text = fs::read_to_string(&file).unwrap();
        let is_test = text.starts_with("//! Whatever is typed") || file.ends_with("tests.rs");
        if is_test || own.iter().any(|own| shown.starts_with(own)) {
            continue;
        }
        let code = text.split("#[cfg(test)]").next().unwrap_or_default();
        let code = code
            .lines()
            .filter(|line| !line.trim_start().starts_with("//"))
            .map(|line| format!("{line}\n"));
        all.push((shown, code.collect()));
    }
    all
}

/// What files name that should not, by what they are found to name; and what is allowed to and does not.
fn named(
    own: &[&str],
    but: &[(&str, &str)],
    names: impl Fn(&str, &str) -> Option<String>,
) -> Vec<String> {
    let mut found = Vec::new();
    for (file, code) in sources(own) {
        let is_allowed = but.iter().any(|(but, _)| *but == file);
        match (names(&file, &code), is_allowed) {
            (Some(name), false) => found.push(format!("{file} names {name}")),
            (None, true) => found.push(format!("{file} names none, and is allowed to")),
            _ => {}
        }
    }
    found
}

#[test]
fn no_other_file_names_a_feature() {
    let own = ["crates/metrology/src/inspection/features/"];
    let found = named(&own, BUT, |_, code| {
        let all = FeatureKind::EVERY.iter();
        let mut all = all.filter(|kind| names(**kind).iter().any(|name| code.contains(name)));
        all.next().map(|kind| kind.key().to_owned())
    });
    assert!(found.is_empty(), "\n{}", found.join("\n"));
}

/// The table of each kind of equipment, and the line that makes it known.
const OF_KINDS: &[&str] = &[
    "crates/metrology/src/inspection/equipment/",
    "crates/workshop/src/equipment.rs",
];

/// Files that name a kind of equipment or a key of one all the same, and why.
const BUT_KINDS: &[(&str, &str)] = &[
    (
        "crates/workshop/src/job_file/mod.rs",
        "the four sections of a job that have a piece each",
    ),
    (
        "crates/workshop/src/bench/taken.rs",
        "which of them a piece becomes at the bench",
    ),
    (
        "crates/workshop/src/bench/question.rs",
        "which question chooses which of them",
    ),
    (
        "crates/workshop/src/bench/answer/choices.rs",
        "what makes one fitter for a job than another",
    ),
    (
        "crates/workshop/src/bench/calibrating/begin.rs",
        "the micrometer or the pair that is calibrated",
    ),
    (
        "crates/workshop/src/bench/calibrating/standards.rs",
        "the micrometer that a pair is in",
    ),
    (
        "crates/workshop/src/bench/fit.rs",
        "what makes a micrometer or a standard unfit",
    ),
    (
        "crates/workshop/src/register.rs",
        "the pieces from which set-ups are proposed",
    ),
    (
        "crates/workshop/src/gauges.rs",
        "what a gauge is at the bench of a lot",
    ),
    (
        "crates/workshop/src/register/gauges.rs",
        "what certificates from outside say of gauges",
    ),
    (
        "crates/workshop/src/register/thermometers.rs",
        "what certificates from outside say of thermometers",
    ),
    (
        "crates/workshop/src/job_file/equipment.rs",
        "a thermometer, which a job names without a section of its own",
    ),
    (
        "crates/workshop/src/recall.rs",
        "the pieces that a result can have an error from",
    ),
    (
        "crates/workshop/src/job_status.rs",
        "the pieces of a job whose status is judged",
    ),
    (
        "crates/workshop/src/gauge_room/calibration/on_record.rs",
        "a calibrated micrometer takes its error curve into the register",
    ),
    (
        "crates/workshop/src/findings.rs",
        "gauges past their wear, and the micrometer and pair of a check part",
    ),
    (
        "crates/workshop/src/in_doubt.rs",
        "the set-up of a check and of an approval, and a gauge that was tried",
    ),
    (
        "crates/workshop/src/register/effect.rs",
        "a micrometer of which a limit alone is stated",
    ),
    (
        "crates/workshop/src/gauge_room/held_against.rs",
        "the range of a registered micrometer",
    ),
    (
        "crates/workshop/src/gauge_room/studies.rs",
        "the equipment that a study was measured with",
    ),
    (
        "crates/workshop/src/demonstration.rs",
        "invented pieces to try the bench with",
    ),
    (
        "crates/midflank/src/web/pages/zero_checks.rs",
        "zero checks are of a pair in a micrometer",
    ),
];

/// A kind as code names it, and each of its keys that a text in the code can only mean it by. What the calculation does with a
/// piece is no matter of kinds: it takes the fields of the four that a job is measured with.
#[test]
fn no_other_file_names_a_kind_of_equipment() {
    let mut keys: Vec<&str> = Kind::EVERY
        .iter()
        .flat_map(|kind| kind.key_names().iter().copied())
        .filter(|key| key.contains('_') && !OTHER_MEANINGS.contains(key))
        .collect();
    keys.sort_unstable();
    keys.dedup();
    let found = named(OF_KINDS, BUT_KINDS, |_, code| {
        let variants = Kind::EVERY.iter().map(|kind| variant(kind.key()));
        let mut names = variants
            .flat_map(|variant| [format!("Kind::{variant}"), format!("Equipment::{variant}")])
            .chain(keys.iter().map(|key| format!("\"{key}\"")));
        names.find(|name| {
            let mut places = code.match_indices(name.as_str());
            places.any(|(at, _)| {
                let before = code[..at].chars().next_back();
                before.is_none_or(|before| !before.is_alphanumeric())
            })
        })
    });
    assert!(found.is_empty(), "\n{}", found.join("\n"));
}

/// Keys that results, the job and published cases have too, as have most of one word.
const OTHER_MEANINGS: &[&str] = &["expanded_uncertainty", "coverage_factor", "wear_limit"];

/// Each has the file of its words, and questions, options and spreads are worded nowhere else.
#[test]
fn no_other_file_words_a_feature() {
    let folder = root().join("crates/midflank/src/words/en");
    let mut found = Vec::new();
    for kind in FeatureKind::EVERY {
        let key = kind.key();
        let own = folder.join("features").join(format!("{key}.txt"));
        assert!(own.is_file(), "{} is missing", own.display());
        let starts = [
            format!("feature.{key} "),
            format!("spread.{key} "),
            format!("ask.{key}."),
        ];
        let others = [folder.clone(), folder.join("features")];
        for file in others
            .iter()
            .flat_map(|folder| fs::read_dir(folder).unwrap())
        {
            let file = file.unwrap().path();
            if file.is_dir() || file == own {
                continue;
            }
            let text = fs::read_to_string(&file).unwrap();
            let line = text
                .lines()
                .find(|line| starts.iter().any(|start| line.starts_with(start)));
            found.extend(line.map(|line| format!("{}: {line}", file.display())));
        }
    }
    assert!(found.is_empty(), "\n{}", found.join("\n"));
}
