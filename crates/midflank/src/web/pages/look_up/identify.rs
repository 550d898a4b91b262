//! Which thread an unknown one is, from its diameter over the crests and its pitch.

use maud::{Markup, html};
use metrology::designation::Kind;
use metrology::identify::Evidence;
use metrology::units::LengthUnit;

use super::{more, notes};
use crate::bench::words as bench_words;
use crate::document::IdentificationDocument;
use crate::failure::Failure;
use crate::look_up::identify;
use crate::report::identify::{first_line, misfit};
use crate::say;
use crate::words::number;

/// `7.9mm 1.25mm`, `7.9 mm 1.25 mm`, `0.247in 20tpi`.
pub fn of(text: &str) -> Result<Markup, Failure> {
    let joined = [" mm", " in", " tpi"]
        .into_iter()
        .fold(text.to_lowercase(), |text, unit| {
            text.replace(unit, unit.trim_start())
        });
    let mut sizes = joined.split_whitespace();
    let (Some(major), Some(pitch), None) = (sizes.next(), sizes.next(), sizes.next()) else {
        return Err(Failure::Input(bench_words::pitch_wanted().to_owned()));
    };
    let (evidence, found) = identify::by_major_and_pitch(major, pitch)?;
    let next = found
        .separating_measurement
        .as_ref()
        .filter(|next| next.in_doubt);
    Ok(html! {
        h2 { (first_line(&evidence, &found)) }
        @if let Some(message) = &found.message { p { (message) } }
        @for miscount in &found.miscounts { p { (miscount.message) } }
        @if let Some(alike) = &found.fit_alike { p { (alike) } }
        (candidates(&evidence, &found))
        @if let Some(next) = next {
            @let [first, second] = &next.between;
            p { strong { (say!("identify.next", what = next.what)) } " " (say!("identify.next-how", first = first, second = second, how = next.how)) }
        }
        (more(&html! { (look_alikes(&found)) p class="soft" { (say!("identify.off-is")) } (notes(&found.assumed)) }))
    })
}

fn candidates(evidence: &Evidence, found: &IdentificationDocument) -> Markup {
    let unit = found.unit;
    let crest = match evidence.kind {
        Kind::External => say!("identify.crest-major", unit = unit),
        Kind::Internal => say!("identify.crest-minor", unit = unit),
    };
    let probability = if found.least_of_several {
        say!("identify.probability-at-least")
    } else {
        say!("identify.probability")
    };
    let decimals = if unit == LengthUnit::Inch { 4 } else { 3 };
    html! {
        div class="wide" tabindex="0" role="region" aria-label=(probability) {
            table aria-label=(probability) {
                thead { tr {
                    th scope="col" { (say!("identify.thread")) }
                    th scope="col" class="number" { (probability) }
                    th scope="col" class="number" { (say!("identify.off")) }
                    th scope="col" class="number" { (say!("identify.pitch")) ", " (unit) }
                    th scope="col" class="number" { (say!("identify.flanks")) }
                    th scope="col" class="number" { (crest) }
                } }
                tbody {
                    @for candidate in &found.candidates {
                        tr {
                            th scope="row" translate="no" { (candidate.designation) }
                            td class="number" { (number::probability(candidate.probability)) }
                            td class="number" { (misfit(candidate.misfit)) }
                            td class="number" { (number::fixed(candidate.pitch, 4)) }
                            td class="number" { (number::short_degrees(candidate.included_angle_deg, 4)) }
                            td class="number" {
                                (say!("report.range-between", least = number::fixed(candidate.crest.0, decimals), most = number::fixed(candidate.crest.1, decimals)))
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Threads that no count of turns tells from the first.
fn look_alikes(found: &IdentificationDocument) -> Markup {
    html! {
        @if let (Some(first), false) = (found.candidates.first(), found.look_alikes.is_empty()) {
            p { (say!("identify.look-alikes", first = first.designation)) }
            ul { @for other in &found.look_alikes { li { (say!("identify.told-by", thread = other.designation, differences = other.told_by)) } } }
            p { (say!("identify.never-force")) }
        }
    }
}
