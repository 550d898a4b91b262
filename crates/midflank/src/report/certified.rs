//! Certificates, and how certified values change, in words.

use ledger::Entry;
use metrology::units::Entered;
use workshop::gauge_record::certificate::{Certified, CertifiedValue, Conformity, Drift};
use workshop::gauge_record::piece::PieceKind;
use workshop::register::{Effect, Register, effect, past_new, past_wear};

use crate::say;
use crate::words::{self, number};

/// A certificate on one line.
pub fn line(certified: &Certified) -> String {
    let heading = &certified.heading;
    say!(
        "certificate.line",
        kind = words::named("piece-kind", &certified.piece.kind),
        id = certified.piece.id,
        number = heading.number,
        date = heading.date,
        issuer = heading.issuer
    )
}

/// Why an item is set apart whose certificate does not state that it conforms.
pub fn set_apart_for(number: &str, stated: Conformity) -> String {
    let stated = words::word(&stated);
    say!("certificate.reason", number = number, stated = stated)
}

/// What is to be known of a certificate that was put on the record: that it does not state its item to conform, with the entry
/// that set it apart, and where jobs do not go by it.
pub fn follows(register: &Register, certified: &Certified, apart: Option<&Entry>) -> Vec<String> {
    let piece = &certified.piece;
    let name = words::named("piece-kind", &piece.kind);
    let mut told = Vec::new();
    if let Some(stated) = certified.not_shown() {
        let stated = words::word(&stated);
        told.push(match apart {
            Some(status) => say!(
                "certificate.set-apart",
                kind = name,
                id = piece.id,
                stated = stated,
                status = status.id()
            ),
            None => say!(
                "certificate.not-conforming",
                kind = name,
                id = piece.id,
                stated = stated
            ),
        });
    }
    let Some(kind) = piece.kind().and_then(PieceKind::registered) else {
        return told;
    };
    let known = register.find(kind, &piece.id);
    let shown = |length: &Entered| format!("{} {}", length.number(), length.unit());
    if let Some((size, limit)) = known.and_then(|known| past_wear(&known.equipment)) {
        told.push(say!(
            "certificate.gauge-worn",
            id = piece.id,
            size = shown(&size),
            limit = shown(&limit)
        ));
    }
    if let Some((size, limit)) = known.and_then(|known| past_new(&known.equipment)) {
        told.push(say!(
            "certificate.gauge-past-limit",
            id = piece.id,
            size = shown(&size),
            limit = shown(&limit)
        ));
    }
    let (kind, id) = (name, &piece.id);
    told.extend(match effect(known, certified) {
        Effect::Taken => None,
        Effect::Drift => Some(say!("certificate.for-drift", kind = kind, id = id)),
        Effect::HeldAgainst => Some(say!("certificate.held-against", kind = kind, id = id)),
        Effect::Contradicts => Some(say!("certificate.contradicts", kind = kind, id = id)),
        Effect::Nothing => Some(say!("certificate.unused", kind = kind, id = id)),
        Effect::NotRegistered => Some(say!("certificate.not-registered", kind = kind, id = id)),
    });
    told
}

/// A certificate with its values and its traceability.
pub fn report(certified: &Certified) -> String {
    let mut lines = vec![line(certified), words::said(&certified.heading.traced())];
    let stated = certified.conformity.as_deref();
    lines.extend(stated.map(|stated| {
        let stated = words::named("conformity", stated);
        say!("dcc.stated", stated = stated)
    }));
    lines.extend(values(&certified.values));
    lines.join("\n")
}

/// A line for each value.
pub fn values(all: &[CertifiedValue]) -> impl Iterator<Item = String> {
    all.iter().map(|value| {
        let quantity = value.at.map_or_else(
            || value.quantity.clone(),
            |at| {
                let at = say!(
                    "certificate.at",
                    at = number::given(at),
                    unit = place(&value.unit)
                );
                format!("{} {at}", value.quantity)
            },
        );
        say!(
            "certificate.value",
            quantity = quantity,
            value = number::given(value.value),
            unit = value.unit,
            expanded = number::given(value.expanded_uncertainty),
            k = number::given(value.coverage_factor)
        )
    })
}

/// The unit of the place at which a value holds: of an error in kelvins a temperature.
fn place(unit: &str) -> &str {
    if unit.trim() == "K" { "°C" } else { unit }
}

/// How a value changes from certificate to certificate.
pub fn drifted(drift: &Drift) -> String {
    let rate = drift.slope_per_year.unwrap_or(drift.per_year);
    let u = drift.of_slope.unwrap_or(drift.standard_uncertainty);
    let mut told = say!(
        "certificate.drift",
        n = drift.n,
        quantity = drift.quantity,
        rate = number::significant(rate, 3),
        u = number::significant(u, 2),
        unit = drift.unit
    );
    if drift.worn == Some(true) {
        told = format!("{told}; {}", say!("certificate.worn"));
    } else if let Some(day) = drift.worn_on {
        told = format!("{told}; {}", say!("certificate.worn-on", day = day));
    }
    told
}
