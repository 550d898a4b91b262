//! UNJ threads: Unified with a mandatory root radius (ASME B1.15, SAE AS8879).

use std::fmt;

use rust_decimal::Decimal;

use super::unified::UnifiedThread;

/// A UNJ thread as its designation names it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnjThread {
    /// The Unified thread with the same major and pitch diameters.
    pub(crate) base: UnifiedThread,
}

/// As ASME B1.15 writes it, the size in decimals.
impl fmt::Display for UnjThread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let unified = self.base.to_string().replacen(" UN", " UNJ", 1);
        match unified.strip_prefix(&self.base.size_and_count()) {
            Some(rest) => write!(
                f,
                "{:.4}-{}{rest}",
                Decimal::new(i64::from(self.base.diameter), 4),
                self.base.count
            ),
            // Several starts are written in decimals already.
            None => f.write_str(&unified),
        }
    }
}
