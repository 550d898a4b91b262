//! V-and-cone contacts of a thread micrometer: what a pair reads on a given thread.
//!
//! ```text
//! pair.rs      the contacts, the thread, and where they engage: does this pair measure this pitch?
//! effects.rs   flank angle, lead angle, width error, wear: what each does to the reading
//! zero.rs      what the way of setting zero leaves: closing the pair, a standard, a master plug
//! ```
//!
//! The cone lies in a groove on one side, the V over the ridge opposite. With perfect parts they close on the pitch
//! line and the reading is the pitch diameter. The pair spans one groove and one ridge half a turn away: progressive
//! pitch error over the length of engagement is not seen, and a wrong assumed pitch does not enter.
//!
//! Heights y are measured outwards from the pitch line on an external thread (towards the crest), in millimetres. All
//! effects are stated for an external thread; in an internal one ridge and groove change places and the sign turns.

mod effects;
mod pair;
mod zero;

pub use effects::{
    Freedom, angle_sensitivity_mm, flank_angle_mismatch, flank_angle_offset_mm, lead_angle,
    lead_offset_mm, local_width, wear, wear_sensitivity, width_sensitivity,
};
pub use pair::{
    Cone, Contact, ContactPair, Engagement, MeasuredThread, MisfitError, Reach, Vee, Width,
    check_marked_range, engagement,
};
pub use zero::{Zero, effects_after_zero, zero_offset_mm};
