//! Check parts: each with its set-up on a chart, and the form for the next check.

use jiff::Timestamp;
use maud::{Markup, html};
use metrology::units::LengthUnit;
use serde::Deserialize;
use workshop::checks_on_record::{self, chart_of};
use workshop::gauge_record::check::Check;
use workshop::station;

use super::field::{Fault, Field, above, checked, person};
use super::{CHECKS, gauge_room_page};
use crate::bench::words as bench_words;
use crate::failure::Failure;
use crate::say;
use crate::web::app::App;
use crate::web::chart::{self, Level};
use crate::words::number;

/// What the form says. Every field is text, so that a wrong one can be shown again.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Typed {
    pub token: String,
    pub part: String,
    pub instrument: String,
    pub contacts: String,
    pub readings: String,
    pub person: String,
}

/// Checks on a chart, the latest.
const SHOWN: usize = 100;

pub fn page(
    app: &App,
    typed: &Typed,
    wrong: Option<&str>,
    faults: &[Fault],
) -> Result<Markup, Failure> {
    let checks = checks_on_record::all(&app.ledger, None)?;
    let mut set_ups: Vec<(&str, &str, &str)> = Vec::new();
    for check in &checks {
        let set_up = (&*check.part, &*check.instrument, &*check.contacts);
        if !set_ups.contains(&set_up) {
            set_ups.push(set_up);
        }
    }
    let title = say!("check.page");
    let content = html! {
        h1 { (title) }
        p { (say!("check.page-long")) }
        @if checks.is_empty() { p class="soft" { (say!("check.none")) } }
        @for set_up in set_ups { (charted(&checks, set_up)) }
        h2 id="record" { (say!("check.record")) }
        (above(wrong, faults.len()))
        (form(app, typed, faults)?)
    };
    Ok(gauge_room_page(title, CHECKS, &content))
}

fn charted(checks: &[Check], (part, instrument, contacts): (&str, &str, &str)) -> Markup {
    let of_part = checks.iter().filter(|check| check.part == part);
    let of: Vec<&Check> = of_part
        .filter(|check| check.is_with(instrument, contacts))
        .collect();
    let chart = chart_of(checks, part, instrument, contacts, Timestamp::MAX);
    let left_out = of.len().saturating_sub(SHOWN);
    let shown = of.get(left_out..).unwrap_or_default();
    let means: Vec<f64> = shown.iter().map(|check| check.mean).collect();
    let marked: Vec<usize> = chart
        .signals
        .iter()
        .filter_map(|(at, _)| at.checked_sub(left_out))
        .collect();
    let size = |mm: f64| number::size(mm, LengthUnit::Millimetre);
    let level = |at: f64, name: &'static str, class: &'static str| Level {
        at,
        over: None,
        name,
        class,
    };
    let levels: Vec<Level<'_>> = chart
        .limits
        .iter()
        .flat_map(|limits| {
            [
                level(limits.upper, bench_words::upper_control(), "control"),
                level(limits.mean, bench_words::mean(), "mean"),
                level(limits.lower, bench_words::lower_control(), "control"),
            ]
        })
        .collect();
    let day = |index: usize| {
        let check = shown.get(index);
        check.map_or_else(String::new, |check| {
            station::day(check.measured_at).to_string()
        })
    };
    let verdict = chart.limits.map(|limits| {
        let (lower, upper) = (size(limits.lower), size(limits.upper));
        if chart.out {
            say!("check.out", lower = lower, upper = upper)
        } else {
            say!("check.in", lower = lower, upper = upper)
        }
    });
    let title = format!("{part} · {instrument} · {contacts}");
    html! {
        section {
            h2 translate="no" { (title) }
            @if let Some(last) = shown.last() {
                p {
                    (say!("check.last", at = number::on_the_wall(last.measured_at), value = size(last.mean))) " "
                    @match verdict {
                        Some(verdict) if chart.out => strong class="barred" { (verdict) },
                        Some(verdict) => (verdict),
                        None => (say!("check.no-limits", n = chart.n)),
                    }
                }
            }
            (chart::run(&title, &means, &levels, &marked, &[], size, day))
        }
    }
}

/// The fields of the form in their order, each with its label.
pub fn fields() -> [(&'static str, &'static str); 5] {
    [
        ("part", say!("check.part")),
        ("instrument", bench_words::instrument()),
        ("contacts", say!("check.pair")),
        ("readings", say!("check.readings")),
        ("person", bench_words::person()),
    ]
}

fn form(app: &App, typed: &Typed, faults: &[Fault]) -> Result<Markup, Failure> {
    let books = app.books()?;
    let person = person(&typed.person, &typed.token, books.last_person.as_deref());
    let values = [
        &typed.part,
        &typed.instrument,
        &typed.contacts,
        &typed.readings,
        &person,
    ];
    Ok(html! {
        form class="describe" method="post" action="/checks" autocomplete="off" {
            input type="hidden" name="token" value=(app.token);
            div class="fields" {
                @for ((name, label), value) in fields().into_iter().zip(values) {
                    div { (Field { needed: true, ..checked(name, label, faults) }.line(value)) }
                }
            }
            p { button { (say!("room.record")) } }
        }
    })
}
