//! What can be wrong with the address of a database server, or with the server.

use std::path::PathBuf;

/// Why an address is none that a ledger can be kept at.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum AddressFault {
    /// The program was built without the client of that server.
    NotBuiltIn,
    /// It cannot be read as an address: `postgres://USER@HOST:PORT/DATABASE?KEY=VALUE`.
    Form,
    /// It names no database.
    NoDatabase,
    /// It asks for a server that is only read from, and something is to be recorded.
    ReadOnlySession,
    /// `sslmode` is none of `disable`, `prefer`, `require`, `verify-full`.
    SslMode,
    /// `sslmode=verify-full` needs the certificates that are trusted: `sslrootcert=FILE`.
    NoRootCertificate,
    /// The file of trusted certificates cannot be read, or holds none.
    RootCertificate { file: PathBuf },
    /// Others can read the file of passwords, so it is not used.
    PasswordFileOpen { file: PathBuf },
}

/// What is the matter with a database server.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Server {
    /// None of the hosts answers, or takes a connection.
    Unreachable {
        /// What the system or the server said.
        detail: String,
    },
    /// It asks for a password, and none is known.
    PasswordMissing,
    /// It does not let this user in: wrong password, or no such user.
    LoginRefused {
        /// What it said.
        detail: String,
    },
    /// It has no database of that name.
    NoDatabase,
    /// The database holds no ledger. One is made only where that is asked for
    /// ([`OpenOptions::begin_new`](crate::OpenOptions::begin_new)).
    NoSchema,
    /// The tables are of an earlier program; their owner brings them up to date.
    MigrationNeeded {
        /// The last migration that was made.
        found: i64,
        /// The one that this program needs.
        known: i64,
    },
    /// The extension that searches need is not there, and could not be made.
    ExtensionMissing { extension: &'static str },
    /// The database does not keep its text in UTF-8.
    NotUtf8 {
        /// What it keeps it in.
        encoding: String,
    },
    /// The user may not do this.
    NotPermitted {
        /// What the server said.
        detail: String,
    },
    /// It takes nothing to be recorded: a standby, or a database set to be read only.
    TakesNothing,
    /// The connection broke; nothing was recorded.
    ConnectionLost,
}

impl Server {
    /// A stable name for machines.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Unreachable { .. } => "unreachable",
            Self::PasswordMissing => "password-missing",
            Self::LoginRefused { .. } => "login-refused",
            Self::NoDatabase => "no-database",
            Self::NoSchema => "no-schema",
            Self::MigrationNeeded { .. } => "migration-needed",
            Self::ExtensionMissing { .. } => "extension-missing",
            Self::NotUtf8 { .. } => "not-utf8",
            Self::NotPermitted { .. } => "not-permitted",
            Self::TakesNothing => "takes-nothing",
            Self::ConnectionLost => "connection-lost",
        }
    }
}
