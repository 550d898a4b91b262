//! `midflank setup`: before the measurement, which of what one owns to use.

use std::path::Path;

use clap::Args;
use metrology::designation;
use metrology::features::wire_size;
use metrology::inspection::{
    BoreToFlat, Characteristic, CrimpHeight, Feature, Groove, GrooveWidth, InsideDiameter, Keyseat,
    KeyseatConvention, Land, LobedShaft, PlainDiameter, Question, SoftThickness, Thickness,
    ThreadDiameter, TubeWall, VScale, Wire, advise, advise_best,
};
use metrology::units::{Entered, Length, LengthUnit};

use crate::clock;
use crate::desk;
use crate::document::{Around, SetUpDocument};
use crate::failure::Failure;
use crate::given;
use crate::job_file::{NAMES, named};
use crate::look_up::thread::entered;
use crate::option::{Count, Line, Within};
use crate::output::{Output, width};
use crate::report::setup;
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
    #[arg(long, value_name = "LEN")]
    bore: Option<String>,
    #[arg(long, value_name = "LEN")]
    outside_diameter: Option<String>,
    #[arg(long, value_name = "LEN")]
    width: Option<String>,
    #[arg(long, value_name = "LEN")]
    root_radius: Option<String>,
    #[arg(long, value_name = "DEG", allow_hyphen_values = true, value_parser = Within(given::WALL_ANGLE))]
    wall_angle: Option<f64>,
    #[arg(long, value_name = "LEN")]
    depth: Option<String>,
    #[arg(long, value_name = "LEN")]
    discs: Option<String>,
    #[arg(long, value_name = "LEN")]
    shaft: Option<String>,
    #[arg(long, value_name = "HOW")]
    convention: Option<String>,
    #[arg(long, value_name = "N", allow_hyphen_values = true, value_parser = Count(given::LOBES))]
    lobes: Option<u32>,
    #[arg(long, value_name = "DEG", allow_hyphen_values = true, value_parser = Within(given::INCLUDED_ANGLE))]
    v_angle: Option<f64>,
    #[arg(long, value_name = "MPA", allow_hyphen_values = true, value_parser = Within(given::MODULUS))]
    modulus: Option<f64>,
    #[arg(long, value_name = "KPA", allow_hyphen_values = true, value_parser = Within(given::PRESSURE))]
    pressure: Option<f64>,
    #[arg(long, value_name = "SIZE")]
    awg: Option<String>,
    #[arg(long, value_name = "AREA", conflicts_with = "awg")]
    mm2: Option<String>,
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
    #[arg(long)]
    json: bool,
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
        prior: metrology::inspection::Prior::default(),
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

/// A feature that cannot be advised on without this.
fn lacks(feature: &str, option: &str, what: &str) -> Failure {
    Failure::Input(say!(
        "setup-refused.lacks",
        feature = feature,
        option = option,
        what = what
    ))
}

impl Arguments {
    fn needed(&self, option: &str, text: Option<&String>, what: &str) -> Result<Entered, Failure> {
        length(option, text)?.ok_or_else(|| lacks(self.feature.trim(), option, what))
    }

    fn characteristic(&self) -> Result<Characteristic, Failure> {
        let key = named(&self.feature);
        let Some(key) = key else {
            // Not a feature: a thread, or nothing we know.
            designation::parse(&self.feature).map_err(|error| {
                Failure::Input(say!(
                    "setup-refused.no-feature",
                    why = words::said(&error),
                    known = NAMES.map(|(key, _)| key).join(", ")
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
        let (lower, upper) = self.limits(key)?;
        let feature = self.feature_of(key, lower.as_ref().or(upper.as_ref()))?;
        Ok(Characteristic::Feature {
            name: words::word(&feature),
            lower,
            upper,
            feature: Box::new(feature),
        })
    }

    fn limits(&self, key: &str) -> Result<(Option<Entered>, Option<Entered>), Failure> {
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
            (None, None, None, None) if key == "crimp-height" => {
                Err(Failure::input(say!("setup-refused.no-crimp-limits")))
            }
            (None, None, None, None) => Err(Failure::Input(say!(
                "setup-refused.no-limits",
                feature = key
            ))),
            (lower, upper, None, None) => Ok((lower, upper)),
            _ => Err(Failure::input(say!("setup-refused.mixed-limits"))),
        }
    }

    fn feature_of(&self, key: &str, limit: Option<&Entered>) -> Result<Feature, Failure> {
        let optional = |name, text: &Option<String>| length(name, text.as_ref());
        let exact = Entered::parse("0mm", None).map_err(|error| Failure::refused(&error))?;
        let groove = || {
            Ok::<Groove, Failure>(Groove {
                width: self.needed(
                    "--width",
                    self.width.as_ref(),
                    say!("setup-refused.groove-width"),
                )?,
                root_radius: optional("--root-radius", &self.root_radius)?,
                wall_angle: self.wall_angle,
                depth: optional("--depth", &self.depth)?,
                land_diameter: None,
            })
        };
        let bore = || self.needed("--bore", self.bore.as_ref(), say!("setup-refused.bore"));
        Ok(match key {
            "tube-wall" => Feature::TubeWall(TubeWall {
                bore: bore()?,
                definition: None,
                percent_limit: None,
                eccentricity_limit: None,
                run_out_limit: None,
            }),
            "inside-diameter" => Feature::InsideDiameter(InsideDiameter {
                outside_diameter: self.needed(
                    "--outside-diameter",
                    self.outside_diameter.as_ref(),
                    say!("setup-refused.outside-diameter"),
                )?,
                outside_diameter_uncertainty: exact,
            }),
            "bore-to-flat" => Feature::BoreToFlat(BoreToFlat { bore: bore()? }),
            "groove-diameter" => Feature::GrooveDiameter(groove()?),
            "undercut" => Feature::Undercut(groove()?),
            "groove-width" => {
                let disc =
                    self.needed("--discs", self.discs.as_ref(), say!("setup-refused.discs"))?;
                Feature::GrooveWidth(GrooveWidth {
                    anvil_disc: disc.clone(),
                    spindle_disc: disc,
                    disc_uncertainty: exact,
                })
            }
            "land" => Feature::Land(Land {
                groove_width: self.needed(
                    "--width",
                    self.width.as_ref(),
                    say!("setup-refused.land"),
                )?,
            }),
            "keyseat" => self.keyseat(exact)?,
            "lobed-shaft" => {
                // Nothing was read yet; the last digit of a reading is one step of a usual display.
                let shown = Entered::parse(
                    match limit.map(Entered::unit) {
                        Some(LengthUnit::Inch | LengthUnit::Microinch) => "0.0000in",
                        _ => "0.000mm",
                    },
                    None,
                )
                .map_err(|error| Failure::refused(&error))?;
                Feature::LobedShaft(LobedShaft {
                    lobes: self
                        .lobes
                        .ok_or_else(|| lacks(key, "--lobes", say!("setup-refused.lobes")))?,
                    v_angle: self
                        .v_angle
                        .ok_or_else(|| lacks(key, "--v-angle", say!("setup-refused.v-angle")))?,
                    v_scale: Some(VScale::Distance),
                    v_readings: vec![shown; 3],
                    roundness_limit: None,
                })
            }
            "soft-thickness" => Feature::SoftThickness(SoftThickness {
                thickness: if self.pressure.is_some() {
                    Thickness::UnderPressure
                } else {
                    Thickness::Free
                },
                modulus_mpa: self
                    .modulus
                    .ok_or_else(|| lacks(key, "--modulus", say!("setup-refused.modulus")))?,
                modulus_relative_limit: 0.3,
                dwell_seconds: 5.0,
                pressure_kpa: self.pressure,
                creep: None,
            }),
            "crimp-height" => self.crimp()?,
            _ => Feature::PlainDiameter(PlainDiameter::default()),
        })
    }

    fn keyseat(&self, exact: Entered) -> Result<Feature, Failure> {
        let asked = || {
            let known = KeyseatConvention::ALL.map(KeyseatConvention::key);
            Failure::Input(say!("setup-refused.convention", known = known.join(", ")))
        };
        let said = self.convention.as_deref().ok_or_else(asked)?;
        Ok(Feature::Keyseat(Keyseat {
            convention: KeyseatConvention::ALL
                .into_iter()
                .find(|convention| convention.key() == said)
                .ok_or_else(asked)?,
            shaft_diameter: self.needed(
                "--shaft",
                self.shaft.as_ref(),
                say!("setup-refused.shaft"),
            )?,
            shaft_diameter_uncertainty: exact.clone(),
            width: self.needed("--width", self.width.as_ref(), say!("setup-refused.seat"))?,
            width_uncertainty: exact,
        }))
    }

    fn crimp(&self) -> Result<Feature, Failure> {
        let wire = match (&self.awg, &self.mm2) {
            (Some(awg), _) => {
                wire_size::conductor(awg).map_err(|error| Failure::refused(&error))?;
                Wire::Awg(awg.clone())
            }
            (None, Some(area)) => {
                wire_size::area(area).map_err(|error| Failure::refused(&error))?;
                Wire::Mm2(area.clone())
            }
            (None, None) => {
                return Err(Failure::input(say!("setup-refused.no-wire")));
            }
        };
        Ok(Feature::CrimpHeight(CrimpHeight {
            // The advice does not depend on it.
            sheet: "-".to_owned(),
            wire,
            compression: None,
            pull: None,
        }))
    }
}
