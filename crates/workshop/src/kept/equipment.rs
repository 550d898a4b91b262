//! The stored form of a piece of equipment, schema 1.

use super::job::{Contacts, Gauge, Instrument, Standard, Thermometer, WireSet};
use super::kept;
use crate::equipment;

/// The schema number of equipment.
pub const EQUIPMENT: u32 = 1;

kept! { Equipment of enum equipment::Equipment {
    Instrument(piece: Instrument),
    Contacts(piece: Contacts),
    Standard(piece: Standard),
    Wires(piece: WireSet),
    Balls(piece: WireSet),
    Gauge(piece: Gauge),
    Thermometer(piece: Thermometer),
} }
