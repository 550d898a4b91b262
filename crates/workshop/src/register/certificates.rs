//! The certificates that a piece has had: what changed between them tells how it drifts.

use jiff::civil::Date;
use metrology::correction::ErrorCurve;
use metrology::inspection::equipment::{Certified, KelvinError, Piece};
use metrology::inspection::{KelvinDrift, YearlyDrift};
use metrology::units::{Entered, Length, LengthUnit};

use super::{Equipment, Registered};
use crate::calibrations_on_record::Shown;
use crate::gauge_record::certificate::{Certified as OnCertificate, CertifiedValue, same_number};
use crate::in_unit::to_mm;

/// Days of a year.
const YEAR: f64 = 365.25;

/// One certificate of a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Certificate {
    pub date: Date,
    /// Its number, where that is known.
    pub number: Option<String>,
    /// What it certifies.
    pub found: Found,
    /// The standard uncertainty of that, millimetres, at each place of the scale that it states one for.
    pub uncertainty: Vec<(Length, f64)>,
    /// Whether it contradicts the register instead of showing how the piece drifts.
    pub contradicts: bool,
    /// When the next is due, where it says so.
    pub due: Option<Date>,
}

impl Certificate {
    /// The standard uncertainty at the nearest place that it states one for, millimetres.
    pub fn uncertainty_at(&self, place: Length) -> Option<f64> {
        let nearest = self.uncertainty.iter();
        let nearest = nearest.min_by_key(|(at, _)| (*at - place).abs());
        nearest.map(|(_, uncertainty)| *uncertainty)
    }
}

/// What a certificate certifies.
#[derive(Clone, Debug, PartialEq)]
pub enum Found {
    Size(Entered),
    /// Errors of indication at sizes of the scale.
    Curve(Vec<(Length, Length)>),
    /// The error of a thermometer.
    Kelvins(KelvinError),
    /// That the errors are within a limit, or nothing that drifts.
    Nothing,
}

/// The dated certificates of a piece, the first first; of several descriptions of one certificate the last.
pub fn of(line: &[Registered]) -> Vec<Certificate> {
    let mut described: Vec<&Equipment> = Vec::new();
    for piece in line {
        described.retain(|known| !is_same(known, &piece.described));
        described.push(&piece.described);
    }
    let mut found: Vec<Certificate> = described.into_iter().filter_map(certificate).collect();
    found.sort_by_key(|certificate| certificate.date);
    found
}

/// Whether two descriptions of a piece are of one certificate: of one number, whatever its date was put right to, or of one
/// date, whatever its number was. Without either they are of one certificate that nobody has stated.
pub fn is_same(one: &Equipment, other: &Equipment) -> bool {
    let number = |piece: &Equipment| {
        let number = piece.certificate().map(str::trim);
        number
            .filter(|number| !number.is_empty())
            .map(str::to_owned)
    };
    let dates = (one.certificate_date(), other.certificate_date());
    match (number(one), number(other), dates) {
        (Some(one), Some(other), _) if same_number(&one, &other) => true,
        (_, _, (Some(one), Some(other))) => one == other,
        (None, None, dates) => dates == (None, None),
        _ => false,
    }
}

/// The certificate of a piece, where its date is known.
pub fn certificate(piece: &Equipment) -> Option<Certificate> {
    let found = found_in(piece.piece());
    Some(Certificate {
        date: piece.certificate_date()?,
        number: piece.certificate().map(str::to_owned),
        found,
        uncertainty: uncertainty_in(piece.piece()),
        contradicts: false,
        due: piece.due(),
    })
}

/// The standard uncertainty of what a description certifies.
pub fn uncertainty_in(piece: &dyn Piece) -> Vec<(Length, f64)> {
    let within = piece.certified_within();
    let uncertainty = within.map(|(expanded, factor)| expanded.value().mm() / factor);
    let of = uncertainty.map(|uncertainty| (Length::ZERO, uncertainty));
    of.into_iter().collect()
}

/// What a description certifies.
pub fn found_in(piece: &dyn Piece) -> Found {
    match piece.certified() {
        Certified::Size(size) => Found::Size(size.clone()),
        Certified::Curve(points) => {
            let points = points.iter();
            Found::Curve(
                points
                    .map(|point| (point.at.value(), point.error.value()))
                    .collect(),
            )
        }
        Certified::Kelvins(error) => Found::Kelvins(error),
        Certified::Nothing => Found::Nothing,
    }
}

/// A certified size this far from the size of a piece, millimetres, is another quantity, unless its name says that it is the size
/// (common practice, no source).
const OTHER_SIZE: f64 = 0.05;
/// An error of indication larger than this, millimetres, is none, unless its name says that it is one (common practice, no source).
const LARGEST_ERROR: f64 = 0.2;

/// Adds a certificate on record to those of a piece, where it certifies what the piece is described by. Of one that the
/// description is of, the description counts.
pub fn add(piece: &mut Registered, certified: &OnCertificate) {
    if piece.certificates.is_empty() {
        piece.certificates.extend(certificate(&piece.described));
    }
    let (date, number) = (certified.heading.date, certified.heading.number.trim());
    let same = |known: &Certificate| {
        let known_number = known.number.as_deref();
        known.date == date || known_number.is_some_and(|known| same_number(known, number))
    };
    let Some(found) = found(&piece.described, &certified.values) else {
        return;
    };
    let mut this = of_record(&piece.described, certified, found);
    let number_described = piece.described.certificate();
    let is_described = number_described.is_some_and(|known| same_number(known, number));
    let is_known = piece.certificates.iter().any(same);
    if (is_known || is_described) && contradicts(&piece.described, &this) {
        this.contradicts = true;
    } else if is_known {
        return;
    }
    piece.certificates.push(this);
    piece
        .certificates
        .sort_by_key(|certificate| certificate.date);
}

/// The error curve of a certificate on record of a micrometer that is described by the limit of its errors alone: it shows nothing of
/// its drift, but what its errors are.
pub(super) fn curve(described: &Equipment, certified: &OnCertificate) -> Option<Certificate> {
    described.piece().error_limit()?;
    let found = of_curve(&certified.values)?;
    Some(of_record(described, certified, found))
}

/// The same of a calibration in house. A job that states the uncertainty of another certificate is held against the errors alone.
pub(super) fn calibrated(shown: &Shown) -> Option<Certificate> {
    Some(Certificate {
        date: shown.date,
        number: Some(shown.number.clone()),
        found: Found::Curve(shown.curve.clone()?),
        uncertainty: Vec::new(),
        contradicts: false,
        due: shown.due,
    })
}

fn of_record(described: &Equipment, certified: &OnCertificate, found: Found) -> Certificate {
    Certificate {
        date: certified.heading.date,
        number: Some(certified.heading.number.trim().to_owned()),
        contradicts: is_far(described, &found),
        uncertainty: uncertainties(&found, &certified.values),
        found,
        due: certified.due,
    }
}

/// Whether a certificate on record says otherwise than a description.
pub fn is_contradicted(described: &Equipment, certified: &OnCertificate) -> bool {
    let found = found(described, &certified.values);
    found.is_some_and(|found| contradicts(described, &of_record(described, certified, found)))
}

/// What the values of a certificate certify of what a piece is described by.
pub(super) fn found(described: &Equipment, values: &[CertifiedValue]) -> Option<Found> {
    match described.piece().certified() {
        Certified::Size(size) => of_size(size.value(), values),
        Certified::Curve(_) => of_curve(values),
        Certified::Kelvins(_) => of_thermometer(values).map(Found::Kelvins),
        Certified::Nothing => None,
    }
}

/// Names under which certificates state the size of a piece.
const SIZES: [&str; 4] = ["length", "size", "diameter", "dimension"];
/// Words by which a name is of something else.
const NO_SIZE: [&str; 5] = ["deviation", "variation", "difference", "error", "form"];

/// The one value of a certificate that is of this size; where none is near it, the one that its name says is the size.
fn of_size(size: Length, values: &[CertifiedValue]) -> Option<Found> {
    let lengths: Vec<(&CertifiedValue, Entered)> = values
        .iter()
        .filter(|value| value.at.is_none())
        .filter_map(|value| Some((value, read(value)?)))
        .collect();
    let is_near = |read: &Entered| (read.value() - size).abs().mm() <= OTHER_SIZE;
    let mut found: Vec<&Entered> = lengths.iter().map(|(_, read)| read).collect();
    found.retain(|read| is_near(read));
    if found.is_empty() {
        let named = lengths.iter().filter(|(value, _)| is_named_a_size(value));
        found = named.map(|(_, read)| read).collect();
    }
    match found.as_slice() {
        [only] => Some(Found::Size((*only).clone())),
        _ => None,
    }
}

fn read(value: &CertifiedValue) -> Option<Entered> {
    let unit: LengthUnit = value.unit.parse().ok()?;
    Entered::parse(&value.value.to_string(), Some(unit)).ok()
}

fn is_named_a_size(value: &CertifiedValue) -> bool {
    let name = value.quantity.to_lowercase();
    let has = |word: &str| name.contains(word);
    SIZES.into_iter().any(has) && !NO_SIZE.into_iter().any(has)
}

/// Whether a size is so far from that of the piece that it is no drift of it.
fn is_far(described: &Equipment, found: &Found) -> bool {
    match (described.piece().certified(), found) {
        (Certified::Size(size), Found::Size(found)) => {
            (found.value() - size.value()).abs().mm() > OTHER_SIZE
        }
        _ => false,
    }
}

/// Whether a certificate says otherwise than the description that is of the same certificate: another size or other errors by
/// more than the uncertainty, or a larger uncertainty.
fn contradicts(described: &Equipment, certificate: &Certificate) -> bool {
    let Some((expanded, factor)) = described.piece().certified_within() else {
        return false;
    };
    let within = expanded.value().mm();
    let own = within / factor;
    let largest = certificate.uncertainty.iter();
    let largest = largest.map(|(_, one)| *one).fold(0.0, f64::max);
    let by = match (found_in(described.piece()), &certificate.found) {
        (Found::Size(one), Found::Size(other)) => (one.value() - other.value()).abs().mm(),
        (one @ Found::Curve(_), other @ Found::Curve(_)) => change(&one, other).unwrap_or_default(),
        _ => return false,
    };
    by > within || is_larger(largest, own)
}

/// Whether an uncertainty is larger than another, and not only converted from another unit or factor.
pub fn is_larger(uncertainty: f64, other: f64) -> bool {
    uncertainty > other * (1.0 + 1e-6)
}

/// The standard uncertainties of the values that a certificate has of what was found in it, millimetres.
fn uncertainties(found: &Found, values: &[CertifiedValue]) -> Vec<(Length, f64)> {
    let of = |value: &CertifiedValue| {
        let unit: LengthUnit = value.unit.parse().ok()?;
        let is_of_it = match found {
            Found::Size(size) => value.at.is_none() && read(value)?.value() == size.value(),
            Found::Curve(points) => {
                let at = Length::nearest_mm(to_mm(value.at?, unit)).ok()?;
                points.iter().any(|(point, _)| *point == at)
            }
            Found::Kelvins(_) | Found::Nothing => false,
        };
        let at = Length::nearest_mm(to_mm(value.at.unwrap_or_default(), unit)).ok()?;
        let expanded = to_mm(value.expanded_uncertainty, unit);
        is_of_it.then_some((at, expanded / value.coverage_factor))
    };
    values.iter().filter_map(of).collect()
}

/// The one quantity of a certificate that is errors at several places of the scale.
fn of_curve(values: &[CertifiedValue]) -> Option<Found> {
    let mut curves: Vec<(&str, Vec<(Length, Length)>)> = Vec::new();
    for value in values {
        let (Some(at), Ok(unit)) = (value.at, value.unit.parse::<LengthUnit>()) else {
            continue;
        };
        let length = |number: f64| Length::nearest_mm(to_mm(number, unit)).ok();
        let name = value.quantity.trim().to_lowercase();
        let known = ERRORS.iter().find(|(known, _)| *known == name);
        let (is_named, sign) = known.map_or((false, 1.0), |(_, sign)| (true, *sign));
        let point = length(at).zip(length(sign * value.value));
        let is_error =
            |(_, error): &(Length, Length)| is_named || error.abs().mm() <= LARGEST_ERROR;
        let Some(point) = point.filter(is_error) else {
            continue;
        };
        match curves.iter_mut().find(|(name, _)| *name == value.quantity) {
            Some((_, points)) => points.push(point),
            None => curves.push((&value.quantity, vec![point])),
        }
    }
    curves.retain(|(_, points)| points.len() > 1);
    match (curves.pop(), curves.is_empty()) {
        (Some((_, mut points)), true) => {
            points.sort_by_key(|(at, _)| *at);
            Some(Found::Curve(points))
        }
        _ => None,
    }
}

/// Names of what a certificate states beside sizes and errors.
const BESIDE: [&str; 10] = [
    "flat",
    "parallel",
    "force",
    "repeat",
    "round",
    "rough",
    "hard",
    "angle",
    "straight",
    "variation",
];
/// Words by which a name is of an error, however large.
const ERROR_WORDS: [&str; 3] = ["error", "deviation", "correction"];

/// Whether a value is of another property than size or error.
pub fn is_beside_size(value: &CertifiedValue) -> bool {
    let name = value.quantity.to_lowercase();
    BESIDE.into_iter().any(|word| name.contains(word))
}

/// The errors that a certificate states of a micrometer, millimetres, whatever it calls them: by their name, by their smallness, or
/// as what was indicated at a place.
pub fn errors(values: &[CertifiedValue]) -> Vec<f64> {
    let of = |value: &CertifiedValue| {
        let unit: LengthUnit = value.unit.parse().ok()?;
        let name = value.quantity.to_lowercase();
        let is_named = ERROR_WORDS.into_iter().any(|word| name.contains(word));
        let own = to_mm(value.value, unit);
        let shown = value.at.map(|at| own - to_mm(at, unit));
        let is_error = |error: &f64| error.abs() <= LARGEST_ERROR;
        if is_named || is_error(&own) {
            return Some(own);
        }
        shown.filter(is_error)
    };
    let values = values.iter().filter(|value| !is_beside_size(value));
    values.filter_map(of).collect()
}

/// A certified error of a thermometer larger than this, kelvins, is none, but what it showed (common practice, no source).
const LARGEST_KELVINS: f64 = 5.0;
/// The temperature near which jobs are measured, degrees Celsius.
const NEAR: f64 = 20.0;

/// The quantities of a certificate that say what a thermometer or a micrometer is out by, and the sign with which they are its error: a
/// correction is what is added to the reading.
const ERRORS: [(&str, f64); 3] = [
    ("error", 1.0),
    ("error of indication", 1.0),
    ("correction", -1.0),
];

/// The error in kelvins at the place nearest to 20 °C; none where the certificate states both errors and corrections.
fn of_thermometer(values: &[CertifiedValue]) -> Option<KelvinError> {
    let errors: Vec<(f64, &CertifiedValue)> = values
        .iter()
        .filter(|value| {
            ["K", "°C", "degC"].contains(&value.unit.trim()) && value.value.abs() <= LARGEST_KELVINS
        })
        .filter_map(|value| {
            let quantity = value.quantity.trim().to_lowercase();
            let (_, sign) = ERRORS.into_iter().find(|(name, _)| *name == quantity)?;
            Some((sign, value))
        })
        .collect();
    let sign = errors.first()?.0;
    if errors.iter().any(|(other, _)| *other != sign) {
        return None;
    }
    let off = |value: &CertifiedValue| value.at.map_or(0.0, |at| (at - NEAR).abs());
    let (_, near) = errors
        .into_iter()
        .min_by(|(_, one), (_, other)| off(one).total_cmp(&off(other)))?;
    Some(KelvinError {
        error: sign * near.value,
        expanded_uncertainty: near.expanded_uncertainty,
        coverage_factor: near.coverage_factor,
    })
}

/// A change over less time than this is as much the uncertainty of two certificates as drift, and counts as one over this
/// time; certificates this far apart are evidence of their own, days (a proposal, no source).
const APART: i32 = 180;

/// The largest change between any two certificates for the time between them; none where there are not two to compare.
///
/// The uncertainties of the certificates are in it; two that agree by luck, or within a few months, show too little, and the
/// default is the least that is allowed for until enough of them lie apart.
pub fn drift(certificates: &[Certificate]) -> Option<YearlyDrift> {
    let is_length = |found: &Found| matches!(found, Found::Size(_) | Found::Curve(_));
    let known = known(certificates, is_length);
    let length = Length::nearest_mm(rate(&known)?).ok()?;
    let text = format!("{}mm", length.to_fixed(LengthUnit::Millimetre, 7));
    Some(YearlyDrift {
        per_year: Entered::parse(&text, None).ok()?,
        certificates: u32::try_from(known.len()).ok(),
        apart: u32::try_from(apart(&known)).ok(),
    })
}

/// The same of a thermometer.
pub fn drift_in_kelvins(certificates: &[Certificate]) -> Option<KelvinDrift> {
    let known = known(certificates, |found| matches!(found, Found::Kelvins(_)));
    Some(KelvinDrift {
        per_year: rate(&known)?,
        certificates: u32::try_from(known.len()).ok(),
    })
}

fn known(certificates: &[Certificate], is_such: fn(&Found) -> bool) -> Vec<&Certificate> {
    let all = certificates.iter();
    all.filter(|certificate| is_such(&certificate.found) && !certificate.contradicts)
        .collect()
}

/// The largest change for a year, millimetres or kelvins.
fn rate(known: &[&Certificate]) -> Option<f64> {
    let rates = known.iter().enumerate().flat_map(|(index, next)| {
        let earlier = known.iter().take(index);
        earlier.filter_map(|one| {
            let days = days(one, next).max(APART);
            Some(change(&one.found, &next.found)? / f64::from(days) * YEAR)
        })
    });
    rates.reduce(f64::max)
}

/// How many certificates there are of which each lies half a year or more from the one before.
fn apart(certificates: &[&Certificate]) -> usize {
    let mut last: Option<&Certificate> = None;
    let mut count = 0;
    for certificate in certificates {
        if last.is_none_or(|last| days(last, certificate) >= APART) {
            last = Some(certificate);
            count += 1;
        }
    }
    count
}

/// Days from one certificate to a later one.
fn days(one: &Certificate, next: &Certificate) -> i32 {
    one.date.until(next.date).map_or(0, |span| span.get_days())
}

/// How far two certificates are apart, millimetres or kelvins: of an error curve how far apart the change is at two places, since the
/// zero takes out what all have in common.
fn change(one: &Found, next: &Found) -> Option<f64> {
    match (one, next) {
        (Found::Kelvins(one), Found::Kelvins(next)) => Some((next.error - one.error).abs()),
        (Found::Size(one), Found::Size(next)) => Some((next.value() - one.value()).abs().mm()),
        (Found::Curve(one), Found::Curve(next)) => {
            let before = ErrorCurve::new(one.clone()).ok()?;
            let changes: Vec<f64> = next
                .iter()
                .filter_map(|(at, error)| Some(error.mm() - before.error_at(*at).ok()?))
                .collect();
            let most = changes.iter().copied().reduce(f64::max)?;
            let least = changes.iter().copied().reduce(f64::min)?;
            (changes.len() > 1).then_some(most - least)
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn size(on: Date, text: &str) -> Certificate {
        Certificate {
            date: on,
            number: None,
            found: Found::Size(Entered::parse(text, None).unwrap()),
            uncertainty: Vec::new(),
            contradicts: false,
            due: None,
        }
    }

    /// The largest change counts for a thermometer as for a standard, in kelvins; of a certificate the place nearest to 20 °C,
    /// and a correction is the error with the other sign.
    #[test]
    fn a_thermometer_drifts_by_its_errors() {
        let value = |quantity: &str, at: Option<f64>, value: f64, unit: &str| CertifiedValue {
            quantity: quantity.to_owned(),
            at,
            value,
            unit: unit.to_owned(),
            expanded_uncertainty: 0.08,
            coverage_factor: 2.0,
            wear_limit: None,
        };
        let found = |values: &[CertifiedValue]| of_thermometer(values).map(|one| one.error);
        let several = [
            value("error", Some(10.0), 0.3, "K"),
            value("error", Some(21.0), 0.1, "K"),
            value("error", Some(30.0), 0.4, "K"),
        ];
        assert_eq!(found(&several), Some(0.1));
        assert_eq!(found(&[value("correction", None, 0.2, "°C")]), Some(-0.2));
        assert_eq!(found(&[value("Correction", None, 0.2, "K")]), Some(-0.2));
        // What it showed is no error; nor do both quantities tell which is meant.
        assert_eq!(found(&[value("reading", Some(2.0), 2.1, "°C")]), None);
        assert_eq!(found(&[value("size", None, 0.2, "mm")]), None);
        let both = [
            value("error", Some(20.0), 0.1, "K"),
            value("correction", Some(20.0), -0.1, "K"),
        ];
        assert_eq!(found(&both), None);

        let certificate = |on: Date, error: f64| Certificate {
            date: on,
            number: None,
            found: Found::Kelvins(KelvinError {
                error,
                expanded_uncertainty: 0.08,
                coverage_factor: 2.0,
            }),
            uncertainty: Vec::new(),
            contradicts: false,
            due: None,
        };
        let certificates = [
            certificate(date(2024, 3, 1), 0.05),
            certificate(date(2025, 3, 1), 0.15),
        ];
        let shown = drift_in_kelvins(&certificates).unwrap();
        assert_eq!(shown.certificates, Some(2));
        close(shown.per_year, 0.10 * YEAR / 365.0);
        assert_eq!(drift(&certificates), None);
        assert_eq!(drift_in_kelvins(&certificates[..1]), None);
    }

    /// Micrometres in a year.
    fn rate(certificates: &[Certificate]) -> f64 {
        drift(certificates).unwrap().per_year.value().mm() * 1000.0
    }

    fn close(found: f64, expected: f64) {
        assert!((found - expected).abs() < 1e-3, "{found} for {expected}");
    }

    #[test]
    fn the_largest_change_counts_for_the_time_between_two_certificates() {
        let certificates = [
            size(date(2023, 3, 1), "25.0003mm"),
            size(date(2024, 3, 1), "25.0005mm"),
            size(date(2026, 3, 1), "25.0004mm"),
        ];
        let drift = drift(&certificates).unwrap();
        assert_eq!((drift.certificates, drift.apart), (Some(3), Some(3)));
        // 0.2 µm from one March to the next, 366 days.
        close(rate(&certificates), 0.2 * YEAR / 366.0);
    }

    #[test]
    fn one_certificate_shows_no_drift() {
        assert_eq!(drift(&[size(date(2023, 3, 1), "25.0003mm")]), None);
        let nothing = Certificate {
            found: Found::Nothing,
            ..size(date(2024, 3, 1), "25mm")
        };
        assert_eq!(drift(&[nothing.clone(), nothing]), None);
    }

    #[test]
    fn a_change_within_half_a_year_counts_as_one_of_half_a_year() {
        let of = |next| rate(&[size(date(2025, 3, 1), "25.0003mm"), size(next, "25.0007mm")]);
        // 0.4 µm: in nine days and in 92 as in 180.
        close(of(date(2025, 3, 10)), 0.4 * YEAR / 180.0);
        close(of(date(2025, 6, 1)), 0.4 * YEAR / 180.0);
        close(of(date(2025, 8, 28)), 0.4 * YEAR / 180.0);
        close(of(date(2026, 3, 1)), 0.4 * YEAR / 365.0);
    }

    #[test]
    fn a_steady_drift_shows_over_certificates_that_lie_close_together() {
        // 0.3 µm a quarter.
        let certificates = [
            size(date(2025, 1, 1), "25.0000mm"),
            size(date(2025, 4, 1), "25.0003mm"),
            size(date(2025, 7, 1), "25.0006mm"),
            size(date(2025, 10, 1), "25.0009mm"),
        ];
        let shown = drift(&certificates).unwrap();
        // January and July, 181 days apart, are evidence of their own; April and October lie too near.
        assert_eq!((shown.certificates, shown.apart), (Some(4), Some(2)));
        close(rate(&certificates), 0.6 * YEAR / 181.0);
    }

    #[test]
    fn certificates_of_a_few_months_are_weak_evidence() {
        let same = "25.0003mm";
        let on = |month| size(date(2025, month, 1), same);
        let shown = drift(&[on(1), on(2), on(3)]).unwrap();
        assert_eq!((shown.certificates, shown.apart), (Some(3), Some(1)));
        close(shown.per_year.value().mm(), 0.0);
    }

    #[test]
    fn of_a_curve_what_the_zero_leaves() {
        let um = Length::from_micrometres;
        let curve = |year, errors: [i32; 3]| Certificate {
            date: date(year, 3, 1),
            number: None,
            uncertainty: Vec::new(),
            contradicts: false,
            due: None,
            found: Found::Curve(
                [0, 10_000, 25_000]
                    .map(um)
                    .into_iter()
                    .zip(errors.map(um))
                    .collect(),
            ),
        };
        // All points by 2 µm, which the zero takes out, and the last by 1 µm more.
        close(
            rate(&[curve(2024, [0, 0, 0]), curve(2025, [2, 2, 3])]),
            YEAR / 365.0,
        );
    }

    fn value(quantity: &str, at: Option<f64>, value: f64, unit: &str) -> CertifiedValue {
        CertifiedValue {
            quantity: quantity.to_owned(),
            at,
            value,
            unit: unit.to_owned(),
            expanded_uncertainty: 0.0001,
            coverage_factor: 2.0,
            wear_limit: None,
        }
    }

    /// Of the values of a certificate the one that is as large as the piece, whatever its unit; of two nobody knows which.
    #[test]
    fn a_certified_size_is_found_among_others() {
        let size = Length::from_micrometres(25_000);
        let of = |values: &[CertifiedValue]| match of_size(size, values) {
            Some(Found::Size(size)) => Some(size.value().mm()),
            _ => None,
        };
        let length = value("length", None, 25_000.4, "um");
        let flatness = value("flatness", None, 0.3, "um");
        let force = value("force", None, 25.0, "N");
        assert_eq!(
            of(&[flatness.clone(), force, length.clone()]),
            Some(25.0004)
        );
        assert_eq!(of(&[length, value("other end", None, 25.0001, "mm")]), None);
        assert_eq!(of(&[flatness]), None);
    }

    #[test]
    fn a_curve_is_the_one_quantity_with_several_places() {
        let curve = [
            value("error", Some(25.0), 0.001, "mm"),
            value("error", Some(0.0), 0.0, "mm"),
            value("flatness", None, 0.0003, "mm"),
            value("length", Some(25.0), 24.9, "mm"),
        ];
        let Some(Found::Curve(points)) = of_curve(&curve) else {
            panic!("no curve");
        };
        let um = Length::from_micrometres;
        assert_eq!(points, [(um(0), um(0)), (um(25_000), um(1))]);
        let twice = [
            &curve[..],
            &[
                value("b", Some(1.0), 0.0, "mm"),
                value("b", Some(2.0), 0.0, "mm"),
            ],
        ]
        .concat();
        assert_eq!(of_curve(&twice), None);
        assert_eq!(of_curve(&curve[2..]), None);
    }
}
