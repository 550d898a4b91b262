//! How thick a coating is: a range, or one number whose meaning depends on the practice.

use super::{CoatingAssumed, ThicknessError};
use crate::designation::Form;
use crate::units::{Entered, Length};

/// A range of coating thickness, both ends included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Thickness {
    /// The thinnest coating, from zero up.
    pub least: Length,
    /// The thickest coating, above zero.
    pub most: Length,
    /// One number was given, not a range.
    pub single: bool,
}

impl Thickness {
    /// From a range, `5um..8um` (`5..8um` is the same), or from one number, `8um`.
    pub fn parse(text: &str) -> Result<Self, ThicknessError> {
        let (first, second) = text.split_once("..").unwrap_or((text, text));
        let most = Entered::parse(second, None)?;
        let least = Entered::parse(first, Some(most.unit()))?;
        if most.value() <= Length::ZERO || least.value().is_negative() {
            return Err(ThicknessError::NotPositive {
                text: text.trim().to_owned(),
            });
        }
        if least.value() > most.value() {
            return Err(ThicknessError::Backwards {
                text: text.trim().to_owned(),
                least: least.text().to_owned(),
                most: most.text().to_owned(),
            });
        }
        Ok(Self {
            least: least.value(),
            most: most.value(),
            single: !text.contains(".."),
        })
    }

    /// What one number means for a form, and what to say of it; a range stays as it is.
    ///
    /// A single thickness on a Unified thread is the nominal or the least, and the most is 50 % above it: ASME
    /// B1.1-2003, 7.4.2 and 7.5.2, as a gauge source quotes it, not read in the standard. No such rule is known for
    /// other forms: there it is taken as exact.
    pub(super) fn read_for(self, form: Form) -> (Self, Option<CoatingAssumed>) {
        if !self.single {
            return (self, None);
        }
        if form == Form::Unified {
            let half = Length::from_tenth_nanometres(self.most.tenth_nanometres() / 2);
            let most = self.most + half;
            return (Self { most, ..self }, Some(CoatingAssumed::Nominal));
        }
        (self, Some(CoatingAssumed::Exact))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_ranges_and_single_numbers() {
        let range = Thickness::parse("5um..8um").unwrap();
        assert_eq!(Thickness::parse("5..8 um").unwrap(), range);
        assert_eq!(range.least, Length::from_micrometres(5));
        assert_eq!(range.most, Length::from_micrometres(8));
        let (nominal, said) = Thickness::parse("10um").unwrap().read_for(Form::Unified);
        assert_eq!(nominal.most, Length::from_micrometres(15));
        assert!(said.is_some());
        let (exact, _) = Thickness::parse("10um").unwrap().read_for(Form::IsoMetric);
        assert_eq!(exact.most, exact.least);
    }

    #[test]
    fn refuses_what_is_no_coating() {
        for (text, code) in [
            ("0um", "not-positive"),
            ("-5um..8um", "not-positive"),
            ("8um..5um", "backwards"),
            ("5..8", "not-a-length"),
            ("thin", "not-a-length"),
            ("5um..", "not-a-length"),
        ] {
            let error = Thickness::parse(text).unwrap_err();
            assert_eq!(error.code(), format!("coating-thickness.{code}"), "{text}");
        }
    }
}
