//! Letters and digits: one for the other, or in another order.

use super::super::text::digit_for;
use super::around;
use crate::thread::{Fault, ThreadError};

/// The text with digits for the letters that look like them, so far-fetched at most, and stand beside a digit or the sign
/// within a number.
pub(super) fn with_digits(text: &str, far: u8) -> Option<String> {
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
    let text: String = letters.into_iter().collect();
    (changed && !has_odd_number(&text)).then_some(text)
}

/// Whether a number begins with a zero, as `06`, or a fraction is of one.
fn has_odd_number(text: &str) -> bool {
    let letters = text.as_bytes();
    let digit = |at: usize| letters.get(at).is_some_and(u8::is_ascii_digit);
    (0..letters.len()).any(|at| {
        let before = at.checked_sub(1);
        let after = |signs: &[u8]| {
            let sign = before.and_then(|before| letters.get(before));
            sign.is_some_and(|sign| signs.contains(sign))
        };
        let zero = letters.get(at) == Some(&b'0') && digit(at + 1);
        let in_number = before.is_some_and(digit) || after(b".,");
        let whole = letters.get(at) == Some(&b'1') && !digit(at + 1) && after(b"/");
        (zero && !in_number) || whole
    })
}

/// The text with another piece where the error stands: letter and digit in their other order, a hand that was written
/// onto the class.
pub(super) fn other_slips(text: &str, error: &ThreadError) -> Vec<String> {
    let known = matches!(
        error.fault(),
        Fault::Unexpected { .. } | Fault::UnknownClass { .. } | Fault::UnknownSeries { .. }
    );
    let Some((before, piece, after)) = around(text, error).filter(|_| known) else {
        return Vec::new();
    };
    let letters: Vec<char> = piece.chars().collect();
    let mut pieces = vec![swapped(&letters)];
    // `ZA` for 2A.
    if let [digit, letter] = letters.as_slice()
        && let Some((meant, _)) = digit_for(*digit).filter(|(_, far)| *far < 2)
        && letter.is_ascii_alphabetic()
    {
        pieces.push(Some(format!("{meant}{letter}")));
    }
    // `1h` and `1.h.` for `lh` and `l.h.`.
    if ["1h", "1.h", "1.h."]
        .iter()
        .any(|hand| hand.eq_ignore_ascii_case(piece))
    {
        pieces.push(Some("LH".to_owned()));
    }
    for hand in ["lh", "rh", "left", "right"] {
        let at = piece.len().checked_sub(hand.len()).filter(|at| *at > 0);
        let parts = at.and_then(|at| Some((piece.get(..at)?, piece.get(at..)?)));
        // `LLH` has a letter too many; a class has a digit.
        let joined = parts.filter(|(class, end)| {
            end.eq_ignore_ascii_case(hand) && class.contains(|sign: char| sign.is_ascii_digit())
        });
        pieces.push(joined.map(|(class, hand)| format!("{class}-{hand}")));
    }
    let pieces = pieces.into_iter().flatten();
    pieces
        .map(|piece| format!("{before}{piece}{after}"))
        .collect()
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
