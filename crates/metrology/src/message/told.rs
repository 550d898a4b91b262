//! A measured size with what decides how many of its digits are told.

use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

/// A measured size, or its distance from a bound: told to two significant digits of its expanded uncertainty, and with
/// more where it would seem to lie on another side of a bound. All in exact millimetres.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Told {
    /// The size or distance.
    pub value: Decimal,
    /// Its expanded uncertainty.
    pub expanded: Decimal,
    /// The bounds that it is compared with, in rising order.
    pub bounds: Vec<Decimal>,
}
