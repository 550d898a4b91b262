//! Measurement uncertainty: from readings and certificates to a combined standard uncertainty, its budget and
//! its coverage interval.
//!
//! A measurement model is written once, as a function generic over [`Scalar`]; its sensitivities, its
//! second-order terms and its Monte Carlo trials all come from that one text ([`Model`]). What goes in is one
//! [`Input`] for each influence, what comes out is a [`Budget`].
//!
//! Everything in here is `f64`; lengths are in millimetres. A result becomes an exact
//! [`Length`](crate::units::Length) once, at the door of the decision.
//!
//! Source: [JCGM 100:2008](crate::source::Source::Jcgm100) for the budget,
//! [JCGM 101:2008](crate::source::Source::Jcgm101) for distributions and Monte Carlo.

pub mod distribution;
pub mod monte_carlo;
pub mod report;
pub mod statistics;

mod budget;
mod correlation;
mod coverage;
mod input;
mod normal;
mod scalar;
mod student;

pub use budget::{
    Budget, BudgetError, Component, Expanded, Line, LineNumber, independent, second_order_bound,
};
pub use correlation::{Correlation, CorrelationError};
pub use coverage::{
    COVERAGE, CoverageError, coverage_factor, coverage_factor_95, truncated_degrees_of_freedom,
};
pub use distribution::Distribution;
pub use input::Input;
pub use normal::{normal_cdf, normal_density, normal_quantile};
pub(crate) use scalar::follow;
pub use scalar::{Dual, Model, Scalar};
pub use student::{student_cdf, student_quantile};

pub(crate) use student::continued_fraction as beta_fraction;
