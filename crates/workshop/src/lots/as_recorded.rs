//! Whether entries are as they were recorded. Lots are shown by search facts, which are not hashed; what is signed rests on the
//! documents.

use std::num::NonZeroUsize;
use std::thread;

use ledger::{Entry, EntryId, Facts, Filter, Known, Ledger, Number, Order, Page, Subject, Text};
use metrology::parallel;

use crate::error::Error;
use crate::on_record;
use crate::registry;

/// So many documents are held at once.
const PAGE: u32 = 500;

/// The standing entries with all of these subjects that do not hash to what is stored, or of which the search facts say something else
/// than their documents.
pub(super) fn not_as_recorded(
    ledger: &Ledger,
    subjects: Vec<Subject>,
) -> Result<Vec<EntryId>, Error> {
    let filter = Filter {
        subjects,
        standing: true,
        ..Filter::default()
    };
    let cores = thread::available_parallelism().unwrap_or(NonZeroUsize::MIN);
    let mut found = Vec::new();
    let mut next = Some(Page::first(Order::OldestFirst, PAGE));
    while let Some(this) = next {
        let known = on_record::page(ledger, &filter, &this)?;
        let whole = ledger.list(&filter, &this)?;
        let both: Vec<(&Known, &Entry)> = known.entries.iter().zip(&whole.entries).collect();
        let changed = parallel::in_order(cores, &both, |(known, entry)| {
            let facts = known.facts.as_ref();
            let same = facts.is_some_and(|facts| is_same(facts, &registry::facts(&entry.content)));
            let is_it = known.heading.id() == entry.id();
            (!(is_it && same && entry.is_intact())).then(|| entry.id())
        });
        found.extend(changed.into_iter().flatten());
        next = known.next;
    }
    Ok(found)
}

/// Numbers and texts by which a lot is shown.
fn is_same(kept: &Facts, right: &Facts) -> bool {
    let mut numbers = Number::ALL.iter();
    let mut texts = Text::ALL.iter();
    kept.at == right.at
        && numbers.all(|of| kept.number(*of) == right.number(*of))
        && texts.all(|of| kept.text(*of) == right.text(*of))
}
