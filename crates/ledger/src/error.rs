//! What can go wrong, told so that the reader knows what is wrong, where, and what would be right.

use std::path::PathBuf;
use std::time::Duration;

use crate::{DraftError, EntryId, EntryRef, NotAnEntryRef};

/// The result of asking something of a ledger.
pub type Result<T> = std::result::Result<T, Error>;

/// Why a ledger could not do what was asked. When it says so of an append, nothing was recorded.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// There is a file, but it is not a ledger; it is left as it is.
    #[error("{} is not a ledger: {why}; name the ledger's file, or a new one", path.display())]
    NotALedger {
        /// The file.
        path: PathBuf,
        /// What it is instead.
        why: String,
    },
    /// The ledger was written by a later program.
    #[error(
        "{} has schema {found}, this program knows schemas up to {known}; use a newer version of the \
         program", path.display()
    )]
    NewerSchema {
        /// The file.
        path: PathBuf,
        /// The schema it has.
        found: i64,
        /// The newest schema known here.
        known: i64,
    },
    /// The ledger is from an earlier program and must be brought up to date, which reading alone cannot do.
    #[error(
        "{} has the old schema {found}; open it once for writing to bring it to schema {known}",
        path.display()
    )]
    OlderSchema {
        /// The file.
        path: PathBuf,
        /// The schema it has.
        found: i64,
        /// The schema needed.
        known: i64,
    },
    /// There is no such file.
    #[error("there is no ledger at {}; name an existing one, or record something to begin it", .0.display())]
    Missing(PathBuf),
    /// The path is a folder.
    #[error("{} is a folder; name a file in it, such as {}", .0.display(), .0.join("ledger.db").display())]
    IsFolder(PathBuf),
    /// The file or its folder cannot be written (SQLite keeps two files beside the ledger).
    #[error("{} cannot be written: {why}; the file and its folder must both be writable", path.display())]
    Unwritable {
        /// The file.
        path: PathBuf,
        /// What stands in the way.
        why: String,
    },
    /// The file cannot be read.
    #[error("{} cannot be read: {why}", path.display())]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// What stands in the way, and the way round it.
        why: String,
    },
    /// Something was to be recorded in a ledger opened to be read.
    #[error("{} was opened to be read only; open it for writing to record", .0.display())]
    ReadOnly(PathBuf),
    /// Another program held the ledger for longer than we waited.
    #[error(
        "{} is locked by another program, and was for {} s; try again, or close the program that holds it",
        path.display(), waited.as_secs_f64()
    )]
    Locked {
        /// The file.
        path: PathBuf,
        /// How long we waited.
        waited: Duration,
    },
    /// The file is damaged.
    #[error("{} is damaged: {detail}; verify it, and go back to a backup", path.display())]
    Damaged {
        /// The file.
        path: PathBuf,
        /// What was found.
        detail: String,
    },
    /// No room left.
    #[error("no room left for {}; free some space on its disk and record again", .0.display())]
    DiskFull(PathBuf),
    /// The disk or the file system failed.
    #[error("the disk failed while working on {}: {detail}", path.display())]
    Disk {
        /// The file.
        path: PathBuf,
        /// What the system said.
        detail: String,
    },
    /// No entry goes by that name.
    #[error("there is no entry {asked}; {}", nearest_in_words(*.nearest, *.last))]
    NoSuchEntry {
        /// What was asked for.
        asked: EntryRef,
        /// The entry with that number, where its hash is another.
        nearest: Option<EntryId>,
        /// The newest entry.
        last: Option<EntryId>,
    },
    /// More than one entry goes by that name.
    #[error("{asked} may be {}; write more digits, or the number", one_of(.candidates))]
    Ambiguous {
        /// What was asked for.
        asked: EntryRef,
        /// The first few that fit.
        candidates: Vec<EntryId>,
    },
    /// What was given cannot name an entry.
    #[error(transparent)]
    NotAnEntryRef(#[from] NotAnEntryRef),
    /// The entry was amended before: the latest amendment is the one to amend.
    #[error("entry {entry} is already amended; amend {latest}, the latest of its amendments")]
    AlreadyAmended {
        /// The entry to be amended.
        entry: EntryId,
        /// The one to amend instead.
        latest: EntryId,
    },
    /// The draft cannot be recorded.
    #[error(transparent)]
    Draft(#[from] DraftError),
    /// Something else happened in the job since it was looked at, or it has ended; nothing was added.
    #[error(
        "job {job} went on: it was looked at after event {after} and has {last} by now; look again"
    )]
    JobWentOn {
        /// The job.
        job: u64,
        /// The event that was thought to be the last.
        after: u64,
        /// The last one.
        last: u64,
    },
    /// An event is longer than the ledger takes.
    #[error("an event of {found} bytes is longer than the {limit} that a ledger takes")]
    EventTooLong {
        /// Its length.
        found: usize,
        /// The longest taken.
        limit: usize,
    },
    /// A backup never overwrites.
    #[error("{} exists; a backup is written to a new file only", .0.display())]
    BackupExists(PathBuf),
    /// The copy does not verify, and was not kept.
    #[error("the copy for {} does not verify and was not kept: {fault}; verify the ledger itself", path.display())]
    BackupFaulty {
        /// The backup that was asked for.
        path: PathBuf,
        /// The first fault found in the copy.
        fault: String,
    },
    /// Anything else the storage engine said.
    #[error("{}: {detail}", path.display())]
    Storage {
        /// The file.
        path: PathBuf,
        /// What it said.
        detail: String,
    },
}

fn nearest_in_words(nearest: Option<EntryId>, last: Option<EntryId>) -> String {
    match (nearest, last) {
        (Some(id), _) => format!("the entry with that number is {id}"),
        (None, Some(id)) => format!("the last entry is {id}"),
        (None, None) => "the ledger is empty".to_owned(),
    }
}

fn one_of(ids: &[EntryId]) -> String {
    let words: Vec<String> = ids.iter().map(ToString::to_string).collect();
    words.join(" or ")
}
