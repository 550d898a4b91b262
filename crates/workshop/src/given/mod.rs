//! What people give, in a file, on a page or with an option: numbers within their range, and texts that a screen and a
//! report show as they are meant.

mod person;
mod text;

pub use metrology::given::{NumberError, Range, Whole};
pub use person::is_same_person;
pub use text::{TextError, escaped, on_lines, on_one_line};

use metrology::decision::risk::SHAPES;
pub use metrology::inspection::equipment::{
    COVERAGE_FACTOR, FORCE, HALF_ANGLE_LIMIT, INCLUDED_ANGLE,
};

/// Places around a part, degrees; a list of angles may go round many times.
pub const ANGLE: Range = Range::new(-1e6, 1e6, "°");
/// From one reading to the next, degrees.
pub const STEP: Range = Range::new(-180.0, 180.0, "°");
/// Half the angle between two flanks, degrees.
pub const HALF_ANGLE: Range = Range::new(0.5, 89.5, "°");
/// How far a half angle is off, degrees.
pub const HALF_ANGLE_ERROR: Range = Range::new(-30.0, 30.0, "°");
/// How far half angles of a part may be off, minutes of arc: none is measured better than to half a minute (common practice, no source).
pub const FLANK_ANGLE_LIMIT: Range = Range::new(0.5, 120.0, "\u{2032}");
/// A line or a face that leans, degrees.
pub const TILT: Range = Range::new(-45.0, 45.0, "°");
/// A groove wall from square, degrees.
pub const WALL_ANGLE: Range = Range::new(0.0, 80.0, "°");
/// A pull force or its uncertainty, newtons.
pub const PULL_FORCE: Range = Range::new(0.0, 1e6, " N");
/// Vickers hardness of a part, lead to hard metal (common practice, no source).
pub const HARDNESS: Range = Range::new(3.0, 3000.0, " HV");
/// A temperature, degrees Celsius. One that was read in degrees Fahrenheit is told as that, by its own sentence.
pub const TEMPERATURE: Range = Range::new(-50.0, 150.0, " °C");
/// Relative humidity, percent.
pub const HUMIDITY: Range = Range::new(0.0, 100.0, " %");
/// A temperature of a part or of the room that a part is left to come to, degrees Celsius.
pub const TEMPERATURE_AT_BENCH: Range = Range::new(-40.0, 120.0, " °C");
/// A difference or an uncertainty of temperature, kelvins.
pub const KELVINS: Range = Range::new(0.0, 20.0, " K");
/// To within how much of the room a part comes, kelvins.
pub const WITHIN_KELVINS: Range = Range::new(0.001, 20.0, " K");
/// Degrees of freedom.
pub const DEGREES_OF_FREEDOM: Range = Range::new(1.0, 1e9, "");
/// Degrees of freedom of earlier series, as a job takes them.
pub const EARLIER_DEGREES_OF_FREEDOM: Range = Range::new(1.0, 1e6, "");
/// The limit of an eccentricity, percent of the wall.
pub const ECCENTRICITY: Range = Range::new(0.0, 200.0, " %");
/// A limit of the compression ratio of a crimp, percent.
pub const COMPRESSION: Range = Range::new(0.0, 1000.0, " %");
/// The shape of a gamma process.
pub const GAMMA_SHAPE: Range = Range::new(SHAPES.0, SHAPES.1, "");
/// The rate of a gamma process, in 1/unit.
pub const GAMMA_RATE: Range = Range::new(1e-9, 1e9, "");
/// A probability, or a part of the whole.
pub const FRACTION: Range = Range::new(0.0, 1.0, "");
/// Lobes of a shaft.
pub const LOBES: Whole = Whole(Range::new(2.0, 1000.0, ""));
/// Young's modulus of soft material in compression, megapascals.
pub const MODULUS: Range = Range::new(0.001, 1e6, " MPa");
/// The pressure of a standard for soft material, kilopascals.
pub const PRESSURE: Range = Range::new(0.001, 1e6, " kPa");
/// How long a soft part is left under the contacts, seconds.
pub const DWELL: Range = Range::new(0.1, 3600.0, " s");
/// The area of a conductor or a barrel, square millimetres.
pub const AREA: Range = Range::new(0.0001, 10_000.0, " mm²");
/// The width of a crimp, millimetres.
pub const CRIMP_WIDTH: Range = Range::new(0.01, 1000.0, " mm");
/// The standard uncertainty of an angle, degrees.
pub const ANGLE_UNCERTAINTY: Range = Range::new(0.001, 90.0, "°");
/// Either number of a taper such as 1:16.
pub const TAPER: Range = Range::new(0.0, 1000.0, "");
/// Threads per inch.
pub const PER_INCH: Range = Range::new(0.1, 1000.0, "");
/// A length in a column that names its unit.
pub const LENGTH: Range = Range::new(-100_000.0, 100_000.0, "");
