//! What on the record speaks against a result that would count: a rejection elsewhere, another size of the same piece, a saved
//! recall, a decision that the piece is gone or held.

use std::collections::BTreeMap;

use ledger::{EntryId, Facts, Ledger, Number};
use metrology::inspection::is_beside;
use metrology::lot::{LotReason, Standing};
use metrology::message::Say as _;

use super::cell::{Cell, Key};
use super::decisions::Decided;
use super::gauge_doubts::{self, GaugeAgainst, GaugeDoubt};
use super::lot_remark::{LotRemark, Remarked};
use crate::error::Error;
use crate::gauge_room;
use crate::in_doubt::{Against, against_lot};
use crate::in_unit::to_mm;
use crate::inspection_plan::{By, Plan};
use crate::nonconformance::Disposition;
use crate::on_record;

/// Why a piece is undecided, beside what its own result says.
const REJECTED_OTHERWISE: &str = "rejected-otherwise";
const CONTRADICTED: &str = "contradicted";
const RECALLED: &str = "recalled";
const SCRAPPED: &str = "scrapped";
const RETURNED: &str = "returned";
const NOT_AS_RECORDED: &str = "not-as-recorded";
const HELD: &str = "held";
const IN_REWORK: &str = "in-rework";
const IN_REPAIR: &str = "in-repair";

/// Above this the sizes of two results contradict each other: E_n, see [`metrology::study::Compared`].
const E_N: f64 = 1.0;

/// U is stated with this factor in E_n (ISO/IEC 17043:2010, annex B.3.1.3, from memory).
const COVERAGE: f64 = 2.0;

/// A rejection on the record that is not the result of its piece.
#[derive(Clone, Debug)]
pub(super) struct Rejection {
    pub piece: Option<String>,
    /// The characteristics that it may be of.
    pub near: Vec<usize>,
    pub entry: EntryId,
}

/// A size with its standard uncertainty, millimetres.
#[derive(Clone, Copy, Debug)]
struct Sized {
    entry: EntryId,
    size: f64,
    uncertainty: f64,
}

#[derive(Clone, Debug)]
struct Contradiction {
    of: Key,
    first: EntryId,
    second: EntryId,
    e_n: f64,
}

#[derive(Clone, Debug, Default)]
pub(super) struct Doubts {
    pub rejections: Vec<Rejection>,
    /// Entries that are not as they were recorded.
    pub changed: Vec<EntryId>,
    sizes: BTreeMap<Key, Vec<Sized>>,
    contradictions: Vec<Contradiction>,
    /// The entries whose verdict a saved recall changes, with the case.
    recalled: BTreeMap<String, String>,
    /// What else the gauge room, or a withdrawal, has against entries.
    against: BTreeMap<EntryId, Against>,
    /// The latest decision on each piece.
    decided: BTreeMap<String, Decided>,
}

/// What the doubts make of a lot.
#[derive(Clone, Debug, Default)]
pub(super) struct Doubted {
    pub told: Vec<Remarked>,
    /// Why the lot is not accepted, however few pieces are undecided.
    pub holds: Option<LotReason>,
    /// What leaves pieces undecided that would count as accepted.
    pub open: Option<LotReason>,
}

impl Doubts {
    /// `latest` has the latest decision on each piece.
    pub fn of(
        ledger: &Ledger,
        lot: &str,
        latest: BTreeMap<String, Decided>,
    ) -> Result<Self, Error> {
        let mut recalled = BTreeMap::new();
        let cases = gauge_room::case::all(ledger)?;
        for (entry, case) in &cases {
            for one in case.in_doubt() {
                recalled.insert(one.entry.clone(), entry.id().to_string());
            }
        }
        for together in gauge_room::case::together(ledger, &cases)? {
            let cases: Vec<String> = together.cases.iter().map(EntryId::to_string).collect();
            recalled.insert(together.result.to_string(), cases.join(", "));
        }
        Ok(Self {
            recalled,
            against: against_lot(ledger, lot)?,
            decided: latest,
            ..Self::default()
        })
    }

    /// The decision by which a piece is gone.
    pub fn gone(&self, piece: &str) -> Option<&Decided> {
        let decided = self.decided.get(piece);
        decided.filter(|decided| decided.decision.disposition.is_final())
    }

    /// Holds a result against those before of the same piece and characteristic. One whose size is in doubt says nothing, and
    /// work between the two may change the size.
    pub fn compare(
        &mut self,
        of: &Key,
        (entry, cell, facts): (EntryId, &Cell, &Facts),
        worked_between: impl Fn(EntryId, EntryId) -> bool,
    ) {
        let in_doubt = cell.because.as_deref().is_some_and(|why| !is_beside(why));
        let Some(own) = sized(entry, facts).filter(|_| !in_doubt) else {
            return;
        };
        let known = self.sizes.entry(of.clone()).or_default();
        let others = known.iter();
        for before in others.filter(|before| !worked_between(before.entry, entry)) {
            let expanded = COVERAGE * both(own.uncertainty, before.uncertainty);
            let e_n = (own.size - before.size) / expanded;
            if e_n.abs() > E_N {
                self.contradictions.push(Contradiction {
                    of: of.clone(),
                    first: before.entry,
                    second: entry,
                    e_n,
                });
            }
        }
        known.push(own);
    }

    /// Leaves undecided what would count as accepted and has something against it. A rejection stands as it is. `is_settled` is
    /// whether a piece was accepted after the work that was decided on.
    pub fn apply(
        &self,
        plan: &Plan,
        cells: &mut BTreeMap<Key, Cell>,
        worked_after: impl Fn(&Key, EntryId, Option<EntryId>) -> bool,
        worked_between: impl Fn(&str, EntryId, EntryId) -> bool,
        is_settled: impl Fn(&Decided) -> bool,
    ) -> Doubted {
        let mut doubted = Doubted::default();
        self.not_as_recorded(cells, &mut doubted);
        self.recalled(plan, cells, &mut doubted);
        self.against(plan, cells, &mut doubted);
        self.contradicted(plan, cells, &mut doubted);
        gauged(plan, cells, worked_between, &mut doubted);
        self.rejected(plan, cells, worked_after, &mut doubted);
        self.not_released(plan, cells, is_settled, &mut doubted);
        doubted
    }

    /// What the facts of such an entry say is not known to be so, and it may be a rejection: the lot is not accepted.
    fn not_as_recorded(&self, cells: &mut BTreeMap<Key, Cell>, doubted: &mut Doubted) {
        if self.changed.is_empty() {
            return;
        }
        let is_changed = |entry: &EntryId| self.changed.contains(entry);
        for cell in cells.values_mut() {
            if cell.entry.as_ref().is_some_and(is_changed) {
                cell.leave_undecided(NOT_AS_RECORDED);
            }
        }
        doubted.holds = Some(LotReason::NotAsRecorded);
        doubted.open = Some(LotReason::NotAsRecorded);
        let entries = self.changed.iter().map(EntryId::to_string);
        doubted.told.push(Remarked {
            piece: None,
            remark: LotRemark::NotAsRecorded {
                entries: entries.collect(),
            },
        });
    }

    fn recalled(&self, plan: &Plan, cells: &mut BTreeMap<Key, Cell>, doubted: &mut Doubted) {
        if self.recalled.is_empty() {
            return;
        }
        for ((piece, index), cell) in cells.iter_mut() {
            let entry = cell.entry.map(|entry| entry.to_string());
            let Some((entry, case)) = entry.and_then(|entry| {
                let case = self.recalled.get(&entry)?;
                Some((entry, case.clone()))
            }) else {
                continue;
            };
            if cell.standing != Standing::Reject {
                if cell.because.is_none() {
                    cell.leave_undecided(RECALLED);
                }
                doubted.open = Some(LotReason::Recalled);
                doubted.tell(
                    piece,
                    LotRemark::Recalled {
                        piece: piece.clone(),
                        characteristic: number(plan, *index),
                        entry,
                        case,
                    },
                );
            }
        }
    }

    fn against(&self, plan: &Plan, cells: &mut BTreeMap<Key, Cell>, doubted: &mut Doubted) {
        for ((piece, index), cell) in cells.iter_mut() {
            let of_cell = cell.entry.and_then(|entry| {
                let against = self.against.get(&entry)?;
                Some((entry, against.clone()))
            });
            let Some((entry, why)) = of_cell.filter(|_| cell.standing != Standing::Reject) else {
                continue;
            };
            if cell.because.is_none() {
                cell.leave_undecided(why.message().key());
            }
            doubted.open = Some(LotReason::InDoubt);
            doubted.tell(
                piece,
                LotRemark::Against {
                    piece: piece.clone(),
                    characteristic: number(plan, *index),
                    entry: entry.to_string(),
                    why,
                },
            );
        }
    }

    fn contradicted(&self, plan: &Plan, cells: &mut BTreeMap<Key, Cell>, doubted: &mut Doubted) {
        for one in &self.contradictions {
            // What was measured again because of a recall was to be another size.
            let both = [one.first, one.second].map(|entry| entry.to_string());
            if both.iter().any(|entry| self.recalled.contains_key(entry)) {
                continue;
            }
            let Some(cell) = cells.get_mut(&one.of) else {
                continue;
            };
            if cell.standing != Standing::Reject {
                if cell.because.is_none() {
                    cell.leave_undecided(CONTRADICTED);
                }
                let [entry, other] = both;
                let (piece, index) = &one.of;
                doubted.tell(
                    piece,
                    LotRemark::Contradicted {
                        piece: piece.clone(),
                        characteristic: number(plan, *index),
                        entry,
                        other,
                        e_n: one.e_n.abs(),
                    },
                );
            }
        }
    }

    fn rejected(
        &self,
        plan: &Plan,
        cells: &mut BTreeMap<Key, Cell>,
        worked_after: impl Fn(&Key, EntryId, Option<EntryId>) -> bool,
        doubted: &mut Doubted,
    ) {
        let is_all = matches!(plan.pieces.by, By::All);
        for rejection in &self.rejections {
            let entry = rejection.entry;
            let Some(piece) = &rejection.piece else {
                doubted.holds = Some(LotReason::OtherRejection);
                let entry = entry.to_string();
                doubted.told.push(Remarked {
                    piece: None,
                    remark: LotRemark::RejectedNoPiece { entry },
                });
                continue;
            };
            let mut speaks = false;
            for index in &rejection.near {
                let of = (piece.clone(), *index);
                // In a sample the result before the work counts: the lot was not worked on.
                let counts = cells.get(&of).and_then(|cell| cell.entry);
                if is_all && worked_after(&of, entry, counts) {
                    continue;
                }
                let cell = cells.entry(of).or_insert_with(|| Cell {
                    entry: Some(entry),
                    ..Cell::found(Standing::Accept, None)
                });
                if cell.standing == Standing::Reject
                    || cell.entry == Some(entry) && cell.because.is_some()
                {
                    continue;
                }
                cell.doubt(REJECTED_OTHERWISE);
                speaks = true;
            }
            if speaks {
                doubted.open = Some(LotReason::OtherRejection);
                let all = rejection.near.iter().map(|index| number(plan, *index));
                doubted.tell(
                    piece,
                    LotRemark::RejectedOtherwise {
                        piece: piece.clone(),
                        all: all.collect(),
                        entry: entry.to_string(),
                    },
                );
            }
        }
    }

    /// A piece that is gone never counts as accepted, nor does one that is held or in work, whatever its results say now.
    fn not_released(
        &self,
        plan: &Plan,
        cells: &mut BTreeMap<Key, Cell>,
        is_settled: impl Fn(&Decided) -> bool,
        doubted: &mut Doubted,
    ) {
        for (piece, decided) in &self.decided {
            let disposition = decided.decision.disposition;
            let why = match disposition {
                Disposition::Return => RETURNED,
                Disposition::Scrap => SCRAPPED,
                Disposition::Held => HELD,
                Disposition::Rework if !is_settled(decided) => IN_REWORK,
                Disposition::Repair if !is_settled(decided) => IN_REPAIR,
                Disposition::Rework | Disposition::Repair | Disposition::UseAsIs => continue,
            };
            let shown = decided.decision.shown_by.iter();
            let shown: Vec<&str> = shown.map(|shown| shown.characteristic.as_str()).collect();
            let of_piece = |of: &Key| of.0 == *piece;
            let open =
                |cell: &Cell| matches!(cell.standing, Standing::Reject | Standing::Undecided);
            if cells.iter().any(|(of, cell)| of_piece(of) && open(cell)) {
                continue;
            }
            let is_shown = |of: &Key| shown.contains(&number(plan, of.1).as_str());
            let any_shown = cells.keys().any(|of| of_piece(of) && is_shown(of));
            let mut counted = false;
            for (of, cell) in cells.iter_mut() {
                if of_piece(of) && (is_shown(of) || !any_shown) {
                    counted |= cell.doubt(why);
                }
            }
            if counted && !disposition.is_final() {
                doubted.open = Some(LotReason::Held);
                let remark = LotRemark::NotReleased {
                    piece: piece.clone(),
                    disposition,
                    decided: decided.entry.to_string(),
                };
                doubted.tell(piece, remark);
            }
        }
    }
}

/// What speaks against what gauges accepted.
fn gauged(
    plan: &Plan,
    cells: &mut BTreeMap<Key, Cell>,
    worked_between: impl Fn(&str, EntryId, EntryId) -> bool,
    doubted: &mut Doubted,
) {
    for GaugeDoubt { of, entry, against } in gauge_doubts::all(plan, cells) {
        let (piece, characteristic) = (of.0.clone(), number(plan, of.1));
        let (because, remark) = match against {
            GaugeAgainst::Unfit { because, why } => {
                doubted.open = Some(LotReason::InDoubt);
                let entry = entry.to_string();
                let remark = LotRemark::GaugeUnfit {
                    piece,
                    characteristic,
                    entry,
                    why,
                };
                (because, remark)
            }
            GaugeAgainst::Contradicted { other, by } => {
                let (first, second) = (entry.min(other), entry.max(other));
                if worked_between(&piece, first, second) {
                    continue;
                }
                let remark = LotRemark::GaugeContradicted {
                    piece,
                    characteristic,
                    entry: entry.to_string(),
                    other: other.to_string(),
                    by,
                };
                (CONTRADICTED.to_owned(), remark)
            }
        };
        if let Some(cell) = cells.get_mut(&of) {
            cell.doubt(&because);
        }
        doubted.tell(&of.0, remark);
    }
}

impl Doubted {
    fn tell(&mut self, piece: &str, remark: LotRemark) {
        self.told.push(Remarked {
            piece: Some(piece.to_owned()),
            remark,
        });
    }
}

/// The standard uncertainty of a difference.
fn both(one: f64, other: f64) -> f64 {
    (one * one + other * other).sqrt()
}

/// The number of a characteristic by its place in the plan.
pub(super) fn number(plan: &Plan, index: usize) -> String {
    let planned = plan.characteristics.get(index);
    planned.map_or_else(String::new, |planned| planned.number.clone())
}

/// The mean over all places.
fn sized(entry: EntryId, facts: &Facts) -> Option<Sized> {
    let unit = on_record::unit(facts)?;
    let of = match facts.number(Number::OnPlace) {
        Some(1.0) => Number::OtherStandardUncertainty,
        _ => Number::StandardUncertainty,
    };
    Some(Sized {
        entry,
        size: to_mm(on_record::mean(facts)?, unit),
        uncertainty: to_mm(facts.number(of)?, unit),
    })
}
