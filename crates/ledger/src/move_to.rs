//! The books taken to a server.

use std::path::Path;

use crate::store::{
    address,
    copy::{Sound, difference},
    server,
};
use crate::{
    AddressFault, Computed, Entry, Error, Ledger, Mark, Result, VerifyOptions, VerifyReport, verify,
};

impl Ledger {
    /// Takes the books to an empty ledger on a server and proves that nothing changed: every row is read back and
    /// compared, and all is verified as [`verify`] does, before anything is kept. All in one transaction, or nothing.
    /// Returns what the verification found. This ledger stays as it is; where something was recorded in it meanwhile,
    /// nothing is kept ([`Error::WentOn`]).
    pub fn move_to<C: Into<Computed>>(
        &self,
        address: impl AsRef<Path>,
        options: &VerifyOptions<'_>,
        recompute: impl Fn(&Entry) -> C + Sync,
    ) -> Result<VerifyReport> {
        let Some(url) = address::url(address.as_ref()) else {
            return Err(Error::Address {
                path: address.as_ref().to_owned(),
                why: AddressFault::Form,
            });
        };
        let path = address::shown(url);
        let from = Sound {
            store: &*self.store,
            path: &self.path,
            derive: self.derive,
        };
        let ends = || -> Result<(Option<Mark>, u64)> {
            Ok((self.head()?, self.store.event_extent()?.issued))
        };
        let before = ends()?;
        let moving = server::begin_move(url, &from)?;
        let there = Self {
            path: path.clone(),
            derive: self.derive,
            store: moving.store(),
        };
        if let Some(place) = difference(&*self.store, &*there.store)? {
            return Err(Error::MovedDiffers { path, place });
        }
        let report = verify(&there, options, recompute)?;
        report.refuse_copy(&path)?;
        if ends()? != before || there.head()? != before.0 {
            let last = self.head()?.map_or(0, |head| head.sequence);
            return Err(Error::WentOn { last });
        }
        moving.commit()?;
        Ok(report)
    }
}
