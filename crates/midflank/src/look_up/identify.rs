//! `midflank identify`: which thread is this?

use clap::{Args, ValueEnum};
use metrology::designation::{Kind, standard_threads};
use metrology::identify::{
    Evidence, Observation, Prior, Quantity, Shop, UNCERTAINTY_LENGTH, identify, pitch_from_count,
    usual_uncertainty,
};
use metrology::units::{Entered, Length, LengthUnit};

use super::thread::entered_in;
use super::thread::parse_unit;
use crate::document::IdentificationDocument;
use crate::document::identification::turns_in_words;
use crate::failure::Failure;
use crate::given::{self, Range};
use crate::say;
use crate::words::{self, number};

/// Which shop this is, stated once for all.
const SHOP: &str = "MIDFLANK_SHOP";

#[derive(Args, Default)]
pub struct Arguments {
    // A thread that is known: only to say where its limits are.
    #[arg(value_name = "DESIGNATION", hide = true)]
    pub designation: Option<String>,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    pub major: Option<String>,
    #[arg(
        long,
        value_name = "LEN",
        allow_hyphen_values = true,
        requires = "major"
    )]
    pub major_uncertainty: Option<String>,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true, conflicts_with_all = ["per_inch", "count"])]
    pub pitch: Option<String>,
    #[arg(
        long,
        value_name = "N",
        allow_hyphen_values = true,
        conflicts_with = "count"
    )]
    pub per_inch: Option<String>,
    #[arg(long, value_name = "N", allow_hyphen_values = true, requires = "over")]
    pub count: Option<String>,
    #[arg(
        long,
        value_name = "LEN",
        allow_hyphen_values = true,
        requires = "count"
    )]
    pub over: Option<String>,
    #[arg(
        long,
        value_name = "LEN",
        allow_hyphen_values = true,
        requires = "over"
    )]
    pub over_uncertainty: Option<String>,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    pub pitch_uncertainty: Option<String>,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    pub pitch_diameter: Option<String>,
    #[arg(
        long,
        value_name = "LEN",
        allow_hyphen_values = true,
        requires = "pitch_diameter"
    )]
    pub pitch_diameter_uncertainty: Option<String>,
    #[arg(
        long,
        value_name = "LEN",
        allow_hyphen_values = true,
        requires = "internal"
    )]
    pub minor: Option<String>,
    #[arg(long, value_name = "DEG", allow_hyphen_values = true)]
    pub angle: Option<String>,
    #[arg(
        long,
        value_name = "DEG",
        allow_hyphen_values = true,
        requires = "angle"
    )]
    pub angle_uncertainty: Option<String>,
    #[arg(long, value_name = "1:N", allow_hyphen_values = true)]
    pub taper: Option<String>,
    #[arg(long)]
    pub internal: bool,
    #[arg(long, value_name = "KIND", env = SHOP)]
    pub shop: Option<ShopOption>,
    #[arg(long)]
    pub flat_prior: bool,
    #[arg(long, value_name = "mm|in", value_parser = parse_unit)]
    pub unit: Option<LengthUnit>,
    #[arg(long)]
    pub json: bool,
}

#[derive(Clone, Copy, ValueEnum)]
pub enum ShopOption {
    Metric,
    Unified,
    British,
    Mixed,
    Flat,
    Records,
}

/// The shop that the environment states; its records are counted on the command line only.
fn prior_of_environment() -> Prior {
    let stated = std::env::var(SHOP).unwrap_or_default();
    Shop::of(&stated).map_or(Prior::Unstated, Prior::Shop)
}

/// The answer to the two measurements that are made first; the pitch is a length or `20tpi`. There are no options on a page,
/// and none is named there.
pub fn by_major_and_pitch(
    major: &str,
    pitch: &str,
) -> Result<(Evidence, IdentificationDocument), Failure> {
    let per_inch = pitch.strip_suffix("tpi").map(str::to_owned);
    for length in [Some(major), per_inch.is_none().then_some(pitch)]
        .into_iter()
        .flatten()
    {
        Entered::parse(length, None).map_err(|error| Failure::refused(&error))?;
    }
    if let Some(count) = &per_inch {
        plain(given::PER_INCH, "tpi", count)?;
    }
    let arguments = Arguments {
        major: Some(major.to_owned()),
        pitch: per_inch.is_none().then(|| pitch.to_owned()),
        per_inch,
        ..Arguments::default()
    };
    let prior = prior_of_environment();
    let taken = match &prior {
        Prior::Unstated => say!("identify.taken-unstated.page").to_owned(),
        stated => taken(stated),
    };
    answered(&arguments, &prior, taken)
}

pub fn identified(
    arguments: &Arguments,
    prior: &Prior,
) -> Result<(Evidence, IdentificationDocument), Failure> {
    answered(arguments, prior, taken(prior))
}

/// How likely each thread was taken to be before anything was measured.
fn taken(prior: &Prior) -> String {
    match prior {
        Prior::Unstated => say!("identify.taken-unstated").into(),
        Prior::Shop(shop) => say!("identify.taken-shop", shop = words::word(shop)),
        Prior::Records(counts) => {
            let all: u64 = counts.iter().map(|(_, count)| count).sum();
            say!("identify.taken-records", n = all)
        }
    }
}

fn answered(
    arguments: &Arguments,
    prior: &Prior,
    taken: String,
) -> Result<(Evidence, IdentificationDocument), Failure> {
    let mut gathered = Gathered::default();
    gathered.take(arguments)?;
    let evidence = Evidence {
        kind: if arguments.internal {
            Kind::Internal
        } else {
            Kind::External
        },
        observations: gathered.observations,
    };
    let found = identify(&evidence, prior).map_err(|error| Failure::refused(&error))?;
    let unit = arguments
        .unit
        .or(gathered.unit)
        .unwrap_or(LengthUnit::Millimetre);
    let mut assumed = gathered.assumed;
    assumed.push(taken);
    let document = IdentificationDocument::of(&evidence, &found, gathered.counted, unit, assumed);
    Ok((evidence, document))
}

/// The evidence as it is read from the options.
#[derive(Default)]
struct Gathered {
    observations: Vec<Observation>,
    assumed: Vec<String>,
    unit: Option<LengthUnit>,
    /// The pitches counted, over a length or over an inch.
    counted: Option<u32>,
}

impl Gathered {
    fn take(&mut self, asked: &Arguments) -> Result<(), Failure> {
        for (name, quantity, value, uncertainty) in [
            (
                "--major",
                Quantity::Major,
                &asked.major,
                &asked.major_uncertainty,
            ),
            ("--minor", Quantity::Minor, &asked.minor, &None),
            (
                "--pitch-diameter",
                Quantity::PitchDiameter,
                &asked.pitch_diameter,
                &asked.pitch_diameter_uncertainty,
            ),
        ] {
            if let Some(value) = value {
                let value = self.length(name, value)?;
                let u = match uncertainty {
                    Some(text) => self.uncertainty(name, text)?,
                    None => self.usual(quantity, Some(&value)),
                };
                self.see(quantity, value.value().mm(), u);
            }
        }
        self.take_pitch(asked)?;
        if let Some(text) = &asked.angle {
            let u = match &asked.angle_uncertainty {
                Some(text) => plain(given::ANGLE_UNCERTAINTY, "--angle-uncertainty", text)?,
                None => self.usual(Quantity::FlankAngle, None),
            };
            self.see(
                Quantity::FlankAngle,
                plain(given::INCLUDED_ANGLE, "--angle", text)?,
                u,
            );
        }
        if let Some(text) = &asked.taper {
            let u = self.usual(Quantity::Taper, None);
            self.see(Quantity::Taper, taper(text)?, u);
        }
        Ok(())
    }

    fn take_pitch(&mut self, asked: &Arguments) -> Result<(), Failure> {
        let stated = asked
            .pitch_uncertainty
            .as_ref()
            .map(|text| self.uncertainty("--pitch-uncertainty", text))
            .transpose()?;
        if let (Some(count), Some(over)) = (&asked.count, &asked.over) {
            let turns = whole("--count", count)?;
            self.counted = Some(turns);
            let over = self.length("--over", over)?.value().mm();
            let u = match &asked.over_uncertainty {
                Some(text) => self.uncertainty("--over-uncertainty", text)?,
                None => UNCERTAINTY_LENGTH,
            };
            let mut seen =
                pitch_from_count(turns, over, u).map_err(|error| Failure::refused(&error))?;
            match (stated, &asked.over_uncertainty) {
                (Some(stated), _) => seen.standard_uncertainty = stated,
                (None, None) => self.assumed.push(say!(
                    "identify.taken-over",
                    turns = turns_in_words(turns),
                    uncertainty = number::short_length(UNCERTAINTY_LENGTH, LengthUnit::Millimetre)
                )),
                (None, Some(_)) => {}
            }
            self.observations.push(seen);
        } else if let Some(text) = &asked.pitch {
            let pitch = self.length("--pitch", text)?;
            let u = match stated {
                Some(u) => u,
                // A pitch that some thread has was read off a pitch gauge; another one was measured, to its last digit.
                None if is_standard_pitch(pitch.value().mm()) => self.usual(Quantity::Pitch, None),
                None => self.usual(Quantity::Pitch, Some(&pitch)),
            };
            self.see(Quantity::Pitch, pitch.value().mm(), u);
        } else if let Some(text) = &asked.per_inch {
            let count = plain(given::PER_INCH, "--per-inch", text)?;
            self.unit = self.unit.or(Some(LengthUnit::Inch));
            self.counted = text.trim().parse().ok();
            let u = stated.unwrap_or_else(|| self.usual(Quantity::Pitch, None));
            self.see(Quantity::Pitch, 25.4 / count, u);
        } else if stated.is_some() {
            return Err(Failure::input(say!("identify.no-pitch")));
        }
        Ok(())
    }

    fn see(&mut self, quantity: Quantity, value: f64, standard_uncertainty: f64) {
        self.observations.push(Observation {
            quantity,
            value,
            standard_uncertainty,
        });
    }

    fn length(&mut self, name: &str, text: &str) -> Result<Entered, Failure> {
        let entered = entered_in(name, text, None)?;
        let unit = match entered.unit() {
            LengthUnit::Inch | LengthUnit::Microinch => LengthUnit::Inch,
            LengthUnit::Millimetre | LengthUnit::Micrometre => LengthUnit::Millimetre,
        };
        self.unit = self.unit.or(Some(unit));
        Ok(entered)
    }

    /// A stated standard uncertainty, mm.
    fn uncertainty(&mut self, name: &str, text: &str) -> Result<f64, Failure> {
        let entered = self.length(name, text)?;
        if entered.value() <= Length::ZERO {
            let sentence = say!("identify.no-uncertainty", option = name, text = text);
            return Err(Failure::Input(sentence));
        }
        Ok(entered.value().mm())
    }

    /// The uncertainty of the usual tool, with that of the last digit typed, and the words for it.
    fn usual(&mut self, quantity: Quantity, typed: Option<&Entered>) -> f64 {
        let tool = usual_uncertainty(quantity);
        // Half a step either way, every value as likely: the step over the root of twelve.
        let digit = typed.map_or(0.0, |typed| typed.resolution().mm() / 12f64.sqrt());
        let u = (tool * tool + digit * digit).sqrt();
        let uncertainty = match (quantity, self.unit) {
            (Quantity::FlankAngle, _) => number::fine_degrees(u),
            (Quantity::Taper, _) => number::short(u, 4),
            (_, unit) => number::size(u, unit.unwrap_or(LengthUnit::Millimetre)),
        };
        self.assumed.push(say!(
            "identify.taken-uncertainty",
            quantity = words::word(&quantity),
            uncertainty = uncertainty
        ));
        u
    }
}

fn is_standard_pitch(mm: f64) -> bool {
    standard_threads()
        .iter()
        .any(|thread| (thread.pitch.mm() - mm).abs() < 5e-5)
}

fn plain(permitted: Range, name: &str, text: &str) -> Result<f64, Failure> {
    permitted
        .read(name, text)
        .map_err(|error| Failure::refused(&error))
}

fn whole(name: &str, text: &str) -> Result<u32, Failure> {
    text.trim()
        .parse()
        .map_err(|_| Failure::Input(say!("identify.no-turns", option = name, text = text)))
}

/// `1:16`, `1/16`, a decimal, or `0`.
fn taper(text: &str) -> Result<f64, Failure> {
    let wrong = || Failure::Input(say!("identify.wrong-taper", text = text));
    let Some((one, length)) = text.split_once([':', '/']) else {
        return plain(given::FRACTION, "--taper", text).map_err(|_| wrong());
    };
    let one = plain(given::TAPER, "--taper", one).map_err(|_| wrong())?;
    let length = plain(given::TAPER, "--taper", length).map_err(|_| wrong())?;
    let taper = one / length;
    // Nothing over nothing is no number, and in no range.
    if (0.0..=1.0).contains(&taper) {
        Ok(taper)
    } else {
        Err(wrong())
    }
}
