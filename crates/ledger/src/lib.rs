//! Append-only, hash-chained records.
//!
//! # The idea
//!
//! A verdict on a part may be asked for years later: what was read, with what, on which zero, under which
//! table, decided by which rule; and whether it was the same on the day. So a record is **added and never
//! changed**. Who made a mistake records again and says which entry is put right, by whom, when and why; both
//! stay, and a reader of the first is led to the second.
//!
//! Nothing in a file stops someone from changing it. What can be had is that a change **shows**. Each
//! entry carries a hash over all it says and over the hash of the entry before it, so that a change of one
//! entry breaks it, and mending its hash breaks every entry after it. [`verify`] reads the whole chain again,
//! and also has the results computed again from the inputs: the books are sound, and so is the arithmetic.
//!
//! # What it protects against, and what not
//!
//! - A slip, a program gone wrong, a disk that forgets: found, with the entry and what is wrong with it.
//! - Someone who edits, adds, reorders or removes entries by hand, the last ones included: found.
//! - Someone who writes the **whole file** anew from some entry on, with all hashes and the count of entries,
//!   or who puts an old copy in its place: *not* found from the file alone, which is then sound in itself. It
//!   is found against any [`Witness`] or [`Mark`] kept outside: that is why reports print the hash of their entry, and why
//!   [`verify`] takes one that was noted. One hash on one sheet of paper in a customer's folder vouches for
//!   every entry before it.
//! - Someone who records something untrue in the first place: not what a ledger can see.
//!
//! The bytes that are hashed are written down in [`encoding`], for anyone to check without this program.
//!
//! # The words
//!
//! A [`Draft`] is what is handed in: who, when (by the caller's clock), four documents (inputs, results, editions of the
//! tables, words as printed), and the [`Subject`]s it touches: part, lot, instrument, contacts, standard, verdict.
//! The ledger keeps the documents to the byte and does not look into them. Subjects are indexed: every result
//! an instrument touched is found without reading the others.
//!
//! An [`Entry`] is a draft in its place in the chain. People call it by its [`EntryId`], `17-9f3c`: a number
//! short enough to read aloud, and four digits of the hash that tell a misheard number. [`EntryRef`] is what
//! they may type instead.
//!
//! Beside the chain stand [`Facts`]: numbers, texts and equipment of each entry, indexed, made from the entry by a function
//! of the caller's ([`OpenOptions::facts`]) and verified like all else. Lists and recalls ask them.
//!
//! Beside the entries the ledger keeps the [`BenchEvent`]s of jobs at the bench, each job a chain of its own, so that
//! nothing read there is lost before it is recorded; an entry names the events that it was made from ([`JobEvents`]).
//!
//! # Where it is kept
//!
//! In one SQLite file that any number of programs may append to at once; an entry is acknowledged when it is
//! on the disk. With the feature `shop` a PostgreSQL server can take the file's place: its address is given where
//! a path is. No SQL and no type of a database passes the border of this crate.
//!
//! ```
//! use ledger::{Actor, Draft, Filter, Ledger, Order, Page, Recomputed, Subject, VerifyOptions};
//!
//! # let folder = std::env::temp_dir().join(format!("ledger-doc-{}", std::process::id()));
//! # let path = folder.join("ledger.db");
//! let ledger = Ledger::open(&path)?;
//! let entry = ledger.append(&Draft {
//!     kind: "inspection".into(),
//!     recorded_at: "2026-03-04T05:06:07Z".parse()?,
//!     zone: "Europe/Paris".into(),
//!     actor: Actor { id: "AL-7".into(), ..Actor::typed("A. Lindqvist") },
//!     station: "bench 2".into(),
//!     inputs: r#"{"reading":"0.2151in"}"#.into(),
//!     results: r#"{"decision":"accept"}"#.into(),
//!     editions: r#"{"ASME B1.1":"2003"}"#.into(),
//!     words: "{}".into(),
//!     program: "midflank 0.1.0".into(),
//!     amends: None,
//!     events: None,
//!     subjects: [Subject::new("part", "A-17"), Subject::new("instrument", "mic-04")].into(),
//! })?;
//! assert_eq!(entry.id().to_string(), "1-bddd");
//!
//! let page = Page::first(Order::NewestFirst, 50);
//! let recall = ledger.list(&Filter::touching("instrument", "mic-04"), &page)?;
//! assert_eq!(recall.entries, [entry.clone()]);
//!
//! let options = VerifyOptions {
//!     noted: Some(entry.hash.into()),
//!     witness: ledger.witness()?,
//!     ..VerifyOptions::default()
//! };
//! let report = ledger::verify(&ledger, &options, |_| Recomputed::Same)?;
//! assert!(report.is_sound());
//! # std::fs::remove_dir_all(folder)?;
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod actor;
mod back_up;
mod bench;
mod computed;
mod damage;
mod difference;
mod disk;
mod draft;
pub mod encoding;
mod entry;
mod error;
mod facts;
mod fault;
mod filter;
mod hash;
mod known;
mod ledger;
mod make_facts;
mod mounts;
mod move_to;
mod name;
mod occupied;
mod open_options;
mod refusal;
mod remark;
mod server;
mod store;
mod text;
mod time;
mod verify;
mod witness;
mod work_through;

pub use actor::{Actor, Identified};
pub use bench::{BenchEvent, JobEvents, LONGEST_EVENT, NewBenchEvent};
pub use computed::{Computed, NotComputed, Recomputed};
pub use damage::{Damage, Unreadable};
pub use difference::Difference;
pub use draft::{Amendment, Draft, LONGEST_DOCUMENT, MOST_SUBJECTS, Subject};
pub use entry::Entry;
pub use error::{Error, NotALedger, Obstacle, Result};
pub use facts::{Derive, Facts, Glance, Number, Text, Used, Wanted};
pub use fault::{Fault, FaultKind, Place, StorageFault};
pub use filter::{Between, Filter, Listing, Order, Page};
pub use hash::{Hash, NotAHash};
pub use known::{Known, KnownListing, Touched, Touching};
pub use ledger::Ledger;
pub use name::{EntryId, EntryRef, Mark, NotAnEntryRef};
pub use occupied::Occupied;
pub use open_options::OpenOptions;
pub use refusal::{DraftError, Field};
pub use remark::{Remark, RemarkKind};
pub use server::{AddressFault, Server};
pub use text::LONGEST_NAME;
pub use verify::{NotRecomputed, Progress, VerifyOptions, VerifyReport, verify};
pub use witness::{NotAWitness, Witness};

/// The schema of a ledger in a file, as this build makes it.
pub const FILE_SCHEMA: i64 = store::sqlite::schema::NEWEST;
/// The last migration of a ledger on a server that this build makes; none where it is built without servers.
#[cfg(feature = "shop")]
pub const SERVER_MIGRATION: Option<i64> = Some(store::postgres::schema::NEWEST);
#[cfg(not(feature = "shop"))]
pub const SERVER_MIGRATION: Option<i64> = None;
