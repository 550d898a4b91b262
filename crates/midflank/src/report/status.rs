//! Changes of status, in words.

use workshop::gauge_record::status::Extension;
use workshop::status::Changed;

use crate::say;
use crate::words;

/// A change on one line.
pub fn line(changed: &Changed) -> String {
    let change = &changed.change;
    let told = say!(
        "status.line",
        kind = words::named("piece-kind", &change.piece.kind),
        id = change.piece.id,
        status = words::named("status-set", &change.status),
        person = changed.person,
        reason = change.reason
    );
    let mut all = vec![told];
    all.extend(beside(changed));
    all.join("; ")
}

/// What a change sets beside the status: what for, who has it, when it is due, an extension.
pub fn beside(changed: &Changed) -> Vec<String> {
    let change = &changed.change;
    let mut all = Vec::new();
    if !change.limited_to.is_empty() {
        let what = words::list(change.limited_to.iter().cloned());
        all.push(say!("status.for", what = what));
    }
    if let Some(holder) = &change.holder {
        all.push(say!("status.holder", holder = holder));
    }
    if let Some(due) = change.due {
        all.push(say!("status.due", due = due));
    }
    all.extend(change.extension.as_ref().map(extension));
    all
}

/// An extension in words.
pub fn extension(one: &Extension) -> String {
    say!(
        "status.extension",
        until = one.until,
        by = one.by,
        reason = one.reason,
        check = one.check
    )
}
