//! The stored form of a piece of equipment, schema 1.

use super::job::{Contacts, Instrument, Standard, WireSet};
use super::kept;
use crate::register;

/// The schema number of equipment.
pub const EQUIPMENT: u32 = 1;

kept! { Equipment of enum register::Equipment {
    Instrument(piece: Instrument),
    Contacts(piece: Contacts),
    Standard(piece: Standard),
    Wires(piece: WireSet),
    Balls(piece: WireSet),
} }
