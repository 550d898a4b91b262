//! Studies computed from a file of readings: the form of each, and its answer on the page or as PDF. Nothing is recorded.

use std::collections::BTreeMap;

use axum::body::Bytes;
use axum::extract::rejection::BytesRejection;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::Response;
use metrology::study::Type1Settings;
use metrology::study::repeatability::{Design, Method};
use metrology::units::{Entered, LengthUnit};
use serde::Serialize;

use super::app::{App, LineRefused, Shared};
use super::pages::field::Fault;
use super::pages::study_files::{self as page, LARGEST, READINGS, Setting, Typed, digest};
use super::pass::same;
use super::reply::{self, blocking, look_back};
use super::upload::Form;
use super::words::needed;
use crate::clock;
use crate::failure::Failure;
use crate::letterhead::Letterhead;
use crate::report::sheet::Printing;
use crate::report::sheet::study::{StudyName, StudySheet};
use crate::say;
use crate::study::{
    Answer, Readings, agreement, bias, capability, chart, comparison, linearity, one_way,
    repeatability, summary, type_1,
};
use crate::words;

/// The longest form, in bytes: a file that is hardly too large is told from one that nobody would send.
pub const LONGEST_UPLOAD: usize = 4_000_000;

/// The empty form of a study.
pub async fn form(State(app): Shared, Path(study): Path<String>) -> Response {
    blocking(app, move |app| {
        let Some(study) = named(&study) else {
            return Ok(reply::not_found());
        };
        let markup = page::page(app, study, &Typed::default(), None, &[], None);
        Ok(reply::page(StatusCode::OK, markup))
    })
    .await
}

/// The answer under the form.
pub async fn compute(
    State(app): Shared,
    Path(study): Path<String>,
    headers: HeaderMap,
    body: Result<Bytes, BytesRejection>,
) -> Response {
    answered(app, study, headers, body, |_, sheet| {
        Ok(Shown::OnPage(sheet))
    })
    .await
}

/// The answer as PDF.
pub async fn pdf(
    State(app): Shared,
    Path(study): Path<String>,
    headers: HeaderMap,
    body: Result<Bytes, BytesRejection>,
) -> Response {
    answered(app, study, headers, body, |_, sheet| {
        let letterhead = Letterhead::read(None)?;
        Ok(Shown::Pdf(sheet.pdf(&letterhead, &Printing::default())?))
    })
    .await
}

enum Shown {
    OnPage(StudySheet),
    Pdf(Vec<u8>),
}

/// A study that is computed from a file.
fn named(study: &str) -> Option<StudyName> {
    StudyName::of(study).filter(|study| page::OF_FILES.contains(study))
}

async fn answered(
    app: std::sync::Arc<App>,
    study: String,
    headers: HeaderMap,
    body: Result<Bytes, BytesRejection>,
    show: impl FnOnce(&App, StudySheet) -> Result<Shown, Failure> + Send + 'static,
) -> Response {
    look_back(app, move |app| {
        let Some(study) = named(&study) else {
            return Ok(reply::not_found());
        };
        let body = match body {
            Ok(body) => body,
            Err(rejection) => {
                let fault = [(READINGS, page::too_large())];
                let markup = page::page(app, study, &Typed::default(), None, &fault, None);
                return Ok(reply::page(rejection.status(), markup));
            }
        };
        let Some(form) = Form::of(&headers, &body) else {
            return Ok(reply::broken_form());
        };
        let (typed, mut faults) = typed(study, &form);
        if !same(form.token(), &app.token) {
            let wrong = words::said(&LineRefused::StaleForm);
            let markup = page::page(app, study, &typed, Some(&wrong), &[], None);
            return Ok(reply::page(StatusCode::FORBIDDEN, markup));
        }
        let sheet = computed(study, &typed, &mut faults);
        let wrong = |wrong: Option<&str>, faults: &[Fault]| {
            let markup = page::page(app, study, &typed, wrong, faults, None);
            Ok(reply::page(StatusCode::UNPROCESSABLE_ENTITY, markup))
        };
        match sheet.and_then(|sheet| sheet.map(|sheet| show(app, sheet)).transpose()) {
            Ok(Some(Shown::Pdf(bytes))) => Ok(reply::pdf(bytes)),
            Ok(Some(Shown::OnPage(sheet))) => {
                let markup = page::page(app, study, &typed, None, &[], Some(&sheet));
                Ok(reply::page(StatusCode::OK, markup))
            }
            Ok(None) => wrong(None, &faults),
            Err(Failure::Input(why)) => wrong(Some(&why), &[]),
            Err(failure) => Err(failure),
        }
    })
    .await
}

/// What the form says, and what is wrong with its readings.
fn typed(study: StudyName, form: &Form<'_>) -> (Typed, Vec<Fault>) {
    let settings = page::settings(study).iter();
    let settings: BTreeMap<Setting, String> = settings
        .map(|setting| (*setting, form.text(setting.key())))
        .collect();
    let mut typed = Typed {
        name: form.text("name"),
        settings,
        readings: String::new(),
    };
    let (bytes, is_file) = match form.file("file").filter(|(_, content)| !content.is_empty()) {
        Some((name, content)) => {
            name.clone_into(&mut typed.name);
            (content, true)
        }
        None => (form.content(READINGS), false),
    };
    // What was changed in the form is that file no longer.
    if !is_file && digest(bytes) != form.text("digest") {
        typed.name.clear();
    }
    let field = if is_file { "file" } else { READINGS };
    if bytes.len() > LARGEST {
        return (typed, vec![(field, page::too_large())]);
    }
    let faults = match std::str::from_utf8(bytes) {
        Ok(text) if text.trim().is_empty() => {
            vec![(field, say!("study-file.no-readings").to_owned())]
        }
        Ok(text) => {
            // A text area sends its line breaks as a network does.
            let text = text.strip_prefix('\u{feff}').unwrap_or(text);
            typed.readings = text.replace("\r\n", "\n");
            Vec::new()
        }
        Err(error) => {
            let at = error.valid_up_to();
            vec![(field, say!("study-file.not-utf-8", at = at))]
        }
    };
    (typed, faults)
}

/// The answer as a sheet; none where fields are wrong.
fn computed(
    study: StudyName,
    typed: &Typed,
    faults: &mut Vec<Fault>,
) -> Result<Option<StudySheet>, Failure> {
    let mut given = Given {
        typed,
        unit: None,
        faults,
    };
    given.unit = given.unit();
    let readings = Readings {
        name: typed.name().to_owned(),
        file: None,
        text: typed.readings.clone(),
        stated: given.unit,
    };
    let readings = &readings;
    Ok(Some(match study {
        StudyName::Repeatability => {
            let method = Method::of(typed.of(Setting::Method)).unwrap_or(Method::Anova);
            let design = Design::of(typed.of(Setting::Design)).unwrap_or(Design::Crossed);
            let tolerance = given.optional_length(Setting::Tolerance);
            let Some(alpha) = given.number(Setting::Alpha).filter(|_| given.is_good()) else {
                return Ok(None);
            };
            let settings = repeatability::Settings {
                tolerance,
                method,
                design,
                alpha,
            };
            sheet(readings, repeatability::answer(readings, &settings)?)?
        }
        StudyName::Type1 => {
            let reference = given.length(Setting::Reference);
            let tolerance = given.length(Setting::Tolerance);
            let part = given.number(Setting::PartOfTolerance);
            let spread = given.number(Setting::Spread);
            let (Some(reference), Some(tolerance), Some(part_of_tolerance), Some(spread), true) =
                (reference, tolerance, part, spread, given.is_good())
            else {
                return Ok(None);
            };
            let settings = type_1::Settings {
                reference,
                tolerance,
                indices: Type1Settings {
                    part_of_tolerance,
                    spread,
                },
            };
            sheet(readings, type_1::answer(readings, &settings)?)?
        }
        StudyName::Bias => {
            let reference = given.length(Setting::Reference);
            let confidence = given.number(Setting::Confidence);
            let (Some(reference), Some(confidence), true) =
                (reference, confidence, given.is_good())
            else {
                return Ok(None);
            };
            let settings = bias::Settings {
                reference,
                confidence,
            };
            sheet(readings, bias::answer(readings, &settings)?)?
        }
        StudyName::Linearity => {
            let confidence = given.number(Setting::Confidence);
            let Some(confidence) = confidence.filter(|_| given.is_good()) else {
                return Ok(None);
            };
            sheet(readings, linearity::answer(readings, confidence)?)?
        }
        StudyName::Capability => {
            let lower = given.optional_length(Setting::Lower);
            let upper = given.optional_length(Setting::Upper);
            let standard_uncertainty = given.optional_length(Setting::StandardUncertainty);
            let confidence = given.number(Setting::Confidence);
            let coverage = given.number(Setting::Coverage);
            let (Some(confidence), Some(coverage), true) = (confidence, coverage, given.is_good())
            else {
                return Ok(None);
            };
            let settings = capability::Settings {
                lower,
                upper,
                standard_uncertainty,
                confidence,
                coverage,
            };
            sheet(readings, capability::answer(readings, &settings)?)?
        }
        _ if !given.is_good() => return Ok(None),
        StudyName::Summary => sheet(readings, summary::answer(readings)?)?,
        StudyName::OneWay => sheet(readings, one_way::answer(readings)?)?,
        StudyName::Stability => sheet(readings, chart::answer(readings, true)?)?,
        StudyName::Chart => sheet(readings, chart::answer(readings, false)?)?,
        StudyName::Agreement => sheet(readings, agreement::answer(readings)?)?,
        StudyName::Comparison => sheet(readings, comparison::answer(readings)?)?,
        // These are of the record.
        StudyName::Nested | StudyName::Recorded => return Ok(None),
    }))
}

fn sheet<D: Serialize>(readings: &Readings, answer: Answer<D>) -> Result<StudySheet, Failure> {
    let (_, sheet) = answer.on_sheet(&readings.from(), clock::now()?)?;
    Ok(sheet)
}

/// The settings as they are read, each with what is wrong with it.
struct Given<'a> {
    typed: &'a Typed,
    unit: Option<LengthUnit>,
    faults: &'a mut Vec<Fault>,
}

impl Given<'_> {
    const fn is_good(&self) -> bool {
        self.faults.is_empty()
    }

    fn unit(&mut self) -> Option<LengthUnit> {
        let text = self.typed.of(Setting::Unit);
        let unit = text.parse().ok();
        if unit.is_none() && !text.is_empty() {
            self.wrong(Setting::Unit, say!("studied.unit").to_owned());
        }
        unit
    }

    fn wrong(&mut self, setting: Setting, why: String) {
        self.faults.push((setting.key(), why));
    }

    /// A length with its unit, or in that of the readings.
    fn optional_length(&mut self, setting: Setting) -> Option<Entered> {
        let text = self.typed.of(setting);
        if text.is_empty() {
            return None;
        }
        match Entered::parse(text, self.unit) {
            Ok(length) => Some(length),
            Err(why) => {
                self.wrong(setting, words::said(&why));
                None
            }
        }
    }

    fn length(&mut self, setting: Setting) -> Option<Entered> {
        if self.typed.of(setting).is_empty() {
            self.wrong(setting, needed(&words::word(&setting)));
        }
        self.optional_length(setting)
    }

    fn number(&mut self, setting: Setting) -> Option<f64> {
        let text = self.typed.of(setting).replace(',', ".");
        let number = text.parse::<f64>().ok().filter(|number| number.is_finite());
        if number.is_none() {
            let usual = setting.usual();
            self.wrong(setting, say!("study-file.no-number", usual = usual));
        }
        number
    }
}
