//! Capability and control chart of what is on record: the form that chooses the records, and what was found.

use std::collections::BTreeMap;

use ledger::{Order, Page, Text};
use maud::{Markup, html};
use serde::Deserialize;
use workshop::on_record;
use workshop::process_on_record::Selection;
use workshop::record_kind::RecordKind;

use super::field::{Fault, Field, above, checked};
use super::history::encoded;
use super::study_files::result;
use super::{STUDIES, gauge_room_page};
use crate::failure::Failure;
use crate::report::sheet::study::StudySheet;
use crate::say;
use crate::web::app::App;
use crate::web::words as own_words;

/// Where it is shown.
pub const ADDRESS: &str = "/process";
/// So many of the latest results are looked through for what there is to choose from.
const LATEST: u32 = 1_000;

/// Which records are asked for. Every field is text, so that a wrong one can be shown again.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Asked {
    pub part: String,
    pub lot: String,
    pub characteristic: String,
    pub number: String,
    pub subgroup: String,
}

impl Asked {
    fn fields(&self) -> [(&'static str, &str); 5] {
        [
            ("part", &self.part),
            ("lot", &self.lot),
            ("characteristic", &self.characteristic),
            ("number", &self.number),
            ("subgroup", &self.subgroup),
        ]
    }

    /// Whether nothing is asked for.
    pub fn is_empty(&self) -> bool {
        self.fields().iter().all(|(_, text)| text.trim().is_empty())
    }

    /// The address that asks the same.
    pub fn address(&self, of: &str) -> String {
        let fields = self.fields().into_iter();
        let said = fields.filter(|(_, text)| !text.trim().is_empty());
        let pairs = said.map(|(field, text)| format!("{field}={}", encoded(text)));
        let pairs: Vec<String> = pairs.collect();
        format!("{of}?{}", pairs.join("&"))
    }
}

pub fn page(
    app: &App,
    asked: &Asked,
    wrong: Option<&str>,
    faults: &[Fault],
    found: Option<&StudySheet>,
) -> Result<Markup, Failure> {
    let title = say!("process-page.title");
    let content = html! {
        h1 { (title) }
        p { (say!("process-page.long")) }
        @if let Some(sheet) = found {
            p class="actions" { a class="action" href=(asked.address("/process/sheet.pdf")) data-key=(own_words::PDF_KEY) { (own_words::report_as_pdf(own_words::PDF_KEY)) } }
            (result(sheet))
        }
        (above(wrong, faults.len()))
        (form(asked, faults))
        @if found.is_none() { (lately(app)?) }
        p { a href=(STUDIES) { (say!("study-run.back")) } }
    };
    Ok(gauge_room_page(title, STUDIES, &content))
}

fn form(asked: &Asked, faults: &[Fault]) -> Markup {
    let texts = [
        (say!("process-page.part"), say!("process-page.part-help")),
        (say!("process-page.lot"), say!("process-page.lot-help")),
        (
            say!("process-page.characteristic"),
            say!("process-page.characteristic-help"),
        ),
        (
            say!("process-page.number"),
            say!("process-page.number-help"),
        ),
        (
            say!("process-page.subgroup"),
            say!("process-page.subgroup-help"),
        ),
    ];
    html! {
        form class="describe" method="get" action=(ADDRESS) autocomplete="off" {
            div class="fields" { @for ((key, value), (label, help)) in asked.fields().into_iter().zip(texts) {
                div { (Field { help: Some(html! { (help) }), ..checked(key, label, faults) }.line(value)) }
            } }
            p { button { (say!("process-page.show")) } }
        }
    }
}

/// What is asked for by the names of the latest results, where they differ in nothing but capital letters, blanks, commas and
/// dashes: the history writes `M10x1.5-6g, pitch diameter`.
pub fn as_recorded(app: &App, asked: &Selection) -> Result<Selection, Failure> {
    let latest = Page::first(Order::NewestFirst, LATEST);
    let listing = on_record::page(&app.ledger, &RecordKind::Inspection.standing(), &latest)?;
    let plain = |text: &str| -> String {
        let text = text.chars().filter(|c| c.is_alphanumeric() || *c == '.');
        text.flat_map(char::to_lowercase).collect()
    };
    let known = |of: Text, text: &Option<String>| {
        let wanted = plain(text.as_deref()?);
        let facts = listing
            .entries
            .iter()
            .filter_map(|known| known.facts.as_ref());
        let mut names = facts.filter_map(|facts| facts.text(of));
        let known = names.find(|name| plain(name) == wanted).map(str::to_owned);
        known.or_else(|| text.clone())
    };
    Ok(Selection {
        part: known(Text::Part, &asked.part),
        lot: known(Text::Lot, &asked.lot),
        characteristic: known(Text::Characteristic, &asked.characteristic),
        ..asked.clone()
    })
}

/// What was measured lately, each with the way to its chart.
fn lately(app: &App) -> Result<Markup, Failure> {
    let latest = Page::first(Order::NewestFirst, LATEST);
    let listing = on_record::page(&app.ledger, &RecordKind::Inspection.standing(), &latest)?;
    let mut counts: BTreeMap<(String, String), usize> = BTreeMap::new();
    for known in &listing.entries {
        let Some(facts) = &known.facts else { continue };
        let text = |fact| facts.text(fact).unwrap_or_default().to_owned();
        let of = (text(Text::Part), text(Text::Characteristic));
        *counts.entry(of).or_default() += 1;
    }
    let title = say!("process-page.lately");
    let heads = [
        say!("process-page.part"),
        say!("process-page.characteristic"),
        say!("process-page.n"),
    ];
    Ok(html! {
        @if !counts.is_empty() { section aria-labelledby="lately" {
            h2 id="lately" { (title) }
            div class="wide" tabindex="0" role="region" aria-label=(title) {
                table class="cards" aria-label=(title) {
                    thead { tr { @for (at, head) in heads.iter().enumerate() { th scope="col" class=[(at == 2).then_some("number")] { (head) } } } }
                    tbody { @for ((part, characteristic), n) in &counts { tr {
                        @let asked = Asked { part: part.clone(), characteristic: characteristic.clone(), ..Asked::default() };
                        td data-head=(heads[0]) translate="no" { (part) }
                        td data-head=(heads[1]) translate="no" { a href=(asked.address(ADDRESS)) { (characteristic) } }
                        td class="number" data-head=(heads[2]) { (n) }
                    } } }
                }
            }
        } }
    })
}
