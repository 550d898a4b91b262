//! A station that is taken.

use std::any::Any;

/// Keeps a station for one bench for as long as it lives. The system itself lets go of it where the program ends in any
/// other way, by a signal that kills it too.
pub struct Occupied {
    /// What holds the station in the store: it is let go with this.
    _held: Box<dyn Any + Send + Sync>,
}

impl Occupied {
    pub(crate) fn by(held: impl Any + Send + Sync) -> Self {
        Self {
            _held: Box::new(held),
        }
    }
}

impl std::fmt::Debug for Occupied {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Occupied").finish_non_exhaustive()
    }
}
