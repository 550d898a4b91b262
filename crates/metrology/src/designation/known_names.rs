//! Names that people know and that name no one thread here: more than one form, or a form without tables.
//!
//! An answer as if such a word were a misspelt series would mislead; each is told what it is. The standards are named
//! from memory.

use super::error::{Fault, ThreadError};
use super::text::Cursor;

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
    fault: fn(String) -> Fault,
    what: &'static str,
    /// Put around the size, what the word can have meant.
    instead: &'static [(&'static str, &'static str)],
}

const fn without_tables(
    words: &'static [&'static str],
    stands: Stands,
    what: &'static str,
) -> KnownName {
    KnownName {
        words,
        stands,
        fault: Fault::NoTables,
        what,
        instead: &[],
    }
}

const NAMES: [KnownName; 17] = [
    KnownName {
        words: &["bsp"],
        stands: Stands::Anywhere,
        fault: Fault::SeveralForms,
        what: "is said of two kinds of pipe thread: G is parallel (ISO 228-1; external with class A or B, internal \
               without), R is taper (ISO 7-1; R external, Rc internal, Rp parallel internal)",
        instead: &[("G ", " A"), ("G ", ""), ("R ", ""), ("Rc ", "")],
    },
    KnownName {
        words: &["w"],
        stands: Stands::AtAnEnd,
        fault: Fault::SeveralForms,
        what: "stands for Whitworth, which has a coarse and a fine series (BS 84)",
        instead: &[("", " BSW"), ("", " BSF")],
    },
    without_tables(
        &["npsm"],
        Stands::Anywhere,
        "is the American parallel pipe thread for free-fitting mechanical joints (ASME B1.20.1): flanks and threads \
         per inch are those of NPT, its limits are in no table here",
    ),
    without_tables(
        &["npsc", "npsl", "npsh", "nps"],
        Stands::Anywhere,
        "is an American parallel pipe thread (ASME B1.20.1; NPSH B1.20.7): flanks and threads per inch are those of \
         NPT, its limits are in no table here",
    ),
    without_tables(
        &["npsf", "npsi"],
        Stands::Anywhere,
        "is a dryseal parallel pipe thread (ASME B1.20.3): flanks and threads per inch are those of NPTF, its limits \
         are in no table here",
    ),
    without_tables(
        &["ptf"],
        Stands::Anywhere,
        "is a short dryseal taper pipe thread (ASME B1.20.3); NPTF is known here, the shortened ones are not",
    ),
    without_tables(
        &["nptr"],
        Stands::Anywhere,
        "is the taper pipe thread for railings (ASME B1.20.1): angle, taper and threads per inch are those of NPT, \
         its lengths are in no table here",
    ),
    without_tables(
        &["ngt", "ngo"],
        Stands::Anywhere,
        "is a thread of gas cylinders (CGA V-1), of which no table is here",
    ),
    without_tables(
        &["nh", "nhr", "ght", "nst"],
        Stands::Anywhere,
        "is a hose coupling thread (ASME B1.20.7, fire hoses NFPA 1963), of which no table is here",
    ),
    without_tables(
        &["pg"],
        Stands::Anywhere,
        "is the steel conduit thread of 80 degrees (DIN 40430, withdrawn), of which no table is here",
    ),
    without_tables(
        &["rd"],
        Stands::First,
        "is the round thread of 30 degrees (DIN 405), of which no table is here",
    ),
    without_tables(
        &["s"],
        Stands::First,
        "is the metric buttress thread of 3 and 30 degrees (DIN 513) or, below 1.5 mm, the miniature thread \
         (ISO 1501); no table of either is here",
    ),
    without_tables(
        &["butt", "buttress"],
        Stands::Anywhere,
        "is the buttress thread of 7 and 45 degrees (ASME B1.9), of which no table is here",
    ),
    without_tables(
        &["bsc", "bscy", "cei"],
        Stands::Anywhere,
        "is the cycle thread of 60 degrees (BS 811), of which no table is here",
    ),
    without_tables(
        &["sti"],
        Stands::Anywhere,
        "is the tapped hole for a wire insert (ASME B18.29.1), larger than the thread in the insert; no table of it \
         is here",
    ),
    without_tables(
        &["eg"],
        Stands::First,
        "is the tapped hole for a wire insert (DIN 8140), larger than the thread in the insert; no table of it is here",
    ),
    without_tables(
        &["unm"],
        Stands::Anywhere,
        "is the Unified miniature thread (ASME B1.10), of which no table is here",
    ),
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
    let fault = (name.fault)(format!("{} {}", end.typed(from), name.what));
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
