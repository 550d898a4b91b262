//! What is taken from a DCC of another laboratory: heading, item and every value with its expanded uncertainty; and what is not, with
//! the reason.

use std::collections::HashMap;
use std::fs::File;
use std::io::Read as _;
use std::path::Path;

use jiff::civil::Date;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;
use workshop::gauge_record::certificate::{CertifiedValue, Conformity, Heading};

use super::tree::{Node, Space, wrong};
use super::unit::Unit;
use super::{CERTIFICATE, REFERENCE};
use crate::failure::Failure;
use crate::given::COVERAGE_FACTOR;
use crate::say;
use crate::words;

/// No certificate is larger, in bytes; one with pictures is about a tenth of it.
const LARGEST: u64 = 20_000_000;
/// No certificate has more values.
const MOST_VALUES: usize = 10_000;

/// A certificate as it was read.
#[derive(Debug)]
pub struct Read {
    pub version: String,
    pub heading: Heading,
    /// The item, and what it is marked with.
    pub item: String,
    pub marked: Vec<String>,
    pub values: Vec<CertifiedValue>,
    /// What was not taken, by name, and why.
    pub left: Vec<(String, String)>,
    /// What is stated of its conformity, each by the name of what it is stated of.
    pub conformity: Vec<(String, Conformity)>,
}

impl Read {
    /// The worst that is stated of its conformity.
    pub fn conforms(&self) -> Option<Conformity> {
        let all = self.conformity.iter().map(|(_, stated)| *stated);
        all.max_by_key(|stated| Conformity::EVERY.iter().position(|one| one == stated))
    }
}

/// Reads the certificate of a file. Where it is of several items, `item` names one by what it is marked with.
pub fn file(path: &Path, item: Option<&str>) -> Result<Read, Failure> {
    let text = text(path).map_err(|failure| failure.about(path))?;
    parse(&text, item).map_err(|failure| failure.about(path))
}

fn text(path: &Path) -> Result<String, Failure> {
    let failed = |why: std::io::Error| {
        Failure::input(say!(
            "command.cannot-read",
            file = path.display(),
            why = why
        ))
    };
    let file = File::open(path).map_err(failed)?;
    let mut bytes = Vec::new();
    file.take(LARGEST + 1)
        .read_to_end(&mut bytes)
        .map_err(failed)?;
    if bytes.len() as u64 > LARGEST {
        return Err(Failure::input(say!(
            "dcc.too-large",
            limit = LARGEST / 1_000_000
        )));
    }
    let bytes = match bytes.strip_prefix(b"\xEF\xBB\xBF") {
        Some(rest) => rest.to_vec(),
        None => bytes,
    };
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        Failure::input(say!("command.not-utf-8", file = path.display(), at = at))
    })
}

/// Takes the text of a certificate.
pub fn parse(text: &str, item: Option<&str>) -> Result<Read, Failure> {
    let root = Node::parse(text)?;
    if root.name != "digitalCalibrationCertificate" {
        return Err(wrong(
            root.line,
            say!("dcc.no-certificate", name = root.name),
        ));
    }
    if root.space != Space::Dcc {
        return Err(wrong(root.line, say!("dcc.foreign-namespace")));
    }
    let version = root
        .attribute("schemaVersion")
        .unwrap_or_default()
        .to_owned();
    if version.split('.').next() != Some("3") {
        return Err(wrong(root.line, say!("dcc.version", version = version)));
    }
    root.check_references()?;
    let item = chosen(&root, item)?;
    let mut found = Found::default();
    let results = needed(&root, &["measurementResults"])?;
    let mut heading = heading(&root)?;
    let mut procedures = Vec::new();
    let mut conditions = Vec::new();
    let mut conformity = Vec::new();
    let statements = root.at(&["administrativeData", "statements"]);
    for one in statements.into_iter().flat_map(|all| all.all("statement")) {
        if !is_of_other(&root, item, one) {
            self::conformity(one, "", &mut conformity)?;
        }
    }
    for result in results.all("measurementResult") {
        if is_of_other(&root, item, result) {
            continue;
        }
        self::conformity(result, "", &mut conformity)?;
        procedures.extend(methods(result));
        conditions.extend(self::conditions(result)?);
        heading.chain.extend(chain(result));
        for one in result
            .at(&["results"])
            .iter()
            .flat_map(|all| all.all("result"))
        {
            found.result(one)?;
        }
    }
    procedures.dedup();
    conditions.dedup();
    heading.chain.dedup();
    let joined = |all: Vec<String>| Some(all.join("; ")).filter(|text| !text.is_empty());
    heading.procedure = joined(procedures);
    heading.conditions = joined(conditions);
    if found.values.len() > MOST_VALUES {
        return Err(Failure::input(say!("dcc.too-many", most = MOST_VALUES)));
    }
    Ok(Read {
        version,
        heading,
        item: name(item),
        marked: marked(item).map(str::to_owned).collect(),
        values: found.values,
        left: found.left,
        conformity,
    })
}

/// Whether a part of the certificate names another item, and not this one.
fn is_of_other(root: &Node, item: &Node, part: &Node) -> bool {
    let of = part.attribute("refId").unwrap_or_default();
    let names = |id: &str| of.split_whitespace().any(|named| named == id);
    let own = item.attribute("id");
    let mut others = root_item_ids(root).filter(|id| Some(*id) != own);
    others.any(names) && !own.is_some_and(names)
}

/// Results of the item as it came in, before something was done to it (`refType` of the good practice for DCC, from memory).
const BEFORE: [&str; 2] = ["beforeAdjustment", "beforeRepair"];

/// What is stated of the conformity in a part of the certificate and below it, by the name of the nearest part that has one. What was
/// found before an adjustment says nothing of how the item goes on.
fn conformity(
    node: &Node,
    title: &str,
    all: &mut Vec<(String, Conformity)>,
) -> Result<(), Failure> {
    let kinds = node.attribute("refType").unwrap_or_default();
    let mut kinds = kinds.split_whitespace();
    if kinds.any(|kind| BEFORE.iter().any(|before| kind.ends_with(before))) {
        return Ok(());
    }
    let own = name(node);
    let title = if own.is_empty() { title } else { &own };
    for child in &node.children {
        if child.space != Space::Dcc {
            continue;
        }
        if !["conformity", "conformityXMLList"].contains(&child.name.as_str()) {
            conformity(child, title, all)?;
            continue;
        }
        for word in child.text.split_whitespace() {
            let stated = STATED.iter().find(|(known, _)| *known == word);
            let (_, stated) = stated.ok_or_else(|| {
                let known = words::choice(STATED.iter().map(|(known, _)| (*known).to_owned()));
                wrong(
                    child.line,
                    say!("dcc.no-conformity", text = word, known = known),
                )
            })?;
            let stated = (title.to_owned(), *stated);
            if !all.contains(&stated) {
                all.push(stated);
            }
        }
    }
    Ok(())
}

/// As a certificate spells it.
const STATED: [(&str, Conformity); 6] = [
    ("pass", Conformity::Pass),
    ("conditionalPass", Conformity::ConditionalPass),
    ("noFail", Conformity::NoFail),
    ("conditionalFail", Conformity::ConditionalFail),
    ("noPass", Conformity::NoPass),
    ("fail", Conformity::Fail),
];

/// What has to stand there.
fn needed<'a>(node: &'a Node, path: &[&str]) -> Result<&'a Node, Failure> {
    node.at(path)
        .ok_or_else(|| wrong(node.line, say!("dcc.missing", name = path.join("/"))))
}

fn name(node: &Node) -> String {
    let name = node.first("name").and_then(Node::content);
    name.unwrap_or_default()
}

fn items(root: &Node) -> impl Iterator<Item = &Node> {
    let all = root.at(&["administrativeData", "items"]);
    all.into_iter().flat_map(|all| all.all("item"))
}

fn root_item_ids(root: &Node) -> impl Iterator<Item = &str> {
    items(root).filter_map(|item| item.attribute("id"))
}

/// What an item is marked with.
fn marked(item: &Node) -> impl Iterator<Item = &str> {
    let all = item.first("identifications");
    let all = all.into_iter().flat_map(|all| all.all("identification"));
    all.filter_map(|one| one.first("value")).map(Node::told)
}

fn chosen<'a>(root: &'a Node, asked: Option<&str>) -> Result<&'a Node, Failure> {
    let all: Vec<&Node> = items(root).collect();
    let known = || {
        let all = all
            .iter()
            .map(|item| marked(item).next().unwrap_or_default());
        all.collect::<Vec<_>>().join(", ")
    };
    match (asked, all.as_slice()) {
        (_, []) => Err(wrong(
            root.line,
            say!("dcc.missing", name = "administrativeData/items/item"),
        )),
        (None, [one]) => Ok(one),
        (None, _) => Err(Failure::input(say!("dcc.several-items", known = known()))),
        (Some(asked), _) => {
            let mut matching = all
                .iter()
                .filter(|item| marked(item).any(|mark| mark == asked));
            match (matching.next(), matching.next()) {
                (Some(one), None) => Ok(one),
                _ => Err(Failure::input(say!(
                    "dcc.no-item",
                    item = asked,
                    known = known()
                ))),
            }
        }
    }
}

fn heading(root: &Node) -> Result<Heading, Failure> {
    let core = needed(root, &["administrativeData", "coreData"])?;
    let number = needed(core, &["uniqueIdentifier"])?;
    let day = needed(core, &["endPerformanceDate"])?;
    let date: Date = day
        .told()
        .parse()
        .map_err(|_| wrong(day.line, say!("dcc.no-date", text = day.told())))?;
    let laboratory = needed(root, &["administrativeData", "calibrationLaboratory"])?;
    let issuer = needed(laboratory, &["contact", "name"])?;
    let told = |node: &Node, text: String| {
        if text.is_empty() {
            Err(wrong(node.line, say!("dcc.missing", name = node.name)))
        } else {
            Ok(text)
        }
    };
    Ok(Heading {
        issuer: told(issuer, issuer.content().unwrap_or_default())?,
        accreditation: None,
        national_institute: false,
        chain: Vec::new(),
        number: told(number, number.told().to_owned())?,
        date,
        procedure: None,
        conditions: None,
    })
}

fn methods(result: &Node) -> Vec<String> {
    let all = result.at(&["usedMethods"]);
    let all = all.into_iter().flat_map(|all| all.all("usedMethod"));
    all.map(|method| {
        let norms = method.all("norm").map(|norm| norm.told().to_owned());
        let all: Vec<String> = [name(method)].into_iter().chain(norms).collect();
        all.join(", ")
    })
    .collect()
}

fn conditions(result: &Node) -> Result<Vec<String>, Failure> {
    let all = result.at(&["influenceConditions"]);
    let all = all
        .into_iter()
        .flat_map(|all| all.all("influenceCondition"));
    let mut told = Vec::new();
    for condition in all {
        let mut what = vec![name(condition)];
        let data = condition.first("data");
        if let Some(text) = data
            .and_then(|data| data.at(&["text"]))
            .and_then(Node::content)
        {
            what.push(text);
        }
        if let Some(real) = data
            .and_then(|data| data.at(&["quantity"]))
            .and_then(|quantity| quantity.si("real"))
        {
            let (value, unit) = (part(real, "value")?, part(real, "unit")?);
            let own = Unit::of(unit.told()).map_or(unit.told(), |unit| unit.own);
            what.push(format!(
                "{} {own}",
                decimal(value, value.told())?.normalize()
            ));
        }
        told.push(what.join(" "));
    }
    Ok(told)
}

/// The certificates of the standards that were used, where they are named.
fn chain(result: &Node) -> Vec<String> {
    let all = result.at(&["measuringEquipments"]);
    let all = all
        .into_iter()
        .flat_map(|all| all.all("measuringEquipment"));
    all.flat_map(|one| {
        let linked = one
            .at(&["certificate", "referralID"])
            .map(|id| id.told().to_owned());
        let named = one.first("identifications").into_iter();
        let named = named
            .flat_map(|all| all.all("identification"))
            .filter_map(|one| {
                let is_certificate = name(one).eq_ignore_ascii_case(CERTIFICATE);
                is_certificate.then(|| one.first("value").map(|value| value.told().to_owned()))?
            });
        linked.into_iter().chain(named).collect::<Vec<_>>()
    })
    .collect()
}

/// A part of a quantity that has to stand there.
fn part<'a>(node: &'a Node, name: &str) -> Result<&'a Node, Failure> {
    let part = node.si(name).filter(|part| !part.told().is_empty());
    part.ok_or_else(|| wrong(node.line, say!("dcc.missing", name = name)))
}

/// A number: with a decimal point, an exponent perhaps, and nothing else.
fn decimal(node: &Node, text: &str) -> Result<Decimal, Failure> {
    if text.contains(',') {
        return Err(wrong(node.line, say!("dcc.comma", text = text)));
    }
    let number = if text.contains(['e', 'E']) {
        Decimal::from_scientific(text).ok()
    } else {
        text.parse().ok()
    };
    number.ok_or_else(|| wrong(node.line, say!("dcc.no-number", text = text)))
}

fn decimals(node: &Node) -> Result<Vec<Decimal>, Failure> {
    let all = node.text.split_whitespace();
    all.map(|text| decimal(node, text)).collect()
}

/// Expanded uncertainties and their coverage factors.
type Uncertainties = (Vec<Decimal>, Vec<Decimal>);

/// Values of a quantity, each with expanded uncertainty and coverage factor where it has them.
struct Quantity {
    name: String,
    line: usize,
    is_reference: bool,
    values: Vec<Decimal>,
    /// As it is spelled; one for all, or one for each.
    units: Vec<String>,
    expanded: Option<Uncertainties>,
}

#[derive(Default)]
struct Found {
    values: Vec<CertifiedValue>,
    left: Vec<(String, String)>,
    /// How often each name was met: a second quantity of it gets a number.
    names: HashMap<String, usize>,
}

impl Found {
    fn result(&mut self, result: &Node) -> Result<(), Failure> {
        let title = name(result);
        let data = needed(result, &["data"])?;
        for one in &data.children {
            if one.space == Space::Dcc {
                self.data(one, &title)?;
            }
        }
        Ok(())
    }

    /// A quantity by itself, or a list of them that belong together.
    fn data(&mut self, node: &Node, title: &str) -> Result<(), Failure> {
        match node.name.as_str() {
            "quantity" => {
                if let Some(quantity) = self.quantity(node, title)? {
                    self.take(&quantity, None)?;
                }
            }
            "list" => {
                let mut quantities = Vec::new();
                for child in node.all("quantity") {
                    quantities.extend(self.quantity(child, title)?);
                }
                let references = quantities.iter().filter(|one| one.is_reference);
                let references: Vec<&Quantity> = references.collect();
                let at = match references.as_slice() {
                    [one] => Some(*one),
                    _ => None,
                };
                for quantity in quantities.iter().filter(|one| !one.is_reference) {
                    self.take(quantity, at)?;
                }
                for child in node.all("list") {
                    self.data(child, title)?;
                }
            }
            other => {
                let kind = say!("dcc.not-a-quantity", kind = other);
                self.left.push((title.to_owned(), kind));
            }
        }
        Ok(())
    }

    fn quantity(&mut self, node: &Node, title: &str) -> Result<Option<Quantity>, Failure> {
        let own = name(node);
        let name = if own.is_empty() || own == title {
            title.to_owned()
        } else if title.is_empty() {
            own
        } else {
            format!("{title}: {own}")
        };
        let met = self.names.entry(name.clone()).or_default();
        *met += 1;
        let name = if *met > 1 {
            format!("{name} ({met})")
        } else {
            name
        };
        let kinds = node.attribute("refType").unwrap_or_default();
        let is_reference = kinds.split_whitespace().any(|kind| kind == REFERENCE);
        let (values, units, expanded) = if let Some(real) = node.si("real") {
            let value = part(real, "value")?;
            let unit = part(real, "unit")?;
            let values = vec![decimal(value, value.told())?];
            (values, vec![unit.told().to_owned()], uncertainty(real, "")?)
        } else if let Some(list) = node.si("realListXMLList") {
            let values = decimals(part(list, "valueXMLList")?)?;
            let units = part(list, "unitXMLList")?;
            let units: Vec<String> = units.text.split_whitespace().map(str::to_owned).collect();
            (values, units, uncertainty(list, "XMLList")?)
        } else {
            let mut kinds = node.children.iter();
            let kind =
                kinds.find(|child| child.space == Space::Si || child.name.ends_with("uantity"));
            let kind = kind.map_or("quantity", |kind| kind.name.as_str());
            self.left
                .push((name, say!("dcc.not-a-quantity", kind = kind)));
            return Ok(None);
        };
        let n = values.len();
        let fits = |length: usize| length == 1 || length == n;
        let lengths = expanded
            .as_ref()
            .map(|(u, k)| fits(u.len()) && fits(k.len()));
        if !fits(units.len()) || lengths == Some(false) {
            return Err(wrong(node.line, say!("dcc.lengths", name = name)));
        }
        Ok(Some(Quantity {
            name,
            line: node.line,
            is_reference,
            values,
            units,
            expanded,
        }))
    }

    /// Takes the values of a quantity, at the places that another of its list names.
    fn take(&mut self, quantity: &Quantity, at: Option<&Quantity>) -> Result<(), Failure> {
        let left = |why: &str| (quantity.name.clone(), why.to_owned());
        let Some((expanded, factors)) = &quantity.expanded else {
            self.left.push(left(say!("dcc.no-uncertainty")));
            return Ok(());
        };
        if let Some(at) = at
            && at.values.len() != quantity.values.len()
        {
            return Err(wrong(
                quantity.line,
                say!("dcc.lengths", name = quantity.name),
            ));
        }
        if at.is_none() && quantity.values.len() > 1 {
            self.left.push(left(say!("dcc.no-places")));
            return Ok(());
        }
        for (place, value) in quantity.values.iter().enumerate() {
            let spelled = one_of(&quantity.units, place).map_or("", String::as_str);
            let Some(unit) = Unit::of(spelled) else {
                self.left.push((
                    quantity.name.clone(),
                    say!("dcc.unknown-unit", unit = spelled),
                ));
                return Ok(());
            };
            let mut of_place = None;
            if let Some(at) = at {
                let spelled = one_of(&at.units, place).map_or("", String::as_str);
                let converted = Unit::of(spelled)
                    .zip(at.values.get(place))
                    .and_then(|(of, value)| of.convert(*value, unit));
                let Some(converted) = converted else {
                    self.left.push((
                        quantity.name.clone(),
                        say!("dcc.place-unit", unit = spelled),
                    ));
                    return Ok(());
                };
                of_place = converted.to_f64();
            }
            let (Some(value), Some(expanded), Some(factor)) = (
                value.to_f64(),
                one_of(expanded, place).and_then(Decimal::to_f64),
                one_of(factors, place).and_then(Decimal::to_f64),
            ) else {
                return Err(wrong(
                    quantity.line,
                    say!("dcc.lengths", name = quantity.name),
                ));
            };
            let known = COVERAGE_FACTOR.from..=COVERAGE_FACTOR.to;
            if expanded < 0.0 || !known.contains(&factor) {
                return Err(wrong(
                    quantity.line,
                    say!("dcc.uncertainty", name = quantity.name),
                ));
            }
            self.values.push(CertifiedValue {
                quantity: quantity.name.clone(),
                at: of_place,
                value,
                unit: unit.own.to_owned(),
                expanded_uncertainty: expanded,
                coverage_factor: factor,
                wear_limit: None,
            });
        }
        Ok(())
    }
}

/// The one of a place, or that of all.
fn one_of<T>(all: &[T], place: usize) -> Option<&T> {
    match all {
        [one] => Some(one),
        all => all.get(place),
    }
}

/// Expanded uncertainties and coverage factors: as stated, or a standard uncertainty with the factor 1.
fn uncertainty(node: &Node, list: &str) -> Result<Option<Uncertainties>, Failure> {
    let named = |name: &str| format!("{name}{list}");
    let univariate = node.si(&named("measurementUncertaintyUnivariate"));
    let expanded = univariate
        .and_then(|all| all.si(&named("expandedMU")))
        .map(|all| (all, named("valueExpandedMU")))
        .or_else(|| {
            let older = node.si(&named("expandedUnc"))?;
            Some((older, named("uncertainty")))
        });
    if let Some((all, value)) = expanded {
        let factor = part(all, &named("coverageFactor"))?;
        return Ok(Some((decimals(part(all, &value)?)?, decimals(factor)?)));
    }
    let standard = univariate.and_then(|all| all.si(&named("standardMU")));
    standard
        .map(|all| {
            let values = decimals(part(all, &named("valueStandardMU"))?)?;
            Ok((values, vec![Decimal::ONE]))
        })
        .transpose()
}
