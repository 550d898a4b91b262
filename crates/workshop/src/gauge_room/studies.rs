//! Studies that were run at the bench, on the record.

use jiff::Timestamp;
use ledger::{Draft, Entry, EntryId, EntryRef, Filter, Ledger, Order, Page, Subject};

use crate::error::Error;
use crate::gauge_record::studied::Studied;
use crate::gauge_record::study::{STUDIES, Study};
use crate::kept;
use crate::record_kind::RecordKind;
use crate::recorder::Recorder;

metrology::messages! {
    /// Why a study is not read.
    pub enum StudyError "study-record" {
        /// The entry holds none.
        NoStudy "no-study" { entry: String as Text },
        /// An entry that cannot be read.
        Unreadable "unreadable" { entry: String as Text },
    }
}

/// A study on the record.
#[derive(Clone, Debug, PartialEq)]
pub struct OnRecord {
    pub entry: EntryId,
    pub recorded_at: Timestamp,
    pub study: Study,
    /// As it was computed on that day.
    pub result: Studied,
}

/// The study that an entry holds.
pub fn on_record(entry: &Entry) -> Result<OnRecord, Error> {
    let id = || entry.id().to_string();
    if !RecordKind::Study.is_of(entry) {
        return Err(Error::input(StudyError::NoStudy { entry: id() }));
    }
    let content = &entry.content;
    let unreadable = |_| Error::outside(StudyError::Unreadable { entry: id() });
    Ok(OnRecord {
        entry: entry.id(),
        recorded_at: content.recorded_at,
        study: kept::read(kept::STUDY, &content.inputs).map_err(unreadable)?,
        result: kept::read(kept::STUDIED, &content.results).map_err(unreadable)?,
    })
}

/// The study of an entry.
pub fn get(ledger: &Ledger, name: &EntryRef) -> Result<OnRecord, Error> {
    on_record(&ledger.get(name)?)
}

/// Every standing study, the latest first.
pub fn all(ledger: &Ledger) -> Result<Vec<OnRecord>, Error> {
    let filter = Filter {
        subjects: vec![Subject::new(STUDIES.0, STUDIES.1)],
        ..RecordKind::Study.standing()
    };
    let mut all = Vec::new();
    let mut page = Some(Page::first(Order::NewestFirst, Page::LARGEST));
    while let Some(next) = page {
        let listing = ledger.list(&filter, &next)?;
        for entry in &listing.entries {
            all.push(on_record(entry)?);
        }
        page = listing.next;
    }
    Ok(all)
}

/// The entry of a study, not yet recorded.
pub fn draft(study: &Study, recorder: &Recorder) -> Result<Draft, Error> {
    Ok(Draft {
        inputs: kept::write(kept::STUDY, study).map_err(Error::outside)?,
        results: kept::write(kept::STUDIED, &study.studied()).map_err(Error::outside)?,
        subjects: study.subjects(),
        ..recorder.blank(RecordKind::Study)?
    })
}
