//! The result of a calibration by numbers and codes, as it is printed and kept. Lengths are micrometres, of a curve and a pair
//! alike; places on the scale millimetres.

use metrology::calibration::{
    Calibrated, CalibrationError, Curve, CurveAt, FormJudged, Judged, PairChecked, Uncertain,
    calibrate, check_pair,
};
use metrology::decision::Verdict;
use metrology::message::{Message, Say};
use serde::{Deserialize, Serialize};

use super::calibration::{Of, Worked};

/// The result of a calibration.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CalibratedDocument {
    /// The verdict with which the piece goes on.
    pub verdict: String,
    /// The curve as found.
    pub found: Option<CurveDocument>,
    /// The curve as left, where something was adjusted.
    pub left: Option<CurveDocument>,
    pub flatness: Vec<FormDocument>,
    pub parallelism: Option<FormDocument>,
    /// A pair of contacts on two plugs.
    pub pair: Option<PairDocument>,
    /// How its values are traced.
    pub traceability: Message,
    pub notes: Vec<Message>,
}

/// An error curve.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CurveDocument {
    pub points: Vec<PointDocument>,
    pub span_um: f64,
    pub largest_um: f64,
    pub judged: Vec<JudgedDocument>,
    pub verdict: String,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PointDocument {
    pub at_mm: f64,
    pub error_um: f64,
    pub standard_uncertainty_um: f64,
    /// None where there is no end of them.
    pub degrees_of_freedom: Option<f64>,
    pub coverage_factor: f64,
    pub expanded_uncertainty_um: f64,
    pub budget: Vec<LineDocument>,
}

/// One line of a budget.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LineDocument {
    pub name: String,
    pub standard_uncertainty_um: f64,
    pub degrees_of_freedom: Option<f64>,
    pub share: f64,
}

/// A value held against a limit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct JudgedDocument {
    pub norm: String,
    pub shape: String,
    pub limit_um: f64,
    pub value_um: f64,
    pub standard_uncertainty_um: f64,
    pub simple: String,
    pub guarded: String,
}

/// A deviation of form.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct FormDocument {
    pub value_um: f64,
    pub standard_uncertainty_um: f64,
    pub limit_um: f64,
    pub simple: String,
    pub guarded: String,
}

/// A pair on two plugs.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PairDocument {
    pub errors_um: [f64; 2],
    pub standard_uncertainties_um: [f64; 2],
    pub difference_um: f64,
    pub standard_uncertainty_um: f64,
    pub simple: String,
    pub guarded: String,
}

/// Micrometres.
const UM: f64 = 1000.0;

fn finite(number: f64) -> Option<f64> {
    number.is_finite().then_some(number)
}

fn key(verdict: Verdict) -> String {
    verdict.key().to_owned()
}

impl CalibratedDocument {
    /// Works a calibration out.
    pub fn of(worked: &Worked) -> Result<Self, CalibrationError> {
        let traceability = worked.heading.traced().message();
        Ok(match &worked.of {
            Of::Micrometer(calibration) => Self {
                traceability,
                ..Self::of_micrometer(&calibrate(calibration)?)
            },
            Of::Pair(check) => {
                let checked = check_pair(check)?;
                Self {
                    verdict: key(checked.verdict),
                    found: None,
                    left: None,
                    flatness: Vec::new(),
                    parallelism: None,
                    pair: Some(PairDocument::of(&checked)),
                    traceability,
                    notes: Vec::new(),
                }
            }
        })
    }

    fn of_micrometer(calibrated: &Calibrated) -> Self {
        Self {
            verdict: key(calibrated.verdict),
            found: Some(CurveDocument::of(&calibrated.found)),
            left: calibrated.left.as_ref().map(CurveDocument::of),
            flatness: calibrated.flatness.iter().map(FormDocument::of).collect(),
            parallelism: calibrated.parallelism.as_ref().map(FormDocument::of),
            pair: None,
            traceability: Message::of(""),
            notes: calibrated.notes.iter().map(Say::message).collect(),
        }
    }

    /// The curve with which a micrometer goes on.
    pub fn goes_on_with(&self) -> Option<&CurveDocument> {
        self.left.as_ref().or(self.found.as_ref())
    }

    /// The expanded uncertainty (k = 2) of what is held against the criterion and the limit, micrometres, where the first is the
    /// larger: such a verdict says little, and without a guard band nothing of that shows in it.
    pub fn wider_than_limit(&self, worked: &Worked) -> Option<(f64, f64)> {
        let (u, limit) = match &worked.of {
            Of::Micrometer(_) => {
                let own = self.goes_on_with()?.judged.first()?;
                (own.standard_uncertainty_um, own.limit_um)
            }
            Of::Pair(check) => {
                let u = self.pair.as_ref()?.standard_uncertainty_um;
                (u, check.limit.value().mm() * UM)
            }
        };
        let expanded = 2.0 * u;
        (expanded > limit).then_some((expanded, limit))
    }

    /// Whether its points reach over the whole range of the micrometer.
    pub fn covers_range(&self) -> bool {
        let note = "calibration-note.range-not-covered";
        !self.notes.iter().any(|one| one.code == note)
    }

    /// Whether it keeps its criterion.
    pub fn is_good(&self) -> bool {
        self.verdict == Verdict::Accept.key()
    }
}

impl CurveDocument {
    fn of(curve: &Curve) -> Self {
        Self {
            points: curve.points.iter().map(PointDocument::of).collect(),
            span_um: curve.span.value * UM,
            largest_um: curve.largest.value * UM,
            judged: curve.judged.iter().map(JudgedDocument::of).collect(),
            verdict: key(curve.verdict),
        }
    }
}

impl PointDocument {
    fn of(point: &CurveAt) -> Self {
        let lines = point.lines.iter().map(|line| LineDocument {
            name: line.name.clone().into_owned(),
            standard_uncertainty_um: line.standard_uncertainty * UM,
            degrees_of_freedom: finite(line.degrees_of_freedom),
            share: line.share,
        });
        Self {
            at_mm: point.at.mm(),
            error_um: point.error * UM,
            standard_uncertainty_um: point.standard_uncertainty * UM,
            degrees_of_freedom: finite(point.degrees_of_freedom),
            coverage_factor: point.coverage_factor,
            expanded_uncertainty_um: point.expanded_uncertainty * UM,
            budget: lines.collect(),
        }
    }
}

impl JudgedDocument {
    fn of(judged: &Judged) -> Self {
        Self {
            norm: judged.norm.key().to_owned(),
            shape: judged.shape.key().to_owned(),
            limit_um: judged.limit * UM,
            value_um: judged.value * UM,
            standard_uncertainty_um: judged.standard_uncertainty * UM,
            simple: key(judged.simple),
            guarded: key(judged.guarded),
        }
    }
}

impl FormDocument {
    fn of(form: &FormJudged) -> Self {
        Self {
            value_um: form.value * UM,
            standard_uncertainty_um: form.standard_uncertainty * UM,
            limit_um: form.limit * UM,
            simple: key(form.simple),
            guarded: key(form.guarded),
        }
    }
}

impl PairDocument {
    fn of(checked: &PairChecked) -> Self {
        let of = |get: fn(&Uncertain) -> f64| checked.errors.each_ref().map(|one| get(one) * UM);
        Self {
            errors_um: of(|one| one.value),
            standard_uncertainties_um: of(|one| one.standard_uncertainty),
            difference_um: checked.difference.value * UM,
            standard_uncertainty_um: checked.difference.standard_uncertainty * UM,
            simple: key(checked.simple),
            guarded: key(checked.guarded),
        }
    }
}
