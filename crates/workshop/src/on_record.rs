//! Lists of what is on the record, by its facts: those that stand beside the entries, and where they were not made yet, as in
//! an old ledger that is only read, those made from the entries at once.

use ledger::{
    Entry, Facts, Filter, Known, KnownListing, Ledger, Number, Order, Page, Subject, Text, Touched,
    Touching,
};
use metrology::units::LengthUnit;

use crate::error::Error;
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

/// All of them, in no order, some at a time, until nobody takes more.
pub fn each_touched(
    ledger: &Ledger,
    asked: &Touching,
    mut take: impl FnMut(Vec<Touched>) -> bool + Send,
) -> Result<(), ledger::Error> {
    if ledger.facts_are_made()? {
        return ledger.each_touched(asked, take);
    }
    take(made_at_once(ledger, asked)?);
    Ok(())
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
pub fn unit(facts: &Facts) -> Option<LengthUnit> {
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
