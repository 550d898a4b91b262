//! The error curve of a micrometer from readings on gauge blocks, each point with its budget.

use super::blocks::{Block, Stack};
use super::criterion::{
    Criterion, Guard, Judged, Norm, Shape, Uncertain, din_span, inch_limit, judge,
};
use super::error::CalibrationError;
use super::job::{Calibration, Point};
use crate::decision::{DecisionError, Verdict};
use crate::message::Coded;
use crate::uncertainty::{Budget, COVERAGE, Component, Distribution, Line, statistics};
use crate::units::Length;

crate::codes! {
    /// The lines of the budget of one point.
    pub enum CalibrationLine "calibration-line" {
        /// The lengths of the blocks.
        Blocks "blocks",
        /// The films between wrung blocks.
        Films "films",
        /// One step of the display.
        Resolution "resolution",
        /// Repeated readings.
        Repeatability "repeatability",
        /// Micrometer and blocks at different temperatures.
        Apart "apart",
        /// Away from 20 °C, with expansion coefficients that are not quite known.
        Expansion "expansion",
        /// The measuring force on the frame.
        Force "force",
    }
}

/// Expansion of steel, per kelvin, and how far each body may be from it (usual of blocks and screws; from memory).
const STEEL: f64 = 11.5e-6;
const STEEL_WITHIN: f64 = 1e-6;
/// A reading this far from its size, millimetres, is of another size (common practice, no source).
const FAR: f64 = 0.1;

/// One point of the curve, millimetres.
#[derive(Clone, Debug, PartialEq)]
pub struct CurveAt {
    /// Nominal size on the scale.
    pub at: Length,
    /// Indicated less true.
    pub error: f64,
    /// Its standard uncertainty.
    pub standard_uncertainty: f64,
    /// Effective degrees of freedom.
    pub degrees_of_freedom: f64,
    /// Coverage factor for 95 %.
    pub coverage_factor: f64,
    /// Expanded uncertainty.
    pub expanded_uncertainty: f64,
    /// The budget, line by line.
    pub lines: Vec<Line>,
}

/// A curve and what is said of it, millimetres.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    /// By rising size.
    pub points: Vec<CurveAt>,
    /// The largest error less the smallest.
    pub span: Uncertain,
    /// The error that is largest either way.
    pub largest: Uncertain,
    /// Of every criterion that applies, the instrument's own first.
    pub judged: Vec<Judged>,
    /// By the instrument's own criterion.
    pub verdict: Verdict,
}

/// The curve of points that were read.
pub fn curve(calibration: &Calibration, points: &[Point]) -> Result<Curve, CalibrationError> {
    let pooled = repeatability(calibration, points)?;
    let mut all = Vec::new();
    for point in points {
        all.push(at(calibration, point, pooled)?);
    }
    let [from, to] = calibration.range();
    let mut earlier: Option<Length> = None;
    for point in &all {
        if point.at < from || point.at > to {
            return Err(CalibrationError::OutsideRange {
                at: point.at,
                from,
                to,
            });
        }
        if let Some(after) = earlier.filter(|after| point.at <= *after) {
            return Err(CalibrationError::NotRising {
                at: point.at,
                after,
            });
        }
        earlier = Some(point.at);
    }
    if all.len() < FEWEST_POINTS {
        return Err(CalibrationError::TooFewPoints {
            n: all.len(),
            needed: FEWEST_POINTS,
        });
    }
    let (span, largest) = extremes(&all);
    let judged = judged(calibration, span, largest)?;
    let Criterion { guard, .. } = calibration.criterion;
    let own = judged.first();
    let verdict = own.map_or(Verdict::Undecided, |own| own.by(guard));
    Ok(Curve {
        points: all,
        span,
        largest,
        judged,
        verdict,
    })
}

/// Fewer points are no curve (common practice, no source).
const FEWEST_POINTS: usize = 3;

/// Pooled standard deviation of one reading and its degrees of freedom.
#[derive(Clone, Copy)]
struct Pooled {
    deviation: f64,
    degrees_of_freedom: f64,
}

/// Of all points together; of fewer than two readings at each what is stated of earlier series.
fn repeatability(calibration: &Calibration, points: &[Point]) -> Result<Pooled, CalibrationError> {
    let (mut squares, mut degrees_of_freedom) = (0.0, 0.0);
    for point in points {
        let readings = point.millimetres();
        if readings.is_empty() {
            let at = point.nominal();
            return Err(CalibrationError::NoReadings { at });
        }
        if let Some(deviation) = statistics::standard_deviation(&readings) {
            let own = readings.len() as f64 - 1.0;
            squares += own * deviation * deviation;
            degrees_of_freedom += own;
        }
    }
    if degrees_of_freedom > 0.0 {
        return Ok(Pooled {
            deviation: f64::sqrt(squares / degrees_of_freedom),
            degrees_of_freedom,
        });
    }
    let stated = calibration.repeatability.as_ref();
    let stated = stated.ok_or(CalibrationError::NoRepeatability)?;
    Ok(Pooled {
        deviation: stated.standard_deviation.value().mm(),
        degrees_of_freedom: stated.degrees_of_freedom,
    })
}

fn at(
    calibration: &Calibration,
    point: &Point,
    pooled: Pooled,
) -> Result<CurveAt, CalibrationError> {
    let nominal = point.nominal();
    let stack = stack(&calibration.blocks, point)?;
    let readings = point.millimetres();
    let mean = statistics::mean(&readings).ok_or(CalibrationError::NoReadings { at: nominal })?;
    let error = mean - stack.length;
    if error.abs() > FAR {
        return Err(
            one_off(calibration, nominal, &readings, stack.length).unwrap_or(
                CalibrationError::FarOff {
                    at: nominal,
                    by: error,
                },
            ),
        );
    }
    let length = nominal.mm();
    let rectangular = |half_width| Distribution::Rectangular { half_width }.standard_uncertainty();
    let conditions = calibration.conditions;
    let step = calibration.micrometer.resolution.value().mm();
    if step <= 0.0 {
        return Err(CalibrationError::Resolution);
    }
    let of_mean = pooled.deviation / (readings.len() as f64).sqrt();
    // The two coefficients lie within as much of steel each: their difference is a triangle of twice that.
    let coefficients = Distribution::Triangular {
        half_width: 2.0 * STEEL_WITHIN,
    };
    let stiffness = calibration.frame_per_newton();
    let line = |name: CalibrationLine, standard_uncertainty, degrees_of_freedom| Component {
        name: name.key().into(),
        standard_uncertainty,
        sensitivity: 1.0,
        degrees_of_freedom,
    };
    let endless = f64::INFINITY;
    let components = [
        line(CalibrationLine::Blocks, stack.of_blocks, endless),
        line(CalibrationLine::Films, stack.of_films, endless),
        line(
            CalibrationLine::Resolution,
            rectangular(step / 2.0),
            endless,
        ),
        line(
            CalibrationLine::Repeatability,
            of_mean,
            pooled.degrees_of_freedom,
        ),
        line(
            CalibrationLine::Apart,
            rectangular(length * STEEL * conditions.apart),
            endless,
        ),
        line(
            CalibrationLine::Expansion,
            length * conditions.off_reference * coefficients.standard_uncertainty(),
            endless,
        ),
        line(
            CalibrationLine::Force,
            rectangular(stiffness * conditions.force_within),
            endless,
        ),
    ];
    let budget = Budget::of_components(error, &components, &[])?;
    let expanded = budget.expanded(COVERAGE)?;
    Ok(CurveAt {
        at: nominal,
        error,
        standard_uncertainty: budget.standard_uncertainty,
        degrees_of_freedom: budget.degrees_of_freedom,
        coverage_factor: expanded.coverage_factor,
        expanded_uncertainty: expanded.expanded_uncertainty,
        lines: budget.lines,
    })
}

/// The one reading that is far off where the others are not: read a turn of the thimble wrong, or of something else.
fn one_off(
    calibration: &Calibration,
    at: Length,
    readings: &[f64],
    length: f64,
) -> Option<CalibrationError> {
    let off = readings.iter().map(|reading| reading - length).enumerate();
    let far: Vec<(usize, f64)> = off.filter(|(_, by)| by.abs() > FAR).collect();
    let [(index, by)] = far.as_slice() else {
        return None;
    };
    if readings.len() < 2 {
        return None;
    }
    let (n, by) = (index + 1, *by);
    let turn = &calibration.micrometer.turn;
    let turns = by / turn.value().mm();
    let is_turn =
        turns.round().abs() >= 1.0 && (by - turns.round() * turn.value().mm()).abs() < FAR;
    Some(if is_turn {
        let turn = turn.clone();
        CalibrationError::TurnOff { at, n, by, turn }
    } else {
        CalibrationError::OneFarOff { at, n, by }
    })
}

/// The blocks of a point in the set.
fn stack(set: &[Block], point: &Point) -> Result<Stack, CalibrationError> {
    let mut places = Vec::new();
    for block in &point.blocks {
        let length = block.value();
        let place = set
            .iter()
            .position(|known| known.nominal.value() == length)
            .ok_or(CalibrationError::NoBlock { block: length })?;
        if places.contains(&place) {
            return Err(CalibrationError::BlockTwice { block: length });
        }
        if set
            .get(place)
            .is_none_or(|block| block.standard_uncertainty().is_none())
        {
            return Err(CalibrationError::NoGradeLimit { block: length });
        }
        places.push(place);
    }
    let at = point.nominal();
    Stack::of(set, places).ok_or(CalibrationError::NoReadings { at })
}

/// The span, and the error that is largest either way.
///
/// The two ends of a span have much in common, above all the uncertainty of the blocks; taking them as independent is
/// cautious.
fn extremes(points: &[CurveAt]) -> (Uncertain, Uncertain) {
    let of = |point: Option<&CurveAt>| {
        point.map_or((0.0, 0.0, f64::INFINITY), |point| {
            (
                point.error,
                point.standard_uncertainty,
                point.degrees_of_freedom,
            )
        })
    };
    let by = |one: &&CurveAt, other: &&CurveAt| one.error.total_cmp(&other.error);
    let (most, u_most, df_most) = of(points.iter().max_by(by));
    let (least, u_least, df_least) = of(points.iter().min_by(by));
    let span = Uncertain {
        value: most - least,
        standard_uncertainty: libm::hypot(u_most, u_least),
        degrees_of_freedom: df_most.min(df_least).floor(),
    };
    let far = |one: &&CurveAt, other: &&CurveAt| one.error.abs().total_cmp(&other.error.abs());
    let (value, standard_uncertainty, df) = of(points.iter().max_by(far));
    let largest = Uncertain {
        value,
        standard_uncertainty,
        degrees_of_freedom: df.floor(),
    };
    (span, largest)
}

/// What the criterion of the instrument says of the curve, and what others would.
fn judged(
    calibration: &Calibration,
    span: Uncertain,
    largest: Uncertain,
) -> Result<Vec<Judged>, DecisionError> {
    let of = |shape| match shape {
        Shape::Span => span,
        Shape::EitherWay => largest,
    };
    let criterion = &calibration.criterion;
    let mut all = vec![judge(
        Norm::Own,
        criterion.shape,
        criterion.limit.value(),
        of(criterion.shape),
    )?];
    let [lower, upper] = calibration.range();
    let others = [
        (Norm::Din863, Shape::Span, din_span(lower)),
        (Norm::AsmeB89, Shape::EitherWay, inch_limit(upper)),
    ];
    for (norm, shape, limit) in others {
        if let Some(limit) = limit {
            all.push(judge(norm, shape, limit, of(shape))?);
        }
    }
    Ok(all)
}

/// The code of a budget line, for its words.
pub fn line_code(line: &Line) -> Option<std::borrow::Cow<'static, str>> {
    CalibrationLine::of(&line.name).map(|line| line.code())
}

impl Curve {
    /// What the verdict would be by another guard.
    pub fn by(&self, guard: Guard) -> Verdict {
        let own = self.judged.first();
        own.map_or(Verdict::Undecided, |own| own.by(guard))
    }
}
