//! Files that people asked for: written whole or not at all, and never over a ledger.

use std::ffi::OsString;
use std::fs::{self, File};
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Path, PathBuf};

use crate::failure::Failure;
use crate::say;

/// How every SQLite database begins (its file format, section 1.3).
const DATABASE: &[u8; 16] = b"SQLite format 3\0";
/// What SQLite puts behind the name of a database to name the files that belong to it.
const BESIDE_A_DATABASE: [&str; 3] = ["-wal", "-shm", "-journal"];

/// Writes a file under a passing name in the folder it is for, and gives it its name when it is on the disk.
///
/// A file that is there is replaced only where `replace` says so, and a database never: it may be a ledger.
pub fn write(path: &Path, content: &[u8], replace: bool) -> Result<(), Failure> {
    fill(path, replace, |mut file| {
        file.write_all(content)
            .map_err(|error| failed(path, &error))
    })
}

/// The same for a file that is too long to be in memory: `content` writes it, and if that fails there is no file.
pub fn fill(
    path: &Path,
    replace: bool,
    content: impl FnOnce(&File) -> Result<(), Failure>,
) -> Result<(), Failure> {
    if belongs_to_a_database(path) {
        return Err(refused(say!(
            "command.is-a-database",
            file = path.display()
        )));
    }
    // The file that a link names is the one to replace, not the link.
    let place = match fs::symlink_metadata(path) {
        Err(_) => path.to_owned(),
        Ok(_) if !path.is_file() => {
            return Err(refused(say!("command.not-a-file", file = path.display())));
        }
        Ok(_) if !replace => return Err(exists(path)),
        Ok(_) => fs::canonicalize(path).map_err(|error| failed(path, &error))?,
    };
    let unwritten = |error: io::Error| match error.kind() {
        ErrorKind::AlreadyExists => exists(path),
        _ => failed(path, &error),
    };
    let passing = Passing::beside(&place).map_err(unwritten)?;
    let file = begin(&passing, &place, replace).map_err(unwritten)?;
    content(&file)?;
    finish(&file, &passing, &place, replace).map_err(unwritten)
}

fn begin(passing: &Passing, place: &Path, replace: bool) -> io::Result<File> {
    let file = File::create_new(&passing.0)?;
    if replace && let Ok(before) = fs::metadata(place) {
        file.set_permissions(before.permissions())?;
    }
    Ok(file)
}

fn finish(file: &File, passing: &Passing, place: &Path, replace: bool) -> io::Result<()> {
    file.sync_all()?;
    if replace {
        return fs::rename(&passing.0, place);
    }
    // A link never overwrites. Where the file system has none (a memory stick), rename after the look above.
    match fs::hard_link(&passing.0, place) {
        Err(error) if error.kind() != ErrorKind::AlreadyExists => fs::rename(&passing.0, place),
        linked => linked,
    }
}

/// The name of a file under way; what is left of it is removed.
struct Passing(PathBuf);

impl Passing {
    fn beside(place: &Path) -> io::Result<Self> {
        if place.file_name().is_none() {
            return Err(ErrorKind::IsADirectory.into());
        }
        let passing =
            Self(place.with_file_name(format!(".midflank-{}.partial", std::process::id())));
        // Left by a process of the same number that was killed.
        let _ = fs::remove_file(&passing.0);
        Ok(passing)
    }
}

impl Drop for Passing {
    fn drop(&mut self) {
        // Gone already where it was renamed.
        let _ = fs::remove_file(&self.0);
    }
}

fn belongs_to_a_database(path: &Path) -> bool {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    is_database(path)
        || BESIDE_A_DATABASE.iter().any(|ending| {
            name.strip_suffix(ending)
                .is_some_and(|database| is_database(&path.with_file_name(OsString::from(database))))
        })
}

fn is_database(path: &Path) -> bool {
    let mut beginning = [0; DATABASE.len()];
    // A pipe or a device would wait, or give for ever.
    path.is_file()
        && File::open(path)
            .and_then(|mut file| file.read_exact(&mut beginning))
            .is_ok_and(|()| beginning == *DATABASE)
}

fn exists(path: &Path) -> Failure {
    refused(say!("command.file-exists", file = path.display()))
}

fn refused(message: String) -> Failure {
    Failure::Input(message)
}

/// A file that cannot be written, and why.
pub fn failed(path: &Path, error: &io::Error) -> Failure {
    Failure::outside(say!(
        "command.cannot-write",
        file = path.display(),
        why = error
    ))
}

/// Makes a limit on the size of files (`ulimit -f`) an error of writing, which is told, and not the end of the program.
pub fn heed_limit_of_size() {
    #[cfg(unix)]
    {
        use signal_hook::{consts::SIGXFSZ, flag};
        // Where it cannot be set, the limit ends the program as it would any other.
        let _ = flag::register(SIGXFSZ, std::sync::Arc::default());
    }
}
