//! What the events of a run make of the state, and what is asked next.

use std::sync::Arc;

use jiff::Timestamp;
use metrology::decision::Verdict;
use metrology::inspection::{Inspection, Job, JobError, inspect};

use super::event::{Event, OfLot, Spot, When};
use super::places;
use super::procedure::Procedure;
use super::question::Question;
use super::run::{FoundPiece, Piece, Run, Stop};
use super::state::State;
use super::zero::Check;
use crate::inspection_plan::Way;

impl State {
    /// The run, where the job is one.
    pub const fn run(&self) -> Option<&Run> {
        match &self.procedure {
            Procedure::Run(run) => Some(run),
            Procedure::Inspection | Procedure::Calibration(_) | Procedure::Study(_) => None,
        }
    }

    pub const fn run_mut(&mut self) -> Option<&mut Run> {
        match &mut self.procedure {
            Procedure::Run(run) => Some(run),
            Procedure::Inspection | Procedure::Calibration(_) | Procedure::Study(_) => None,
        }
    }

    /// What happens in a run alone.
    pub(super) fn take_in_run(&mut self, number: u64, at: Timestamp, event: &Event) {
        match event {
            Event::Run { of } => self.begin_run(of),
            Event::Person { person } => self.person = Some(person.clone()),
            Event::ZeroKept { readings, at, .. } => {
                self.keep_zero(readings);
                self.checked_at = Some(*at);
            }
            Event::Piece { name } => self.next_under_contacts(name),
            Event::Retaking { of } => self.take_up_again(*of),
            Event::Settled { good, .. } => self.settle(*good),
            _ => {}
        }
        let closed_at = self.checked_at;
        let Some(run) = self.run_mut() else {
            return;
        };
        match event {
            Event::Closure {
                when: When::Before, ..
            }
            | Event::ZeroKept { .. } => run.before_at = closed_at,
            Event::Settled { good, .. } => run.before_at = closed_at.filter(|_| *good),
            Event::WentOn => run.went_on = true,
            Event::Reading { .. } => {
                run.went_on = false;
                run.begun_at.get_or_insert(at);
            }
            Event::Retaken { .. } | Event::More { .. } => run.went_on = false,
            Event::CheckPutOff => {
                run.check_asked = false;
                run.ending = false;
                let pieces = run.open.len() + usize::from(run.piece.is_some());
                run.put_off = pieces.max(1);
            }
            Event::ZeroAgain { when: When::After } => run.check_asked = true,
            Event::With { name, gauge, notes } => {
                run.with = Some(name.clone());
                run.gauge.clone_from(gauge);
                run.notes.clone_from(notes);
            }
            Event::Found {
                piece,
                conforms,
                turns,
                note,
            } => {
                run.went_on = false;
                run.found.push(FoundPiece {
                    number,
                    at,
                    piece: piece.clone(),
                    conforms: *conforms,
                    turns: *turns,
                    note: note.clone(),
                });
            }
            Event::ReadingsEnded if !run.of.way.is_measured() => run.ending = true,
            _ => {}
        }
    }

    /// The readings of a run are ended between two pieces: it ends with its next zero check, where that is good. Within a piece the
    /// readings of that are ended.
    pub(super) fn ends_run(&mut self) -> bool {
        let within = !self.readings.is_empty() && self.readings.len() < self.plan.len();
        match self
            .run_mut()
            .filter(|run| !within && run.of.way.is_measured())
        {
            Some(run) => {
                run.ending = true;
                true
            }
            None => false,
        }
    }

    fn begin_run(&mut self, of: &OfLot) {
        self.name = Some(of.part.clone());
        self.drawing = Some(Some(of.drawing.clone()));
        self.lot = Some((Some(of.lot.clone()), None));
        self.rule = Some(of.rule.clone());
        self.service = Some(None);
        self.procedure = Procedure::Run(Box::new(Run::new(of.clone())));
        if let Some(characteristic) = of.measured.as_ref().filter(|_| of.way.is_measured()) {
            self.measure(characteristic.clone());
        }
        if !of.spots.is_empty() {
            self.plan.clone_from(&of.spots);
        }
    }

    /// The places of one piece, as the plan has them.
    fn spots(&self, of: &OfLot) -> Vec<Spot> {
        match &self.target {
            Some(target) if of.spots.is_empty() => places::usual(target, &[]),
            _ => of.spots.clone(),
        }
    }

    fn next_under_contacts(&mut self, name: &str) {
        self.put_aside();
        let spots = self.run().map(|run| self.spots(&run.of));
        self.plan = spots.unwrap_or_default();
        if let Some(run) = self.run_mut() {
            run.piece = Some(name.to_owned());
            run.named = None;
            run.went_on = false;
        }
        if let Some((lot, _)) = self.lot.take() {
            self.lot = Some((lot, Some(name.to_owned())));
        }
    }

    /// The piece under the contacts makes room for the next one.
    fn put_aside(&mut self) {
        let readings = std::mem::take(&mut self.readings);
        let left_out = std::mem::take(&mut self.left_out);
        self.retaking = None;
        if let Some(run) = self.run_mut()
            && let Some(name) = run.piece.take().filter(|_| !readings.is_empty())
        {
            run.open.push(Piece {
                name,
                readings,
                left_out,
            });
        }
    }

    /// The piece before, of which a reading is to be taken again although another was named since.
    fn take_up_again(&mut self, of: u64) {
        if !self.readings.is_empty() {
            return;
        }
        let has = |piece: &mut Piece| piece.readings.iter().any(|reading| reading.number == of);
        let Some(run) = self.run_mut() else {
            return;
        };
        let Some(piece) = run.open.pop_if(has) else {
            return;
        };
        run.named = run.piece.replace(piece.name.clone());
        run.went_on = false;
        self.plan = piece.readings.iter().map(|one| one.spot.clone()).collect();
        self.readings = piece.readings;
        self.left_out = piece.left_out;
        if let Some((lot, _)) = self.lot.take() {
            self.lot = Some((lot, Some(piece.name)));
        }
    }

    /// The piece before the one that was named and not begun.
    pub(super) fn piece_before(&self) -> Option<&Piece> {
        let run = self.run().filter(|_| self.readings.is_empty())?;
        run.open.last()
    }

    /// All since the check before is on the record.
    fn settle(&mut self, good: bool) {
        // What is on the record is not taken back.
        self.answered.clear();
        let is_begun = !self.readings.is_empty();
        if let Some(run) = self.run_mut().filter(|_| !is_begun) {
            run.named = run.piece.take().or(run.named.take());
        }
        self.put_aside();
        let after = std::mem::take(&mut self.after);
        if good {
            self.before = Check {
                closures: after
                    .closures
                    .into_iter()
                    .filter(|one| !one.set_aside)
                    .collect(),
                accepted: None,
            };
            self.zero_kept = true;
        } else {
            self.before = Check::default();
            self.zero_kept = false;
        }
        if let Some(run) = self.run_mut() {
            let open = std::mem::take(&mut run.open).into_iter();
            let found = std::mem::take(&mut run.found).into_iter();
            if !good && !run.of.way.is_measured() {
                // The gauge is barred: nothing counts that was found with it.
                run.with = None;
                run.gauge = None;
                run.notes.clear();
                run.ending = false;
                run.went_on = false;
                return;
            }
            let names = open.map(|piece| piece.name);
            Arc::make_mut(&mut run.settled).extend(names.chain(found.map(|found| found.piece)));
            run.checks += 1;
            run.check_asked = false;
            run.ending &= !run.of.way.is_measured();
            run.put_off = 0;
        }
    }

    /// Whether all places of the piece under the contacts are measured.
    pub fn piece_is_complete(&self) -> bool {
        !self.readings.is_empty() && self.readings.len() >= self.plan.len()
    }

    /// What is asked of a run that has no end yet, parked or not.
    pub(super) fn run_question(&self, run: &Run) -> Question {
        if self.person.is_none() {
            return Question::Person;
        }
        if !run.of.way.is_measured() {
            return run_without_readings(run);
        }
        let asked = self
            .set_up_question()
            .or_else(|| self.check_question(When::Before));
        if let Some(question) = asked {
            return question;
        }
        if !self.after.standing().is_empty() {
            return self.check_question(When::After).unwrap_or(Question::Settle);
        }
        let reading = self.reading_question();
        let complete = self.piece_is_complete();
        let pieces = self.pieces_since_check();
        let closing = Question::Closure {
            when: When::After,
            number: 1,
        };
        // Asked for when the code of the next piece was scanned already: the piece waits.
        if run.check_asked && self.readings.is_empty() && pieces > 0 {
            return closing;
        }
        if let Some(question) = reading.filter(|_| run.piece.is_some()) {
            return question;
        }
        if let Some(stop) = self.stop().filter(|_| complete && !run.went_on) {
            return Question::Stopped { stop };
        }
        if pieces > 0 && run.check_is_due(pieces) {
            return closing;
        }
        match run.next_piece() {
            Some(_) => Question::Reading { index: 0 },
            None if pieces > 0 => closing,
            None => Question::RunDone,
        }
    }

    /// Whether pieces are looked at, tried with a gauge or taken from a document, without readings.
    pub fn looks(&self) -> bool {
        self.run().is_some_and(|run| !run.of.way.is_measured())
    }

    /// When the first reading of the job was taken: of a run, of its first piece.
    pub fn begun_reading(&self) -> Option<Timestamp> {
        match self.run() {
            Some(run) => run.begun_at,
            None => self.readings.first().map(|first| first.at),
        }
    }

    /// How many pieces of the run have a result or are getting one: a piece that was only named has none.
    pub fn pieces_measured(&self) -> u64 {
        let begun = !self.readings.is_empty();
        self.run().map_or(0, |run| run.measured_with(begun))
    }

    /// Pieces that wait for the next check.
    pub fn pieces_since_check(&self) -> usize {
        let open = self.run().map_or(0, |run| run.open.len());
        open + usize::from(!self.readings.is_empty())
    }

    /// Why the run stops at the piece that was just measured, where it does.
    pub fn stop(&self) -> Option<Stop> {
        if !self.left_out.is_empty() {
            return Some(Stop::Incomplete);
        }
        *self.found.stop.get_or_init(|| match self.inspect()? {
            Err(_) => Some(Stop::NoSize),
            Ok((_, result)) => match result.verdict() {
                Verdict::Accept => None,
                Verdict::Reject => Some(Stop::Rejected),
                _ => Some(Stop::Undecided),
            },
        })
    }

    /// Why the piece that was measured last has no size, where it has none.
    pub fn no_size(&self) -> Option<JobError> {
        self.inspect()?.err()
    }

    /// Places of the piece that comes next, as the plan has them.
    pub fn plan_of_next(&self) -> Vec<Spot> {
        self.run().map_or_else(Vec::new, |run| self.spots(&run.of))
    }

    /// The pieces since the last check, the one under the contacts last.
    pub fn open_pieces(&self) -> Vec<Piece> {
        let Some(run) = self.run() else {
            return Vec::new();
        };
        let under = run.piece.as_ref().filter(|_| !self.readings.is_empty());
        let under = under.map(|name| Piece {
            name: name.clone(),
            readings: self.readings.clone(),
            left_out: self.left_out.clone(),
        });
        run.open.iter().cloned().chain(under).collect()
    }

    /// The job of a piece of the run.
    pub fn job_of(&self, piece: &Piece) -> Option<Job> {
        let mut with = Self {
            readings: piece.readings.clone(),
            left_out: piece.left_out.clone(),
            ..self.clone()
        };
        let lot = with.lot.take()?.0;
        with.lot = Some((lot, Some(piece.name.clone())));
        // Flags are of the piece.
        with.examine();
        with.to_job()
    }

    /// What a piece of the run gives so far.
    pub fn inspect_piece(&self, piece: &Piece) -> Option<(Job, Result<Inspection, JobError>)> {
        let job = self.job_of(piece)?;
        let result = inspect(&job);
        Some((job, result))
    }

    /// Places of a piece that were to be measured and were not.
    pub fn missing_places(&self, piece: &Piece) -> Vec<Spot> {
        let Some(run) = self.run() else {
            return Vec::new();
        };
        let mut planned = self.spots(&run.of);
        for reading in &piece.readings {
            if let Some(at) = planned.iter().position(|spot| *spot == reading.spot) {
                planned.remove(at);
            }
        }
        planned
    }
}

/// What is looked at, tried with a gauge or taken from another document.
fn run_without_readings(run: &Run) -> Question {
    if run.with.is_none() && matches!(run.of.way, Way::Gauge | Way::Document) {
        return Question::With;
    }
    if run.found.last().is_some_and(|last| !last.conforms) && !run.went_on {
        return Question::Stopped {
            stop: Stop::Rejected,
        };
    }
    match run.next_piece().filter(|_| !run.ending) {
        Some(_) => Question::Find,
        None if !run.found.is_empty() => Question::Settle,
        None => Question::RunDone,
    }
}

#[cfg(test)]
mod tests {
    use metrology::inspection::{Characteristic, RuleName, ThreadDiameter};

    use super::*;
    use crate::bench::Answer;
    use crate::bench::run::USUAL_PIECES;
    use crate::bench::story::{Story, tell};
    use crate::kept;

    fn of(n: u64) -> OfLot {
        OfLot {
            lot: "L-1".to_owned(),
            lot_entry: "2-abcd".to_owned(),
            plan: "IP-1".to_owned(),
            plan_entry: "1-abcd".to_owned(),
            part: "screw".to_owned(),
            drawing: "TC-1 rev A".to_owned(),
            order: Some("order 3".to_owned()),
            number: "1".to_owned(),
            way: Way::Contacts,
            measured: Some(Characteristic::Thread {
                designation: "M10x1.5-6g".to_owned(),
                diameter: ThreadDiameter::PitchDiameter,
                terms: None,
            }),
            thread: None,
            gauge: None,
            says: None,
            scope: None,
            rule: RuleName {
                name: "iso14253-1".to_owned(),
                parameter: None,
                assumed: true,
            },
            agreed: None,
            spots: ["near the head", "middle 90°", "near the end"]
                .map(Spot::named)
                .to_vec(),
            n: Some(n),
        }
    }

    /// A run up to its first reading.
    fn begun(name: &str, of: OfLot) -> Story {
        let folder = std::env::temp_dir().join(format!("midflank-{name}-{}", std::process::id()));
        let mut story = Story::begin(&ledger::Ledger::open(folder.join("ledger.db")).unwrap());
        std::fs::remove_dir_all(folder).unwrap();
        story.happens(Event::Run { of: Box::new(of) });
        assert_eq!(story.state().question(), Question::Person);
        for line in ["A. Quill", "mic-04", "vc-60-3", "rod-10", ""] {
            story.tell(line).unwrap();
        }
        tell(&mut story, &["10.001", "10.002", "10.001"]);
        story
    }

    const GOOD: [&str; 3] = ["8.929", "8.930", "8.927"];

    /// A piece takes its readings and nothing else, and the last is taken back where the next piece is asked for.
    #[test]
    fn piece_after_piece_without_a_question() {
        let mut story = begun("run", of(5));
        assert_eq!(story.state().question(), Question::Reading { index: 0 });
        tell(&mut story, &GOOD);
        tell(&mut story, &GOOD);
        let state = story.state();
        assert_eq!(state.pieces_since_check(), 2);
        assert_eq!(state.run().unwrap().next_piece().unwrap(), "3");
        tell(&mut story, &["r", "8.931"]);
        let pieces = story.state().open_pieces();
        let last = pieces.last().unwrap();
        assert_eq!((last.name.as_str(), last.readings.len()), ("2", 3));
        assert_eq!(last.readings[2].shown.text(), "8.931mm");
        let (job, result) = story.state().inspect_piece(last).unwrap();
        assert!(result.unwrap().is_provisional());
        assert_eq!(job.part.sample.as_deref(), Some("2"));
        assert_eq!(job.part.order.as_deref(), Some("order 3"));
        assert_eq!(job.struck.len(), 1);
        // The piece before keeps its own.
        let (job, _) = story.state().inspect_piece(&pieces[0]).unwrap();
        assert_eq!(
            (job.part.sample.as_deref(), job.struck.len()),
            (Some("1"), 0)
        );
    }

    /// `E` while pieces wait leads into the zero check: the next reading of the standard is one of the check, and no piece. A piece that
    /// was only named is not counted.
    #[test]
    fn the_end_of_a_run_begins_with_its_zero_check() {
        let mut story = begun("ending", of(5));
        tell(&mut story, &GOOD);
        assert_eq!(story.state().pieces_measured(), 1);
        tell(&mut story, &["/piece P-17"]);
        assert_eq!(story.state().pieces_measured(), 1);
        assert_eq!(story.state().run().unwrap().measured(), 2);
        tell(&mut story, &["e"]);
        let closing = |number| Question::Closure {
            when: When::After,
            number,
        };
        assert_eq!(story.state().question(), closing(1));
        tell(&mut story, &["10.001"]);
        assert_eq!(story.state().question(), closing(2));
        assert_eq!(story.state().pieces_since_check(), 1);
    }

    /// After the good check nothing waits, and the run is to end; a check that was asked for alone ends nothing.
    #[test]
    fn a_run_that_was_ended_ends_with_its_check() {
        let ending = |line: &str| {
            let mut story = begun("ends-with-check", of(5));
            tell(&mut story, &GOOD);
            tell(&mut story, &[line]);
            let state = story.state();
            assert_eq!(state.plan.len(), 3);
            tell(&mut story, &["10.001", "10.002", "10.001"]);
            assert_eq!(story.state().question(), Question::Settle);
            let to_end = story.state().run().unwrap().ending;
            story.happens(Event::Settled {
                entry: None,
                good: true,
            });
            assert!(!story.state().run().unwrap().ending);
            to_end
        };
        assert!(ending("e"));
        assert!(!ending("z"));
    }

    /// One place and one reading: the piece has no size, and M takes two more around it. The next piece is read as the plan has it.
    #[test]
    fn a_piece_read_once_has_no_size() {
        let one = OfLot {
            spots: vec![Spot::named("middle")],
            ..of(5)
        };
        let mut story = begun("read-once", one);
        tell(&mut story, &["8.929"]);
        let stop = Question::Stopped { stop: Stop::NoSize };
        assert_eq!(story.state().question(), stop);
        assert_eq!(story.state().no_size(), Some(JobError::OneReading));
        for line in ["", "z", "8.930"] {
            assert!(story.tell(line).is_err(), "{line}");
        }
        let none = story.tell("").unwrap_err();
        assert_eq!(none.why.message.code, "bench.at-no-size");
        tell(&mut story, &["m", "8.930", "8.928"]);
        let state = story.state();
        assert_eq!(state.question(), Question::Reading { index: 0 });
        let angles: Vec<_> = state.plan.iter().map(|spot| spot.angle).collect();
        assert_eq!(angles, [None, Some(60.0), Some(120.0)]);
        assert_eq!(state.plan_of_next().len(), 1);
        tell(&mut story, &["8.929"]);
        assert_eq!(story.state().question(), stop);
    }

    /// What a scanner sends is no reason for keeping a reading that looks like a mistake.
    #[test]
    fn a_code_is_no_reason() {
        let mut story = begun("reason", of(5));
        tell(&mut story, &["10.002", "8.930", "8.927"]);
        assert!(matches!(story.state().question(), Question::Flagged { .. }));
        for code in [
            "WO-2026-0815-7",
            "go-ring-10",
            "GO-RING-10",
            "TC-1 rev A",
            "WO 2026 0815",
            "checked-twice",
        ] {
            let refused = story.tell(code).unwrap_err();
            assert_eq!(refused.why.message.code, "bench.no-reason", "{code}");
        }
        tell(&mut story, &["burr at the edge"]);
        assert!(story.state().readings[0].left.is_some());
    }

    /// rod-10 is certified as 9.9994 mm and was closed on at 10.001: the same at a piece of 8.862 to 8.994 mm is the standard.
    #[test]
    fn the_standard_between_the_contacts_is_no_piece() {
        let mut story = begun("standard", of(5));
        tell(&mut story, &GOOD);
        tell(&mut story, &["10.002"]);
        let state = story.state();
        let flag = state.readings[0].flag.as_ref().unwrap();
        assert_eq!(flag.kind, "of-standard");
        assert_eq!(state.newly_flagged, Some(state.readings[0].number));
        // A part far too large is none, nor is what lies a few tens of micrometres off the standard.
        for other in ["10.020", "9.050"] {
            tell(&mut story, &["r", other]);
            let state = story.state();
            let flag = state.readings[0].flag.as_ref();
            assert!(
                flag.is_none_or(|flag| flag.kind != "of-standard"),
                "{other}"
            );
        }
    }

    #[test]
    fn a_scanned_code_names_the_piece() {
        let mut story = begun("scanned", of(5));
        tell(&mut story, &["P-17"]);
        tell(&mut story, &GOOD);
        let state = story.state();
        assert_eq!(state.open_pieces()[0].name, "P-17");
        assert!(story.tell("P-17").is_err());
        tell(&mut story, &["/piece P-17 again", "8.929"]);
        assert_eq!(story.state().run().unwrap().piece.as_deref(), Some("P-17"));
        // In the middle of a piece no other one begins.
        assert!(story.tell("P-18").is_err());
    }

    /// The code of the next piece was scanned when the last reading turns out to be wrong: it is of the piece before, which is
    /// taken up again, and the scanned one comes after it.
    #[test]
    fn a_reading_is_taken_again_after_the_next_code_was_scanned() {
        let mut story = begun("scanned-late", of(5));
        tell(&mut story, &["P-16"]);
        tell(&mut story, &GOOD);
        tell(&mut story, &["P-17"]);
        tell(&mut story, &["r"]);
        assert!(matches!(story.state().question(), Question::Again { .. }));
        tell(&mut story, &["8.931"]);
        let state = story.state();
        assert_eq!(state.question(), Question::Reading { index: 0 });
        assert_eq!(state.run().unwrap().next_piece().as_deref(), Some("P-17"));
        tell(&mut story, &GOOD);
        let pieces = story.state().open_pieces();
        let shown = |at: usize| {
            let piece: &Piece = &pieces[at];
            let readings = piece.readings.iter();
            let texts: Vec<&str> = readings.map(|one| one.shown.text()).collect();
            (piece.name.clone(), texts.join(" "))
        };
        assert_eq!(
            shown(0),
            ("P-16".to_owned(), "8.929mm 8.930mm 8.931mm".to_owned())
        );
        assert_eq!(
            shown(1),
            ("P-17".to_owned(), "8.929mm 8.930mm 8.927mm".to_owned())
        );
        // The one before stays as it was read, or is rejected now: the run stops at it.
        tell(&mut story, &["P-18", "r", ""]);
        assert_eq!(story.state().question(), Question::Reading { index: 0 });
        tell(&mut story, &["r", "8.700"]);
        let state = story.state();
        assert_eq!(state.run().unwrap().piece.as_deref(), Some("P-17"));
        assert_ne!(state.question(), Question::Reading { index: 0 });
    }

    /// A code that was scanned before a zero check is still the next piece after it.
    #[test]
    fn a_scanned_code_outlasts_a_zero_check() {
        let mut story = begun("scanned-check", of(5));
        tell(&mut story, &GOOD);
        tell(&mut story, &["P-17", "z"]);
        assert!(matches!(
            story.state().question(),
            Question::Closure {
                when: When::After,
                ..
            }
        ));
        tell(&mut story, &["10.001", "10.002", "10.001"]);
        assert_eq!(story.state().question(), Question::Settle);
        story.happens(Event::Settled {
            entry: None,
            good: true,
        });
        let state = story.state();
        assert_eq!(state.question(), Question::Reading { index: 0 });
        assert_eq!(state.run().unwrap().next_piece().as_deref(), Some("P-17"));
        tell(&mut story, &["8.929"]);
        assert_eq!(story.state().run().unwrap().piece.as_deref(), Some("P-17"));
        // What is on the record is not taken back.
        assert!(story.state().last_answer().is_empty());
    }

    #[test]
    fn what_is_not_accepted_stops_the_run() {
        let mut story = begun("stops", of(9));
        tell(&mut story, &["8.840", "8.841", "8.842"]);
        let stopped = |stop| Question::Stopped { stop };
        assert_eq!(story.state().question(), stopped(Stop::Rejected));
        assert!(story.tell("8.930").is_err());
        tell(&mut story, &["", "8.863", "8.864", "8.862"]);
        assert_eq!(story.state().question(), stopped(Stop::Undecided));
        // Two more readings go on with the piece.
        tell(&mut story, &["m"]);
        assert_eq!(story.state().question(), Question::Reading { index: 3 });
        tell(&mut story, &["8.863", "8.862", ""]);
        // Fewer than the plan asks for are no piece.
        let mut fewer = of(9);
        fewer.spots.extend(["a", "b"].map(Spot::named));
        let mut story = begun("fewer", fewer);
        tell(&mut story, &GOOD);
        tell(&mut story, &["e"]);
        let state = story.state();
        assert_eq!(state.question(), stopped(Stop::Incomplete));
        assert_eq!(state.missing_places(&state.open_pieces()[0]).len(), 2);
    }

    /// The check is due after so many pieces, may be put off once, and is asked for when all pieces are measured.
    #[test]
    fn the_zero_is_checked_between_pieces() {
        let mut story = begun("between", of(12));
        let closing = Question::Closure {
            when: When::After,
            number: 1,
        };
        for _ in 0..USUAL_PIECES {
            assert_eq!(story.state().question(), Question::Reading { index: 0 });
            tell(&mut story, &GOOD);
        }
        assert_eq!(story.state().question(), closing);
        tell(&mut story, &["/next"]);
        assert_eq!(story.state().question(), Question::Reading { index: 0 });
        assert!(story.tell("/char 2").is_err());
        // It ends with the check of its pieces.
        tell(&mut story, &["/end"]);
        assert_eq!(story.state().question(), closing);
        assert!(story.tell("/char 2").is_err());
        tell(&mut story, &["10.001", "10.002", "10.001"]);
        assert_eq!(story.state().question(), Question::Settle);
        story.happens(Event::Settled {
            entry: Some("9-abcd".to_owned()),
            good: true,
        });
        let state = story.state();
        assert_eq!(state.run().unwrap().settled.len(), USUAL_PIECES);
        assert!(state.open_pieces().is_empty());
        assert_eq!(state.before.standing().len(), 3);
        // What is on the record is not read again.
        assert!(story.tell("r").is_err());
        tell(&mut story, &GOOD);
        tell(&mut story, &GOOD);
        assert_eq!(story.state().question(), closing);
        tell(&mut story, &["10.001", "10.002", "10.001"]);
        story.happens(Event::Settled {
            entry: None,
            good: false,
        });
        let state = story.state();
        assert!(state.before.standing().is_empty());
        assert!(matches!(
            state.question(),
            Question::Closure {
                when: When::Before,
                ..
            }
        ));
        let by_event = format!("{:?}", story.event_by_event());
        assert_eq!(by_event, format!("{:?}", story.state()));
    }

    #[test]
    fn what_is_looked_at_takes_one_answer_a_piece() {
        let mut by_eye = of(3);
        by_eye.way = Way::Gauge;
        by_eye.measured = None;
        let folder = std::env::temp_dir().join(format!("midflank-eye-{}", std::process::id()));
        let mut story = Story::begin(&ledger::Ledger::open(folder.join("ledger.db")).unwrap());
        std::fs::remove_dir_all(folder).unwrap();
        story.happens(Event::Run {
            of: Box::new(by_eye),
        });
        tell(
            &mut story,
            &[
                "A. Quill",
                "GO 6g-17 unregistered",
                "y 4,5 tight at the end",
            ],
        );
        assert!(story.tell("").is_err());
        assert!(story.tell("8.930").is_err());
        // A piece that does not conform stops the run, and nothing but Enter leaves it.
        let stopped = Question::Stopped {
            stop: Stop::Rejected,
        };
        tell(&mut story, &["n burr"]);
        assert_eq!(story.state().question(), stopped);
        assert!(story.tell("y").is_err());
        assert!(story.tell("m").is_err());
        tell(&mut story, &["r", "n burr", "/back", "y"]);
        assert_eq!(story.state().question(), Question::Find);
        let state = story.state();
        let found = &state.run().unwrap().found;
        assert_eq!((found.len(), found[0].turns), (2, Some(4.5)));
        assert_eq!(found[0].note.as_deref(), Some("tight at the end"));
        assert!(found[1].conforms);
        // Those that were looked at are kept before the run is ended.
        tell(&mut story, &["/end"]);
        assert_eq!(story.state().question(), Question::Settle);
        story.happens(Event::Settled {
            entry: None,
            good: true,
        });
        assert_eq!(story.state().question(), Question::RunDone);
        assert_eq!(story.tell("").unwrap(), Answer::NextRun(None));
    }

    #[test]
    fn events_of_a_lot_have_a_schema_of_their_own() {
        let run = Event::Run {
            of: Box::new(of(3)),
        };
        let text = kept::write_event(&run).unwrap();
        assert!(text.starts_with(r#"{"schema":2,"#), "{text}");
        assert_eq!(kept::read_event(&text).unwrap(), run);
        let text = kept::write_event(&Event::Parked).unwrap();
        assert!(text.starts_with(r#"{"schema":1,"#), "{text}");
        assert_eq!(kept::read_event(&text).unwrap(), Event::Parked);
        let later = text.replace("\"schema\":1", "\"schema\":6");
        assert!(kept::read_event(&later).is_err());
    }
}
