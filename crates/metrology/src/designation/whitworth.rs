//! Whitworth threads: BSW, BSF and the special pitches Whit.S. (BS 84).
//!
//! `3/8-16 BSW medium`, `1/4 - 26 bsf close`, `BSW 1/2`, `7/16-18 BSF normal`. The classes close and medium do not
//! tell external from internal, so a word may follow; free is a bolt's, normal a nut's.

use rust_decimal::Decimal;

use super::inch::{Grammar, Piece, Reader, is_possible, nearest};
use super::text::Cursor;
use crate::thread::Assumed;
use crate::thread::ThreadError;
use crate::thread::whitworth::{WhitworthClass, WhitworthSeries, WhitworthThread, sizes};
use crate::thread::{
    Begins, Fault, GivenPitch, KnownClasses, KnownPitches, KnownSizes, MissingPitch,
};
use crate::thread::{Form, Kind};
use crate::units::ThreadsPerInch;

/// What a symbol says about the series; `None` for the bare name of the form.
static GRAMMAR: Grammar<Option<WhitworthSeries>, WhitworthClass> = Grammar {
    form: Form::Whitworth,
    begins: Begins::Whitworth,
    symbols: &[
        (&["bsw"], Some(WhitworthSeries::Coarse)),
        (&["bsf"], Some(WhitworthSeries::Fine)),
        (&["whit", "s"], Some(WhitworthSeries::Special)),
        (&["whit"], None),
        (&["whitworth"], None),
    ],
    classes: &[
        ("medium", WhitworthClass::Medium),
        ("close", WhitworthClass::Close),
        ("free", WhitworthClass::Free),
        ("normal", WhitworthClass::Normal),
    ],
    known_classes: KnownClasses::Whitworth,
};

type Read<'t> = Reader<'t, Option<WhitworthSeries>, WhitworthClass>;

/// Reads a Whitworth designation.
pub(super) fn read(cursor: Cursor<'_>) -> Result<WhitworthThread, ThreadError> {
    let mut read = Reader::new(cursor, &GRAMMAR);
    let size = read.inch_size()?;
    let count = read.count()?;
    read.rest()?;
    let mut assumed = Vec::from_iter(Assumed::of_fraction(size.typed));
    let found = series_of(&read, &size, count, &mut assumed)?;
    let (class, kind) = class_of(&read, &mut assumed)?;
    Ok(WhitworthThread {
        diameter: size.value,
        count: found.count,
        series: found.series,
        class,
        kind,
        starts: read.starts()?,
        hand: read.tail.hand.unwrap_or_default(),
        engagement: read.tail.engagement,
        listed: found.basic,
        assumed,
    })
}

/// What size, count and symbol name together.
struct Found {
    count: ThreadsPerInch,
    series: WhitworthSeries,
    basic: Option<(Decimal, Decimal)>,
}

/// Count and series; either may be left out where the other tells it.
fn series_of(
    read: &Read<'_>,
    size: &Piece<'_, u32>,
    count: Option<Piece<'_, ThreadsPerInch>>,
    assumed: &mut Vec<Assumed>,
) -> Result<Found, ThreadError> {
    let stated = read.symbol.flatten();
    // `1/4 Whit` without a count is the coarse thread, as at the bench, where there is one.
    let matching = sizes()
        .iter()
        .filter(|listed| {
            listed.diameter == size.value
                && count
                    .as_ref()
                    .is_none_or(|count| count.value == listed.count)
                && stated.is_none_or(|series| series == listed.series.series)
        })
        .min_by_key(|listed| listed.series.series != WhitworthSeries::Coarse);
    if let Some(listed) = matching {
        let series = listed.series.series;
        if count.is_none() {
            assumed.push(Assumed::CountOfSeries {
                count: listed.count.decimal(),
                series: series.symbol(),
            });
        }
        return Ok(Found {
            count: listed.count,
            series,
            basic: Some(listed.series.basic),
        });
    }
    let Some(count) = count else {
        let near = nearest_of(size, stated);
        return Err(read
            .error(
                size,
                Fault::missing_pitch(MissingPitch::CountNear {
                    size: size.size_name(stated.map_or("Whitworth", WhitworthSeries::symbol)),
                    nearest: near.clone(),
                }),
            )
            .suggest_with(near, read.cursor.rest_from(size.end)));
    };
    if matches!(
        stated,
        Some(WhitworthSeries::Coarse | WhitworthSeries::Fine)
    ) {
        return Err(not_listed(read, size, &count, stated));
    }
    // A special thread: any pitch that leaves a core; the limits are formulas.
    if !is_possible(size.value, count.value) || !(600..=120_000).contains(&size.value) {
        return Err(read.error(
            &count,
            Fault::ImpossiblePitch {
                size: format!("{} in", size.typed),
                pitch: GivenPitch::PerInch {
                    count: count.value.decimal(),
                },
            },
        ));
    }
    if stated.is_none() {
        assumed.push(Assumed::SpecialWhitworth);
    }
    Ok(Found {
        count: count.value,
        series: WhitworthSeries::Special,
        basic: None,
    })
}

/// The listed threads nearest to a size, of one series where one is stated.
fn nearest_of(size: &Piece<'_, u32>, stated: Option<WhitworthSeries>) -> Vec<String> {
    let listed = stated.filter(|series| *series != WhitworthSeries::Special);
    nearest(sizes(), size.value)
        .iter()
        .filter(|near| listed.is_none_or(|series| series == near.series.series))
        .map(|near| format!("{} {}", near.bare(), near.series.series.symbol()))
        .collect()
}

/// The error for a size or pitch that BSW or BSF has not.
fn not_listed(
    read: &Read<'_>,
    size: &Piece<'_, u32>,
    count: &Piece<'_, ThreadsPerInch>,
    stated: Option<WhitworthSeries>,
) -> ThreadError {
    let of_size = sizes()
        .iter()
        .filter(|listed| listed.diameter == size.value);
    // The same size and count under the other symbol comes after those of the symbol that was written.
    let other = of_size
        .clone()
        .filter(|listed| listed.count == count.value)
        .map(|listed| format!("{} {}", listed.bare(), listed.series.series.symbol()));
    let mut suggestions = nearest_of(size, stated);
    suggestions.extend(other);
    if suggestions.is_empty() {
        suggestions = nearest_of(size, None);
    }
    let class = read
        .class
        .as_ref()
        .map_or_else(String::new, |class| format!(" {}", class.typed));
    let name = size.size_name(stated.map_or("Whitworth", WhitworthSeries::symbol));
    let error = if of_size.count() > 0 {
        read.error(
            count,
            Fault::NoSuchPitch {
                size: name,
                pitch: GivenPitch::PerInch {
                    count: count.value.decimal(),
                },
                known: KnownPitches::Threads {
                    standard: "BS 84",
                    threads: suggestions.clone(),
                },
            },
        )
    } else {
        read.error(
            size,
            Fault::NoSuchSize {
                size: name,
                standard: "BS 84",
                known: KnownSizes::Nearest {
                    sizes: suggestions.clone(),
                },
            },
        )
    };
    error.suggest_with(suggestions, &class)
}

/// The class, or medium; and the side that class and word agree on.
fn class_of(
    read: &Read<'_>,
    assumed: &mut Vec<Assumed>,
) -> Result<(WhitworthClass, Kind), ThreadError> {
    let Some(class) = &read.class else {
        let kind = read.kind(assumed);
        assumed.push(Assumed::WhitworthClass);
        return Ok((WhitworthClass::Medium, kind));
    };
    if class.value == WhitworthClass::Free && read.tail.kind == Some(Kind::Internal) {
        assumed.push(Assumed::FreeNut);
        return Ok((WhitworthClass::Normal, Kind::Internal));
    }
    let kind = match class.value.kind() {
        Some(kind) => read.agree(kind, class.typed)?,
        None => read.kind(assumed),
    };
    Ok((class.value, kind))
}
