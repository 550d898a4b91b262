//! What names and texts may hold.

use crate::{DraftError, Field};

/// The longest name (kind, actor, station, program, role, identity) taken, in bytes.
pub const LONGEST_NAME: usize = 1024;
/// The longest time zone taken, in bytes.
const LONGEST_ZONE: usize = 64;

/// A short text on one line that people search by.
pub(crate) fn name(field: Field, text: &str) -> Result<(), DraftError> {
    if text.trim().is_empty() {
        return Err(DraftError::Empty { field });
    }
    name_or_nothing(field, text)
}

/// The same, or an empty one.
pub(crate) fn name_or_nothing(field: Field, text: &str) -> Result<(), DraftError> {
    length(field, text, LONGEST_NAME)?;
    characters(field, text, "")?;
    if text.trim() != text {
        let text = text.to_owned();
        return Err(DraftError::Padded { field, text });
    }
    Ok(())
}

/// The name of a time zone (`Europe/Paris`) or an offset (`+02:00`).
pub(crate) fn zone(text: &str) -> Result<(), DraftError> {
    name(Field::Zone, text)?;
    length(Field::Zone, text, LONGEST_ZONE)?;
    let plain = |c: char| c.is_ascii_alphanumeric() || "/_+-:".contains(c);
    if text.chars().all(plain) {
        return Ok(());
    }
    Err(DraftError::Zone {
        found: text.to_owned(),
    })
}

/// Words of a person that may run over several lines.
pub(crate) fn paragraph(field: Field, text: &str, limit: usize) -> Result<(), DraftError> {
    if text.trim().is_empty() {
        return Err(DraftError::Empty { field });
    }
    length(field, text, limit)?;
    characters(field, &text.replace("\r\n", "\n"), "\n")
}

/// A text kept as it is.
pub(crate) fn document(field: Field, text: &str, limit: usize) -> Result<(), DraftError> {
    length(field, text, limit)?;
    characters(field, text, "\n\r\t")
}

/// Control characters can repaint a verdict on a terminal, and a NUL ends a text early for some readers. The marks that
/// embed, override or isolate a direction of writing (U+202A to U+202E, U+2066 to U+2069) make a line read otherwise
/// than it is stored; letters that run from right to left need none of them.
fn characters(field: Field, text: &str, allowed: &str) -> Result<(), DraftError> {
    for character in text.chars() {
        if character.is_control() && !allowed.contains(character) {
            return Err(DraftError::ControlCharacter { field, character });
        }
        if matches!(character, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}') {
            return Err(DraftError::DirectionCharacter { field, character });
        }
    }
    Ok(())
}

fn length(field: Field, text: &str, limit: usize) -> Result<(), DraftError> {
    let bytes = text.len();
    if bytes > limit {
        return Err(DraftError::TooLong {
            field,
            bytes,
            limit,
        });
    }
    Ok(())
}
