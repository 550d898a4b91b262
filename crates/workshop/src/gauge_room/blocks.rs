//! Sets of gauge blocks, as their certificates have them: one value for each block, `at` its nominal length.

use std::collections::BTreeMap;

use jiff::civil::Date;
use ledger::Ledger;
use metrology::calibration::{Block, Known};
use metrology::units::{Entered, Length, LengthUnit};

use super::due::{self, Entry};
use crate::certificates_on_record as certificate;
use crate::error::Error;
use crate::event::BlockSet;
use crate::gauge_record::certificate::{Certified, CertifiedValue};
use crate::gauge_record::piece::PieceKind;
use crate::gauge_record::status::Status;

/// A set, and whether it may be used.
#[derive(Clone, Debug, PartialEq)]
pub struct Owned {
    pub set: BlockSet,
    pub status: Status,
}

impl Owned {
    /// Whether a calibration with it is worth something.
    pub const fn may_be_used(&self) -> bool {
        !self.status.is_barred() && !matches!(self.status, Status::Overdue)
    }
}

/// Every set that has a certificate with values of its blocks, by identity; the last certificate of each.
pub fn owned(ledger: &Ledger, today: Date) -> Result<Vec<Owned>, Error> {
    let mut sets: BTreeMap<String, BlockSet> = BTreeMap::new();
    for one in certificate::of(ledger, None)? {
        if one.certified.piece.kind() == Some(PieceKind::Blocks) {
            let set = of(&one.certified);
            sets.insert(set.id.clone(), set);
        }
    }
    sets.retain(|_, set| !set.blocks.is_empty());
    if sets.is_empty() {
        return Ok(Vec::new());
    }
    let calendar = due::calendar(ledger, today)?;
    let status = |id: &str| {
        let of =
            |entry: &&Entry| entry.piece.kind() == Some(PieceKind::Blocks) && entry.piece.id == id;
        calendar
            .iter()
            .find(of)
            .map_or(Status::InUse, |entry| entry.standing.status)
    };
    let owned = sets.into_values().map(|set| Owned {
        status: status(&set.id),
        set,
    });
    Ok(owned.collect())
}

/// The set that a certificate is of.
fn of(certified: &Certified) -> BlockSet {
    BlockSet {
        id: certified.piece.id.clone(),
        certificate: Some(certified.heading.number.clone()),
        blocks: certified.values.iter().filter_map(block).collect(),
    }
}

/// A block; none of a value that is no length, or has no nominal length.
fn block(value: &CertifiedValue) -> Option<Block> {
    let unit: LengthUnit = value.unit.parse().ok()?;
    let length = |number: f64| Entered::parse(&format!("{number} {unit}"), None).ok();
    let nominal = length(value.at?).filter(|nominal| nominal.value() > Length::ZERO)?;
    let deviation = Length::nearest_mm(length(value.value)?.value().mm() - nominal.value().mm());
    let deviation = Entered::of(deviation.ok()?, LengthUnit::Micrometre);
    Some(Block {
        known: Known::Certified {
            deviation,
            expanded_uncertainty: length(value.expanded_uncertainty)?,
            coverage_factor: value.coverage_factor,
        },
        nominal,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn value(at: Option<f64>, value: f64, unit: &str) -> CertifiedValue {
        CertifiedValue {
            quantity: "length".to_owned(),
            at,
            value,
            unit: unit.to_owned(),
            expanded_uncertainty: 0.000_08,
            coverage_factor: 2.0,
            wear_limit: None,
        }
    }

    /// 1.1 mm that is 1.10004 mm long deviates by 40 nm, known to 40 nm (k = 1).
    #[test]
    fn a_certified_length_is_a_block_with_its_deviation() {
        let block = block(&value(Some(1.1), 1.100_04, "mm")).unwrap();
        assert_eq!(block.nominal.value(), Length::from_micrometres(1100));
        assert!((block.deviation() - 4e-5).abs() < 1e-12);
        assert!((block.standard_uncertainty().unwrap() - 4e-5).abs() < 1e-12);
    }

    #[test]
    fn what_is_no_length_is_no_block() {
        assert_eq!(block(&value(None, 1.1, "mm")), None);
        assert_eq!(block(&value(Some(1.1), 1.1, "N")), None);
        assert_eq!(block(&value(Some(0.0), 0.0, "mm")), None);
    }
}
