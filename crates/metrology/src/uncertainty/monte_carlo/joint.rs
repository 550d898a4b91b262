//! The joint distribution of the inputs, drawn from.

use std::f64::consts::TAU;

use super::random::Generator;
use super::{MonteCarloError, Undrawable};
use crate::uncertainty::{Correlation, Distribution, Input, correlation};

/// All inputs of a model.
pub(super) struct Joint<const N: usize> {
    marginals: [Marginal; N],
    /// For correlated inputs, how the deviations drawn for each mix (rows of the Cholesky factor, scaled).
    mixing: Option<Vec<[f64; N]>>,
}

/// The distribution of one input about its estimate.
#[derive(Clone, Copy)]
struct Marginal {
    estimate: f64,
    distribution: Distribution,
}

impl<const N: usize> Joint<N> {
    /// Checks every width; correlated inputs must be normal (JCGM 101:2008, 6.4.8).
    pub fn new(inputs: &[Input; N], correlations: &[Correlation]) -> Result<Self, MonteCarloError> {
        for input in inputs {
            check(input).map_err(|what| MonteCarloError::Input {
                name: input.name.clone(),
                what,
            })?;
        }
        let matrix = correlation::matrix(N, correlations)?;
        for tie in correlations {
            for input in [tie.first, tie.second]
                .into_iter()
                .filter_map(|place| inputs.get(place))
            {
                if !matches!(input.distribution, Distribution::Normal { .. }) {
                    return Err(MonteCarloError::CorrelatedNotNormal {
                        name: input.name.clone(),
                    });
                }
            }
        }
        let mixing = if correlations.is_empty() {
            None
        } else {
            let lower = correlation::cholesky(&matrix)?;
            // From deviations in units of their own u to deviations in the unit of the row.
            let scale = |row: usize, column: usize| {
                let u = |place: usize| inputs.get(place).map_or(0.0, Input::standard_uncertainty);
                if row == column {
                    1.0
                } else if u(column) > 0.0 {
                    u(row) / u(column)
                } else {
                    0.0
                }
            };
            let rows = lower.iter().enumerate();
            Some(
                rows.map(|(i, row)| {
                    std::array::from_fn(|j| row.get(j).copied().unwrap_or(0.0) * scale(i, j))
                })
                .collect(),
            )
        };
        let mut place = 0;
        let marginals = inputs.each_ref().map(|input| {
            let tied = correlations
                .iter()
                .any(|tie| tie.first == place || tie.second == place);
            place += 1;
            Marginal {
                estimate: input.estimate,
                distribution: if tied {
                    input.distribution
                } else {
                    drawn_as(input)
                },
            }
        });
        Ok(Self { marginals, mixing })
    }

    /// Values of every input for `trials` trials, a column each; `columns` must be as long.
    ///
    /// Input after input, so that the distribution is looked at once a column and not once a draw; the numbers depend on
    /// nothing but the stream and the number of trials.
    pub fn draw<const B: usize>(
        &self,
        random: &mut Generator,
        columns: &mut [[f64; B]; N],
        trials: usize,
    ) {
        let trials = trials.min(B);
        for (column, marginal) in columns.iter_mut().zip(&self.marginals) {
            let (cells, _) = column.split_at_mut(trials);
            marginal.deviations(random, cells);
        }
        if let Some(mixing) = &self.mixing {
            let deviations = *columns;
            for (column, weights) in columns.iter_mut().zip(mixing) {
                column.fill(0.0);
                for (weight, other) in weights.iter().zip(&deviations) {
                    for (value, deviation) in column.iter_mut().zip(other) {
                        *value += weight * deviation;
                    }
                }
            }
        }
        for (column, marginal) in columns.iter_mut().zip(&self.marginals) {
            for value in column.iter_mut() {
                *value += marginal.estimate;
            }
        }
    }
}

impl Marginal {
    /// Deviations from the estimate (JCGM 101:2008, 6.4; the clause beside each).
    fn deviations(&self, random: &mut Generator, cells: &mut [f64]) {
        let cells = cells.iter_mut();
        match self.distribution {
            // 6.4.7
            Distribution::Normal {
                standard_uncertainty: 0.0,
            }
            | Distribution::Rectangular { half_width: 0.0 } => cells.for_each(|cell| *cell = 0.0),
            Distribution::Normal {
                standard_uncertainty,
            } => cells.for_each(|cell| *cell = standard_uncertainty * random.normal()),
            // 6.4.9
            Distribution::StudentT {
                standard_uncertainty,
                degrees_of_freedom,
            } => cells.for_each(|cell| {
                *cell = standard_uncertainty * random.student(degrees_of_freedom);
            }),
            // 6.4.2
            Distribution::Rectangular { half_width } => {
                cells.for_each(|cell| *cell = half_width * symmetric(random));
            }
            // 6.4.5
            Distribution::Triangular { half_width } => cells.for_each(|cell| {
                *cell = half_width * (random.uniform() + random.uniform() - 1.0);
            }),
            // 6.4.6
            Distribution::Arcsine { half_width } => cells.for_each(|cell| {
                *cell = half_width * libm::cos(TAU * random.uniform());
            }),
            // 6.4.4
            Distribution::Trapezoid { half_width, beta } => cells.for_each(|cell| {
                *cell = half_width
                    * 0.5
                    * ((1.0 + beta) * symmetric(random) + (1.0 - beta) * symmetric(random));
            }),
            // 6.4.3: the limits move together, by d r, and the middle stays.
            Distribution::CurvilinearTrapezoid {
                half_width,
                inexactness,
            } => cells.for_each(|cell| {
                *cell = (half_width + inexactness * symmetric(random)) * symmetric(random);
            }),
        }
    }
}

/// A normal input whose standard uncertainty is known with few degrees of freedom is drawn as Student t
/// (JCGM 101:2008, 6.4.9.2 and 6.4.9.7); the others as they are.
fn drawn_as(input: &Input) -> Distribution {
    match input.distribution {
        Distribution::Normal {
            standard_uncertainty,
        } if input.degrees_of_freedom.is_finite() => Distribution::StudentT {
            standard_uncertainty,
            degrees_of_freedom: input.degrees_of_freedom,
        },
        as_it_is => as_it_is,
    }
}

/// Rectangular between -1 and 1.
fn symmetric(random: &mut Generator) -> f64 {
    2.0 * random.uniform() - 1.0
}

/// What is wrong with an input, if anything.
fn check(input: &Input) -> Result<(), Undrawable> {
    if !input.estimate.is_finite() {
        return Err(Undrawable::Estimate);
    }
    let u = input.standard_uncertainty();
    if !(u.is_finite() && u >= 0.0) {
        return Err(Undrawable::StandardUncertainty);
    }
    match drawn_as(input) {
        Distribution::StudentT {
            degrees_of_freedom, ..
        } if degrees_of_freedom.is_nan() || degrees_of_freedom < 1.0 => {
            Err(Undrawable::DegreesOfFreedom)
        }
        Distribution::Trapezoid { beta, .. } if !(0.0..=1.0).contains(&beta) => {
            Err(Undrawable::TrapezoidTop)
        }
        Distribution::CurvilinearTrapezoid {
            half_width,
            inexactness,
        } if !(0.0..=half_width).contains(&inexactness) => Err(Undrawable::Inexactness),
        Distribution::Rectangular { half_width }
        | Distribution::Triangular { half_width }
        | Distribution::Arcsine { half_width }
        | Distribution::Trapezoid { half_width, .. }
        | Distribution::CurvilinearTrapezoid { half_width, .. }
            if half_width < 0.0 =>
        {
            Err(Undrawable::HalfWidth)
        }
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::uncertainty::statistics::Sample;

    const COUNT: usize = 50_000;

    fn drawn<const N: usize>(joint: &Joint<N>) -> Vec<[f64; N]> {
        let mut random = Generator::new(5, 0);
        let mut columns = [[0.0; 100]; N];
        let mut values = Vec::new();
        while values.len() < COUNT {
            joint.draw(&mut random, &mut columns, 100);
            values.extend((0..100).map(|trial| columns.map(|column| column[trial])));
        }
        values
    }

    #[test]
    fn drawn_spread_is_the_standard_uncertainty() {
        for distribution in [
            Distribution::Normal {
                standard_uncertainty: 2.0,
            },
            Distribution::Rectangular { half_width: 2.0 },
            Distribution::Triangular { half_width: 2.0 },
            Distribution::Arcsine { half_width: 2.0 },
            Distribution::Trapezoid {
                half_width: 2.0,
                beta: 0.3,
            },
            Distribution::CurvilinearTrapezoid {
                half_width: 2.0,
                inexactness: 1.5,
            },
        ] {
            let joint = Joint::new(&[Input::new("x", 10.0, distribution)], &[]).unwrap();
            let values: Vec<f64> = drawn(&joint).iter().map(|[x]| *x).collect();
            let sample = Sample::of(&values).unwrap();
            assert!(
                (sample.mean - 10.0).abs() < 0.03,
                "{distribution:?} {sample:?}"
            );
            let ratio = sample.standard_deviation / distribution.standard_uncertainty();
            assert!((ratio - 1.0).abs() < 0.01, "{distribution:?} {ratio}");
        }
    }

    #[test]
    fn correlated_inputs_are_drawn_so() {
        let inputs = [
            Input::normal("a", 0.0, 3.0),
            Input::normal("b", 0.0, 0.5),
            Input::normal("c", 0.0, 1.0),
        ];
        let tie = [Correlation {
            first: 0,
            second: 1,
            coefficient: -0.8,
        }];
        let values = drawn(&Joint::new(&inputs, &tie).unwrap());
        let product =
            |i: usize, j: usize| values.iter().map(|x| x[i] * x[j]).sum::<f64>() / COUNT as f64;
        assert!((product(0, 1) / (3.0 * 0.5) + 0.8).abs() < 0.02);
        assert!((product(0, 0).sqrt() - 3.0).abs() < 0.04);
        assert!((product(1, 1).sqrt() - 0.5).abs() < 0.01);
        assert!(product(0, 2).abs() < 0.05);
    }

    #[test]
    fn what_cannot_be_drawn_is_refused() {
        let refused =
            |distribution| Joint::new(&[Input::new("x", 0.0, distribution)], &[]).is_err();
        assert!(refused(Distribution::Normal {
            standard_uncertainty: f64::NAN
        }));
        assert!(refused(Distribution::Rectangular { half_width: -1.0 }));
        assert!(refused(Distribution::Trapezoid {
            half_width: -1.0,
            beta: 0.5
        }));
        assert!(refused(Distribution::Trapezoid {
            half_width: 1.0,
            beta: 1.5
        }));
        assert!(refused(Distribution::CurvilinearTrapezoid {
            half_width: 1.0,
            inexactness: 2.0
        }));
        assert!(refused(Distribution::StudentT {
            standard_uncertainty: 1.0,
            degrees_of_freedom: 0.0
        }));
        let inputs = [
            Input::normal("a", 0.0, 1.0),
            Input::new("b", 0.0, Distribution::Arcsine { half_width: 1.0 }),
        ];
        let tie = [Correlation {
            first: 0,
            second: 1,
            coefficient: 0.5,
        }];
        assert!(matches!(
            Joint::new(&inputs, &tie),
            Err(MonteCarloError::CorrelatedNotNormal { .. })
        ));
    }
}
