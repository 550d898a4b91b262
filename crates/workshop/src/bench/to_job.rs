//! The job that the state of the bench is measured as.

use metrology::inspection::{
    Inspection, Job, JobError, Left, Made, Overrides, OwnUncertainty, Part, Place, Prior, Room,
    Struck, StudyOfOther, StudyPrior, ThreadDiameter, Zero, inspect,
};
use metrology::message::Value;

use super::event::{Spot, When};
use super::state::State;
use super::zero::CLOSURES;
use super::{details, notes};
use crate::approvals::SetUp;
use crate::clock::to_second;
use crate::job_status;
use crate::last_zero::LastZero;
use crate::room_on_record::RoomRecord;
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
        let mut job = Job {
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
                customer: None,
                received: None,
                condition: None,
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
                study: self.approved_study(),
                study_of_other: self.study_of_other(),
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
        };
        let mut room = RoomRecord::default();
        if let Some(run) = self.run() {
            run.tell(&mut job);
            room.clone_from(&run.lot.room.record);
        }
        // As the record will have it.
        if let Some(register) = &self.register {
            job_status::note_anew(&mut job, register, &room);
        }
        Some(job)
    }

    /// How the thread was made, where that was said.
    pub(super) fn made(&self) -> Option<Made> {
        let said = self.details.get(details::MADE)?;
        Made::ALL.into_iter().find(|made| made.key() == said.text)
    }

    /// The material of the part, where that alone was said.
    pub(super) fn room(&self) -> Option<Room> {
        let said = self.details.get(details::MATERIAL)?;
        (self.temperature == Some(None) && !said.text.is_empty()).then(|| Room {
            range: None,
            part_material: Some(said.text.clone()),
            standard_material: None,
        })
    }

    /// Whether the verdict that comes next is another one by how the thread may have been made.
    pub(super) fn made_matters(&self) -> bool {
        if self.details.contains_key(details::MADE) || self.verdict_seen {
            return false;
        }
        *self
            .found
            .made_matters
            .get_or_init(|| self.hangs_on_making())
    }

    fn hangs_on_making(&self) -> bool {
        let of_thread = self.target.as_ref().is_some_and(|target| {
            target.thread.is_some() && target.diameter == ThreadDiameter::PitchDiameter
        });
        if !of_thread {
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

    /// The chosen set-up, by identities.
    fn set_up(&self) -> Option<SetUp> {
        let wires = self.wires.as_ref().filter(|_| self.over_wires());
        Some(SetUp::of(
            self.characteristic.as_ref()?,
            self.instrument.as_ref()?,
            self.contacts.as_ref()?,
            wires,
        ))
    }

    /// The laboratory's approved uncertainty of the characteristic by the chosen set-up.
    fn own_uncertainty(&self) -> Option<OwnUncertainty> {
        let in_force = self.laboratory.in_force(self.day());
        let own = in_force.own(&self.set_up()?).cloned()?;
        Some(own.in_job(self.temperature.clone().flatten().as_ref()))
    }

    /// What an approved study tells of the chosen set-up.
    fn approved_study(&self) -> Option<StudyPrior> {
        let in_force = self.laboratory.in_force(self.day());
        let measured = self.characteristic.as_ref()?;
        in_force.study(&self.set_up()?, measured).cloned()
    }

    /// An approved study of the chosen set-up that measured something else.
    fn study_of_other(&self) -> Option<StudyOfOther> {
        let day = self.day();
        let measured = self.characteristic.as_ref()?;
        let in_force = self.laboratory.in_force(day);
        in_force.study_of_other(&self.set_up()?, measured, day)
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
            let mut left = check.flagged(certified?, self.step_of_display());
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

#[cfg(test)]
mod tests {
    use ledger::Ledger;
    use metrology::inspection::Characteristic;

    use super::*;
    use crate::bench::question::Question;
    use crate::bench::story::Story;

    fn story(name: &str) -> Story {
        let folder = std::env::temp_dir().join(format!("midflank-{name}-{}", std::process::id()));
        let story = Story::begin(&Ledger::open(folder.join("ledger.db")).unwrap());
        std::fs::remove_dir_all(folder).unwrap();
        story
    }

    /// A screw by V and cone, read six times at about this size, up to the verdict or what is asked before it.
    fn screw(story: &Story, temperatures: &str, size: f64) -> Story {
        let mut story = story.clone();
        let set_up = [
            "M10x1.5-6g",
            "screw",
            "",
            "cs-118 / 1 of 9",
            "",
            "",
            "mic-04",
            "vc-60-3",
        ];
        let zero = ["rod-10", temperatures, "9.999", "10.000", "9.999"];
        for line in set_up.iter().chain(&zero) {
            story.tell(line).unwrap();
        }
        for off in [0.0, 0.001, -0.001, 0.001, 0.0, -0.001] {
            story.tell(&format!("{:.3}", size + off)).unwrap();
        }
        story
    }

    /// How a thread was made is asked where the verdict is another one by it, and nowhere else; not again with the next part.
    #[test]
    fn the_making_of_a_thread_is_asked_where_the_verdict_hangs_on_it() {
        let begun = story("making");
        let closing = Question::Closure {
            when: When::After,
            number: 1,
        };
        let plain = screw(&begun, "20.4 steel", 8.930).state().question();
        assert_eq!(plain, closing);
        let asked = (0..40)
            .map(|step| screw(&begun, "20.4 steel", 8.862 + 0.0005 * f64::from(step)))
            .find(|told| told.state().question() == Question::Made)
            .unwrap();
        let verdict = |answer: &str| {
            let mut told = asked.clone();
            told.tell(answer).unwrap();
            let state = told.state();
            assert_eq!(state.question(), closing, "{answer}");
            let (job, result) = state.inspect().unwrap().unwrap();
            (job.prior.made, result.verdict())
        };
        let [unknown, rolled, cut, ground] = ["", "rolled", "2", "ground"].map(verdict);
        assert_eq!(unknown, (None, rolled.1));
        assert_eq!(cut.0, Some(Made::Cut));
        assert!(rolled.1 != cut.1 || ground.1 != rolled.1);
        assert!(asked.clone().tell("forged").is_err());

        let mut told = asked.clone();
        for line in ["cut", "9.999", "10.000", "9.999", "/sign A. Quill"] {
            told.tell(line).unwrap();
        }
        told.happens(crate::event::Event::Recorded {
            entry: "1-abcd".to_owned(),
        });
        let kept = told.state().kept().unwrap();
        let next = State::of(
            2,
            &[(
                1,
                jiff::Timestamp::UNIX_EPOCH,
                crate::event::Event::Begun {
                    keeps: Some(Box::new(kept)),
                },
            )],
        );
        assert_eq!(next.made(), Some(Made::Cut));
        assert!(matches!(
            next.characteristic,
            Some(Characteristic::Thread { .. })
        ));
    }

    /// Where nobody read a temperature the material alone can be named; where nobody named it, the remark says what that is
    /// worth.
    #[test]
    fn the_material_alone_can_be_named() {
        let begun = story("material");
        let job = |line: &str| {
            screw(&begun, line, 8.930)
                .state()
                .inspect()
                .unwrap()
                .unwrap()
        };
        let assumed = |(_, result): &(Job, Inspection)| {
            use metrology::inspection::Warning;
            let mut all = result.warnings.iter();
            all.any(|warning| matches!(warning, Warning::MaterialAssumed { .. }))
        };
        let unsaid = job("");
        assert!(assumed(&unsaid));
        assert_eq!(unsaid.0.part_material(), "steel");
        let named = job("aluminium");
        assert!(!assumed(&named));
        assert_eq!(named.0.part_material(), "aluminium");
        assert!(!assumed(&job("21.0 steel")));
    }

    /// What the micrometer is expected to show of 8.928 mm, the middle of 8.862 and 8.994 mm, is that less all corrections that the
    /// inspection of such a reading lists, with no error of the zero: of lead angle, force, error curve and temperature.
    #[test]
    fn the_expected_reading_has_the_corrections_of_the_inspection() {
        let begun = story("expected");
        let expected = |line: &str| {
            let mut told = begun.clone();
            let part = ["M10x1.5-6g", "screw", "", "", "", ""];
            for line in part.iter().chain(&["mic-04", "vc-60-3", "rod-10", line]) {
                told.tell(line).unwrap();
            }
            let plan = crate::bench::fit::plan(&told.state()).unwrap().unwrap();
            for reading in ["9.9994", "9.9994", "9.9994"] {
                told.tell(reading).unwrap();
            }
            for _ in 0..6 {
                told.tell("8.928").unwrap();
            }
            let (_, result) = told.state().inspect().unwrap().unwrap();
            let corrections = result.corrections.iter();
            let sum: f64 = corrections.map(|one| one.value).sum();
            let shown = plan.expected_reading;
            assert!((shown - (8.928 - sum)).abs() < 2e-5, "{shown} {sum}");
            assert!(sum.abs() > 2e-5, "{sum}");
            // The limits lie as far from it as on the drawing, 0.066 mm.
            let limits = plan.as_read;
            for (limit, off) in [(limits.lower, -0.066), (limits.upper, 0.066)] {
                let limit = limit.unwrap().mm();
                assert!((limit - shown - off).abs() < 2e-5, "{limit} {shown}");
            }
            sum
        };
        // Brass at 21.4 °C against steel at 20.9 °C is 0.19 µm larger.
        assert!((expected("") - expected("21.4 20.9 brass")).abs() > 1e-4);
    }

    /// The thermometer stands behind the temperatures, with or without a material; what the register has not is refused, and what may
    /// have been meant is offered as a whole line.
    #[test]
    fn the_thermometer_is_named_with_the_temperatures() {
        let begun = story("thermometer");
        let read = |line: &str| {
            let told = screw(&begun, line, 8.930);
            let (job, result) = told.state().inspect().unwrap().unwrap();
            let named = job.thermometer().map(|one| one.id.clone());
            (named, job.part_material().to_owned(), result)
        };
        let th_2 = Some("th-2".to_owned());
        let (named, material, result) = read("21.4 20.9 brass th-2");
        assert_eq!((named, material.as_str()), (th_2.clone(), "brass"));
        let (named, material, _) = read("21.4 TH-2");
        assert_eq!((named, material.as_str()), (th_2.clone(), "steel"));
        assert_eq!(read("21.4 20.9 th-2 brass").0, th_2);
        let (none, _, without) = read("21.4 20.9 brass");
        assert_eq!(none, None);
        let u = |result: &Inspection| result.mean.size.standard_uncertainty;
        assert!(u(&result) > u(&without));

        let mut asked = begun.clone();
        let lines = [
            "M10x1.5-6g",
            "screw",
            "",
            "cs-118 / 1 of 9",
            "",
            "",
            "mic-04",
            "vc-60-3",
            "rod-10",
        ];
        for line in lines {
            asked.tell(line).unwrap();
        }
        let refused = |line: &str| asked.clone().tell(line).unwrap_err();
        let mistyped = refused("21.4 20.9 brass th-3");
        assert_eq!(mistyped.why.message.code, "bench.no-such-thermometer");
        assert_eq!(mistyped.suggestions, ["21.4 20.9 brass th-2"]);
        assert_eq!(
            refused("21 cheese").why.message.code,
            "bench.no-such-material"
        );
        assert_eq!(refused("th-2").why.message.code, "bench.temperature-wanted");
    }

    #[test]
    fn a_thread_may_have_limits_of_its_own_and_a_plane() {
        let begun = story("terms");
        let target = |line: &str| {
            let mut told = begun.clone();
            told.tell(line).map(|_| told.state().target.unwrap())
        };
        let own = target("M10x1.5-6g 8.90 to 8.95 mm").unwrap();
        assert_eq!(own.limits.lower.unwrap().mm(), 8.9);
        assert!(own.thread.is_some());
        let taper = target("1/2-14 NPT external at 4.06 mm").unwrap();
        assert_eq!(taper.plane.unwrap().at.text(), "4.06mm");
        assert!(target("1/2-14 NPT external at hand-tight").is_ok());
        assert!(target("1/2-14 NPT external").is_err());
        assert!(target("M10x1.5-6g at 4.06 mm").is_err());
        assert!(target("M10x1.5-6g 8.95 to 8.90 mm").is_err());
        let shank = target("shank at least 8.90 mm").unwrap();
        assert!(shank.thread.is_none());
    }
}
