//! The job on the bench: one question, one field, and what belongs beside it.

use maud::{Markup, html};
use metrology::inspection::{Inspection, Job};

use super::Asked;
pub use super::parts::Shown;
use super::parts::{Parts, hidden, piece};
use super::{
    ask, calibrating, document, look_up, lots, parked, readings, rules, run, studying, verdict,
    ways,
};
use crate::bench::{Command, Question, State, Step, Table, View, asked, fit, words};
use crate::clock::now;
use crate::document::Inspected;
use crate::failure::Failure;
use crate::report::html::{budget, corrections, findings};
use crate::say;
use crate::web::app::App;
use crate::web::figure;
use crate::web::read::Books;
use crate::web::words as own_words;
use crate::words::number;
use metrology::message::Say as _;
use workshop::bench::calibration::Calibrating;
use workshop::bench::run::Run;
use workshop::bench::state::End;
use workshop::bench::study::Studying;
use workshop::equipment::NEEDED;

/// Leads from a job to its record.
const RECORD_KEY: &str = "p";

/// The page of a job, or what stands in its body where our script asks.
pub fn page(
    app: &App,
    stamp: &str,
    state: &State,
    shown: &Shown,
    asked: &Asked,
) -> Result<Markup, Failure> {
    let books = app.books()?;
    let question = state.question();
    // There is no budget before there are readings: it would lie over what is to be chosen from.
    let mut shown = shown.clone();
    if question.step() < Step::Readings {
        shown.view = shown.view.filter(|view| *view != View::Budget);
    }
    let carried = app.carried(state, now()?)?;
    // While a job is under way the others are not in sight.
    let parked = match question {
        Question::Recorded => app.parked()?,
        _ if state.job.is_none() => app.parked()?,
        _ => Vec::new(),
    };
    let inspected = state.inspect().and_then(Result::ok);
    let today = fit::today(now()?);
    let proposals = app.proposals(&books, state, today);
    let table = Table {
        state,
        register: &books.register,
        today,
        last_part: carried.last_part.as_ref(),
        room: carried.room.as_ref(),
        parked_jobs: !parked.is_empty(),
        blocks: &books.blocks,
        proposals: &proposals,
    };
    // What is at hand matters where there is a verdict; before that, readings may not wait for it.
    let at_hand = (question.step() >= Step::ClosingZero).then_some(&*books);
    let at_verdict = |(_, result): &(Job, Inspection)| {
        let at = question.step() >= Step::ClosingZero;
        at.then(|| fit::less_certain(state, result)).flatten()
    };
    let less_certain = inspected.as_ref().and_then(at_verdict);
    let matrix = run::asked(app, state, &shown)?;
    let parts = Parts {
        app,
        matrix,
        counts: app.counted(state)?,
        less_certain,
        state,
        question,
        offer: table.offer(),
        set_ups: table.set_ups(),
        choices: table.choices(),
        table,
        parked,
        shown: &shown,
        asked,
        result: inspected.map(|(job, result)| answered(app, at_hand, &job, &result)),
    };
    let content = match (state.calibrating(), state.studying()) {
        (Some(calibrating), _) => of_calibration(&parts, calibrating, stamp)?,
        (None, Some(studying)) => of_study(&parts, studying, stamp),
        (None, None) => content(&parts, stamp),
    };
    Ok(if asked.fragment {
        content
    } else {
        document(&title(&parts), "", &content)
    })
}

/// The result as a document, with what is at hand to settle it where that is asked for.
fn answered(app: &App, at_hand_of: Option<&Books>, job: &Job, result: &Inspection) -> Inspected {
    let mut document = Inspected::of(job, result);
    if let (Some(_), Some(books)) = (&document.settle, at_hand_of) {
        let found = app.at_hand(books, job, result);
        document.at_hand = found.map(|found| found.message());
    }
    document
}

/// The window says what is on the bench: part, piece, what is measured of it, and how far it is.
fn title(parts: &Parts) -> String {
    let state = parts.state;
    let calibrated = state.calibrating().map(crate::bench::calibrating::job);
    let studied = state.studying().map(crate::bench::studying::job);
    let name = state.name.clone().or(calibrated);
    let measured = state.target.as_ref().map(crate::words::characteristic);
    let place = state.studying();
    let place = place.and_then(|_| crate::bench::studying::place(state, &parts.question));
    let what = [studied, name, piece(state), measured, place];
    let mut what: Vec<String> = what.into_iter().flatten().collect();
    if what.is_empty() {
        what.push(words::new_job().to_owned());
    }
    super::titled(&format!(
        "{}: {}",
        what.join(", "),
        asked::step(parts.question.step())
    ))
}

fn content(parts: &Parts, stamp: &str) -> Markup {
    if let Some(run) = parts.state.run() {
        return of_run(parts, run, stamp);
    }
    // The page takes the colour of the verdict once there is one.
    let verdict = match &parts.result {
        Some(result) if parts.question.step() >= Step::ClosingZero => {
            result.decision.decision.as_str()
        }
        _ => "",
    };
    let has_verdict = parts.question.step() >= Step::ClosingZero && parts.result.is_some();
    html! {
        div id="page" class=(format!("page {verdict}")) data-stamp=(stamp) data-title=(title(parts)) data-lost=(words::no_answer()) data-shown=[parts.shows_something().then_some("yes")] {
            (top(parts))
            @if has_verdict {
                main class="bench verdict-page" {
                    (steps(parts))
                    (verdict::word(parts))
                    div class="work" {
                        div class="left" {
                            (ask::options(parts))
                            (verdict::reasons(parts))
                            (shown(parts))
                            (parked::to_choose(parts))
                        }
                        div class="right" { (readings::at_verdict(parts)) (beside_verdict(parts)) }
                    }
                }
                // Whatever the verdict has to say, question and keys stay in sight under it.
                div class="dock" { (verdict::before_signing(parts)) (ask::question(parts)) (foot(parts)) }
            } @else {
                main class="bench" {
                    (steps(parts))
                    div class="work" {
                        div class="left" {
                            (ask::question(parts))
                            (ask::zero_again(parts))
                            @if parts.shows_something() { (shown(parts)) } @else { (beside(parts)) }
                        }
                        div class="right" { (picture(parts)) }
                    }
                }
                (foot(parts))
            }
        }
    }
}

/// The page of a run: nothing covers the question, and the verdict of a piece is small.
fn of_run(parts: &Parts, run: &Run, stamp: &str) -> Markup {
    let left = html! {
        (ask::zero_again(parts))
        @if parts.shows_something() { (shown(parts)) } @else { (run::beside(parts, run)) }
    };
    let right = html! { @if run::has_picture(&parts.question) { (picture(parts)) } };
    framed(parts, stamp, &left, &right)
}

/// The page of a calibration: beside the question the points, and then the verdict with the curve.
fn of_calibration(
    parts: &Parts,
    calibrating: &Calibrating,
    stamp: &str,
) -> Result<Markup, Failure> {
    let calibrated = parts.state.calibrated();
    let calibrated = calibrated.as_ref();
    let left = html! {
        @if parts.shows_something() { (shown(parts)) } @else { (calibrating::beside(parts, calibrating, calibrated)) }
        (parked::to_choose(parts))
    };
    let right = calibrating::picture(parts, calibrated)?;
    Ok(framed(parts, stamp, &left, &right))
}

/// The page of a study: no reading is seen before all are taken.
fn of_study(parts: &Parts, studying: &Studying, stamp: &str) -> Markup {
    let study = parts.state.to_study();
    let study = study.as_ref();
    let left = html! {
        @if parts.shows_something() { (shown(parts)) } @else { (studying::beside(parts, studying, study)) }
        (parked::to_choose(parts))
    };
    let right =
        html! { @if study.is_some() { (studying::picture(study)) } @else { (picture(parts)) } };
    framed(parts, stamp, &left, &right)
}

/// The page of a job that is no single part: the question with this below it, and this beside it.
fn framed(parts: &Parts, stamp: &str, left: &Markup, right: &Markup) -> Markup {
    html! {
        div id="page" class="page" data-stamp=(stamp) data-title=(title(parts)) data-lost=(words::no_answer()) data-shown=[parts.shows_something().then_some("yes")] {
            (top(parts))
            main class="bench" {
                (steps(parts))
                div class="work" {
                    div class="left" { (ask::question(parts)) (left) }
                    div class="right" { (right) }
                }
            }
            (foot(parts))
        }
    }
}

/// Beside the reasons: the standard while the closing check is made, then the readings against the limits.
fn beside_verdict(parts: &Parts) -> Markup {
    match (parts.question.step(), &parts.result) {
        (Step::ClosingZero, _) => picture(parts),
        (_, Some(result)) => crate::report::picture::readings(result),
        _ => html! {},
    }
}

/// What is on the bench.
fn top(parts: &Parts) -> Markup {
    let state = parts.state;
    let on_it = [
        state.name.clone(),
        state.target.as_ref().map(crate::words::characteristic),
    ];
    let (lot, sample) = state.lot.clone().unwrap_or_default();
    // A run asks for the next piece as soon as one is complete.
    let asks_next = parts.question == Question::Reading { index: 0 };
    let is_next = |run: &&Run| asks_next && (run.piece.is_none() || state.piece_is_complete());
    let complete = state.run().filter(is_next);
    let sample = complete.and_then(Run::next_piece).or(sample);
    let measured = on_it
        .get(1)
        .cloned()
        .flatten()
        .filter(|_| state.name.is_some());
    let of = [measured, lot, state.drawing.clone().flatten()];
    let with = [
        state.contacts.as_ref().map(|contacts| contacts.id.clone()),
        state
            .wires
            .as_ref()
            .filter(|_| state.over_wires())
            .map(|wires| wires.id.clone()),
        state
            .instrument
            .as_ref()
            .map(|instrument| instrument.id.clone()),
        state.standard.as_ref().map(|standard| standard.id.clone()),
        state.unit.map(|unit| unit.to_string()),
    ];
    html! {
        header class="top" {
            @if let Some(sample) = sample { p class="sample" { span class="unseen" { (words::sample()) " " } span translate="no" { (sample) } } }
            @if let Some(place) = state.studying().and_then(|_| crate::bench::studying::place(state, &parts.question)) { p class="sample" { (place) } }
            p class="on-the-bench" {
                @if let Some(studying) = state.studying() { strong { (crate::bench::studying::job(studying)) } br; }
                @if let Some(text) = on_it.into_iter().flatten().next() { strong translate="no" { (text) } }
                @if state.target.is_none() {
                    @match &state.feature {
                        Some(stated) => { strong translate="no" { (stated.name) } " " (asked::stated(stated)) }
                        None => strong { @match state.calibrating() { Some(calibrating) => (crate::bench::calibrating::job(calibrating)), None => (words::new_job()) } }
                    }
                }
                @if of.iter().flatten().next().is_some() {
                    br;
                    span class="of" translate="no" { (of.into_iter().flatten().collect::<Vec<_>>().join(" · ")) }
                }
            }
            p class="with" {
                // A dot stays with what it follows: no line begins with one.
                @for id in with.into_iter().flatten() { span class="id" { span translate="no" { (id) } " ·" } " " }
                @if let Some(temperature) = state.temperature.as_ref().and_then(Option::as_ref) {
                    span class="id" { (number::celsius(temperature.part.degrees(), 1)) ", " (temperature.part_material) " ·" } " "
                    @if let Some(named) = &temperature.thermometer { span class="id" { span translate="no" { (named.id) } " ·" } " " }
                }
                span class="id" { (words::station()) " " span translate="no" { (parts.app.station) } }
            }
            (ways())
        }
    }
}

/// The way through the job, the present step marked.
fn steps(parts: &Parts) -> Markup {
    let now = parts.question.step();
    // A calibration has no part and no zero.
    let of_it = |step: &Step| {
        let own = matches!(
            step,
            Step::SetUp | Step::Readings | Step::Verdict | Step::Close
        );
        own || parts.state.calibrating().is_none()
    };
    let steps = Step::ALL.into_iter().filter(of_it);
    html! {
        nav class="steps" aria-label=(words::steps()) {
            ol {
                @for step in steps {
                    @if step == now { li aria-current="step" { (asked::step(step)) } }
                    @else { li class=(if step < now { "done" } else { "to-come" }) { (asked::step(step)) } }
                }
            }
        }
    }
}

/// Under the question: what was landed, the zero, the readings.
fn beside(parts: &Parts) -> Markup {
    match parts.question.step() {
        Step::Part => {
            html! { (first_steps(parts)) (ask::so_far(parts)) (ask::options(parts)) (rules::list(parts)) (ask::limits(parts.state)) (parked::to_choose(parts)) }
        }
        Step::SetUp => html! { (ask::choices(parts)) (ask::limits(parts.state)) },
        Step::Zero => readings::zero(parts),
        Step::Readings => readings::list(parts),
        // Without a result there is only why there is none.
        Step::ClosingZero | Step::Verdict | Step::Close => {
            html! { (verdict::trouble(parts)) (readings::list(parts)) (parked::to_choose(parts)) }
        }
    }
}

/// Where something that a job needs is not registered yet, and nothing was measured: the ways to register it one after the other,
/// or to try the bench without.
fn first_steps(parts: &Parts) -> Markup {
    let register = &parts.table.register;
    let leads = parts.question == Question::Designation && parts.app.leads_to_first(register);
    let is_empty = register.pieces().is_empty();
    html! {
        @if leads {
            section class="empty-register" {
                p { @if is_empty { (say!("page.empty-register")) } @else { (say!("page.register-lacks")) } }
                ol {
                    @for kind in NEEDED {
                        li {
                            @if register.has(kind) { (say!("page.is-added", one = own_words::one(kind))) }
                            @else { a href=(format!("/equipment/new/{}", kind.key())) { (own_words::add(kind)) } }
                        }
                    }
                }
                @if is_empty {
                    p { (say!("page.empty-register-demo")) }
                    form method="post" action="/equipment/demonstration" {
                        input type="hidden" name="token" value=(parts.app.token);
                        button { (say!("page.take-demo")) }
                    }
                }
            }
        }
    }
}

fn picture(parts: &Parts) -> Markup {
    let state = parts.state;
    let large = parts.shown.view == Some(View::Tolerance);
    let at_zero = matches!(parts.question.step(), Step::Zero | Step::ClosingZero);
    let on_standard = match (&state.target, &state.standard) {
        (Some(target), Some(standard)) if at_zero => {
            figure::on_standard(target, standard, state.contacts.as_ref())
        }
        _ => None,
    };
    let against = figure::Against {
        contacts: state.contacts.as_ref(),
        wires: state.wires.as_ref().filter(|_| state.over_wires()),
    };
    let place = match &parts.question {
        Question::Reading { index } => state.plan.get(*index),
        Question::Again { of } | Question::Flagged { of } => {
            state.reading(*of).map(|reading| &reading.spot)
        }
        _ => None,
    };
    html! {
        @match (on_standard, &state.target) {
            (Some(figure), _) => (figure),
            (None, Some(target)) => (figure::section(target, against, large)),
            (None, None) => {}
        }
        @if let (Some(spot), Some(target)) = (place, &state.target) { (figure::place(spot, &state.plan, target)) }
    }
}

/// What was asked to be shown.
fn shown(parts: &Parts) -> Markup {
    html! {
        @if let Some(wanted) = &parts.shown.look_up { (look_up::shown(wanted)) }
        @match parts.shown.view {
            Some(View::Budget) => {
                section class="details" aria-label=(words::budget()) {
                    @match &parts.result {
                        Some(result) => {
                            (verdict::warnings(parts, result))
                            p {
                                @if result.decision.because.is_none() { (words::conforms(&number::probability(result.decision.conformance_probability))) " " }
                                (verdict::decided(result))
                            }
                            @if let Some(feature) = &result.feature { h2 { (words::findings()) } (findings(result, feature)) }
                            h2 { (words::corrections()) } (corrections(result))
                            h2 { (words::budget()) } (budget(result))
                        }
                        None => p { (words::no_budget_yet()) }
                    }
                }
            }
            Some(View::Keys) => (all_keys(parts)),
            Some(View::Pieces) => @if let Some(matrix) = &parts.matrix { (lots::matrix(matrix)) },
            _ => {}
        }
    }
}

fn all_keys(parts: &Parts) -> Markup {
    let state = parts.state;
    let mut typed = Vec::new();
    // In a study only the last reading is taken again, and a calibration names its points.
    if state.studying().is_none() && state.calibrating().is_none() {
        typed.push(("/r3", say!("bench.key-retake-third")));
    }
    if state.run().is_some() {
        typed.push(("/piece 7", say!("bench.key-piece")));
        typed.push(("/char 2", say!("bench.key-characteristic")));
        typed.push(("/person A. Quill", say!("bench.key-person")));
    }
    html! {
        section class="details" aria-label=(words::all_keys()) {
            h2 { (words::all_keys()) }
            table aria-label=(words::all_keys()) {
                thead { tr { th scope="col" { (words::key()) } th scope="col" { (words::word()) } th scope="col" { (words::does()) } } }
                tbody {
                    @for command in Command::ALL {
                        tr {
                            td { @if let Some(key) = command.key() { kbd { (key.to_ascii_uppercase()) } } @else { "–" } }
                            td { kbd { "/" (command.word()) } }
                            td { (asked::command(command)) }
                        }
                    }
                    @for view in View::ALL {
                        tr {
                            td { @if let Some(key) = view.key() { kbd { (key.to_ascii_uppercase()) } } @else { "–" } }
                            td { kbd { "/" (view.word()) } }
                            td { (asked::view(view)) }
                        }
                    }
                    @for (line, does) in typed {
                        tr { td { "–" } td { kbd translate="no" { (line) } } td { (does) } }
                    }
                }
            }
            p { (words::how_keys_work()) }
        }
    }
}

/// The few keys that do something now; each is a button too.
fn foot(parts: &Parts) -> Markup {
    let letters = !parts.question.takes_words();
    let commands = parts.table.commands();
    let view = |view: View| parts.shown.view == Some(view);
    let mut views = vec![View::Keys];
    if parts.state.run().is_some() {
        views.insert(0, View::Pieces);
    }
    if parts.result.is_some() {
        views.insert(0, View::Budget);
    }
    if parts.choices.iter().any(|choice| choice.unfit.is_some()) {
        views.insert(0, View::Unfit);
    }
    let has_thread = parts
        .state
        .target
        .as_ref()
        .is_some_and(|target| target.thread.is_some());
    if has_thread && parts.question.step() < Step::ClosingZero {
        views.insert(0, View::Tolerance);
    }
    html! {
        footer class="keys" {
            form method="post" action="/answer" aria-label=(words::keys()) {
                (hidden(parts))
                @if let Some(does) = asked::enter_does(asked::at_end(parts.state, &parts.question)) { span class="key" { kbd { (say!("page.enter-key")) } " " (does) } }
                @for command in commands {
                    @let key = command.key().filter(|_| letters);
                    button class="key" name="line" value=(format!("/{}", command.word())) {
                        kbd { @match (key, command) {
                            (_, Command::LookUp) => (words::look_up_as()),
                            (_, Command::Sign) => (say!("page.sign-key")),
                            (Some(key), _) => (key.to_ascii_uppercase()),
                            (None, _) => { "/" (command.word()) }
                        } }
                        " " @if command == Command::End && parts.table.waits_for_check() { (say!("bench.foot-check-first")) } @else { (asked::command(command)) }
                    }
                }
                @if let Some(End::Recorded(entry)) = &parts.state.end {
                    a class="key" href=(format!("/record/{entry}")) data-key=(RECORD_KEY) { kbd { (RECORD_KEY.to_uppercase()) } " " (say!("bench.foot-to-record")) }
                }
                @for one in views {
                    button class="key" name="line" value=(format!("/{}", one.word())) aria-pressed=(if view(one) { "true" } else { "false" }) {
                        kbd { @match one.key().filter(|_| letters || one == View::Keys) { Some(key) => (key.to_ascii_uppercase()), None => { "/" (one.word()) } } }
                        " " (asked::view(one))
                    }
                }
            }
        }
    }
}
