//! What a calibration is made with, and whether it may be used: at the answer, and once more at the signature.

use jiff::civil::Date;
use metrology::inspection::{State as InUse, ThreadDiameter};

use crate::bench::calibration::told::Wanted;
use crate::bench::calibration::{OnBlocks, OnPlugs};
use crate::bench::refusal::{Refusal, Refused};
use crate::error::Why;
use crate::gauge_room::blocks::Owned;
use crate::job_status;
use crate::register::{Kind, Register, Registered};

/// Why a micrometer or a plug does not check a pair on a day; none where it may. What would withhold the verdict of a job
/// withholds this one.
pub fn unfit_for_pair(piece: &Registered, register: &Register, today: Date) -> Option<Why> {
    let equipment = &piece.equipment;
    let state = equipment.state();
    if state != InUse::Active {
        return Some(Why::of(Refused::OutOfUse { state }));
    }
    if let Some(due) = equipment.due().filter(|due| *due < today) {
        return Some(Why::of(Refused::Overdue { due }));
    }
    let what = ThreadDiameter::PitchDiameter.key();
    let is_other = |uses: &&[String]| uses.iter().all(|one| one != what);
    if let Some(uses) = piece.limited_to().filter(is_other) {
        let (uses, what) = (uses.to_vec(), what.to_owned());
        return Some(Why::of(Refused::Limited { uses, what }));
    }
    job_status::withheld(piece, register, today).map(Why::of)
}

/// That a piece is not used.
pub fn refused(id: &str, why: &Why) -> Refusal {
    let refused = Refused::Unfit {
        id: id.to_owned(),
        why: why.message.clone(),
    };
    Refusal::of(Why::in_unit(refused, why.unit))
}

/// Blocks that were set apart since they were chosen, or are overdue by now.
pub fn unfit_blocks(on: &OnBlocks, blocks: &[Owned]) -> Option<Refusal> {
    let set = on.set.as_ref()?;
    let owned = blocks.iter().find(|owned| owned.set.id == set.id)?;
    let (id, status) = (owned.set.id.clone(), owned.status);
    (!owned.may_be_used()).then(|| Refusal::new(Wanted::UnfitBlocks { id, status }))
}

/// The same of the plugs of a pair, and of the micrometer that it is in.
pub fn unfit_plugs(on: &OnPlugs, register: &Register, today: Date) -> Option<Refusal> {
    let known = |id: &str| {
        let mut standards = register.standards();
        let found = standards.find(|(_, standard)| standard.id.trim() == id.trim());
        found.map(|(piece, _)| piece)
    };
    let plugs = on.plugs().iter().flatten();
    let plugs = plugs.filter_map(|plug| known(&plug.id));
    let instrument = on.instrument.as_ref();
    let instrument = instrument.and_then(|one| register.find(Kind::Instrument, &one.id));
    let mut pieces = instrument.into_iter().chain(plugs);
    pieces.find_map(|piece| {
        let why = unfit_for_pair(piece, register, today)?;
        Some(refused(piece.equipment.id(), &why))
    })
}
