//! A thing that the readings of a feature tell beside its size: ovality, eccentricity, compression.
//!
//! A finding may carry a requirement of its own (an ovality limit, a least pull force). It is decided under the rule of the
//! job, and the verdict on the part is the strictest of all.

use std::collections::HashMap;

use super::JobError;
use super::measured_with::MeasuredWith;
use super::place::{Place, Where};
use crate::decision::{MeasurementUncertainty, Rule, Verdict, decide};
use crate::limits::Limits;
use crate::message::{Code, Message, Say, Value};
use crate::source::Source;
use crate::uncertainty::coverage_factor;
use crate::uncertainty::report::shortest_decimal;
use crate::units::{Entered, Length, LengthUnit};

/// What a finding is a number of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FindingUnit {
    /// A length, millimetres.
    Length,
    /// Percent.
    Percent,
    /// Degrees of arc.
    Degrees,
    /// Newtons.
    Newton,
    /// Kilopascals.
    Kilopascal,
    /// Square millimetres.
    SquareMillimetre,
    /// A plain number.
    Number,
}

impl FindingUnit {
    /// Its symbol; of a length that of a millimetre.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Length => "mm",
            Self::Percent => "%",
            Self::Degrees => "°",
            Self::Newton => "N",
            Self::Kilopascal => "kPa",
            Self::SquareMillimetre => "mm²",
            Self::Number => "",
        }
    }

    /// A number of it, to be said.
    pub const fn value(self, number: f64) -> Value {
        match self {
            Self::Length => Value::Size(number),
            Self::Percent => Value::Percent(number),
            Self::Degrees => Value::Degrees(number),
            Self::Newton => Value::Newton(number),
            Self::Kilopascal => Value::Kilopascal(number),
            Self::SquareMillimetre => Value::SquareMillimetre(number),
            Self::Number => Value::Number(number),
        }
    }

    /// A small number of it, such as an uncertainty.
    const fn small(self, number: f64) -> Value {
        match self {
            Self::Length => Value::Difference(number),
            _ => self.value(number),
        }
    }
}

/// One thing that the readings tell beside the size.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    pub code: Code,
    /// Its value, in its unit.
    pub value: f64,
    pub unit: FindingUnit,
    /// Its standard uncertainty, where one is known.
    pub standard_uncertainty: Option<f64>,
    /// What it is: formula, section, caveat.
    pub definition: Message,
    /// Where that stands.
    pub source: Source,
    /// What is required of it, and whether it conforms.
    pub requirement: Option<Requirement>,
}

/// A limit on a finding, decided.
#[derive(Clone, Debug, PartialEq)]
pub struct Requirement {
    /// Smallest permitted.
    pub lower: Option<f64>,
    /// Largest permitted.
    pub upper: Option<f64>,
    pub verdict: Verdict,
    pub reason: RequirementReason,
}

crate::messages! {
    /// Why a finding conforms or not.
    pub enum RequirementReason "requirement" {
        /// By the rule of the job, or a plain comparison where no uncertainty is known.
        ByRule "by-rule" {
            finding: Code as code, value: Value as itself, u: Option<StatedUncertainty> as said_if,
            bounds: FindingBounds as said, verdict: Verdict as code, rule: Rule as code,
        },
        /// By another rule, as that of the job needs two limits.
        ByOtherRule "by-other-rule" {
            finding: Code as code, value: Value as itself, u: Option<StatedUncertainty> as said_if,
            bounds: FindingBounds as said, verdict: Verdict as code, rule: Rule as code,
        },
        /// Not said how the conductor is made up, and the verdict hangs on it.
        ByStranding "by-stranding" {
            finding: Code as code, least: Value as itself, most: Value as itself, bounds: FindingBounds as said, verdict: Verdict as code,
        },
    }
}

crate::messages! {
    /// The standard uncertainty of a finding.
    pub enum StatedUncertainty "stated-uncertainty" {
        /// Known.
        Known "known" { u: Value as itself },
    }
}

crate::messages! {
    /// What is permitted of a finding.
    pub enum FindingBounds "required" {
        /// Both bounds.
        Between "between" { lower: Value as itself, upper: Value as itself },
        /// The lower one alone.
        AtLeast "at-least" { lower: Value as itself },
        /// The upper one alone.
        AtMost "at-most" { upper: Value as itself },
    }
}

/// The readings around one section.
pub struct Around<'a> {
    /// What was said of where it is.
    pub along: Option<&'a Value>,
    /// Angle, degrees, where stated, and corrected size.
    pub sizes: Vec<(Option<f64>, f64)>,
}

impl Around<'_> {
    /// Where it is, as it was stated.
    pub fn at(&self) -> Option<Where> {
        self.along.map(|along| Where::Section {
            section: along.clone(),
        })
    }
}

/// The readings of a feature, corrected, and what was measured with.
pub struct Readings<'a> {
    /// Contacts, force, limits.
    pub with: MeasuredWith<'a>,
    /// The unit that the drawing states the size in.
    pub unit: LengthUnit,
    /// Each place with the mean of what was read there, millimetres.
    pub places: Vec<(&'a Place, f64)>,
    /// Standard deviation of one reading, millimetres, and its degrees of freedom.
    pub one_reading: (f64, f64),
    pub rule: Rule,
}

impl Finding {
    /// One without uncertainty and requirement, from geometry.
    pub fn of(code: impl Into<Code>, value: f64, unit: FindingUnit, definition: impl Say) -> Self {
        Self {
            code: code.into(),
            value,
            unit,
            standard_uncertainty: None,
            definition: definition.message(),
            source: Source::Geometry,
            requirement: None,
        }
    }

    /// With its standard uncertainty.
    pub const fn within(mut self, standard_uncertainty: f64) -> Self {
        self.standard_uncertainty = Some(standard_uncertainty);
        self
    }

    /// By another source.
    pub const fn by(mut self, source: Source) -> Self {
        self.source = source;
        self
    }

    /// Decides on it: numbers that are no lengths go along the same exact number line.
    pub fn require(
        mut self,
        limits: Limits,
        degrees_of_freedom: f64,
        readings: &Readings,
    ) -> Result<Self, JobError> {
        if limits == Limits::default() {
            return Ok(self);
        }
        let u = self.standard_uncertainty.unwrap_or(0.0);
        let k = coverage_factor(0.95, degrees_of_freedom.max(1.0))
            .ok()
            .and_then(shortest_decimal)
            .unwrap_or(rust_decimal::Decimal::TWO);
        let uncertainty = MeasurementUncertainty::from_mm(u)?
            .with_coverage_factor(k)
            .with_degrees_of_freedom(degrees_of_freedom.max(1.0));
        // Where no uncertainty is known only a plain comparison is honest.
        let mut rule = match self.standard_uncertainty {
            Some(_) => readings.rule,
            None => Rule::parse("simple", None)?,
        };
        let value = Length::nearest_mm(self.value)?;
        let mut decision = decide(value, &uncertainty, limits, rule)?;
        let one_sided = limits.lower.is_none() || limits.upper.is_none();
        let mut by_rule_of_job = true;
        if decision.verdict == Verdict::Unusable && one_sided {
            // Rules that weigh the uncertainty against the tolerance have none to weigh against here.
            rule = Rule::Iso14253_1;
            decision = decide(value, &uncertainty, limits, rule)?;
            by_rule_of_job = false;
        }
        let bounds = self.bounds(limits);
        let (finding, value, verdict) = (self.code, self.unit.value(self.value), decision.verdict);
        let u = self.standard_uncertainty.map(|u| StatedUncertainty::Known {
            u: self.unit.small(u),
        });
        let reason = if by_rule_of_job {
            RequirementReason::ByRule {
                finding,
                value,
                u,
                bounds,
                verdict,
                rule,
            }
        } else {
            RequirementReason::ByOtherRule {
                finding,
                value,
                u,
                bounds,
                verdict,
                rule,
            }
        };
        self.requirement = Some(Requirement {
            lower: limits.lower.map(Length::mm),
            upper: limits.upper.map(Length::mm),
            verdict,
            reason,
        });
        Ok(self)
    }
}

impl Finding {
    /// Undecided where the value may lie anywhere from `least` to `most` and not all of that is on one side of a limit.
    pub fn unless_between(mut self, least: f64, most: f64, limits: Limits) -> Self {
        let bounds = self.bounds(limits);
        let (finding, unit) = (self.code, self.unit);
        let crossed = [limits.lower, limits.upper]
            .into_iter()
            .flatten()
            .map(Length::mm)
            .any(|limit| least < limit && limit < most);
        if let Some(requirement) = self.requirement.as_mut().filter(|_| crossed) {
            let verdict = Verdict::Undecided;
            requirement.verdict = verdict;
            requirement.reason = RequirementReason::ByStranding {
                finding,
                least: unit.value(least),
                most: unit.value(most),
                bounds,
                verdict,
            };
        }
        self
    }

    /// What is permitted of it, to be said.
    fn bounds(&self, limits: Limits) -> FindingBounds {
        let say = |value: Length| self.unit.value(value.mm());
        match (limits.lower, limits.upper) {
            (Some(lower), Some(upper)) => FindingBounds::Between {
                lower: say(lower),
                upper: say(upper),
            },
            (Some(lower), None) => FindingBounds::AtLeast { lower: say(lower) },
            (_, upper) => FindingBounds::AtMost {
                upper: say(upper.unwrap_or_default()),
            },
        }
    }
}

impl Readings<'_> {
    /// The sizes, place by place.
    pub fn sizes(&self) -> Vec<f64> {
        self.places.iter().map(|(_, size)| *size).collect()
    }

    /// Places at one section, section by section, in the order they were read.
    pub fn sections(&self) -> Vec<Around<'_>> {
        let mut sections: Vec<Around> = Vec::new();
        let mut known = HashMap::new();
        for (place, size) in &self.places {
            let along = place.along.as_ref();
            // A value has no hash of its own; how it is written has, and readings may be a million.
            let key = along.map(|along| format!("{along:?}"));
            let index = *known.entry(key).or_insert(sections.len());
            match sections.get_mut(index) {
                Some(section) => section.sizes.push((place.angle, *size)),
                None => sections.push(Around {
                    along,
                    sizes: vec![(place.angle, *size)],
                }),
            }
        }
        sections
    }

    /// Standard uncertainty of the difference of two readings: what both share has gone.
    pub fn of_difference(&self) -> f64 {
        std::f64::consts::SQRT_2 * self.one_reading.0
    }

    pub fn at_most(limit: Option<&Entered>) -> Limits {
        limit.map_or_else(Limits::default, |limit| Limits::at_most(limit.value()))
    }
}
