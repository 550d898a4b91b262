//! What may have changed in standard, micrometer and wires since they were calibrated.

use jiff::civil::Date;

use super::approval::DefaultName;
use super::equipment::{InstrumentErrors, StandardForm, Thermometer, WireSet, YearlyDrift};
use super::inputs::turn;
use super::job::Job;
use super::model::Quantity;
use super::note::{Named, Note, OwnName};
use crate::uncertainty::Distribution;

/// Age of a certificate whose date is not known, days: the usual interval of calibration (common practice, no source).
const USUAL_AGE: u32 = 365;
/// Days of a year.
const YEAR: f64 = 365.25;

/// Fewer certificates may agree by luck, and those of a few months do: a smaller rate than the usual one is taken from so
/// many on that lie half a year apart (a proposal, no source).
const CERTIFICATES: u32 = 3;

/// Days between a certificate and a measurement, whichever came first.
fn age(certified: Date, used: Date) -> u32 {
    let days = certified.until(used).map_or(0, |span| span.get_days());
    days.unsigned_abs()
}

/// Either way, by the rate times the age of the certificate.
fn line(
    job: &Job,
    quantity: Quantity,
    name: DefaultName,
    drift: Option<&YearlyDrift>,
    certified: Option<Date>,
) -> Named {
    let usual = job.usual(name);
    let rate = |drift: &YearlyDrift| drift.per_year.value().mm();
    let drift = drift.filter(|drift| {
        let few = drift.certificates.is_some() && drift.apart.unwrap_or(0) < CERTIFICATES;
        !few || rate(drift) > usual.value()
    });
    let rate = drift.map_or_else(|| usual.value(), rate);
    let days = certified.map_or(USUAL_AGE, |certified| age(certified, job.measured_on));
    let within = Distribution::Rectangular {
        half_width: rate * f64::from(days) / YEAR,
    };
    let named = Named::new(quantity, 0.0, within);
    match drift {
        None => named.by(&usual, Note::SinceCertificateUsual { rate, days }),
        Some(YearlyDrift {
            certificates: Some(n),
            ..
        }) => named.noted(Note::SinceCertificates { n: *n, rate, days }),
        Some(_) => named.noted(Note::SinceCertificate { rate, days }),
    }
}

/// What the setting standard may have changed by. Contacts closed on each other have no certificate.
pub fn of_standard(job: &Job) -> Named {
    let quantity = Quantity::StandardDrift;
    let standard = &job.standard;
    if standard.form == StandardForm::Closed {
        return Named::normal(quantity, 0.0, 0.0);
    }
    let name = DefaultName::StandardDrift;
    line(
        job,
        quantity,
        name,
        standard.drift.as_ref(),
        standard.certificate_date,
    )
}

/// What the error curve of the micrometer may have changed by, between part and standard.
///
/// The zero takes out what the whole screw has in common, and within one turn of the thimble little else is left. A
/// maximum permissible error holds until the next calibration and so holds this already.
pub fn of_micrometer(job: &Job, reading: f64) -> Named {
    let quantity = Quantity::MicrometerDrift;
    let near = (reading - job.standard.size.value().mm()).abs() <= turn(job);
    if near || matches!(job.instrument.errors, InstrumentErrors::Within { .. }) {
        return Named::normal(quantity, 0.0, 0.0);
    }
    let instrument = &job.instrument;
    let name = DefaultName::MicrometerDrift;
    line(
        job,
        quantity,
        name,
        instrument.drift.as_ref(),
        instrument.certificate_date,
    )
}

/// What the diameter of wires may have changed by, where that is stated or their certificates show it; `sensitivity` is what
/// the model has of a change of the diameter.
pub fn of_wires(job: &Job, wires: &WireSet, sensitivity: f64) -> Option<Named> {
    let drift = wires.drift.as_ref()?;
    let days = wires
        .certificate_date
        .map_or(USUAL_AGE, |certified| age(certified, job.measured_on));
    let rate = drift.per_year.value().mm();
    let within = Distribution::Rectangular {
        half_width: sensitivity.abs() * rate * f64::from(days) / YEAR,
    };
    let named = Named::new(OwnName::WiresDrift, 0.0, within);
    Some(match drift.certificates {
        Some(n) => named.noted(Note::SinceCertificates { n, rate, days }),
        None => named.noted(Note::SinceCertificate { rate, days }),
    })
}

/// How far the error of a thermometer may have changed since it was certified, either way, kelvins, and over how many days;
/// nothing where that is neither stated nor shown by its certificates.
pub fn of_thermometer(thermometer: &Thermometer, used: Date) -> (f64, u32) {
    let days = thermometer
        .certificate_date
        .map_or(USUAL_AGE, |certified| age(certified, used));
    let rate = thermometer.drift.map_or(0.0, |drift| drift.per_year);
    (rate * f64::from(days) / YEAR, days)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn the_age_of_a_certificate() {
        let certified = date(2025, 3, 1);
        assert_eq!(age(certified, date(2026, 3, 1)), 365);
        assert_eq!(age(certified, certified), 0);
        assert_eq!(age(certified, date(2024, 3, 1)), 365);
    }
}
