//! The job that the state of the bench is measured as.

use metrology::inspection::{
    Inspection, Job, JobError, Left, Made, Overrides, OwnUncertainty, Part, Place, Prior, Room,
    Struck, ThreadDiameter, Zero, inspect,
};
use metrology::message::Value;

use super::event::{Spot, When};
use super::question::Question;
use super::state::State;
use super::zero::CLOSURES;
use super::{details, notes};
use crate::approvals::SetUp;
use crate::clock::to_second;
use crate::last_zero::LastZero;
use crate::station;

impl State {
    /// The job, as far as it goes; none while something is missing that it cannot do without.
    pub fn to_job(&self) -> Option<Job> {
        let (lot, sample) = self.lot.clone()?;
        let mut readings: Vec<Place> = Vec::new();
        let mut spots: Vec<&Spot> = Vec::new();
        for reading in &self.readings {
            if let Some(known) = spots.iter().position(|spot| **spot == reading.spot) {
                if let Some(place) = readings.get_mut(known) {
                    place.readings.push(reading.shown.clone());
                }
            } else {
                spots.push(&reading.spot);
                readings.push(reading.spot.place(vec![reading.shown.clone()]));
            }
        }
        let after = self.after.standing();
        let mut zero = Zero {
            before: self.before.standing(),
            // Half a check is none yet.
            after: if after.len() < CLOSURES {
                Vec::new()
            } else {
                after
            },
            contacts: Some(self.contacts.clone()?.id),
            allowance: None,
            last: None,
            last_record: None,
        };
        LastZero::tell(self.last_zero.as_ref(), &mut zero);
        Some(Job {
            part: Part {
                name: self.name.clone()?,
                drawing: self.drawing.clone()?,
                order: None,
                lot,
                sample,
                piece: None,
                serial: None,
                characteristic: None,
                hardness_hv: None,
            },
            person: self.person.clone(),
            measured_at: to_second(self.readings.first()?.at),
            measured_on: station::day(self.readings.first()?.at),
            characteristic: self.characteristic.clone()?,
            instrument: self.instrument.clone()?,
            contacts: self.contacts.clone()?,
            standard: self.standard.clone()?,
            zero,
            readings,
            wires: self.wires.clone().filter(|_| self.over_wires()),
            struck: self.struck(),
            left: self.left_standing(),
            scope: None,
            room: self.room(),
            temperature: self.temperature.clone()?,
            prior: Prior {
                own: self.own_uncertainty(),
                made: self.made(),
                form_history: self.form_history.clone(),
                ..Prior::default()
            },
            rule: self.rule.clone()?,
            notes: notes::of(self),
            overrides: Overrides::default(),
            service: self.service.flatten(),
            monte_carlo: None,
            held: None,
            approved: self.approved(),
        })
    }

    /// How the thread was made, where that was said.
    fn made(&self) -> Option<Made> {
        let said = self.details.get(details::MADE)?;
        Made::ALL.into_iter().find(|made| made.key() == said.text)
    }

    /// The material of the part, where that alone was said.
    fn room(&self) -> Option<Room> {
        let said = self.details.get(details::MATERIAL)?;
        (self.temperature == Some(None) && !said.text.is_empty()).then(|| Room {
            range: None,
            part_material: Some(said.text.clone()),
            standard_material: None,
        })
    }

    /// Whether all is read, and the verdict another one for each way in which the thread may have been made.
    pub(super) fn hangs_on_making(&self) -> bool {
        let asked = self.details.contains_key(details::MADE);
        let of_thread = self.target.as_ref().is_some_and(|target| {
            target.thread.is_some() && target.diameter == ThreadDiameter::PitchDiameter
        });
        let all_read = matches!(
            self.question(),
            Question::Closure {
                when: When::After,
                ..
            }
        ) && self.may_be_read_again();
        if asked || !of_thread || self.end.is_some() || !all_read {
            return false;
        }
        let Some(job) = self.to_job() else {
            return false;
        };
        let verdicts = Made::ALL.map(|made| {
            let mut job = job.clone();
            job.prior.made = Some(made);
            inspect(&job).ok().map(|result| result.verdict())
        });
        verdicts.iter().any(|verdict| *verdict != verdicts[0])
    }

    /// The laboratory's approved uncertainty of the characteristic by the chosen set-up.
    fn own_uncertainty(&self) -> Option<OwnUncertainty> {
        let wires = self.wires.as_ref().filter(|_| self.over_wires());
        self.laboratory
            .in_force(self.day())
            .own(&SetUp::of(
                self.characteristic.as_ref()?,
                self.instrument.as_ref()?,
                self.contacts.as_ref()?,
                wires,
            ))
            .cloned()
    }

    /// Flagged readings that were looked into and left: of the part, and of a zero check that was taken in spite of a doubt.
    fn left_standing(&self) -> Vec<Left> {
        let flagged = self.readings.iter().filter(|one| one.flag.is_some());
        let on_part = flagged.filter_map(|one| {
            Some(Left {
                reading: one.shown.clone(),
                reason: Value::text(one.left.as_ref()?),
            })
        });
        let checks = [(When::Before, &self.before), (When::After, &self.after)];
        let certified = self.standard.as_ref().map(|standard| standard.size.value());
        let on_standard = checks.into_iter().filter_map(|(when, check)| {
            let reason = check.accepted.as_ref()?;
            let mut left = check.flagged(certified?);
            if left.is_empty() && self.zero_far(when).is_some() {
                left.extend(check.standing().into_iter().next());
            }
            Some(left.into_iter().map(move |reading| Left {
                reading,
                reason: Value::text(reason),
            }))
        });
        on_part.chain(on_standard.flatten()).collect()
    }

    /// What was read and taken again: kept as it was, and not counted.
    fn struck(&self) -> Vec<Struck> {
        self.readings
            .iter()
            .flat_map(|reading| {
                reading.earlier.iter().map(|earlier| Struck {
                    reading: earlier.clone(),
                    reason: notes::taken_again(reading),
                })
            })
            .collect()
    }

    /// What the job gives so far.
    pub fn inspect(&self) -> Option<Result<(Job, Inspection), JobError>> {
        let job = self.to_job()?;
        Some(inspect(&job).map(|result| (job, result)))
    }
}
