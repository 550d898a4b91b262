//! Where along the screw a micrometer is calibrated, so that the error that comes back with every turn shows as well.

use crate::units::{Length, LengthUnit};

/// Points of a metric frame from 0, tenths of a millimetre above its lower limit: 2.5, 5.1, 7.7 mm and so on (ISO 3611:1978,
/// DIN 863-1; from memory). On a screw of 0.5 mm they fall at every fifth of a turn.
const METRIC: [i64; 10] = [25, 51, 77, 103, 129, 150, 176, 202, 228, 250];
/// The same of an inch frame, thousandths of an inch (common practice; from memory). On a screw of 0.025 in every fifth of a
/// turn.
const INCH: [i64; 10] = [105, 210, 315, 420, 500, 605, 710, 815, 920, 1000];

/// Tenths of a millimetre and thousandths of an inch in tenths of a nanometre.
const TENTH_MM: i64 = 1_000_000;
const THOUSANDTH: i64 = 254_000;

/// The points that are usual for a range, its lower limit first: each pattern of 25 mm or 1 in follows the one before.
pub fn usual_points([from, to]: [Length; 2], unit: LengthUnit) -> Vec<Length> {
    let (pattern, step) = match unit {
        LengthUnit::Millimetre | LengthUnit::Micrometre => (METRIC, TENTH_MM),
        LengthUnit::Inch | LengthUnit::Microinch => (INCH, THOUSANDTH),
    };
    let period = pattern.last().copied().unwrap_or(1) * step;
    let mut points = vec![from];
    let mut base = from.tenth_nanometres();
    while base < to.tenth_nanometres() {
        points.extend(
            pattern
                .iter()
                .map(|tenths| Length::from_tenth_nanometres(base + tenths * step))
                .take_while(|point| *point <= to),
        );
        base += period;
    }
    points
}

/// The widest part of a turn of the thimble that no point lies in, as a fraction of the turn: 1 where all points fall on one
/// place of it. Exact, so that 20 times 0.025 in is a whole number of turns.
pub fn widest_gap(points: &[Length], turn: Length) -> f64 {
    let turn = turn.tenth_nanometres().max(1);
    let mut phases: Vec<i64> = points
        .iter()
        .map(|point| point.tenth_nanometres().rem_euclid(turn))
        .collect();
    phases.sort_unstable();
    phases.dedup();
    let around = phases.first().map(|first| first + turn);
    phases.extend(around);
    let widest = phases
        .windows(2)
        .filter_map(|two| match two {
            [one, next] => Some(next - one),
            _ => None,
        })
        .max();
    widest.unwrap_or(turn) as f64 / turn as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    const MM: LengthUnit = LengthUnit::Millimetre;

    #[test]
    fn the_usual_points_lie_at_every_fifth_of_a_turn() {
        let um = Length::from_micrometres;
        let points = usual_points([um(0), um(25_000)], MM);
        assert_eq!(points.len(), 11);
        assert_eq!(points[1..3], [um(2500), um(5100)]);
        assert_eq!(widest_gap(&points, um(500)), 0.2);
        let ten = Length::from_ten_thousandths_inch;
        let inch = usual_points([ten(0), ten(10_000)], LengthUnit::Inch);
        assert_eq!(inch[1], ten(1050));
        assert_eq!(widest_gap(&inch, ten(250)), 0.2);
        assert_eq!(usual_points([um(25_000), um(50_000)], MM)[1], um(27_500));
        assert_eq!(usual_points([um(0), um(50_000)], MM).len(), 21);
    }

    #[test]
    fn whole_turns_leave_the_whole_turn_open() {
        let um = Length::from_micrometres;
        let whole = [0, 5000, 10_000, 15_000, 20_000, 25_000].map(um);
        assert_eq!(widest_gap(&whole, um(500)), 1.0);
        assert_eq!(widest_gap(&[um(0), um(250)], um(500)), 0.5);
    }
}
