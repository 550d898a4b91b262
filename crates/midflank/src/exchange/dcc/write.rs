//! The certificate of a calibration done in house as a DCC 3.3.0.

use std::io;

use jiff::Timestamp;
use jiff::tz::TimeZone;
use metrology::calibration::{COVERAGE, Calibration};
use metrology::decision::Verdict;
use workshop::gauge_record::calibrated::{CalibratedDocument, CurveDocument, FormDocument};
use workshop::gauge_record::calibration::{Of, Worked};

use super::unit::{CELSIUS, KELVIN, MICROMETRE, MILLIMETRE, Unit};
use super::{CERTIFICATE, DCC, ERROR, REFERENCE, SI};
use crate::exchange::xml::{Element, number};
use crate::letterhead::Letterhead;
use crate::report::calibrated::rule;
use crate::say;
use crate::words;
use crate::words::number as shown;

const VERSION: &str = "3.3.0";
const LANGUAGE: &str = "en";
/// The one item of the certificate.
const ITEM: &str = "item";

/// What is certified, and by whom.
pub struct Certificate<'a> {
    pub worked: &'a Worked,
    pub result: &'a CalibratedDocument,
    pub letterhead: &'a Letterhead,
    /// The country of the laboratory (ISO 3166-1, two letters).
    pub country: &'a str,
    pub recorded_at: Timestamp,
}

/// Writes the document.
pub fn write(certificate: &Certificate) -> io::Result<Vec<u8>> {
    let administrative = Element::new("dcc:administrativeData")
        .and(Element::of("dcc:dccSoftware", [software()]))
        .and(core(certificate))
        .and(Element::of("dcc:items", [item(certificate.worked)]))
        .and(Element::of(
            "dcc:calibrationLaboratory",
            [laboratory("dcc:contact", certificate)],
        ))
        .and(person(&certificate.worked.person))
        .and(laboratory("dcc:customer", certificate))
        .and(Element::of("dcc:statements", [statement(certificate)]));
    Element::new("dcc:digitalCalibrationCertificate")
        .with("xmlns:dcc", DCC)
        .with("xmlns:si", SI)
        .with("schemaVersion", VERSION)
        .and(administrative)
        .and(Element::of(
            "dcc:measurementResults",
            [measurement(certificate)],
        ))
        .document()
}

/// A name or another text in the language of the certificate.
fn text(element: &'static str, text: impl ToString) -> Element {
    Element::of(
        element,
        [Element::text("dcc:content", text).with("lang", LANGUAGE)],
    )
}

fn software() -> Element {
    Element::new("dcc:software")
        .and(text("dcc:name", "midflank"))
        .and(Element::text(
            "dcc:release",
            concat!("v", env!("CARGO_PKG_VERSION")),
        ))
        .and(Element::text("dcc:type", "application"))
}

fn core(certificate: &Certificate) -> Element {
    let heading = &certificate.worked.heading;
    // A day begins elsewhere before it does here: never before the calibration.
    let issued = TimeZone::UTC
        .to_datetime(certificate.recorded_at)
        .date()
        .max(heading.date);
    Element::new("dcc:coreData")
        .and(Element::text(
            "dcc:countryCodeISO3166_1",
            certificate.country,
        ))
        .and(Element::text("dcc:usedLangCodeISO639_1", LANGUAGE))
        .and(Element::text("dcc:mandatoryLangCodeISO639_1", LANGUAGE))
        .and(Element::text("dcc:uniqueIdentifier", heading.number.trim()))
        .and(Element::text("dcc:beginPerformanceDate", heading.date))
        .and(Element::text("dcc:endPerformanceDate", heading.date))
        .and(Element::text("dcc:performanceLocation", "laboratory"))
        .and(Element::text("dcc:issueDate", issued))
}

fn item(worked: &Worked) -> Element {
    let piece = worked.piece();
    let kind = words::named("piece-kind", &piece.kind);
    let name = match &worked.of {
        Of::Micrometer(calibration) => {
            let [from, to] = calibration.micrometer.range.each_ref().map(shown::entered);
            say!("dcc.micrometer", from = from, to = to)
        }
        Of::Pair(_) => kind,
    };
    Element::new("dcc:item")
        .with("id", ITEM)
        .and(text("dcc:name", name))
        .and(identifications("owner", &piece.id, say!("dcc.identity")))
}

fn identifications(issuer: &str, value: &str, name: &str) -> Element {
    let one = Element::new("dcc:identification")
        .and(Element::text("dcc:issuer", issuer))
        .and(Element::text("dcc:value", value))
        .and(text("dcc:name", name));
    Element::of("dcc:identifications", [one])
}

/// The laboratory, which is also whom it calibrates for: a calibration in house.
fn laboratory(element: &'static str, certificate: &Certificate) -> Element {
    let issuer = &certificate.worked.heading.issuer;
    let lines = &certificate.letterhead.lines;
    let name = lines.first().unwrap_or(issuer);
    let further = lines.iter().skip(1).cloned().collect::<Vec<_>>().join(", ");
    let mut location =
        Element::new("dcc:location").and(Element::text("dcc:countryCode", certificate.country));
    if !further.is_empty() {
        location = location.and(text("dcc:further", further));
    }
    Element::new(element)
        .and(text("dcc:name", name))
        .and(location)
}

fn person(name: &str) -> Element {
    let person = Element::of("dcc:person", [text("dcc:name", name)]);
    let responsible = Element::new("dcc:respPerson")
        .and(person)
        .and(Element::text("dcc:mainSigner", true));
    Element::of("dcc:respPersons", [responsible])
}

fn statement(certificate: &Certificate) -> Element {
    let traced = certificate.worked.heading.traced();
    Element::new("dcc:statement")
        .and(text("dcc:name", say!("dcc.traceability")))
        .and(Element::text("dcc:traceable", !traced.is_warning()))
        .and(text("dcc:declaration", words::said(&traced)))
}

fn measurement(certificate: &Certificate) -> Element {
    let (worked, result) = (certificate.worked, certificate.result);
    let mut results = Vec::new();
    for (name, of) in [
        (say!("dcc.as-found"), &result.found),
        (say!("dcc.as-left"), &result.left),
    ] {
        results.extend(of.as_ref().map(|of| curve(name, of)));
    }
    for (place, form) in (1..).zip(&result.flatness) {
        results.push(self::form(say!("dcc.flatness", n = place), form));
    }
    let parallelism = result.parallelism.as_ref();
    results.extend(parallelism.map(|form| self::form(say!("dcc.parallelism").to_owned(), form)));
    if let (Some(pair), Of::Pair(check)) = (&result.pair, &worked.of) {
        let errors = pair.errors_um.iter().zip(&pair.standard_uncertainties_um);
        for (plug, (error, u)) in check.plugs.iter().zip(errors) {
            results.push(standard(
                say!("dcc.error-on-plug", plug = plug.id),
                *error,
                *u,
            ));
        }
        let name = say!("dcc.difference-of-plugs").to_owned();
        results.push(standard(
            name,
            pair.difference_um,
            pair.standard_uncertainty_um,
        ));
    }
    let conformity = match result.verdict.as_str() {
        verdict if verdict == Verdict::Accept.key() => Some("pass"),
        verdict if verdict == Verdict::Reject.key() => Some("fail"),
        _ => None,
    };
    let judged = Element::new("dcc:metaData")
        .with("refType", "basic_conformity")
        .and(text("dcc:name", say!("dcc.conformity")))
        .and(text("dcc:declaration", rule(worked)))
        .and(conformity.map(|told| Element::text("dcc:conformity", told)));
    let procedure = worked.heading.procedure.clone();
    let procedure = procedure.unwrap_or_else(|| say!("dcc.method").to_owned());
    let method = Element::of("dcc:usedMethod", [text("dcc:name", procedure)]);
    Element::new("dcc:measurementResult")
        .with("refId", ITEM)
        .and(text("dcc:name", say!("dcc.result")))
        .and(Element::of("dcc:usedMethods", [method]))
        .and(Element::of("dcc:usedSoftware", [software()]))
        .and(equipment(worked))
        .and(conditions(worked))
        .and(Element::of("dcc:results", results))
        .and(Element::of("dcc:measurementMetaData", [judged]))
}

/// The standards that were used, by their certificates.
fn equipment(worked: &Worked) -> Option<Element> {
    let chain = worked.heading.chain.iter();
    let all: Vec<Element> = chain
        .map(|number| {
            Element::new("dcc:measuringEquipment")
                .with("refType", "basic_normalUsed")
                .and(text("dcc:name", say!("dcc.standard")))
                .and(identifications("other", number, CERTIFICATE))
        })
        .collect();
    (!all.is_empty()).then(|| Element::of("dcc:measuringEquipments", all))
}

fn conditions(worked: &Worked) -> Element {
    let mut all = Vec::new();
    let condition = |name: &str, data: Element| {
        Element::new("dcc:influenceCondition")
            .and(text("dcc:name", name))
            .and(Element::of("dcc:data", [data]))
    };
    if let Some(told) = &worked.heading.conditions {
        all.push(condition(say!("dcc.room"), text("dcc:text", told)));
    }
    let quantity = |value: f64, unit: Unit| {
        let real = Element::new("si:real")
            .and(Element::text("si:value", number(value)?))
            .and(Element::text("si:unit", unit.si));
        Some(Element::of("dcc:quantity", [real]))
    };
    let mut known = vec![(say!("dcc.reference-temperature"), 20.0, CELSIUS)];
    if let Of::Micrometer(Calibration { conditions, .. }) = &worked.of {
        known.push((say!("dcc.off-reference"), conditions.off_reference, KELVIN));
        known.push((say!("dcc.apart"), conditions.apart, KELVIN));
    }
    for (name, value, unit) in known {
        all.extend(quantity(value, unit).map(|data| condition(name, data)));
    }
    Element::of("dcc:influenceConditions", all)
}

/// An error curve: where, and the error there with its uncertainty.
fn curve(name: &str, curve: &CurveDocument) -> Element {
    let of = |value: fn(&workshop::gauge_record::calibrated::PointDocument) -> f64| {
        let points = curve.points.iter();
        let texts: Vec<String> = points.filter_map(|point| number(value(point))).collect();
        texts.join(" ")
    };
    let values = |values: String, unit: Unit| {
        Element::new("si:realListXMLList")
            .and(Element::text("si:valueXMLList", values))
            .and(Element::text("si:unitXMLList", unit.si))
    };
    let expanded = Element::new("si:expandedMUXMLList")
        .and(Element::text(
            "si:valueExpandedMUXMLList",
            of(|point| point.expanded_uncertainty_um),
        ))
        .and(Element::text(
            "si:coverageFactorXMLList",
            of(|point| point.coverage_factor),
        ))
        .and(Element::text("si:coverageProbabilityXMLList", COVERAGE));
    let uncertainty = Element::of("si:measurementUncertaintyUnivariateXMLList", [expanded]);
    let quantity = |kind: &str, name: &str, values: Element| {
        Element::new("dcc:quantity")
            .with("refType", kind)
            .and(text("dcc:name", name))
            .and(values)
    };
    let list = Element::of(
        "dcc:list",
        [
            quantity(
                REFERENCE,
                say!("dcc.at"),
                values(of(|point| point.at_mm), MILLIMETRE),
            ),
            quantity(
                ERROR,
                say!("dcc.error"),
                values(of(|point| point.error_um), MICROMETRE).and(uncertainty),
            ),
        ],
    );
    result(name, list)
}

fn result(name: impl ToString, data: Element) -> Element {
    Element::new("dcc:result")
        .and(text("dcc:name", name))
        .and(Element::of("dcc:data", [data]))
}

fn form(name: String, form: &FormDocument) -> Element {
    standard(name, form.value_um, form.standard_uncertainty_um)
}

/// A value with its standard uncertainty, micrometres.
fn standard(name: String, value: f64, u: f64) -> Element {
    let known = number(u).map(|u| {
        let standard = Element::of("si:standardMU", [Element::text("si:valueStandardMU", u)]);
        Element::of("si:measurementUncertaintyUnivariate", [standard])
    });
    let real = Element::new("si:real")
        .and(Element::text("si:value", number(value).unwrap_or_default()))
        .and(Element::text("si:unit", MICROMETRE.si))
        .and(known);
    let quantity = Element::new("dcc:quantity")
        .and(text("dcc:name", &name))
        .and(real);
    result(name, quantity)
}
