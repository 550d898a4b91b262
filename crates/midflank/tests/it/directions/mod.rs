//! Imports within a crate point one way: a folder that another one uses knows nothing of that one.

mod imports;

use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::path::{Path, PathBuf};

use imports::{Import, Sources};

/// The folders of sources, by the name of the crate.
fn crates() -> [(&'static str, PathBuf); 3] {
    ["metrology", "ledger", "midflank"].map(|name| {
        let crates = Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap();
        (name, crates.join(name).join("src"))
    })
}

#[test]
fn dump() {
    for (name, folder) in crates() {
        for i in Sources::read(&folder).imports() {
            println!(
                "EDGE\t{name}\t{}\t{}\t{}\t{}:{}",
                i.folder,
                i.from,
                i.to,
                i.file.strip_prefix(&folder).unwrap().display(),
                i.line
            );
        }
    }
}
