//! Certificates from outside: of wires, standards, gauges, gauge blocks, thermometers and of all else, each with its values.
//! What changed from one to the next tells how a piece drifts.

use std::collections::BTreeSet;

use jiff::civil::Date;
use ledger::Subject;
use metrology::calibration::{Accreditation, Certificate, Traced};
use metrology::study::{DoubleDouble, Regression};
use rust_decimal::prelude::ToPrimitive as _;
use serde::{Deserialize, Serialize};

use super::piece::PieceId;

/// The subject that every certificate touches.
pub const CERTIFICATES: (&str, &str) = ("gauge-room", "certificates");

/// What a certificate says beside its values, as it is stored.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Heading {
    pub issuer: String,
    /// Accreditation body and number; none where there is none.
    pub accreditation: Option<(String, String)>,
    pub national_institute: bool,
    /// In house: the certificates of the standards that were used.
    pub chain: Vec<String>,
    pub number: String,
    pub date: Date,
    pub procedure: Option<String>,
    pub conditions: Option<String>,
}

impl Heading {
    /// As the calculation has it.
    pub fn certificate(&self) -> Certificate {
        let accreditation = self.accreditation.clone();
        Certificate {
            issuer: self.issuer.clone(),
            accreditation: accreditation.map(|(body, number)| Accreditation { body, number }),
            national_institute: self.national_institute,
            chain: self.chain.clone(),
            number: self.number.clone(),
            date: self.date,
            procedure: self.procedure.clone(),
            conditions: self.conditions.clone(),
        }
    }

    /// The sentence on its traceability.
    pub fn traced(&self) -> Traced {
        self.certificate().traced()
    }
}

/// One value of a certificate, in its own unit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CertifiedValue {
    /// Of what, such as `diameter`.
    pub quantity: String,
    /// At which place of a scale, in the same unit.
    pub at: Option<f64>,
    pub value: f64,
    pub unit: String,
    pub expanded_uncertainty: f64,
    pub coverage_factor: f64,
    /// A wear limit, such as that of a GO gauge: the value must not be beyond it.
    pub wear_limit: Option<f64>,
}

/// Whether two numbers of certificates are one: however letters are written, and without blanks and dashes.
pub fn same_number(one: &str, other: &str) -> bool {
    let plain = |number: &str| -> String {
        let is_dash = |letter: &char| {
            matches!(
                letter,
                '-' | '\u{2010}'..='\u{2015}' | '\u{2212}' | '\u{ad}'
            )
        };
        let letters = number.chars();
        let letters = letters.filter(|letter| !letter.is_whitespace() && !is_dash(letter));
        letters.flat_map(char::to_lowercase).collect()
    };
    plain(one) == plain(other)
}

/// The number of a certificate that is stated; none where it is left blank.
pub fn stated_number(number: Option<&str>) -> Option<&str> {
    number.map(str::trim).filter(|number| !number.is_empty())
}

/// A certificate of a piece.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Certified {
    pub piece: PieceId,
    pub heading: Heading,
    pub values: Vec<CertifiedValue>,
    /// When the next is due.
    pub due: Option<Date>,
    /// What it states of the conformity of the item, by its code; none where it states nothing of that.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub conformity: Option<String>,
}

metrology::codes! {
    /// What a certificate states of the conformity of its item, the best first: the words of the digital calibration certificate
    /// (DCC 3.3.0, stringConformityStatementStatusType).
    pub enum Conformity "conformity" {
        Pass "pass",
        ConditionalPass "conditional-pass",
        NoFail "no-fail",
        ConditionalFail "conditional-fail",
        NoPass "no-pass",
        Fail "fail",
    }
}

impl Conformity {
    /// Whether the item may go in use by it.
    pub const fn is_shown(self) -> bool {
        matches!(self, Self::Pass | Self::ConditionalPass)
    }
}

metrology::messages! {
    /// Why a certificate is not taken.
    pub enum CertificateError "certificate" {
        /// It is on the record already.
        Known "known" { number: String as Text, entry: String as Text },
        /// No value.
        NoValues "no-values",
        /// Two values of one quantity at one place.
        TwoValues "two-values" { quantity: String as Text },
        /// A value without an uncertainty.
        NoUncertainty "no-uncertainty" { quantity: String as Text },
        /// Due before it was made.
        DueBefore "due-before" { due: Date as Date, date: Date as Date },
        /// From the days to come.
        Ahead "ahead" { date: Date as Date, today: Date as Date },
        /// A quantity in another unit than on an earlier certificate.
        OtherUnit "other-unit" { quantity: String as Text, unit: String as Text, before: String as Text },
        /// Nothing on record.
        None "none" { kind: String as Text, id: String as Text },
        /// An entry that cannot be read.
        Unreadable "unreadable" { entry: String as Text },
    }
}

impl Certified {
    /// What it states, where that is not that its item conforms; what no build knows is none of it.
    pub fn not_shown(&self) -> Option<Conformity> {
        let stated = self.conformity.as_deref()?;
        let stated = Conformity::of(stated).unwrap_or(Conformity::NoPass);
        Some(stated).filter(|stated| !stated.is_shown())
    }

    pub fn subjects(&self) -> BTreeSet<Subject> {
        BTreeSet::from([
            Subject::new(CERTIFICATES.0, CERTIFICATES.1),
            self.piece.subject(),
        ])
    }

    /// Whether it can stand.
    pub fn check(&self, today: Date) -> Result<(), CertificateError> {
        if self.values.is_empty() {
            return Err(CertificateError::NoValues);
        }
        for (index, value) in self.values.iter().enumerate() {
            let mut earlier = self.values.iter().take(index);
            if earlier.any(|one| one.quantity == value.quantity && one.at == value.at) {
                let quantity = value.quantity.clone();
                return Err(CertificateError::TwoValues { quantity });
            }
        }
        let exact = self
            .values
            .iter()
            .find(|value| value.expanded_uncertainty <= 0.0);
        if let Some(value) = exact {
            let quantity = value.quantity.clone();
            return Err(CertificateError::NoUncertainty { quantity });
        }
        let date = self.heading.date;
        if date > today {
            return Err(CertificateError::Ahead { date, today });
        }
        match self.due {
            Some(due) if due <= date => Err(CertificateError::DueBefore { due, date }),
            _ => Ok(()),
        }
    }
}

/// Days of a year.
const YEAR: f64 = 365.25;

/// How a value changed from certificate to certificate, in its own unit.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Drift {
    pub quantity: String,
    pub at: Option<f64>,
    pub unit: String,
    /// How many certificates have the value.
    pub n: usize,
    /// The last value less the first, for a year.
    pub per_year: f64,
    /// Standard uncertainty of that, by the uncertainties of the two certificates.
    pub standard_uncertainty: f64,
    /// By a straight line through three certificates or more, for a year.
    pub slope_per_year: Option<f64>,
    /// Standard uncertainty of the slope: by the scatter about the line or by the uncertainties of the certificates, whichever is
    /// the larger. Three values that happen to lie on a line prove no more than they are known to.
    pub of_slope: Option<f64>,
    /// Whether the last value is beyond its wear limit: at the limit it is not.
    pub worn: Option<bool>,
    /// The day on which the wear limit is met by the change so far.
    pub worn_on: Option<Date>,
}

/// The drift of every value that two certificates or more have; the certificates by their dates.
pub fn drifts(certificates: &[Certified]) -> Vec<Drift> {
    let mut all: Vec<Drift> = Vec::new();
    let values = certificates.iter().flat_map(|one| &one.values);
    for value in values {
        let known = |drift: &Drift| drift.quantity == value.quantity && drift.at == value.at;
        if !all.iter().any(known) {
            all.extend(drift(certificates, &value.quantity, value.at));
        }
    }
    all
}

fn drift(certificates: &[Certified], quantity: &str, at: Option<f64>) -> Option<Drift> {
    let series: Vec<(Date, &CertifiedValue)> = certificates
        .iter()
        .filter_map(|one| {
            let values = &one.values;
            let value = values
                .iter()
                .find(|value| value.quantity == quantity && value.at == at)?;
            Some((one.heading.date, value))
        })
        .collect();
    let ((first_day, first), (last_day, last)) = (series.first()?, series.last()?);
    let days =
        |one: Date, other: Date| f64::from(one.until(other).map_or(0, |span| span.get_days()));
    let years = days(*first_day, *last_day) / YEAR;
    let u = |value: &CertifiedValue| value.expanded_uncertainty / value.coverage_factor;
    let (per_year, standard_uncertainty) = if years > 0.0 {
        (
            (last.value - first.value) / years,
            f64::sqrt(u(last) * u(last) + u(first) * u(first)) / years,
        )
    } else {
        (0.0, 0.0)
    };
    let line = (series.len() > 2).then(|| {
        let x: Vec<DoubleDouble> = series
            .iter()
            .map(|(day, _)| DoubleDouble::from(days(*first_day, *day) / YEAR))
            .collect();
        let y: Vec<DoubleDouble> = series
            .iter()
            .map(|(_, value)| DoubleDouble::from(value.value))
            .collect();
        Regression::of(&x, &y).ok()
    });
    let line = line.flatten();
    let by_certificates = slope_uncertainty(
        series
            .iter()
            .map(|(day, value)| (days(*first_day, *day) / YEAR, u(value))),
    );
    let rate = line.as_ref().map_or(per_year, |line| line.slope);
    let room = last
        .wear_limit
        .map(|limit| (limit - last.value, limit - first.value));
    let worn = room.map(|(now, then)| now * then < 0.0);
    let worn_on = room.and_then(|(now, _)| {
        let years = now / rate;
        let in_time = years.is_finite() && (0.0..100.0).contains(&years);
        let days = in_time.then(|| (years * YEAR).floor().to_i64()).flatten()?;
        last_day.checked_add(jiff::Span::new().days(days)).ok()
    });
    (series.len() > 1).then(|| Drift {
        quantity: quantity.to_owned(),
        at,
        unit: last.unit.clone(),
        n: series.len(),
        per_year,
        standard_uncertainty,
        slope_per_year: line.as_ref().map(|line| line.slope),
        of_slope: line.as_ref().map(|line| line.of_slope.max(by_certificates)),
        worn,
        worn_on,
    })
}

/// Standard uncertainty of the slope of a line through values of these uncertainties, which are taken as independent; zero
/// where all are of one day.
fn slope_uncertainty(values: impl Iterator<Item = (f64, f64)> + Clone) -> f64 {
    let n = values.clone().count() as f64;
    let mean = values.clone().map(|(x, _)| x).sum::<f64>() / n;
    let squares: f64 = values.clone().map(|(x, _)| (x - mean) * (x - mean)).sum();
    let variance: f64 = values.map(|(x, u)| (x - mean) * (x - mean) * u * u).sum();
    if squares > 0.0 {
        variance.sqrt() / squares
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::super::piece::PieceKind;
    use super::*;
    use jiff::civil::date;

    fn certificate(day: Date, value: f64, wear_limit: Option<f64>) -> Certified {
        Certified {
            piece: PieceId::new(PieceKind::Gauge, "go-12"),
            heading: Heading {
                issuer: "laboratory".to_owned(),
                accreditation: None,
                national_institute: true,
                chain: Vec::new(),
                number: day.to_string(),
                date: day,
                procedure: None,
                conditions: None,
            },
            values: vec![CertifiedValue {
                quantity: "pitch diameter".to_owned(),
                at: None,
                value,
                unit: "mm".to_owned(),
                expanded_uncertainty: 0.0015,
                coverage_factor: 2.0,
                wear_limit,
            }],
            due: None,
            conformity: None,
        }
    }

    /// 2 µm a year away from 9.030 mm, with 4 µm of room at the last: two years of it.
    #[test]
    fn a_gauge_wears_towards_its_limit() {
        let limit = Some(9.022);
        let certificates = [
            certificate(date(2023, 1, 1), 9.030, limit),
            certificate(date(2024, 1, 1), 9.028, limit),
            certificate(date(2025, 1, 1), 9.026, limit),
        ];
        let drifts = drifts(&certificates);
        let drift = drifts.first().unwrap();
        assert!((drift.per_year + 0.002).abs() < 2e-5, "{drift:?}");
        assert!((drift.slope_per_year.unwrap() + 0.002).abs() < 2e-5);
        // They lie on a line, and are known to 0.75 µm each: over the two years to 0.75 µm/√2.
        let of_slope = drift.of_slope.unwrap();
        assert!(
            (of_slope - 0.000_75 / f64::sqrt(2.0)).abs() < 2e-6,
            "{of_slope}"
        );
        assert_eq!(drift.worn, Some(false));
        let on = drift.worn_on.unwrap();
        assert!(
            (on.year() == 2026 && on.month() == 12) || on.year() == 2027,
            "{on}"
        );
        let beyond = [
            certificate(date(2023, 1, 1), 9.030, limit),
            certificate(date(2025, 1, 1), 9.020, limit),
        ];
        assert_eq!(super::drifts(&beyond).first().unwrap().worn, Some(true));
    }
}
