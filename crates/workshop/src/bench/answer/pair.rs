//! What a line does at the questions that the check of a pair on plugs has alone: the micrometer that the pair is in, the plugs,
//! and the pitch of each.

use metrology::inspection::{Standard, StandardForm};
use metrology::units::{Entered, Length};

use super::calibration::answered;
use super::{Answer, Table, one};
use crate::bench::calibrating::{MICROMETER, refused, unfit_for_pair};
use crate::bench::calibration::plugs::PLUGS;
use crate::bench::calibration::told::Wanted;
use crate::bench::calibration::{Ask, Calibrating, On, OnPlugs, told_of_pair};
use crate::bench::event::Event;
use crate::bench::refusal::{Refusal, Refused};
use crate::error::Why;
use crate::gauge_room::held_against::is_outside;
use crate::register::{Registered, marked_pitches};

/// A thread plug to choose from, and why not, where not.
pub struct PlugChoice<'a> {
    pub piece: &'a Registered,
    pub plug: &'a Standard,
    pub unfit: Option<Why>,
}

impl<'a> Table<'a> {
    /// The check of a pair, where the job is one.
    fn on_plugs(&self) -> Option<&'a OnPlugs> {
        match &self.state.calibrating()?.of {
            On::Plugs(on) => Some(on),
            On::Blocks(_) => None,
        }
    }

    /// Whether the pair was in this micrometer at its last check.
    pub(super) fn was_in(&self, piece: &Registered) -> bool {
        let calibrating = self.state.calibrating();
        let before = calibrating.and_then(|one| one.offers.get(MICROMETER));
        before.is_some_and(|before| before.trim() == piece.equipment.id().trim())
    }

    /// The registered thread plugs, those that may be taken first.
    pub fn plugs(&self) -> Vec<PlugChoice<'a>> {
        let Some(on) = self.on_plugs() else {
            return Vec::new();
        };
        let plugs = self.register.standards();
        let plugs = plugs.filter(|(_, plug)| plug.form == StandardForm::ThreadPlug);
        let mut all: Vec<PlugChoice> = plugs
            .map(|(piece, plug)| PlugChoice {
                piece,
                plug,
                unfit: unfit_for_pair(piece, self.register, self.today)
                    .or_else(|| taken(on, plug).or_else(|| too_large(on, plug)).map(Why::of)),
            })
            .collect();
        all.sort_by_key(|one| one.unfit.is_some());
        all
    }

    /// A plug, alone or with its pitch: `plug-10x1.5`, `2 1.5`, `plug-24 24 tpi`.
    pub(super) fn plug(
        &self,
        calibrating: &Calibrating,
        ask: Ask,
        line: &str,
    ) -> Result<Answer, Refusal> {
        let all = self.plugs();
        let Some((chosen, rest)) = named(line, &all) else {
            return Err(self.no_plug(line, &all));
        };
        let Some(PlugChoice { plug, unfit, .. }) = all.get(chosen) else {
            return Err(self.no_plug(line, &all));
        };
        if let Some(why) = unfit {
            return Err(refused(&plug.id, why));
        }
        let event = Event::Plug {
            asked: ask.key().to_owned(),
            plug: (*plug).clone(),
        };
        if rest.is_empty() {
            return Ok(one(event));
        }
        let pitch = PLUGS.iter().find(|(plug, _)| *plug == ask);
        let (_, pitch) = pitch.ok_or_else(|| Refusal::new(Refused::NotComplete))?;
        self.pitch(calibrating, *pitch, rest)?;
        Ok(Answer::Events(vec![
            event,
            answered(*pitch, rest.to_owned()),
        ]))
    }

    fn no_plug(&self, line: &str, all: &[PlugChoice]) -> Refusal {
        let id = line.split_whitespace().next().unwrap_or_default();
        let other = self
            .register
            .standards()
            .find(|(_, other)| other.id.trim().eq_ignore_ascii_case(id));
        if let Some((_, other)) = other {
            return Refusal::new(Wanted::OtherForm {
                id: other.id.clone(),
                form: other.form,
            });
        }
        let fit = all.iter().filter(|one| one.unfit.is_none());
        Refusal {
            suggestions: fit.map(|one| one.plug.id.clone()).collect(),
            ..Refusal::new(Wanted::Plug {
                text: line.to_owned(),
            })
        }
    }

    /// The plug that Enter takes: that of the last check, or the only one there is.
    pub(super) fn offered_plug(&self, calibrating: &Calibrating, ask: Ask) -> Option<String> {
        let before = calibrating.offers.get(ask.key());
        let all = self.plugs();
        let mut fit = all.iter().filter(|one| one.unfit.is_none());
        let is_before =
            |one: &&PlugChoice| before.is_some_and(|id| id.trim() == one.plug.id.trim());
        let as_before = fit.clone().find(is_before);
        let only = fit.next().filter(|_| fit.next().is_none());
        as_before.or(only).map(|one| one.plug.id.clone())
    }

    /// The pitch of the chosen plug as an earlier check had it.
    pub(super) fn offered_pitch(calibrating: &Calibrating, ask: Ask) -> Option<String> {
        let On::Plugs(on) = &calibrating.of else {
            return None;
        };
        let (plug, _) = PLUGS.iter().find(|(_, pitch)| *pitch == ask)?;
        on.pitches.get(on.plug(*plug)?.id.trim()).cloned()
    }

    /// A pitch that the pair is marked for, and that the other plug has not.
    pub(super) fn pitch(
        &self,
        calibrating: &Calibrating,
        ask: Ask,
        line: &str,
    ) -> Result<Entered, Refusal> {
        let pitch = told_of_pair::pitch(line, calibrating.unit())?;
        let Some(on) = self.on_plugs() else {
            return Err(Refusal::new(Refused::NotComplete));
        };
        if let Some((low, high)) = marked_pitches(&on.contacts)
            && is_outside(pitch.value(), (low, high))
        {
            return Err(Refusal::new(Wanted::PitchOutside {
                pitch: pitch.value().mm(),
                low,
                high,
                contacts: on.contacts.id.clone(),
            }));
        }
        let first = calibrating.pitch(Ask::FirstPitch);
        let is_first = |first: Entered| first.value() == pitch.value();
        if ask == Ask::SecondPitch && first.is_some_and(is_first) {
            return Err(Refusal::new(Wanted::OnePitch));
        }
        Ok(pitch)
    }
}

/// A plug by its identity or its number in the list, where a line begins with it, and what follows: its pitch.
fn named<'a>(line: &'a str, all: &[PlugChoice]) -> Option<(usize, &'a str)> {
    let by_id = |id: &str| {
        let is_it = |one: &PlugChoice| one.plug.id.trim().eq_ignore_ascii_case(id);
        all.iter().position(is_it)
    };
    let by_number = |text: &str| {
        let number = text.parse::<usize>().ok()?.checked_sub(1)?;
        (number < all.len()).then_some(number)
    };
    let blanks = line.match_indices(char::is_whitespace).map(|(at, _)| at);
    let ends = std::iter::once(line.len()).chain(blanks.rev());
    ends.filter_map(|end| Some((line.get(..end)?.trim(), line.get(end..)?.trim())))
        .find_map(|(id, rest)| Some((by_id(id).or_else(|| by_number(id))?, rest)))
}

/// The first plug is not the second as well.
fn taken(on: &OnPlugs, plug: &Standard) -> Option<Wanted> {
    let mut chosen = on.plugs().iter().flatten();
    let id = plug.id.clone();
    chosen
        .any(|one| one.id.trim() == id.trim())
        .then_some(Wanted::SamePlug { id })
}

/// A plug that lies outside the range of the micrometer.
fn too_large(on: &OnPlugs, plug: &Standard) -> Option<Wanted> {
    let instrument = on.instrument.as_ref()?;
    let [from, to]: [Length; 2] = instrument.range.each_ref().map(Entered::value);
    let size = plug.size.value();
    let is_within = (from..=to).contains(&size);
    (!is_within).then(|| Wanted::PlugOutside {
        id: plug.id.clone(),
        size,
        instrument: instrument.id.clone(),
        from,
        to,
    })
}
