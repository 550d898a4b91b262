//! Results as a document of QIF 3.0 (ISO 23952:2020, by its published schemas): lengths with their unit, limits, coverage factor
//! and rule as attributes. `docs/exchange.md` says what stands where.

use std::fmt::Write as _;
use std::io;

use jiff::Timestamp;
use jiff::civil::Date;
use metrology::inspection::features::Dimension;
use metrology::inspection::{Instrument, Target, ThreadDiameter};
use metrology::limits::ThreadLimits;
use metrology::lot::Standing;
use metrology::source::Source;
use metrology::thread::{Hand, Kind, Thread};
use metrology::units::{LengthUnit, Pitch};
use rust_decimal::Decimal;
use sha2::{Digest as _, Sha256};
use workshop::inspection_plan::Class;

use super::results::{Characteristic, Of, Piece, Results};
use super::xml::{Element, number};
use crate::document::MaxMin;
use crate::say;

const NAMESPACE: &str = "http://qifstandards.org/xsd/qif3";
const VERSION: &str = "3.0.0";

/// The coverage probability of all expanded uncertainties.
const COVERAGE: f64 = 0.95;

/// Writes the document.
pub fn write(results: &Results) -> io::Result<Vec<u8>> {
    let mut file = File {
        last: 0,
        unit: results
            .characteristics
            .iter()
            .find(|one| one.target.is_some())
            .map_or(LengthUnit::Millimetre, |one| one.unit),
        threads: Vec::new(),
        definitions: Vec::new(),
        nominals: Vec::new(),
        items: Vec::new(),
    };
    let content = file.content(results);
    // The identifier follows from the content: the same record gives the same document.
    let bytes = Element::of("QIFDocument", content.clone()).document()?;
    let root = Element::new("QIFDocument")
        .with("xmlns", NAMESPACE)
        .with("versionQIF", VERSION)
        .with("idMax", file.last)
        .and(Element::text("QPId", identifier(&bytes)))
        .and_all(content);
    root.document()
}

/// A UUID of version 8 (RFC 9562, 5.8) from the SHA-256 of what it names.
fn identifier(bytes: &[u8]) -> String {
    let mut text = String::new();
    for (place, byte) in Sha256::digest(bytes).into_iter().take(16).enumerate() {
        let byte = match place {
            6 => byte & 0x0F | 0x80,
            8 => byte & 0x3F | 0x80,
            _ => byte,
        };
        if matches!(place, 4 | 6 | 8 | 10) {
            text.push('-');
        }
        // A String takes all that is written to it.
        let _ = write!(text, "{byte:02x}");
    }
    text
}

/// A document under way.
struct File {
    /// The last identifier given.
    last: u32,
    /// The unit of lengths that name none.
    unit: LengthUnit,
    threads: Vec<Element>,
    definitions: Vec<Element>,
    nominals: Vec<Element>,
    items: Vec<Element>,
}

/// Which elements stand for a characteristic.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Shape {
    /// The pitch diameter of a thread.
    Thread,
    Diameter,
    Thickness,
    Width,
    Depth,
    Height,
    /// A length of which no more is known.
    Linear,
    /// What is found without measuring.
    Attribute,
}

/// The names of the elements of a characteristic.
struct Names {
    definition: &'static str,
    nominal: &'static str,
    item: &'static str,
    measurement: &'static str,
}

macro_rules! names {
    ($name:literal) => {
        Names {
            definition: concat!($name, "CharacteristicDefinition"),
            nominal: concat!($name, "CharacteristicNominal"),
            item: concat!($name, "CharacteristicItem"),
            measurement: concat!($name, "CharacteristicMeasurement"),
        }
    };
}

impl Shape {
    fn of(characteristic: &Characteristic) -> Self {
        let Some(target) = &characteristic.target else {
            return Self::Attribute;
        };
        if target.thread.is_some() {
            return match target.diameter {
                ThreadDiameter::PitchDiameter => Self::Thread,
                _ => Self::Diameter,
            };
        }
        let dimension = target
            .feature
            .as_ref()
            .map(|one| one.measurand().dimension());
        match dimension {
            Some(Dimension::Diameter) => Self::Diameter,
            Some(Dimension::Thickness) => Self::Thickness,
            Some(Dimension::Width) => Self::Width,
            Some(Dimension::Depth) => Self::Depth,
            Some(Dimension::Height) => Self::Height,
            Some(Dimension::Size) | None => Self::Linear,
        }
    }

    const fn names(self) -> Names {
        match self {
            Self::Thread => names!("Thread"),
            Self::Diameter => names!("Diameter"),
            Self::Thickness => names!("Thickness"),
            Self::Width => names!("Width"),
            Self::Depth => names!("Depth"),
            Self::Height => names!("Height"),
            Self::Linear => names!("UserDefinedLinear"),
            Self::Attribute => names!("UserDefinedAttribute"),
        }
    }
}

impl File {
    fn id(&mut self) -> u32 {
        self.last += 1;
        self.last
    }

    /// All but the identifier, in the order of the schema.
    fn content(&mut self, results: &Results) -> Vec<Element> {
        let standard = self.id();
        let instruments: Vec<(u32, Element)> = results
            .instruments
            .iter()
            .map(|one| {
                let id = self.id();
                (id, instrument(id, one))
            })
            .collect();
        let mut items = Vec::new();
        for one in &results.characteristics {
            items.push(self.characteristic(one));
        }
        let instrument_ids: Vec<u32> = instruments.iter().map(|(id, _)| *id).collect();
        let mut sets = Vec::new();
        let mut components = Vec::new();
        for piece in &results.pieces {
            let component = self.id();
            sets.push(self.piece(results, piece, component, &items, &instrument_ids));
            components.push(self::component(component, piece));
        }
        let mut attributes = of_file(results);
        attributes.push(attribute("entry", results.entry));
        attributes.push(attribute("hash", &results.hash));
        let application = Element::new("Application")
            .and(Element::text("Name", "midflank"))
            .and(Element::text("AddonName", env!("CARGO_PKG_VERSION")));
        let characteristics = Element::new("Characteristics")
            .and(Element::text("FormalStandardId", standard))
            .and(Element::counted(
                "CharacteristicDefinitions",
                self.definitions.drain(..),
            ))
            .and(Element::counted(
                "CharacteristicNominals",
                self.nominals.drain(..),
            ))
            .and(Element::counted(
                "CharacteristicItems",
                self.items.drain(..),
            ));
        let inspected = Element::counted("MeasurementResultsSet", sets).map(|sets| {
            let set = Element::counted("ActualComponentSet", components);
            Element::new("Results")
                .and(sets)
                .and(set.and_then(|set| Element::counted("ActualComponentSets", [set])))
        });
        let devices = Element::counted(
            "MeasurementDevices",
            instruments.into_iter().map(|(_, element)| element),
        );
        [
            Element::counted("Attributes", attributes),
            Some(Element::of("Header", [application])),
            Element::counted("StandardsDefinitions", [formal_standard(standard, results)]),
            Some(self.units(results)),
            devices.map(|devices| Element::of("MeasurementResources", [devices])),
            Element::counted("ThreadSpecifications", self.threads.drain(..)),
            Some(characteristics),
            inspected,
        ]
        .into_iter()
        .flatten()
        .collect()
    }

    /// The unit of the file, and any other that is used in it.
    fn units(&self, results: &Results) -> Element {
        let all = [
            LengthUnit::Millimetre,
            LengthUnit::Inch,
            LengthUnit::Micrometre,
            LengthUnit::Microinch,
        ];
        let others = all.into_iter().filter(|unit| {
            let mut used = results.characteristics.iter();
            *unit != self.unit && used.any(|one| one.unit == *unit && one.target.is_some())
        });
        Element::new("FileUnits")
            .and(Element::of("PrimaryUnits", [linear_unit(self.unit)]))
            .and(Element::counted("OtherUnits", others.map(linear_unit)))
    }

    /// Defines a characteristic; its item, and what shape its measurements have.
    fn characteristic(&mut self, one: &Characteristic) -> (u32, Shape) {
        let shape = Shape::of(one);
        let names = shape.names();
        let (definition, nominal, item) = (self.id(), self.id(), self.id());
        let mut attributes = Vec::new();
        if shape != Shape::Attribute {
            attributes.push(attribute("unit", unit_name(one.unit)));
            attributes.extend(limits(&one.limits));
            attributes.push(attribute("decision_rule", &one.rule.name));
            let parameter = one.rule.parameter;
            attributes.extend(parameter.map(|value| decimal("decision_rule_parameter", value)));
        }
        let mut defined = Element::new(names.definition)
            .with("id", definition)
            .and(Element::counted("Attributes", attributes))
            .and(Element::text("Name", &one.name));
        let specification = match (&one.target, shape) {
            (Some(target), Shape::Thread) => self.thread(target),
            _ => None,
        };
        defined = match (specification, shape) {
            (Some(id), _) => defined.and(Element::text("ThreadSpecificationId", id)),
            (None, Shape::Attribute) => defined.and(Element::text("WhatToMeasure", &one.name)),
            (None, Shape::Linear) => defined
                .and(tolerance(one))
                .and(Element::text("WhatToMeasure", &one.name)),
            _ => defined.and(tolerance(one)),
        };
        self.definitions.push(defined);
        self.nominals.push(
            Element::new(names.nominal)
                .with("id", nominal)
                .and(Element::text("CharacteristicDefinitionId", definition)),
        );
        let designator =
            one.number.as_ref().map(|number| {
                let level = one.class.and_then(|class| match class {
                    Class::Ordinary => None,
                    Class::Key => Some("KEY"),
                    Class::Critical => Some("CRITICAL"),
                });
                Element::new("CharacteristicDesignator")
                    .and(Element::text("Designator", number))
                    .and(level.map(|level| {
                        Element::of("Criticality", [Element::text("LevelEnum", level)])
                    }))
            });
        self.items.push(
            Element::new(names.item)
                .with("id", item)
                .and(Element::text("Name", &one.name))
                .and(designator)
                .and(Element::text("CharacteristicNominalId", nominal)),
        );
        (item, shape)
    }

    /// Specifies the thread of a pitch diameter.
    fn thread(&mut self, target: &Target) -> Option<u32> {
        let limits = target.thread.as_ref()?;
        let id = self.id();
        let in_parts = (limits.unit == self.unit && target.told.is_empty())
            .then(|| single_lead(limits))
            .flatten();
        let specification = in_parts.map_or_else(
            || {
                let text = Element::text("TextSpecification", &target.name);
                Element::of("TextThreadSpecification", [text])
            },
            |parts| Element::of("SingleLeadSpecification", parts),
        );
        let specification = specification.with("id", id);
        self.threads
            .push(Element::of("ThreadSpecification", [specification]));
        Some(id)
    }

    fn piece(
        &mut self,
        results: &Results,
        piece: &Piece,
        component: u32,
        items: &[(u32, Shape)],
        instruments: &[u32],
    ) -> Element {
        let id = self.id();
        let mut measured = Vec::new();
        for found in &piece.found {
            let (Some((item, shape)), Some(one)) = (
                items.get(found.characteristic),
                results.characteristics.get(found.characteristic),
            ) else {
                continue;
            };
            let instrument = found.instrument.and_then(|place| instruments.get(place));
            let id = self.id();
            measured.push(measurement(id, *item, *shape, one, found, instrument));
        }
        let of = |standing| measured_at(piece, standing);
        let person = piece.found.iter().find_map(|found| found.person.as_ref());
        let traceability =
            Element::new("InspectionTraceability")
                .and(
                    results
                        .order
                        .as_ref()
                        .map(|order| Element::text("OrderNumber", order)),
                )
                .and(Element::text("ReportNumber", results.entry))
                .and(of(false).map(|at| Element::text("InspectionStart", at)))
                .and(of(true).map(|at| Element::text("InspectionEnd", at)))
                .and(person.map(|person| {
                    Element::of("InspectionOperator", [Element::text("Name", person)])
                }));
        let measured = Element::counted("CharacteristicMeasurements", measured);
        Element::new("MeasurementResults")
            .with("id", id)
            .and(traceability)
            .and(measured.map(|all| Element::of("MeasuredCharacteristics", [all])))
            .and(Element::of(
                "InspectionStatus",
                [whole_status(piece.standing)],
            ))
            .and(references("ActualComponentIds", [component]))
    }
}

fn measured_at(piece: &Piece, last: bool) -> Option<Timestamp> {
    let all = piece.found.iter().filter_map(|found| found.at);
    if last { all.max() } else { all.min() }
}

fn component(id: u32, piece: &Piece) -> Element {
    let traceability = Element::new("Traceability")
        .and(Element::text("SampleNumber", &piece.name))
        .and(
            piece
                .lot
                .as_ref()
                .map(|lot| Element::text("LotNumber", lot)),
        );
    let serial = piece.serial.as_ref();
    Element::new("ActualComponent")
        .with("id", id)
        .and(serial.map(|serial| Element::text("SerialNumber", serial)))
        .and(Element::of("Status", [whole_status(piece.standing)]))
        .and(traceability)
}

/// What is to be known of all results.
fn of_file(results: &Results) -> Vec<Element> {
    let mut attributes = vec![attribute("part", &results.part)];
    for (name, value) in [
        ("drawing", &results.drawing),
        ("customer", &results.customer),
    ] {
        attributes.extend(value.as_ref().map(|value| attribute(name, value)));
    }
    if let Some(lot) = &results.lot {
        attributes.extend(lot.lot.as_ref().map(|number| attribute("lot", number)));
        attributes.push(attribute("lot_verdict", lot.verdict));
        attributes.extend(lot.because.map(|why| attribute("lot_verdict_because", why)));
        for (name, n) in [
            ("pieces_accepted_as_measured", lot.accept),
            ("pieces_rejected_as_measured", lot.reject),
            ("pieces_undecided_as_measured", lot.undecided),
            ("pieces_provisional_as_measured", lot.provisional),
            ("pieces_not_measured", lot.not_measured.pieces),
        ] {
            attributes.push(
                Element::new("AttributeI1")
                    .with("name", name)
                    .with("value", n),
            );
        }
    }
    attributes
}

/// The standard that the first characteristic is evaluated against, or the one for geometry in general.
fn formal_standard(id: u32, results: &Results) -> Element {
    let sources = results.characteristics.iter().find_map(|one| {
        let thread = one.target.as_ref()?.thread.as_ref()?;
        thread.sources.first().copied()
    });
    let title = sources
        .and_then(Source::document)
        .unwrap_or("ISO 14253-1:2017");
    let (organization, designator) = title.split_once(' ').unwrap_or(("ISO", title));
    let (designator, year) = match designator.split_once(':') {
        Some((designator, year)) => (designator, Some(year)),
        None => (designator, None),
    };
    let organization = match organization {
        "ISO" | "ASME" | "JIS" => Element::text("StandardsOrganizationEnum", organization),
        "BS" => Element::text("StandardsOrganizationEnum", "BSI"),
        other => Element::text("OtherStandardsOrganization", other),
    };
    Element::new("Standard")
        .with("id", id)
        .and(Element::of("Organization", [organization]))
        .and(Element::text("Designator", designator))
        .and(year.map(|year| Element::text("Year", year)))
}

fn instrument(id: u32, one: &Instrument) -> Element {
    let midnight = |day: Date| format!("{day}T00:00:00Z");
    let calibration = one.due.map(|due| {
        let date = one.certificate_date.map(midnight);
        Element::new("Calibration")
            .and(date.map(|date| Element::text("CalibrationDate", date)))
            .and(Element::text("ExpirationDate", midnight(due)))
    });
    let certificate = one.certificate.as_ref();
    let attributes = certificate.map(|certificate| attribute("certificate", certificate));
    Element::new("Micrometer")
        .with("id", id)
        .and(Element::text(
            "Name",
            say!("exchange.micrometer", id = one.id),
        ))
        .and(Element::text("SerialNumber", &one.id))
        .and(Element::counted("Attributes", attributes))
        .and(calibration.and_then(|one| Element::counted("Calibrations", [one])))
        .and(Element::text("InternalExternal", "EXTERNAL"))
}

fn measurement(
    id: u32,
    item: u32,
    shape: Shape,
    one: &Characteristic,
    found: &Of,
    instrument: Option<&u32>,
) -> Element {
    let size = found.size.as_ref();
    let whole = size.and_then(|size| size.whole.as_ref());
    let mut attributes = vec![attribute("decision", &found.decision)];
    attributes.extend(found.because.as_ref().map(|why| attribute("because", why)));
    if found.provisional {
        attributes.push(
            Element::new("AttributeBool")
                .with("name", "provisional")
                .with("value", true),
        );
    }
    if let Some(size) = size {
        attributes.push(attribute("unit", unit_name(one.unit)));
        attributes.extend(real("expanded_uncertainty", size.expanded_uncertainty));
        attributes.extend(whole.and_then(|size| real("coverage_factor", size.coverage_factor)));
        attributes.extend(real("coverage_probability", COVERAGE));
        let freedom = whole.and_then(|size| size.degrees_of_freedom);
        attributes.extend(freedom.and_then(|n| real("degrees_of_freedom", n)));
    }
    // What was decided by other limits or another rule than the plan has now says so.
    if let Some(by) = &found.decided_by {
        let parameter = one.rule.parameter.and_then(|value| value.try_into().ok());
        if by.limits != one.limits {
            attributes.extend(limits(&by.limits));
        }
        if by.rule != one.rule.name || by.parameter != parameter {
            attributes.push(attribute("decision_rule", &by.rule));
            let parameter = by.parameter;
            attributes.extend(parameter.and_then(|value| real("decision_rule_parameter", value)));
        }
    }
    attributes.extend(found.with.iter().map(|(role, id)| attribute(role, id)));
    if !found.warnings.is_empty() {
        attributes.push(attribute("warnings", found.warnings.join(" ")));
    }
    if !found.cautions.is_empty() {
        attributes.push(attribute("caution", found.cautions.join(" ")));
    }
    attributes.extend(found.entry.map(|entry| attribute("entry", entry)));
    let value = size.and_then(|size| {
        let name = if shape == Shape::Thread {
            "PitchDiameter"
        } else {
            "Value"
        };
        let uncertainty = whole.and_then(|size| number(size.standard_uncertainty));
        Some(
            Element::text(name, number(size.value)?)
                .with_if("combinedUncertainty", uncertainty)
                .with("linearUnit", unit_name(one.unit)),
        )
    });
    let looked_at = (shape == Shape::Attribute).then(|| Element::text("Value", &found.decision));
    Element::new(shape.names().measurement)
        .with("id", id)
        .and(Element::counted("Attributes", attributes))
        .and(Element::of("Status", [status(found)]))
        .and(Element::text("CharacteristicItemId", item))
        .and(found.at.map(|at| Element::text("TimeStamp", at)))
        .and(instrument.and_then(|id| references("MeasurementDeviceIds", [*id])))
        .and(value)
        .and(looked_at)
}

/// How a characteristic of a piece stands. Accepted or rejected only as the record decides; all between them is indeterminate.
fn status(found: &Of) -> Element {
    let told = match (found.standing, found.decision.as_str()) {
        (Standing::Accept, "accept") => "PASS",
        (Standing::Reject, "reject") => "FAIL",
        _ => "INDETERMINATE",
    };
    Element::text("CharacteristicStatusEnum", told)
}

/// The same of a piece; the standard has no word there for what is undecided.
fn whole_status(standing: Standing) -> Element {
    match standing {
        Standing::Accept => Element::text("InspectionStatusEnum", "PASS"),
        Standing::Reject => Element::text("InspectionStatusEnum", "FAIL"),
        Standing::Undecided => Element::text("OtherInspectionStatus", "INDETERMINATE"),
        Standing::Provisional => Element::text("OtherInspectionStatus", "PROVISIONAL"),
    }
}

/// Limits where the standard has a place for them.
fn tolerance(one: &Characteristic) -> Element {
    let limit = |name, value: Option<f64>| {
        value
            .and_then(number)
            .map(|value| Element::text(name, value).with("linearUnit", unit_name(one.unit)))
    };
    let (most, least) = (
        limit("MaxValue", one.limits.max),
        limit("MinValue", one.limits.min),
    );
    if most.is_none() && least.is_none() {
        return Element::text("NonTolerance", "MEASURED");
    }
    Element::new("Tolerance")
        .and(most)
        .and(least)
        .and(Element::text("DefinedAsLimit", true))
}

/// Limits as attributes: a thread has no other place for them.
fn limits(limits: &MaxMin) -> impl Iterator<Item = Element> {
    let [least, most] = [("lower_limit", limits.min), ("upper_limit", limits.max)];
    [least, most]
        .into_iter()
        .filter_map(|(name, value)| real(name, value?))
}

fn attribute(name: &str, value: impl ToString) -> Element {
    Element::new("AttributeStr")
        .with("name", name)
        .with("value", value)
}

fn real(name: &str, value: f64) -> Option<Element> {
    let value = number(value)?;
    Some(
        Element::new("AttributeD1")
            .with("name", name)
            .with("value", value),
    )
}

fn decimal(name: &str, value: Decimal) -> Element {
    Element::new("AttributeD1")
        .with("name", name)
        .with("value", value)
}

fn references(name: &'static str, ids: impl IntoIterator<Item = u32>) -> Option<Element> {
    Element::counted(name, ids.into_iter().map(|id| Element::text("Id", id)))
}

const fn unit_name(unit: LengthUnit) -> &'static str {
    match unit {
        LengthUnit::Millimetre => "mm",
        LengthUnit::Inch => "inch",
        LengthUnit::Micrometre => "um",
        LengthUnit::Microinch => "uin",
    }
}

fn linear_unit(unit: LengthUnit) -> Element {
    // Ten million tenths of a nanometre are a millimetre.
    let metres = Decimal::new(unit.tenth_nanometres(), 10).normalize();
    Element::new("LinearUnit")
        .and(Element::text("SIUnitName", "meter"))
        .and(Element::text("UnitName", unit_name(unit)))
        .and(Element::of(
            "UnitConversion",
            [Element::text("Factor", metres)],
        ))
}

/// The parts of a metric or unified thread of one start; none where the standard lacks a word for one of them.
fn single_lead(limits: &ThreadLimits) -> Option<Vec<Element>> {
    if limits.starts != 1 || limits.taper.is_some() {
        return None;
    }
    let thread = metrology::designation::parse(&limits.designation).ok()?;
    let (series, classes) = match &thread {
        Thread::IsoMetric(_) => ("M", metric_classes(limits)?),
        Thread::Mj(_) => ("MJ", metric_classes(limits)?),
        Thread::Unified(unified) => {
            let series = unified.series_symbol();
            (series != "UNRS").then_some(())?;
            (series, vec![limits.class.clone()])
        }
        _ => return None,
    };
    let density = match limits.pitch {
        Pitch::Metric(pitch) => {
            let pitch = pitch.decimal(limits.unit);
            (!pitch.is_zero()).then(|| (Decimal::ONE / pitch).round_dp(9).normalize())?
        }
        Pitch::PerInch(count) => count.decimal(),
    };
    let unit = unit_name(limits.unit);
    let class = |name, class: &String| Element::of(name, [Element::text("ThreadClassEnum", class)]);
    let attributes = [
        attribute("designation", &limits.designation),
        attribute("unit", unit),
        real("pitch", limits.pitch.in_unit(limits.unit))?,
    ];
    let nominal = limits.nominal.decimal(limits.unit);
    let series = Element::text("ThreadSeriesEnum", series);
    let mut parts = vec![
        Element::text("Diameter", nominal).with("linearUnit", unit),
        Element::of("ThreadSeries", [series]),
        class("ThreadToleranceClass", classes.first()?),
    ];
    parts.extend(
        classes
            .get(1)
            .map(|one| class("CrestDiameterToleranceClass", one)),
    );
    parts.push(Element::text("LeftHanded", limits.hand == Hand::Left));
    parts.extend(Element::counted("Attributes", attributes));
    parts.push(Element::text("ThreadDensity", density));
    Some(parts)
}

/// The tolerance classes of a metric thread: of the pitch diameter, and of the crest where that has another.
fn metric_classes(limits: &ThreadLimits) -> Option<Vec<String>> {
    let letters: Vec<char> = limits.class.chars().collect();
    let mut classes = Vec::new();
    for pair in letters.chunks(2) {
        let [grade, position] = pair else { return None };
        let known = match limits.kind {
            Kind::External => matches!(grade, '3'..='9') && matches!(position, 'e'..='h'),
            Kind::Internal => matches!(grade, '4'..='8') && matches!(position, 'G' | 'H'),
        };
        known.then_some(())?;
        let prefix = if limits.kind == Kind::External {
            "EXT_"
        } else {
            ""
        };
        classes.push(format!("{prefix}{grade}{}", position.to_ascii_uppercase()));
    }
    Some(classes)
}
