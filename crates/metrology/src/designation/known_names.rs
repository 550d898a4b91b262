//! Names that people know and that name no one thread here: more than one form, or a form without tables.
//!
//! An answer as if such a word were a misspelt series would mislead; each is told what it is. The standards are named
//! from memory.

use super::text::Cursor;
use crate::thread::ThreadError;
use crate::thread::{Fault, KnownName as Name};

/// Where the word has to stand to be meant.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Stands {
    /// Anywhere: no other designation has it.
    Anywhere,
    /// First, or last behind a size.
    AtAnEnd,
    /// First.
    First,
}

struct KnownName {
    words: &'static [&'static str],
    stands: Stands,
    what: Name,
    /// Whether it is said of several forms, or of one that no table is here for.
    several: bool,
    /// Put around the size, what the word can have meant.
    instead: &'static [(&'static str, &'static str)],
}

const fn without_tables(words: &'static [&'static str], stands: Stands, what: Name) -> KnownName {
    KnownName {
        words,
        stands,
        what,
        several: false,
        instead: &[],
    }
}

const NAMES: [KnownName; 23] = [
    KnownName {
        words: &["bsp"],
        stands: Stands::Anywhere,
        what: Name::Bsp,
        several: true,
        instead: &[("G ", " A"), ("G ", ""), ("R ", ""), ("Rc ", "")],
    },
    KnownName {
        words: &["w"],
        stands: Stands::AtAnEnd,
        what: Name::W,
        several: true,
        instead: &[("", " BSW"), ("", " BSF")],
    },
    // The symbols of JIS before ISO 7-1 and ISO 228-1 were taken over.
    KnownName {
        words: &["pt"],
        stands: Stands::AtAnEnd,
        what: Name::Pt,
        several: true,
        instead: &[("R ", ""), ("Rc ", "")],
    },
    KnownName {
        words: &["pf"],
        stands: Stands::AtAnEnd,
        what: Name::Pf,
        several: true,
        instead: &[("G ", " A"), ("G ", "")],
    },
    KnownName {
        words: &["pipe", "ips"],
        stands: Stands::Anywhere,
        what: Name::Pipe,
        several: true,
        instead: &[("", " NPT"), ("G ", " A"), ("R ", "")],
    },
    KnownName {
        words: &["fip", "fips"],
        stands: Stands::Anywhere,
        what: Name::Pipe,
        several: true,
        instead: &[("", " NPT internal"), ("G ", ""), ("Rc ", "")],
    },
    KnownName {
        words: &["mip", "mips"],
        stands: Stands::Anywhere,
        what: Name::Pipe,
        several: true,
        instead: &[("", " NPT external"), ("G ", " A"), ("R ", "")],
    },
    without_tables(&["bsb"], Stands::Anywhere, Name::Brass),
    without_tables(&["npsm"], Stands::Anywhere, Name::Npsm),
    without_tables(
        &["npsc", "npsl", "npsh", "nps"],
        Stands::Anywhere,
        Name::Nps,
    ),
    without_tables(&["npsf", "npsi"], Stands::Anywhere, Name::Npsf),
    without_tables(&["ptf"], Stands::Anywhere, Name::Ptf),
    without_tables(&["nptr"], Stands::Anywhere, Name::Nptr),
    without_tables(&["ngt", "ngo"], Stands::Anywhere, Name::Ngt),
    without_tables(&["nh", "nhr", "ght", "nst"], Stands::Anywhere, Name::Nh),
    without_tables(&["pg"], Stands::Anywhere, Name::Pg),
    without_tables(&["rd"], Stands::First, Name::Rd),
    without_tables(&["s"], Stands::First, Name::S),
    without_tables(&["butt", "buttress"], Stands::Anywhere, Name::Buttress),
    without_tables(&["bsc", "bscy", "cei"], Stands::Anywhere, Name::Cycle),
    without_tables(&["sti"], Stands::Anywhere, Name::Sti),
    without_tables(&["eg"], Stands::First, Name::Eg),
    without_tables(&["unm"], Stands::Anywhere, Name::Unm),
];

/// The error for a designation that one of these names stands in.
pub(super) fn known_name(cursor: Cursor<'_>) -> Option<ThreadError> {
    let last = cursor.words().last().map(|(from, _)| from);
    let (from, word, name) = cursor.words().find_map(|(from, word)| {
        let name = NAMES.iter().find(|name| {
            let stands = match name.stands {
                Stands::Anywhere => true,
                Stands::AtAnEnd => from == 0 || last == Some(from),
                Stands::First => from == 0,
            };
            stands
                && name
                    .words
                    .iter()
                    .any(|known| known.eq_ignore_ascii_case(word))
        })?;
        Some((from, word, name))
    })?;
    let mut end = cursor;
    end.go_to(from + word.len());
    let typed = end.typed(from).to_owned();
    let fault = if name.several {
        Fault::SeveralForms {
            name: typed,
            what: name.what,
        }
    } else {
        Fault::NoTables {
            name: typed,
            what: name.what,
        }
    };
    let mut before = cursor;
    before.go_to(from);
    let rest = format!("{}{}", before.typed_all(0), end.rest_from(end.at()));
    let rest = rest.trim_start_matches([' ', '-']);
    // Without a count, a class or another word behind it.
    let size_ends = rest.find(|letter: char| !matches!(letter, '0'..='9' | ' ' | '.' | '/'));
    let size = rest
        .get(..size_ends.unwrap_or(rest.len()))
        .unwrap_or("")
        .trim();
    let instead = name.instead.iter();
    Some(
        cursor
            .error_span(from, end.at(), fault)
            .suggest(instead.map(|(head, tail)| format!("{head}{size}{tail}"))),
    )
}
