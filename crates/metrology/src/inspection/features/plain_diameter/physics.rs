//! A plain external diameter: ovality, taper, barrel.
//!
//! Source: [`Source::CommonPractice`](crate::source::Source::CommonPractice) for the words, elementary geometry for
//! the rest. Lengths in millimetres.

use crate::uncertainty::statistics::{extremes, mean};

/// Diameters at one section of the part.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// Where along the axis, where it was stated as a distance.
    pub along: Option<f64>,
    /// The diameters around it.
    pub diameters: Vec<f64>,
}

/// Greatest less least diameter at one section; `None` of fewer than two. Blind to odd lobes.
pub fn ovality(diameters: &[f64]) -> Option<f64> {
    let (least, most) = extremes(diameters)?;
    (diameters.len() >= 2).then_some(most - least)
}

/// Taper between the two outermost sections.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Taper {
    /// Diameter at the far end less that at the near end.
    pub difference: f64,
    /// Between them.
    pub distance: f64,
}

impl Taper {
    /// Change of diameter for a unit of length.
    pub fn ratio(&self) -> f64 {
        self.difference / self.distance
    }

    /// Half the angle of the cone, radians: `atan(taper/2)`.
    pub fn half_angle(&self) -> f64 {
        libm::atan(self.ratio() / 2.0)
    }
}

/// Taper of the mean diameters of sections whose distance is known; `None` of fewer than two distances.
pub fn taper(sections: &[Section]) -> Option<Taper> {
    let places = placed(sections);
    let ((near, first), (far, last)) = (*places.first()?, *places.last()?);
    (far > near).then_some(Taper {
        difference: last - first,
        distance: far - near,
    })
}

/// How far the middle sections lie above (barrel) or below (hourglass, negative) the straight line between the two
/// ends: the one farthest off. `None` of fewer than three distances.
pub fn barrel(sections: &[Section]) -> Option<f64> {
    let places = placed(sections);
    let ((near, first), (far, last)) = (*places.first()?, *places.last()?);
    if far <= near {
        return None;
    }
    places
        .iter()
        .filter(|(along, _)| *along > near && *along < far)
        .map(|(along, diameter)| {
            diameter - (first + (last - first) * (along - near) / (far - near))
        })
        .max_by(|a, b| a.abs().total_cmp(&b.abs()))
}

/// Distance and mean diameter of each section, along the axis.
fn placed(sections: &[Section]) -> Vec<(f64, f64)> {
    let mut places: Vec<(f64, f64)> = sections
        .iter()
        .filter_map(|section| Some((section.along?, mean(&section.diameters)?)))
        .collect();
    places.sort_by(|a, b| a.0.total_cmp(&b.0));
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    fn section(along: f64, diameters: &[f64]) -> Section {
        Section {
            along: Some(along),
            diameters: diameters.to_vec(),
        }
    }

    /// Six readings at three sections; by hand.
    #[test]
    fn six_readings() {
        let sections = [
            section(5.0, &[12.004, 12.000]),
            section(55.0, &[12.010, 12.008]),
            section(105.0, &[12.012, 12.008]),
        ];
        assert!((ovality(&sections[0].diameters).unwrap() - 0.004).abs() < 1e-12);
        let taper = taper(&sections).unwrap();
        assert!((taper.difference - 0.008).abs() < 1e-12);
        assert!((taper.ratio() - 0.00008).abs() < 1e-12);
        assert!((taper.half_angle() - 0.00004).abs() < 1e-9);
        // Middle 12.009 against 12.006 on the line.
        assert!((barrel(&sections).unwrap() - 0.003).abs() < 1e-12);
    }

    #[test]
    fn too_few_tell_nothing() {
        assert_eq!(ovality(&[12.0]), None);
        assert_eq!(taper(&[section(5.0, &[12.0])]), None);
        assert_eq!(
            barrel(&[section(5.0, &[12.0]), section(9.0, &[12.0])]),
            None
        );
        assert_eq!(
            barrel(&[section(5.0, &[12.0]), section(5.0, &[12.0])]),
            None
        );
    }
}
