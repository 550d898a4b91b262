//! An entry of the ledger as a document.

use jiff::Timestamp;
use ledger::Entry;
use serde::Serialize;

/// An entry as a document.
#[derive(Serialize)]
pub struct EntryDocument<'a> {
    id: String,
    sequence: u64,
    hash: String,
    previous_hash: String,
    kind: &'a str,
    recorded_at: Timestamp,
    person: &'a str,
    actor: ActorDocument<'a>,
    station: &'a str,
    zone: &'a str,
    program: &'a str,
    amends: Option<String>,
    reason: Option<&'a str>,
    amended_by: Option<String>,
    /// The job at the bench that it was made from.
    job: Option<JobDocument>,
    subjects: Vec<(&'a str, &'a str)>,
    #[serde(skip_serializing_if = "Option::is_none")]
    inputs: Option<serde_json::Value>,
    #[serde(skip_serializing_if = "Option::is_none")]
    results: Option<serde_json::Value>,
    #[serde(skip_serializing_if = "Option::is_none")]
    editions: Option<serde_json::Value>,
    #[serde(skip_serializing_if = "Option::is_none")]
    words: Option<serde_json::Value>,
}

/// Who recorded an entry.
#[derive(Serialize)]
struct ActorDocument<'a> {
    id: &'a str,
    name: &'a str,
    how: &'static str,
}

/// The job at the bench that an entry was made from: its number, how many of its events, the hash of the last of them.
#[derive(Serialize)]
struct JobDocument {
    number: u64,
    events: u64,
    hash: String,
}

impl<'a> EntryDocument<'a> {
    /// With its documents, or without.
    pub fn of(entry: &'a Entry, whole: bool) -> Self {
        let content = &entry.content;
        let json =
            |text: &str| whole.then(|| serde_json::from_str(text).unwrap_or_else(|_| text.into()));
        Self {
            id: entry.id().to_string(),
            sequence: entry.sequence,
            hash: entry.hash.to_string(),
            previous_hash: entry.previous.to_string(),
            kind: &content.kind,
            recorded_at: content.recorded_at,
            person: &content.actor.name,
            actor: ActorDocument {
                id: &content.actor.id,
                name: &content.actor.name,
                how: content.actor.how.code(),
            },
            station: &content.station,
            zone: &content.zone,
            program: &content.program,
            job: content.events.map(|events| JobDocument {
                number: events.job,
                events: events.count,
                hash: events.hash.to_string(),
            }),
            amends: content
                .amends
                .as_ref()
                .map(|amendment| amendment.entry.to_string()),
            reason: content
                .amends
                .as_ref()
                .map(|amendment| amendment.reason.as_str()),
            amended_by: entry.amended_by.map(|id| id.to_string()),
            subjects: content
                .subjects
                .iter()
                .map(|s| (s.role.as_str(), s.identity.as_str()))
                .collect(),
            inputs: json(&content.inputs),
            results: json(&content.results),
            editions: json(&content.editions),
            words: json(&content.words),
        }
    }
}
