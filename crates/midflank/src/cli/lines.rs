//! Input that comes line by line, or as a whole file.

use std::io::{self, BufRead};
use std::path::Path;

use super::Failure;
use crate::say;

/// Calls `answer` with the argument, or for `-` with each line of standard input that is not blank.
///
/// Bytes that are no text are passed on as replacement characters, to be answered as a wrong line in their place.
pub fn each_line(
    argument: &str,
    mut answer: impl FnMut(&str) -> Result<(), Failure>,
) -> Result<(), Failure> {
    if argument != "-" {
        return answer(argument);
    }
    let mut input = io::stdin().lock();
    let mut line = Vec::new();
    loop {
        line.clear();
        let read = input
            .read_until(b'\n', &mut line)
            .map_err(|error| Failure::outside(say!("limits.no-input", why = error)))?;
        if read == 0 {
            return Ok(());
        }
        each_line_of(&line, &mut answer)?;
    }
}

/// The same for lines that have been read.
pub fn each_line_of(
    lines: &[u8],
    mut answer: impl FnMut(&str) -> Result<(), Failure>,
) -> Result<(), Failure> {
    for line in lines.split(|&byte| byte == b'\n') {
        let text = String::from_utf8_lossy(line);
        let text = text.trim_end_matches('\r');
        if !text.trim().is_empty() {
            answer(text)?;
        }
    }
    Ok(())
}

/// Reads a whole text file, without its byte-order mark.
pub fn read_text(path: &Path) -> Result<String, Failure> {
    let bytes = std::fs::read(path).map_err(|error| super::inspect::read_failure(path, &error))?;
    let text = String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        Failure::input(say!("limits.not-utf-8", file = path.display(), at = at))
    })?;
    Ok(text
        .strip_prefix('\u{feff}')
        .map_or_else(|| text.clone(), str::to_owned))
}
