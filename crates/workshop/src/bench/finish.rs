//! The end of a job: it becomes an entry, once.

use jiff::Timestamp;
use ledger::{
    Actor, Draft, Entry, EntryId, Filter, Identified, JobEvents, Ledger, Order, Page, Subject,
};
use metrology::inspection::{Job, inspect};
use metrology::message::Say as _;

use super::event::Event;
use super::refusal::Refused;
use super::state::State;
use crate::document::Inspected;
use crate::document::inspection::measured;
use crate::error::{Error, Why};
use crate::gauge_record::calibrated::CalibratedDocument;
use crate::gauge_record::calibration::Worked;
use crate::gauge_room::calibration::{self, AtBench, Shows};
use crate::gauge_room::studies;
use crate::job_status;
use crate::kept;
use crate::record::BENCH_JOB;
use crate::recorder::Recorder;
use crate::register::Register;
use crate::room_on_record::RoomRecord;
use crate::trials;

/// Puts the job on the record, by the same calculation as everywhere; `tell` notes on it what its lot asks, `draft` makes its entry. If equipment was barred since it
/// was chosen, its readings are kept as a trial.
pub fn record(
    ledger: &Ledger,
    state: &State,
    recorder: &Recorder,
    tell: impl FnOnce(&mut Job) -> Result<(), Error>,
    draft: impl FnOnce(&Job, &Inspected) -> Result<Draft, Error>,
) -> Result<Entry, Error> {
    let (Some(number), Some(mut job)) = (state.job, state.to_job()) else {
        return Err(Error::input(Refused::NotComplete));
    };
    if let Some(made) = made_before(ledger, number)? {
        return Ok(made);
    }
    let register = Register::read(ledger)?;
    let mut draft = if job_status::barred(&job, &register).is_empty() {
        job_status::apply(&mut job, &register, &RoomRecord::default())?;
        tell(&mut job)?;
        let result = inspect(&job)
            .map_err(|error| Error::Input(Why::in_unit(error, state.drawing_unit())))?;
        draft(&job, &Inspected::of(&job, &result))?
    } else {
        let trial = trials::of(job, &register).map_err(Error::input)?;
        trials::draft(&trial, recorder)?
    };
    draft.actor = signed(ledger, number)?.unwrap_or(draft.actor);
    draft.events = events(ledger, number, state.number)?;
    // A job that stopped between its record and its end is found by this, and not recorded twice.
    draft
        .subjects
        .insert(Subject::new(BENCH_JOB, number.to_string()));
    Ok(ledger.append(&draft)?)
}

/// Puts a calibration on the record with all that it changes, as `midflank calibrate --record` does; `reason` says why.
pub fn record_calibration(
    ledger: &Ledger,
    state: &State,
    recorder: &Recorder,
    reason: impl Fn(&Worked, Shows) -> String,
) -> Result<Entry, Error> {
    let (Some(job), Some(calibrated)) = (state.job, state.calibrated()) else {
        return Err(Error::input(Refused::NotComplete));
    };
    if let Some(made) = made_before(ledger, job)? {
        return Ok(made);
    }
    let (worked, result) = calibrated?;
    let at_bench = AtBench {
        job,
        begun: begun(ledger, job)?,
        actor: signed(ledger, job)?,
        events: events(ledger, job, state.number)?,
    };
    let reason = |shows| reason(&worked, shows);
    let made =
        calibration::record_at_bench(ledger, &worked, &result, recorder, &reason, Some(&at_bench))?;
    Ok(ledger.get(&made.calibration.into())?)
}

/// What a calibration shows by all that is on the record, as its signature would have it; none where it is history.
pub fn shows(
    ledger: &Ledger,
    state: &State,
    (worked, result): &(Worked, CalibratedDocument),
) -> Result<Option<Shows>, Error> {
    let begun = state.job.map(|job| begun(ledger, job)).transpose()?;
    calibration::shows(ledger, (worked, begun.flatten()), result)
}

/// When a job was begun.
fn begun(ledger: &Ledger, job: u64) -> Result<Option<Timestamp>, Error> {
    let events = ledger.job_events_after(job, 0)?;
    Ok(events.first().map(|one| one.at))
}

/// Puts a study on the record with what is computed of it.
pub fn record_study(ledger: &Ledger, state: &State, recorder: &Recorder) -> Result<Entry, Error> {
    let (Some(job), Some(study)) = (state.job, state.to_study()) else {
        return Err(Error::input(Refused::NotComplete));
    };
    if let Some(made) = made_before(ledger, job)? {
        return Ok(made);
    }
    let mut draft = studies::draft(&study, recorder)?;
    draft.actor = signed(ledger, job)?.unwrap_or(draft.actor);
    draft.events = events(ledger, job, state.number)?;
    // A job that stopped between its record and its end is found by this, and not recorded twice.
    let subject = Subject::new(BENCH_JOB, job.to_string());
    draft.subjects.insert(subject);
    Ok(ledger.append(&draft)?)
}

/// A sample that is on the record already.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RecordedBefore {
    pub sample: String,
    pub entry: EntryId,
    pub characteristic: String,
    pub verdict: String,
}

/// What is on the record of the sample that was just named, if anything: nobody measures until it is accepted unseen.
pub fn recorded_before(
    ledger: &Ledger,
    state: &State,
    events: &[Event],
) -> Result<Option<RecordedBefore>, Error> {
    let sample = events.iter().find_map(|event| match event {
        Event::Lot {
            lot,
            sample: Some(sample),
        } => Some((lot.as_deref(), sample)),
        _ => None,
    });
    let (Some((lot, sample)), Some(part)) = (sample, &state.name) else {
        return Ok(None);
    };
    // Another characteristic of the same sample is no repeat.
    let target = state.target.as_ref();
    let measured = target.map(|target| measured(&target.characteristic().message()));
    let told = [("lot", lot), ("characteristic", measured.as_deref())];
    let filter = Filter {
        subjects: told
            .into_iter()
            .filter_map(|(role, identity)| Some(Subject::new(role, identity?)))
            .chain([Subject::new("sample", sample), Subject::new("part", part)])
            .collect(),
        standing: true,
        ..Filter::default()
    };
    let found = ledger.list(&filter, &Page::first(Order::NewestFirst, 1))?;
    Ok(found.entries.first().map(|entry| {
        let of = |role| entry.content.subject(role).unwrap_or_default();
        RecordedBefore {
            sample: sample.clone(),
            entry: entry.id(),
            characteristic: of("characteristic").to_owned(),
            verdict: of("verdict").to_owned(),
        }
    }))
}

/// The events of the job that its state was told by.
fn events(ledger: &Ledger, job: u64, last: u64) -> Result<Option<JobEvents>, Error> {
    let kept = ledger.job_events_after(job, last.saturating_sub(1))?;
    let last = kept.iter().find(|event| event.number == last);
    Ok(last.map(JobEvents::from))
}

/// Who signed, and how the bench knew: it stands on the event of the signature.
fn signed(ledger: &Ledger, job: u64) -> Result<Option<Actor>, Error> {
    let events = ledger.job_events_after(job, 0)?;
    let signature = events.into_iter().rfind(|event| {
        let event = kept::read_event(&event.event);
        matches!(event, Ok(Event::Closing { .. }))
    });
    // The name is in the event itself; the actor of an older program's event may be who was known before it.
    Ok(signature
        .map(|event| event.actor)
        .filter(|actor| actor.how == Identified::Badge))
}

fn made_before(ledger: &Ledger, job: u64) -> Result<Option<Entry>, Error> {
    let made = ledger.list(
        &Filter::touching(BENCH_JOB, job.to_string()),
        &Page::first(Order::OldestFirst, 1),
    )?;
    Ok(made.entries.into_iter().next())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::story::Story;
    use crate::record::{self, Words};

    fn recorder() -> Recorder {
        Recorder {
            person: "A. Quill".to_owned(),
            station: "bench".to_owned(),
            program: "test",
            tables: "",
        }
    }

    fn draft(job: &Job, result: &Inspected) -> Result<Draft, Error> {
        let words = Words::of(result, |message| message.code.to_string());
        record::draft(job, result, &words, &recorder())
    }

    #[test]
    fn a_job_is_recorded_once() {
        let folder = std::env::temp_dir().join(format!("midflank-finish-{}", std::process::id()));
        let ledger = Ledger::open(folder.join("ledger.db")).unwrap();
        let mut lines = vec![
            "M10x1.5-6g",
            "screw",
            "",
            "cs-118 / 4 of 12",
            "",
            "",
            "mic-04",
            "vc-60-3",
            "",
            "",
        ];
        lines.extend(["10.001", "10.002", "10.001"]);
        lines.extend(["8.929", "8.930", "8.927", "8.931", "8.926", "8.928"]);
        lines.extend(["10.002", "10.002", "10.001", "/sign A. Quill"]);
        let mut story = Story::begin(&ledger);
        for line in lines {
            story
                .tell(line)
                .unwrap_or_else(|refusal| panic!("{line}: {refusal:?}"));
        }
        let state = story.state();
        assert_eq!(state.question(), crate::bench::Question::Finish);
        let first = record(&ledger, &state, &recorder(), |_| Ok(()), draft).unwrap();
        // The program stopped before the job knew of its record, and tries again.
        assert_eq!(
            record(&ledger, &state, &recorder(), |_| Ok(()), draft).unwrap(),
            first
        );
        let first = first.id();
        let made = ledger.count(&Filter::touching(BENCH_JOB, "1")).unwrap();
        assert_eq!(made, 1);

        let named = |sample: &str| Event::Lot {
            lot: Some("cs-118".to_owned()),
            sample: Some(sample.to_owned()),
        };
        let told = |sample: &str| recorded_before(&ledger, &state, &[named(sample)]).unwrap();
        let before = told("4 of 12").unwrap();
        assert_eq!(before.entry, first);
        assert!(before.characteristic.starts_with("M10x1.5-6g"));
        assert_eq!(told("5 of 12"), None);
        // Another characteristic of the same sample.
        let mut other = state.clone();
        other.target.as_mut().unwrap().name = "shank".to_owned();
        let none = recorded_before(&ledger, &other, &[named("4 of 12")]).unwrap();
        assert_eq!(none, None);
        std::fs::remove_dir_all(folder).unwrap();
    }
}
