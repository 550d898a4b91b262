//! What certificates from outside say of gauges: a gauge is taken as its latest certificate has it, whoever recorded that.

use metrology::inspection::Gauge;
use metrology::limits::Limits;
use metrology::units::Entered;

use super::{Equipment, Registered};
use crate::certificates_on_record::OnRecord;
use crate::gauge_record::certificate::{Certified, CertifiedValue};
use crate::gauge_record::piece::{PieceId, PieceKind};

/// Of a certificate from outside, the value that a gauge is certified by.
const PITCH_DIAMETER: &str = "pitch diameter";

/// Takes into each gauge what a later certificate from outside says of its pitch diameter.
pub fn certified(certified: &[OnRecord], pieces: &mut [Registered]) {
    for piece in pieces {
        let Equipment::Gauge(gauge) = &mut piece.equipment else {
            continue;
        };
        let own = PieceId::new(PieceKind::Gauge, &gauge.id);
        let of = certified.iter().map(|one| &one.certified);
        for later in of.filter(|one| one.piece == own) {
            take(gauge, later);
        }
    }
}

/// A certificate that is not older than what the gauge has.
fn take(gauge: &mut Gauge, later: &Certified) -> Option<()> {
    let heading = &later.heading;
    if gauge
        .certificate_date
        .is_some_and(|date| date > heading.date)
    {
        return None;
    }
    let value = value(later)?;
    let length = |number: f64| Entered::parse(&format!("{number}{}", value.unit), None).ok();
    let (size, expanded) = (length(value.value)?, length(value.expanded_uncertainty)?);
    gauge.size = size;
    gauge.expanded_uncertainty = expanded;
    gauge.coverage_factor = value.coverage_factor;
    gauge.wear_limit = value
        .wear_limit
        .and_then(length)
        .or(gauge.wear_limit.take());
    gauge.certificate = Some(heading.number.clone());
    gauge.certificate_date = Some(heading.date);
    Some(())
}

/// The value that a gauge is certified by.
fn value(certified: &Certified) -> Option<&CertifiedValue> {
    let mut values = certified.values.iter();
    values.find(|value| value.quantity.eq_ignore_ascii_case(PITCH_DIAMETER))
}

/// The certified size of a gauge and the wear limit that it is past; none of a gauge that is not, and of any other piece.
pub fn past_wear(piece: &Equipment) -> Option<(Entered, Entered)> {
    let Equipment::Gauge(gauge) = piece else {
        return None;
    };
    let worn = gauge.certified_gauge()?.worn()?;
    Some((
        gauge.size.clone(),
        Entered::of(worn.limit, gauge.size.unit()),
    ))
}

/// The same of a gauge that accepts parts beyond the limit that it is to check.
pub fn past_new(piece: &Equipment) -> Option<(Entered, Entered)> {
    let Equipment::Gauge(gauge) = piece else {
        return None;
    };
    let past = gauge.certified_gauge()?.past(Limits::default())?;
    Some((
        gauge.size.clone(),
        Entered::of(past.limit, gauge.size.unit()),
    ))
}

/// Whether a certificate has a gauge past its wear limit, or where it accepts parts beyond the limit; not what the register had past it before.
pub fn is_worn_by(described: &Equipment, certified: &Certified) -> bool {
    let Equipment::Gauge(gauge) = described else {
        return false;
    };
    let mut gauge = gauge.clone();
    if take(&mut gauge, certified).is_none() {
        return false;
    }
    let gauge = Equipment::Gauge(gauge);
    past_wear(&gauge).is_some() || past_new(&gauge).is_some()
}

/// Whether a certificate takes the place of what describes a gauge; none of any other piece.
pub fn takes(described: &Equipment, certified: &Certified) -> Option<bool> {
    matches!(described, Equipment::Gauge(_)).then(|| value(certified).is_some())
}
