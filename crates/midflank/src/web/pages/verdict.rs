//! The verdict: word, shape and place before colour, legible across the room.

use maud::{Markup, html};
use metrology::decision::Verdict;
use metrology::message::{Message, Say};
use metrology::units::LengthUnit;

use super::ask;
use super::parts::Parts;
use crate::bench::event::When;
use crate::bench::fit::LessCertain;
use crate::bench::state::End;
use crate::bench::zero::{CLOSURES, Doubt, Progress};
use crate::bench::{Question, State, View, notes, words};
use crate::document::{Finding, Inspected};
use crate::report::off_scale::in_the_mean;
use crate::report::{
    Stage, capitalised, class_taken, doubt, finding_value, own_uncertainty, picture, range,
    sentence, size, verdict_words, worst_words,
};
use crate::say;
use crate::words::number;
use crate::words::{InWords as _, Label as _};

/// Across the page: word, size, limits and bar, and what the word is worth as it stands.
pub fn word(parts: &Parts) -> Markup {
    // The budget brings the warnings itself.
    let to_sign = parts.question == Question::Sign && parts.shown.view != Some(View::Budget);
    // What is to be done comes before the word, where a check failed more than once.
    let to_do = ask::fails_again(parts);
    let class = match (parts.shows_something(), to_sign) {
        (true, true) => "verdict short to-sign",
        (true, false) => "verdict short",
        (false, true) => "verdict to-sign",
        (false, false) if to_do => "verdict short to-do",
        (false, false) => "verdict",
    };
    html! {
        @if let Some(result) = &parts.result {
            section class=(class) aria-label=(words::verdict()) {
                div class="told" {
                    (large(result, is_open(parts.state)))
                    (numbers(result))
                    (in_brief(parts, result))
                    (standing(parts, result))
                }
                // Beside the word: nobody has to scroll for what is to be known before it is signed.
                @if to_sign { div class="known" { (warnings(parts, result)) } }
                (ask::zero_again(parts))
                (picture::tolerance_bar(result))
            }
        }
    }
}

/// How far the zero moved during the job, held against its limit; nothing before the closing check.
fn zero_moved(parts: &Parts) -> Option<String> {
    let state = parts.state;
    let standard = state.standard.as_ref()?;
    let error = state
        .after
        .error(standard.size.value(), Some(&state.before))
        .filter(|_| state.after.standing().len() >= CLOSURES)?;
    let unit = state.display_unit();
    let (drift, limit) = (error.drift()?, state.drift_limit()?);
    let is_over = drift.abs() > limit.mm();
    let moved = number::difference(drift.abs(), unit);
    let limit = number::difference(limit.mm(), unit);
    Some(match (&state.after.accepted, &parts.question) {
        (Some(reason), _) if !is_over => say!(
            "bench.zero-kept-in-doubt",
            moved = moved,
            limit = limit,
            reason = reason
        ),
        (Some(reason), _) => say!(
            "bench.zero-moved-kept",
            moved = moved,
            limit = limit,
            reason = reason
        ),
        // The question has it above.
        (
            None,
            Question::ZeroDoubt {
                doubt: Doubt::Drift { .. },
                ..
            },
        ) => return None,
        (None, _) if is_over => say!("bench.zero-moved-over", moved = moved, limit = limit),
        (None, _) => say!("bench.zero-moved", moved = moved, limit = limit),
    })
}

/// Under it: what is to be known before it is signed, why, and what would settle it.
pub fn reasons(parts: &Parts) -> Markup {
    html! {
        @if let Some(result) = &parts.result {
            section class="verdict why" aria-label=(say!("page.reasons")) {
                @if let Some(End::Recorded(entry)) = &parts.state.end {
                    p class="recorded" role="status" { (words::recorded_as()) " " a href=(format!("/record/{entry}")) { (entry) } "." }
                }
                p class="reason" {
                    @if zero_looks_wrong(result) { (say!("bench.withheld-zero-reading")) }
                    @else { (sentence(&result.say(&result.decision.reason))) }
                    " " (decided(result))
                }
                @let at_question = parts.question == Question::Sign;
                @if !at_question { (required(result)) }
                @if let Some(settle) = &result.settle { p class="settles" { (words::settles(result, settle)) } }
                @if !at_question { (cautions(result)) }
            }
        }
    }
}

/// Whether a reading on the standard looks like a mistake and nobody has answered for it: the check is made again, and no reading.
fn zero_looks_wrong(result: &Inspected) -> bool {
    result.zero_error.flags.iter().any(|flag| !flag.left)
}

/// Beside the signature: what the drawing requires beside the size, and who decides on release. Whatever else the page shows, who
/// signs has these in sight.
pub fn before_signing(parts: &Parts) -> Markup {
    let result = parts.result.as_ref();
    html! {
        @if let Some(result) = result.filter(|_| parts.question == Question::Sign) {
            div class="before-signing" { (required(result)) (cautions(result)) }
        }
    }
}

/// Whether the closing check is still to come, or is in doubt and nobody has answered for it: the verdict is provisional.
fn is_open(state: &State) -> bool {
    state.end.is_none()
        && (state.after.standing().len() < CLOSURES
            || state.progress(When::After) != Some(Progress::Done))
}

/// How far the job is with what is in doubt about it.
fn stage(state: &State) -> Stage {
    match (&state.end, &state.after.accepted) {
        (Some(_), _) => Stage::Recorded,
        (None, Some(_)) => Stage::ZeroAccepted,
        (None, None) => Stage::Open,
    }
}

/// All that is to be known before it is signed.
pub fn warnings(parts: &Parts, result: &Inspected) -> Markup {
    let open = is_open(parts.state);
    html! {
        @if !result.warnings.is_empty() || parts.less_certain.is_some() {
            h2 { (words::warnings_title()) }
            ul class="warnings" {
                @for warning in result.warnings.iter().filter(|warning| to_be_known(warning, open)) {
                    li { (crate::words::on_page(warning, result.shown())) }
                }
                @if let Some(less) = &parts.less_certain { li { (less_certain(less, parts.state.display_unit())) } }
            }
        }
    }
}

/// On a small screen, where the list of warnings is out of sight: how many there are, and the first as far as it has room.
fn in_brief(parts: &Parts, result: &Inspected) -> Markup {
    let open = is_open(parts.state);
    let less = parts.less_certain.as_ref();
    let all = result.warnings.iter();
    let all: Vec<String> = all
        .filter(|warning| to_be_known(warning, open))
        .map(|warning| crate::words::on_page(warning, result.shown()))
        .chain(less.map(|less| less_certain(less, parts.state.display_unit())))
        .collect();
    html! {
        @if let Some(first) = all.first() {
            // A screen reader has the list itself, or the count with its key.
            p class="in-brief" aria-hidden="true" { strong { (say!("bench.warnings-in-brief", n = all.len())) } " " (first) }
        }
    }
}

/// Of a provisional verdict it is said in one word that the closing check is still to come.
fn to_be_known(warning: &Message, open: bool) -> bool {
    !(open && warning.code == "warning.zero-open")
}

/// Where the uncertainty comes from that is larger than was expected.
pub fn less_certain(less: &LessCertain, unit: LengthUnit) -> String {
    say!(
        "bench.less-certain",
        expected = number::difference(less.expected, unit),
        line = crate::words::named("quantity", less.quantity),
        now = number::difference(less.now, unit),
        planned = number::difference(less.planned, unit)
    )
}

/// What the verdict is worth as it stands: why it is not to be signed yet, and what else is to be known.
fn standing(parts: &Parts, result: &Inspected) -> Markup {
    let open = is_open(parts.state);
    let known = result
        .warnings
        .iter()
        .filter(|warning| to_be_known(warning, open))
        .count()
        + usize::from(parts.less_certain.is_some());
    // Where they are listed they are not counted.
    let known = if parts.question == Question::Sign {
        0
    } else {
        known
    };
    html! {
        @if let Some(doubt) = doubt(result, stage(parts.state)) { p class="doubt" role="alert" { (doubt) "." } }
        @if let Some(told) = in_the_mean(result) { p class="doubt" { (told) } }
        @if let Some(class) = class_taken(result) { p class="standing" { (class) } }
        @if let Some(moved) = zero_moved(parts) { p class="standing" { (moved) } }
        @if let Some(left_out) = notes::left_out(parts.state) { p class="doubt" { (sentence(&result.say(&left_out.message()))) } }
        @if open || known > 0 {
            p class="standing" {
                @if open { strong { @if in_doubt(parts) { (say!("bench.provisional-in-doubt")) } @else { (words::provisional()) } } " " }
                @if known > 0 { span class="counted" { (words::warnings(known, shown_by(parts))) } }
            }
        }
    }
}

/// What shows the budget at this question: its key, or the word where a letter would be part of an answer.
const fn shown_by(parts: &Parts) -> &'static str {
    if parts.question.takes_words() {
        "/budget"
    } else {
        "B"
    }
}

/// Whether the closing check is made and in doubt.
fn in_doubt(parts: &Parts) -> bool {
    matches!(
        parts.question,
        Question::ZeroDoubt {
            when: When::After,
            ..
        }
    )
}

/// On what it was decided; where that is the mean, that the worst place is accepted too.
pub fn decided(result: &Inspected) -> String {
    let on = words::decided_on(&result.say(&result.decided_on));
    let verdict = &result.decision.decision;
    let accepted = result
        .worst_place
        .as_ref()
        .filter(|worst| accepts(verdict) && worst.decision.decision == *verdict)
        .filter(|worst| worst.size != result.size);
    match accepted {
        Some(worst) => {
            let (value, _, _) = size(worst.size.value, worst.size.expanded_uncertainty);
            let (name, of) = (worst_words(result), result.say(&worst.of));
            format!("{on} {}", words::worst_too(&name, &of, &value, result.unit))
        }
        None => on,
    }
}

fn accepts(verdict: &str) -> bool {
    matches!(
        Verdict::of(verdict),
        Some(Verdict::Accept | Verdict::ConditionalAccept)
    )
}

/// What the drawing requires beside the size, and how it stands; the reasons stand with the budget.
fn required(result: &Inspected) -> Markup {
    let findings = result.feature.iter().flat_map(|feature| &feature.findings);
    let judged: Vec<_> = findings
        .filter_map(|finding| Some((finding, finding.decision.as_deref()?)))
        .collect();
    // The size is the mean of the walls; what holds the pressure is the least.
    let least = result
        .feature
        .iter()
        .flat_map(|feature| &feature.findings)
        .filter(|finding| finding.key == "least_wall")
        .min_by(|one, other| one.value.total_cmp(&other.value));
    html! {
        @if least.is_some() || !judged.is_empty() {
            p class="reason" {
                @if let Some(least) = least {
                    (capitalised(&least.label())) " " strong { (finding_value(least)) }
                    @if !judged.is_empty() { " · " }
                }
                @for (index, (finding, decision)) in judged.iter().enumerate() {
                    @if index > 0 { " · " }
                    (capitalised(&finding.label())) " " (finding_value(finding)) ", " (limits_of(finding)) ": "
                    strong { (verdict_words(decision)) }
                }
            }
        }
    }
}

/// `at most 0.1000 mm`, `75.0 % to 90.0 %`.
fn limits_of(finding: &Finding) -> String {
    let with = |value: f64| {
        finding_value(&Finding {
            value,
            ..finding.clone()
        })
    };
    range(finding.min.map(with), finding.max.map(with))
}

/// One calm line where a wrong acceptance hurts.
fn cautions(result: &Inspected) -> Markup {
    html! { @for caution in &result.cautions { p class="caution" { (sentence(&result.say(caution))) } } }
}

/// Why there is no result.
pub fn trouble(parts: &Parts) -> Markup {
    html! {
        @if let Some(Err(error)) = parts.state.inspect() {
            section class="verdict" { p class="refusal" role="alert" { (words::job_error(&error, parts.state.drawing_unit())) } }
        }
    }
}

/// The word. While it is provisional it stands in outline: from two metres it must not look final.
fn large(result: &Inspected, provisional: bool) -> Markup {
    let verdict = result.decision.decision.as_str();
    let long = if verdict.len() > 9 { " long" } else { "" };
    let outline = if provisional { " provisional" } else { "" };
    html! {
        div class=(format!("word{long}{outline}")) role="status" {
            (picture::mark(verdict)) p { (verdict_words(verdict)) }
        }
    }
}

fn numbers(result: &Inspected) -> Markup {
    let (value, expanded, _) = size(result.size.value, result.size.expanded_uncertainty);
    let decimals = usize::try_from(result.decimals).unwrap_or(4);
    let text = |limit: Option<f64>| limit.map(|limit| number::fixed(limit, decimals));
    let limits = range(text(result.limits.min), text(result.limits.max));
    html! {
        p class="size" {
            (value) " ± " (expanded) " " span class="unit" { (result.unit) }
            span class="against" { (words::limits()) " " (limits) " " (result.unit) }
        }
        @if let Some(both) = own_uncertainty(result) { p class="reason" { (sentence(&both)) } }
    }
}
