//! Imports within a crate point one way: a module that another one uses knows nothing of that one. So it is for the modules
//! of a crate, and for those of each folder within it. What stands in the `mod.rs` of a folder counts as the folder, not as one
//! of its modules.

mod circle;
mod imports;

use std::fs;
use std::path::{Path, PathBuf};

use circle::circles;
use imports::Sources;

const CRATES: [&str; 6] = [
    "metrology",
    "simulated-bench",
    "ledger",
    "workshop",
    "paper",
    "midflank",
];
/// Names that say nothing of what is in a folder.
const NO_NAMES: [&str; 4] = ["common", "util", "shared", "types"];

fn crates() -> PathBuf {
    let own = Path::new(env!("CARGO_MANIFEST_DIR"));
    own.parent().unwrap().to_owned()
}

#[test]
fn imports_run_in_no_circle() {
    let mut found = Vec::new();
    for name in CRATES {
        let imports = Sources::read(&crates().join(name).join("src")).imports();
        assert!(imports.len() > 15, "{name} was not read");
        found.extend(circles(&imports));
    }
    assert!(found.is_empty(), "\n{}", found.join("\n"));
}

/// Crates that only a program needs: for pages, commands, a terminal, the folders of a user, words.
const OF_A_PROGRAM: [&str; 12] = [
    "anstream",
    "axum",
    "clap",
    "etcetera",
    "futures-util",
    "hyper",
    "hyper-util",
    "maud",
    "midflank",
    "rustix",
    "terminal_size",
    "tokio",
];

/// Between ledger and program nothing is known of pages, commands, a terminal or the environment, and there are no words.
#[test]
fn the_workshop_knows_nothing_of_a_program() {
    let workshop = crates().join("workshop");
    let manifest = fs::read_to_string(workshop.join("Cargo.toml")).unwrap();
    for line in manifest.lines() {
        let name = line.split(['.', ' ', '=']).next().unwrap_or_default();
        assert!(!OF_A_PROGRAM.contains(&name), "{line}");
    }
    let mut folders = vec![workshop.join("src")];
    while let Some(folder) = folders.pop() {
        for found in fs::read_dir(folder).unwrap() {
            let path = found.unwrap().path();
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            let text = fs::read_to_string(&path).unwrap();
            // Tests keep their ledgers in a folder of the system's, and read the demonstration.
            let code = text
                .replace("std::env::temp_dir", "")
                .replace("env!(\"CARGO_MANIFEST_DIR\")", "");
            for word in ["env::", "env!", "stdout", "stderr", "println!", "say!"] {
                assert!(!code.contains(word), "{}: {word}", path.display());
            }
        }
    }
}

#[test]
fn folders_and_modules_are_named_for_what_is_in_them() {
    let mut folders = vec![crates()];
    while let Some(folder) = folders.pop() {
        for found in fs::read_dir(folder).unwrap() {
            let path = found.unwrap().path();
            let name = path.file_stem().unwrap().to_string_lossy().into_owned();
            let is_module = path.is_dir() || path.extension().is_some_and(|end| end == "rs");
            assert!(
                !is_module || !NO_NAMES.contains(&&*name),
                "{}",
                path.display()
            );
            if path.is_dir() && name != "target" {
                folders.push(path);
            }
        }
    }
}

/// What the reading of sources must see: names that are passed on, names in macros, `super`, several names in one `use`; and
/// must not: tests.
#[test]
fn a_circle_is_seen() {
    let folder = std::env::temp_dir().join(format!("midflank-circle-{}", std::process::id()));
    fs::create_dir_all(folder.join("gauges")).unwrap();
    for (file, text) in [
        (
            "lib.rs",
            "mod gauges;\nmod limits;\nmod units;\nmod words;\npub use limits::Limits;",
        ),
        (
            "limits.rs",
            "use crate::units::{\n    Angle,\n    Length,\n};\npub struct Limits;",
        ),
        (
            "units.rs",
            "fn say() { html! { p { (crate::words::length()) } } }",
        ),
        ("words.rs", "fn of() -> crate::Limits { Limits }"),
        (
            "gauges/mod.rs",
            "mod plain;\nmod ring;\npub use ring::Ring;",
        ),
        ("gauges/plain.rs", "use super::Ring;"),
        (
            "gauges/ring.rs",
            "#[cfg(test)]\nmod tests {\n    use crate::gauges::plain;\n}",
        ),
    ] {
        fs::write(folder.join(file), text).unwrap();
    }
    let found = circles(&Sources::read(&folder).imports());
    fs::remove_dir_all(&folder).unwrap();
    let told = found.join("\n").replace(&*folder.to_string_lossy(), "src");
    assert_eq!(
        told,
        "crate: limits, units, words\n  \
           limits uses units: src/limits.rs:2\n  \
           units uses words: src/units.rs:1\n  \
           words uses limits: src/words.rs:1\n"
    );
}
