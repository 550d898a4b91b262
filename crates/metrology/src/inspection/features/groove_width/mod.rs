//! The width of a groove, between its walls, by the outer faces of discs: faces that touch each other inside are zero.

use super::input::{input, stated};
use super::{
    Asked, Codes, Described, Dimension, Flag, Lacking, Laid, Measurand, Turned, discs, trial,
};
use crate::inspection::JobError;
use crate::inspection::checked::{all_positive, not_negative};
use crate::inspection::converted::Conversion;
use crate::inspection::equipment::Contacts;
use crate::inspection::keys::section;
use crate::inspection::measured_with::{MeasuredWith, least, middle};
use crate::inspection::misfit::{Misfit, unless};
use crate::inspection::model::Quantity;
use crate::inspection::note::Note;
use crate::limits::Limits;
use crate::message::{Message, Say};
use crate::units::{Entered, Length};

section! {
    pub struct GrooveWidth {
        /// Thickness of the disc on the anvil.
        anvil_disc: Entered,
        /// Thickness of the disc on the spindle.
        spindle_disc: Entered,
        /// Expanded uncertainty of each thickness, k = 2.
        disc_uncertainty: Entered,
    }
}

impl Described for GrooveWidth {
    const ASKED: &'static [Asked] = &[
        Asked::value("anvil_disc"),
        Asked::value("spindle_disc"),
        Asked::value("disc_uncertainty"),
    ];
    const OPTIONS: &'static [Flag] = &[
        Flag::needed("discs", "anvil_disc", Lacking::What("setup-refused.discs")),
        Flag::needed(
            "discs",
            "spindle_disc",
            Lacking::What("setup-refused.discs"),
        ),
        Flag::assumed("disc_uncertainty", "0mm"),
    ];
    const CODES: &'static [Codes] = &[
        Size::DECLARED,
        Line::DECLARED,
        Formula::DECLARED,
        Unfit::DECLARED,
        Ideal::DECLARED,
    ];
}

crate::codes! {
    pub enum Size "field" {
        /// Thickness of a disc that the size is reckoned with.
        DiscThickness "disc-thickness",
        DiscUncertainty "disc-uncertainty",
    }
}

crate::codes! {
    /// Its lines of the budget.
    pub enum Line "line" {
        /// The disc on the anvil.
        AnvilDisc "anvil-disc",
        /// The disc on the spindle.
        SpindleDisc "spindle-disc",
    }
}

crate::messages! {
    /// The step from reading to size.
    pub enum Formula "conversion" {
        /// From the discs.
        GrooveWidth "groove-width" { anvil: Entered as Entered, spindle: Entered as Entered },
    }
}

crate::messages! {
    /// Why contacts do not show it.
    pub enum Unfit "contacts-unfit" {
        /// Discs that do not go into the groove.
        DiscsTooThick "discs-too-thick" { thickness: f64 as Size, groove: f64 as Size },
        /// A thickness of the pair that is not that of a disc which the size is reckoned with.
        OtherDiscs "other-discs" { pair: Entered as Entered, disc: Entered as Entered, allowed: f64 as Difference },
    }
}

crate::messages! {
    /// The contacts one would want.
    pub enum Ideal "ideal" {
        /// Discs.
        Discs "discs" { below: f64 as Size },
    }
}

impl GrooveWidth {
    /// The pair states its thickness as well, and each disc must be of it: the size is reckoned with the discs, and those of
    /// another pair are another size.
    ///
    /// Two statements of one thickness agree where they differ by no more than one step of the last digit of each and the
    /// uncertainty of the disc (common practice, no source).
    fn are_of_pair(&self, contacts: &Contacts) -> Result<(), Unfit> {
        // A pair that a job is only tried with has no identity, and none of its sizes were stated.
        let stated = contacts.thickness.as_ref();
        let Some(pair) = stated.filter(|_| !contacts.id.is_empty()) else {
            return Ok(());
        };
        for disc in [&self.anvil_disc, &self.spindle_disc] {
            let uncertainty = self.disc_uncertainty.value().abs();
            let allowed = pair.resolution() + disc.resolution() + uncertainty;
            if (disc.value() - pair.value()).abs() > allowed {
                return Err(Unfit::OtherDiscs {
                    pair: pair.clone(),
                    disc: disc.clone(),
                    allowed: allowed.mm(),
                });
            }
        }
        Ok(())
    }
}

impl Measurand for GrooveWidth {
    fn places(&self) -> (usize, Option<u32>, Laid) {
        (4, Some(90), Laid::Around)
    }

    fn dimension(&self) -> Dimension {
        Dimension::Width
    }

    fn suits(&self, with: &MeasuredWith) -> Result<(), Misfit> {
        let thickness = self.anvil_disc.value().mm() + self.spindle_disc.value().mm();
        let groove = least(with.limits);
        discs::thickness(with.contacts)?;
        self.are_of_pair(with.contacts).map_err(Misfit::new)?;
        unless(
            thickness >= groove,
            Unfit::DiscsTooThick { thickness, groove },
        )
    }

    fn ideal(&self, limits: Limits) -> Message {
        let below = limits.lower.map_or_else(|| middle(limits), Length::mm);
        Ideal::Discs { below }.message()
    }

    fn trial_contacts(&self, _limits: Limits) -> Option<Contacts> {
        trial::discs(trial::size("20mm"), trial::size("0.5mm"))
    }

    fn turned(&self) -> Turned {
        Turned::Ring
    }

    fn check(&self, with: &MeasuredWith) -> Result<(), JobError> {
        not_negative(Size::DiscUncertainty, &self.disc_uncertainty)?;
        all_positive([
            (Size::DiscThickness.into(), Some(&self.anvil_disc)),
            (Size::DiscThickness.into(), Some(&self.spindle_disc)),
        ])?;
        // No reason for the choice of contacts makes two sizes of one disc.
        self.are_of_pair(with.contacts)
            .map_err(|unfit| JobError::ContactsUnfit {
                id: with.contacts.id.clone(),
                why: unfit.message(),
            })
    }

    fn conversion(
        &self,
        _with: &MeasuredWith,
        _repeatability: f64,
    ) -> Result<Conversion, JobError> {
        let disc = |line: Line, disc: &Entered| {
            let known = stated(&self.disc_uncertainty);
            input(line, disc.value().mm(), known, Note::Stated)
        };
        Ok(Conversion {
            inputs: vec![
                (Quantity::Companion, disc(Line::AnvilDisc, &self.anvil_disc)),
                (
                    Quantity::SecondCompanion,
                    disc(Line::SpindleDisc, &self.spindle_disc),
                ),
            ],
            formula: Some(
                Formula::GrooveWidth {
                    anvil: self.anvil_disc.clone(),
                    spindle: self.spindle_disc.clone(),
                }
                .message(),
            ),
            ..Conversion::default()
        })
    }
}
