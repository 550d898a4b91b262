//! What the bend of a model adds to the uncertainty of its result.

use super::Component;
use crate::uncertainty::Model;

/// The second-order part of the variance for independent inputs (JCGM 100:2008, 5.1.2 note; symmetric
/// distributions).
pub(super) fn second_order_variance<const N: usize>(
    model: &impl Model<N>,
    at: [f64; N],
    components: &[Component],
) -> f64 {
    let mut sum = 0.0;
    each_term(model, at, components, |term| sum += term);
    sum
}

/// No less than that, whatever the signs of its terms.
pub fn second_order_bound<const N: usize>(
    model: &impl Model<N>,
    at: [f64; N],
    components: &[Component],
) -> f64 {
    let mut sum = 0.0;
    each_term(model, at, components, |term: f64| sum += term.abs());
    sum
}

fn each_term<const N: usize>(
    model: &impl Model<N>,
    at: [f64; N],
    components: &[Component],
    mut take: impl FnMut(f64),
) {
    for (i, one) in components.iter().enumerate() {
        for (j, other) in components.iter().enumerate() {
            let spread = one.standard_uncertainty * other.standard_uncertainty;
            if spread > 0.0 && !model.is_linear_in(i, j) {
                let (second, third) = model.higher_derivatives(at, i, j);
                take((0.5 * second * second + one.sensitivity * third) * spread * spread);
            }
        }
    }
}
