//! The error curve of a micrometer, from its calibration certificate.

use crate::units::Length;

/// Errors of indication at rising sizes; error = indicated − true.
#[derive(Clone, Debug, PartialEq)]
pub struct ErrorCurve {
    points: Vec<(Length, Length)>,
}

crate::messages! {
    /// Why a list of points is no curve, or a curve no answer.
    #[derive(Eq)]
    pub enum CurveError "error-curve" {
        /// One point or none.
        TooFewPoints "too-few-points" { n: usize as count },
        /// Not in rising order: a size, and the larger or equal one that it follows.
        NotRising "not-rising" { size: Length as bound, after: Length as bound },
        /// Asked outside its span.
        NotCovered "not-covered" { at: Length as bound, first: Length as bound, last: Length as bound },
    }
}

impl ErrorCurve {
    /// From points `(size, error)` in rising order of size.
    pub fn new(points: Vec<(Length, Length)>) -> Result<Self, CurveError> {
        if points.len() < 2 {
            return Err(CurveError::TooFewPoints { n: points.len() });
        }
        for pair in points.windows(2) {
            if let [(earlier, _), (later, _)] = pair
                && later <= earlier
            {
                return Err(CurveError::NotRising {
                    size: *later,
                    after: *earlier,
                });
            }
        }
        Ok(Self { points })
    }

    /// Whether a size lies within the calibrated span.
    pub fn covers(&self, at: Length) -> bool {
        self.place(at).is_ok()
    }

    /// The error at a size, millimetres, on the straight line between the neighbouring points.
    ///
    /// `e(x) = e_i + (x − x_i)(e_{i+1} − e_i)/(x_{i+1} − x_i)`; outside the calibrated span it refuses.
    pub fn error_at(&self, at: Length) -> Result<f64, CurveError> {
        let (before, share) = self.place(at)?;
        let error = |index: usize| self.points.get(index).map(|point| point.1.mm());
        let here = error(before).unwrap_or_default();
        // At the last point there is no next, and nothing of it is needed.
        let next = error(before + 1).unwrap_or(here);
        Ok(here + share * (next - here))
    }

    /// What the difference of the errors at two sizes makes of the uncertainty of the points: u(difference) is this
    /// times u(point).
    ///
    /// Each error is a weighted mean of two points, with errors of their own (JCGM 100:2008, 5.1.2): 0 for one and the
    /// same size, √2 for two points. What the points have in common falls out of the difference in any case.
    pub fn difference_factor(&self, one: Length, other: Length) -> Result<f64, CurveError> {
        let mut weights = vec![0.0; self.points.len()];
        for (at, sign) in [(one, 1.0), (other, -1.0)] {
            let (before, share) = self.place(at)?;
            for (index, weight) in [(before, 1.0 - share), (before + 1, share)] {
                if let Some(sum) = weights.get_mut(index) {
                    *sum += sign * weight;
                }
            }
        }
        Ok(weights
            .iter()
            .map(|weight| weight * weight)
            .sum::<f64>()
            .sqrt())
    }

    /// The point at or before a size, and how far on the way to the next it lies, 0 to 1.
    fn place(&self, at: Length) -> Result<(usize, f64), CurveError> {
        let next = self.points.partition_point(|(size, _)| *size < at);
        let not_covered = || CurveError::NotCovered {
            at,
            first: self.points.first().map_or(Length::ZERO, |point| point.0),
            last: self.points.last().map_or(Length::ZERO, |point| point.0),
        };
        let &(x1, _) = self.points.get(next).ok_or_else(not_covered)?;
        if x1 == at {
            return Ok((next, 0.0));
        }
        let before = next.checked_sub(1).ok_or_else(not_covered)?;
        let &(x0, _) = self.points.get(before).ok_or_else(not_covered)?;
        Ok((before, (at - x0).mm() / (x1 - x0).mm()))
    }

    /// How far the true error may leave the straight line between points, millimetres (half-width): an eighth of the
    /// largest second difference of the curve.
    ///
    /// For a smooth curve `e(x)` with points `h` apart the chord errs by at most `h²|e″|/8`. Source: elementary
    /// geometry.
    pub fn interpolation_limit(&self) -> f64 {
        self.points
            .windows(3)
            .filter_map(|three| match three {
                [(_, a), (_, b), (_, c)] => Some((a.mm() - 2.0 * b.mm() + c.mm()).abs() / 8.0),
                _ => None,
            })
            .fold(0.0, f64::max)
    }

    /// The widest part of one turn of the screw that no point lies in, as a fraction of the turn (millimetres): 1 where all
    /// points fall on whole turns, and the periodic error of the screw shows in none.
    pub fn widest_gap(&self, turn_mm: f64) -> f64 {
        let mut phases: Vec<f64> = self
            .points
            .iter()
            .map(|(at, _)| at.mm() / turn_mm)
            .map(|turns| turns - libm::floor(turns))
            .collect();
        phases.sort_by(f64::total_cmp);
        let around = phases.first().map(|first| first + 1.0);
        phases.extend(around);
        phases
            .windows(2)
            .filter_map(|two| match two {
                [one, next] => Some(next - one),
                _ => None,
            })
            .fold(0.0, f64::max)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn um(count: i32) -> Length {
        Length::from_micrometres(count)
    }

    /// Between points and at them; arithmetic by hand.
    #[test]
    fn straight_line_between_points() {
        let curve =
            ErrorCurve::new(vec![(um(0), um(0)), (um(2500), um(1)), (um(5100), um(-1))]).unwrap();
        assert_eq!(curve.error_at(um(2500)).unwrap(), 0.001);
        assert!((curve.error_at(um(3800)).unwrap() - 0.0).abs() < 1e-12);
        assert!((curve.error_at(um(1250)).unwrap() - 0.0005).abs() < 1e-12);
        assert!((curve.interpolation_limit() - 0.003 / 8.0).abs() < 1e-12);
        // Weights by hand: at 3800 half of each point, at 0 the first alone.
        let factor = |one, other| curve.difference_factor(um(one), um(other)).unwrap();
        assert_eq!(factor(3800, 3800), 0.0);
        assert!((factor(0, 2500) - 2f64.sqrt()).abs() < 1e-12);
        assert!((factor(3800, 0) - 1.5f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn points_all_around_the_turn_show_the_periodic_error() {
        let curve =
            |at: &[i32]| ErrorCurve::new(at.iter().map(|at| (um(*at), um(0))).collect()).unwrap();
        let iso = curve(&[
            0, 2500, 5100, 7700, 10_300, 12_900, 15_000, 17_600, 20_200, 22_800, 25_000,
        ]);
        assert!((iso.widest_gap(0.5) - 0.2).abs() < 1e-9);
        assert!((curve(&[0, 5000, 10_000, 25_000]).widest_gap(0.5) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn refuses_outside_its_span() {
        let curve = ErrorCurve::new(vec![(um(2500), um(0)), (um(5100), um(1))]).unwrap();
        assert!(matches!(
            curve.error_at(um(2400)),
            Err(CurveError::NotCovered { .. })
        ));
        assert!(matches!(
            curve.error_at(um(5101)),
            Err(CurveError::NotCovered { .. })
        ));
        assert!(ErrorCurve::new(vec![(um(1), um(0))]).is_err());
        assert!(ErrorCurve::new(vec![(um(1), um(0)), (um(1), um(0))]).is_err());
    }
}
