//! The form that describes a piece. What is typed goes by its keys to the builder that equipment files go to: same checks,
//! same words, and the key of a complaint tells the field that it stands at.

use std::collections::BTreeMap;

use jiff::civil::Date;
use maud::{Markup, html};
use serde_json::Value;

use super::register_fields::{Field, ID, Written, fields};
use crate::failure::Failure;
use crate::job_file::{self, Given, Section};
use crate::register::{Equipment, Kind};
use crate::say;
use crate::web::words;
use workshop::Error;

/// What was typed, by the name of the field.
pub type Typed = BTreeMap<String, String>;

/// What is wrong, and at which field.
pub struct Wrong {
    pub field: Option<&'static str>,
    pub message: String,
}

impl Wrong {
    pub fn at(field: &'static str, message: impl Into<String>) -> Self {
        Self {
            field: Some(field),
            message: message.into(),
        }
    }
}

fn typed<'a>(form: &'a Typed, key: &str) -> &'a str {
    form.get(key).map_or("", |text| text.trim())
}

/// The piece that a form describes.
pub fn piece(kind: Kind, form: &Typed, today: Date) -> Result<Equipment, Wrong> {
    let fields = fields(kind);
    for field in fields {
        if field.needed && typed(form, field.key).is_empty() {
            return Err(Wrong::at(field.key, words::needed(field.label())));
        }
    }
    let mut keys = Section::new();
    for field in fields {
        let text = typed(form, field.key);
        if !text.is_empty()
            && let Some(given) = field.given(text)?
        {
            keys.insert(field.key, given);
        }
    }
    if let Some(curve) = curve(fields, form)? {
        keys.insert(CURVE, Given::Section(curve));
    }
    let unit = match typed(form, "unit") {
        "in" => "in",
        _ => "mm",
    };
    let mut listed = Section::new();
    listed.insert("unit", Given::text(unit));
    listed.insert(kind.key(), Given::List(vec![Given::Section(keys)]));
    match job_file::given_equipment(&listed, today) {
        Ok(listed) => listed.pieces.into_iter().next().ok_or_else(|| Wrong {
            field: None,
            message: words::needed(ID.label()),
        }),
        Err(error) => Err(Wrong {
            field: at_field(&error, fields),
            message: crate::words::error_on_page(&error),
        }),
    }
}

/// The key of the error curve of a micrometer.
const CURVE: &str = "error_curve";
/// The field of its points.
const POINTS: &str = "points";

/// The field that is complained of.
fn at_field(error: &Error, fields: &[Field]) -> Option<&'static str> {
    let Error::Wrong(fault) = error else {
        return None;
    };
    let (section, key) = (fault.section.as_deref(), fault.field.as_deref());
    let in_curve = section.is_some_and(|section| section.ends_with(&format!(".{CURVE}")));
    fields
        .iter()
        .find(|field| field.stands_at(in_curve, key))
        .map(|field| field.key)
        .or_else(|| in_curve.then_some(POINTS))
}

impl Field {
    /// What is given under its key; nothing for what stands within the error curve.
    fn given(&self, text: &str) -> Result<Option<Given>, Wrong> {
        Ok(Some(match self.written {
            Written::Text | Written::OneOf(_) => Given::text(text),
            Written::Number => self.number(text)?,
            Written::Flag => Given::Flag(text == "true"),
            Written::Two(between) => {
                let (one, other) = text
                    .split_once(between)
                    .ok_or_else(|| Wrong::at(self.key, words::two_needed(text, self.example)))?;
                Given::List([one, other].map(|text| Given::text(text.trim())).to_vec())
            }
            Written::Points | Written::Curve { .. } => return Ok(None),
        }))
    }

    /// Whether this field is the one of a key, in the error curve or beside it.
    fn stands_at(&self, in_curve: bool, key: Option<&str>) -> bool {
        match self.written {
            Written::Points => in_curve && key == Some(self.key),
            Written::Curve { key: own, .. } => in_curve && key == Some(own),
            _ => !in_curve && key == Some(self.key),
        }
    }

    fn number(&self, text: &str) -> Result<Given, Wrong> {
        text.replace(',', ".")
            .parse::<f64>()
            .ok()
            .filter(|number| number.is_finite())
            .map(|number| Given::Number(format!("{number:?}")))
            .ok_or_else(|| Wrong::at(self.key, words::no_number(text)))
    }
}

/// The error curve, where there are points.
fn curve(fields: &[Field], form: &Typed) -> Result<Option<Section>, Wrong> {
    let text = typed(form, POINTS);
    if text.is_empty() {
        return Ok(None);
    }
    let points = text
        .lines()
        .filter(|line| !line.trim().is_empty())
        .map(|line| {
            let (at, error) = line
                .trim()
                .split_once(char::is_whitespace)
                .ok_or_else(|| Wrong::at(POINTS, words::two_needed(line, "2.5 0.4um")))?;
            Ok(Given::List([at, error.trim()].map(Given::text).to_vec()))
        })
        .collect::<Result<Vec<_>, Wrong>>()?;
    let mut curve = Section::new();
    curve.insert(POINTS, Given::List(points));
    for field in fields {
        let Written::Curve { key, number } = field.written else {
            continue;
        };
        match typed(form, field.key) {
            "" if key != "periodic_error" => {
                return Err(Wrong::at(field.key, words::needed(field.label())));
            }
            "" => {}
            text if number => curve.insert(key, field.number(text)?),
            text => curve.insert(key, Given::text(text)),
        }
    }
    Ok(Some(curve))
}

/// A piece as its form would be filled in.
pub fn filled(equipment: &Equipment) -> Result<Typed, Failure> {
    let document = serde_json::to_value(equipment).map_err(Failure::outside)?;
    let item = document.get("item").cloned().unwrap_or_default();
    let errors = item.get("errors");
    let limit = errors
        .and_then(|errors| errors.get("within"))
        .and_then(|within| within.get("maximum_permissible_error"));
    let curve = errors.and_then(|errors| errors.get("curve"));
    let of_curve = |key: &str| curve.and_then(|curve| curve.get(key));
    let mut form = Typed::new();
    for field in fields(equipment.kind()) {
        let value = match field.written {
            Written::Points => {
                let points = of_curve("points").and_then(Value::as_array);
                let lines = points.into_iter().flatten().map(|point| {
                    [point.get("at"), point.get("error")]
                        .map(|part| part.map_or(String::new(), |part| text_of(part, "")))
                });
                lines
                    .map(|line| line.join(" "))
                    .collect::<Vec<_>>()
                    .join("\n")
            }
            Written::Curve { key, .. } => {
                of_curve(key).map_or(String::new(), |value| text_of(value, ""))
            }
            Written::Two(between) => {
                let between = format!(" {} ", between.trim());
                item.get(field.key)
                    .map_or(String::new(), |value| text_of(value, &between))
            }
            _ if field.key == "maximum_permissible_error" => {
                limit.map_or(String::new(), |value| text_of(value, ""))
            }
            _ if field.key == "drift_per_year" => item
                .get("drift")
                .and_then(|drift| drift.get("per_year"))
                .map_or(String::new(), |value| text_of(value, "")),
            _ => item
                .get(field.key)
                .map_or(String::new(), |value| text_of(value, "")),
        };
        form.insert(field.key.to_owned(), value);
    }
    Ok(form)
}

/// A value as it is typed.
fn text_of(value: &Value, between: &str) -> String {
    match value {
        Value::Null => String::new(),
        Value::String(text) => text.clone(),
        Value::Number(number) => number.as_f64().unwrap_or_default().to_string(),
        Value::Bool(flag) => flag.to_string(),
        Value::Array(parts) => {
            let parts: Vec<String> = parts.iter().map(|part| text_of(part, "")).collect();
            parts.join(between)
        }
        // A pitch: its one value.
        Value::Object(parts) => parts
            .values()
            .next()
            .map_or(String::new(), |part| text_of(part, "")),
    }
}

/// All that stands on the form.
pub struct Shown<'a> {
    pub kind: Kind,
    pub form: &'a Typed,
    pub wrong: Option<&'a Wrong>,
    pub token: &'a str,
    /// The entry that is changed; none for a new piece.
    pub changes: Option<String>,
}

impl Shown<'_> {
    pub fn markup(&self) -> Markup {
        let fields = fields(self.kind);
        // Where the typing begins: at what is wrong, or at the first that can be changed.
        let first = match (self.wrong.and_then(|wrong| wrong.field), &self.changes) {
            (Some(field), _) => field,
            (None, Some(_)) => "certificate",
            (None, None) => "id",
        };
        html! {
            form class="describe" method="post" action=(format!("/equipment/{}", self.kind.key())) autocomplete="off" {
                input type="hidden" name="token" value=(self.token);
                @if let Some(entry) = &self.changes { input type="hidden" name="changes" value=(entry); }
                @if let Some(wrong) = self.wrong.filter(|wrong| wrong.field.is_none()) {
                    p class="refusal" role="alert" { (wrong.message) "." }
                }
                div class="fields" {
                    @for field in fields { (self.field(field, first)) }
                    (self.select("unit", words::unit(), false, &[("mm", "mm"), ("in", "in")], ""))
                }
                div class="fields" {
                    @if self.changes.is_some() { (self.line("reason", words::reason(), say!("page.example-reason"), true, first)) }
                    (self.line("person", crate::bench::words::person(), say!("page.example-person"), true, first))
                }
                p { button { (words::keep()) } }
            }
        }
    }

    fn value(&self, key: &str) -> &str {
        self.form.get(key).map_or("", String::as_str)
    }

    fn field(&self, field: &Field, first: &str) -> Markup {
        match field.written {
            Written::OneOf(choices) => {
                let mut all = vec![("", words::not_said())];
                all.extend(choices());
                self.select(field.key, field.label(), field.needed, &all, first)
            }
            Written::Flag => {
                let all = [
                    ("", words::not_said()),
                    ("true", words::yes_or_no(true)),
                    ("false", words::yes_or_no(false)),
                ];
                self.select(field.key, field.label(), field.needed, &all, first)
            }
            Written::Points => html! {
                div {
                    (label_of(field.key, field.label(), false))
                    textarea id=(field.key) name=(field.key) rows="4" translate="no" aria-describedby=(format!("{0}-help {0}-wrong", field.key)) { (self.value(field.key)) }
                    (self.below(field.key, &words::points_example(field.example)))
                }
            },
            _ if field.key == "id" && self.changes.is_some() => html! {
                input type="hidden" name="id" value=(self.value("id"));
            },
            _ => self.line(field.key, field.label(), field.example, field.needed, first),
        }
    }

    fn line(&self, key: &str, label: &str, example: &str, needed: bool, first: &str) -> Markup {
        html! {
            div {
                (label_of(key, label, needed))
                input id=(key) name=(key) type="text" value=(self.value(key)) autocapitalize="off" spellcheck="false"
                    autofocus[key == first] aria-required=[needed.then_some("true")] aria-invalid=[self.at(key).map(|_| "true")]
                    aria-describedby=(format!("{key}-help {key}-wrong"));
                (self.below(key, example))
            }
        }
    }

    fn select(
        &self,
        key: &str,
        label: &str,
        needed: bool,
        choices: &[(&str, &str)],
        first: &str,
    ) -> Markup {
        html! {
            div {
                (label_of(key, label, needed))
                select id=(key) name=(key) autofocus[key == first] aria-describedby=(format!("{key}-help {key}-wrong")) {
                    @for (value, shown) in choices {
                        option value=(value) selected[*value == self.value(key)] { (shown) }
                    }
                }
                (self.below(key, ""))
            }
        }
    }

    fn at(&self, key: &str) -> Option<&Wrong> {
        self.wrong.filter(|wrong| wrong.field == Some(key))
    }

    /// Under a field: what is wrong with it, or how it is written.
    fn below(&self, key: &str, example: &str) -> Markup {
        html! {
            span id=(format!("{key}-help")) class="soft" { @if !example.is_empty() { (crate::bench::words::as_label()) " " span translate="no" { (example) } } }
            span id=(format!("{key}-wrong")) role="alert" {
                @if let Some(wrong) = self.at(key) { span class="refusal" { (wrong.message) "." } }
            }
        }
    }
}

fn label_of(key: &str, label: &str, needed: bool) -> Markup {
    html! { label for=(key) { (label) @if needed { " (" (words::needed_mark()) ")" } } }
}

/// What a piece is, by the labels of its form; what is not said is left out.
pub fn facts(equipment: &Equipment) -> Result<Vec<(&'static str, String)>, Failure> {
    let form = filled(equipment)?;
    let shown = |field: &Field, text: &str| match field.written {
        Written::OneOf(choices) => choices()
            .into_iter()
            .find(|(key, _)| *key == text)
            .map_or_else(|| text.to_owned(), |(_, shown)| shown.to_owned()),
        Written::Flag => words::yes_or_no(text == "true").to_owned(),
        Written::Points => text.lines().collect::<Vec<_>>().join("; "),
        _ => text.to_owned(),
    };
    Ok(fields(equipment.kind())
        .iter()
        .filter(|field| !matches!(field.key, "id" | "due"))
        .filter_map(|field| {
            let text = form.get(field.key).filter(|text| !text.is_empty())?;
            Some((field.label(), shown(field, text)))
        })
        .collect())
}
