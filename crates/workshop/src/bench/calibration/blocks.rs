//! A micrometer on gauge blocks: the set, and the points with their stacks.

use std::sync::OnceLock;

use jiff::civil::Date;
use metrology::calibration::{
    Calibration, Faces, Micrometer, Point, Stack, propose, usual_points, widest_gap,
};
use metrology::inspection::Instrument;
use metrology::units::{Entered, Length, LengthUnit};

use super::told;
use super::{Ask, Calibrating, READINGS};
use crate::event::BlockSet;
use crate::gauge_room::calibration::{USUAL, usual_turn};

/// A micrometer on gauge blocks.
#[derive(Clone, Debug)]
pub struct OnBlocks {
    pub instrument: Instrument,
    pub set: Option<BlockSet>,
    /// Points with the blocks to wring, from when they were stated.
    pub points: Vec<(Length, Stack)>,
    pub(super) usual: OnceLock<(Vec<(Length, Stack)>, usize)>,
    /// How many readings are as found, once something was adjusted.
    pub found: Option<usize>,
}

impl OnBlocks {
    pub fn of(instrument: Instrument) -> Self {
        Self {
            instrument,
            set: None,
            points: Vec::new(),
            usual: OnceLock::new(),
            found: None,
        }
    }

    /// With these blocks.
    pub fn choose(&mut self, set: BlockSet) {
        self.set = Some(set);
        self.usual = OnceLock::new();
    }

    /// At these points, as far as the blocks make them.
    pub fn plan(&mut self, sizes: &[Entered]) {
        let points = sizes.iter().filter_map(|at| {
            let at = at.value();
            Some((at, self.stack(at)?))
        });
        self.points = points.collect();
    }

    pub fn unit(&self) -> LengthUnit {
        let [from, _] = &self.instrument.range;
        from.unit().of_drawing()
    }

    pub fn range(&self) -> [Length; 2] {
        self.instrument.range.each_ref().map(Entered::value)
    }

    /// The stack that makes a size with the chosen blocks: none of the faces closed on each other.
    pub fn stack(&self, at: Length) -> Option<Stack> {
        let blocks = self.set.as_ref().map_or(&[][..], |set| &set.blocks);
        if at == Length::ZERO {
            Stack::of(blocks, Vec::new())
        } else {
            propose(blocks, at)
        }
    }

    /// The usual points that the chosen blocks make, with their stacks, and how many they do not. Looked for once: a large set
    /// has many stacks.
    pub fn usual(&self) -> &(Vec<(Length, Stack)>, usize) {
        self.usual.get_or_init(|| {
            let all = usual_points(self.range(), self.unit());
            let n = all.len();
            let made = all.into_iter().filter_map(|at| Some((at, self.stack(at)?)));
            let made: Vec<(Length, Stack)> = made.collect();
            let left_out = n - made.len();
            (made, left_out)
        })
    }

    /// The widest part of a thimble turn without a point.
    pub fn gap(&self) -> f64 {
        let points: Vec<Length> = self.points.iter().map(|(at, _)| *at).collect();
        widest_gap(&points, usual_turn(self.unit()).value())
    }

    fn blocks_of(&self, stack: &Stack) -> Vec<Entered> {
        let blocks = self.set.as_ref().map_or(&[][..], |set| &set.blocks);
        let nominal = |index: &usize| Some(blocks.get(*index)?.nominal.clone());
        stack.blocks.iter().filter_map(nominal).collect()
    }

    /// The calibration with these readings, on that day; `resolution` where the register does not say it. None before all of it
    /// is answered.
    pub fn worked(
        &self,
        calibrating: &Calibrating,
        readings: &[Entered],
        on: Date,
        resolution: Entered,
    ) -> Option<Calibration> {
        let instrument = &self.instrument;
        let ends = self.found.unwrap_or(readings.len()).min(readings.len());
        let (found, left) = readings.split_at(ends);
        let points = |readings: &[Entered]| -> Vec<Point> {
            let each = readings.chunks(READINGS).zip(&self.points);
            each.map(|(readings, (_, stack))| Point {
                blocks: self.blocks_of(stack),
                readings: readings.to_vec(),
            })
            .collect()
        };
        Some(Calibration {
            micrometer: Micrometer {
                id: instrument.id.trim().to_owned(),
                range: instrument.range.clone(),
                resolution: instrument.resolution.clone().unwrap_or(resolution),
                turn: usual_turn(self.unit()),
                frame_per_ten_newtons: None,
            },
            on,
            criterion: calibrating.told(Ask::Criterion, told::criterion)?,
            blocks: self.set.as_ref()?.blocks.clone(),
            found: points(found),
            left: points(left),
            repeatability: None,
            conditions: calibrating
                .told(Ask::Temperature, |text, _| told::temperature(text))
                .unwrap_or(USUAL),
            faces: Faces {
                flatness: calibrating
                    .told(Ask::Flatness, told::flatness)
                    .unwrap_or_default(),
                parallelism: calibrating
                    .told(Ask::Parallelism, told::parallelism)
                    .flatten(),
                ..Faces::default()
            },
        })
    }
}
