//! Effective degrees of freedom.

use super::Component;

/// Variance and effective degrees of freedom of independent parts, each a variance with its degrees of freedom: by the same
/// formulas, in the order of the parts.
pub fn independent(parts: impl Iterator<Item = (f64, f64)> + Clone) -> (f64, f64) {
    let variance = parts.clone().map(|(part, _)| part).sum::<f64>().max(0.0);
    let (mut weight, mut most) = (0.0, 0.0);
    for (part, degrees_of_freedom) in parts {
        let share = part / variance;
        if share > 0.0 {
            weight += share * share / degrees_of_freedom;
            most += degrees_of_freedom;
        }
    }
    (variance, effective(weight, most))
}

fn effective(weight: f64, most: f64) -> f64 {
    if weight > 0.0 {
        (1.0 / weight).min(most)
    } else {
        f64::INFINITY
    }
}

/// ν_eff = u⁴ / Σ Vg²/νg over groups of variance Vg, at most Σ νg (JCGM 100:2008, G.4.1, formulas G.2b and G.2c).
pub fn of_groups(variance: f64, components: &[Component], parts: &[f64], groups: &[usize]) -> f64 {
    let mut weight = 0.0;
    let mut most = 0.0;
    for place in 0..components.len() {
        let members = || {
            (components.iter().zip(parts).zip(groups))
                .filter(|(_, group)| **group == place)
                .map(|(member, _)| member)
        };
        let joint: f64 = members().map(|(_, part)| part).sum::<f64>() / variance;
        let fewest = members()
            .map(|(component, _)| component.degrees_of_freedom)
            .fold(f64::INFINITY, f64::min);
        if joint > 0.0 {
            weight += joint * joint / fewest;
            most += fewest;
        }
    }
    effective(weight, most)
}
