//! Numbers of a study in words.

use metrology::units::LengthUnit;

use crate::report::studied;
use crate::report::told::Told;
use crate::say;

/// A name and a number to so many digits, with the unit of the readings where it has one.
pub fn line(told: &mut Told, name: &str, value: f64, unit: Option<LengthUnit>) {
    told.value(name, shown(value, unit));
}

/// A number to six digits, with the unit of the readings where it has one.
pub fn shown(value: f64, unit: Option<LengthUnit>) -> String {
    studied::shown(value, symbol(unit))
}

/// The name of a unit in machine-readable output.
pub fn symbol(unit: Option<LengthUnit>) -> Option<&'static str> {
    unit.map(LengthUnit::symbol)
}

/// Says what the bare numbers of the table are taken for.
pub fn in_unit(told: &mut Told, unit: Option<LengthUnit>, tolerance: Option<f64>) {
    let Some(unit) = unit else { return };
    told.sentence(match tolerance {
        Some(tolerance) => say!(
            "studied.in-unit-tolerance",
            unit = unit.symbol(),
            tolerance = shown(tolerance, Some(unit))
        ),
        None => say!("studied.in-unit", unit = unit.symbol()),
    });
}
