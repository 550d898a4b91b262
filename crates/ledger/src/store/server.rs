//! A ledger on a server, where the program was built with the client of it.

use std::sync::Arc;

use super::{Moving, Store};
use crate::Result;

#[cfg(feature = "shop")]
mod built_in {
    use super::super::copy::Sound;
    use super::super::postgres;
    use super::{Arc, Moving, Result, Store};
    use crate::OpenOptions;

    pub(crate) fn open(url: &str, options: &OpenOptions) -> Result<Arc<dyn Store>> {
        Ok(Arc::new(postgres::PostgresStore::open(url, options)?))
    }

    pub(crate) fn begin_move(url: &str, from: &Sound<'_>) -> Result<Box<dyn Moving>> {
        postgres::begin_move(url, from)
    }

    pub(crate) fn prepare(url: &str, roles: &[String]) -> Result<()> {
        postgres::prepare(url, roles)
    }
}

#[cfg(not(feature = "shop"))]
mod built_in {
    use super::super::address;
    use super::super::copy::Sound;
    use super::{Arc, Moving, Result, Store};
    use crate::{AddressFault, Error, OpenOptions};

    pub(crate) fn open(url: &str, _: &OpenOptions) -> Result<Arc<dyn Store>> {
        Err(missing(url))
    }

    pub(crate) fn begin_move(url: &str, _: &Sound<'_>) -> Result<Box<dyn Moving>> {
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

pub(crate) use built_in::{begin_move, open, prepare};
