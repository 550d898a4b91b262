//! The question, its field, and what one needs to answer it.

use maud::{Markup, html};
use metrology::inspection::Target;
use metrology::units::{Length, LengthUnit};

use super::parts::{Parts, hidden, letter_keys};
use metrology::message::Say as _;

use crate::bench::answer::{Offer, SetUp};
use crate::bench::event::When;
use crate::bench::state::Flag;
use crate::bench::zero::Doubt;
use crate::bench::{Command, Question, Refusal, Refused, State, Step, View, asked, fit, words};
use crate::report::limits::{both_units, decimals};
use crate::report::setup::order;
use crate::report::{capitalised, sentence};
use crate::say;
use crate::web::figure::convention;
use crate::web::words as own_words;
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
        // Nor is a number that a cable sent where words are asked for.
        Some(refusal) if is_number_for_words(refusal) || is_reading_for_piece(parts) => "",
        Some(_) => parts.shown.line.as_str(),
        None => parts.state.said_before.as_deref().unwrap_or_default(),
    };
    // With something in the field Enter does not take what is offered.
    let offer = parts.offer.as_ref().map(asked::offer);
    let enter = match question {
        Question::ZeroDoubt {
            doubt: Doubt::Drift { .. },
            ..
        } if parts.state.run().is_some() => Some(say!("run.enter-zero-moved").to_owned()),
        _ => match &parts.offer {
            Some(Offer::Nothing(what)) if *question != Question::Sign => {
                Some(say!("bench.enter-answers", what = crate::words::name(what)))
            }
            _ => asked::enter(asked::at_end(parts.state, question), offer.as_deref()),
        },
    };
    let signs = *question == Question::Sign;
    // A reason is what stands in the field, too short: it is typed on.
    let enter = if kept.is_empty() || question.takes_reason() {
        enter
    } else {
        let once_cleared = |enter| say!("bench.enter-once-cleared", enter = enter);
        enter.filter(|_| !signs).map(once_cleared)
    };
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
                @if let Some(suggested) = numbered(parts) { input type="hidden" name="suggested" value=(suggested.join("\n")); }
                label class="unseen" for="line" { (asked::question(parts.state, question)) @if let Some(unit) = unit { " (" (unit) ")" } }
                div class=(match (number, question.takes_words()) { (true, true) => "field number reason", (true, false) => "field number", _ => "field" }) {
                    input id="line" name="line" type="text" autofocus autocomplete="off" autocapitalize="off" spellcheck="false"
                        inputmode=(if number && !question.takes_words() { "decimal" } else { "text" })
                        value=(kept) aria-describedby=("help refusal") aria-invalid=[refusal.map(|_| "true")]
                        data-keys=(letter_keys(parts));
                    @if let Some(unit) = unit { span class="unit" aria-hidden="true" { (unit) } }
                    @if signs { button name="sign" value="yes" { (capitalised(asked::command(Command::Sign))) } }
                    @else { button { (capitalised(asked::enter_does(asked::at_end(parts.state, question)).unwrap_or_else(words::take))) } }
                    (as_shown(parts))
                }
            }
            @if let Some(flag) = new_flag(parts) { p class="doubt" role="alert" { (sentence(&crate::words::said(&flag.message))) } }
            p id="help" class="help" {
                @if let Some(enter) = enter { span class="offer" { (enter) @if let Some(age) = age_of_offer(parts) { ", " (age) } "." } " " }
                @if signs && has_badges(parts) { span { (say!("page.badge-signs")) } }
                @if let Some(hint) = asked::hint(parts.state, question) { span { @if !(number && parts.state.run().is_some()) { (words::as_label()) " " } (hint) } }
            }
            div id="refusal" role="alert" {
                @if let Some(refusal) = refusal {
                    p class="refusal" { (sentence(&words::why(&refusal.why))) }
                    @if !refusal.suggestions.is_empty() {
                        form class="suggestions" method="post" action="/answer" {
                            (hidden(parts))
                            @let numbered = numbered(parts).is_some();
                            @for (index, suggestion) in refusal.suggestions.iter().enumerate() {
                                button translate="no" name="line" value=(suggestion) { @if numbered { span class="nth" { (index + 1) } " " } (suggestion) }
                            }
                        }
                    }
                } @else if let Some(notice) = notice {
                    p class="notice" { (sentence(&notice)) }
                }
            }
        }
    }
}

/// What a reading has looked like since the last answer: in sight under the field. Its own question has it above.
fn new_flag<'a>(parts: &'a Parts) -> Option<&'a Flag> {
    let of = parts.state.newly_flagged?;
    let has_question = parts.question == Question::Flagged { of };
    let reading = parts.state.reading(of).filter(|_| !has_question)?;
    reading.flag.as_ref()
}

/// How often the zero check that is in doubt was made; 0 where none is.
fn failed_checks(parts: &Parts) -> usize {
    match parts.question {
        Question::ZeroDoubt {
            when: When::Before, ..
        } => parts.state.before.failed(),
        Question::ZeroDoubt {
            when: When::After, ..
        } => parts.state.after.failed(),
        _ => 0,
    }
}

/// Whether there is something else to do than to make the check once more.
pub fn fails_again(parts: &Parts) -> bool {
    failed_checks(parts) > 1
}

/// What there is to do where a zero check failed more than once: the same question again would lead nowhere.
pub fn zero_again(parts: &Parts) -> Markup {
    let Question::ZeroDoubt { when, .. } = parts.question else {
        return html! {};
    };
    let state = parts.state;
    let failed = failed_checks(parts);
    let waits = state.run().is_some() && when == When::After;
    html! {
        @if failed > 1 {
            div class="notice" {
                p { (say!("bench.zero-failed", n = failed)) }
                ul {
                    li { (say!("bench.zero-failed-clean")) }
                    li { (say!("bench.zero-failed-wear")) }
                    @match (when, waits) {
                        (When::Before, _) => li { (say!("bench.zero-failed-other")) },
                        (When::After, true) => li { (say!("bench.zero-failed-run")) },
                        (When::After, false) => li { (say!("bench.zero-failed-job")) },
                    }
                    li { (say!("bench.zero-failed-park")) }
                }
            }
        }
    }
}

fn has_badges(parts: &Parts) -> bool {
    let books = parts.app.books();
    books.is_ok_and(|books| books.badges.iter().next().is_some())
}

/// Whether a reading came where a piece is chosen.
fn is_reading_for_piece(parts: &Parts) -> bool {
    let line = parts.shown.line.replace(',', ".");
    parts.question.chooses() && line.contains('.') && line.parse::<f64>().is_ok()
}

/// How long ago the temperatures were read that Enter takes.
fn age_of_offer(parts: &Parts) -> Option<String> {
    let room = parts
        .table
        .room
        .filter(|_| parts.question == Question::Temperature)?;
    let now = crate::clock::now().ok()?;
    let minutes = now.duration_since(room.at).as_mins().max(0);
    Some(say!("page.read-ago", n = minutes))
}

/// Whether a line was refused as a number of the micrometer that nobody asked for.
fn is_number_for_words(refusal: &Refusal) -> bool {
    let line = String::new();
    let codes = [
        Refused::NumberForName { line: line.clone() }.message().code,
        Refused::NumberAlone { line }.message().code,
    ];
    codes.contains(&refusal.why.message.code)
}

/// What is suggested, where a number takes one: not where a number is a reading or stands for something in a list.
fn numbered<'a>(parts: &'a Parts) -> Option<&'a [String]> {
    let question = &parts.question;
    let is_free = question.takes_words()
        && !question.takes_reading()
        && !question.chooses()
        && *question != Question::Sign
        && parts.table.options().is_empty();
    let suggestions = parts.shown.refusal.as_ref()?.suggestions.as_slice();
    Some(suggestions).filter(|some| is_free && !some.is_empty())
}

/// What the micrometer will show of a part within its limits: beside the field, where the eye is.
fn as_shown(parts: &Parts) -> Markup {
    // The limits are a plan of their own: made only where they are shown.
    if !matches!(
        parts.question,
        Question::Reading { .. } | Question::Again { .. }
    ) {
        return html! {};
    }
    let state = parts.state;
    let limits = state.limits_on_display();
    let unit = state.display_unit();
    let decimals = if unit == LengthUnit::Inch { 4 } else { 3 };
    let middle = limits
        .lower
        .zip(limits.upper)
        .and_then(|(lower, upper)| Length::nearest_mm(f64::midpoint(lower.mm(), upper.mm())).ok());
    let rows = [
        (words::least(), limits.lower),
        (words::middle(), middle),
        (words::most(), limits.upper),
    ];
    html! {
        @if rows.iter().any(|(_, value)| value.is_some()) {
            dl class="as-shown" aria-label=(words::as_shown()) {
                @for (name, value) in rows {
                    @if let Some(value) = value { div { dt { (name) } dd { (number::rounded(value, unit, decimals)) } } }
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
                    table aria-label=(words::limits()) {
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
    let drawn = options.iter().any(|name| convention::of(name).is_some());
    html! {
        @if drawn { (convention::hatching()) }
        @if !options.is_empty() {
            form class=(if drawn { "choices drawn" } else { "choices" }) method="post" action="/answer" {
                (hidden(parts))
                ol {
                    @for (index, name) in options.iter().enumerate() {
                        li {
                            button name="line" value=(name) {
                                span class="nth" { (index + 1) } " "
                                @if let Some(drawing) = convention::of(name) { (drawing) " " }
                                @let explained = asked::option(&parts.question, name);
                                span { strong { (name) } @if explained != *name { " " span class="soft" { (explained) } } }
                            }
                        }
                    }
                }
            }
        }
        (uneven_wall(parts))
    }
}

/// What a drawing may limit of an uneven wall, drawn: three ways of it are in use, and a percentage has three meanings.
fn uneven_wall(parts: &Parts) -> Markup {
    let Question::Detail(asked) = &parts.question else {
        return html! {};
    };
    let drawn = convention::of_limits(asked);
    html! {
        @if !drawn.is_empty() {
            (convention::hatching())
            ul class="meanings" {
                @for (name, drawing) in drawn {
                    li {
                        (drawing)
                        div {
                            strong { (name) }
                            @for meaning in meanings(name) { p class="soft" { (meaning) } }
                        }
                    }
                }
            }
        }
    }
}

fn meanings(name: &str) -> Vec<&'static str> {
    match name {
        "run-out" => vec![say!("page.means-run-out")],
        "eccentricity" => vec![say!("page.means-eccentricity")],
        _ => vec![
            say!("page.means-percent-mean"),
            say!("page.means-percent-sum"),
            say!("page.means-percent-least"),
        ],
    }
}

/// What there is to choose from: what is fit first, the rest with why not, and what the uncertainty will take.
pub fn choices(parts: &Parts) -> Markup {
    let choosing = parts.question.chooses();
    // Whole set-ups come first in the list.
    let before = parts.set_ups.len();
    let numbered = || parts.choices.iter().enumerate();
    let unfit =
        || numbered().filter_map(|(index, choice)| Some((index, choice, choice.unfit.as_ref()?)));
    let open = nothing_fits(parts) || parts.shown.view == Some(View::Unfit);
    html! {
        @if choosing {
            form class="choices" method="post" action="/answer" {
                (hidden(parts))
                @if before > 0 { (set_ups(parts)) }
                @if before > 0 { h2 { (words::piece_by_piece()) } }
                ol {
                    @for (index, choice) in numbered().filter(|(_, choice)| choice.unfit.is_none()) {
                        li {
                            button name="line" value=(before + index + 1) {
                                span class="nth" { (before + index + 1) } " " strong class="id" translate="no" { (choice.id()) } " "
                                span class="soft" { (crate::words::piece(&choice.piece.equipment)) }
                                @let standing = choice.piece.standing(parts.state.day());
                                @if let Some(due) = standing.due { span class="soft" { ", " (words::due()) " " (due) } }
                                @if let Some(extension) = &standing.extension { span class="soft" { ", " (crate::say!("due.extended", until = extension.until)) } }
                            }
                        }
                    }
                }
                @if unfit().next().is_some() {
                    details open[open] {
                        summary { (words::do_not_fit(unfit().count(), unfit().count() < parts.choices.len())) }
                        ol {
                            @for (index, choice, why) in unfit() {
                                li class="unfit" {
                                    span class="nth" { (before + index + 1) } " " s class="id" translate="no" { (choice.id()) } " "
                                    (words::why(why))
                                }
                            }
                        }
                    }
                }
            }
            @if parts.choices.is_empty() {
                p class="refusal" {
                    (words::empty_register()) " "
                    @if let Some(kind) = parts.question.kind() { a href=(format!("/equipment/new/{}", kind.key())) { (own_words::add(kind)) } "." }
                }
            }
            @else if nothing_fits(parts) { p class="refusal" { (sentence(words::nothing_fit())) } }
        }
        (share(parts))
    }
}

/// Micrometer, contacts, wires and standard together, with the uncertainty that they are expected to give.
fn set_ups(parts: &Parts) -> Markup {
    let target = parts.state.target.as_ref();
    let unit = target.map_or(LengthUnit::Millimetre, |target| target.unit);
    html! {
        @if let Some(why) = order_of_set_ups(parts) { p class="soft" { (why) } }
        ol {
            @for (index, set_up) in parts.set_ups.iter().enumerate() {
                li {
                    button name="line" value=(index + 1) {
                        span class="nth" { (index + 1) } " "
                        @for (at, id) in set_up.ids().iter().enumerate() { @if at > 0 { " · " } strong class="id" translate="no" { (id) } }
                        @if let Some((expanded, part)) = set_up.expected {
                            " " span class="soft" { (words::expected(expanded, unit)) @if let Some(part) = part { " " (words::tolerance_taken(part)) } }
                        }
                    }
                }
            }
        }
    }
}

/// Why the proposed set-ups stand in this order.
fn order_of_set_ups(parts: &Parts) -> Option<&'static str> {
    let expanded = |set_up: &SetUp| set_up.expected.map_or(f64::INFINITY, |(u, _)| u);
    order(parts.set_ups.iter().map(expanded))
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
                // Beside a reading of the standard it would be taken for what the standard should show.
                @if parts.question.step() < Step::Zero && let Some(Ok(plan)) = fit::plan(state) {
                    (words::will_show(plan.expected_reading, state.display_unit(), state.plan.len())) " "
                }
                (words::expected(expanded, unit))
                @if let Some(part) = part {
                    " " (words::tolerance_taken(part))
                    " "
                    svg class="taken" width="120" height="12" role="img" aria-label=(format!("{} {}", words::tolerance_taken_label(), number::whole_percent(part))) {
                        rect width="120" height="12" class="whole" {}
                        rect width=(format!("{:.1}", 120.0 * part.min(1.0))) height="12" class="part" {}
                    }
                }
            }
        }
    }
}
