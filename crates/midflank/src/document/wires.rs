//! `midflank wires`: three wires over an external thread, two balls in an internal one.

use metrology::units::LengthUnit;
use metrology::wires::{Comparison, WireReading};
use serde::Serialize;

use super::MaxMin;
use super::from_mm;
use crate::words;

/// What is wanted for one thread; all in millimetres.
pub struct Wires {
    /// As the designation was read, if there was one.
    pub designation: Option<String>,
    pub unit: LengthUnit,
    pub best: f64,
    /// Smallest and largest usable; `None` where the angle belongs to no standard form.
    pub usable: Option<(f64, f64)>,
    pub reading: WireReading,
    /// Of a taper thread: its plane from the small end, and what the taper adds to the pitch diameter.
    pub plane: Option<(f64, f64)>,
    pub elastic_correction: Option<f64>,
    /// Of balls in grooves that do not face each other: how far apart these lie along the axis, and the centres in a straight
    /// line.
    pub straight: Option<(f64, f64)>,
    /// Readings at the limits of the pitch diameter, smallest first.
    pub limits: Option<(f64, f64)>,
    pub comparison: Vec<Comparison>,
    /// Which of the wires one owns: diameter, usable.
    pub owned: Vec<(f64, bool)>,
    pub notes: Vec<String>,
}

impl Wires {
    /// Readings at the limits to work to: over a wire that does not rest on the flanks there are none.
    pub fn limits_to_keep(&self) -> Option<(f64, f64)> {
        let wire = self.reading.seat.wire_diameter_mm;
        let usable = |(smallest, largest): (f64, f64)| (smallest..=largest).contains(&wire);
        self.limits.filter(|_| self.usable.is_none_or(usable))
    }
}

#[derive(Serialize)]
pub struct WiresDocument<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    designation: Option<&'a str>,
    unit: LengthUnit,
    best_wire: f64,
    min_wire: Option<f64>,
    max_wire: Option<f64>,
    wire: f64,
    pitch_diameter: f64,
    over_wires: f64,
    over_wires_simple: f64,
    /// Straight distance of the ball centres, which `over_wires` is the part of that is square to the axis; only of balls in
    /// grooves that do not face each other.
    #[serde(skip_serializing_if = "Option::is_none")]
    over_wires_straight: Option<f64>,
    lead_angle_deg: f64,
    lead_correction: f64,
    /// Of a taper thread: the plane of the single wire, from the small end.
    #[serde(skip_serializing_if = "Option::is_none")]
    plane: Option<f64>,
    /// What a formula for a parallel thread would miss of the pitch diameter there.
    #[serde(skip_serializing_if = "Option::is_none")]
    taper_correction: Option<f64>,
    contact_radius: f64,
    wire_inclination_deg: f64,
    elastic_correction: Option<f64>,
    over_wires_limits: Option<MaxMin>,
    approximations: Vec<Approximation>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    owned: Vec<Owned>,
    notes: &'a [String],
}

#[derive(Serialize)]
struct Approximation {
    name: &'static str,
    label: String,
    over_wires: f64,
    /// Its reading less the exact one.
    difference: f64,
}

/// A wire one owns, the best first.
#[derive(Serialize)]
struct Owned {
    wire: f64,
    usable: bool,
}

impl<'a> WiresDocument<'a> {
    pub fn of(wires: &'a Wires) -> Self {
        let length = |mm| from_mm(mm, wires.unit);
        let reading = &wires.reading;
        Self {
            designation: wires.designation.as_deref(),
            unit: wires.unit,
            best_wire: length(wires.best),
            min_wire: wires.usable.map(|(smallest, _)| length(smallest)),
            max_wire: wires.usable.map(|(_, largest)| length(largest)),
            wire: length(reading.seat.wire_diameter_mm),
            pitch_diameter: length(reading.pitch_diameter_mm),
            over_wires: length(reading.reading_mm),
            over_wires_simple: length(reading.simple_reading_mm),
            over_wires_straight: wires.straight.map(|(_, straight)| length(straight)),
            lead_angle_deg: reading.lead_angle.degrees(),
            lead_correction: length(reading.lead_correction_mm),
            plane: wires.plane.map(|(at, _)| length(at)),
            taper_correction: wires.plane.map(|(_, correction)| length(correction)),
            contact_radius: length(reading.seat.upper.radius_mm),
            wire_inclination_deg: reading.seat.inclination.degrees(),
            elastic_correction: wires.elastic_correction.map(length),
            over_wires_limits: wires.limits.map(|(min, max)| MaxMin {
                max: Some(length(max)),
                min: Some(length(min)),
            }),
            approximations: wires
                .comparison
                .iter()
                .map(|row| Approximation {
                    name: row.formula.key(),
                    label: words::word(&row.formula),
                    over_wires: length(row.reading_mm),
                    difference: length(row.difference_mm),
                })
                .collect(),
            owned: wires
                .owned
                .iter()
                .map(|&(wire, usable)| Owned {
                    wire: length(wire),
                    usable,
                })
                .collect(),
            notes: &wires.notes,
        }
    }
}
