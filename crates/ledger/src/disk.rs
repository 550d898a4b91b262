//! Putting names on the disk: a new file is there after a power cut once its folder was written, too.

#[cfg(unix)]
use std::fs::File;
use std::io;
use std::path::Path;

/// The folder a path lies in.
pub(crate) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    }
}

/// Waits until the names in a folder are on the disk.
#[cfg(unix)]
pub(crate) fn sync_folder(folder: &Path) -> io::Result<()> {
    File::open(folder)?.sync_all()
}

/// Elsewhere a folder cannot be opened; the file system sees to its names itself.
#[cfg(not(unix))]
pub(crate) fn sync_folder(_: &Path) -> io::Result<()> {
    Ok(())
}
