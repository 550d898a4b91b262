//! Why something cannot be done, in words.

use metrology::message::Message;
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
        Error::Input(why) | Error::Outside(why) => say(&why.message, Shown::in_unit(why.unit)),
        Error::Unreadable { path, source } => {
            say!("command.cannot-read", file = path.display(), why = source)
        }
        Error::Wrong(fault) => say(&fault.reason, Shown::in_unit(LengthUnit::Millimetre)),
        Error::Several(all) => {
            let all = all.iter().map(|error| what(error, say));
            all.collect::<Vec<_>>().join("; ")
        }
        Error::Register(error) => what(error, say),
    }
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
