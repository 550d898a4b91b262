//! One bench a station: a lock on a file beside the ledger.

use std::ffi::OsString;
use std::fs::{self, File, TryLockError};
use std::path::{Path, PathBuf};

use sha2::{Digest as _, Sha256};

use crate::{Error, Obstacle, Occupied, Result};

/// Locks the file of a station. The file stays when the lock is gone: were it removed, two benches could each hold a lock
/// on a file of that name.
pub(super) fn occupy(ledger: &Path, station: &str) -> Result<Occupied> {
    let unwritable = |path: &Path, error: std::io::Error| Error::Unwritable {
        path: path.to_owned(),
        why: Obstacle::from(&error),
    };
    // By whatever name the ledger was opened, it is one ledger.
    let real = fs::canonicalize(ledger).map_err(|error| unwritable(ledger, error))?;
    let path = beside(&real, station);
    let file = File::options()
        .create(true)
        .truncate(false)
        .write(true)
        .open(&path)
        .map_err(|error| unwritable(&path, error))?;
    match file.try_lock() {
        Ok(()) => Ok(Occupied::by(file)),
        Err(TryLockError::WouldBlock) => Err(Error::StationTaken {
            path: ledger.to_owned(),
            station: station.to_owned(),
        }),
        Err(TryLockError::Error(error)) => Err(unwritable(&path, error)),
    }
}

/// `ledger.db-station-` and sixteen digits: a station may have a name that is none for a file.
fn beside(ledger: &Path, station: &str) -> PathBuf {
    let digest = Sha256::digest(station.as_bytes());
    let mut name = OsString::from(ledger.file_name().unwrap_or_default());
    name.push("-station-");
    for byte in digest.iter().take(8) {
        name.push(format!("{byte:02x}"));
    }
    ledger.with_file_name(name)
}
