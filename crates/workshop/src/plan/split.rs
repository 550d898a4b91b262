//! A thread note split into what has to be shown: the diameter at the crests, the pitch diameter, the functional size by a GO
//! gauge, the roots. It is offered; a plan may as well have the note as one characteristic.
//!
//! The functional size (ISO 5408: virtual pitch diameter; ASME B1.7: functional diameter) must not pass the maximum-material
//! limit of the pitch diameter, which is what a GO gauge shows (ISO 1502, ASME B1.2; from memory). Where the standard
//! has a limit of the roots it is the minor diameter of an external and the major diameter of an internal thread, and of UNJ and
//! MJ the radius.

use metrology::inspection::{Characteristic, GaugeMember, Target, Terms, ThreadDiameter};
use metrology::limits::Limits;
use metrology::thread::Kind;
use metrology::units::LengthUnit;

use super::line::Line;
use super::typed::line;
use super::{Planned, Way};

metrology::codes! {
    /// What has to be shown of a thread.
    pub enum ThreadPart "thread-part" {
        /// The diameter at the crests: major of an external thread, minor of an internal one.
        Crest "crest",
        PitchDiameter "pitch-diameter",
        /// The functional size, by a GO gauge.
        Functional "functional",
        /// The diameter at the roots.
        Root "root",
        /// The radius of the roots.
        RootRadius "root-radius",
    }
}

/// A line that is offered.
#[derive(Clone, Debug, PartialEq)]
pub struct Offered {
    /// Its number: that of the note, a point and a number.
    pub number: String,
    pub part: ThreadPart,
    /// The thread as it is designated.
    pub designation: String,
    pub kind: Kind,
    /// Which diameter.
    pub diameter: ThreadDiameter,
    /// What is measured; none of what a gauge or an eye shows.
    pub measured: Option<Characteristic>,
    pub limits: Limits,
    /// Unit and decimals of the limits.
    pub unit: LengthUnit,
    pub decimals: u32,
}

impl Offered {
    /// The line to be taken into the plan in place of the note, with the way that shows it; `says` is what a gauge or an eye shows.
    pub fn line(
        &self,
        note: &Planned,
        unit: Option<LengthUnit>,
        own_rule: bool,
        says: Option<String>,
    ) -> Line {
        let way = match self.part {
            ThreadPart::Crest | ThreadPart::PitchDiameter if note.way.is_measured() => note.way,
            ThreadPart::Crest | ThreadPart::PitchDiameter => Way::Contacts,
            ThreadPart::Functional => Way::Gauge,
            ThreadPart::Root | ThreadPart::RootRadius => Way::ByEye,
        };
        // Wires lie between flanks alone.
        let way = match (self.part, way) {
            (ThreadPart::Crest, Way::Wires) => Way::Contacts,
            (_, way) => way,
        };
        let is_measured = self.measured.is_some();
        let places = if is_measured {
            note.places.clone()
        } else {
            Vec::new()
        };
        // What the gauge is held against: without it no gauge of the register is taken.
        let gauged = gauged(note).filter(|_| way == Way::Gauge);
        let thread = gauged.as_ref();
        let thread = thread.and_then(|what| Target::of(what).ok()?.thread);
        let gauge = thread.and_then(|thread| {
            let members = [GaugeMember::GoPlug, GaugeMember::GoRing];
            members
                .into_iter()
                .find(|member| member.is_for(thread.kind))
        });
        let planned = Planned {
            gauge,
            number: self.number.clone(),
            measured: self.measured.clone().or(gauged),
            scope: note.scope.filter(|_| is_measured),
            says: if is_measured { note.says.clone() } else { says },
            places,
            way,
            ..note.clone()
        };
        line(&planned, unit, own_rule)
    }
}

/// The pitch diameter whose limit a GO gauge checks.
fn gauged(note: &Planned) -> Option<Characteristic> {
    let Some(Characteristic::Thread {
        designation,
        diameter,
        terms,
    }) = &note.measured
    else {
        return None;
    };
    let of = ThreadDiameter::PitchDiameter;
    Some(characteristic(designation, of, *diameter, terms.as_deref()))
}

/// What a characteristic may be split into; nothing where it is no thread, or one whose diameters belong to a plane.
pub fn split(planned: &Planned) -> Vec<Offered> {
    let Some(Characteristic::Thread {
        designation,
        diameter,
        terms,
    }) = &planned.measured
    else {
        return Vec::new();
    };
    let target = |of: ThreadDiameter| {
        let what = characteristic(designation, of, *diameter, terms.as_deref());
        let target = Target::of(&what).ok()?;
        Some((what, target))
    };
    let Some((pitch, of_pitch)) = target(ThreadDiameter::PitchDiameter) else {
        return Vec::new();
    };
    let Some(thread) = &of_pitch.thread else {
        return Vec::new();
    };
    if thread.taper.is_some() {
        return Vec::new();
    }
    let external = thread.kind == Kind::External;
    let (crest, root) = if external {
        (ThreadDiameter::MajorDiameter, ThreadDiameter::MinorDiameter)
    } else {
        (ThreadDiameter::MinorDiameter, ThreadDiameter::MajorDiameter)
    };
    // Of these only the limit towards the mating thread is one.
    let towards = |limits: Limits| {
        if external {
            limits.upper.map(Limits::at_most)
        } else {
            limits.lower.map(Limits::at_least)
        }
    };
    let mut all = Vec::new();
    let mut offer = |part, diameter, measured, limits: Option<Limits>, from: &Target| {
        let Some(limits) = limits.filter(|limits| *limits != Limits::default()) else {
            return;
        };
        all.push(Offered {
            number: format!("{}.{}", planned.number, all.len() + 1),
            part,
            designation: thread.designation.clone(),
            kind: thread.kind,
            diameter,
            measured,
            limits,
            unit: from.unit,
            decimals: from.decimals,
        });
    };
    if let Some((what, of_crest)) = target(crest) {
        let limits = Some(of_crest.limits);
        offer(ThreadPart::Crest, crest, Some(what), limits, &of_crest);
    }
    let pitch_diameter = ThreadDiameter::PitchDiameter;
    offer(
        ThreadPart::PitchDiameter,
        pitch_diameter,
        Some(pitch),
        Some(of_pitch.limits),
        &of_pitch,
    );
    offer(
        ThreadPart::Functional,
        pitch_diameter,
        None,
        towards(of_pitch.limits),
        &of_pitch,
    );
    if let Some((_, of_root)) = target(root) {
        let limits = towards(of_root.limits);
        offer(ThreadPart::Root, root, None, limits, &of_root);
    }
    let radius = Some(thread.root_radius);
    offer(ThreadPart::RootRadius, root, None, radius, &of_pitch);
    all
}

/// The thread with another diameter: limits that the drawing states are those of the diameter that it states them of, a
/// coating is on all of them.
fn characteristic(
    designation: &str,
    diameter: ThreadDiameter,
    stated: ThreadDiameter,
    terms: Option<&Terms>,
) -> Characteristic {
    let terms = terms.map(|terms| {
        if diameter == stated {
            return terms.clone();
        }
        let mut coating = terms.coating.clone();
        if let Some(coating) = coating
            .as_mut()
            .filter(|_| terms.lower.is_some() || terms.upper.is_some())
        {
            coating.limits_hold = None;
        }
        Terms {
            coating,
            ..Terms::default()
        }
    });
    Characteristic::Thread {
        designation: designation.to_owned(),
        diameter,
        terms: terms.filter(|terms| !terms.is_empty()).map(Box::new),
    }
}
