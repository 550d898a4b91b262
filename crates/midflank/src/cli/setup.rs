//! `midflank setup`: before the measurement, which of what one owns to use.

use std::path::Path;

use clap::Args;
use metrology::designation;
use metrology::inspection::{
    Characteristic, FeatureKind, Question, ThreadDiameter, advise, advise_best,
};
use metrology::units::{Entered, Length, LengthUnit};

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
use crate::{say, station, words};

/// Which of what you own to measure a feature with, and what each wrong choice would cost
#[derive(Args)]
#[command(long_about = about())]
pub struct Arguments {
    /// A thread designation, or the name of a feature
    feature: String,
    /// Smallest permitted size
    #[arg(long, value_name = "LEN")]
    lower: Option<String>,
    /// Largest permitted size
    #[arg(long, value_name = "LEN")]
    upper: Option<String>,
    /// Nominal size, with --tolerance
    #[arg(long, value_name = "LEN")]
    nominal: Option<String>,
    /// What nominal may be off by, either way
    #[arg(long, value_name = "LEN")]
    tolerance: Option<String>,
    /// Diameter of a thread: pitch-diameter, major-diameter or minor-diameter
    #[arg(long, default_value = "pitch-diameter")]
    diameter: String,
    #[command(flatten)]
    told: Told,
    /// Standard deviation of one reading, where it is known from earlier series
    #[arg(long, value_name = "LEN")]
    repeatability: Option<String>,
    /// Material of the part
    #[arg(long, value_parser = Line)]
    material: Option<String>,
    /// Temperature of the part now, degrees Celsius
    #[arg(long, value_name = "DEG", allow_hyphen_values = true, value_parser = Within(given::TEMPERATURE_AT_BENCH))]
    part_temperature: Option<f64>,
    /// Temperature of the standard and the room, degrees Celsius
    #[arg(
        value_parser = Within(given::TEMPERATURE_AT_BENCH),
        long,
        value_name = "DEG",
        default_value_t = 20.0,
        allow_hyphen_values = true
    )]
    room_temperature: f64,
    /// To within how many kelvins of the room the part should come before it is measured
    #[arg(long, value_name = "K", default_value_t = 0.5, allow_hyphen_values = true, value_parser = Within(given::WITHIN_KELVINS))]
    within: f64,
    /// Every set-up that may be used and everything that may not, not the best five alone
    #[arg(long)]
    all: bool,
    /// Answer in JSON
    #[arg(long)]
    json: bool,
}

fn about() -> String {
    let features = FeatureKind::EVERY.iter().map(|kind| kind.key().to_owned());
    let names = FeatureKind::EVERY.iter().flat_map(|kind| kind.names());
    let feature = say!(
        "setup.about-feature",
        features = words::choice(features),
        names = words::list(names.map(|name| (*name).to_owned()))
    );
    format!("{}\n\n{feature}", say!("setup.about"))
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
        flank_angle: None,
        approved: shelf.approvals().in_force(today).defaults(),
    };
    let owned = shelf.register()?.owned();
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
    if arguments.json {
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
                terms: None,
            });
        };
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
