//! A verified copy of the books.

use std::fs;
use std::io;
use std::path::Path;

use crate::disk::Passing;
use crate::{
    Computed, Entry, Error, Ledger, Obstacle, Result, VerifyOptions, VerifyReport, verify,
};

impl Ledger {
    /// Copies the books, as they stand at one moment, to a new file, while others go on recording. Returns what the
    /// verification of the copy found.
    ///
    /// The copy is written under a passing name, put on the disk, verified as [`verify`] does, and only then given
    /// its name; so a file of that name is a good backup. A copy with a fault is not kept
    /// ([`Error::BackupFaulty`]); entries by a method the program does not know are in the report. The copy is itself a
    /// ledger and may be opened.
    pub fn back_up<C: Into<Computed>>(
        &self,
        to: impl AsRef<Path>,
        options: &VerifyOptions<'_>,
        recompute: impl Fn(&Entry) -> C + Sync,
    ) -> Result<VerifyReport> {
        let to = to.as_ref();
        if to.is_dir() {
            return Err(Error::IsFolder(to.to_owned()));
        }
        if fs::symlink_metadata(to).is_ok() {
            return Err(Error::BackupExists(to.to_owned()));
        }
        self.store.may_be_named(to)?;
        let passing = Passing::beside(to).map_err(|error| io_error(to, &error))?;
        self.store.copy_to(passing.path())?;
        let report = {
            let copy = Self::open_read_only(passing.path())?;
            verify(&copy, options, recompute)?
        };
        report.refuse_copy(to)?;
        passing
            .take_name(to)
            .map_err(|error| io_error(to, &error))?;
        Ok(report)
    }
}

fn io_error(to: &Path, error: &io::Error) -> Error {
    let path = to.to_owned();
    match error.kind() {
        io::ErrorKind::AlreadyExists => Error::BackupExists(path),
        io::ErrorKind::IsADirectory => Error::IsFolder(path),
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => Error::DiskFull(path),
        _ => Error::Unwritable {
            path,
            why: Obstacle::from(error),
        },
    }
}
