//! Which threads a workshop measures, by its records.

use std::collections::BTreeMap;

use ledger::{Ledger, Text};
use metrology::designation::{self, Form};
use metrology::message::{Message, Value};

use crate::error::Error;
use crate::on_record;
use crate::record_kind::RecordKind;

/// How many inspections of threads stand on the record, by form.
pub fn threads(ledger: &Ledger) -> Result<Vec<(Form, u64)>, Error> {
    let mut counts: BTreeMap<Form, u64> = BTreeMap::new();
    on_record::each(ledger, &RecordKind::Inspection.standing(), |_, facts| {
        let told = facts.text(Text::Told).unwrap_or_default();
        let told: Option<Message> = serde_json::from_str(told).ok();
        if let Some(Value::Text(written)) = told.as_ref().and_then(|told| told.value("thread"))
            && let Ok(thread) = designation::parse(written)
        {
            *counts.entry(thread.form()).or_default() += 1;
        }
        Ok(())
    })?;
    Ok(counts.into_iter().collect())
}
