//! What can go wrong. The variants carry what a sentence for a reader needs; what they display is for developers.

use std::io;
use std::path::PathBuf;
use std::time::Duration;

use crate::{
    AddressFault, Damage, DraftError, EntryId, EntryRef, Fault, JobEvents, NotAnEntryRef, Place,
    Server,
};

/// The result of asking something of a ledger.
pub type Result<T> = std::result::Result<T, Error>;

/// Why a file is not a ledger.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum NotALedger {
    /// It is not an SQLite database.
    NotSqlite,
    /// It is the SQLite database of another program.
    OtherProgram {
        /// What its header says whose it is; 0 where it says nothing.
        application_id: i64,
    },
}

/// What stands in the way of reading or writing.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Obstacle {
    /// The file may only be read.
    ReadOnlyFile,
    /// The file system cannot keep a write-ahead log; a local disk can.
    NoWriteAheadLog,
    /// Entries wait in the `-wal` file beside it, and the folder is read-only: copy both to a folder that can be
    /// written.
    WaitingLog,
    /// A `-wal` file with something in it lies where a new ledger would begin: it belongs to one that was lost, and is
    /// to be moved away first.
    StrayLog,
    /// What the operating system said.
    System {
        /// Of which kind.
        kind: io::ErrorKind,
        /// In its words.
        detail: String,
    },
    /// What the storage engine said.
    Engine {
        /// In its words.
        detail: String,
    },
}

impl From<&io::Error> for Obstacle {
    fn from(error: &io::Error) -> Self {
        Self::System {
            kind: error.kind(),
            detail: error.to_string(),
        }
    }
}

/// Why a ledger could not do what was asked. When it says so of an append, nothing was recorded, but for
/// [`Error::AnswerLost`].
#[derive(Clone, Debug, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// There is a file, but it is not a ledger; it is left as it is.
    #[error("{} is not a ledger: {why:?}", path.display())]
    NotALedger {
        path: PathBuf,
        /// What it is instead.
        why: NotALedger,
    },
    /// There is a file and nothing in it. A ledger is begun in it only where that is asked for
    /// ([`OpenOptions::begin_new`](crate::OpenOptions::begin_new)): it may be one that was lost.
    #[error("{} is empty", .0.display())]
    Empty(PathBuf),
    /// The ledger was written by a later program.
    #[error("{} has schema {found}, known up to {known}", path.display())]
    NewerSchema {
        path: PathBuf,
        /// The schema it has.
        found: i64,
        /// The newest schema known here.
        known: i64,
    },
    /// The ledger is from a program before the first release; this one does not read it.
    #[error("{} has schema {found} of a program before {known}", path.display())]
    OlderSchema {
        path: PathBuf,
        /// The schema it has.
        found: i64,
        /// The schema needed.
        known: i64,
    },
    /// There is no such file.
    #[error("no ledger at {}", .0.display())]
    Missing(PathBuf),
    /// The path is a folder.
    #[error("{} is a folder", .0.display())]
    IsFolder(PathBuf),
    /// The file or its folder cannot be written (SQLite keeps two files beside the ledger).
    #[error("{} cannot be written: {why:?}", path.display())]
    Unwritable {
        path: PathBuf,
        /// What stands in the way.
        why: Obstacle,
    },
    /// The file cannot be read.
    #[error("{} cannot be read: {why:?}", path.display())]
    Unreadable {
        path: PathBuf,
        /// What stands in the way.
        why: Obstacle,
    },
    /// Something was to be recorded in a ledger opened to be read.
    #[error("{} was opened to be read only", .0.display())]
    ReadOnly(PathBuf),
    /// The file was deleted, moved or replaced by another while it was open; nothing was recorded.
    #[error("{} is no longer the file that was opened", .0.display())]
    Replaced(PathBuf),
    /// Another program held the ledger for longer than we waited.
    #[error("{} was locked for {} s", path.display(), waited.as_secs_f64())]
    Locked {
        path: PathBuf,
        /// How long we waited.
        waited: Duration,
    },
    /// Another bench keeps this station.
    #[error("{}: a bench of station {station} is open", path.display())]
    StationTaken {
        path: PathBuf,
        /// The station that was asked for.
        station: String,
    },
    /// The file is damaged.
    #[error("{} is damaged: {what}", path.display())]
    Damaged {
        path: PathBuf,
        /// What was found.
        what: Damage,
    },
    /// The file lies on a file system of another computer, where locks and the shared log of SQLite do not hold.
    #[error("{} lies on the network file system {kind}", path.display())]
    NetworkFileSystem {
        path: PathBuf,
        /// The type of the file system: `nfs4`.
        kind: String,
    },
    /// The address of a server cannot be used.
    #[error("the address {} cannot be used: {why:?}", path.display())]
    Address {
        /// The address, without password.
        path: PathBuf,
        why: AddressFault,
    },
    /// The server, or the database on it, does not do what a ledger needs.
    #[error("{}: {what:?}", path.display())]
    Server {
        /// The address, without password.
        path: PathBuf,
        /// What is the matter.
        what: Server,
    },
    /// The connection broke while something was being recorded, and the server could not be asked again whether it was:
    /// it may be on the record or not.
    #[error("the connection to {} broke before it answered", .0.display())]
    AnswerLost(PathBuf),
    /// A ledger is moved only to where nothing is recorded yet.
    #[error("{} holds entries or events", .0.display())]
    NotEmpty(PathBuf),
    /// What was moved does not read back as it was; nothing was kept of it.
    #[error("what was moved to {} differs at {place:?}", path.display())]
    MovedDiffers {
        /// The new ledger.
        path: PathBuf,
        /// The first place that differs.
        place: Place,
    },
    /// No room left.
    #[error("no room left for {}", .0.display())]
    DiskFull(PathBuf),
    /// The disk or the file system failed.
    #[error("the disk failed on {}: {detail}", path.display())]
    Disk {
        path: PathBuf,
        /// What the system said.
        detail: String,
    },
    /// No entry goes by that name.
    #[error("no entry {asked} (nearest {nearest:?}, last {last:?})")]
    NoSuchEntry {
        /// What was asked for.
        asked: EntryRef,
        /// The entry with that number, where its hash is another.
        nearest: Option<EntryId>,
        /// The newest entry; none in an empty ledger.
        last: Option<EntryId>,
    },
    /// More than one entry goes by that name.
    #[error("{asked} may be any of {candidates:?}")]
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
    #[error("entry {entry} is amended by {latest}")]
    AlreadyAmended {
        /// The entry to be amended.
        entry: EntryId,
        /// The one to amend instead.
        latest: EntryId,
    },
    /// An entry of the same is there: nothing was recorded.
    #[error("entry {entry} is the same")]
    AlreadyThere {
        /// The first such entry.
        entry: EntryId,
    },
    /// Something was recorded in between; nothing of this was.
    #[error("the ledger went on to entry {last}")]
    WentOn {
        /// The newest entry; 0 in an empty ledger.
        last: u64,
    },
    /// The draft or event cannot be recorded.
    #[error(transparent)]
    Draft(#[from] DraftError),
    /// The events that the draft was made from are not those of the job in this ledger.
    #[error("job {} has no event {} with hash {}", .0.job, .0.count, .0.hash)]
    OtherEvents(JobEvents),
    /// Something else happened in the job since it was looked at, or it has ended; nothing was added.
    #[error("job {job} went on from event {after} to {last}")]
    JobWentOn {
        job: u64,
        /// The event that was thought to be the last.
        after: u64,
        /// The last one.
        last: u64,
    },
    /// A search for more words than are taken.
    #[error("a search for {found} words; at most {limit} are taken")]
    TooManyWords {
        /// How many.
        found: usize,
        /// The most taken.
        limit: usize,
    },
    /// A backup never overwrites.
    #[error("{} exists", .0.display())]
    BackupExists(PathBuf),
    /// The copy does not verify, and was not kept.
    #[error("the copy for {} does not verify: {first}, and {more} more", path.display())]
    BackupFaulty {
        /// The backup that was asked for.
        path: PathBuf,
        /// The first fault found in the copy.
        first: Box<Fault>,
        /// How many more there are.
        more: usize,
    },
    /// A verification was told to stop.
    #[error("stopped after {entries} entries")]
    Stopped {
        /// How many entries had been read.
        entries: u64,
    },
    /// Anything else the storage engine said.
    #[error("{}: {detail}", path.display())]
    Storage {
        path: PathBuf,
        /// What it said.
        detail: String,
    },
}

impl Error {
    /// A stable name for machines.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::NotALedger { .. } => "not-a-ledger",
            Self::Empty(_) => "empty-file",
            Self::NewerSchema { .. } => "newer-schema",
            Self::OlderSchema { .. } => "older-schema",
            Self::Missing(_) => "missing",
            Self::IsFolder(_) => "is-folder",
            Self::Unwritable { .. } => "unwritable",
            Self::Unreadable { .. } => "unreadable",
            Self::ReadOnly(_) => "read-only",
            Self::Replaced(_) => "replaced",
            Self::Locked { .. } => "locked",
            Self::StationTaken { .. } => "station-taken",
            Self::Damaged { .. } => "damaged",
            Self::NetworkFileSystem { .. } => "network-file-system",
            Self::Address { .. } => "address",
            Self::Server { what, .. } => what.code(),
            Self::AnswerLost(_) => "answer-lost",
            Self::NotEmpty(_) => "not-empty",
            Self::MovedDiffers { .. } => "moved-differs",
            Self::DiskFull(_) => "disk-full",
            Self::Disk { .. } => "disk-failed",
            Self::NoSuchEntry { .. } => "no-such-entry",
            Self::Ambiguous { .. } => "ambiguous",
            Self::NotAnEntryRef(_) => "not-an-entry",
            Self::AlreadyAmended { .. } => "already-amended",
            Self::AlreadyThere { .. } => "already-there",
            Self::WentOn { .. } => "went-on",
            Self::Draft(_) => "draft",
            Self::OtherEvents(_) => "other-events",
            Self::JobWentOn { .. } => "job-went-on",
            Self::TooManyWords { .. } => "too-many-words",
            Self::BackupExists(_) => "backup-exists",
            Self::BackupFaulty { .. } => "backup-faulty",
            Self::Stopped { .. } => "stopped",
            Self::Storage { .. } => "storage",
        }
    }
}
