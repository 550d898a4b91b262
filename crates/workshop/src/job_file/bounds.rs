//! What a description of equipment cannot mean, refused where it is written: a register keeps for ever what it took.
//!
//! The words are those of an inspection, which refuses the same things of a piece that was registered before.

use metrology::correction::ErrorCurve;
use metrology::inspection::keys::Sense;
use metrology::inspection::{self, CurvePoint, Field, JobError, PitchEntry};
use metrology::message::Say as _;
use metrology::units::{Entered, Length};
use toml::Spanned;

use super::error::Wrong;
use super::typed::{Source, Typed};
use crate::error::Error;

impl Source<'_> {
    fn refused<T>(&self, at: &Spanned<T>, error: &JobError) -> Error {
        self.wrong_at(at, error.message())
    }

    /// A length that an inspection would take.
    fn checked(
        &self,
        field: Field,
        typed: &Typed,
        check: fn(Field, &Entered) -> Result<Length, JobError>,
    ) -> Result<Entered, Error> {
        let entered = self.length(typed)?;
        match check(field, &entered) {
            Ok(_) => Ok(entered),
            Err(error) => Err(self.refused(typed, &error)),
        }
    }

    /// A length that makes sense.
    pub fn sensible(&self, typed: &Typed, sense: Sense) -> Result<Entered, Error> {
        let least = if sense.positive {
            inspection::positive
        } else {
            inspection::not_negative
        };
        let entered = self.checked(sense.field, typed, least)?;
        if sense.small {
            return self.checked(sense.field, typed, inspection::small);
        }
        Ok(entered)
    }

    /// A length above zero.
    pub fn positive(&self, field: Field, typed: &Typed) -> Result<Entered, Error> {
        self.checked(field, typed, inspection::positive)
    }

    /// A length of zero or above.
    pub fn not_negative(&self, field: Field, typed: &Typed) -> Result<Entered, Error> {
        self.checked(field, typed, inspection::not_negative)
    }

    /// The step of a display.
    pub fn step(&self, typed: &Typed) -> Result<Entered, Error> {
        let sense = Sense {
            field: Field::Resolution,
            positive: true,
            small: true,
        };
        self.sensible(typed, sense)
    }

    /// How far something may be off: zero or above, and small.
    pub fn small(&self, field: Field, typed: &Typed) -> Result<Entered, Error> {
        let sense = Sense {
            field,
            positive: false,
            small: true,
        };
        self.sensible(typed, sense)
    }

    /// The range of a micrometer: rising, from zero or above.
    pub fn range(&self, id: &str, [smallest, largest]: &[Typed; 2]) -> Result<[Entered; 2], Error> {
        let range = [self.length(smallest)?, self.length(largest)?];
        let [from, to] = [range[0].value(), range[1].value()];
        if !from.is_negative() && from < to {
            return Ok(range);
        }
        let error = JobError::Range {
            id: id.to_owned(),
            from: range[0].clone(),
            to: range[1].clone(),
        };
        Err(self.refused(smallest, &error))
    }

    /// The points of an error curve: rising, with errors that a micrometer can have.
    pub fn curve(&self, points: &[[Typed; 2]]) -> Result<Vec<CurvePoint>, Error> {
        let read = |[at, error]: &[Typed; 2]| {
            Ok(CurvePoint {
                at: self.length(at)?,
                error: self.checked(Field::CurveError, error, inspection::small)?,
            })
        };
        let curve: Vec<CurvePoint> = points.iter().map(read).collect::<Result<_, Error>>()?;
        let values = curve.iter().map(|one| (one.at.value(), one.error.value()));
        match (ErrorCurve::new(values.collect()), points.first()) {
            (Err(error), Some([first, _])) => Err(self.wrong_at(first, error)),
            _ => Ok(curve),
        }
    }

    /// The pitches that a pair is marked for. Counts per inch may stand either way, since makers mark them both ways.
    pub fn pitches(&self, typed: &[Typed; 2]) -> Result<[PitchEntry; 2], Error> {
        let [smallest, largest] = typed;
        let range = [self.pitch(smallest)?, self.pitch(largest)?];
        match &range {
            [(PitchEntry::PerInch(_), _), (PitchEntry::PerInch(_), _)] => {}
            [(_, from), (_, to)] if from > to => {
                let wrong = Wrong::PitchRange {
                    from: self.text(smallest),
                    to: self.text(largest),
                };
                return Err(self.wrong_at(smallest, wrong));
            }
            _ => {}
        }
        Ok(range.map(|(entry, _)| entry))
    }

    /// A pitch as it is marked, and its millimetres.
    fn pitch(&self, typed: &Typed) -> Result<(PitchEntry, f64), Error> {
        let text = self.text(typed);
        let entry = if text.to_lowercase().ends_with("tpi") {
            PitchEntry::PerInch(text)
        } else {
            PitchEntry::Length(self.length(typed)?)
        };
        match inspection::pitch(&entry) {
            Ok(pitch) => Ok((entry, pitch.mm())),
            Err(error) => Err(self.refused(typed, &error)),
        }
    }
}
