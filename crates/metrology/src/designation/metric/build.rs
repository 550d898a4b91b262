//! Puts the elements of a metric designation together and checks them against the tables.

use super::class::{check_class, class_of};
use super::parts::{Parts, is_property_class, plain, size_text};
use crate::designation::tail::Tail;
use crate::designation::text::Cursor;
use crate::limits::metric::{engagement_group, is_tabulated_pitch};
use crate::thread::Assumed;
use crate::thread::ThreadError;
use crate::thread::metric::MetricThread;
use crate::thread::metric::{
    MetricSize, is_listed_metric, metric_size, metric_size_at_or_above, metric_size_near,
};
use crate::thread::{
    EngagementFault, Fault, GivenPitch, KnownPitches, LeadMismatch, MissingPitch, PartOfScrew,
};
use crate::units::{Entered, Length, LengthUnit};

/// Puts the parts together and checks them against the tables.
pub(super) fn build(
    c: Cursor<'_>,
    parts: &Parts<'_>,
    tail: &Tail,
) -> Result<MetricThread, ThreadError> {
    let mut assumed = Vec::new();
    let pitch = pitch_of(c, parts, &mut assumed)?;
    let starts = match (parts.lead_starts, tail.starts) {
        (Some(of_lead), Some(stated)) if of_lead != stated => {
            return Err(c.error_span(
                parts.pitch_from,
                parts.pitch_end,
                LeadMismatch::disagree(of_lead, stated),
            ));
        }
        (of_lead, stated) => of_lead.or(stated).unwrap_or(1),
    };
    let class = class_of(c, parts, tail, pitch, &mut assumed)?;
    let thread = MetricThread {
        diameter: parts.diameter,
        pitch,
        class,
        starts,
        hand: tail.hand.unwrap_or_default(),
        group: parts.group,
        engagement: tail.engagement,
        gauging: tail.gauging,
        assumed,
    };
    check_class(c, parts, &thread)?;
    check_engagement(c, tail, &thread)?;
    Ok(thread)
}

fn pitch_of(
    c: Cursor<'_>,
    parts: &Parts<'_>,
    assumed: &mut Vec<Assumed>,
) -> Result<Length, ThreadError> {
    let listed = metric_size(parts.diameter);
    let name = || format!("M{}", plain(parts.diameter));
    let suggestions = || {
        // Another size is near if it differs by a twentieth at most.
        let near =
            |size: &&MetricSize| (size.diameter - parts.diameter).abs().times(20) <= parts.diameter;
        metric_size_near(parts.diameter)
            .into_iter()
            .filter(near)
            .flat_map(|size| size.pitches().map(|pitch| size_text(size.diameter, pitch)))
            .collect::<Vec<_>>()
    };
    let known = || {
        // Every diameter has a nearest one; the table is not empty.
        let size = metric_size_near(parts.diameter);
        let pitches = size.map_or_else(Vec::new, |size| size.pitches().map(plain).collect());
        match size.filter(|size| size.diameter != parts.diameter) {
            None => KnownPitches::OfSize {
                standard: "ISO 261",
                pitches,
            },
            Some(nearest) => KnownPitches::OfNearest {
                standard: "ISO 261",
                size: name(),
                nearest: format!("M{}", plain(nearest.diameter)),
                pitches,
            },
        }
    };
    let Some(pitch) = parts.pitch else {
        if let Some(coarse) = listed.and_then(|size| size.coarse) {
            assumed.push(Assumed::CoarsePitch {
                size: name(),
                pitch: Entered::of(coarse, LengthUnit::Millimetre),
            });
            return Ok(coarse);
        }
        return Err(c
            .error_span(
                0,
                parts.diameter_end,
                Fault::missing_pitch(MissingPitch::NoCoarse {
                    size: name(),
                    known: known(),
                }),
            )
            .suggest_with(suggestions(), c.rest_from(parts.diameter_end)));
    };
    let coarsest = metric_size_at_or_above(parts.diameter).and_then(|size| size.pitches().max());
    let possible = is_tabulated_pitch(pitch) && coarsest.is_some_and(|coarsest| pitch <= coarsest);
    if !possible {
        let slipped = slipped(parts, pitch);
        // `M10x30` is a screw of coarse pitch, 30 long (ISO 4014), `M10-8.8` one of a property class.
        let said = of_the_screw(parts, pitch);
        let coarse = listed.and_then(|size| size.coarse);
        let screw = coarse.filter(|_| said.is_some());
        let screw = screw.map(|coarse| size_text(parts.diameter, coarse));
        let rest = c.rest_from(parts.pitch_end);
        if let (Some(what), Some(thread), []) = (said, &screw, slipped.as_slice()) {
            let given = parts.pitch_typed.to_owned();
            return Err(c
                .error_span(
                    parts.pitch_from,
                    parts.pitch_end,
                    Fault::OfTheScrew { given, what },
                )
                .suggest_with(vec![thread.clone()], rest));
        }
        // A slip of the pitch leaves no doubt about the pitch; one of the diameter may be one of the pitch too.
        let others = if slipped.is_empty() || has_sign(parts.diameter_typed) {
            suggestions()
        } else {
            Vec::from_iter(screw)
        };
        let meant = slipped.into_iter().chain(others).collect();
        return Err(c
            .error_span(
                parts.pitch_from,
                parts.pitch_end,
                Fault::NoSuchPitch {
                    size: name(),
                    pitch: GivenPitch::Typed {
                        text: parts.pitch_typed.to_owned(),
                    },
                    known: known(),
                },
            )
            .suggest_with(meant, rest));
    }
    if !is_listed_metric(parts.diameter, pitch) {
        assumed.push(Assumed::UnlistedMetric {
            thread: size_text(parts.diameter, pitch),
        });
    }
    Ok(pitch)
}

/// The listed threads that one slip of the decimal sign makes of a size and a pitch that do not go together: `M1.0x1.5` for
/// M10x1.5, `M10x15` and `M10x12.5` for M10x1.5 and M10x1.25.
fn slipped(parts: &Parts<'_>, pitch: Length) -> Vec<String> {
    let without_sign = digits(parts.diameter_typed).parse();
    let of_diameter = (without_sign.ok())
        .filter(|millimetres| has_sign(parts.diameter_typed) && *millimetres <= 355)
        .map(|millimetres| Length::from_micrometres(1_000).times(millimetres))
        .filter(|diameter| is_listed_metric(*diameter, pitch))
        .map(|diameter| size_text(diameter, pitch));
    let significant = |text: &str| digits(text).trim_matches('0').to_owned();
    let typed = parts.pitch_typed;
    // Ten is ten, and no pitch of 1 with its point slipped.
    let whole = !has_sign(typed) && typed.ends_with('0');
    let of_pitch = metric_size(parts.diameter)
        .into_iter()
        .flat_map(MetricSize::pitches)
        .filter(|listed| !whole && significant(&plain(*listed)) == significant(typed))
        .map(|listed| size_text(parts.diameter, listed));
    of_diameter.into_iter().chain(of_pitch).collect()
}

fn digits(text: &str) -> String {
    text.chars().filter(char::is_ascii_digit).collect()
}

fn has_sign(text: &str) -> bool {
    text.contains(['.', ','])
}

/// What a number in the place of the pitch is said of, if it is no pitch: the coarsest one of ISO 261 is 8 mm.
fn of_the_screw(parts: &Parts<'_>, pitch: Length) -> Option<PartOfScrew> {
    let typed = parts.pitch_typed;
    if is_property_class(typed) {
        return Some(PartOfScrew::PropertyClass);
    }
    let long = pitch > Length::from_micrometres(8_000) || pitch > parts.diameter;
    // A screw is half a diameter to twenty diameters long (common practice, no source).
    let usual = pitch.times(2) >= parts.diameter && pitch <= parts.diameter.times(20);
    (long && usual && !has_sign(typed)).then_some(PartOfScrew::Length)
}

/// A stated length must be possible, and agree with a stated group.
fn check_engagement(c: Cursor<'_>, tail: &Tail, thread: &MetricThread) -> Result<(), ThreadError> {
    let Some(length) = thread.engagement else {
        return Ok(());
    };
    let refuse = |what| {
        Err(c.error_span(
            tail.engagement_from,
            tail.engagement_end,
            Fault::engagement(what),
        ))
    };
    if length > thread.diameter.times(10) {
        return refuse(EngagementFault::TooLong {
            length: Entered::of(length, LengthUnit::Millimetre),
            diameters: 10,
        });
    }
    let Some(of_length) = engagement_group(thread.diameter, thread.pitch, length) else {
        return Ok(());
    };
    match thread.group {
        Some(stated) if stated != of_length => refuse(EngagementFault::OtherGroup {
            length: Entered::of(length, LengthUnit::Millimetre),
            group: of_length.letter(),
            stated: stated.letter(),
        }),
        _ => Ok(()),
    }
}
