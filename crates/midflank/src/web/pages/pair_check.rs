//! The check of a pair of thread contacts on two plugs: the plugs to choose from, the readings as they land, and the errors with
//! the difference between them.

use maud::{Markup, html};
use metrology::calibration::PairCheck;
use workshop::bench::answer::PlugChoice;
use workshop::bench::calibration::plugs::PLUGS;
use workshop::bench::calibration::{Ask, Calibrating, OnPlugs, READINGS};
use workshop::gauge_record::calibrated::{CalibratedDocument, PairDocument};
use workshop::gauge_record::calibration::{Of, Worked};
use workshop::gauge_room::calibration::OnRecord;
use workshop::register::marked_pitches;

use super::judged::{signed, um, verdict};
use super::parts::{Parts, hidden, under_way};
use crate::bench::words;
use crate::report::size;
use crate::say;
use crate::web::curve::{self, At, Curve, Level};
use crate::words::number;

/// Thread plugs to choose from, what may be taken first; the numbers are those that the field takes.
pub fn plugs(parts: &Parts, on: &OnPlugs) -> Markup {
    let all = parts.table.plugs();
    let numbered = || all.iter().enumerate();
    html! {
        @if all.is_empty() { p { (say!("pair-check.no-plugs")) } }
        @else {
            form class="choices" method="post" action="/answer" {
                (hidden(parts))
                ol { @for (index, choice) in numbered() {
                    @let id = &choice.plug.id;
                    li class=(if choice.unfit.is_none() { "" } else { "unfit" }) {
                        @match &choice.unfit {
                            None => button name="line" value=(id) { span class="nth" { (index + 1) } " " strong class="id" translate="no" { (id) } " " span class="soft" { (described(choice, on)) } },
                            Some(why) => { span class="nth" { (index + 1) } " " s class="id" translate="no" { (id) } " " (words::why(why)) }
                        }
                    }
                } }
            }
        }
    }
}

fn described(choice: &PlugChoice, on: &OnPlugs) -> String {
    let plug = choice.plug;
    let expanded = number::entered(&plug.expanded_uncertainty);
    let said = say!(
        "pair-check.plug",
        size = words::spaced(&plug.size),
        expanded = expanded
    );
    let pitch = on.pitches.get(plug.id.trim());
    let pitch = pitch.map(|pitch| say!("pair-check.pitch-before", pitch = pitch));
    let untraced = plug.certificate.is_none();
    let untraced = untraced.then(|| say!("pair-check.no-certificate").to_owned());
    let all = std::iter::once(said).chain(pitch).chain(untraced);
    all.collect::<Vec<_>>().join(", ")
}

/// The pitches that the pair is marked for, where one is asked for.
pub fn marked(on: &OnPlugs) -> Markup {
    let marked = marked_pitches(&on.contacts);
    html! {
        @if let Some((low, high)) = marked {
            p { (say!("pair-check.marked", id = on.contacts.id, low = number::short(low, 4), high = number::short(high, 4))) }
        }
    }
}

/// Both plugs with what was read on each.
pub fn readings(parts: &Parts, calibrating: &Calibrating, on: &OnPlugs) -> Markup {
    let state = parts.state;
    let now = under_way(parts, calibrating);
    let title = say!("pair-check.readings");
    let plugs = on.plugs().iter().zip(PLUGS).enumerate();
    html! {
        div class="wide" tabindex="0" role="region" aria-label=(title) {
            table class="points" aria-label=(title) {
                thead { tr {
                    th scope="col" { (say!("paper-calibration.plug")) }
                    th scope="col" class="number" { (say!("pair-check.certified")) }
                    th scope="col" { (words::readings_so_far()) }
                } }
                tbody { @for (index, (plug, (_, pitch))) in plugs {
                    @let read = state.readings.iter().skip(index * READINGS).take(READINGS);
                    tr class=[(now == Some(index)).then_some("now")] aria-current=[(now == Some(index)).then_some("step")] {
                        td { span translate="no" { (plug.as_ref().map_or("–", |plug| &plug.id)) } " " span class="soft" { (stated(calibrating, pitch)) } }
                        td class="number" { @if let Some(plug) = plug { (words::spaced(&plug.size)) } }
                        td { @for (nth, reading) in read.enumerate() {
                            @if nth > 0 { " · " }
                            @for earlier in &reading.earlier { s { (words::spaced(earlier)) } " " }
                            span class=(if reading.flag.is_some() { "value flagged" } else { "value" }) { (words::spaced(&reading.shown)) }
                        } }
                    }
                } }
            }
        }
    }
}

fn stated(calibrating: &Calibrating, pitch: Ask) -> String {
    calibrating.pitch(pitch).map_or_else(String::new, |pitch| {
        say!(
            "pair-check.of-pitch",
            pitch = number::short(pitch.value().mm(), 4)
        )
    })
}

/// What was found: the error on each plug, and their difference against its limit. Nothing of a micrometer.
pub fn found(worked: &Worked, result: &CalibratedDocument) -> Markup {
    let (Of::Pair(check), Some(pair)) = (&worked.of, &result.pair) else {
        return html! {};
    };
    let title = say!("paper-calibration.pair");
    let errors = pair.errors_um.iter().zip(&pair.standard_uncertainties_um);
    let limit = check.limit.value().mm() * 1000.0;
    html! {
        div class="wide" tabindex="0" role="region" aria-label=(title) {
            table aria-label=(title) {
                thead { tr {
                    th scope="col" { (say!("paper-calibration.plug")) }
                    th scope="col" class="number" { (say!("pair-check.pitch")) }
                    th scope="col" class="number" { (say!("paper-calibration.error")) }
                    th scope="col" class="number" { (say!("paper-calibration.expanded")) }
                } }
                tbody { @for (plug, (error, u)) in check.plugs.iter().zip(errors) {
                    @let (error, expanded, _) = size(*error, 2.0 * u);
                    tr {
                        td translate="no" { (plug.id) }
                        td class="number" { (number::short(plug.pitch().mm(), 4)) " mm" }
                        td class="number" { (error) }
                        td class="number" { (expanded) }
                    }
                } }
            }
        }
        // In lines that break: on a phone the verdicts of a wide table would be out of sight.
        dl class="facts" aria-label=(say!("paper-calibration.held-against")) {
            div { dt { (say!("paper-calibration.difference")) } dd { (signed(pair.difference_um)) } }
            div { dt { "U" } dd { (um(2.0 * pair.standard_uncertainty_um)) } }
            div { dt { (say!("paper-calibration.limit")) } dd { (um(limit)) } }
            div { dt { (say!("paper-calibration.simple")) } dd { (verdict(&pair.simple)) } }
            div { dt { (say!("paper-calibration.guarded")) } dd { (verdict(&pair.guarded)) } }
        }
    }
}

fn points(check: &PairCheck, pair: &PairDocument) -> Vec<At> {
    let errors = pair.errors_um.iter().zip(&pair.standard_uncertainties_um);
    let points = check.plugs.iter().zip(errors).map(|(plug, (error, u))| At {
        place: plug.pitch().mm(),
        value: *error,
        expanded_uncertainty: 2.0 * u,
    });
    let mut points: Vec<At> = points.collect();
    points.sort_by(|one, other| one.place.total_cmp(&other.place));
    points
}

/// The errors over the pitch, with those of the check before. Even wear moves both; the permitted difference is drawn about their
/// middle.
pub fn picture(worked: &Worked, result: &CalibratedDocument, before: Option<&OnRecord>) -> Markup {
    let (Of::Pair(check), Some(pair)) = (&worked.of, &result.pair) else {
        return html! {};
    };
    let mut curves = Vec::new();
    if let Some(before) = before
        && let (Of::Pair(check), Some(pair)) = (&before.worked.of, &before.result.pair)
    {
        let date = before.worked.heading.date;
        curves.push(Curve {
            name: say!("gauge-page.curve-before", date = date),
            points: points(check, pair),
            earlier: true,
        });
    }
    curves.push(Curve {
        name: say!("gauge-page.curve-now", date = worked.heading.date),
        points: points(check, pair),
        earlier: false,
    });
    let [one, other] = pair.errors_um;
    let middle = f64::midpoint(one, other);
    let limit = check.limit.value().mm() * 1000.0;
    let level = |at, name, class| Level { at, name, class };
    let permitted = say!("pair-check.permitted", limit = um(limit));
    let levels = [
        level(0.0, say!("gauge-page.no-error").to_owned(), "mean"),
        level(middle + limit / 2.0, permitted, "control"),
        level(middle - limit / 2.0, String::new(), "control"),
    ];
    let alt = say!(
        "pair-check.picture",
        difference = signed(pair.difference_um),
        limit = um(limit)
    );
    curve::drawn(&alt, &curves, &levels, |at| {
        format!("{} mm", number::short(at, 4))
    })
}
