//! Classes of Unified threads.

use super::parts::{Elements, Parts};
use crate::designation::tail::{self, Tail};
use crate::designation::text::Cursor;
use crate::thread::Assumed;
use crate::thread::Kind;
use crate::thread::ThreadError;
use crate::thread::unified::{Class, Series, UnifiedThread};
use crate::thread::{ClassNotDefined, Element, Fault, KnownClasses};
use crate::units::ThreadsPerInch;

/// A digit with A or B, as `2A`, `2AG`, `2 A`.
pub(super) fn is_class(mut c: Cursor<'_>) -> bool {
    let digit = c.peek().is_ascii_digit();
    if c.ahead(1) == b' ' && matches!(c.peek(), b'1'..=b'3') {
        c.bump();
    }
    digit
        && matches!(c.ahead(1), b'A' | b'a' | b'B' | b'b')
        && (!c.ahead(2).is_ascii_alphanumeric() || matches!(c.ahead(2), b'G' | b'g' | b'L' | b'l'))
}

pub(super) fn read_class(
    c: &mut Cursor<'_>,
    parts: &Parts<'_>,
    own: &mut Elements,
) -> Result<(), ThreadError> {
    let from = c.at();
    let first = one_class(c, parts)?;
    if own.class.is_some() {
        return Err(c.error_from(
            from,
            Fault::Twice {
                what: Element::Class,
            },
        ));
    }
    own.class = Some(first);
    let before = *c;
    c.skip_spaces();
    if c.eat(b'/') {
        c.skip_spaces();
        if !is_class(*c) {
            return Err(c.error_here(Fault::UnknownClass {
                class: c.next_piece().typed(c.at()).to_owned(),
                known: KnownClasses::Unified,
            }));
        }
        own.other = Some(one_class(c, parts)?);
    } else {
        *c = before;
    }
    own.class_from = from;
    own.class_end = c.at();
    own.class_typed = c.typed(from).to_ascii_uppercase();
    Ok(())
}

fn one_class(c: &mut Cursor<'_>, parts: &Parts<'_>) -> Result<(Class, Kind, bool), ThreadError> {
    let from = c.at();
    let class = Class::from_digit(c.peek());
    c.bump();
    c.skip_spaces();
    let kind = if c.eat(b'A') {
        Kind::External
    } else {
        c.bump();
        Kind::Internal
    };
    let kept = c.peek().eq_ignore_ascii_case(&b'g') && c.eat(b'G');
    let valid = !kept || (class == Some(Class::Two) && kind == Kind::External);
    match class {
        Some(class) if valid => Ok((class, kind, kept)),
        _ => {
            let known = if class.is_some() {
                KnownClasses::UnifiedKept
            } else {
                KnownClasses::Unified
            };
            let stem = parts.stem();
            Err(c
                .error_from(
                    from,
                    Fault::UnknownClass {
                        class: c.typed(from).to_owned(),
                        known,
                    },
                )
                .suggest(['2', '3', '1'].map(|digit| {
                    let letter = if kind == Kind::External { 'A' } else { 'B' };
                    format!("{stem}-{digit}{letter}")
                })))
        }
    }
}

/// The class stated, or 2A/2B as shops take it.
pub(super) fn class_of(
    c: Cursor<'_>,
    parts: &Parts<'_>,
    tail: &Tail,
    own: &Elements,
    assumed: &mut Vec<Assumed>,
) -> Result<(Class, Kind, bool), ThreadError> {
    let Some(first) = own.class else {
        let kind = tail.kind.unwrap_or(Kind::External);
        let class = match kind {
            Kind::External => "2A",
            Kind::Internal => "2B",
        };
        if tail.kind.is_none() {
            assumed.push(Assumed::External);
        }
        assumed.push(Assumed::UnifiedClass { class });
        return Ok((Class::Two, kind, false));
    };
    let error = |fault| c.error_span(own.class_from, own.class_end, fault);
    if let Some(second) = own.other {
        if first.1 == second.1 {
            return Err(error(Fault::UnknownClass {
                class: own.class_typed.clone(),
                known: KnownClasses::UnifiedFit,
            }));
        }
        return match tail.kind {
            Some(kind) if kind == first.1 => Ok(first),
            Some(_) => Ok(second),
            None => {
                let stem = parts.stem();
                Err(error(Fault::FitNamesTwoThreads {
                    fit: own.class_typed.clone(),
                })
                .suggest(
                    own.class_typed
                        .split('/')
                        .map(|class| format!("{stem}-{}", class.trim())),
                ))
            }
        };
    }
    let kind = tail::agreed_kind(first.1, &own.class_typed, tail.kind).map_err(|fault| {
        let stem = parts.stem();
        error(*fault).suggest([first.1, other(first.1)].map(|kind| {
            let letter = if kind == Kind::External { 'A' } else { 'B' };
            format!("{stem}-{}{letter}", first.0.digit())
        }))
    })?;
    Ok((first.0, kind, first.2))
}

const fn other(kind: Kind) -> Kind {
    match kind {
        Kind::External => Kind::Internal,
        Kind::Internal => Kind::External,
    }
}

/// UNR is external; class 1 exists for coarse and fine threads from 1/4 in, and for 1-14 UNS.
pub(super) fn check_class(
    c: Cursor<'_>,
    parts: &Parts<'_>,
    own: &Elements,
    thread: &UnifiedThread,
) -> Result<(), ThreadError> {
    if thread.rounded_root && thread.kind == Kind::Internal {
        let (from, end) = parts.series.map_or((0, 0), |(_, from, end)| (from, end));
        return Err(c
            .error_span(
                from,
                end,
                Fault::ExternalOnly {
                    rounded: thread.series.symbol(true),
                    plain: thread.series.symbol(false),
                },
            )
            .suggest([format!(
                "{} {}-{}",
                thread.size_and_count(),
                thread.series.symbol(false),
                thread.class_text()
            )]));
    }
    let class_one = match thread.series {
        Series::Coarse | Series::Fine => thread.diameter >= 2500,
        _ => is_former_fine(thread.diameter, thread.count),
    };
    if thread.class == Class::One && !class_one {
        let stem = format!(
            "{} {}",
            thread.size_and_count(),
            thread.series.symbol(thread.rounded_root)
        );
        let letter = if thread.kind == Kind::External {
            'A'
        } else {
            'B'
        };
        return Err(c
            .error_span(
                own.class_from,
                own.class_end,
                Fault::ClassNotDefined {
                    class: own.class_typed.clone(),
                    thread: stem.clone(),
                    why: ClassNotDefined::ClassOne,
                },
            )
            .suggest(['2', '3'].map(|digit| format!("{stem}-{digit}{letter}"))));
    }
    Ok(())
}

/// 1-14 UNS was the fine thread of its size and keeps the rules of one.
fn is_former_fine(diameter: u32, count: ThreadsPerInch) -> bool {
    diameter == 10_000 && count == ThreadsPerInch::whole(14)
}
