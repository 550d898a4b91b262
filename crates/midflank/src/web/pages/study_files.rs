//! Studies computed from a file of readings: the form with what each needs, and what was found.

use std::collections::BTreeMap;

use maud::{Markup, html};
use metrology::units::LengthUnit;
use sha2::{Digest as _, Sha256};

use super::field::{Fault, Field, above, checked};
use super::history::address;
use super::{STUDIES, gauge_room_page};
use crate::report::sheet::study::{StudyName, StudySheet};
use crate::say;
use crate::web::app::App;
use crate::words;

/// Where they are computed.
pub const ADDRESS: &str = "study-files";
/// The most readings that are taken on a page, in bytes: thousands of rows.
pub const LARGEST: usize = 250_000;
/// The field with the readings as text.
pub const READINGS: &str = "readings";

/// In the order in which they are offered.
pub const OF_FILES: [StudyName; 11] = [
    StudyName::Repeatability,
    StudyName::Type1,
    StudyName::Bias,
    StudyName::Linearity,
    StudyName::Stability,
    StudyName::Agreement,
    StudyName::Comparison,
    StudyName::Capability,
    StudyName::Chart,
    StudyName::Summary,
    StudyName::OneWay,
];

metrology::codes! {
    /// What a study is told beside its readings.
    pub enum Setting "study-setting" {
        Unit "unit",
        Tolerance "tolerance",
        Reference "reference",
        Method "method",
        Design "design",
        Alpha "alpha",
        PartOfTolerance "part-of-tolerance",
        Spread "spread",
        Lower "lower",
        Upper "upper",
        StandardUncertainty "standard-uncertainty",
        Confidence "confidence",
        Coverage "coverage",
    }
}

impl Setting {
    /// What it is where nobody says otherwise; as the command has it.
    pub const fn usual(self) -> &'static str {
        match self {
            Self::Method => "anova",
            Self::Design => "crossed",
            Self::Alpha => "0.05",
            Self::PartOfTolerance => "20",
            Self::Spread => "6",
            Self::Confidence => "0.95",
            Self::Coverage => "0.99",
            _ => "",
        }
    }

    fn help(self) -> &'static str {
        match self {
            Self::Unit => say!("study-file.unit-help"),
            Self::Tolerance => say!("study-file.tolerance-help"),
            Self::Reference => say!("study-file.reference-help"),
            Self::Method => say!("study-file.method-help"),
            Self::Design => say!("study-file.design-help"),
            Self::Alpha => say!("study-file.alpha-help"),
            Self::PartOfTolerance => say!("study-file.part-of-tolerance-help"),
            Self::Spread => say!("study-file.spread-help"),
            Self::Lower | Self::Upper => say!("study-file.limit-help"),
            Self::StandardUncertainty => say!("study-file.standard-uncertainty-help"),
            Self::Confidence => say!("study-file.confidence-help"),
            Self::Coverage => say!("study-file.coverage-help"),
        }
    }

    /// What there is to choose from, where it is not typed.
    fn choices(self) -> Option<Vec<(&'static str, String)>> {
        let named = |of: &str, keys: &[&'static str]| -> Vec<(&'static str, String)> {
            let keys = keys.iter();
            keys.map(|key| (*key, words::named(of, key))).collect()
        };
        match self {
            Self::Unit => {
                let units = [
                    LengthUnit::Millimetre,
                    LengthUnit::Micrometre,
                    LengthUnit::Inch,
                    LengthUnit::Microinch,
                ];
                let unsaid = ("", say!("study-file.unit-unsaid").to_owned());
                let units = units.map(|unit| (unit.symbol(), unit.symbol().to_owned()));
                Some([unsaid].into_iter().chain(units).collect())
            }
            Self::Method => Some(named("study-method", &["anova", "range"])),
            Self::Design => Some(named("study-design", &["crossed", "nested"])),
            _ => None,
        }
    }
}

/// What the form says. Every field is text, so that a wrong one can be shown again.
#[derive(Debug, Default)]
pub struct Typed {
    /// What the file is called; empty of readings that were typed.
    pub name: String,
    pub readings: String,
    pub settings: BTreeMap<Setting, String>,
}

impl Typed {
    /// What was said of a setting.
    pub fn of(&self, setting: Setting) -> &str {
        let said = self.settings.get(&setting);
        said.map_or_else(|| setting.usual(), String::as_str)
    }

    /// What the readings are called.
    pub fn name(&self) -> &str {
        match self.name.as_str() {
            "" => say!("study-file.typed"),
            name => name,
        }
    }
}

/// The settings of a study in their order.
pub const fn settings(study: StudyName) -> &'static [Setting] {
    use Setting::{
        Alpha, Confidence, Coverage, Design, Lower, Method, PartOfTolerance, Reference, Spread,
        StandardUncertainty, Tolerance, Unit, Upper,
    };
    match study {
        StudyName::Repeatability => &[Tolerance, Method, Design, Alpha, Unit],
        StudyName::Type1 => &[Reference, Tolerance, PartOfTolerance, Spread, Unit],
        StudyName::Bias => &[Reference, Confidence, Unit],
        StudyName::Linearity => &[Confidence, Unit],
        StudyName::Capability => &[
            Lower,
            Upper,
            StandardUncertainty,
            Confidence,
            Coverage,
            Unit,
        ],
        StudyName::Agreement => &[],
        _ => &[Unit],
    }
}

/// The beginning of a file, with the columns that are needed; another one or two may stand in it.
const fn example(study: StudyName) -> &'static str {
    match study {
        StudyName::Repeatability | StudyName::Nested => {
            "part,operator,trial,value\n1,Anna,1,8.921\n1,Anna,2,8.922\n1,Ben,1,8.920"
        }
        StudyName::Linearity => "reference,value\n5.000,5.001\n5.000,5.000\n12.500,12.502",
        StudyName::Agreement => {
            "part,rater,rating,reference,trial\n1,Anna,ok,ok,1\n1,Ben,ok,ok,1\n2,Anna,not ok,ok,1"
        }
        StudyName::Comparison => {
            "participant,value,expanded_uncertainty,reference,reference_expanded_uncertainty\nbench 1,8.921,0.004,8.923,0.002\nbench 2,8.930,0.004,8.923,0.002"
        }
        StudyName::Capability | StudyName::Chart => {
            "value,subgroup\n8.921,1\n8.924,1\n8.922,2\n8.925,2"
        }
        StudyName::OneWay => "group,value\nA,8.921\nA,8.924\nB,8.925\nB,8.927",
        StudyName::Stability => "date,value\n2026-03-02,8.921\n2026-03-09,8.922\n2026-03-16,8.920",
        _ => "value\n8.921\n8.922\n8.920",
    }
}

/// What a study answers.
fn what_it_is(study: StudyName) -> &'static str {
    match study {
        StudyName::Repeatability | StudyName::Nested => say!("study-file.is-repeatability"),
        StudyName::Type1 => say!("study-file.is-type-1"),
        StudyName::Bias => say!("study-file.is-bias"),
        StudyName::Linearity => say!("study-file.is-linearity"),
        StudyName::Stability => say!("study-file.is-stability"),
        StudyName::Agreement => say!("study-file.is-agreement"),
        StudyName::Comparison => say!("study-file.is-comparison"),
        StudyName::Capability | StudyName::Recorded => say!("study-file.is-capability"),
        StudyName::Chart => say!("study-file.is-chart"),
        StudyName::Summary => say!("study-file.is-summary"),
        StudyName::OneWay => say!("study-file.is-one-way"),
    }
}

/// The ways to all of them.
pub fn offered() -> Markup {
    let heads = [say!("study-run.study"), say!("study-file.answers")];
    html! {
        div class="wide" tabindex="0" role="region" aria-label=(say!("study-run.from-file")) {
            table class="cards" aria-label=(say!("study-run.from-file")) {
                thead { tr { @for head in heads { th scope="col" { (head) } } } }
                tbody { @for study in OF_FILES { tr {
                    td data-head=(heads[0]) { a href=(address(ADDRESS, study.key())) { (words::word(&study)) } }
                    td data-head=(heads[1]) { (what_it_is(study)) }
                } } }
            }
        }
    }
}

pub fn too_large() -> String {
    say!("study-file.too-large", limit = LARGEST / 1_000)
}

pub fn page(
    app: &App,
    study: StudyName,
    typed: &Typed,
    wrong: Option<&str>,
    faults: &[Fault],
    found: Option<&StudySheet>,
) -> Markup {
    let title = words::word(&study);
    let content = html! {
        h1 { (title) }
        p { (what_it_is(study)) }
        @if let Some(sheet) = found { (result(sheet)) }
        section aria-labelledby="from-file" {
            h2 id="from-file" { (say!("study-file.form")) }
            p class="soft" { (say!("study-file.form-long")) }
            pre translate="no" tabindex="0" { (example(study)) }
            (above(wrong, faults.len()))
            (form(app, study, typed, faults))
        }
        p { a href=(STUDIES) { (say!("study-run.back")) } }
    };
    gauge_room_page(&title, STUDIES, &content)
}

/// The SHA-256 of readings as a form sends them, with one kind of line break and none at the end, in hexadecimal.
pub fn digest(readings: &[u8]) -> String {
    let text = String::from_utf8_lossy(readings).replace("\r\n", "\n");
    ledger::Hash::from_bytes(Sha256::digest(text.trim_end()).into()).to_string()
}

/// What was found.
pub fn result(sheet: &StudySheet) -> Markup {
    html! {
        section aria-labelledby="found" class="found" {
            h2 id="found" tabindex="-1" autofocus { (say!("study-file.found", of = sheet.of)) }
            (sheet.found())
            p class="soft" { (say!("study-file.no-record")) }
        }
    }
}

fn form(app: &App, study: StudyName, typed: &Typed, faults: &[Fault]) -> Markup {
    let of_study = address(ADDRESS, study.key());
    let to_pdf = format!("{of_study}/sheet.pdf");
    let file = checked("file", say!("study-file.file"), faults);
    let readings = Field {
        help: Some(html! { (say!("study-file.readings-help")) }),
        ..checked(READINGS, say!("study-file.readings"), faults)
    };
    html! {
        form class="describe" method="post" action=(of_study) enctype="multipart/form-data" autocomplete="off" {
            input type="hidden" name="token" value=(app.token);
            input type="hidden" name="name" value=(typed.name);
            input type="hidden" name="digest" value=(digest(typed.readings.as_bytes()));
            div class="fields" {
                @for setting in settings(study) {
                    @let label = words::word(setting);
                    @let needed = matches!((study, setting), (StudyName::Type1 | StudyName::Bias, Setting::Reference) | (StudyName::Type1, Setting::Tolerance));
                    @let field = Field { needed, help: Some(html! { (setting.help()) }), ..checked(setting.key(), &label, faults) };
                    div { @match setting.choices() {
                        Some(choices) => (field.choice(choices, typed.of(*setting))),
                        None => (field.line(typed.of(*setting))),
                    } }
                }
            }
            div class="stacked" { (file.file(".csv,text/csv")) }
            div class="stacked" { (readings.lines(&typed.readings, 8)) }
            p class="actions" {
                button { (say!("study-file.compute")) } " "
                button formaction=(to_pdf) { (say!("study-file.as-pdf")) }
            }
        }
    }
}
