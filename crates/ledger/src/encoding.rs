#![doc = include_str!("../../../docs/ledger-encoding.md")]

use sha2::{Digest, Sha256};

use crate::{Actor, BenchEvent, Draft, Hash, time};

/// The name and version of the rule, hashed as the first field of every entry.
pub const RULE: &str = "midflank-ledger-2";
/// The same for the events of a job.
pub const EVENT_RULE: &str = "midflank-event-1";

/// The exact bytes that are hashed for a draft at a place in the chain.
pub fn bytes(sequence: u64, previous: &Hash, draft: &Draft) -> Vec<u8> {
    let mut out = Vec::new();
    write(sequence, previous, draft, &mut |part| {
        out.extend_from_slice(part);
    });
    out
}

/// The hash of a draft at a place in the chain.
pub fn hash(sequence: u64, previous: &Hash, draft: &Draft) -> Hash {
    hashed(|sink| write(sequence, previous, draft, sink))
}

/// What stands in the place of the event before the first one of a job: a hash over the number of the job.
pub fn job_hash(job: u64) -> Hash {
    hashed(|sink| {
        field(sink, EVENT_RULE);
        field(sink, &job.to_string());
    })
}

/// The hash of an event that follows another one, or of the first after [`job_hash`]. The event's own `hash` is not
/// looked at.
pub fn event_hash(previous: &Hash, event: &BenchEvent) -> Hash {
    hashed(|sink| {
        field(sink, EVENT_RULE);
        field(sink, &event.job.to_string());
        field(sink, &event.number.to_string());
        field(sink, &previous.to_string());
        field(sink, &time::written(event.at));
        field(sink, &event.event);
        field(sink, if event.ends { "1" } else { "0" });
        actor(sink, &event.actor);
        field(sink, &event.station);
    })
}

type Sink<'a> = dyn FnMut(&[u8]) + 'a;

fn hashed(write: impl FnOnce(&mut Sink<'_>)) -> Hash {
    let mut hasher = Sha256::new();
    write(&mut |part| hasher.update(part));
    Hash::from_bytes(hasher.finalize().into())
}

/// A field behind its length.
fn field(sink: &mut Sink<'_>, text: &str) {
    // usize is at most 64 bits on every platform Rust knows.
    sink(&(text.len() as u64).to_be_bytes());
    sink(text.as_bytes());
}

fn actor(sink: &mut Sink<'_>, actor: &Actor) {
    field(sink, &actor.id);
    field(sink, &actor.name);
    field(sink, actor.how.code());
}

/// Hands the fields of an entry over in their fixed order.
fn write(sequence: u64, previous: &Hash, draft: &Draft, sink: &mut Sink<'_>) {
    let (amended, reason) = match &draft.amends {
        Some(amendment) => (amendment.entry.to_string(), amendment.reason.as_str()),
        None => (String::new(), ""),
    };
    let events = match &draft.events {
        Some(events) => [
            events.job.to_string(),
            events.count.to_string(),
            events.hash.to_string(),
        ],
        None => [const { String::new() }; 3],
    };
    field(sink, RULE);
    field(sink, &sequence.to_string());
    field(sink, &previous.to_string());
    field(sink, &time::written(draft.recorded_at));
    field(sink, &draft.zone);
    field(sink, &draft.kind);
    actor(sink, &draft.actor);
    field(sink, &draft.station);
    field(sink, &draft.program);
    field(sink, &draft.inputs);
    field(sink, &draft.results);
    field(sink, &draft.editions);
    field(sink, &draft.words);
    field(sink, &amended);
    field(sink, reason);
    for part in &events {
        field(sink, part);
    }
    field(sink, &draft.subjects.len().to_string());
    for subject in &draft.subjects {
        field(sink, &subject.role);
        field(sink, &subject.identity);
    }
}
