//! Flatness and parallelism of the measuring faces, by interference bands, by a ball, or as stated.

use super::criterion::{Guard, Shape, Uncertain, verdict};
use crate::decision::{DecisionError, Verdict};
use crate::uncertainty::Distribution;
use crate::units::{Entered, Length};

/// How a form of the faces was found.
#[derive(Clone, Debug, PartialEq)]
pub enum FormFound {
    /// So many interference bands under an optical flat, each half a wavelength; of parallelism those of both faces together,
    /// on the flat of the four that shows most.
    Bands {
        /// How many.
        count: f64,
        /// Wavelength of the light.
        wavelength: Entered,
    },
    /// A ball or narrow block at several places of the faces.
    Ball { readings: Vec<Entered> },
    /// Stated, by another way.
    Stated {
        value: Entered,
        /// Its standard uncertainty.
        standard_uncertainty: Entered,
    },
}

/// A deviation of form and its limit.
#[derive(Clone, Debug, PartialEq)]
pub struct FormJudged {
    /// Millimetres.
    pub value: f64,
    /// Millimetres.
    pub standard_uncertainty: f64,
    /// Millimetres.
    pub limit: f64,
    /// Without a guard band.
    pub simple: Verdict,
    /// With one.
    pub guarded: Verdict,
}

/// Bands are read to within a fifth of one (half-width; common practice, no source).
const BAND_READ: f64 = 0.2;

/// The deviation that was found; `step` is one step of the display.
pub fn deviation(found: &FormFound, step: Length) -> Uncertain {
    let (value, standard_uncertainty) = match found {
        FormFound::Bands { count, wavelength } => {
            let band = wavelength.value().mm() / 2.0;
            let half_width = BAND_READ * band;
            let u = Distribution::Rectangular { half_width }.standard_uncertainty();
            (count * band, u)
        }
        FormFound::Ball { readings } => {
            let most = readings.iter().map(Entered::value).max();
            let least = readings.iter().map(Entered::value).min();
            let range = most
                .zip(least)
                .map_or(0.0, |(most, least)| (most - least).mm());
            let half_width = step.mm() / 2.0;
            let of_one = Distribution::Rectangular { half_width }.standard_uncertainty();
            (range, of_one * std::f64::consts::SQRT_2)
        }
        FormFound::Stated {
            value,
            standard_uncertainty,
        } => (value.value().mm(), standard_uncertainty.value().mm()),
    };
    Uncertain {
        value,
        standard_uncertainty,
        degrees_of_freedom: f64::INFINITY,
    }
}

/// A deviation held against its limit.
pub fn judge(found: &FormFound, step: Length, limit: Length) -> Result<FormJudged, DecisionError> {
    let of = deviation(found, step);
    let by = |guard| verdict(of, Shape::Span, limit, guard);
    Ok(FormJudged {
        value: of.value,
        standard_uncertainty: of.standard_uncertainty,
        limit: limit.mm(),
        simple: by(Guard::Simple)?,
        guarded: by(Guard::Guarded)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn entered(text: &str) -> Entered {
        Entered::parse(text, None).unwrap()
    }

    /// Six bands of light of 0.6 µm are 1.8 µm: the row of DIN 863-1 for parallelism of 2 µm up to 50 mm.
    #[test]
    fn bands_are_half_a_wavelength_each() {
        let found = FormFound::Bands {
            count: 6.0,
            wavelength: entered("0.6um"),
        };
        let step = Length::from_micrometres(1);
        let judged = judge(&found, step, Length::from_micrometres(2)).unwrap();
        assert!((judged.value - 0.0018).abs() < 1e-12);
        assert_eq!(
            (judged.simple, judged.guarded),
            (Verdict::Accept, Verdict::Accept)
        );
    }

    #[test]
    fn a_ball_shows_the_range_of_its_readings() {
        let readings = ["5.001mm", "5.002mm", "5.000mm", "5.001mm", "5.003mm"].map(entered);
        let found = FormFound::Ball {
            readings: readings.to_vec(),
        };
        let of = deviation(&found, Length::from_micrometres(1));
        assert!((of.value - 0.003).abs() < 1e-12);
        assert!((of.standard_uncertainty - 0.000_5 / 3f64.sqrt() * 2f64.sqrt()).abs() < 1e-12);
    }
}
