//! What is said of an entry that was just recorded.

use std::io::{self, Write};

use ledger::Entry;

use crate::failure::Failure;
use crate::output::{Output, warn};
use crate::{say, words};

/// Says beside the answer what is to be known of an entry that was just recorded.
pub fn remark(entry: &Entry) {
    if let Some(remark) = entry.remark() {
        warn(&say!(
            "command.warning",
            what = words::ledger::remark(&remark)
        ));
    }
}

/// Says on the screen what is on the disk.
pub fn acknowledge(entry: &Entry, json: bool, output: &mut Output) -> Result<(), Failure> {
    remark(entry);
    let recorded = say!("ledger.recorded", entry = entry.id());
    if json {
        // Standard output holds the result and nothing else.
        let _ = writeln!(io::stderr(), "{recorded}");
        Ok(())
    } else {
        output.line(&recorded)
    }
}
