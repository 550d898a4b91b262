//! What is to be known of the results of a lot that do not count.

use super::lot_remark::LotRemark;
use super::matrix::Matrix;
use super::not_counted::{OffPlan, WhyNot};
use crate::lot::names_alike;

impl Matrix {
    /// What is to be known of results that do not count, piece by piece.
    pub fn remarks(&self) -> Vec<LotRemark> {
        let number = |index: usize| {
            let planned = self.plan.characteristics.get(index);
            planned.map_or_else(String::new, |planned| planned.number.clone())
        };
        let not_counted = self.not_counted.iter().map(|one| {
            let (piece, characteristic) = (one.piece.clone(), number(one.index));
            let (entry, stands) = (one.entry.to_string(), one.stands.to_string());
            match one.why {
                WhyNot::Rejected => LotRemark::Rejected {
                    piece,
                    characteristic,
                    entry,
                    stands,
                },
                WhyNot::OffPlan => LotRemark::OffPlan {
                    piece,
                    characteristic,
                    entry,
                    stands,
                },
            }
        });
        let cells = self.rows.iter().flat_map(|row| {
            let cells = row.cells.iter().enumerate();
            cells.filter_map(|(index, cell)| Some((&row.piece, index, cell.as_ref()?)))
        });
        let off_plan = cells.filter_map(|(piece, index, cell)| {
            Some(LotRemark::OnlyOffPlan {
                piece: piece.clone(),
                characteristic: number(index),
                entry: cell.entry?.to_string(),
                differs: OffPlan::of(cell.because.as_deref()?)?,
            })
        });
        let alike = names_alike(self.rows.iter().map(|row| row.piece.as_str()));
        let alike = alike.map(|(one, other)| LotRemark::NamesAlike { one, other });
        let more = self.more_pieces().map(|lot_size| LotRemark::MorePieces {
            n: self.rows.len() as u64,
            lot_size,
            pieces: self.rows.iter().map(|row| row.piece.clone()).collect(),
        });
        let told = self.told.iter().map(|one| one.remark.clone());
        let all = not_counted.chain(off_plan).chain(alike);
        all.chain(more).chain(told).collect()
    }

    /// What speaks against the results of a piece, or counts for nothing beside them.
    pub fn told_of(&self, piece: &str) -> impl Iterator<Item = &LotRemark> {
        let told = self.told.iter();
        told.filter(move |one| one.piece.as_deref() == Some(piece))
            .map(|one| &one.remark)
    }
}
