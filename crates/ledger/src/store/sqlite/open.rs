//! Opening the file, and copying it.

use std::ffi::OsStr;
use std::fmt::Write as _;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use rusqlite::backup::{Backup, StepResult};
use rusqlite::config::DbConfig;
use rusqlite::{Connection, ErrorCode, OpenFlags, TransactionBehavior, ffi};

use super::schema::{self, APPLICATION_ID, Header, NEWEST, OLDEST};
use super::told;
use crate::disk::{Passing, folder_of, sync_folder};
use crate::mounts::network_file_system;
use crate::{Error, NotALedger, Obstacle, OpenOptions, Result};

/// Opens the file as the options ask.
pub(super) fn connect(path: &Path, options: &OpenOptions) -> Result<Connection> {
    // A copy that is only read may lie anywhere.
    if !options.read_only
        && let Some(kind) = network_file_system(path)
    {
        let path = path.to_owned();
        return Err(Error::NetworkFileSystem { path, kind });
    }
    match fs::metadata(path) {
        Ok(found) if found.is_dir() => return Err(Error::IsFolder(path.to_owned())),
        // A device or a pipe, which would also seem empty.
        Ok(found) if !found.is_file() => {
            return Err(Error::NotALedger {
                path: path.to_owned(),
                why: NotALedger::NotSqlite,
            });
        }
        Ok(found) if found.len() == 0 => {
            no_stray_log(path)?;
            if !options.begin_new {
                return Err(Error::Empty(path.to_owned()));
            }
        }
        Ok(_) => {}
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            if !options.create {
                return Err(Error::Missing(path.to_owned()));
            }
            make(path, options)?;
        }
        Err(error) if options.create => return Err(unwritable(path, &error)),
        Err(error) => {
            return Err(Error::Unreadable {
                path: path.to_owned(),
                why: Obstacle::from(&error),
            });
        }
    }
    if options.read_only {
        connect_to_read(path, options)
    } else {
        connect_to_write(path, options)
    }
}

fn unwritable(path: &Path, error: &io::Error) -> Error {
    let path = path.to_owned();
    match error.kind() {
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => Error::DiskFull(path),
        _ => Error::Unwritable {
            path,
            why: Obstacle::from(error),
        },
    }
}

/// Refuses a place beside which a log lies that belongs to no file: the engine would throw it away, or take it for a part
/// of a new file.
pub(super) fn no_stray_log(path: &Path) -> Result<()> {
    if has_waiting_log(path) {
        return Err(Error::Unwritable {
            path: path.to_owned(),
            why: Obstacle::StrayLog,
        });
    }
    Ok(())
}

/// Makes an empty ledger, and the folders above it.
///
/// It is made under a passing name, so that no other program ever finds half a ledger. Who comes second opens the one
/// that is there by then.
fn make(path: &Path, options: &OpenOptions) -> Result<()> {
    no_stray_log(path)?;
    let folder = folder_of(path);
    fs::create_dir_all(folder).map_err(|error| unwritable(path, &error))?;
    for folder in folder.ancestors() {
        // Best effort: some of those above may not be ours to open, and those were there before.
        let _ = sync_folder(folder);
    }
    let passing = Passing::beside(path).map_err(|error| unwritable(path, &error))?;
    let connection = connect_to_write(passing.path(), &options.clone().begin_new(true))
        .map_err(|error| with_path(error, path))?;
    // The log stays behind with the passing name. Closing copies it too, and says nothing where that fails.
    connection
        .query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))
        .map_err(|error| told(path, options, &error))?;
    connection
        .close()
        .map_err(|(_, error)| told(path, options, &error))?;
    match passing.take_name(path) {
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => Ok(()),
        done => done.map_err(|error| unwritable(path, &error)),
    }
}

/// An error of a file under a passing name, as one of the file it is made for.
fn with_path(error: Error, path: &Path) -> Error {
    let path = path.to_owned();
    match error {
        Error::Unwritable { why, .. } => Error::Unwritable { path, why },
        Error::DiskFull(_) => Error::DiskFull(path),
        Error::Disk { detail, .. } => Error::Disk { path, detail },
        Error::Storage { detail, .. } => Error::Storage { path, detail },
        other => other,
    }
}

fn connect_to_write(path: &Path, options: &OpenOptions) -> Result<Connection> {
    let told = |error: rusqlite::Error| told(path, options, &error);
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let mut connection = Connection::open_with_flags(path, flags).map_err(told)?;
    prepare(&connection, options).map_err(told)?;

    // Whose file it is comes first: nothing is changed in a file that is not ours.
    let header = Header::read(&mut connection).map_err(told)?;
    admit(path, options, &header)?;
    // SQLite opens a file it may not write for reading, without a word.
    if connection.is_readonly("main").map_err(told)? {
        return Err(Error::Unwritable {
            path: path.to_owned(),
            why: Obstacle::ReadOnlyFile,
        });
    }
    set_log(&connection, path, options)?;
    if header.is_blank() || header.version < NEWEST {
        let transaction = connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(told)?;
        // Another program may have done it while we waited.
        let header = Header::read_within(&transaction).map_err(told)?;
        admit(path, options, &header)?;
        if header.is_blank() {
            schema::create(&transaction).map_err(told)?;
        } else if header.version < NEWEST {
            schema::bring_up_to_date(&transaction).map_err(told)?;
        }
        transaction.commit().map_err(told)?;
    }
    Ok(connection)
}

/// Has the engine keep a write-ahead log.
fn set_log(connection: &Connection, path: &Path, options: &OpenOptions) -> Result<()> {
    let mode = patiently(options.patience, || {
        connection.query_row("PRAGMA journal_mode = WAL", [], |row| {
            row.get::<_, String>(0)
        })
    })
    .map_err(|error| told(path, options, &error))?;
    if mode == "wal" {
        return Ok(());
    }
    Err(Error::Unwritable {
        path: path.to_owned(),
        why: Obstacle::NoWriteAheadLog,
    })
}

/// Opens without the right to write, also where the folder gives none.
///
/// A reader of a write-ahead log needs the two files beside the ledger. Where they are missing and cannot be
/// made, and no log is waiting, nobody is writing (a backup on a read-only medium): the file is then read
/// as one that does not change.
fn connect_to_read(path: &Path, options: &OpenOptions) -> Result<Connection> {
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let first = Connection::open_with_flags(path, flags).and_then(|mut connection| {
        prepare(&connection, options)?;
        Header::read(&mut connection).map(|header| (connection, header))
    });
    let (connection, header) = match first {
        Ok(opened) => opened,
        Err(error) if needs_neighbours(&error) && fs::File::open(path).is_ok() => {
            if has_waiting_log(path) {
                return Err(Error::Unreadable {
                    path: path.to_owned(),
                    why: Obstacle::WaitingLog,
                });
            }
            connect_to_unchanging(path, options).map_err(|error| told(path, options, &error))?
        }
        Err(error) => return Err(told(path, options, &error)),
    };
    admit(path, options, &header)?;
    Ok(connection)
}

fn connect_to_unchanging(
    path: &Path,
    options: &OpenOptions,
) -> rusqlite::Result<(Connection, Header)> {
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY
        | OpenFlags::SQLITE_OPEN_NO_MUTEX
        | OpenFlags::SQLITE_OPEN_URI;
    let mut connection = Connection::open_with_flags(unchanging_uri(path), flags)?;
    prepare(&connection, options)?;
    let header = Header::read(&mut connection)?;
    Ok((connection, header))
}

/// The path as an SQLite URI that says the file does not change.
fn unchanging_uri(path: &Path) -> String {
    let mut uri = "file:".to_owned();
    for &byte in path.as_os_str().as_encoded_bytes() {
        if byte.is_ascii_alphanumeric() || b"/._-".contains(&byte) {
            uri.push(char::from(byte));
        } else {
            // Writing to a String cannot fail.
            let _ = write!(uri, "%{byte:02X}");
        }
    }
    uri.push_str("?immutable=1");
    uri
}

/// Whether SQLite failed for want of the files beside the ledger.
fn needs_neighbours(error: &rusqlite::Error) -> bool {
    matches!(
        error.sqlite_error_code(),
        Some(ErrorCode::CannotOpen | ErrorCode::ReadOnly)
    )
}

/// Whether a write-ahead log with something in it lies beside the file.
pub(super) fn has_waiting_log(path: &Path) -> bool {
    let mut log = path.as_os_str().to_owned();
    log.push(OsStr::new("-wal"));
    fs::metadata(PathBuf::from(log)).is_ok_and(|found| found.len() > 0)
}

/// Copies the log into the file and empties it, as far as that goes without waiting for readers. What it leaves is on
/// the disk in the log all the same, and goes into the file another time.
pub(super) fn empty_log(connection: &Connection, options: &OpenOptions) {
    let _ = connection.busy_timeout(Duration::ZERO);
    let _ = connection.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()));
    let _ = connection.busy_timeout(options.patience);
}

/// Copies the log into the file as far as nobody reads it, and holds up neither readers nor writers. The log keeps its
/// length and is written anew from its start.
pub(super) fn copy_log(connection: &Connection) {
    let _ = connection.query_row("PRAGMA wal_checkpoint(PASSIVE)", [], |_| Ok(()));
}

/// What every connection is told first.
fn prepare(connection: &Connection, options: &OpenOptions) -> rusqlite::Result<()> {
    connection.busy_timeout(options.patience)?;
    // A statement is planned once and not again for each value that it is asked with.
    connection.set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_QPSG, true)?;
    connection.execute_batch(
        // FULL: a commit returns when its log is on the disk. On macOS only a full fsync means that.
        // trusted_schema off: a tampered file cannot make us run functions with side effects.
        "PRAGMA synchronous = FULL;
         PRAGMA fullfsync = ON;
         PRAGMA checkpoint_fullfsync = ON;
         PRAGMA foreign_keys = ON;
         PRAGMA trusted_schema = OFF;
         PRAGMA cell_size_check = ON;",
    )
}

/// Refuses what is not a ledger, or not one of this program's.
fn admit(path: &Path, options: &OpenOptions, header: &Header) -> Result<()> {
    let path = || path.to_owned();
    if header.is_blank() {
        return if options.begin_new {
            Ok(())
        } else {
            Err(Error::Empty(path()))
        };
    }
    let application_id = header.application_id;
    if application_id != APPLICATION_ID {
        return Err(Error::NotALedger {
            path: path(),
            why: NotALedger::OtherProgram { application_id },
        });
    }
    let (found, known) = (header.version, NEWEST);
    if found > known {
        return Err(Error::NewerSchema {
            path: path(),
            found,
            known,
        });
    }
    if found < OLDEST {
        return Err(Error::OlderSchema {
            path: path(),
            found,
            known,
        });
    }
    Ok(())
}

/// Tries until the patience is used up: SQLite does not wait by itself when the journal mode is changed.
fn patiently<T>(
    patience: Duration,
    mut attempt: impl FnMut() -> rusqlite::Result<T>,
) -> rusqlite::Result<T> {
    let begun = Instant::now();
    loop {
        match attempt() {
            Err(error)
                if error.sqlite_error_code() == Some(ErrorCode::DatabaseBusy)
                    && begun.elapsed() < patience =>
            {
                std::thread::sleep(Duration::from_millis(5));
            }
            other => return other,
        }
    }
}

/// Copies the database to a new file as it stands now.
///
/// In one step, which reads one moment of the books and holds up nobody; in several, a busy writer would
/// make the copy begin again and again. The copy has no write-ahead log: it is one file, readable from a
/// medium that cannot be written.
pub(super) fn copy(source: &Connection, path: &Path) -> rusqlite::Result<()> {
    let mut target = Connection::open_with_flags(
        path,
        OpenFlags::SQLITE_OPEN_READ_WRITE
            | OpenFlags::SQLITE_OPEN_CREATE
            | OpenFlags::SQLITE_OPEN_NO_MUTEX,
    )?;
    target.pragma_update(None, "synchronous", "FULL")?;
    let step = Backup::new(source, &mut target)?.step(-1)?;
    if step != StepResult::Done {
        return Err(rusqlite::Error::SqliteFailure(
            ffi::Error::new(ffi::SQLITE_BUSY),
            None,
        ));
    }
    target.query_row("PRAGMA journal_mode = DELETE", [], |_| Ok(()))?;
    target.close().map_err(|(_, error)| error)
}
