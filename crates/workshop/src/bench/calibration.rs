//! A calibration of a micrometer as it stands: gauge blocks, answers, and the points with their stacks.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use jiff::civil::Date;
use metrology::calibration::{
    Conditions, Criterion, Faces, Stack, propose, usual_points, widest_gap,
};
use metrology::units::{Entered, Length, LengthUnit};

use super::event::{BlockSet, OfCalibration};
use super::refusal::Refusal;
use crate::gauge_room::calibration::{USUAL, usual_turn};

pub mod told;

/// Readings at each point (common practice, no source).
pub const READINGS: usize = 3;
/// The fewest points that the readings may be ended with: as many as the calculation takes.
pub const FEWEST_POINTS: usize = 3;

metrology::codes! {
    /// What a calibration asks beside its readings, in its order.
    pub enum Ask "calibration-ask" {
        Blocks "blocks",
        /// What decides whether it is good.
        Criterion "criterion",
        /// Of the certificate.
        Number "number",
        Issuer "issuer",
        Procedure "procedure",
        /// How far temperatures are off, kelvins.
        Temperature "temperature",
        Points "points",
        Flatness "flatness",
        Parallelism "parallelism",
        /// Whether something was adjusted, so that it is measured again.
        Adjusted "adjusted",
        /// When it is due again.
        Due "due",
    }
}

impl Ask {
    /// Whether it is asked after the readings.
    pub const fn follows_readings(self) -> bool {
        matches!(
            self,
            Self::Flatness | Self::Parallelism | Self::Adjusted | Self::Due
        )
    }
}

/// A calibration as it stands.
#[derive(Clone, Debug)]
pub struct Calibrating {
    pub of: OfCalibration,
    pub set: Option<BlockSet>,
    pub(super) answers: BTreeMap<String, String>,
    /// Points with the blocks to wring, from when they were stated.
    pub points: Vec<(Length, Stack)>,
    pub(super) usual: OnceLock<(Vec<(Length, Stack)>, usize)>,
    /// How many readings are as found, once something was adjusted.
    pub found: Option<usize>,
}

impl Calibrating {
    /// What was answered.
    pub fn answer(&self, ask: Ask) -> Option<&str> {
        self.answers.get(ask.key()).map(String::as_str)
    }

    /// What the micrometer counts in.
    pub fn unit(&self) -> LengthUnit {
        let [from, _] = &self.of.instrument.range;
        from.unit().of_drawing()
    }

    pub fn range(&self) -> [Length; 2] {
        self.of.instrument.range.each_ref().map(Entered::value)
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

    /// Which point a reading is at, and which reading of that point, counted from 0.
    pub fn place(&self, index: usize) -> (usize, usize) {
        let index = match self.found {
            Some(found) if index >= found => index - found,
            _ => index,
        };
        (index / READINGS, index % READINGS)
    }

    pub(super) fn take(&mut self, asked: &str, answer: &str) {
        self.answers.insert(asked.to_owned(), answer.to_owned());
    }

    pub(super) fn blocks_of(&self, stack: &Stack) -> Vec<Entered> {
        let blocks = self.set.as_ref().map_or(&[][..], |set| &set.blocks);
        let nominal = |index: &usize| Some(blocks.get(*index)?.nominal.clone());
        stack.blocks.iter().filter_map(nominal).collect()
    }

    pub(super) fn told<T>(
        &self,
        ask: Ask,
        read: impl Fn(&str, LengthUnit) -> Result<T, Refusal>,
    ) -> Option<T> {
        read(self.answer(ask)?, self.unit()).ok()
    }

    /// When the micrometer came in, where that was stated at the signature.
    pub fn received(&self) -> Option<Date> {
        self.answers.get(told::RECEIVED)?.parse().ok()
    }

    /// In what condition it was then.
    pub fn condition(&self) -> Option<&str> {
        let stated = self.answers.get(told::CONDITION)?.as_str();
        Some(stated).filter(|stated| !stated.is_empty())
    }

    /// The criterion that was stated.
    pub fn criterion(&self) -> Option<Criterion> {
        self.told(Ask::Criterion, told::criterion)
    }

    pub(super) fn conditions(&self) -> Conditions {
        self.told(Ask::Temperature, |text, _| told::temperature(text))
            .unwrap_or(USUAL)
    }

    pub(super) fn faces(&self) -> Faces {
        Faces {
            flatness: self.told(Ask::Flatness, told::flatness).unwrap_or_default(),
            parallelism: self.told(Ask::Parallelism, told::parallelism).flatten(),
            ..Faces::default()
        }
    }
}
