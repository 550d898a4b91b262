//! What lies on the shelf: equipment as the register has it, ready to be chosen.

use jiff::civil::Date;
use metrology::inspection::{ContactKind, Contacts, Instrument, Standard};
use serde::{Deserialize, Serialize};

use super::words::spaced;

/// A piece of equipment: `{"kind": "contacts", "item": {...}}`, as its ledger entry holds it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", content = "item", rename_all = "kebab-case")]
pub enum Equipment {
    Instrument(Instrument),
    Contacts(Contacts),
    Standard(Standard),
}

/// A piece and its state today.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    pub equipment: Equipment,
    /// Why it may not be used, such as `quarantined`; none where it may.
    pub out_of_use: Option<String>,
}

impl Piece {
    pub fn id(&self) -> &str {
        match &self.equipment {
            Equipment::Instrument(item) => &item.id,
            Equipment::Contacts(item) => &item.id,
            Equipment::Standard(item) => &item.id,
        }
    }

    pub const fn due(&self) -> Option<Date> {
        match &self.equipment {
            Equipment::Instrument(item) => item.due,
            Equipment::Contacts(_) => None,
            Equipment::Standard(item) => item.due,
        }
    }

    /// What it is, in a few words.
    pub fn words(&self) -> String {
        match &self.equipment {
            Equipment::Instrument(item) => {
                format!("{} to {}", spaced(&item.range[0]), spaced(&item.range[1]))
            }
            Equipment::Contacts(item) => {
                let kind = match item.kind {
                    ContactKind::VAndCone => "V and cone",
                    ContactKind::Flat => "flat faces",
                };
                match item.included_angle {
                    Some(angle) => format!("{kind}, {angle}°"),
                    None => kind.to_owned(),
                }
            }
            Equipment::Standard(item) => format!(
                "certified {}, U = {}",
                spaced(&item.size),
                spaced(&item.expanded_uncertainty)
            ),
        }
    }
}
