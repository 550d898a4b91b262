//! Quantities that know their unit.
//!
//! A bare `f64` is never passed where a length, an angle or a temperature is meant. Lengths are exact
//! ([`Length`]); what a person typed or an instrument sent is kept as it was ([`Entered`]).

mod angle;
mod entered;
mod force;
mod length;
mod pitch;
mod temperature;

pub use angle::Angle;
pub(crate) use entered::digit_like;
pub use entered::{Digits, Entered, EntryError};
pub use force::Force;
pub(crate) use length::round_to_even;
pub use length::{Length, LengthError, LengthUnit};
pub use pitch::{Pitch, PitchError, ThreadsPerInch};
pub use temperature::{Celsius, Expansion, TemperatureDifference};
