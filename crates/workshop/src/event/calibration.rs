//! What a calibration at the bench begins with.

use std::collections::BTreeMap;

use metrology::calibration::Block;
use metrology::inspection::{Contacts, Instrument};

/// A micrometer that is calibrated, as the register has it, and what is offered from its calibration before.
#[derive(Clone, Debug, PartialEq)]
pub struct OfCalibration {
    pub instrument: Instrument,
    /// Lines that Enter takes, by the keys of what is asked.
    pub offers: BTreeMap<String, String>,
}

/// A pair of thread contacts that is checked on two plugs, as the register has it.
#[derive(Clone, Debug, PartialEq)]
pub struct OfPair {
    pub contacts: Contacts,
    /// Lines that Enter takes, by the keys of what is asked.
    pub offers: BTreeMap<String, String>,
    /// The pitches of plugs as earlier checks had them, by the identities of the plugs.
    pub pitches: BTreeMap<String, String>,
}

/// Gauge blocks to calibrate with.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockSet {
    /// Its identity; what was typed where it is known by its grade alone.
    pub id: String,
    /// The number of its certificate.
    pub certificate: Option<String>,
    pub blocks: Vec<Block>,
}
