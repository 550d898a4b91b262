//! What a ledger says, in words.

use std::path::Path;

use ledger::{
    AddressFault, Damage, DraftError, Error, Fault, FaultKind, Field, Identified, NotALedger,
    NotComputed, Obstacle, Place, Remark, RemarkKind, Server, StorageFault, Subject, Unreadable,
};

use super::number;
use crate::say;

/// Why a ledger could not do what was asked.
pub fn error(error: &Error) -> String {
    let at = |path: &Path| path.display().to_string();
    match error {
        Error::NotALedger { path, why } => match why {
            NotALedger::OtherProgram { .. } => say!("ledger.other-program", path = at(path)),
            _ => say!("ledger.not-a-database", path = at(path)),
        },
        Error::Empty(path) => say!("ledger.empty-file", path = at(path)),
        Error::NewerSchema { path, found, known } => say!(
            "ledger.newer-schema",
            path = at(path),
            found = found,
            known = known
        ),
        Error::OlderSchema { path, found, known } => say!(
            "ledger.older-schema",
            path = at(path),
            found = found,
            known = known
        ),
        Error::Missing(path) => say!("ledger.missing", path = at(path)),
        Error::IsFolder(path) => say!("ledger.is-folder", path = at(path)),
        Error::Unwritable { path, why } => {
            say!("ledger.unwritable", path = at(path), why = obstacle(why))
        }
        Error::Unreadable { path, why } => {
            say!("ledger.unreadable", path = at(path), why = obstacle(why))
        }
        Error::ReadOnly(path) => say!("ledger.read-only", path = at(path)),
        Error::Replaced(path) => say!("ledger.replaced", path = at(path)),
        Error::Locked { path, waited } => say!(
            "ledger.locked",
            path = at(path),
            seconds = number::short(waited.as_secs_f64(), 1)
        ),
        Error::StationTaken { station, .. } => say!("ledger.station-taken", station = station),
        Error::Damaged { path, what } => {
            say!("ledger.damaged", path = at(path), what = damage(what))
        }
        Error::DiskFull(path) => say!("ledger.disk-full", path = at(path)),
        Error::Disk { path, detail } => {
            say!("ledger.disk-failed", path = at(path), detail = detail)
        }
        Error::NoSuchEntry {
            asked,
            nearest,
            last,
        } => match (nearest, last) {
            (Some(nearest), _) => say!("ledger.other-digits", asked = asked, nearest = nearest),
            (None, Some(last)) => say!("ledger.no-such-entry", asked = asked, last = last),
            (None, None) => say!("ledger.no-entry-at-all", asked = asked),
        },
        Error::Ambiguous { asked, candidates } => {
            let names: Vec<String> = candidates.iter().map(ToString::to_string).collect();
            say!(
                "ledger.ambiguous",
                asked = asked,
                candidates = names.join(", ")
            )
        }
        Error::NotAnEntryRef(text) => say!("ledger.not-an-entry", text = text.0),
        Error::AlreadyAmended { entry, latest } => {
            say!("ledger.already-amended", entry = entry, latest = latest)
        }
        Error::AlreadyThere { entry } => say!("ledger.already-there", entry = entry),
        Error::WentOn { .. } => say!("ledger.went-on").to_owned(),
        Error::Draft(error) => draft(error),
        Error::OtherEvents(events) => {
            say!(
                "ledger.other-events",
                job = events.job,
                number = events.count
            )
        }
        Error::JobWentOn { job, .. } => say!("ledger.job-went-on", job = job),
        Error::TooManyWords { found, limit } => {
            say!("ledger.too-many-words", found = found, limit = limit)
        }
        Error::BackupExists(path) => say!("ledger.backup-exists", path = at(path)),
        Error::BackupFaulty { path, first, more } => say!(
            "ledger.backup-faulty",
            path = at(path),
            first = fault(first),
            more = more
        ),
        Error::Stopped { entries } => say!("ledger.stopped", entries = entries),
        Error::Storage { path, detail } => {
            say!("ledger.storage", path = at(path), detail = detail)
        }
        other => of_a_server(other),
    }
}

/// The same of a ledger on a server, or of one that belongs there.
fn of_a_server(error: &Error) -> String {
    let at = |path: &Path| path.display().to_string();
    match error {
        Error::NetworkFileSystem { path, kind } => {
            say!("ledger.network-file-system", path = at(path), kind = kind)
        }
        Error::Address { path, why } => {
            say!("ledger.address", path = at(path), why = address(why))
        }
        Error::Server { path, what } => server(&at(path), what),
        Error::AnswerLost(path) => say!("ledger.answer-lost", path = at(path)),
        Error::NotEmpty(path) => say!("ledger.not-empty", path = at(path)),
        Error::MovedDiffers { path, place } => moved_differs(&at(path), *place),
        other => other.code().to_owned(),
    }
}

/// Where a ledger that was moved differs from the one it was moved from.
fn moved_differs(path: &str, place: Place) -> String {
    match place {
        Place::Entry { sequence } => {
            say!("ledger.moved-differs", path = path, number = sequence)
        }
        Place::Event { job, number } => say!(
            "ledger.moved-event-differs",
            path = path,
            number = number,
            job = job
        ),
        Place::File => say!("ledger.moved-in-part", path = path),
    }
}

fn obstacle(why: &Obstacle) -> String {
    match why {
        Obstacle::ReadOnlyFile => say!("ledger.read-only-file").to_owned(),
        Obstacle::NoWriteAheadLog => say!("ledger.no-log").to_owned(),
        Obstacle::WaitingLog => say!("ledger.waiting-log").to_owned(),
        Obstacle::StrayLog => say!("ledger.stray-log").to_owned(),
        Obstacle::System { detail, .. } | Obstacle::Engine { detail } => detail.clone(),
        _ => String::new(),
    }
}

/// Why an address cannot be used.
fn address(why: &AddressFault) -> String {
    match why {
        AddressFault::NotBuiltIn => say!("ledger.address-not-built-in").to_owned(),
        AddressFault::Form => say!("ledger.address-form").to_owned(),
        AddressFault::NoDatabase => say!("ledger.address-no-database").to_owned(),
        AddressFault::ReadOnlySession => say!("ledger.address-read-only").to_owned(),
        AddressFault::SslMode => say!("ledger.address-ssl-mode").to_owned(),
        AddressFault::NoRootCertificate => say!("ledger.address-no-certificate").to_owned(),
        AddressFault::RootCertificate { file } => {
            say!("ledger.address-certificate", file = file.display())
        }
        AddressFault::PasswordFileOpen { file } => {
            say!("ledger.address-password-file", file = file.display())
        }
        _ => String::new(),
    }
}

/// What is the matter with a server.
fn server(path: &str, what: &Server) -> String {
    match what {
        Server::Unreachable { detail } => {
            say!("ledger.server-unreachable", path = path, detail = detail)
        }
        Server::PasswordMissing => say!("ledger.server-password-missing", path = path),
        Server::LoginRefused { detail } => {
            say!("ledger.server-login-refused", path = path, detail = detail)
        }
        Server::NoDatabase => say!("ledger.server-no-database", path = path),
        Server::NoSchema => say!("ledger.server-no-ledger", path = path),
        Server::MigrationNeeded { found, known } => say!(
            "ledger.server-earlier",
            path = path,
            found = found,
            known = known
        ),
        Server::ExtensionMissing { extension } => say!(
            "ledger.server-extension",
            path = path,
            extension = extension
        ),
        Server::NotUtf8 { encoding } => {
            say!("ledger.server-encoding", path = path, encoding = encoding)
        }
        Server::NotPermitted { detail } => {
            say!("ledger.server-not-permitted", path = path, detail = detail)
        }
        Server::TakesNothing => say!("ledger.server-takes-nothing", path = path),
        Server::ConnectionLost => say!("ledger.server-connection-lost", path = path),
        other => other.code().to_owned(),
    }
}

fn damage(what: &Damage) -> String {
    match what {
        Damage::SearchDiffers { sequence } => say!(
            "ledger.fault-entry",
            number = sequence,
            what = say!("ledger.fault-search")
        ),
        Damage::CutShort { length, needed } => {
            say!("ledger.cut-short", length = length, needed = needed)
        }
        Damage::TailMissing { last, issued } => {
            say!("ledger.tail-missing", last = last, issued = issued)
        }
        Damage::EventTailMissing { last, issued } => {
            say!("ledger.event-tail-missing", last = last, issued = issued)
        }
        Damage::EventAltered { job, number } => {
            say!("ledger.event-altered", job = job, number = number)
        }
        Damage::EventMissing { job, number } => {
            say!("ledger.event-missing", job = job, number = number)
        }
        Damage::Engine { detail } => detail.clone(),
        Damage::Entry { sequence, why } => say!(
            "ledger.fault-entry",
            number = sequence,
            what = unreadable(why)
        ),
        Damage::Event { job, number, why } => say!(
            "ledger.fault-event",
            number = number,
            job = job,
            what = unreadable(why)
        ),
        Damage::OutOfOrder => say!("ledger.out-of-order").to_owned(),
        other => other.code().to_owned(),
    }
}

/// Why a row is no entry and no event.
fn unreadable(why: &Unreadable) -> String {
    match why {
        Unreadable::Column { column, detail } => {
            say!("ledger.column-unreadable", column = column, detail = detail)
        }
        Unreadable::Encoding { found } => say!("ledger.encoding-unknown", found = found),
        Unreadable::Number {
            column,
            found: Some(found),
        } => say!("ledger.column-wrong", column = column, found = found),
        Unreadable::Number {
            column,
            found: None,
        } => say!("ledger.column-empty", column = column),
        Unreadable::Hash { column, found } | Unreadable::Time { column, found } => {
            say!("ledger.column-wrong", column = column, found = found)
        }
        Unreadable::Identified { found } => say!("ledger.identified-unknown", found = found),
        Unreadable::Amendment { sequence, check } => {
            say!(
                "ledger.amends-unreadable",
                found = format!("{sequence}-{check}")
            )
        }
        Unreadable::Incomplete { column } => say!("ledger.column-empty", column = column),
        other => other.code().to_owned(),
    }
}

/// Why something cannot be recorded.
pub fn draft(error: &DraftError) -> String {
    match error {
        DraftError::Empty { field: of } => say!("ledger.field-empty", field = field(*of)),
        DraftError::TooLong {
            field: of,
            bytes,
            limit,
        } => say!(
            "ledger.field-too-long",
            field = field(*of),
            bytes = bytes,
            limit = limit
        ),
        DraftError::Padded { field: of, text } => {
            say!("ledger.field-padded", field = field(*of), text = text)
        }
        DraftError::ControlCharacter {
            field: of,
            character,
        } => say!(
            "ledger.control-character",
            field = field(*of),
            character = code_point(*character)
        ),
        DraftError::DirectionCharacter {
            field: of,
            character,
        } => say!(
            "ledger.direction-character",
            field = field(*of),
            character = code_point(*character)
        ),
        DraftError::TooManySubjects { found, limit } => {
            say!("ledger.too-many-subjects", found = found, limit = limit)
        }
        DraftError::Time { .. } => say!("clock.wrong").to_owned(),
        DraftError::Zone { found } => say!("ledger.zone", found = found),
        DraftError::NoEvents { job } => say!("ledger.no-events", job = job),
        other => other.code().to_owned(),
    }
}

fn code_point(character: char) -> String {
    format!("U+{:04X}", u32::from(character))
}

/// What a document or another part of an entry is called.
pub fn field(of: Field) -> &'static str {
    match of {
        Field::Kind => say!("ledger.field-kind"),
        Field::ActorId => say!("ledger.field-actor-id"),
        Field::ActorName => say!("ledger.field-actor-name"),
        Field::Station => say!("ledger.field-station"),
        Field::Zone => say!("ledger.field-zone"),
        Field::Program => say!("ledger.field-program"),
        Field::Inputs => say!("ledger.field-inputs"),
        Field::Results => say!("ledger.field-results"),
        Field::Editions => say!("ledger.field-editions"),
        Field::Words => say!("ledger.field-words"),
        Field::Reason => say!("ledger.field-reason"),
        Field::SubjectRole => say!("ledger.field-role"),
        Field::SubjectIdentity => say!("ledger.field-identity"),
        Field::Event => say!("ledger.field-event"),
        other => other.code(),
    }
}

/// How a person was identified.
pub fn identified(how: Identified) -> &'static str {
    match how {
        Identified::Typed => say!("ledger.identified-typed"),
        Identified::Badge => say!("ledger.identified-badge"),
        Identified::Pin => say!("ledger.identified-pin"),
        Identified::Password => say!("ledger.identified-password"),
    }
}

/// A fault with its place.
pub fn fault(fault: &Fault) -> String {
    let what = kind(&fault.kind);
    match fault.place {
        Place::Entry { sequence } => say!("ledger.fault-entry", number = sequence, what = what),
        Place::Event { job, number } => say!(
            "ledger.fault-event",
            number = number,
            job = job,
            what = what
        ),
        Place::File => say!("ledger.fault-file", what = what),
    }
}

fn kind(kind: &FaultKind) -> String {
    match kind {
        FaultKind::Unreadable { why } => {
            say!("ledger.fault-unreadable", why = unreadable(why))
        }
        FaultKind::HashMismatch { .. } => say!("ledger.fault-hash").to_owned(),
        FaultKind::BrokenChain { .. } => say!("ledger.fault-chain").to_owned(),
        FaultKind::Gap { first, last } => say!("ledger.fault-gap", first = first, last = last),
        FaultKind::MissingTail { first, last } => {
            say!("ledger.fault-tail", first = first, last = last)
        }
        FaultKind::NotedMissing { noted } => say!("ledger.fault-noted", noted = noted),
        FaultKind::WitnessMissing { witness, found } => match found {
            Some(_) => say!("ledger.fault-witness-other", number = witness.count),
            None => say!("ledger.fault-witness-missing", number = witness.count),
        },
        FaultKind::WrongAmendment { amends } => say!("ledger.fault-amendment", amends = amends),
        FaultKind::ResultDiffers { differences } => match differences.as_slice() {
            [] => say!("ledger.fault-result").to_owned(),
            [first, others @ ..] => say!(
                "ledger.fault-result-first",
                path = first.path,
                stored = first.stored,
                computed = first.computed,
                more = others.len()
            ),
        },
        FaultKind::FactsDiffer { differences } => match differences.as_slice() {
            [] => say!("ledger.fault-facts-missing").to_owned(),
            [first, others @ ..] => say!(
                "ledger.fault-facts",
                path = first.path,
                stored = first.stored,
                computed = first.computed,
                more = others.len()
            ),
        },
        FaultKind::FactsMissing => say!("ledger.fault-facts-missing").to_owned(),
        FaultKind::FactsBehind { first, last } => {
            say!("ledger.fault-facts-behind", first = first, last = last)
        }
        FaultKind::SubjectsDiffer { missing, extra } => say!(
            "ledger.fault-subjects",
            extra = subjects(extra.iter()),
            missing = subjects(missing.iter())
        ),
        FaultKind::NotComputed { reason } => {
            say!("ledger.fault-not-computed", why = not_computed(reason))
        }
        FaultKind::SearchDiffers => say!("ledger.fault-search").to_owned(),
        FaultKind::OtherEvents { events, .. } => {
            say!(
                "ledger.fault-events",
                job = events.job,
                number = events.count
            )
        }
        FaultKind::AfterTheEnd { end } => say!("ledger.fault-after-the-end", end = end),
        FaultKind::EventsMissing { found, issued } => {
            say!(
                "ledger.fault-events-missing",
                found = found,
                issued = issued
            )
        }
        FaultKind::Storage { what } => storage(what),
        other => other.code().to_owned(),
    }
}

fn subjects<'a>(subjects: impl Iterator<Item = &'a Subject>) -> String {
    let named: Vec<String> = subjects
        .map(|Subject { role, identity }| format!("{role} `{identity}`"))
        .collect();
    if named.is_empty() {
        say!("ledger.nothing").to_owned()
    } else {
        named.join(", ")
    }
}

fn not_computed(reason: &NotComputed) -> String {
    match reason {
        NotComputed::MethodUnknown { method } => say!("ledger.method-unknown", method = method),
        NotComputed::Refused { code } => say!("ledger.inputs-refused", code = code),
        NotComputed::Unreadable { detail } => say!("ledger.documents-unreadable", detail = detail),
        NotComputed::KindUnknown { kind } => say!("ledger.kind-unknown", kind = kind),
    }
}

fn storage(what: &StorageFault) -> String {
    match what {
        StorageFault::Engine { detail } => detail.clone(),
        StorageFault::UnreadableAfter { sequence } => {
            say!("ledger.unreadable-after", number = sequence)
        }
        StorageFault::EventsUnreadableAfter { job, number } => {
            say!("ledger.events-unreadable-after", number = number, job = job)
        }
        StorageFault::OutOfOrder => say!("ledger.out-of-order").to_owned(),
        StorageFault::SubjectAlone {
            role,
            identity,
            sequence,
        } => say!(
            "ledger.subject-alone",
            role = role,
            identity = identity,
            number = sequence
        ),
        StorageFault::SearchAlone { sequence } => say!("ledger.search-alone", number = sequence),
        StorageFault::FactsAlone { sequence } => say!("ledger.facts-alone", number = sequence),
        StorageFault::SchemaUnknown { object } => say!("ledger.schema-unknown", object = object),
        StorageFault::SchemaAltered { object } => say!("ledger.schema-altered", object = object),
        StorageFault::SchemaMissing { object } => say!("ledger.schema-missing", object = object),
        other => other.code().to_owned(),
    }
}

/// Something to know that is no fault.
pub fn remark(remark: &Remark) -> String {
    match &remark.kind {
        RemarkKind::WentBack { from, to } => say!(
            "ledger.went-back",
            entry = remark.entry,
            from = number::time(*from),
            to = number::time(*to)
        ),
        RemarkKind::NotKnown { path, stored } => say!(
            "ledger.not-known",
            entry = remark.entry,
            path = path,
            stored = stored
        ),
        other => other.code().to_owned(),
    }
}
