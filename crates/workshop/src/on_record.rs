//! Lists of what is on the record, by its facts: those that stand beside the entries, and where they were not made yet, as in
//! an old ledger that is only read, those made from the entries at once.

use std::num::NonZeroUsize;
use std::thread;

use jiff::Timestamp;
use ledger::{
    Entry, Facts, Filter, Glance, Known, KnownListing, Ledger, Number, Order, Page, Subject, Text,
    Touched, Touching,
};
use metrology::units::LengthUnit;

use crate::error::Error;
use crate::in_turn::in_turn;
use crate::registry;

/// A page of the entries that meet a filter.
pub fn page(ledger: &Ledger, filter: &Filter, page: &Page) -> Result<KnownListing, ledger::Error> {
    let mut listing = ledger.known(filter, page)?;
    for known in &mut listing.entries {
        if known.facts.is_none() {
            let entry = ledger.get(&known.heading.id().into())?;
            known.facts = Some(registry::facts(&entry.content));
        }
    }
    Ok(listing)
}

/// Does something with each entry that meets a filter, the oldest first.
pub fn each(
    ledger: &Ledger,
    filter: &Filter,
    mut with: impl FnMut(&Entry, &Facts) -> Result<(), Error>,
) -> Result<(), Error> {
    let mut next = Some(Page::first(Order::OldestFirst, Page::LARGEST));
    while let Some(this) = next {
        let listing = page(ledger, filter, &this)?;
        for Known { heading, facts } in &listing.entries {
            if let Some(facts) = facts {
                with(heading, facts)?;
            }
        }
        next = listing.next;
    }
    Ok(())
}

/// Does something with each entry that meets a filter, whole, in an order.
pub fn each_whole(
    ledger: &Ledger,
    filter: &Filter,
    order: Order,
    mut with: impl FnMut(&Entry) -> Result<(), Error>,
) -> Result<(), Error> {
    let mut next = Some(Page::first(order, Page::LARGEST));
    while let Some(this) = next {
        let listing = ledger.list(filter, &this)?;
        listing.entries.iter().try_for_each(&mut with)?;
        next = listing.next;
    }
    Ok(())
}

/// The results that a piece of equipment touched, by time of measurement.
pub fn touched(ledger: &Ledger, asked: &Touching) -> Result<Vec<Touched>, ledger::Error> {
    if ledger.facts_are_made()? {
        return ledger.touched(asked);
    }
    let mut all = made_at_once(ledger, asked)?;
    let key = |one: &Touched| (one.at, one.entry.sequence());
    all.retain(|one| {
        asked.beyond.is_none_or(|beyond| match asked.order {
            Order::OldestFirst => key(one) > beyond,
            Order::NewestFirst => key(one) < beyond,
        })
    });
    all.sort_by_key(key);
    if asked.order == Order::NewestFirst {
        all.reverse();
    }
    all.truncate(asked.size.clamp(1, Page::LARGEST) as usize);
    Ok(all)
}

/// So many parts of the time are looked through for each core: where most was measured in one of them, the others wait.
const PARTS_PER_CORE: usize = 8;

/// All of them, on all cores: of each part of the time they were measured in, in order, what `look` made of its results, one
/// after the other by time of measurement.
pub fn all_touched<A: Default + Send>(
    ledger: &Ledger,
    asked: &Touching,
    look: impl Fn(&mut A, Touched<&dyn Glance>) + Sync,
) -> Result<Vec<A>, ledger::Error> {
    if !ledger.facts_are_made()? {
        let mut all = made_at_once(ledger, asked)?;
        all.sort_by_key(|one| (one.at, one.entry.sequence()));
        let mut made = A::default();
        for one in &all {
            let one = Touched {
                entry: one.entry,
                at: one.at,
                sensitivity: one.sensitivity,
                facts: &one.facts as &dyn Glance,
            };
            look(&mut made, one);
        }
        return Ok(vec![made]);
    }
    // What is recorded meanwhile would be in some parts and not in others.
    let asked = Touching {
        up_to: ledger.head()?.map(|head| head.sequence),
        ..asked.clone()
    };
    let parts = parts_of(ledger, &asked)?;
    let worker = || {
        |part: usize, send: &dyn Fn(Result<A, ledger::Error>) -> bool| {
            let mut made = A::default();
            let Some(asked) = parts.get(part) else {
                return false;
            };
            let read = ledger.each_touched(asked, |one| {
                look(&mut made, one);
                true
            });
            let good = read.is_ok();
            send(read.map(|()| made)) && good
        }
    };
    let mut all = Vec::with_capacity(parts.len());
    in_turn(parts.len(), worker, |made: Result<A, ledger::Error>| {
        made.map(|made| all.push(made))
    })?;
    Ok(all)
}

/// The question cut into parts of the time in which there are results, as long as each other.
fn parts_of(ledger: &Ledger, asked: &Touching) -> Result<Vec<Touching>, ledger::Error> {
    let end = |order| -> Result<_, ledger::Error> {
        let one = Touching {
            order,
            size: 1,
            ..asked.clone()
        };
        let found = ledger.touched(&one)?;
        Ok(found.first().map(|one| one.at))
    };
    let (Some(first), Some(last)) = (end(Order::OldestFirst)?, end(Order::NewestFirst)?) else {
        return Ok(Vec::new());
    };
    let cores = thread::available_parallelism().map_or(1, NonZeroUsize::get);
    let count = i64::try_from(PARTS_PER_CORE * cores).unwrap_or(1);
    let long = (last.as_second() - first.as_second()) / count;
    let mut parts = Vec::new();
    let mut since = asked.since;
    for part in 1..=count {
        let cut = Timestamp::from_second(first.as_second() + long * part).ok();
        // Whole seconds may lie before the first.
        let cut = cut.map(|cut| cut.max(first)).filter(|_| part < count);
        let until = cut.or(asked.until);
        parts.push(Touching {
            since,
            until,
            ..asked.clone()
        });
        since = until;
    }
    Ok(parts)
}

/// Those in the time asked for, by facts made of the entries.
fn made_at_once(ledger: &Ledger, asked: &Touching) -> Result<Vec<Touched>, ledger::Error> {
    let mut all = Vec::new();
    let mut subjects = vec![Subject::new(&asked.role, &asked.identity)];
    subjects.extend(asked.also.iter().cloned());
    let filter = Filter {
        subjects,
        standing: asked.standing,
        ..Filter::default()
    };
    let mut next = Some(Page::first(Order::OldestFirst, 1000));
    while let Some(this) = next {
        let listing = ledger.list(&filter, &this)?;
        all.extend(listing.entries.iter().filter_map(|entry| {
            let facts = registry::facts(&entry.content);
            let mut used = facts.used.iter();
            let used = used.find(|it| it.role == asked.role && it.identity == asked.identity)?;
            Some(Touched {
                entry: entry.id(),
                at: facts.at?,
                sensitivity: used.sensitivity,
                facts,
            })
        }));
        next = listing.next;
    }
    all.retain(|one| {
        asked.since.is_none_or(|since| one.at >= since)
            && asked.until.is_none_or(|until| one.at < until)
    });
    Ok(all)
}

/// The unit of the lengths of facts.
pub fn unit(facts: &(impl Glance + ?Sized)) -> Option<LengthUnit> {
    facts.text(Text::Unit)?.parse().ok()
}

/// The mean over all places in the unit of the facts, whether it was decided on or not.
pub fn mean(facts: &Facts) -> Option<f64> {
    let of = match facts.number(Number::OnPlace) {
        Some(1.0) => Number::OtherSize,
        _ => Number::Size,
    };
    facts.number(of)
}
