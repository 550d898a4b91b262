//! Puts the elements of a Unified designation together and checks them against the series.

use std::fmt;

use rust_decimal::Decimal;

use super::class::{check_class, class_of};
use super::read::{Elements, Parts, Size};
use super::size::{
    DIAMETERS, Meaning, bare_number, number_size, rounded_size, size_and_count, with_count,
};
use super::stated::check_stated;
use super::{Series, StatedEngagement, UnifiedThread};
use crate::designation::Hand;
use crate::designation::error::{Fault, ThreadError};
use crate::designation::sizes::{unified_size, unified_sizes_near};
use crate::designation::tail::Tail;
use crate::designation::text::Cursor;
use crate::units::{Length, LengthUnit, ThreadsPerInch};

/// Puts the parts together and checks them against the series.
pub(super) fn build(
    c: Cursor<'_>,
    parts: &Parts<'_>,
    tail: &Tail,
    own: &Elements,
) -> Result<UnifiedThread, ThreadError> {
    let mut assumed = Vec::new();
    let ending = Ending { tail, own };
    let (diameter, count) = size_and_count_of(c, parts, &ending, &mut assumed)?;
    check_pitch(c, parts, diameter, count, &ending)?;
    let starts = starts_of(c, parts, tail)?;
    let (series, rounded_root) =
        series_of(c, parts, diameter, count, starts, &ending, &mut assumed)?;
    let (class, kind, allowance_kept) = class_of(c, parts, tail, own, &mut assumed)?;
    let thread = UnifiedThread {
        diameter,
        count,
        series,
        series_stated: parts.series.is_some(),
        rounded_root,
        kind,
        class,
        allowance_kept,
        hand: tail.hand.unwrap_or_default(),
        starts,
        engagement: tail.engagement.map(|length| StatedEngagement {
            length,
            special: own.special_engagement,
        }),
        gauging: tail.gauging,
        assumed,
    };
    check_class(c, parts, own, &thread)?;
    check_engagement(c, tail, own, &thread)?;
    check_stated(c, &own.stated, &thread)?;
    Ok(thread)
}

/// Class and hand as typed: the end of a suggestion. Written out only if there is one.
struct Ending<'a> {
    tail: &'a Tail,
    own: &'a Elements,
}

impl fmt::Display for Ending<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.own.class_typed.is_empty() {
            write!(f, "-{}", self.own.class_typed)?;
        }
        if self.tail.hand == Some(Hand::Left) {
            f.write_str("-LH")?;
        }
        Ok(())
    }
}

/// Diameter and count; a count left out is taken from the series.
fn size_and_count_of(
    c: Cursor<'_>,
    parts: &Parts<'_>,
    ending: &Ending<'_>,
    assumed: &mut Vec<String>,
) -> Result<(u32, ThreadsPerInch), ThreadError> {
    let error = |fault| c.error_span(parts.size_from, parts.size_end, fault);
    let diameter = match parts.size {
        Size::Known(diameter) => diameter,
        Size::Bare(number) => match bare_number(number, parts.count) {
            Some(Meaning::Number) => number_size(number)
                .ok_or_else(|| error(Fault::UnknownNumberSize(number.to_string())))?,
            Some(Meaning::Inches) => number.saturating_mul(10_000),
            None => {
                let count = match parts.count {
                    Some(count) => format!("-{count}"),
                    None => String::new(),
                };
                let series = parts
                    .series
                    .map_or_else(String::new, |((series, root), ..)| {
                        format!(" {}", series.symbol(root))
                    });
                return Err(error(Fault::AmbiguousSize(number.to_string())).suggest([
                    format!("#{number}{count}{series}{ending}"),
                    format!("{number}.000{count}{series}{ending}"),
                ]));
            }
        },
    };
    if !DIAMETERS.contains(&diameter) {
        // `20 UNC` may be a count whose size was forgotten.
        let of_count = match parts.size {
            Size::Bare(number) if parts.count.is_none() => with_count(number),
            _ => Vec::new(),
        };
        return Err(error(Fault::SizeOutOfRange {
            size: parts.size_typed.to_owned(),
            range: "0.03 in to 12 in; ASME B1.1 tabulates 0.060 in to 6 in",
        })
        .suggest(of_count.iter().map(|listed| format!("{listed}{ending}"))));
    }
    if let Some(count) = parts.count {
        let diameter = match (parts.series, rounded_size(parts, diameter, count)) {
            (Some(((Series::Special, _), ..)), _) | (_, None) => diameter,
            (_, Some(size)) => {
                assumed.push(format!("{} taken for {}", size.bare(), parts.size_typed));
                size.diameter
            }
        };
        return Ok((diameter, count));
    }
    let listed = parts.series.and_then(|((series, _), ..)| {
        let mut matching = unified_sizes_near(diameter)
            .filter(|size| size.diameter == diameter && size.series == series);
        // A constant-pitch series has several counts for one size: none may be taken.
        matching.next().filter(|_| matching.next().is_none())
    });
    if let Some(size) = listed {
        assumed.push(format!(
            "threads per inch not stated: {} taken, as {} has it for this size",
            size.count,
            size.series.symbol(false)
        ));
        return Ok((diameter, size.count));
    }
    let known = unified_sizes_near(diameter)
        .map(|size| format!("{}{ending}", size.listed()))
        .collect::<Vec<_>>();
    Err(error(Fault::MissingPitch(format!(
        "{} needs its threads per inch",
        parts.size_typed
    )))
    .suggest(known))
}

/// Refuses pitches that no thread can have.
fn check_pitch(
    c: Cursor<'_>,
    parts: &Parts<'_>,
    diameter: u32,
    count: ThreadsPerInch,
    ending: &Ending<'_>,
) -> Result<(), ThreadError> {
    // The pitch is at most 0.45 of the diameter (the coarsest standard one is 0.23), so that a core is left,
    // and no finer than 200 per inch.
    let per_diameter = count.decimal() * Decimal::new(i64::from(diameter), 4);
    if per_diameter < Decimal::new(222, 2) || count > ThreadsPerInch::whole(200) {
        let known = unified_sizes_near(diameter).map(|size| format!("{}{ending}", size.listed()));
        return Err(c
            .error_span(
                parts.count_from,
                parts.count_end,
                Fault::ImpossiblePitch {
                    size: format!("{} in", Decimal::new(i64::from(diameter), 4).normalize()),
                    pitch: format!("{} threads per inch", count.decimal()),
                },
            )
            .suggest(known));
    }
    Ok(())
}

fn starts_of(c: Cursor<'_>, parts: &Parts<'_>, tail: &Tail) -> Result<u16, ThreadError> {
    match (parts.lead_starts, tail.starts) {
        (Some(of_lead), Some(stated)) if of_lead != stated => Err(c.error_span(
            parts.count_from,
            parts.count_end,
            Fault::LeadMismatch(format!(
                "the lead is {of_lead} times the pitch, but {stated} starts are stated"
            )),
        )),
        (of_lead, stated) => Ok(of_lead.or(stated).unwrap_or(1)),
    }
}

/// The series stated, checked, or the one that the pair belongs to.
fn series_of(
    c: Cursor<'_>,
    parts: &Parts<'_>,
    diameter: u32,
    count: ThreadsPerInch,
    starts: u16,
    ending: &Ending<'_>,
    assumed: &mut Vec<String>,
) -> Result<(Series, bool), ThreadError> {
    let listed = unified_size(diameter, count);
    let pair = || size_and_count(diameter, count);
    let Some(((stated, root), from, end)) = parts.series else {
        let series = match listed {
            _ if starts > 1 => {
                assumed.push(
                    "series not stated: UNS taken, as for all threads of several starts".to_owned(),
                );
                Series::Special
            }
            found => {
                let series = found.map_or(Series::Special, |size| size.series);
                let symbol = series.symbol(false);
                assumed.push(format!("series not stated: {} is {symbol}", pair()));
                series
            }
        };
        return Ok((series, false));
    };
    match (stated, listed.map(|size| size.series)) {
        (stated, Some(listed)) if stated == listed => Ok((stated, root)),
        // A thread of several starts is special whatever its pitch.
        (Series::Special, _) if starts > 1 => Ok((stated, root)),
        (Series::Special, None) => Ok((stated, root)),
        // The pair carries the symbol of the finer rule: 1-12 is UNF, 1-8 is UNC. The same thread by another
        // name, so taken, and said.
        (Series::Constant, Some(listed)) if listed != Series::Special => {
            assumed.push(format!(
                "{} {} taken: the standard lists this size and pitch under that symbol",
                pair(),
                listed.symbol(root)
            ));
            Ok((listed, root))
        }
        (Series::Special, Some(Series::Constant)) => {
            assumed.push(format!(
                "{} {} taken: the size and pitch belong to the constant-pitch series",
                pair(),
                Series::Constant.symbol(root)
            ));
            Ok((Series::Constant, root))
        }
        (stated, listed_series) => {
            let pair = pair();
            let is = listed_series.map(|series| format!("{pair} is {}", series.symbol(root)));
            let others = unified_sizes_near(diameter)
                .filter(|size| size.diameter == diameter && size.series == stated)
                .map(|size| format!("{} is {}", size.bare(), stated.symbol(root)));
            let known: Vec<_> = others.chain(is).collect();
            let known = if known.is_empty() {
                format!("{pair} is in no standard series and is written UNS")
            } else {
                known.join(", ")
            };
            let near = unified_sizes_near(diameter)
                .filter(|size| size.diameter == diameter && size.series == stated)
                .chain(listed)
                .map(|size| format!("{} {}{ending}", size.bare(), size.series.symbol(root)))
                .chain(
                    listed
                        .is_none()
                        .then(|| format!("{pair} {}{ending}", Series::Special.symbol(root))),
                );
            Err(c
                .error_span(
                    from,
                    end,
                    Fault::NotInSeries {
                        thread: pair.clone(),
                        series: stated.symbol(root).to_owned(),
                        known,
                    },
                )
                .suggest(near))
        }
    }
}

fn check_engagement(
    c: Cursor<'_>,
    tail: &Tail,
    own: &Elements,
    thread: &UnifiedThread,
) -> Result<(), ThreadError> {
    let most = i32::try_from(thread.diameter * 10).unwrap_or(i32::MAX);
    match tail.engagement {
        None if own.special_engagement => Err(c
            .error_span(
                own.special_from,
                own.special_from + 2,
                Fault::Engagement(
                    "SE says that the length of engagement is special; state it in inches, as in SE LE 1.00"
                        .to_owned(),
                ),
            )),
        Some(length) if length > Length::from_ten_thousandths_inch(most) => Err(c.error_span(
            tail.engagement_from,
            tail.engagement_end,
            Fault::Engagement(format!(
                "a length of engagement of {} in is more than ten diameters",
                length.decimal(LengthUnit::Inch)
            )),
        )),
        _ => Ok(()),
    }
}
