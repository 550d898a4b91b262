//! A file of readings: as it is, or the same rows out of a workbook.

use std::fs::{self, File};
use std::io::Read as _;
use std::path::{Path, PathBuf};

use crate::failure::Failure;

/// How every workbook begins, as all archives of its kind do.
const ARCHIVE: &[u8; 4] = b"PK\x03\x04";

/// A file of rows, and what was understood of the workbook that they are from.
pub struct Readings {
    path: PathBuf,
    /// What is said of the workbook; none of a file that is one of rows already.
    pub understood: Option<String>,
}

impl Readings {
    /// The file of rows.
    pub fn path(&self) -> &Path {
        &self.path
    }
}

impl Drop for Readings {
    fn drop(&mut self) {
        if self.understood.is_some() {
            // Gone already where somebody cleared the folder.
            let _ = fs::remove_file(&self.path);
        }
    }
}

/// The rows of a file.
pub fn readings(path: &Path) -> Result<Readings, Failure> {
    if is_workbook(path) {
        return of_workbook(path);
    }
    Ok(Readings {
        path: path.to_owned(),
        understood: None,
    })
}

/// Whether a file is a workbook, by how it begins.
pub fn is_workbook(path: &Path) -> bool {
    let mut begins = [0; ARCHIVE.len()];
    // A pipe would lose what was read of it.
    path.is_file()
        && File::open(path)
            .and_then(|mut file| file.read_exact(&mut begins))
            .is_ok_and(|()| begins_workbook(&begins))
}

/// Whether these bytes begin a workbook.
pub fn begins_workbook(bytes: &[u8]) -> bool {
    bytes.starts_with(ARCHIVE)
}

#[cfg(not(feature = "sheets"))]
fn of_workbook(path: &Path) -> Result<Readings, Failure> {
    Err(Failure::input(crate::say!("sheet.not-built")).about(path))
}

/// Line for line the rows of the sheet, in a file of this process.
#[cfg(feature = "sheets")]
fn of_workbook(path: &Path) -> Result<Readings, Failure> {
    use std::io::Write as _;
    use std::sync::atomic::{AtomicU32, Ordering};

    static NEXT: AtomicU32 = AtomicU32::new(0);

    let (rows, understood) = super::read::rows(path).map_err(|failure| failure.about(path))?;
    let number = NEXT.fetch_add(1, Ordering::Relaxed);
    let name = format!("midflank-readings-{}-{number}.csv", std::process::id());
    let place = std::env::temp_dir().join(name);
    let failed = |error| crate::files::failed(&place, &error);
    // Left by a process of the same number that was killed.
    let _ = fs::remove_file(&place);
    let mut options = fs::OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    {
        // Readings of a shop are for nobody else on this computer.
        use std::os::unix::fs::OpenOptionsExt as _;
        options.mode(0o600);
    }
    let mut file = options.open(&place).map_err(failed)?;
    let readings = Readings {
        path: place.clone(),
        understood: Some(understood),
    };
    file.write_all(rows.as_bytes()).map_err(failed)?;
    Ok(readings)
}
