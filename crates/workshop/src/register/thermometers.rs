//! What certificates from outside say of thermometers: a thermometer is taken as the latest certificate up to a day has it.

use jiff::civil::Date;

use super::certificates::{self, Found};
use super::{Equipment, Registered};
use crate::gauge_record::certificate::Certified;

/// A description of a registered piece as its latest certificate up to a day has it, where it is a thermometer and that
/// certificate is later than the one described.
pub fn as_certified(piece: Equipment, registered: &Registered, until: Date) -> Equipment {
    let Equipment::Thermometer(mut one) = piece else {
        return piece;
    };
    let later = registered.certificates.iter().rev().find_map(|known| {
        let is_later = one.certificate_date.is_none_or(|own| known.date > own);
        match known.found {
            Found::Kelvins(found) if is_later && known.date <= until => Some((known, found)),
            _ => None,
        }
    });
    if let Some((known, found)) = later {
        one.error = found.error;
        one.expanded_uncertainty = found.expanded_uncertainty;
        one.coverage_factor = found.coverage_factor;
        one.certificate.clone_from(&known.number);
        one.certificate_date = Some(known.date);
    }
    Equipment::Thermometer(one)
}

/// Whether a certificate takes the place of what describes a thermometer; none of any other piece.
pub fn takes(described: &Equipment, certified: &Certified) -> Option<bool> {
    matches!(described, Equipment::Thermometer(_))
        .then(|| certificates::found(described, &certified.values).is_some())
}
