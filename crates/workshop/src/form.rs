//! Form between places of a part, as its earlier records show it.

use std::collections::BTreeSet;

use jiff::Timestamp;
use ledger::{Filter, Known, Ledger, Order, Page, Subject, Text};
use metrology::inspection::{Characteristic, FormHistory, Part};

use crate::error::Error;
use crate::facts;
use crate::on_record;
use crate::record_kind::RecordKind;

/// So many of the latest records of a part are looked at: enough to know it by, and read while somebody waits.
const RECORDS: u32 = 20;

/// What the standing records of the same part, drawing and characteristic tell that were measured before; nothing where they
/// are too few. A measurement that was recorded twice counts once.
pub fn history(
    ledger: &Ledger,
    part: &Part,
    characteristic: &Characteristic,
    before: Timestamp,
) -> Result<Option<FormHistory>, Error> {
    let stated = [
        ("part", Some(&part.name)),
        ("drawing", part.drawing.as_ref()),
    ];
    let stated = stated.into_iter();
    let filter = Filter {
        subjects: stated
            .filter_map(|(role, identity)| Some(Subject::new(role, identity?.trim())))
            .collect(),
        ..RecordKind::Inspection.standing()
    };
    let listing = on_record::page(ledger, &filter, &Page::first(Order::NewestFirst, RECORDS))?;
    let given = facts::given(characteristic).map_err(Error::outside)?;
    let mut records = Vec::new();
    let mut seen = BTreeSet::new();
    for Known { heading, facts } in &listing.entries {
        let facts = facts.as_ref();
        let text = |of| facts.and_then(|facts| facts.text(of));
        // None where a reading looked like a mistake, and of what cannot be read: `ledger verify` tells that.
        let places = text(Text::Places).and_then(|places| serde_json::from_str(places).ok());
        let Some((places, at)) = places.zip(facts.and_then(|facts| facts.at)) else {
            continue;
        };
        if at < before
            && text(Text::Given) == Some(&given)
            && text(Text::Drawing) == part.drawing.as_deref().map(str::trim)
            && seen.insert((at, text(Text::Sample)))
        {
            records.push((heading.id().to_string(), places));
        }
    }
    Ok(FormHistory::of(&records))
}
