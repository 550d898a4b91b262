//! ISO metric trapezoidal threads: Tr (ISO 2901 to 2904).
//!
//! `Tr40x7-7e`, left hand `Tr40x7LH-7e`, several starts `Tr40x14P7-8e` or the older `Tr40x14(P7)-8e`; the pitch may be
//! left out where ISO 2902 prefers one.

use super::tail::{self, MOST_STARTS, Tail};
use super::text::{Cursor, Number};
use crate::limits::trapezoidal::is_tabulated_pitch;
use crate::thread::Assumed;
use crate::thread::ThreadError;
use crate::thread::trapezoidal::{
    CLASSES, TrapezoidalClass, TrapezoidalThread, class, plain, sizes,
};
use crate::thread::{
    Begins, Covered, Element, EngagementFault, Fault, GivenPitch, KnownClasses, KnownPitches,
    LeadMismatch, MissingPitch, UnitOf,
};
use crate::thread::{Form, Kind};
use crate::units::{Entered, Length, LengthUnit};

/// An element and where it stands.
struct Place<T> {
    value: T,
    from: usize,
    end: usize,
}

/// What was read before it is put together.
#[derive(Default)]
struct Parts {
    class: Option<Place<TrapezoidalClass>>,
    /// The other class of a fit.
    other: Option<TrapezoidalClass>,
    long: bool,
    tail: Tail,
}

/// Reads a Tr designation.
pub(super) fn read(mut cursor: Cursor<'_>) -> Result<TrapezoidalThread, ThreadError> {
    let c = &mut cursor;
    c.eat_word("tr");
    c.skip_separators();
    if !c.is_number() {
        return Err(c.error_here(Fault::MissingSize {
            form: Begins::Trapezoidal,
        }));
    }
    let diameter = place(c)?;
    if !(Length::from_micrometres(8_000)..=Length::from_micrometres(355_000))
        .contains(&diameter.value)
    {
        return Err(c.error_span(
            diameter.from,
            diameter.end,
            Fault::SizeOutOfRange {
                size: format!("Tr{}", plain(diameter.value)),
                covered: Covered::Trapezoidal,
            },
        ));
    }
    let (pitch, lead) = read_pitch(c)?;
    let mut parts = Parts::default();
    loop {
        c.skip_separators();
        if c.is_at_end() {
            break;
        }
        read_element(c, &mut parts)?;
    }
    build(*c, &diameter, pitch, lead.as_ref(), parts)
}

/// `x7`, `x14P7`, `x14(P7)`, `xPh14P7`; the lead, if there is one, comes second here.
type PitchAndLead = (Option<Place<Length>>, Option<Place<Length>>);

fn read_pitch(c: &mut Cursor<'_>) -> Result<PitchAndLead, ThreadError> {
    let before = *c;
    c.skip_separators();
    let crossed = c.eat(b'x');
    c.skip_spaces();
    if crossed {
        c.eat_word("ph");
        c.skip_spaces();
    }
    if !c.is_number() || class_here(*c).is_some() {
        if crossed {
            return Err(c.error_here(Fault::missing_pitch(MissingPitch::TrapezoidalBehindX)));
        }
        *c = before;
        return Ok((None, None));
    }
    let first = place(c)?;
    let mut ahead = *c;
    ahead.skip_spaces();
    ahead.eat(b'(');
    if ahead.eat(b'P') {
        ahead.skip_spaces();
        if ahead.is_number() {
            let pitch = place(&mut ahead)?;
            ahead.eat(b')');
            *c = ahead;
            return Ok((Some(pitch), Some(first)));
        }
    }
    Ok((Some(first), None))
}

/// A number of millimetres with its place; `mm` may follow.
fn place(c: &mut Cursor<'_>) -> Result<Place<Length>, ThreadError> {
    let number: Number = c.number()?;
    let end = c.at();
    let value = Length::from_decimal(number.value, LengthUnit::Millimetre)
        .ok()
        .filter(|length| length.tenth_nanometres() % 10_000 == 0 && *length > Length::ZERO)
        .ok_or_else(|| c.error_from(number.from, Fault::NoSuchNumber))?;
    let before = *c;
    c.skip_spaces();
    match tail::unit_here(c) {
        Some(LengthUnit::Millimetre) => {}
        Some(_) => {
            return Err(c.error_from(
                before.at(),
                Fault::WrongUnit {
                    form: UnitOf::Trapezoidal,
                },
            ));
        }
        None => *c = before,
    }
    Ok(Place {
        value,
        from: number.from,
        end,
    })
}

/// A digit and a letter, whether ISO 2903 has the class or not.
fn class_here(c: Cursor<'_>) -> Option<TrapezoidalClass> {
    let letter = c.ahead(1);
    let possible = c.peek().is_ascii_digit()
        && letter.is_ascii_alphabetic()
        && !matches!(letter, b'x' | b'X' | b'P' | b'p' | b'm')
        && !c.ahead(2).is_ascii_alphanumeric();
    possible.then(|| class(c.peek() - b'0', letter))
}

fn read_element(c: &mut Cursor<'_>, parts: &mut Parts) -> Result<(), ThreadError> {
    let from = c.at();
    if let Some(found) = class_here(*c) {
        let value = one_class(c, found)?;
        if parts.class.is_some() {
            return Err(c.error_from(
                from,
                Fault::Twice {
                    what: Element::Class,
                },
            ));
        }
        let before = *c;
        c.skip_spaces();
        if c.eat(b'/') {
            c.skip_spaces();
            let Some(other) = class_here(*c) else {
                return Err(c.error_here(Fault::UnknownClass {
                    class: c.next_piece().typed(c.at()).to_owned(),
                    known: KnownClasses::Trapezoidal,
                }));
            };
            parts.other = Some(one_class(c, other)?);
        } else {
            *c = before;
        }
        parts.class = Some(Place {
            value,
            from,
            end: c.at(),
        });
        return Ok(());
    }
    if c.eat_piece("L") {
        parts.long = true;
        return Ok(());
    }
    if c.eat_piece("N") || parts.tail.take(c, LengthUnit::Millimetre)? {
        return Ok(());
    }
    // A length of engagement may stand bare behind the class.
    if parts.class.is_some() && c.is_number() && parts.tail.engagement.is_none() {
        let length = place(c)?;
        parts.tail.engagement = Some(length.value);
        parts.tail.engagement_from = length.from;
        parts.tail.engagement_end = length.end;
        return Ok(());
    }
    let end = c.next_piece();
    let typed = end.typed(from).to_owned();
    let stem = c.typed(0).trim_end_matches(['-', ' ', ',']);
    let rest = end.rest_from(end.at());
    Err(if parts.class.is_none() {
        end.error_from(
            from,
            Fault::UnknownClass {
                class: typed,
                known: KnownClasses::Trapezoidal,
            },
        )
        .suggest(["7e", "7H"].map(|class| format!("{stem}-{class}{rest}")))
    } else {
        end.error_from(
            from,
            Fault::Unexpected {
                given: typed,
                form: Form::Trapezoidal,
            },
        )
        .suggest([stem.to_owned()])
    })
}

fn one_class(c: &mut Cursor<'_>, found: TrapezoidalClass) -> Result<TrapezoidalClass, ThreadError> {
    let from = c.at();
    let stem = c.typed(0).to_owned();
    c.advance(2);
    if CLASSES.contains(&found) {
        return Ok(found);
    }
    let rest = c.rest_from(c.at());
    let mut near = CLASSES;
    near.sort_by_key(|class| {
        (
            !class.letter.eq_ignore_ascii_case(&found.letter),
            class.grade.abs_diff(found.grade),
        )
    });
    let joint = if stem.ends_with('-') { "" } else { "-" };
    let suggestions = near.map(|class| format!("{stem}{joint}{class}{rest}"));
    Err(c
        .error_from(
            from,
            Fault::UnknownClass {
                class: c.typed(from).to_owned(),
                known: KnownClasses::Trapezoidal,
            },
        )
        .suggest(suggestions.into_iter().take(3)))
}

fn build(
    c: Cursor<'_>,
    diameter: &Place<Length>,
    pitch: Option<Place<Length>>,
    lead: Option<&Place<Length>>,
    parts: Parts,
) -> Result<TrapezoidalThread, ThreadError> {
    let mut assumed = Vec::new();
    let starts = starts_of(c, pitch.as_ref(), lead, &parts.tail)?;
    let pitch = pitch_of(c, diameter, pitch, &mut assumed)?;
    let class = class_of(c, &parts, &mut assumed)?;
    if let Some(length) = parts.tail.engagement
        && length > diameter.value.times(20)
    {
        return Err(c.error_span(
            parts.tail.engagement_from,
            parts.tail.engagement_end,
            Fault::engagement(EngagementFault::TooLong {
                length: Entered::of(length, LengthUnit::Millimetre),
                diameters: 20,
            }),
        ));
    }
    Ok(TrapezoidalThread {
        diameter: diameter.value,
        pitch,
        class,
        starts,
        hand: parts.tail.hand.unwrap_or_default(),
        long: parts.long,
        engagement: parts.tail.engagement,
        assumed,
    })
}

fn starts_of(
    c: Cursor<'_>,
    pitch: Option<&Place<Length>>,
    lead: Option<&Place<Length>>,
    tail: &Tail,
) -> Result<u16, ThreadError> {
    let of_lead = match (pitch, lead) {
        (Some(pitch), Some(lead)) => Some(
            (1..=MOST_STARTS)
                .find(|&starts| pitch.value.times(i32::from(starts)) == lead.value)
                .ok_or_else(|| {
                    c.error_span(
                        lead.from,
                        lead.end,
                        Fault::lead(LeadMismatch::NoMultiple {
                            lead: lead.value.decimal(LengthUnit::Millimetre),
                            pitch: pitch.value.decimal(LengthUnit::Millimetre),
                        }),
                    )
                })?,
        ),
        _ => None,
    };
    match (of_lead, tail.starts) {
        (Some(of_lead), Some(stated)) if of_lead != stated => {
            Err(c.error_span(0, usize::MAX, LeadMismatch::disagree(of_lead, stated)))
        }
        (of_lead, stated) => Ok(of_lead.or(stated).unwrap_or(1)),
    }
}

/// The pitch stated, if it is possible, or the preferred one.
fn pitch_of(
    c: Cursor<'_>,
    diameter: &Place<Length>,
    pitch: Option<Place<Length>>,
    assumed: &mut Vec<Assumed>,
) -> Result<Length, ThreadError> {
    let listed = sizes().iter().find(|size| size.diameter == diameter.value);
    let name = format!("Tr{}", plain(diameter.value));
    let nearest = sizes()
        .iter()
        .min_by_key(|size| (size.diameter - diameter.value).abs());
    let stems = || {
        nearest.into_iter().flat_map(|size| {
            size.pitches()
                .map(|pitch| format!("Tr{}x{}", plain(size.diameter), plain(pitch)))
        })
    };
    let known = || KnownPitches::Threads {
        standard: "ISO 2902",
        threads: stems().collect(),
    };
    let Some(pitch) = pitch else {
        return match listed {
            Some(size) => {
                assumed.push(Assumed::PreferredPitch {
                    pitch: Entered::of(size.preferred, LengthUnit::Millimetre),
                });
                Ok(size.preferred)
            }
            None => Err(c
                .error_span(
                    0,
                    diameter.end,
                    Fault::missing_pitch(MissingPitch::NoPreferred {
                        size: name,
                        known: known(),
                    }),
                )
                .suggest_with(stems().collect(), c.rest_from(diameter.end))),
        };
    };
    // The coarsest pitch of the next listed diameter: anything coarser is a slip of the pen.
    let coarsest = sizes()
        .iter()
        .find(|size| size.diameter >= diameter.value)
        .or_else(|| sizes().last())
        .and_then(|size| size.pitches().max());
    if !is_tabulated_pitch(pitch.value) || coarsest.is_none_or(|coarsest| pitch.value > coarsest) {
        return Err(c
            .error_span(
                pitch.from,
                pitch.end,
                Fault::NoSuchPitch {
                    size: name,
                    pitch: GivenPitch::Typed {
                        text: plain(pitch.value),
                    },
                    known: known(),
                },
            )
            .suggest_with(stems().collect(), c.rest_from(pitch.end)));
    }
    if listed.is_none_or(|size| size.pitches().all(|listed| listed != pitch.value)) {
        assumed.push(Assumed::UnlistedTrapezoidal {
            thread: format!("{name}x{}", plain(pitch.value)),
        });
    }
    Ok(pitch.value)
}

fn class_of(
    c: Cursor<'_>,
    parts: &Parts,
    assumed: &mut Vec<Assumed>,
) -> Result<TrapezoidalClass, ThreadError> {
    let Some(stated) = &parts.class else {
        if parts.tail.kind.is_none() {
            assumed.push(Assumed::External);
        }
        let taken = match parts.tail.kind.unwrap_or(Kind::External) {
            Kind::External => class(7, b'e'),
            Kind::Internal => class(7, b'H'),
        };
        assumed.push(Assumed::TrapezoidalClass {
            class: taken.to_string(),
        });
        return Ok(taken);
    };
    let error = |fault| c.error_span(stated.from, stated.end, fault);
    let mut before = c;
    before.go_to(stated.from);
    let with = |class: TrapezoidalClass| {
        format!("{}{class}{}", before.typed_all(0), c.rest_from(stated.end))
    };
    if let Some(other) = parts.other {
        let both = [stated.value, other];
        if other.kind() == stated.value.kind() {
            return Err(error(Fault::UnknownClass {
                class: format!("{}/{other}", stated.value),
                known: KnownClasses::TrapezoidalFit,
            }));
        }
        return match parts.tail.kind {
            Some(kind) if kind == stated.value.kind() => Ok(stated.value),
            Some(_) => Ok(other),
            None => Err(error(Fault::FitNamesTwoThreads {
                fit: format!("{}/{other}", stated.value),
            })
            .suggest(both.map(with))),
        };
    }
    tail::agreed_kind(
        stated.value.kind(),
        &stated.value.to_string(),
        parts.tail.kind,
    )
    .map_err(|fault| error(*fault))?;
    Ok(stated.value)
}
