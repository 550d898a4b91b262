//! What the readings of a feature tell beside its size.

use metrology::inspection::{
    self, Caution, Feature, FeatureKind, FindingUnit, Inspection, LimitsTold, Service, Target,
};
use metrology::limits::ThreadLimits;
use metrology::message::{Coded, Message, Say};
use metrology::source::Source;
use metrology::units::LengthUnit;
use serde::Serialize;

use super::from_mm;

/// A feature other than a thread.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FeatureDocument {
    /// Which: `tube-wall`, `keyseat`, ...
    pub kind: String,
    /// The step from reading to size; `None` where the reading is the size.
    pub conversion: Option<Message>,
    /// What else the readings tell.
    pub findings: Vec<Finding>,
}

impl FeatureDocument {
    /// Whether there is nothing to tell beside the size.
    pub fn is_empty(&self) -> bool {
        self.conversion.is_none() && self.findings.is_empty()
    }
}

/// One finding; lengths in the document's unit, everything else in `unit`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Finding {
    pub key: String,
    pub value: f64,
    pub unit: String,
    pub standard_uncertainty: Option<f64>,
    pub definition: Message,
    pub source: Message,
    /// Smallest and largest permitted, where something is required of it.
    pub min: Option<f64>,
    pub max: Option<f64>,
    /// The verdict on that.
    pub decision: Option<String>,
    pub reason: Option<Message>,
}

impl FeatureDocument {
    /// Of a result; nothing for a thread or a stated size.
    pub fn of(result: &Inspection, unit: LengthUnit) -> Option<Self> {
        let feature = result.target.feature.as_ref()?;
        Some(Self {
            kind: feature.key().to_owned(),
            conversion: result.conversion.as_ref().map(Say::message),
            findings: result
                .findings
                .iter()
                .map(|found| finding(found, unit))
                .collect(),
        })
    }

    /// Whether each reading is another piece, as of crimps.
    pub fn is_sampled(&self) -> bool {
        FeatureKind::of(&self.kind).is_some_and(FeatureKind::is_sampled)
    }

    /// The finding of this key.
    pub fn finding(&self, key: &str) -> Option<&Finding> {
        self.findings.iter().find(|finding| finding.key == key)
    }
}

fn finding(found: &inspection::Finding, unit: LengthUnit) -> Finding {
    let number = |value: f64| match found.unit {
        FindingUnit::Length => from_mm(value, unit),
        _ => value,
    };
    let requirement = found.requirement.as_ref();
    Finding {
        key: found.code.key().to_owned(),
        value: number(found.value),
        unit: match found.unit {
            FindingUnit::Length => unit.symbol().to_owned(),
            other => other.symbol().to_owned(),
        },
        standard_uncertainty: found.standard_uncertainty.map(number),
        definition: found.definition.message(),
        source: Method::Published {
            source: found.source,
        }
        .message(),
        min: requirement.and_then(|required| required.lower).map(number),
        max: requirement.and_then(|required| required.upper).map(number),
        decision: requirement.map(|required| required.verdict.key().to_owned()),
        reason: requirement.map(|required| required.reason.message()),
    }
}

metrology::messages! {
    /// Where a method stands, and the certificate that its value comes from.
    pub enum Method "method" {
        /// Published, or said to be no more than practice.
        Published "published" { source: Source as source },
        /// With the value of a certificate.
        Certified "certified" { certificate: String as Text, source: Source as source },
    }
}

metrology::messages! {
    /// Where limits come from.
    pub enum LimitsFrom "limits-from" {
        /// A standard or table.
        Published "published" { source: Source as source },
        /// The sheet of the terminal's maker.
        Sheet "sheet" { sheet: String as Text },
        /// The job itself.
        Job "job",
    }
}

/// Where the limits of a feature come from.
pub fn limits_from(feature: Option<&Feature>) -> LimitsFrom {
    match feature.and_then(|one| one.measurand().sheet()) {
        Some(sheet) => LimitsFrom::Sheet {
            sheet: sheet.to_owned(),
        },
        None => LimitsFrom::Job,
    }
}

/// Where the limits of a thread come from: its standards, unless the drawing has limits of its own.
pub fn limits_of_thread(thread: &ThreadLimits, told: &[LimitsTold]) -> Vec<Message> {
    let own = told
        .iter()
        .any(|told| matches!(told, LimitsTold::Own { .. } | LimitsTold::OwnOfJob));
    let published = |source: &_| LimitsFrom::Published { source: *source }.message();
    let standards = thread.sources.iter().filter(|_| !own).map(published);
    standards.chain(told.iter().map(Say::message)).collect()
}

/// The calm line for parts where a wrong acceptance hurts: what the job says, wires in crimps, and joints that taper
/// threads make tight.
pub fn cautions(job: &inspection::Job, target: &Target) -> Vec<Message> {
    let feature = target.feature.as_ref();
    let of_feature = feature
        .and_then(|one| one.measurand().caution())
        .or_else(|| target.plane.as_ref().map(|_| Caution::TaperThread));
    // What is said of a wall under pressure is not said of a taper thread.
    let is_said = |service: &Service| match of_feature {
        Some(Caution::TaperThread) => *service == Service::Pressure,
        other => other == Some(service.caution()),
    };
    let of_job = job.service.filter(|service| !is_said(service));
    of_job
        .map(Service::caution)
        .into_iter()
        .chain(of_feature)
        .map(|caution| Message::of(caution.code()))
        .collect()
}
