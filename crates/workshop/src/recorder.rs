//! Who records, on which computer and by which program: what every new entry says of its making.

use std::collections::BTreeSet;

use ledger::{Actor, Draft, Identified};

use crate::badge::Badge;
use crate::clock::now;
use crate::error::Error;
use crate::record_kind::RecordKind;
use crate::station;

/// Who records, and by which program.
#[derive(Clone, Debug)]
pub struct Recorder {
    pub person: String,
    /// The name of the computer.
    pub station: String,
    /// The program by name, version and build.
    pub program: &'static str,
    /// Digest of the published tables that are compiled into it.
    pub tables: &'static str,
}

impl Recorder {
    /// An entry of a kind, made at this computer now, in which nothing is written yet.
    pub fn blank(&self, kind: RecordKind) -> Result<Draft, Error> {
        let nothing = || "{}".to_owned();
        Ok(Draft {
            kind: kind.key().to_owned(),
            recorded_at: now()?,
            zone: station::zone(),
            actor: actor(&self.person),
            station: self.station.clone(),
            inputs: nothing(),
            results: nothing(),
            editions: nothing(),
            words: nothing(),
            program: self.program.to_owned(),
            amends: None,
            events: None,
            subjects: BTreeSet::new(),
        })
    }
}

/// Someone whose badge was read: it says who, and proves nothing.
pub fn by_badge(badge: &Badge) -> Actor {
    Actor {
        id: badge.code.clone(),
        name: badge.name.clone(),
        how: Identified::Badge,
    }
}

/// Someone who typed a name.
pub fn actor(name: &str) -> Actor {
    Actor {
        id: name.to_owned(),
        name: name.to_owned(),
        how: Identified::Typed,
    }
}
