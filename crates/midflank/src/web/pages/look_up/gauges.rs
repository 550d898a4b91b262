//! Limit gauges for a thread: one table, what stands behind it on request.

use maud::{Markup, html};
use metrology::designation;
use metrology::gauges::{Gauge, GaugeSet, gauges};
use metrology::limits::Limits;
use metrology::units::Length;

use super::{more, notes};
use crate::failure::Failure;
use crate::report::gauges::{form_errors, text};
use crate::report::limits::assumed;
use crate::say;
use crate::words;

pub fn of(text: &str) -> Result<Markup, Failure> {
    let thread = designation::parse(text)
        .and_then(|thread| thread.limits())
        .map_err(|error| Failure::refused(&error))?;
    let set = gauges(&thread, None).map_err(|error| Failure::refused(&error))?;
    let mut said: Vec<String> = assumed(&set.assumed).collect();
    said.extend(words::all_said(&set.notes));
    said.push(say!(
        "gauges.confidence",
        confidence = words::word(&set.confidence)
    ));
    Ok(html! {
        h2 { (set.designation) " " span class="soft" { (say!("page.limit-gauges")) } }
        (table(&set))
        (more(&html! {
            dl {
                @for gauge in &set.gauges {
                    dt { (words::word(&gauge.name)) " " span class="soft" { (gauge.standard) } }
                    dd {
                        (words::word(&gauge.direction))
                        @if let Some(errors) = form_errors(gauge, set.unit) { "; " (errors) }
                    }
                }
            }
            (notes(&said))
        }))
    })
}

/// One diameter of a gauge, with where wear ends its life.
struct Row<'a> {
    gauge: &'a Gauge,
    /// So many rows begin here with the name of the gauge.
    first_of: usize,
    diameter: &'static str,
    limits: Limits,
    worn: Option<Length>,
}

fn rows(set: &GaugeSet) -> Vec<Row<'_>> {
    let mut rows = Vec::new();
    for gauge in &set.gauges {
        let diameters = [
            (say!("gauges.diameter"), gauge.diameter, None),
            (say!("limits.major"), gauge.major, None),
            (say!("limits.pitch"), gauge.pitch_diameter, gauge.wear_limit),
            (say!("limits.minor"), gauge.minor, None),
        ];
        let known = || {
            diameters
                .iter()
                .filter(|(_, limits, _)| *limits != Limits::default())
        };
        for (index, (diameter, limits, worn)) in known().enumerate() {
            rows.push(Row {
                gauge,
                first_of: if index == 0 { known().count() } else { 0 },
                diameter,
                limits: *limits,
                worn: *worn,
            });
        }
    }
    rows
}

fn table(set: &GaugeSet) -> Markup {
    let own = set.unit;
    let units = [own, own.other()];
    let rows = rows(set);
    let wears = rows.iter().any(|row| row.worn.is_some());
    html! {
        div class="wide" tabindex="0" role="region" aria-label=(say!("page.limit-gauges")) {
            table aria-label=(say!("page.limit-gauges")) {
                thead { tr {
                    th scope="col" { (say!("page.gauge")) } th scope="col" {}
                    @for unit in units {
                        th scope="col" class="number" { (say!("limits.least-in", unit = unit)) } th scope="col" class="number" { (say!("limits.most-in", unit = unit)) }
                    }
                    @if wears { th scope="col" class="number" { (say!("page.worn-at", unit = own)) } }
                } }
                tbody {
                    @for row in &rows {
                        tr {
                            @if row.first_of > 0 { th scope="rowgroup" rowspan=(row.first_of) { (words::word(&row.gauge.name)) } }
                            td { (row.diameter) }
                            @for unit in units {
                                td class="number" { (text(row.limits.lower, unit, own)) } td class="number" { (text(row.limits.upper, unit, own)) }
                            }
                            @if wears { td class="number" { @if row.worn.is_some() { (text(row.worn, own, own)) } } }
                        }
                    }
                }
            }
        }
        p class="soft" { (standards(set)) }
    }
}

/// By which standards, each once.
fn standards(set: &GaugeSet) -> String {
    let mut by: Vec<&str> = set
        .gauges
        .iter()
        .map(|gauge| gauge.standard.as_str())
        .collect();
    by.dedup();
    by.join(", ")
}
