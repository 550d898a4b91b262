//! What to write instead of a wrong designation.
//!
//! A slip that is known (an O typed for a zero, `g6` for `6g`, `LHT` for `LH`, `1.4-20 UNC` for 1/4-20 UNC) is offered alone.
//! What the reader offers otherwise must keep what was understood: a left-hand thread does not become a right-hand one, or a
//! class another one, because something else is wrong.
//!
//! * `letters.rs`: letters for digits, a class or a hand written in another order;
//! * `numbers.rs`: the slash of a size in inches;
//! * `words.rs`: series, symbols and hands;
//! * `wordings.rs`: wordings of the trade;
//! * `typed.rs`: what must not be lost.

mod letters;
mod numbers;
mod typed;
mod wordings;
mod words;

use super::read;
use crate::thread::unified::Series;
use crate::thread::{Assumed, Fault, Form, Hand, Kind, Thread, ThreadError};
use letters::{other_slips, with_digits};
use numbers::{
    has_odd_fraction, with_hyphen, with_signs, with_single_digits, with_slash, without_doubled,
};
use typed::Typed;
use words::{Far, bare, foreign_hand, hand_first, is_known, near, symbol_first, without_points};

/// Slips are looked for in what may be a designation; every place of one is tried.
const LONGEST: usize = 64;

/// The error with the designations that can have been meant.
pub(super) fn suggest(text: &str, error: ThreadError) -> ThreadError {
    if text.trim().len() > LONGEST {
        return error
            .keep(|suggestion| Some(suggestion.to_owned()).filter(|text| read(text).is_ok()));
    }
    if let Some(meant) = wordings::meant(text, &error) {
        return error.suggest_these(meant);
    }
    let typed = Typed::of(text, &error);
    if let Some(meant) = pitch_or_length(text, &error, &typed) {
        return error.suggest_these(meant);
    }
    // The slip may be one of the hand.
    let may_hold = |text: &String| typed.is_within(text);
    let holds = |text: &String| typed.is_kept_by(text);
    let slip = known_slip(text, &error, &may_hold);
    if let Some(meant) = slip.or_else(|| two_slips(text, &error, &may_hold)) {
        return error.suggest_only(meant);
    }
    // What cannot be read may have been the hand: it is offered before the thread without it.
    if let Some(left) = left_hand(text, &error).filter(|text| read(text).is_ok()) {
        return error
            .suggest_first(left)
            .keep(|text| Some(text.to_owned()).filter(|text| read(text).is_ok()));
    }
    if let Fault::Unexpected { given, .. } = error.fault()
        && (may_be_of_the_thread(given) || says_of_the_thread(given))
    {
        return error.keep(|_| None);
    }
    let rest = around(text, &error).map_or("", |(_, _, rest)| rest.trim_end());
    let of_series = matches!(error.fault(), Fault::UnknownSeries { .. });
    let of_screw = matches!(error.fault(), Fault::OfTheScrew { .. });
    error.keep(|suggestion| {
        let has_rest = signs(suggestion).ends_with(&signs(rest));
        let whole = (!has_rest).then(|| format!("{suggestion}{rest}"));
        let mended = whole.as_ref().and_then(|whole| {
            let error = read(whole).err()?;
            known_slip(whole, &error, &holds)
        });
        // A digit behind a wrong series is a class: `NC-2`.
        let lost = !has_rest && (of_series && digit_alone(rest) || of_screw && has_digit(rest));
        let alone = Some(suggestion.to_owned()).filter(|_| !lost);
        // Hand and side may stand before the place of the error.
        let hand = if typed.left { " LH" } else { "" };
        let side = typed.kind.map_or("", Kind::key);
        let ends = [
            hand.to_owned(),
            format!(" {side}"),
            format!("{hand} {side}"),
        ];
        let with = ends
            .iter()
            .filter_map(|end| Some(format!("{}{end}", alone.as_ref()?)));
        let with: Vec<_> = with.map(|text| text.trim_end().to_owned()).collect();
        [whole, mended, alone]
            .into_iter()
            .flatten()
            .chain(with)
            .find(holds)
    })
}

/// Whether it is a word that says of which side, pitch or number of starts the thread is: without it the designation is that of
/// another.
fn says_of_the_thread(given: &str) -> bool {
    let given = given.to_lowercase();
    given == "fin" || TELLING.iter().any(|word| given.starts_with(word))
}

/// Words of internal threads, pitches and starts that are not read, in English, German and French (from memory).
const TELLING: [&str; 20] = [
    "tap", "mutter", "innen", "bohrung", "écrou", "ecrou", "taraud", "femelle", "pas", "steigung",
    "fein", "extra", "dbl", "double", "dual", "triple", "multi", "zweig", "dreig", "mehrg",
];

/// Whether what means nothing was meant as a class or a pitch, as `h6g5`, `SB` and `/1.2`: what is left without it has another.
fn may_be_of_the_thread(given: &str) -> bool {
    let letter = |sign: char| sign.is_ascii_alphabetic();
    // A pitch or a hand that lost the rest.
    if ["x", "h", "l"]
        .iter()
        .any(|one| given.eq_ignore_ascii_case(one))
    {
        return true;
    }
    let bare = given.trim_start_matches(|sign: char| !sign.is_ascii_alphanumeric());
    let class = bare.len() == 2
        && bare.ends_with(is_class_letter)
        && (given.chars().all(letter) || bare.len() < given.len());
    let first = given.starts_with(|sign: char| letter(sign) || "/:".contains(sign));
    class || first && given.contains(|sign: char| sign.is_ascii_digit())
}

fn is_class_letter(letter: char) -> bool {
    matches!(letter.to_ascii_uppercase(), 'A' | 'B' | 'G' | 'H')
}

/// Whether a designation keeps what was typed.
type Holds<'a> = &'a dyn Fn(&String) -> bool;

/// What a number behind a metric size may be beside the length of the screw, with the thread that has that length, where it may be
/// more than one thing: a pitch that lost its point (`M10x10`), the end of the size (`M1 6`), a pitch behind the hand (`M8 LH x 1`).
fn pitch_or_length(text: &str, error: &ThreadError, typed: &Typed) -> Option<Vec<String>> {
    let Fault::OfTheScrew { given, .. } = error.fault() else {
        return None;
    };
    let (before, _, behind) = around(text, error)?;
    if let Some(pitched) = hand_behind(before, given, behind) {
        return (is_plain(&pitched) && typed.left).then(|| vec![pitched]);
    }
    let (number, before) = match given.trim_start_matches(['x', 'X', '\u{d7}', ' ']) {
        number if number.len() < given.len() => (number, format!("{before}x")),
        number => (number, before.to_owned()),
    };
    let is_size = |text: &str| text.trim_start_matches(['M', 'm']).parse::<f64>().is_ok();
    let mut found = Vec::new();
    if let Some(size) = before.trim_end().strip_suffix(['x', 'X', '\u{d7}']) {
        let (whole, tenths) = number.split_at_checked(1)?;
        let is_pointed = tenths.len() == 1 && number.bytes().all(|sign| sign.is_ascii_digit());
        found.extend(is_pointed.then(|| format!("{}x{whole}.{tenths}{behind}", size.trim_end())));
    } else if before.ends_with(' ') && is_size(before.trim_end()) {
        let size = before.trim_end();
        found.extend([
            format!("{size}.{number}{behind}"),
            format!("{size}{number}{behind}"),
        ]);
    }
    found.retain(|text| is_plain(text) && typed.is_kept_by(text));
    if found.is_empty() {
        return None;
    }
    let bare = before.trim_end_matches([' ', 'x', 'X', '\u{d7}']);
    let thread = read(&format!("{bare}{behind}")).ok();
    // Without the class that was taken where none was typed.
    let alone = thread.map(|thread| match thread.to_string().split_once('-') {
        Some((size, _)) if behind.is_empty() => size.to_owned(),
        _ => thread.to_string(),
    });
    Some(alone.into_iter().chain(found).collect())
}

/// A pitch behind the hand, where the hand stands last: `M8 LH x 1` is M8x1-LH.
fn hand_behind(before: &str, given: &str, behind: &str) -> Option<String> {
    let pitch = given.strip_prefix(['x', 'X', '\u{d7}'])?.trim();
    let size = before.trim_end();
    let at = size
        .len()
        .checked_sub(2)
        .filter(|at| size.is_char_boundary(*at))?;
    let (size, hand) = size.split_at(at);
    let size = size.trim_end_matches([' ', '-', ',']);
    (hand.eq_ignore_ascii_case("lh")).then(|| format!("{size}x{pitch}{behind}-LH"))
}

/// The designation that one slip makes of what was typed, if it is one only.
fn known_slip(text: &str, error: &ThreadError, holds: Holds<'_>) -> Option<String> {
    let sizes = || {
        // The largest number size is #12, 0.216 in.
        let small = |text: &String| matches!(read(text), Ok(Thread::Unified(thread)) if thread.diameter <= 2_160);
        let numbered = with_hyphen(text).filter(small);
        let sizes = with_slash(text).into_iter().chain(numbered);
        sizes.filter(|text| is_size(text) && holds(text))
    };
    let words = |far| replaced(text, error, far);
    (0..=2)
        .filter_map(|far| with_digits(text, far))
        .filter(|text| is_plain(text))
        .chain(other_slips(text, error))
        .chain(hands(text))
        .chain(without_points(text))
        .find(holds)
        .or_else(|| only(sizes()))
        .or_else(|| {
            only(
                without_doubled(text)
                    .into_iter()
                    .filter(|text| is_plain(text) && holds(text)),
            )
        })
        .or_else(|| {
            let single = with_single_digits(text).into_iter();
            only(single.filter(|text| is_size(text) && holds(text)))
        })
        .or_else(|| {
            only(
                with_signs(text)
                    .into_iter()
                    .filter(|text| is_plain(text) && holds(text)),
            )
        })
        .or_else(|| bare(text).into_iter().chain(symbol_first(text)).find(holds))
        .or_else(|| only(words(Far::Near).filter(holds)))
        .or_else(|| only(words(Far::Far).filter(holds)))
        .or_else(|| without(text, error).filter(holds))
}

/// The same of a text with two slips.
fn two_slips(text: &str, error: &ThreadError, holds: Holds<'_>) -> Option<String> {
    let then = |text: String| known_slip(&text, &read(&text).err()?, holds);
    // A letter that is a digit with a slip makes no length of what was none.
    let of_the_screw = |text: &String| {
        read(text).is_err_and(|error| matches!(error.fault(), Fault::OfTheScrew { .. }))
    };
    let digits = (0..=2).filter_map(|far| with_digits(text, far));
    let mut digits = digits.filter(|text| !of_the_screw(text) || of_the_screw_too(error));
    if let Some(meant) = digits.find_map(then) {
        return Some(meant);
    }
    let half = other_slips(text, error)
        .into_iter()
        .chain(hands(text))
        .chain(without_points(text))
        .chain(with_slash(text))
        .chain(bare(text))
        .chain(replaced(text, error, Far::Near))
        .chain(replaced(text, error, Far::Far))
        .chain(without(text, error));
    only(half.filter_map(then))
}

fn of_the_screw_too(error: &ThreadError) -> bool {
    matches!(
        error.fault(),
        Fault::OfTheScrew { .. } | Fault::UnknownForm { .. }
    )
}

/// The first of several designations that all name one thread.
fn only(designations: impl IntoIterator<Item = String>) -> Option<String> {
    let mut found: Option<(String, String)> = None;
    for designation in designations {
        let Ok(thread) = read(&designation) else {
            continue;
        };
        let name = thread.to_string();
        match &found {
            Some((_, other)) if *other != name => return None,
            Some(_) => {}
            None => found = Some((designation, name)),
        }
    }
    found.map(|(designation, _)| designation)
}

/// The text with the hand as the standard has it: behind the thread, and `LH`; nothing for a right hand.
fn hands(text: &str) -> Vec<String> {
    if let Some((hand, rest)) = hand_first(text) {
        return match hand {
            Hand::Left => vec![format!("{rest}-LH"), format!("{rest} LH")],
            Hand::Right => vec![rest],
        };
    }
    let Some((place, hand)) = foreign_hand(text) else {
        return Vec::new();
    };
    let (before, behind) = (text.get(..place.start), text.get(place.end..));
    let (before, behind) = (before.unwrap_or(""), behind.unwrap_or(""));
    vec![match hand {
        Hand::Left if before.ends_with(|sign: char| sign.is_alphanumeric()) => {
            format!("{before}-LH{behind}")
        }
        Hand::Left => format!("{before}LH{behind}"),
        Hand::Right => format!("{}{behind}", before.trim_end_matches([' ', '-', ','])),
    }]
}

/// Whether it is no thread that nobody lists, or of a size that may be another.
fn is_plain(text: &str) -> bool {
    !has_odd_fraction(text)
        && read(text).is_ok_and(|thread| match &thread {
            Thread::Unified(unified) => {
                let larger = |taken: &Assumed| matches!(taken, Assumed::GreaterThanOne { .. });
                is_listed(&thread) && !unified.assumed.iter().any(larger)
            }
            Thread::IsoMetric(metric) => {
                let unlisted = |taken: &Assumed| matches!(taken, Assumed::UnlistedMetric { .. });
                !metric.assumed.iter().any(unlisted)
            }
            _ => true,
        })
}

/// Whether a standard lists the thread, with the size and count as they are written.
fn is_size(text: &str) -> bool {
    read(text).is_ok_and(|thread| is_listed(&thread))
}

/// Whether a standard lists the thread, and size and count are both stated.
fn is_listed(thread: &Thread) -> bool {
    let (assumed, special) = match thread {
        Thread::Unified(thread) => (&thread.assumed, thread.series == Series::Special),
        Thread::Unj(thread) => (&thread.base.assumed, thread.base.series == Series::Special),
        Thread::Whitworth(thread) => (&thread.assumed, thread.listed.is_none()),
        Thread::Acme(thread) => (&thread.assumed, false),
        // The size of a pipe thread is its name, and has one count.
        Thread::GPipe(_) | Thread::RPipe(_) | Thread::Npt(_) => return true,
        Thread::IsoMetric(_) | Thread::Mj(_) | Thread::Trapezoidal(_) | Thread::Ba(_) => {
            return false;
        }
    };
    let left_open = |taken: &Assumed| {
        matches!(
            taken,
            Assumed::CountOfSeries { .. } | Assumed::AcmeCount { .. } | Assumed::AcmeSize { .. }
        )
    };
    !special && !assumed.iter().any(left_open)
}

/// The listed thread of a size that is written with a slash, for one with a point that no standard lists: `1.4-20`.
pub(super) fn with_slash_meant(text: &str, thread: &Thread) -> Option<String> {
    let may = matches!(thread.form(), Form::Unified | Form::Acme | Form::Whitworth);
    if !may || is_listed(thread) {
        return None;
    }
    let typed = Typed::new(text, None);
    let meant = only(with_slash(text).into_iter().filter(|text| is_size(text)))?;
    typed.is_kept_by(&meant).then_some(meant)
}

/// The text with the words that a wrong one can have been meant as.
fn replaced<'t>(
    text: &'t str,
    error: &ThreadError,
    far: Far,
) -> impl Iterator<Item = String> + use<'t> {
    let symbol = matches!(
        error.fault(),
        Fault::UnknownSeries { .. } | Fault::UnknownForm { .. }
    );
    let word = matches!(
        error.fault(),
        Fault::Unexpected { .. } | Fault::UnknownClass { .. }
    );
    // One letter alone is like too many: it is looked at where it begins the designation.
    let least = if matches!(error.fault(), Fault::UnknownForm { .. }) {
        1
    } else {
        2
    };
    let found = around(text, error).filter(|_| symbol || word);
    let found = found.and_then(|(before, piece, _)| {
        let letters = |text: &str| text.bytes().take_while(u8::is_ascii_alphabetic).count();
        let mut start = before.len();
        let mut end = start + letters(piece);
        // The word may be right and the next one wrong: `STUB AMCE`.
        if text.get(start..end).is_some_and(is_known) {
            let blanks = text
                .get(end..)?
                .bytes()
                .take_while(|sign| *sign == b' ')
                .count();
            start = end + blanks;
            end = start + letters(text.get(start..)?);
        }
        let word = text.get(start..end).filter(|word| word.len() >= least)?;
        Some((text.get(..start)?, word, text.get(end..)?))
    });
    found.into_iter().flat_map(move |(before, word, behind)| {
        near(word, far, symbol).map(move |meant| format!("{before}{meant}{behind}"))
    })
}

/// The text without what belongs to the screw and not to its thread.
fn without(text: &str, error: &ThreadError) -> Option<String> {
    if !matches!(error.fault(), Fault::OfTheScrew { .. }) {
        return None;
    }
    if let Some(suggested) = error.suggestions().first() {
        return Some(suggested.clone());
    }
    let (before, _, behind) = around(text, error)?;
    Some(format!(
        "{}{behind}",
        before.trim_end_matches([' ', '-', ','])
    ))
}

/// What stands before the place of the error, in it and behind it.
fn around<'t>(text: &'t str, error: &ThreadError) -> Option<(&'t str, &'t str, &'t str)> {
    let place = error.at()?;
    let behind = text.get(place.end..)?;
    Some((text.get(..place.start)?, text.get(place)?, behind))
}

fn has_digit(text: &str) -> bool {
    text.contains(|sign: char| sign.is_ascii_digit())
}

fn digit_alone(text: &str) -> bool {
    let mut pieces = text.split(|sign: char| !sign.is_ascii_alphanumeric() && sign != '.');
    pieces.any(|piece| matches!(piece.as_bytes(), [b'0'..=b'9']))
}

/// The letters and digits of a text, whatever stands between them.
fn signs(text: &str) -> String {
    let letters = text.chars().filter(char::is_ascii_alphanumeric);
    letters.map(|letter| letter.to_ascii_lowercase()).collect()
}

/// The text with LH for a short word that has one of its letters and means nothing.
fn left_hand(text: &str, error: &ThreadError) -> Option<String> {
    let (Fault::Unexpected { given, .. } | Fault::UnknownClass { class: given, .. }) =
        error.fault()
    else {
        return None;
    };
    let letters = given.to_ascii_lowercase();
    let letters = letters.trim_matches(|sign: char| !sign.is_ascii_alphanumeric());
    let has = |letter: char| letters.contains(letter);
    let like = match letters.len() {
        // Or the right hand.
        // Or a right hand.
        1 => has('l') || has('h') && matches!(error.fault(), Fault::Unexpected { .. }),
        2 => {
            (has('l') || has('h'))
                && !has('r')
                && letters != "hh"
                && !letters.ends_with(['a', 'b', 'g'])
        }
        3 => has('l') && has('h'),
        _ => false,
    };
    let word = letters.chars().all(|letter| letter.is_ascii_alphabetic());
    let (before, _, after) = around(text, error)?;
    // One letter in the middle may be anything.
    let like =
        like && (letters.len() > 1 || !after.contains(|sign: char| sign.is_ascii_alphanumeric()));
    (like && word).then(|| format!("{before}LH{after}"))
}
