//! First articles on the record: one is issued, and those of a lot are found again.

use ledger::{
    Amendment, Difference, Draft, Entry, EntryId, EntryRef, Filter, Ledger, Order, Subject, Text,
};
use metrology::lot::Standing;

use super::as_recorded::not_as_recorded;
use super::decisions::{Decided, decided_in};
use super::known::{Lot, lot_of};
use super::nonconforming::Nonconforming;
use crate::error::Error;
use crate::first_article::{
    FIRST_ARTICLE, FirstArticle, Judged, NOT_COVERED, NOT_MEASURED, SetAside,
};
use crate::kept;
use crate::lot_entry::{Found, LOT, SAMPLE};
use crate::on_record::each_whole;
use crate::record::append_as_read;
use crate::record_kind::RecordKind;
use crate::recorder::Recorder;
use crate::registry;

metrology::messages! {
    /// Why a first article is not issued.
    pub enum FirstArticleError "first-article-record" {
        /// One of that number is on the record.
        Known "known" { number: String as Text, entry: String as Text },
        /// The one that it replaces was replaced already.
        Replaced "replaced" { number: String as Text, by: String as Text },
        /// The one that it replaces is of another piece.
        OtherPiece "other-piece" { number: String as Text, lot: String as Text, piece: String as Text },
        /// It replaces one on the record, and nobody says why.
        NoReason "no-reason" { number: String as Text, entry: String as Text },
        /// The first article that it adds to was replaced or withdrawn.
        BaselineGone "baseline-gone" { number: String as Text, by: String as Text },
        /// It leaves a characteristic to a first article on the record that does not show it to conform.
        Baseline "baseline" { number: String as Text, entry: String as Text, characteristic: String as Text },
        /// A result waits for its zero check.
        Waits "waits" { piece: String as Text, characteristic: String as Text },
        /// Entries of the piece that were changed, or of which the facts for searching say something else than their documents.
        NotAsRecorded "not-as-recorded" { piece: String as Text, entries: String as Text },
        /// An entry that cannot be read.
        Unreadable "unreadable" { entry: String as Text },
    }
}

/// A first article on the record.
#[derive(Clone, Debug)]
pub struct FirstArticleIssued {
    pub entry: Entry,
    pub article: FirstArticle,
    pub judged: Judged,
}

/// The first article that an entry issues.
pub fn first_article(entry: &Entry) -> Result<FirstArticleIssued, Error> {
    let unreadable = |_| {
        Error::outside(FirstArticleError::Unreadable {
            entry: entry.id().to_string(),
        })
    };
    let content = &entry.content;
    Ok(FirstArticleIssued {
        article: kept::read(kept::FIRST_ARTICLE, &content.inputs).map_err(unreadable)?,
        judged: kept::read(kept::FIRST_ARTICLE_JUDGED, &content.results).map_err(unreadable)?,
        entry: entry.clone(),
    })
}

/// The first articles of a lot, the first first, also those that were replaced.
pub fn first_articles(ledger: &Ledger, lot: &str) -> Result<Vec<FirstArticleIssued>, Error> {
    let entries = entries(ledger, &Subject::new(LOT, lot.trim()))?;
    entries.iter().map(first_article).collect()
}

fn entries(ledger: &Ledger, subject: &Subject) -> Result<Vec<Entry>, Error> {
    let filter = Filter {
        subjects: vec![subject.clone()],
        ..RecordKind::FirstArticle.all()
    };
    let mut all = Vec::new();
    each_whole(ledger, &filter, Order::OldestFirst, |entry| {
        all.push(entry.clone());
        Ok(())
    })?;
    Ok(all)
}

/// The entry of a first article by its number.
pub fn first_article_by_number(ledger: &Ledger, number: &str) -> Result<Option<Entry>, Error> {
    let number = number.trim();
    if number.is_empty() {
        return Ok(None);
    }
    Ok(entries(ledger, &Subject::new(FIRST_ARTICLE, number))?.pop())
}

/// The lot of a first article, as it was begun.
pub fn lot_of_first_article(ledger: &Ledger, article: &FirstArticle) -> Result<Lot, Error> {
    lot_of(ledger, &entry_of(ledger, &article.lot_entry)?)
}

fn entry_of(ledger: &Ledger, name: &str) -> Result<Entry, Error> {
    let name: EntryRef = name
        .parse()
        .map_err(|error| Error::Ledger(ledger::Error::NotAnEntryRef(error)))?;
    Ok(ledger.get(&name)?)
}

/// A piece that was set aside, as it stood then.
pub fn set_aside_then(
    ledger: &Ledger,
    lot: &Lot,
    piece: &str,
    then: &SetAside,
) -> Result<Nonconforming, Error> {
    let decided: Option<Decided> = then
        .decided
        .as_deref()
        .map(|entry| decided_in(&entry_of(ledger, entry)?))
        .transpose()?;
    let mut again = Vec::new();
    for one in &then.again {
        let entry: EntryId = entry_of(ledger, &one.entry)?.id();
        let standing = Standing::of(&one.standing).unwrap_or(Standing::Undecided);
        again.push((one.characteristic.clone(), entry, standing));
    }
    Ok(Nonconforming {
        number: then.number.clone(),
        lot: lot.begun.number.clone(),
        part: lot.begun.part.clone(),
        piece: piece.to_owned(),
        shown_by: then.shown_by.clone(),
        decided,
        again,
    })
}

/// Puts a first article on the record. One without a number gets one from lot and piece; one that replaces another on the record
/// amends it, for its stated reason.
pub fn issue_first_article(
    ledger: &Ledger,
    article: &FirstArticle,
    recorder: &Recorder,
) -> Result<Entry, Error> {
    let waits = article.stood.iter();
    let mut waits = waits.filter(|one| one.verdict == Standing::Provisional.key());
    if let Some(one) = waits.next() {
        return Err(Error::input(FirstArticleError::Waits {
            piece: article.piece.clone(),
            characteristic: one.characteristic.clone(),
        }));
    }
    baseline_shows(ledger, article)?;
    let of_piece = vec![
        Subject::new(LOT, article.lot.trim()),
        Subject::new(SAMPLE, article.piece.trim()),
    ];
    let entries = not_as_recorded(ledger, of_piece)?;
    if !entries.is_empty() {
        let entries: Vec<String> = entries.iter().map(EntryId::to_string).collect();
        return Err(Error::input(FirstArticleError::NotAsRecorded {
            piece: article.piece.clone(),
            entries: entries.join(", "),
        }));
    }
    let mut article = article.clone();
    let own = format!("FA-{}-{}", article.lot.trim(), article.piece.trim());
    let number = article
        .supplied
        .first_article
        .report
        .get_or_insert(own)
        .clone();
    let (number, entries) = append_as_read(ledger, || {
        let number = number.clone();
        if let Some(known) = first_article_by_number(ledger, &number)? {
            let entry = known.id().to_string();
            return Err(Error::input(FirstArticleError::Known { number, entry }));
        }
        let draft = Draft {
            inputs: kept::write(kept::FIRST_ARTICLE, &article).map_err(Error::outside)?,
            results: kept::write(kept::FIRST_ARTICLE_JUDGED, &article.judged())
                .map_err(Error::outside)?,
            subjects: article.subjects(),
            amends: replaced(ledger, &article)?,
            ..recorder.blank(RecordKind::FirstArticle)?
        };
        Ok((number, vec![draft]))
    })?;
    // There is one for each draft.
    let lost = || Error::outside(FirstArticleError::Unreadable { entry: number });
    entries.into_iter().next().ok_or_else(lost)
}

/// Refuses a first article that leaves a characteristic to another one which is on the record and does not show it to conform.
/// What is not on the record, such as the first article of another site, is as it is stated.
pub fn baseline_shows(ledger: &Ledger, article: &FirstArticle) -> Result<(), Error> {
    let of = |article: &FirstArticle| article.supplied.first_article.baseline.clone();
    let left = article.stood.iter();
    let left = left.filter(|one| one.verdict == NOT_COVERED);
    let mut left: Vec<&str> = left.map(|one| one.characteristic.as_str()).collect();
    let mut next = of(article);
    // One may add to another that adds to a third; each is older than the one before, so this comes to an end.
    while let Some(number) = next.filter(|_| !left.is_empty()) {
        let number = number.trim().to_owned();
        let Some(entry) = first_article_by_number(ledger, &number)? else {
            return Ok(());
        };
        if let Some(by) = entry.amended_by {
            let by = by.to_string();
            return Err(Error::input(FirstArticleError::BaselineGone { number, by }));
        }
        let baseline = first_article(&entry)?.article;
        let stood = |characteristic: &str| {
            let mut stood = baseline.stood.iter();
            let stood = stood.find(|one| one.characteristic == characteristic);
            stood.map_or(NOT_MEASURED, |one| one.verdict.as_str())
        };
        let conforms = |characteristic: &&str| {
            let verdict = stood(characteristic);
            verdict == Standing::Accept.key() || verdict == NOT_COVERED
        };
        if let Some(characteristic) = left.iter().find(|one| !conforms(one)) {
            return Err(Error::input(FirstArticleError::Baseline {
                characteristic: (*characteristic).to_owned(),
                entry: entry.id().to_string(),
                number,
            }));
        }
        left.retain(|characteristic| stood(characteristic) == NOT_COVERED);
        next = of(&baseline).filter(|further| further.trim() != number);
    }
    Ok(())
}

/// Where a first article on the record states another verdict on a characteristic than the record that it names.
pub fn first_article_differs(ledger: &Ledger, entry: &Entry) -> Result<Vec<Difference>, Error> {
    let mut found = Vec::new();
    if !RecordKind::FirstArticle.is_of(entry) {
        return Ok(found);
    }
    for (index, stood) in first_article(entry)?.article.stood.iter().enumerate() {
        let Some(record) = &stood.entry else { continue };
        // A result that is complete may still be left undecided, by its places or its zero; the other way round it may not.
        if !matches!(stood.verdict.as_str(), "accept" | "reject") {
            continue;
        }
        let record = entry_of(ledger, record)?;
        // What was found without a gauge has no facts.
        let decided = match kept::read::<Found>(kept::FOUND, &record.content.inputs) {
            Ok(found) if RecordKind::Found.is_of(&record) => {
                Some(found.standing().key().to_owned())
            }
            _ => {
                let facts = registry::facts(&record.content);
                facts.text(Text::Verdict).map(str::to_owned)
            }
        };
        if let Some(decided) = decided.filter(|decided| *decided != stood.verdict) {
            found.push(Difference {
                path: format!("stood[{index}].verdict"),
                stored: stood.verdict.clone(),
                computed: decided,
            });
        }
    }
    Ok(found)
}

/// The entry of the first article that another is issued in place of; none where that is not on this record.
fn replaced(ledger: &Ledger, article: &FirstArticle) -> Result<Option<Amendment>, Error> {
    let of = &article.supplied.first_article;
    let Some(number) = of.replaces.as_deref().map(str::trim) else {
        return Ok(None);
    };
    let Some(before) = first_article_by_number(ledger, number)? else {
        return Ok(None);
    };
    let number = number.to_owned();
    if let Some(by) = before.amended_by {
        let by = by.to_string();
        return Err(Error::input(FirstArticleError::Replaced { number, by }));
    }
    let replaced = first_article(&before)?.article;
    let of_piece = |one: &FirstArticle| (one.lot.trim().to_owned(), one.piece.trim().to_owned());
    if of_piece(&replaced) != of_piece(article) {
        let (lot, piece) = of_piece(&replaced);
        return Err(Error::input(FirstArticleError::OtherPiece {
            number,
            lot,
            piece,
        }));
    }
    match &of.reason {
        Some(reason) => Ok(Some(Amendment {
            entry: before.id(),
            reason: reason.clone(),
        })),
        None => Err(Error::input(FirstArticleError::NoReason {
            number,
            entry: before.id().to_string(),
        })),
    }
}
