//! What was measured on an unknown thread.

use std::fmt;

use crate::designation::Kind;

/// What can be measured to tell threads apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// Over the crests of a bolt.
    Major,
    /// Pitch diameter.
    PitchDiameter,
    /// Between the crests of a nut.
    Minor,
    /// Pitch.
    Pitch,
    /// Angle between the flanks, degrees.
    FlankAngle,
    /// Growth of the diameter by length along the axis, as 1/16.
    Taper,
}

impl Quantity {
    /// All of them.
    pub const ALL: [Self; 6] = [
        Self::Major,
        Self::PitchDiameter,
        Self::Minor,
        Self::Pitch,
        Self::FlankAngle,
        Self::Taper,
    ];

    /// The name that programs read.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Major => "major",
            Self::PitchDiameter => "pitch-diameter",
            Self::Minor => "minor",
            Self::Pitch => "pitch",
            Self::FlankAngle => "flank-angle",
            Self::Taper => "taper",
        }
    }

    /// Whether a thread allows a band of sizes for it, as for diameters.
    pub const fn is_diameter(self) -> bool {
        matches!(self, Self::Major | Self::PitchDiameter | Self::Minor)
    }
}

/// In words.
impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Major => "major diameter",
            Self::PitchDiameter => "pitch diameter",
            Self::Minor => "minor diameter",
            Self::Pitch => "pitch",
            Self::FlankAngle => "flank angle",
            Self::Taper => "taper",
        })
    }
}

/// One measured value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Observation {
    /// What was measured.
    pub quantity: Quantity,
    /// In millimetres, degrees, or as a ratio (taper).
    pub value: f64,
    /// Standard uncertainty (k = 1), above zero, same unit.
    pub standard_uncertainty: f64,
}

/// All that was measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Evidence {
    /// A bolt or a nut.
    pub kind: Kind,
    /// At least one.
    pub observations: Vec<Observation>,
}

/// Standard uncertainty of a length read over turns with callipers, mm: 0.05 mm expanded (common practice).
pub const UNCERTAINTY_LENGTH: f64 = 0.025;

/// Standard uncertainty taken where none is stated: what the usual hand tool does (common practice).
///
/// Millimetres, degrees, ratio. Diameter: callipers or a micrometer on a bought screw. Pitch: a pitch gauge. Pitch
/// diameter: a thread micrometer set on a standard. Flank angle: a profile gauge. Taper: two diameters.
pub const fn usual_uncertainty(quantity: Quantity) -> f64 {
    match quantity {
        Quantity::Major | Quantity::Minor | Quantity::PitchDiameter | Quantity::Pitch => 0.01,
        Quantity::FlankAngle => 1.0,
        Quantity::Taper => 0.005,
    }
}

/// Evidence that cannot be.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EvidenceError {
    /// Nothing measured.
    #[error(
        "nothing is measured; give at least one of major diameter, pitch, pitch diameter, flank angle or taper"
    )]
    Nothing,
    /// A count of zero turns.
    #[error(
        "a count of zero threads gives no pitch; count the turns between two like flanks, as 10 over 12.5mm"
    )]
    NoTurns,
    /// More turns than a thread has.
    #[error("{0} turns is more than any thread has; count at most 10000")]
    TooManyTurns(u32),
    /// Turns over no length.
    #[error("the length that the turns were counted over must be above zero, not {0} mm")]
    NoLength(f64),
    /// A value that no thread has.
    #[error("a {quantity} of {value} {unit} is impossible; threads have {range}")]
    Impossible {
        /// What.
        quantity: Quantity,
        /// The value.
        value: f64,
        /// Its unit.
        unit: &'static str,
        /// What there is.
        range: &'static str,
    },
    /// An uncertainty that is none.
    #[error("the standard uncertainty of the {0} must be above zero")]
    NoUncertainty(Quantity),
    /// Two values that cannot belong together.
    #[error("{0}")]
    Contradiction(String),
}

/// The pitch and its standard uncertainty, from so many turns over a length: L/N and u(L)/N.
///
/// All lengths in millimetres. Count between like flanks: N turns span N + 1 crests.
pub fn pitch_from_count(
    turns: u32,
    length: f64,
    uncertainty_length: f64,
) -> Result<Observation, EvidenceError> {
    if turns == 0 {
        return Err(EvidenceError::NoTurns);
    }
    if turns > 10_000 {
        return Err(EvidenceError::TooManyTurns(turns));
    }
    if length.is_nan() || length <= 0.0 {
        return Err(EvidenceError::NoLength(length));
    }
    let turns = f64::from(turns);
    Ok(Observation {
        quantity: Quantity::Pitch,
        value: length / turns,
        standard_uncertainty: uncertainty_length / turns,
    })
}

impl Evidence {
    /// The observation of a quantity with the least uncertainty.
    pub fn best(&self, quantity: Quantity) -> Option<&Observation> {
        self.observations
            .iter()
            .filter(|seen| seen.quantity == quantity)
            .min_by(|a, b| a.standard_uncertainty.total_cmp(&b.standard_uncertainty))
    }

    /// Refuses what cannot be measured on any thread.
    pub(super) fn check(&self) -> Result<(), EvidenceError> {
        if self.observations.is_empty() {
            return Err(EvidenceError::Nothing);
        }
        for seen in &self.observations {
            seen.check()?;
        }
        let value = |quantity| self.best(quantity).map(|seen| seen.value);
        if let (Some(major), Some(pitch_diameter)) =
            (value(Quantity::Major), value(Quantity::PitchDiameter))
            && pitch_diameter >= major
        {
            return Err(EvidenceError::Contradiction(format!(
                "the pitch diameter, {pitch_diameter:.4} mm, must be below the major diameter, {major:.4} mm"
            )));
        }
        let widest = value(Quantity::Major).or_else(|| value(Quantity::PitchDiameter));
        if let (Some(diameter), Some(pitch)) = (widest, value(Quantity::Pitch))
            && pitch >= diameter
        {
            return Err(EvidenceError::Contradiction(format!(
                "a pitch of {pitch:.4} mm does not go on a diameter of {diameter:.4} mm; is one of them in the other \
                 unit?"
            )));
        }
        Ok(())
    }
}

impl Observation {
    fn check(&self) -> Result<(), EvidenceError> {
        let (least, most, unit, range) = match self.quantity {
            Quantity::Major | Quantity::PitchDiameter | Quantity::Minor => {
                (0.1, 2000.0, "mm", "between 0.1 and 2000 mm")
            }
            Quantity::Pitch => (
                0.05,
                51.0,
                "mm",
                "between 0.05 and 51 mm (500 and 0.5 per inch)",
            ),
            Quantity::FlankAngle => (1.0, 120.0, "degrees", "between 1 and 120 degrees"),
            Quantity::Taper => (-0.5, 0.5, "", "no more than 1:2"),
        };
        // Not a number is in no range.
        if !(least..=most).contains(&self.value) {
            return Err(EvidenceError::Impossible {
                quantity: self.quantity,
                value: self.value,
                unit,
                range,
            });
        }
        let u = self.standard_uncertainty;
        if !(u > 0.0 && u.is_finite()) {
            return Err(EvidenceError::NoUncertainty(self.quantity));
        }
        Ok(())
    }
}
