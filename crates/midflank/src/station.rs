//! Which computer this is, and the time zone of its clock, as entries name them.

use jiff::tz::TimeZone;

/// The name of the computer where the system tells none.
const UNNAMED: &str = "bench";
/// The time zone where the system tells none by name.
const UTC: &str = "+00:00";

/// The name of the computer.
#[cfg(unix)]
pub fn name() -> String {
    plain(&rustix::system::uname().nodename().to_string_lossy())
}

/// The name of the computer.
#[cfg(not(unix))]
pub fn name() -> String {
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

/// The time zone, by its name such as `Europe/Paris`.
pub fn zone() -> String {
    let zone = TimeZone::system();
    let known = zone.iana_name().filter(|_| !zone.is_unknown());
    known.unwrap_or(UTC).to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_holds_no_blank_and_no_mark() {
        assert_eq!(plain("gauge room\u{202e}-2\n"), "gaugeroom-2");
        assert_eq!(plain(" \n"), UNNAMED);
        assert!(!name().is_empty() && !zone().is_empty());
    }
}
