//! Limits looked up without leaving the job. Other tables join here.

use maud::{Markup, html};
use metrology::designation;

use crate::bench::words;
use crate::report::limits::both_units;

/// Limits of a designation, in both units; how to ask, where none was written.
pub fn limits(text: &str) -> Markup {
    html! {
        section class="details looked-up" role="status" aria-label=(words::LOOKED_UP) {
            @if text.is_empty() { p { (words::NO_TABLE_YET) "." } } @else {
                @match designation::parse(text).and_then(|thread| thread.limits()) {
                    Ok(thread) => {
                        h2 { (thread.designation) " " span class="soft" { (thread.kind.key()) } }
                        (both_units(&thread))
                        @for note in thread.assumed.iter() { p class="soft" { (words::ASSUMED) " " (note) "." } }
                        p class="soft" { (words::BY) " " (thread.sources.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")) "." }
                    }
                    Err(error) => p class="refusal" { (error) }
                }
            }
        }
    }
}
