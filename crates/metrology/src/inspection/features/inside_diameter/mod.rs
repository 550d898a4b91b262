//! The inside diameter of a tube from wall and outside diameter at one section: `D_i = D_o − 2 t̄`.

mod findings;

use super::input::{input, stated};
use super::{
    Asked, Codes, Described, Dimension, Flag, Lacking, Laid, Measurand, Turned, in_bore, refused,
    trial,
};
use crate::inspection::JobError;
use crate::inspection::checked::{not_negative, positive};
use crate::inspection::contact_pressure::Touch;
use crate::inspection::converted::Conversion;
use crate::inspection::equipment::Contacts;
use crate::inspection::finding::{Finding, Readings};
use crate::inspection::keys::section;
use crate::inspection::measured_with::{MeasuredWith, middle};
use crate::inspection::misfit::Misfit;
use crate::inspection::model::{Comparison, Quantity};
use crate::inspection::note::Note;
use crate::inspection::suspicion::Form;
use crate::limits::Limits;
use crate::message::{Message, Say};
use crate::soak::Body;
use crate::units::Entered;

section! {
    /// What the walls are taken from.
    pub struct InsideDiameter {
        /// Mean outside diameter at the section.
        outside_diameter: Entered,
        /// Its expanded uncertainty, k = 2.
        outside_diameter_uncertainty: Entered,
    }
}

impl Described for InsideDiameter {
    const ASKED: &'static [Asked] = &[
        Asked::value("outside_diameter").of_each_part(),
        Asked::value("outside_diameter_uncertainty"),
    ];
    const OPTIONS: &'static [Flag] = &[
        Flag::needed(
            "outside-diameter",
            "outside_diameter",
            Lacking::What("setup-refused.outside-diameter"),
        ),
        Flag::assumed("outside_diameter_uncertainty", "0mm"),
    ];
    const CODES: &'static [Codes] = &[
        Size::DECLARED,
        Line::DECLARED,
        Formula::DECLARED,
        InsideDiameterError::DECLARED,
        findings::Code::DECLARED,
        findings::Definition::DECLARED,
    ];
}

crate::codes! {
    pub enum Size "field" {
        /// Outside diameter.
        OutsideDiameter "outside-diameter",
        OutsideDiameterUncertainty "outside-diameter-uncertainty",
    }
}

crate::codes! {
    /// Its line of the budget.
    pub enum Line "line" {
        /// The outside diameter that the walls are taken from.
        OutsideDiameter "outside-diameter",
    }
}

crate::messages! {
    /// The step from reading to size.
    pub enum Formula "conversion" {
        /// From walls and outside diameter.
        InsideDiameter "inside-diameter" { outside: Entered as Entered },
    }
}

crate::messages! {
    /// What is wrong with it.
    pub enum InsideDiameterError "feature-error" {
        /// A tube that is no larger outside than inside.
        OutsideNotLarger "outside-not-larger" { outside: Entered as Entered, inside: f64 as Size },
    }
}

impl Measurand for InsideDiameter {
    fn places(&self) -> (usize, Option<u32>, Laid) {
        (8, Some(45), Laid::Around)
    }

    fn dimension(&self) -> Dimension {
        Dimension::Diameter
    }

    fn suits(&self, with: &MeasuredWith) -> Result<(), Misfit> {
        in_bore::suits(with.contacts, with.middle())
    }

    fn ideal(&self, limits: Limits) -> Message {
        in_bore::ideal(middle(limits))
    }

    fn trial_contacts(&self, limits: Limits) -> Option<Contacts> {
        in_bore::trial_contacts(&trial::finely(limits.lower.or(limits.upper)?)?)
    }

    /// The limits say little of one wall, which methods before the third did not count with.
    fn form(&self, method: u32) -> Form {
        if method >= 3 {
            Form::Walls
        } else {
            Form::Measured
        }
    }

    fn turned(&self) -> Turned {
        Turned::Wall
    }

    fn is_all_around(&self) -> bool {
        true
    }

    fn is_across(&self) -> bool {
        true
    }

    fn is_reckoned(&self) -> bool {
        true
    }

    fn body(&self, size: f64) -> Body {
        Body::Sheet((self.outside_diameter.value().mm() - size) / 2.0)
    }

    fn check(&self, with: &MeasuredWith) -> Result<(), JobError> {
        let outside = positive(Size::OutsideDiameter, &self.outside_diameter)?;
        not_negative(
            Size::OutsideDiameterUncertainty,
            &self.outside_diameter_uncertainty,
        )?;
        let inside = with.middle();
        if outside.mm() <= inside {
            let outside = self.outside_diameter.clone();
            return Err(refused(InsideDiameterError::OutsideNotLarger {
                outside,
                inside,
            }));
        }
        Ok(())
    }

    fn conversion(&self, with: &MeasuredWith, _repeatability: f64) -> Result<Conversion, JobError> {
        let outside = self.outside_diameter.value().mm();
        let known = stated(&self.outside_diameter_uncertainty);
        let in_bore = in_bore::conversion(with, with.middle());
        let mut inputs = in_bore.inputs;
        inputs.push((
            Quantity::Companion,
            input(Line::OutsideDiameter, outside, known, Note::Stated),
        ));
        Ok(Conversion {
            model: Comparison { scale: -2.0 },
            inputs,
            formula: Some(
                Formula::InsideDiameter {
                    outside: self.outside_diameter.clone(),
                }
                .message(),
            ),
            by_place: false,
        })
    }

    fn touch(&self, with: &MeasuredWith) -> Option<Touch> {
        in_bore::touch(with, with.middle())
    }

    fn findings(&self, readings: &Readings) -> Result<Vec<Finding>, JobError> {
        Ok(findings::findings(readings))
    }
}
