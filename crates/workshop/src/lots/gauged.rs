//! Where a gauge and a measured pitch diameter of the same piece disagree, and what explains it.

use metrology::gauges::{CertifiedGauge, Explained, Tried};
use metrology::inspection::{Characteristic, Gauge, Target, ThreadDiameter};
use metrology::limits::Limits;
use metrology::units::LengthUnit;

use super::cell::Cell;
use super::matrix::Matrix;
use crate::document::to_mm;
use crate::inspection_plan::Planned;

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

/// A characteristic that is the pitch diameter of a thread.
struct PitchDiameter {
    index: usize,
    target: Target,
}

impl Matrix {
    /// All of them, piece by piece. A gauge that the register does not have explains nothing.
    pub fn gauge_findings(&self) -> Vec<GaugeFinding> {
        let measured: Vec<PitchDiameter> = pitch_diameters(&self.plan.characteristics);
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
                    let thread = of.target.thread.as_ref();
                    let same = thread.is_some_and(|it| it.designation == certified.designation());
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

fn pitch_diameters(characteristics: &[Planned]) -> Vec<PitchDiameter> {
    let all = characteristics.iter().enumerate();
    all.filter_map(|(index, planned)| {
        let measured = planned
            .measured
            .as_ref()
            .filter(|_| planned.way.is_measured())?;
        let diameter = match measured {
            Characteristic::Thread { diameter, .. } => *diameter,
            _ => return None,
        };
        let target = Target::of(measured).ok()?;
        (diameter == ThreadDiameter::PitchDiameter).then_some(PitchDiameter { index, target })
    })
    .collect()
}

/// The measured size of a cell.
fn size(cell: &Cell) -> Option<Tried> {
    let outcome = cell.outcome.as_ref()?;
    Some(Tried {
        size_mm: outcome.size_mm,
        expanded_mm: to_mm(outcome.expanded_uncertainty, outcome.unit),
        limits: Limits::default(),
        conforms: true,
        turns: None,
    })
}
