//! The room: what thermometers showed, what plans ask of it, and the forms for the next values.

use jiff::{SignedDuration, Timestamp};
use maud::{Markup, html};
use metrology::message::Value;
use metrology::units::LengthUnit;
use serde::Deserialize;
use workshop::gauge_record::check::RoomValue;
use workshop::lots;
use workshop::room_on_record::RoomRecord;
use workshop::station;

use super::field::{Fault, Field, above, checked, person};
use super::{ROOM, gauge_room_page};
use crate::bench::words as bench_words;
use crate::clock;
use crate::failure::Failure;
use crate::report::sentence;
use crate::say;
use crate::web::app::App;
use crate::web::chart::{self, Level};
use crate::words::{self, Shown, number};

/// What the forms say. Every field is text, so that a wrong one can be shown again.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Typed {
    pub token: String,
    pub thermometer: String,
    pub celsius: String,
    pub humidity: String,
    pub at: String,
    pub person: String,
    /// The text of a logger's file, and what it is called; empty where values are read by hand.
    pub log: String,
    pub file: String,
}

impl Typed {
    /// Whether the file of a logger was given, and not values read by hand.
    pub fn is_log(&self) -> bool {
        !(self.log.trim().is_empty() && self.file.trim().is_empty())
    }
}

/// Days that are shown.
const DAYS: i64 = 30;
/// Values on a chart, and in a table, the latest.
const ON_CHART: usize = 100;
const IN_TABLE: usize = 20;

pub fn page(
    app: &App,
    typed: &Typed,
    wrong: Option<&str>,
    faults: &[Fault],
) -> Result<Markup, Failure> {
    let now = clock::now()?;
    let since = now.checked_sub(SignedDuration::from_hours(24 * DAYS)).ok();
    let record = RoomRecord::since(&app.ledger, since)?;
    let title = say!("room.page");
    let shown: Vec<Markup> = record
        .thermometers()
        .filter(|(_, values)| !values.is_empty())
        .map(|(thermometer, values)| charted(thermometer, values))
        .collect();
    let content = html! {
        h1 { (title) }
        p { (say!("room.page-long")) }
        @if shown.is_empty() { p class="soft" { (say!("room.none")) } }
        @for thermometer in &shown { (thermometer) }
        (plans(app, &record, now)?)
        (forms(app, typed, wrong, faults)?)
    };
    Ok(gauge_room_page(title, ROOM, &content))
}

fn charted(thermometer: &str, values: &[RoomValue]) -> Markup {
    let latest = |count: usize| {
        let from = values.len().saturating_sub(count);
        values.get(from..).unwrap_or_default()
    };
    let on_chart = latest(ON_CHART);
    let celsius: Vec<f64> = on_chart.iter().map(|value| value.celsius).collect();
    let show = |value: f64| number::celsius(value, 1);
    let day = |index: usize| {
        let value = on_chart.get(index);
        value.map_or_else(String::new, |value| station::day(value.at).to_string())
    };
    let level = |at: f64, name: &'static str| Level {
        at,
        over: None,
        name,
        class: "mean",
    };
    let levels = [
        level(
            celsius.iter().copied().fold(f64::NEG_INFINITY, f64::max),
            say!("room.highest"),
        ),
        level(
            celsius.iter().copied().fold(f64::INFINITY, f64::min),
            say!("room.lowest"),
        ),
    ];
    let title = format!("{} {thermometer}", say!("room.thermometer"));
    html! {
        section {
            h2 { (say!("room.thermometer")) " " span translate="no" { (thermometer) } }
            // One value alone, or always the same, is no curve.
            @if celsius.iter().any(|value| Some(value) != celsius.first()) {
                (chart::run(&title, &celsius, &levels, &[], &[], show, day))
            }
            div class="wide" tabindex="0" role="region" aria-label=(title) {
                table aria-label=(title) {
                    thead { tr {
                        th scope="col" { (bench_words::when()) }
                        th scope="col" class="number" { (say!("room.temperature")) }
                        th scope="col" class="number" { (say!("room.humidity-of-air")) }
                    } }
                    tbody { @for value in latest(IN_TABLE).iter().rev() { tr {
                        td class="when" { (number::on_the_wall(value.at)) }
                        td class="number" { (number::celsius(value.celsius, 2)) }
                        td class="number" { @match value.humidity { Some(humidity) => (humid(humidity)), None => "–" } }
                    } } }
                }
            }
        }
    }
}

fn humid(percent: f64) -> String {
    words::value(
        &Value::Percent(percent),
        Shown::in_unit(LengthUnit::Millimetre),
    )
}

/// The plans that limit the room, and how the room is for them now.
fn plans(app: &App, record: &RoomRecord, now: Timestamp) -> Result<Markup, Failure> {
    let kept = lots::plans(&app.ledger)?;
    let limited: Vec<_> = kept
        .iter()
        .filter_map(|kept| Some((kept.plan.name(), kept.plan.room.as_ref()?)))
        .collect();
    if limited.is_empty() {
        return Ok(html! {});
    }
    let title = say!("room.plans");
    Ok(html! {
        h2 { (title) }
        div class="wide" tabindex="0" role="region" aria-label=(title) {
            table aria-label=(title) {
                thead { tr { @for head in [say!("room.plan"), say!("room.limits"), say!("room.now")] { th scope="col" { (head) } } } }
                tbody { @for (name, limits) in &limited { tr {
                    td translate="no" { (name) }
                    td { @for note in limits.notes() { (sentence(&words::value(&note, Shown::in_unit(LengthUnit::Millimetre)))) " " } }
                    td { @match record.note(limits, now) {
                        None => (say!("room.within")),
                        Some(note) => strong class="barred" { (words::said(&note)) },
                    } }
                } } }
            }
        }
    })
}

/// The label of a field, in either form.
pub fn label(name: &str) -> &'static str {
    match name {
        "celsius" => say!("room.celsius"),
        "humidity" => say!("room.humidity"),
        "at" => say!("room.time"),
        "file" => say!("room.file"),
        "log" => say!("room.log"),
        "thermometer" => say!("room.thermometer"),
        _ => bench_words::person(),
    }
}

fn forms(
    app: &App,
    typed: &Typed,
    wrong: Option<&str>,
    faults: &[Fault],
) -> Result<Markup, Failure> {
    let books = app.books()?;
    let person = person(&typed.person, &typed.token, books.last_person.as_deref());
    // What is wrong stands at the form that was sent.
    let of = |form: &str| {
        if typed.is_log() == (form == "log") {
            (wrong, faults)
        } else {
            (None, &[][..])
        }
    };
    let field = |form: &str, name: &'static str, needed: bool| Field {
        id: format!("{form}-{name}"),
        needed,
        ..checked(name, label(name), of(form).1)
    };
    let common = |form: &str| {
        html! {
            div { (field(form, "thermometer", true).line(&typed.thermometer)) }
            div { (field(form, "person", true).line(&person)) }
        }
    };
    let over = |form: &str| above(of(form).0, of(form).1.len());
    Ok(html! {
        h2 { (say!("room.by-hand")) }
        (over("hand"))
        form class="describe" method="post" action="/room" autocomplete="off" {
            input type="hidden" name="token" value=(app.token);
            div class="fields" {
                div { (field("hand", "celsius", true).line(&typed.celsius)) }
                div { (field("hand", "humidity", false).line(&typed.humidity)) }
                div { (field("hand", "at", false).line(&typed.at)) }
                (common("hand"))
            }
            p { button { (say!("room.record")) } }
        }
        h2 { (say!("room.import")) }
        (over("log"))
        form class="describe" method="post" action="/room" autocomplete="off" {
            input type="hidden" name="token" value=(app.token);
            div class="fields" {
                div { (field("log", "file", true).line(&typed.file)) }
                (common("log"))
            }
            div class="job-text" { (field("log", "log", true).lines(&typed.log, 8)) }
            p { button { (say!("room.record")) } }
        }
    })
}
