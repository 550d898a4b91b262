//! Temperature, temperature difference and thermal expansion: three types, since 20 degrees on a thermometer
//! and a difference of 20 kelvins must never be mixed up.

use std::ops::Sub;

/// A temperature on the Celsius scale.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, serde::Serialize, serde::Deserialize)]
#[serde(transparent)]
pub struct Celsius(f64);

/// A difference of temperatures, in kelvins.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct TemperatureDifference(f64);

/// A coefficient of linear thermal expansion, per kelvin.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Expansion(f64);

impl Celsius {
    /// The reference temperature of dimensional specifications, 20 °C (ISO 1:2022, from memory).
    pub const REFERENCE: Self = Self(20.0);

    /// From degrees Celsius.
    pub const fn new(degrees: f64) -> Self {
        Self(degrees)
    }

    /// In degrees Celsius.
    pub const fn degrees(self) -> f64 {
        self.0
    }
}

impl Sub for Celsius {
    type Output = TemperatureDifference;
    fn sub(self, other: Self) -> TemperatureDifference {
        TemperatureDifference(self.0 - other.0)
    }
}

impl TemperatureDifference {
    /// From kelvins.
    pub const fn from_kelvins(kelvins: f64) -> Self {
        Self(kelvins)
    }

    /// In kelvins.
    pub const fn kelvins(self) -> f64 {
        self.0
    }
}

impl Expansion {
    /// From a coefficient per kelvin, such as `11.5e-6`.
    pub const fn per_kelvin(coefficient: f64) -> Self {
        Self(coefficient)
    }

    /// The coefficient per kelvin.
    pub const fn value(self) -> f64 {
        self.0
    }
}
