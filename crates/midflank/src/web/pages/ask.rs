//! The question, its field, and what one needs to answer it.

use maud::{Markup, html};
use metrology::inspection::Target;
use metrology::units::LengthUnit;

use super::parts::{Parts, hidden, letter_keys};
use crate::bench::{Question, State, Step, asked, fit, words};
use crate::report::limits::{both_units, decimals};
use crate::report::sentence;
use crate::words::{Shown, number};

/// The question in a full sentence, and one field.
pub fn question(parts: &Parts) -> Markup {
    let question = &parts.question;
    let number = question.takes_reading();
    let unit = parts.state.unit.filter(|_| number);
    let refusal = parts.shown.refusal.as_ref();
    let notice = parts.app.notice();
    // A reading that was not taken is not left in the way of the next one; an answer that was taken back is put right.
    let kept = match refusal {
        _ if !question.takes_words() => "",
        Some(_) => parts.shown.line.as_str(),
        None => parts.state.said_before.as_deref().unwrap_or_default(),
    };
    // With something in the field Enter does not take what is offered.
    let enter =
        asked::enter(question, parts.offer.as_ref().map(asked::offer)).filter(|_| kept.is_empty());
    html! {
        section class="ask" aria-labelledby="question" {
            @if let Question::ZeroDoubt { doubt, .. } = question {
                p class="doubt" role="alert" { (asked::doubt(doubt, parts.state.unit.unwrap_or(LengthUnit::Millimetre))) }
            }
            @if let Question::Flagged { of } = question {
                @if let Some(flag) = parts.state.reading(*of).and_then(|reading| reading.flag.as_ref()) {
                    p class="doubt" role="alert" { (sentence(&crate::words::said(&flag.message))) }
                }
            }
            h1 id="question" { (asked::question(parts.state, question)) }
            form id="answer" method="post" action="/answer" autocomplete="off" {
                (hidden(parts))
                label class="unseen" for="line" { (asked::question(parts.state, question)) @if let Some(unit) = unit { " (" (unit) ")" } }
                div class=(if number { "field number" } else { "field" }) {
                    input id="line" name="line" type="text" autofocus autocomplete="off" autocapitalize="off" spellcheck="false"
                        inputmode=(if number { "decimal" } else { "text" })
                        value=(kept) aria-describedby=("help refusal") aria-invalid=[refusal.map(|_| "true")]
                        data-keys=(letter_keys(parts));
                    @if let Some(unit) = unit { span class="unit" aria-hidden="true" { (unit) } }
                    button { (words::take()) }
                }
            }
            p id="help" class="help" {
                @if let Some(enter) = enter { span class="offer" { (enter) "." } " " }
                @if let Some(hint) = asked::hint(parts.state, question) { span { (words::as_label()) " " (hint) } }
            }
            div id="refusal" role="alert" {
                @if let Some(refusal) = refusal {
                    p class="refusal" { (sentence(&words::why(&refusal.why))) }
                    @if !refusal.suggestions.is_empty() {
                        form class="suggestions" method="post" action="/answer" {
                            (hidden(parts))
                            @for suggestion in &refusal.suggestions {
                                button translate="no" name="line" value=(suggestion) { (suggestion) }
                            }
                        }
                    }
                } @else if let Some(notice) = notice {
                    p class="refusal" { (sentence(&notice)) }
                }
            }
        }
    }
}

/// The limits that the part is held against, in both units.
pub fn limits(state: &State) -> Markup {
    html! { @if let Some(target) = &state.target { (target_limits(target)) } }
}

fn target_limits(target: &Target) -> Markup {
    let own = target.unit;
    html! {
        section class="limits wide" tabindex="0" aria-label=(words::limits()) {
            @match &target.thread {
                Some(thread) => {
                    (both_units(thread))
                    @for taken in thread.assumed.iter() { p class="soft" { (words::assumed(taken)) } }
                    @for dispute in thread.disputes.iter() { p class="doubt" { (crate::words::message(dispute, Shown::in_unit(own))) } }
                }
                None => {
                    table {
                        thead { tr { th scope="col" { (words::limits()) } th scope="col" class="number" { (words::least()) } th scope="col" class="number" { (words::most()) } } }
                        tbody {
                            @for unit in [own, own.other()] {
                                tr {
                                    th scope="row" { (unit) }
                                    @for limit in [target.limits.lower, target.limits.upper] {
                                        td class="number" { @match limit {
                                            Some(limit) => (number::rounded(limit, unit, decimals(unit, own))), None => "–" } }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Whether there is nothing in the list that could be taken.
fn nothing_fits(parts: &Parts) -> bool {
    parts.question.chooses() && parts.offer.is_none()
}

/// What a list holds so far.
pub fn so_far(parts: &Parts) -> Markup {
    let said = match &parts.question {
        Question::Detail(asked) => parts.state.details.get(asked.key()),
        _ => None,
    };
    html! {
        @if let Some(said) = said.filter(|said| !said.text.is_empty()) {
            p role="status" { (words::so_far()) " " span class="value" translate="no" { (said.text) } }
        }
    }
}

/// Named answers to choose from.
pub fn options(parts: &Parts) -> Markup {
    let options = parts.table.options();
    html! {
        @if !options.is_empty() {
            form class="choices" method="post" action="/answer" {
                (hidden(parts))
                ol {
                    @for (index, name) in options.iter().enumerate() {
                        li {
                            button name="line" value=(name) {
                                span class="nth" { (index + 1) } " " strong { (name) } " " span class="soft" { (asked::option(&parts.question, name)) }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// What there is to choose from: what is fit first, the rest with why not, and what the uncertainty will take.
pub fn choices(parts: &Parts) -> Markup {
    let choosing = parts.question.chooses();
    html! {
        @if choosing {
            form class="choices" method="post" action="/answer" {
                (hidden(parts))
                ol {
                    @for (index, choice) in parts.choices.iter().enumerate() {
                        li {
                            @match &choice.unfit {
                                None => button name="line" value=(index + 1) {
                                    span class="nth" { (index + 1) } " " strong translate="no" { (choice.id()) } " "
                                    span class="soft" { (crate::words::equipment(&choice.piece.equipment)) }
                                    @if let Some(due) = choice.piece.equipment.due() { span class="soft" { ", " (words::due()) " " (due) } }
                                },
                                Some(why) => span class="unfit" {
                                    span class="nth" { (index + 1) } " " s translate="no" { (choice.id()) } " " span { (crate::words::equipment(&choice.piece.equipment)) "; " (words::not_fit()) ": " (words::why(why)) }
                                }
                            }
                        }
                    }
                }
            }
            @if parts.choices.is_empty() { p class="refusal" { (words::empty_register()) } }
            @else if nothing_fits(parts) { p class="refusal" { (sentence(words::nothing_fit())) } }
        }
        (share(parts))
    }
}

/// The part of the tolerance that the uncertainty will take with what is chosen so far.
pub fn share(parts: &Parts) -> Markup {
    let state = parts.state;
    let chosen = state.instrument.is_some() && parts.question.step() <= Step::Zero;
    let expected = fit::expected(state).filter(|_| chosen && !nothing_fits(parts));
    let unit = state
        .target
        .as_ref()
        .map_or(LengthUnit::Millimetre, |target| target.unit);
    html! {
        @if let Some((expanded, part)) = expected {
            p class="share" {
                @if let Some(Ok(plan)) = fit::plan(state) { (words::will_show(plan.expected_reading, state.display_unit(), state.plan.len())) " " }
                (words::expected(expanded, unit))
                @if let Some(part) = part {
                    " " (words::tolerance_taken(part))
                    // The value is read by the browser, the text by people.
                    meter min="0" max="1" low="0.25" high="0.5" optimum="0" value=(format!("{:.3}", part.min(1.0))) aria-label=(words::tolerance_taken_label()) { (number::whole_percent(part)) }
                }
            }
        }
    }
}
