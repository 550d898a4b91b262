//! A lobed part: what two points do not see, and a V does.

use clap::Args;
use metrology::effect::{Effect, EffectName, ValidFor};
use metrology::features::lobed_shaft::VScale;
use metrology::geometry_errors::{
    mating_size_of_odd_lobes_mm, roundness_from_vee_mm, two_point_lobing_factor, vee_lobing_factor,
    vee_size_factor,
};
use metrology::source::{Confidence, Source};
use metrology::units::Angle;

use super::leading;
use crate::document::{Correct, Instead};
use crate::failure::Failure;
use crate::given;
use crate::look_up::thread::length;
use crate::option::{Count, Within};
use crate::say;
use crate::words::number;

/// The usual V blocks and V anvils, included angles in degrees; 128°34′ is that of seven flutes (common practice).
const USUAL: [f64; 5] = [60.0, 90.0, 108.0, 120.0, 128.0 + 34.0 / 60.0];

#[derive(Args)]
pub struct Lobing {
    #[arg(long, value_name = "LEN")]
    two_point: String,
    #[arg(long, value_name = "N", allow_hyphen_values = true, value_parser = Count(given::LOBES))]
    lobes: u32,
    #[arg(long, value_name = "DEG", allow_hyphen_values = true, value_parser = Within(given::INCLUDED_ANGLE))]
    vee: f64,
    #[arg(long, value_name = "LEN")]
    variation: String,
    #[arg(long, value_parser = [VScale::Distance.key(), VScale::Diameter.key()], default_value = VScale::Distance.key())]
    scale: String,
}

impl Lobing {
    pub fn correct(&self) -> Result<Correct, Failure> {
        let (unit, two_point) = leading("--two-point", &self.two_point)?;
        let included = Angle::from_degrees(self.vee);
        let factor = vee_lobing_factor(included, self.lobes)
            .map_err(|error| Failure::refused_in(&error, unit))?;
        let size_factor =
            vee_size_factor(included).map_err(|error| Failure::refused_in(&error, unit))?;
        let read = length("--variation", &self.variation)?;
        let shows_diameters = self.scale == VScale::Diameter.key();
        let variation = if shows_diameters {
            read * size_factor / 2.0
        } else {
            read
        };
        let Some(roundness) = roundness_from_vee_mm(included, self.lobes, variation)
            .map_err(|error| Failure::refused_in(&error, unit))?
        else {
            return Err(Failure::Input(self.blind()));
        };
        let mating = mating_size_of_odd_lobes_mm(two_point, roundness)
            .map_err(|error| Failure::refused_in(&error, unit))?;
        let two_points_see = two_point_lobing_factor(self.lobes) > 0.0;
        Ok(Correct {
            unit,
            effect: Effect {
                name: EffectName::Lobes,
                correction_mm: if two_points_see {
                    0.0
                } else {
                    mating - two_point
                },
                valid_for: ValidFor::EqualLobes,
                source: Source::Geometry,
                confidence: Confidence::Solid,
            },
            half_width_mm: None,
            why: if two_points_see {
                say!(
                    "correct.even-lobes",
                    variation = number::effect(variation, unit),
                    factor = number::fixed(factor.abs(), 2),
                    roundness = number::effect(roundness, unit)
                )
            } else {
                say!(
                    "correct.odd-lobes",
                    variation = number::effect(variation, unit),
                    factor = number::fixed(factor.abs(), 2),
                    roundness = number::effect(roundness, unit)
                )
            },
            instead: Instead::TwoPointSize,
            notes: vec![
                say!(
                    "correct.vee-factors",
                    vee = number::degrees(self.vee),
                    factor = number::fixed(factor, 2),
                    size_factor = number::fixed(size_factor, 4)
                ),
                if shows_diameters {
                    say!(
                        "correct.vee-diameters",
                        read = number::effect(read, unit),
                        ratio = number::fixed(size_factor / 2.0, 4),
                        variation = number::effect(variation, unit)
                    )
                } else {
                    say!("correct.vee-distances").to_owned()
                },
            ],
        })
    }

    /// What to do in a V that does not see these lobes.
    fn blind(&self) -> String {
        let seen = |degrees: &f64| {
            vee_lobing_factor(Angle::from_degrees(*degrees), self.lobes).map_or(0.0, f64::abs)
        };
        let better = USUAL
            .into_iter()
            .max_by(|one, other| seen(one).total_cmp(&seen(other)))
            .filter(|degrees| seen(degrees) > 0.05);
        let (vee, lobes) = (number::degrees(self.vee), self.lobes);
        match better {
            Some(better) => say!(
                "correct-refused.blind",
                option = "--vee",
                vee = vee,
                n = lobes,
                better = number::short_degrees(better, 2)
            ),
            None => say!(
                "correct-refused.blind-everywhere",
                option = "--vee",
                vee = vee,
                n = lobes
            ),
        }
    }
}
