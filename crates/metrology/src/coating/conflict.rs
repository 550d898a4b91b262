//! A coating that does not fit, and what would.

use std::fmt;

use super::Thickness;
use crate::limits::Limits;
use crate::units::{Length, LengthUnit};

/// Why a coating does not fit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Conflict {
    /// The limits hold before coating, and the coating needs more than the allowance.
    NoRoom {
        /// The thickest coating asked for.
        most: Length,
        /// What it adds to the pitch diameter (takes from it, in a nut).
        needed: Length,
        /// What there is between the limit before coating and the basic size.
        allowance: Length,
        /// The thickest coating that fits.
        room: Length,
        /// Pitch-diameter limits before coating that would do, within those of the class.
        tighter: Option<Limits>,
        /// A class with room enough and its allowance.
        other_class: Option<(String, Length)>,
        /// The unit to tell it in.
        unit: LengthUnit,
    },
    /// The limits hold after coating, and the spread of its thickness takes the whole tolerance.
    NoTolerance {
        /// What was asked for.
        thickness: Thickness,
        /// What the spread takes of the pitch-diameter tolerance.
        spread: Length,
        /// The pitch-diameter tolerance.
        tolerance: Length,
        /// The widest range of thickness that would leave something.
        widest: Length,
        /// The unit to tell it in.
        unit: LengthUnit,
    },
}

impl Conflict {
    /// The name that programs read.
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::NoRoom { .. } => "coating-too-thick",
            Self::NoTolerance { .. } => "coating-spread-too-wide",
        }
    }
}

impl Conflict {
    /// The fault alone, in a few words.
    pub fn short(&self) -> String {
        match self {
            Self::NoRoom { room, unit, .. } if *room > Length::ZERO => {
                format!("the coating does not fit: at most {}", small(*room, *unit))
            }
            Self::NoRoom { .. } => {
                "no coating fits between these limits and the basic size".to_owned()
            }
            Self::NoTolerance { .. } => {
                "the spread of the coating leaves the thread no tolerance".to_owned()
            }
        }
    }
}

/// A small length in micrometres, or in inches as platers write it.
fn small(length: Length, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Inch | LengthUnit::Microinch => {
            format!(
                "{} in",
                length.decimal(LengthUnit::Inch).round_dp(6).normalize()
            )
        }
        LengthUnit::Millimetre | LengthUnit::Micrometre => {
            let micrometres = length.decimal(LengthUnit::Micrometre);
            format!("{} um", micrometres.round_dp(2).normalize())
        }
    }
}

/// What is wrong and what would be right.
impl fmt::Display for Conflict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoRoom {
                most,
                needed,
                allowance,
                room,
                tighter,
                other_class,
                unit,
            } => {
                write!(
                    f,
                    "a coating of {} moves the pitch diameter by {} and the allowance is {}: ",
                    small(*most, *unit),
                    small(*needed, *unit),
                    small(*allowance, *unit),
                )?;
                if *room > Length::ZERO {
                    write!(f, "at most {} fits", small(*room, *unit))?;
                } else {
                    f.write_str("no coating fits if these limits hold before it")?;
                }
                let decimals = if *unit == LengthUnit::Inch { 5 } else { 4 };
                if let Some(Limits {
                    lower: Some(lower),
                    upper: Some(upper),
                }) = tighter
                {
                    write!(
                        f,
                        "; or make the pitch diameter {} to {} {unit} before coating",
                        lower.to_fixed(*unit, decimals),
                        upper.to_fixed(*unit, decimals)
                    )?;
                }
                if let Some((designation, allowance)) = other_class {
                    write!(
                        f,
                        "; or take {designation}, with an allowance of {}",
                        small(*allowance, *unit)
                    )?;
                }
                f.write_str("; or say that the drawing's limits hold after coating")
            }
            Self::NoTolerance {
                thickness,
                spread,
                tolerance,
                widest,
                unit,
            } => write!(
                f,
                "a coating from {} to {} takes {} of the {} that the pitch diameter has: nothing is left for the \
                 thread before coating; the range of thickness has to stay below {}",
                small(thickness.least, *unit),
                small(thickness.most, *unit),
                small(*spread, *unit),
                small(*tolerance, *unit),
                small(*widest, *unit),
            ),
        }
    }
}
