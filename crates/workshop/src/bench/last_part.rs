//! What holds from one job to the next at a station: what was stated of a part, and the temperatures of the room.

use jiff::{SignedDuration, Timestamp};
use ledger::{EntryId, Filter, Ledger, Order, Page, Subject};
use metrology::inspection::{RuleName, Service, Temperature};

use super::event::Event;
use super::state::State;
use crate::error::Error;
use crate::record;
use crate::record_kind::RecordKind;

/// Drawing, rule and service of a part as its latest record has them, and whose record that is.
#[derive(Clone, Debug, PartialEq)]
pub struct LastPart {
    pub entry: EntryId,
    pub person: String,
    pub drawing: Option<String>,
    pub rule: RuleName,
    pub service: Option<Service>,
}

impl LastPart {
    /// The latest standing record of a part; none where it was never measured, or cannot be read.
    pub fn of(ledger: &Ledger, part: &str) -> Result<Option<Self>, Error> {
        let filter = Filter {
            subjects: [Subject::new("part", part.trim())].into(),
            ..RecordKind::Inspection.standing()
        };
        let found = ledger.list(&filter, &Page::first(Order::NewestFirst, 1))?;
        let latest = found.entries.first();
        Ok(latest.and_then(|entry| {
            let (job, _) = record::read(entry).ok()?;
            Some(Self {
                entry: entry.id(),
                person: entry.content.actor.name.clone(),
                drawing: job.part.drawing,
                rule: job.rule,
                service: job.service,
            })
        }))
    }

    /// The same stated again.
    pub fn events(&self) -> Vec<Event> {
        vec![
            Event::Drawing {
                drawing: self.drawing.clone(),
            },
            Event::Rule {
                rule: self.rule.clone(),
            },
            Event::Service {
                service: self.service,
            },
        ]
    }
}

/// So long a temperature holds (common practice, no source).
const HOLDS: SignedDuration = SignedDuration::from_mins(60);

/// Temperatures as they were read for a job.
#[derive(Clone, Debug, PartialEq)]
pub struct Room {
    pub temperature: Temperature,
    pub part: String,
    pub at: Timestamp,
}

impl Room {
    /// What an answer says of the room, where it says something.
    pub fn of(state: &State, events: &[Event], at: Timestamp) -> Option<Self> {
        let read = events.iter().find_map(|event| match event {
            Event::Temperature { temperature } => temperature.clone(),
            _ => None,
        })?;
        Some(Self {
            temperature: read,
            part: state.name.clone()?,
            at,
        })
    }

    /// Whether it still holds.
    pub fn holds(&self, now: Timestamp) -> bool {
        now.duration_since(self.at) <= HOLDS
    }

    pub fn event(&self) -> Event {
        Event::Temperature {
            temperature: Some(self.temperature.clone()),
        }
    }
}
