//! The results of studies by numbers and codes, as they are printed and kept. Numbers are in the unit of the readings.

use metrology::message::{Message, Say as _};
use metrology::study::repeatability::{
    AnovaLine, Components, Design, Layout, Method, RangeConstants, Repeatability,
};
use metrology::study::{
    Bias, DoubleDouble, Linearity, OfBias, StudyError, Table, Type1, Type1Settings,
};
use metrology::units::{Entered, LengthUnit};
use serde::{Deserialize, Serialize};

/// A study of repeatability and reproducibility.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct RepeatabilityDocument {
    pub method: String,
    pub design: String,
    pub unit: Option<String>,
    pub operators: usize,
    pub parts: usize,
    pub trials: usize,
    #[serde(flatten)]
    pub components: ComponentsDocument,
    pub percent_of_total: ComponentsDocument,
    pub percent_of_tolerance: Option<ComponentsDocument>,
    pub distinct_categories: Option<u64>,
    pub distinct_categories_interval: Option<EndsDocument<u64>>,
    pub gauge_rr_interval: Option<EndsDocument<f64>>,
    pub anova: Vec<AnovaDocument>,
    pub alpha: Option<f64>,
    pub pooled: Option<bool>,
    pub constants: Option<ConstantsDocument>,
}

/// Standard deviations, or percentages of something.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct ComponentsDocument {
    pub repeatability: f64,
    pub reproducibility: f64,
    pub interaction: f64,
    pub gauge_rr: f64,
    pub part: f64,
    pub total: f64,
}

/// The ends of an interval.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct EndsDocument<T> {
    pub lower: T,
    pub upper: T,
    pub confidence: f64,
}

/// A line of the table of variance.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct AnovaDocument {
    pub source: String,
    pub df: usize,
    pub ss: f64,
    pub ms: Option<f64>,
    pub f: Option<f64>,
    pub p: Option<f64>,
    pub f_pooled: Option<f64>,
    pub p_pooled: Option<f64>,
}

/// What the range method computes with.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct ConstantsDocument {
    pub k1: f64,
    pub k2: f64,
    pub k3: f64,
    pub mean_range: f64,
    pub range_limit: f64,
    pub ranges_above: usize,
}

/// A type-1 study.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Type1Document {
    pub unit: Option<String>,
    pub n: usize,
    pub mean: f64,
    pub standard_deviation: f64,
    pub bias: f64,
    pub cg: f64,
    pub cgk: f64,
    pub t: f64,
    pub p: f64,
    pub part_of_tolerance_percent: f64,
    pub spread: f64,
}

/// A study of bias.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct BiasDocument {
    pub unit: Option<String>,
    pub n: usize,
    pub mean: f64,
    pub bias: f64,
    pub confidence: f64,
    pub by_deviation: OfBiasDocument,
    pub by_range: Option<OfBiasDocument>,
}

/// The same by one way to find the standard deviation.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct OfBiasDocument {
    pub standard_deviation: f64,
    pub degrees_of_freedom: f64,
    pub standard_uncertainty_of_mean: f64,
    pub t: f64,
    pub p: f64,
    pub lower: f64,
    pub upper: f64,
}

/// A study of linearity. A test has no number where all biases lie on one line.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LinearityDocument {
    pub unit: Option<String>,
    pub n: usize,
    pub slope: f64,
    pub intercept: f64,
    pub r_squared: f64,
    pub residual_standard_deviation: f64,
    pub slope_t: Option<f64>,
    pub slope_p: Option<f64>,
    pub intercept_t: Option<f64>,
    pub intercept_p: Option<f64>,
    pub confidence: f64,
    pub references: Vec<AtReferenceDocument>,
    pub zero_within: bool,
}

/// The bias at one size.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct AtReferenceDocument {
    pub reference: f64,
    pub n: usize,
    pub bias: f64,
    pub fitted: f64,
    pub lower: f64,
    pub upper: f64,
}

impl<T> EndsDocument<T> {
    const fn of(lower: T, upper: T) -> Self
    where
        T: Copy,
    {
        Self {
            lower,
            upper,
            confidence: 0.95,
        }
    }
}

impl ComponentsDocument {
    const fn of(components: Components) -> Self {
        Self {
            repeatability: components.repeatability,
            reproducibility: components.reproducibility,
            interaction: components.interaction,
            gauge_rr: components.gauge_rr,
            part: components.part,
            total: components.total,
        }
    }
}

impl AnovaDocument {
    fn of(line: &AnovaLine) -> Self {
        Self {
            source: line.source.key().to_owned(),
            df: line.degrees_of_freedom,
            ss: line.sum_of_squares,
            ms: line.mean_square,
            f: line.f,
            p: line.p,
            f_pooled: line.f_pooled,
            p_pooled: line.p_pooled,
        }
    }
}

impl ConstantsDocument {
    const fn of(constants: RangeConstants) -> Self {
        Self {
            k1: constants.k1,
            k2: constants.k2,
            k3: constants.k3,
            mean_range: constants.mean_range,
            range_limit: constants.range_limit,
            ranges_above: constants.ranges_above,
        }
    }
}

impl OfBiasDocument {
    const fn of(of: OfBias) -> Self {
        Self {
            standard_deviation: of.standard_deviation,
            degrees_of_freedom: of.degrees_of_freedom,
            standard_uncertainty_of_mean: of.of_mean,
            t: of.t,
            p: of.p,
            lower: of.interval.0,
            upper: of.interval.1,
        }
    }
}

fn symbol(unit: Option<LengthUnit>) -> Option<String> {
    unit.map(|unit| unit.symbol().to_owned())
}

/// How a study of repeatability and reproducibility is evaluated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RepeatabilitySettings {
    pub method: Method,
    pub design: Design,
    /// At which level an interaction is significant.
    pub alpha: f64,
    /// In the unit of the readings, above zero.
    pub tolerance: Option<f64>,
    /// The unit of the readings, where it is stated.
    pub unit: Option<LengthUnit>,
}

impl Default for RepeatabilitySettings {
    fn default() -> Self {
        Self {
            method: Method::Anova,
            design: Design::Crossed,
            alpha: 0.05,
            tolerance: None,
            unit: None,
        }
    }
}

impl RepeatabilityDocument {
    /// From the columns `part`, `operator`, `trial` and `value`; also as it was computed.
    pub fn read(
        text: &str,
        settings: &RepeatabilitySettings,
    ) -> Result<(Self, Repeatability), StudyError> {
        if settings.tolerance.is_some_and(|tolerance| tolerance <= 0.0) {
            return Err(StudyError::Tolerance);
        }
        let layout = Layout::read(text, settings.design)?;
        let study = Repeatability::of(&layout, settings.method, settings.alpha)?;
        let components = study.components;
        let of_tolerance = |tolerance| components.percent_of_tolerance(tolerance);
        let document = Self {
            method: study.method.key().to_owned(),
            design: study.design.key().to_owned(),
            unit: symbol(settings.unit),
            operators: study.operators,
            parts: study.parts,
            trials: study.trials,
            components: ComponentsDocument::of(components),
            percent_of_total: ComponentsDocument::of(components.percent_of_total()),
            percent_of_tolerance: settings
                .tolerance
                .map(of_tolerance)
                .map(ComponentsDocument::of),
            distinct_categories: study.distinct_categories,
            distinct_categories_interval: study.intervals.map(|intervals| {
                let (lower, upper) = intervals.distinct_categories;
                EndsDocument::of(lower, upper)
            }),
            gauge_rr_interval: study.intervals.map(|intervals| {
                let (lower, upper) = intervals.gauge_rr;
                EndsDocument::of(lower, upper)
            }),
            anova: study.anova.iter().map(AnovaDocument::of).collect(),
            alpha: study.pooled.map(|_| settings.alpha),
            pooled: study.pooled,
            constants: study.constants.map(ConstantsDocument::of),
        };
        Ok((document, study))
    }

    /// What the repeatability was found from: degrees of freedom of the trials, with those of the interaction where it was pooled.
    pub fn degrees_of_freedom(&self) -> Option<usize> {
        let line = |source: &str| self.anova.iter().find(|line| line.source == source);
        let line = line("pooled").or_else(|| line("repeatability"));
        line.map(|line| line.df)
    }
}

impl Type1Document {
    /// From the column `value`; also as it was computed.
    pub fn read(
        text: &str,
        reference: DoubleDouble,
        tolerance: f64,
        settings: Type1Settings,
        unit: Option<LengthUnit>,
    ) -> Result<(Self, Type1), StudyError> {
        let values = Table::read(text, &["value"])?.numbers("value")?;
        let study = Type1::of(&values, reference, tolerance, settings)?;
        let document = Self {
            unit: symbol(unit),
            n: study.n,
            mean: study.mean,
            standard_deviation: study.standard_deviation,
            bias: study.bias,
            cg: study.cg,
            cgk: study.cgk,
            t: study.t,
            p: study.p,
            part_of_tolerance_percent: settings.part_of_tolerance,
            spread: settings.spread,
        };
        Ok((document, study))
    }
}

impl BiasDocument {
    /// From the column `value`; also as it was computed.
    pub fn read(
        text: &str,
        reference: DoubleDouble,
        confidence: f64,
        unit: Option<LengthUnit>,
    ) -> Result<(Self, Bias), StudyError> {
        let values = Table::read(text, &["value"])?.numbers("value")?;
        let study = Bias::of(&values, reference, confidence)?;
        let document = Self {
            unit: symbol(unit),
            n: study.n,
            mean: study.mean,
            bias: study.bias,
            confidence,
            by_deviation: OfBiasDocument::of(study.by_deviation),
            by_range: study.by_range.map(OfBiasDocument::of),
        };
        Ok((document, study))
    }
}

impl LinearityDocument {
    /// From the columns `reference` and `value`.
    pub fn read(text: &str, confidence: f64, unit: Option<LengthUnit>) -> Result<Self, StudyError> {
        let study = Linearity::read(text, confidence)?;
        let line = &study.line;
        let finite = |value: f64| value.is_finite().then_some(value);
        let (slope, intercept) = (line.slope_test(), line.intercept_test());
        let references = study.references.iter().map(|at| AtReferenceDocument {
            reference: at.reference,
            n: at.n,
            bias: at.bias,
            fitted: at.fitted,
            lower: at.band.0,
            upper: at.band.1,
        });
        Ok(Self {
            unit: symbol(unit),
            n: line.n,
            slope: line.slope,
            intercept: line.intercept,
            r_squared: line.r_squared,
            residual_standard_deviation: line.residual_standard_deviation,
            slope_t: finite(slope.0),
            slope_p: finite(slope.1),
            intercept_t: finite(intercept.0),
            intercept_p: finite(intercept.1),
            confidence,
            references: references.collect(),
            zero_within: study.zero_within,
        })
    }
}

/// A length in a unit, as exact as it was written where it was written in it.
pub fn in_unit(length: &Entered, unit: LengthUnit) -> DoubleDouble {
    let same = length.unit() == unit;
    DoubleDouble::parse(&length.number().to_string())
        .ok()
        .filter(|_| same)
        .unwrap_or_else(|| {
            let number: f64 = length.number().try_into().unwrap_or(f64::NAN);
            let mm = number * length.unit().tenth_nanometres() as f64 / 1e7;
            DoubleDouble::from(mm / (unit.tenth_nanometres() as f64 / 1e7))
        })
}

/// The result of a study that was run at the bench: one of the four, or why there is none.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Studied {
    pub repeatability: Option<RepeatabilityDocument>,
    pub type_1: Option<Type1Document>,
    pub bias: Option<BiasDocument>,
    /// Added later: results that have none are stored without the key.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub linearity: Option<LinearityDocument>,
    /// Why nothing can be computed.
    pub not_computed: Option<Message>,
    /// By which evaluation it was computed; none of results of before the evaluations had numbers.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub evaluation: Option<u32>,
}

/// The evaluation of studies of this build. 2: readings are computed with as the decimals that were written, so that equal ones
/// have no spread, and the intervals of gauge and categories are integrated; before, their ends were those of a simulation.
const EVALUATION: u32 = 2;

impl Studied {
    const NOTHING: Self = Self {
        evaluation: Some(EVALUATION),
        repeatability: None,
        type_1: None,
        bias: None,
        linearity: None,
        not_computed: None,
    };

    pub fn of_repeatability(document: RepeatabilityDocument) -> Self {
        Self {
            repeatability: Some(document),
            ..Self::NOTHING
        }
    }

    pub fn of_type_1(document: Type1Document) -> Self {
        Self {
            type_1: Some(document),
            ..Self::NOTHING
        }
    }

    pub fn of_bias(document: BiasDocument) -> Self {
        Self {
            bias: Some(document),
            ..Self::NOTHING
        }
    }

    pub fn of_linearity(document: LinearityDocument) -> Self {
        Self {
            linearity: Some(document),
            ..Self::NOTHING
        }
    }

    pub fn without(error: &StudyError) -> Self {
        Self {
            not_computed: Some(error.message()),
            ..Self::NOTHING
        }
    }

    /// Whether there is a result.
    pub const fn is_computed(&self) -> bool {
        self.not_computed.is_none()
    }
}
