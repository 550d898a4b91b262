//! What comes of the calibration of a micrometer.

use super::blocks::{Block, Known};
use super::criterion::{DIN_FLATNESS, Guard, din_parallelism};
use super::curve::{Curve, curve};
use super::error::CalibrationError;
use super::faces::{FormJudged, judge};
use super::job::Calibration;
use super::points::widest_gap;
use crate::decision::Verdict;
use crate::units::{Entered, Length};

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
pub const WIDE_GAP: f64 = 0.4;

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
    let limit =
        |stated: &Option<Entered>, usual: Length| stated.as_ref().map_or(usual, Entered::value);
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
        Guard::Simple => one.simple,
        Guard::Guarded => one.guarded,
    });
    let curve = left.as_ref().unwrap_or(&found).verdict;
    let verdict = faces.fold(curve, worse);
    let notes = notes(
        calibration,
        &found,
        flatness.is_empty() && parallelism.is_none(),
    );
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
    let graded = |block: &Block| matches!(block.known, Known::Grade(_));
    if calibration.blocks.iter().any(graded) {
        notes.push(CalibrationNote::GradeAlone);
    }
    if no_faces {
        notes.push(CalibrationNote::NoFaces);
    }
    notes
}
