//! How certified values change, in words.

use workshop::gauge_record::certificate::Drift;

use crate::say;
use crate::words::number;

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
