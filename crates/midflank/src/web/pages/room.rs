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

use super::{ROOM, gauge_room_page};
use crate::bench::words as bench_words;
use crate::clock;
use crate::failure::Failure;
use crate::report::sentence;
use crate::say;
use crate::web::app::App;
use crate::web::chart::{self, Level};
use crate::web::words as own_words;
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

/// Days that are shown.
const DAYS: i64 = 30;
/// Values on a chart, and in a table, the latest.
const ON_CHART: usize = 100;
const IN_TABLE: usize = 20;

pub fn page(app: &App, typed: &Typed, wrong: Option<&str>) -> Result<Markup, Failure> {
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
        @if let Some(wrong) = wrong { p class="refusal" role="alert" { (sentence(wrong)) } }
        (forms(app, typed)?)
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
                table {
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
            table {
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

fn forms(app: &App, typed: &Typed) -> Result<Markup, Failure> {
    let books = app.books()?;
    let person = match typed.person.as_str() {
        "" => books.last_person.clone().unwrap_or_default(),
        person => person.to_owned(),
    };
    let needed = own_words::needed_mark();
    let field = |form: &str, name: &'static str, label: &str, value: &str, must: bool| {
        let id = format!("{form}-{name}");
        html! {
            div {
                label for=(id) { (label) @if must { " (" (needed) ")" } }
                input id=(id) name=(name) type="text" value=(value) aria-required=[must.then_some("true")];
            }
        }
    };
    let common = |form: &str| {
        html! {
            (field(form, "thermometer", say!("room.thermometer"), &typed.thermometer, true))
            (field(form, "person", bench_words::person(), &person, true))
        }
    };
    Ok(html! {
        h2 { (say!("room.by-hand")) }
        form class="describe" method="post" action="/room" autocomplete="off" {
            input type="hidden" name="token" value=(app.token);
            div class="fields" {
                (field("hand", "celsius", say!("room.celsius"), &typed.celsius, true))
                (field("hand", "humidity", say!("room.humidity"), &typed.humidity, false))
                (field("hand", "at", say!("room.time"), &typed.at, false))
                (common("hand"))
            }
            p { button { (say!("room.record")) } }
        }
        h2 { (say!("room.import")) }
        form class="describe" method="post" action="/room" autocomplete="off" {
            input type="hidden" name="token" value=(app.token);
            div class="fields" {
                (field("log", "file", say!("room.file"), &typed.file, true))
                (common("log"))
            }
            div class="job-text" {
                label for="log-text" { (say!("room.log")) " (" (needed) ")" }
                textarea id="log-text" name="log" rows="8" spellcheck="false" aria-required="true" { (typed.log) }
            }
            p { button { (say!("room.record")) } }
        }
    })
}
