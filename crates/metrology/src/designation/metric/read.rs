//! Reads the elements of a metric designation, in the order they stand.

use rust_decimal::Decimal;

use super::build::build;
use super::class::{default_class, is_class, is_class_letter, read_class};
use super::parts::{ClassWhenOpen, Parts, is_property_class, size_text};
use crate::designation::tail::{self, MOST_STARTS, Tail};
use crate::designation::text::{Cursor, Number};
use crate::thread::Form;
use crate::thread::ThreadError;
use crate::thread::metric::{EngagementGroup, MetricThread, metric_size};
use crate::thread::{
    Begins, Covered, Element, Fault, KnownClasses, LeadMismatch, MissingPitch, PartOfScrew, UnitOf,
};
use crate::units::{Length, LengthUnit};

/// Reads a metric designation.
pub(in crate::designation) fn read(cursor: Cursor<'_>) -> Result<MetricThread, ThreadError> {
    read_with(cursor, default_class)
}

/// Reads a metric designation of a form with its own default class.
pub(in crate::designation) fn read_with(
    mut cursor: Cursor<'_>,
    class_when_open: ClassWhenOpen,
) -> Result<MetricThread, ThreadError> {
    let c = &mut cursor;
    let mut parts = read_diameter(c, class_when_open)?;
    read_pitch(c, &mut parts)?;
    let mut tail = Tail::default();
    loop {
        c.skip_separators();
        if c.is_at_end() {
            break;
        }
        read_element(c, &mut parts, &mut tail)?;
    }
    build(*c, &parts, &tail)
}

fn read_diameter<'t>(
    c: &mut Cursor<'t>,
    class_when_open: ClassWhenOpen,
) -> Result<Parts<'t>, ThreadError> {
    c.eat(b'M');
    c.skip_spaces();
    let mut behind_minus = *c;
    behind_minus.skip_separators();
    if c.peek() == b'-' && behind_minus.is_number() && !is_class(behind_minus) {
        return Err(c.error_here(Fault::Negative {
            what: Element::Diameter,
        }));
    }
    if !c.is_number() {
        return Err(c.error_here(Fault::MissingSize {
            form: Begins::Metric,
        }));
    }
    let number = c.number()?;
    let diameter = millimetres(c, number)?;
    let end = c.at();
    let diameter_typed = c.typed(number.from);
    skip_millimetres(c)?;
    if !(SMALLEST..=LARGEST).contains(&diameter) {
        return Err(c.error_span(
            number.from,
            end,
            Fault::SizeOutOfRange {
                size: format!("M{}", number.value),
                covered: Covered::Metric,
            },
        ));
    }
    Ok(Parts {
        diameter,
        diameter_typed,
        diameter_end: end,
        pitch: None,
        pitch_from: end,
        pitch_end: end,
        pitch_typed: "",
        lead_starts: None,
        class_when_open,
        class: None,
        other: None,
        class_from: end,
        class_end: end,
        class_typed: "",
        group: None,
        group_from: end,
        capitals: false,
    })
}

/// Smallest and largest diameter of the tolerance tables: over 0.99, up to and including 355 mm.
const SMALLEST: Length = Length::from_micrometres(991);
const LARGEST: Length = Length::from_micrometres(355_000);

/// `x1.5`, `-1.5` (as shops write it), ` 1.5`, `xPh3P1.5`, `xL3-P1.5`, `x3(P1.5)`.
fn read_pitch<'t>(c: &mut Cursor<'t>, parts: &mut Parts<'t>) -> Result<(), ThreadError> {
    let before = *c;
    c.skip_separators();
    let capital_x = c.peek() == b'X';
    let crossed = c.eat(b'x');
    c.skip_spaces();
    let minus = c.at();
    if crossed && c.eat(b'-') {
        if is_class(*c) {
            return Err(c.error_from(minus, Fault::missing_pitch(MissingPitch::BehindX)));
        }
        return Err(c.error_from(
            minus,
            Fault::Negative {
                what: Element::Pitch,
            },
        ));
    }
    if !crossed && c.before() == b'-' && before.peek() == b'-' && before.ahead(1) == b'-' {
        return Err(c.error_here(Fault::Negative {
            what: Element::Pitch,
        }));
    }
    parts.pitch_from = c.at();
    let lead_first =
        c.eat_word("ph") || (crossed && c.word().eq_ignore_ascii_case("l") && c.eat(b'l'));
    if lead_first {
        c.skip_spaces();
        let lead = c.number()?;
        skip_millimetres(c)?;
        c.skip_separators();
        if !c.eat_word("p") {
            return Err(c.error_here(Fault::missing_pitch(MissingPitch::BehindLead)));
        }
        c.skip_spaces();
        let pitch = c.number()?;
        return set_pitch(c, parts, pitch, Some(lead));
    }
    if crossed {
        c.eat_word("p");
        c.skip_spaces();
    }
    if !c.is_number() || (!crossed && is_class(*c)) {
        if crossed {
            return Err(c.error_here(Fault::missing_pitch(MissingPitch::BehindX)));
        }
        *c = before;
        return Ok(());
    }
    let first = c.number()?;
    if is_class_letter(c.peek()) || c.peek() == b'/' {
        return Err(c
            .next_piece()
            .error_from(first.from, Fault::missing_pitch(MissingPitch::BehindX)));
    }
    if !crossed && starts_follow(*c) {
        *c = before;
        return Ok(());
    }
    parts.capitals = capital_x;
    // `x3(P1.5)`, the older way to write several starts.
    let mut ahead = *c;
    ahead.skip_spaces();
    ahead.eat(b'(');
    if ahead.eat_word("p") && ahead.is_number() {
        let pitch = ahead.number()?;
        ahead.eat(b')');
        *c = ahead;
        return set_pitch(c, parts, pitch, Some(first));
    }
    set_pitch(c, parts, first, None)
}

/// Whether the number just read was a number of starts.
fn starts_follow(mut c: Cursor<'_>) -> bool {
    c.skip_separators();
    c.eat_word("start") || c.eat_word("starts")
}

fn set_pitch<'t>(
    c: &mut Cursor<'t>,
    parts: &mut Parts<'t>,
    pitch: Number,
    lead: Option<Number>,
) -> Result<(), ThreadError> {
    parts.pitch_end = c.at();
    parts.pitch_typed = c.typed(pitch.from).trim_end_matches(')');
    let length = millimetres(c, pitch)?;
    if length == Length::ZERO {
        return Err(c.error_from(pitch.from, Fault::NoSuchNumber));
    }
    parts.pitch = Some(length);
    parts.pitch_from = pitch.from;
    if let Some(lead) = lead {
        let total = millimetres(c, lead)?;
        let starts = (1..=MOST_STARTS).find(|&starts| length.times(i32::from(starts)) == total);
        parts.lead_starts = Some(starts.ok_or_else(|| {
            c.error_from(
                lead.from,
                Fault::lead(LeadMismatch::NoMultiple {
                    lead: lead.value,
                    pitch: pitch.value,
                }),
            )
        })?);
    }
    skip_millimetres(c)
}

fn read_element<'t>(
    c: &mut Cursor<'t>,
    parts: &mut Parts<'t>,
    tail: &mut Tail,
) -> Result<(), ThreadError> {
    let start = *c;
    if is_class(*c) {
        return read_class(c, parts);
    }
    // S, N, L alone are groups of engagement; LH is the hand.
    for (letter, group) in [
        ("s", EngagementGroup::Short),
        ("n", EngagementGroup::Normal),
        ("l", EngagementGroup::Long),
    ] {
        if c.ahead(1) != b'.' && c.eat_word(letter) {
            if parts.group.is_some() {
                return Err(c.error_from(
                    start.at(),
                    Fault::Twice {
                        what: Element::Group,
                    },
                ));
            }
            parts.group = Some(group);
            parts.group_from = start.at();
            return Ok(());
        }
    }
    if tail.take(c, LengthUnit::Millimetre)? {
        return Ok(());
    }
    if let Some((end, what)) = of_the_screw(*c, parts) {
        return Err(tail::of_the_screw(*c, end, what));
    }
    let end = c.next_piece();
    let typed = end.typed(c.at()).to_owned();
    let stem = parts.stem();
    // `M12 fine` has several pitches, and none of them is the coarse one.
    if parts.pitch.is_none() && c.word().eq_ignore_ascii_case("fine") {
        let form = Form::IsoMetric;
        let fine = metric_size(parts.diameter).into_iter();
        let fine = fine.flat_map(|size| size.fine.iter());
        let stems = fine
            .map(|pitch| size_text(parts.diameter, *pitch))
            .collect();
        return Err(end
            .error_from(c.at(), Fault::Unexpected { given: typed, form })
            .suggest_with(stems, end.rest_from(end.at())));
    }
    // A position without a grade.
    if parts.class.is_none() && typed.len() == 1 && is_class_letter(c.peek()) {
        let known = KnownClasses::Metric;
        return Err(end
            .error_from(
                c.at(),
                Fault::UnknownClass {
                    class: typed.clone(),
                    known,
                },
            )
            .suggest(["6", "4", "8"].map(|grade| format!("{stem}-{grade}{typed}"))));
    }
    Err(if c.peek().is_ascii_digit() && parts.class.is_none() {
        end.error_from(
            c.at(),
            Fault::UnknownClass {
                class: typed,
                known: KnownClasses::Metric,
            },
        )
        .suggest(["6g", "6H"].map(|class| format!("{stem}-{class}")))
    } else {
        let class = if parts.class_typed.is_empty() {
            String::new()
        } else {
            format!("-{}", parts.class_typed)
        };
        end.error_from(
            c.at(),
            Fault::Unexpected {
                given: typed,
                form: Form::IsoMetric,
            },
        )
        .suggest([format!("{stem}{class}")])
    })
}

/// The end of a number that is no class: `-30` behind the thread, or `8.8`.
fn of_the_screw<'t>(c: Cursor<'t>, parts: &Parts<'_>) -> Option<(Cursor<'t>, PartOfScrew)> {
    if !c.is_number() {
        return None;
    }
    let mut end = c;
    let number = end.number().ok()?;
    if is_property_class(end.typed(number.from)) && !end.peek().is_ascii_alphanumeric() {
        return Some((end, PartOfScrew::PropertyClass));
    }
    let end = tail::length_here(c)?;
    let mut behind = end;
    behind.skip_separators();
    // `30 LE` and `2 starts` the wrong way round are not lengths of a screw.
    let other = matches!(behind.peek(), b'/' | b'.') || behind.word().len() > 2;
    let long = number.value >= Decimal::TEN || parts.class.is_some();
    (long && !other).then_some((end, PartOfScrew::Length))
}

/// A whole number of micrometres.
fn millimetres(c: &Cursor<'_>, number: Number) -> Result<Length, ThreadError> {
    Length::from_decimal(number.value, LengthUnit::Millimetre)
        .ok()
        .filter(|length| length.tenth_nanometres() % 10_000 == 0)
        .ok_or_else(|| c.error_from(number.from, Fault::NoSuchNumber))
}

/// Takes `mm`, refuses inches.
fn skip_millimetres(c: &mut Cursor<'_>) -> Result<(), ThreadError> {
    let before = *c;
    c.skip_spaces();
    match tail::unit_here(c) {
        Some(LengthUnit::Millimetre) => Ok(()),
        Some(_) => Err(c.error_from(
            before.at(),
            Fault::WrongUnit {
                form: UnitOf::Metric,
            },
        )),
        None => {
            *c = before;
            Ok(())
        }
    }
}
