//! The wall of a tube: mean, least, run-out, percentages.
//!
//! Lengths in millimetres.

use crate::uncertainty::statistics::{extremes, mean};

/// What wall readings around one section tell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wall {
    /// Mean wall.
    pub mean: f64,
    /// Least wall; governs under pressure.
    pub least: f64,
    /// Greatest wall.
    pub most: f64,
}

impl Wall {
    /// Of readings at one section; `None` of nothing.
    pub fn of(walls: &[f64]) -> Option<Self> {
        let (least, most) = extremes(walls)?;
        Some(Self {
            mean: mean(walls)?,
            least,
            most,
        })
    }

    /// Wall run-out, `t_max − t_min`.
    pub fn run_out(&self) -> f64 {
        self.most - self.least
    }

    /// `(t_max − t_min)/(t_max + t_min)`, percent. Source: from memory.
    pub fn run_out_over_sum(&self) -> f64 {
        self.run_out() / (self.most + self.least) * 100.0
    }

    /// `(t_max − t_min)/t̄`, percent. Source: tubing makers' notes.
    pub fn run_out_over_mean(&self) -> f64 {
        self.run_out() / self.mean * 100.0
    }

    /// `t_min/t_max`, percent, called concentricity. Source: tubing makers' notes.
    pub fn least_over_most(&self) -> f64 {
        self.least / self.most * 100.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Walls from 1.96 to 2.116: 3.8, 7.7 and 92.6 % of one tube, by three definitions; and e = 0.078.
    #[test]
    fn three_percentages_of_one_tube() {
        let wall = Wall::of(&[1.960, 2.116, 2.038]).unwrap();
        assert!((wall.run_out_over_sum() - 3.827).abs() < 1e-3);
        assert!((wall.run_out_over_mean() - 7.655).abs() < 1e-3);
        assert!((wall.least_over_most() - 92.628).abs() < 1e-3);
    }
}
