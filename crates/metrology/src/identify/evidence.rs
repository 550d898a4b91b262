//! What was measured on an unknown thread.

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
}

crate::codes! {
    impl Quantity "identified-by" {
        Major "major",
        PitchDiameter "pitch-diameter",
        Minor "minor",
        Pitch "pitch",
        FlankAngle "flank-angle",
        Taper "taper",
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

crate::messages! {
    /// Evidence that cannot be.
    pub enum EvidenceError "evidence" {
        /// Nothing measured.
        Nothing "nothing",
        /// A count of zero turns.
        NoTurns "no-turns",
        /// More turns than a thread has.
        TooManyTurns "too-many-turns" { turns: u32 as whole },
        /// Turns over no length.
        NoLength "no-length" { length: f64 as Size },
        /// A value that no thread has.
        Impossible "impossible" { quantity: Quantity as code, value: Measured as said, possible: Possible as code },
        /// An uncertainty that is none.
        NoUncertainty "no-uncertainty" { quantity: Quantity as code },
        /// A pitch diameter that is not below the major diameter.
        PitchDiameterTooLarge "pitch-diameter-too-large" { pitch_diameter: f64 as Size, major: f64 as Size },
        /// A pitch that does not go on the diameter.
        PitchTooLarge "pitch-too-large" { pitch: f64 as Size, diameter: f64 as Size },
    }
}

crate::messages! {
    /// A value that was measured.
    pub enum Measured "measured" {
        /// A diameter or pitch.
        Length "length" { length: f64 as Size },
        Angle "angle" { angle: f64 as Degrees },
        Taper "taper" { taper: f64 as number },
    }
}

crate::codes! {
    /// What threads have.
    pub enum Possible "possible" {
        /// Diameters.
        Diameter "diameter",
        /// Pitches.
        Pitch "pitch",
        /// Flank angles.
        FlankAngle "flank-angle",
        /// Tapers.
        Taper "taper",
    }
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
        return Err(EvidenceError::TooManyTurns { turns });
    }
    if length.is_nan() || length <= 0.0 {
        return Err(EvidenceError::NoLength { length });
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
            return Err(EvidenceError::PitchDiameterTooLarge {
                pitch_diameter,
                major,
            });
        }
        let widest = value(Quantity::Major).or_else(|| value(Quantity::PitchDiameter));
        if let (Some(diameter), Some(pitch)) = (widest, value(Quantity::Pitch))
            && pitch >= diameter
        {
            return Err(EvidenceError::PitchTooLarge { pitch, diameter });
        }
        Ok(())
    }
}

impl Observation {
    fn check(&self) -> Result<(), EvidenceError> {
        let (least, most, possible) = match self.quantity {
            Quantity::Major | Quantity::PitchDiameter | Quantity::Minor => {
                (0.1, 2000.0, Possible::Diameter)
            }
            Quantity::Pitch => (0.05, 51.0, Possible::Pitch),
            Quantity::FlankAngle => (1.0, 120.0, Possible::FlankAngle),
            Quantity::Taper => (-0.5, 0.5, Possible::Taper),
        };
        // Not a number is in no range.
        if !(least..=most).contains(&self.value) {
            return Err(EvidenceError::Impossible {
                quantity: self.quantity,
                value: match self.quantity {
                    Quantity::FlankAngle => Measured::Angle { angle: self.value },
                    Quantity::Taper => Measured::Taper { taper: self.value },
                    _ => Measured::Length { length: self.value },
                },
                possible,
            });
        }
        let u = self.standard_uncertainty;
        if !(u > 0.0 && u.is_finite()) {
            return Err(EvidenceError::NoUncertainty {
                quantity: self.quantity,
            });
        }
        Ok(())
    }
}
