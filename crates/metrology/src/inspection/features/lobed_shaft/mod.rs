//! A lobed shaft: two-point diameters, and readings in a V that show what two points do not.

mod findings;
pub mod physics;

use super::input::input;
use super::{
    Asked, Codes, Described, Dimension, Flag, Lacking, Laid, Measurand, Named, Range, refused,
    trial,
};
use crate::inspection::JobError;
use crate::inspection::checked::none_negative;
use crate::inspection::contact_pressure::Touch;
use crate::inspection::converted::Conversion;
use crate::inspection::equipment::{ContactKind, Contacts};
use crate::inspection::finding::{Finding, Readings};
use crate::inspection::ideal::Ideal;
use crate::inspection::keys::{choice, section};
use crate::inspection::measured_with::MeasuredWith;
use crate::inspection::misfit::Misfit;
use crate::inspection::model::Quantity;
use crate::inspection::suspicion::Form;
use crate::inspection::warning::Warning;
use crate::limits::Limits;
use crate::message::{Message, Say, Value};
use crate::uncertainty::Distribution;
use crate::units::{Entered, Length};

/// Lobes of a shaft.
const LOBES: Range = Range::new(2.0, 1000.0, "");
/// Between the two flanks of a V, degrees.
const INCLUDED_ANGLE: Range = Range::new(1.0, 179.0, "°");
/// How far the level of readings in a V may be from the size that it shows, as a fraction of the diameter (common
/// practice, no source).
const V_LEVEL: f64 = 0.02;

choice! {
    /// What the scale shows that a shaft in a V is read on.
    pub enum VScale "v-scale" {
        /// The travel of the spindle itself: the distance from the apex of the V, or the movement of an indicator.
        Distance "distance",
        /// The diameter of a round part: the distance from the apex over [`physics::distance_to_diameter`]. So do V-anvil
        /// micrometers.
        Diameter "diameter",
    }
}

section! {
    /// The readings of the job are two-point diameters; those in the V stand here.
    pub struct LobedShaft {
        /// How many lobes, counted as peaks in one turn on the V.
        lobes: u32 => within(LOBES),
        /// Included angle of the V, degrees.
        v_angle: f64 => within(INCLUDED_ANGLE),
        /// What the scale in the V shows; `None` where nobody said: the distance, which the level of the readings must bear
        /// out.
        v_scale: Option<VScale>,
        /// Readings over one turn in the V, spindle on the bisector; only their spread counts.
        v_readings: Vec<Entered>,
        /// Largest permitted departure from roundness, peak to valley.
        roundness_limit: Option<Entered>,
    }
}

impl Described for LobedShaft {
    const ASKED: &'static [Asked] = &[
        Asked::value("lobes"),
        Asked::value("v_angle"),
        Asked::value("v_scale"),
        Asked::value("v_readings").of_each_part(),
        Asked::any("limits", &[Named::of("roundness_limit", "roundness")]),
    ];
    const OPTIONS: &'static [Flag] = &[
        Flag::needed("lobes", "lobes", Lacking::What("setup-refused.lobes")),
        Flag::needed("v-angle", "v_angle", Lacking::What("setup-refused.v-angle")),
        Flag::assumed("v_scale", "distance"),
        Flag::assumed("v_readings", ""),
    ];
    const CODES: &'static [Codes] = &[
        VScale::DECLARED,
        Size::DECLARED,
        Unfit::DECLARED,
        Line::DECLARED,
        Note::DECLARED,
        Formula::DECLARED,
        LobedShaftError::DECLARED,
        Advice::DECLARED,
        findings::Code::DECLARED,
        findings::Definition::DECLARED,
    ];
}

crate::codes! {
    pub enum Size "field" {
        /// Largest permitted departure from roundness.
        RoundnessLimit "roundness-limit",
    }
}

crate::messages! {
    /// Why contacts do not show it.
    pub enum Unfit "contacts-unfit" {
        /// Readings in a V given as two-point diameters.
        VForTwoPoints "v-for-two-points",
        /// Contacts that show no two-point diameter.
        NotTwoPoint "not-two-point" { kind: ContactKind as code },
    }
}

crate::codes! {
    /// Its line of the budget.
    pub enum Line "line" {
        /// The lobing that a V shows.
        Lobes "lobes",
    }
}

crate::messages! {
    /// Where the numbers of that line come from.
    pub enum Note "note" {
        /// Range of the readings in a V over its factor.
        VOverFactor "v-over-factor",
    }
}

crate::messages! {
    /// The step from reading to size.
    pub enum Formula "conversion" {
        /// Mating size of an even count of lobes.
        EvenLobes "even-lobes" { lobes: u32 as whole },
        /// Mating size of an odd count of lobes.
        OddLobes "odd-lobes" { lobes: u32 as whole, lobing: f64 as Size },
    }
}

crate::messages! {
    /// What is said of the V before it is measured.
    pub enum Advice "setup" {
        /// It sees every count of lobes up to nine.
        Seen "lobes-seen" { angle: f64 as Degrees },
        /// The counts of lobes that it hardly sees.
        Unseen "lobes-unseen" { angle: f64 as Degrees, lobes: Vec<usize> as counts },
    }
}

crate::messages! {
    /// What is wrong with it.
    pub enum LobedShaftError "feature-error" {
        /// A lobed shaft that was not read in a V.
        NoVReadings "no-v-readings",
        /// Too few readings in the V.
        FewVReadings "few-v-readings" { n: usize as count },
        /// Fewer than two lobes.
        FewLobes "few-lobes" { n: u32 as whole },
        /// An angle that is no V, degrees.
        NoV "no-v" { angle: f64 as number },
        /// A V that does not see these lobes, and those that do.
        BlindV "blind-v" { angle: f64 as number, lobes: u32 as whole, others: Vec<Value> as List },
        /// Readings in the V that lie where another scale would show them; sizes on the diameter and distance scales.
        VLevel "v-level" { scale: VScale as code, level: f64 as Size, diameter: f64 as Size, distance: f64 as Size },
        /// Readings in the V of which neither a statement nor their level says what they show.
        VScaleUnknown "v-scale-unknown" { level: f64 as Size, diameter: f64 as Size, distance: f64 as Size },
        /// Lobes that no V sees.
        BlindVs "blind-vs" { angle: f64 as number, lobes: u32 as whole },
    }
}

impl LobedShaft {
    /// What the readings in the V say of the roundness, with its standard uncertainty, millimetres.
    fn roundness(&self, repeatability: f64) -> Result<(f64, f64), JobError> {
        let values: Vec<Length> = self.v_readings.iter().map(Entered::value).collect();
        let (Some(least), Some(most)) = (values.iter().min(), values.iter().max()) else {
            return Err(refused(LobedShaftError::NoVReadings));
        };
        let angle = self.v_angle;
        let no_v = || refused(LobedShaftError::NoV { angle });
        let factor = physics::v_factor(self.lobes, angle).ok_or_else(no_v)?;
        let scale = match self.v_scale {
            Some(VScale::Diameter) => physics::distance_to_diameter(angle).ok_or_else(no_v)?,
            Some(VScale::Distance) | None => 1.0,
        };
        let spread = (*most - *least).mm() * scale;
        let value = physics::roundness_from_v(spread, self.lobes, angle)
            .ok_or_else(|| refused(self.blind()))?;
        let step = self
            .v_readings
            .iter()
            .map(|reading| reading.resolution().mm())
            .fold(0.0, f64::max);
        let one = repeatability.max(step / 12f64.sqrt());
        Ok((value, std::f64::consts::SQRT_2 * one * scale / factor.abs()))
    }

    /// A V that does not see these lobes, with those Vs that see them.
    fn blind(&self) -> LobedShaftError {
        let (angle, lobes) = (self.v_angle, self.lobes);
        let others: Vec<Value> = [60.0, 90.0, 108.0, 120.0]
            .into_iter()
            .filter(|angle| {
                physics::v_factor(lobes, *angle).is_some_and(|factor| factor.abs() >= 0.5)
            })
            .map(Value::Degrees)
            .collect();
        if others.is_empty() {
            LobedShaftError::BlindVs { angle, lobes }
        } else {
            LobedShaftError::BlindV {
                angle,
                lobes,
                others,
            }
        }
    }

    /// A scale in the V that shows the diameter shows that of the shaft, one that shows the distance another number, and an
    /// indicator any: readings near the one are not taken for the other, as the lobing would come out too small or too
    /// large.
    fn check_level(&self, diameter: f64) -> Result<(), JobError> {
        let values = || self.v_readings.iter().map(|reading| reading.value().mm());
        let Some(ratio) = physics::distance_to_diameter(self.v_angle) else {
            // No V, which is said where it is computed with.
            return Ok(());
        };
        let (least, most) = values().fold((f64::MAX, f64::MIN), |(least, most), value| {
            (least.min(value), most.max(value))
        });
        if least > most {
            return Ok(());
        }
        let level = f64::midpoint(least, most);
        let distance = ratio * diameter;
        // Half of what parts them, so that no level is near both.
        let reach = diameter * V_LEVEL.min((ratio - 1.0) / 2.0);
        let near = |size: f64| (level - size).abs() <= reach;
        let from_zero = level.abs() <= diameter / 10.0;
        let fits = match self.v_scale {
            Some(VScale::Diameter) => near(diameter) || from_zero,
            Some(VScale::Distance) => !near(diameter),
            None => near(distance),
        };
        if fits {
            return Ok(());
        }
        Err(refused(match self.v_scale {
            Some(scale) => LobedShaftError::VLevel {
                scale,
                level,
                diameter,
                distance,
            },
            None => LobedShaftError::VScaleUnknown {
                level,
                diameter,
                distance,
            },
        }))
    }
}

impl Measurand for LobedShaft {
    fn places(&self) -> (usize, Option<u32>, Laid) {
        (6, Some(30), Laid::Around)
    }

    fn dimension(&self) -> Dimension {
        Dimension::Diameter
    }

    fn suits(&self, with: &MeasuredWith) -> Result<(), Misfit> {
        match with.contacts.kind {
            ContactKind::Flat | ContactKind::SmallFlat | ContactKind::Disc | ContactKind::Blade => {
                Ok(())
            }
            ContactKind::VAnvil => Err(Misfit::new(Unfit::VForTwoPoints)),
            kind => Err(Misfit::new(Unfit::NotTwoPoint { kind })),
        }
    }

    fn ideal(&self, _limits: Limits) -> Message {
        Ideal::FlatFaces.message()
    }

    fn trial_contacts(&self, _limits: Limits) -> Option<Contacts> {
        trial::flat_faces()
    }

    fn form(&self, _method: u32) -> Form {
        Form::Measured
    }

    fn advice(&self) -> Option<Message> {
        let angle = self.v_angle;
        let blind = self.hardly_seen();
        Some(if blind.is_empty() {
            Advice::Seen { angle }.message()
        } else {
            Advice::Unseen {
                angle,
                lobes: blind,
            }
            .message()
        })
    }

    fn check(&self, with: &MeasuredWith) -> Result<(), JobError> {
        none_negative([(Size::RoundnessLimit.into(), self.roundness_limit.as_ref())])?;
        let n = self.v_readings.len();
        // Without any nothing can be computed, which is said there.
        if (1..3).contains(&n) {
            return Err(refused(LobedShaftError::FewVReadings { n }));
        }
        let n = self.lobes;
        if n < 2 {
            return Err(refused(LobedShaftError::FewLobes { n }));
        }
        self.check_level(with.middle())
    }

    fn conversion(&self, _with: &MeasuredWith, repeatability: f64) -> Result<Conversion, JobError> {
        let (roundness, standard_uncertainty) = self.roundness(repeatability)?;
        let lobes = self.lobes;
        if lobes.is_multiple_of(2) {
            return Ok(Conversion {
                formula: Some(Formula::EvenLobes { lobes }.message()),
                ..Conversion::default()
            });
        }
        let known = Distribution::Normal {
            standard_uncertainty,
        };
        let lobing = input(Line::Lobes, roundness, known, Note::VOverFactor);
        Ok(Conversion {
            inputs: vec![(Quantity::Companion, lobing)],
            formula: Some(
                Formula::OddLobes {
                    lobes,
                    lobing: roundness,
                }
                .message(),
            ),
            ..Conversion::default()
        })
    }

    fn touch(&self, with: &MeasuredWith) -> Option<Touch> {
        match with.contacts.kind {
            ContactKind::Flat | ContactKind::SmallFlat => Touch::along(with.face(), with.middle()),
            _ => Touch::on_flat(with),
        }
    }

    fn pressed(&self, with: &MeasuredWith) -> [Option<Touch>; 2] {
        Touch::both_across(with, with.middle())
    }

    /// The least limit of a size is one of its two-point sizes (ISO 14405-1:2016, from memory): what a V adds for the mate makes
    /// no more material.
    fn contradicting(&self, limits: Limits, size: f64) -> Option<Warning> {
        if self.lobes.is_multiple_of(2) {
            return None;
        }
        let (limit, (lobing, _)) = (limits.lower?, self.roundness(0.0).ok()?);
        let two_point = size - lobing;
        (Length::nearest_mm(two_point).ok()? < limit).then_some(Warning::TwoPointBeyond {
            two_point,
            lobing,
            limit: limit.mm(),
        })
    }

    fn findings(&self, readings: &Readings) -> Result<Vec<Finding>, JobError> {
        findings::findings(readings, self)
    }
}

impl LobedShaft {
    /// Which lobe counts up to nine its V hardly sees.
    fn hardly_seen(&self) -> Vec<usize> {
        physics::v_blind_to(self.v_angle)
            .iter()
            .filter_map(|lobes| usize::try_from(*lobes).ok())
            .collect()
    }
}
