//! Certificates, and how certified values change, in words.

use workshop::gauge_record::certificate::{Certified, CertifiedValue, Drift};

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
