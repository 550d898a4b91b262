//! A calibration as it stands: what is calibrated and on what, and the answers. What the two have alone stands with each:
//! [`blocks`] of a micrometer, [`plugs`] of a pair of thread contacts.

use std::collections::BTreeMap;

use jiff::civil::Date;
use metrology::units::{Entered, LengthUnit};

use super::refusal::Refusal;

pub mod blocks;
pub mod plugs;
pub mod told;
pub mod told_of_pair;

pub use blocks::OnBlocks;
pub use plugs::OnPlugs;

/// Readings at each point, and on each plug (common practice, no source).
pub const READINGS: usize = 3;
/// The fewest points that the readings may be ended with: as many as the calculation takes.
pub const FEWEST_POINTS: usize = 3;

metrology::codes! {
    /// What a calibration asks beside its readings.
    pub enum Ask "calibration-ask" {
        Blocks "blocks",
        /// The plugs of a pair, and the pitch of each.
        FirstPlug "first-plug",
        FirstPitch "first-pitch",
        SecondPlug "second-plug",
        SecondPitch "second-pitch",
        /// What decides whether it is good.
        Criterion "criterion",
        /// The same of a pair: how far the errors on the two plugs may lie apart.
        Limit "limit",
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

/// In the order in which it is asked.
const OF_MICROMETER: &[Ask] = &[
    Ask::Blocks,
    Ask::Criterion,
    Ask::Number,
    Ask::Issuer,
    Ask::Procedure,
    Ask::Temperature,
    Ask::Points,
    Ask::Flatness,
    Ask::Parallelism,
    Ask::Adjusted,
    Ask::Due,
];
const OF_PAIR: &[Ask] = &[
    Ask::FirstPlug,
    Ask::FirstPitch,
    Ask::SecondPlug,
    Ask::SecondPitch,
    Ask::Limit,
    Ask::Number,
    Ask::Issuer,
    Ask::Procedure,
    Ask::Due,
];

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
    pub of: On,
    /// Lines that Enter takes, by the keys of what is asked.
    pub offers: BTreeMap<String, String>,
    pub(super) answers: BTreeMap<String, String>,
}

/// What is calibrated, and on what.
#[derive(Clone, Debug)]
pub enum On {
    /// A micrometer on gauge blocks.
    Blocks(Box<OnBlocks>),
    /// A pair of thread contacts on two plugs.
    Plugs(Box<OnPlugs>),
}

impl Calibrating {
    /// The identity of what is calibrated.
    pub fn id(&self) -> &str {
        match &self.of {
            On::Blocks(on) => &on.instrument.id,
            On::Plugs(on) => &on.contacts.id,
        }
    }

    /// All that is asked, in its order.
    pub const fn asks(&self) -> &'static [Ask] {
        match &self.of {
            On::Blocks(_) => OF_MICROMETER,
            On::Plugs(_) => OF_PAIR,
        }
    }

    /// What was answered.
    pub fn answer(&self, ask: Ask) -> Option<&str> {
        self.answers.get(ask.key()).map(String::as_str)
    }

    /// The pitch of a plug that was stated.
    pub fn pitch(&self, ask: Ask) -> Option<Entered> {
        self.told(ask, told_of_pair::pitch)
    }

    /// Whether something is still to be answered.
    pub(super) fn is_open(&self, ask: Ask) -> bool {
        match (&self.of, ask) {
            (On::Blocks(on), Ask::Blocks) => on.set.is_none(),
            (On::Plugs(on), Ask::FirstPlug | Ask::SecondPlug) => on.plug(ask).is_none(),
            _ => self.answer(ask).is_none(),
        }
    }

    /// What the micrometer counts in.
    pub fn unit(&self) -> LengthUnit {
        let instrument = match &self.of {
            On::Blocks(on) => Some(&on.instrument),
            On::Plugs(on) => on.instrument.as_ref(),
        };
        let range = instrument.map(|instrument| &instrument.range);
        range.map_or(LengthUnit::Millimetre, |[from, _]| from.unit().of_drawing())
    }

    /// How many readings are as found, once something was adjusted.
    pub const fn found(&self) -> Option<usize> {
        match &self.of {
            On::Blocks(on) => on.found,
            On::Plugs(_) => None,
        }
    }

    /// At which point or on which plug a reading is, and which reading there, counted from 0.
    pub const fn place(&self, index: usize) -> (usize, usize) {
        let index = match self.found() {
            Some(found) if index >= found => index - found,
            _ => index,
        };
        (index / READINGS, index % READINGS)
    }

    pub(super) fn take(&mut self, asked: &str, answer: &str) {
        self.answers.insert(asked.to_owned(), answer.to_owned());
    }

    pub(super) fn told<T>(
        &self,
        ask: Ask,
        read: impl Fn(&str, LengthUnit) -> Result<T, Refusal>,
    ) -> Option<T> {
        read(self.answer(ask)?, self.unit()).ok()
    }

    /// When it came in, where that was stated at the signature.
    pub fn received(&self) -> Option<Date> {
        self.answers.get(told::RECEIVED)?.parse().ok()
    }

    /// In what condition it was then.
    pub fn condition(&self) -> Option<&str> {
        let stated = self.answers.get(told::CONDITION)?.as_str();
        Some(stated).filter(|stated| !stated.is_empty())
    }
}
