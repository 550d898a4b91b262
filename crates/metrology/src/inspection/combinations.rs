//! Which of many set-ups come first, told from one trial of each piece.
//!
//! Variances add. Of micrometers that are zeroed on the same standard and know their errors in the same way, and of pairs
//! of the same kind, each adds to the variance what it adds in any combination. So one micrometer is tried with every
//! pair, and one pair with every micrometer; what all others give is reckoned from these, and only what comes first is
//! planned.

use std::collections::BTreeMap;

use super::JobError;
use super::drawer::{Drawer, NotUsable, SetUp};
use super::equipment::{Contacts, Instrument, InstrumentErrors, Standard, WireSet};
use super::plan::{Pieces, Plan};
use super::size::Size;
use super::suited::rank;
use crate::uncertainty::{coverage_factor_95, truncated_degrees_of_freedom};

/// What is reckoned differs from what is planned by rounding alone; this is far more.
pub const ROUNDING: f64 = 1e-9;

/// What may be used together, with what it will give.
#[derive(Clone, Copy)]
pub struct Combination<'a> {
    pub pieces: Pieces<'a>,
    gives: Sums,
}

/// What pieces add to: the variance `Σ Vᵢ`, square millimetres, and `Σ Vᵢ²/νᵢ` of the effective degrees of freedom
/// (JCGM 100:2008, formula G.2b).
#[derive(Clone, Copy)]
struct Sums {
    variance: f64,
    weight: f64,
}

impl Sums {
    fn of(size: &Size) -> Self {
        let variance = size.standard_uncertainty * size.standard_uncertainty;
        Self {
            variance,
            weight: variance * variance / size.degrees_of_freedom,
        }
    }

    /// What this gives with the change from one to another.
    fn changed(self, from: Self, to: Self) -> Self {
        Self {
            variance: self.variance + (to.variance - from.variance),
            weight: self.weight + (to.weight - from.weight),
        }
    }
}

impl<'a> Combination<'a> {
    fn of(pieces: Pieces<'a>, plan: &Plan) -> Self {
        let gives = Sums::of(&plan.size);
        Self { pieces, gives }
    }

    /// The standard uncertainty to expect, millimetres.
    pub fn standard_uncertainty(&self) -> f64 {
        self.gives.variance.max(0.0).sqrt()
    }

    /// The degrees of freedom to expect, truncated; by rounding rather one too many.
    fn degrees_of_freedom(&self) -> f64 {
        let Sums { variance, weight } = self.gives;
        let effective = variance * variance / weight.max(0.0);
        truncated_degrees_of_freedom(effective * (1.0 + ROUNDING))
    }

    /// Pair, wires, micrometer: in this order are set-ups named that give the same.
    pub fn name(&self) -> (&'a str, Option<&'a str>, &'a str) {
        let Pieces {
            contacts,
            wires,
            instrument,
            ..
        } = self.pieces;
        (
            &contacts.id,
            wires.map(|wires| wires.id.as_str()),
            &instrument.id,
        )
    }
}

/// Micrometers that give the same difference with each pair.
struct Alike<'a> {
    standard: &'a Standard,
    curve: bool,
    /// Newtons, where the pair is used with the micrometer's.
    force: Option<f64>,
    members: Vec<Combination<'a>>,
}

/// What of the drawer goes together, and why the other pairs do not.
pub struct Combined<'a> {
    pub combinations: Vec<Combination<'a>>,
    pub refused: Vec<(&'a Contacts, Vec<NotUsable>)>,
}

/// Each of these pairs in each micrometer.
pub fn combined<'a>(
    drawer: &Drawer<'a>,
    pairs: &[&'a Contacts],
    wires: Option<&'a WireSet>,
) -> Combined<'a> {
    let mut all = Combined {
        combinations: Vec::new(),
        refused: Vec::new(),
    };
    let mut kinds: Vec<Vec<&Contacts>> = Vec::new();
    for pair in pairs {
        let like = |other: &&Contacts| {
            (other.kind, other.force.is_some()) == (pair.kind, pair.force.is_some())
        };
        match kinds.iter_mut().find(|kind| kind.first().is_some_and(like)) {
            Some(kind) => kind.push(pair),
            None => kinds.push(vec![pair]),
        }
    }
    for kind in kinds {
        of_a_kind(drawer, &kind, wires, &mut all);
    }
    all
}

/// The same of pairs of one kind.
fn of_a_kind<'a>(
    drawer: &Drawer<'a>,
    pairs: &[&'a Contacts],
    wires: Option<&'a WireSet>,
    all: &mut Combined<'a>,
) {
    let mut groups: Vec<Alike> = Vec::new();
    for pair in pairs {
        let before = all.combinations.len();
        for group in &groups {
            let Some(first) = group.members.first() else {
                continue;
            };
            let Ok((pieces, plan)) = drawer.plan(first.pieces.instrument, pair, wires) else {
                continue;
            };
            let gives = Sums::of(&plan.size);
            all.combinations
                .extend(group.members.iter().map(|member| Combination {
                    pieces: Pieces {
                        instrument: member.pieces.instrument,
                        ..pieces
                    },
                    gives: gives.changed(first.gives, member.gives),
                }));
        }
        if all.combinations.len() > before {
            continue;
        }
        let (found, why) = in_each(drawer, pair, wires);
        if found.is_empty() {
            // Wires that do not fit the thread fit it between no faces.
            let unfit = |why: &NotUsable| {
                matches!(
                    why,
                    NotUsable::Job {
                        error: JobError::WiresUnfit { .. }
                    }
                )
            };
            let enough = why.iter().any(unfit);
            all.refused.push((pair, why));
            if enough {
                return;
            }
        } else if groups.is_empty() {
            groups = alike(&found);
        }
        all.combinations.extend(found);
    }
}

/// A pair in every micrometer, or why not.
fn in_each<'a>(
    drawer: &Drawer<'a>,
    pair: &'a Contacts,
    wires: Option<&'a WireSet>,
) -> (Vec<Combination<'a>>, Vec<NotUsable>) {
    let mut found = Vec::new();
    let mut why = Vec::new();
    for instrument in &drawer.instruments {
        match drawer.plan(instrument, pair, wires) {
            Ok((pieces, plan)) => found.push(Combination::of(pieces, &plan)),
            Err(reason) => why.push(reason),
        }
    }
    (found, why)
}

fn alike<'a>(found: &[Combination<'a>]) -> Vec<Alike<'a>> {
    let mut groups: Vec<Alike> = Vec::new();
    for one in found {
        let Instrument { errors, force, .. } = one.pieces.instrument;
        let curve = matches!(errors, InstrumentErrors::Curve(_));
        let force = force.filter(|_| one.pieces.contacts.force.is_none());
        let standard = one.pieces.standard;
        match groups.iter_mut().find(|group| {
            std::ptr::eq(group.standard, standard) && group.curve == curve && group.force == force
        }) {
            Some(group) => group.members.push(*one),
            None => groups.push(Alike {
                standard,
                curve,
                force,
                members: vec![*one],
            }),
        }
    }
    groups
}

/// The first in the order of set-ups, at most so many, planned in full.
///
/// Of equal numbers no more are planned than are asked for, the first by name: equal pieces give equal plans.
pub fn first(drawer: &Drawer, combinations: Vec<Combination>, most: usize) -> Vec<SetUp> {
    // What is alike but for its uncertainty.
    let mut groups: BTreeMap<(bool, u8), Vec<(f64, Combination)>> = BTreeMap::new();
    for one in combinations {
        let freedom = one.degrees_of_freedom();
        let factor = coverage_factor_95(freedom).unwrap_or_default();
        let expanded = factor * one.standard_uncertainty();
        let group = rank(drawer.share(expanded), drawer.unsuited(&one.pieces));
        groups.entry(group).or_default().push((expanded, one));
    }
    let mut planned = Vec::new();
    for group in groups.into_values() {
        let room = most.saturating_sub(planned.len());
        if room > 0 {
            planned.extend(least_uncertain(drawer, group, room));
        }
    }
    planned
}

/// Those of the smallest expanded uncertainty, at most so many.
fn least_uncertain(
    drawer: &Drawer,
    mut ranked: Vec<(f64, Combination)>,
    most: usize,
) -> Vec<SetUp> {
    ranked.sort_unstable_by(|(a, one), (b, other)| {
        a.total_cmp(b).then_with(|| one.name().cmp(&other.name()))
    });
    let mut planned: Vec<SetUp> = Vec::new();
    for equal in ranked.chunk_by(|(a, _), (b, _)| a == b) {
        let worst = planned.get(most.saturating_sub(1));
        let worst = worst.map(|worst| worst.plan.size.expanded_uncertainty);
        let reckoned = equal.first().map(|(reckoned, _)| *reckoned);
        if let (Some(worst), Some(reckoned)) = (worst, reckoned)
            && reckoned * (1.0 - ROUNDING) > worst
        {
            break;
        }
        let equal = equal.iter().take(most);
        planned.extend(equal.filter_map(|(_, one)| drawer.set_up(&one.pieces).ok()));
        planned.sort_by(SetUp::order);
    }
    planned.truncate(most);
    planned
}
