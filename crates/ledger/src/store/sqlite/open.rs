//! Opening the file, and copying it.

use std::ffi::OsStr;
use std::fmt::Write as _;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use rusqlite::backup::{Backup, StepResult};
use rusqlite::{Connection, ErrorCode, OpenFlags, TransactionBehavior, ffi};

use super::schema::{self, APPLICATION_ID, Header, NEWEST};
use super::told;
use crate::disk::{folder_of, sync_folder};
use crate::{Error, OpenOptions, Result};

/// Opens the file as the options ask.
pub(super) fn connect(path: &Path, options: &OpenOptions) -> Result<Connection> {
    prepare_place(path, options)?;
    if options.read_only {
        connect_to_read(path, options)
    } else {
        connect_to_write(path, options)
    }
}

/// Sees to it that there is a file to open, or a folder for it.
fn prepare_place(path: &Path, options: &OpenOptions) -> Result<()> {
    let unwritable = |error: &io::Error| Error::Unwritable {
        path: path.to_owned(),
        why: error.to_string(),
    };
    match fs::metadata(path) {
        Ok(found) if found.is_dir() => Err(Error::IsFolder(path.to_owned())),
        Ok(_) => Ok(()),
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            if !options.create {
                return Err(Error::Missing(path.to_owned()));
            }
            let folder = folder_of(path);
            fs::create_dir_all(folder).map_err(|error| unwritable(&error))?;
            for folder in folder.ancestors() {
                // Best effort: some of those above may not be ours to open, and those were there before.
                let _ = sync_folder(folder);
            }
            Ok(())
        }
        Err(error) if options.create => Err(unwritable(&error)),
        Err(error) => Err(Error::Unreadable {
            path: path.to_owned(),
            why: error.to_string(),
        }),
    }
}

fn connect_to_write(path: &Path, options: &OpenOptions) -> Result<Connection> {
    let told = |error: rusqlite::Error| told(path, options, &error);
    let mut flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    flags.set(OpenFlags::SQLITE_OPEN_CREATE, options.create);
    let mut connection = Connection::open_with_flags(path, flags).map_err(told)?;
    prepare(&connection, options).map_err(told)?;

    // Whose file it is comes first: nothing is changed in a file that is not ours.
    let header = Header::read(&connection).map_err(told)?;
    admit(path, &header)?;
    // SQLite opens a file it may not write for reading, without a word.
    if connection.is_readonly("main").map_err(told)? {
        return Err(Error::Unwritable {
            path: path.to_owned(),
            why: "the file is read-only".to_owned(),
        });
    }
    let mode = patiently(options.patience, || {
        connection.query_row("PRAGMA journal_mode = WAL", [], |row| {
            row.get::<_, String>(0)
        })
    })
    .map_err(told)?;
    if mode != "wal" {
        return Err(Error::Unwritable {
            path: path.to_owned(),
            why: "its file system cannot keep a write-ahead log; use a local disk".to_owned(),
        });
    }
    if header.version < NEWEST {
        let transaction = connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(told)?;
        // Another program may have done it while we waited.
        let header = Header::read(&transaction).map_err(told)?;
        admit(path, &header)?;
        if header.version < NEWEST {
            schema::migrate(&transaction, header.version).map_err(told)?;
        }
        transaction.commit().map_err(told)?;
    }
    Ok(connection)
}

/// Opens without the right to write, also where the folder gives none.
///
/// A reader of a write-ahead log needs the two files beside the ledger. Where they are missing and cannot be
/// made, and no log is waiting, nobody is writing (a backup on a read-only medium): the file is then read
/// as one that does not change.
fn connect_to_read(path: &Path, options: &OpenOptions) -> Result<Connection> {
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let first = Connection::open_with_flags(path, flags).and_then(|connection| {
        prepare(&connection, options)?;
        Header::read(&connection).map(|header| (connection, header))
    });
    let (connection, header) = match first {
        Ok(opened) => opened,
        Err(error) if needs_neighbours(&error) && fs::File::open(path).is_ok() => {
            if has_waiting_log(path) {
                return Err(Error::Unreadable {
                    path: path.to_owned(),
                    why: "entries wait in the -wal file beside it and the folder is read-only; copy both \
                          files to a folder that can be written and read them there"
                        .to_owned(),
                });
            }
            connect_to_unchanging(path, options).map_err(|error| told(path, options, &error))?
        }
        Err(error) => return Err(told(path, options, &error)),
    };
    admit(path, &header)?;
    if header.is_blank() {
        return Err(Error::NotALedger {
            path: path.to_owned(),
            why: "it is empty".to_owned(),
        });
    }
    if header.version < NEWEST {
        return Err(Error::OlderSchema {
            path: path.to_owned(),
            found: header.version,
            known: NEWEST,
        });
    }
    Ok(connection)
}

fn connect_to_unchanging(
    path: &Path,
    options: &OpenOptions,
) -> rusqlite::Result<(Connection, Header)> {
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY
        | OpenFlags::SQLITE_OPEN_NO_MUTEX
        | OpenFlags::SQLITE_OPEN_URI;
    let connection = Connection::open_with_flags(unchanging_uri(path), flags)?;
    prepare(&connection, options)?;
    let header = Header::read(&connection)?;
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
fn has_waiting_log(path: &Path) -> bool {
    let mut log = path.as_os_str().to_owned();
    log.push(OsStr::new("-wal"));
    fs::metadata(PathBuf::from(log)).is_ok_and(|found| found.len() > 0)
}

/// What every connection is told first.
fn prepare(connection: &Connection, options: &OpenOptions) -> rusqlite::Result<()> {
    connection.busy_timeout(options.patience)?;
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

/// Refuses what is not a ledger, or one from a later program.
fn admit(path: &Path, header: &Header) -> Result<()> {
    if header.is_blank() {
        return Ok(());
    }
    if header.application_id != APPLICATION_ID {
        return Err(Error::NotALedger {
            path: path.to_owned(),
            why: "it is the SQLite database of another program".to_owned(),
        });
    }
    if header.version > NEWEST {
        return Err(Error::NewerSchema {
            path: path.to_owned(),
            found: header.version,
            known: NEWEST,
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
