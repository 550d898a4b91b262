//! An input quantity of a measurement model.

use std::borrow::Cow;

use super::Distribution;

/// One influence on the result: its estimate and what is known about it.
#[derive(Clone, Debug, PartialEq)]
pub struct Input {
    /// What it is: a symbol or a code.
    pub name: Cow<'static, str>,
    /// Its estimate, in its unit (a length in millimetres).
    pub estimate: f64,
    /// What is known of it about the estimate, in the same unit.
    pub distribution: Distribution,
    /// Degrees of freedom of the standard uncertainty; infinity when it is known exactly. A normal input with
    /// few of them is drawn as Student t in Monte Carlo trials, as JCGM 101:2008, 6.4.9, asks for.
    pub degrees_of_freedom: f64,
}

impl Input {
    /// An input whose standard uncertainty is taken as exactly known (infinite degrees of freedom), unless the
    /// distribution itself says otherwise.
    pub fn new(
        name: impl Into<Cow<'static, str>>,
        estimate: f64,
        distribution: Distribution,
    ) -> Self {
        let degrees_of_freedom = match distribution {
            Distribution::StudentT {
                degrees_of_freedom, ..
            } => degrees_of_freedom,
            _ => f64::INFINITY,
        };
        Self {
            name: name.into(),
            estimate,
            distribution,
            degrees_of_freedom,
        }
    }

    /// A normal input of this standard uncertainty.
    pub fn normal(
        name: impl Into<Cow<'static, str>>,
        estimate: f64,
        standard_uncertainty: f64,
    ) -> Self {
        Self::new(
            name,
            estimate,
            Distribution::Normal {
                standard_uncertainty,
            },
        )
    }

    /// The same with these degrees of freedom.
    pub fn with_degrees_of_freedom(mut self, degrees_of_freedom: f64) -> Self {
        self.degrees_of_freedom = degrees_of_freedom;
        self
    }

    /// The standard uncertainty u(xᵢ), in the unit of the estimate.
    pub fn standard_uncertainty(&self) -> f64 {
        self.distribution.standard_uncertainty()
    }
}
