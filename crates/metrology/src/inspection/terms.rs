//! What a drawing says of a thread beside its designation: limits of its own, a coating, the plane of a taper thread.
//!
//! Geometry and every correction come from the designation; the limits come from whoever states them last:
//!
//! ```text
//! the standard, at the plane of a taper thread -> the drawing's own limits -> moved by the coating
//! ```

use super::JobError;
use super::drawing_terms::{AtPlane, CoatingState, CoatingTerms, LimitsTold, Terms};
use super::error::TermsError;
use super::field::Field;
use super::of_thread::ThreadDiameter;
use super::place::Place as MeasuredPlace;
use super::target::{BeforeCoating, NEWEST, Target};
use crate::coating::{
    Coated, CoatingAssumed, CoatingError, Diameters, State, Thickness, coat, factor,
};
use crate::designation::{self, Kind};
use crate::limits::{Dispute, DisputedLimit, Limits, Place, Taper, ThreadLimits};
use crate::message::Value;
use crate::units::{Angle, Entered, Length, LengthUnit};

impl Terms {
    /// Whether the drawing says nothing beside the designation.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// The drawing's own limits.
    fn own(&self) -> Result<Option<Limits>, JobError> {
        if let (Some(lower), Some(upper)) = (&self.lower, &self.upper)
            && lower.value() > upper.value()
        {
            return Err(JobError::LimitsReversed {
                lower: lower.clone(),
                upper: upper.clone(),
            });
        }
        let limits = Limits {
            lower: self.lower.as_ref().map(Entered::value),
            upper: self.upper.as_ref().map(Entered::value),
        };
        Ok((limits != Limits::default()).then_some(limits))
    }

    fn told_of_own(&self) -> LimitsTold {
        match &self.origin {
            Some(origin) => LimitsTold::Own {
                origin: origin.clone(),
            },
            None => LimitsTold::OwnOfJob,
        }
    }
}

/// One of two limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// The smallest size.
    Lower,
    /// The largest size.
    Upper,
}

/// Which limit of this diameter a dispute is about; none where it is about another.
pub fn side_of(dispute: &Dispute, diameter: ThreadDiameter) -> Option<Side> {
    let (lower, upper) = match diameter {
        ThreadDiameter::PitchDiameter => (DisputedLimit::PitchMin, DisputedLimit::PitchMax),
        ThreadDiameter::MajorDiameter => (DisputedLimit::MajorMin, DisputedLimit::MajorMax),
        ThreadDiameter::MinorDiameter => (DisputedLimit::MinorMin, DisputedLimit::MinorMax),
    };
    let about = |limit| dispute.limit == limit;
    about(lower)
        .then_some(Side::Lower)
        .or(about(upper).then_some(Side::Upper))
}

/// The target of a thread: its limits looked up, taken from the drawing, or moved by a coating. Of one limit on the drawing
/// the other is that of the class, as its own standard has it in the state that is measured.
pub fn target(
    designation: &str,
    diameter: ThreadDiameter,
    terms: &Terms,
) -> Result<Target, JobError> {
    let mut target = as_stated(designation, diameter, terms)?;
    let missing = match (&terms.lower, &terms.upper) {
        (None, Some(_)) => Side::Lower,
        (Some(_), None) => Side::Upper,
        _ => return Ok(target),
    };
    let mut of_class = Terms {
        lower: None,
        upper: None,
        origin: None,
        ..terms.clone()
    };
    if let Some(coating) = &mut of_class.coating {
        coating.limits_hold = None;
    }
    let class = as_stated(designation, diameter, &of_class)?;
    match missing {
        Side::Lower => target.limits.lower = class.limits.lower,
        Side::Upper => target.limits.upper = class.limits.upper,
    }
    // The drawing's own limit holds in the state that is measured; that of the class may hold before it.
    let of_class = class.before_coating;
    target.before_coating = of_class.filter(|before| match missing {
        Side::Lower => target.limits.lower == Some(before.limit),
        Side::Upper => target.limits.upper == Some(before.limit),
    });
    if let (Some(thread), Some(of_class)) = (&mut target.thread, class.thread) {
        *of_mut(thread, diameter) = target.limits;
        let kept = of_class.disputes.into_iter();
        thread.disputes = kept
            .filter(|dispute| side_of(dispute, diameter) == Some(missing))
            .collect();
    }
    target.told.push(LimitsTold::OtherOfClass);
    target.assumed.extend(class.assumed);
    Ok(target)
}

/// The limits that the drawing states, or else those of the class, in the state that is measured.
fn as_stated(
    designation: &str,
    diameter: ThreadDiameter,
    terms: &Terms,
) -> Result<Target, JobError> {
    let mut thread = designation::parse_recorded(designation)?.limits()?;
    let own = terms.own()?;
    let plane = at_plane(&thread, diameter, terms)?;
    let mut told = Vec::new();
    let held = match (own, &plane) {
        (Some(own), _) => {
            told.push(terms.told_of_own());
            // What tables print otherwise does not touch limits that are not theirs.
            thread.disputes.clear();
            own
        }
        (None, Some(plane)) => {
            let (limits, tolerance) = limits_at(&thread, plane)?;
            told.push(LimitsTold::AtPlane {
                at: plane.at.clone(),
                tolerance,
            });
            limits
        }
        (None, None) => of(&thread, diameter),
    };
    if held == Limits::default() {
        return Err(JobError::NoLimits {
            designation: thread.designation,
            diameter,
        });
    }
    *of_mut(&mut thread, diameter) = held;
    let mut assumed = Vec::new();
    let (crests, least_material) = match thread.kind {
        Kind::External => (ThreadDiameter::MajorDiameter, Side::Lower),
        Kind::Internal => (ThreadDiameter::MinorDiameter, Side::Upper),
    };
    let mut crest = of(&thread, crests);
    let mut before_coating = None;
    if let Some(coating) = &terms.coating {
        let coated = coated(&thread, coating, own.is_some())?;
        let moved = coated.limits(diameter);
        // What another source says of a limit moves with it.
        for dispute in &mut thread.disputes {
            let (from, to) = match side_of(dispute, diameter) {
                Some(Side::Lower) => (held.lower, moved.lower),
                Some(Side::Upper) => (held.upper, moved.upper),
                None => continue,
            };
            if let (Some(from), Some(to)) = (from, to) {
                dispute.taken = dispute.taken + to - from;
                dispute.other = dispute.other + to - from;
            }
        }
        *of_mut(&mut thread, diameter) = moved;
        crest = coated.limits(crests);
        before_coating = coated
            .before
            .and_then(|before| before.of(diameter, least_material, thread.included_angle));
        told.push(coated.told);
        assumed = coated.assumed;
    }
    let limits = of(&thread, diameter);
    let stated = [&terms.lower, &terms.upper].into_iter().flatten();
    let decimals = match own {
        Some(_) => stated.clone().map(Entered::decimals).max().unwrap_or(3),
        None if terms.is_empty() => usual_decimals(thread.unit),
        // Sixteenths and coatings are not round.
        None => usual_decimals(thread.unit) + 1,
    };
    Ok(Target {
        name: thread.designation.clone(),
        unit: stated
            .map(Entered::unit)
            .next()
            .map_or(thread.unit, LengthUnit::of_drawing),
        decimals,
        limits,
        diameter,
        thread: Some(thread),
        feature: None,
        plane,
        crest,
        before_coating,
        told,
        assumed,
        method: NEWEST,
    })
}

const fn usual_decimals(unit: LengthUnit) -> u32 {
    match unit {
        LengthUnit::Inch => 4,
        _ => 3,
    }
}

const fn of(thread: &ThreadLimits, diameter: ThreadDiameter) -> Limits {
    match diameter {
        ThreadDiameter::PitchDiameter => thread.pitch_diameter,
        ThreadDiameter::MajorDiameter => thread.major,
        ThreadDiameter::MinorDiameter => thread.minor,
    }
}

const fn of_mut(thread: &mut ThreadLimits, diameter: ThreadDiameter) -> &mut Limits {
    match diameter {
        ThreadDiameter::PitchDiameter => &mut thread.pitch_diameter,
        ThreadDiameter::MajorDiameter => &mut thread.major,
        ThreadDiameter::MinorDiameter => &mut thread.minor,
    }
}

/// The plane of a taper thread, which it needs, and which no other thread has.
fn at_plane(
    thread: &ThreadLimits,
    diameter: ThreadDiameter,
    terms: &Terms,
) -> Result<Option<AtPlane>, JobError> {
    let designation = || thread.designation.clone();
    let (taper, plane) = match (&thread.taper, &terms.plane) {
        (None, None) => return Ok(None),
        (None, Some(_)) => {
            let designation = designation();
            return Err(TermsError::PlaneOnParallel { designation }.into());
        }
        (Some(taper), None) => {
            let positions: Vec<_> = taper.positions.iter().map(|place| place.name).collect();
            let gauged = |place: &&Place| matches!(place, Place::HandTight | Place::GaugePlane);
            let plane = positions.iter().find(gauged).copied();
            return Err(JobError::TaperWithoutPosition {
                designation: designation(),
                diameter,
                plane: plane.unwrap_or(Place::SmallEnd),
                positions,
            });
        }
        (Some(taper), Some(plane)) => (taper, plane),
    };
    if diameter != ThreadDiameter::PitchDiameter {
        let designation = designation();
        return Err(TermsError::TaperDiameter {
            designation,
            diameter,
        }
        .into());
    }
    Ok(Some(AtPlane {
        at: named_or_stated(taper, &plane.at, thread.unit)?,
        within: plane.within.as_ref().map(|within| within.value().mm()),
    }))
}

/// A plane by the name that the standard has for it, or by its distance from the small end.
fn named_or_stated(taper: &Taper, plane: &str, unit: LengthUnit) -> Result<Entered, TermsError> {
    let plane = plane.trim();
    let name = plane.to_lowercase().replace(' ', "-");
    let mut positions = taper.positions.iter();
    if let Some(position) = positions.find(|position| position.name.key() == name) {
        return Ok(Entered::of(position.at, unit));
    }
    let at = Entered::parse(plane, None).map_err(|error| TermsError::NoSuchPlane {
        plane: plane.to_owned(),
        known: taper.positions.iter().map(|place| place.name).collect(),
        error,
    })?;
    taper
        .at(at.value(), unit)
        .map_err(|error| TermsError::Outside { error })?;
    Ok(at)
}

/// Limits of the pitch diameter at a plane, and what it may be off by: the gauge may stand off by so many turns, and
/// where it does the whole cone is larger or smaller by a sixteenth of that.
///
/// Behind the last plane that the standard names the thread runs out, and has no limits.
fn limits_at(thread: &ThreadLimits, plane: &AtPlane) -> Result<(Limits, Length), TermsError> {
    let taper = thread.taper.as_ref();
    let last = taper.and_then(|taper| taper.positions.last());
    let last = last.map_or(Length::ZERO, |last| last.at);
    let none = || TermsError::NoLimitsThere {
        designation: thread.designation.clone(),
        at: plane.at.clone(),
        last: Entered::of(last, thread.unit),
    };
    let taper = taper
        .filter(|_| plane.at.value() <= last)
        .ok_or_else(none)?;
    let tolerance = taper.tolerance().ok_or_else(none)?;
    let basic = taper
        .at(plane.at.value(), thread.unit)
        .map_err(|error| TermsError::Outside { error })?
        .pitch_diameter;
    Ok((
        Limits::between(basic - tolerance, basic + tolerance),
        tolerance,
    ))
}

/// Limits of a thread in the state that it is measured in.
struct CoatedLimits {
    /// The thread in that state.
    state: [Limits; 3],
    told: LimitsTold,
    assumed: Vec<CoatingAssumed>,
    /// What held before coating, where the thread is measured after it.
    before: Option<Before>,
}

impl CoatedLimits {
    const fn limits(&self, diameter: ThreadDiameter) -> Limits {
        among(&self.state, diameter)
    }
}

/// The limits that hold before coating, and the thinnest coating.
struct Before {
    limits: [Limits; 3],
    least: Length,
}

impl Before {
    /// What it says of the least material of a diameter: flanks move it by [`factor`], crests and roots by twice the thickness.
    fn of(self, diameter: ThreadDiameter, side: Side, included: Angle) -> Option<BeforeCoating> {
        let limits = among(&self.limits, diameter);
        let limit = match side {
            Side::Lower => limits.lower,
            Side::Upper => limits.upper,
        };
        let times = match diameter {
            ThreadDiameter::PitchDiameter => factor(included),
            ThreadDiameter::MajorDiameter | ThreadDiameter::MinorDiameter => 2.0,
        };
        Some(BeforeCoating {
            limit: limit?,
            least: self.least,
            moves: times * self.least.mm(),
        })
    }
}

/// Of the limits of all three diameters those of one.
const fn among(state: &[Limits; 3], diameter: ThreadDiameter) -> Limits {
    let [pitch_diameter, major, minor] = *state;
    match diameter {
        ThreadDiameter::PitchDiameter => pitch_diameter,
        ThreadDiameter::MajorDiameter => major,
        ThreadDiameter::MinorDiameter => minor,
    }
}

fn coated(
    thread: &ThreadLimits,
    terms: &CoatingTerms,
    own: bool,
) -> Result<CoatedLimits, TermsError> {
    let thickness =
        Thickness::parse(&terms.thickness).map_err(|error| TermsError::Thickness { error })?;
    let hold = terms.limits_hold.or(own.then_some(terms.state));
    if own && hold == Some(terms.state) {
        // Limits for this very state: how thick the coating is does not matter to them.
        return Ok(CoatedLimits {
            state: [thread.pitch_diameter, thread.major, thread.minor],
            told: LimitsTold::AsHeld {
                state: terms.state,
                least: thickness.least,
                most: thickness.most,
            },
            assumed: Vec::new(),
            before: None,
        });
    }
    if own && terms.state == CoatingState::AfterCoating {
        return Err(TermsError::OwnBeforeOnly);
    }
    let coated = coat(thread, thickness, hold.map(Into::into)).map_err(|error| match error {
        CoatingError::StateUnknown { .. } => TermsError::StateUnknown { error },
        CoatingError::NoLimits { .. } => TermsError::Coating { error },
    })?;
    if let Some(conflict) = coated.conflict {
        return Err(TermsError::Conflict { conflict });
    }
    Ok(in_state(coated, terms.state))
}

/// The limits of one state of a coated thread.
fn in_state(coated: Coated, state: CoatingState) -> CoatedLimits {
    let all = |of: Diameters| [of.pitch_diameter, of.major, of.minor];
    let (state_of, before) = match (state, coated.limits_hold) {
        (CoatingState::BeforeCoating, _) => (coated.before, None),
        (CoatingState::AfterCoating, State::After) => (coated.after, None),
        (CoatingState::AfterCoating, State::Before) => {
            let limits = all(coated.before);
            let least = coated.thickness.least;
            (coated.after, Some(Before { limits, least }))
        }
    };
    CoatedLimits {
        state: all(state_of),
        told: LimitsTold::Carried {
            state,
            hold: coated.limits_hold.into(),
            least: coated.thickness.least,
            most: coated.thickness.most,
            source: coated.source,
        },
        assumed: coated.assumed,
        before,
    }
}

/// The drawing's own limits of the pitch diameter before coating leave room for the thinnest coating: a coated thread beyond the
/// basic size goes into none of its mates.
fn fits(terms: &Terms, target: &Target) -> Result<(), JobError> {
    let (Some(coating), Some(own), Some(thread)) = (&terms.coating, terms.own()?, &target.thread)
    else {
        return Ok(());
    };
    let hold = coating.limits_hold.unwrap_or(coating.state);
    if hold != CoatingState::BeforeCoating || target.diameter != ThreadDiameter::PitchDiameter {
        return Ok(());
    }
    let thickness =
        Thickness::parse(&coating.thickness).map_err(|error| TermsError::Thickness { error })?;
    let of_class = designation::parse_recorded(&thread.designation)?.limits()?;
    let class = of_class.pitch_diameter;
    let left = match thread.kind {
        Kind::External => class.upper.zip(own.upper),
        Kind::Internal => own.lower.zip(class.lower),
    };
    let Some((larger, smaller)) = left else {
        return Ok(());
    };
    let left = larger - smaller + of_class.allowance;
    let needed = thickness.least.mm() * factor(thread.included_angle);
    let needed = Length::nearest_mm(needed)?;
    if needed <= left {
        return Ok(());
    }
    let least = thickness.least;
    Err(TermsError::TooThick {
        least,
        needed,
        left: left.max(Length::ZERO),
    }
    .into())
}

/// How far a reading at each place is carried along the taper to reach the plane, in diameter, millimetres.
///
/// A place that does not say where it lies is in the plane.
pub fn carried(places: &[MeasuredPlace], target: &Target) -> Vec<f64> {
    let Some(plane) = &target.plane else {
        return vec![0.0; places.len()];
    };
    places
        .iter()
        .map(|place| match distance(place) {
            Some(along) => (plane.at.value() - along).mm() * Taper::RATIO,
            None => 0.0,
        })
        .collect()
}

/// The distance from the small end that a place states; a bare number is in the unit of its readings.
fn distance(place: &MeasuredPlace) -> Option<Length> {
    let unit = place.readings.first().map(Entered::unit);
    match &place.along {
        Some(Value::Text(along)) => Some(Entered::parse(along, unit).ok()?.value()),
        _ => None,
    }
}

/// Refuses what is stated of the plane and the places of a taper thread and cannot be so.
///
/// The groove climbs one pitch a turn: turned by a quarter, the next one is a quarter of a pitch away, which is 28 µm of
/// diameter at 14 threads an inch. So each of several places says where it lies.
pub fn check(places: &[MeasuredPlace], terms: &Terms, target: &Target) -> Result<(), JobError> {
    if let Some(within) = terms.plane.as_ref().and_then(|plane| plane.within.as_ref()) {
        super::checked::not_negative(Field::PlaneWithin, within)?;
    }
    fits(terms, target)?;
    let (Some(_), Some(thread)) = (&target.plane, &target.thread) else {
        return Ok(());
    };
    // One place that says nothing lies in the plane.
    let nowhere = |place: &MeasuredPlace| {
        distance(place).is_none() && (places.len() > 1 || place.along.is_some())
    };
    if let Some(nowhere) = places.iter().position(nowhere) {
        let number = nowhere + 1;
        return Err(TermsError::PlaceNowhere { number }.into());
    }
    for along in places.iter().filter_map(distance) {
        let on_thread = thread
            .taper
            .as_ref()
            .map(|taper| taper.at(along, thread.unit));
        if let Some(Err(error)) = on_thread {
            return Err(TermsError::Outside { error }.into());
        }
    }
    for (index, place) in places.iter().enumerate() {
        let turned = |other: &MeasuredPlace| match (place.angle, other.angle) {
            (Some(one), Some(other)) => (one - other).abs().rem_euclid(360.0),
            _ => 0.0,
        };
        let same = places.iter().skip(index + 1).find(|other| {
            let turn = turned(other);
            turn.min(360.0 - turn) > 1.0 && distance(place) == distance(other)
        });
        if let Some(other) = same {
            let along = match &other.along {
                Some(Value::Text(along)) => along.clone(),
                _ => String::new(),
            };
            return Err(TermsError::SamePlane {
                along,
                rises: thread.pitch.mm() * turned(other) / 360.0,
            }
            .into());
        }
    }
    Ok(())
}
