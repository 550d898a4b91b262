//! A plan as it would be typed: what a page shows to change it, and lines to be taken into one.

use metrology::features::{Row, Stated};
use metrology::inspection::{Characteristic, FeatureKind, RuleName, Terms, ThreadDiameter};
use metrology::units::{Entered, LengthUnit};

use super::line::{Line, NO_FEATURE};
use super::sheet::{Known, Sheet};
use super::{By, Class, Pieces, Plan, Planned, Way};
use crate::bench::{input, stated};

/// The rule of all characteristics without their own: that of the first, as long as each has one.
pub fn usual_of(plan: &Plan) -> Option<&Planned> {
    let mut all = plan.characteristics.iter();
    let first = all.next()?;
    (!first.rule.assumed && all.all(|one| !one.rule.assumed)).then_some(first)
}

/// The characteristics of a plan, each with its line.
pub fn known(plan: &Plan) -> Vec<Known> {
    let usual = usual_of(plan);
    let lines = plan.characteristics.iter().enumerate();
    lines
        .map(|(at, planned)| {
            let usual = usual.map(|usual| (&usual.rule, &usual.agreed));
            let own_rule = has_own_rule(planned, usual);
            let mut line = line(planned, plan.unit, own_rule);
            line.row = at + 1;
            Known {
                line,
                planned: planned.clone(),
                own_rule,
                unit: plan.unit,
            }
        })
        .collect()
}

/// The sheet that says the same as a plan.
pub fn sheet_of(plan: &Plan) -> Sheet {
    let usual = usual_of(plan);
    let mut head = vec![
        ("part", Some(plan.part.clone())),
        ("drawing", Some(plan.drawing.clone())),
        ("revision", plan.revision.clone()),
        ("plan", plan.number.clone()),
        ("unit", plan.unit.map(|unit| unit.to_string())),
    ];
    head.extend(of_pieces(&plan.pieces));
    if let Some(first) = usual {
        head.push(("rule", Some(first.rule.name.clone())));
        let parameter = first.rule.parameter.map(|number| number.to_string());
        head.push(("parameter", parameter));
        head.push(("agreed", first.agreed.clone()));
    }
    let head = head.into_iter();
    Sheet {
        head: head
            .filter_map(|(key, value)| Some((key.to_owned(), value?)))
            .collect(),
        lines: known(plan).into_iter().map(|one| one.line).collect(),
    }
}

fn of_pieces(pieces: &Pieces) -> Vec<(&'static str, Option<String>)> {
    let number = |number: u64| Some(number.to_string());
    let take = Some(pieces.by.take().key().to_owned());
    let mut head = vec![
        ("take", take),
        ("lot_size", pieces.lot_size.and_then(number)),
    ];
    match &pieces.by {
        By::All | By::Fixed => {
            if pieces.by == By::Fixed {
                head.push(("n", pieces.n.and_then(number)));
            }
            if (pieces.accept, pieces.reject) != (0, 1) {
                head.push(("accept", number(pieces.accept)));
                head.push(("reject", number(pieces.reject)));
            }
        }
        By::MilStd105E {
            level,
            aql,
            severity,
        } => {
            head.push(("level", Some(level.clone())));
            head.push(("aql", Some(aql.clone())));
            head.push(("severity", Some(severity.clone())));
        }
        By::ZeroAcceptance {
            limiting_fraction,
            risk,
        } => {
            head.push(("limiting_fraction", Some(limiting_fraction.to_string())));
            head.push(("risk", Some(risk.to_string())));
        }
    }
    head
}

/// Whether a characteristic has another rule than all.
pub fn has_own_rule(planned: &Planned, usual: Option<(&RuleName, &Option<String>)>) -> bool {
    usual != Some((&planned.rule, &planned.agreed)) && !planned.rule.assumed
}

/// The line that says the same as a characteristic, with its rule where that is its own; bare numbers are in the unit.
pub fn line(planned: &Planned, unit: Option<LengthUnit>, own_rule: bool) -> Line {
    let measured = planned.measured.as_ref();
    let what = measured.map(|what| requirement(what, unit));
    let (mut requirement, beside) = match (planned.way.is_measured(), &planned.says, what) {
        (true, says, what) => (what.unwrap_or_default(), ("says", says.clone())),
        (false, says, what) => (says.clone().unwrap_or_default(), ("measure", what)),
    };
    let scope = planned.scope.map(|scope| scope.key().to_owned());
    let edition = planned.edition.clone();
    let gauge = planned.gauge.map(|gauge| gauge.key().to_owned());
    for (key, value) in [
        beside,
        ("gauge", gauge),
        ("scope", scope),
        ("edition", edition),
    ] {
        add(&mut requirement, key, value);
    }
    if own_rule {
        let parameter = planned.rule.parameter.map(|number| number.to_string());
        let name = Some(planned.rule.name.clone());
        add(&mut requirement, "rule", name);
        add(&mut requirement, "parameter", parameter);
        add(&mut requirement, "agreed", planned.agreed.clone());
    }
    let word = |usual: bool, key: &str| if usual { String::new() } else { key.to_owned() };
    Line {
        row: planned.line,
        number: planned.number.clone(),
        requirement,
        places: planned.places.join("; "),
        way: word(planned.way == Way::Contacts, planned.way.key()),
        class: word(planned.class == Class::Ordinary, planned.class.key()),
        more: Vec::new(),
    }
}

/// Says one thing more, where there is something to say. A semicolon would begin the next.
fn add(requirement: &mut String, key: &str, value: Option<String>) {
    if let Some(value) = value.filter(|value| !value.trim().is_empty()) {
        let value = value.replace(';', ",");
        let blank = if requirement.is_empty() { "" } else { " " };
        requirement.extend([";", blank, &key.replace('_', " "), " ", &value]);
    }
}

/// What is measured, as the drawing says it; bare numbers are in the unit.
pub fn requirement(what: &Characteristic, unit: Option<LengthUnit>) -> String {
    match what {
        Characteristic::Thread {
            designation,
            diameter,
            terms,
        } => thread(designation, *diameter, terms.as_deref(), unit),
        Characteristic::Stated { name, lower, upper } => {
            size(name, lower.as_ref(), upper.as_ref(), None, unit)
        }
        Characteristic::Feature {
            name,
            lower,
            upper,
            feature,
        } => {
            let kind = Some(feature.kind());
            let mut text = size(name, lower.as_ref(), upper.as_ref(), kind, unit);
            for (key, value) in values(&feature.stated(), "", unit) {
                add(&mut text, &key, Some(value));
            }
            text
        }
    }
}

fn thread(
    designation: &str,
    diameter: ThreadDiameter,
    terms: Option<&Terms>,
    unit: Option<LengthUnit>,
) -> String {
    let mut text = designation.trim().to_owned();
    let diameter = match diameter {
        ThreadDiameter::MinorDiameter => Some("minor diameter"),
        other => input::of_diameter(other),
    };
    if let Some(diameter) = diameter {
        text = format!("{text} {diameter}");
    }
    let Some(terms) = terms else {
        return text;
    };
    text += &limits(terms.lower.as_ref(), terms.upper.as_ref(), unit);
    let plane = terms.plane.as_ref();
    if let Some(plane) = plane {
        text = format!("{text} {} {}", input::AT, plane.at);
    }
    let within = plane.and_then(|plane| plane.within.as_ref());
    let mut more = vec![
        ("origin", terms.origin.clone()),
        ("plane_within", within.map(|within| length(within, unit))),
    ];
    if let Some(coating) = &terms.coating {
        more.push(("coating", Some(coating.thickness.clone())));
        more.push(("state", Some(coating.state.key().to_owned())));
        let hold = coating.limits_hold.map(|state| state.key().to_owned());
        more.push(("limits_hold", hold));
    }
    for (key, value) in more {
        add(&mut text, key, value);
    }
    text
}

/// A name with its limits, and which feature it is where the name says another.
fn size(
    name: &str,
    lower: Option<&Entered>,
    upper: Option<&Entered>,
    kind: Option<FeatureKind>,
    unit: Option<LengthUnit>,
) -> String {
    let name = name.replace(';', ",");
    let text = format!("{}{}", name.trim(), limits(lower, upper, unit));
    let mut text = text.trim().to_owned();
    let words: Vec<&str> = name.split_whitespace().collect();
    if stated::feature_in(&words) != kind {
        let named = kind.map_or(NO_FEATURE, FeatureKind::key);
        add(&mut text, "feature", Some(named.to_owned()));
    }
    text
}

fn limits(lower: Option<&Entered>, upper: Option<&Entered>, unit: Option<LengthUnit>) -> String {
    match (lower, upper) {
        (Some(lower), Some(upper)) => {
            let (lower, upper) = (length(lower, unit), length(upper, unit));
            format!(" {lower} {} {upper}", input::TO)
        }
        (Some(lower), None) => format!(" {} {}", input::AT_LEAST, length(lower, unit)),
        (None, Some(upper)) => format!(" {} {}", input::AT_MOST, length(upper, unit)),
        (None, None) => String::new(),
    }
}

/// A length with its digits, and its unit where that is not the plan's.
fn length(length: &Entered, unit: Option<LengthUnit>) -> String {
    if unit == Some(length.unit()) {
        length.number().to_string()
    } else {
        format!("{}{}", length.number(), length.unit())
    }
}

/// What a section states, by its keys, those of a section within by `SECTION.KEY`.
fn values(rows: &[Row], before: &str, unit: Option<LengthUnit>) -> Vec<(String, String)> {
    let mut all = Vec::new();
    for (key, stated) in rows {
        match stated {
            Stated::Section(within) => {
                all.extend(values(within, &format!("{}.", key.name), unit));
            }
            one => all.push((format!("{before}{}", key.name), value(one, unit))),
        }
    }
    all
}

fn value(stated: &Stated, unit: Option<LengthUnit>) -> String {
    match stated {
        Stated::Length(entered) => length(entered, unit),
        Stated::Number(number) => number.to_string(),
        Stated::Flag(flag) => flag.to_string(),
        Stated::Day(day) => day.to_string(),
        Stated::Code(code) => code.key().to_owned(),
        Stated::Text(text) => text.clone(),
        Stated::List(all) => {
            let all = all.iter().map(|one| value(one, unit));
            all.collect::<Vec<_>>().join(" ")
        }
        // Of the keys above.
        Stated::Section(_) => String::new(),
    }
}
