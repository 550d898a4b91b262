//! Scatter of the readings on the part: what the hand adds, and what the part is.
//!
//! Readings repeated at one place differ by repeatability alone; places differ by the form of the part as well. Where
//! both are known they are kept apart; where each place was read once, and nothing is known from before, they stand
//! together as one spread.

use crate::uncertainty::normal_quantile;
use crate::uncertainty::statistics::{Pooled, Sample, mean};

/// Readings of the part, place by place, and what their scatter tells.
#[derive(Clone, Debug, PartialEq)]
pub struct Scatter {
    /// Mean of each place, millimetres as shown.
    pub place_means: Vec<f64>,
    /// How many readings each place has.
    pub place_counts: Vec<usize>,
    /// Mean over the places, millimetres as shown.
    pub mean: f64,
    /// Standard deviation of one reading at one place, from repeats and earlier series.
    pub repeatability: Option<Pooled>,
    /// Standard deviation of the place means.
    pub between_places: Option<Pooled>,
}

/// A standard uncertainty and its degrees of freedom.
pub type TypeA = (f64, f64);

impl Scatter {
    /// From readings in millimetres, one list for each place, and what is known of one reading from before.
    ///
    /// `None` when there is no reading, or only one and nothing known from before.
    pub fn of(places: &[Vec<f64>], prior: Option<Pooled>) -> Option<Self> {
        let place_means: Vec<f64> = places.iter().filter_map(|place| mean(place)).collect();
        let place_counts: Vec<usize> = places
            .iter()
            .map(Vec::len)
            .filter(|count| *count > 0)
            .collect();
        let repeats = places
            .iter()
            .filter_map(|place| Sample::of(place))
            .map(Pooled::from);
        let groups: Vec<Pooled> = repeats.chain(prior).collect();
        let scatter = Self {
            mean: mean(&place_means)?,
            repeatability: Pooled::of(&groups),
            between_places: Sample::of(&place_means).map(Pooled::from),
            place_means,
            place_counts,
        };
        (scatter.repeatability.is_some() || scatter.between_places.is_some()).then_some(scatter)
    }

    /// Repeatability in the mean over all places: `s_r √(Σ 1/n_g) / m`, with `m` places of `n_g` readings
    /// (JCGM 100:2008, 4.2.3 and 5.1.2).
    pub fn repeatability_of_mean(&self) -> Option<TypeA> {
        let pooled = self.repeatability?;
        Some((
            pooled.standard_deviation * self.mean_weight(),
            pooled.degrees_of_freedom,
        ))
    }

    /// Form of the part in the mean over all places: what the spread between places holds beyond repeatability.
    ///
    /// With `s_b` the standard deviation of the place means, `u² = s_b²/m` less the repeatability that is already in
    /// it; the whole spread where repeatability is not known on its own.
    pub fn form_of_mean(&self) -> Option<TypeA> {
        let between = self.between_places?;
        let whole = between.standard_uncertainty_of_mean(self.place_means.len());
        let repeatability = self.repeatability_of_mean().map_or(0.0, |(u, _)| u);
        let rest = (whole * whole - repeatability * repeatability)
            .max(0.0)
            .sqrt();
        Some((rest, between.degrees_of_freedom))
    }

    /// Scatter of the mean at one place: repeatability, or (where it is not known on its own) the spread of all
    /// readings, which is the larger; times [`choice`] for the number of places.
    pub fn at_place(&self, place: usize) -> Option<TypeA> {
        let pooled = self.repeatability.or(self.between_places)?;
        let count = self
            .place_counts
            .get(place)
            .copied()
            .filter(|count| *count > 0)?;
        Some((
            pooled.standard_uncertainty_of_mean(count) * choice(self.place_counts.len()),
            pooled.degrees_of_freedom,
        ))
    }

    /// Scatter of the mean of two places, chosen out of so many pairs; see [`Scatter::at_place`].
    pub fn across(&self, one: usize, other: usize, pairs: usize) -> Option<TypeA> {
        let (u_one, degrees_of_freedom) = self.at_place(one)?;
        let (u_other, _) = self.at_place(other)?;
        let chosen = choice(pairs) / choice(self.place_counts.len());
        Some((
            libm::hypot(u_one, u_other) / 2.0 * chosen,
            degrees_of_freedom,
        ))
    }

    fn mean_weight(&self) -> f64 {
        let sum: f64 = self
            .place_counts
            .iter()
            .map(|count| 1.0 / *count as f64)
            .sum();
        sum.sqrt() / self.place_counts.len() as f64
    }
}

/// What the scatter at one place counts for more when that place is chosen by its reading out of `places`.
///
/// The place that reads nearest to a limit is, more likely than not, one that chance has moved there: of nine places
/// alike, the extreme reading lies 1.5 standard deviations off. So the scatter is widened until the intervals of *all*
/// places hold their truths together with the stated probability, whichever is chosen: the quantile of
/// `1 − 0.05/(2m)` in place of that of 0.975 (Bonferroni's inequality; normal quantiles).
fn choice(places: usize) -> f64 {
    const TAIL: f64 = 0.025;
    normal_quantile(TAIL / places.max(1) as f64) / normal_quantile(TAIL)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn single_readings_stand_together() {
        // s = 3 µm of three readings: s/√3 with 2 degrees of freedom, by hand.
        let scatter = Scatter::of(&[vec![8.868], vec![8.874], vec![8.871]], None).unwrap();
        let (u, dof) = scatter.form_of_mean().unwrap();
        assert!((u - 0.003 / 3f64.sqrt()).abs() < 1e-12);
        assert_eq!(dof, 2.0);
        assert_eq!(scatter.repeatability_of_mean(), None);
        // One of three places: the normal quantile of 1 - 0.025/3 over that of 0.975, 2.3940/1.9600 (tables).
        let at_place = scatter.at_place(0).unwrap().0;
        assert!((at_place - 0.003 * 2.3940 / 1.9600).abs() < 1e-7);
        let alone = Scatter::of(&[vec![8.868, 8.874, 8.871]], None).unwrap();
        assert!((alone.at_place(0).unwrap().0 - 0.003 / 3f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn a_prior_takes_its_share() {
        let prior = Pooled {
            standard_deviation: 0.001,
            degrees_of_freedom: 24.0,
        };
        let scatter = Scatter::of(&[vec![8.868], vec![8.874], vec![8.871]], Some(prior)).unwrap();
        let (repeatability, dof) = scatter.repeatability_of_mean().unwrap();
        assert!((repeatability - 0.001 / 3f64.sqrt()).abs() < 1e-12);
        assert_eq!(dof, 24.0);
        let (form, _) = scatter.form_of_mean().unwrap();
        assert!((libm::hypot(form, repeatability) - 0.003 / 3f64.sqrt()).abs() < 1e-12);
        assert!((scatter.at_place(1).unwrap().0 - 0.001 * 2.3940 / 1.9600).abs() < 1e-7);
    }

    #[test]
    fn repeats_at_one_place() {
        let scatter = Scatter::of(&[vec![5.0, 5.002], vec![5.01, 5.012]], None).unwrap();
        let pooled = scatter.repeatability.unwrap();
        assert_eq!(pooled.degrees_of_freedom, 2.0);
        assert!((pooled.standard_deviation - 0.002 / 2f64.sqrt()).abs() < 1e-12);
        assert!((scatter.mean - 5.006).abs() < 1e-12);
        // Four readings in all: s/√4.
        assert!(
            (scatter.repeatability_of_mean().unwrap().0 - pooled.standard_deviation / 2.0).abs()
                < 1e-12
        );
    }

    #[test]
    fn one_reading_tells_nothing_of_its_scatter() {
        assert_eq!(Scatter::of(&[vec![5.0]], None), None);
        assert_eq!(
            Scatter::of(
                &[],
                Some(Pooled {
                    standard_deviation: 1.0,
                    degrees_of_freedom: 9.0
                })
            ),
            None
        );
        let prior = Pooled {
            standard_deviation: 0.001,
            degrees_of_freedom: 24.0,
        };
        assert!(Scatter::of(&[vec![5.0]], Some(prior)).is_some());
    }
}
