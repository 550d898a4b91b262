//! What a job at the bench tells of itself beside its numbers: nothing is put aside in silence.

use metrology::message::Value;

use super::event::When;
use super::places::Spot;
use super::state::{Reading, State};
use crate::clock::to_second;

metrology::messages! {
    /// What stands beside the readings of a job.
    pub enum JobNote "job-note" {
        /// Readings of a zero check that do not count.
        SetAside "set-aside" { when: When as code, readings: Vec<String> as texts },
        /// A zero check in doubt was taken as it is, for a reason that was typed.
        ZeroAccepted "zero-accepted" { when: When as code, reason: String as Text },
        /// No opening check of its own.
        ZeroKept "zero-kept",
        /// Places that were to be measured and were not.
        LeftOut "left-out" { places: Value as itself },
        /// A place, and others after it.
        Places "places" { first: Value as itself, more: Value as itself },
        /// The clock of the computer went back in between.
        WentBack "went-back" { from: String as Text, to: String as Text },
        /// The job was put aside for a time.
        Parked "parked" { station: String as Text, from: String as Text, to: String as Text },
        /// Why an earlier reading does not count.
        TakenAgain "taken-again" { place: Value as itself, now: String as Text },
    }
}

/// What the record says of a job.
pub fn of(state: &State) -> Vec<Value> {
    let mut told: Vec<JobNote> = Vec::new();
    for (when, check) in [(When::Before, &state.before), (When::After, &state.after)] {
        let readings: Vec<String> = check
            .closures
            .iter()
            .filter(|closure| closure.set_aside)
            .map(|closure| closure.reading.text().to_owned())
            .collect();
        if !readings.is_empty() {
            told.push(JobNote::SetAside { when, readings });
        }
        if let Some(reason) = check.accepted.clone() {
            told.push(JobNote::ZeroAccepted { when, reason });
        }
    }
    if state.zero_kept {
        told.push(JobNote::ZeroKept);
    }
    told.extend(left_out(state));
    if let Some((from, to)) = state.went_back {
        let [from, to] = [from, to].map(|at| to_second(at).to_string());
        told.push(JobNote::WentBack { from, to });
    }
    for parking in &state.was_parked {
        told.push(JobNote::Parked {
            station: parking.station.clone(),
            from: to_second(parking.from).to_string(),
            to: to_second(parking.to).to_string(),
        });
    }
    told.into_iter().map(Value::said).collect()
}

/// The places that were to be measured and were not.
pub fn left_out(state: &State) -> Option<JobNote> {
    // More readings may have gone there since.
    let measured = |spot: &&Spot| state.readings.iter().any(|one| one.spot == **spot);
    let left = state.left_out.iter().filter(|spot| !measured(spot));
    let places = left
        .map(place)
        .rev()
        .reduce(|more, first| Value::said(JobNote::Places { first, more }))?;
    Some(JobNote::LeftOut { places })
}

/// Why what was read before at a place does not count.
pub fn taken_again(reading: &Reading) -> Value {
    Value::said(JobNote::TakenAgain {
        place: place(&reading.spot),
        now: reading.shown.text().to_owned(),
    })
}

fn place(spot: &Spot) -> Value {
    Value::said_if(spot.name())
}

#[cfg(test)]
mod tests {
    use metrology::units::Entered;

    use super::*;
    use crate::bench::event::{By, Event};

    /// A clock that goes back while a job is under way is told on its record, the last time that it did; that it stood still
    /// is nothing.
    #[test]
    fn a_clock_that_went_back_during_the_job_is_told() {
        let at = |times: &[&str]| {
            let event = Event::Drawing { drawing: None };
            let events: Vec<_> = (1..)
                .zip(times)
                .map(|(number, at)| (number, at.parse().unwrap(), event.clone()))
                .collect();
            of(&State::of(1, &events))
        };
        let [first, later] = ["2026-11-28T09:00:00.4Z", "2026-11-28T10:00:00Z"];
        assert_eq!(at(&[first, first, later]), []);
        let told = JobNote::WentBack {
            from: "2026-11-28T10:00:00Z".to_owned(),
            to: "2026-11-28T09:00:00Z".to_owned(),
        };
        assert_eq!(at(&[first, later, first, later]), [Value::said(told)]);
    }

    /// A place that was left out and measured after all is no longer said to be missing.
    #[test]
    fn what_was_left_out_may_be_measured_later() {
        let [one, two, three] = ["one", "two", "three"].map(|name| Spot::along(Value::text(name)));
        let mut state = State {
            plan: vec![one.clone(), two.clone(), three.clone()],
            ..State::default()
        };
        let read = |state: &mut State, spot: &Spot| {
            state.happens(&Event::Reading {
                spot: spot.clone(),
                reading: Entered::parse("8.93mm", None).unwrap(),
                by: By::Keyboard,
            });
        };
        read(&mut state, &one);
        state.happens(&Event::ReadingsEnded);
        let places = Value::said(JobNote::Places {
            first: place(&two),
            more: place(&three),
        });
        assert_eq!(left_out(&state), Some(JobNote::LeftOut { places }));
        state.happens(&Event::More {
            spots: vec![two.clone()],
        });
        read(&mut state, &two);
        let places = place(&three);
        assert_eq!(left_out(&state), Some(JobNote::LeftOut { places }));
    }
}
