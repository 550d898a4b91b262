//! Mean and standard deviation of repeated readings.

/// What repeated readings of one quantity give: a Type A evaluation.
///
/// Source: JCGM 100:2008, 4.2.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// How many readings.
    pub count: usize,
    /// Their mean, in their unit.
    pub mean: f64,
    /// Their experimental standard deviation, in their unit.
    pub standard_deviation: f64,
}

impl Sample {
    /// From at least two readings; `None` for fewer.
    pub fn of(readings: &[f64]) -> Option<Self> {
        Some(Self {
            count: readings.len(),
            mean: mean(readings)?,
            standard_deviation: standard_deviation(readings)?,
        })
    }

    /// Standard uncertainty of the mean, s/√n (JCGM 100:2008, 4.2.3).
    pub fn standard_uncertainty(&self) -> f64 {
        self.standard_deviation / (self.count as f64).sqrt()
    }

    /// Degrees of freedom, n - 1 (JCGM 100:2008, 4.2.6).
    pub fn degrees_of_freedom(&self) -> f64 {
        self.count as f64 - 1.0
    }
}

/// A standard deviation known from earlier readings, with the degrees of freedom it was found with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pooled {
    /// In the unit of the readings.
    pub standard_deviation: f64,
    /// Degrees of freedom of the estimate: those of the earlier readings, not of today's.
    pub degrees_of_freedom: f64,
}

impl Pooled {
    /// Pools several standard deviations, each weighted with its degrees of freedom; `None` when there are none.
    ///
    /// Source: JCGM 100:2008, 4.2.4 and H.3.6 note.
    pub fn of(groups: &[Self]) -> Option<Self> {
        let degrees_of_freedom: f64 = groups.iter().map(|group| group.degrees_of_freedom).sum();
        let squares: f64 = groups
            .iter()
            .map(|group| {
                group.degrees_of_freedom * group.standard_deviation * group.standard_deviation
            })
            .sum();
        (degrees_of_freedom > 0.0).then(|| Self {
            standard_deviation: (squares / degrees_of_freedom).sqrt(),
            degrees_of_freedom,
        })
    }

    /// Standard uncertainty of the mean of `count` new readings, s/√n; the degrees of freedom stay those of the pool.
    ///
    /// Source: JCGM 100:2008, 4.2.4 and H.1.6.
    pub fn standard_uncertainty_of_mean(&self, count: usize) -> f64 {
        self.standard_deviation / (count as f64).sqrt()
    }
}

impl From<Sample> for Pooled {
    fn from(sample: Sample) -> Self {
        Self {
            standard_deviation: sample.standard_deviation,
            degrees_of_freedom: sample.degrees_of_freedom(),
        }
    }
}

/// The arithmetic mean; `None` of nothing.
pub fn mean(readings: &[f64]) -> Option<f64> {
    let origin = *readings.first()?;
    Some(origin + mean_from(origin, readings))
}

/// The experimental standard deviation (divisor n - 1); `None` of fewer than two readings.
///
/// Two passes over differences from a working origin: readings of a thread share their leading digits, and
/// the difference of two sums of squares would lose them (JCGM 101:2008, 7.6 note).
pub fn standard_deviation(readings: &[f64]) -> Option<f64> {
    let origin = *readings.first()?;
    if readings.len() < 2 {
        return None;
    }
    let mean = mean_from(origin, readings);
    let (mut sum, mut squares) = (0.0, 0.0);
    for reading in readings {
        let deviation = (reading - origin) - mean;
        sum += deviation;
        squares += deviation * deviation;
    }
    let count = readings.len() as f64;
    // `sum` would be zero without rounding; its square takes out what rounding of the mean brought in.
    Some(((squares - sum * sum / count).max(0.0) / (count - 1.0)).sqrt())
}

/// Smallest and largest; `None` of nothing.
pub fn extremes(values: &[f64]) -> Option<(f64, f64)> {
    let first = *values.first()?;
    Some(values.iter().fold((first, first), |(least, most), value| {
        (least.min(*value), most.max(*value))
    }))
}

/// The mean distance of the readings from a working origin.
fn mean_from(origin: f64, readings: &[f64]) -> f64 {
    let sum: f64 = readings.iter().map(|reading| reading - origin).sum();
    sum / readings.len() as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn leading_digits_do_not_hurt() {
        // Same spread, with and without a million in front (the idea of the NIST StRD sets NumAcc2-4).
        let small = [0.2, 0.1, 0.3, 0.1, 0.3];
        let large = small.map(|x| x + 1_000_000.0);
        let s = standard_deviation(&small).unwrap();
        assert!((s - 0.1).abs() < 1e-15);
        assert!((standard_deviation(&large).unwrap() - s).abs() < 1e-9);
        assert!((mean(&large).unwrap() - 1_000_000.2).abs() < 1e-9);
    }

    #[test]
    fn too_few_readings_give_nothing() {
        assert_eq!(mean(&[]), None);
        assert_eq!(standard_deviation(&[1.0]), None);
        assert_eq!(Sample::of(&[1.0]), None);
        assert_eq!(Pooled::of(&[]), None);
    }

    #[test]
    fn pool_weights_by_degrees_of_freedom() {
        // s² = (4·1 + 12·4)/16 = 3.25, by hand.
        let pool = Pooled::of(&[
            Pooled {
                standard_deviation: 1.0,
                degrees_of_freedom: 4.0,
            },
            Pooled {
                standard_deviation: 2.0,
                degrees_of_freedom: 12.0,
            },
        ])
        .unwrap();
        assert_eq!(pool.degrees_of_freedom, 16.0);
        assert!((pool.standard_deviation - 3.25_f64.sqrt()).abs() < 1e-15);
    }

    #[test]
    fn pooled_spread_keeps_its_degrees_of_freedom() {
        // JCGM 100:2008, H.1.3.2 and H.1.6: s_p = 13 nm of 25 readings, mean of 5: 5.8 nm with 24.
        let pool = Pooled {
            standard_deviation: 13.0,
            degrees_of_freedom: 24.0,
        };
        assert!((pool.standard_uncertainty_of_mean(5) - 5.8).abs() < 0.05);
    }
}
