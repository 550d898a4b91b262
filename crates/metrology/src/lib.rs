//! Screw-thread metrology: calculation only. No files, no clock, no environment, no printing.
//!
//! The way of one measurement through this crate:
//!
//! ```text
//! designation -> limits of size -> zero error -> readings + corrections -> corrected size with its uncertainty -> decision
//! ```

pub mod correction;
pub mod decision;
pub mod designation;
pub mod inspection;
pub mod limits;
pub mod material;
pub mod profile;
pub mod source;
mod tables;
pub mod uncertainty;
pub mod units;
