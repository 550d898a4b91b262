//! The thickness of soft sheet: free of load, or under the pressure that a standard states.

mod findings;
pub mod physics;

use super::input::{input, rectangular};
use super::{
    Asked, Codes, Described, Dimension, Flag, Lacking, Laid, Measurand, Named, Range, refused,
    trial,
};
use crate::inspection::JobError;
use crate::inspection::approval::DefaultName;
use crate::inspection::checked::{all_positive, none_negative, number};
use crate::inspection::contact_pressure::Touch;
use crate::inspection::converted::Conversion;
use crate::inspection::equipment::{ContactKind, Contacts};
use crate::inspection::field::{Field, Right};
use crate::inspection::finding::{Finding, Readings};
use crate::inspection::keys::{choice, section};
use crate::inspection::measured_with::{MeasuredWith, middle};
use crate::inspection::misfit::{Misfit, need};
use crate::inspection::model::Quantity;
use crate::inspection::note::Named as Input;
use crate::limits::Limits;
use crate::material::Elastic;
use crate::message::{Message, Say};
use crate::soak::Body;
use crate::units::{Entered, Length};

/// Young's modulus of soft material in compression, megapascals.
const MODULUS: Range = Range::new(0.001, 1e6, " MPa");
/// A part of the whole.
const FRACTION: Range = Range::new(0.0, 1.0, "");
/// How long a soft part is left under the contacts, seconds.
const DWELL: Range = Range::new(0.1, 3600.0, " s");
/// The pressure of a standard for soft material, kilopascals.
const PRESSURE: Range = Range::new(0.001, 1e6, " kPa");
/// Poisson's ratio taken for soft material where only its modulus is stated.
const SOFT_POISSON: f64 = 0.4;
/// How far a foot's pressure may be from that of the standard, as a fraction (common practice, no source).
const PRESSURE_WITHIN: f64 = 0.10;
/// Compressed by more of its thickness, soft material is not corrected by a modulus (common practice, no source).
const LARGEST_STRAIN: f64 = 0.1;

choice! {
    /// Which thickness of a soft sheet is meant.
    pub enum Thickness "thickness" {
        /// Free of load: what force and foot take away is added back.
        Free "free",
        /// Under the stated pressure: the standard for the material defines it so, and nothing is added.
        UnderPressure "under-pressure",
    }
}

section! {
    /// The sheet, and how it is pressed.
    pub struct SoftThickness {
        /// Which thickness.
        thickness: Thickness,
        /// Young's modulus in compression, megapascals.
        modulus_mpa: f64 => within(MODULUS),
        /// How far it may be off, as a fraction (half-width).
        modulus_relative_limit: f64 => within(FRACTION),
        /// Seconds between closing and reading.
        dwell_seconds: f64 => within(DWELL),
        /// Pressure that the standard for the material states, kilopascals.
        pressure_kpa: Option<f64> => within(PRESSURE),
        /// How much the reading still falls in as long again as the dwell.
        creep: Option<Entered>,
    }
}

impl Described for SoftThickness {
    const ASKED: &'static [Asked] = &[
        Asked::value("thickness"),
        Asked::value("pressure_kpa").when("thickness", &["under-pressure"]),
        Asked::value("modulus_mpa"),
        Asked::value("modulus_relative_limit"),
        Asked::value("dwell_seconds"),
        Asked::any("sizes", &[Named::of("creep", "creep")]),
    ];
    const OPTIONS: &'static [Flag] = &[
        Flag::assumed("thickness", "free").with("pressure", "under-pressure"),
        Flag::needed(
            "modulus",
            "modulus_mpa",
            Lacking::What("setup-refused.modulus"),
        ),
        Flag::assumed("modulus_relative_limit", "0.3"),
        Flag::assumed("dwell_seconds", "5"),
        Flag::of("pressure", "pressure_kpa"),
    ];
    const CODES: &'static [Codes] = &[
        Size::DECLARED,
        Unfit::DECLARED,
        Line::DECLARED,
        Note::DECLARED,
        Formula::DECLARED,
        Ideal::DECLARED,
        SoftThicknessError::DECLARED,
        findings::Code::DECLARED,
        findings::Definition::DECLARED,
    ];
}

crate::codes! {
    pub enum Size "field" {
        /// Young's modulus of soft material.
        Modulus "modulus",
        /// How far that may be off.
        ModulusLimit "modulus-limit",
        /// Seconds between closing and reading.
        Dwell "dwell",
        /// Pressure that the standard for the material states.
        Pressure "pressure",
        /// How far the reading still falls.
        Creep "creep",
    }
}

crate::messages! {
    /// Why contacts do not show it.
    pub enum Unfit "contacts-unfit" {
        /// Contacts that sink into soft material.
        Sinks "sinks" { kind: ContactKind as code },
        /// The same, by about so much at this force.
        SinksBy "sinks-by" { kind: ContactKind as code, by: f64 as Difference, force: f64 as Newton },
        /// The same, deeper than the formula holds.
        SinksDeep "sinks-deep" { kind: ContactKind as code },
        /// Soft material, and no force known.
        NoForce "no-force",
        /// A foot that does not press as the standard for the material states.
        OtherPressure "other-pressure" {
            face: Entered as Entered, force: f64 as Newton, pressure: f64 as Kilopascal, stated: f64 as Kilopascal,
        },
        /// The same, and the face that does.
        OtherPressureThan "other-pressure-than" {
            face: Entered as Entered, force: f64 as Newton, pressure: f64 as Kilopascal, stated: f64 as Kilopascal,
            right: f64 as Size,
        },
    }
}

crate::codes! {
    /// Its lines of the budget.
    pub enum Line "line" {
        /// Creep of soft sheet after the dwell.
        Creep "creep",
        /// Soft sheet compressed by the contacts.
        Compression "compression",
    }
}

crate::messages! {
    /// Where the numbers of those lines come from.
    pub enum Note "note" {
        /// As much again as in the dwell.
        AsInDwell "as-in-dwell",
        /// The modulus, known within the fraction stated.
        Modulus "modulus",
    }
}

crate::messages! {
    /// The step from reading to size.
    pub enum Formula "conversion" {
        /// Soft sheet under the stated pressure.
        UnderPressure "under-pressure",
        /// Free thickness of soft sheet pressed by a flat face.
        FreeByPressure "free-by-pressure" { pressure: f64 as Kilopascal, dwell: f64 as Number },
        /// Free thickness of soft sheet pressed by a sphere.
        FreeByIndentation "free-by-indentation" { dwell: f64 as Number },
    }
}

crate::messages! {
    /// The contacts one would want.
    pub enum Ideal "ideal" {
        /// For soft sheet under a stated pressure.
        PressingDiscs "pressing-discs" { face: f64 as Size, force: f64 as Newton, pressure: f64 as Kilopascal },
        /// For soft sheet.
        LargeDiscs "large-discs",
    }
}

crate::messages! {
    /// What is wrong with it.
    pub enum SoftThicknessError "feature-error" {
        /// Free thickness without force and contacts.
        NoPressure "no-pressure",
        /// A pressure as large as the modulus.
        TooSoft "too-soft" { force: f64 as Newton, face: f64 as Size, pressure: f64 as Kilopascal },
        /// More strain than a modulus can correct.
        Strain "strain" { share: f64 as Share },
        /// Thickness under a pressure that is not stated.
        NoStatedPressure "no-stated-pressure",
    }
}

impl SoftThickness {
    fn elastic(&self) -> Elastic {
        Elastic {
            young_gpa: self.modulus_mpa / 1000.0,
            poisson: SOFT_POISSON,
        }
    }

    /// Contacts that are no large faces, and how far they sink in.
    fn sinks(&self, with: &MeasuredWith, kind: ContactKind) -> Misfit {
        let radius = with.tip_radius();
        let hard = Elastic::named(with.contacts.material.as_deref().unwrap_or("steel"));
        let error = match (radius, with.force, hard) {
            (Some(radius), Some(force), Some(hard)) if radius > 0.0 && self.modulus_mpa > 0.0 => {
                let modulus = physics::contact_modulus(hard, self.elastic());
                Some(-physics::sphere_on_flat(force, radius, modulus))
            }
            _ => None,
        };
        // Deeper than a tenth of the radius the elastic formula holds no longer.
        let deep = error
            .zip(radius)
            .is_some_and(|(error, radius)| -error > 0.1 * radius);
        let error = error.filter(|_| !deep);
        let why = match (error, with.force) {
            _ if deep => Unfit::SinksDeep { kind },
            (Some(error), Some(force)) => Unfit::SinksBy {
                kind,
                by: -error,
                force,
            },
            _ => Unfit::Sinks { kind },
        };
        Misfit {
            error,
            ..Misfit::new(why)
        }
    }

    /// What the contacts take away of the free thickness, and by which step it is added back.
    fn taken(&self, with: &MeasuredWith) -> Result<(f64, Formula), JobError> {
        let missing = || refused(SoftThicknessError::NoPressure);
        let force = with.force.ok_or_else(missing)?;
        let dwell = self.dwell_seconds;
        let flat = matches!(
            with.contacts.kind,
            ContactKind::Disc | ContactKind::Flat | ContactKind::SmallFlat
        );
        if flat {
            let face = with.face().ok_or_else(missing)?;
            let pressure = physics::face_pressure(force, face);
            let thickness = with.middle();
            let free = physics::free_thickness(thickness, pressure, self.modulus_mpa);
            let pressure = pressure * 1000.0;
            let free = free.ok_or_else(|| {
                refused(SoftThicknessError::TooSoft {
                    force,
                    face,
                    pressure,
                })
            })?;
            return Ok((
                free - thickness,
                Formula::FreeByPressure { pressure, dwell },
            ));
        }
        let radius = with.tip_radius().ok_or_else(missing)?;
        let tip = Elastic::named(with.contacts.material.as_deref().unwrap_or("steel"))
            .ok_or_else(missing)?;
        let modulus = physics::contact_modulus(tip, self.elastic());
        Ok((
            physics::sphere_on_flat(force, radius, modulus),
            Formula::FreeByIndentation { dwell },
        ))
    }

    fn creep(&self) -> Option<(Quantity, Input)> {
        let creep = rectangular(self.creep.as_ref()?.value().mm());
        Some((
            Quantity::ContactGeometry,
            input(Line::Creep, 0.0, creep, Note::AsInDwell),
        ))
    }
}

impl Measurand for SoftThickness {
    fn places(&self) -> (usize, Option<u32>, Laid) {
        (5, None, Laid::Spots)
    }

    fn dimension(&self) -> Dimension {
        Dimension::Thickness
    }

    fn suits(&self, with: &MeasuredWith) -> Result<(), Misfit> {
        match with.contacts.kind {
            ContactKind::Disc | ContactKind::Flat | ContactKind::SmallFlat => {}
            kind => return Err(self.sinks(with, kind)),
        }
        let face = need(with.contacts, Field::Face)?;
        let Some(force) = with.force else {
            return Err(Misfit::new(Unfit::NoForce));
        };
        let pressed = physics::face_pressure(force, face.value().mm());
        if self.thickness == Thickness::UnderPressure
            && let Some(stated) = self.pressure_kpa
        {
            let pressure = pressed * 1000.0;
            if (pressure / stated - 1.0).abs() > PRESSURE_WITHIN {
                let face = face.clone();
                let why = match physics::face_for_pressure(force, stated / 1000.0) {
                    Some(right) => Unfit::OtherPressureThan {
                        face,
                        force,
                        pressure,
                        stated,
                        right,
                    },
                    None => Unfit::OtherPressure {
                        face,
                        force,
                        pressure,
                        stated,
                    },
                };
                return Err(Misfit::by(
                    -(pressed - stated / 1000.0) * with.middle() / self.modulus_mpa,
                    why,
                ));
            }
        }
        Ok(())
    }

    fn ideal(&self, _limits: Limits) -> Message {
        match (self.thickness, self.pressure_kpa) {
            (Thickness::UnderPressure, Some(pressure)) => {
                let face = physics::face_for_pressure(trial::LIGHT, pressure / 1000.0);
                Ideal::PressingDiscs {
                    face: face.unwrap_or_default(),
                    force: trial::LIGHT,
                    pressure,
                }
            }
            _ => Ideal::LargeDiscs,
        }
        .message()
    }

    fn trial_contacts(&self, _limits: Limits) -> Option<Contacts> {
        let face = self
            .pressure_kpa
            .and_then(|pressure| physics::face_for_pressure(trial::LIGHT, pressure / 1000.0))
            .and_then(|face| trial::finely(Length::nearest_mm(face).ok()?));
        trial::discs(face.or_else(|| trial::size("20mm")), trial::size("1mm"))
    }

    fn repeatability(&self) -> Option<DefaultName> {
        Some(DefaultName::RepeatabilitySoft)
    }

    fn body(&self, size: f64) -> Body {
        Body::Sheet(size)
    }

    fn check(&self, with: &MeasuredWith) -> Result<(), JobError> {
        let young = self.modulus_mpa;
        let good = young > 0.0 && young < MODULUS.to;
        number(Size::Modulus, young, good, Right::Megapascals)?;
        let limit = self.modulus_relative_limit;
        let good = (FRACTION.from..=FRACTION.to).contains(&limit);
        number(Size::ModulusLimit, limit, good, Right::Fraction)?;
        let dwell = self.dwell_seconds;
        let good = dwell > 0.0 && dwell <= DWELL.to;
        number(Size::Dwell, dwell, good, Right::Seconds)?;
        match self.pressure_kpa {
            Some(pressure) => {
                let good = pressure > 0.0 && pressure < PRESSURE.to;
                number(Size::Pressure, pressure, good, Right::Kilopascals)?;
            }
            None if self.thickness == Thickness::UnderPressure => {
                return Err(refused(SoftThicknessError::NoStatedPressure));
            }
            None => {}
        }
        none_negative([(Size::Creep.into(), self.creep.as_ref())])?;
        if self.thickness == Thickness::UnderPressure {
            return Ok(());
        }
        all_positive([
            (Field::Face.into(), with.contacts.face.as_ref()),
            (Field::TipRadius.into(), with.contacts.tip_radius.as_ref()),
        ])?;
        // What the contacts take away in the middle of the limits.
        let thickness = middle(with.limits);
        let conversion = self.conversion(with, 0.0)?;
        let taken = thickness - middle(conversion.as_read(with.limits)?);
        let share = taken / (thickness + taken);
        if share > LARGEST_STRAIN {
            return Err(refused(SoftThicknessError::Strain { share }));
        }
        Ok(())
    }

    fn conversion(&self, with: &MeasuredWith, _repeatability: f64) -> Result<Conversion, JobError> {
        let mut inputs: Vec<(Quantity, Input)> = self.creep().into_iter().collect();
        if self.thickness == Thickness::UnderPressure {
            return Ok(Conversion {
                inputs,
                formula: Some(Formula::UnderPressure.message()),
                ..Conversion::default()
            });
        }
        let (taken, formula) = self.taken(with)?;
        let within = rectangular(taken * self.modulus_relative_limit);
        inputs.push((
            Quantity::Deformation,
            input(Line::Compression, taken, within, Note::Modulus),
        ));
        Ok(Conversion {
            inputs,
            formula: Some(formula.message()),
            ..Conversion::default()
        })
    }

    /// Soft sheet is meant to give way.
    fn touch(&self, _with: &MeasuredWith) -> Option<Touch> {
        None
    }

    fn findings(&self, readings: &Readings) -> Result<Vec<Finding>, JobError> {
        Ok(findings::findings(readings, self))
    }
}
