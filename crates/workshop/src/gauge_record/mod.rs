//! What the gauge room puts on record: calibrations and what came of them, certificates from outside, changes of status.

pub mod calibrated;
pub mod calibration;
pub mod case;
pub mod certificate;
pub mod check;
pub mod piece;
pub mod status;
pub mod studied;
pub mod study;
