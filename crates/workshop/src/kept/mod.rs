//! The form in which documents are stored, apart from the form in which the program computes with them.
//!
//! Each kind of document has a schema number of its own, which stands in it. A stored form is declared field by field
//! (`kept!`): when a field of the calculation is renamed or added, the declaration no longer compiles, and whoever
//! changes it decides what old documents mean. A schema that was released is never changed: a new one is added beside it.
//!
//! A key that a schema does not know is ignored, so that a later build may add one. A key that is missing is a fault:
//! `missing` finds it.

mod approval;
mod badge;
mod calibration;
mod compare;
mod equipment;
mod event;
mod feature;
mod first_article;
mod job;
mod lot;
mod nonconformance;
mod result;
mod study;
mod trial;
mod validated;

use std::collections::BTreeMap;

use jiff::Timestamp;
use jiff::civil::Date;
use metrology::message::{Message, Value as Said};
use metrology::units::{Celsius, Entered, LengthUnit};
use rust_decimal::Decimal;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::event::Event;
use crate::gauge_record::calibrated::CalibratedDocument;
use crate::gauge_record::case::Case;
use crate::gauge_record::certificate::{Certified, Heading};
use crate::gauge_record::check::{Check, Room};
use crate::gauge_record::status::Change;
use crate::gauge_record::studied::Studied;
use compare::missing;

pub use approval::APPROVAL;
pub use badge::BADGE;
pub use calibration::{CALIBRATED, CALIBRATION};
pub use compare::differences;
pub use equipment::EQUIPMENT;
pub use event::{CALIBRATION_EVENT, EVENT, LOT_EVENT, PAIR_EVENT, STUDY_EVENT};
pub use first_article::{FIRST_ARTICLE, FIRST_ARTICLE_JUDGED};
pub use job::JOB;
pub use lot::{CHECKED, FOUND, LOT, PLAN, ZERO_CHECK};
pub use nonconformance::NONCONFORMANCE;
pub use result::RESULT;
pub use study::{STUDIED, STUDY};
pub use trial::TRIAL;
pub use validated::VALIDATION;

metrology::messages! {
    /// Why a stored text cannot be read.
    pub enum Unreadable "unreadable" {
        /// It is no JSON of this schema; the detail is for developers.
        Text "text" { detail: String as Text },
        /// A value that the calculation does not know.
        Value "value" { value: String as Text },
        /// A key is missing.
        Missing "missing" { key: String as Text },
        /// A schema of a later build.
        Schema "schema" { number: u32 as whole },
    }
}

impl From<serde_json::Error> for Unreadable {
    fn from(error: serde_json::Error) -> Self {
        Self::Text {
            detail: error.to_string(),
        }
    }
}

/// What can be stored: as what, and how it is read back.
pub trait Keep: Sized {
    /// Its stored form.
    type Kept: Serialize + DeserializeOwned;

    /// As it is stored.
    fn keep(&self) -> Self::Kept;

    /// Read back.
    fn read(kept: Self::Kept) -> Result<Self, Unreadable>;
}

/// A document with its schema number.
#[derive(Serialize, Deserialize)]
struct Document<T> {
    schema: u32,
    content: T,
}

/// Writes a document of a schema.
pub fn write<T: Keep>(schema: u32, what: &T) -> Result<String, Unreadable> {
    let content = what.keep();
    Ok(serde_json::to_string(&Document { schema, content })?)
}

/// The content of a document of a schema, as it is written.
pub fn content(schema: u32, text: &str) -> Result<Value, Unreadable> {
    let document: Document<Value> = serde_json::from_str(text)?;
    if document.schema != schema {
        return Err(Unreadable::Schema {
            number: document.schema,
        });
    }
    Ok(document.content)
}

/// Reads a document of a schema; every key of it must be there.
pub fn read<T: Keep>(schema: u32, text: &str) -> Result<T, Unreadable> {
    let content = self::content(schema, text)?;
    let kept = T::Kept::deserialize(&content)?;
    if let Some(path) = missing(&serde_json::to_value(&kept)?, &content) {
        return Err(Unreadable::Missing { key: path });
    }
    T::read(kept)
}

/// Writes what happened at the bench. What happens in a lot alone is of a schema of its own, which earlier builds refuse by
/// its number.
pub fn write_event(event: &Event) -> Result<String, Unreadable> {
    let schema = if event.came_with_pairs() {
        PAIR_EVENT
    } else if event.came_with_studies() {
        STUDY_EVENT
    } else if event.came_with_calibrations() {
        CALIBRATION_EVENT
    } else if event.came_with_lots() {
        LOT_EVENT
    } else {
        EVENT
    };
    write(schema, event)
}

/// Reads what happened at the bench, of any schema.
pub fn read_event(text: &str) -> Result<Event, Unreadable> {
    let document: Document<serde::de::IgnoredAny> = serde_json::from_str(text)?;
    read(document.schema.clamp(EVENT, PAIR_EVENT), text)
}

/// Reads a document of a schema for what is known of it beside the record: a missing key is no fault here, and verification
/// tells of it.
pub fn glance<T: Keep>(schema: u32, text: &str) -> Result<T, Unreadable> {
    let document: Document<T::Kept> = serde_json::from_str(text)?;
    if document.schema != schema {
        return Err(Unreadable::Schema {
            number: document.schema,
        });
    }
    T::read(document.content)
}

/// Declares the stored form of a struct or an enum of the calculation, field by field, each with its stored type. What
/// belongs to the day and not to the record is left out by `without`.
macro_rules! kept {
    ($name:ident of enum $of:path {
        $( $variant:ident $({ $( $field:ident : $kind:ty ),* $(,)? })? $(( $one:ident : $one_kind:ty ))? ),* $(,)?
    }) => {
        #[derive(serde::Serialize, serde::Deserialize)]
        #[serde(rename_all = "kebab-case")]
        #[allow(clippy::large_enum_variant, clippy::enum_variant_names, reason = "stored as it is, and not kept in memory")]
        pub enum $name {
            $( $variant $({ $( $field: $kind ),* })? $(( $one_kind ))? ),*
        }

        impl $crate::kept::Keep for $of {
            type Kept = $name;

            fn keep(&self) -> $name {
                match self {
                    $( Self::$variant $({ $( $field ),* })? $(( $one ))? => $name::$variant
                        $({ $( $field: $crate::kept::Keep::keep($field) ),* })?
                        $(( $crate::kept::Keep::keep($one) ))? ),*
                }
            }

            fn read(kept: $name) -> Result<Self, $crate::kept::Unreadable> {
                Ok(match kept {
                    $( $name::$variant $({ $( $field ),* })? $(( $one ))? => Self::$variant
                        $({ $( $field: $crate::kept::Keep::read($field)? ),* })?
                        $(( $crate::kept::Keep::read($one)? ))? ),*
                })
            }
        }
    };
    ($name:ident of $of:path { $( $(#[$how:meta])* $field:ident : $kind:ty ),* $(,)? } $( without $left_out:ident )?) => {
        #[derive(serde::Serialize, serde::Deserialize)]
        #[allow(clippy::struct_field_names, reason = "stored names")]
        pub struct $name { $( $(#[$how])* pub $field: $kind ),* }

        impl $crate::kept::Keep for $of {
            type Kept = $name;

            fn keep(&self) -> $name {
                let Self { $( $field, )* $( $left_out: _ )? } = self;
                $name { $( $field: $crate::kept::Keep::keep($field) ),* }
            }

            fn read(kept: $name) -> Result<Self, $crate::kept::Unreadable> {
                Ok(Self {
                    $( $field: $crate::kept::Keep::read(kept.$field)?, )*
                    $( $left_out: Default::default() )?
                })
            }
        }
    };
}
use kept;

/// What is stored as it is.
macro_rules! as_it_is {
    ($( $kind:ty ),*) => {
        $(
            impl Keep for $kind {
                type Kept = Self;

                fn keep(&self) -> Self {
                    self.clone()
                }

                fn read(kept: Self) -> Result<Self, Unreadable> {
                    Ok(kept)
                }
            }
        )*
    };
}

as_it_is!(String, f64, bool, u32, u64, Date, Timestamp, Message, Said);

// What the gauge room records is declared in the form in which it is stored: texts, numbers, days and codes, field by field. A
// form that was released stays as it is, and the next stands beside it.
as_it_is!(
    CalibratedDocument,
    Heading,
    Certified,
    Change,
    Case,
    Check,
    Room,
    Studied
);

/// The schema number of certificates from outside.
pub const CERTIFICATE: u32 = 1;
/// The schema number of changes of status.
pub const STATUS: u32 = 1;
/// The schema number of checks of check parts.
pub const CHECK: u32 = 1;
/// The schema number of what a thermometer showed.
pub const ROOM: u32 = 1;
/// The schema number of recalls kept as cases.
pub const CASE: u32 = 1;

impl Keep for usize {
    type Kept = u64;

    fn keep(&self) -> u64 {
        u64::try_from(*self).unwrap_or(u64::MAX)
    }

    fn read(kept: u64) -> Result<Self, Unreadable> {
        Self::try_from(kept).map_err(|_| Unreadable::Value {
            value: kept.to_string(),
        })
    }
}

impl<T: Keep> Keep for Option<T> {
    type Kept = Option<T::Kept>;

    fn keep(&self) -> Self::Kept {
        self.as_ref().map(Keep::keep)
    }

    fn read(kept: Self::Kept) -> Result<Self, Unreadable> {
        kept.map(T::read).transpose()
    }
}

impl<T: Keep> Keep for Vec<T> {
    type Kept = Vec<T::Kept>;

    fn keep(&self) -> Self::Kept {
        self.iter().map(Keep::keep).collect()
    }

    fn read(kept: Self::Kept) -> Result<Self, Unreadable> {
        kept.into_iter().map(T::read).collect()
    }
}

impl<T: Keep> Keep for Box<T> {
    type Kept = T::Kept;

    fn keep(&self) -> Self::Kept {
        (**self).keep()
    }

    fn read(kept: Self::Kept) -> Result<Self, Unreadable> {
        T::read(kept).map(Self::new)
    }
}

impl<T: Keep> Keep for [T; 2] {
    type Kept = [T::Kept; 2];

    fn keep(&self) -> Self::Kept {
        self.each_ref().map(Keep::keep)
    }

    fn read([first, second]: Self::Kept) -> Result<Self, Unreadable> {
        Ok([T::read(first)?, T::read(second)?])
    }
}

impl<A: Keep, B: Keep> Keep for (A, B) {
    type Kept = (A::Kept, B::Kept);

    fn keep(&self) -> Self::Kept {
        (self.0.keep(), self.1.keep())
    }

    fn read((first, second): Self::Kept) -> Result<Self, Unreadable> {
        Ok((A::read(first)?, B::read(second)?))
    }
}

impl<T: Keep> Keep for BTreeMap<String, T> {
    type Kept = BTreeMap<String, T::Kept>;

    fn keep(&self) -> Self::Kept {
        self.iter()
            .map(|(key, value)| (key.clone(), value.keep()))
            .collect()
    }

    fn read(kept: Self::Kept) -> Result<Self, Unreadable> {
        kept.into_iter()
            .map(|(key, value)| Ok((key, T::read(value)?)))
            .collect()
    }
}

/// As entered: text, digits and unit.
impl Keep for Entered {
    type Kept = String;

    fn keep(&self) -> String {
        self.text().to_owned()
    }

    fn read(kept: String) -> Result<Self, Unreadable> {
        Self::parse(&kept, None).map_err(|_| Unreadable::Value { value: kept })
    }
}

/// Degrees Celsius.
impl Keep for Celsius {
    type Kept = f64;

    fn keep(&self) -> f64 {
        self.degrees()
    }

    fn read(kept: f64) -> Result<Self, Unreadable> {
        Ok(Self::new(kept))
    }
}

impl Keep for LengthUnit {
    type Kept = String;

    fn keep(&self) -> String {
        self.symbol().to_owned()
    }

    fn read(kept: String) -> Result<Self, Unreadable> {
        kept.parse().map_err(|()| Unreadable::Value { value: kept })
    }
}

impl Keep for Decimal {
    type Kept = String;

    fn keep(&self) -> String {
        self.to_string()
    }

    fn read(kept: String) -> Result<Self, Unreadable> {
        kept.parse().map_err(|_| Unreadable::Value { value: kept })
    }
}

#[cfg(test)]
mod tests;
