//! A ledger on a server, where the program was built with the client of it.

#[cfg(feature = "shop")]
mod built_in {
    use super::super::{Store, postgres};
    use crate::{OpenOptions, Result};

    pub(crate) fn open(url: &str, options: &OpenOptions) -> Result<Box<dyn Store>> {
        Ok(Box::new(postgres::PostgresStore::open(url, options)?))
    }

    pub(crate) fn prepare(url: &str, roles: &[String]) -> Result<()> {
        postgres::prepare(url, roles)
    }
}

#[cfg(not(feature = "shop"))]
mod built_in {
    use super::super::{Store, address};
    use crate::{AddressFault, Error, OpenOptions, Result};

    pub(crate) fn open(url: &str, _: &OpenOptions) -> Result<Box<dyn Store>> {
        Err(missing(url))
    }

    pub(crate) fn prepare(url: &str, _: &[String]) -> Result<()> {
        Err(missing(url))
    }

    fn missing(url: &str) -> Error {
        let path = address::shown(url);
        let why = AddressFault::NotBuiltIn;
        Error::Address { path, why }
    }
}

pub(crate) use built_in::{open, prepare};
