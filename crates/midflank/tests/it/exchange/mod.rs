//! What goes to other systems and comes from them.

mod dcc;
mod qif;
#[cfg(feature = "sheets")]
mod round;
#[cfg(feature = "sheets")]
mod sheets;
mod xml;

use std::fs;
use std::path::Path;
use std::process::Command;

use crate::bench::{Bench, root};

/// Checks a document against a published schema, where `MIDFLANK_SCHEMAS` names their folder; says where it does not.
fn valid(schema: &str, document: &Path) {
    let Some(folder) = std::env::var_os("MIDFLANK_SCHEMAS") else {
        eprintln!("skipped: {schema}; MIDFLANK_SCHEMAS names no folder of schemas");
        return;
    };
    let folder = Path::new(&folder);
    let output = Command::new("xmllint")
        .args(["--nonet", "--noout", "--schema"])
        .arg(folder.join(schema))
        .arg(document)
        .env("XML_CATALOG_FILES", folder.join("dcc/catalog.xml"))
        .output()
        .expect("xmllint is not installed (Debian: libxml2-utils)");
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{}: {told}", document.display());
}

fn demo(name: &str) -> String {
    fs::read_to_string(root().join("demo").join(name)).unwrap()
}

/// The lot of the demo's set-up.
const LOT: &str = "L-2026-11";

/// A bench with the demo lot on the record, begun under its plan.
fn with_lot() -> Bench {
    let bench = Bench::new();
    let plan = bench.file("plan.toml", &demo("lot/plan.toml"));
    let set_up = bench.file("setup.toml", &crate::lot::set_up());
    let readings = bench.file("readings.csv", &demo("lot/readings.csv"));
    let measured = [
        "inspect",
        &plan,
        "--readings",
        &readings,
        "--setup",
        &set_up,
        "--record",
    ];
    let person = ["--person", "A. Quill"];
    for arguments in [
        &measured[..],
        &[&["plan", &plan], &person[..]].concat(),
        &[&["lot", LOT, "--begin", "IP-0412-4"], &person[..]].concat(),
    ] {
        let run = bench.run(arguments);
        assert_eq!(run.status, 0, "{}", run.err);
    }
    bench
}
