//! What may follow size, pitch and class in any form: hand, starts, length of engagement, external or internal.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::fraction::mixed;
use super::text::Cursor;
use crate::thread::ThreadError;
use crate::thread::{Element, EngagementFault, Fault, LeadMismatch};
use crate::thread::{Hand, Kind, PartOfScrew};
use crate::units::{Length, LengthUnit};

/// The elements read so far; each may be stated once.
#[derive(Default)]
pub(super) struct Tail {
    pub hand: Option<Hand>,
    pub kind: Option<Kind>,
    pub starts: Option<u16>,
    /// The gauging system of ASME B1.3: 21, 22 or 23.
    pub gauging: Option<u8>,
    pub engagement: Option<Length>,
    pub engagement_from: usize,
    pub engagement_end: usize,
}

impl Tail {
    /// Takes one shared element if it stands here; a bare length of engagement is in `unit`.
    pub fn take(&mut self, cursor: &mut Cursor<'_>, unit: LengthUnit) -> Result<bool, ThreadError> {
        let start = *cursor;
        if let Some(system) = gauging(cursor)? {
            return set(&mut self.gauging, system, Element::Gauging, start, *cursor);
        }
        if cursor.peek() == b'(' || cursor.peek() == b')' {
            cursor.bump();
            return Ok(true);
        }
        if let Some(starts) = starts(cursor)? {
            return set(&mut self.starts, starts, Element::Starts, start, *cursor);
        }
        if let Some(hand) = hand(cursor) {
            return set(&mut self.hand, hand, Element::Hand, start, *cursor);
        }
        if let Some(end) = screw_length(*cursor) {
            return Err(of_the_screw(start, end, PartOfScrew::Length));
        }
        let word = cursor.word();
        if let Some(kind) = kind(word) {
            cursor.advance(word.len());
            return set(&mut self.kind, kind, Element::Side, start, *cursor);
        }
        if word.eq_ignore_ascii_case("le") || word.eq_ignore_ascii_case("loe") {
            cursor.advance(word.len());
            let length = engagement(cursor, unit)?;
            self.engagement_from = start.at();
            self.engagement_end = cursor.at();
            return set(
                &mut self.engagement,
                length,
                Element::Engagement,
                start,
                *cursor,
            );
        }
        // Said by people, meaning nothing more than the designation does.
        for noise in ["thread", "threads", "thd", "series", "class", "cl"] {
            if cursor.eat_word(noise) {
                cursor.eat(b'.');
                return Ok(true);
            }
        }
        Ok(false)
    }
}

fn set<T>(
    slot: &mut Option<T>,
    value: T,
    what: Element,
    start: Cursor<'_>,
    end: Cursor<'_>,
) -> Result<bool, ThreadError> {
    if slot.is_some() {
        return Err(end.error_from(start.at(), Fault::Twice { what }));
    }
    *slot = Some(value);
    Ok(true)
}

/// `bolt`, `nut` and other words for the side.
pub(super) fn kind(word: &str) -> Option<Kind> {
    let is = |names: &[&str]| names.iter().any(|name| word.eq_ignore_ascii_case(name));
    if is(&["external", "ext", "bolt", "screw", "stud", "male"]) {
        Some(Kind::External)
    } else if is(&["internal", "int", "nut", "female", "tapped"]) {
        Some(Kind::Internal)
    } else {
        None
    }
}

/// The end of the length of a screw or the depth of a hole that stands here: `x 30`, `x 1 1/2"`, `x 30 mm LG`.
fn screw_length(mut cursor: Cursor<'_>) -> Option<Cursor<'_>> {
    if !cursor.eat(b'x') {
        return None;
    }
    cursor.skip_spaces();
    length_here(cursor)
}

/// The end of a length that stands here, with its unit and the words that go with one.
pub(super) fn length_here(mut cursor: Cursor<'_>) -> Option<Cursor<'_>> {
    let number = cursor.number().ok()?;
    if cursor.eat(b'/') {
        cursor.number().ok()?;
    } else {
        mixed(&mut cursor, number).ok()?;
    }
    let mut end = cursor;
    cursor.skip_spaces();
    if unit_here(&mut cursor).is_some() {
        end = cursor;
    }
    loop {
        cursor.skip_separators();
        let words = [
            "lg", "long", "length", "deep", "dp", "depth", "min", "full", "thru",
        ];
        if !words.iter().any(|word| cursor.eat_word(word)) {
            break;
        }
        end = cursor;
    }
    // A number with other letters behind it is something else.
    (!end.peek().is_ascii_alphanumeric()).then_some(end)
}

/// The error about what belongs to the screw and not to its thread.
pub(super) fn of_the_screw(start: Cursor<'_>, end: Cursor<'_>, what: PartOfScrew) -> ThreadError {
    let given = end.typed(start.at()).to_owned();
    end.error_from(start.at(), Fault::OfTheScrew { given, what })
}

/// `LH`, `L.H.`, `left`, `left hand`, and the same for right.
pub(super) fn hand(cursor: &mut Cursor<'_>) -> Option<Hand> {
    for (hand, short, long) in [(Hand::Left, "lh", "left"), (Hand::Right, "rh", "right")] {
        if cursor.eat_word(short) {
            return Some(hand);
        }
        let initial = short.as_bytes().first().copied().unwrap_or(0);
        if cursor.peek().eq_ignore_ascii_case(&initial)
            && cursor.ahead(1) == b'.'
            && cursor.ahead(2).eq_ignore_ascii_case(&b'h')
        {
            cursor.advance(3);
            cursor.eat(b'.');
            return Some(hand);
        }
        if cursor.eat_word(long) {
            let before = *cursor;
            cursor.skip_separators();
            if !cursor.eat_word("hand") && !cursor.eat_word("handed") {
                *cursor = before;
            }
            return Some(hand);
        }
    }
    None
}

/// `3 STARTS`, `(TWO STARTS)`, `2-start`, `double start`.
pub(super) fn starts(cursor: &mut Cursor<'_>) -> Result<Option<u16>, ThreadError> {
    const WORDS: [(&str, u16); 10] = [
        ("one", 1),
        ("two", 2),
        ("three", 3),
        ("four", 4),
        ("five", 5),
        ("six", 6),
        ("single", 1),
        ("double", 2),
        ("triple", 3),
        ("quadruple", 4),
    ];
    let mut ahead = *cursor;
    let count = if ahead.is_number() {
        let Ok(number) = ahead.number() else {
            return Ok(None);
        };
        u16::try_from(number.value).unwrap_or(0)
    } else {
        let word = ahead.word();
        let Some((_, count)) = WORDS
            .iter()
            .find(|(name, _)| word.eq_ignore_ascii_case(name))
        else {
            return Ok(None);
        };
        ahead.advance(word.len());
        *count
    };
    ahead.skip_separators();
    if !ahead.eat_word("start") && !ahead.eat_word("starts") {
        return Ok(None);
    }
    if !(1..=MOST_STARTS).contains(&count) {
        return Err(ahead.error_from(
            cursor.at(),
            Fault::lead(LeadMismatch::Starts {
                most: MOST_STARTS.into(),
            }),
        ));
    }
    *cursor = ahead;
    Ok(Some(count))
}

/// `(21)`, `(22)`, `(23)`.
fn gauging(cursor: &mut Cursor<'_>) -> Result<Option<u8>, ThreadError> {
    let mut ahead = *cursor;
    if !ahead.eat(b'(') {
        return Ok(None);
    }
    ahead.skip_spaces();
    let Ok(number) = ahead.number() else {
        return Ok(None);
    };
    ahead.skip_spaces();
    if !ahead.eat(b')') {
        return Ok(None);
    }
    let system = number
        .value
        .to_u8()
        .filter(|system| matches!(system, 21..=23));
    let from = cursor.at();
    *cursor = ahead;
    system.map(Some).ok_or_else(|| {
        cursor.error_from(
            from,
            Fault::UnknownGauging {
                given: cursor.typed(from).to_owned(),
            },
        )
    })
}

/// More starts than are ever cut.
pub(super) const MOST_STARTS: u16 = 24;

/// The length after `LE`, with or without its unit.
fn engagement(cursor: &mut Cursor<'_>, unit: LengthUnit) -> Result<Length, ThreadError> {
    cursor.skip_spaces();
    cursor.eat(b'=');
    cursor.skip_spaces();
    let number = cursor.number()?;
    let place = *cursor;
    cursor.skip_spaces();
    let unit = unit_here(cursor).unwrap_or_else(|| {
        *cursor = place;
        unit
    });
    if number.value <= Decimal::ZERO {
        return Err(cursor.error_from(number.from, Fault::engagement(EngagementFault::NotPositive)));
    }
    Length::from_decimal(number.value, unit)
        .map_err(|_| cursor.error_from(number.from, Fault::NoSuchNumber))
}

/// Takes a unit of length if one stands here.
pub(super) fn unit_here(cursor: &mut Cursor<'_>) -> Option<LengthUnit> {
    if cursor.eat(b'"') {
        return Some(LengthUnit::Inch);
    }
    if cursor.peek() == b'\'' && cursor.ahead(1) == b'\'' {
        cursor.advance(2);
        return Some(LengthUnit::Inch);
    }
    for (word, unit) in [
        ("mm", LengthUnit::Millimetre),
        ("in", LengthUnit::Inch),
        ("inch", LengthUnit::Inch),
        ("inches", LengthUnit::Inch),
    ] {
        if cursor.eat_word(word) {
            if unit == LengthUnit::Inch {
                cursor.eat(b'.');
            }
            return Some(unit);
        }
    }
    None
}

/// The kind that class and word agree on.
pub(super) fn agreed_kind(
    of_class: Kind,
    class: &str,
    of_word: Option<Kind>,
) -> Result<Kind, Box<Fault>> {
    match of_word {
        Some(word) if word != of_class => Err(Box::new(Fault::SideConflict {
            class: class.to_owned(),
            of_class,
            of_word: word,
        })),
        _ => Ok(of_class),
    }
}
