//! Which of what one owns to use: every pair of contacts is either ranked, those made for what is measured first and then by
//! the uncertainty that they give, or refused with the reason and what it would cost.

use std::collections::HashSet;

use jiff::civil::Date;

use super::combinations::{self, Combination};
use super::drawer::{Drawer, NotUsable, SetUp};
use super::equipment::{ContactKind, Contacts, Instrument, Standard, WireSet};
use super::ideal::Ideal;
use super::measured_with::{MeasuredWith, middle};
use super::misfit::OFF_THREAD;
use super::model::Quantity;
use super::over_wires::takes_wires;
use super::plan::{self, Question};
use super::spread::Places;
use super::state::State;
use super::suited::LARGEST_SHARE;
use super::target::Target;
use super::{JobError, fitness};
use crate::designation::Kind;
use crate::message::{Message, Say, Value};
use crate::units::Entered;

/// The share of the tolerance that 2U may take for a set-up to be good (common practice, no source).
pub const GOOD_SHARE: f64 = 0.25;

/// What one owns.
#[derive(Clone, Debug, Default)]
pub struct Owned {
    /// Micrometers.
    pub instruments: Vec<Instrument>,
    /// Pairs of contacts.
    pub contacts: Vec<Contacts>,
    /// Setting standards.
    pub standards: Vec<Standard>,
    /// Sets of measuring wires.
    pub wires: Vec<WireSet>,
}

/// Something owned that may not be used.
#[derive(Clone, Debug)]
pub struct Refused {
    /// `instrument`, `contacts`, `standard` or `wires`.
    pub kind: &'static str,
    pub id: String,
    /// Why: one reason, or one for each micrometer.
    pub why: Vec<NotUsable>,
    /// What it would add to the reading, millimetres, where that can be said.
    pub error: Option<f64>,
}

impl Refused {
    fn of(kind: &'static str, id: &str, why: Vec<NotUsable>, error: Option<f64>) -> Self {
        let id = id.to_owned();
        Self {
            kind,
            id,
            why,
            error,
        }
    }

    /// Contacts that are refused for no more than being made for other features than threads.
    pub fn off_thread(&self) -> Option<ContactKind> {
        match self.why.as_slice() {
            [NotUsable::Contacts { why }] if why.code == OFF_THREAD => match why.value("kind") {
                Some(Value::Code(code)) => ContactKind::of(code.split_once('.')?.1),
                _ => None,
            },
            _ => None,
        }
    }
}

/// What usual contacts that do not suit would add to the reading.
#[derive(Clone, Debug)]
pub struct Wrong {
    pub contacts: UsualContacts,
    /// Why they do not suit.
    pub why: Message,
    /// What they would add to the reading, millimetres.
    pub error: f64,
}

crate::codes! {
    /// Usual contacts of usual sizes (common practice, no source).
    pub enum UsualContacts "usual-contacts" {
        /// Flat faces of 6.35 mm.
        Flat "flat",
        /// Flat faces of 2 mm.
        SmallFlat "small-flat",
        /// Discs of 20 mm.
        Disc "disc",
        /// A sphere of radius 1.5 mm.
        Sphere "sphere",
        /// Points of tip radius 0.2 mm.
        Point "point",
        /// Blades of 0.75 mm.
        Blade "blade",
    }
}

impl UsualContacts {
    /// Their kind, and the size that tells.
    const fn kind(self) -> (ContactKind, &'static str) {
        match self {
            Self::Flat => (ContactKind::Flat, "6.35mm"),
            Self::SmallFlat => (ContactKind::SmallFlat, "2mm"),
            Self::Disc => (ContactKind::Disc, "20mm"),
            Self::Sphere => (ContactKind::SphereAndFlat, "1.5mm"),
            Self::Point => (ContactKind::Point, "0.2mm"),
            Self::Blade => (ContactKind::Blade, "0.75mm"),
        }
    }
}

/// The answer to the question which set-up.
#[derive(Clone, Debug)]
pub struct Advice {
    /// What is measured.
    pub target: Target,
    /// How many readings, and where.
    pub places: Places,
    /// What may be used, in its order: see [`SetUp::order`].
    pub set_ups: Vec<SetUp>,
    /// How many more there are.
    pub others: usize,
    /// What may not.
    pub refused: Vec<Refused>,
    /// What usual contacts that do not suit would add to the reading, owned or not.
    pub wrong: Vec<Wrong>,
    /// What would be good enough, where nothing owned is.
    pub wanted: Vec<Wanted>,
}

/// Ranks what one owns for what is to be measured: every set-up that it makes.
pub fn advise(question: &Question, owned: &Owned) -> Result<Advice, JobError> {
    let target = Target::of(&question.characteristic)?;
    let (drawer, found) = what_goes_together(question, &target, owned);
    let of_all = |one: &Combination| drawer.set_up(&one.pieces).ok();
    let mut set_ups: Vec<SetUp> = found.combinations.iter().filter_map(of_all).collect();
    set_ups.sort_by(SetUp::order);
    Ok(advice(target.clone(), owned, set_ups, 0, found.refused))
}

/// The first of the same, at most so many, and the count of the others.
pub fn advise_best(question: &Question, owned: &Owned, most: usize) -> Result<Advice, JobError> {
    let target = Target::of(&question.characteristic)?;
    let (drawer, found) = what_goes_together(question, &target, owned);
    let all = found.combinations.len();
    let set_ups = combinations::first(&drawer, found.combinations, most);
    let others = all.saturating_sub(set_ups.len());
    Ok(advice(
        target.clone(),
        owned,
        set_ups,
        others,
        found.refused,
    ))
}

fn advice(
    target: Target,
    owned: &Owned,
    set_ups: Vec<SetUp>,
    others: usize,
    refused: Vec<Refused>,
) -> Advice {
    Advice {
        places: plan::places(&target),
        wrong: wrong_choices(&target),
        wanted: wanted(&target, &set_ups, owned),
        set_ups,
        others,
        refused,
        target,
    }
}

/// Everything that may be used together, and why the rest may not.
pub struct Together<'a> {
    pub combinations: Vec<Combination<'a>>,
    pub refused: Vec<Refused>,
}

/// Of what one owns, sorted out before anything is planned.
pub fn what_goes_together<'a>(
    question: &'a Question,
    target: &'a Target,
    owned: &'a Owned,
) -> (Drawer<'a>, Together<'a>) {
    let mut refused = Vec::new();
    let drawer = Drawer {
        question,
        target,
        instruments: usable(question, "instrument", &owned.instruments, &mut refused),
        standards: usable(question, "standard", &owned.standards, &mut refused),
    };
    let pairs = usable(question, "contacts", &owned.contacts, &mut refused);
    let mut all = Vec::new();
    if takes_wires(target) {
        let flat: Vec<&Contacts> = pairs
            .iter()
            .copied()
            .filter(|pair| pair.kind == ContactKind::Flat)
            .collect();
        for wires in usable(question, "wires", &owned.wires, &mut refused) {
            let found = combinations::combined(&drawer, &flat, Some(wires));
            if found.combinations.is_empty() {
                let why = found.refused.into_iter().flat_map(|(_, why)| why);
                let why = reasons(why.collect(), NotUsable::NoFlatFaces);
                refused.push(Refused::of("wires", &wires.id, why, None));
            }
            all.extend(found.combinations);
        }
    }
    let over_wires: HashSet<&str> = all
        .iter()
        .map(|one: &Combination| one.pieces.contacts.id.as_str())
        .collect();
    let alone = pairs
        .iter()
        .copied()
        .filter(|pair| !over_wires.contains(pair.id.as_str()));
    // A soft sheet asks for the force, and that may be the micrometer's.
    let force = drawer.instruments.iter().find_map(|one| one.force);
    let (mut fit, mut unfit) = (Vec::new(), Vec::new());
    for pair in alone.clone() {
        match suits(pair, pair.force.or(force), target) {
            Ok(()) => fit.push(pair),
            Err((why, error)) => unfit.push((pair, vec![why], error)),
        }
    }
    let found = combinations::combined(&drawer, &fit, None);
    all.extend(found.combinations);
    unfit.extend(found.refused.into_iter().map(|(pair, why)| {
        let why = reasons(why, NotUsable::NoMicrometer);
        (pair, why, None)
    }));
    for pair in alone {
        if let Some(place) = unfit.iter().position(|(one, ..)| std::ptr::eq(*one, pair)) {
            let (_, why, error) = unfit.swap_remove(place);
            refused.push(Refused::of("contacts", &pair.id, why, error));
        }
    }
    let combinations = all;
    (
        drawer,
        Together {
            combinations,
            refused,
        },
    )
}

/// Each reason once, or the one there is where nothing was tried.
fn reasons(mut why: Vec<NotUsable>, none: NotUsable) -> Vec<NotUsable> {
    why.dedup();
    if why.is_empty() {
        why.push(none);
    }
    why
}

/// What the kinds have in common here.
trait Piece {
    fn id(&self) -> &str;
    fn state(&self) -> State;
    fn due(&self) -> Option<Date>;
}

macro_rules! piece {
    ($kind:ty) => {
        impl Piece for $kind {
            fn id(&self) -> &str {
                &self.id
            }
            fn state(&self) -> State {
                self.state
            }
            fn due(&self) -> Option<Date> {
                self.due
            }
        }
    };
}
piece!(Instrument);
piece!(Contacts);
piece!(Standard);
piece!(WireSet);

/// Those that are active and in date; the others are refused.
fn usable<'a, T: Piece>(
    question: &Question,
    kind: &'static str,
    pieces: &'a [T],
    refused: &mut Vec<Refused>,
) -> Vec<&'a T> {
    let today = question.on;
    let mut good = Vec::new();
    for piece in pieces {
        let why = match (piece.state(), piece.due()) {
            (State::Active, Some(due)) if due < today => NotUsable::Overdue { due },
            (State::Active, _) => {
                good.push(piece);
                continue;
            }
            (state, _) => NotUsable::OutOfUse { state },
        };
        refused.push(Refused::of(kind, piece.id(), vec![why], None));
    }
    good
}

fn suits(
    contacts: &Contacts,
    force: Option<f64>,
    target: &Target,
) -> Result<(), (NotUsable, Option<f64>)> {
    let contacts_unfit = |why| NotUsable::Contacts { why };
    match &target.feature {
        Some(feature) => {
            let with = MeasuredWith::of_pair(contacts, force, target.limits);
            feature
                .measurand()
                .suits(&with)
                .map_err(|misfit| (contacts_unfit(misfit.why), misfit.error))
        }
        None => fitness::thread_contacts(contacts, target).map_err(|error| match error {
            JobError::ContactsUnfit { why, .. } => (contacts_unfit(why), None),
            error => (NotUsable::Job { error }, None),
        }),
    }
}

/// Force that wrong choices are reckoned at, newtons.
const USUAL_FORCE: f64 = 5.0;

/// What usual contacts would add to the reading where they do not suit.
fn wrong_choices(target: &Target) -> Vec<Wrong> {
    let Some(feature) = &target.feature else {
        return Vec::new();
    };
    UsualContacts::EVERY
        .iter()
        .filter_map(|usual| {
            let (kind, size) = usual.kind();
            let size = Entered::parse(size, None).ok()?;
            let only = |kinds: &[ContactKind]| kinds.contains(&kind).then(|| size.clone());
            let contacts = Contacts {
                tip_radius: only(&[ContactKind::SphereAndFlat, ContactKind::Point]),
                face: only(&[ContactKind::Flat, ContactKind::SmallFlat, ContactKind::Disc]),
                thickness: only(&[ContactKind::Blade]),
                force: Some(USUAL_FORCE),
                ..Contacts::of_kind(usual.key().to_owned(), kind)
            };
            let with = MeasuredWith::of_pair(&contacts, Some(USUAL_FORCE), target.limits);
            let misfit = feature.measurand().suits(&with).err()?;
            Some(Wrong {
                contacts: *usual,
                why: misfit.why,
                error: misfit.error?,
            })
        })
        .collect()
}

crate::messages! {
    /// What would be good enough where nothing owned is.
    pub enum Wanted "wanted" {
        /// Contacts for what is measured.
        Contacts "contacts" { ideal: Message as said },
        /// Standards for the contacts of an internal thread.
        RingGauges "ring-gauges",
        /// A standard for V and cone.
        ThreadStandard "thread-standard",
        /// A standard for flat faces.
        PlainStandard "plain-standard",
        /// A micrometer that shows the size.
        Micrometer "micrometer" { size: f64 as Size },
        /// A smaller expanded uncertainty than the best owned gives.
        Uncertainty "uncertainty" { allowed: f64 as Difference, best: f64 as Difference },
        /// Less of the largest line of the budget: as standard uncertainties, with nothing else changed.
        Line "line" { line: Quantity as code, allowed: f64 as Difference, has: f64 as Difference },
        /// Less of the largest line and of others too.
        Lines "lines" { line: Quantity as code, has: f64 as Difference },
    }
}

/// What would be good enough, where nothing owned is.
fn wanted(target: &Target, set_ups: &[SetUp], owned: &Owned) -> Vec<Wanted> {
    let Some(best) = set_ups.first() else {
        let ideal = ideal(target);
        let mut wanted = vec![Wanted::Contacts { ideal }];
        wanted.push(match &target.thread {
            Some(thread) if thread.kind == Kind::Internal => Wanted::RingGauges,
            Some(_) => Wanted::ThreadStandard,
            None => Wanted::PlainStandard,
        });
        let size = middle(target.limits);
        let reached = owned.instruments.iter().any(|instrument| {
            (instrument.range[0].value().mm()..=instrument.range[1].value().mm()).contains(&size)
        });
        if !reached {
            wanted.push(Wanted::Micrometer { size });
        }
        return wanted;
    };
    let (Some(share), Some(tolerance)) = (best.share, target.limits.tolerance()) else {
        return Vec::new();
    };
    if share <= LARGEST_SHARE {
        return Vec::new();
    }
    let allowed = tolerance.mm() * LARGEST_SHARE / 2.0;
    let mut wanted = vec![Wanted::Uncertainty {
        allowed,
        best: best.plan.size.expanded_uncertainty,
    }];
    if let Some(largest) = best.plan.budget.first() {
        // What the largest line may be for the rest to stay as it is.
        let has = largest.line.contribution;
        let u = best.plan.size.standard_uncertainty;
        let room = allowed / best.plan.size.coverage_factor;
        let room = room * room - (u * u - has * has);
        let line = largest.quantity;
        wanted.push(if room > 0.0 {
            let allowed = room.sqrt();
            Wanted::Line { line, allowed, has }
        } else {
            Wanted::Lines { line, has }
        });
    }
    wanted
}

/// The contacts for a feature, with their sizes.
pub fn ideal(target: &Target) -> Message {
    match (&target.feature, &target.thread) {
        (Some(feature), _) => feature.measurand().ideal(target.limits),
        (None, Some(thread)) if thread.kind == Kind::Internal => Ideal::ThreadGauges.message(),
        (None, Some(thread)) => Ideal::VAndCone {
            angle: thread.included_angle.degrees(),
            pitch: thread.pitch.mm(),
        }
        .message(),
        (None, None) => Ideal::FlatFaces.message(),
    }
}
