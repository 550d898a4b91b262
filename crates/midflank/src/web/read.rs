//! What every answer needs from the ledger, read once and kept while it holds. The ledger is only ever added to, so what
//! was read stays true; what was added since is asked for each time, also where another program added it.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use jiff::Timestamp;
use jiff::civil::Date;
use ledger::{BenchEvent, EntryId, Ledger, Mark, Order, Page};
use metrology::inspection::{AtHand, Characteristic, FormHistory, Inspection, Job, Part, at_hand};

use crate::approvals::Approvals;
use crate::bench::state::GoneOn;
use crate::bench::{Event, Proposals, State, fit};
use crate::clock;
use crate::failure::Failure;
use crate::form;
use crate::kept;
use crate::last_zero::{LastZero, Zeroed};
use crate::register::Register;
use crate::say;
use workshop::RecordKind;
use workshop::badges::Badges;
use workshop::bench::run::OfOthers;
use workshop::gauge_room::blocks::{self, Owned};
use workshop::lots::LotsRead;

/// What the entries of the ledger say that a job at the bench needs.
pub struct Books {
    /// The newest entry when this was read.
    head: Option<Mark>,
    /// The day on which it was read: what is due tells by it.
    day: Date,
    /// What one owns.
    pub register: Arc<Register>,
    /// What the laboratory has approved.
    pub approvals: Approvals,
    /// Sets of gauge blocks.
    pub blocks: Vec<Owned>,
    /// Whose badges there are.
    pub badges: Badges,
    /// Who recorded last.
    pub last_person: Option<String>,
}

/// The events of one job, and what they add up to.
#[derive(Default)]
struct OneJob {
    job: u64,
    events: Vec<(u64, Timestamp, Event)>,
    state: State,
    seen: Option<Seen>,
}

/// A job with what is known beside its events, and what of that may change.
struct Seen {
    books: Arc<Books>,
    latest_job: Option<u64>,
    state: State,
}

impl OneJob {
    /// The number of its last event.
    fn number(&self) -> u64 {
        self.events.last().map_or(0, |(number, _, _)| *number)
    }

    /// Adds what happened since.
    fn add(&mut self, since: Vec<(u64, Timestamp, Event)>) {
        if since.is_empty() {
            return;
        }
        self.seen = None;
        let anew = self.events.is_empty() || self.state.go_on(&since) == GoneOn::TakenBack;
        self.events.extend(since);
        if anew {
            self.state = State::of(self.job, &self.events);
        }
    }
}

/// The form of the part under the contacts, and which records it is of.
struct Form {
    head: Option<Mark>,
    before: Timestamp,
    part: Part,
    characteristic: Characteristic,
    history: Option<FormHistory>,
}

/// The newest entry, the set-up, and before when.
type ZeroAsked = (Option<Mark>, Zeroed, Timestamp);

/// What would settle the open verdict of a job, and with which register that was found.
struct Settled {
    head: Option<Mark>,
    job: Job,
    found: Option<AtHand>,
}

/// What is proposed at a job as it stood after one of its events, by the newest entry and the day.
struct Proposed {
    head: Option<Mark>,
    job: Option<u64>,
    number: u64,
    day: Date,
    proposals: Arc<Proposals>,
}

/// The set-up that is proposed for each characteristic of a plan, by its pieces; none where it needs none.
pub type SetUps = Vec<Option<Vec<String>>>;

/// The newest entry, the latest job, the run, and what it is set up with.
type LotAsked = (Option<Mark>, Option<u64>, u64, Option<Zeroed>);

/// How a lot stands.
#[derive(Clone)]
pub struct LotStands {
    /// The key of its verdict.
    pub verdict: &'static str,
    /// Whether there is none because something is still to be measured.
    pub is_open: bool,
    /// Pieces with a result, and how many the plan asks for, where that is known.
    pub measured: u64,
    pub of: Option<u64>,
}

/// How lots stand, by the entries that began them: with which newest entry and on which day.
#[derive(Default)]
struct Verdicts {
    head: Option<Mark>,
    day: Option<Date>,
    lots: BTreeMap<EntryId, LotStands>,
}

/// What was read last.
#[derive(Default)]
pub struct Read {
    of_lot: Mutex<Option<(LotAsked, Arc<OfOthers>)>>,
    /// The record of the lots.
    pub lots: LotsRead,
    set_ups: Mutex<Option<(Option<Mark>, String, SetUps)>>,
    verdicts: Mutex<Verdicts>,
    books: Mutex<Option<Arc<Books>>>,
    form: Mutex<Option<Form>>,
    zero: Mutex<Option<(ZeroAsked, Option<LastZero>)>>,
    at_hand: Mutex<Option<Settled>>,
    proposed: Mutex<Option<Proposed>>,
    latest: Mutex<OneJob>,
}

impl Read {
    /// The register and the last person, read again where an entry was added.
    pub fn books(&self, ledger: &Ledger) -> Result<Arc<Books>, Failure> {
        let mut kept = lock(&self.books);
        let head = ledger.head()?;
        let day = fit::today(clock::now()?);
        let holds = |books: &&Arc<Books>| books.head == head && books.day == day;
        if let Some(books) = kept.as_ref().filter(holds) {
            return Ok(Arc::clone(books));
        }
        let books = Arc::new(Books {
            head,
            day,
            register: Arc::new(Register::read(ledger)?),
            approvals: Approvals::read(ledger)?,
            blocks: blocks::owned(ledger, day)?,
            badges: Badges::read(ledger)?,
            last_person: last_person(ledger)?,
        });
        *kept = Some(Arc::clone(&books));
        Ok(books)
    }

    /// Which of what one owns would settle an open verdict, reckoned again where job or ledger have changed.
    pub fn at_hand(&self, books: &Books, job: &Job, result: &Inspection) -> Option<AtHand> {
        let mut kept = lock(&self.at_hand);
        let known = kept.as_ref();
        if let Some(known) = known.filter(|known| known.head == books.head && known.job == *job) {
            return known.found.clone();
        }
        let owned = books.register.owned_for(&job.characteristic);
        let found = at_hand(job, result, &owned);
        *kept = Some(Settled {
            head: books.head,
            job: job.clone(),
            found: found.clone(),
        });
        found
    }

    /// What is proposed at the question that a job asks, computed again where the job went on, an entry was added, or the day
    /// is another.
    pub fn proposals(&self, books: &Books, state: &State, day: Date) -> Arc<Proposals> {
        let mut kept = lock(&self.proposed);
        let holds = |known: &&Proposed| {
            known.head == books.head
                && known.job == state.job
                && known.number == state.number
                && known.day == day
        };
        if let Some(known) = kept.as_ref().filter(holds) {
            return Arc::clone(&known.proposals);
        }
        let proposals = Arc::<Proposals>::default();
        *kept = Some(Proposed {
            head: books.head,
            job: state.job,
            number: state.number,
            day,
            proposals: Arc::clone(&proposals),
        });
        proposals
    }

    /// A job as it stands; a new one where there is none of that number. The same as before while nothing was added: what was
    /// found of it then holds.
    pub fn job(&self, ledger: &Ledger, job: u64) -> Result<State, Failure> {
        let books = self.books(ledger)?;
        let mut kept = lock(&self.latest);
        if kept.job != job {
            *kept = OneJob {
                job,
                ..OneJob::default()
            };
        }
        let after = kept.number();
        kept.add(events(ledger, job, after)?);
        let in_lot = kept.state.run().is_some();
        let latest_job = in_lot.then(|| ledger.latest_job()).transpose()?.flatten();
        if let Some(seen) = &kept.seen
            && Arc::ptr_eq(&seen.books, &books)
            && seen.latest_job == latest_job
        {
            return Ok(seen.state.clone());
        }
        let (number, mut state) = (kept.number(), kept.state.clone());
        drop(kept);
        state.laboratory = books.approvals.clone();
        state.register = Some(Arc::clone(&books.register));
        state.last_person.clone_from(&books.last_person);
        state.today = books.day;
        state.form_history = self.form(ledger, books.head.as_ref(), &state)?;
        state.last_zero = self.last_zero(ledger, books.head.as_ref(), &state)?;
        self.of_lot(ledger, (books.head, latest_job), &mut state)?;
        state.look_again();
        let mut kept = lock(&self.latest);
        if kept.job == job && kept.number() == number {
            kept.seen = Some(Seen {
                books,
                latest_job,
                state: state.clone(),
            });
        }
        Ok(state)
    }

    /// The set-ups that are proposed for a plan, found again where an entry was added.
    pub fn set_ups(&self, books: &Books, plan: &str, find: impl FnOnce() -> SetUps) -> SetUps {
        let mut kept = lock(&self.set_ups);
        if let Some((head, of, known)) = kept.as_ref()
            && *head == books.head
            && of == plan
        {
            return known.clone();
        }
        let found = find();
        *kept = Some((books.head, plan.to_owned(), found.clone()));
        found
    }

    /// How a lot stands, judged again where an entry was added.
    pub fn lot_stands(
        &self,
        head: Option<Mark>,
        day: Date,
        lot: EntryId,
        judge: impl FnOnce() -> Result<LotStands, Failure>,
    ) -> Result<LotStands, Failure> {
        let mut kept = lock(&self.verdicts);
        if kept.head != head || kept.day != Some(day) {
            *kept = Verdicts {
                head,
                day: Some(day),
                lots: BTreeMap::new(),
            };
        }
        if let Some(known) = kept.lots.get(&lot) {
            return Ok(known.clone());
        }
        let stands = judge()?;
        kept.lots.insert(lot, stands.clone());
        Ok(stands)
    }

    /// What a run has to know of its lot beside itself; read again where an entry was added or a job begun.
    fn of_lot(
        &self,
        ledger: &Ledger,
        (head, latest_job): (Option<Mark>, Option<u64>),
        state: &mut State,
    ) -> Result<(), Failure> {
        let (Some(job), true) = (state.job, state.run().is_some()) else {
            return Ok(());
        };
        let zeroed = match (&state.instrument, &state.contacts, &state.standard) {
            (Some(instrument), Some(contacts), Some(standard)) if state.unit.is_some() => {
                Some(Zeroed::of(instrument, contacts, standard))
            }
            _ => None,
        };
        let asked = (head, latest_job, job, zeroed);
        let mut kept = lock(&self.of_lot);
        let known = match kept.as_ref().filter(|(known, _)| *known == asked) {
            Some((_, known)) => Arc::clone(known),
            None => Arc::new(self.lots.of_others(ledger, state)?),
        };
        *kept = Some((asked, known.clone()));
        if let Some(run) = state.run_mut() {
            run.lot = known;
        }
        Ok(())
    }

    /// A job as it stands, as far as its own events and the approvals tell.
    pub fn job_alone(&self, ledger: &Ledger, job: u64) -> Result<State, Failure> {
        let mut state = State::of(job, &events(ledger, job, 0)?);
        state.laboratory = self.books(ledger)?.approvals.clone();
        state.today = fit::today(clock::now()?);
        state.look_again();
        Ok(state)
    }

    /// Where the zero of the set-up last stood; read again where an entry was added.
    fn last_zero(
        &self,
        ledger: &Ledger,
        head: Option<&Mark>,
        state: &State,
    ) -> Result<Option<LastZero>, Failure> {
        let (Some(instrument), Some(contacts), Some(standard)) =
            (&state.instrument, &state.contacts, &state.standard)
        else {
            return Ok(None);
        };
        let zeroed = Zeroed::of(instrument, contacts, standard);
        // The record of this very job is none before it.
        let before = state
            .begun_reading()
            .map_or(Timestamp::MAX, clock::to_second);
        let asked = (head.copied(), zeroed, before);
        let mut kept = lock(&self.zero);
        if let Some((_, last)) = kept.as_ref().filter(|(known, _)| *known == asked) {
            return Ok(last.clone());
        }
        let last = LastZero::of(ledger, &asked.1, before)?;
        *kept = Some((asked, last.clone()));
        Ok(last)
    }

    /// What earlier records show of the form of the part; read again where an entry was added.
    fn form(
        &self,
        ledger: &Ledger,
        head: Option<&Mark>,
        state: &State,
    ) -> Result<Option<FormHistory>, Failure> {
        let (Some(name), Some(drawing), Some(characteristic)) =
            (&state.name, &state.drawing, &state.characteristic)
        else {
            return Ok(None);
        };
        let part = Part {
            name: name.clone(),
            drawing: drawing.clone(),
            ..Part::default()
        };
        // The record of this very job is none of its history.
        let before = state
            .begun_reading()
            .map_or(Timestamp::MAX, clock::to_second);
        let mut kept = lock(&self.form);
        if let Some(known) = kept.as_ref().filter(|known| {
            known.head.as_ref() == head
                && known.before == before
                && known.part == part
                && known.characteristic == *characteristic
        }) {
            return Ok(known.history.clone());
        }
        let history = form::history(ledger, &part, characteristic, before)?;
        *kept = Some(Form {
            head: head.copied(),
            before,
            part,
            characteristic: characteristic.clone(),
            history: history.clone(),
        });
        Ok(history)
    }
}

/// What happened in a job after one of its events.
fn events(ledger: &Ledger, job: u64, after: u64) -> Result<Vec<(u64, Timestamp, Event)>, Failure> {
    let read = |new: BenchEvent| match kept::read_event(&new.event) {
        Ok(event) => Ok((new.number, new.at, event)),
        Err(error) => Err(Failure::outside(say!(
            "page.event-unreadable",
            event = new.number,
            job = job,
            why = crate::words::said(&error)
        ))),
    };
    let new = ledger.job_events_after(job, after)?;
    new.into_iter().map(read).collect()
}

/// Who recorded last.
fn last_person(ledger: &Ledger) -> Result<Option<String>, Failure> {
    let filter = RecordKind::Inspection.all();
    let latest = ledger.known(&filter, &Page::first(Order::NewestFirst, 1))?;
    let mut entries = latest.entries.into_iter();
    Ok(entries.next().map(|known| known.heading.content.actor.name))
}

pub fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
