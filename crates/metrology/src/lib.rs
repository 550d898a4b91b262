//! Screw-thread metrology: calculation only. No files, no clock, no environment, no printing.
//!
//! # What is measured
//!
//! The **pitch diameter** of a thread is the diameter of the cylinder that cuts the thread where groove and ridge are
//! equally wide (ISO 5408). It is what carries the fit, and it cannot be touched: contacts or wires lie on the flanks
//! above and below it, and the size is computed from where they lie ([`contacts`], [`wires`]). Its limits follow from the
//! designation on the drawing ([`designation`], [`limits`]).
//!
//! A micrometer shows the *simple* pitch diameter, at one place. What a nut feels is the **functional size**: errors of
//! pitch and of flank angle make a screw act larger, and a nut smaller, than its simple pitch diameter. How much is
//! computed in [`functional`]; a GO gauge checks it as a whole ([`gauges`]).
//!
//! # Zero and correction
//!
//! Zero is set on a setting standard of certified size, near the size of the part: contacts closed on each other hide
//! their own wear. An *error* is indicated minus true, and a **correction** is what one *adds* to the reading to take the
//! error away ([`correction`]). Each effect is one small function with its sign, its range and its source, and no
//! correction calls another, so that the sum can be redone by hand: zero, error curve, geometry of contacts or wires,
//! measuring force ([`elastic`]), temperature.
//!
//! What the corrections leave open is the **uncertainty** ([`uncertainty`]), and a size with its uncertainty is held
//! against the limits under a named rule ([`decision`]): accepted, rejected, or undecided.
//!
//! # The whole job
//!
//! ```text
//! designation -> limits of size -> zero error -> readings + corrections -> corrected size with its uncertainty -> decision
//! ```
//!
//! [`inspection::inspect`] takes a [`Job`](inspection::Job), with all that the technician states as it was stated, and goes the
//! whole way:
//!
//! ```
//! use metrology::decision::Verdict;
//! use metrology::inspection::{Job, inspect};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let job: Job = serde_json::from_str(include_str!("../examples/screw.json"))?;
//! let inspection = inspect(&job)?;
//! assert_eq!(inspection.verdict(), Verdict::Accept);
//! let size = &inspection.governing().size;
//! println!("{:.4} mm ± {:.4} mm", size.value, size.expanded_uncertainty);
//! # Ok(())
//! # }
//! ```
//!
//! The folder `examples/` of this crate has the same way step by step, numbered in the order to read them:
//!
//! | example | what it shows |
//! |---|---|
//! | `1_limits` | from a designation to limits of size, gauges, and limits before coating |
//! | `2_zero` | zero on a standard, and why not on the closed contacts |
//! | `3_wires` | the best wire, what the micrometer will show, and the way back to the pitch diameter |
//! | `4_functional` | what errors of pitch and flank angle add |
//! | `5_budget` | corrections and their uncertainty, line by line |
//! | `6_decision` | one size under several rules |
//! | `7_whole_job` | from readings to a verdict |
//! | `8_lot` | how many pieces of a lot to measure, and what they say of it |

pub mod calibration;
pub mod chart;
pub mod coating;
pub mod contacts;
pub mod correction;
pub mod decision;
pub mod designation;
mod double_double;
pub mod effect;
pub mod elastic;
pub mod functional;
pub mod gauges;
pub mod geometry_errors;
pub mod given;
pub mod identify;
pub mod inspection;
pub mod interval;
pub mod limits;
pub mod lot;
pub mod material;
pub mod message;
pub mod method;
pub mod parallel;
pub mod probability;
pub mod profile;
pub mod range;
pub mod reconcile;
mod root;
pub mod sampling;
pub mod section;
pub mod soak;
pub mod source;
pub mod study;
mod tables;
pub mod thread;
pub mod uncertainty;
pub mod units;
pub mod validation;
pub mod wear;
pub mod wires;

pub use inspection::features;
