//! What all pages share: the ledger, the job on the bench, and who is told when it changes.

use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex};

use jiff::civil::Date;
use jiff::{SignedDuration, Timestamp};
use ledger::{Actor, Draft, Entry, EntryId, Ledger};
use metrology::inspection::{AtHand, Inspection, Job};
use tokio::sync::{OwnedSemaphorePermit, Semaphore, watch};

use super::pass::{Access, secret};
use super::read::{Books, LotStands, Read, SetUps, lock};
use super::stations::{OpenJob, OpenJobs, Parked, job_at};
use crate::bench::last_check::LastCheck;
use crate::bench::last_part::{LastPart, Room};
use crate::bench::{
    Answer, By, Command, Event, LookUp, Proposals, Question, Refusal, Refused, State, Step, Table,
    View, finish, fit, words,
};
use crate::clock;
use crate::desk;
use crate::failure::Failure;
use crate::register::{Added, Register};
use crate::report::{calibrated, trial};
use crate::say;
use workshop::RecordKind;
use workshop::badge::Badge;
use workshop::bench::calibrating;
use workshop::bench::calibration::Ask;
use workshop::bench::calibration::told::{self, Wanted};
use workshop::bench::known_lot;
use workshop::equipment::NEEDED;
use workshop::gauge_record::study::StudyPlan;
use workshop::gauge_room::calibration;
use workshop::lots::{Lot, Matrix, Nonconforming, OpenRun, tell_room};
use workshop::recorder;

pub type Shared = axum::extract::State<Arc<App>>;

/// Follows the changes of the bench; `None` is its end.
pub type Follow = watch::Receiver<Option<u64>>;

/// Waits for the end of the bench.
pub async fn ended(follow: &mut Follow) {
    // Without its sender there is no bench any more.
    let _ = follow.wait_for(Option::is_none).await;
}

/// The running bench.
pub struct App {
    pub ledger: Ledger,
    /// The port it is served on.
    pub port: u16,
    /// What our own forms carry, new in every process.
    pub token: String,
    /// Which browser is let in.
    pub access: Access,
    /// Counts every change that a window may have to show.
    version: AtomicU64,
    /// The count after each change; nothing when the bench ends.
    changed: watch::Sender<Option<u64>>,
    /// Something that came by the line and could not be taken.
    notice: Mutex<Option<String>>,
    /// One answer at a time: what is judged on a state lands on that state.
    turn: Mutex<()>,
    /// What was read before and still holds.
    read: Read,
    /// Turns to look back.
    looking_back: Arc<Semaphore>,
    /// The name of this station.
    pub station: String,
    /// The job under way here, or the one that was recorded here last.
    here: Mutex<Option<u64>>,
    open_jobs: OpenJobs,
    /// What could be taken up when it was last looked for, by job and event.
    could_be_taken_up: Mutex<Vec<(u64, u64)>>,
    /// The temperatures that were read here last.
    room: Mutex<Option<Room>>,
    /// The last zero check here, while nothing was measured since.
    last_check: Mutex<Option<LastCheck>>,
}

/// The most parked jobs that are listed, the latest.
const LISTED: usize = 20;

/// How many pages that read many records are made at once. Each keeps a thread and a core busy, and others wait for them
/// without a thread: an answer at the bench must find one.
const LOOKING_BACK: usize = 2;

/// What holds from one job at a station to the next.
pub struct Carried {
    pub last_part: Option<LastPart>,
    pub room: Option<Room>,
}

/// What came of a line.
pub enum Outcome {
    /// The job went on.
    WentOn,
    /// Something is to be looked up.
    LookUp(LookUp),
    /// The records are to be looked at.
    History,
    /// Something is to be shown or put away.
    Show(View),
    /// Nothing was taken.
    Refused(Refusal),
    /// Nothing was taken, because the job is not where the window thought.
    Overtaken,
}

metrology::messages! {
    /// Why a line is not taken, whatever it says.
    pub enum LineRefused "bench" {
        /// It came by itself, and no reading is asked for.
        NotAskedFor "not-asked-for" { line: String as Text },
        /// Its form was made by another run of the program, or by another site.
        StaleForm "stale-form",
        /// The job went on in another window.
        Overtaken "overtaken",
        /// The same, with what was not taken.
        OvertakenLine "overtaken-line" { line: String as Text },
    }
}

/// What came of events.
enum Landed {
    /// They are kept, with what is to be known of the record made of them.
    Kept(Option<String>),
    /// Another program on the same ledger came in between.
    Overtaken,
}

impl App {
    pub fn new(ledger: Ledger, port: u16) -> Result<Self, Failure> {
        let station = desk::station();
        let open_jobs = OpenJobs::default();
        let here = job_at(&station, &open_jobs.read(&ledger)?, &ledger)?;
        Ok(Self {
            ledger,
            port,
            token: secret()?,
            access: Access::new()?,
            version: AtomicU64::new(0),
            changed: watch::Sender::new(Some(0)),
            notice: Mutex::new(None),
            turn: Mutex::new(()),
            read: Read::default(),
            looking_back: Arc::new(Semaphore::new(LOOKING_BACK)),
            station,
            here: Mutex::new(here),
            open_jobs,
            could_be_taken_up: Mutex::default(),
            room: Mutex::default(),
            last_check: Mutex::default(),
        })
    }

    /// Waits for a turn to look back; it ends when it is dropped.
    pub async fn turn_to_look_back(&self) -> Option<OwnedSemaphorePermit> {
        let turn = Arc::clone(&self.looking_back).acquire_owned();
        // Nobody closes it.
        turn.await.ok()
    }

    /// Tells two states of the bench apart, also across processes.
    pub fn stamp(&self) -> String {
        self.stamp_of(self.version.load(Ordering::SeqCst))
    }

    pub fn stamp_of(&self, version: u64) -> String {
        // Six digits name the process; the rest of the token stays in the forms.
        format!("{}-{version}", self.token.get(..6).unwrap_or_default())
    }

    /// Follows the changes.
    pub fn follow(&self) -> Follow {
        self.changed.subscribe()
    }

    /// Ends the bench: nothing is begun any more, and no window is told anything.
    pub fn end(&self) {
        self.changed.send_replace(None);
    }

    fn tell(&self) {
        let version = self.version.fetch_add(1, Ordering::SeqCst) + 1;
        self.changed.send_if_modified(|changed| {
            let goes_on = changed.is_some();
            *changed = changed.map(|_| version);
            goes_on
        });
    }

    /// The job at this station: the one under way or just recorded; a new one where there is none or it was given up.
    pub fn current(&self) -> Result<State, Failure> {
        match self.here() {
            Some(job) => {
                let state = self.job(job)?;
                Ok(match state.question() {
                    Question::Dropped => State::default(),
                    _ => state,
                })
            }
            None => Ok(State::default()),
        }
    }

    /// A job, or the one on the bench, and the stamp for its page.
    ///
    /// The stamp is taken first: what lands in between makes the page one refresh too many. The other way round it would
    /// call an old page new, and the window would never ask again.
    pub fn to_show(&self, job: Option<u64>) -> Result<(String, State), Failure> {
        let stamp = self.stamp();
        let state = match job {
            Some(job) => self.job(job)?,
            None => self.current()?,
        };
        Ok((stamp, state))
    }

    /// A job by its number; a new one where there is none of that number.
    pub fn job(&self, job: u64) -> Result<State, Failure> {
        self.read.job(&self.ledger, job)
    }

    fn here(&self) -> Option<u64> {
        *lock(&self.here)
    }

    /// The job under way here, or the one that ended here last.
    pub fn last_here(&self) -> Option<u64> {
        self.here()
    }

    /// The temperatures that were read here last.
    pub fn room(&self) -> Option<Room> {
        lock(&self.room).clone()
    }

    /// The job that is under way at this station.
    pub fn under_way(&self) -> Result<Option<u64>, Failure> {
        let Some(job) = self.here() else {
            return Ok(None);
        };
        let last = self.ledger.last_events(&[job])?;
        Ok(last.first().filter(|last| !last.ends).map(|last| last.job))
    }

    /// The station that a job is under way at, where that is another.
    pub fn under_way_elsewhere(&self, job: u64) -> Result<Option<String>, Failure> {
        let last = self.ledger.last_events(&[job])?.into_iter().next();
        let open = last.filter(|last| !last.ends).map(OpenJob::of);
        Ok(open
            .filter(|open| !open.is_parked && !open.is_at(&self.station))
            .map(|open| open.last.station))
    }

    /// Jobs that can be taken up here: those that are parked anywhere, and what was left open here.
    fn may_be_taken_up(&self) -> Result<Vec<OpenJob>, Failure> {
        let here = self.here();
        let mut open = self.open_jobs.read(&self.ledger)?;
        open.retain(|job| {
            job.is_parked || (job.is_at(&self.station) && Some(job.last.job) != here)
        });
        open.sort_by_key(|job| std::cmp::Reverse(job.last.at));
        Ok(open)
    }

    /// Those that are listed, each as it stands.
    pub fn parked(&self) -> Result<Vec<Parked>, Failure> {
        let listed = self.may_be_taken_up()?.into_iter().take(LISTED);
        let read = |job: OpenJob| {
            let state = self.read.job_alone(&self.ledger, job.last.job)?;
            let last = job.last;
            Ok(Parked { last, state })
        };
        listed.map(read).collect()
    }

    /// Tells every window where another station parked a job or took one up, while none is under way here.
    pub fn look_for_parked(&self) -> Result<(), Failure> {
        if self.under_way()?.is_some() {
            return Ok(());
        }
        let found = self.may_be_taken_up()?;
        let found = found.iter().map(|job| (job.last.job, job.last.number));
        let found: Vec<(u64, u64)> = found.collect();
        let before = std::mem::replace(&mut *lock(&self.could_be_taken_up), found.clone());
        if before != found {
            // What was said of a job that is parked no more does not hold.
            if before.iter().any(|job| !found.contains(job)) {
                *lock(&self.notice) = None;
            }
            self.tell();
        }
        Ok(())
    }

    /// What one owns, and who recorded last.
    pub fn books(&self) -> Result<Arc<Books>, Failure> {
        self.read.books(&self.ledger)
    }

    /// What holds from earlier jobs at the question that is asked.
    pub fn carried(&self, state: &State, now: Timestamp) -> Result<Carried, Failure> {
        let last_part = match (state.question(), &state.name) {
            (Question::Drawing, Some(name)) => LastPart::of(&self.ledger, name)?,
            _ => None,
        };
        let room = lock(&self.room).clone();
        Ok(Carried {
            last_part,
            room: room.filter(|room| room.holds(now)),
        })
    }

    /// The set-ups that are proposed for the characteristics of a plan, found anew where the ledger went on.
    pub fn proposed(&self, books: &Books, plan: &str, find: impl FnOnce() -> SetUps) -> SetUps {
        self.read.set_ups(books, plan, find)
    }

    /// How a lot stands, judged anew where the ledger went on.
    pub fn judged(
        &self,
        lot: EntryId,
        judge: impl FnOnce() -> Result<LotStands, Failure>,
    ) -> Result<LotStands, Failure> {
        let day = fit::today(clock::now()?);
        self.read.lot_stands(self.ledger.head()?, day, lot, judge)
    }

    /// Whether somebody is still registering what a first job needs: something of it is missing, and nothing was measured yet.
    pub fn leads_to_first(&self, register: &Register) -> bool {
        let measured = self.books().is_ok_and(|books| books.last_person.is_some());
        !measured && NEEDED.iter().any(|kind| !register.has(*kind))
    }

    /// Which of what one owns would settle an open verdict.
    pub fn at_hand(&self, books: &Books, job: &Job, result: &Inspection) -> Option<AtHand> {
        self.read.at_hand(books, job, result)
    }

    /// What is proposed at the question that a job asks.
    pub fn proposals(&self, books: &Books, state: &State, day: Date) -> Arc<Proposals> {
        self.read.proposals(books, state, day)
    }

    /// What is known of a lot, with what is under way.
    pub fn matrix(&self, lot: &Lot, open: &[OpenRun]) -> Result<Matrix, Failure> {
        Ok(self.read.lots.matrix(&self.ledger, lot, open)?)
    }

    /// The nonconforming pieces of a lot.
    pub fn nonconforming(&self, lot: &Lot) -> Result<Vec<Nonconforming>, Failure> {
        Ok(self.read.lots.nonconforming(&self.ledger, lot)?)
    }

    /// The nonconforming pieces of all lots.
    pub fn all_nonconforming(&self) -> Result<Vec<Nonconforming>, Failure> {
        Ok(self.read.lots.all_nonconforming(&self.ledger)?)
    }

    /// Records an entry in the place of another, and tells every window.
    pub fn amend(&self, old: &Entry, reason: &str, draft: Draft) -> Result<Entry, Failure> {
        let turn = lock(&self.turn);
        let mut made = crate::amending::record(&self.ledger, old, reason, &draft)?;
        drop(turn);
        self.tell();
        Ok(made.remove(0))
    }

    /// Changes the register, and tells every window.
    pub fn register(
        &self,
        change: impl FnOnce(&Ledger) -> Result<Vec<Added>, workshop::Error>,
    ) -> Result<(), Failure> {
        let turn = lock(&self.turn);
        change(&self.ledger)?;
        drop(turn);
        self.tell();
        Ok(())
    }

    /// Puts on the record what the gauge room does, and tells every window.
    pub fn gauge_room<T>(
        &self,
        record: impl FnOnce(&Ledger) -> Result<T, workshop::Error>,
    ) -> Result<T, workshop::Error> {
        let turn = lock(&self.turn);
        let done = record(&self.ledger)?;
        drop(turn);
        self.tell();
        Ok(done)
    }

    /// A line at the job that a window shows, as it stood after an event.
    pub fn answer(
        &self,
        job: Option<u64>,
        after: u64,
        line: &str,
        by: By,
    ) -> Result<Outcome, Failure> {
        let _turn = lock(&self.turn);
        let state = match job {
            Some(job) => self.job(job)?,
            None => State::default(),
        };
        let begins_beside = state.job.is_none() && self.under_way()?.is_some();
        if state.number != after || begins_beside {
            return Ok(Outcome::Overtaken);
        }
        self.answer_state(&state, line, by)
    }

    /// A line that came by itself, at whatever is asked on the bench now.
    pub fn came(&self, line: &str, by: By) -> Result<Outcome, Failure> {
        let outcome = {
            let _turn = lock(&self.turn);
            let state = self.current()?;
            if state.question().takes_reading() {
                self.answer_state(&state, line, by)?
            } else {
                Outcome::Refused(Refusal::new(LineRefused::NotAskedFor {
                    line: line.chars().take(40).collect(),
                }))
            }
        };
        let refused = match &outcome {
            Outcome::Refused(refusal) => Some(words::why(&refusal.why)),
            _ => None,
        };
        if refused.is_some() {
            self.notify(refused);
        }
        Ok(outcome)
    }

    /// Says something in every window.
    pub fn notify(&self, notice: Option<String>) {
        *lock(&self.notice) = notice;
        self.tell();
    }

    /// What is to be said in every window.
    pub fn notice(&self) -> Option<String> {
        lock(&self.notice).clone()
    }

    fn answer_state(&self, state: &State, line: &str, by: By) -> Result<Outcome, Failure> {
        let books = self.books()?;
        let now = clock::exactly()?;
        // With the key that signs or without.
        let sign = format!("/{}", Command::Sign.word());
        let shown = line.trim().strip_prefix(&sign).unwrap_or(line);
        if let Some(badge) = books.badges.find(shown) {
            return self.badge_shown(state, badge, now);
        }
        let carried = self.carried(state, now)?;
        let today = fit::today(now);
        let table = Table {
            state,
            register: &books.register,
            today,
            last_part: carried.last_part.as_ref(),
            room: carried.room.as_ref(),
            parked_jobs: true,
            blocks: &books.blocks,
            proposals: &self.proposals(&books, state, today),
        };
        let named = self.named(state, line, &books, now)?;
        let answer = named.unwrap_or_else(|| table.answer(line, by));
        let answer = match answer {
            Ok(answer) => answer,
            Err(refusal) => match self.lot_known_by(state, line)? {
                Some(Ok(events)) => Answer::Events(events),
                Some(Err(complete)) => return Ok(Outcome::Refused(complete)),
                None => return Ok(Outcome::Refused(self.or_no_lot(state, line, refusal)?)),
            },
        };
        let mut told = None;
        match answer {
            Answer::LookUp(text) => return Ok(Outcome::LookUp(text)),
            Answer::Show(view) => return Ok(Outcome::Show(view)),
            Answer::History => return Ok(Outcome::History),
            Answer::Events(mut events) => {
                if let Some(refusal) = self.hindered(state, &events)? {
                    return Ok(Outcome::Refused(refusal));
                }
                let almost = self.measured_almost_as(&events)?;
                let kept = self.opening_check(state, &events, &books.register, now);
                let zero_kept = kept.as_ref().map(|_| say!("bench.zero-kept").to_owned());
                events.extend(kept);
                let Landed::Kept(remark) = self.land(state, now, &events, &actor_at(state))? else {
                    return Ok(Outcome::Overtaken);
                };
                self.forget_room(state, &events);
                let carried = carried.room.as_ref().map(Room::event);
                if carried.is_none_or(|known| !events.contains(&known))
                    && let Some(read) = Room::of(state, &events, now)
                {
                    *lock(&self.room) = Some(read);
                }
                let aside = match state.job {
                    _ if events.contains(&Event::RunEnded) => self.run_ended(state)?,
                    Some(job) if events.contains(&Event::Parked) => Some(words::parked(state, job)),
                    _ => None,
                };
                told = match remark.or(zero_kept).or(aside).or(almost) {
                    Some(remark) => Some(remark),
                    None => finish::recorded_before(&self.ledger, state, &events)?
                        .as_ref()
                        .map(words::recorded_before),
                };
            }
            Answer::NewJob => {
                if let Some(refusal) = self.not_free()? {
                    return Ok(Outcome::Refused(refusal));
                }
                // It begins with its first answer: until then what is parked can be taken up instead.
                if !state.before.closures.is_empty() {
                    *lock(&self.last_check) = LastCheck::of(state);
                }
                *lock(&self.here) = None;
            }
            Answer::NextPart(kept, next) => {
                let mut events = vec![Event::Begun { keeps: Some(kept) }];
                events.extend(next.map(|next| *next));
                match self.next_part(state, &events, now)? {
                    Ok(remark) => told = remark,
                    Err(refusal) => return Ok(Outcome::Refused(refusal)),
                }
            }
            Answer::NextRun(number) => match self.go_on(state, number.as_deref(), now)? {
                Ok(ended) => told = ended,
                Err(outcome) => return Ok(outcome),
            },
            Answer::TakeUp(job) => {
                if let Some(refusal) = self.take_up(job, now, state)? {
                    return Ok(Outcome::Refused(refusal));
                }
            }
        }
        *lock(&self.notice) = told;
        self.tell();
        Ok(Outcome::WentOn)
    }

    /// Temperatures that are taken back are forgotten where they were read for this answer; those that came from an earlier job
    /// are offered again, and not taken along with a set-up.
    fn forget_room(&self, state: &State, events: &[Event]) {
        let taken_back = events.iter().filter_map(Event::takes_back);
        let at = taken_back.filter_map(|of| state.answered_at(of)).max();
        let mut room = lock(&self.room);
        let (Some(at), Some(known), Some(Some(read))) = (at, room.as_mut(), &state.temperature)
        else {
            return;
        };
        if known.temperature != *read {
            return;
        }
        if known.at.duration_since(at).abs() < SignedDuration::from_secs(1) {
            *room = None;
        } else {
            known.part.clear();
        }
    }

    /// Begins the next part by these events; what is said of it, or why it does not begin.
    fn next_part(
        &self,
        state: &State,
        events: &[Event],
        now: Timestamp,
    ) -> Result<Result<Option<String>, Refusal>, Failure> {
        if let Some(refusal) = self.not_free()? {
            return Ok(Err(refusal));
        }
        if let Some(refusal) = self.other_lot(events)? {
            return Ok(Err(refusal));
        }
        let almost = self.measured_almost_as(events)?;
        self.begin(now, state, events)?;
        let before = finish::recorded_before(&self.ledger, state, events)?;
        Ok(Ok(before.as_ref().map(words::recorded_before).or(almost)))
    }

    /// Ends a run and begins the next of its lot; what is said where there is none, or what came of it otherwise.
    fn go_on(
        &self,
        state: &State,
        number: Option<&str>,
        now: Timestamp,
    ) -> Result<Result<Option<String>, Outcome>, Failure> {
        if let Some(refusal) = self.not_here(state)? {
            return Ok(Err(Outcome::Refused(refusal)));
        }
        let next = match self.next_run(state, number, now)? {
            Ok(next) => next,
            Err(refusal) => return Ok(Err(Outcome::Refused(refusal))),
        };
        let landed = self.land(state, now, &[Event::RunEnded], &actor_at(state))?;
        if matches!(landed, Landed::Overtaken) {
            return Ok(Err(Outcome::Overtaken));
        }
        let Some(mut events) = next else {
            return Ok(Ok(self.run_ended(state)?));
        };
        events.insert(0, Event::Begun { keeps: None });
        self.begin(now, state, &events)?;
        Ok(Ok(None))
    }

    /// The zero check that was made here a moment ago, where it opens the job that goes on by these events.
    fn opening_check(
        &self,
        state: &State,
        events: &[Event],
        register: &Register,
        now: Timestamp,
    ) -> Option<Event> {
        // Whoever asks for a new check gets it.
        if state.question().step() != Step::SetUp {
            return None;
        }
        let last = lock(&self.last_check).clone()?;
        let mut with = state.clone();
        for event in events {
            with.happens(event);
        }
        last.opens(&with, register, now)
    }

    /// A badge signs where a signature is wanted: showing it is no Enter of a cable. Elsewhere it is no answer.
    fn badge_shown(
        &self,
        state: &State,
        badge: &Badge,
        now: Timestamp,
    ) -> Result<Outcome, Failure> {
        if state.question() != Question::Sign {
            let name = badge.name.clone();
            return Ok(Outcome::Refused(Refusal::new(Refused::BadgeHere { name })));
        }
        let person = badge.name.clone();
        let signed = [Event::Closing { person }];
        if let Some(refusal) = self.hindered(state, &signed)? {
            return Ok(Outcome::Refused(refusal));
        }
        let Landed::Kept(remark) = self.land(state, now, &signed, &recorder::by_badge(badge))?
        else {
            return Ok(Outcome::Overtaken);
        };
        *lock(&self.notice) = remark;
        self.tell();
        Ok(Outcome::WentOn)
    }

    /// At the first question the code of a lot that was measured before states its next sample; none where it is no such code.
    fn lot_known_by(
        &self,
        state: &State,
        line: &str,
    ) -> Result<Option<Result<Vec<Event>, Refusal>>, Failure> {
        if state.question() != Question::Designation || line.trim().is_empty() {
            return Ok(None);
        }
        let known = known_lot::next_of_lot(&self.ledger, line)?;
        Ok(known.map(|next| next.map_err(Refusal::new)))
    }

    /// What a line at the first question does where it names what is calibrated, or a lot.
    fn named(
        &self,
        state: &State,
        line: &str,
        books: &Books,
        now: Timestamp,
    ) -> Result<Option<Result<Answer, Refusal>>, Failure> {
        match self.calibration_named(state, line, books) {
            None => self.lot_named(state, line, now),
            begun => Ok(begun),
        }
    }

    /// Why a job does not go on by these events.
    fn hindered(&self, state: &State, events: &[Event]) -> Result<Option<Refusal>, Failure> {
        if let Some(elsewhere) = self.not_here(state)? {
            return Ok(Some(elsewhere));
        }
        if let Some(known) = self.number_known(state, events)? {
            return Ok(Some(known));
        }
        match self.unfit_to_sign(state, events)? {
            None => self.other_lot(events),
            unfit => Ok(unfit),
        }
    }

    /// What a line at the first question does where it begins a calibration; none where it does not.
    fn calibration_named(
        &self,
        state: &State,
        line: &str,
        books: &Books,
    ) -> Option<Result<Answer, Refusal>> {
        let first = state.question() == Question::Designation && state.lot_before.is_none();
        let id = told::of_line(line).filter(|_| first)?;
        let begun = calibrating::begin(&self.ledger, &books.register, id);
        Some(begun.map(Answer::Events))
    }

    /// Why a calibration does not go on: its number stands on another certificate. Told before anything is measured for nothing,
    /// and once more before it is signed.
    fn number_known(&self, state: &State, events: &[Event]) -> Result<Option<Refusal>, Failure> {
        let Some(calibrating) = state.calibrating() else {
            return Ok(None);
        };
        let number = events.iter().find_map(|event| match event {
            Event::CalibrationTold { asked, answer } if asked == Ask::Number.key() => {
                Some(answer.as_str())
            }
            Event::Closing { .. } => calibrating.answer(Ask::Number),
            _ => None,
        });
        let Some(number) = number else {
            return Ok(None);
        };
        let known = calibration::is_known(&self.ledger, number)?;
        let number = number.to_owned();
        Ok(known.then(|| Refusal::new(Wanted::Known { number })))
    }

    /// Why a calibration is not signed: what it was made with was set apart, or became due, since it was chosen.
    fn unfit_to_sign(&self, state: &State, events: &[Event]) -> Result<Option<Refusal>, Failure> {
        let signs = |event: &Event| matches!(event, Event::Closing { .. });
        if state.calibrating().is_none() || !events.iter().any(signs) {
            return Ok(None);
        }
        let (books, today) = (self.books()?, fit::today(clock::now()?));
        Ok(state.unfit_to_sign(&books.register, &books.blocks, today))
    }

    /// Why nothing can be begun or taken up: a job is under way at this station.
    fn not_free(&self) -> Result<Option<Refusal>, Failure> {
        let under_way = self.under_way()?;
        Ok(under_way.map(|job| Refusal::new(Refused::UnderWayHere { job })))
    }

    /// Why a job does not go on here: another one does, or it does so at another station.
    fn not_here(&self, state: &State) -> Result<Option<Refusal>, Failure> {
        let Some(job) = state.job.filter(|job| self.here() != Some(*job)) else {
            return Ok(None);
        };
        match self.under_way_elsewhere(job)? {
            Some(station) => Ok(Some(Refusal::new(Refused::UnderWayAt { job, station }))),
            None => self.not_free(),
        }
    }

    /// Takes a parked job up, or says why not.
    fn take_up(
        &self,
        job: Option<u64>,
        now: Timestamp,
        asked_at: &State,
    ) -> Result<Option<Refusal>, Failure> {
        if let Some(refusal) = self.not_free()? {
            return Ok(Some(refusal));
        }
        let may_be = self.may_be_taken_up()?;
        let found = match (job, may_be.as_slice()) {
            (Some(job), all) => all.iter().find(|one| one.last.job == job),
            (None, [only]) => Some(only),
            (None, []) => return Ok(Some(Refusal::new(Refused::NothingParked))),
            (None, all) => {
                let line = |one: &OpenJob| format!("/{} {}", Command::TakeUp.word(), one.last.job);
                let mut refusal = Refusal::new(Refused::WhichParked);
                refusal.suggestions = all.iter().take(LISTED).map(line).collect();
                return Ok(Some(refusal));
            }
        };
        let Some(OpenJob { last, .. }) = found else {
            let job = job.unwrap_or_default();
            return Ok(Some(Refusal::new(match self.under_way_elsewhere(job)? {
                Some(station) => Refused::UnderWayAt { job, station },
                None => Refused::NotParked { job },
            })));
        };
        let parked_at = last.station.clone();
        let events = desk::bench_events(&actor_at(asked_at), &[Event::TakenUp { parked_at }])?;
        match self.ledger.add_to_job(last.job, last.number, now, &events) {
            Ok(()) => {}
            Err(ledger::Error::JobWentOn { job, .. }) => {
                return Ok(Some(Refusal::new(Refused::TakenUpMeanwhile { job })));
            }
            Err(error) => return Err(error.into()),
        }
        *lock(&self.here) = Some(last.job);
        Ok(None)
    }

    /// Keeps events of a job by `actor`, and makes its record when that is what is left to do.
    fn land(
        &self,
        state: &State,
        now: Timestamp,
        events: &[Event],
        actor: &Actor,
    ) -> Result<Landed, Failure> {
        let Some(job) = state.job else {
            let mut all = vec![Event::Begun { keeps: None }];
            all.extend_from_slice(events);
            self.begin(now, state, &all)?;
            return Ok(Landed::Kept(None));
        };
        if !events.is_empty() {
            match self.ledger.add_to_job(
                job,
                state.number,
                now,
                &desk::bench_events(actor, events)?,
            ) {
                Ok(()) => {}
                Err(ledger::Error::JobWentOn { .. }) => return Ok(Landed::Overtaken),
                Err(error) => return Err(error.into()),
            }
        }
        if events.iter().any(Event::closes_the_micrometer) {
            *lock(&self.last_check) = None;
        }
        let is_parked = events.contains(&Event::Parked);
        *lock(&self.here) = (!is_parked).then_some(job);
        let state = self.job(job)?;
        if state.question() == Question::Settle || self.barred_gauge(&state)?.is_some() {
            let Some((event, told)) = self.settle(&state)? else {
                return Ok(Landed::Kept(None));
            };
            let ends = matches!(event, Event::Settled { good: true, .. })
                && state
                    .run()
                    .is_some_and(|run| run.of.way.is_measured() && run.ending);
            let events: &[Event] = if ends {
                &[event, Event::RunEnded]
            } else {
                &[event]
            };
            self.ledger.add_to_job(
                job,
                state.number,
                now,
                &desk::bench_events(&actor_at(&state), events)?,
            )?;
            let ended = if ends { self.run_ended(&state)? } else { None };
            let told: Vec<String> = told.into_iter().chain(ended).collect();
            return Ok(Landed::Kept((!told.is_empty()).then(|| told.join(". "))));
        }
        if state.question() != Question::Finish {
            return Ok(Landed::Kept(None));
        }
        let recorder = desk::recorder(state.person.as_deref().unwrap_or_default());
        let made = if state.calibrating().is_some() {
            finish::record_calibration(&self.ledger, &state, &recorder, calibrated::reason)
        } else if state.studying().is_some() {
            finish::record_study(&self.ledger, &state, &recorder)
        } else {
            let draft = |job: &_, result: &_| desk::draft(job, result, None);
            let tell = |job: &mut Job| tell_room(&self.ledger, job);
            finish::record(&self.ledger, &state, &recorder, tell, draft)
        };
        let made = made.map_err(|error| Failure::on_page(&error))?;
        let entry = made.id().to_string();
        if RecordKind::Trial.is_of(&made) {
            let ended = desk::bench_events(&made.content.actor, &[Event::Dropped])?;
            self.ledger.add_to_job(job, state.number, now, &ended)?;
            let kept = trial::kept_at_bench(&made)?;
            return Ok(Landed::Kept(Some(kept)));
        }
        let recorded = desk::bench_events(&made.content.actor, &[Event::Recorded { entry }])?;
        self.ledger.add_to_job(job, state.number, now, &recorded)?;
        let remark = made.remark();
        let remark = remark.as_ref().map(crate::words::ledger::remark);
        Ok(Landed::Kept(remark))
    }

    /// Begins a study here, or says why not.
    pub fn begin_study(&self, plan: StudyPlan) -> Result<Option<Refusal>, Failure> {
        let _turn = lock(&self.turn);
        if let Some(refusal) = self.not_free()? {
            return Ok(Some(refusal));
        }
        let plan = Box::new(plan);
        let events = [Event::Begun { keeps: None }, Event::Study { plan }];
        self.begin(clock::exactly()?, &State::default(), &events)?;
        // What was said of the job before is not said of this one.
        *lock(&self.notice) = None;
        self.tell();
        Ok(None)
    }

    fn begin(&self, now: Timestamp, state: &State, events: &[Event]) -> Result<(), Failure> {
        if !state.before.closures.is_empty() {
            *lock(&self.last_check) = LastCheck::of(state);
        }
        let job = self
            .ledger
            .begin_job(now, &desk::bench_events(&actor_at(state), events)?)?;
        *lock(&self.here) = Some(job);
        Ok(())
    }
}

/// Whoever is known to be at a job.
fn actor_at(state: &State) -> Actor {
    recorder::actor(state.person.as_deref().unwrap_or_default())
}
