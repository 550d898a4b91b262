//! The gauge room at work: calibrations and certificates, from their files onto the record.

pub mod blocks;
pub mod calibration;
pub mod case;
pub mod certificate_file;
pub mod certificate_table;
pub mod certified;
pub mod due;
pub mod held_against;
pub mod room_log;
pub mod studies;
pub mod zero_checks;
