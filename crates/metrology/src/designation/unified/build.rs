//! Puts the elements of a Unified designation together and checks them against the series.

use std::fmt;

use rust_decimal::Decimal;

use super::class::{check_class, class_of};
use super::parts::{Elements, Parts, Size};
use super::size::{DIAMETERS, rounded_size, with_count};
use super::stated::check_stated;
use crate::designation::tail::Tail;
use crate::designation::text::Cursor;
use crate::thread::Assumed;
use crate::thread::Hand;
use crate::thread::ThreadError;
use crate::thread::unified::{
    Meaning, Series, StatedEngagement, UnifiedThread, bare_number, number_size, size_and_count,
};
use crate::thread::unified::{unified_size, unified_sizes_near};
use crate::thread::{
    Covered, EngagementFault, Fault, GivenPitch, LeadMismatch, MissingPitch, SeriesOf,
};
use crate::units::{Entered, Length, LengthUnit, ThreadsPerInch};

/// Puts the parts together and checks them against the series.
pub(super) fn build(
    c: Cursor<'_>,
    parts: &Parts<'_>,
    tail: &Tail,
    own: &Elements,
) -> Result<UnifiedThread, ThreadError> {
    let mut assumed = Vec::from_iter(Assumed::of_fraction(parts.size_typed));
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
    assumed: &mut Vec<Assumed>,
) -> Result<(u32, ThreadsPerInch), ThreadError> {
    let error = |fault| c.error_span(parts.size_from, parts.size_end, fault);
    let diameter = match parts.size {
        Size::Known(diameter) => diameter,
        Size::Bare(number) => match bare_number(number, parts.count) {
            Some(Meaning::Number) => number_size(number).ok_or_else(|| {
                error(Fault::UnknownNumberSize {
                    number: number.to_string(),
                })
            })?,
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
                return Err(error(Fault::AmbiguousSize {
                    number: number.to_string(),
                })
                .suggest([
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
            covered: Covered::Unified,
        })
        .suggest(of_count.iter().map(|listed| format!("{listed}{ending}"))));
    }
    if let Some(count) = parts.count {
        let diameter = match (parts.series, rounded_size(parts, diameter, count)) {
            (Some(((Series::Special, _), ..)), _) | (_, None) => diameter,
            (_, Some(size)) => {
                assumed.push(Assumed::RoundedSize {
                    taken: size.bare(),
                    given: parts.size_typed.to_owned(),
                });
                size.diameter
            }
        };
        return Ok((diameter, count));
    }
    // `10/32` is number 10 with 32 threads per inch: no size is written as a fraction that can be reduced.
    let number = !c.is_on_record() && is_reducible(parts.size_typed);
    let series = parts.series.filter(|_| !number);
    let listed = series.and_then(|((series, _), ..)| {
        let mut matching = unified_sizes_near(diameter)
            .filter(|size| size.diameter == diameter && size.series == series);
        // A constant-pitch series has several counts for one size: none may be taken.
        matching.next().filter(|_| matching.next().is_none())
    });
    if let Some(size) = listed {
        assumed.push(Assumed::CountOfSeries {
            count: size.count.decimal(),
            series: size.series.symbol(false),
        });
        return Ok((diameter, size.count));
    }
    let known = unified_sizes_near(diameter)
        .map(|size| format!("{}{ending}", size.listed()))
        .collect::<Vec<_>>();
    Err(error(Fault::missing_pitch(MissingPitch::Count {
        size: parts.size_typed.to_owned(),
    }))
    .suggest(known))
}

fn is_size(diameter: u32) -> bool {
    unified_sizes_near(diameter).any(|size| size.diameter == diameter)
}

fn is_reducible(typed: &str) -> bool {
    let even = |text: &str| {
        text.trim()
            .parse::<u32>()
            .is_ok_and(|number| number % 2 == 0)
    };
    typed
        .split_once('/')
        .is_some_and(|(a, b)| even(a) && even(b))
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
        let of_series = |series: Series| {
            parts
                .series
                .is_none_or(|((stated, _), ..)| stated == series)
        };
        let known = unified_sizes_near(diameter)
            .filter(|size| size.diameter == diameter && of_series(size.series))
            .map(|size| format!("{}{ending}", size.listed()));
        return Err(c
            .error_span(
                parts.count_from,
                parts.count_end,
                Fault::ImpossiblePitch {
                    size: format!("{} in", Decimal::new(i64::from(diameter), 4).normalize()),
                    pitch: GivenPitch::PerInch {
                        count: count.decimal(),
                    },
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
            LeadMismatch::disagree(of_lead, stated),
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
    assumed: &mut Vec<Assumed>,
) -> Result<(Series, bool), ThreadError> {
    let listed = unified_size(diameter, count);
    let pair = || size_and_count(diameter, count);
    let Some(((stated, root), from, end)) = parts.series else {
        let series = match listed {
            _ if starts > 1 => {
                assumed.push(Assumed::StartsAreSpecial);
                Series::Special
            }
            found => {
                let series = found.map_or(Series::Special, |size| size.series);
                let symbol = series.symbol(false);
                assumed.push(Assumed::Series {
                    thread: pair(),
                    series: symbol,
                });
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
            assumed.push(Assumed::ListedSeries {
                thread: pair(),
                series: listed.symbol(root),
            });
            Ok((listed, root))
        }
        (Series::Special, Some(Series::Constant)) => {
            assumed.push(Assumed::ConstantSeries {
                thread: pair(),
                series: Series::Constant.symbol(root),
            });
            Ok((Series::Constant, root))
        }
        (stated, listed_series) => {
            let pair = pair();
            let is = listed_series.map(|series| SeriesOf::Listed {
                thread: pair.clone(),
                series: series.symbol(root),
            });
            let others = unified_sizes_near(diameter)
                .filter(|size| size.diameter == diameter && size.series == stated)
                .map(|size| SeriesOf::Listed {
                    thread: size.bare(),
                    series: stated.symbol(root),
                });
            let mut known: Vec<_> = others.chain(is).collect();
            if known.is_empty() {
                known.push(SeriesOf::Special {
                    thread: pair.clone(),
                });
            }
            let near = unified_sizes_near(diameter)
                .filter(|size| size.diameter == diameter && size.series == stated)
                .chain(listed)
                .map(|size| format!("{} {}{ending}", size.bare(), size.series.symbol(root)))
                // A special thread has a size that is listed, as a rule, and no pitch finer than any other.
                .chain(
                    (listed.is_none() && is_size(diameter) && count <= ThreadsPerInch::whole(80))
                        .then(|| format!("{pair} {}{ending}", Series::Special.symbol(root))),
                );
            Err(c
                .error_span(
                    from,
                    end,
                    Fault::NotInSeries {
                        thread: pair.clone(),
                        series: stated.symbol(root),
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
        None if own.special_engagement => Err(c.error_span(
            own.special_from,
            own.special_from + 2,
            Fault::engagement(EngagementFault::SpecialWithoutLength),
        )),
        Some(length) if length > Length::from_ten_thousandths_inch(most) => Err(c.error_span(
            tail.engagement_from,
            tail.engagement_end,
            Fault::engagement(EngagementFault::TooLong {
                length: Entered::of(length, LengthUnit::Inch),
                diameters: 10,
            }),
        )),
        _ => Ok(()),
    }
}
