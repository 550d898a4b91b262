//! Taking the books of another store in, all or nothing.

use std::sync::Arc;

use super::super::copy::Sound;
use super::super::{Moving, Store, row::size};
use super::settings::Settings;
use super::{Connection, PostgresStore, append, bench, connect, place, schema};
use crate::{BenchEvent, Entry, Error, Facts, OpenOptions, Result, facts::KeptFacts};

/// How many entries or events go in by one statement, and how many bytes of them.
const AT_A_TIME: usize = 500;
const BYTES: usize = 4 << 20;

/// The one transaction in which everything is put in, read back and verified.
struct Open(Arc<PostgresStore>);

/// Puts all that a store keeps into an empty ledger. Nothing of it is seen by others before it is committed.
pub(crate) fn begin(url: &str, from: &Sound<'_>) -> Result<Box<dyn Moving>> {
    let options = OpenOptions::new();
    let place = place(url, &options);
    let settings = Settings::read(url, &place)?;
    let mut connection = connect(&settings, &place)?;
    schema::admit(&mut connection)?;
    connection.run(&format!(
        "BEGIN ISOLATION LEVEL READ COMMITTED; {}; {}",
        append::LOCK,
        bench::LOCK
    ))?;
    let taken = connection.run_for_row("SELECT 1 FROM issued WHERE entries > 0 OR events > 0")?;
    if !taken.is_empty() {
        return Err(Error::NotEmpty(place.path));
    }
    put_all(&mut connection, from)?;
    let store = PostgresStore::within(connection, place, settings);
    Ok(Box::new(Open(Arc::new(store))))
}

fn put_all(connection: &mut Connection, from: &Sound<'_>) -> Result<()> {
    from.check_ends()?;
    let key = connection.run_for_row("SELECT gen_random_uuid()")?;
    let key = key.into_iter().next().flatten().unwrap_or_default();
    let event_size = |(_, event): &(u64, BenchEvent)| event.event.len();
    in_parts(from.events(), event_size, |events| {
        bench::insert(connection, events, &key)
    })?;
    let entry_size = |(entry, _): &(Entry, Option<Facts>)| size(&entry.content);
    in_parts(from.entries(), entry_size, |added| {
        let (entries, made): (Vec<Entry>, Vec<Option<Facts>>) = added.iter().cloned().unzip();
        // Those of an old ledger without facts are made another time.
        let kept = entries.iter().zip(made).map_while(|(entry, made)| {
            let check = entry.id().check_digits();
            let facts = KeptFacts::of(check, &entry.content, made?);
            Some((entry.sequence, facts))
        });
        append::insert(connection, &entries, &kept.collect::<Vec<_>>(), &key)
    })
}

fn in_parts<T>(
    all: impl Iterator<Item = Result<T>>,
    size: impl Fn(&T) -> usize,
    mut put: impl FnMut(&[T]) -> Result<()>,
) -> Result<()> {
    let (mut part, mut bytes) = (Vec::new(), 0);
    for one in all {
        let one = one?;
        bytes += size(&one);
        part.push(one);
        if part.len() >= AT_A_TIME || bytes >= BYTES {
            put(&part)?;
            part.clear();
            bytes = 0;
        }
    }
    if part.is_empty() { Ok(()) } else { put(&part) }
}

impl Moving for Open {
    fn store(&self) -> Arc<dyn Store> {
        Arc::clone(&self.0) as Arc<dyn Store>
    }

    fn commit(&self) -> Result<()> {
        self.0
            .read(|connection| connection.run("COMMIT"))
            .map_err(|error| match error {
                // Whether it was kept is not known.
                Error::Server { .. } => Error::AnswerLost(self.0.place.path.clone()),
                other => other,
            })
    }
}
