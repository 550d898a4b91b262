//! Places of a section that lie opposite each other.

use std::collections::HashMap;

use super::place::Place;
use crate::message::Value;

/// Angles that differ from half a turn by no more than this are opposite, degrees (common practice, no source).
const OPPOSITE: f64 = 0.5;

/// Two opposite places of one section.
#[derive(Clone, Debug, PartialEq)]
pub struct Opposite {
    /// The places, counted from 0.
    pub places: [usize; 2],
    /// Angle of the first, degrees.
    pub from: f64,
    /// What was said of the section.
    pub along: Option<Value>,
}

/// Every two places half a turn apart at one section. A place that was read more than once is taken with the first
/// reading opposite.
pub fn all_opposite<'a>(places: impl IntoIterator<Item = &'a Place>) -> Vec<Opposite> {
    let mut sections: Vec<Turned> = Vec::new();
    let mut known = HashMap::new();
    for (place, read) in places.into_iter().enumerate() {
        let along = read.along.as_ref();
        // A value has no hash of its own: its parts in writing are one.
        let written = along.map(|along| format!("{along:?}"));
        let index = *known.entry(written).or_insert(sections.len());
        if index == sections.len() {
            sections.push(Turned {
                along,
                places: Vec::new(),
            });
        }
        if let (Some(section), Some(angle)) = (sections.get_mut(index), read.angle)
            && angle.is_finite()
        {
            // Adding nothing makes one zero of 0 and -0.
            section.places.push((angle + 0.0, place));
        }
    }
    sections.into_iter().flat_map(Turned::pairs).collect()
}

/// Angles of one section with their places.
struct Turned<'a> {
    along: Option<&'a Value>,
    places: Vec<(f64, usize)>,
}

impl Turned<'_> {
    fn pairs(self) -> Vec<Opposite> {
        let mut turned = self.places.clone();
        turned.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        turned.dedup_by_key(|(angle, _)| *angle);
        let first = |angle: f64| {
            let from = turned.partition_point(|(other, _)| other - angle < -OPPOSITE);
            turned
                .iter()
                .skip(from)
                .take_while(|(other, _)| other - angle <= OPPOSITE)
                .min_by_key(|(_, place)| *place)
                .copied()
        };
        let again = |angle: f64, place: usize| {
            turned
                .binary_search_by(|(other, _)| other.total_cmp(&angle))
                .is_ok_and(|at| turned.get(at).is_some_and(|(_, kept)| *kept != place))
        };
        let mut pairs = Vec::new();
        for &(angle, place) in &self.places {
            let along = self.along.cloned();
            if let Some((_, other)) = first(angle + 180.0) {
                pairs.push(Opposite {
                    places: [place, other],
                    from: angle,
                    along: along.clone(),
                });
            }
            if again(angle, place)
                && let Some((from, other)) = first(angle - 180.0)
            {
                pairs.push(Opposite {
                    places: [other, place],
                    from,
                    along,
                });
            }
        }
        pairs
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn places(angles: &[f64]) -> Vec<Place> {
        let at = |angle: &f64| Place {
            along: None,
            angle: Some(*angle),
            readings: Vec::new(),
        };
        angles.iter().map(at).collect()
    }

    #[test]
    fn half_a_turn_apart() {
        let found = |angles: &[f64]| {
            let pairs = all_opposite(&places(angles));
            pairs.iter().map(|pair| pair.places).collect::<Vec<_>>()
        };
        assert_eq!(found(&[0.0, 90.0, 180.0, 270.0]), [[0, 2], [1, 3]]);
        assert_eq!(found(&[180.4, 0.0]), [[1, 0]]);
        assert!(found(&[0.0, 120.0, 240.0]).is_empty());
        // Read again, on either side.
        assert_eq!(found(&[0.0, 180.0, 0.0]), [[0, 1], [2, 1]]);
        assert_eq!(found(&[0.0, 180.0, 180.0]), [[0, 1], [0, 2]]);
        let mut two = places(&[0.0, 180.0]);
        two[1].along = Some(Value::text("20 mm"));
        assert!(all_opposite(&two).is_empty());
    }
}
