//! What is looked up without leaving the job: the answer first and short, in both units; the rest on request.

mod gauges;
mod identify;
mod limits;
mod wires;

use maud::{Markup, html};

use crate::bench::{LookUp, words};
use crate::report::sentence;
use crate::say;

/// What was asked for; how to ask, where nothing was written.
pub fn shown(wanted: &LookUp) -> Markup {
    let (LookUp::Limits(text)
    | LookUp::Wires(text)
    | LookUp::Gauges(text)
    | LookUp::Identify(text)) = wanted;
    let answer = match wanted {
        _ if text.is_empty() => Ok(html! { p { (sentence(words::how_to_look_up())) } }),
        LookUp::Limits(text) => limits::of(text),
        LookUp::Wires(text) => wires::of(text),
        LookUp::Gauges(text) => gauges::of(text),
        LookUp::Identify(text) => identify::of(text),
    };
    html! {
        section class="details looked-up" role="status" aria-label=(words::looked_up()) {
            @match answer {
                Ok(answer) => (answer),
                Err(wrong) => p class="refusal" { (sentence(&wrong.to_string())) },
            }
        }
    }
}

/// What a reader may want to know beside the answer.
fn more(content: &Markup) -> Markup {
    html! { details { summary { (say!("page.more")) } (content) } }
}

/// Notes, one a line.
fn notes(notes: &[String]) -> Markup {
    html! { @for note in notes { p class="soft" { (sentence(note)) } } }
}
