//! What the laboratory has approved: values in the place of the program's defaults, and uncertainties of its own, kept in
//! the ledger.
//!
//! An approval is an entry of kind [`APPROVAL`]. Nothing is edited: another value is a new entry that amends the earlier
//! one, and `ledger amend` withdraws one. A job takes what stands on the day that it is read and keeps it with its numbers.

use ledger::{Draft, Entry, EntryId, Filter, Ledger, Order, Page};
use metrology::inspection::{Approved, OwnUncertainty};

use crate::approving::APPROVALS;
pub use crate::approving::{APPROVAL, Approving, SIZE, SetUp, SetUpUncertainty};
use crate::failure::Failure;
use crate::kept;
use crate::record;
use crate::words;

/// An approval, and the entry that holds it.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// What.
    pub approving: Approving,
    /// The entry.
    pub entry: EntryId,
}

/// All that stands approved.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Approvals {
    /// Values in the place of defaults, as a job keeps them.
    pub approved: Vec<Approved>,
    /// Uncertainties of set-ups.
    pub own: Vec<SetUpUncertainty>,
    /// Both with their entries, the latest first.
    pub standing: Vec<Standing>,
}

impl Approvals {
    /// Reads them from the ledger: standing entries, the latest of each.
    pub fn read(ledger: &Ledger) -> Result<Self, Failure> {
        let filter = Filter {
            kind: Some(APPROVAL.to_owned()),
            standing: true,
            ..Filter::touching(APPROVALS.0, APPROVALS.1)
        };
        let mut all = Self::default();
        let mut page = Some(Page::first(Order::NewestFirst, Page::LARGEST));
        while let Some(next) = page {
            let listing = ledger.list(&filter, &next)?;
            for entry in &listing.entries {
                all.take(Standing {
                    approving: approving(entry)?,
                    entry: entry.id(),
                });
            }
            page = listing.next;
        }
        Ok(all)
    }

    fn take(&mut self, standing: Standing) {
        if self.same(&standing.approving).is_some() {
            return;
        }
        match &standing.approving {
            Approving::Default(approved) => self.approved.push(approved.clone()),
            Approving::Uncertainty(own) => self.own.push(own.clone()),
        }
        self.standing.push(standing);
    }

    fn same(&self, approving: &Approving) -> Option<&Standing> {
        let mut standing = self.standing.iter();
        standing.find(|known| known.approving.is_of_the_same(approving))
    }

    /// The laboratory's uncertainty for a set-up.
    pub fn own(&self, set_up: &SetUp) -> Option<&OwnUncertainty> {
        let found = self.own.iter().find(|own| own.set_up == *set_up)?;
        Some(&found.own)
    }
}

/// The approval that an entry holds.
pub fn approving(entry: &Entry) -> Result<Approving, Failure> {
    kept::read(kept::APPROVAL, &entry.content.inputs).map_err(|error| {
        Failure::outside(crate::say!(
            "approval.unreadable",
            entry = entry.id(),
            program = entry.content.program,
            why = words::said(&error)
        ))
    })
}

/// Puts an approval on the record, in the place of an earlier one of the same thing.
pub fn record(ledger: &Ledger, approving: &Approving, person: &str) -> Result<Entry, Failure> {
    let draft = Draft {
        inputs: kept::write(kept::APPROVAL, approving).map_err(Failure::outside)?,
        subjects: approving.subjects(),
        ..record::blank(APPROVAL, person)?
    };
    let before = Approvals::read(ledger)?;
    Ok(match before.same(approving) {
        None => ledger.append(&draft)?,
        Some(before) => ledger.amend(&before.entry.into(), crate::say!("approval.anew"), draft)?,
    })
}
