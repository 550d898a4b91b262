//! Which station this is, and the time zone of the computer, as entries name them.

use std::sync::OnceLock;

use jiff::Timestamp;
use jiff::civil::{Date, DateTime};
use jiff::tz::TimeZone;

use crate::clock;

/// The day at a moment, by the clock on the wall.
pub fn day(at: Timestamp) -> Date {
    TimeZone::system().to_datetime(at).date()
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

/// What this computer is called here, where it was given another name than its own.
static GIVEN: OnceLock<String> = OnceLock::new();

/// Gives this station a name for as long as the program runs.
pub fn give(name: String) {
    let _ = GIVEN.set(name);
}

/// The station that stands on all that this program records: the name it was given, or that of the computer.
pub fn name() -> String {
    GIVEN.get().cloned().unwrap_or_else(computer)
}

/// The name of the computer where the system tells none.
const UNNAMED: &str = "bench";

/// The name of the computer.
#[cfg(unix)]
fn computer() -> String {
    plain(&rustix::system::uname().nodename().to_string_lossy())
}

/// The name of the computer.
#[cfg(not(unix))]
fn computer() -> String {
    plain(&std::env::var("COMPUTERNAME").unwrap_or_default())
}

/// A name of letters that can stand on a record.
fn plain(name: &str) -> String {
    let name: String = name.chars().filter(char::is_ascii_graphic).collect();
    if name.is_empty() {
        UNNAMED.to_owned()
    } else {
        name
    }
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
    fn a_name_holds_no_blank_and_no_mark() {
        assert_eq!(plain("gauge room\u{202e}-2\n"), "gaugeroom-2");
        assert_eq!(plain(" \n"), UNNAMED);
        assert_eq!(hours_and_minutes(-12_600), "-03:30");
        assert_eq!(hours_and_minutes(0), "+00:00");
        assert!(!name().is_empty() && !zone().is_empty());
    }
}
