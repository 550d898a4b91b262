//! Digital calibration certificates (DCC): written in version 3.3.0, read in all versions 3. `docs/exchange.md` says what stands
//! where.

pub mod read;
mod tree;
mod unit;
mod write;

pub use write::{Certificate, write};

/// The namespaces of the certificate and of its quantities.
const DCC: &str = "https://ptb.de/dcc";
const SI: &str = "https://ptb.de/si";

/// What tells quantities of a list apart (as published certificates have it).
const REFERENCE: &str = "basic_referenceValue";
const ERROR: &str = "basic_measurementError";

/// Under this name a standard that was used has the number of its certificate.
const CERTIFICATE: &str = "certificate";
