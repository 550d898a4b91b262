//! The bench page of a study: how far each operator is while it is measured, without a reading, and then what was found.

use maud::{Markup, html};
use workshop::gauge_record::study::Study;

use super::ask;
use super::parts::Parts;
use super::readings;
use super::studies::{address_of, result_tables};
use crate::bench::state::End;
use crate::bench::study::Studying;
use crate::bench::{Question, Step, words};
use crate::report::sheet::recorded_study::drawn;
use crate::say;

/// Beside the question.
pub fn beside(parts: &Parts, studying: &Studying, study: Option<&Study>) -> Markup {
    match (parts.question.step(), study) {
        (Step::SetUp, _) => html! { (ask::choices(parts)) (ask::limits(parts.state)) },
        (Step::Zero | Step::ClosingZero, _) => readings::zero(parts),
        (_, Some(study)) => concluded(parts, study),
        _ => progress(parts, studying),
    }
}

/// Plots of what was found, once all is measured.
pub fn picture(study: Option<&Study>) -> Markup {
    html! { @if let Some(study) = study { (drawn(study, &study.studied())) } }
}

/// How many readings each operator took; what they read is not shown, so that nobody is led by it.
fn progress(parts: &Parts, studying: &Studying) -> Markup {
    let plan = &studying.plan;
    let each = plan.parts_each() * plan.trials;
    let planned = parts.state.plan.len();
    let now = match &parts.question {
        Question::Reading { index } => Some(*index),
        Question::Again { of } | Question::Flagged { of } => {
            let mut readings = parts.state.readings.iter();
            readings.position(|one| one.number == *of)
        }
        _ => None,
    };
    let at = now.and_then(|index| studying.turns.get(index));
    let taken = |operator: usize| {
        let turns = studying.turns.iter().take(parts.state.readings.len());
        turns.filter(|turn| turn.operator == operator).count()
    };
    html! {
        p class="soft" { (say!("study-run.hidden")) }
        div class="wide" tabindex="0" role="region" aria-label=(say!("study-run.progress")) {
            table class="points" aria-label=(say!("study-run.progress")) {
                thead { tr { th scope="col" { (say!("study-run.operator")) } th scope="col" class="number" { (words::readings_so_far()) } } }
                tbody { @for (index, operator) in plan.operators.iter().enumerate() {
                    @let is_now = at.is_some_and(|turn| turn.operator == index);
                    tr class=[is_now.then_some("now")] aria-current=[is_now.then_some("step")] {
                        td translate="no" { (operator) }
                        td class="number" { (say!("study-run.of-planned", n = taken(index), of = each)) }
                    }
                } }
            }
        }
        @if planned < studying.turns.len() { p class="doubt" role="status" { (say!("study-run.broken-off")) } }
    }
}

/// What was found, and what follows when it is signed.
fn concluded(parts: &Parts, study: &Study) -> Markup {
    let result = study.studied();
    html! {
        section aria-label=(say!("study-run.found")) {
            @if study.is_broken_off() { p class="doubt" role="status" { (say!("study-run.broken-off")) } }
            (result_tables(&result))
            @match &parts.state.end {
                Some(End::Recorded(entry)) => p class="recorded" {
                    (say!("study-run.recorded")) " " a href=(address_of(entry)) translate="no" { (entry) }
                },
                _ if study.is_broken_off() || !result.is_computed() => p { (say!("study-run.cannot-be-approved")) },
                _ if !study.plan.kind.can_be_approved() => p { (say!("study-run.feeds-nothing")) },
                _ => p { (say!("study-run.will-be")) },
            }
        }
    }
}
