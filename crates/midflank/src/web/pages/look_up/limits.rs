//! Limits of a thread; of a taper thread its diameters at the planes that the standard names.

use maud::{Markup, html};
use metrology::designation;
use metrology::limits::Taper;
use metrology::units::{Length, LengthUnit};

use crate::bench::words;
use crate::failure::Failure;
use crate::report::limits::both_units;
use crate::say;
use crate::words::{self as all_words, number};

pub fn of(text: &str) -> Result<Markup, Failure> {
    let thread = designation::parse(text)
        .and_then(|thread| thread.limits())
        .map_err(|error| Failure::refused(&error))?;
    Ok(html! {
        h2 { (thread.designation) " " span class="soft" { (all_words::word(&thread.kind)) } }
        @match &thread.taper {
            // A taper thread has its diameters at planes, and no limits of size.
            Some(taper) => { (planes(taper, thread.unit)) (planes(taper, thread.unit.other())) }
            None => div class="wide" tabindex="0" { (both_units(&thread)) },
        }
        @for taken in thread.assumed.iter() { p class="soft" { (words::assumed(taken)) } }
        p class="soft" { (words::by(&thread.sources)) }
    })
}

fn planes(taper: &Taper, unit: LengthUnit) -> Markup {
    let decimals = if unit == LengthUnit::Inch { 5 } else { 4 };
    let text = |length: Length| number::rounded(length, unit, decimals);
    html! {
        div class="wide" tabindex="0" role="region" aria-label=(say!("bench.limits")) {
            table aria-label=(say!("bench.limits")) {
                thead { tr {
                    th scope="col" { (say!("limits-table.at", unit = unit)) }
                    th scope="col" class="number" { (say!("limits-table.from-end")) }
                    th scope="col" class="number" { (say!("limits-table.pitch-diameter")) }
                    th scope="col" class="number" { (say!("limits-table.major")) }
                    th scope="col" class="number" { (say!("limits-table.minor")) }
                } }
                tbody {
                    @for position in &taper.positions {
                        tr {
                            th scope="row" { (all_words::word(&position.name)) }
                            td class="number" { (text(position.at)) }
                            td class="number" { (text(position.pitch_diameter)) @if let Some(off) = position.tolerance { " ± " (text(off)) } }
                            td class="number" { (text(position.major)) }
                            td class="number" { (text(position.minor)) }
                        }
                    }
                }
            }
        }
    }
}
