//! The calibration of a micrometer: what it starts from, and what comes of it.

use jiff::civil::Date;

use super::blocks::Block;
use super::criterion::{Criterion, DIN_FLATNESS, din_parallelism};
use super::curve::{Curve, curve};
use super::error::CalibrationError;
use super::faces::{FormFound, FormJudged, judge};
use super::points::widest_gap;
use crate::decision::Verdict;
use crate::units::{Entered, Length, LengthUnit};

/// The micrometer that is calibrated.
#[derive(Clone, Debug, PartialEq)]
pub struct Micrometer {
    /// Identity.
    pub id: String,
    /// Smallest and largest reading.
    pub range: [Entered; 2],
    /// One step of the display.
    pub resolution: Entered,
    /// What one turn of the thimble moves the spindle by.
    pub turn: Entered,
    /// How much the frame gives under 10 N.
    pub frame_per_ten_newtons: Option<Entered>,
}

/// A point that was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Point {
    /// Nominal lengths of the blocks that were wrung; none where the faces were closed on each other.
    pub blocks: Vec<Entered>,
    /// Readings.
    pub readings: Vec<Entered>,
}

impl Point {
    /// Where on the scale.
    pub fn nominal(&self) -> Length {
        let sum = self.blocks.iter().map(|block| block.value());
        sum.fold(Length::ZERO, |sum, length| sum + length)
    }

    /// Its readings, millimetres.
    pub fn millimetres(&self) -> Vec<f64> {
        let readings = self.readings.iter();
        readings.map(|reading| reading.value().mm()).collect()
    }
}

/// In what room, and with what hand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conditions {
    /// How far from 20 °C at most, kelvins.
    pub off_reference: f64,
    /// How far micrometer and blocks may be apart, kelvins.
    pub apart: f64,
    /// How far the measuring force may vary either way, newtons.
    pub force_within: f64,
}

/// What is known of the scatter of one reading from earlier series.
#[derive(Clone, Debug, PartialEq)]
pub struct Earlier {
    /// Standard deviation of one reading.
    pub standard_deviation: Entered,
    /// Its degrees of freedom.
    pub degrees_of_freedom: f64,
}

/// What was found of the faces, and what they must keep; without a limit that of DIN 863-1.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Faces {
    /// Flatness of each.
    pub flatness: Vec<FormFound>,
    /// How flat they must be.
    pub flatness_limit: Option<Entered>,
    /// How parallel they are.
    pub parallelism: Option<FormFound>,
    /// How parallel they must be.
    pub parallelism_limit: Option<Entered>,
}

/// A calibration as it was done.
#[derive(Clone, Debug, PartialEq)]
pub struct Calibration {
    /// What was calibrated.
    pub micrometer: Micrometer,
    /// On which day.
    pub on: Date,
    /// What it must keep.
    pub criterion: Criterion,
    /// The gauge blocks that were used.
    pub blocks: Vec<Block>,
    /// Points before anything was adjusted.
    pub found: Vec<Point>,
    /// Points after; none where nothing was adjusted.
    pub left: Vec<Point>,
    /// From earlier series, where no point was read twice.
    pub repeatability: Option<Earlier>,
    /// Room and hand.
    pub conditions: Conditions,
    /// The faces.
    pub faces: Faces,
}

/// Give of a frame under 10 N where nobody states it, micrometres, up to a range of 50 and of 100 mm, and above for every 25 mm of
/// it (DIN 863-1 by a public reprint, its rows or a little more).
const FRAME: [(f64, f64); 2] = [(50.0, 2.0), (100.0, 3.0)];

impl Calibration {
    /// Smallest and largest reading.
    pub fn range(&self) -> [Length; 2] {
        self.micrometer.range.each_ref().map(Entered::value)
    }

    /// The unit of the instrument.
    pub fn unit(&self) -> LengthUnit {
        let [_, to] = &self.micrometer.range;
        to.unit().of_drawing()
    }

    /// What the frame gives for every newton, millimetres.
    pub fn frame_per_newton(&self) -> f64 {
        let stated = self.micrometer.frame_per_ten_newtons.as_ref();
        let ten = stated.map_or_else(
            || {
                let [_, upper] = self.range();
                let row = FRAME.iter().find(|(upto, _)| upper.mm() <= *upto);
                row.map_or_else(|| (upper.mm() / 25.0).floor(), |(_, um)| *um) / 1000.0
            },
            |stated| stated.value().mm(),
        );
        ten / 10.0
    }
}

crate::messages! {
    /// What should be known of a calibration.
    pub enum CalibrationNote "calibration-note" {
        /// All points on whole turns of the thimble: the error that comes back with every turn shows in none.
        WholeTurns "whole-turns" { turn: Entered as Entered },
        /// A wide part of the turn without a point.
        WideGap "wide-gap" { gap: f64 as Share, turn: Entered as Entered },
        /// The points end before the range does.
        RangeNotCovered "range-not-covered" { from: Length as bound, to: Length as bound, first: Length as bound, last: Length as bound },
        /// It did not keep its criterion as found: past work is in doubt.
        FoundOut "found-out" { largest: f64 as Shift },
        /// Blocks known by their grade alone.
        GradeAlone "grade-alone",
        /// The faces were not looked at.
        NoFaces "no-faces",
    }
}

/// What came of a calibration.
#[derive(Clone, Debug, PartialEq)]
pub struct Calibrated {
    /// The curve before anything was adjusted.
    pub found: Curve,
    /// The curve after, where something was.
    pub left: Option<Curve>,
    /// Flatness of each face that was looked at.
    pub flatness: Vec<FormJudged>,
    /// Parallelism.
    pub parallelism: Option<FormJudged>,
    /// Of the state in which it goes on: the worst of curve and faces.
    pub verdict: Verdict,
    /// What should be known.
    pub notes: Vec<CalibrationNote>,
}

impl Calibrated {
    /// The curve with which it goes on.
    pub fn goes_on_with(&self) -> &Curve {
        self.left.as_ref().unwrap_or(&self.found)
    }
}

/// More of a turn than this without a point is told (common practice, no source: the usual points leave a fifth).
const WIDE_GAP: f64 = 0.4;

/// Works a calibration out.
pub fn calibrate(calibration: &Calibration) -> Result<Calibrated, CalibrationError> {
    let found = curve(calibration, &calibration.found)?;
    let left = (!calibration.left.is_empty())
        .then(|| curve(calibration, &calibration.left))
        .transpose()?;
    if let Some(left) = &left {
        covers(&found, left)?;
    }
    let step = calibration.micrometer.resolution.value();
    let [lower, _] = calibration.range();
    let faces = &calibration.faces;
    let limit = |stated: &Option<Entered>, usual: Length| {
        stated.as_ref().map_or(usual, Entered::value)
    };
    let flat = limit(&faces.flatness_limit, DIN_FLATNESS);
    let parallel = limit(
        &faces.parallelism_limit,
        din_parallelism(lower).unwrap_or(Length::from_micrometres(4)),
    );
    let flatness = faces.flatness.iter();
    let flatness = flatness
        .map(|found| judge(found, step, flat))
        .collect::<Result<Vec<_>, _>>()?;
    let parallelism = faces.parallelism.as_ref();
    let parallelism = parallelism
        .map(|found| judge(found, step, parallel))
        .transpose()?;
    let guard = calibration.criterion.guard;
    let faces = flatness.iter().chain(&parallelism).map(|one| match guard {
        super::Guard::Simple => one.simple,
        super::Guard::Guarded => one.guarded,
    });
    let curve = left.as_ref().unwrap_or(&found).verdict;
    let verdict = faces.fold(curve, worse);
    let notes = notes(calibration, &found, flatness.is_empty() && parallelism.is_none());
    Ok(Calibrated {
        found,
        left,
        flatness,
        parallelism,
        verdict,
        notes,
    })
}

/// What was adjusted is read again over all that it was found at.
fn covers(found: &Curve, left: &Curve) -> Result<(), CalibrationError> {
    let ends = |curve: &Curve| {
        let first = curve.points.first().map(|point| point.at);
        first.zip(curve.points.last().map(|point| point.at))
    };
    match (ends(found), ends(left)) {
        (Some((from, to)), Some((first, last))) if first > from || last < to => {
            Err(CalibrationError::NotCovered { from, to })
        }
        _ => Ok(()),
    }
}

/// The worse of two verdicts.
fn worse(one: Verdict, other: Verdict) -> Verdict {
    let rank = |verdict: Verdict| Verdict::ALL.iter().position(|known| *known == verdict);
    if rank(other) > rank(one) { other } else { one }
}

fn notes(calibration: &Calibration, found: &Curve, no_faces: bool) -> Vec<CalibrationNote> {
    let mut notes = Vec::new();
    let at: Vec<Length> = found.points.iter().map(|point| point.at).collect();
    let turn = &calibration.micrometer.turn;
    let gap = widest_gap(&at, turn.value());
    if gap >= 1.0 {
        notes.push(CalibrationNote::WholeTurns { turn: turn.clone() });
    } else if gap > WIDE_GAP {
        let turn = turn.clone();
        notes.push(CalibrationNote::WideGap { gap, turn });
    }
    let [from, to] = calibration.range();
    if let (Some(&first), Some(&last)) = (at.first(), at.last())
        && (first > from || last < to)
    {
        notes.push(CalibrationNote::RangeNotCovered {
            from,
            to,
            first,
            last,
        });
    }
    if found.verdict != Verdict::Accept {
        let largest = found.largest.value;
        notes.push(CalibrationNote::FoundOut { largest });
    }
    let graded = |block: &Block| matches!(block.known, super::Known::Grade(_));
    if calibration.blocks.iter().any(graded) {
        notes.push(CalibrationNote::GradeAlone);
    }
    if no_faces {
        notes.push(CalibrationNote::NoFaces);
    }
    notes
}
