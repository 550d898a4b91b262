//! Features in a job file: a `[measure.FEATURE]` section beside the name and limits in `[measure]`.

use metrology::features::{Key, Range, Values};
use metrology::inspection::{Characteristic, Feature};
use metrology::units::{Entered, Length, LengthUnit};

use super::error::Wrong;
use super::measure::{Measure, Shaped, Value};
use super::typed::{Source, Typed};
use crate::error::Error;
use crate::given::{Permitted, Whole};

/// The feature of a job, if its `[measure]` names one.
pub fn feature(source: &Source, measure: &Measure) -> Result<Option<Characteristic>, Error> {
    let mut found = measure
        .features
        .iter()
        .map(|(kind, keys)| {
            let section = format!("measure.{}", kind.key());
            let mut values = Under {
                source,
                section,
                keys,
            };
            Feature::read(*kind, &mut values)
        })
        .collect::<Result<Vec<_>, _>>()?
        .into_iter();
    let Some(feature) = found.next() else {
        return Ok(None);
    };
    if found.next().is_some() {
        return Err(source.wrong_in("measure", Wrong::TwoFeatures));
    }
    if measure.designation.is_some() {
        return Err(source
            .wrong_in("measure", Wrong::DesignationOfFeature)
            .about("designation"));
    }
    let (lower, upper) = limits(source, measure)?;
    if lower.is_none() && upper.is_none() {
        let wrong = if feature.kind().is_from_sheet() {
            Wrong::NoSheetLimits
        } else {
            Wrong::NoLimits
        };
        return Err(source.wrong_in("measure", wrong).about("lower"));
    }
    Ok(Some(Characteristic::Feature {
        name: measure.name.clone().unwrap_or_default(),
        lower,
        upper,
        feature: Box::new(feature),
    }))
}

/// The values of a section, with its name.
struct Under<'a> {
    source: &'a Source<'a>,
    section: String,
    keys: &'a Shaped,
}

impl<'a> Under<'a> {
    fn one(&self, key: &Key) -> Option<&'a Typed> {
        match self.keys.get(key)? {
            Value::One(typed) => Some(typed),
            _ => None,
        }
    }

    fn list(&self, key: &Key) -> Option<&'a [Typed]> {
        match self.keys.get(key)? {
            Value::List(all) => Some(all),
            _ => None,
        }
    }

    /// A text that its key has nothing against.
    fn checked(&self, key: &Key, typed: &Typed) -> Result<String, Error> {
        let text = self.source.text(typed);
        if let Some(check) = key.check {
            check(&text).map_err(|wrong| self.source.wrong_at(typed, wrong))?;
        }
        Ok(text)
    }
}

const fn permitted(range: Range) -> Permitted {
    Permitted::new(range.from, range.to, range.unit)
}

impl Values for Under<'_> {
    type Error = Error;

    fn length(&mut self, key: &Key) -> Result<Option<Entered>, Error> {
        let typed = self.one(key);
        typed.map(|typed| self.source.length(typed)).transpose()
    }

    fn lengths(&mut self, key: &Key) -> Result<Option<Vec<Entered>>, Error> {
        let all = self.list(key);
        all.map(|all| self.source.readings(all)).transpose()
    }

    fn number(&mut self, key: &Key, range: Range) -> Result<Option<f64>, Error> {
        self.source.number_if(self.one(key), permitted(range))
    }

    fn count(&mut self, key: &Key, range: Range) -> Result<Option<u32>, Error> {
        let whole = Whole(permitted(range));
        let typed = self.one(key);
        typed
            .map(|typed| self.source.whole(typed, whole))
            .transpose()
    }

    fn bounds(&mut self, key: &Key, range: Range) -> Result<Option<[f64; 2]>, Error> {
        let Some(Value::Two([lower, upper])) = self.keys.get(key) else {
            return Ok(None);
        };
        let number = |typed| self.source.number(typed, permitted(range));
        Ok(Some([number(lower)?, number(upper)?]))
    }

    fn text(&mut self, key: &Key) -> Result<Option<String>, Error> {
        match self.keys.get(key) {
            Some(Value::One(typed)) => self.checked(key, typed).map(Some),
            Some(Value::Code(code)) => Ok(Some((*code).to_owned())),
            // What says why it is needed is needed in words.
            Some(Value::Text(text)) if key.lacking.is_some() && text.trim().is_empty() => Ok(None),
            Some(Value::Text(text)) => Ok(Some(text.clone())),
            _ => Ok(None),
        }
    }

    fn texts(&mut self, key: &Key) -> Result<Option<Vec<String>>, Error> {
        let all = self.list(key);
        all.map(|all| all.iter().map(|typed| self.checked(key, typed)).collect())
            .transpose()
    }

    fn section(&mut self, key: &Key) -> Result<Option<Self>, Error> {
        let Some(Value::Section(keys)) = self.keys.get(key) else {
            return Ok(None);
        };
        Ok(Some(Self {
            source: self.source,
            section: format!("{}.{}", self.section, key.name),
            keys,
        }))
    }

    fn missing(&self, key: &Key) -> Error {
        let wrong = match key.lacking {
            Some(lacking) => self.source.wrong_in(&self.section, lacking()),
            None => self.source.wrong_in(
                &self.section,
                Wrong::MissingKey {
                    key: key.name.to_owned(),
                    section: self.section.clone(),
                },
            ),
        };
        wrong.about(key.name)
    }
}

/// Limits as stated, or nominal less and plus tolerance, exact.
pub fn limits(
    source: &Source,
    measure: &Measure,
) -> Result<(Option<Entered>, Option<Entered>), Error> {
    match (&measure.nominal, &measure.tolerance) {
        (None, None) => Ok((
            source.optional(measure.lower.as_ref(), Source::length)?,
            source.optional(measure.upper.as_ref(), Source::length)?,
        )),
        (Some(nominal), Some(tolerance)) if measure.lower.is_none() && measure.upper.is_none() => {
            let (middle, half) = (source.length(nominal)?, source.length(tolerance)?);
            if half.value().is_negative() {
                return Err(source.wrong_at(tolerance, Wrong::SignedTolerance));
            }
            let text = |limit: Length| {
                let unit = match middle.unit() {
                    LengthUnit::Inch | LengthUnit::Microinch => LengthUnit::Inch,
                    LengthUnit::Millimetre | LengthUnit::Micrometre => LengthUnit::Millimetre,
                };
                let decimals = if middle.unit() == half.unit() && middle.unit() == unit {
                    middle.decimals().max(half.decimals())
                } else {
                    7
                };
                Entered::parse(&format!("{}{unit}", limit.to_fixed(unit, decimals)), None)
                    .map_err(|error| source.wrong_at(nominal, error))
            };
            Ok((
                Some(text(middle.value() - half.value())?),
                Some(text(middle.value() + half.value())?),
            ))
        }
        (nominal, tolerance) => {
            let at = nominal.as_ref().or(tolerance.as_ref());
            Err(at.map_or_else(
                || source.wrong_in("measure", Wrong::MixedLimits),
                |at| source.wrong_at(at, Wrong::MixedLimits),
            ))
        }
    }
}
