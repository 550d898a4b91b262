//! A designation as typed, read character by character.
//!
//! The many ways to write the same sign (`×`, `–`, `½`, a no-break space) are made one plain letter here, and
//! nowhere else; every letter remembers where in the input it stood, so that an error can point there.

use std::ops::Range;

use rust_decimal::Decimal;

use crate::thread::Fault;
use crate::thread::ThreadError;
use crate::units::digit_like;

/// No designation is longer; what is longer is a slip of the clipboard.
const LONGEST: usize = 160;

/// Stands for a character that no designation contains.
const FOREIGN: u8 = 0x1a;

/// The text, plain, with the place of each letter in the input.
pub(crate) struct Text<'a> {
    input: &'a str,
    plain: [u8; LONGEST],
    starts: [u32; LONGEST],
    len: usize,
    on_record: bool,
}

/// A place in the text. Copies are cheap, so that a reader can look ahead and come back.
#[derive(Clone, Copy)]
pub(crate) struct Cursor<'t> {
    text: &'t Text<'t>,
    at: usize,
}

/// An unsigned number as written, with its place.
#[derive(Clone, Copy)]
pub(crate) struct Number {
    pub value: Decimal,
    /// Whether it was written without a decimal sign.
    pub whole: bool,
    pub from: usize,
}

impl<'a> Text<'a> {
    pub fn new(input: &'a str) -> Result<Self, ThreadError> {
        let mut text = Self {
            input,
            plain: [0; LONGEST],
            starts: [0; LONGEST],
            len: 0,
            on_record: false,
        };
        let trimmed = input.trim();
        let before = input.len() - input.trim_start().len();
        for (offset, character) in trimmed.char_indices() {
            let start = u32::try_from(before + offset).unwrap_or(u32::MAX);
            let fits = match character {
                '\u{bd}' => text.push_fraction(b"1/2", start),
                '\u{bc}' => text.push_fraction(b"1/4", start),
                '\u{be}' => text.push_fraction(b"3/4", start),
                '\u{215b}' => text.push_fraction(b"1/8", start),
                '\u{215c}' => text.push_fraction(b"3/8", start),
                '\u{215d}' => text.push_fraction(b"5/8", start),
                '\u{215e}' => text.push_fraction(b"7/8", start),
                _ => text.push(plain(character), start),
            };
            if !fits {
                return Err(ThreadError::new(Fault::TooLong));
            }
        }
        if text.len == 0 {
            return Err(ThreadError::new(Fault::Empty));
        }
        Ok(text)
    }

    /// The same of a record: what was read once is read still, whatever is refused of what is typed today.
    pub fn on_record(input: &'a str) -> Result<Self, ThreadError> {
        Ok(Self {
            on_record: true,
            ..Self::new(input)?
        })
    }

    fn push(&mut self, letter: u8, start: u32) -> bool {
        let (Some(plain), Some(place)) =
            (self.plain.get_mut(self.len), self.starts.get_mut(self.len))
        else {
            return false;
        };
        *plain = letter;
        *place = start;
        self.len += 1;
        true
    }

    /// `1½` is a mixed fraction, `1 1/2`.
    fn push_fraction(&mut self, fraction: &[u8], start: u32) -> bool {
        let after_digit = self.len > 0 && self.letter(self.len - 1).is_ascii_digit();
        (!after_digit || self.push(b' ', start))
            && fraction.iter().all(|&letter| self.push(letter, start))
    }

    /// The same text without one letter; every other letter keeps its place in the input.
    pub fn without(&self, at: usize) -> Self {
        let mut text = Self {
            input: self.input,
            plain: [0; LONGEST],
            starts: [0; LONGEST],
            len: 0,
            on_record: self.on_record,
        };
        let letters = self.plain.iter().zip(&self.starts).take(self.len);
        for (index, (&letter, &start)) in letters.enumerate() {
            if index != at {
                text.push(letter, start);
            }
        }
        text
    }

    fn letter(&self, at: usize) -> u8 {
        if at < self.len {
            self.plain.get(at).copied().unwrap_or(0)
        } else {
            0
        }
    }

    /// The bytes of the input that the plain letters `from..to` came from.
    fn place(&self, from: usize, to: usize) -> Range<usize> {
        let end_of_input = self.input.trim_end().len();
        let start_of = |at: usize| match self.starts.get(at) {
            Some(&start) if at < self.len => start as usize,
            _ => end_of_input,
        };
        let start = start_of(from);
        let end = start_of(to);
        // Letters of one expanded character share a place.
        if end > start {
            start..end
        } else {
            let width = self
                .input
                .get(start..)
                .and_then(|rest| rest.chars().next())
                .map_or(0, char::len_utf8);
            start..start + width
        }
    }
}

/// One plain letter for the many signs that mean it.
fn plain(character: char) -> u8 {
    match character {
        // Times signs, and the Cyrillic letter that looks like an x.
        '\u{d7}' | '*' | '\u{2715}' | '\u{2a2f}' | '\u{425}' | '\u{445}' => b'x',
        '\u{2010}'..='\u{2015}' | '\u{2212}' | '\u{ad}' => b'-',
        '\u{2044}' | '\u{2215}' => b'/',
        '\u{201c}' | '\u{201d}' | '\u{2033}' => b'"',
        '\u{2116}' => b'#',
        _ if latin(character).is_some() => latin(character).unwrap_or(FOREIGN),
        _ if character.is_whitespace() => b' ',
        _ => u8::try_from(character)
            .ok()
            .filter(u8::is_ascii_graphic)
            .unwrap_or(FOREIGN),
    }
}

/// The Latin letter that a letter of the Cyrillic or Greek keyboard looks like, where it looks like one.
pub fn looks_like(letter: char) -> Option<char> {
    latin(letter).map(char::from)
}

const fn latin(character: char) -> Option<u8> {
    Some(match character {
        '\u{410}' | '\u{391}' => b'A',
        '\u{412}' | '\u{392}' => b'B',
        '\u{421}' => b'C',
        '\u{415}' | '\u{395}' => b'E',
        '\u{41d}' | '\u{397}' => b'H',
        '\u{406}' | '\u{399}' => b'I',
        '\u{408}' => b'J',
        '\u{41c}' | '\u{43c}' | '\u{39c}' => b'M',
        '\u{39d}' => b'N',
        '\u{41e}' | '\u{39f}' => b'O',
        '\u{420}' | '\u{3a1}' => b'P',
        '\u{405}' => b'S',
        '\u{422}' | '\u{3a4}' => b'T',
        '\u{3a7}' => b'x',
        '\u{430}' => b'a',
        '\u{441}' => b'c',
        '\u{435}' => b'e',
        '\u{456}' => b'i',
        '\u{458}' => b'j',
        '\u{43e}' | '\u{3bf}' => b'o',
        '\u{440}' => b'p',
        '\u{455}' => b's',
        _ => return None,
    })
}

/// The digit that a letter stands for by mistake, and how far-fetched that is: 0, 1, or 2 for the B of a class.
pub(super) fn digit_for(letter: char) -> Option<(char, u8)> {
    let letter = latin(letter).map_or(letter, char::from);
    Some(match letter {
        '|' => ('1', 1),
        'S' | 's' => ('5', 1),
        'Z' => ('2', 1),
        'B' => ('8', 2),
        _ => (digit_like(letter)?, 0),
    })
}

impl<'t> Cursor<'t> {
    pub const fn new(text: &'t Text<'t>) -> Self {
        Self { text, at: 0 }
    }

    pub const fn at(self) -> usize {
        self.at
    }

    /// The letter `ahead` places on, 0 behind the end.
    pub fn ahead(self, ahead: usize) -> u8 {
        self.text.letter(self.at.saturating_add(ahead))
    }

    pub fn peek(self) -> u8 {
        self.ahead(0)
    }

    /// The letter before this place, 0 at the start.
    pub fn before(self) -> u8 {
        self.at.checked_sub(1).map_or(0, |at| self.text.letter(at))
    }

    pub const fn is_at_end(self) -> bool {
        self.at >= self.text.len
    }

    pub fn bump(&mut self) {
        self.at = (self.at + 1).min(self.text.len);
    }

    /// Takes a letter if it stands here, in either case.
    pub fn eat(&mut self, letter: u8) -> bool {
        let found = self.peek().eq_ignore_ascii_case(&letter);
        if found {
            self.bump();
        }
        found
    }

    pub fn skip_spaces(&mut self) {
        while self.peek() == b' ' {
            self.bump();
        }
    }

    /// Skips what people put between the parts: spaces, hyphens, commas, a full stop.
    pub fn skip_separators(&mut self) {
        while matches!(self.peek(), b' ' | b'-' | b',' | b';' | b'_')
            || (self.peek() == b'.' && !self.ahead(1).is_ascii_digit())
        {
            self.bump();
        }
    }

    /// The letters a-z from here on, without moving.
    pub fn word(self) -> &'t str {
        let mut end = self.at;
        while self.text.letter(end).is_ascii_alphabetic() {
            end += 1;
        }
        self.plain(self.at, end)
    }

    /// Every run of letters from here on, with its place.
    pub fn words(self) -> impl Iterator<Item = (usize, &'t str)> {
        let mut cursor = self;
        std::iter::from_fn(move || {
            while !cursor.is_at_end() && !cursor.peek().is_ascii_alphabetic() {
                cursor.bump();
            }
            let (from, word) = (cursor.at, cursor.word());
            cursor.advance(word.len());
            (!word.is_empty()).then_some((from, word))
        })
    }

    /// The last place where a text stands, in either case: what an error about it points at.
    pub fn last_place_of(self, text: &str) -> Option<(usize, usize)> {
        let all = self.plain(0, self.text.len);
        (0..all.len()).rev().find_map(|from| {
            let end = from + text.len();
            all.get(from..end)
                .is_some_and(|piece| piece.eq_ignore_ascii_case(text))
                .then_some((from, end))
        })
    }

    /// Takes a text that no letter or digit follows, in either case.
    pub fn eat_piece(&mut self, text: &str) -> bool {
        let found = self
            .plain(self.at, self.at.saturating_add(text.len()))
            .eq_ignore_ascii_case(text)
            && !self.ahead(text.len()).is_ascii_alphanumeric();
        if found {
            self.at += text.len();
        }
        found
    }

    /// Takes a whole word, in either case.
    pub fn eat_word(&mut self, word: &str) -> bool {
        let found = self.word().eq_ignore_ascii_case(word);
        if found {
            self.at += word.len();
        }
        found
    }

    /// Moves on by a number of letters.
    pub fn advance(&mut self, letters: usize) {
        self.at = (self.at + letters).min(self.text.len);
    }

    fn plain(self, from: usize, to: usize) -> &'t str {
        self.text
            .plain
            .get(from..to.min(self.text.len))
            .and_then(|letters| std::str::from_utf8(letters).ok())
            .unwrap_or("")
    }

    /// Whether a number starts here.
    pub fn is_number(self) -> bool {
        self.peek().is_ascii_digit()
            || (matches!(self.peek(), b'.' | b',') && self.ahead(1).is_ascii_digit())
    }

    /// Whether the text is that of a record.
    pub const fn is_on_record(&self) -> bool {
        self.text.on_record
    }

    /// Takes an unsigned decimal number; a comma before a digit is a decimal sign.
    pub fn number(&mut self) -> Result<Number, ThreadError> {
        let from = self.at;
        let (mut mantissa, mut scale, mut digits) = (0_i64, 0_u32, 0_u32);
        let mut seen_sign = false;
        loop {
            let letter = self.peek();
            if letter.is_ascii_digit() {
                digits += 1;
                if digits > 12 {
                    return Err(self.error_from(from, Fault::NoSuchNumber));
                }
                mantissa = mantissa * 10 + i64::from(letter - b'0');
                scale += u32::from(seen_sign);
            } else if matches!(letter, b'.' | b',')
                && !seen_sign
                && (self.ahead(1).is_ascii_digit() || (letter == b'.' && digits > 0))
            {
                seen_sign = true;
            } else {
                break;
            }
            self.bump();
        }
        if seen_sign && matches!(self.peek(), b'.' | b',') && self.ahead(1).is_ascii_digit() {
            let second = *self;
            return Err(second.next_piece().error_from(from, Fault::TwoDecimalSigns));
        }
        if digits == 0 {
            return Err(self.error_from(from, Fault::NumberMissing));
        }
        // `1.S` is 1.5 with a slip; a pitch of 1 and an S would be another thread.
        if !self.is_on_record()
            && matches!(self.before(), b'.' | b',')
            && self.peek().is_ascii_alphabetic()
            && digit_for(char::from(self.peek())).is_some()
        {
            return Err(self.next_piece().error_from(from, Fault::NoSuchNumber));
        }
        Ok(Number {
            value: Decimal::new(mantissa, scale),
            whole: !seen_sign,
            from,
        })
    }

    /// The input between a place and this one, as typed.
    pub fn typed(self, from: usize) -> &'t str {
        let place = self.text.place(from, self.at);
        self.text.input.get(place).unwrap_or("").trim()
    }

    /// The same with the spaces at its ends.
    pub fn typed_all(self, from: usize) -> &'t str {
        let place = self.text.place(from, self.at);
        if from == self.at {
            return "";
        }
        self.text.input.get(place).unwrap_or("")
    }

    /// Moves to a place.
    pub fn go_to(&mut self, at: usize) {
        self.at = at.min(self.text.len);
    }

    /// The word or number that starts here, as typed: what an error points at.
    pub fn next_piece(self) -> Cursor<'t> {
        let mut end = self;
        while !end.is_at_end() && !matches!(end.peek(), b' ' | b',' | b';' | b'(' | b')' | b'-') {
            end.bump();
        }
        if end.at == self.at {
            end.bump();
        }
        end
    }

    /// An error about what stands between a place and this one.
    pub fn error_from(self, from: usize, fault: Fault) -> ThreadError {
        ThreadError::new(fault).with_place(self.text.place(from, self.at.max(from)))
    }

    /// An error about what stands between two places.
    pub fn error_span(self, from: usize, end: usize, fault: Fault) -> ThreadError {
        ThreadError::new(fault).with_place(self.text.place(from, end.max(from)))
    }

    /// The input from a place to its end, as typed.
    pub fn rest_from(self, from: usize) -> &'t str {
        if from >= self.text.len {
            return "";
        }
        let place = self.text.place(from, self.text.len);
        self.text.input.get(place).unwrap_or("")
    }

    /// An error about this place.
    pub fn error_here(self, fault: Fault) -> ThreadError {
        self.next_piece().error_from(self.at, fault)
    }
}
