//! The values of a section whose keys a table states, each checked as the table says.

use jiff::civil::Date;
use metrology::given::{Range, Whole};
use metrology::inspection::keys::{Assumed, Key, Sense, Values};
use metrology::inspection::{CurvePoint, PitchEntry};
use metrology::units::Entered;
use toml::Spanned;

use super::by_keys::{Shaped, Value};
use super::error::Wrong;
use super::typed::{Source, Typed};
use crate::error::Error;

/// The values of a section, with its name.
pub struct Under<'a> {
    pub source: &'a Source<'a>,
    pub section: String,
    pub keys: &'a Shaped,
    /// The piece of equipment that the section describes, if it does.
    pub piece: Option<OfPiece<'a>>,
}

/// A piece that is described.
#[derive(Clone, Copy)]
pub struct OfPiece<'a> {
    pub id: &'a Spanned<String>,
    /// The latest date of its certificate.
    pub until: Until,
    /// What is taken of a key that is left out, in this job.
    pub usual: Option<(&'static str, &'static str)>,
}

/// The latest date of a certificate, and why.
#[derive(Clone, Copy)]
pub enum Until {
    /// Today, on the register.
    Today(Date),
    /// The day of the measurement, in a job.
    Measured(Date),
}

/// No certificate of equipment in use is older: a date before it is a slip (common practice, no source).
const EARLIEST_CERTIFICATE: Date = Date::constant(1950, 1, 1);

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

    /// What is taken of a key where nothing need stand under it.
    fn usual(&self, key: &Key) -> Option<Assumed> {
        key.assumed.filter(|assumed| {
            let (other, code) = assumed.when;
            matches!(self.keys.under(other), Some(Value::Code(found)) if *found == code)
        })
    }

    /// The same where nothing does.
    fn assumed(&self, key: &Key) -> Option<&'static str> {
        let is_left_out = |name: &&str| self.keys.under(name).is_none();
        let usual = self.usual(key)?;
        usual.without.iter().all(is_left_out).then_some(usual.text)
    }

    /// The date of a certificate, which must have been.
    fn has_been(&self, typed: &Typed, date: Date) -> Result<Date, Error> {
        let earliest = EARLIEST_CERTIFICATE;
        let wrong = match self.piece.map(|piece| piece.until) {
            _ if date < earliest => Wrong::CertificateTooEarly { date, earliest },
            Some(Until::Today(today)) if date > today => Wrong::CertificateAhead { date, today },
            Some(Until::Measured(measured)) if date > measured => {
                Wrong::CertificateAfter { date, measured }
            }
            _ => return Ok(date),
        };
        Err(self.source.wrong_at(typed, wrong))
    }

    fn two(&self, key: &Key) -> Option<&'a [Typed; 2]> {
        match self.keys.get(key)? {
            Value::Two(both) => Some(both),
            _ => None,
        }
    }
}

impl Values for Under<'_> {
    type Error = Error;

    fn length(&mut self, key: &Key) -> Result<Option<Entered>, Error> {
        let usual = self.usual(key);
        match (self.one(key), key.sense) {
            (Some(typed), Some(sense)) => {
                let positive = sense.positive && usual.is_none();
                self.source
                    .sensible(typed, Sense { positive, ..sense })
                    .map(Some)
            }
            (Some(typed), None) => self.source.length(typed).map(Some),
            (None, _) => Ok(self.assumed(key).and_then(|text| self.source.assumed(text))),
        }
    }

    fn lengths(&mut self, key: &Key) -> Result<Option<Vec<Entered>>, Error> {
        let all = self.list(key);
        all.map(|all| self.source.readings(all)).transpose()
    }

    fn number(&mut self, key: &Key, range: Range) -> Result<Option<f64>, Error> {
        match self.one(key) {
            Some(typed) => self.source.number(typed, range).map(Some),
            None => Ok(self.assumed(key).and_then(|text| text.parse().ok())),
        }
    }

    fn count(&mut self, key: &Key, range: Range) -> Result<Option<u32>, Error> {
        let whole = Whole(range);
        let typed = self.one(key);
        typed
            .map(|typed| self.source.whole(typed, whole))
            .transpose()
    }

    fn bounds(&mut self, key: &Key, range: Range) -> Result<Option<[f64; 2]>, Error> {
        let Some(Value::Two([lower, upper])) = self.keys.get(key) else {
            return Ok(None);
        };
        let number = |typed| self.source.number(typed, range);
        Ok(Some([number(lower)?, number(upper)?]))
    }

    fn text(&mut self, key: &Key) -> Result<Option<String>, Error> {
        match self.keys.get(key) {
            Some(Value::One(typed)) => self.checked(key, typed).map(Some),
            Some(Value::Code(code)) => Ok(Some((*code).to_owned())),
            // What says why it is needed is needed in words.
            Some(Value::Text(text)) if key.lacking.is_some() && text.trim().is_empty() => Ok(None),
            Some(Value::Text(text)) => Ok(Some(text.clone())),
            Some(Value::Identity(id)) => Ok(Some(id.get_ref().clone())),
            _ => {
                let usual = self.piece.and_then(|piece| piece.usual);
                let usual = usual.filter(|(name, _)| *name == key.name);
                Ok(usual.map(|(_, code)| code.to_owned()))
            }
        }
    }

    fn texts(&mut self, key: &Key) -> Result<Option<Vec<String>>, Error> {
        let all = self.list(key);
        all.map(|all| all.iter().map(|typed| self.checked(key, typed)).collect())
            .transpose()
    }

    fn flag(&mut self, key: &Key) -> Result<Option<bool>, Error> {
        Ok(match self.keys.get(key) {
            Some(Value::Flag(flag)) => Some(*flag),
            _ => None,
        })
    }

    fn day(&mut self, key: &Key) -> Result<Option<Date>, Error> {
        let Some(typed) = self.one(key) else {
            return Ok(None);
        };
        let date = self.source.date(typed)?;
        Ok(Some(if key.has_been {
            self.has_been(typed, date)?
        } else {
            date
        }))
    }

    fn span(&mut self, key: &Key) -> Result<Option<[Entered; 2]>, Error> {
        let id = self.piece.map_or("", |piece| piece.id.get_ref());
        let both = self.two(key);
        both.map(|both| self.source.range(id, both)).transpose()
    }

    fn identities(&mut self, key: &Key) -> Result<Option<[String; 2]>, Error> {
        Ok(match self.keys.get(key) {
            Some(Value::Identities(both)) => Some(both.clone()),
            _ => None,
        })
    }

    fn pitches(&mut self, key: &Key) -> Result<Option<[PitchEntry; 2]>, Error> {
        let both = self.two(key);
        both.map(|both| self.source.pitches(both)).transpose()
    }

    fn points(&mut self, key: &Key) -> Result<Option<Vec<CurvePoint>>, Error> {
        match self.keys.get(key) {
            Some(Value::Points(points)) => self.source.curve(points).map(Some),
            _ => Ok(None),
        }
    }

    fn section(&mut self, key: &Key) -> Result<Option<Self>, Error> {
        let Some(Value::Section(keys)) = self.keys.get(key) else {
            return Ok(None);
        };
        Ok(Some(Self {
            source: self.source,
            section: format!("{}.{}", self.section, key.name),
            keys,
            piece: self.piece,
        }))
    }

    fn missing(&self, key: &Key) -> Error {
        let wrong = match (key.lacking, self.piece) {
            (Some(lacking), Some(piece)) => self.source.wrong_at(piece.id, lacking()),
            (Some(lacking), None) => self.source.wrong_in(&self.section, lacking()),
            (None, Some(piece)) => {
                let wrong = Wrong::NotDescribed {
                    id: piece.id.get_ref().clone(),
                    key: key.name.to_owned(),
                };
                self.source.wrong_at(piece.id, wrong)
            }
            (None, None) => self.source.wrong_in(
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
