//! From an inside diameter to a flat surface: the web beside a bore.

use super::{Asked, Codes, Described, Dimension, Flag, Lacking, Laid, Measurand, in_bore};
use crate::inspection::JobError;
use crate::inspection::checked::positive;
use crate::inspection::contact_pressure::Touch;
use crate::inspection::converted::Conversion;
use crate::inspection::equipment::Contacts;
use crate::inspection::keys::section;
use crate::inspection::measured_with::MeasuredWith;
use crate::inspection::misfit::Misfit;
use crate::inspection::suspicion::Form;
use crate::limits::Limits;
use crate::message::Message;
use crate::soak::Body;
use crate::units::Entered;

section! {
    pub struct BoreToFlat {
        /// Inside diameter.
        bore: Entered,
    }
}

impl Described for BoreToFlat {
    const ASKED: &'static [Asked] = &[Asked::value("bore")];
    const OPTIONS: &'static [Flag] = &[Flag::needed(
        "bore",
        "bore",
        Lacking::What("setup-refused.bore"),
    )];
    const CODES: &'static [Codes] = &[Size::DECLARED];
}

crate::codes! {
    pub enum Size "field" {
        /// Inside diameter.
        Bore "bore",
    }
}

impl BoreToFlat {
    fn bore(&self) -> f64 {
        self.bore.value().mm()
    }
}

impl Measurand for BoreToFlat {
    fn places(&self) -> (usize, Option<u32>, Laid) {
        (3, None, Laid::FrontToBack)
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

    fn is_wall(&self) -> bool {
        true
    }

    fn body(&self, size: f64) -> Body {
        Body::Sheet(size)
    }

    fn check(&self, _with: &MeasuredWith) -> Result<(), JobError> {
        positive(Size::Bore, &self.bore).map(|_| ())
    }

    fn conversion(&self, with: &MeasuredWith, _repeatability: f64) -> Result<Conversion, JobError> {
        Ok(in_bore::conversion(with, self.bore()))
    }

    fn touch(&self, with: &MeasuredWith) -> Option<Touch> {
        in_bore::touch(with, self.bore())
    }
}
