//! The time zone of the computer, by which days and times are told.

use jiff::Timestamp;
use jiff::civil::{Date, DateTime};
use jiff::tz::TimeZone;

use crate::clock;

/// The day at a moment, by the clock on the wall.
pub fn day(at: Timestamp) -> Date {
    TimeZone::system().to_datetime(at).date()
}

/// What the clock on the wall showed at a moment.
pub fn shown(at: Timestamp) -> DateTime {
    TimeZone::system().to_datetime(at)
}

/// The moment at which a day begins.
pub fn midnight(day: Date) -> Option<Timestamp> {
    TimeZone::system().to_timestamp(day.at(0, 0, 0, 0)).ok()
}

/// The moment at which the clock on the wall shows a time; none where it never does, or twice.
pub fn time(shown: DateTime) -> Option<Timestamp> {
    let moment = TimeZone::system().to_ambiguous_timestamp(shown);
    moment.unambiguous().ok()
}

/// The time zone, by its name such as `Europe/Paris`; by its offset of today, such as `+01:00`, where it has none.
pub fn zone() -> String {
    let zone = TimeZone::system();
    if let Some(name) = zone.iana_name().filter(|_| !zone.is_unknown()) {
        return name.to_owned();
    }
    let now = clock::exactly();
    hours_and_minutes(now.map_or(0, |now| zone.to_offset(now).seconds()))
}

/// An offset as it is written.
fn hours_and_minutes(seconds: i32) -> String {
    let sign = if seconds < 0 { '-' } else { '+' };
    let minutes = seconds.unsigned_abs() / 60;
    format!("{sign}{:02}:{:02}", minutes / 60, minutes % 60)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_offset_is_written_with_its_sign() {
        assert_eq!(hours_and_minutes(-12_600), "-03:30");
        assert_eq!(hours_and_minutes(0), "+00:00");
        assert!(!zone().is_empty());
    }
}
