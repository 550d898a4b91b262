//! Jobs that are parked, at any station.

use maud::{Markup, html};

use super::parts::{Parts, hidden, piece};
use crate::bench::{Command, Step, asked, words};
use crate::web::stations::Parked;
use crate::words::number;

/// Those that can be taken up now; each is a button, and the line to type stands on it.
pub fn to_choose(parts: &Parts) -> Markup {
    html! {
        @if !parts.parked.is_empty() {
            h2 id="parked" { (words::parked_jobs()) }
            form class="choices" method="post" action="/answer" aria-labelledby="parked" {
                (hidden(parts))
                ol {
                    @for job in &parts.parked {
                        @let line = format!("/{} {}", Command::TakeUp.word(), job.last.job);
                        @let (name, measured) = (name(job), characteristic(job));
                        li {
                            button name="line" value=(line) {
                                kbd { (line) } " " strong translate="no" { (name) } " "
                                @if measured != name { span translate="no" { (measured) } " " }
                                @if let Some(piece) = piece(&job.state) { span translate="no" { (piece) } " " }
                                span class="soft" { (how_far(job)) "; " (words::parked_at(&job.last.station, job.last.at)) }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// All of them to read, each with the way to its page, where Enter takes it up.
pub fn table(parked: &[Parked]) -> Markup {
    html! {
        @if !parked.is_empty() {
            h2 { (words::parked_jobs()) }
            div class="wide" tabindex="0" role="region" aria-label=(words::parked_jobs()) {
                table aria-label=(words::parked_jobs()) {
                    thead { tr {
                        @for head in [words::job_label(), &words::when(), words::station(), words::part(), words::characteristic(), words::how_far_label()] { th scope="col" { (head) } }
                    } }
                    tbody {
                        @for job in parked {
                            tr {
                                td { a href=(format!("/job/{}", job.last.job)) { (words::job(job.last.job)) } }
                                td class="when" { (number::on_the_wall(job.last.at)) }
                                td translate="no" { (job.last.station) }
                                td translate="no" { (name(job)) }
                                td translate="no" { (characteristic(job)) }
                                td { (how_far(job)) }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn name(job: &Parked) -> String {
    let state = &job.state;
    let calibrated = state.calibrating().map(crate::bench::calibrating::job);
    let studied = state.studying().map(crate::bench::studying::job);
    let name = state.name.clone().or(calibrated).or(studied);
    name.unwrap_or_else(|| words::new_job().to_owned())
}

fn characteristic(job: &Parked) -> String {
    let target = job.state.target.as_ref();
    target.map_or_else(String::new, crate::words::characteristic)
}

fn how_far(job: &Parked) -> String {
    let state = &job.state;
    let step = state.question().step();
    match step {
        Step::Readings => words::how_far(asked::step(step), state.readings.len(), state.plan.len()),
        _ => asked::step(step).to_owned(),
    }
}
