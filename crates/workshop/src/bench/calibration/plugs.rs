//! A pair of thread contacts on two plugs: the micrometer that it is in, and the plugs with their pitches.

use std::collections::BTreeMap;

use metrology::calibration::{PairCheck, Plug};
use metrology::inspection::{Contacts, Instrument, Standard};
use metrology::units::Entered;

use super::told_of_pair as told;
use super::{Ask, Calibrating, READINGS};

/// The questions of each plug and of its pitch.
pub const PLUGS: [(Ask, Ask); 2] = [
    (Ask::FirstPlug, Ask::FirstPitch),
    (Ask::SecondPlug, Ask::SecondPitch),
];

/// A pair of thread contacts on two plugs.
#[derive(Clone, Debug)]
pub struct OnPlugs {
    pub contacts: Contacts,
    /// The micrometer that it is in.
    pub instrument: Option<Instrument>,
    /// The pitches of plugs as earlier checks had them, by the identities of the plugs.
    pub pitches: BTreeMap<String, String>,
    plugs: [Option<Standard>; 2],
}

impl OnPlugs {
    pub const fn of(contacts: Contacts, pitches: BTreeMap<String, String>) -> Self {
        Self {
            contacts,
            instrument: None,
            pitches,
            plugs: [None, None],
        }
    }

    /// The plug that answers a question.
    pub fn plug(&self, ask: Ask) -> Option<&Standard> {
        let at = PLUGS.iter().position(|(plug, _)| *plug == ask)?;
        self.plugs.get(at)?.as_ref()
    }

    /// Both plugs, as far as they are chosen.
    pub const fn plugs(&self) -> &[Option<Standard>; 2] {
        &self.plugs
    }

    /// With this plug.
    pub fn choose(&mut self, ask: Option<Ask>, chosen: &Standard) {
        let at = PLUGS.iter().position(|(plug, _)| Some(*plug) == ask);
        if let Some(plug) = at.and_then(|at| self.plugs.get_mut(at)) {
            *plug = Some(chosen.clone());
        }
    }

    /// The certificates of the plugs. Where one has none, those of the other do not show how the difference is traced.
    pub fn chain(&self) -> Vec<String> {
        let mut numbers = Vec::new();
        for plug in &self.plugs {
            let number = plug.as_ref().and_then(|plug| plug.certificate.as_deref());
            match number.map(str::trim).filter(|number| !number.is_empty()) {
                Some(number) if numbers.iter().any(|known| known == number) => {}
                Some(number) => numbers.push(number.to_owned()),
                None => return Vec::new(),
            }
        }
        numbers
    }

    /// The check with these readings; `resolution` where the register does not say it. None before all of it is answered.
    pub fn worked(
        &self,
        calibrating: &Calibrating,
        readings: &[Entered],
        resolution: Entered,
    ) -> Option<PairCheck> {
        let instrument = self.instrument.as_ref()?;
        let (limit, guard) = calibrating.told(Ask::Limit, told::limit)?;
        let mut readings = readings.chunks(READINGS);
        let mut plug = |(ask, pitch): (Ask, Ask)| {
            let standard = self.plug(ask)?;
            Some(Plug {
                id: standard.id.trim().to_owned(),
                pitch: calibrating.pitch(pitch)?,
                size: standard.size.clone(),
                expanded_uncertainty: standard.expanded_uncertainty.clone(),
                coverage_factor: standard.coverage_factor,
                readings: readings.next().unwrap_or_default().to_vec(),
            })
        };
        let [first, second] = PLUGS;
        Some(PairCheck {
            contacts: self.contacts.id.trim().to_owned(),
            instrument: instrument.id.trim().to_owned(),
            resolution: instrument.resolution.clone().unwrap_or(resolution),
            limit,
            guard,
            plugs: [plug(first)?, plug(second)?],
        })
    }
}

#[cfg(test)]
mod tests;
