//! What speaks against what a gauge accepted: it does not check its characteristic, or the measured size of the piece cannot have
//! passed it.

use std::collections::BTreeMap;

use ledger::EntryId;
use metrology::gauges::{CertifiedGauge, Tried};
use metrology::inspection::{
    Characteristic, CoatingTerms, Gauge, Target, ThreadDiameter, is_beside,
};
use metrology::limits::Limits;
use metrology::lot::Standing;
use metrology::message::{Say as _, Value};

use super::cell::{Cell, Gauged, Key};
use crate::document::to_mm;
use crate::gauges;
use crate::inspection_plan::{Plan, Planned};

/// Why a piece is undecided: the gauge is of another thing than the characteristic.
const GAUGE_UNFIT: &str = "gauge-unfit";

/// Something speaks against what a gauge accepted.
pub(super) struct GaugeDoubt {
    /// The piece, and what the gauge showed.
    pub of: Key,
    pub entry: EntryId,
    pub against: GaugeAgainst,
}

pub(super) enum GaugeAgainst {
    /// By its certified size, or by what the plan asks for, it does not check it. What is recorded now says that itself, or is
    /// refused; this tells it of what was recorded before.
    Unfit { because: String, why: Value },
    /// By this size, on the record with another characteristic, the piece cannot have passed; by how many mm.
    Contradicted { other: EntryId, by: f64 },
}

/// A characteristic that is measured and is the pitch diameter of a thread.
pub(super) struct PitchDiameter {
    pub index: usize,
    pub target: Target,
    measured: Characteristic,
}

impl PitchDiameter {
    pub fn all(characteristics: &[Planned]) -> Vec<Self> {
        let all = characteristics.iter().enumerate();
        all.filter_map(|(index, planned)| {
            let measured = planned.measured.as_ref();
            let measured = measured.filter(|_| planned.way.is_measured())?;
            let diameter = match measured {
                Characteristic::Thread { diameter, .. } => *diameter,
                _ => return None,
            };
            let target = Target::of(measured).ok()?;
            (diameter == ThreadDiameter::PitchDiameter).then(|| Self {
                index,
                target,
                measured: measured.clone(),
            })
        })
        .collect()
    }

    /// Whether a gauge for a characteristic of the plan tries the same thread in the same state: a coating changes its size.
    pub fn is_tried_with(&self, gauge: &CertifiedGauge, planned: Option<&Planned>) -> bool {
        let thread = self.target.thread.as_ref();
        let asked = planned.and_then(|planned| planned.measured.as_ref());
        thread.is_some_and(|thread| thread.designation == gauge.designation())
            && asked.is_none_or(|asked| coating(asked) == coating(&self.measured))
    }
}

/// The measured size of a cell.
pub(super) fn size(cell: &Cell) -> Option<Tried> {
    let outcome = cell.outcome.as_ref()?;
    Some(Tried {
        size_mm: outcome.size_mm,
        expanded_mm: to_mm(outcome.expanded_uncertainty, outcome.unit),
        limits: Limits::default(),
        conforms: true,
        turns: None,
    })
}

/// Everything that speaks against what is on the record of gauges.
pub(super) fn all(plan: &Plan, cells: &BTreeMap<Key, Cell>) -> Vec<GaugeDoubt> {
    let measured = PitchDiameter::all(&plan.characteristics);
    let mut found = Vec::new();
    for (of, cell) in cells {
        let Some((gauge, entry)) = accepted_with(cell).zip(cell.entry) else {
            continue;
        };
        let planned = plan.characteristics.get(of.1);
        let against = unfit(gauge, planned).into_iter();
        let certified = gauge.certified_gauge();
        let contradicted = measured.iter().filter_map(|one| {
            let certified = certified.as_ref()?;
            let cell = cells.get(&(of.0.clone(), one.index))?;
            let in_doubt = cell.because.as_deref().is_some_and(|why| !is_beside(why));
            let is_same = !in_doubt && one.is_tried_with(certified, planned);
            let by = certified.contradicted(&size(cell).filter(|_| is_same)?)?;
            let other = cell.entry?;
            Some(GaugeAgainst::Contradicted { other, by })
        });
        found.extend(against.chain(contradicted).map(|against| GaugeDoubt {
            of: of.clone(),
            entry,
            against,
        }));
    }
    found
}

/// The gauge of a result that counts as accepted.
fn accepted_with(cell: &Cell) -> Option<&Gauge> {
    let gauged: &Gauged = cell.gauged.as_deref()?;
    let gauge = gauged.gauge.as_deref();
    gauge.filter(|_| gauged.conforms && cell.standing == Standing::Accept)
}

fn unfit(gauge: &Gauge, planned: Option<&Planned>) -> Option<GaugeAgainst> {
    let asked = planned.and_then(|planned| planned.measured.as_ref());
    if let Err(why) = gauges::is_of_thread(gauge, asked) {
        let (because, why) = (GAUGE_UNFIT.to_owned(), Value::said(why));
        return Some(GaugeAgainst::Unfit { because, why });
    }
    let note = gauges::of_size(gauge, asked).into_iter().next()?;
    Some(GaugeAgainst::Unfit {
        because: note.message().key().to_owned(),
        why: Value::said(note),
    })
}

fn coating(of: &Characteristic) -> Option<&CoatingTerms> {
    match of {
        Characteristic::Thread { terms, .. } => terms.as_ref()?.coating.as_ref(),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;

    /// Why what a gauge accepted counts for nothing on a characteristic of a plan.
    fn because(gauge: &str, measure: &str) -> Option<String> {
        let plan = format!(
            "unit = \"mm\"\n[part]\nname = \"screw\"\ndrawing = \"D-1\"\n[pieces]\ntake = \"all\"\n\
             [[characteristic]]\nnumber = \"1\"\nway = \"gauge\"\n[characteristic.measure]\n{measure}\n"
        );
        let plan = crate::plan::parse(Path::new("plan.toml"), &plan).unwrap();
        let gauge: Gauge = serde_json::from_str(gauge).unwrap();
        unfit(&gauge, plan.characteristics.first()).map(|against| match against {
            GaugeAgainst::Unfit { because, .. } => because,
            GaugeAgainst::Contradicted { .. } => panic!("nothing was measured"),
        })
    }

    #[test]
    fn what_was_recorded_before_is_judged_by_the_size_of_the_gauge() {
        let gauge = |member: &str, size: &str| {
            format!(
                "{{\"id\":\"g-1\",\"member\":\"{member}\",\"designation\":\"M10x1.5-6g\",\"size\":\"{size}mm\",\
                 \"expanded_uncertainty\":\"0.0015mm\",\"coverage_factor\":2}}"
            )
        };
        let because = |member, size, measure: &str| because(&gauge(member, size), measure);
        let some = |code: &str| Some(code.to_owned());
        let thread = "designation = \"M10x1.5-6g\"";
        assert_eq!(
            because("not-go-ring", "8.500", thread),
            some("gauge-past-limit")
        );
        assert_eq!(because("not-go-ring", "8.8531", thread), None);
        assert_eq!(because("go-ring", "9.0500", thread), some("worn"));
        assert_eq!(because("go-ring", "8.9862", thread), None);
        let own = format!("{thread}\nlower = \"8.820\"\nupper = \"8.940\"");
        assert_eq!(because("go-ring", "8.9862", &own), some("gauge-past-limit"));
        let crests = format!("{thread}\ndiameter = \"major-diameter\"");
        assert_eq!(because("go-ring", "8.9862", &crests), some("gauge-unfit"));
        let length = "name = \"length\"\nlower = \"9.90\"\nupper = \"10.00\"";
        assert_eq!(because("go-ring", "8.9862", length), some("gauge-unfit"));
    }
}
