//! Micrometers and standards in date, and what a pair of contacts gives in them.

use std::cmp::Ordering;

use jiff::civil::Date;

use super::JobError;
use super::equipment::{Contacts, Instrument, Standard, WireSet};
use super::measured_with::middle;
use super::plan::{self, Pieces, Plan, Question};
use super::state::State;
use super::suited::{may_turn, rank, suited, unsuited};
use super::target::Target;
use crate::message::Message;
use crate::units::{Entered, Length, LengthUnit};

/// A set-up that may be used.
#[derive(Clone, Debug)]
pub struct SetUp {
    pub instrument: String,
    pub contacts: String,
    /// The wires between them and the thread, where it is done with wires.
    pub wires: Option<String>,
    /// The standard to set zero on.
    pub standard: String,
    /// Its certified size: what the display must show there, millimetres.
    pub zero_on: Length,
    /// What the display counts in.
    pub display_unit: LengthUnit,
    /// One step of the last digit, where it is known.
    pub resolution: Option<Entered>,
    /// What it will give.
    pub plan: Plan,
    /// `2U/T`, where both limits are set.
    pub share: Option<f64>,
    /// How little its pieces suit: 0 where they are made for what is measured.
    pub unsuited: u8,
}

crate::messages! {
    /// Why something owned may not be used for what is measured.
    pub enum NotUsable "not-usable" {
        /// Past its due date.
        Overdue "overdue" { due: Date as Date },
        /// Not in use.
        OutOfUse "out-of-use" { state: State as code },
        /// Contacts, and no micrometer.
        NoMicrometer "no-micrometer",
        /// Wires, and no micrometer with flat faces.
        NoFlatFaces "no-flat-faces",
        /// No standard in the range of a micrometer.
        NoStandard "no-standard" { instrument: String as Text, from: Entered as Entered, to: Entered as Entered },
        /// Contacts that do not suit.
        Contacts "contacts" { why: Message as said },
        /// What an inspection with it would be refused for.
        Job "job" { error: JobError as said },
    }
}

impl SetUp {
    /// What is good enough first, of that the contacts that are made for what is measured; then the smallest expanded
    /// uncertainty; where that is the same, by name.
    ///
    /// Wires between flat faces promise less uncertainty than a V-and-cone pair, and take longer with every part.
    pub fn order(&self, other: &Self) -> Ordering {
        let expanded = |one: &Self| one.plan.size.expanded_uncertainty;
        let rank = |one: &Self| rank(one.share, one.unsuited);
        rank(self)
            .cmp(&rank(other))
            .then_with(|| expanded(self).total_cmp(&expanded(other)))
            .then_with(|| {
                (&self.contacts, &self.wires, &self.instrument).cmp(&(
                    &other.contacts,
                    &other.wires,
                    &other.instrument,
                ))
            })
    }
}

/// Micrometers and standards that may be used, and for what.
pub struct Drawer<'a> {
    pub question: &'a Question,
    pub target: &'a Target,
    pub instruments: Vec<&'a Instrument>,
    pub standards: Vec<&'a Standard>,
}

impl<'a> Drawer<'a> {
    /// The pair, and wires if any, in a micrometer zeroed on the fit standard nearest to what will be read.
    pub fn plan(
        &self,
        instrument: &'a Instrument,
        contacts: &'a Contacts,
        wires: Option<&'a WireSet>,
    ) -> Result<(Pieces<'a>, Plan), NotUsable> {
        let Self {
            question, target, ..
        } = self;
        let [smallest, largest] = &instrument.range;
        let refused = |error| NotUsable::Job { error };
        let distance = |standard: &Standard, from: Length| (standard.size.value() - from).abs();
        let fit = || {
            self.standards.iter().copied().filter(|standard| {
                plan::sits(standard, contacts, target)
                    && (smallest.value()..=largest.value()).contains(&standard.size.value())
            })
        };
        let middle = Length::nearest_mm(middle(target.limits)).ok();
        let first = middle.and_then(|middle| {
            let standard =
                fit().min_by(|a, b| nearer(distance(a, middle), a, distance(b, middle), b))?;
            Some((middle, standard))
        });
        let Some((middle, first)) = first else {
            return Err(NotUsable::NoStandard {
                instrument: instrument.id.clone(),
                from: smallest.clone(),
                to: largest.clone(),
            });
        };
        let plan_on = |standard| {
            let pieces = Pieces {
                instrument,
                contacts,
                standard,
                wires,
            };
            let planned = plan::plan(question, target, &pieces).map_err(refused)?;
            Ok((pieces, planned))
        };
        let (pieces, planned) = plan_on(first)?;
        // The nearest to the reading, which is not always near the size itself.
        let reading =
            Length::nearest_mm(planned.expected_reading).map_err(|error| refused(error.into()))?;
        let nearest = fit().min_by(|a, b| {
            distance(a, reading)
                .cmp(&distance(b, reading))
                .then_with(|| nearer(distance(a, middle), a, distance(b, middle), b))
        });
        match nearest {
            Some(nearest) if nearest.id != first.id => plan_on(nearest),
            _ => Ok((pieces, planned)),
        }
    }

    /// How little these pieces suit what is measured; 0 is best.
    pub fn unsuited(&self, pieces: &Pieces) -> u8 {
        let suited = suited(self.target);
        let turns = u8::from(may_turn(suited, pieces.instrument));
        3 * turns + unsuited(suited, pieces.contacts)
    }

    /// The share of the tolerance that twice an expanded uncertainty in millimetres takes, where both limits are set.
    pub fn share(&self, expanded: f64) -> Option<f64> {
        let tolerance = self.target.limits.tolerance();
        let tolerance = tolerance.filter(|tolerance| *tolerance > Length::ZERO);
        tolerance.map(|tolerance| 2.0 * expanded / tolerance.mm())
    }

    /// The same as a set-up.
    pub fn set_up(&self, pieces: &Pieces<'a>) -> Result<SetUp, NotUsable> {
        let (pieces, plan) = self.plan(pieces.instrument, pieces.contacts, pieces.wires)?;
        let share = self.share(plan.size.expanded_uncertainty);
        Ok(SetUp {
            instrument: pieces.instrument.id.clone(),
            contacts: pieces.contacts.id.clone(),
            wires: pieces.wires.map(|wires| wires.id.clone()),
            standard: pieces.standard.id.clone(),
            zero_on: pieces.standard.size.value(),
            resolution: pieces.instrument.resolution.clone(),
            display_unit: if plan::inch(pieces.instrument) {
                LengthUnit::Inch
            } else {
                LengthUnit::Millimetre
            },
            plan,
            share,
            unsuited: self.unsuited(&pieces),
        })
    }
}

/// The standard at the smaller distance; at the same, the first by name.
fn nearer(one: Length, a: &Standard, other: Length, b: &Standard) -> Ordering {
    one.cmp(&other).then_with(|| a.id.cmp(&b.id))
}
