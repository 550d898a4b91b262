//! Where the zero of a micrometer with its contacts last stood, as the records show it.

use jiff::Timestamp;
use ledger::{Ledger, Order, Subject, Text, Touching};
use metrology::inspection::{Contacts, Instrument, Standard, Zero};
use metrology::units::Entered;

use crate::error::Error;
use crate::on_record;

/// So many of the latest measurements are looked at for one that shows it.
const RECORDS: u32 = 20;

/// A micrometer, a pair of contacts and a setting standard, by identity.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Zeroed {
    pub instrument: String,
    pub contacts: String,
    pub standard: String,
}

impl Zeroed {
    /// The set-up of these.
    pub fn of(instrument: &Instrument, contacts: &Contacts, standard: &Standard) -> Self {
        Self {
            instrument: instrument.id.clone(),
            contacts: contacts.id.clone(),
            standard: standard.id.clone(),
        }
    }
}

/// Where the zero stood.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LastZero {
    /// Indicated less certified.
    pub error: Entered,
    /// The entry that shows it.
    pub record: u64,
}

impl LastZero {
    /// What the latest standing record before a moment shows, at the end of its job.
    pub fn of(ledger: &Ledger, zeroed: &Zeroed, before: Timestamp) -> Result<Option<Self>, Error> {
        let asked = Touching {
            role: "contacts".to_owned(),
            identity: zeroed.contacts.trim().to_owned(),
            until: Some(before),
            also: vec![
                Subject::new("instrument", zeroed.instrument.trim()),
                Subject::new("standard", zeroed.standard.trim()),
            ],
            standing: true,
            order: Order::NewestFirst,
            size: RECORDS,
            ..Touching::default()
        };
        let found = on_record::touched(ledger, &asked)?;
        Ok(found.iter().find_map(|one| {
            let error = Entered::parse(one.facts.text(Text::Zero)?, None).ok()?;
            let record = one.entry.sequence();
            Some(Self { error, record })
        }))
    }

    /// Adds it to a job that does not state it.
    pub fn tell(last: Option<&Self>, zero: &mut Zero) {
        if let (None, Some(last)) = (&zero.last, last) {
            zero.last = Some(last.error.clone());
            zero.last_record = Some(last.record);
        }
    }
}
