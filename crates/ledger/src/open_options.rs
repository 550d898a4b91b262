//! How to open a ledger.

use std::time::Duration;

use crate::Derive;

/// How to open a ledger. Default: it must exist, and may be written.
#[derive(Clone, Debug)]
pub struct OpenOptions {
    pub(crate) create: bool,
    pub(crate) begin_new: bool,
    pub(crate) read_only: bool,
    pub(crate) patience: Duration,
    pub(crate) derive: Option<Derive>,
}

impl Default for OpenOptions {
    fn default() -> Self {
        Self {
            create: false,
            begin_new: false,
            read_only: false,
            patience: Duration::from_secs(5),
            derive: None,
        }
    }
}

impl OpenOptions {
    pub fn new() -> Self {
        Self::default()
    }

    /// Whether a missing ledger is made, and the folders above it.
    #[must_use]
    pub fn create(mut self, create: bool) -> Self {
        self.create = create;
        self
    }

    /// Whether a ledger is begun in a file that is there and empty, or in a database that has none. Without it such a file
    /// is refused ([`Error::Empty`](crate::Error::Empty)): it may be a ledger that was lost.
    #[must_use]
    pub fn begin_new(mut self, begin_new: bool) -> Self {
        self.begin_new = begin_new;
        self
    }

    /// Whether it is only read: nothing is created and nothing changed, also where the disk would let us.
    #[must_use]
    pub fn read_only(mut self, read_only: bool) -> Self {
        self.read_only = read_only;
        self.create &= !read_only;
        self.begin_new &= !read_only;
        self
    }

    /// How long to wait while another program holds the ledger, or its server is away; 5 s if not set.
    #[must_use]
    pub fn patience(mut self, patience: Duration) -> Self {
        self.patience = patience;
        self
    }

    /// How the facts of an entry are made; without it none are made of what is recorded.
    #[must_use]
    pub fn facts(mut self, derive: Derive) -> Self {
        self.derive = Some(derive);
        self
    }
}
