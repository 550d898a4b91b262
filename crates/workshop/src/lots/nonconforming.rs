//! Nonconforming pieces of lots: which there are, what was decided on each, and what was found after work on it.

use std::collections::BTreeSet;

use ledger::{Draft, Entry, EntryId, Filter, Ledger, Order, Subject};
use metrology::lot::Standing;

use super::decisions::{Decided, decisions, latest};
use super::known::{Lot, LotsError, find};
use super::matrix::{Matrix, matrix};
use crate::error::Error;
use crate::given::is_same_person;
use crate::kept;
use crate::lot_entry::LOT;
use crate::nonconformance::{Decision, Disposition, ShownBy};
use crate::on_record::each_whole;
use crate::record_kind::RecordKind;
use crate::recorder::Recorder;

metrology::messages! {
    /// Why nothing is decided on a piece.
    pub enum NonconformingError "nonconforming" {
        /// No result of that piece is on the record.
        NoPiece "no-piece" { lot: String as Text, piece: String as Text },
        /// The piece is accepted.
        Conforms "conforms" { lot: String as Text, piece: String as Text },
        /// Its disposition is final.
        Final "final" { number: String as Text, disposition: Disposition as code, entry: String as Text },
        /// Used as it is without the number of a concession.
        NoConcession "no-concession",
        /// A concession for another disposition.
        Concession "concession" { disposition: Disposition as code },
        /// Who decides cannot confirm it.
        SamePerson "same-person" { name: String as Text },
    }
}

/// A nonconforming piece.
#[derive(Clone, Debug)]
pub struct Nonconforming {
    /// Its number: `N-` and the number of the first entry that shows it.
    pub number: String,
    pub lot: String,
    pub part: String,
    pub piece: String,
    pub shown_by: Vec<ShownBy>,
    /// What was decided; none of a piece that is held because nobody decided yet.
    pub decided: Option<Decided>,
    /// Characteristics measured again after the piece was worked on, with the entry and how the piece stands by it.
    pub again: Vec<(String, EntryId, Standing)>,
}

impl Nonconforming {
    pub fn disposition(&self) -> Disposition {
        let decided = self.decided.as_ref();
        decided.map_or(Disposition::Held, |decided| decided.decision.disposition)
    }

    /// Whether it is not to be accepted, whatever its results say now.
    pub fn is_not_to_accept(&self) -> bool {
        self.is_open() || self.disposition().is_final()
    }

    /// Whether something is still to be done: the piece is held, or is being worked on and was not accepted after it.
    pub fn is_open(&self) -> bool {
        let disposition = self.disposition();
        let decided = self.decided.as_ref();
        disposition == Disposition::Held
            || disposition.is_work()
                && !decided.is_some_and(|decided| decided.is_settled(&self.again))
    }
}

/// The nonconforming pieces of a lot, in the order of its pieces: those that are rejected, and those that somebody decided on.
pub fn nonconforming(ledger: &Ledger, lot: &Lot) -> Result<Vec<Nonconforming>, Error> {
    nonconforming_in(ledger, lot, &matrix(ledger, lot, &[])?)
}

/// The same where the record of the lot was read already.
pub(super) fn nonconforming_in(
    ledger: &Ledger,
    lot: &Lot,
    matrix: &Matrix,
) -> Result<Vec<Nonconforming>, Error> {
    let mut decided = latest(decisions(ledger, &lot.begun.number)?);
    let mut all = Vec::new();
    for row in &matrix.rows {
        let decided = decided.remove(&row.piece);
        let shown_by = match &decided {
            Some(decided) => decided.decision.shown_by.clone(),
            None => shown_by(matrix, &row.piece, &[Standing::Reject]),
        };
        let Some(number) = number(&shown_by) else {
            continue;
        };
        let again = matrix.after_work.iter();
        let again = again.filter(|after| after.piece == row.piece);
        all.push(Nonconforming {
            number,
            lot: lot.begun.number.clone(),
            part: lot.begun.part.clone(),
            piece: row.piece.clone(),
            shown_by,
            decided,
            again: again
                .map(|after| (name(matrix, after.index), after.entry, after.standing))
                .collect(),
        });
    }
    Ok(all)
}

fn name(matrix: &Matrix, index: usize) -> String {
    let planned = matrix.plan.characteristics.get(index);
    planned.map_or_else(String::new, |planned| planned.number.clone())
}

/// The results on the record by which a piece stands so.
fn shown_by(matrix: &Matrix, piece: &str, standings: &[Standing]) -> Vec<ShownBy> {
    let row = matrix.rows.iter().find(|row| row.piece == piece);
    let cells = row.into_iter().flat_map(|row| row.cells.iter().enumerate());
    cells
        .filter_map(|(index, cell)| {
            let cell = cell.as_ref()?;
            let entry = cell
                .entry
                .filter(|_| standings.contains(&cell.standing))?
                .to_string();
            Some(ShownBy {
                characteristic: name(matrix, index),
                entry,
            })
        })
        .collect()
}

/// `N-` and the number of the first entry.
fn number(shown_by: &[ShownBy]) -> Option<String> {
    let sequences = shown_by.iter().filter_map(|shown| {
        let (sequence, _) = shown.entry.split_once('-')?;
        sequence.parse::<u64>().ok()
    });
    sequences.min().map(|first| format!("N-{first}"))
}

/// The lots with a piece that was rejected, or decided on, by their numbers; some of them may never have been begun.
pub(super) fn lots_with_some(ledger: &Ledger) -> Result<BTreeSet<String>, Error> {
    let rejected = |kind: RecordKind| Filter {
        subjects: vec![Subject::new("verdict", "reject")],
        ..kind.standing()
    };
    let mut lots = BTreeSet::new();
    for filter in [
        rejected(RecordKind::Inspection),
        rejected(RecordKind::Found),
        RecordKind::Nonconformance.standing(),
    ] {
        each_whole(ledger, &filter, Order::NewestFirst, |entry| {
            lots.extend(entry.content.subject(LOT).map(str::to_owned));
            Ok(())
        })?;
    }
    Ok(lots)
}

/// All nonconforming pieces of all lots, the latest lot first.
pub fn all_nonconforming(ledger: &Ledger) -> Result<Vec<Nonconforming>, Error> {
    let mut found = Vec::new();
    for number in &lots_with_some(ledger)? {
        // What was measured with a lot typed beside it may be of none that was begun.
        if let Some(lot) = find(ledger, number)? {
            found.push((lot.entry, nonconforming(ledger, &lot)?));
        }
    }
    found.sort_by_key(|(entry, _)| std::cmp::Reverse(entry.sequence()));
    Ok(found.into_iter().flat_map(|(_, pieces)| pieces).collect())
}

/// What somebody decides on a piece.
#[derive(Clone, Debug)]
pub struct Dispose {
    pub lot: String,
    pub piece: String,
    pub disposition: Disposition,
    pub concession: Option<String>,
    pub confirmed_by: Option<String>,
    pub note: Option<String>,
}

/// Records a decision on a piece that is rejected or undecided.
pub fn dispose(
    ledger: &Ledger,
    asked: &Dispose,
    recorder: &Recorder,
) -> Result<(Entry, Decision), Error> {
    let disposition = asked.disposition;
    match (&asked.concession, disposition) {
        (None, Disposition::UseAsIs) => {
            return Err(Error::input(NonconformingError::NoConcession));
        }
        (Some(_), other) if other != Disposition::UseAsIs => {
            return Err(Error::input(NonconformingError::Concession { disposition }));
        }
        _ => {}
    }
    let confirmed = asked.confirmed_by.as_deref().map(str::trim);
    if let Some(name) = confirmed.filter(|name| is_same_person(name, &recorder.person)) {
        let name = name.to_owned();
        return Err(Error::input(NonconformingError::SamePerson { name }));
    }
    let (number, piece) = (asked.lot.trim().to_owned(), asked.piece.trim().to_owned());
    let Some(lot) = find(ledger, &number)? else {
        return Err(Error::input(LotsError::NoLot { number }));
    };
    let matrix = matrix(ledger, &lot, &[])?;
    if !matrix.rows.iter().any(|row| row.piece == piece) {
        let lot = number;
        return Err(Error::input(NonconformingError::NoPiece { lot, piece }));
    }
    let before = latest(decisions(ledger, &number)?).remove(&piece);
    let shown_by = match &before {
        Some(before) if before.decision.disposition.is_final() => {
            return Err(Error::input(NonconformingError::Final {
                number: before.decision.number.clone(),
                disposition: before.decision.disposition,
                entry: before.entry.to_string(),
            }));
        }
        Some(before) => before.decision.shown_by.clone(),
        None => shown_by(&matrix, &piece, &[Standing::Reject, Standing::Undecided]),
    };
    let Some(id) = self::number(&shown_by) else {
        let lot = number;
        return Err(Error::input(NonconformingError::Conforms { lot, piece }));
    };
    let decision = Decision {
        number: id,
        lot: number,
        piece,
        shown_by,
        disposition,
        concession: asked.concession.clone(),
        confirmed_by: confirmed.map(str::to_owned),
        note: asked.note.clone(),
    };
    let draft = Draft {
        inputs: kept::write(kept::NONCONFORMANCE, &decision).map_err(Error::outside)?,
        subjects: decision.subjects(),
        ..recorder.blank(RecordKind::Nonconformance)?
    };
    Ok((ledger.append(&draft)?, decision))
}
