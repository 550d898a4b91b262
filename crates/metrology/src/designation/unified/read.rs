//! Reads the elements of a Unified designation, in the order they stand.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::build::build;
use super::class::{is_class, read_class};
use super::parts::{Elements, Parts, Size};
use super::stated::read_stated;
use crate::designation::fraction::{
    count_of_pitch, fraction, mixed, mixed_count, ten_thousandths, whole,
};
use crate::designation::tail::{self, MOST_STARTS, Tail};
use crate::designation::text::{Cursor, Number};
use crate::thread::Form;
use crate::thread::ThreadError;
use crate::thread::unified::{Series, UnifiedThread, number_size};
use crate::thread::unified::{UnifiedSize, unified_sizes_near};
use crate::thread::{Begins, Element, Fault, GivenPitch, KnownClasses, LeadMismatch, UnitOf};
use crate::units::{LengthUnit, ThreadsPerInch};

/// Whether a Unified designation can begin like this.
pub(in crate::designation) fn begins(mut cursor: Cursor<'_>) -> bool {
    cursor.skip_separators();
    let word = cursor.word();
    cursor.is_number()
        || cursor.peek() == b'#'
        || ["no", "nr", "number"]
            .iter()
            .any(|name| word.eq_ignore_ascii_case(name))
        || Series::from_symbol(word).is_some()
}

/// Reads a Unified designation.
pub(in crate::designation) fn read(mut cursor: Cursor<'_>) -> Result<UnifiedThread, ThreadError> {
    let c = &mut cursor;
    let mut parts = read_size(c)?;
    read_count(c, &mut parts)?;
    let (mut own, mut tail) = (Elements::default(), Tail::default());
    loop {
        c.skip_separators();
        if c.is_at_end() {
            break;
        }
        read_element(c, &mut parts, &mut own, &mut tail)?;
    }
    build(*c, &parts, &tail, &own)
}

fn read_size<'t>(c: &mut Cursor<'t>) -> Result<Parts<'t>, ThreadError> {
    let mut series = None;
    if let Some(symbol) = Series::from_symbol(c.word()) {
        let from = c.at();
        c.advance(c.word().len());
        series = Some((symbol, from, c.at()));
        c.skip_separators();
    }
    let missing = Fault::MissingSize {
        form: Begins::Unified,
    };
    let mut behind_minus = *c;
    behind_minus.skip_separators();
    if is_class(behind_minus) {
        return Err(c.error_here(missing));
    }
    refuse_minus(c, Element::Size)?;
    let size_from = c.at();
    let mut numbered = c.eat(b'#');
    for name in ["no", "nr", "number"] {
        if !numbered && c.eat_word(name) {
            c.eat(b'.');
            numbered = true;
        }
    }
    c.skip_spaces();
    if !c.is_number() {
        return Err(c.error_here(missing));
    }
    let first = c.number()?;
    let size = if numbered {
        let number = whole(first).and_then(number_size);
        Size::Known(number.ok_or_else(|| {
            c.error_from(
                size_from,
                Fault::UnknownNumberSize {
                    number: first.value.to_string(),
                },
            )
        })?)
    } else if c.peek() == b'/' {
        c.bump();
        Size::Known(fraction(c, 0, first)?)
    } else if let Some(mixed) = mixed(c, first)? {
        Size::Known(mixed)
    } else if let (Some(number), true) = (whole(first), first.whole) {
        Size::Bare(number)
    } else {
        Size::Known(ten_thousandths(c, first.value, size_from)?)
    };
    let size_typed = c.typed(size_from);
    let size_end = c.at();
    let before = *c;
    c.skip_spaces();
    let size = match (tail::unit_here(c), size) {
        (Some(LengthUnit::Inch), Size::Bare(number)) => {
            Size::Known(ten_thousandths(c, Decimal::from(number), size_from)?)
        }
        (Some(LengthUnit::Inch), size) => size,
        (Some(_), _) => {
            return Err(c.error_from(
                before.at(),
                Fault::WrongUnit {
                    form: UnitOf::Unified,
                },
            ));
        }
        (None, size) => {
            *c = before;
            size
        }
    };
    Ok(Parts {
        size,
        three_decimals: first.value.scale() == 3,
        size_from,
        size_end,
        size_typed,
        count: None,
        count_typed: "",
        count_from: c.at(),
        count_end: c.at(),
        lead_starts: None,
        series,
    })
}

/// Threads per inch, or pitch with lead: `-20`, `x 20`, `-4 1/2`, `-0.0625P-0.1875L`.
fn read_count<'t>(c: &mut Cursor<'t>, parts: &mut Parts<'t>) -> Result<(), ThreadError> {
    let before = *c;
    c.skip_separators();
    if c.eat(b'x') {
        c.skip_spaces();
        refuse_minus(c, Element::Count)?;
    } else if c.before() == b'-' && before.peek() == b'-' && before.ahead(1) == b'-' {
        return Err(c.error_from(
            before.at() + 1,
            Fault::Negative {
                what: Element::Count,
            },
        ));
    }
    if !c.is_number() || is_class(*c) {
        *c = before;
        return Ok(());
    }
    parts.count_from = c.at();
    let first = c.number()?;
    if c.eat_word("p") {
        parts.count = Some(count_of_pitch(c, first)?);
        parts.count_typed = c.typed(parts.count_from);
        parts.lead_starts = read_lead(c, first)?;
    } else {
        let count = if c.peek() == b'/' {
            return Err(c.error_from(first.from, Fault::NoSuchNumber));
        } else {
            mixed_count(c, first)?
        };
        parts.count_typed = c.typed(parts.count_from);
        parts.count = Some(ThreadsPerInch::from_decimal(count).map_err(|_| {
            let known = match parts.size {
                Size::Known(diameter) => unified_sizes_near(diameter)
                    .map(UnifiedSize::listed)
                    .collect(),
                Size::Bare(_) => Vec::new(),
            };
            c.error_from(
                parts.count_from,
                Fault::ImpossiblePitch {
                    size: parts.size_typed.to_owned(),
                    pitch: GivenPitch::PerInch { count },
                },
            )
            .suggest(known)
        })?);
        let after = *c;
        c.skip_separators();
        if !c.eat_word("tpi") {
            *c = after;
        }
    }
    parts.count_end = c.at();
    Ok(())
}

/// The lead after the pitch, `-0.1875L`, as a number of starts.
pub(in crate::designation) fn read_lead(
    c: &mut Cursor<'_>,
    pitch: Number,
) -> Result<Option<u16>, ThreadError> {
    let before = *c;
    c.skip_separators();
    if !c.is_number() {
        *c = before;
        return Ok(None);
    }
    let lead = c.number()?;
    if !c.eat_word("l") {
        *c = before;
        return Ok(None);
    }
    let starts = (lead.value.checked_div(pitch.value))
        .map(|ratio| ratio.round())
        .and_then(|ratio| ratio.to_u16())
        .filter(|starts| (1..=MOST_STARTS).contains(starts));
    let mismatch = || {
        c.error_from(
            lead.from,
            Fault::lead(LeadMismatch::NoMultiple {
                lead: lead.value,
                pitch: pitch.value,
            }),
        )
    };
    let starts = starts.ok_or_else(mismatch)?;
    // Lead and pitch are both written rounded.
    let slack = Decimal::new(1, 4) * Decimal::from(starts);
    if (lead.value - pitch.value * Decimal::from(starts)).abs() > slack {
        return Err(mismatch());
    }
    Ok(Some(starts))
}

/// Takes one of the elements behind size and count; they may stand in any order.
fn read_element(
    c: &mut Cursor<'_>,
    parts: &mut Parts<'_>,
    own: &mut Elements,
    tail: &mut Tail,
) -> Result<(), ThreadError> {
    let start = *c;
    let word = c.word();
    if let Some(symbol) = Series::from_symbol(word) {
        c.advance(word.len());
        if parts.series.is_some() {
            return Err(c.error_from(
                start.at(),
                Fault::Twice {
                    what: Element::Series,
                },
            ));
        }
        parts.series = Some((symbol, start.at(), c.at()));
        return Ok(());
    }
    if is_class(*c) {
        return read_class(c, parts, own);
    }
    if tail.take(c, LengthUnit::Inch)? {
        return Ok(());
    }
    if c.eat_word("se") {
        own.special_engagement = true;
        own.special_from = start.at();
        return Ok(());
    }
    if let Some(stated) = read_stated(c)? {
        own.stated.push(stated);
        return Ok(());
    }
    if c.eat_word("mod") || c.eat_word("modified") {
        return Err(c.error_from(start.at(), Fault::Modified).suggest(
            build(start, parts, tail, own)
                .map(|thread| thread.to_string())
                .ok(),
        ));
    }
    Err(unexpected(*c, parts, own))
}

/// Something that is no element: a wrong class, a wrong series or a stray piece.
fn unexpected(c: Cursor<'_>, parts: &Parts<'_>, own: &Elements) -> ThreadError {
    let mut end = c.next_piece();
    let word = c.word();
    let typed = end.typed(c.at()).to_owned();
    let unknown_class = |known, classes: &[String]| {
        let (stem, class) = (parts.stem(), typed.clone());
        end.error_from(c.at(), Fault::UnknownClass { class, known })
            .suggest(classes.iter().map(|class| format!("{stem}-{class}")))
    };
    let letter = word.to_ascii_uppercase();
    if own.class.is_none() && typed == word && (letter == "A" || letter == "B") {
        let classes = ["2", "3", "1"].map(|digit| format!("{digit}{letter}"));
        return unknown_class(KnownClasses::Unified, &classes);
    }
    let class_like = c.peek().is_ascii_digit();
    if class_like && own.class.is_none() {
        let known = if typed.len() == 1 && matches!(c.peek(), b'1'..=b'3') {
            KnownClasses::UnifiedLetter
        } else {
            KnownClasses::Unified
        };
        let classes = ["2A", "2B", "3A", "3B", "1A", "1B"].map(str::to_owned);
        return unknown_class(known, &classes);
    }
    if word.len() >= 2 && parts.series.is_none() && own.class.is_none() {
        end = c;
        end.advance(word.len());
        let error = end.error_from(
            c.at(),
            Fault::UnknownSeries {
                given: word.to_owned(),
            },
        );
        // A word that is nothing like a series is the name of another form, and size and count may be those of both.
        let like = word.starts_with(['U', 'u', 'N', 'n']);
        if !like || !parts.is_listed() {
            return error;
        }
        // A root of controlled radius is none that may be lost on the way.
        let mut stem = parts.stem();
        if word.contains(['j', 'J']) {
            stem = stem.replacen("UN", "UNJ", 1);
        }
        return error.suggest_with(vec![stem], end.rest_from(end.at()));
    }
    end.error_from(
        c.at(),
        Fault::Unexpected {
            given: typed,
            form: Form::Unified,
        },
    )
    // Without a series, a size and count that none lists may be those of another form.
    .suggest((parts.series.is_some() || parts.is_listed()).then(|| {
        if own.class_typed.is_empty() {
            parts.stem()
        } else {
            format!("{}-{}", parts.stem(), own.class_typed)
        }
    }))
}

fn refuse_minus(c: &mut Cursor<'_>, what: Element) -> Result<(), ThreadError> {
    let from = c.at();
    if c.eat(b'-') {
        return Err(c.error_from(from, Fault::Negative { what }));
    }
    Ok(())
}
