//! Two digests that records keep: one of all published tables, so that a record says which numbers it was made with, and
//! one of all sources, which names the build.
//!
//! And the table of all sentences, so that no start reads their files.
//!
//! Each digest is SHA-256 over its files in the order of their names: name, NUL, length in bytes as decimal text, NUL, content.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs, io};

use sha2::{Digest, Sha256};

#[path = "src/words/key.rs"]
mod key;

/// Twice as many slots as there are sentences, or more, so that few share one; more than 65 000 sentences are not counted.
const SLOTS_EACH: usize = 2;

fn main() -> io::Result<()> {
    let tables = digest("../metrology", &["data"], "csv")?;
    println!("cargo::rustc-env=MIDFLANK_TABLES={tables}");
    let sources = [
        "crates/ledger/src",
        "crates/metrology/data",
        "crates/metrology/src",
        "crates/midflank/src",
        "crates/paper/src",
        "crates/simulated-bench/src",
        "crates/workshop/src",
        "Cargo.lock",
    ];
    let build = digest("../..", &sources, "")?;
    println!("cargo::rustc-env=MIDFLANK_BUILD={}", &build[..8]);
    sentences()
}

/// Writes `TEXT`, `PLACES` and `SLOTS` of the catalogue: one line a key, `key = sentence`, comments after `#`.
fn sentences() -> io::Result<()> {
    let mut files = Vec::new();
    collect(Path::new("src/words/en"), "txt", &mut files)?;
    files.sort();
    let texts: Vec<String> = files
        .iter()
        .map(fs::read_to_string)
        .collect::<Result<_, _>>()?;
    let all: Vec<(&str, &str)> = texts
        .iter()
        .flat_map(|text| text.lines())
        .filter(|line| !line.starts_with('#'))
        .filter_map(|line| line.split_once(" = "))
        .map(|(key, sentence)| (key.trim(), sentence))
        .collect();
    let mut slots = vec![0_u16; (SLOTS_EACH * all.len()).next_power_of_two()];
    for (index, (key, _)) in all.iter().enumerate() {
        let mut place = key::number(key) % slots.len();
        while slots[place] != 0 {
            place = (place + 1) % slots.len();
        }
        slots[place] = u16::try_from(index + 1).map_err(io::Error::other)?;
    }
    // One text and numbers: a pointer for each key and sentence would have to be set right at every start.
    let mut text = String::new();
    let mut places: Vec<[usize; 3]> = Vec::new();
    for (key, sentence) in &all {
        let from = text.len();
        text.extend([*key, *sentence]);
        places.push([from, from + key.len(), text.len()]);
    }
    let mut table = String::new();
    let _ = writeln!(table, "static TEXT: &str = {text:?};");
    let _ = writeln!(
        table,
        "static PLACES: [[u32; 3]; {}] = {places:?};",
        places.len()
    );
    let _ = writeln!(table, "static SLOTS: [u16; {}] = {slots:?};", slots.len());
    let folder = env::var_os("OUT_DIR").ok_or_else(|| io::Error::other("no OUT_DIR"))?;
    fs::write(Path::new(&folder).join("sentences.rs"), table)
}

/// The digest of all files under some folders whose names, counted from `root`, have this ending; of all of them where it is
/// empty.
fn digest(root: &str, places: &[&str], ending: &str) -> io::Result<String> {
    let root = Path::new(root);
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
