//! Days as commands take them.

use jiff::civil::Date;
use workshop::station;

use crate::clock;
use crate::failure::Failure;
use crate::say;

/// A day that was typed.
pub fn read(text: &str) -> Result<Date, Failure> {
    let wrong = |_| Failure::input(say!("jobfile.no-date", text = text));
    text.parse().map_err(wrong)
}

/// A day of a file, in a row that begins on this line.
pub fn on_line(text: &str, line: u64) -> Result<Date, Failure> {
    let wrong = |_| Failure::input(say!("command.no-date", line = line, text = text));
    text.parse().map_err(wrong)
}

/// Today, by the clock on the wall.
pub fn today() -> Result<Date, Failure> {
    Ok(station::day(clock::now()?))
}
