//! The wall of a tube, sphere inside, all around.

mod findings;
pub mod physics;

use std::ops::RangeInclusive;

use super::harmonic::EccentricityError;
use super::{
    Asked, Codes, Described, Dimension, Flag, Lacking, Laid, Measurand, Named, Range, Turned,
    in_bore, refused,
};
use crate::inspection::JobError;
use crate::inspection::checked::{none_negative, number, positive};
use crate::inspection::contact_pressure::Touch;
use crate::inspection::converted::Conversion;
use crate::inspection::equipment::Contacts;
use crate::inspection::field::Right;
use crate::inspection::finding::{Finding, Readings};
use crate::inspection::keys::{choice, section};
use crate::inspection::measured_with::MeasuredWith;
use crate::inspection::misfit::Misfit;
use crate::inspection::suspicion::Form;
use crate::limits::Limits;
use crate::message::Message;
use crate::soak::Body;
use crate::units::Entered;

/// The limit of an eccentricity, percent of the wall.
const ECCENTRICITY: Range = Range::new(0.0, 200.0, " %");
/// The least wall in percent of the greatest: less is no tube (common practice, no source), and none is above all.
const RATIO: RangeInclusive<f64> = 50.0..=100.0;

choice! {
    /// What a percentage of eccentricity is a percentage of. Sources differ; the same tube has three numbers.
    pub enum EccentricityDefinition "eccentricity" {
        /// `(t_max − t_min) / (t_max + t_min)`.
        RunOutOverSum "run-out-over-sum",
        /// `(t_max − t_min) / t̄`.
        RunOutOverMean "run-out-over-mean",
        /// `t_min / t_max`, called concentricity by some.
        LeastOverMost "least-over-most",
    }
}

section! {
    /// The tube, and what is asked of its eccentricity.
    pub struct TubeWall {
        /// Inside diameter, near enough to see whether the sphere fits: nominal or measured.
        bore: Entered,
        /// Which percentage is asked for, by its definition.
        definition: Option<EccentricityDefinition>,
        /// Limit of that percentage: the largest, or for `least-over-most` the smallest permitted.
        percent_limit: Option<f64> => within(ECCENTRICITY),
        /// Largest permitted eccentricity: offset of the two centres.
        eccentricity_limit: Option<Entered>,
        /// Largest permitted wall run-out: greatest less least wall.
        run_out_limit: Option<Entered>,
    }
}

impl Described for TubeWall {
    const ASKED: &'static [Asked] = &[
        Asked::value("bore"),
        Asked::any(
            "limits",
            &[
                Named::of("run_out_limit", "run-out"),
                Named::of("eccentricity_limit", "eccentricity"),
                Named::of("percent_limit", "percent"),
                Named::of("definition", "by"),
            ],
        ),
    ];
    const OPTIONS: &'static [Flag] = &[Flag::needed(
        "bore",
        "bore",
        Lacking::What("setup-refused.bore"),
    )];
    const CODES: &'static [Codes] = &[
        Size::DECLARED,
        TubeWallError::DECLARED,
        EccentricityDefinition::DECLARED,
        findings::Code::DECLARED,
        findings::Definition::DECLARED,
    ];
}

crate::codes! {
    pub enum Size "field" {
        /// Inside diameter.
        Bore "bore",
        /// Limit of a percentage.
        PercentLimit "percent-limit",
        /// Largest permitted run-out.
        RunOutLimit "run-out-limit",
        /// Largest permitted eccentricity.
        EccentricityLimit "eccentricity-limit",
    }
}

crate::messages! {
    /// What is wrong with it.
    pub enum TubeWallError "feature-error" {
        /// Wall readings without angles.
        NoAngles "no-angles",
        /// No eccentricity can be found.
        Eccentricity "eccentricity" { error: EccentricityError as said },
        /// A percentage that may be one of three.
        PercentUndefined "percent-undefined" { definitions: Vec<EccentricityDefinition> as codes },
        /// A ratio that no tube has.
        RatioNotMeant "ratio-not-meant" { percent: f64 as number, others: Vec<EccentricityDefinition> as codes },
    }
}

impl TubeWall {
    fn bore(&self) -> f64 {
        self.bore.value().mm()
    }
}

impl Measurand for TubeWall {
    fn places(&self) -> (usize, Option<u32>, Laid) {
        (8, Some(45), Laid::Around)
    }

    fn dimension(&self) -> Dimension {
        Dimension::Thickness
    }

    fn suits(&self, with: &MeasuredWith) -> Result<(), Misfit> {
        in_bore::suits(with.contacts, self.bore())
    }

    fn ideal(&self, _limits: Limits) -> Message {
        in_bore::ideal(self.bore())
    }

    fn trial_contacts(&self, _limits: Limits) -> Option<Contacts> {
        in_bore::trial_contacts(&self.bore)
    }

    fn form(&self, _method: u32) -> Form {
        Form::Measured
    }

    fn turned(&self) -> Turned {
        Turned::Wall
    }

    fn is_all_around(&self) -> bool {
        true
    }

    fn is_wall(&self) -> bool {
        true
    }

    fn body(&self, size: f64) -> Body {
        Body::Sheet(size)
    }

    fn check(&self, _with: &MeasuredWith) -> Result<(), JobError> {
        positive(Size::Bore, &self.bore)?;
        none_negative([
            (Size::RunOutLimit.into(), self.run_out_limit.as_ref()),
            (
                Size::EccentricityLimit.into(),
                self.eccentricity_limit.as_ref(),
            ),
        ])?;
        let (Some(definition), Some(percent)) = (self.definition, self.percent_limit) else {
            return Ok(());
        };
        number(
            Size::PercentLimit,
            percent,
            (ECCENTRICITY.from..=ECCENTRICITY.to).contains(&percent),
            Right::Percent,
        )?;
        if definition == EccentricityDefinition::LeastOverMost && !RATIO.contains(&percent) {
            let others = EccentricityDefinition::EVERY
                .iter()
                .copied()
                .filter(|other| *other != definition)
                .collect();
            return Err(refused(TubeWallError::RatioNotMeant { percent, others }));
        }
        Ok(())
    }

    fn conversion(&self, with: &MeasuredWith, _repeatability: f64) -> Result<Conversion, JobError> {
        Ok(in_bore::conversion(with, self.bore()))
    }

    fn touch(&self, with: &MeasuredWith) -> Option<Touch> {
        in_bore::touch(with, self.bore())
    }

    fn findings(&self, readings: &Readings) -> Result<Vec<Finding>, JobError> {
        findings::findings(readings, self)
    }
}
