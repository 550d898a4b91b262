//! When a piece is calibrated again: methods of ILAC-G24:2022 / OIML D 10:2022, each with what it was computed from.
//!
//! Methods 1 (staircase) and 2 (control chart) are here. 3 (in-use time), 4 (in-service check) and 5 (other statistical
//! approaches) have their names in [`Method`], and join as a file each.

mod chart;
mod staircase;

pub use chart::{Chart, ChartInterval, chart};
pub use staircase::{Staircase, StaircaseStep, staircase};

use jiff::civil::Date;

crate::codes! {
    /// The methods, by their numbers in the document (its contents read).
    pub enum Method "interval-method" {
        /// 1: automatic adjustment.
        Staircase "staircase",
        /// 2: control chart.
        Chart "control-chart",
        /// 3: in-use time.
        InUse "in-use-time",
        /// 4: in-service check, "black box".
        InService "in-service-check",
        /// 5: other statistical approaches.
        Statistical "statistical",
    }
}

crate::messages! {
    /// Why there is no interval.
    pub enum IntervalError "interval" {
        /// Fewer calibrations than the method needs.
        TooFew "too-few" { n: usize as count, needed: usize as count },
        /// Two on one day, or not in their order.
        Order "order" { day: Date as Date },
        /// A limit of the error of zero or below.
        NoLimit "no-limit",
        /// The prediction at the last calibration is beyond the limit already.
        Beyond "beyond",
        /// Steps, floor or cap that are none.
        Settings "settings",
    }
}

/// What a calibration found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AsFound {
    /// On which day.
    pub on: Date,
    /// The error as found, in the unit of the limit.
    pub error: f64,
}

/// Days from one day to another.
fn days(one: Date, other: Date) -> f64 {
    f64::from(one.until(other).map_or(0, |span| span.get_days()))
}

/// Days rise, each once.
fn in_order(all: &[AsFound]) -> Result<(), IntervalError> {
    for pair in all.windows(2) {
        if let [one, next] = pair
            && next.on <= one.on
        {
            return Err(IntervalError::Order { day: next.on });
        }
    }
    Ok(())
}
