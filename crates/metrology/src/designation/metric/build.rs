//! Puts the elements of a metric designation together and checks them against the tables.

use super::class::{check_class, class_of};
use super::parts::{Parts, plain, size_text};
use crate::designation::tail::Tail;
use crate::designation::text::Cursor;
use crate::limits::metric::{engagement_group, is_tabulated_pitch};
use crate::thread::Assumed;
use crate::thread::ThreadError;
use crate::thread::metric::MetricThread;
use crate::thread::metric::{
    is_listed_metric, metric_size, metric_size_at_or_above, metric_size_near,
};
use crate::thread::{EngagementFault, Fault, GivenPitch, KnownPitches, LeadMismatch, MissingPitch};
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
        metric_size_near(parts.diameter)
            .into_iter()
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
            .suggest_with(suggestions(), c.rest_from(parts.pitch_end)));
    }
    if !is_listed_metric(parts.diameter, pitch) {
        assumed.push(Assumed::UnlistedMetric {
            thread: size_text(parts.diameter, pitch),
        });
    }
    Ok(pitch)
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
