//! One digest of all published tables, so that a record says which numbers it was made with.
//!
//! SHA-256 over every CSV under `data/`, in the order of their names: name, NUL, length in bytes as decimal text, NUL,
//! content.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{fs, io};

use sha2::{Digest, Sha256};

fn main() -> io::Result<()> {
    let data = Path::new("../../data");
    println!("cargo::rerun-if-changed={}", data.display());
    let mut files = Vec::new();
    csv_files(data, &mut files)?;
    files.sort();
    let mut hash = Sha256::new();
    for file in files {
        let name = file
            .strip_prefix(data)
            .unwrap_or(&file)
            .to_string_lossy()
            .replace('\\', "/");
        let content = fs::read(&file)?;
        hash.update(format!("{name}\0{}\0", content.len()));
        hash.update(content);
    }
    let mut digest = String::new();
    for byte in hash.finalize() {
        let _ = write!(digest, "{byte:02x}");
    }
    println!("cargo::rustc-env=MIDFLANK_TABLES={digest}");
    Ok(())
}

fn csv_files(folder: &Path, found: &mut Vec<PathBuf>) -> io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            csv_files(&path, found)?;
        } else if path.extension().is_some_and(|ending| ending == "csv") {
            found.push(path);
        }
    }
    Ok(())
}
