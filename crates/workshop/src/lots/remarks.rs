//! What is to be known of the results of a lot that do not count.

use super::matrix::Matrix;
use super::not_counted::{OffPlan, WhyNot};
use crate::lot::names_alike;

metrology::messages! {
    /// What is to be known of results that do not count.
    pub enum LotRemark "lot-remark" {
        /// A later result of a piece that is rejected.
        Rejected "rejected" { piece: String as Text, characteristic: String as Text, entry: String as Text, stands: String as Text },
        /// A result of another plan, beside one that counts.
        OffPlan "off-plan" { piece: String as Text, characteristic: String as Text, entry: String as Text, stands: String as Text },
        /// Two pieces with names that may be of one.
        NamesAlike "names-alike" { one: String as Text, other: String as Text },
        /// The only result is of another plan.
        OnlyOffPlan "only-off-plan" { piece: String as Text, characteristic: String as Text, entry: String as Text, differs: OffPlan as code },
    }
}

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
        not_counted.chain(off_plan).chain(alike).collect()
    }
}
