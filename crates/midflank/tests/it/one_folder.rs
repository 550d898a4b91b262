//! A feature stands in one folder, its words in one file, its registration in one line: no other file names it.

use std::fs;
use std::path::{Path, PathBuf};

use metrology::inspection::FeatureKind;

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

#[test]
fn no_other_file_names_a_feature() {
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
    let own = root().join("crates/metrology/src/inspection/features");
    let mut found = Vec::new();
    for file in files.iter().filter(|file| !file.starts_with(&own)) {
        let shown = file
            .strip_prefix(root())
            .unwrap()
            .to_string_lossy()
            .replace('\\', "/");
        let text = fs::read_to_string(file).unwrap();
        // Tests measure features by name, and comments give examples.
        let code = text.split("#[cfg(test)]").next().unwrap_or_default();
        let is_test = text.starts_with("//! Whatever is typed") || file.ends_with("tests.rs");
        let code: String = code
            .lines()
            .filter(|line| !is_test && !line.trim_start().starts_with("//"))
            .map(|line| format!("{line}\n"))
            .collect();
        let named = FeatureKind::EVERY
            .iter()
            .find(|kind| names(**kind).iter().any(|name| code.contains(name)));
        match (named, BUT.iter().any(|(but, _)| *but == shown)) {
            (Some(kind), false) => found.push(format!("{shown} names {}", kind.key())),
            (None, true) => found.push(format!("{shown} names none, and is allowed to")),
            _ => {}
        }
    }
    assert!(found.is_empty(), "\n{}", found.join("\n"));
}

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
