//! The width of a land, between two grooves, by the inner faces of discs.

use super::{
    Asked, Codes, Described, Dimension, Flag, Lacking, Laid, Measurand, Turned, discs, trial,
};
use crate::inspection::equipment::Contacts;
use crate::inspection::keys::section;
use crate::inspection::measured_with::MeasuredWith;
use crate::inspection::misfit::{Misfit, unless};
use crate::limits::Limits;
use crate::message::{Message, Say};
use crate::units::Entered;

section! {
    /// The grooves on both sides.
    pub struct Land {
        /// Width of the narrower groove that a disc goes into.
        groove_width: Entered,
    }
}

impl Described for Land {
    const ASKED: &'static [Asked] = &[Asked::value("groove_width")];
    const OPTIONS: &'static [Flag] = &[Flag::needed(
        "width",
        "groove_width",
        Lacking::What("setup-refused.land"),
    )];
    const CODES: &'static [Codes] = &[Unfit::DECLARED, Ideal::DECLARED];
}

crate::messages! {
    /// Why contacts do not show it.
    pub enum Unfit "contacts-unfit" {
        /// A disc that does not go into the groove beside a land.
        DiscTooThick "disc-too-thick" { thickness: f64 as Size, groove: f64 as Size },
    }
}

crate::messages! {
    /// The contacts one would want.
    pub enum Ideal "ideal" {
        /// Thin discs.
        ThinDiscs "thin-discs" { groove: Entered as Entered },
    }
}

impl Measurand for Land {
    fn places(&self) -> (usize, Option<u32>, Laid) {
        (4, Some(90), Laid::Around)
    }

    fn dimension(&self) -> Dimension {
        Dimension::Width
    }

    fn suits(&self, with: &MeasuredWith) -> Result<(), Misfit> {
        let thickness = discs::thickness(with.contacts)?;
        let groove = self.groove_width.value().mm();
        unless(
            thickness >= groove,
            Unfit::DiscTooThick { thickness, groove },
        )
    }

    fn ideal(&self, _limits: Limits) -> Message {
        let groove = self.groove_width.clone();
        Ideal::ThinDiscs { groove }.message()
    }

    fn trial_contacts(&self, _limits: Limits) -> Option<Contacts> {
        trial::discs(trial::size("20mm"), trial::share(&self.groove_width, 0.5))
    }

    fn turned(&self) -> Turned {
        Turned::Ring
    }
}
