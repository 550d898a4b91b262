//! Acme threads: general purpose 2G, 3G, 4G and centralizing 2C, 3C, 4C (ASME B1.5), and Stub Acme 2G
//! (ASME B1.8), which is read alike.
//!
//! `1/2-10 ACME-2G`, `0.500-10-ACME-2G`, `2.875-0.4P-0.8L-ACME-3C`, `1/2-10 STUB ACME-2G`. The class does not tell
//! external from internal, so a word may follow.

use rust_decimal::Decimal;

use super::inch::{Grammar, Piece, Reader, nearest};
use super::text::Cursor;
use crate::thread::Assumed;
use crate::thread::Form;
use crate::thread::ThreadError;
use crate::thread::acme::{AcmeClass, AcmeThread, class, sizes};
use crate::thread::inch::inch_text;
use crate::thread::{
    Begins, ClassNotDefined, Covered, Fault, GivenPitch, KnownClasses, MissingPitch,
};
use crate::units::ThreadsPerInch;

/// The symbol tells whether it is the stub form.
static ACME: Grammar<bool, AcmeClass> = Grammar {
    form: Form::Acme,
    begins: Begins::Acme,
    symbols: &[
        (&["stub", "acme"], true),
        (&["acme", "stub"], true),
        (&["acme"], false),
    ],
    classes: &[
        ("2G", class(2, false)),
        ("3G", class(3, false)),
        ("4G", class(4, false)),
        ("2C", class(2, true)),
        ("3C", class(3, true)),
        ("4C", class(4, true)),
    ],
    known_classes: KnownClasses::Acme,
};

/// Smallest and largest diameter taken, in ten-thousandths of an inch; the series goes from 1/4 to 5.
const DIAMETERS: std::ops::RangeInclusive<u32> = 1_250..=120_000;

/// Reads an Acme or Stub Acme designation.
pub(super) fn read(cursor: Cursor<'_>) -> Result<AcmeThread, ThreadError> {
    let mut read = Reader::new(cursor, &ACME);
    let size = read.inch_size()?;
    let count = read.count()?;
    read.rest()?;
    let stub = read.symbol.unwrap_or(false);
    let mut assumed = Vec::from_iter(Assumed::of_fraction(size.typed));
    if !DIAMETERS.contains(&size.value) {
        return Err(read.error(
            &size,
            Fault::SizeOutOfRange {
                size: size.typed.to_owned(),
                covered: Covered::Acme,
            },
        ));
    }
    let count = count_of(&read, &size, count, stub, &mut assumed)?;
    let kind = read.kind(&mut assumed);
    let class = match &read.class {
        Some(piece) if stub && piece.value != class(2, false) => {
            return Err(read
                .error(
                    piece,
                    Fault::ClassNotDefined {
                        class: piece.typed.to_owned(),
                        thread: "STUB ACME".to_owned(),
                        why: ClassNotDefined::StubAcme,
                    },
                )
                .suggest([read.instead(piece, "2G")]));
        }
        Some(piece) => piece.value,
        None => {
            assumed.push(Assumed::AcmeClass);
            class(2, false)
        }
    };
    Ok(AcmeThread {
        stub,
        diameter: size.value,
        count,
        class,
        kind,
        starts: read.starts()?,
        hand: read.tail.hand.unwrap_or_default(),
        engagement: read.tail.engagement,
        assumed,
    })
}

/// The count stated, or that of the standard series.
fn count_of(
    read: &Reader<'_, bool, AcmeClass>,
    size: &Piece<'_, u32>,
    count: Option<Piece<'_, ThreadsPerInch>>,
    stub: bool,
    assumed: &mut Vec<Assumed>,
) -> Result<ThreadsPerInch, ThreadError> {
    let symbol = if stub { "STUB ACME" } else { "ACME" };
    let listed = sizes().iter().find(|listed| listed.diameter == size.value);
    let near: Vec<_> = nearest(sizes(), size.value)
        .iter()
        .map(|near| near.bare())
        .collect();
    let Some(count) = count else {
        return match listed {
            Some(listed) => {
                assumed.push(Assumed::AcmeCount {
                    count: listed.count.decimal(),
                });
                Ok(listed.count)
            }
            None => Err(read
                .error(
                    size,
                    Fault::missing_pitch(MissingPitch::CountNear {
                        size: size.size_name(symbol),
                        nearest: near.clone(),
                    }),
                )
                .suggest_with(near, read.cursor.rest_from(size.end))),
        };
    };
    // The thread is half a pitch high and needs its clearances below that.
    let turns = count.value.decimal() * Decimal::new(i64::from(size.value), 4);
    if turns < Decimal::new(25, 1) || count.value > ThreadsPerInch::whole(24) {
        return Err(read
            .error(
                &count,
                Fault::ImpossiblePitch {
                    size: format!("{} in", size.typed),
                    pitch: GivenPitch::PerInch {
                        count: count.value.decimal(),
                    },
                },
            )
            .suggest_with(near, read.cursor.rest_from(count.end)));
    }
    if listed.is_none_or(|listed| listed.count != count.value) {
        assumed.push(Assumed::AcmeSize {
            thread: format!("{}-{}", inch_text(size.value), count.value),
        });
    }
    Ok(count.value)
}
