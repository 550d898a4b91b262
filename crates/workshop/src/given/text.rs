//! Texts without what a screen would not show as it is meant.

use std::borrow::Cow;
use std::fmt::Write as _;

metrology::messages! {
    /// Why a text is not taken.
    pub enum TextError "text-given" {
        /// A control character.
        Control "control" { field: String as Text, character: String as Text },
        /// A character that turns the direction of writing, so that a text reads otherwise than it was written.
        Direction "direction" { field: String as Text, character: String as Text },
        /// A character that does not show, so that two names look the same and are not.
        Hidden "hidden" { field: String as Text, character: String as Text },
    }
}

/// Whether a character turns the direction of what stands around it: embeddings, overrides and isolates of the Unicode
/// bidirectional algorithm (UAX #9). Letters that run from right to left need none of them.
const fn turns_direction(letter: char) -> bool {
    matches!(letter, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// Whether a character shows nothing of its own and joins no letters either: soft hyphen, marks of direction, blanks and
/// joiners without width, separators of lines and paragraphs, byte order mark, tags. The joiners that Persian and Indic
/// scripts need (U+200C, U+200D) are letters to their readers.
const fn is_hidden(letter: char) -> bool {
    matches!(
        letter,
        '\u{ad}'
            | '\u{61c}'
            | '\u{180e}'
            | '\u{200b}'
            | '\u{200e}'..='\u{200f}'
            | '\u{2028}'..='\u{2029}'
            | '\u{2060}'..='\u{2064}'
            | '\u{feff}'
            | '\u{fff9}'..='\u{fffb}'
            | '\u{e0000}'..='\u{e007f}'
    )
}

/// Checks a name, an identity, a certificate: no line break either.
pub fn on_one_line(field: &str, text: &str) -> Result<(), TextError> {
    if text.bytes().all(|byte| matches!(byte, b' '..=b'~')) {
        return Ok(());
    }
    check(field, text.chars())
}

/// Checks a note, which may have several lines.
pub fn on_lines(field: &str, text: &str) -> Result<(), TextError> {
    let text = text.replace("\r\n", "\n");
    check(field, text.chars().filter(|letter| *letter != '\n'))
}

fn check(field: &str, mut letters: impl Iterator<Item = char>) -> Result<(), TextError> {
    let hidden = letters
        .find(|letter| letter.is_control() || turns_direction(*letter) || is_hidden(*letter));
    let Some(letter) = hidden else { return Ok(()) };
    let (field, character) = (field.to_owned(), format!("U+{:04X}", u32::from(letter)));
    Err(if letter.is_control() {
        TextError::Control { field, character }
    } else if turns_direction(letter) {
        TextError::Direction { field, character }
    } else {
        TextError::Hidden { field, character }
    })
}

/// A text for a terminal: line breaks stay, what would steer the terminal or turn the direction of writing shows as
/// `\u{1b}`.
pub fn escaped(text: &str) -> Cow<'_, str> {
    // Bytes that such a character begins with; few texts have any.
    let suspect = |byte: u8| matches!(byte, 0..=0x09 | 0x0b..=0x1f | 0x7f | 0xc2 | 0xe2);
    if !text.bytes().any(suspect) {
        return Cow::Borrowed(text);
    }
    let mut shown = String::with_capacity(text.len());
    for letter in text.chars() {
        if letter != '\n' && (letter.is_control() || turns_direction(letter)) {
            let _ = write!(shown, "{}", letter.escape_unicode());
        } else {
            shown.push(letter);
        }
    }
    Cow::Owned(shown)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_of_any_script_and_nothing_hidden() {
        for text in [
            "Ærø 4",
            "\u{5d0}\u{5d1}\u{5d2} 12",
            "\u{627}\u{628}",
            "Ω µ°′",
            "\u{646}\u{200c}\u{647}",
        ] {
            assert_eq!(on_one_line("name", text), Ok(()));
        }
        for text in ["a\u{1b}[2J", "a\tb", "a\0", "a\nb", "\u{85}"] {
            let error = on_one_line("name", text);
            assert!(matches!(error, Err(TextError::Control { .. })), "{text:?}");
        }
        for text in ["a\u{202e}b", "\u{2066}x\u{2069}"] {
            let error = on_lines("note", text);
            assert!(
                matches!(error, Err(TextError::Direction { .. })),
                "{text:?}"
            );
        }
        for text in [
            "cs\u{200b}-118",
            "\u{feff}4",
            "4\u{200f}",
            "a\u{2028}b",
            "4\u{e0041}",
        ] {
            let error = on_lines("note", text);
            assert!(matches!(error, Err(TextError::Hidden { .. })), "{text:?}");
        }
        assert_eq!(on_lines("note", "one\r\ntwo\n"), Ok(()));
    }

    #[test]
    fn a_terminal_is_not_steered() {
        assert_eq!(escaped("8.92 µm × 2 °C – ok\n"), "8.92 µm × 2 °C – ok\n");
        assert_eq!(
            escaped("a\u{1b}[2Jb\u{202e}\r\n"),
            "a\\u{1b}[2Jb\\u{202e}\\u{d}\n"
        );
    }
}
