//! MJ threads: metric with a mandatory root radius (ISO 5855-1).

use std::fmt;

use super::metric::MetricThread;

/// An MJ thread as its designation names it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MjThread {
    /// The M thread with the same major and pitch diameters.
    pub(crate) base: MetricThread,
}

/// As ISO 5855-1 writes it.
impl fmt::Display for MjThread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.base.to_string().replacen('M', "MJ", 1))
    }
}
