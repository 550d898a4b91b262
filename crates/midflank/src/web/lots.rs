//! Lots at the bench: one is picked by its number, its runs follow one another in the order of work, and a zero check puts on
//! the record what waited for it.

use jiff::Timestamp;
use jiff::civil::Date;
use ledger::{Entry, Filter, Ledger, Order, Page, Subject};
use metrology::designation;
use metrology::lot::{LotReason, LotVerdict, Standing};
use metrology::message::Say as _;
use metrology::thread::ThreadError;
use workshop::bench::run::{Run, USUAL_PIECES};
use workshop::bench::taken;
use workshop::lot_entry::Checked;
use workshop::lots::{self, Begin, Lot, LotsError, Matrix, OpenRun, OrderOfWork};
use workshop::plan::{Plan, Planned};
use workshop::{Error, RecordKind};

use super::app::App;
use super::read::{Books, LotStands, SetUps};
use crate::bench::Proposals;
use crate::bench::answer::SetUp;
use crate::bench::last_check::LastCheck;
use crate::bench::last_part::Room;
use crate::bench::run as told;
use crate::bench::{Answer, Event, Question, Refusal, Refused, State, Table, fit};
use crate::desk;
use crate::document;
use crate::failure::Failure;
use crate::kept;
use crate::report;
use crate::report::trial;
use crate::say;
use crate::words;

/// Before the number of a lot, where that alone could be something else.
const LOT: &str = "lot";
/// Between the number of a lot and the plan that it is begun under, before the size of the lot, and before a name.
const UNDER: &str = " under ";
const OF: &str = " of ";
const BY: &str = " by ";
/// Plans that are offered to begin a lot under.
const OFFERED: usize = 5;
/// Lots that are offered where none has nearly the number that was typed.
const LATEST: u32 = 3;
/// Why a designation is refused that begins like none.
const UNKNOWN_FORM: &str = "designation.unknown-form";

/// So many of the latest lots are compared with a number that none has.
const LOOKED_AT: u32 = 200;

/// A number in small letters and without blanks.
fn closed_up(number: &str) -> String {
    let shown = number.chars().filter(|one| !one.is_whitespace());
    shown.collect::<String>().to_lowercase()
}

/// The lot and the sample that was stated by these events.
fn sample_of(events: &[Event]) -> Option<(&str, Option<&str>)> {
    events.iter().find_map(|event| match event {
        Event::Lot { lot, sample } => Some((lot.as_deref()?, sample.as_deref())),
        _ => None,
    })
}

/// A run that is to begin, or why none does.
enum Next {
    Run(Vec<Event>),
    Refused(Refusal),
    /// Nothing is left to do.
    Nothing,
}

/// How the pieces of a characteristic stand, and how many pieces the plan asks for.
type Standings = (Vec<Standing>, Option<u64>);

/// What a line at the first question says of a lot.
struct Named<'a> {
    number: &'a str,
    characteristic: Option<&'a str>,
    begin: Option<Begin>,
    person: Option<&'a str>,
    /// Whether it can be nothing else.
    surely: bool,
}

impl<'a> Named<'a> {
    /// `L-12`, `L-12 / 3`, `lot L-12`, `lot L-12 under IP-4 of 280 by A. Quill`.
    fn of(line: &'a str) -> Self {
        let after = line
            .split_once(char::is_whitespace)
            .filter(|(word, _)| word.eq_ignore_ascii_case(LOT));
        let surely = after.is_some();
        let text = after.map_or(line, |(_, rest)| rest).trim();
        let (text, person) = match text.rsplit_once(BY).filter(|_| surely) {
            Some((before, name)) => (before, Some(name.trim())),
            None => (text, None),
        };
        if let Some((number, plan)) = text.split_once(UNDER).filter(|_| surely) {
            let (plan, size) = match plan.rsplit_once(OF) {
                Some((plan, size)) if size.trim().parse::<u64>().is_ok() => {
                    (plan, size.trim().parse().ok())
                }
                _ => (plan, None),
            };
            let begin = Begin {
                number: number.trim().to_owned(),
                plan: plan.trim().to_owned(),
                size,
                ..Begin::default()
            };
            let number = number.trim();
            return Self {
                number,
                characteristic: None,
                begin: Some(begin),
                person,
                surely,
            };
        }
        let (number, characteristic) = match text.rsplit_once('/') {
            Some((number, characteristic)) => (number.trim(), Some(characteristic.trim())),
            None => (text, None),
        };
        Self {
            number,
            characteristic,
            begin: None,
            person,
            surely,
        }
    }
}

impl App {
    /// What a line at the first question does where it names a lot; none where it names none.
    pub(super) fn lot_named(
        &self,
        state: &State,
        line: &str,
        now: Timestamp,
    ) -> Result<Option<Result<Answer, Refusal>>, Failure> {
        let first = state.question() == Question::Designation && state.lot_before.is_none();
        let line = line.trim();
        if !first || line.is_empty() || line.starts_with('/') {
            return Ok(None);
        }
        let named = Named::of(line);
        let books = self.books()?;
        let found = match lots::find(&self.ledger, line)? {
            Some(lot) => Some(lot),
            None => lots::find(&self.ledger, named.number)?,
        };
        let lot = match (found, &named.begin) {
            (Some(lot), _) => lot,
            (None, Some(begin)) => {
                let person = named.person.or(books.last_person.as_deref());
                let Some(person) = person.filter(|name| !name.is_empty()) else {
                    let line = format!("{line}{BY}NAME");
                    let refusal = Refusal::new(Refused::BegunBy { line });
                    return Ok(Some(Err(refusal)));
                };
                match lots::begin(&self.ledger, begin, &desk::recorder(person)) {
                    Ok(lot) => lot,
                    Err(error) if error.is_input() => return Ok(Some(Err(error.into()))),
                    Err(error) => return Err(Failure::on_page(&error)),
                }
            }
            (None, None) if named.surely => {
                return self.no_such_lot(named.number).map(|it| Some(Err(it)));
            }
            (None, None) => return Ok(None),
        };
        let open = lots::open_runs(&self.ledger, &lot.begun.number)?;
        // What was left of it goes on.
        let parked = |run: &&OpenRun| {
            let state = &run.state;
            let asked = named.characteristic;
            let same = |number: &str| asked.is_none_or(|asked| asked == number);
            state.parked.is_some() && state.run().is_some_and(|run| same(&run.of.number))
        };
        if let Some(left) = open.iter().find(parked) {
            return Ok(Some(Ok(Answer::TakeUp(left.state.job))));
        }
        let before = self.before()?;
        let next = self.next(&lot, named.characteristic, before.as_ref(), now, &open)?;
        Ok(Some(match next {
            Next::Run(events) => Ok(Answer::Events(events)),
            Next::Refused(refusal) => Err(refusal),
            Next::Nothing => Err(Refusal::new(Refused::NothingOpen {
                number: lot.begun.number,
            })),
        }))
    }

    /// The run that was ended here last: its set-up may still be on the bench.
    fn before(&self) -> Result<Option<State>, Failure> {
        let Some(job) = self.last_here() else {
            return Ok(None);
        };
        Ok(Some(self.job(job)?).filter(|state| state.run().is_some()))
    }

    /// Lots that were begun before an entry, or the latest, so many of them; and before which entry the next were.
    pub(super) fn lots_before(
        &self,
        beyond: Option<u64>,
        count: u32,
    ) -> Result<(Vec<Entry>, Option<u64>), Failure> {
        let page = Page {
            beyond,
            ..Page::first(Order::NewestFirst, count)
        };
        let listing = self.ledger.list(&RecordKind::Lot.standing(), &page)?;
        let next = listing.next.and_then(|next| next.beyond);
        Ok((listing.entries, next))
    }

    /// How a lot stands. What the bench keeps of its own lot stays as it is: here many are looked at once.
    pub(super) fn lot_stands(&self, entry: &Entry, number: &str) -> Result<LotStands, Failure> {
        self.judged(entry.id(), || {
            let Some(lot) = lots::find(&self.ledger, number)? else {
                return Err(Failure::outside(say!("lots.no-lot", number = number)));
            };
            let matrix = lots::matrix(&self.ledger, &lot, &[])?;
            let tally = matrix.tally(|_| String::new());
            let (verdict, because) = tally.verdict();
            Ok(LotStands {
                verdict: verdict.key(),
                is_open: because == Some(LotReason::NotMeasured),
                measured: tally.counts.pieces(),
                of: matrix.plan.pieces.n,
            })
        })
    }

    /// The number of a begun lot that is written as this one but for capital letters and blanks, where none was begun as this.
    pub(super) fn begun_almost_as(&self, number: &str) -> Result<Option<String>, Failure> {
        if lots::find(&self.ledger, number)?.is_some() {
            return Ok(None);
        }
        let listed = lots::listed(&self.ledger, LOOKED_AT)?;
        let are_all = listed.len() < LOOKED_AT as usize;
        let mut numbers = listed.into_iter().map(|(_, begun)| begun.number);
        match numbers.find(|known| closed_up(known) == closed_up(number)) {
            None if !are_all => Ok(lots::begun_almost_as(&self.ledger, number)?),
            known => Ok(known),
        }
    }

    /// Why a sample is not of the lot that was written: one was begun that is written almost so, which is offered.
    pub(super) fn other_lot(&self, events: &[Event]) -> Result<Option<Refusal>, Failure> {
        let Some((number, sample)) = sample_of(events) else {
            return Ok(None);
        };
        let Some(known) = self.begun_almost_as(number)? else {
            return Ok(None);
        };
        let line = match sample {
            Some(sample) => format!("{known} / {sample}"),
            None => known.clone(),
        };
        let number = number.to_owned();
        let error = Error::input(LotsError::KnownAs { number, known });
        Ok(Some(Refusal {
            suggestions: vec![line],
            ..error.into()
        }))
    }

    /// That nothing is on the record of the lot of a sample, and something of one that is written in other letters.
    pub(super) fn measured_almost_as(&self, events: &[Event]) -> Result<Option<String>, Failure> {
        let Some((number, _)) = sample_of(events) else {
            return Ok(None);
        };
        let is_known = |number: &str| -> Result<bool, Failure> {
            let filter = Filter {
                subjects: [Subject::new(LOT, number)].into(),
                ..RecordKind::Inspection.standing()
            };
            let found = self
                .ledger
                .known(&filter, &Page::first(Order::NewestFirst, 1))?;
            Ok(!found.entries.is_empty())
        };
        if is_known(number)? {
            return Ok(None);
        }
        for other in [number.to_uppercase(), number.to_lowercase()] {
            if other != number && is_known(&other)? {
                return Ok(Some(say!("bench.lot-almost", lot = number, known = other)));
            }
        }
        Ok(None)
    }

    fn no_such_lot(&self, number: &str) -> Result<Refusal, Failure> {
        let nearest = lots::nearest(&self.ledger, number)?.into_iter();
        let nearest = nearest.map(|known| format!("{LOT} {known}"));
        let plans = lots::plans(&self.ledger)?;
        let line = |plan: &lots::PlanKept| format!("{LOT} {number}{UNDER}{}", plan.plan.name());
        let plans = plans.iter().take(OFFERED).map(line);
        Ok(Refusal {
            suggestions: nearest.chain(plans).collect(),
            ..Refusal::new(Refused::NoSuchLot {
                number: number.to_owned(),
            })
        })
    }

    /// The refusal of a line at the first question, which may have been meant as the number of a lot: then also that there is
    /// none, with the lots that may be meant.
    pub(super) fn or_no_lot(
        &self,
        state: &State,
        line: &str,
        refusal: Refusal,
    ) -> Result<Refusal, Failure> {
        let number = Named::of(line.trim()).number;
        let has = |is: fn(char) -> bool| number.contains(is);
        let like_a_number = has(|c| c.is_ascii_digit())
            && has(char::is_alphabetic)
            && !has(char::is_whitespace)
            && !number.starts_with('/');
        if state.question() != Question::Designation || !like_a_number {
            return Ok(refusal);
        }
        let mut suggestions = lots::nearest(&self.ledger, number)?;
        // What begins like a thread is one with a mistake in it, unless a lot has nearly that number.
        let begins_like_one = |error: ThreadError| error.message().code != UNKNOWN_FORM;
        if suggestions.is_empty() && designation::parse(number).err().is_none_or(begins_like_one) {
            return Ok(refusal);
        }
        if suggestions.is_empty() {
            let latest = lots::listed(&self.ledger, LATEST)?.into_iter();
            suggestions = latest.map(|(_, begun)| begun.number).collect();
        }
        suggestions.extend(refusal.suggestions);
        let refused = Refused::NeitherLotNorThread {
            number: number.to_owned(),
            why: refusal.why.message,
        };
        Ok(Refusal {
            suggestions,
            ..Refusal::new(refused)
        })
    }

    /// What a run comes to that was ended, and how what is left of it goes on.
    pub(super) fn run_ended(&self, state: &State) -> Result<Option<String>, Failure> {
        let Some(run) = state.run() else {
            return Ok(None);
        };
        let told = |(standings, n): Standings| told::run_ended(&run.of, &standings, n);
        Ok(self.standings_of(run)?.map(told))
    }

    /// What the pieces of the characteristic of a run came to, and how many the plan asks for.
    fn standings_of(&self, run: &Run) -> Result<Option<Standings>, Failure> {
        let Some((lot, matrix, _)) = self.of_lot(&run.of.lot)? else {
            return Ok(None);
        };
        let Ok(index) = named(&lot.plan, &run.of.number) else {
            return Ok(None);
        };
        let cells = matrix
            .rows
            .iter()
            .filter_map(|row| row.cells.get(index)?.as_ref());
        let standings = cells.map(|cell| cell.standing).collect();
        Ok(Some((standings, matrix.plan.pieces.n)))
    }

    /// The same in a sentence where all pieces of a run are done.
    pub fn counted(&self, state: &State) -> Result<Option<String>, Failure> {
        let is_done = state.question() == Question::RunDone;
        let Some(run) = state.run().filter(|_| is_done) else {
            return Ok(None);
        };
        let found = self.standings_of(run)?;
        Ok(found.and_then(|(standings, _)| told::counted(&standings)))
    }

    /// The run that comes after one, or why there is none.
    pub(super) fn next_run(
        &self,
        state: &State,
        number: Option<&str>,
        now: Timestamp,
    ) -> Result<Result<Option<Vec<Event>>, Refusal>, Failure> {
        let Some(run) = state.run() else {
            return Ok(Ok(None));
        };
        let Some(lot) = lots::find(&self.ledger, &run.of.lot)? else {
            return Ok(Ok(None));
        };
        let mut open = lots::open_runs(&self.ledger, &run.of.lot)?;
        open.retain(|other| other.state.job != state.job);
        Ok(match self.next(&lot, number, Some(state), now, &open)? {
            Next::Run(events) => Ok(Some(events)),
            Next::Refused(refusal) => Err(refusal),
            Next::Nothing => Ok(None),
        })
    }

    fn next(
        &self,
        lot: &Lot,
        number: Option<&str>,
        before: Option<&State>,
        now: Timestamp,
        open: &[OpenRun],
    ) -> Result<Next, Failure> {
        let books = self.books()?;
        let set_ups = self.set_ups(&books, lot)?;
        let matrix = self.matrix(lot, open)?;
        let at_work = |number: &str| {
            open.iter().find(|run| {
                let of = run.state.run().map(|run| run.of.number.as_str());
                run.state.parked.is_none() && of == Some(number)
            })
        };
        let plan = &lot.plan;
        let index = if let Some(number) = number {
            match named(plan, number) {
                Ok(index) => Some(index),
                Err(refusal) => return Ok(Next::Refused(refusal)),
            }
        } else {
            let order = order_of(&set_ups, &matrix);
            let is_open = |index: &usize| {
                let planned = plan.characteristics.get(*index);
                let number = planned.map(|one| one.number.as_str());
                !matrix.is_done(*index) && at_work(number.unwrap_or_default()).is_none()
            };
            let stages = order.stages.iter().map(|stage| stage.index);
            // What the set-up on the bench measures comes before it is changed.
            stages.filter(is_open).min_by_key(|index| {
                !before.is_some_and(|before| is_set_up(before, set_ups.get(*index)))
            })
        };
        let Some(index) = index else {
            return Ok(Next::Nothing);
        };
        if let Some(number) = number
            && let Some(other) = at_work(number)
        {
            let refused = Refused::CharacteristicElsewhere {
                number: number.to_owned(),
                station: other.station.clone(),
            };
            return Ok(Next::Refused(Refusal::new(refused)));
        }
        let Some(planned) = plan.characteristics.get(index) else {
            return Ok(Next::Nothing);
        };
        let of = Box::new(lots::run_of(lot, planned));
        let mut events = vec![Event::Run { of }];
        let person = before.and_then(|before| before.person.clone());
        let person = person.or_else(|| books.last_person.clone());
        let person = person.or_else(|| Some(lot.person.clone()));
        if let Some(person) = person.filter(|name| !name.is_empty()) {
            events.push(Event::Person { person });
        }
        if let Some(before) = before.filter(|before| is_set_up(before, set_ups.get(index))) {
            events.extend(self.kept_of(before, &books, now));
        }
        Ok(Next::Run(events))
    }

    /// Set-up, temperature and zero of a run for the next with the same equipment, as the register has it now.
    fn kept_of(&self, before: &State, books: &Books, now: Timestamp) -> Vec<Event> {
        let mut events = Vec::new();
        for (kind, id) in taken::pieces(before) {
            let Some(piece) = books.register.find(kind, &id) else {
                return Vec::new();
            };
            if !piece.equipment.state().is_active() {
                return Vec::new();
            }
            events.extend(taken::events(piece.with_history()));
        }
        let room = self.room_now(now);
        let today = fit::today(now);
        let room = room.filter(|room| taken::may_stand(&books.register, &room.temperature, today));
        match (room, &before.temperature) {
            (Some(room), _) => events.push(room.event()),
            (None, Some(None)) => events.push(Event::Temperature { temperature: None }),
            _ => {}
        }
        let check = LastCheck::of(before).filter(|check| check.holds(&books.register, now));
        events.extend(check.map(|check| check.event()));
        events
    }

    fn room_now(&self, now: Timestamp) -> Option<Room> {
        self.room().filter(|room| room.holds(now))
    }

    /// The set-up that is proposed for each characteristic of a plan; found again where the ledger went on.
    pub fn set_ups(&self, books: &Books, lot: &Lot) -> Result<SetUps, Failure> {
        let today = fit::today(crate::clock::now()?);
        Ok(self.proposed(books, &lot.begun.plan_entry, || {
            let all = lot.plan.characteristics.iter();
            all.map(|planned| proposed(books, lot, planned, today))
                .collect()
        }))
    }

    /// Puts on the record what waits in a run: by its zero check, or as it was found. What happens by it, and what is said.
    pub(super) fn settle(&self, state: &State) -> Result<Option<(Event, Option<String>)>, Failure> {
        let (Some(job), Some(run)) = (state.job, state.run()) else {
            return Ok(None);
        };
        let failed = |error: Error| Failure::on_page(&error);
        let measured = run.of.way.is_measured();
        let (kind, known) = if measured {
            (RecordKind::ZeroCheck, run.checks)
        } else {
            (RecordKind::Found, run.settled.len() as u64)
        };
        let verdict = self.verdict_of(&run.of.lot)?;
        let before = lots::made_before(&self.ledger, job, kind, known).map_err(failed)?;
        let (entry, good) = if let Some(made) = before {
            let checked = kept::read::<Checked>(kept::CHECKED, &made.content.results);
            (
                made.id().to_string(),
                checked.is_ok_and(|it| it.good) || !measured,
            )
        } else if let Some(barred) = self.barred_gauge(state)? {
            let entry = None;
            return Ok(Some((Event::Settled { entry, good: false }, Some(barred))));
        } else {
            let person = state.person.as_deref().unwrap_or_default();
            let recorder = desk::recorder(person);
            let inspection = |job: &_, result: &_| desk::draft(job, result, Some(person));
            let (drafts, good) =
                lots::drafts(&self.ledger, state, &recorder, &inspection).map_err(failed)?;
            let made = append(&self.ledger, &drafts)?;
            if let Some(kept) = made.last().filter(|last| RecordKind::Trial.is_of(last)) {
                let entry = Some(kept.id().to_string());
                let said = trial::kept_at_bench(kept)?;
                return Ok(Some((Event::Settled { entry, good: false }, Some(said))));
            }
            let last = made.last().map(|entry| entry.id().to_string());
            (last.unwrap_or_default(), good)
        };
        let names: Vec<String> = state
            .open_pieces()
            .into_iter()
            .map(|one| one.name)
            .collect();
        let settled = measured.then(|| crate::bench::run::settled(&names, good, &entry));
        let decided = self.decided(&run.of.lot, verdict, job)?;
        let said: Vec<String> = settled.into_iter().chain(decided).collect();
        let said = (!said.is_empty()).then(|| said.join(". "));
        let entry = Some(entry).filter(|_| measured);
        Ok(Some((Event::Settled { entry, good }, said)))
    }

    /// Why nothing counts that was found with the gauge of a run since the last record, and what is to be done; none where
    /// nothing bars it.
    pub(super) fn barred_gauge(&self, state: &State) -> Result<Option<String>, Failure> {
        let Some(run) = state.run().filter(|run| !run.found.is_empty()) else {
            return Ok(None);
        };
        let Some(barred) = lots::barred_gauge(run, &self.books()?.register) else {
            return Ok(None);
        };
        let pieces = run.found.iter().map(|found| found.piece.clone());
        Ok(Some(say!(
            "run.gauge-barred",
            why = words::error_on_page(&barred),
            pieces = words::list(pieces)
        )))
    }

    /// The verdict on a lot by what is on the record.
    fn verdict_of(&self, number: &str) -> Result<Option<LotVerdict>, Failure> {
        let Some(lot) = lots::find(&self.ledger, number)? else {
            return Ok(None);
        };
        let matrix = self.matrix(&lot, &[])?;
        Ok(Some(matrix.tally(words::spot).verdict().0))
    }

    /// That the lot is decided by what was just recorded, and what is left to do; none where it was decided before, or is not.
    fn decided(
        &self,
        number: &str,
        before: Option<LotVerdict>,
        job: u64,
    ) -> Result<Option<String>, Failure> {
        if before.is_some_and(|verdict| verdict != LotVerdict::Undecided) {
            return Ok(None);
        }
        let Some(lot) = lots::find(&self.ledger, number)? else {
            return Ok(None);
        };
        let matrix = self.matrix(&lot, &[])?;
        // The document is long, and mostly there is nothing to tell.
        if matrix.tally(words::spot).verdict().0 == LotVerdict::Undecided {
            return Ok(None);
        }
        let document = document::of_matrix(&matrix, number, words::spot).lot;
        let mut open = lots::open_runs(&self.ledger, number)?;
        open.retain(|run| run.state.job != Some(job));
        let mut held = self.nonconforming(&lot)?;
        held.retain(|piece| piece.decided.is_none());
        Ok(Some(report::lot::decided(&matrix, &document, &open, &held)))
    }

    /// What is known of the lot that a run is of.
    pub fn of_lot(&self, number: &str) -> Result<Option<(Lot, Matrix, Vec<OpenRun>)>, Failure> {
        let Some(lot) = lots::find(&self.ledger, number)? else {
            return Ok(None);
        };
        let open = lots::open_runs(&self.ledger, number)?;
        let matrix = self.matrix(&lot, &open)?;
        Ok(Some((lot, matrix, open)))
    }
}

/// The order of work of a lot.
pub fn order_of(set_ups: &SetUps, matrix: &Matrix) -> OrderOfWork {
    let pieces = matrix.plan.pieces.n.unwrap_or(matrix.rows.len() as u64);
    lots::order(set_ups, pieces, USUAL_PIECES as u64)
}

/// The characteristic of a number, by its place in the plan.
fn named(plan: &Plan, number: &str) -> Result<usize, Refusal> {
    let mut all = plan.characteristics.iter();
    let found = all.position(|planned| planned.number == number);
    found.ok_or_else(|| {
        let known = plan.characteristics.iter().map(|one| one.number.clone());
        Refusal::new(Refused::NoSuchCharacteristic {
            number: number.to_owned(),
            known: known.collect(),
        })
    })
}

/// The best set-up of what is owned for a characteristic; none where nothing is measured, or nothing fits.
fn proposed(books: &Books, lot: &Lot, planned: &Planned, today: Date) -> Option<Vec<String>> {
    if !planned.way.is_measured() {
        return None;
    }
    let mut state = State::default();
    state.laboratory = books.approvals.clone();
    state.today = today;
    let of = Box::new(lots::run_of(lot, planned));
    state.happens(&Event::Run { of });
    let person = lot.person.clone();
    state.happens(&Event::Person { person });
    let table = Table {
        state: &state,
        register: &books.register,
        today,
        last_part: None,
        room: None,
        parked_jobs: false,
        blocks: &books.blocks,
        proposals: &Proposals::default(),
    };
    table.set_ups().first().map(SetUp::ids)
}

/// Appends all, or none; what other stations record in between is no hindrance.
fn append(ledger: &Ledger, drafts: &[ledger::Draft]) -> Result<Vec<ledger::Entry>, Failure> {
    loop {
        match ledger.append_all(drafts, ledger.head()?) {
            Err(ledger::Error::WentOn { .. }) => {}
            done => return Ok(done?),
        }
    }
}

/// Whether the set-up of a run is the one that is proposed.
fn is_set_up(state: &State, proposed: Option<&Option<Vec<String>>>) -> bool {
    let Some(Some(proposed)) = proposed else {
        return false;
    };
    let own = taken::pieces(state);
    own.len() == proposed.len() && own.iter().all(|(_, id)| proposed.contains(id))
}
