//! Studies of a way of measuring and of a process, from tables of readings.
//!
//! Readings are taken as exact as they were written ([`DoubleDouble`]): what depends on small differences of large numbers is
//! computed from them without loss. Units are the reader's: every result is in the unit of the readings.

mod agreement;
mod bias;
mod capability;
mod comparison;
mod error;
mod groups;
mod linearity;
mod normality;
mod one_way;
mod order;
pub mod repeatability;
mod summary;
mod table;
mod tolerance_interval;
mod type_1;

pub use crate::double_double::{DoubleDouble, Unread};
pub use agreement::{Agreeing, Agreement, Kappa};
pub use bias::{Bias, OfBias};
pub use capability::{
    Capability, Indices, Interval, Percentiles, Process, Specification, Within, WithoutMeasurement,
};
pub use comparison::{Compared, compare};
pub use error::StudyError;
pub use linearity::{AtReference, Linearity, Regression};
pub use normality::{AndersonDarling, anderson_darling};
pub use one_way::{OneWay, Variation};
pub use order::{Turn, order};
pub use summary::Summary;
pub use table::{Table, TableError, open_quote, separator};
pub use tolerance_interval::{one_sided_factor, two_sided_factor};
pub use type_1::{Type1, Type1Settings};
