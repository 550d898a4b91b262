//! The gauge room: calibration of what one owns, certificates from outside, status and due dates, wear, and recalls that are
//! kept as cases. Each is a kind of records of its own beside the register.

pub mod calibration;
pub mod certificate;
pub mod certificate_file;
pub mod piece;
pub mod status;
