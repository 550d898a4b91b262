//! How thick a coating is: a range, or one number whose meaning depends on the practice.

use crate::designation::Form;
use crate::units::{Entered, EntryError, Length};

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

/// Text that is no coating thickness.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ThicknessError {
    /// Not a length.
    #[error("coating: {0}; write a range, as 5um..8um")]
    NotALength(#[from] EntryError),
    /// Zero or below.
    #[error("coating: a thickness of `{0}` is no coating; write a range above zero, as 5um..8um")]
    NotPositive(String),
    /// The range runs backwards.
    #[error(
        "coating: `{text}` runs from thick to thin; write the smaller number first, as {most}..{least}"
    )]
    Backwards {
        /// The range as typed.
        text: String,
        /// The first end.
        least: String,
        /// The second end.
        most: String,
    },
}

impl Thickness {
    /// From a range, `5um..8um` (`5..8um` is the same), or from one number, `8um`.
    pub fn parse(text: &str) -> Result<Self, ThicknessError> {
        let (first, second) = text.split_once("..").unwrap_or((text, text));
        let most = Entered::parse(second, None)?;
        let least = Entered::parse(first, Some(most.unit()))?;
        if most.value() <= Length::ZERO || least.value().is_negative() {
            return Err(ThicknessError::NotPositive(text.trim().to_owned()));
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

    /// What one number means for a form, with the words to say so; a range stays as it is.
    ///
    /// A single thickness on a Unified thread is the nominal or the least, and the most is 50 % above it: ASME
    /// B1.1-2003, 7.4.2 and 7.5.2, as a gauge source quotes it, not read in the standard. No such rule is known for
    /// other forms: there it is taken as exact.
    pub(super) fn read_for(self, form: Form) -> (Self, Option<String>) {
        if !self.single {
            return (self, None);
        }
        if form == Form::Unified {
            let half = Length::from_tenth_nanometres(self.most.tenth_nanometres() / 2);
            let most = self.most + half;
            let words = "one coating thickness given: taken as nominal, the most as 50 % above it \
                (ASME B1.1-2003, 7.4.2, quoted at second hand); write a range to say otherwise";
            return (Self { most, ..self }, Some(words.to_owned()));
        }
        let words = "one coating thickness given: taken as exact; write a range, as 5um..8um, to say how thick it can \
            be";
        (self, Some(words.to_owned()))
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
        for (text, part) in [
            ("0um", "no coating"),
            ("-5um..8um", "no coating"),
            ("8um..5um", "thick to thin"),
            ("5..8", "no unit"),
            ("thin", "not a length"),
            ("5um..", "missing"),
        ] {
            let error = Thickness::parse(text).unwrap_err().to_string();
            assert!(error.contains(part), "{text}: {error}");
        }
    }
}
