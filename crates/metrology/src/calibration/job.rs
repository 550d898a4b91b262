//! What the calibration of a micrometer starts from.

use jiff::civil::Date;

use super::blocks::Block;
use super::criterion::Criterion;
use super::faces::FormFound;
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
        let sum = self.blocks.iter().map(Entered::value);
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
