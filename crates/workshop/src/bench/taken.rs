//! What a piece of equipment is in a job at the bench: one of the four that it is measured with.

use jiff::Timestamp;
use jiff::civil::Date;
use metrology::inspection::{Temperature, Thermometer};

use crate::clock::to_second;
use crate::equipment::{Equipment, Kind};
use crate::event::{Event, Kept};
use crate::register::{Register, Registered};

use super::state::State;

/// Puts a piece in its place in what is chosen so far; whether it has one.
pub fn choose(state: &mut State, equipment: &Equipment) -> bool {
    match equipment {
        Equipment::Instrument(item) => state.instrument = Some(item.clone()),
        Equipment::Contacts(item) => state.contacts = Some(item.clone()),
        Equipment::Standard(item) => state.standard = Some(item.clone()),
        Equipment::Wires(item) => state.wires = Some(item.clone()),
        Equipment::Balls(_) | Equipment::Gauge(_) | Equipment::Thermometer(_) => return false,
    }
    true
}

/// What happens when a piece is taken; a micrometer brings its unit. Nothing where it has no place in a job.
pub fn events(equipment: Equipment) -> Vec<Event> {
    match equipment {
        Equipment::Instrument(instrument) => {
            let unit = instrument.range[0].unit();
            vec![Event::Instrument { instrument }, Event::Unit { unit }]
        }
        Equipment::Contacts(contacts) => vec![Event::Contacts { contacts }],
        Equipment::Standard(standard) => vec![Event::Standard { standard }],
        Equipment::Wires(wires) => vec![Event::Wires { wires }],
        Equipment::Balls(_) | Equipment::Gauge(_) | Equipment::Thermometer(_) => Vec::new(),
    }
}

/// The pieces that the next job keeps, by kind and identity.
pub fn kept(kept: &Kept) -> Vec<(Kind, String)> {
    let mut all = vec![
        (Kind::Instrument, kept.instrument.id.clone()),
        (Kind::Contacts, kept.contacts.id.clone()),
        (Kind::Standard, kept.standard.id.clone()),
    ];
    all.extend(
        kept.wires
            .as_ref()
            .map(|wires| (Kind::Wires, wires.id.clone())),
    );
    let read = kept.temperature.as_ref();
    let named = read.and_then(|read| read.thermometer.as_ref());
    all.extend(named.map(|one| (Kind::Thermometer, one.id.clone())));
    all
}

/// The pieces that are chosen, by kind and identity; wires where the job is done over them.
pub fn pieces(state: &State) -> Vec<(Kind, String)> {
    let wires = state.wires.as_ref().filter(|_| state.over_wires());
    [
        (Kind::Instrument, state.instrument.as_ref().map(|it| &it.id)),
        (Kind::Contacts, state.contacts.as_ref().map(|it| &it.id)),
        (Kind::Wires, wires.map(|it| &it.id)),
        (Kind::Standard, state.standard.as_ref().map(|it| &it.id)),
    ]
    .into_iter()
    .filter_map(|(kind, id)| Some((kind, id?.clone())))
    .collect()
}

/// Keeps a piece as it is described now.
pub fn keep(kept: &mut Kept, equipment: &Equipment) {
    match equipment {
        Equipment::Instrument(item) => kept.instrument = item.clone(),
        Equipment::Contacts(item) => kept.contacts = item.clone(),
        Equipment::Standard(item) => kept.standard = item.clone(),
        Equipment::Wires(item) => kept.wires = Some(item.clone()),
        Equipment::Thermometer(item) => {
            if let Some(read) = &mut kept.temperature {
                read.thermometer = Some(Box::new(item.clone()));
            }
        }
        Equipment::Balls(_) | Equipment::Gauge(_) => {}
    }
}

/// Whether zero depends on a piece of this kind.
pub fn sets_zero(kind: Kind) -> bool {
    !matches!(kind, Kind::Wires | Kind::Thermometer)
}

/// The registered thermometer of this identity, however its letters are written.
pub fn thermometer<'a>(register: &'a Register, id: &str) -> Option<&'a Registered> {
    let kind = Kind::Thermometer;
    register
        .find(kind, id)
        .or_else(|| register.find(kind, register.alike(kind, id)?))
}

/// The thermometers that may have been meant.
pub fn nearest_thermometers(register: &Register, id: &str) -> Vec<String> {
    register.nearest(Some(Kind::Thermometer), id)
}

/// A piece as temperatures are read with it; none where it shows none.
pub fn reads(equipment: Equipment) -> Option<Box<Thermometer>> {
    match equipment {
        Equipment::Thermometer(one) => Some(Box::new(one)),
        _ => None,
    }
}

/// Whether temperatures may stand for another job: what they were read with, where it was named, is still in use and in date.
pub fn may_stand(register: &Register, temperature: &Temperature, today: Date) -> bool {
    temperature.thermometer.as_ref().is_none_or(|named| {
        register
            .find(Kind::Thermometer, &named.id)
            .map(|known| &known.equipment)
            .is_some_and(|piece| {
                piece.state().is_active() && piece.due().is_none_or(|due| due >= today)
            })
    })
}

/// Whether nothing was done to these pieces since zero was checked with them: an intervention ends what a check is worth.
pub fn untouched(
    register: &Register,
    pieces: &[(Kind, String)],
    checked_at: Option<Timestamp>,
) -> bool {
    // An entry is dated to the second.
    let checked_at = checked_at.map(to_second);
    let mut registered = pieces
        .iter()
        .filter(|(kind, _)| sets_zero(*kind))
        .filter_map(|(kind, id)| register.find(*kind, id));
    registered.all(|piece| {
        !piece.is_change || checked_at.is_some_and(|checked| piece.recorded_at < checked)
    })
}
