//! Days as commands take them.

use jiff::civil::Date;
use workshop::station;

use crate::clock;
use crate::failure::Failure;
use crate::say;

/// A day that was typed.
pub fn read(text: &str) -> Result<Date, String> {
    text.parse()
        .map_err(|_| say!("jobfile.no-date", text = text))
}

/// Today, by the clock on the wall.
pub fn today() -> Result<Date, Failure> {
    Ok(station::day(clock::now()?))
}
