//! Where this program keeps its ledger, what its station is called, and how it signs what it records.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use etcetera::BaseStrategy;
use ledger::{Actor, Computed, Draft, Entry, Ledger, NewBenchEvent, OpenOptions, Recomputed};
use metrology::inspection::Job;
use workshop::bench::Event;
use workshop::recorder::Recorder;
use workshop::tables::Build;
use workshop::{Error, lots, registry, room_on_record};

use crate::document::Inspected;
use crate::failure::Failure;
use crate::kept;
use crate::record;
use crate::register::Shelf;
use crate::say;
use crate::words::{self, InWords as _};

/// The name, version and build of this program, as entries keep it; `build.rs` says what names the build.
pub const PROGRAM: &str = concat!(
    "midflank ",
    env!("CARGO_PKG_VERSION"),
    " build ",
    env!("MIDFLANK_BUILD")
);

/// What names the build; `build.rs` says how it is made.
pub const BUILD: &str = env!("MIDFLANK_BUILD");

/// Digest of the published tables that are compiled in; `build.rs` says how it is made.
pub const TABLES: &str = env!("MIDFLANK_TABLES");

metrology::messages! {
    /// What is missing to find a ledger.
    pub enum DeskError "desk" {
        /// Nobody says where the user's data are.
        NoDataFolder "no-data-folder" { error: String as Text },
    }
}

/// Events of a job at the bench of this station, as they are kept.
pub fn bench_events(actor: &Actor, events: &[Event]) -> Result<Vec<NewBenchEvent>, Failure> {
    events
        .iter()
        .map(|event| {
            Ok(NewBenchEvent {
                event: kept::write_event(event).map_err(Failure::outside)?,
                ends: event.ends(),
                actor: actor.clone(),
                station: station(),
            })
        })
        .collect()
}

/// Opens the ledger to record in, and makes it on first use, saying so: a mistyped path begins a new one.
pub fn open(path: Option<&Path>) -> Result<Ledger, Failure> {
    let place = place(path)?;
    begin(&place, options().create(true))
}

/// Opens a ledger that must exist, to record in.
pub fn open_existing(path: Option<&Path>) -> Result<Ledger, Failure> {
    with_facts(options().open(place(path)?)?)
}

/// How a ledger is opened: what is recorded gets its facts.
pub fn options() -> OpenOptions {
    OpenOptions::new().facts(registry::facts)
}

/// An old ledger gets its facts when it is first opened to record in.
fn with_facts(ledger: Ledger) -> Result<Ledger, Failure> {
    let missing = ledger.entries_without_facts()?;
    if missing >= TOLD_FROM {
        let told = say!("ledger.makes-facts", n = missing);
        let _ = writeln!(io::stderr(), "{told}");
    }
    if missing > 0 {
        ledger.make_facts(false, &|_| ())?;
    }
    Ok(ledger)
}

/// Making the facts of so many entries takes long enough to say so.
const TOLD_FROM: u64 = 2000;

/// Begins a ledger where the file is missing or empty, or the database on a server holds none; one that is there is left
/// as it is.
pub fn begin_new(path: Option<&Path>) -> Result<(), Failure> {
    begin(&place(path)?, options().create(true).begin_new(true)).map(drop)
}

fn begin(place: &Path, options: OpenOptions) -> Result<Ledger, Failure> {
    let new = if Ledger::is_address(place) {
        let there = OpenOptions::new().read_only(true).open(place);
        matches!(
            there,
            Err(ledger::Error::Server {
                what: ledger::Server::NoSchema,
                ..
            })
        )
    } else {
        fs::metadata(place).map_or(true, |file| file.len() == 0)
    };
    let ledger = options.open(place)?;
    if new {
        let began = say!("ledger.began", path = ledger.path().display());
        let _ = writeln!(io::stderr(), "{began}");
    }
    with_facts(ledger)
}

/// Opens the ledger to read from.
pub fn open_to_read(path: Option<&Path>) -> Result<Ledger, Failure> {
    Ok(options().read_only(true).open(place(path)?)?)
}

/// Where the ledger is: as named, or in the user's data folder.
pub fn place(path: Option<&Path>) -> Result<PathBuf, Error> {
    match path {
        Some(path) => Ok(path.to_owned()),
        None => Ok(data_folder()?.join("ledger.db")),
    }
}

/// This program's folder among the user's data.
pub fn data_folder() -> Result<PathBuf, Error> {
    etcetera::choose_base_strategy()
        .map(|folders| folders.data_dir().join("midflank"))
        .map_err(|error| {
            let error = error.to_string();
            Error::outside(DeskError::NoDataFolder { error })
        })
}

/// The shelf beside the ledger.
pub fn shelf(path: Option<&Path>) -> Shelf {
    place(path).map_or_else(Shelf::nowhere, |path| Shelf::beside(&path))
}

/// What this computer is called here, where it was given another name than its own.
static GIVEN: OnceLock<String> = OnceLock::new();

/// Gives this station a name for as long as the program runs.
pub fn name_station(name: String) {
    let _ = GIVEN.set(name);
}

/// The station that stands on all that this program records: the name it was given, or that of the computer.
pub fn station() -> String {
    GIVEN.get().cloned().unwrap_or_else(computer)
}

/// The name of the computer where the system tells none.
const UNNAMED: &str = "bench";

/// The name of the computer.
#[cfg(unix)]
fn computer() -> String {
    plain(&rustix::system::uname().nodename().to_string_lossy())
}

/// The name of the computer.
#[cfg(not(unix))]
fn computer() -> String {
    plain(&std::env::var("COMPUTERNAME").unwrap_or_default())
}

/// A name of letters that can stand on a record.
fn plain(name: &str) -> String {
    let name: String = name.chars().filter(char::is_ascii_graphic).collect();
    if name.is_empty() {
        UNNAMED.to_owned()
    } else {
        name
    }
}

/// Someone who records by this program, at this computer.
pub fn recorder(person: &str) -> Recorder {
    Recorder {
        person: person.to_owned(),
        station: station(),
        program: PROGRAM,
        tables: TABLES,
    }
}

/// The entry of an inspection, recorded by `person`, or by who measured.
pub fn draft(job: &Job, result: &Inspected, person: Option<&str>) -> Result<Draft, Error> {
    let person = person.or(job.person.as_deref()).unwrap_or_default();
    let said = record::Words::of(result, |message| result.say(message));
    record::draft(job, result, &said, &recorder(person.trim()))
}

/// Computes an entry again and compares it with what is stored.
pub fn recompute(entry: &Entry) -> Computed {
    let build = Build {
        program: PROGRAM,
        tables: TABLES,
    };
    registry::recompute(entry, build, words::said)
}

/// The same, and holds the room that stands with a result against the record of the room in its ledger, and what a first
/// article states against the records that it names.
pub fn recompute_in(ledger: &Ledger) -> impl Fn(&Entry) -> Computed + Sync + '_ {
    move |entry| {
        let mut computed = recompute(entry);
        // A record that cannot be read is told where it stands.
        let room = room_on_record::differs(ledger, entry).unwrap_or_default();
        let stated = lots::first_article_differs(ledger, entry).unwrap_or_default();
        let found: Vec<_> = room.into_iter().chain(stated).collect();
        match &mut computed.results {
            _ if found.is_empty() => {}
            Recomputed::Differs(others) => others.extend(found),
            results @ Recomputed::Same => *results = Recomputed::Differs(found),
            Recomputed::NotComputed { .. } => {}
        }
        computed
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_holds_no_blank_and_no_mark() {
        assert_eq!(plain("gauge room\u{202e}-2\n"), "gaugeroom-2");
        assert_eq!(plain(" \n"), UNNAMED);
        assert!(!station().is_empty());
    }
}
