//! Capability of a process: its spread against the limits.
//!
//! Source: NIST/SEMATECH e-Handbook, 6.1.6 (from memory) for the indices and their intervals.

use super::error::StudyError;
use super::groups::grouped;
use super::normality::{AndersonDarling, anderson_darling};
use super::table::Table;
use super::tolerance_interval::{one_sided_factor, two_sided_factor};
use crate::chart::{ChartConstants, LARGEST_SUBGROUP, LARGEST_WITH_RANGE, moving_ranges, range};
use crate::double_double::{DoubleDouble, decimals, mean, squares};
use crate::probability::chi_square_quantile;
use crate::uncertainty::normal_quantile;
use jiff::civil::DateTime;

/// The values of a process, with the subgroups that they were taken in, where there were any.
#[derive(Clone, Debug)]
pub struct Process {
    values: Vec<DoubleDouble>,
    /// Days from the first value, where there are dates.
    days: Option<Vec<DoubleDouble>>,
    subgroups: Option<Vec<(String, Vec<f64>)>>,
}

/// Between which limits it shall be, in the unit of the values, and how sure intervals are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Specification {
    /// Lower limit.
    pub lower: Option<f64>,
    /// Upper limit.
    pub upper: Option<f64>,
    /// Confidence of intervals, 0.95 by default.
    pub confidence: f64,
    /// Part of all that a tolerance interval holds.
    pub coverage: f64,
    /// Standard uncertainty of one value from part to part, as scatter and resolution make it: what does not shift all values
    /// alike.
    pub standard_uncertainty: Option<f64>,
}

crate::codes! {
    /// Where the spread within comes from.
    pub enum Within "within" {
        /// Mean moving range of two over d2.
        MovingRange "moving-range",
        /// Mean range of subgroups over d2.
        MeanRange "mean-range",
        /// Pooled variance of subgroups of different or large size.
        Pooled "pooled",
    }
}

/// An interval and how sure it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// Its lower end.
    pub lower: f64,
    /// Its upper end.
    pub upper: f64,
    pub confidence: f64,
}

/// Indices of one spread.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Indices {
    pub standard_deviation: f64,
    /// Its degrees of freedom.
    pub degrees_of_freedom: f64,
    /// (U − L)/6s; none of one limit.
    pub c: Option<f64>,
    /// Its interval, by χ².
    pub c_interval: Option<Interval>,
    /// The distance of the mean from the nearer limit, over 3 s.
    pub ck: f64,
    /// Its interval, C (1 ± z √(1/(9 n C²) + 1/(2 ν))).
    pub ck_interval: Interval,
}

/// What takes the place of the indices where the values are not normal: percentiles in the place of x̄ ± 3 s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Percentiles {
    /// 0.135 % of all are below.
    pub lower: f64,
    pub median: f64,
    /// 0.135 % of all are above.
    pub upper: f64,
    /// (U − L) over the distance of the two; none of one limit.
    pub pp: Option<f64>,
    /// The smaller of (U − median)/(upper − median) and (median − L)/(median − lower).
    pub ppk: f64,
    /// With fewer than 740 values the outer percentiles are the least and the greatest value, and the indices come out too good.
    pub beyond_values: bool,
}

/// The spread without what the measurement adds to it: s² − u².
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WithoutMeasurement {
    /// u, as it was stated.
    pub standard_uncertainty: f64,
    /// What is left of the spread overall.
    pub standard_deviation: f64,
    /// Pp of it.
    pub pp: Option<f64>,
    /// Ppk of it.
    pub ppk: f64,
    /// u²/s²: the part of the variance that is the measurement's.
    pub share: f64,
}

/// An end that the coverage of the specification does not pass, with its confidence, of normal values.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ToleranceLimit {
    pub at: f64,
    /// Its factor k.
    pub factor: f64,
}

/// Result of a capability study.
#[derive(Clone, Debug, PartialEq)]
pub struct Capability {
    /// How many values.
    pub n: usize,
    pub mean: f64,
    /// By the spread within: Cp, Cpk.
    pub within: Indices,
    /// Where that comes from.
    pub within_from: Within,
    /// By the spread of all: Pp, Ppk.
    pub overall: Indices,
    /// The test of normality; none of fewer than eight values.
    pub normality: Option<AndersonDarling>,
    /// By percentiles.
    pub percentiles: Percentiles,
    /// An interval that holds the coverage of the specification with its confidence, of normal values.
    pub tolerance_interval: Interval,
    /// Its factor k.
    pub tolerance_factor: f64,
    /// The same on the side of the only limit, where there is one limit.
    pub tolerance_limit: Option<ToleranceLimit>,
    /// Without the measurement, where its uncertainty is stated.
    pub without_measurement: Option<WithoutMeasurement>,
}

impl Process {
    /// From the column `value`, and `subgroup` where there is one.
    pub fn read(text: &str) -> Result<Self, StudyError> {
        let table = Table::read(text, &["value"])?;
        let values = table.numbers("value")?;
        let subgroups = table
            .has("subgroup")
            .then(|| table.texts("subgroup"))
            .transpose()?
            .map(|names| grouped(names, values.iter().map(|value| value.value()).collect()));
        if let Some((subgroup, _)) = subgroups
            .iter()
            .flatten()
            .find(|(_, values)| values.len() < 2)
        {
            return Err(StudyError::SubgroupOfOne {
                subgroup: subgroup.clone(),
            });
        }
        Ok(Self {
            values,
            days: None,
            subgroups,
        })
    }

    /// Of values some of which were taken in subgroups, each with the number of its own.
    pub fn of(values: &[f64], subgroups: &[Option<usize>]) -> Self {
        let taken = values.iter().zip(subgroups);
        let taken = taken.filter_map(|(value, subgroup)| Some((subgroup.as_ref()?, *value)));
        let (names, in_subgroups): (Vec<String>, Vec<f64>) = taken
            .map(|(subgroup, value)| (subgroup.to_string(), value))
            .unzip();
        Self {
            values: decimals(values),
            days: None,
            subgroups: (!names.is_empty()).then(|| grouped(names, in_subgroups)),
        }
    }

    /// The same of values whose order tells: where there is a column `date`, no row is of an earlier day than the one above.
    pub fn read_in_order(text: &str) -> Result<Self, StudyError> {
        let table = Table::read(text, &["value"])?;
        let mut days = None;
        if table.has("date") {
            let mut all = Vec::new();
            let mut last: Option<(DateTime, String)> = None;
            for (text, line) in table.texts("date")?.into_iter().zip(table.lines()) {
                let Ok(on) = text.parse::<DateTime>() else {
                    let text = text.chars().take(40).collect();
                    return Err(StudyError::NotADate { line, text });
                };
                if let Some((_, before)) = last.filter(|(before, _)| *before > on) {
                    let on = text;
                    return Err(StudyError::Order { line, on, before });
                }
                all.push(on);
                last = Some((on, text));
            }
            let first = all.first().copied();
            let since = |on: &DateTime| on.duration_since(first.unwrap_or(*on)).as_secs_f64();
            let since = all
                .iter()
                .map(|on| DoubleDouble::from(since(on) / 86_400.0));
            days = Some(since.collect());
        }
        Ok(Self {
            days,
            ..Self::read(text)?
        })
    }

    /// Days from the first value to each, where there is a column `date` and not all are of one moment.
    pub fn days(&self) -> Option<&[DoubleDouble]> {
        let days = self.days.as_deref()?;
        let last = days.last()?.value();
        (last > 0.0).then_some(days)
    }

    /// The values in their order.
    pub fn values(&self) -> Vec<f64> {
        self.values.iter().map(|value| value.value()).collect()
    }

    /// The same as exact as they were written.
    pub fn exact(&self) -> &[DoubleDouble] {
        &self.values
    }

    /// The subgroups, all of one size that ranges are taken of; `None` of single values.
    pub fn even_subgroups(&self) -> Result<Option<Vec<Vec<f64>>>, StudyError> {
        let Some(subgroups) = &self.subgroups else {
            return Ok(None);
        };
        let wanted = subgroups.first().map_or(0, |(_, values)| values.len());
        for (subgroup, values) in subgroups {
            if values.len() != wanted {
                return Err(StudyError::UnevenSubgroups {
                    subgroup: subgroup.clone(),
                    n: values.len(),
                    wanted,
                });
            }
        }
        if wanted > LARGEST_SUBGROUP {
            return Err(StudyError::LargeSubgroups {
                n: wanted,
                largest: LARGEST_SUBGROUP,
            });
        }
        Ok(Some(
            subgroups.iter().map(|(_, values)| values.clone()).collect(),
        ))
    }

    /// The spread within, its degrees of freedom, and where it comes from.
    fn within(&self) -> (f64, f64, Within) {
        let Some(subgroups) = &self.subgroups else {
            let ranges = moving_ranges(&self.values());
            let count = ranges.len() as f64;
            let d2 = std::f64::consts::FRAC_2_SQRT_PI;
            let s = ranges.iter().sum::<f64>() / count / d2;
            return (s, moving_range_freedom(count), Within::MovingRange);
        };
        let size = subgroups.first().map_or(0, |(_, values)| values.len());
        let even = subgroups.iter().all(|(_, values)| values.len() == size);
        if let Some(constants) =
            ChartConstants::of(size).filter(|_| even && size <= LARGEST_WITH_RANGE)
        {
            let count = subgroups.len();
            let ranges = subgroups
                .iter()
                .map(|(_, values)| range(values))
                .sum::<f64>();
            let s = ranges / count as f64 / constants.d2;
            return (s, constants.degrees_of_freedom(count), Within::MeanRange);
        }
        let (mut within, mut freedom) = (0.0, 0.0);
        for (_, values) in subgroups {
            within += squares(&decimals(values)).value();
            freedom += values.len() as f64 - 1.0;
        }
        ((within / freedom).sqrt(), freedom, Within::Pooled)
    }
}

/// Degrees of freedom of the mean of so many moving ranges, each of which shares a value with the next: the variance of their
/// mean, with the covariance of |x₂ − x₁| and |x₃ − x₂|, against its square.
fn moving_range_freedom(count: f64) -> f64 {
    use std::f64::consts::PI;
    // Of standard normal values: E|d| = 2/√π, E d² = 2, and for two differences with correlation −½
    // E|d₁ d₂| = (4/π)(√(1 − ρ²) + ρ asin ρ).
    let mean_square = 4.0 / PI;
    let variance = 2.0 - mean_square;
    let product = 4.0 / PI * (0.75_f64.sqrt() + 0.5 * PI / 6.0);
    let covariance = product - mean_square;
    let of_mean = (count * variance + 2.0 * (count - 1.0) * covariance) / (count * count);
    (0.5 * mean_square / of_mean).max(1.0)
}

impl Specification {
    fn check(&self) -> Result<(), StudyError> {
        for given in [self.confidence, self.coverage] {
            if !(given > 0.0 && given < 1.0) {
                return Err(StudyError::Probability { given });
            }
        }
        match (self.lower, self.upper) {
            (None, None) => Err(StudyError::NoLimit),
            (Some(lower), Some(upper)) if lower >= upper => Err(StudyError::Limits),
            _ => Ok(()),
        }
    }

    fn width(&self) -> Option<f64> {
        Some(self.upper? - self.lower?)
    }

    /// The distance of the mean from the nearer limit.
    fn nearer(&self, mean: f64) -> f64 {
        let above = self.upper.map_or(f64::INFINITY, |upper| upper - mean);
        let below = self.lower.map_or(f64::INFINITY, |lower| mean - lower);
        above.min(below)
    }

    fn indices(&self, n: usize, mean: f64, s: f64, freedom: f64) -> Indices {
        let c = self.width().map(|width| width / (6.0 * s));
        let ck = self.nearer(mean) / (3.0 * s);
        let tail = (1.0 - self.confidence) / 2.0;
        let interval = |lower, upper| Interval {
            lower,
            upper,
            confidence: self.confidence,
        };
        let part = |p: f64| (chi_square_quantile(p, freedom) / freedom).sqrt();
        let z = -normal_quantile(tail);
        // C · √(1/(9nC²) + 1/2ν), which also holds where C is zero or negative.
        let reach = z * (1.0 / (9.0 * n as f64) + ck * ck / (2.0 * freedom)).sqrt();
        Indices {
            standard_deviation: s,
            degrees_of_freedom: freedom,
            c,
            c_interval: c.map(|c| interval(c * part(tail), c * part(1.0 - tail))),
            ck,
            ck_interval: interval(ck - reach, ck + reach),
        }
    }
}

impl Indices {
    /// Pp and Ppk with their intervals, from the number of values, their mean and their standard deviation.
    pub fn overall(
        n: usize,
        mean: f64,
        standard_deviation: f64,
        specification: &Specification,
    ) -> Result<Self, StudyError> {
        specification.check()?;
        if n < 3 {
            return Err(StudyError::TooFew { n, needed: 3 });
        }
        if standard_deviation.is_nan() || standard_deviation <= 0.0 {
            return Err(StudyError::Constant);
        }
        Ok(specification.indices(n, mean, standard_deviation, n as f64 - 1.0))
    }
}

impl Capability {
    /// The study of a process against a specification.
    pub fn of(process: &Process, specification: &Specification) -> Result<Self, StudyError> {
        specification.check()?;
        let values = &process.values;
        let n = values.len();
        if n < 3 {
            return Err(StudyError::TooFew { n, needed: 3 });
        }
        let centre = mean(values);
        let s = (squares(values) / (n - 1).into()).sqrt().value();
        let (within, freedom, within_from) = process.within();
        // NaN is no spread either.
        if s <= 0.0 || within.is_nan() || within <= 0.0 {
            return Err(StudyError::Constant);
        }
        let centre = centre.value();
        let plain = process.values();
        let factor = two_sided_factor(n, specification.coverage, specification.confidence);
        let one_sided = |sign: f64| {
            let factor = one_sided_factor(n, specification.coverage, specification.confidence);
            let at = centre + sign * factor * s;
            Some(ToleranceLimit { at, factor })
        };
        let tolerance_limit = match (specification.lower, specification.upper) {
            (Some(_), None) => one_sided(-1.0),
            (None, Some(_)) => one_sided(1.0),
            _ => None,
        };
        Ok(Self {
            n,
            mean: centre,
            within: specification.indices(n, centre, within, freedom),
            within_from,
            overall: specification.indices(n, centre, s, n as f64 - 1.0),
            normality: anderson_darling(&plain),
            percentiles: percentiles(plain, specification),
            tolerance_interval: Interval {
                lower: centre - factor * s,
                upper: centre + factor * s,
                confidence: specification.confidence,
            },
            tolerance_factor: factor,
            tolerance_limit,
            without_measurement: specification
                .standard_uncertainty
                .map(|u| without(u, s, centre, specification))
                .transpose()?,
        })
    }
}

fn without(
    u: f64,
    s: f64,
    mean: f64,
    specification: &Specification,
) -> Result<WithoutMeasurement, StudyError> {
    if u.is_nan() || u < 0.0 {
        return Err(StudyError::Uncertainty);
    }
    let left = s * s - u * u;
    if left <= 0.0 {
        return Err(StudyError::Hidden);
    }
    let left = left.sqrt();
    Ok(WithoutMeasurement {
        standard_uncertainty: u,
        standard_deviation: left,
        pp: specification.width().map(|width| width / (6.0 * left)),
        ppk: specification.nearer(mean) / (3.0 * left),
        share: u * u / (s * s),
    })
}

/// Φ(−3).
const OUTER: f64 = 0.001349898031630094526651814767594977;

/// By interpolation between the values, the i-th of n at (i − 0.5)/n; beyond the outermost nothing is known.
fn percentiles(mut values: Vec<f64>, specification: &Specification) -> Percentiles {
    values.sort_by(f64::total_cmp);
    let n = values.len() as f64;
    // The i-th value stands at (i − 0.5)/n.
    let at = |p: f64| {
        let place = (p * n - 0.5).clamp(0.0, n - 1.0);
        let after = values
            .iter()
            .enumerate()
            .position(|(index, _)| index as f64 > place)
            .unwrap_or(values.len());
        let value = |index: usize| values.get(index).copied();
        let low = value(after.saturating_sub(1)).unwrap_or(f64::NAN);
        let high = value(after).unwrap_or(low);
        low + (high - low) * place.fract()
    };
    let (lower, median, upper) = (at(OUTER), at(0.5), at(1.0 - OUTER));
    let above = specification
        .upper
        .map_or(f64::INFINITY, |limit| (limit - median) / (upper - median));
    let below = specification
        .lower
        .map_or(f64::INFINITY, |limit| (median - limit) / (median - lower));
    Percentiles {
        lower,
        median,
        upper,
        pp: specification.width().map(|width| width / (upper - lower)),
        ppk: above.min(below),
        beyond_values: n * OUTER < 1.0,
    }
}
