//! Features other than threads.
//!
//! Every one of them goes the way of a thread: zero, readings, corrections, budget, decision. What differs stands in a folder
//! of its own, and nowhere else: the keys of its section, which contacts show it, the last step from a corrected reading to
//! the size that the drawing states, what else the readings tell. [`Measurand`] is what a feature can be asked; a line of
//! `features!` makes it known.
//!
//! Lengths are millimetres, angles radians unless a name says degrees, forces newtons, stresses megapascals. Beside the
//! folders stands what several features share, or what is of use without one.

mod bench;
pub mod bore_to_flat;
pub mod contact_geometry;
pub mod crimp_height;
mod discs;
pub mod groove_diameter;
pub mod groove_width;
pub mod harmonic;
mod in_bore;
mod input;
pub mod inside_diameter;
pub mod keyseat;
pub mod land;
pub mod lobed_shaft;
pub mod plain_diameter;
pub mod pull_force;

pub mod soft_thickness;
pub mod trial;
pub mod tube_wall;
pub mod wire_size;

use std::borrow::Cow;
use std::fmt::Debug;

use serde::{Deserialize, Serialize};

use super::JobError;
use super::approval::DefaultName;
use super::contact_pressure::Touch;
use super::converted::Conversion;
use super::equipment::Contacts;
use super::finding::{Finding, Readings};
use super::measured_with::MeasuredWith;
use super::misfit::Misfit;
use super::spread::{Laid, Places, Turned};
use super::state::Caution;
use super::suspicion::Form;
use super::warning::Warning;
use crate::limits::Limits;
use crate::message::{Code, Coded, Message, Say};
use crate::soak::Body;

pub use super::keys::{Holds, Key, Range, Row, Section, Stands, Stated, Values, find};
pub use bench::{Ask, Asked, Flag, Given, Lacking, Named};

/// What kind of size the drawing states, for documents of other systems.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dimension {
    /// Across a circle, inside or outside.
    Diameter,
    /// Of a wall, web or sheet.
    Thickness,
    /// Of a groove or land.
    Width,
    /// Below a surface.
    Depth,
    /// Above a surface.
    Height,
    /// Any other.
    Size,
}

/// What a feature can be asked. Where nothing is said it is a size that is read directly.
pub trait Measurand: Debug {
    /// How many readings, in which order, and after how many degrees the next.
    fn places(&self) -> (usize, Option<u32>, Laid);

    /// Whether a pair, used with its force, shows it.
    fn suits(&self, with: &MeasuredWith) -> Result<(), Misfit>;

    /// The contacts one would want, with their sizes.
    fn ideal(&self, limits: Limits) -> Message;

    /// Such contacts, to try a job with before any are chosen; `None` where a size of them cannot be told.
    fn trial_contacts(&self, limits: Limits) -> Option<Contacts>;

    /// What kind of size it is.
    fn dimension(&self) -> Dimension {
        Dimension::Size
    }

    /// How far the part itself may put readings apart, by the method of this number.
    fn form(&self, _method: u32) -> Form {
        Form::Small
    }

    /// What a part that is turned shows at each angle.
    fn turned(&self) -> Turned {
        Turned::Diameter
    }

    /// Whether one place says nothing of the rest of the part.
    fn is_all_around(&self) -> bool {
        false
    }

    /// Whether the least size counts where the part holds pressure or has a least limit alone.
    fn is_wall(&self) -> bool {
        false
    }

    /// Whether a size is reckoned across two opposite places.
    fn is_across(&self) -> bool {
        false
    }

    /// Whether the size is another than what is read.
    fn is_reckoned(&self) -> bool {
        false
    }

    /// The default of repeatability on it, where that is not a matter of the contacts.
    fn repeatability(&self) -> Option<DefaultName> {
        None
    }

    /// The sheet that its limits are from.
    fn sheet(&self) -> Option<&str> {
        None
    }

    /// What is said wherever a wrong acceptance hurts.
    fn caution(&self) -> Option<Caution> {
        None
    }

    /// What is said before it is measured.
    fn advice(&self) -> Option<Message> {
        None
    }

    /// The body that takes up the heat of a hand, where its size is this, millimetres.
    fn body(&self, size: f64) -> Body {
        Body::Cylinder(size)
    }

    /// Refuses a description whose numbers cannot be meant.
    fn check(&self, _with: &MeasuredWith) -> Result<(), JobError> {
        Ok(())
    }

    /// Refuses readings, by their mean, that cannot be of it.
    fn check_readings(&self, _mean: f64) -> Result<(), JobError> {
        Ok(())
    }

    /// The last step from reading to size; `repeatability` is the standard deviation of one reading, where it is known.
    fn conversion(
        &self,
        _with: &MeasuredWith,
        _repeatability: f64,
    ) -> Result<Conversion, JobError> {
        Ok(Conversion::default())
    }

    /// Where the contacts touch it; `None` where they press on no small spot, or on one that is meant to give way.
    fn touch(&self, with: &MeasuredWith) -> Option<Touch> {
        Touch::on_flat(with)
    }

    /// Where both contacts press a part that gives way under them, since method 6; none of contacts that rest on an area, nor of
    /// those that [`Measurand::conversion`] has.
    fn pressed(&self, _with: &MeasuredWith) -> [Option<Touch>; 2] {
        [None, None]
    }

    /// What else the readings tell.
    fn findings(&self, _readings: &Readings) -> Result<Vec<Finding>, JobError> {
        Ok(Vec::new())
    }

    /// What the person who signs ought to know of a mean of this size.
    fn warning(&self, _limits: Limits, _mean: f64) -> Option<Warning> {
        None
    }

    /// What is known of a part of this size, mean or of a place, and contradicts an acceptance.
    fn contradicting(&self, _limits: Limits, _size: f64) -> Option<Warning> {
        None
    }
}

/// What is known of a feature without one: how it is asked for, and which words it needs.
pub trait Described: Section {
    /// What the bench asks, one thing at a time.
    const ASKED: &'static [Asked];
    /// By which options it is told before it is measured.
    const OPTIONS: &'static [Flag];
    /// The codes that stand with it, for the catalogue of words.
    const CODES: &'static [Codes];
    /// Whether its limits are those of a sheet that is named, and never assumed.
    const FROM_SHEET: bool = false;
    /// Whether each place measured is another piece.
    const SAMPLED: bool = false;
}

/// Codes as an enum declares them, each with the names of its values.
pub type Codes = &'static [(&'static str, &'static [&'static str])];

/// The codes of what several features share, or what is of use without one.
pub const SHARED: &[Codes] = &[
    discs::DiscsUnfit::DECLARED,
    harmonic::EccentricityError::DECLARED,
    in_bore::InBoreUnfit::DECLARED,
    in_bore::InBoreLine::DECLARED,
    in_bore::InBoreNote::DECLARED,
    in_bore::InBoreIdeal::DECLARED,
    pull_force::PullBasis::DECLARED,
    pull_force::PullError::DECLARED,
    pull_force::PullRemark::DECLARED,
    pull_force::PullWire::DECLARED,
    wire_size::WireError::DECLARED,
];

/// Makes features known: variant, type, key, and the names that people say.
macro_rules! features {
    ($( $(#[$meta:meta])* $variant:ident($kind:ty) $key:literal $names:tt ),* $(,)?) => {
        /// A feature, with what it needs to know.
        #[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
        #[serde(rename_all = "kebab-case", deny_unknown_fields)]
        pub enum Feature {
            $( $(#[$meta])* $variant($kind) ),*
        }

        crate::codes! {
            /// Features by their names.
            pub enum FeatureKind "feature" {
                $( $(#[$meta])* $variant $key ),*
            }
        }

        impl Feature {
            pub const fn kind(&self) -> FeatureKind {
                match self {
                    $( Self::$variant(_) => FeatureKind::$variant ),*
                }
            }

            /// What it can be asked.
            pub fn measurand(&self) -> &dyn Measurand {
                match self {
                    $( Self::$variant(one) => one ),*
                }
            }

            /// What its section states, in the order of its keys.
            pub fn stated(&self) -> Vec<Row> {
                match self {
                    $( Self::$variant(one) => Section::stated(one) ),*
                }
            }

            /// Takes a feature from the values of its section.
            pub fn read<V: Values>(kind: FeatureKind, values: &mut V) -> Result<Self, V::Error> {
                Ok(match kind {
                    $( FeatureKind::$variant => Self::$variant(<$kind>::read(values)?) ),*
                })
            }
        }

        impl FeatureKind {
            /// The keys of its section.
            pub const fn keys(self) -> &'static [Key] {
                match self {
                    $( Self::$variant => <$kind>::KEYS ),*
                }
            }

            /// The names of those keys.
            pub const fn key_names(self) -> &'static [&'static str] {
                match self {
                    $( Self::$variant => <$kind>::NAMES ),*
                }
            }

            /// Whether its limits are those of a sheet that is named.
            pub const fn is_from_sheet(self) -> bool {
                match self {
                    $( Self::$variant => <$kind>::FROM_SHEET ),*
                }
            }

            /// Whether each place measured is another piece.
            pub const fn is_sampled(self) -> bool {
                match self {
                    $( Self::$variant => <$kind>::SAMPLED ),*
                }
            }

            /// What the bench asks, one thing at a time.
            pub const fn asked(self) -> &'static [Asked] {
                match self {
                    $( Self::$variant => <$kind>::ASKED ),*
                }
            }

            /// By which options it is told before it is measured.
            pub const fn options(self) -> &'static [Flag] {
                match self {
                    $( Self::$variant => <$kind>::OPTIONS ),*
                }
            }

            /// The codes that stand with it, for the catalogue of words.
            pub const fn codes(self) -> &'static [Codes] {
                match self {
                    $( Self::$variant => <$kind>::CODES ),*
                }
            }

            /// Names that people say beside the key.
            pub const fn names(self) -> &'static [&'static str] {
                match self {
                    $( Self::$variant => &$names ),*
                }
            }

            /// How its readings are spread over the part, to be said.
            const fn spread(self) -> Code {
                match self {
                    $( Self::$variant => Code::declared(concat!("spread.", $key)) ),*
                }
            }
        }
    };
}
features! {
    /// A plain external diameter.
    PlainDiameter(plain_diameter::PlainDiameter) "plain-diameter" ["plain", "diameter"],
    /// The wall of a tube, sphere inside, all around.
    TubeWall(tube_wall::TubeWall) "tube-wall" ["wall", "tube"],
    /// The inside diameter of a tube from its wall and its outside diameter.
    InsideDiameter(inside_diameter::InsideDiameter) "inside-diameter" ["inside"],
    /// From an inside diameter to a flat surface: the web beside a bore.
    BoreToFlat(bore_to_flat::BoreToFlat) "bore-to-flat" ["web"],
    /// The diameter at the floor of a groove.
    GrooveDiameter(groove_diameter::Groove) "groove-diameter" ["groove"],
    /// The diameter at the floor of an undercut beside a shoulder.
    Undercut(groove_diameter::Groove) "undercut" [],
    /// The width of a groove, between its walls, by the outer faces of discs.
    GrooveWidth(groove_width::GrooveWidth) "groove-width" ["slot"],
    /// The width of a land, between two grooves, by the inner faces of discs.
    Land(land::Land) "land" [],
    /// The depth of a keyseat in a shaft.
    Keyseat(keyseat::Keyseat) "keyseat" ["keyway"],
    /// A lobed shaft: two-point diameter against V-block reading.
    LobedShaft(lobed_shaft::LobedShaft) "lobed-shaft" ["lobed", "lobes"],
    /// The thickness of soft sheet.
    SoftThickness(soft_thickness::SoftThickness) "soft-thickness" ["soft", "sheet", "soft-sheet"],
    /// The height of the conductor crimp of a terminal.
    CrimpHeight(crimp_height::CrimpHeight) "crimp-height" ["crimp"],
}

impl FeatureKind {
    /// The one that goes by this name.
    pub fn named(name: &str) -> Option<Self> {
        let said = name.trim().to_lowercase().replace([' ', '_'], "-");
        let mut all = Self::EVERY.iter().copied();
        all.find(|kind| kind.key() == said || kind.names().contains(&said.as_str()))
    }
}

impl Feature {
    /// The key in files and on the command line.
    pub const fn key(&self) -> &'static str {
        self.kind().key()
    }

    /// How many readings it wants, and where (common practice, no source).
    pub fn places(&self) -> Places {
        let (count, step, laid) = self.measurand().places();
        Places {
            count,
            step,
            how: self.kind().spread(),
            laid,
        }
    }
}

impl Coded for Feature {
    fn code(&self) -> Cow<'static, str> {
        self.kind().code()
    }
}

/// A refusal that belongs to a feature.
fn refused(error: impl Say) -> JobError {
    JobError::Feature {
        error: error.message(),
    }
}
