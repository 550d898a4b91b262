//! Which ledger it is, and what the errors of its server mean.

use std::error::Error as _;
use std::io;
use std::path::PathBuf;

use postgres::error::SqlState;

use crate::{AddressFault, Damage, Error, OpenOptions, Server};

/// Which ledger it is, for what is told of it.
#[derive(Clone)]
pub(super) struct Place {
    /// The address, without password.
    pub path: PathBuf,
    pub options: OpenOptions,
}

impl Place {
    pub fn address(&self, why: AddressFault) -> Error {
        let path = self.path.clone();
        Error::Address { path, why }
    }

    pub fn server(&self, what: Server) -> Error {
        let path = self.path.clone();
        Error::Server { path, what }
    }

    pub fn damaged(&self, what: Damage) -> Error {
        let path = self.path.clone();
        Error::Damaged { path, what }
    }

    /// Tells what an error of the server, or on the way to it, means.
    pub fn told(&self, error: &postgres::Error) -> Error {
        let path = self.path.clone();
        let Some(said) = error.as_db_error() else {
            return self.server(Server::ConnectionLost);
        };
        let code = said.code();
        let detail = format!("{} ({})", said.message(), code.code());
        if is_lost(error) {
            return self.server(Server::ConnectionLost);
        }
        let class = code.code().get(..2).unwrap_or_default();
        match (class, code) {
            (_, code) if *code == SqlState::INSUFFICIENT_PRIVILEGE => {
                self.server(Server::NotPermitted { detail })
            }
            (_, code) if *code == SqlState::UNDEFINED_TABLE => self.server(Server::NoSchema),
            (_, code) if *code == SqlState::READ_ONLY_SQL_TRANSACTION => {
                self.server(Server::TakesNothing)
            }
            (_, code) if *code == SqlState::LOCK_NOT_AVAILABLE => Error::Locked {
                path,
                waited: self.options.patience,
            },
            (_, code) if *code == SqlState::DISK_FULL => Error::DiskFull(path),
            (_, code) if *code == SqlState::INVALID_CATALOG_NAME => self.server(Server::NoDatabase),
            ("28", _) => self.server(Server::LoginRefused { detail }),
            // Another system error, such as of the disk.
            ("58", _) => Error::Disk { path, detail },
            ("XX", code)
                if [SqlState::DATA_CORRUPTED, SqlState::INDEX_CORRUPTED].contains(code) =>
            {
                let what = Damage::Engine { detail };
                Error::Damaged { path, what }
            }
            _ => Error::Storage { path, detail },
        }
    }

    /// The same of an error while connecting.
    pub fn told_of_connecting(&self, error: &postgres::Error, has_password: bool) -> Error {
        if let Some(said) = error.as_db_error() {
            return match said.code().code().get(..2) {
                // No connections left, stopping or starting.
                Some("53" | "57" | "08") => self.server(Server::Unreachable {
                    detail: said.message().to_owned(),
                }),
                _ => self.told(error),
            };
        }
        let source = error.source();
        match source.and_then(|source| source.downcast_ref::<io::Error>()) {
            Some(found) if found.kind() == io::ErrorKind::PermissionDenied => {
                self.server(Server::TakesNothing)
            }
            None if !has_password => self.server(Server::PasswordMissing),
            _ => self.server(Server::Unreachable {
                detail: source.map_or_else(|| error.to_string(), ToString::to_string),
            }),
        }
    }
}

/// Whether the connection is gone, and what was asked may be asked of another.
fn is_lost(error: &postgres::Error) -> bool {
    match error.code() {
        None => true,
        // Connection exceptions, and a server that stops or crashed.
        Some(code) => {
            code.code().starts_with("08")
                || [
                    SqlState::ADMIN_SHUTDOWN,
                    SqlState::CRASH_SHUTDOWN,
                    SqlState::CANNOT_CONNECT_NOW,
                ]
                .contains(code)
        }
    }
}
