//! What the gauge room knows of a piece: its status and who has it, its certificates, its calibrations, how its zero moves, and
//! the form that changes its status.

use jiff::civil::Date;
use ledger::EntryId;
use maud::{Markup, html};
use metrology::calibration::Shape;
use metrology::chart::Series;
use metrology::units::LengthUnit;
use metrology::wear::{ZeroCheck, wear};
use workshop::bench::calibrating::is_pair;
use workshop::bench::calibration::told as told_at_bench;
use workshop::certificates_on_record as certificate;
use workshop::gauge_record::calibrated::{
    CalibratedDocument, CurveDocument, FormDocument, JudgedDocument,
};
use workshop::gauge_record::calibration::{Of, Worked};
use workshop::gauge_record::certificate::{Certified, CertifiedValue, Drift, drifts};
use workshop::gauge_record::piece::{PieceId, PieceKind};
use workshop::gauge_record::status::{Extension, Set};
use workshop::gauge_room::calibration::{self, OnRecord};
use workshop::gauge_room::due::{self, Entry, Intervals};
use workshop::gauge_room::zero_checks::{self, Checks};
use workshop::recall::Piece;
use workshop::station;
use workshop::status::{self, Changed};

use super::field::{Field, above, checked};
use super::history::{address, encoded};
use super::judged::{signed, um, verdict};
use super::pair_check;
use super::reading_page;
use super::register_form::StateForm;
use super::zero_checks::levels;
use crate::bench::fit;
use crate::bench::words as bench_words;
use crate::clock::now;
use crate::failure::Failure;
use crate::report::calibrated::receipt;
use crate::report::certified::drifted;
use crate::report::intervals::told;
use crate::report::wear::{days, found as worn};
use crate::report::{capitalised, sentence, size};
use crate::say;
use crate::web::app::App;
use crate::web::chart;
use crate::web::curve::{self, At, Curve, Level};
use crate::web::words;
use crate::words::{self as in_words, Shown, number};

/// What the errors as found make of the calibration interval: by each method, with what it was computed from.
fn interval(intervals: &Intervals) -> Markup {
    let title = say!("gauge-page.interval");
    html! {
        section aria-labelledby="interval" {
            h2 id="interval" { (title) }
            ul { @for line in told(intervals) { li { (sentence(&line)) } } }
            @if let Some(next) = intervals.next_due() { p { (say!("gauge-page.next-due", next = next)) } }
            div class="wide" tabindex="0" role="region" aria-label=(title) {
                table aria-label=(title) {
                    thead { tr {
                        th scope="col" { (say!("paper-calibration.date")) }
                        th scope="col" class="number" { (say!("gauge-page.largest-found")) }
                    } }
                    tbody { @for found in intervals.found.iter().rev() { tr {
                        td class="when" { (found.on) }
                        td class="number" { (number::fixed(found.error, 2)) " µm" }
                    } } }
                }
            }
        }
    }
}

/// How far a zero may move either way, micrometres, and the probability of a bound of the day on which it has: as `midflank
/// wear` takes them where nothing is stated.
const ZERO_LIMIT: f64 = 5.0;
const PROBABILITY: f64 = 0.95;

/// What the gauge room knows of a piece.
pub struct Known {
    pub piece: PieceId,
    today: Date,
    entry: Entry,
    /// When the gauge room set it due and by what it extended that, where it still holds.
    set_due: Option<Date>,
    extension: Option<Extension>,
    changes: Vec<Changed>,
    certificates: Vec<certificate::OnRecord>,
    calibrations: Vec<OnRecord>,
    /// What its calibrations make of the interval; none where it was not calibrated in house.
    intervals: Option<Intervals>,
}

impl Known {
    /// None where it knows nothing of it.
    pub fn of(app: &App, piece: PieceId) -> Result<Option<Self>, Failure> {
        let today = fit::today(now()?);
        let Some(entry) = due::of(&app.ledger, &piece, today)? else {
            return Ok(None);
        };
        let (set_due, extension) = due::set_of(&app.ledger, &app.books()?.register, &piece)?;
        Ok(Some(Self {
            changes: status::changes(&app.ledger, Some(&piece))?,
            certificates: certificate::of(&app.ledger, Some(&piece))?,
            calibrations: calibration::of(&app.ledger, &piece)?,
            intervals: due::intervals(&app.ledger, &piece)?,
            set_due,
            extension,
            today,
            entry,
            piece,
        }))
    }

    /// What holds of it now, as facts.
    pub fn facts(&self) -> Markup {
        let entry = &self.entry;
        let word = in_words::word(&entry.standing.status);
        let alarming = entry.standing.status.is_barred() || entry.left.is_some_and(|left| left < 0);
        let extension = self.extension.as_ref();
        let uses = in_words::list(entry.standing.limited_to.iter().cloned());
        html! {
            div { dt { (say!("gauge-page.status")) } dd { @if alarming { strong class="barred" { (word) } } @else { (word) } } }
            div { dt { (words::due()) } dd { @match entry.standing.due { Some(due) => (due), None => "–" } } }
            div { dt { (say!("gauge-page.holder")) } dd translate="no" { (entry.standing.holder.as_deref().unwrap_or("–")) } }
            @if !uses.is_empty() { div { dt { (say!("gauge-page.uses")) } dd translate="no" { (uses) } } }
            @if let Some(extension) = extension {
                div { dt { (say!("gauge-page.extension")) } dd {
                    (extended(extension))
                } }
            }
        }
    }

    /// Where a recall of it begins, and its calibration at the bench.
    pub fn actions(&self, app: &App) -> Result<Markup, Failure> {
        let kind = self.piece.kind();
        let recall = kind.and_then(|kind| begin_with(kind, &self.piece.id));
        let is_pair = is_pair(&app.books()?.register, &self.piece);
        let calibrates = is_pair || kind == Some(PieceKind::Instrument);
        let busy = calibrates && app.under_way()?.is_some();
        Ok(html! {
            @if let Some(recall) = recall { p { a class="action" href=(recall) { (say!("recall-case.begin")) } } }
            p { a class="action" href=(format!("{}/certificate", address_of(&self.piece))) { (say!("certificate-page.add")) } }
            @if busy { p class="soft" { (say!("calibrate.busy")) } }
            @else if calibrates {
                form method="post" action="/answer" {
                    input type="hidden" name="token" value=(app.token);
                    input type="hidden" name="job" value="0";
                    input type="hidden" name="after" value="0";
                    button name="line" value=(told_at_bench::begins(&self.piece.id)) { (if is_pair { say!("pair-check.begin") } else { say!("calibrate.begin") }) }
                }
            }
        })
    }

    /// Its calibrations, its certificates and how its zero moves; what there is nothing of is left out.
    pub fn history(&self, app: &App) -> Result<Markup, Failure> {
        Ok(html! {
            @if let Some(last) = self.calibrations.last() {
                section aria-labelledby="calibrations" {
                    h2 id="calibrations" { (say!("gauge-page.calibrations")) }
                    (self.calibrations_table())
                    h3 { (title_of(last)) } (calibrated(last, self.before_the_last()))
                }
            }
            @if let Some(intervals) = &self.intervals { (interval(intervals)) }
            @if !self.certificates.is_empty() {
                section aria-labelledby="certificates" {
                    h2 id="certificates" { (say!("gauge-page.certificates")) }
                    (self.certificates())
                }
            }
            @if self.piece.kind() == Some(PieceKind::Contacts) { (zero_moves(app, &self.piece.id)?) }
        })
    }

    fn before_the_last(&self) -> Option<&OnRecord> {
        self.calibrations.iter().rev().nth(1)
    }

    fn calibrations_table(&self) -> Markup {
        let heads = [
            say!("gauge-page.entry"),
            say!("paper-calibration.number"),
            say!("paper-calibration.date"),
            bench_words::person(),
            say!("gauge-page.largest-found"),
            say!("gauge-page.criterion"),
            bench_words::verdict(),
            words::due(),
        ];
        html! {
            div class="wide" tabindex="0" role="region" aria-label=(say!("gauge-page.calibrations")) {
                table aria-label=(say!("gauge-page.calibrations")) {
                    thead { tr { @for head in heads { th scope="col" { (head) } } } }
                    tbody { @for one in self.calibrations.iter().rev() { tr {
                        td { (record(one.entry)) }
                        td translate="no" { (one.worked.heading.number) }
                        td class="when" { (one.worked.heading.date) }
                        td translate="no" { (one.worked.person) }
                        td { (found(&one.result)) }
                        td { (criterion(&one.worked)) }
                        td { (verdict(&one.result.verdict)) }
                        td class="when" { @match one.worked.due { Some(due) => (due), None => "–" } }
                    } } }
                }
            }
        }
    }

    /// The certificates, and each of their values over time.
    fn certificates(&self) -> Markup {
        let certified: Vec<Certified> = self
            .certificates
            .iter()
            .map(|one| one.certified.clone())
            .collect();
        let drifts = drifts(&certified);
        let mut quantities: Vec<(&str, Option<f64>)> = Vec::new();
        for value in certified.iter().flat_map(|one| &one.values) {
            let named = (value.quantity.as_str(), value.at);
            if !quantities.contains(&named) {
                quantities.push(named);
            }
        }
        let heads = [
            say!("gauge-page.entry"),
            say!("paper-calibration.number"),
            say!("gauge-page.dated"),
            say!("paper-calibration.issuer"),
            say!("gauge-page.traceability"),
            words::due(),
        ];
        html! {
            div class="wide" tabindex="0" role="region" aria-label=(say!("gauge-page.certificates")) {
                table aria-label=(say!("gauge-page.certificates")) {
                    thead { tr { @for head in heads { th scope="col" { (head) } } } }
                    tbody { @for one in self.certificates.iter().rev() {
                        @let heading = &one.certified.heading;
                        tr {
                            td { (record(one.entry)) }
                            td translate="no" { (heading.number) }
                            td class="when" { (heading.date) }
                            td translate="no" { (heading.issuer) }
                            td { (in_words::said(&heading.traced())) }
                            td class="when" { @match one.certified.due { Some(due) => (due), None => "–" } }
                        }
                    } }
                }
            }
            @for (quantity, at) in quantities { (value_over_time(quantity, at, &certified, &drifts)) }
        }
    }

    /// Where the form for another status is, and every change so far.
    pub fn status(&self, app: &App, form: &StateForm) -> Markup {
        html! {
            section aria-labelledby="status" {
                h2 id="status" { (say!("gauge-page.change-status")) }
                p { (say!("gauge-page.change-status-long")) }
                (self.form(app, form))
                @if !self.changes.is_empty() {
                    div class="wide" tabindex="0" role="region" aria-label=(say!("gauge-page.changes")) {
                        table aria-label=(say!("gauge-page.changes")) {
                            thead { tr { @for head in [say!("gauge-page.entry"), &bench_words::when(), bench_words::person(), say!("gauge-page.status"), say!("gauge-page.holder"), words::due(), say!("gauge-page.extension"), words::why()] { th scope="col" { (head) } } } }
                            tbody { @for changed in self.changes.iter().rev() { tr {
                                td { (record(changed.entry)) }
                                td class="when" { (number::on_the_wall(changed.at)) }
                                td translate="no" { (changed.person) }
                                td { (in_words::named("status-set", &changed.change.status)) @if !changed.change.limited_to.is_empty() { ": " span translate="no" { (in_words::list(changed.change.limited_to.iter().cloned())) } } }
                                td translate="no" { (changed.change.holder.as_deref().unwrap_or("–")) }
                                td class="when" { @match changed.change.due { Some(due) => (due), None => "–" } }
                                td { @match &changed.change.extension { Some(extension) => span translate="no" { (extended(extension)) }, None => "–" } }
                                td translate="no" { (changed.change.reason) }
                            } } }
                        }
                    }
                }
            }
        }
    }

    /// What the form holds before anything is typed: what holds now, but no reason.
    fn now(&self, key: &str) -> String {
        let Some(change) = self.changes.last().map(|changed| &changed.change) else {
            return String::new();
        };
        let extension = self.extension.as_ref();
        let extension = extension.filter(|extension| extension.until >= self.today);
        match key {
            "status" => change.status.clone(),
            "holder" => change.holder.clone().unwrap_or_default(),
            "limited_to" => change.limited_to.join(" "),
            "due" => self.set_due.map_or_else(String::new, |due| due.to_string()),
            "extend_until" => extension.map_or_else(String::new, |one| one.until.to_string()),
            "check" => extension.map_or_else(String::new, |one| one.check.clone()),
            _ => String::new(),
        }
    }

    fn form(&self, app: &App, form: &StateForm) -> Markup {
        let value = |key: &str| match form.typed.get(key) {
            Some(typed) => typed.clone(),
            None => self.now(key),
        };
        let chosen = value("status");
        let day = say!("gauge-page.day-example");
        let fields = [
            (
                "reason",
                words::why(),
                true,
                say!("gauge-page.reason-example"),
            ),
            ("person", bench_words::person(), true, ""),
            (
                "holder",
                say!("gauge-page.holder"),
                false,
                say!("gauge-page.holder-help"),
            ),
            (
                "limited_to",
                say!("gauge-page.uses"),
                false,
                say!("gauge-page.uses-help"),
            ),
            ("due", say!("gauge-page.due"), false, day),
            (
                "extend_until",
                say!("gauge-page.extend-until"),
                false,
                say!("gauge-page.extend-until-help"),
            ),
            (
                "check",
                say!("gauge-page.check"),
                false,
                say!("gauge-page.check-help"),
            ),
        ];
        let choices = Set::EVERY
            .iter()
            .map(|set| (set.key(), in_words::word(set)));
        let field = |key, label| Field {
            id: format!("status-{key}"),
            ..checked(key, label, &form.faults)
        };
        html! {
            form class="describe" method="post" action=(format!("{}/status", address_of(&self.piece))) autocomplete="off" {
                input type="hidden" name="token" value=(app.token);
                (above(form.wrong.as_deref(), form.faults.len()))
                div class="fields" {
                    div { (field("status", say!("gauge-page.status")).choice(choices, &chosen)) }
                    @for (key, label, needed, help) in fields {
                        div { (Field { needed, help: Some(html! { (help) }), ..field(key, label) }.line(&value(key))) }
                    }
                }
                p { button { (words::put()) } }
            }
        }
    }
}

/// The page of a piece that no job names, and that the register does not have; none where the gauge room knows nothing of it.
pub fn page(app: &App, piece: PieceId, form: &StateForm) -> Result<Option<Markup>, Failure> {
    let Some(known) = Known::of(app, piece)? else {
        return Ok(None);
    };
    let content = html! {
        header {
            p class="kind" { (capitalised(&in_words::named("piece-kind", &known.piece.kind))) }
            h1 translate="no" { (known.piece.id) }
            dl class="facts" { (known.facts()) }
        }
        (known.history(app)?)
        (known.status(app, form))
        p { a href="/equipment" { (words::to_the_list()) } }
    };
    Ok(Some(reading_page(&known.piece.id, &content)))
}

/// What the gauge room looks after and the register does not have, for the list.
pub fn others(app: &App) -> Result<Markup, Failure> {
    let today = fit::today(now()?);
    let mut all = due::calendar(&app.ledger, today)?;
    let register = &app.books()?.register;
    all.retain(|entry| {
        let kind = entry.piece.kind().and_then(PieceKind::registered);
        kind.is_none_or(|kind| register.find(kind, &entry.piece.id).is_none())
    });
    all.sort_by(|one, other| one.piece.cmp(&other.piece));
    if all.is_empty() {
        return Ok(html! {});
    }
    let title = say!("gauge-page.others");
    Ok(html! {
        section aria-labelledby="others" {
            h2 id="others" { (title) }
            div class="wide" tabindex="0" role="region" aria-label=(title) {
                table class="owned" aria-label=(title) {
                    thead { tr { @for head in [words::piece(), say!("due.kind"), say!("gauge-page.status"), words::due(), say!("gauge-page.holder")] { th scope="col" { (head) } } } }
                    tbody { @for entry in &all { tr {
                        td { a href=(address_of(&entry.piece)) translate="no" { (entry.piece.id) } }
                        td { (in_words::named("piece-kind", &entry.piece.kind)) }
                        td {
                            @let word = in_words::word(&entry.standing.status);
                            @if entry.standing.status.is_barred() { strong class="barred" { (word) } } @else { (word) }
                            @if !entry.standing.limited_to.is_empty() { ": " span translate="no" { (in_words::list(entry.standing.limited_to.iter().cloned())) } }
                        }
                        td class="when" { @match entry.standing.due { Some(due) => (due), None => "–" } @if let Some(until) = entry.standing.extended_until() { ", " (say!("due.extended", until = until)) } }
                        td translate="no" { (entry.standing.holder.as_deref().unwrap_or("–")) }
                    } } }
                }
            }
        }
    })
}

/// The address of the form of a recall with a piece in it; none of a kind that nothing is recalled of.
pub fn begin_with(kind: PieceKind, id: &str) -> Option<String> {
    let registered = kind.registered()?;
    let mut all = Piece::EVERY.iter();
    let piece = all.find(|piece| piece.kinds().contains(&registered))?;
    let id = encoded(id);
    Some(format!("/recalls?piece={}&id={id}#begin", piece.key()))
}

/// The address of any piece.
pub fn address_of(piece: &PieceId) -> String {
    format!("/equipment/{}/{}", encoded(&piece.kind), encoded(&piece.id))
}

/// A calibration on its record: what was found, with the curve of the one before, and what it is held against.
pub fn calibration_on_record(app: &App, entry: &ledger::Entry) -> Result<Markup, Failure> {
    let (worked, result) = (calibration::worked(entry)?, calibration::as_read(entry)?);
    let one = OnRecord {
        entry: entry.id(),
        worked,
        result,
    };
    let piece = one.worked.piece();
    let mut all = calibration::of(&app.ledger, &piece)?;
    let is_before = |other: &OnRecord| {
        other.entry != one.entry && other.worked.heading.date < one.worked.heading.date
    };
    all.retain(is_before);
    let heading = &one.worked.heading;
    Ok(html! {
        p { (verdict(&one.result.verdict)) }
        dl class="facts" {
            div { dt { (in_words::named("piece-kind", &piece.kind)) } dd { a href=(address_of(&piece)) translate="no" { (piece.id) } } }
            div { dt { (say!("paper-calibration.number")) } dd translate="no" { (heading.number) } }
            div { dt { (say!("paper-calibration.date")) } dd { (heading.date) } }
            div { dt { (say!("gauge-page.criterion")) } dd { (criterion(&one.worked)) } }
            div { dt { (say!("gauge-page.largest-found")) } dd { (found(&one.result)) } }
            div { dt { (bench_words::person()) } dd translate="no" { (one.worked.person) } }
            div { dt { (words::due()) } dd { @match one.worked.due { Some(due) => (due), None => "–" } } }
            div { dt { (say!("paper.receipt")) } dd { (receipt(&one.worked)) } }
        }
        h2 { (title_of(&one)) } (calibrated(&one, all.last()))
        (faces(&one.result))
        p class="soft" { (in_words::said(&one.result.traceability)) }
    })
}

/// An extension: until when, by whom, why, and by what check.
fn extended(one: &Extension) -> String {
    say!(
        "gauge-page.extended",
        until = one.until,
        by = one.by,
        reason = one.reason,
        check = one.check
    )
}

fn record(entry: EntryId) -> Markup {
    html! { a href=(address("record", &entry.to_string())) translate="no" { (entry) } }
}

/// What a calibration found: of a curve span and largest error, of a pair the difference between its plugs.
fn found(result: &CalibratedDocument) -> String {
    match (&result.found, &result.pair) {
        (Some(curve), _) => say!(
            "calibration.span",
            span = um(curve.span_um),
            largest = signed(curve.largest_um)
        ),
        (None, Some(pair)) => signed(pair.difference_um),
        (None, None) => "–".to_owned(),
    }
}

fn criterion(worked: &Worked) -> String {
    match &worked.of {
        Of::Micrometer(calibration) => say!(
            "paper-calibration.criterion",
            shape = in_words::word(&calibration.criterion.shape),
            limit = um(calibration.criterion.limit.value().mm() * 1000.0)
        ),
        Of::Pair(check) => say!(
            "paper-calibration.criterion-of-pair",
            limit = um(check.limit.value().mm() * 1000.0)
        ),
    }
}

/// The title of a calibration.
fn title_of(one: &OnRecord) -> String {
    let heading = &one.worked.heading;
    let (number, date) = (&heading.number, heading.date);
    match &one.worked.of {
        Of::Micrometer(_) => say!("gauge-page.last-calibration", number = number, date = date),
        Of::Pair(_) => say!("pair-check.last", number = number, date = date),
    }
}

/// The last calibration: its curve beside the one before, its points and what they are held against.
fn calibrated(last: &OnRecord, before: Option<&OnRecord>) -> Markup {
    html! {
        @if let Some(curve) = &last.result.found { (error_curve(&last.worked, &last.result, before)) (curve_tables(last, curve)) }
        (pair_check::picture(&last.worked, &last.result, before)) (pair_check::found(&last.worked, &last.result))
        (notes(&last.result))
        p { a href=(format!("/records/{}.pdf", last.entry)) { (say!("gauge-page.certificate-pdf")) } }
    }
}

/// Flatness and parallelism of the faces, as far as they were checked.
pub fn faces(result: &CalibratedDocument) -> Markup {
    let flat = result.flatness.iter().enumerate();
    let flat = flat.map(|(index, form)| {
        let name = say!("paper-calibration.flatness", face = index + 1);
        (name, form)
    });
    let parallel = result.parallelism.iter();
    let parallel = parallel.map(|form| (say!("paper-calibration.parallelism").to_owned(), form));
    let all: Vec<(String, &FormDocument)> = flat.chain(parallel).collect();
    html! {
        @if !all.is_empty() {
            div class="wide" tabindex="0" role="region" aria-label=(say!("calibrate.faces")) {
                table aria-label=(say!("calibrate.faces")) {
                    thead { tr {
                        th scope="col" { (say!("calibrate.faces")) }
                        th scope="col" class="number" { (say!("paper-calibration.value")) }
                        th scope="col" class="number" { (say!("paper-calibration.limit")) }
                        th scope="col" { (say!("paper-calibration.simple")) }
                        th scope="col" { (say!("paper-calibration.guarded")) }
                    } }
                    tbody { @for (name, form) in &all { tr {
                        td { (name) }
                        td class="number" { (um(form.value_um)) }
                        td class="number" { (um(form.limit_um)) }
                        td { (verdict(&form.simple)) }
                        td { (verdict(&form.guarded)) }
                    } } }
                }
            }
        }
    }
}

/// What is remarked on a calibration.
pub fn notes(result: &CalibratedDocument) -> Markup {
    let shown = Shown::in_unit(LengthUnit::Millimetre);
    html! {
        @if !result.notes.is_empty() { ul class="warnings" { @for note in &crate::report::calibrated::notes(result) { li { (in_words::on_page(note, shown)) } } } }
    }
}

fn points(curve: &CurveDocument) -> Vec<At> {
    let points = curve.points.iter().map(|point| At {
        place: point.at_mm,
        value: point.error_um,
        expanded_uncertainty: point.expanded_uncertainty_um,
    });
    points.collect()
}

/// The error curve of a micrometer, as left where it was adjusted, with the one before and the limits of its criterion.
pub fn error_curve(
    worked: &Worked,
    result: &CalibratedDocument,
    before: Option<&OnRecord>,
) -> Markup {
    let (Of::Micrometer(calibration), Some(goes_on)) = (&worked.of, result.goes_on_with()) else {
        return html! {};
    };
    let drawn = |name: String, curve: &CurveDocument, earlier| Curve {
        name,
        points: points(curve),
        earlier,
    };
    let mut curves = Vec::new();
    if let Some(before) = before
        && let Some(curve) = before.result.goes_on_with()
    {
        let heading = &before.worked.heading;
        curves.push(drawn(
            say!("gauge-page.curve-before", date = heading.date),
            curve,
            true,
        ));
    }
    if let (Some(found), Some(_)) = (&result.found, &result.left) {
        curves.push(drawn(
            say!("gauge-page.curve-found").to_owned(),
            found,
            true,
        ));
    }
    let name = match &result.left {
        Some(_) => say!("gauge-page.curve-left").to_owned(),
        None => say!("gauge-page.curve-now", date = worked.heading.date),
    };
    curves.push(drawn(name, goes_on, false));
    let limit = calibration.criterion.limit.value().mm() * 1000.0;
    let errors = goes_on.points.iter().map(|point| point.error_um);
    let (least, most) = errors.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), error| {
        (low.min(error), high.max(error))
    });
    let either_way = calibration.criterion.shape == Shape::EitherWay;
    // A span may lie anywhere: it is drawn about the middle of the errors.
    let (middle, reach) = if either_way {
        (0.0, limit)
    } else {
        (f64::midpoint(least, most), limit / 2.0)
    };
    let name = |at: f64| {
        if either_way {
            say!("gauge-page.limit", at = signed(at))
        } else {
            say!("gauge-page.span-limit", limit = um(limit))
        }
    };
    let levels = [
        Level {
            at: 0.0,
            name: say!("gauge-page.no-error").to_owned(),
            class: "mean",
        },
        Level {
            at: middle + reach,
            name: name(middle + reach),
            class: "control",
        },
        Level {
            at: middle - reach,
            name: if either_way {
                name(-reach)
            } else {
                String::new()
            },
            class: "control",
        },
    ];
    let largest = goes_on
        .points
        .iter()
        .map(|point| point.error_um.abs() + point.expanded_uncertainty_um);
    let alt = say!(
        "paper-calibration.curve",
        n = goes_on.points.len(),
        reach = um(largest.fold(0.0, f64::max))
    );
    curve::drawn(&alt, &curves, &levels, |at| {
        format!("{} mm", number::short(at, 3))
    })
}

fn curve_tables(one: &OnRecord, found: &CurveDocument) -> Markup {
    let both = [
        (say!("calibration.as-found"), Some(found)),
        (say!("calibration.as-left"), one.result.left.as_ref()),
    ];
    let curves = both
        .into_iter()
        .filter_map(|(name, curve)| Some((name, curve?)));
    html! {
        @for (name, curve) in curves {
            details open[one.result.left.is_none()] {
                summary { (name) }
                (point_table(name, curve))
                (judged_table(&curve.judged))
            }
        }
    }
}

/// The points of a curve.
pub fn point_table(name: &str, curve: &CurveDocument) -> Markup {
    html! {
        div class="wide" tabindex="0" role="region" aria-label=(name) {
            table aria-label=(name) {
                thead { tr { @for head in ["at", "error", "expanded", "k"] { th scope="col" class="number" { (in_words::named("paper-calibration", head)) } } } }
                tbody { @for point in &curve.points {
                    @let (error, expanded, _) = size(point.error_um, point.expanded_uncertainty_um);
                    tr {
                        td class="number" { (number::fixed(point.at_mm, 4)) }
                        td class="number" { (error) }
                        td class="number" { (expanded) }
                        td class="number" { (number::fixed(point.coverage_factor, 2)) }
                    }
                } }
            }
        }
    }
}

/// What a curve is held against.
pub fn judged_table(judged: &[JudgedDocument]) -> Markup {
    html! {
        div class="wide" tabindex="0" role="region" aria-label=(say!("paper-calibration.held-against")) {
            table aria-label=(say!("paper-calibration.held-against")) {
                thead { tr {
                    th scope="col" { (say!("paper-calibration.held-against")) }
                    th scope="col" class="number" { (say!("paper-calibration.value")) }
                    th scope="col" class="number" { (say!("paper-calibration.limit")) }
                    th scope="col" { (say!("paper-calibration.simple")) }
                    th scope="col" { (say!("paper-calibration.guarded")) }
                } }
                tbody { @for one in judged { tr {
                    td { (in_words::named("calibration-norm", &one.norm)) ", " (in_words::named("criterion-shape", &one.shape)) }
                    td class="number" { (um(one.value_um.abs())) }
                    td class="number" { (um(one.limit_um)) }
                    td { (verdict(&one.simple)) }
                    td { (verdict(&one.guarded)) }
                } } }
            }
        }
    }
}

/// One certified value over the years.
fn value_over_time(
    quantity: &str,
    at: Option<f64>,
    certified: &[Certified],
    drifts: &[Drift],
) -> Markup {
    let all: Vec<(Date, &str, &CertifiedValue)> = certified
        .iter()
        .flat_map(|one| {
            let named = one.values.iter();
            let named = named.filter(|value| value.quantity == quantity && value.at == at);
            named.map(|value| (one.heading.date, one.heading.number.as_str(), value))
        })
        .collect();
    let Some((_, _, last)) = all.last() else {
        return html! {};
    };
    let title = match at {
        Some(at) => say!(
            "gauge-page.quantity-at",
            quantity = quantity,
            at = number::given(at),
            unit = last.unit
        ),
        None => quantity.to_owned(),
    };
    let drift = drifts.iter();
    let drift = drift.filter(|drift| drift.quantity == quantity && drift.at == at);
    let values = Curve {
        name: title.clone(),
        points: all
            .iter()
            .map(|(date, _, value)| At {
                place: days(*date),
                value: value.value,
                expanded_uncertainty: value.expanded_uncertainty,
            })
            .collect(),
        earlier: false,
    };
    let level = last.wear_limit.map(|limit| Level {
        at: limit,
        name: say!(
            "gauge-page.wear-limit",
            limit = number::given(limit),
            unit = last.unit
        ),
        class: "limit",
    });
    let alt = say!("gauge-page.over-time", n = all.len(), quantity = title);
    let on = |place: f64| {
        let found = all
            .iter()
            .find(|(date, ..)| (days(*date) - place).abs() < 0.5);
        found.map_or_else(String::new, |(date, ..)| date.to_string())
    };
    html! {
        h3 { (title) }
        @for drift in drift { p { (sentence(&drifted(drift))) } }
        @if all.len() > 1 { (curve::drawn(&alt, &[values], level.as_slice(), on)) }
        div class="wide" tabindex="0" role="region" aria-label=(title) {
            table aria-label=(title) {
                thead { tr {
                    th scope="col" { (say!("gauge-page.dated")) }
                    th scope="col" { (say!("paper-calibration.number")) }
                    th scope="col" class="number" { (say!("paper-calibration.value")) }
                    th scope="col" class="number" { "U" }
                    th scope="col" class="number" { "k" }
                } }
                tbody { @for (date, certificate, value) in all.iter().rev() { tr {
                    td class="when" { (date) }
                    td translate="no" { (certificate) }
                    td class="number" { (number::given(value.value)) " " (value.unit) }
                    td class="number" { (number::given(value.expanded_uncertainty)) " " (value.unit) }
                    td class="number" { (number::given(value.coverage_factor)) }
                } } }
            }
        }
    }
}

/// The checks in their order, with the limits of each series.
fn zero_chart(title: &str, checks: &Checks, series: &[Series]) -> Markup {
    let errors: Vec<f64> = checks.checks.iter().map(|check| check.error_um).collect();
    let signals = series.iter().flat_map(|series| &series.signals);
    let marked: Vec<usize> = signals.map(|(index, _)| *index).collect();
    let day = |index: usize| {
        let check = checks.checks.get(index);
        check.map_or_else(String::new, |check| station::day(check.at).to_string())
    };
    let levels = levels(series);
    chart::run(
        title,
        &errors,
        &levels,
        &marked,
        &checks.restarts,
        signed,
        day,
    )
}

/// What the zero checks of a pair say of its wear, for each micrometer and standard; nothing where there are none.
fn zero_moves(app: &App, contacts: &str) -> Result<Markup, Failure> {
    let all = match zero_checks::of(&app.ledger, contacts) {
        Ok(all) => all,
        Err(error) if error.is_input() => return Ok(html! {}),
        Err(error) => return Err(error.into()),
    };
    let told = all.iter().map(|checks| {
        let found: Vec<ZeroCheck> = checks
            .checks
            .iter()
            .map(|check| ZeroCheck {
                day: days(station::day(check.at)),
                error: check.error_um,
            })
            .collect();
        let found = wear(
            &found,
            &checks.restarts,
            checks.step_um,
            ZERO_LIMIT,
            PROBABILITY,
        );
        let title = say!(
            "wear.set-up",
            instrument = checks.instrument,
            standard = checks.standard,
            n = checks.checks.len()
        );
        let lines = worn(&found);
        html! {
            h3 { (title) }
            (zero_chart(&title, checks, &found.series))
            ul { @for line in lines { li { (sentence(&line)) } } }
        }
    });
    let title = say!("gauge-page.zero-moves");
    Ok(html! {
        section aria-labelledby="zero-moves" {
            h2 id="zero-moves" { (title) }
            p { (say!("gauge-page.zero-moves-long", limit = um(ZERO_LIMIT), chance = number::whole_percent(PROBABILITY))) }
            @for one in told { (one) }
            p { a href=(address("contacts", contacts)) { (words::zero_chart()) } }
        }
    })
}
