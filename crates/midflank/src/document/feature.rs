//! What the readings of a feature tell beside its size.

use metrology::inspection::{self, Feature, FindingUnit, Inspection};
use metrology::units::LengthUnit;
use serde::{Deserialize, Serialize};

use super::from_mm;

/// A feature other than a thread.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct FeatureDocument {
    /// Which: `tube-wall`, `keyseat`, ...
    pub kind: String,
    /// The step from reading to size, in words; empty where the reading is the size.
    pub conversion: String,
    /// What else the readings tell.
    pub findings: Vec<Finding>,
}

impl FeatureDocument {
    /// Whether there is nothing to tell beside the size.
    pub fn is_empty(&self) -> bool {
        self.conversion.is_empty() && self.findings.is_empty()
    }
}

/// One finding; lengths in the document's unit, everything else in `unit`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Finding {
    pub key: String,
    pub name: String,
    pub value: f64,
    pub unit: String,
    pub standard_uncertainty: Option<f64>,
    pub definition: String,
    pub source: String,
    /// Smallest and largest permitted, where something is required of it.
    pub min: Option<f64>,
    pub max: Option<f64>,
    /// The verdict on that.
    pub decision: Option<String>,
    pub reason: Option<String>,
}

impl FeatureDocument {
    /// Of a result; nothing for a thread or a stated size.
    pub fn of(result: &Inspection, unit: LengthUnit) -> Option<Self> {
        let feature = result.target.feature.as_ref()?;
        Some(Self {
            kind: feature.key().to_owned(),
            conversion: result.conversion.clone(),
            findings: result
                .findings
                .iter()
                .map(|found| finding(found, unit))
                .collect(),
        })
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
        key: found.key.to_owned(),
        name: found.name.clone(),
        value: number(found.value),
        unit: match found.unit {
            FindingUnit::Length => unit.symbol().to_owned(),
            other => other.symbol().to_owned(),
        },
        standard_uncertainty: found.standard_uncertainty.map(number),
        definition: found.definition.clone(),
        source: found.source.to_string(),
        min: requirement.and_then(|required| required.lower).map(number),
        max: requirement.and_then(|required| required.upper).map(number),
        decision: requirement.map(|required| required.verdict.key().to_owned()),
        reason: requirement.map(|required| required.reason.clone()),
    }
}

/// Where the limits of a feature come from.
pub fn sources(feature: Option<&Feature>) -> Vec<String> {
    match feature {
        Some(Feature::CrimpHeight(crimp)) => {
            vec![format!("the terminal maker's sheet {}", crimp.sheet)]
        }
        _ => vec!["stated with the job".to_owned()],
    }
}

/// The calm line for parts where a wrong acceptance hurts.
pub fn cautions(job: &inspection::Job, feature: Option<&Feature>) -> Vec<String> {
    let electrical =
        matches!(feature, Some(Feature::CrimpHeight(_))).then_some(inspection::Service::Electrical);
    let mut services: Vec<inspection::Service> = job.service.into_iter().collect();
    services.extend(electrical.filter(|service| job.service != Some(*service)));
    services
        .into_iter()
        .map(|service| crate::words::word(&service.caution()))
        .collect()
}
