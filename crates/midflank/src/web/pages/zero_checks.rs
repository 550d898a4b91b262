//! The zero checks of a pair of contacts, as a control chart that begins anew with every intervention.

use ledger::Entry;
use maud::{Markup, html};
use metrology::chart::{FEWEST, Individuals, Series, THREE_SIGMA_OF_RANGE, series};
use metrology::inspection::Job;

use super::history::touching;
use super::reading_page;
use crate::bench::event::When;
use crate::bench::words;
use crate::document::Inspected;
use crate::failure::Failure;
use crate::register::{self, Kind};
use crate::web::app::App;
use crate::web::chart::{self, Level};
use crate::web::words as own_words;
use crate::words::number;
use workshop::station;

/// The zero error found before a job in micrometres, whatever unit the job was in.
pub fn zero_error(result: &Inspected) -> f64 {
    result.zero_error.before * result.unit.tenth_nanometres() as f64 / 10_000.0
}

/// One check: before the readings of a record, or after them.
struct Check<'a> {
    record: usize,
    entry: &'a Entry,
    job: &'a Job,
    when: When,
    /// Micrometres.
    error: f64,
}

/// The page of a pair, one chart for each micrometer that it was used in; none where no record has it.
pub fn page(app: &App, id: &str) -> Result<Option<Markup>, Failure> {
    let records = touching(app, "contacts", id)?;
    if records.is_empty() {
        return Ok(None);
    }
    let mut instruments: Vec<&str> = Vec::new();
    for (_, job, _) in &records {
        if !instruments.contains(&job.instrument.id.as_str()) {
            instruments.push(&job.instrument.id);
        }
    }
    let title = format!("{} {id}", words::zero_checks_of());
    let charts = instruments.into_iter().map(|instrument| {
        let with = records
            .iter()
            .filter(|(_, job, _)| job.instrument.id == instrument);
        chart_of(app, instrument, &with.cloned().collect::<Vec<_>>())
    });
    let content = html! {
        h1 { (title) }
        p { (words::zero_chart(THREE_SIGMA_OF_RANGE)) }
        @for chart in charts.collect::<Result<Vec<_>, _>>()? { (chart) }
    };
    Ok(Some(reading_page(&title, &content)))
}

/// The chart of a pair in one micrometer, and the table of its checks.
fn chart_of(
    app: &App,
    instrument: &str,
    records: &[(Entry, Job, Inspected)],
) -> Result<Markup, Failure> {
    let Some((_, first, _)) = records.first() else {
        return Ok(html! {});
    };
    let unit = first.standard.size.unit();
    let checks = checks(records);
    let errors: Vec<f64> = checks.iter().map(|check| check.error).collect();
    let show = |micrometres: f64| number::difference(micrometres / 1000.0, unit);
    // What was done before a record was done before its first check.
    let restarts: Vec<(usize, String)> = restarts(app, records)?
        .into_iter()
        .filter_map(|(record, why)| {
            let at = checks.iter().position(|check| check.record == record)?;
            Some((at, why))
        })
        .collect();
    let starts: Vec<usize> = restarts.iter().map(|(index, _)| *index).collect();
    let resolution = first.instrument.resolution.as_ref();
    let step = resolution.map_or(0.0, |step| step.value().mm() * 1000.0);
    let series = series(&errors, &starts, step);
    let signals: Vec<_> = series.iter().flat_map(|series| &series.signals).collect();
    let marked: Vec<usize> = signals.iter().map(|(index, _)| *index).collect();
    let day = |index: usize| {
        let check = checks.get(index);
        check.map_or_else(String::new, |check| {
            station::day(check.job.measured_at).to_string()
        })
    };
    let title = format!("{} {instrument}", words::instrument());
    Ok(html! {
        section {
            h2 { (title) }
            @if series.last().is_none_or(|last| last.limits.is_none()) { p { (words::too_few_checks(FEWEST)) } }
            (chart::run(&title, &errors, &levels(&series), &marked, &starts, show, day))
            div class="wide" tabindex="0" role="region" aria-label=(title) {
                table aria-label=(title) {
                    thead { tr { th scope="col" { (words::record()) } th scope="col" { (words::when()) } th scope="col" { (words::standard()) } th scope="col" { (words::check()) }
                        th scope="col" class="number" { (words::zero_found()) } th scope="col" { (words::remark()) } } }
                    tbody {
                        @for (index, check) in checks.iter().enumerate() {
                            tr {
                                td { a href=(format!("/record/{}", check.entry.id())) { (check.entry.id()) } }
                                td class="when" { (number::on_the_wall(check.job.measured_at)) } td translate="no" { (check.job.standard.id) }
                                td { (crate::words::name(&check.when)) }
                                td class="number" { (show(check.error)) }
                                td {
                                    @for (at, why) in &restarts { @if *at == index { (own_words::begins_anew(why)) " " } }
                                    @for (at, signal) in &signals { @if *at == index { (own_words::signal(*signal)) } }
                                }
                            }
                        }
                    }
                }
            }
        }
    })
}

/// Opening and closing checks in their order. The closing check of one part that is the opening check of the next is one.
fn checks(records: &[(Entry, Job, Inspected)]) -> Vec<Check<'_>> {
    let mut checks = Vec::new();
    let mut closed_with = None;
    for (record, (entry, job, result)) in records.iter().enumerate() {
        let micrometres = |error: f64| error * result.unit.tenth_nanometres() as f64 / 10_000.0;
        let mut check = |when, error| {
            checks.push(Check {
                record,
                entry,
                job,
                when,
                error: micrometres(error),
            });
        };
        if closed_with != Some(&job.zero.before) {
            check(When::Before, result.zero_error.before);
        }
        if let Some(after) = result.zero_error.after {
            check(When::After, after);
        }
        closed_with = Some(&job.zero.after).filter(|after| !after.is_empty());
    }
    checks
}

/// The limits of each series over its own values; the last ones by name. Before there are any, a point is seen against no
/// error at all.
pub fn levels(series: &[Series]) -> Vec<Level<'static>> {
    let with_limits: Vec<(&Series, &Individuals)> = series
        .iter()
        .filter_map(|series| Some((series, series.limits.as_ref()?)))
        .collect();
    if with_limits.is_empty() {
        return vec![Level {
            at: 0.0,
            over: None,
            name: words::no_error(),
            class: "mean",
        }];
    }
    let last = with_limits.len() - 1;
    with_limits
        .into_iter()
        .enumerate()
        .flat_map(|(number, (series, limits))| {
            [
                (limits.upper, words::upper_control(), "control"),
                (limits.mean, words::mean(), "mean"),
                (limits.lower, words::lower_control(), "control"),
            ]
            .map(|(at, name, class)| Level {
                at,
                over: Some((series.first, series.end.saturating_sub(1))),
                name: if number == last { name } else { "" },
                class,
            })
        })
        .collect()
}

/// The checks before which something was done to the pair or to its micrometer, and what.
fn restarts(
    app: &App,
    records: &[(Entry, Job, Inspected)],
) -> Result<Vec<(usize, String)>, Failure> {
    let Some((_, first, _)) = records.first() else {
        return Ok(Vec::new());
    };
    let of_pair = interventions(app, Kind::Contacts, &first.contacts.id)?;
    let mut instruments: Vec<&str> = records
        .iter()
        .map(|(_, job, _)| job.instrument.id.as_str())
        .collect();
    instruments.sort_unstable();
    instruments.dedup();
    let mut of_instruments = Vec::new();
    for id in instruments {
        of_instruments.push((id, interventions(app, Kind::Instrument, id)?));
    }
    let mut restarts = Vec::new();
    for (index, pair) in records.windows(2).enumerate() {
        let [(earlier, before, _), (later, now, _)] = pair else {
            continue;
        };
        let between = |done: &(u64, String)| {
            (earlier.sequence < done.0 && done.0 < later.sequence).then(|| done.1.clone())
        };
        let of_instrument = of_instruments
            .iter()
            .filter(|(id, _)| *id == now.instrument.id)
            .flat_map(|(_, done)| done);
        let why = of_pair
            .iter()
            .chain(of_instrument)
            .find_map(between)
            .or_else(|| by_the_jobs(before, now));
        restarts.extend(why.map(|why| (index + 1, why)));
    }
    Ok(restarts)
}

/// What the jobs themselves say: pieces need not be in the register.
fn by_the_jobs(before: &Job, now: &Job) -> Option<String> {
    if before.instrument.id != now.instrument.id {
        return Some(own_words::other_micrometer().to_owned());
    }
    let certificates = [
        (
            &now.contacts.id,
            &before.contacts.certificate,
            &now.contacts.certificate,
        ),
        (
            &now.instrument.id,
            &before.instrument.certificate,
            &now.instrument.certificate,
        ),
    ];
    certificates
        .into_iter()
        .find_map(|(id, then, certificate)| {
            let certificate = certificate.as_ref().filter(|_| then != certificate)?;
            Some(own_words::new_certificate(id, certificate))
        })
}

/// Entries that changed a piece and left it in use: adjusted, calibrated, back from repair. One that only puts it out of
/// use changes nothing about its zero.
fn interventions(app: &App, kind: Kind, id: &str) -> Result<Vec<(u64, String)>, Failure> {
    let books = app.books()?;
    let Some(piece) = books.register.find(kind, id) else {
        return Ok(Vec::new());
    };
    let mut found = Vec::new();
    for entry in app.ledger.history(&piece.entry.into())? {
        if let Some(amendment) = &entry.content.amends
            && register::registered(&entry)?.equipment.state().is_active()
        {
            let why = own_words::changed(id, &amendment.reason);
            found.push((entry.sequence, why));
        }
    }
    Ok(found)
}
