//! The set-up of a lot: equipment, conditions and person, as in a job file, for all pieces that were measured with it.

use std::path::{Path, PathBuf};

use jiff::Timestamp;
use metrology::inspection::{Job, Part};
use metrology::units::LengthUnit;

use super::origin::Origin;
use super::shape::SetUpFile;
use super::typed::{Source, Typed};
use super::{Clock, Wanted, job_of, read_text, shaped, when};
use crate::error::Error;
use crate::given;
use crate::register::Shelf;

/// A set-up file that was read.
pub struct AtHand {
    path: PathBuf,
    text: String,
    file: SetUpFile,
    clock: Clock,
}

impl AtHand {
    /// Reads a set-up file at a moment.
    pub fn read(path: &Path, clock: impl Into<Clock>) -> Result<Self, Error> {
        Self::parse(path, read_text(path)?, clock)
    }

    /// Takes the text of one.
    pub fn parse(path: &Path, text: String, clock: impl Into<Clock>) -> Result<Self, Error> {
        let file: SetUpFile = shaped(Origin::File { path, text: &text })?;
        let read = Self {
            path: path.to_owned(),
            text,
            file,
            clock: clock.into(),
        };
        if let Some(zero) = &read.file.zero
            && let Some(reading) = zero.before.iter().chain(&zero.after).next()
        {
            return Err(read
                .source()?
                .wrong_at(reading, super::error::Wrong::ZeroInReadings));
        }
        Ok(read)
    }

    /// What a bare number in it means.
    pub fn unit(&self) -> Result<Option<LengthUnit>, Error> {
        Ok(self.source()?.unit())
    }

    /// The lot, where it is stated.
    pub fn lot(&self) -> Option<&str> {
        self.file.part.as_ref()?.lot.as_deref()
    }

    /// Whether it says when was measured.
    pub const fn says_when(&self) -> bool {
        self.file.measured_at.is_some()
    }

    /// When was measured, where no row says otherwise.
    pub(crate) fn measured_at(&self, shelf: &Shelf) -> Result<Timestamp, Error> {
        let (source, stated) = (self.source()?, self.file.measured_at.as_ref());
        Ok(when::measured(&source, stated, self.clock, shelf)?.0.at)
    }

    /// The job of a characteristic with this set-up, before anything was read; `wanted` has what the plan says.
    pub(crate) fn job(&self, wanted: Wanted, shelf: &Shelf) -> Result<Job, Error> {
        let source = self.source()?;
        let stated = self.file.part.clone().unwrap_or_default();
        let part = Part {
            lot: stated.lot,
            order: stated.order.or(wanted.part.order),
            hardness_hv: source.number_if(stated.hardness_hv.as_ref(), given::HARDNESS)?,
            customer: stated.customer.or(wanted.part.customer),
            received: source.optional(stated.received.as_ref(), Source::date)?,
            condition: stated.condition,
            ..wanted.part
        };
        let when = when::measured(&source, self.file.measured_at.as_ref(), self.clock, shelf)?;
        let wanted = Wanted { part, ..wanted };
        job_of(&source, &self.file.at_bench(), wanted, when, shelf)
    }

    fn source(&self) -> Result<Source<'_>, Error> {
        let origin = Origin::File {
            path: &self.path,
            text: &self.text,
        };
        Source::new(origin, self.file.unit.as_ref() as Option<&Typed>)
    }
}
