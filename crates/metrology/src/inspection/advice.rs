//! Which of what one owns to use: every pair of contacts is either ranked by the uncertainty it gives, or refused with
//! the reason and what it would cost.

use jiff::tz::Offset;

use super::contact_fit::{self, middle, opening};
use super::feature::{Feature, Thickness};
use super::job::{ContactKind, Contacts, Instrument, Standard, WireSet};
use super::over_wires::takes_wires;
use super::plan::{self, Pieces, Places, Plan, Question};
use super::state::State;
use super::target::Target;
use super::{JobError, fitness};
use crate::designation::Kind;
use crate::features::pressing::face_for_pressure;
use crate::units::{Entered, Length, LengthUnit};

/// The share of the tolerance that 2U may take for a set-up to be good (common practice, no source).
pub const GOOD_SHARE: f64 = 0.25;
/// The share beyond which it is not good enough (common practice, no source).
pub const LARGEST_SHARE: f64 = 0.5;

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

/// A set-up that may be used.
#[derive(Clone, Debug)]
pub struct SetUp {
    /// The micrometer.
    pub instrument: String,
    /// The pair.
    pub contacts: String,
    /// The wires between them and the thread, where it is done with wires.
    pub wires: Option<String>,
    /// The standard to set zero on.
    pub standard: String,
    /// Its certified size: what the display must show there, millimetres.
    pub zero_on: Length,
    /// What the display counts in.
    pub display_unit: LengthUnit,
    /// What it will give.
    pub plan: Plan,
    /// `2U/T`, where both limits are set.
    pub share: Option<f64>,
}

/// Something owned that may not be used.
#[derive(Clone, Debug)]
pub struct Refused {
    /// `instrument`, `contacts`, `standard` or `wires`.
    pub kind: &'static str,
    /// Which.
    pub id: String,
    /// Why.
    pub why: String,
    /// What it would add to the reading, millimetres, where that can be said.
    pub error: Option<f64>,
}

/// The answer to the question which set-up.
#[derive(Clone, Debug)]
pub struct Advice {
    /// What is measured.
    pub target: Target,
    /// How many readings, and where.
    pub places: Places,
    /// What may be used, smallest uncertainty first.
    pub set_ups: Vec<SetUp>,
    /// What may not.
    pub refused: Vec<Refused>,
    /// What usual contacts that do not suit would add to the reading, owned or not.
    pub wrong: Vec<Refused>,
    /// What would be good enough, where nothing owned is.
    pub wanted: Vec<String>,
}

/// Ranks what one owns for what is to be measured.
pub fn advise(question: &Question, owned: &Owned) -> Result<Advice, JobError> {
    let target = Target::of(&question.characteristic)?;
    let mut refused = Vec::new();
    let instruments = usable(question, "instrument", &owned.instruments, &mut refused);
    let standards = usable(question, "standard", &owned.standards, &mut refused);
    let mut set_ups: Vec<SetUp> = Vec::new();
    let pairs = usable(question, "contacts", &owned.contacts, &mut refused);
    if takes_wires(&target) {
        for wires in usable(question, "wires", &owned.wires, &mut refused) {
            match over(question, &target, wires, &instruments, &pairs, &standards) {
                Ok(over) => set_ups.extend(over),
                Err(why) => refused.push(Refused {
                    kind: "wires",
                    id: wires.id.clone(),
                    why,
                    error: None,
                }),
            }
        }
    }
    for contacts in pairs {
        if set_ups.iter().any(|set_up| set_up.contacts == contacts.id) {
            continue;
        }
        // A soft sheet asks for the force, and that may be the micrometer's.
        let force = contacts
            .force
            .or_else(|| instruments.iter().find_map(|instrument| instrument.force));
        if let Err((why, error)) = suits(contacts, force, &target) {
            refused.push(Refused {
                kind: "contacts",
                id: contacts.id.clone(),
                why,
                error,
            });
            continue;
        }
        let before = set_ups.len();
        let mut reasons = Vec::new();
        for instrument in &instruments {
            match with(question, &target, instrument, contacts, &standards, None) {
                Ok(set_up) => set_ups.push(set_up),
                Err(why) => reasons.push(why),
            }
        }
        if set_ups.len() == before {
            reasons.dedup();
            refused.push(Refused {
                kind: "contacts",
                id: contacts.id.clone(),
                why: if reasons.is_empty() {
                    "there is no micrometer to put it into".to_owned()
                } else {
                    reasons.join("; ")
                },
                error: None,
            });
        }
    }
    set_ups.sort_by(|a, b| {
        a.plan
            .size
            .expanded_uncertainty
            .total_cmp(&b.plan.size.expanded_uncertainty)
            .then_with(|| {
                (&a.contacts, &a.wires, &a.instrument).cmp(&(&b.contacts, &b.wires, &b.instrument))
            })
    });
    let wanted = wanted(&target, &set_ups, owned);
    Ok(Advice {
        places: plan::places(&target),
        wrong: wrong_choices(&target),
        set_ups,
        refused,
        wanted,
        target,
    })
}

/// What the kinds have in common here.
trait Piece {
    fn id(&self) -> &str;
    fn state(&self) -> State;
    fn due(&self) -> Option<jiff::civil::Date>;
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
            fn due(&self) -> Option<jiff::civil::Date> {
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
    let today = Offset::UTC.to_datetime(question.at).date();
    let mut good = Vec::new();
    for piece in pieces {
        let why = match (piece.state(), piece.due()) {
            (State::Active, Some(due)) if due < today => {
                format!("was due for calibration on {due}")
            }
            (State::Active, _) => {
                good.push(piece);
                continue;
            }
            (state, _) => format!("is {}", state.key()),
        };
        refused.push(Refused {
            kind,
            id: piece.id().to_owned(),
            why,
            error: None,
        });
    }
    good
}

/// Wires between every pair of flat faces in every micrometer, or why nowhere.
fn over(
    question: &Question,
    target: &Target,
    wires: &WireSet,
    instruments: &[&Instrument],
    pairs: &[&Contacts],
    standards: &[&Standard],
) -> Result<Vec<SetUp>, String> {
    let mut set_ups = Vec::new();
    let mut reasons = Vec::new();
    for contacts in pairs.iter().filter(|pair| pair.kind == ContactKind::Flat) {
        for instrument in instruments {
            match with(
                question,
                target,
                instrument,
                contacts,
                standards,
                Some(wires),
            ) {
                Ok(set_up) => set_ups.push(set_up),
                Err(why) => reasons.push(why),
            }
        }
    }
    reasons.dedup();
    if !set_ups.is_empty() {
        Ok(set_ups)
    } else if reasons.is_empty() {
        Err("there is no micrometer with flat faces for them to lie between".to_owned())
    } else {
        Err(reasons.join("; "))
    }
}

fn suits(
    contacts: &Contacts,
    force: Option<f64>,
    target: &Target,
) -> Result<(), (String, Option<f64>)> {
    match &target.feature {
        Some(feature) => contact_fit::check(contacts, force, feature, target.limits)
            .map_err(|misfit| (misfit.why, misfit.error)),
        None => fitness::thread_contacts(contacts, target).map_err(|error| match error {
            JobError::ContactsUnfit { why, .. } => (why, None),
            other => (other.to_string(), None),
        }),
    }
}

/// The pair, and wires if any, in a micrometer zeroed on the fit standard nearest to what will be read.
fn with(
    question: &Question,
    target: &Target,
    instrument: &Instrument,
    contacts: &Contacts,
    standards: &[&Standard],
    wires: Option<&WireSet>,
) -> Result<SetUp, String> {
    let [smallest, largest] = &instrument.range;
    let mut fit: Vec<(Length, &&Standard)> = standards
        .iter()
        .filter(|standard| plan::sits(standard, contacts, target))
        .filter(|standard| (smallest.value()..=largest.value()).contains(&standard.size.value()))
        .filter_map(|standard| {
            let distance =
                standard.size.value() - Length::nearest_mm(middle(target.limits)).ok()?;
            Some((distance.abs(), standard))
        })
        .collect();
    fit.sort_by_key(|(distance, standard)| (*distance, standard.id.clone()));
    let Some((_, first)) = fit.first() else {
        return Err(format!(
            "there is no standard in date to set its zero on in micrometer {} ({} to {})",
            instrument.id,
            smallest.text(),
            largest.text()
        ));
    };
    let plan_on = |standard| {
        let pieces = Pieces {
            instrument,
            contacts,
            standard,
            wires,
        };
        plan::plan(question, target, &pieces).map_err(|error| error.to_string())
    };
    let planned = plan_on(first)?;
    // The nearest to the reading, which is not always near the size itself.
    let reading =
        Length::nearest_mm(planned.expected_reading).map_err(|error| error.to_string())?;
    let nearest = fit
        .iter()
        .min_by_key(|(_, standard)| (standard.size.value() - reading).abs())
        .map_or(first, |(_, standard)| standard);
    let planned = if nearest.id == first.id {
        planned
    } else {
        plan_on(nearest)?
    };
    let share = target
        .limits
        .tolerance()
        .filter(|tolerance| *tolerance > Length::ZERO)
        .map(|tolerance| 2.0 * planned.size.expanded_uncertainty / tolerance.mm());
    Ok(SetUp {
        instrument: instrument.id.clone(),
        contacts: contacts.id.clone(),
        wires: wires.map(|wires| wires.id.clone()),
        standard: nearest.id.clone(),
        zero_on: nearest.size.value(),
        display_unit: if plan::inch(instrument) {
            LengthUnit::Inch
        } else {
            LengthUnit::Millimetre
        },
        plan: planned,
        share,
    })
}

/// Usual contacts of usual sizes (common practice, no source), at 5 N.
const USUAL: [(ContactKind, &str, &str); 6] = [
    (ContactKind::Flat, "6.35mm", "flat faces of 6.35 mm"),
    (ContactKind::SmallFlat, "2mm", "flat faces of 2 mm"),
    (ContactKind::Disc, "20mm", "discs of 20 mm"),
    (
        ContactKind::SphereAndFlat,
        "1.5mm",
        "a sphere of radius 1.5 mm",
    ),
    (ContactKind::Point, "0.2mm", "points of tip radius 0.2 mm"),
    (ContactKind::Blade, "0.75mm", "blades of 0.75 mm"),
];
/// Force that wrong choices are reckoned at, newtons.
const USUAL_FORCE: f64 = 5.0;

/// What usual contacts would add to the reading where they do not suit.
fn wrong_choices(target: &Target) -> Vec<Refused> {
    let Some(feature) = &target.feature else {
        return Vec::new();
    };
    USUAL
        .into_iter()
        .filter_map(|(kind, size, words)| {
            let size = Entered::parse(size, None).ok()?;
            let only = |kinds: &[ContactKind]| kinds.contains(&kind).then(|| size.clone());
            let contacts = Contacts {
                tip_radius: only(&[ContactKind::SphereAndFlat, ContactKind::Point]),
                face: only(&[ContactKind::Flat, ContactKind::SmallFlat, ContactKind::Disc]),
                thickness: only(&[ContactKind::Blade]),
                force: Some(USUAL_FORCE),
                ..Contacts::of_kind(words.to_owned(), kind)
            };
            let misfit =
                contact_fit::check(&contacts, Some(USUAL_FORCE), feature, target.limits).err()?;
            Some(Refused {
                kind: "contacts",
                id: words.to_owned(),
                why: misfit.why,
                error: Some(misfit.error?),
            })
        })
        .collect()
}

/// What would be good enough, where nothing owned is.
fn wanted(target: &Target, set_ups: &[SetUp], owned: &Owned) -> Vec<String> {
    let Some(best) = set_ups.first() else {
        let mut wanted = vec![format!("contacts: {}", ideal(target))];
        wanted.push(match &target.thread {
            Some(thread) if thread.kind == Kind::Internal => {
                "ring gauges of certified pitch diameter to set them on".to_owned()
            }
            Some(_) => "a setting standard they sit on, near the pitch diameter: a thread plug of this thread, or a V-and-cone rod".to_owned(),
            None => "a gauge block or plain disc near the reading, of certified size".to_owned(),
        });
        let size = middle(target.limits);
        let reached = owned.instruments.iter().any(|instrument| {
            (instrument.range[0].value().mm()..=instrument.range[1].value().mm()).contains(&size)
        });
        if !reached {
            wanted.push(format!("a micrometer whose range holds {size:.3} mm"));
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
    let mut wanted = vec![format!(
        "an expanded uncertainty of at most {:.1} µm, a quarter of the tolerance; the best owned gives {:.1} µm",
        allowed * 1000.0,
        best.plan.size.expanded_uncertainty * 1000.0
    )];
    if let Some(line) = best.plan.budget.first() {
        // What the largest line may be for the rest to stay as it is.
        let rest = best.plan.size.standard_uncertainty * best.plan.size.standard_uncertainty
            - line.line.contribution * line.line.contribution;
        let room = allowed / best.plan.size.coverage_factor;
        let room = room * room - rest;
        wanted.push(if room > 0.0 {
            format!(
                "less of `{}`: a standard uncertainty of {:.2} µm in place of {:.2} µm",
                line.line.name,
                room.sqrt() * 1000.0,
                line.line.contribution * 1000.0
            )
        } else {
            format!(
                "less of `{}` ({:.2} µm) and of the other lines too: a comparison with a standard of nearly the same size \
                 on an instrument of finer display",
                line.line.name,
                line.line.contribution * 1000.0
            )
        });
    }
    wanted
}

/// The contacts for a feature, with their sizes.
pub fn ideal(target: &Target) -> String {
    let Some(feature) = &target.feature else {
        return match &target.thread {
            Some(thread) if thread.kind == Kind::Internal => {
                "GO and NOT GO thread plug gauges, or two balls on an internal measuring instrument"
                    .to_owned()
            }
            Some(thread) => format!(
                "a V-and-cone pair of {}° marked for a pitch of {:.4} mm, or wires",
                (thread.included_angle.degrees() * 1e6).round() / 1e6,
                thread.pitch.mm()
            ),
            None => "flat faces".to_owned(),
        };
    };
    match feature {
        Feature::PlainDiameter(_) | Feature::LobedShaft(_) => "flat faces".to_owned(),
        Feature::TubeWall(wall) => sphere(wall.bore.value().mm()),
        Feature::InsideDiameter(_) => sphere(middle(target.limits)),
        Feature::BoreToFlat(web) => sphere(web.bore.value().mm()),
        Feature::GrooveDiameter(groove) | Feature::Undercut(groove) => format!(
            "blades of at most {:.3} mm on a spindle that does not turn; knife edges only in hard parts",
            opening(groove).flat_floor().max(0.0)
        ),
        Feature::GrooveWidth(_) => format!(
            "thin discs, both together below {:.3} mm",
            target
                .limits
                .lower
                .map_or_else(|| middle(target.limits), Length::mm)
        ),
        Feature::Land(land) => {
            format!(
                "discs thinner than the groove beside the land, {}",
                land.groove_width.text()
            )
        }
        Feature::Keyseat(seat) => {
            format!(
                "small flat faces well below the width of the seat, {}",
                seat.width.text()
            )
        }
        Feature::SoftThickness(sheet) => match (sheet.thickness, sheet.pressure_kpa) {
            (Thickness::UnderPressure, Some(pressure)) => {
                let face = face_for_pressure(3.0, pressure / 1000.0).unwrap_or_default();
                format!(
                    "discs of {face:.1} mm at 3 N, which press with the {pressure} kPa of the standard"
                )
            }
            _ => "large discs at the lowest force".to_owned(),
        },
        Feature::CrimpHeight(_) => "a blade on top and a point below, at 1 to 3 N".to_owned(),
    }
}

fn sphere(bore: f64) -> String {
    format!(
        "a sphere of a radius below {:.3} mm inside, a flat outside ({})",
        bore / 2.0,
        ContactKind::SphereAndFlat.words()
    )
}
