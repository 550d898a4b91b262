//! Why something cannot be done, in words.

use metrology::designation::looks_like;
use metrology::message::{Message, Value};
use metrology::units::LengthUnit;
use workshop::Error;
use workshop::error::InFile;
use workshop::remark::Remark;

use super::{Shown, ledger, message, on_page, said};
use crate::say;

/// The place in a file, where there is one, and what is wrong.
pub fn error(error: &Error) -> String {
    match error {
        Error::Wrong(fault) => match &fault.file {
            Some(file) => format!("{}: {}", place(file), what(error, message)),
            None => what(error, message),
        },
        Error::Several(all) => all.iter().map(self::error).collect::<Vec<_>>().join("\n"),
        Error::Register(error) => self::error(error),
        _ => what(error, message),
    }
}

/// What is wrong on a page, which shows neither file nor keys.
pub fn error_on_page(error: &Error) -> String {
    what(error, on_page)
}

fn what(error: &Error, say: fn(&Message, Shown) -> String) -> String {
    match error {
        Error::Ledger(error) => ledger::error(error),
        Error::Input(why) | Error::Outside(why) => {
            let told = say(&why.message, Shown::in_unit(why.unit));
            with_foreign_letter(told, &why.message)
        }
        Error::Unreadable { path, source } => {
            say!("command.cannot-read", file = path.display(), why = source)
        }
        Error::Wrong(fault) => {
            let told = say(&fault.reason, Shown::in_unit(LengthUnit::Millimetre));
            with_foreign_letter(told, &fault.reason)
        }
        Error::Several(all) => {
            let all = all.iter().map(|error| what(error, say));
            all.collect::<Vec<_>>().join("; ")
        }
        Error::Register(error) => what(error, say),
    }
}

/// With the letter of the identity that is named which only looks like a Latin one: such an identity reads like another.
fn with_foreign_letter(told: String, message: &Message) -> String {
    let Some(Value::Text(id)) = message.value("id") else {
        return told;
    };
    match foreign_letter(id) {
        Some(foreign) => format!("{told} ({foreign})"),
        None => told,
    }
}

/// Which letter of a text only looks like a Latin one; none of a text that is written in no Latin letters or digits beside it.
pub fn foreign_letter(text: &str) -> Option<String> {
    text.chars().find(char::is_ascii_alphanumeric)?;
    let mut letters = (1..).zip(text.chars());
    let (place, letter, meant) =
        letters.find_map(|(place, letter)| Some((place, letter, looks_like(letter)?)))?;
    Some(say!(
        "given.foreign-letter",
        letter = letter,
        place = place,
        text = text,
        meant = meant
    ))
}

fn place(file: &InFile) -> String {
    let (path, line) = (file.path.display(), file.line);
    match file.column {
        Some(column) => format!("{path}:{line}:{column}"),
        None => format!("{path}:{line}"),
    }
}

/// What was remarked, each once.
pub fn remarks(all: Vec<Remark>) -> Vec<String> {
    let mut told: Vec<String> = Vec::new();
    for remark in all {
        let words = match remark {
            Remark::Said(message) => said(&message),
            Remark::LedgerUnread(why) => say!("approval.ledger-unread", why = error(&why)),
        };
        if !told.contains(&words) {
            told.push(words);
        }
    }
    told
}
