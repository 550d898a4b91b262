//! Commands beside a bench, on its ledger.

use super::support::Folder;
use crate::bench::{Bench as Desk, Run};

pub fn on(folder: &Folder, arguments: &[&str]) -> Run {
    let path = folder.path().join("ledger.db");
    Desk::new().run(&[&["--ledger", path.to_str().unwrap()], arguments].concat())
}
