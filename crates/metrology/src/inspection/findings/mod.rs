//! What else the readings of a feature tell: ovality, eccentricity, roundness, compression, pull force.
//!
//! A finding may carry a requirement of its own (an ovality limit, a least pull force). It is decided under the rule
//! of the job, and the verdict on the part is the strictest of all.

mod crimp_height;
mod groove;
mod inside_diameter;
mod keyseat;
mod lobed_shaft;
mod plain_diameter;
mod soft_thickness;
mod tube_wall;

use super::feature::Feature;
use super::job::Job;
use super::target::Target;
use super::{JobError, Place, ReadingResult};
use crate::decision::{Drawing, MeasurementUncertainty, Rule, Verdict, decide};
use crate::limits::Limits;
use crate::source::Source;
use crate::uncertainty::coverage_factor;
use crate::uncertainty::report::shortest_decimal;
use crate::uncertainty::statistics::mean;
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
    /// Its symbol, where it is no length.
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
}

/// One thing that the readings tell beside the size.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// Its key in documents.
    pub key: &'static str,
    /// Its name.
    pub name: String,
    /// Its value, in its unit.
    pub value: f64,
    /// The unit.
    pub unit: FindingUnit,
    /// Its standard uncertainty, where one is known.
    pub standard_uncertainty: Option<f64>,
    /// What it is: formula, section, caveat.
    pub definition: String,
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
    /// The verdict.
    pub verdict: Verdict,
    /// Why, in one sentence.
    pub reason: String,
}

/// The readings around one section.
struct Around<'a> {
    /// What was said of where it is.
    along: Option<&'a str>,
    /// Angle, degrees, where stated, and corrected size.
    sizes: Vec<(Option<f64>, f64)>,
}

impl Around<'_> {
    /// Where it is, to be put behind words.
    fn words(&self) -> String {
        self.along
            .map_or(String::new(), |along| format!(", at {along}"))
    }
}

/// All that a job tells of its readings.
pub struct Readings<'a> {
    /// The job.
    pub job: &'a Job,
    /// What is measured.
    pub target: &'a Target,
    /// Each reading, corrected.
    pub results: &'a [ReadingResult],
    /// Standard deviation of one reading, millimetres, and its degrees of freedom.
    pub one_reading: (f64, f64),
    /// The rule.
    pub rule: Rule,
}

/// What the readings tell of the feature; nothing for a thread or a stated size.
pub fn findings(readings: &Readings) -> Result<Vec<Finding>, JobError> {
    let Some(feature) = &readings.target.feature else {
        return Ok(Vec::new());
    };
    match feature {
        Feature::PlainDiameter(plain) => plain_diameter::findings(readings, plain),
        Feature::TubeWall(wall) => tube_wall::findings(readings, wall),
        Feature::GrooveDiameter(groove) | Feature::Undercut(groove) => {
            Ok(groove::findings(readings, groove))
        }
        Feature::Keyseat(seat) => Ok(keyseat::findings(readings, seat)),
        Feature::LobedShaft(shaft) => lobed_shaft::findings(readings, shaft),
        Feature::SoftThickness(sheet) => Ok(soft_thickness::findings(readings, sheet)),
        Feature::CrimpHeight(crimp) => crimp_height::findings(readings, crimp),
        Feature::InsideDiameter(_) => Ok(inside_diameter::findings(readings)),
        Feature::BoreToFlat(_) | Feature::GrooveWidth(_) | Feature::Land(_) => Ok(Vec::new()),
    }
}

impl Finding {
    fn of(key: &'static str, name: &str, value: f64, unit: FindingUnit, definition: &str) -> Self {
        Self {
            key,
            name: name.to_owned(),
            value,
            unit,
            standard_uncertainty: None,
            definition: definition.to_owned(),
            source: Source::Geometry,
            requirement: None,
        }
    }

    fn within(mut self, standard_uncertainty: f64) -> Self {
        self.standard_uncertainty = Some(standard_uncertainty);
        self
    }

    fn by(mut self, source: Source) -> Self {
        self.source = source;
        self
    }

    /// Decides on it: numbers that are no lengths go along the same exact number line.
    fn require(
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
        let drawing = Drawing {
            unit: LengthUnit::Millimetre,
            decimals: 3,
        };
        // Where no uncertainty is known only a plain comparison is honest.
        let mut rule = match self.standard_uncertainty {
            Some(_) => readings.rule,
            None => Rule::parse("simple", None)?,
        };
        let value = Length::nearest_mm(self.value)?;
        let mut decision = decide(value, &uncertainty, limits, rule, drawing)?;
        let one_sided = limits.lower.is_none() || limits.upper.is_none();
        let mut instead = "";
        if decision.verdict == Verdict::Unusable && one_sided {
            // Rules that weigh the uncertainty against the tolerance have none to weigh against here.
            rule = Rule::parse("iso14253-1", None)?;
            decision = decide(value, &uncertainty, limits, rule, drawing)?;
            instead = ", as the rule of the job needs two limits";
        }
        let show = |value: f64| show(value, self.unit, readings.target.unit);
        let bound = match (limits.lower, limits.upper) {
            (Some(lower), Some(upper)) => format!("{} to {}", show(lower.mm()), show(upper.mm())),
            (Some(lower), None) => format!("at least {}", show(lower.mm())),
            (_, upper) => format!("at most {}", show(upper.map_or(f64::NAN, Length::mm))),
        };
        let doubt = if self.standard_uncertainty.is_some() {
            format!(" (u = {})", show(u))
        } else {
            String::new()
        };
        let reason = format!(
            "{} {}{doubt} against {bound}: {} under {}{instead}",
            self.name,
            show(self.value),
            decision.verdict.key(),
            rule.key()
        );
        self.requirement = Some(Requirement {
            lower: limits.lower.map(Length::mm),
            upper: limits.upper.map(Length::mm),
            verdict: decision.verdict,
            reason,
        });
        Ok(self)
    }
}

/// A value with its unit, to the digits that matter.
fn show(value: f64, unit: FindingUnit, length: LengthUnit) -> String {
    match unit {
        FindingUnit::Length => match length {
            LengthUnit::Inch | LengthUnit::Microinch => format!("{:.5} in", value / 25.4),
            LengthUnit::Millimetre | LengthUnit::Micrometre => format!("{value:.4} mm"),
        },
        FindingUnit::Percent => format!("{value:.2} %"),
        FindingUnit::Degrees => format!("{value:.1}°"),
        FindingUnit::Newton => format!("{value:.1} N"),
        FindingUnit::Kilopascal => format!("{value:.1} kPa"),
        FindingUnit::SquareMillimetre => format!("{value:.4} mm²"),
        FindingUnit::Number => format!("{value:.4}"),
    }
}

impl Readings<'_> {
    /// Corrected mean of each place, with its place.
    fn places(&self) -> Vec<(&Place, f64)> {
        self.job
            .readings
            .iter()
            .enumerate()
            .filter_map(|(index, place)| {
                let at: Vec<f64> = self
                    .results
                    .iter()
                    .filter(|result| result.place == index)
                    .map(|result| result.corrected)
                    .collect();
                Some((place, mean(&at)?))
            })
            .collect()
    }

    /// Places at one section, section by section, in the order they were read.
    fn sections(&self) -> Vec<Around<'_>> {
        let mut sections: Vec<Around> = Vec::new();
        for (place, size) in self.places() {
            let along = place.along.as_deref();
            match sections.iter_mut().find(|known| known.along == along) {
                Some(known) => known.sizes.push((place.angle, size)),
                None => sections.push(Around {
                    along,
                    sizes: vec![(place.angle, size)],
                }),
            }
        }
        sections
    }

    /// Standard uncertainty of the difference of two readings: what both share has gone.
    fn of_difference(&self) -> f64 {
        std::f64::consts::SQRT_2 * self.one_reading.0
    }

    fn at_most(limit: Option<&Entered>) -> Limits {
        limit.map_or_else(Limits::default, |limit| Limits::at_most(limit.value()))
    }
}
