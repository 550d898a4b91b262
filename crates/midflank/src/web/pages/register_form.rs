//! The form that describes a piece: a field for each key of its kind. What is typed goes by its keys to the builder that
//! equipment files go to: same checks, same words, and the key of a complaint tells the field that it stands at.

use std::collections::BTreeMap;

use jiff::civil::Date;
use maud::{Markup, html};
use metrology::inspection::keys::{Holds, Key};
use metrology::units::Entered;

use super::field::{self as input, Fault};
use crate::job_file::{self, Given, Section};
use crate::register::{Equipment, Kind};
use crate::report::sentence;
use crate::say;
use crate::web::words;
use crate::words::equipment::{all_typed, codes, example, form_keys, label};
use crate::words::number;
use workshop::Error;
use workshop::equipment_list::typed::{Untaken, given};

/// What was typed, by the name of the field.
pub type Typed = BTreeMap<String, String>;

/// What is wrong, and at which field.
pub struct Wrong {
    pub field: Option<String>,
    pub message: String,
}

impl Wrong {
    pub fn at(field: impl Into<String>, message: impl Into<String>) -> Self {
        Self {
            field: Some(field.into()),
            message: message.into(),
        }
    }

    pub fn whole(message: impl Into<String>) -> Self {
        Self {
            field: None,
            message: message.into(),
        }
    }
}

/// What stands on the forms of a piece.
#[derive(Default)]
pub struct Forms {
    pub state: StateForm,
    pub status: StateForm,
}

/// What stands on the form for another state or status.
#[derive(Default)]
pub struct StateForm {
    pub typed: Typed,
    /// What is wrong with it as a whole.
    pub wrong: Option<String>,
    pub faults: Vec<Fault>,
}

fn typed<'a>(form: &'a Typed, name: &str) -> &'a str {
    form.get(name).map_or("", |text| text.trim())
}

/// A field of the form.
struct Field {
    kind: Kind,
    /// The key, or `SECTION.KEY` of a section within: so it is named.
    name: String,
    key: &'static Key,
}

fn fields(kind: Kind) -> Vec<Field> {
    let keys = form_keys(kind).into_iter();
    keys.map(|(name, key)| Field { kind, name, key }).collect()
}

/// The piece that a form describes, or all that is wrong with it: each field once.
pub fn piece(kind: Kind, form: &Typed, today: Date) -> Result<Equipment, Vec<Wrong>> {
    let fields = fields(kind);
    let mut wrong: Vec<Wrong> = Vec::new();
    let mut read: Vec<Option<Given>> = Vec::new();
    for field in &fields {
        let text = typed(form, &field.name);
        // What others are wrong is found with an example in the place of what cannot be read.
        let (given, found) = match field.given(text) {
            _ if text.is_empty() && !field.is_needed(form) => (None, None),
            _ if text.is_empty() => (
                field.given(field.example()).ok(),
                Some(Wrong::at(&field.name, words::needed(field.label()))),
            ),
            Ok(given) => (Some(given), None),
            Err(found) => (field.given(field.example()).ok(), Some(found)),
        };
        read.push(given);
        wrong.extend(found);
    }
    for _ in 0..=fields.len() {
        let found = match built(kind, form, &fields, &read, today) {
            Ok(piece) if wrong.is_empty() => return Ok(piece),
            Ok(_) => break,
            Err(found) => found,
        };
        let at = fields
            .iter()
            .position(|field| found.field.as_deref() == Some(&field.name));
        let is_known = wrong.iter().any(|known| known.field == found.field);
        let (Some(at), false) = (at, is_known) else {
            // What is asked of the piece as a whole is told where nothing else is wrong.
            if wrong.is_empty() {
                wrong.push(found);
            }
            break;
        };
        let field = &fields[at];
        read[at] = if field.is_needed(form) {
            field.given(field.example()).ok()
        } else {
            None
        };
        wrong.push(found);
    }
    Err(wrong)
}

/// The piece of what was read of each field.
fn built(
    kind: Kind,
    form: &Typed,
    fields: &[Field],
    read: &[Option<Given>],
    today: Date,
) -> Result<Equipment, Wrong> {
    let mut keys = Section::new();
    for (field, given) in fields.iter().zip(read) {
        let Some(given) = given.clone() else {
            continue;
        };
        match field.name.split_once('.') {
            None => keys.insert(field.key.name, given),
            Some((section, _)) => {
                if let Some(within) = keys.begin(section) {
                    within.insert(field.key.name, given);
                }
            }
        }
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
            message: words::needed(label(kind, "id")),
        }),
        Err(error) => Err(Wrong {
            field: at_field(&error, fields),
            message: crate::words::error_on_page(&error),
        }),
    }
}

/// The field that is complained of; of a section within, the first where none is named.
fn at_field(error: &Error, fields: &[Field]) -> Option<String> {
    let Error::Wrong(fault) = error else {
        return None;
    };
    let section = fault.section.as_deref().unwrap_or_default();
    let within = section.split_once('.').map_or("", |(_, within)| within);
    let key = fault.field.as_deref().unwrap_or_default();
    let is_in = |field: &&Field| {
        let of = field.name.split_once('.').map_or("", |(of, _)| of);
        of == within
    };
    let named = fields
        .iter()
        .filter(is_in)
        .find(|field| field.key.name == key);
    let first = || fields.iter().filter(is_in).find(|_| !within.is_empty());
    named.or_else(first).map(|field| field.name.clone())
}

impl Field {
    fn label(&self) -> &'static str {
        label(self.kind, &self.name)
    }

    fn example(&self) -> &'static str {
        example(self.kind, &self.name)
    }

    /// Whether a length stands in it, which has a unit: of a thermometer everything is in kelvins.
    fn is_length(&self) -> bool {
        use Holds::{Length, Lengths, Points, Span};
        matches!(self.key.holds, Length | Lengths | Points | Span)
    }

    /// Whether it may not stay empty, whatever else is typed.
    fn is_marked(&self) -> bool {
        self.key.needed && !self.name.contains('.')
    }

    /// The same of a form as it is filled in: a section within is left out as a whole.
    fn is_needed(&self, form: &Typed) -> bool {
        let need_not = self.key.assumed.is_some_and(|assumed| {
            let (other, code) = assumed.when;
            typed(form, other) == code
        });
        let is_begun = self.name.split_once('.').is_none_or(|(section, _)| {
            let start = format!("{section}.");
            form.iter()
                .any(|(name, text)| name.starts_with(&start) && !text.trim().is_empty())
        });
        self.key.needed && is_begun && !need_not
    }

    /// What is given under its key.
    fn given(&self, text: &str) -> Result<Given, Wrong> {
        given(self.key, text).map_err(|untaken| {
            let message = match untaken {
                Untaken::Two => words::two_needed(text, self.example()),
                Untaken::NoNumber => words::no_number(text),
                Untaken::NoFlag => words::needed(self.label()),
            };
            Wrong::at(&self.name, message)
        })
    }
}

/// A piece as its form would be filled in.
pub fn filled(equipment: &Equipment) -> Typed {
    all_typed(equipment.piece()).into_iter().collect()
}

/// All that stands on the form.
pub struct Shown<'a> {
    pub kind: Kind,
    pub form: &'a Typed,
    /// What is wrong with the form that was sent; none of one that was not.
    pub wrong: Option<&'a [Wrong]>,
    pub token: &'a str,
    /// The entry that is changed; none for a new piece.
    pub changes: Option<String>,
}

impl Shown<'_> {
    pub fn markup(&self) -> Markup {
        let fields = fields(self.kind);
        // Where the typing begins: at the first that is wrong, or at the first that can be changed.
        let needed = fields
            .iter()
            .map(|field| (&*field.name, field.is_marked()))
            .chain([("reason", self.changes.is_some()), ("person", true)]);
        let wrong: Vec<&str> = needed
            .filter(|(name, needed)| self.at(name, "", *needed).is_some())
            .map(|(name, _)| name)
            .collect();
        let first = match (wrong.first(), &self.changes) {
            (Some(field), _) => *field,
            (None, Some(_)) => "certificate",
            (None, None) => "id",
        };
        html! {
            form class="describe" method="post" action=(format!("/equipment/{}", self.kind.key())) autocomplete="off" {
                input type="hidden" name="token" value=(self.token);
                @if let Some(entry) = &self.changes { input type="hidden" name="changes" value=(entry); }
                @for whole in self.wrong.unwrap_or_default().iter().filter(|wrong| wrong.field.is_none()) {
                    @if wrong.is_empty() { (input::above(Some(&whole.message), 0)) }
                    @else { p class="refusal" role="alert" { (sentence(&whole.message)) } }
                }
                (input::above(None, wrong.len()))
                div class="fields" {
                    @for field in &fields { (self.field(field, first)) }
                    @if fields.iter().any(Field::is_length) { (self.choice(("unit", words::unit(), false), &[("mm", "mm"), ("in", "in")], "")) }
                }
                div class="fields" {
                    @if self.changes.is_some() { (self.line(("reason", words::reason(), true), say!("page.example-reason"), first)) }
                    (self.line(("person", crate::bench::words::person(), true), say!("page.example-person"), first))
                }
                p { button { (words::keep()) } }
            }
        }
    }

    fn value(&self, key: &str) -> &str {
        self.form.get(key).map_or("", String::as_str)
    }

    fn field(&self, field: &Field, first: &str) -> Markup {
        let name = &*field.name;
        let named = (name, field.label(), field.is_marked());
        match field.key.holds {
            Holds::Code(..) => {
                let mut all = vec![("", words::not_said())];
                all.extend(codes(self.kind, name, field.key));
                self.choice(named, &all, first)
            }
            Holds::Flag => {
                let all = [
                    ("", words::not_said()),
                    ("true", words::yes_or_no(true)),
                    ("false", words::yes_or_no(false)),
                ];
                self.choice(named, &all, first)
            }
            Holds::Points => {
                let example = words::points_example(field.example());
                self.checked(named, &example, first, |of| of.lines(self.value(name), 4))
            }
            Holds::Identity if self.changes.is_some() => html! {
                input type="hidden" name=(name) value=(self.value(name));
            },
            _ => self.line(named, field.example(), first),
        }
    }

    /// A field with what is wrong with it and how it is written.
    fn checked(
        &self,
        (name, label, needed): (&str, &str, bool),
        example: &str,
        first: &str,
        drawn: impl FnOnce(input::Field<'_>) -> Markup,
    ) -> Markup {
        let wrong = self.at(name, label, needed);
        let field = drawn(input::Field {
            needed,
            help: Some(
                html! { @if !example.is_empty() { (crate::bench::words::as_label()) " " span translate="no" { (example) } } },
            ),
            wrong: wrong.as_deref(),
            first: name == first,
            ..input::Field::new(name, label)
        });
        html! { div { (field) } }
    }

    fn line(&self, named: (&str, &str, bool), example: &str, first: &str) -> Markup {
        self.checked(named, example, first, |field| {
            field.line(self.value(named.0))
        })
    }

    fn choice(&self, named: (&str, &str, bool), all: &[(&str, &str)], first: &str) -> Markup {
        self.checked(named, "", first, |field| {
            field.choice(all.iter().copied(), self.value(named.0))
        })
    }

    /// What is wrong with a field: what was found, or that it is empty and may not be. Nothing before it was sent.
    fn at(&self, key: &str, label: &str, needed: bool) -> Option<String> {
        let mut wrong = self.wrong?.iter();
        if let Some(wrong) = wrong.find(|wrong| wrong.field.as_deref() == Some(key)) {
            return Some(sentence(&wrong.message));
        }
        (needed && self.value(key).trim().is_empty()).then(|| sentence(&words::needed(label)))
    }
}

/// The lengths of a text as pages write them: `0mm to 25mm` as `0 mm to 25 mm`.
fn lengths_spaced(text: &str) -> String {
    let words = text.split(' ').map(|word| {
        let length = Entered::parse(word, None).ok();
        length.map_or_else(|| word.to_owned(), |length| number::entered(&length))
    });
    words.collect::<Vec<_>>().join(" ")
}

/// What a piece is, by the labels of its form; what is not said is left out.
pub fn facts(equipment: &Equipment) -> Vec<(&'static str, String)> {
    let form = filled(equipment);
    let shown = |field: &Field, text: &str| match field.key.holds {
        Holds::Code(..) => codes(field.kind, &field.name, field.key)
            .into_iter()
            .find(|(code, _)| *code == text)
            .map_or_else(|| text.to_owned(), |(_, shown)| shown.to_owned()),
        Holds::Flag => words::yes_or_no(text == "true").to_owned(),
        _ => text
            .lines()
            .map(lengths_spaced)
            .collect::<Vec<_>>()
            .join("; "),
    };
    fields(equipment.kind())
        .iter()
        .filter(|field| !matches!(field.key.name, "id" | "due"))
        .filter_map(|field| {
            let text = form.get(&field.name).filter(|text| !text.is_empty())?;
            Some((field.label(), shown(field, text)))
        })
        .collect()
}
