//! What else the readings of a feature tell: ovality, eccentricity, roundness, compression, pull force.
//!
//! A finding may carry a requirement of its own (an ovality limit, a least pull force). It is decided under the rule
//! of the job, and the verdict on the part is the strictest of all.

use super::JobError;
use super::feature::{
    CompressionDefinition, CrimpHeight, EccentricityDefinition, Feature, Groove, Keyseat,
    LobedShaft, PlainDiameter, Pull, SoftThickness, TubeWall, Wire,
};
use super::fitness::{not_negative, positive};
use super::job::Job;
use super::target::Target;
use super::{ReadingResult, contact_fit, conversion};
use crate::decision::{Drawing, MeasurementUncertainty, Rule, Verdict, decide};
use crate::features::plain_diameter::{Section, barrel, extremes, ovality, taper};
use crate::features::tube_wall::{Eccentricity, Wall, eccentricity};
use crate::features::{crimp, groove, keyseat, lobes, pressing, pull_force, wire_size};
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
        Feature::PlainDiameter(plain) => plain_diameter(readings, plain),
        Feature::TubeWall(wall) => tube_wall(readings, wall),
        Feature::GrooveDiameter(groove) | Feature::Undercut(groove) => {
            groove_diameter(readings, groove)
        }
        Feature::Keyseat(seat) => keyseat_depths(readings, seat),
        Feature::LobedShaft(shaft) => lobed_shaft(readings, shaft),
        Feature::SoftThickness(sheet) => Ok(soft_thickness(readings, sheet)),
        Feature::CrimpHeight(crimp) => crimp_height(readings, crimp),
        Feature::InsideDiameter(_)
        | Feature::BoreToFlat(_)
        | Feature::GrooveWidth(_)
        | Feature::Land(_) => Ok(Vec::new()),
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
        let words = |error: crate::decision::DecisionError| JobError::Rule(error.to_string());
        let u = self.standard_uncertainty.unwrap_or(0.0);
        let k = coverage_factor(0.95, degrees_of_freedom.max(1.0))
            .ok()
            .and_then(shortest_decimal)
            .unwrap_or(rust_decimal::Decimal::TWO);
        let uncertainty = MeasurementUncertainty::from_mm(u)
            .map_err(words)?
            .with_coverage_factor(k)
            .with_degrees_of_freedom(degrees_of_freedom.max(1.0));
        let drawing = Drawing {
            unit: LengthUnit::Millimetre,
            decimals: 3,
        };
        // Where no uncertainty is known only a plain comparison is honest.
        let rule = match self.standard_uncertainty {
            Some(_) => readings.rule,
            None => Rule::parse("simple", None).map_err(words)?,
        };
        let decision = decide(
            Length::nearest_mm(self.value)?,
            &uncertainty,
            limits,
            rule,
            drawing,
        )
        .map_err(words)?;
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
            "{} {}{doubt} against {bound}: {} under {}",
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
    fn places(&self) -> Vec<(&super::Place, f64)> {
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

    /// Places at one section, section by section, in the order they were read: what `along` says, and each angle and
    /// size.
    fn sections(&self) -> Vec<(Option<&str>, Vec<(Option<f64>, f64)>)> {
        let mut sections: Vec<(Option<&str>, Vec<(Option<f64>, f64)>)> = Vec::new();
        for (place, size) in self.places() {
            let along = place.along.as_deref();
            match sections.iter_mut().find(|(known, _)| *known == along) {
                Some((_, sizes)) => sizes.push((place.angle, size)),
                None => sections.push((along, vec![(place.angle, size)])),
            }
        }
        sections
    }

    /// Standard uncertainty of the difference of two readings: what both share has gone.
    fn of_difference(&self) -> f64 {
        std::f64::consts::SQRT_2 * self.one_reading.0
    }

    fn at_most(limit: Option<&Entered>, what: &'static str) -> Result<Limits, JobError> {
        limit.map_or(Ok(Limits::default()), |limit| {
            Ok(Limits::at_most(not_negative(what, limit)?))
        })
    }
}

fn at(section: Option<&str>) -> String {
    section.map_or(String::new(), |along| format!(", at {along}"))
}

fn plain_diameter(readings: &Readings, plain: &PlainDiameter) -> Result<Vec<Finding>, JobError> {
    let dof = readings.one_reading.1;
    let u = readings.of_difference();
    let unit = readings.target.unit;
    let sections: Vec<(Option<&str>, Section)> = readings
        .sections()
        .into_iter()
        .map(|(along, sizes)| {
            let distance = along.and_then(|along| Entered::parse(along, Some(unit)).ok());
            let section = Section {
                along: distance.map(|distance| distance.value().mm()),
                diameters: sizes.into_iter().map(|(_, size)| size).collect(),
            };
            (along, section)
        })
        .collect();
    let all: Vec<f64> = sections
        .iter()
        .flat_map(|(_, section)| section.diameters.clone())
        .collect();
    let mut found = Vec::new();
    if let Some((least, most)) = extremes(&all) {
        found.push(Finding::of(
            "least_diameter",
            "least diameter",
            least,
            FindingUnit::Length,
            "smallest at any place",
        ));
        found.push(Finding::of(
            "greatest_diameter",
            "greatest diameter",
            most,
            FindingUnit::Length,
            "largest at any place",
        ));
    }
    // A section is a stated `along` with several angles; without any `along` all readings are one section.
    let oval = sections
        .iter()
        .filter_map(|(along, section)| Some((*along, ovality(&section.diameters)?)))
        .max_by(|a, b| a.1.total_cmp(&b.1));
    let limit = Readings::at_most(plain.ovality_limit.as_ref(), "ovality limit")?;
    match oval {
        Some((along, value)) => found.push(
            Finding::of(
                "ovality",
                "ovality",
                value,
                FindingUnit::Length,
                &format!(
                    "greatest less least diameter at one section{}; two points are blind to odd lobes",
                    at(along)
                ),
            )
            .by(Source::CommonPractice)
            .within(u)
            .require(limit, dof, readings)?,
        ),
        None if limit != Limits::default() => {
            return Err(JobError::Feature(
                "an ovality limit is stated, but no section was read at two angles; turn the part and read again".into(),
            ));
        }
        None => {}
    }
    let placed: Vec<Section> = sections.into_iter().map(|(_, section)| section).collect();
    let limit = Readings::at_most(plain.taper_limit.as_ref(), "taper limit")?;
    match taper(&placed) {
        Some(taper) => {
            found.push(
                Finding::of(
                    "taper",
                    "taper",
                    taper.difference.abs(),
                    FindingUnit::Length,
                    &format!(
                        "difference of the mean diameters {} mm apart, {} toward the far end",
                        taper.distance,
                        if taper.difference < 0.0 {
                            "smaller"
                        } else {
                            "larger"
                        }
                    ),
                )
                .within(u)
                .require(limit, dof, readings)?,
            );
            found.push(Finding::of(
                "taper_ratio",
                "taper, diameter to length",
                taper.ratio(),
                FindingUnit::Number,
                "(D2 \u{2212} D1) / distance",
            ));
            found.push(Finding::of(
                "half_angle",
                "half angle of the cone",
                taper.half_angle().to_degrees(),
                FindingUnit::Degrees,
                "atan(taper / 2)",
            ));
        }
        None if limit != Limits::default() => {
            return Err(JobError::Feature(
                "a taper limit is stated, but fewer than two sections say where they are; write `along` as a distance, \
                 such as along = \"5mm\""
                    .into(),
            ));
        }
        None => {}
    }
    let limit = Readings::at_most(plain.barrel_limit.as_ref(), "barrel limit")?;
    match barrel(&placed) {
        Some(value) => found.push(
            Finding::of(
                "barrel",
                if value < 0.0 {
                    "hollow of the middle"
                } else {
                    "barrel"
                },
                value.abs(),
                FindingUnit::Length,
                "middle section against the straight line between the ends",
            )
            .within(u)
            .require(limit, dof, readings)?,
        ),
        None if limit != Limits::default() => {
            return Err(JobError::Feature(
                "a barrel limit is stated, but fewer than three sections say where they are; write `along` as a distance"
                    .into(),
            ));
        }
        None => {}
    }
    Ok(found)
}

fn tube_wall(readings: &Readings, wall: &TubeWall) -> Result<Vec<Finding>, JobError> {
    if readings
        .job
        .readings
        .iter()
        .any(|place| place.angle.is_none())
    {
        return Err(JobError::Feature(
            "wall readings at unknown angles tell neither eccentricity nor its direction; give each place its `angle` in \
             degrees, or `step` under [readings] where the tube was turned evenly (eight readings: step = 45)"
                .into(),
        ));
    }
    let mut worst: Option<(Option<&str>, Wall, Eccentricity)> = None;
    for (along, sizes) in readings.sections() {
        let walls: Vec<f64> = sizes.iter().map(|(_, size)| *size).collect();
        let around: Vec<(f64, f64)> = sizes
            .iter()
            .filter_map(|(angle, size)| Some(((*angle)?.to_radians(), *size)))
            .collect();
        let fitted = eccentricity(&around).map_err(|error| JobError::Feature(error.to_string()))?;
        if let Some(section) = Wall::of(&walls)
            && worst
                .as_ref()
                .is_none_or(|(_, _, other)| fitted.offset > other.offset)
        {
            worst = Some((along, section, fitted));
        }
    }
    let Some((along, section, fitted)) = worst else {
        return Ok(Vec::new());
    };
    let where_ = at(along);
    let length = FindingUnit::Length;
    let dof = readings.one_reading.1;
    // What the harmonic leaves holds ovality and noise, and so bounds both; repeatability where it leaves less.
    let (one, one_dof) = match fitted.residual {
        Some(residual) if residual > readings.one_reading.0 => {
            (residual, fitted.degrees_of_freedom as f64)
        }
        _ => readings.one_reading,
    };
    let run_out = Readings::at_most(wall.run_out_limit.as_ref(), "run-out limit")?;
    let offset = Readings::at_most(wall.eccentricity_limit.as_ref(), "eccentricity limit")?;
    let mut found = vec![
        Finding::of(
            "mean_wall",
            "mean wall",
            section.mean,
            length,
            &format!("mean around one section{where_}"),
        ),
        Finding::of(
            "least_wall",
            "least wall",
            section.least,
            length,
            "governs under pressure",
        ),
        Finding::of(
            "wall_run_out",
            "wall run-out",
            section.run_out(),
            length,
            &format!("most \u{2212} least{where_}"),
        )
        .within(readings.of_difference())
        .require(run_out, dof, readings)?,
        Finding::of(
            "eccentricity",
            "eccentricity",
            fitted.offset,
            length,
            &format!("offset of the two centres by the first harmonic{where_}"),
        )
        .within(one * fitted.sensitivity)
        .require(offset, one_dof, readings)?,
        Finding::of(
            "eccentricity_direction",
            "thickest at",
            fitted.direction.to_degrees(),
            FindingUnit::Degrees,
            "direction of the first harmonic",
        ),
        Finding::of(
            "half_run_out",
            "half of the run-out",
            section.run_out() / 2.0,
            length,
            "eccentricity as tubing makers take it",
        )
        .by(Source::CommonPractice),
    ];
    if let Some(residual) = fitted.residual {
        found.push(Finding::of(
            "harmonic_residual",
            "left by the harmonic",
            residual,
            length,
            "standard deviation of what the first harmonic leaves: ovality and noise",
        ));
    }
    let named = wall.definition;
    if named.is_none() && wall.percent_limit.is_some() {
        return Err(JobError::Feature(format!(
            "a percentage limit needs its definition, as three are in use; write `definition` as one of {}",
            EccentricityDefinition::ALL
                .map(EccentricityDefinition::key)
                .join(", ")
        )));
    }
    for definition in EccentricityDefinition::ALL {
        if named.is_some_and(|named| named != definition) {
            continue;
        }
        let (value, key) = match definition {
            EccentricityDefinition::RunOutOverSum => {
                (section.run_out_over_sum(), "run_out_over_sum")
            }
            EccentricityDefinition::RunOutOverMean => {
                (section.run_out_over_mean(), "run_out_over_mean")
            }
            EccentricityDefinition::LeastOverMost => (section.least_over_most(), "least_over_most"),
        };
        let limit = match wall.percent_limit {
            None => Limits::default(),
            Some(percent) if !(0.0..=200.0).contains(&percent) => {
                return Err(JobError::Number {
                    what: "percent_limit",
                    value: percent,
                    right: "write percent, such as 10",
                });
            }
            Some(percent) => {
                let percent = Length::nearest_mm(percent)?;
                if definition == EccentricityDefinition::LeastOverMost {
                    Limits::at_least(percent)
                } else {
                    Limits::at_most(percent)
                }
            }
        };
        let u = readings.of_difference() / section.mean * 100.0;
        let u = if definition == EccentricityDefinition::RunOutOverSum {
            u / 2.0
        } else {
            u
        };
        found.push(
            Finding::of(
                key,
                "wall, percent",
                value,
                FindingUnit::Percent,
                definition.formula(),
            )
            .by(Source::CommonPractice)
            .within(u)
            .require(limit, dof, readings)?,
        );
    }
    Ok(found)
}

fn groove_diameter(readings: &Readings, groove: &Groove) -> Result<Vec<Finding>, JobError> {
    let mut found = Vec::new();
    let opening = contact_fit::opening(groove);
    if let Some(thickness) = &readings.job.contacts.thickness {
        found.push(Finding::of(
            "clearance",
            "clearance of the blade",
            opening.clearance(thickness.value().mm()),
            FindingUnit::Length,
            "flat of the floor less thickness of the blade; below zero it rides on the radii",
        ));
    }
    if let Some(land) = &groove.land_diameter {
        let land = positive("land diameter", land)?.mm();
        let floor = mean(
            &readings
                .places()
                .iter()
                .map(|(_, size)| *size)
                .collect::<Vec<_>>(),
        );
        if let Some(floor) = floor {
            found.push(Finding::of(
                "groove_depth",
                "groove depth",
                groove::depth(land, floor),
                FindingUnit::Length,
                "(D_land \u{2212} D_groove)/2, only where the two are concentric",
            ));
        }
    }
    Ok(found)
}

fn keyseat_depths(readings: &Readings, seat: &Keyseat) -> Result<Vec<Finding>, JobError> {
    use super::feature::KeyseatConvention as C;
    let shaft = positive("shaft diameter", &seat.shaft_diameter)?.mm();
    let width = positive("width of the seat", &seat.width)?.mm();
    let sizes: Vec<f64> = readings.places().iter().map(|(_, size)| *size).collect();
    let (Some(size), Some(height)) = (mean(&sizes), keyseat::chord_height(shaft, width)) else {
        return Ok(Vec::new());
    };
    let s = match seat.convention {
        C::BottomToOppositeSide => size,
        C::DepthFromCrown => shaft - size,
        C::DepthFromEdge => shaft - height - size,
    };
    let length = FindingUnit::Length;
    Ok(vec![
        Finding::of(
            "arc_height",
            "height of the arc",
            height,
            length,
            "h = (D \u{2212} √(D² \u{2212} b²))/2, between the two depths",
        ),
        Finding::of(
            "bottom_to_opposite_side",
            "floor to opposite side",
            s,
            length,
            "S",
        ),
        Finding::of(
            "depth_from_crown",
            "depth from the crown",
            keyseat::depth_from_crown(shaft, s),
            length,
            "D \u{2212} S",
        ),
        Finding::of(
            "depth_from_edge",
            "depth from the edge",
            shaft - height - s,
            length,
            "D \u{2212} h \u{2212} S",
        ),
    ])
}

fn lobed_shaft(readings: &Readings, shaft: &LobedShaft) -> Result<Vec<Finding>, JobError> {
    let (value, u) = conversion::roundness(shaft, readings.one_reading.0)?;
    let limit = Readings::at_most(shaft.roundness_limit.as_ref(), "roundness limit")?;
    let factor = lobes::v_factor(shaft.lobes, shaft.v_angle).unwrap_or_default();
    let sizes: Vec<f64> = readings.places().iter().map(|(_, size)| *size).collect();
    let seen = extremes(&sizes).map_or(0.0, |(least, most)| most - least);
    let blind: Vec<String> = lobes::v_blind_to(shaft.v_angle)
        .iter()
        .map(ToString::to_string)
        .collect();
    let two_point = if shaft.lobes.is_multiple_of(2) {
        "shows twice the lobing of even lobes"
    } else {
        "does not show odd lobes at all"
    };
    Ok(vec![
        Finding::of(
            "roundness",
            "departure from roundness",
            value,
            FindingUnit::Length,
            &format!(
                "spread in the V over |F|, {} lobes, V of {}°",
                shaft.lobes, shaft.v_angle
            ),
        )
        .by(Source::Iso4292)
        .within(u)
        .require(limit, readings.one_reading.1, readings)?,
        Finding::of(
            "v_factor",
            "factor of the V",
            factor,
            FindingUnit::Number,
            &format!(
                "F = 1 + (\u{2212}1)^n cos nγ / cos γ; this V hardly sees {} lobes",
                if blind.is_empty() {
                    "no count up to 9 of".into()
                } else {
                    blind.join(", ")
                }
            ),
        )
        .by(Source::Iso4292),
        Finding::of(
            "two_point_spread",
            "spread of the two-point diameters",
            seen,
            FindingUnit::Length,
            two_point,
        ),
    ])
}

fn soft_thickness(readings: &Readings, sheet: &SoftThickness) -> Vec<Finding> {
    let job = readings.job;
    let force = job.contacts.force.or(job.instrument.force);
    let face = job.contacts.face.as_ref().map(|face| face.value().mm());
    let mut found = Vec::new();
    if let (Some(force), Some(face)) = (force, face.filter(|face| *face > 0.0)) {
        let pressure = pressing::face_pressure(force, face);
        found.push(Finding::of(
            "pressure",
            "pressure",
            pressure * 1000.0,
            FindingUnit::Kilopascal,
            &format!(
                "{force} N on a face of {face} mm, read after {} s",
                sheet.dwell_seconds
            ),
        ));
        let thickness = contact_fit::middle(readings.target.limits);
        found.push(Finding::of(
            "compression",
            "compression",
            pressing::sheet_compression(pressure, thickness, sheet.modulus_mpa),
            FindingUnit::Length,
            "p t/E",
        ));
    }
    found
}

/// The conductor: its gauge, where it is one, and its area.
fn conductor(wire: &Wire) -> Result<(Option<&'static wire_size::Gauge>, f64), JobError> {
    let words = |error: wire_size::WireError| JobError::Feature(error.to_string());
    match wire {
        Wire::Awg(text) => {
            let gauge = wire_size::awg(text).map_err(words)?;
            Ok((Some(gauge), gauge.area_mm2))
        }
        Wire::Mm2(text) => Ok((None, wire_size::area(text).map_err(words)?)),
    }
}

fn crimp_height(readings: &Readings, crimp: &CrimpHeight) -> Result<Vec<Finding>, JobError> {
    if crimp.sheet.trim().is_empty() {
        return Err(JobError::Feature(
            "the limits of a crimp come from the terminal maker's sheet and from nowhere else; name it as `sheet`".into(),
        ));
    }
    let (gauge, area) = conductor(&crimp.wire)?;
    let sizes: Vec<f64> = readings.places().iter().map(|(_, size)| *size).collect();
    let mut found = vec![
        Finding::of(
            "conductor_area",
            "conductor",
            area,
            FindingUnit::SquareMillimetre,
            &gauge.map_or_else(
                || "as marked".to_owned(),
                |gauge| {
                    format!(
                        "AWG {}, solid {} mm in diameter; stranded wire differs by some percent",
                        gauge.awg, gauge.diameter_mm
                    )
                },
            ),
        )
        .by(if gauge.is_some() {
            Source::AstmB258
        } else {
            Source::CommonPractice
        }),
    ];
    if let Some((least, most)) = extremes(&sizes) {
        found.push(
            Finding::of(
                "spread",
                "spread of the samples",
                most - least,
                FindingUnit::Length,
                "greatest less least height",
            )
            .within(readings.of_difference()),
        );
    }
    if let Some(compression) = &crimp.compression {
        let conductor = compression.conductor_area_mm2.unwrap_or(area);
        let (before, words) = match compression.definition {
            CompressionDefinition::Conductor => {
                (conductor, "conductor after / conductor before")
            }
            CompressionDefinition::ConductorAndBarrel => (
                conductor
                    + compression.barrel_area_mm2.ok_or_else(|| {
                        JobError::Feature(
                            "this definition of compression counts the barrel; state `barrel_area_mm2`, its area before \
                             crimping"
                                .into(),
                        )
                    })?,
                "section after / (conductor + barrel) before",
            ),
        };
        let wrong = || {
            JobError::Feature(
                "compression needs areas above zero, in square millimetres, from a section of the crimp".into(),
            )
        };
        let ratio =
            crimp::compression_percent(compression.area_after_mm2, before).ok_or_else(wrong)?;
        let limits = match compression.limits_percent {
            None => Limits::default(),
            Some([lower, upper]) if lower <= upper => {
                Limits::between(Length::nearest_mm(lower)?, Length::nearest_mm(upper)?)
            }
            Some([lower, upper]) => {
                return Err(JobError::LimitsReversed {
                    lower: format!("{lower} %"),
                    upper: format!("{upper} %"),
                });
            }
        };
        found.push(
            Finding::of(
                "compression_ratio",
                "compression ratio",
                ratio,
                FindingUnit::Percent,
                words,
            )
            .by(Source::CrimpSheets)
            .require(limits, f64::INFINITY, readings)?,
        );
        if let Some(width) = compression.width_mm {
            let slope = crimp::percent_per_millimetre(width, before).ok_or_else(wrong)?;
            found.push(Finding::of(
                "compression_per_0_05_mm",
                "change of it for 0.05 mm of height",
                slope * 0.05,
                FindingUnit::Percent,
                "CW dCH / area before",
            ));
        }
    }
    if let Some(pull) = &crimp.pull {
        found.extend(pull_forces(readings, pull, gauge, area)?);
    }
    Ok(found)
}

fn pull_forces(
    readings: &Readings,
    pull: &Pull,
    gauge: Option<&'static wire_size::Gauge>,
    area: f64,
) -> Result<Vec<Finding>, JobError> {
    let words = |error: pull_force::PullError| JobError::Feature(error.to_string());
    let strength = pull
        .wire_strength
        .as_deref()
        .map(pull_force::force)
        .transpose()
        .map_err(words)?;
    let least = pull_force::least(&pull.standard, gauge, area, strength).map_err(words)?;
    let forces = pull
        .forces
        .iter()
        .map(|text| pull_force::force(text))
        .collect::<Result<Vec<_>, _>>()
        .map_err(words)?;
    let Some((smallest, _)) = extremes(&forces) else {
        return Err(JobError::Feature(
            "a pull test needs its `forces`, as 96N or 21.5lbf".into(),
        ));
    };
    let mut finding = Finding::of(
        "pull_force",
        "least pull force",
        smallest,
        FindingUnit::Newton,
        &format!("smallest of {}, against {}", forces.len(), least.words),
    )
    .by(least.source);
    if let Some(u) = pull.standard_uncertainty_n {
        if !(u >= 0.0 && u.is_finite()) {
            return Err(JobError::Number {
                what: "standard_uncertainty_n",
                value: u,
                right: "write newtons, from 0 up",
            });
        }
        finding = finding.within(u);
    }
    let required = Limits::at_least(Length::nearest_mm(least.newtons)?);
    Ok(vec![
        finding.require(required, f64::INFINITY, readings)?,
        Finding::of(
            "pull_force_mean",
            "mean pull force",
            mean(&forces).unwrap_or_default(),
            FindingUnit::Newton,
            "mean of all",
        ),
    ])
}
