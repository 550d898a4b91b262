//! A lot by its code: the job of its next sample, stated as that of the sample before.

use ledger::{Entry, Filter, Ledger, Order, Page, Subject};

use metrology::inspection::Characteristic;

use super::answer::next_sample;
use super::details;
use super::event::{Answers, Event, Stated};
use super::refusal::Refused;
use super::state::State;
use crate::error::Error;
use crate::kept;
use crate::record;
use crate::record_kind::RecordKind;

/// What is stated of the next sample of a lot; none where nothing of that lot is on the record, or not enough.
///
/// Equipment and temperatures are asked again: they hold from one part to the next, and not from one day to another.
pub fn next_of_lot(
    ledger: &Ledger,
    lot: &str,
) -> Result<Option<Result<Vec<Event>, Refused>>, Error> {
    let filter = Filter {
        subjects: [Subject::new("lot", lot.trim())].into(),
        ..RecordKind::Inspection.standing()
    };
    let found = ledger.list(&filter, &Page::first(Order::NewestFirst, 1))?;
    let Some(entry) = found.entries.first() else {
        return Ok(None);
    };
    let Ok((job, _)) = record::read(entry) else {
        return Ok(None);
    };
    let measured = match at_the_bench(ledger, entry)? {
        Some((stated, answers)) => stated_again(stated, &answers),
        // A feature asks for sizes of each part, and a record does not tell which they were.
        None if matches!(job.characteristic, Characteristic::Feature { .. }) => return Ok(None),
        None => vec![Event::Characteristic {
            characteristic: job.characteristic.clone(),
        }],
    };
    let sample = job.part.sample.as_deref();
    let Some(next) = next_sample(job.part.lot.as_deref(), sample) else {
        return Ok(sample.map(|sample| {
            Err(Refused::LotComplete {
                lot: lot.trim().to_owned(),
                sample: sample.to_owned(),
            })
        }));
    };
    let (_, sample) = next.split_once('/').unwrap_or((&next, ""));
    let mut events = measured;
    events.extend([
        Event::Name {
            name: job.part.name,
        },
        Event::Drawing {
            drawing: job.part.drawing,
        },
        Event::Lot {
            lot: job.part.lot,
            sample: Some(sample.trim().to_owned()),
        },
        Event::Rule { rule: job.rule },
        Event::Service {
            service: job.service,
        },
    ]);
    Ok(Some(Ok(events)))
}

/// The feature that was named at the bench, and what is known of every such part.
fn at_the_bench(ledger: &Ledger, entry: &Entry) -> Result<Option<(Stated, Answers)>, Error> {
    let Some(made_from) = entry.content.events else {
        return Ok(None);
    };
    let mut events = Vec::new();
    for event in ledger.job_events_after(made_from.job, 0)? {
        let Ok(read) = kept::read_event(&event.event) else {
            return Ok(None);
        };
        events.push((event.number, event.at, read));
    }
    let kept = State::of(made_from.job, &events).kept();
    Ok(kept
        .and_then(|kept| kept.feature)
        .filter(|(stated, _)| stated.feature.is_some()))
}

/// A feature and its answers, one event each.
fn stated_again(stated: Stated, answers: &Answers) -> Vec<Event> {
    let feature = stated.feature.clone().unwrap_or_default();
    let mut events = vec![Event::Feature { stated }];
    for (key, said) in answers.iter().filter(|(_, said)| said.done) {
        let answer = Some(said.text.clone()).filter(|text| !text.is_empty());
        let is_list = details::of(&feature).any(|detail| detail.key() == key && detail.is_list());
        let ends = (is_list && answer.is_some()).then_some(None);
        for answer in [Some(answer), ends].into_iter().flatten() {
            events.push(Event::Detail {
                key: key.clone(),
                answer,
            });
        }
    }
    events
}
