//! The pieces to choose from at a question, the best first.

use metrology::inspection::{ContactKind, Made, Service, WireSet, may_turn, unsuited};

use super::Table;
use super::proposals::Named;
use crate::approving::characteristic_key;
use crate::bench::calibrating::unfit_for_pair;
use crate::bench::fit;
use crate::bench::question::Question;
use crate::bench::refusal::Refused;
use crate::bench::state::State;
use crate::bench::taken::choose;
use crate::error::Why;
use crate::register::{Equipment, Registered};

/// Of what is fit, what suits best comes first, and then what leaves most of the tolerance.
struct Rank {
    /// 0 where nothing speaks for another; of a standard how far it is from what will be read, millimetres.
    unsuited: f64,
    /// Expanded uncertainty that it would give, millimetres.
    expanded: f64,
}

/// A piece to choose from, and why not, where not.
pub struct Choice<'a> {
    pub piece: &'a Registered,
    pub unfit: Option<Why>,
}

impl Choice<'_> {
    pub fn id(&self) -> &str {
        self.piece.equipment.id()
    }
}

impl<'a> Table<'a> {
    /// What there is to choose from where it is not equipment, by name.
    pub fn options(&self) -> Vec<&'static str> {
        match self.state.question() {
            Question::Service => Service::ALL.map(Service::key).to_vec(),
            Question::Made => Made::ALL.map(Made::key).to_vec(),
            Question::Detail(detail) => detail.choices().unwrap_or_default().to_vec(),
            _ => Vec::new(),
        }
    }

    /// The pieces that the question is about, what is fit first.
    pub fn choices(&self) -> Vec<Choice<'a>> {
        let known = self.proposals.choices.get_or_init(|| {
            let ranked = self.ranked().into_iter();
            ranked
                .map(|choice| (Named::of(choice.piece), choice.unfit))
                .collect()
        });
        let choice = |(piece, unfit): &(Named, Option<Why>)| {
            let unfit = unfit.clone();
            let piece = piece.find(self.register)?;
            Some(Choice { piece, unfit })
        };
        known.iter().filter_map(choice).collect()
    }

    fn ranked(&self) -> Vec<Choice<'a>> {
        let Some(wanted) = self.state.question().kind() else {
            return Vec::new();
        };
        let suited = fit::suited(self.state);
        // Each is planned once, not at every comparison.
        let mut ranked: Vec<(Rank, Choice<'a>)> = self
            .register
            .pieces()
            .iter()
            .filter(|piece| piece.equipment.kind() == wanted)
            .map(|piece| {
                if self.state.calibrating().is_some() {
                    return self.for_pair(piece);
                }
                let unfit = self.limited(piece).or_else(|| self.unfit(&piece.equipment));
                (self.rank(&piece.equipment, suited), Choice { piece, unfit })
            })
            .collect();
        ranked.sort_by(|(a, one), (b, other)| {
            (one.unfit.is_some().cmp(&other.unfit.is_some()))
                .then(a.unsuited.total_cmp(&b.unsuited))
                .then(a.expanded.total_cmp(&b.expanded))
        });
        ranked.into_iter().map(|(_, choice)| choice).collect()
    }

    /// The micrometer of a pair that is checked: the one that it was in before comes first.
    fn for_pair<'p>(&self, piece: &'p Registered) -> (Rank, Choice<'p>) {
        let rank = Rank {
            unsuited: f64::from(u8::from(!self.was_in(piece))),
            expanded: f64::INFINITY,
        };
        let unfit = unfit_for_pair(piece, self.register, self.today);
        (rank, Choice { piece, unfit })
    }

    /// How a piece ranks among its kind.
    fn rank(&self, piece: &Equipment, suited: Option<ContactKind>) -> Rank {
        let mut with = self.state.clone();
        choose(&mut with, piece);
        if with.wires.is_none() && with.over_wires() {
            // Flat faces are worth what the best wires at hand make of them.
            with.wires = self.fit_wires(&with).into_iter().next();
        }
        let unsuited = match piece {
            // Blades and points want a spindle that does not turn them.
            Equipment::Instrument(item) => f64::from(u8::from(may_turn(suited, item))),
            Equipment::Contacts(pair) => f64::from(unsuited(suited, pair)),
            // A standard is best near what will be read.
            Equipment::Standard(item) => match fit::plan(&with) {
                Some(Ok(plan)) => (item.size.value().mm() - plan.expected_reading).abs(),
                _ => f64::INFINITY,
            },
            _ => 0.0,
        };
        let expanded = fit::expected(&with).map_or(f64::INFINITY, |(expanded, _)| expanded);
        Rank { unsuited, expanded }
    }

    /// A piece that may be used for other things only.
    pub(super) fn limited(&self, piece: &Registered) -> Option<Why> {
        let uses = piece.limited_to()?.to_vec();
        let what = characteristic_key(self.state.characteristic.as_ref()?).to_owned();
        (!uses.contains(&what)).then(|| Why::of(Refused::Limited { uses, what }))
    }

    /// Why a piece cannot be used here; flat faces want wires for a pitch diameter.
    fn unfit(&self, piece: &Equipment) -> Option<Why> {
        fit::unfit(self.state, piece, self.today).or_else(|| {
            let mut with = self.state.clone();
            choose(&mut with, piece);
            if let Some(why) = with.study_over_wires() {
                return Some(why);
            }
            let no_wires = with.wires.is_none()
                && matches!(piece, Equipment::Contacts(_))
                && with.over_wires()
                && self.fit_wires(&with).is_empty();
            no_wires.then(|| Why::of(Refused::NoWires))
        })
    }

    /// The wires of the register that are fit for such a set-up, those that give the least uncertainty first.
    fn fit_wires(&self, with: &State) -> Vec<WireSet> {
        let mut fit: Vec<(f64, WireSet)> = self
            .register
            .pieces()
            .iter()
            .filter_map(|piece| match &piece.equipment {
                Equipment::Wires(wires) => Some((&piece.equipment, wires)),
                _ => None,
            })
            .filter(|(piece, _)| fit::unfit(with, piece, self.today).is_none())
            .filter_map(|(piece, wires)| {
                let mut with = with.clone();
                choose(&mut with, piece);
                Some((fit::expected(&with)?.0, wires.clone()))
            })
            .collect();
        fit.sort_by(|(one, _), (other, _)| one.total_cmp(other));
        fit.into_iter().map(|(_, wires)| wires).collect()
    }
}
