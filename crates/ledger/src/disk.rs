//! Names and files on the disk.

use std::ffi::OsString;
use std::fs::{self, File, Metadata};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

/// The folder a path lies in.
pub(crate) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    }
}

/// Waits until the names in a folder are on the disk: a new file is there after a power cut once its folder was
/// written, too.
#[cfg(unix)]
pub(crate) fn sync_folder(folder: &Path) -> io::Result<()> {
    File::open(folder)?.sync_all()
}

/// Elsewhere a folder cannot be opened; the file system sees to its names itself.
#[cfg(not(unix))]
pub(crate) fn sync_folder(_: &Path) -> io::Result<()> {
    Ok(())
}

/// Which file it is, whatever its name: the device and the number of the file on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct FileId {
    #[cfg(unix)]
    device: u64,
    #[cfg(unix)]
    number: u64,
}

impl FileId {
    /// Of a file that was found.
    #[cfg(unix)]
    pub fn of(found: &Metadata) -> Self {
        use std::os::unix::fs::MetadataExt as _;
        Self {
            device: found.dev(),
            number: found.ino(),
        }
    }

    /// Elsewhere an open file can be neither deleted nor replaced: that it is there is enough.
    #[cfg(not(unix))]
    pub fn of(_: &Metadata) -> Self {
        Self {}
    }
}

/// A file under a passing name, removed when it does not get its own.
pub(crate) struct Passing(PathBuf);

/// How the passing name of a file ends, after the number of the process that makes it.
const ENDING: &str = ".partial";

impl Passing {
    /// A new empty file beside the place it is made for. Those that were left there by processes which are gone are
    /// removed first.
    pub fn beside(to: &Path) -> io::Result<Self> {
        static COUNT: AtomicU32 = AtomicU32::new(0);
        let name = to.file_name().ok_or(io::ErrorKind::IsADirectory)?;
        let folder = folder_of(to);
        remove_left_behind(folder);
        let mut passing = OsString::from(".");
        passing.push(name);
        // Two threads may make the same file at the same time.
        let count = COUNT.fetch_add(1, Ordering::Relaxed);
        passing.push(format!(".{count}.{}{ENDING}", std::process::id()));
        let path = to.with_file_name(passing);
        File::create_new(&path).map(|_| Self(path))
    }

    pub fn path(&self) -> &Path {
        &self.0
    }

    /// Gives the file its name, unless something has it by now: [`io::ErrorKind::AlreadyExists`]. On the disk when this
    /// returns.
    pub fn take_name(self, to: &Path) -> io::Result<()> {
        File::open(&self.0)?.sync_all()?;
        // A link, unlike a rename, takes nobody's place.
        match fs::hard_link(&self.0, to) {
            Ok(()) => {}
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => return Err(error),
            // File systems without links.
            Err(_) if fs::symlink_metadata(to).is_ok() => {
                return Err(io::ErrorKind::AlreadyExists.into());
            }
            Err(_) => fs::rename(&self.0, to)?,
        }
        // The name itself is on the disk once its folder is.
        sync_folder(folder_of(to))
    }
}

impl Drop for Passing {
    fn drop(&mut self) {
        // Gone already when it was renamed.
        let _ = fs::remove_file(&self.0);
    }
}

/// Removes what processes that were killed left under passing names. Best effort: it takes nothing but room.
fn remove_left_behind(folder: &Path) {
    for found in fs::read_dir(folder).into_iter().flatten().flatten() {
        let name = found.file_name();
        let Some(maker) = name.to_str().and_then(maker_of) else {
            continue;
        };
        if is_gone(maker) {
            let _ = fs::remove_file(found.path());
        }
    }
}

/// The process that makes the file of that passing name, or a file that the storage engine keeps beside it.
fn maker_of(name: &str) -> Option<u32> {
    let (before, after) = name.strip_prefix('.')?.rsplit_once(ENDING)?;
    let beside = ["", "-journal", "-wal", "-shm"].contains(&after);
    let (_, maker) = before.rsplit_once('.').filter(|_| beside)?;
    maker.parse().ok()
}

/// Whether a process has ended. Where the system does not list its processes, none is taken to have.
fn is_gone(process: u32) -> bool {
    let list = Path::new("/proc");
    list.join("self").exists() && !list.join(process.to_string()).exists()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_passing_name_tells_its_maker() {
        assert_eq!(maker_of(".copy.db.0.17.partial"), Some(17));
        assert_eq!(maker_of(".copy.db.0.17.partial-journal"), Some(17));
        for other in [
            "copy.db.17.partial",
            ".partial",
            ".17.partial.db",
            ".copy.db.partial",
            ".a.x.partial",
        ] {
            assert_eq!(maker_of(other), None, "{other}");
        }
        assert!(!is_gone(std::process::id()));
    }
}
