//! Scatter of the readings on the part: what the hand adds, and what the part is.
//!
//! Readings repeated at one place differ by repeatability alone; places differ by the form of the part as well. Where
//! both are known they are kept apart. Where each place was read once, repeatability is what the zero readings show,
//! and not less than is usual for such a set-up; what the places spread beyond it is form.

use crate::probability::f_upper_tail;
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
    /// Standard deviation of one reading at one place.
    pub repeatability: Option<Pooled>,
    /// Where that is known from.
    pub known_from: KnownFrom,
    /// Standard deviation of the place means.
    pub between_places: Option<Pooled>,
    /// How the places differ is what is measured, or each is another piece.
    pub form_is_measured: bool,
}

/// What tells the repeatability.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KnownFrom {
    /// Repeats at one place, with what was stated from earlier series.
    Readings,
    /// The zero readings, which scatter more than repeats at one place and more than is usual.
    ZeroReadings,
    /// What is usual for such a set-up, which is more than the readings show.
    Usual,
}

/// What is known of one reading besides the readings on the part.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Known {
    /// From earlier series, as stated.
    pub prior: Option<Pooled>,
    /// Scatter of the zero readings.
    pub zero: Option<Pooled>,
    /// Usual for such a set-up.
    pub usual: Option<Pooled>,
    /// How the places differ is what is measured, or each is another piece.
    pub form_is_measured: bool,
}

/// A standard uncertainty and its degrees of freedom.
pub type TypeA = (f64, f64);

impl Scatter {
    /// From readings in millimetres, one list for each place, and what is known of one reading besides.
    ///
    /// What was stated from earlier series counts together with repeats at one place. Where nothing was stated, the
    /// largest counts of what repeats show, what the zero readings show, and what is usual: two repeats that agree by luck
    /// prove nothing.
    ///
    /// `None` when there is no reading, or only one and nothing stated from before.
    pub fn of(places: &[Vec<f64>], known: Known) -> Option<Self> {
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
        let groups: Vec<Pooled> = repeats.chain(known.prior).collect();
        let shown = Pooled::of(&groups);
        let unless_stated = |other: Option<Pooled>| other.filter(|_| known.prior.is_none());
        let largest = [
            (shown, KnownFrom::Readings),
            (unless_stated(known.zero), KnownFrom::ZeroReadings),
            (unless_stated(known.usual), KnownFrom::Usual),
        ]
        .into_iter()
        .filter_map(|(pooled, from)| Some((pooled?, from)))
        .max_by(|(one, _), (other, _)| one.standard_deviation.total_cmp(&other.standard_deviation));
        let scatter = Self {
            mean: mean(&place_means)?,
            repeatability: largest.map(|(pooled, _)| pooled),
            known_from: largest.map_or(KnownFrom::Readings, |(_, from)| from),
            between_places: Sample::of(&place_means).map(Pooled::from),
            form_is_measured: known.form_is_measured,
            place_means,
            place_counts,
        };
        (shown.is_some() || scatter.between_places.is_some()).then_some(scatter)
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
    ///
    /// Two or three places that agree by luck prove no form: up to the `usual` form between places the spread counts
    /// together with that, each with its degrees of freedom; a larger one counts alone.
    pub fn form_of_mean(&self, usual: Option<Pooled>) -> Option<TypeA> {
        let seen = self.form_seen()?;
        let form = match usual {
            Some(usual) if self.has_usual_form(usual) => Pooled::of(&[seen, usual])?,
            _ => seen,
        };
        Some((
            form.standard_uncertainty_of_mean(self.place_means.len()),
            form.degrees_of_freedom,
        ))
    }

    /// Whether the places show no more form than is usual.
    pub fn has_usual_form(&self, usual: Pooled) -> bool {
        self.form_seen()
            .is_some_and(|seen| seen.standard_deviation <= usual.standard_deviation)
    }

    /// What the spread between places holds beyond repeatability.
    fn form_seen(&self) -> Option<Pooled> {
        let between = self.between_places?;
        let places = self.place_means.len();
        let whole = between.standard_uncertainty_of_mean(places);
        let repeatability = self.repeatability_of_mean().map_or(0.0, |(u, _)| u);
        let rest = (whole * whole - repeatability * repeatability)
            .max(0.0)
            .sqrt();
        Some(Pooled {
            standard_deviation: rest * (places as f64).sqrt(),
            ..between
        })
    }

    /// Scatter of the mean at one place: repeatability, or (where it is not known on its own) the spread of all
    /// readings, which is the larger; times [`choice`] for the number of places.
    pub fn at_place(&self, place: usize) -> Option<TypeA> {
        self.at_chosen_place(place, choice(self.place_counts.len()))
    }

    /// The same with what [`choice`] says of the number of places.
    pub fn at_chosen_place(&self, place: usize, choice: f64) -> Option<TypeA> {
        let pooled = self.own_scatter()?;
        let count = self
            .place_counts
            .get(place)
            .copied()
            .filter(|count| *count > 0)?;
        Some((
            pooled.standard_uncertainty_of_mean(count) * choice,
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

    /// Scatter of one reading at its place. Where neither repeats nor earlier series tell it, the spread of all readings may
    /// be scatter as well as form, unless form is what is measured: the larger counts.
    fn own_scatter(&self) -> Option<Pooled> {
        let told = self.known_from == KnownFrom::Readings || self.form_is_measured;
        let spread = self.between_places.filter(|_| !told);
        [self.repeatability.or(self.between_places), spread]
            .into_iter()
            .flatten()
            .max_by(|one, other| one.standard_deviation.total_cmp(&other.standard_deviation))
    }

    /// With so many more readings, shared out among these places, that scatter as those that were taken.
    pub fn with_readings(&self, at: &[usize], more: usize) -> Self {
        let mut with = self.clone();
        for (index, place) in at.iter().enumerate() {
            if let Some(count) = with.place_counts.get_mut(*place) {
                *count += (more + at.len() - 1 - index) / at.len();
            }
        }
        with.knows_more(more);
        with
    }

    /// With so many more places, read as often and as different from each other as those that were measured.
    pub fn with_places(&self, more: usize) -> Self {
        let mut with = self.clone();
        let counts: Vec<usize> = self
            .place_counts
            .iter()
            .copied()
            .cycle()
            .take(more)
            .collect();
        with.knows_more(counts.iter().map(|count| count - 1).sum());
        with.place_counts.extend(counts);
        with.place_means.resize(with.place_counts.len(), self.mean);
        if let Some(between) = &mut with.between_places {
            between.degrees_of_freedom += more as f64;
        }
        with
    }

    /// So many more repeats tell the repeatability, where it is repeats that tell it.
    fn knows_more(&mut self, repeats: usize) {
        if self.known_from == KnownFrom::Readings
            && let Some(pooled) = &mut self.repeatability
        {
            pooled.degrees_of_freedom += repeats as f64;
        }
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

/// The repeats of each place, pooled; none where no place has two.
pub fn repeats<'a>(places: impl IntoIterator<Item = &'a [f64]>) -> Option<Pooled> {
    let samples = places.into_iter().filter_map(Sample::of);
    let all: Vec<Pooled> = samples.map(Pooled::from).collect();
    Pooled::of(&all)
}

/// The largest of these standard deviations that is more than chance makes of what is allowed, which it does with so small a
/// probability (F test of the ratio of the variances).
pub fn beyond(
    allowed: Pooled,
    shown: impl IntoIterator<Item = Pooled>,
    by_chance: f64,
) -> Option<f64> {
    let beyond = shown.into_iter().filter(|shown| {
        let ratio = shown.standard_deviation / allowed.standard_deviation;
        ratio > 1.0
            && f_upper_tail(
                ratio * ratio,
                shown.degrees_of_freedom,
                allowed.degrees_of_freedom,
            ) < by_chance
    });
    beyond
        .map(|shown| shown.standard_deviation)
        .max_by(f64::total_cmp)
}

/// What the scatter at one place counts for more when that place is chosen by its reading out of `places`.
///
/// The place that reads nearest to a limit is, more likely than not, one that chance has moved there: of nine places
/// alike, the extreme reading lies 1.5 standard deviations off. So the scatter is widened until the intervals of *all*
/// places hold their truths together with the stated probability, whichever is chosen: the quantile of
/// `1 − 0.05/(2m)` in place of that of 0.975 (Bonferroni's inequality; normal quantiles).
pub fn choice(places: usize) -> f64 {
    const TAIL: f64 = 0.025;
    normal_quantile(TAIL / places.max(1) as f64) / normal_quantile(TAIL)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stated(prior: Pooled) -> Known {
        Known {
            prior: Some(prior),
            ..Known::default()
        }
    }

    #[test]
    fn single_readings_stand_together() {
        // s = 3 µm of three readings: s/√3 with 2 degrees of freedom, by hand.
        let scatter =
            Scatter::of(&[vec![8.868], vec![8.874], vec![8.871]], Known::default()).unwrap();
        let (u, dof) = scatter.form_of_mean(None).unwrap();
        assert!((u - 0.003 / 3f64.sqrt()).abs() < 1e-12);
        assert_eq!(dof, 2.0);
        assert_eq!(scatter.repeatability_of_mean(), None);
        // One of three places: the normal quantile of 1 - 0.025/3 over that of 0.975, 2.3940/1.9600 (tables).
        let at_place = scatter.at_place(0).unwrap().0;
        assert!((at_place - 0.003 * 2.3940 / 1.9600).abs() < 1e-7);
        let alone = Scatter::of(&[vec![8.868, 8.874, 8.871]], Known::default()).unwrap();
        assert!((alone.at_place(0).unwrap().0 - 0.003 / 3f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn a_prior_takes_its_share() {
        let prior = Pooled {
            standard_deviation: 0.001,
            degrees_of_freedom: 24.0,
        };
        let scatter = Scatter::of(&[vec![8.868], vec![8.874], vec![8.871]], stated(prior)).unwrap();
        let (repeatability, dof) = scatter.repeatability_of_mean().unwrap();
        assert!((repeatability - 0.001 / 3f64.sqrt()).abs() < 1e-12);
        assert_eq!(dof, 24.0);
        let (form, _) = scatter.form_of_mean(None).unwrap();
        assert!((libm::hypot(form, repeatability) - 0.003 / 3f64.sqrt()).abs() < 1e-12);
        assert!((scatter.at_place(1).unwrap().0 - 0.001 * 2.3940 / 1.9600).abs() < 1e-7);
    }

    #[test]
    fn repeats_at_one_place() {
        let scatter =
            Scatter::of(&[vec![5.0, 5.002], vec![5.01, 5.012]], Known::default()).unwrap();
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
        assert_eq!(Scatter::of(&[vec![5.0]], Known::default()), None);
        assert_eq!(
            Scatter::of(
                &[],
                stated(Pooled {
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
        assert!(Scatter::of(&[vec![5.0]], stated(prior)).is_some());
    }

    #[test]
    fn repeats_that_agree_by_luck_prove_nothing() {
        let pooled = |standard_deviation, degrees_of_freedom| Pooled {
            standard_deviation,
            degrees_of_freedom,
        };
        let known = Known {
            zero: Some(pooled(0.0008, 4.0)),
            usual: Some(pooled(0.001, 10.0)),
            ..Known::default()
        };
        let of = |places: &[Vec<f64>], known| Scatter::of(places, known).unwrap();
        let agree = of(&[vec![5.0, 5.0]], known);
        assert_eq!(agree.repeatability, Some(pooled(0.001, 10.0)));
        assert_eq!(agree.known_from, KnownFrom::Usual);
        let zero = Some(pooled(0.002, 4.0));
        let rough = of(&[vec![5.0], vec![5.001]], Known { zero, ..known });
        assert_eq!(rough.known_from, KnownFrom::ZeroReadings);
        let apart = of(&[vec![5.0, 5.01]], known);
        assert_eq!(apart.known_from, KnownFrom::Readings);
        // What was stated is not overruled.
        let prior = Some(pooled(0.0005, 24.0));
        let stated = of(&[vec![5.0], vec![5.0]], Known { prior, ..known });
        assert_eq!(stated.repeatability, prior);
    }

    #[test]
    fn two_places_that_agree_by_luck_have_the_usual_form() {
        let usual = Pooled {
            standard_deviation: 0.003,
            degrees_of_freedom: 3.0,
        };
        let two = |second| {
            let scatter = Scatter::of(&[vec![5.0], vec![second]], Known::default()).unwrap();
            scatter.form_of_mean(Some(usual)).unwrap()
        };
        // (3 · 3² + 1 · 0²)/4 = 2.598², over √2.
        let (u, dof) = two(5.0);
        assert!((u - 0.002_598_076 / 2f64.sqrt()).abs() < 1e-8);
        assert_eq!(dof, 4.0);
        // 10 µm apart: more than usual, and it stands alone.
        let (u, dof) = two(5.010);
        assert!((u - 0.005).abs() < 1e-12);
        assert_eq!(dof, 1.0);
    }
}
