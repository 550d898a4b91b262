//! The tolerance classes of gauges.

use std::fmt;

/// A gauge tolerance class of ASME B1.2.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GaugeClass {
    /// The finer class: setting plugs, and gauges to judge gauges by.
    W,
    /// Working gauges.
    X,
}

impl fmt::Display for GaugeClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::W => "W",
            Self::X => "X",
        })
    }
}
