//! Where a gauge and a measured pitch diameter of the same piece disagree, and what explains it.

use metrology::gauges::{CertifiedGauge, Explained};
use metrology::inspection::Gauge;
use metrology::units::LengthUnit;

use super::gauge_doubts::{PitchDiameter, size};
use super::matrix::Matrix;

/// A gauge says otherwise than a measurement.
#[derive(Clone, Debug, PartialEq)]
pub struct GaugeFinding {
    pub piece: String,
    /// The characteristic that the gauge shows, and the one that was measured, by their places in the plan.
    pub index: usize,
    pub against: usize,
    /// The gauge by name.
    pub with: String,
    pub explained: Explained,
    /// The unit of the drawing.
    pub unit: LengthUnit,
}

impl Matrix {
    /// All of them, piece by piece. A gauge that the register does not have explains nothing.
    pub fn gauge_findings(&self) -> Vec<GaugeFinding> {
        let measured = PitchDiameter::all(&self.plan.characteristics);
        let mut known: Vec<(&Gauge, Option<CertifiedGauge>)> = Vec::new();
        let mut found = Vec::new();
        for row in &self.rows {
            let cells = row.cells.iter().enumerate();
            for (index, cell) in cells {
                let gauged = cell.as_ref().and_then(|cell| cell.gauged.as_deref());
                let Some((gauged, gauge)) =
                    gauged.and_then(|one| Some((one, one.gauge.as_deref()?)))
                else {
                    continue;
                };
                let before = known.iter().position(|(known, _)| *known == gauge);
                let at = before.unwrap_or_else(|| {
                    known.push((gauge, gauge.certified_gauge()));
                    known.len() - 1
                });
                let Some((_, Some(certified))) = known.get(at) else {
                    continue;
                };
                for of in &measured {
                    let planned = self.plan.characteristics.get(index);
                    let same = of.is_tried_with(certified, planned);
                    let cell = row.cells.get(of.index).and_then(Option::as_ref);
                    let Some(mut tried) = cell.filter(|_| same).and_then(size) else {
                        continue;
                    };
                    tried.limits = of.target.limits;
                    tried.conforms = gauged.conforms;
                    tried.turns = gauged.turns;
                    found.extend(certified.explain(&tried).map(|explained| GaugeFinding {
                        piece: row.piece.clone(),
                        index,
                        against: of.index,
                        with: gauged.with.clone(),
                        explained,
                        unit: of.target.unit,
                    }));
                }
            }
        }
        found
    }
}
