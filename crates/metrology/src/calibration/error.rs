//! Why there is no calibration.

use crate::decision::DecisionError;
use crate::uncertainty::{BudgetError, CoverageError};
use crate::units::{Entered, Length};

crate::messages! {
    /// Why there is no calibration.
    pub enum CalibrationError "calibration" {
        /// Fewer points than a curve has.
        TooFewPoints "too-few-points" { n: usize as count, needed: usize as count },
        /// A point outside the range of the instrument.
        OutsideRange "outside-range" { at: Length as bound, from: Length as bound, to: Length as bound },
        /// Points that do not rise.
        NotRising "not-rising" { at: Length as bound, after: Length as bound },
        /// A block that the set does not have.
        NoBlock "no-block" { block: Length as bound },
        /// One block twice in a stack.
        BlockTwice "block-twice" { block: Length as bound },
        /// A block too long for the limits of its grade.
        NoGradeLimit "no-grade-limit" { block: Length as bound },
        /// A point that was not read.
        NoReadings "no-readings" { at: Length as bound },
        /// No step of the display.
        Resolution "resolution",
        /// Points left do not cover what was found.
        NotCovered "not-covered" { from: Length as bound, to: Length as bound },
        /// Nothing was read twice, and nothing is known of earlier repeats.
        NoRepeatability "no-repeatability",
        /// Readings so far from their size that something else was measured.
        FarOff "far-off" { at: Length as bound, by: f64 as Difference },
        /// One reading, by its place in the row, that lies turns of the thimble off the others.
        TurnOff "turn-off" { at: Length as bound, n: usize as count, by: f64 as Difference, turn: Entered as Entered },
        /// One reading so far off the others that something else was read.
        OneFarOff "one-far-off" { at: Length as bound, n: usize as count, by: f64 as Difference },
        /// Two plugs of one pitch.
        OnePitch "one-pitch",
        /// A plug that was not read.
        PlugUnread "plug-unread" { plug: String as Text },
        /// What the decision rule refuses.
        Decision "decision" { why: DecisionError as said },
        /// What the budget refuses.
        Budget "budget" { why: BudgetError as said },
        /// What the coverage refuses.
        Coverage "coverage" { why: CoverageError as said },
    }
}

impl From<DecisionError> for CalibrationError {
    fn from(why: DecisionError) -> Self {
        Self::Decision { why }
    }
}

impl From<BudgetError> for CalibrationError {
    fn from(why: BudgetError) -> Self {
        Self::Budget { why }
    }
}

impl From<CoverageError> for CalibrationError {
    fn from(why: CoverageError) -> Self {
        Self::Coverage { why }
    }
}
