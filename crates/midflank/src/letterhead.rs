//! Who gives reports out: what the laboratory's file of settings says (`docs/paper.md`).

use std::fs;
use std::path::{Path, PathBuf};

use etcetera::BaseStrategy as _;
use metrology::inspection::Characteristic;
use metrology::units::{Entered, LengthUnit};
use serde::{Deserialize, Deserializer};

use crate::document::Inspected;
use crate::failure::Failure;
use crate::say;

/// Names another file than that in the user's folder of settings.
pub const VARIABLE: &str = "MIDFLANK_LABORATORY";
/// Neither logo nor font is larger, in bytes.
const LARGEST: u64 = 20_000_000;

/// What the file says.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[serde(default)]
    laboratory: Laboratory,
    #[serde(default)]
    paper: Paper,
    accreditation: Option<Accreditation>,
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct Laboratory {
    #[serde(default)]
    name: String,
    #[serde(default)]
    address: Vec<String>,
    country: Option<String>,
    logo: Option<PathBuf>,
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct Paper {
    size: Option<Size>,
    font: Option<PathBuf>,
}

/// The paper that reports are printed on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, clap::ValueEnum)]
#[serde(rename_all = "lowercase")]
pub enum Size {
    A4,
    Letter,
}

impl From<Size> for paper::Size {
    fn from(size: Size) -> Self {
        match size {
            Size::A4 => Self::A4,
            Size::Letter => Self::Letter,
        }
    }
}

/// What the laboratory is accredited for.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Accreditation {
    text: String,
    mark: Option<PathBuf>,
    scope: Vec<Scope>,
}

/// One line of its scope.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Scope {
    /// Which diameter of a thread or which feature, as its code; `size` for a size that is read directly.
    characteristic: String,
    #[serde(deserialize_with = "length")]
    from: Entered,
    #[serde(deserialize_with = "length")]
    to: Entered,
    /// The least expanded uncertainty that may be stated, at k = 2.
    #[serde(deserialize_with = "length")]
    capability: Entered,
}

fn length<'de, D: Deserializer<'de>>(from: D) -> Result<Entered, D::Error> {
    let text = String::deserialize(from)?;
    Entered::parse(&text, None)
        .map_err(|_| serde::de::Error::custom(say!("paper.no-length", text = text)))
}

/// What stands on top of a report, and what may stand at its end.
#[derive(Debug, Default)]
pub struct Letterhead {
    /// Name and address, line by line.
    pub lines: Vec<String>,
    /// The country of the laboratory, two letters.
    pub country: Option<String>,
    /// A picture beside them.
    pub logo: Option<Vec<u8>>,
    /// A font for characters that those of the program lack.
    pub font: Option<Vec<u8>>,
    pub size: Option<Size>,
    accreditation: Option<Accreditation>,
    /// The mark of the accreditation body, a PNG image.
    mark: Option<Vec<u8>>,
}

/// A size with its standard uncertainty, millimetres.
#[derive(Clone, Copy, Debug)]
pub struct Sized {
    pub size: f64,
    pub standard_uncertainty: f64,
}

impl Sized {
    pub fn of(result: &Inspected) -> Self {
        let one = in_mm(result.unit);
        Self {
            size: one * result.size.value,
            standard_uncertainty: one * result.size.standard_uncertainty,
        }
    }
}

impl Letterhead {
    /// As the file says that is named, or the one in the user's folder of settings; nothing where there is none.
    pub fn read(named: Option<&Path>) -> Result<Self, Failure> {
        let named = named
            .map(Path::to_owned)
            .or_else(|| std::env::var_os(VARIABLE).map(PathBuf::from));
        let place = match &named {
            Some(place) => place.clone(),
            None => match etcetera::choose_base_strategy() {
                Ok(folders) => folders.config_dir().join("midflank/laboratory.toml"),
                Err(_) => return Ok(Self::default()),
            },
        };
        if named.is_none() && !place.exists() {
            return Ok(Self::default());
        }
        Self::of_file(&place).map_err(|failure| failure.about(&place))
    }

    fn of_file(place: &Path) -> Result<Self, Failure> {
        let text =
            String::from_utf8(bytes(place)?).map_err(|_| Failure::input(say!("paper.not-utf8")))?;
        let file: File =
            toml::from_str(&text).map_err(|error| Failure::input(error.to_string()))?;
        // What it names lies beside it.
        let beside = |name: Option<PathBuf>| {
            let place = name.map(|name| {
                place
                    .parent()
                    .map_or(name.clone(), |folder| folder.join(&name))
            });
            place.map(|place| bytes(&place).map_err(|failure| failure.about(&place)))
        };
        let country = file.laboratory.country;
        if let Some(text) = &country
            && (text.len() != 2 || !text.bytes().all(|one| one.is_ascii_uppercase()))
        {
            return Err(Failure::input(say!("paper.no-country", text = text)));
        }
        let mark = file.accreditation.as_ref().and_then(|of| of.mark.clone());
        let name = Some(file.laboratory.name).filter(|name| !name.is_empty());
        Ok(Self {
            lines: name.into_iter().chain(file.laboratory.address).collect(),
            country,
            logo: beside(file.laboratory.logo).transpose()?,
            font: beside(file.paper.font).transpose()?,
            size: file.paper.size,
            accreditation: file.accreditation,
            mark: beside(mark).transpose()?,
        })
    }

    /// Whether a result may be issued as accredited: within the stated scope, with an uncertainty not below the stated
    /// capability (ILAC-P14:09/2020, 5.4). None where the laboratory is not accredited.
    pub fn covers(&self, characteristic: &Characteristic, sized: &Sized) -> Option<bool> {
        let accreditation = self.accreditation.as_ref()?;
        let code = code(characteristic);
        Some(accreditation.scope.iter().any(|scope| {
            let mm = |length: &Entered| length.value().mm();
            scope.characteristic == code
                && (mm(&scope.from)..=mm(&scope.to)).contains(&sized.size)
                && 2.0 * sized.standard_uncertainty >= mm(&scope.capability)
        }))
    }

    /// What may stand on a result within the scope: the text, and the mark beside it.
    pub fn accreditation(&self) -> Option<(&str, Option<&[u8]>)> {
        let accreditation = self.accreditation.as_ref()?;
        Some((&accreditation.text, self.mark.as_deref()))
    }
}

/// How many millimetres a unit has.
pub fn in_mm(unit: LengthUnit) -> f64 {
    unit.tenth_nanometres() as f64 / LengthUnit::Millimetre.tenth_nanometres() as f64
}

/// What was measured, by its code.
fn code(characteristic: &Characteristic) -> &'static str {
    match characteristic {
        Characteristic::Thread { diameter, .. } => diameter.key(),
        Characteristic::Stated { .. } => "size",
        Characteristic::Feature { feature, .. } => feature.kind().key(),
    }
}

fn bytes(place: &Path) -> Result<Vec<u8>, Failure> {
    let failed = |why: &dyn std::fmt::Display| {
        Failure::input(say!(
            "command.cannot-read",
            file = place.display(),
            why = why
        ))
    };
    let length = fs::metadata(place).map_err(|error| failed(&error))?.len();
    if length > LARGEST {
        return Err(Failure::input(say!(
            "paper.too-large",
            file = place.display(),
            limit = LARGEST / 1_000_000
        )));
    }
    fs::read(place).map_err(|error| failed(&error))
}
