//! Tables looked up without leaving the job, in both units.

use maud::{Markup, html};
use metrology::designation;
use metrology::gauges::gauges;

use crate::bench::{LookUp, words};
use crate::failure::Failure;
use crate::look_up::{identify, wires};
use crate::report::gauges::table;
use crate::report::limits::{self, both_units};
use crate::report::sentence;

/// Columns of what the command line writes as well.
const WIDTH: usize = 72;

/// What was asked for; how to ask, where nothing was written.
pub fn shown(wanted: &LookUp) -> Markup {
    let (LookUp::Limits(text)
    | LookUp::Wires(text)
    | LookUp::Gauges(text)
    | LookUp::Identify(text)) = wanted;
    html! {
        section class="details looked-up" role="status" aria-label=(words::looked_up()) {
            @if text.is_empty() { p { (sentence(words::how_to_look_up())) } } @else {
                @match wanted {
                    LookUp::Limits(text) => (limits_of(text)),
                    LookUp::Wires(text) => (tables(wires::cards(text, WIDTH))),
                    LookUp::Gauges(text) => (tables(gauge_tables(text))),
                    LookUp::Identify(text) => (tables(identified(text))),
                }
            }
        }
    }
}

fn limits_of(text: &str) -> Markup {
    html! {
        @match designation::parse(text).and_then(|thread| thread.limits()) {
            Ok(thread) => {
                h2 { (thread.designation) " " span class="soft" { (crate::words::word(&thread.kind)) } }
                @match &thread.taper {
                    // A taper thread has its diameters at planes, and no limits of size.
                    Some(_) => pre tabindex="0" { (limits::table(&thread, None, WIDTH)) },
                    None => (both_units(&thread)),
                }
                @for taken in thread.assumed.iter() { p class="soft" { (words::assumed(taken)) } }
                p class="soft" { (words::by(&thread.sources)) }
            }
            Err(error) => p class="refusal" { (crate::words::said(&error)) }
        }
    }
}

/// Tables of the command line as they are; they scroll by themselves where the page is narrow.
fn tables(answer: Result<Vec<String>, Failure>) -> Markup {
    html! {
        @match answer {
            Ok(tables) => @for table in tables { pre tabindex="0" { (table) } },
            Err(wrong) => p class="refusal" { (wrong) }
        }
    }
}

fn gauge_tables(text: &str) -> Result<Vec<String>, Failure> {
    let thread = designation::parse(text)
        .and_then(|thread| thread.limits())
        .map_err(|error| Failure::refused(&error))?;
    let set = gauges(&thread, None).map_err(|error| Failure::refused(&error))?;
    Ok([set.unit, set.unit.other()]
        .into_iter()
        .map(|unit| table(&set, Some(unit), WIDTH))
        .collect())
}

/// `7.9mm 1.25mm`, `7.9 mm 1.25 mm`, `0.247in 20tpi`.
fn identified(text: &str) -> Result<Vec<String>, Failure> {
    let joined = [" mm", " in", " tpi"]
        .into_iter()
        .fold(text.to_lowercase(), |text, unit| {
            text.replace(unit, unit.trim_start())
        });
    let mut sizes = joined.split_whitespace();
    let (Some(major), Some(pitch), None) = (sizes.next(), sizes.next(), sizes.next()) else {
        return Err(Failure::input(words::pitch_wanted()));
    };
    identify::by_major_and_pitch(major, pitch, WIDTH).map(|answer| vec![answer])
}
