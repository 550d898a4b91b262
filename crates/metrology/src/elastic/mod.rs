//! Elastic deformation at the contacts, and the measuring force.
//!
//! ```text
//! hertz.rs      contact at a point, along a line, over an area
//! across.rs     a cylinder across its axis between flat faces
//! feeler.rs     cone and V contacts of a thread
//! wires.rs      a reading over wires, and the two conventions of calibrating wires
//! force.rs      the measuring force for a pitch (data/measuring_force.csv)
//! ```
//!
//! A contact under force gives way, so a reading of an outside size is too small: corrections here are positive and
//! are added to the reading. What the zero setting deforms in the same way has to be taken off again.

mod across;
mod feeler;
mod force;
mod hertz;
mod wires;

pub use crate::material::Elastic;
pub use across::cylinder_under_face;
pub use feeler::{EngagedFlank, cone_in_groove, v_over_ridge};
pub use force::{ForceAdvice, measuring_force};
pub use hertz::{ElasticError, LineContact, PointContact, line_contact, point_contact};
pub(crate) use hertz::{line_unbounded, point_unbounded};
pub use wires::{
    Loss, OverWires, WireConvention, calibration_compression_mm, over_wires, reading_correction,
};
