//! Appending: what waits is chained to the head and put in together.

use std::collections::BTreeMap;

use jiff::Timestamp;

use super::super::row::to_i64;
use super::super::search;
use super::bench;
use super::connection::Connection;
use super::done::Done;
use super::insertion::{Column, Insertion};
use super::{facts, read};
use crate::{
    Amendment, Damage, Draft, Entry, EntryId, EntryRef, Error, Facts, Hash, JobEvents, Mark,
    Result, Subject, Unreadable, encoding, facts::KeptFacts, time,
};

/// Held while entries are chained and put in, until the commit.
pub(super) const LOCK: &str = "SELECT pg_advisory_xact_lock(1296452679, 2)";

/// Drafts to be recorded, all or none, under a condition.
pub(super) struct Asked {
    pub drafts: Vec<Draft>,
    /// The facts of each; none where it is not known how they are made.
    pub facts: Vec<Option<Facts>>,
    pub when: When,
}

/// When they are recorded.
pub(super) enum When {
    Always,
    /// Where this is still the newest entry.
    HeadIs(Option<Mark>),
    /// Where no entry of the same kind that touches this was added since the ledger was looked through.
    NothingSince {
        among: Subject,
        seen: u64,
    },
}

/// What became of them.
pub(super) enum Answer {
    Recorded(Vec<Entry>),
    /// Something was added that is to be looked at first.
    LookAgain,
}

/// Chains what is asked for to the head, and puts it in; the transaction stays open.
pub(super) fn add(
    connection: &mut Connection,
    asked: &[Asked],
) -> Result<Done<Vec<Result<Answer>>>> {
    let (mut chain, key) = Chain::read(connection)?;
    let mut answers = Vec::new();
    for asked in asked {
        answers.push(match chain.follow(connection, asked) {
            Err(error) if !is_refusal(&error) => return Err(error),
            answer => answer,
        });
    }
    let Some(first) = chain.added.first() else {
        return Ok(Done::Nothing(answers));
    };
    let look_up = look_up(first.sequence);
    insert(connection, &chain.added, &chain.kept(), &key)?;
    Ok(Done::Added {
        answer: answers,
        look_up,
        key,
    })
}

/// Finds the key of the transaction that added an entry.
fn look_up(sequence: u64) -> String {
    format!("SELECT key FROM entry WHERE sequence = {sequence}")
}

/// Whether an error is about what was asked, and not about the server.
fn is_refusal(error: &Error) -> bool {
    matches!(
        error,
        Error::WentOn { .. }
            | Error::NoSuchEntry { .. }
            | Error::AlreadyAmended { .. }
            | Error::OtherEvents(_)
            | Error::Damaged { .. }
    )
}

/// The end of the chain, with what is to be added to it.
struct Chain {
    head: Option<Mark>,
    /// When the newest entry was recorded.
    time: Option<Timestamp>,
    added: Vec<Entry>,
    /// The facts of those.
    facts: Vec<Option<Facts>>,
    /// Up to which entry facts were made.
    reach: u64,
    /// The amendments among those.
    amended: BTreeMap<u64, EntryId>,
    /// Events that were found as they were kept: the pieces of a run are made from the same.
    looked_at: Option<JobEvents>,
}

impl Chain {
    /// Begins the transaction and reads the head behind the lock; gives a new key, too.
    fn read(connection: &mut Connection) -> Result<(Self, String)> {
        // Each statement sees what was committed before it began, so that the head is that of whoever had the lock before.
        let row = connection.run_for_row(&format!(
            "BEGIN ISOLATION LEVEL READ COMMITTED; {LOCK};
             SELECT gen_random_uuid(), (SELECT coalesce(max(sequence), 0) FROM fact), i.entries, e.sequence, e.hash,
                    e.recorded_at FROM issued i
             LEFT JOIN (SELECT sequence, hash, recorded_at FROM entry ORDER BY sequence DESC LIMIT 1) e ON true"
        ))?;
        let mut values = row.into_iter();
        let mut value = || values.next().flatten();
        let number = |text: Option<String>| text.and_then(|text| text.parse().ok());
        let key = value().unwrap_or_default();
        let reach = number(value()).unwrap_or(0);
        let issued = number(value()).unwrap_or(0);
        let last = number(value());
        if issued != last.unwrap_or(0) {
            // Appending now would hide that entries are missing.
            let last = last.unwrap_or(0);
            return connection.sound(Err(Damage::TailMissing { last, issued }));
        }
        let (head, time) = match last {
            None => (None, None),
            Some(sequence) => {
                let damage = |why| Damage::Entry {
                    sequence: to_i64(sequence),
                    why,
                };
                let found = value().unwrap_or_default();
                let column = "hash";
                let hash = found
                    .parse()
                    .map_err(|_| damage(Unreadable::Hash { column, found }));
                let found = value().unwrap_or_default();
                let column = "recorded_at";
                let time = found
                    .parse()
                    .map_err(|_| damage(Unreadable::Time { column, found }));
                let hash = connection.sound(hash)?;
                let mark = Mark { sequence, hash };
                (Some(mark), Some(connection.sound(time)?))
            }
        };
        let chain = Self {
            head,
            time,
            added: Vec::new(),
            facts: Vec::new(),
            reach,
            amended: BTreeMap::new(),
            looked_at: None,
        };
        Ok((chain, key))
    }

    /// Chains drafts, all or none.
    fn follow(&mut self, connection: &mut Connection, asked: &Asked) -> Result<Answer> {
        match &asked.when {
            When::Always => {}
            When::HeadIs(head) if self.head == *head => {}
            When::HeadIs(_) => {
                let last = self.head.map_or(0, |head| head.sequence);
                return Err(Error::WentOn { last });
            }
            When::NothingSince { among, seen } => {
                for draft in &asked.drafts {
                    if self.touched(connection, draft, among, *seen)? {
                        return Ok(Answer::LookAgain);
                    }
                }
            }
        }
        let before = (self.head, self.time, self.added.len());
        let chained: Result<Vec<Entry>> = asked
            .drafts
            .iter()
            .zip(&asked.facts)
            .map(|(draft, facts)| self.chain(connection, draft, facts.as_ref()))
            .collect();
        if chained.is_err() {
            (self.head, self.time) = (before.0, before.1);
            self.facts.truncate(before.2);
            for dropped in self.added.split_off(before.2) {
                if let Some(amendment) = &dropped.content.amends {
                    self.amended.remove(&amendment.entry.sequence());
                }
            }
        }
        chained.map(Answer::Recorded)
    }

    /// Whether an entry of the draft's kind was added that touches something.
    fn touched(
        &self,
        connection: &mut Connection,
        draft: &Draft,
        among: &Subject,
        seen: u64,
    ) -> Result<bool> {
        let waiting = self.added.iter().map(|entry| &entry.content);
        if waiting
            .clone()
            .any(|other| other.kind == draft.kind && other.subjects.contains(among))
        {
            return Ok(true);
        }
        let found = connection.row(
            "SELECT FROM subject s JOIN entry e ON e.sequence = s.sequence
             WHERE s.role = $1 AND s.identity = $2 AND s.sequence > $3 AND e.kind = $4 LIMIT 1",
            &[&among.role, &among.identity, &to_i64(seen), &draft.kind],
        )?;
        Ok(found.is_some())
    }

    fn chain(
        &mut self,
        connection: &mut Connection,
        draft: &Draft,
        facts: Option<&Facts>,
    ) -> Result<Entry> {
        if let Some(amendment) = &draft.amends {
            self.check_amendment(connection, amendment)?;
        }
        if let Some(events) = draft.events.filter(|_| draft.events != self.looked_at) {
            check_events(connection, events)?;
            self.looked_at = Some(events);
        }
        let sequence = self.head.map_or(0, |head| head.sequence).saturating_add(1);
        let previous = self.head.map_or(Hash::NONE, |head| head.hash);
        let entry = Entry {
            sequence,
            previous,
            hash: encoding::hash(sequence, &previous, draft),
            content: draft.clone(),
            amended_by: None,
            went_back: self.time.filter(|before| *before > draft.recorded_at),
        };
        self.head = Some(entry.mark());
        self.time = Some(draft.recorded_at);
        if let Some(amendment) = &draft.amends {
            self.amended.insert(amendment.entry.sequence(), entry.id());
        }
        self.added.push(entry.clone());
        self.facts.push(facts.cloned());
        Ok(entry)
    }

    /// The facts that are kept of what is added, where those of all before it are kept: they are made in order and without gaps.
    fn kept(&self) -> Vec<(u64, KeptFacts)> {
        let mut reach = self.reach;
        let mut kept = Vec::new();
        for (entry, facts) in self.added.iter().zip(&self.facts) {
            if let Some(facts) = facts
                && reach + 1 == entry.sequence
            {
                reach = entry.sequence;
                let check = entry.id().check_digits();
                let facts = KeptFacts::of(check, &entry.content, facts.clone());
                kept.push((entry.sequence, facts));
            }
        }
        kept
    }

    /// The amended entry must be there and not amended before.
    fn check_amendment(&self, connection: &mut Connection, amendment: &Amendment) -> Result<()> {
        let entry = amendment.entry;
        read::get(connection, &EntryRef::from(entry))?;
        match self.latest_amendment(connection, entry)? {
            None => Ok(()),
            Some(latest) => Err(Error::AlreadyAmended { entry, latest }),
        }
    }

    /// The end of the line of amendments of an entry, if it has any.
    fn latest_amendment(
        &self,
        connection: &mut Connection,
        of: EntryId,
    ) -> Result<Option<EntryId>> {
        let mut latest = None;
        let mut at = of.sequence();
        loop {
            let found = match self.amended.get(&at) {
                Some(waiting) => Some(*waiting),
                None => read::amended_by(connection, to_i64(at))?.map(Mark::id),
            };
            match found {
                Some(id) => {
                    at = id.sequence();
                    latest = Some(id);
                }
                None => return Ok(latest),
            }
        }
    }
}

/// The events it was made from must be there, and as they were kept.
fn check_events(connection: &mut Connection, events: JobEvents) -> Result<()> {
    let kept = bench::events(connection, events.job, 0)?;
    let last = usize::try_from(events.count - 1).ok();
    let found = last.and_then(|last| kept.get(last));
    match found.filter(|event| event.hash == events.hash) {
        Some(_) => Ok(()),
        None => Err(Error::OtherEvents(events)),
    }
}

/// Puts entries in with what they touch, and the facts that are kept of them.
pub(super) fn insert(
    connection: &mut Connection,
    entries: &[Entry],
    kept: &[(u64, KeptFacts)],
    key: &str,
) -> Result<()> {
    let mut insertion = Insertion::default();
    put_entries(&mut insertion, entries, key);
    facts::put(&mut insertion, kept);
    insertion.put(connection)
}

fn put_entries<'a>(insertion: &mut Insertion<'a>, entries: &'a [Entry], key: &'a str) {
    let of = |name, text: fn(&'a Entry) -> &'a str| {
        Column::texts(name, entries.iter().map(text).collect())
    };
    let made =
        |name, text: fn(&Entry) -> String| Column::texts(name, entries.iter().map(text).collect());
    let if_any = |name, text: fn(&Entry) -> Option<String>| {
        Column::texts(name, entries.iter().map(text).collect())
    };
    let number = |name, number: fn(&Entry) -> Option<u64>| {
        let numbers = entries.iter().map(|entry| number(entry).map(to_i64));
        Column::numbers(name, numbers.collect())
    };
    let columns = vec![
        Column::keys("key", vec![key; entries.len()]),
        of("encoding", |_| encoding::RULE),
        number("sequence", |entry| Some(entry.sequence)),
        made("previous", |entry| entry.previous.to_string()),
        made("hash", |entry| entry.hash.to_string()),
        made("recorded_at", |entry| {
            time::written(entry.content.recorded_at)
        }),
        of("zone", |entry| &entry.content.zone),
        of("kind", |entry| &entry.content.kind),
        of("actor_id", |entry| &entry.content.actor.id),
        of("actor_name", |entry| &entry.content.actor.name),
        of("actor_how", |entry| entry.content.actor.how.code()),
        of("station", |entry| &entry.content.station),
        of("program", |entry| &entry.content.program),
        number("amends", |entry| {
            Some(entry.content.amends.as_ref()?.entry.sequence())
        }),
        if_any("amends_check", |entry| {
            Some(entry.content.amends.as_ref()?.entry.check_digits())
        }),
        if_any("reason", |entry| {
            Some(entry.content.amends.as_ref()?.reason.clone())
        }),
        number("job", |entry| Some(entry.content.events?.job)),
        number("job_events", |entry| Some(entry.content.events?.count)),
        if_any("job_hash", |entry| {
            Some(entry.content.events?.hash.to_string())
        }),
        of("inputs", |entry| &entry.content.inputs),
        of("results", |entry| &entry.content.results),
        of("editions", |entry| &entry.content.editions),
        of("words", |entry| &entry.content.words),
        made("search", |entry| search::text_of(&entry.content)),
    ];
    insertion.into("entry", columns);

    let touched: Vec<(i64, &Subject)> = entries
        .iter()
        .flat_map(|entry| {
            let subjects = entry.content.subjects.iter();
            subjects.map(|subject| (to_i64(entry.sequence), subject))
        })
        .collect();
    if touched.is_empty() {
        return;
    }
    let part = |name, of: fn(&Subject) -> &str| {
        Column::texts(
            name,
            touched.iter().map(|(_, subject)| of(subject)).collect(),
        )
    };
    let columns = vec![
        part("role", |subject| &subject.role),
        part("identity", |subject| &subject.identity),
        Column::numbers("sequence", touched.iter().map(|(of, _)| *of).collect()),
    ];
    insertion.into("subject", columns);
}
