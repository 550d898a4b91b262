//! What to write instead of a wrong designation.
//!
//! A slip that is known (an O typed for a zero, `g6` for `6g`, `LHT` for `LH`) is offered alone. What the reader offers
//! otherwise must keep what was understood: a left-hand thread does not become a right-hand one because its class is wrong.

use super::read;
use super::tail::{hand, starts};
use super::text::{Cursor, Text, digit_for};
use crate::thread::{Fault, Hand, ThreadError};

/// The error with the designations that can have been meant.
pub(super) fn suggest(text: &str, error: ThreadError) -> ThreadError {
    let names_a_thread = |text: &String| read(text).is_ok();
    let with_digits: Vec<_> = (0..=2).filter_map(|far| with_digits(text, far)).collect();
    // Two slips in one: the digits first, then what is wrong with the rest.
    let after = with_digits
        .iter()
        .filter_map(|text| Some(other_slips(text, &read(text).err()?)))
        .flatten();
    let all = with_digits.iter().cloned().chain(other_slips(text, &error));
    if let Some(meant) = all.chain(after).find(names_a_thread) {
        return error.suggest_only(meant);
    }
    // `h6g5` was meant to be a class; the size alone has another.
    if let Fault::Unexpected { given, .. } = error.fault()
        && given.starts_with(|letter: char| letter.is_ascii_alphabetic())
        && given.contains(|letter: char| letter.is_ascii_digit())
    {
        return error.keep(|_| None);
    }
    // What cannot be read may have been the hand: it is offered before the thread without it.
    if let Some(left) = left_hand(text, &error).filter(names_a_thread) {
        return error
            .suggest_first(left)
            .keep(|text| Some(text.to_owned()).filter(names_a_thread));
    }
    let rest = around(text, &error).map_or("", |(_, _, rest)| rest.trim_end());
    let stated = Stated::of(text);
    error.keep(|suggestion| {
        let has_rest = signs(suggestion).ends_with(&signs(rest));
        let whole = (!has_rest).then(|| format!("{suggestion}{rest}"));
        let left = format!("{suggestion} LH");
        [whole, Some(suggestion.to_owned()), Some(left)]
            .into_iter()
            .flatten()
            .find(|text| names_a_thread(text) && Stated::of(text) == stated)
    })
}

/// The letters and digits of a text, whatever stands between them.
fn signs(text: &str) -> String {
    let letters = text.chars().filter(char::is_ascii_alphanumeric);
    letters.map(|letter| letter.to_ascii_lowercase()).collect()
}

/// The text with digits for the letters that look like them, so far-fetched at most, and stand beside a digit or the sign
/// within a number.
fn with_digits(text: &str, far: u8) -> Option<String> {
    let digit = |letter: &char| digit_for(*letter).filter(|(_, own)| *own <= far);
    let mut letters: Vec<char> = text.trim().chars().collect();
    let in_number = |letter: Option<&char>| {
        letter.is_some_and(|letter| letter.is_ascii_digit() || ".,/".contains(*letter))
    };
    let mut changed = false;
    // From both ends, so that a letter beside another that was replaced is replaced too.
    for _ in 0..2 {
        for at in 0..letters.len() {
            let beside = at.checked_sub(1).and_then(|before| letters.get(before));
            if (in_number(beside) || in_number(letters.get(at + 1)))
                && let Some((meant, _)) = letters.get(at).and_then(digit)
                && let Some(letter) = letters.get_mut(at)
            {
                *letter = meant;
                changed = true;
            }
        }
        letters.reverse();
    }
    changed.then(|| letters.into_iter().collect())
}

/// The text with another piece where the error stands: letter and digit in their other order, a hand that was written
/// onto the class, a letter too much.
fn other_slips(text: &str, error: &ThreadError) -> Vec<String> {
    let known = matches!(
        error.fault(),
        Fault::Unexpected { .. } | Fault::UnknownClass { .. } | Fault::UnknownSeries { .. }
    );
    let Some((before, piece, after)) = around(text, error).filter(|_| known) else {
        return Vec::new();
    };
    let letters: Vec<char> = piece.chars().collect();
    let mut pieces = vec![swapped(&letters)];
    for hand in ["lh", "rh", "left", "right"] {
        let at = piece.len().checked_sub(hand.len()).filter(|at| *at > 0);
        let parts = at.and_then(|at| Some((piece.get(..at)?, piece.get(at..)?)));
        let joined = parts.filter(|(_, end)| end.eq_ignore_ascii_case(hand));
        pieces.push(joined.map(|(class, hand)| format!("{class}-{hand}")));
    }
    // A letter of a class or of a series of Unified threads means something, whichever it is.
    let of_unified = piece
        .get(..2)
        .is_some_and(|start| start.eq_ignore_ascii_case("un"));
    let stray = letters.len() > 2 && letters.iter().all(char::is_ascii_alphabetic) && !of_unified;
    if stray {
        pieces.push(letters.split_last().map(|(_, rest)| rest.iter().collect()));
    }
    let pieces = pieces.into_iter().flatten();
    pieces
        .map(|piece| format!("{before}{piece}{after}"))
        .collect()
}

/// What stands before the place of the error, in it and behind it.
fn around<'t>(text: &'t str, error: &ThreadError) -> Option<(&'t str, &'t str, &'t str)> {
    let place = error.at()?;
    let behind = text.get(place.end..)?;
    Some((text.get(..place.start)?, text.get(place)?, behind))
}

/// The text with LH for a word that has one of its letters and means nothing.
fn left_hand(text: &str, error: &ThreadError) -> Option<String> {
    let Fault::Unexpected { given, .. } = error.fault() else {
        return None;
    };
    let word = given.chars().all(|letter| letter.is_ascii_alphabetic());
    let like = word && given.len() <= 5 && given.contains(['l', 'L', 'h', 'H']);
    let (before, _, after) = around(text, error)?;
    like.then(|| format!("{before}LH{after}"))
}

/// `g6` as `6g`, `g5h6` as `5g6h`.
fn swapped(letters: &[char]) -> Option<String> {
    let pairs = letters.chunks(2).map(|pair| match pair {
        [letter, digit] if letter.is_ascii_alphabetic() && digit.is_ascii_digit() => {
            Some([*digit, *letter])
        }
        _ => None,
    });
    let pairs: Option<Vec<_>> = pairs.collect();
    pairs.map(|pairs| pairs.iter().flatten().collect())
}

/// What a text says of its thread wherever it stands in it.
#[derive(Default, PartialEq, Eq)]
struct Stated {
    left: bool,
    starts: Option<u16>,
}

impl Stated {
    fn of(text: &str) -> Self {
        let mut stated = Self::default();
        let Ok(plain) = Text::new(text) else {
            return stated;
        };
        let mut cursor = Cursor::new(&plain);
        while !cursor.is_at_end() {
            if !cursor.before().is_ascii_alphanumeric() {
                stated.left |= hand(&mut cursor.clone()) == Some(Hand::Left);
                let found = starts(&mut cursor.clone()).ok().flatten();
                stated.starts = stated.starts.or(found);
            }
            cursor.bump();
        }
        stated
    }
}
