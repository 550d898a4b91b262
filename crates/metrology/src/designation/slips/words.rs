//! Slips in a word: letters in another order, a wrong one, one too many or too few; and words of other languages for the hand.

use std::ops::Range;

use super::super::tail::hand;
use super::super::text::{Cursor, Text};
use crate::thread::Hand;

/// The symbols that name a form or a series.
const SYMBOLS: [&str; 33] = [
    "M",
    "MJ",
    "Tr",
    "G",
    "R",
    "Rc",
    "Rp",
    "UNC",
    "UNF",
    "UNEF",
    "UN",
    "UNS",
    "UNRC",
    "UNRF",
    "UNREF",
    "UNR",
    "UNRS",
    "UNJC",
    "UNJF",
    "UNJEF",
    "UNJ",
    "UNJS",
    "NPT",
    "NPTF",
    "BSW",
    "BSF",
    "BSPP",
    "BSPT",
    "WHIT",
    "WHITWORTH",
    "BA",
    "ACME",
    "STUB",
];
/// The words behind size and pitch.
const WORDS: [&str; 16] = [
    "LH", "RH", "LEFT", "RIGHT", "external", "internal", "bolt", "screw", "stud", "nut", "tapped",
    "close", "medium", "free", "normal", "class",
];

/// Names that are no slips: those of the American National series, which UNC, UNF and UNEF took the place of (ASME B1.1, foreword),
/// and those that shops have for the fine metric and the trapezoidal thread (common practice, no source).
const OTHER_NAMES: [(&str, &str); 8] = [
    ("NC", "UNC"),
    ("NF", "UNF"),
    ("NEF", "UNEF"),
    ("NS", "UNS"),
    ("MF", "M"),
    ("Trap", "Tr"),
    ("Trapez", "Tr"),
    ("gas", "G"),
];

/// How far a word is from another.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Far {
    /// Two neighbours have changed places, or a letter is doubled; or it is the same by another name.
    Near,
    /// One letter is another, is missing or is one too many.
    Far,
}

/// The words that one can have been meant as, those of one distance; symbols alone where a symbol has to stand.
pub(super) fn near(word: &str, far: Far, symbol: bool) -> impl Iterator<Item = &'static str> {
    let typed: Vec<u8> = word
        .bytes()
        .map(|letter| letter.to_ascii_uppercase())
        .collect();
    // E27 and B22 are lamp caps, and no M with a slip.
    let is_lamp_cap = matches!(typed.as_slice(), b"E" | b"B");
    let is_known = is_known(word);
    let other = OTHER_NAMES
        .iter()
        .filter(move |_| far == Far::Near)
        .filter(|(name, _)| name.eq_ignore_ascii_case(word))
        .map(|(_, known)| *known)
        .collect::<Vec<_>>();
    let words = WORDS.iter().filter(move |_| !symbol);
    let slipped = SYMBOLS.iter().chain(words).copied().filter(move |known| {
        let known: Vec<u8> = known
            .bytes()
            .map(|letter| letter.to_ascii_uppercase())
            .collect();
        // Rounded and controlled roots are none that may be lost on the way.
        let kept = |letter: u8| {
            !known.starts_with(b"UN") || !typed.contains(&letter) || known.contains(&letter)
        };
        // `LA` may be a class.
        let may_be_class = matches!(typed.as_slice(), [_, b'A' | b'B' | b'G']);
        let hand = matches!(known.as_slice(), b"LH" | b"RH");
        !(hand && may_be_class) && distance(&typed, &known) == Some(far) && kept(b'J') && kept(b'R')
    });
    // An x is the sign between two numbers, one of which is missing.
    let has_x = word.contains(['x', 'X']);
    let slipped = slipped.filter(move |_| !is_known && !has_x && !is_lamp_cap);
    other.into_iter().chain(slipped)
}

/// Whether a word is one of a designation as it stands.
pub(super) fn is_known(word: &str) -> bool {
    (SYMBOLS.iter().chain(&WORDS)).any(|known| known.eq_ignore_ascii_case(word))
}

/// The text with a symbol that stands behind the size before it: `1/2 G`, `1/2 gas A`.
pub(super) fn symbol_first(text: &str) -> Option<String> {
    let (place, word) = words(text).into_iter().find(|(place, word)| {
        place.start > 0 && ["g", "gas", "r", "rc", "rp"].contains(&word.as_str())
    })?;
    let symbol = match word.as_str() {
        "g" | "gas" => "G",
        "rc" => "Rc",
        "rp" => "Rp",
        _ => "R",
    };
    let (before, behind) = (text.get(..place.start)?, text.get(place.end..)?);
    Some(format!("{symbol} {}{behind}", before.trim()))
}

/// The text without the points of an abbreviation: `N.P.T.`, `B.A.`.
pub(super) fn without_points(text: &str) -> Option<String> {
    let letters: Vec<char> = text.chars().collect();
    let letter = |at: usize| letters.get(at).is_some_and(char::is_ascii_alphabetic);
    // A letter of its own before a point.
    let initial = |at: usize| {
        letter(at) && letters.get(at + 1) == Some(&'.') && !at.checked_sub(1).is_some_and(letter)
    };
    let abbreviated = |at: usize| {
        at.checked_sub(1).is_some_and(initial)
            && (letter(at + 1) || at.checked_sub(3).is_some_and(initial))
    };
    let kept = letters.iter().enumerate();
    let kept = kept.filter(|(at, letter)| **letter != '.' || !abbreviated(*at));
    let without: String = kept.map(|(_, letter)| letter).collect();
    (without != text).then_some(without)
}

/// The designation without what stands around it: brackets, and the standard before it, `DIN 13 M10x1.5`.
pub(super) fn bare(text: &str) -> Vec<String> {
    let round: String = text
        .chars()
        .map(|sign| match sign {
            '[' | '{' => '(',
            ']' | '}' => ')',
            sign => sign,
        })
        .collect();
    let inner = text.trim_matches(['(', ')', '[', ']', '"', '\'', '.', ':', ';', ' ']);
    let mut found = vec![round, inner.to_owned()];
    let words = words(text);
    let standards = [
        "iso", "din", "en", "asme", "ansi", "bs", "jis", "thread", "thd", "gewinde",
    ];
    let first = words
        .first()
        .filter(|(place, word)| place.start == 0 && standards.contains(&word.as_str()));
    if let Some((place, word)) = first {
        let named = ["thread", "thd", "gewinde"].contains(&word.as_str());
        let rest = text
            .get(place.end..)
            .unwrap_or("")
            .trim_start_matches([' ', ':']);
        // The number of the standard ends at a blank; a size in inches may follow it.
        let number = rest
            .find(' ')
            .filter(|_| !named && rest.starts_with(|sign: char| sign.is_ascii_digit()));
        let behind = rest.get(number.unwrap_or(0)..).unwrap_or("");
        found.push(behind.trim_start_matches([' ', '-', '\u{2013}']).to_owned());
    }
    found.retain(|found| found != text);
    found
}

fn distance(typed: &[u8], known: &[u8]) -> Option<Far> {
    let same = typed.iter().zip(known).take_while(|(a, b)| a == b).count();
    let (a, b) = (typed.get(same..)?, known.get(same..)?);
    match (a, b) {
        ([a, b, rest @ ..], [c, d, tail @ ..]) if (a, b) == (d, c) && rest == tail => {
            Some(Far::Near)
        }
        ([a, rest @ ..], tail) if rest == tail => {
            let before = same.checked_sub(1).and_then(|at| typed.get(at));
            Some(if before == Some(a) {
                Far::Near
            } else {
                Far::Far
            })
        }
        (rest, [_, tail @ ..]) if rest == tail => Some(Far::Far),
        ([_, rest @ ..], [_, tail @ ..]) if rest == tail => Some(Far::Far),
        _ => None,
    }
}

/// Words that say left in the languages of drawings, and ways to write it that the reader does not take.
const LEFT: [&str; 17] = [
    "links",
    "linker",
    "linkse",
    "linksgewinde",
    "linksgangig",
    "gauche",
    "sinistra",
    "sinistro",
    "sx",
    "izquierda",
    "izquierdo",
    "esquerda",
    "vanster",
    "venstre",
    "lewy",
    "levy",
    "lefthand",
];
const RIGHT: [&str; 13] = [
    "rechts",
    "rechtsgewinde",
    "rechtsgangig",
    "droite",
    "destra",
    "destro",
    "dx",
    "derecha",
    "direita",
    "hoger",
    "hojre",
    "prawy",
    "righthand",
];
/// Words that go with them and say nothing else.
const BESIDE: [&str; 8] = [
    "pas",
    "filet",
    "filetage",
    "filettatura",
    "rosca",
    "gewinde",
    "hand",
    "thread",
];

/// A hand in words that the reader does not take, with its place.
pub(super) fn foreign_hand(text: &str) -> Option<(Range<usize>, Hand)> {
    let words = words(text);
    let is = |names: &[&str], word: &str| names.contains(&word);
    let (index, (place, hand)) = words
        .iter()
        .enumerate()
        .find_map(|(index, (place, word))| {
            let next = words.get(index + 1);
            // `L/H`, `L H`, `L-H`.
            let apart = next.filter(|(other, second)| {
                let sign = text.get(place.end..other.start).unwrap_or("");
                second == "h" && [" ", "/", "-", ",", ". "].contains(&sign)
            });
            let end = apart.map_or(place.end, |(other, _)| other.end);
            // `UNL H`: the blank on the wrong side.
            if word.len() > 1 && word.ends_with('l') && apart.is_some() {
                return Some((index, (place.end - 1..end, Hand::Left)));
            }
            let hand = match (word.as_str(), apart) {
                ("l", Some(_)) => Hand::Left,
                ("r", Some(_)) => Hand::Right,
                (word, _) if is(&LEFT, word) => Hand::Left,
                (word, _) if is(&RIGHT, word) => Hand::Right,
                _ => return None,
            };
            Some((index, (place.start..end, hand)))
        })?;
    let (mut start, mut end) = (place.start, place.end);
    for (before, (place, word)) in words.iter().enumerate().take(index).rev() {
        let beside = |index: usize| words.get(index).is_some_and(|(_, word)| is(&BESIDE, word));
        // The first word of `à gauche`; an A alone may be a class.
        let accent = text.get(place.clone()).is_some_and(|word| !word.is_ascii());
        let to = word == "a" && (accent || before.checked_sub(1).is_some_and(beside));
        if !to && !is(&BESIDE, word) {
            break;
        }
        start = place.start;
    }
    for (place, word) in words.iter().skip(index + 1) {
        if place.start >= end {
            if !is(&BESIDE, word) {
                break;
            }
            end = place.end;
        }
    }
    Some((start..end, hand))
}

/// The number before a short word for starts that the reader does not take: `2 st`, `3-strt`.
pub(super) fn starts(text: &str) -> Option<u16> {
    let short = |word: &str| ["st", "sts", "strt", "strts"].contains(&word);
    words(text).iter().find_map(|(place, word)| {
        let before = text.get(..place.start).filter(|_| short(word))?;
        let before = before.trim_end_matches([' ', '-', '(']);
        let number = before.rsplit(|sign: char| !sign.is_ascii_digit()).next();
        number.and_then(|number| number.parse().ok())
    })
}

/// Whether an L stands alone: a group of engagement, or a hand that lost its H.
pub(super) fn has_l(text: &str) -> bool {
    let beside = |sign: Option<char>| sign.is_none_or(|sign| " -,_()".contains(sign));
    words(text).iter().any(|(place, word)| {
        let (before, behind) = (text.get(..place.start), text.get(place.end..));
        word == "l"
            && beside(before.and_then(|before| before.chars().next_back()))
            && beside(behind.and_then(|behind| behind.chars().next()))
    })
}

/// Every run of letters with its place, in small letters and without accents.
fn words(text: &str) -> Vec<(Range<usize>, String)> {
    let mut words: Vec<(Range<usize>, String)> = Vec::new();
    for (at, letter) in text.char_indices() {
        if !letter.is_alphabetic() {
            continue;
        }
        let end = at + letter.len_utf8();
        let plain = match letter {
            '\u{e0}' | '\u{e4}' | '\u{c4}' | '\u{c0}' => 'a',
            '\u{f8}' | '\u{f6}' => 'o',
            '\u{fd}' => 'y',
            _ => letter.to_ascii_lowercase(),
        };
        match words.last_mut() {
            Some((place, word)) if place.end == at => {
                place.end = end;
                word.push(plain);
            }
            _ => words.push((at..end, plain.to_string())),
        }
    }
    words
}

/// A hand that stands first: it, and what stands behind it.
pub(super) fn hand_first(text: &str) -> Option<(Hand, String)> {
    let plain = Text::new(text).ok()?;
    let mut cursor = Cursor::new(&plain);
    let (hand, rest) = if let Some(hand) = hand(&mut cursor) {
        (hand, cursor.rest_from(cursor.at()))
    } else {
        let (place, hand) = foreign_hand(text)?;
        let first = text.get(..place.start)?.trim().is_empty();
        (hand, text.get(place.end..).filter(|_| first)?)
    };
    let rest = rest.trim_start_matches([' ', '-', ',', ':', ';', '.']);
    let without = rest
        .get(..6)
        .filter(|word| word.eq_ignore_ascii_case("thread"));
    let rest = without
        .and_then(|word| rest.get(word.len()..))
        .unwrap_or(rest);
    Some((hand, rest.trim().to_owned()))
}
