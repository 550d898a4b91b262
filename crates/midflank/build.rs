//! Two digests that records keep: one of all published tables, so that a record says which numbers it was made with, and
//! one of all sources, which names the build.
//!
//! Each is SHA-256 over its files in the order of their names: name, NUL, length in bytes as decimal text, NUL, content.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{fs, io};

use sha2::{Digest, Sha256};

fn main() -> io::Result<()> {
    let tables = digest(&["data"], "csv")?;
    println!("cargo::rustc-env=MIDFLANK_TABLES={tables}");
    let sources = [
        "crates/ledger/src",
        "crates/metrology/src",
        "crates/midflank/src",
        "crates/workshop/src",
        "data",
        "Cargo.lock",
    ];
    let build = digest(&sources, "")?;
    println!("cargo::rustc-env=MIDFLANK_BUILD={}", &build[..8]);
    Ok(())
}

/// The digest of all files under some folders whose names have this ending; of all of them where it is empty.
fn digest(places: &[&str], ending: &str) -> io::Result<String> {
    let root = Path::new("../..");
    let mut files = Vec::new();
    for place in places {
        let place = root.join(place);
        println!("cargo::rerun-if-changed={}", place.display());
        if place.is_dir() {
            collect(&place, ending, &mut files)?;
        } else {
            files.push(place);
        }
    }
    files.sort();
    let mut hash = Sha256::new();
    for file in files {
        let name = file.strip_prefix(root).unwrap_or(&file).to_string_lossy();
        let content = fs::read(&file)?;
        hash.update(format!("{}\0{}\0", name.replace('\\', "/"), content.len()));
        hash.update(content);
    }
    let mut digest = String::new();
    for byte in hash.finalize() {
        let _ = write!(digest, "{byte:02x}");
    }
    Ok(digest)
}

fn collect(folder: &Path, ending: &str, found: &mut Vec<PathBuf>) -> io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            collect(&path, ending, found)?;
        } else if ending.is_empty() || path.extension().is_some_and(|found| found == ending) {
            found.push(path);
        }
    }
    Ok(())
}
