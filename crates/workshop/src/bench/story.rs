//! For tests and fuzzing: a job told line by line, with the equipment of the demonstration.

#![allow(clippy::unwrap_used, reason = "without it there is nothing to test")]

use jiff::{SignedDuration, Timestamp};
use ledger::Ledger;

use super::state::GoneOn;
use super::{Answer, By, Event, Proposals, Refusal, State, Table, fit};
use crate::demonstration;
use crate::gauge_room::blocks::{self, Owned};
use crate::recorder::Recorder;
use crate::register::Register;

/// What happened so far.
#[derive(Clone)]
pub struct Story {
    register: Register,
    blocks: Vec<Owned>,
    now: Timestamp,
    pub events: Vec<(u64, Timestamp, Event)>,
}

impl Story {
    /// From the beginning; the equipment goes into this ledger.
    pub fn begin(ledger: &Ledger) -> Self {
        let recorder = Recorder {
            person: demonstration::PERSON.to_owned(),
            station: "bench".to_owned(),
            program: "story",
            tables: "",
        };
        demonstration::seed(ledger, &recorder).unwrap();
        Self {
            register: Register::read(ledger).unwrap(),
            blocks: blocks::owned(ledger, fit::today(crate::clock::now().unwrap())).unwrap(),
            now: crate::clock::exactly().unwrap(),
            events: Vec::new(),
        }
    }

    pub fn state(&self) -> State {
        State::of(1, &self.events)
    }

    /// The same added up event by event, as a bench does that stays open.
    pub fn event_by_event(&self) -> State {
        let mut state = State::of(1, &[]);
        for upto in 1..=self.events.len() {
            let so_far = &self.events[..upto];
            if state.go_on(&so_far[upto - 1..]) == GoneOn::TakenBack {
                state = State::of(1, so_far);
            }
        }
        state
    }

    /// What a line does, five seconds after the one before; what happens by it has happened.
    pub fn tell(&mut self, line: &str) -> Result<Answer, Refusal> {
        self.tell_by(line, By::Keyboard)
    }

    /// The same for a line that came in some way.
    pub fn tell_by(&mut self, line: &str, by: By) -> Result<Answer, Refusal> {
        let state = self.state();
        let table = Table {
            state: &state,
            register: &self.register,
            today: fit::today(self.now),
            last_part: None,
            room: None,
            parked_jobs: false,
            blocks: &self.blocks,
            proposals: &Proposals::default(),
        };
        let _ = (table.commands(), table.offer(), table.options());
        let answer = table.answer(line, by)?;
        self.now += SignedDuration::from_secs(5);
        if let Answer::Events(more) = &answer {
            for event in more {
                self.happens(event.clone());
            }
        }
        Ok(answer)
    }

    pub fn happens(&mut self, event: Event) {
        let number = self.events.len() as u64 + 1;
        self.events.push((number, self.now, event));
    }
}

/// Tells lines that are all taken.
#[track_caller]
pub fn tell(story: &mut Story, lines: &[&str]) {
    for line in lines {
        let told = story.tell(line);
        assert!(told.is_ok(), "{line}: {told:?}");
    }
}
