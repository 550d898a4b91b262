//! A plan as it is made: what it is of, a typed line for each characteristic, and beside each what it is understood as.

use maud::{Markup, html};
use metrology::decision::Rule;
use metrology::inspection::Characteristic;
use metrology::sampling::Severity;
use workshop::lots::PlanKept;
use workshop::plan::{Class, Line, Mistake, Planned, Sheet, Take, Way};

use super::history::encoded;
use super::reading_page;
use crate::failure::Failure;
use crate::report;
use crate::say;
use crate::web::app::App;
use crate::words;

metrology::codes! {
    /// A field of the page, by the key that a table has for it.
    pub enum Field "plan-field" {
        Part "part",
        Drawing "drawing",
        Revision "revision",
        Plan "plan",
        Unit "unit",
        Take "take",
        LotSize "lot_size",
        N "n",
        Accept "accept",
        Reject "reject",
        Level "level",
        Aql "aql",
        Severity "severity",
        LimitingFraction "limiting_fraction",
        Risk "risk",
        Rule "rule",
        Parameter "parameter",
        Agreed "agreed",
        Number "number",
        Requirement "requirement",
        Places "places",
        Way "way",
        Class "class",
    }
}

/// The address of a plan's page.
pub fn address_of(entry: &str) -> String {
    format!("/plans/{}", encoded(entry))
}

/// All that stands on the page.
pub struct Shown<'a> {
    pub token: &'a str,
    /// The plan that is changed; none of a new one.
    pub base: Option<&'a PlanKept>,
    pub person: &'a str,
    pub sheet: &'a Sheet,
    /// What each line is understood as.
    pub lines: &'a [Option<Planned>],
    pub mistakes: &'a [Mistake],
    /// Whether the plan was to be kept.
    pub is_kept: bool,
    /// What is to be said of what was asked, and whether that was refused.
    pub told: Option<&'a str>,
    pub is_refused: bool,
}

/// Codes with their words.
type Choices = Vec<(&'static str, String)>;

/// What a field takes.
enum Takes {
    Text,
    /// One of these, or nothing.
    Choice(Choices),
}

pub fn page(app: &App, shown: &Shown<'_>) -> Result<Markup, Failure> {
    let title = match shown.base {
        Some(kept) => say!("plan-page.change", plan = kept.plan.name()),
        None => say!("plan-page.new").to_owned(),
    };
    // A name that was cleared stays cleared: it is asked for then.
    let person = if shown.person.is_empty() && !shown.is_kept {
        app.books()?.last_person.clone().unwrap_or_default()
    } else {
        shown.person.to_owned()
    };
    let content = html! {
        h1 { (title) }
        @if let Some(kept) = shown.base { p { (say!("plan-page.on-record", entry = kept.entry)) } }
        p { (say!("plan-page.explain")) }
        (shown.told())
        form class="describe plan" method="post" action="/plans" autocomplete="off" {
            // Enter in any field checks the lines.
            button class="unseen" name="do" value="check" tabindex="-1" aria-hidden="true" { (say!("plan-page.check")) }
            input type="hidden" name="token" value=(shown.token);
            @if let Some(kept) = shown.base { input type="hidden" name="base" value=(kept.entry); }
            (shown.head())
            h2 id="lines" { (say!("plan-page.lines")) }
            p class="soft" id="lines-help" { (say!("plan-page.help")) }
            @for (at, line) in shown.sheet.lines.iter().enumerate() { (shown.line(at, line)) }
            (shown.line(shown.sheet.lines.len(), &Line::default()))
            div class="fields" {
                div {
                    label for="person" { (say!("plan-page.person")) }
                    input id="person" name="person" type="text" value=(person);
                }
            }
            p class="buttons" {
                button name="do" value="check" { (say!("plan-page.check")) } " "
                button name="do" value="keep" { (say!("plan-page.keep")) }
            }
        }
        p { a href="/lots" { (say!("lots.title")) } }
    };
    Ok(reading_page(&title, &content))
}

impl Shown<'_> {
    /// What is to be said before anything else.
    fn told(&self) -> Markup {
        let count = self.mistakes.len();
        let general = self
            .mistakes
            .iter()
            .filter(|one| one.line.is_none() && one.key.is_empty());
        html! {
            @if let Some(told) = self.told {
                @if self.is_refused { p class="refusal" role="alert" { (report::sentence(told)) } }
                @else { p role="status" { (report::sentence(told)) } }
            }
            @if self.is_kept && count > 0 { p class="refusal" role="alert" { (say!("plan-page.mistakes", n = count)) } }
            @for one in general { p class="refusal" role="alert" { (said(one)) } }
        }
    }

    fn value(&self, key: &str) -> &str {
        let mut head = self.sheet.head.iter();
        head.find(|(name, _)| name == key)
            .map_or("", |(_, value)| value)
    }

    /// What is wrong in a field: of a line, or of none.
    fn wrong(&self, line: Option<usize>, key: &str) -> Vec<&Mistake> {
        let all = self.mistakes.iter();
        all.filter(|one| one.line == line && one.key == key)
            .collect()
    }

    /// The first field with a mistake.
    fn first_wrong(&self) -> Option<(Option<usize>, &str)> {
        let named = self.mistakes.iter().filter(|one| !one.key.is_empty());
        let first = named.min_by_key(|one| one.line);
        first.map(|one| (one.line, one.key.as_str()))
    }

    fn head(&self) -> Markup {
        let take = words_of("plan-take", Take::EVERY.iter().map(|one| one.key()));
        let severity = [Severity::Normal, Severity::Tightened, Severity::Reduced];
        let severity = severity.map(|one| (one.key(), words::named("severity", one.key())));
        let rules = Rule::KEYS
            .iter()
            .map(|key| (*key, (*key).to_owned()))
            .collect();
        let groups = [
            (
                say!("plan-page.head"),
                vec![
                    ("part", Takes::Text),
                    ("drawing", Takes::Text),
                    ("revision", Takes::Text),
                    ("plan", Takes::Text),
                    ("unit", Takes::Choice(units())),
                ],
            ),
            (
                say!("plan-page.sampling"),
                vec![
                    ("take", Takes::Choice(take)),
                    ("lot_size", Takes::Text),
                    ("n", Takes::Text),
                    ("aql", Takes::Text),
                    ("level", Takes::Text),
                    ("severity", Takes::Choice(severity.to_vec())),
                    ("accept", Takes::Text),
                    ("reject", Takes::Text),
                    ("limiting_fraction", Takes::Text),
                    ("risk", Takes::Text),
                ],
            ),
            (
                say!("plan-page.decision"),
                vec![
                    ("rule", Takes::Choice(rules)),
                    ("parameter", Takes::Text),
                    ("agreed", Takes::Text),
                ],
            ),
        ];
        html! {
            @for (name, fields) in groups {
                fieldset {
                    legend { (name) }
                    div class="fields small" { @for (key, takes) in fields { (self.field(key, &takes)) } }
                }
            }
        }
    }

    fn field(&self, key: &'static str, takes: &Takes) -> Markup {
        let wrong = self.wrong(None, key);
        let is_first = match self.first_wrong() {
            Some(first) => first == (None, key),
            None => key == "part" && self.sheet.lines.is_empty() && self.value("part").is_empty(),
        };
        let invalid = (!wrong.is_empty()).then_some("true");
        let id = format!("head-{key}");
        let told = format!("{id}-wrong");
        html! {
            div class=(format!("of-{key}")) {
                label for=(id) { (words::named("plan-field", key)) }
                @match takes {
                    // The style asks by the placeholder whether something stands in the field.
                    Takes::Text => input id=(id) name=(key) type="text" value=(self.value(key)) placeholder=" " autocapitalize="off" spellcheck="false"
                        autofocus[is_first] aria-invalid=[invalid] aria-describedby=(told);,
                    Takes::Choice(all) => select id=(id) name=(key) autofocus[is_first] aria-invalid=[invalid] aria-describedby=(told) {
                        @if key != "take" { option value="" { (say!("plan-page.usual")) } }
                        @for (value, name) in all { option value=(value) selected[*value == self.value(key)] { (name) } }
                    },
                }
                (refusals(&told, &wrong))
            }
        }
    }

    /// A typed line, and below it what it is understood as or what is wrong with it.
    fn line(&self, at: usize, line: &Line) -> Markup {
        let is_new = at == self.sheet.lines.len();
        let planned = self.lines.get(at).and_then(Option::as_ref);
        let is_thread = planned.is_some_and(|one| {
            one.way.is_measured() && matches!(one.measured, Some(Characteristic::Thread { .. }))
        });
        let begins = is_new && self.first_wrong().is_none();
        let begins = begins && !(self.sheet.lines.is_empty() && self.value("part").is_empty());
        let label = if is_new {
            (at + 1).to_string()
        } else {
            line.number.clone()
        };
        let label = say!("plan-page.line", number = label);
        let ways = words_of("plan-way", Way::EVERY.iter().map(|one| one.key()));
        let classes = words_of("plan-class", Class::EVERY.iter().map(|one| one.key()));
        html! {
            div class="plan-line" role="group" aria-label=(label) {
                div class="plan-fields" {
                    (self.text(at, "number", &line.number, false))
                    (self.text(at, "requirement", &line.requirement, begins))
                    (self.text(at, "places", &line.places, false))
                    (self.choice(at, "way", &line.way, &ways))
                    (self.choice(at, "class", &line.class, &classes))
                }
                @if let Some(planned) = planned {
                    p class="understood" id=(format!("understood-{at}")) {
                        @for (index, told) in report::plan::understood(planned).iter().enumerate() {
                            @if index > 0 { " · " }
                            span class=[(index > 0).then_some("soft")] { (told) }
                        }
                        @if is_thread {
                            " " button name="do" value=(format!("split-{at}")) class="small" { (say!("plan-page.split")) }
                        }
                    }
                    @for warned in report::plan::warned(planned) { p class="doubt" { (report::sentence(&warned)) } }
                }
            }
        }
    }

    fn text(&self, at: usize, key: &'static str, value: &str, begins: bool) -> Markup {
        let wrong = self.wrong(Some(at), key);
        let is_first = begins || self.first_wrong() == Some((Some(at), key));
        let id = format!("{key}-{at}");
        let told = format!("{id}-wrong");
        let is_understood = self.lines.get(at).is_some_and(Option::is_some);
        let about = if is_understood {
            format!("{told} understood-{at}")
        } else {
            told.clone()
        };
        html! {
            div class=(format!("of-{key}")) {
                label for=(id) { (words::named("plan-field", key)) }
                input id=(id) name=(key) type="text" value=(value) autocapitalize="off" spellcheck="false" autofocus[is_first]
                    aria-invalid=[(!wrong.is_empty()).then_some("true")] aria-describedby=(about);
                (refusals(&told, &wrong))
            }
        }
    }

    fn choice(
        &self,
        at: usize,
        key: &'static str,
        value: &str,
        all: &[(&'static str, String)],
    ) -> Markup {
        let wrong = self.wrong(Some(at), key);
        let id = format!("{key}-{at}");
        let told = format!("{id}-wrong");
        html! {
            div class=(format!("of-{key}")) {
                label for=(id) { (words::named("plan-field", key)) }
                select id=(id) name=(key) aria-describedby=(told) aria-invalid=[(!wrong.is_empty()).then_some("true")] {
                    @for (index, (code, name)) in all.iter().enumerate() {
                        // The first is what is usual, and is left out.
                        @let code = if index == 0 { "" } else { *code };
                        option value=(code) selected[code == value] { (name) }
                    }
                }
                (refusals(&told, &wrong))
            }
        }
    }
}

fn refusals(id: &str, wrong: &[&Mistake]) -> Markup {
    html! {
        span id=(id) role="alert" { @for one in wrong { span class="refusal" { (said(one)) } } }
    }
}

fn said(mistake: &Mistake) -> String {
    let error = workshop::Error::Input(mistake.why.clone());
    report::sentence(&words::error_on_page(&error))
}

fn units() -> Choices {
    ["mm", "in"].map(|unit| (unit, unit.to_owned())).to_vec()
}

/// Each code with its word.
fn words_of(subject: &str, codes: impl Iterator<Item = &'static str>) -> Choices {
    codes
        .map(|code| (code, words::named(subject, code)))
        .collect()
}
