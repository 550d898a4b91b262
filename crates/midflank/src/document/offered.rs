//! A line that a thread note may be split into.

use metrology::units::{Length, LengthUnit};
use serde::Serialize;
use workshop::in_unit::from_mm;
use workshop::plan::{Line, Offered, Way};

#[derive(Serialize)]
pub struct OfferedDocument {
    number: String,
    part: &'static str,
    requirement: String,
    way: String,
    places: Vec<String>,
    /// Limits in the unit.
    lower: Option<f64>,
    upper: Option<f64>,
    unit: LengthUnit,
}

impl OfferedDocument {
    pub fn of(line: &Line, offered: &Offered) -> Self {
        let limit = |limit: Option<Length>| limit.map(|limit| from_mm(limit.mm(), offered.unit));
        let places = line.places.split(';').map(str::trim);
        let places = places.filter(|place| !place.is_empty());
        let way = Some(line.way.as_str()).filter(|way| !way.is_empty());
        Self {
            number: line.number.clone(),
            part: offered.part.key(),
            requirement: line.requirement.clone(),
            way: way.unwrap_or(Way::Contacts.key()).to_owned(),
            places: places.map(str::to_owned).collect(),
            lower: limit(offered.limits.lower),
            upper: limit(offered.limits.upper),
            unit: offered.unit,
        }
    }
}
