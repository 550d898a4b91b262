//! Parallel pipe threads: G (ISO 228-1).
//!
//! `G 1/2 A` and `G 1/2 B` are external, `G 1/2` is internal; `LH` for left hand. The size is the name of a pipe,
//! not a diameter. Also read: `G1/2"-14 A`, `1/2 BSPP`.

use super::inch::{Grammar, Reader};
use super::text::Cursor;
use crate::thread::Assumed;
use crate::thread::ThreadError;
use crate::thread::g_pipe::{GClass, GPipeThread, sizes};
use crate::thread::{Begins, Fault, GivenPitch, KnownClasses, KnownPitches, KnownSizes};
use crate::thread::{Form, Kind};
use crate::units::ThreadsPerInch;

/// Reads a pipe size, its count and what follows. The row of the size with what was assumed of it, or the error with the nearest
/// ones.
pub(super) fn pipe_size<R, S: Copy, C: Copy>(
    read: &mut Reader<'_, S, C>,
    rows: &'static [R],
    key: impl Fn(&R) -> (u32, &str, ThreadsPerInch),
    standard: &'static str,
) -> Result<(&'static R, Vec<Assumed>), ThreadError> {
    let size = &read.inch_size()?;
    let count = read.count()?;
    read.rest()?;
    // Fractions were rounded on either way: 1/16 is 625.
    let found = rows.iter().find(|row| key(row).0.abs_diff(size.value) <= 1);
    let Some(row) = found else {
        let mut near: Vec<_> = rows.iter().collect();
        near.sort_by_key(|row| key(row).0.abs_diff(size.value));
        let names: Vec<_> = near
            .iter()
            .take(2)
            .map(|row| key(row).1.to_owned())
            .collect();
        let suggestions: Vec<_> = names.iter().map(|name| read.instead(size, name)).collect();
        return Err(read
            .error(
                size,
                Fault::NoSuchSize {
                    size: size.typed.to_owned(),
                    standard,
                    known: KnownSizes::Nearest { sizes: names },
                },
            )
            .suggest(suggestions));
    };
    if !read.cursor.is_on_record()
        && let Some(Assumed::GreaterThanOne { given, mixed, .. }) = Assumed::of_fraction(size.typed)
    {
        let known = KnownSizes::Nearest {
            sizes: vec![mixed.clone(), key(row).1.to_owned()],
        };
        let fault = Fault::NoSuchSize {
            size: given,
            standard,
            known,
        };
        let meant = read.instead(size, &mixed);
        return Err(read.error(size, fault).suggest([meant]));
    }
    let (_, name, listed) = key(row);
    match &count {
        Some(count) if count.value != listed => Err(read
            .error(
                count,
                Fault::NoSuchPitch {
                    size: format!("{} {name}", read.form_symbol()),
                    pitch: GivenPitch::PerInch {
                        count: count.value.decimal(),
                    },
                    known: KnownPitches::OfSize {
                        standard,
                        pitches: vec![listed.to_string()],
                    },
                },
            )
            .suggest([read.instead(count, &listed.to_string())])),
        _ => Ok((row, Vec::from_iter(Assumed::of_fraction(size.typed)))),
    }
}

static GRAMMAR: Grammar<(), GClass> = Grammar {
    form: Form::GPipe,
    begins: Begins::GPipe,
    symbols: &[(&["g"], ()), (&["bspp"], ())],
    classes: &[("A", GClass::A), ("B", GClass::B)],
    known_classes: KnownClasses::GPipe,
};

/// Reads a G designation.
pub(super) fn read(cursor: Cursor<'_>) -> Result<GPipeThread, ThreadError> {
    let mut read = Reader::new(cursor, &GRAMMAR);
    let (row, mut assumed) = pipe_size(
        &mut read,
        sizes(),
        |row| (row.number, row.size.as_str(), row.count),
        "ISO 228-1",
    )?;
    let class = match (&read.class, read.tail.kind) {
        (Some(class), _) => {
            read.agree(Kind::External, class.typed)?;
            Some(class.value)
        }
        (None, Some(Kind::External)) => {
            assumed.push(Assumed::PipeClass);
            Some(GClass::A)
        }
        (None, Some(Kind::Internal)) => None,
        (None, None) => {
            assumed.push(Assumed::InternalPipe);
            None
        }
    };
    Ok(GPipeThread {
        size: row,
        class,
        hand: read.tail.hand.unwrap_or_default(),
        assumed,
    })
}
