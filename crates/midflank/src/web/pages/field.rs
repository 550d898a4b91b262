//! A field of a form: its label, what is typed, how it is written, and what is wrong with it, which is read out with it.

use maud::{Markup, html};

use crate::bench::words as bench_words;
use crate::given;
use crate::report::sentence;
use crate::say;
use crate::web::words;

/// A field by its name, and what is wrong with it.
pub type Fault = (&'static str, String);

/// A field with what is wrong with it; the first wrong one takes the focus.
pub fn checked<'a>(name: &'a str, label: &'a str, faults: &'a [Fault]) -> Field<'a> {
    let fault = faults.iter().find(|(field, _)| *field == name);
    Field {
        wrong: fault.map(|(_, message)| message.as_str()),
        first: faults.first().is_some_and(|(field, _)| *field == name),
        ..Field::new(name, label)
    }
}

/// What stands above a form that was sent: what is wrong with it as a whole, or how many of its fields are wrong where there are
/// several. As a whole it takes the focus, so that it is not below the fold.
pub fn above(wrong: Option<&str>, faults: usize) -> Markup {
    match (wrong, faults) {
        (Some(wrong), 0) => {
            html! { p class="refusal" role="alert" tabindex="-1" autofocus { (sentence(wrong)) } }
        }
        (_, 0 | 1) => html! {},
        (_, n) => html! { p class="refusal" role="alert" { (say!("page.wrong-fields", n = n)) } },
    }
}

/// Faults in the order of the fields, of each field that which was found first.
pub fn in_order(mut faults: Vec<Fault>, fields: &[&str]) -> Vec<Fault> {
    faults.sort_by_key(|(field, _)| fields.iter().position(|one| one == field));
    faults.dedup_by(|(later, _), (first, _)| later == first);
    faults
}

/// What is wrong with a name or an identity: that it is empty, or would not be shown as it is meant.
pub fn needed(label: &str, text: &str) -> Option<String> {
    match text.trim() {
        "" => Some(words::needed(label)),
        text => one_line(text),
    }
}

/// What is wrong with a text that may be left out.
pub fn one_line(text: &str) -> Option<String> {
    let wrong = given::on_one_line("text", text.trim()).err();
    wrong.map(|_| bench_words::hidden_characters().to_owned())
}

/// What stands in the field of a person: who recorded last, until the form is sent.
pub fn person(typed: &str, token: &str, last: Option<&str>) -> String {
    let begins = typed.is_empty() && token.is_empty();
    let name = if begins { last } else { Some(typed) };
    name.unwrap_or_default().to_owned()
}

/// A field without its value.
#[derive(Clone)]
pub struct Field<'a> {
    pub id: String,
    pub name: &'a str,
    pub label: &'a str,
    /// It may not stay empty.
    pub needed: bool,
    /// How it is written.
    pub help: Option<Markup>,
    pub wrong: Option<&'a str>,
    /// It takes the focus when the page opens.
    pub first: bool,
}

impl<'a> Field<'a> {
    pub fn new(name: &'a str, label: &'a str) -> Self {
        Self {
            id: name.to_owned(),
            name,
            label,
            needed: false,
            help: None,
            wrong: None,
            first: false,
        }
    }

    /// A line.
    pub fn line(&self, value: &str) -> Markup {
        self.around(html! {
            input id=(self.id) name=(self.name) type="text" value=(value) autocapitalize="off" spellcheck="false" autofocus[self.first]
                aria-required=[self.needed.then_some("true")] aria-invalid=[self.invalid()] aria-describedby=(self.described_by());
        })
    }

    /// Several lines.
    pub fn lines(&self, value: &str, rows: u32) -> Markup {
        self.around(html! {
            textarea id=(self.id) name=(self.name) rows=(rows) spellcheck="false" translate="no" autofocus[self.first] aria-required=[self.needed.then_some("true")]
                aria-invalid=[self.invalid()] aria-describedby=(self.described_by()) { (value) }
        })
    }

    /// A file to be handed in.
    pub fn file(&self, accepted: &str) -> Markup {
        self.around(html! {
            input id=(self.id) name=(self.name) type="file" accept=(accepted) autofocus[self.first] aria-required=[self.needed.then_some("true")]
                aria-invalid=[self.invalid()] aria-describedby=(self.described_by());
        })
    }

    /// One of some values, each with what is shown of it.
    pub fn choice<V: AsRef<str>, S: AsRef<str>>(
        &self,
        choices: impl IntoIterator<Item = (V, S)>,
        chosen: &str,
    ) -> Markup {
        self.around(html! {
            select id=(self.id) name=(self.name) autofocus[self.first] aria-invalid=[self.invalid()] aria-describedby=(self.described_by()) {
                @for (value, shown) in choices { option value=(value.as_ref()) selected[value.as_ref() == chosen] { (shown.as_ref()) } }
            }
        })
    }

    fn around(&self, input: Markup) -> Markup {
        html! {
            label for=(self.id) { (self.label) @if self.needed { " (" (words::needed_mark()) ")" } }
            (input)
            @if let Some(help) = &self.help { span id=(format!("{}-help", self.id)) class="soft" { (help) } }
            span id=(format!("{}-wrong", self.id)) role="alert" { @if let Some(wrong) = self.wrong { span class="refusal" { (sentence(wrong)) } } }
        }
    }

    fn invalid(&self) -> Option<&'static str> {
        self.wrong.map(|_| "true")
    }

    fn described_by(&self) -> String {
        let Self { id, help, .. } = self;
        match help {
            Some(_) => format!("{id}-help {id}-wrong"),
            None => format!("{id}-wrong"),
        }
    }
}
