//! Limits written behind a designation, as `PD 0.2164-0.2127`: they are not needed, so they are checked.
//!
//! Special threads (UNS) are to carry them. Where they differ from the limits of the class, either the note or
//! the designation is wrong, and nobody but the drawing's owner can say which.

use rust_decimal::Decimal;

use super::UnifiedThread;
use crate::designation::error::{Fault, ThreadError};
use crate::designation::text::Cursor;
use crate::limits::{Limits, ThreadLimits};
use crate::units::{Length, LengthUnit};

/// The limits stated for one diameter, with their place.
pub(super) struct Stated {
    diameter: Diameter,
    one: Length,
    other: Length,
    from: usize,
    end: usize,
}

#[derive(Clone, Copy)]
enum Diameter {
    Major,
    Pitch,
    Minor,
}

impl Diameter {
    const fn name(self) -> &'static str {
        match self {
            Self::Major => "major diameter",
            Self::Pitch => "pitch diameter",
            Self::Minor => "minor diameter",
        }
    }

    const fn of(self, limits: &ThreadLimits) -> Limits {
        match self {
            Self::Major => limits.major,
            Self::Pitch => limits.pitch_diameter,
            Self::Minor => limits.minor,
        }
    }
}

/// Takes stated limits if they stand here.
pub(super) fn read_stated(c: &mut Cursor<'_>) -> Result<Option<Stated>, ThreadError> {
    let from = c.at();
    let names = [
        ("pd", Diameter::Pitch),
        ("pitch", Diameter::Pitch),
        ("major", Diameter::Major),
        ("minor", Diameter::Minor),
    ];
    let Some((_, diameter)) = names.into_iter().find(|(name, _)| c.eat_word(name)) else {
        return Ok(None);
    };
    c.skip_separators();
    for word in ["diameter", "dia"] {
        c.eat_word(word);
    }
    c.skip_separators();
    let one = inches(c)?;
    c.skip_separators();
    c.eat(b'/');
    c.eat_word("to");
    c.skip_separators();
    let other = inches(c)?;
    Ok(Some(Stated {
        diameter,
        one,
        other,
        from,
        end: c.at(),
    }))
}

fn inches(c: &mut Cursor<'_>) -> Result<Length, ThreadError> {
    let number = c.number()?;
    Length::from_decimal(number.value, LengthUnit::Inch)
        .map_err(|_| c.error_from(number.from, Fault::NoSuchNumber))
}

/// Refuses stated limits that the class does not have.
pub(super) fn check_stated(
    c: Cursor<'_>,
    stated: &[Stated],
    thread: &UnifiedThread,
) -> Result<(), ThreadError> {
    if stated.is_empty() {
        return Ok(());
    }
    let limits = crate::limits::unified::limits(thread)?;
    for piece in stated {
        let of_class = piece.diameter.of(&limits);
        let (lower, upper) = (piece.one.min(piece.other), piece.one.max(piece.other));
        let differs =
            |stated: Length, limit: Option<Length>| limit.is_some_and(|limit| limit != stated);
        if differs(lower, of_class.lower) || differs(upper, of_class.upper) {
            let text = |limit: Option<Length>| {
                let number = limit.map(|limit| limit.decimal(LengthUnit::Inch));
                number
                    .as_ref()
                    .map_or_else(|| "none".to_owned(), Decimal::to_string)
            };
            return Err(c
                .error_span(
                    piece.from,
                    piece.end,
                    Fault::StatedLimitsDiffer {
                        diameter: piece.diameter.name(),
                        class: limits.class.clone(),
                        max: text(of_class.upper),
                        min: text(of_class.lower),
                    },
                )
                .suggest([limits.designation.clone()]));
        }
    }
    Ok(())
}
