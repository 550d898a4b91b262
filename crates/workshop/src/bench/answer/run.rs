//! Answers that only a run of a lot takes.

use super::lines::{not_a_reading, optional, required};
use super::{Answer, Table, one};
use crate::bench::By;
use crate::bench::event::{Event, When};
use crate::bench::input;
use crate::bench::places::Spot;
use crate::bench::question::Question;
use crate::bench::refusal::{Refusal, Refused};
use crate::bench::run::Run;
use crate::gauges::{self, GaugeRefused};
use crate::inspection_plan::Way;
use crate::stated_size::{PastLimit, is_bare, past_limit};
use jiff::Timestamp;
use metrology::units::Entered;

impl Table<'_> {
    /// A reading at a place; the first one of a piece brings the piece with it.
    pub(super) fn reading_at(&self, index: usize, line: &str, by: By) -> Result<Answer, Refusal> {
        let reading = self.part_reading(line, None)?;
        let event = |spot: &Spot, reading: Entered| Event::Reading {
            spot: spot.clone(),
            reading,
            by,
        };
        let mut events = Vec::new();
        let state = self.state;
        let mut plan = state.plan.clone();
        if let Some(run) = state.run().filter(|_| index == 0)
            && (run.piece.is_none() || !state.readings.is_empty())
        {
            let name = run
                .next_piece()
                .ok_or_else(|| Refusal::new(Refused::NotComplete))?;
            let next = Event::Piece { name };
            let mut with = state.clone();
            with.happens(&next);
            plan = with.plan;
            events.push(next);
        }
        let spot = plan
            .get(index)
            .ok_or_else(|| Refusal::new(Refused::NotComplete))?;
        events.push(event(spot, reading));
        Ok(Answer::Events(events))
    }

    /// Whether a piece may be named now: nothing of the one before is open.
    fn between_pieces(&self) -> bool {
        matches!(
            self.state.question(),
            Question::Reading { index: 0 } | Question::Find
        )
    }

    /// What is typed beside the readings of a run, where it is that.
    pub(super) fn beside_run(&self, text: &str) -> Option<Result<Answer, Refusal>> {
        let run = self.state.run()?;
        let (word, rest) = text.split_once(char::is_whitespace).unwrap_or((text, ""));
        let rest = rest.trim();
        match word.to_lowercase().as_str() {
            input::PERSON if !rest.is_empty() => Some(
                not_a_reading(rest)
                    .and_then(|name| required(name, Refused::PersonMissing))
                    .map(|person| one(Event::Person { person })),
            ),
            input::PIECE if !rest.is_empty() => Some(self.piece(run, rest)),
            input::CHARACTERISTIC => Some(self.other_characteristic(rest)),
            _ => None,
        }
    }

    /// Whether a text between two pieces is a code, and no reading.
    pub(super) fn scans(&self, text: &str) -> bool {
        self.state.run().is_some()
            && self.between_pieces()
            && text.chars().any(|c| c.is_ascii_digit())
            && text.chars().any(char::is_alphabetic)
            && !text.contains(char::is_whitespace)
    }

    /// The code of the next piece.
    pub(super) fn scanned(&self, text: &str) -> Result<Answer, Refusal> {
        let run = self.state.run();
        run.map_or_else(|| Err(not_between()), |run| self.piece(run, text))
    }

    fn piece(&self, run: &Run, text: &str) -> Result<Answer, Refusal> {
        if !self.between_pieces() || !run.of.way.is_measured() {
            return Err(not_between());
        }
        let (name, again) = match text.rsplit_once(char::is_whitespace) {
            Some((name, word)) if word.eq_ignore_ascii_case(input::AGAIN) => (name.trim(), true),
            _ => (text, false),
        };
        let name = name.to_owned();
        let is_open = run.lot.again.contains(&name);
        if run.is_measured(&name) && !again && !is_open {
            let line = format!("/{} {name} {}", input::PIECE, input::AGAIN);
            return Err(Refusal {
                suggestions: vec![line.clone()],
                ..Refusal::new(Refused::PieceMeasured { name, line })
            });
        }
        Ok(one(Event::Piece { name }))
    }

    /// Another characteristic: never while pieces wait for a check, which the next set-up could not make.
    fn other_characteristic(&self, number: &str) -> Result<Answer, Refusal> {
        match self.state.pieces_since_check() {
            0 => Ok(Answer::NextRun(optional(number))),
            n => Err(Refusal::new(Refused::CheckFirst { n })),
        }
    }

    /// Whether a run cannot be ended yet: pieces wait for their zero check.
    pub fn waits_for_check(&self) -> bool {
        let run = self.state.run().filter(|_| !self.within_piece());
        run.is_some_and(|run| run.found.is_empty()) && self.state.pieces_since_check() > 0
    }

    /// Ends the run, or the pieces of it that are looked at.
    pub(super) fn end_of_run(&self, run: &Run) -> Answer {
        if !run.found.is_empty() {
            return one(Event::ReadingsEnded);
        }
        match self.state.pieces_since_check() {
            0 => one(Event::RunEnded),
            // It ends with the check of these pieces, which is asked for now: a reading of the standard must not become a piece.
            _ => Answer::Events(vec![
                Event::ReadingsEnded,
                Event::ZeroAgain { when: When::After },
            ]),
        }
    }

    /// Which zero check `zero` begins in a run: the closing one of the pieces since the last, if there are any.
    pub(super) fn check_of_run(&self) -> When {
        match self.state.pieces_since_check() {
            0 => When::Before,
            _ => When::After,
        }
    }

    /// The gauge that the register has for it, where the plan says which thread it checks.
    pub(super) fn fit_gauge(&self) -> Option<String> {
        let run = self.state.run().filter(|run| run.of.way == Way::Gauge)?;
        let mut fit = gauges::fit(self.register, &run.of, self.today);
        fit.next().map(|gauge| gauge.id.clone())
    }

    /// The gauge or the document that shows it. A gauge is taken as the register describes it; one that it does not have is
    /// used only if that is said.
    pub(super) fn with(&self, line: &str) -> Result<Answer, Refusal> {
        let offered = self.fit_gauge().filter(|_| line.is_empty());
        let line = offered.unwrap_or_else(|| line.to_owned());
        let line = required(not_a_reading(&line)?, Refused::AnswerMissing)?;
        let Some(run) = self.state.run().filter(|run| run.of.way == Way::Gauge) else {
            return Ok(one(Event::With {
                name: line,
                gauge: None,
                notes: Vec::new(),
            }));
        };
        let (name, unregistered) = match line.rsplit_once(char::is_whitespace) {
            Some((name, word)) if word.eq_ignore_ascii_case(input::UNREGISTERED) => {
                (name.trim().to_owned(), true)
            }
            _ => (line, false),
        };
        let gauge = gauges::find(self.register, &name);
        match gauge {
            Some(gauge) => gauges::shows(gauge, &run.of).map_err(Refusal::new)?,
            None if unregistered => {}
            None => {
                let line = format!("{name} {}", input::UNREGISTERED);
                let mut suggestions = gauges::nearest(self.register, &name);
                suggestions.push(line.clone());
                let unknown = GaugeRefused::Unknown { id: name, line };
                return Err(Refusal {
                    suggestions,
                    ..Refusal::new(unknown)
                });
            }
        }
        let when = (Timestamp::MAX, self.today);
        let notes = gauges::notes(gauge, &name, &run.of, self.register, when)?;
        Ok(one(Event::With {
            name,
            gauge: gauge.cloned().map(Box::new),
            notes: gauges::stored(notes),
        }))
    }

    /// Whether a piece conforms: `y`, `n`, with the turns of a gauge and a note behind it.
    pub(super) fn found(&self, line: &str) -> Result<Answer, Refusal> {
        let Some(run) = self.state.run() else {
            return Err(Refusal::new(Refused::NotComplete));
        };
        let Some(piece) = run.next_piece() else {
            return Err(Refusal::new(Refused::NotComplete));
        };
        let (word, rest) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
        let word = word.to_lowercase();
        let conforms = if input::CONFORMS.contains(&word.as_str()) {
            true
        } else if input::CONFORMS_NOT.contains(&word.as_str()) {
            false
        } else {
            return Err(Refusal::new(Refused::YesOrNo));
        };
        let rest = rest.trim();
        let (first, after) = rest.split_once(char::is_whitespace).unwrap_or((rest, ""));
        let turns = (run.of.way == Way::Gauge)
            .then(|| first.replace(',', ".").parse::<f64>().ok())
            .flatten();
        if turns.is_some_and(|turns| !(0.0..=1000.0).contains(&turns)) {
            let given = first.to_owned();
            return Err(Refusal::new(GaugeRefused::Turns { given }));
        }
        let shown = turns.filter(|_| conforms);
        let shown = shown.map(|turns| gauges::turns_conform(turns, run.gauge.as_deref(), &run.of));
        if let Some(Err(refused)) = shown {
            let mut suggestions = vec![format!("n {rest}")];
            if let GaugeRefused::TooFewTurns { .. } = refused {
                suggestions.push(format!("y {after}").trim_end().to_owned());
            }
            return Err(Refusal {
                suggestions,
                ..Refusal::new(refused)
            });
        }
        Self::number_means(run, conforms, rest)?;
        let note = if turns.is_some() { after } else { rest };
        Ok(one(Event::Found {
            piece,
            conforms,
            turns,
            note: optional(note),
        }))
    }

    /// Refuses a number that says nothing, or something else than the answer: nothing is measured by eye, and a size in a
    /// document lies within the limits of what conforms.
    fn number_means(run: &Run, conforms: bool, rest: &str) -> Result<(), Refusal> {
        match run.of.way {
            Way::ByEye if is_bare(rest) => {
                let given = rest.to_owned();
                Err(Refusal::new(Refused::NumberByEye { given }))
            }
            Way::Document if conforms => {
                let asked = run.of.measured.as_ref();
                let past = asked.and_then(|asked| past_limit(rest, asked));
                past.map_or(Ok(()), |PastLimit { size, limit }| {
                    let line = format!("n {rest}");
                    Err(Refusal {
                        suggestions: vec![line.clone()],
                        ..Refusal::new(Refused::PastLimit { size, limit, line })
                    })
                })
            }
            _ => Ok(()),
        }
    }
}

fn not_between() -> Refusal {
    Refusal::new(Refused::NotNow {
        word: input::PIECE.to_owned(),
    })
}
