//! `midflank setup`: before the measurement, which of what one owns to use.

use std::path::Path;

use clap::Args;
use metrology::designation;
use metrology::inspection::{
    Characteristic, FeatureKind, Plane, Question, Terms, ThreadDiameter, advise, advise_best,
};
use metrology::units::{Entered, Length, LengthUnit};

use super::on_paper::OnPaper;
use super::told::Told;
use crate::clock;
use crate::desk;
use crate::document::{Around, SetUpDocument};
use crate::failure::Failure;
use crate::given;
use crate::look_up::thread::entered;
use crate::option::{Line, Within};
use crate::output::{Output, width};
use crate::report::setup;
use crate::report::sheet::set_up_card;
use crate::{say, station, words};

#[derive(Args)]
pub struct Arguments {
    feature: String,
    #[arg(long, value_name = "LEN")]
    lower: Option<String>,
    #[arg(long, value_name = "LEN")]
    upper: Option<String>,
    #[arg(long, value_name = "LEN")]
    nominal: Option<String>,
    #[arg(long, value_name = "LEN")]
    tolerance: Option<String>,
    #[arg(long, default_value = "pitch-diameter")]
    diameter: String,
    #[arg(long, value_name = "PLANE", value_parser = Line)]
    plane: Option<String>,
    #[command(flatten)]
    told: Told,
    #[arg(long, value_name = "LEN")]
    repeatability: Option<String>,
    #[arg(long, value_parser = Line)]
    material: Option<String>,
    #[arg(long, value_name = "DEG", allow_hyphen_values = true, value_parser = Within(given::TEMPERATURE_AT_BENCH))]
    part_temperature: Option<f64>,
    #[arg(
        value_parser = Within(given::TEMPERATURE_AT_BENCH),
        long,
        value_name = "DEG",
        default_value_t = 20.0,
        allow_hyphen_values = true
    )]
    room_temperature: f64,
    #[arg(long, value_name = "K", default_value_t = 0.5, allow_hyphen_values = true, value_parser = Within(given::WITHIN_KELVINS))]
    within: f64,
    #[arg(long)]
    all: bool,
    #[arg(long, conflicts_with = "pdf")]
    json: bool,
    #[arg(long, value_name = "N", default_value_t = 1, requires = "pdf")]
    rank: usize,
    #[command(flatten)]
    on_paper: OnPaper,
}

/// How many set-ups are shown: more than anyone compares, and a shelf of hundreds makes thousands (common practice, no
/// source).
const BEST: usize = 5;

pub fn run(arguments: &Arguments, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
    let characteristic = arguments.characteristic()?;
    let repeatability = length("--repeatability", arguments.repeatability.as_ref())?;
    let shelf = desk::shelf(path);
    let now = clock::now()?;
    let today = station::day(now);
    let question = Question {
        characteristic,
        at: now,
        on: today,
        repeatability,
        material: arguments.material.clone(),
        temperature: None,
        prior: metrology::inspection::Prior::default(),
        approved: shelf.approvals().in_force(today).defaults(),
    };
    let owned = shelf.register()?.owned_for(&question.characteristic);
    let advice = if arguments.all {
        advise(&question, &owned)
    } else {
        advise_best(&question, &owned, BEST)
    }
    .map_err(|error| Failure::refused(&error))?;
    let around = Around {
        material: arguments.material.clone(),
        part_temperature: arguments.part_temperature,
        room_temperature: arguments.room_temperature,
        within: arguments.within,
        all: arguments.all,
    };
    let document = SetUpDocument::of(&advice, &around);
    let is_written = arguments.on_paper.write(output, |letterhead, _| {
        let mut all = document.set_ups.iter();
        let Some(set_up) = all.find(|one| one.rank == arguments.rank) else {
            return Err(Failure::input(say!(
                "set-up-card.no-rank",
                rank = arguments.rank,
                n = document.set_ups.len()
            )));
        };
        set_up_card::pdf(&document, set_up, letterhead, now)
    })?;
    if is_written {
        Ok(())
    } else if arguments.json {
        output.json(&document)
    } else {
        output.text(&setup::words(&document, width()))
    }
}

/// A length that may be left out.
fn length(option: &str, text: Option<&String>) -> Result<Option<Entered>, Failure> {
    text.map(|text| entered(option, text)).transpose()
}

impl Arguments {
    fn characteristic(&self) -> Result<Characteristic, Failure> {
        let Some(kind) = FeatureKind::named(&self.feature) else {
            // Not a feature: a thread, or nothing we know.
            designation::parse(&self.feature).map_err(|error| {
                Failure::Input(say!(
                    "setup-refused.no-feature",
                    why = words::said(&error),
                    known = FeatureKind::EVERY
                        .iter()
                        .map(|kind| kind.key())
                        .collect::<Vec<_>>()
                        .join(", ")
                ))
            })?;
            return Ok(Characteristic::Thread {
                designation: self.feature.clone(),
                diameter: match self.diameter.as_str() {
                    "pitch-diameter" | "pitch" => ThreadDiameter::PitchDiameter,
                    "major-diameter" | "major" => ThreadDiameter::MajorDiameter,
                    "minor-diameter" | "minor" => ThreadDiameter::MinorDiameter,
                    other => {
                        return Err(Failure::Input(say!("setup-refused.diameter", text = other)));
                    }
                },
                terms: self.plane.as_ref().map(|at| {
                    Box::new(Terms {
                        plane: Some(Plane {
                            at: at.clone(),
                            within: None,
                        }),
                        ..Terms::default()
                    })
                }),
            });
        };
        if self.plane.is_some() {
            return Err(Failure::input(say!("setup-refused.plane")));
        }
        let (lower, upper) = self.limits(kind)?;
        let feature =
            self.told
                .feature(self.feature.trim(), kind, lower.as_ref().or(upper.as_ref()))?;
        Ok(Characteristic::Feature {
            name: words::word(&feature),
            lower,
            upper,
            feature: Box::new(feature),
        })
    }

    fn limits(&self, kind: FeatureKind) -> Result<(Option<Entered>, Option<Entered>), Failure> {
        let lower = length("--lower", self.lower.as_ref())?;
        let upper = length("--upper", self.upper.as_ref())?;
        let nominal = length("--nominal", self.nominal.as_ref())?;
        let tolerance = length("--tolerance", self.tolerance.as_ref())?;
        match (lower, upper, nominal, tolerance) {
            (None, None, Some(nominal), Some(tolerance)) => {
                let text = |limit: Length| {
                    let unit = match nominal.unit() {
                        LengthUnit::Inch | LengthUnit::Microinch => LengthUnit::Inch,
                        LengthUnit::Millimetre | LengthUnit::Micrometre => LengthUnit::Millimetre,
                    };
                    let decimals = nominal.decimals().max(tolerance.decimals()).max(4);
                    Entered::parse(&format!("{}{unit}", limit.to_fixed(unit, decimals)), None)
                        .map_err(|error| Failure::refused(&error))
                };
                Ok((
                    Some(text(nominal.value() - tolerance.value())?),
                    Some(text(nominal.value() + tolerance.value())?),
                ))
            }
            (None, None, None, None) if kind.is_from_sheet() => {
                Err(Failure::input(say!("setup-refused.no-crimp-limits")))
            }
            (None, None, None, None) => Err(Failure::Input(say!(
                "setup-refused.no-limits",
                feature = kind.key()
            ))),
            (lower, upper, None, None) => Ok((lower, upper)),
            _ => Err(Failure::input(say!("setup-refused.mixed-limits"))),
        }
    }
}
