//! The clock of the computer, read in this one place.

use std::time::SystemTime;

use jiff::{Timestamp, Unit};

use crate::error::Error;

metrology::messages! {
    /// What is wrong with the clock of the computer.
    pub enum ClockError "clock" {
        /// It stands in no year that can be written with four digits.
        Wrong "wrong",
    }
}

/// Now, to the second: entries are dated to that.
pub fn now() -> Result<Timestamp, Error> {
    let now = exactly()?;
    Ok(now.round(Unit::Second).unwrap_or(now))
}

/// Entries are dated to the second.
pub fn to_second(at: Timestamp) -> Timestamp {
    at.round(Unit::Second).unwrap_or(at)
}

/// Now, as finely as the clock goes.
pub fn exactly() -> Result<Timestamp, Error> {
    read(SystemTime::now())
}

/// A clock that stands in no year that can be written with four digits is refused: it would date records.
fn read(clock: SystemTime) -> Result<Timestamp, Error> {
    Timestamp::try_from(clock)
        .ok()
        .filter(|now| *now >= Timestamp::UNIX_EPOCH)
        .ok_or_else(|| Error::outside(ClockError::Wrong))
}

/// Six digits of chance from the time of day, where nobody states a seed.
pub fn chance() -> Result<u64, Error> {
    let nanoseconds = exactly()?.as_nanosecond().rem_euclid(1_000_000_007);
    Ok(u64::try_from(nanoseconds).unwrap_or_default() % 1_000_000)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Duration;

    #[test]
    fn a_clock_out_of_range_is_told() {
        // The first second of the year 10000.
        let late = SystemTime::UNIX_EPOCH + Duration::from_hours(70_389_528);
        for clock in [late, SystemTime::UNIX_EPOCH - Duration::from_secs(1)] {
            let failure = read(clock).unwrap_err();
            assert!(failure.is_outside(), "{failure}");
        }
        let last = late - Duration::from_secs(100_000);
        for clock in [SystemTime::UNIX_EPOCH, last, SystemTime::now()] {
            assert!(read(clock).is_ok());
        }
    }
}
