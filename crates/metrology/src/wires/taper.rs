//! Three wires on a taper thread: one alone in a groove, two in the grooves beside it on the other side.
//!
//! Half the taper is t = tan β, the slope of the pitch cone. While the profile advances by cθ along the axis it moves
//! out by cθ t, and each flank with it: z = cθ (1 − t tan α) + (r − r₀) tan α above the groove,
//! z = cθ (1 + t tan α) − (r − r₀) tan α below it. Both are helicoids as on a parallel thread, of slightly different
//! leads, and a wire touches each as [`super::flank`] has it. The pitch cone makes groove and ridge equal along its own
//! slope, half a pitch each as measured along the axis; so the sharp bottom of the groove lies
//! h = (P/2)(1 − t tan α₁)(1 + t tan α₂)/(tan α₁ + tan α₂) under it, for equal flanks (P/4)(cot α − t² tan α).
//!
//! The face on the pair leans with the cone, and the other face is parallel to it: the reading is the distance of the
//! single wire from the plane of the pair, square to that plane. Without lead
//!
//! ```text
//! M = [E − 2 h + W cosec α] cos β + W
//! E = M sec β + (P/2)(cot α − t² tan α) − W (sec β + cosec α)
//! ```
//!
//! E is the pitch diameter in the plane of the single wire. The formula in print, for NPT
//! E = 1.00049 M + 0.86603 P − 3.00049 W (NBS Handbook H28, 1957, as the wire tables of gauge makers quote it), leaves
//! out t² tan α: 0.5 µm at 14 threads an inch. Twice h is the height of the sharp thread, which API Spec 7 prints for
//! tapers of 1:6 and 1:4.
//!
//! Left out: wires of opposite lean do not lie quite flat between two parallel faces, and the place of rest moves a
//! little about the axis; of the order of E t² tan² λ, 0.02 µm for 1/2-14 NPT.

use super::flank::Flank;
use super::groove::{CheckedGroove, length};
use super::seat::seat_in;
use super::{
    Approximation, Arrangement, Comparison, Feeler, Groove, Seat, SeatError, Side, WireReading,
    simple_reading_mm, size_from_reading,
};
use crate::range::Measure;

/// Steps of the search for the size of a reading; each leaves less than a thousandth of what was missing.
const STEPS: usize = 30;

/// The groove of an external taper thread whose bisector is square to the axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TaperGroove {
    /// The groove in axial section; its pitch is measured along the axis.
    pub groove: Groove,
    /// By what the diameter grows over a length along the axis: 1/16.
    pub taper: f64,
}

/// A reading over three wires and the pitch diameter in the plane of the single wire; millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TaperReading {
    /// Seat of the single wire, size and reading; the simple reading holds the taper and no lead.
    pub over: WireReading,
    /// What the reading, taken for one of a parallel thread, would miss of the pitch diameter.
    pub taper_correction_mm: f64,
}

impl TaperGroove {
    /// Slope of the pitch cone, t.
    const fn slope(&self) -> f64 {
        self.taper / 2.0
    }

    /// cos β: what a change of the pitch diameter makes of the reading, lead neglected.
    pub fn cosine(&self) -> f64 {
        1.0 / libm::hypot(1.0, self.slope())
    }

    /// The reading over three wires where the pitch diameter in the plane of the single wire is this.
    pub fn reading_from_size(
        &self,
        pitch_diameter_mm: f64,
        wire_mm: f64,
    ) -> Result<TaperReading, SeatError> {
        let checked = self.checked()?;
        let (single, reading) = self.reading(&checked, pitch_diameter_mm, wire_mm)?;
        self.described(&checked, single, reading)
    }

    /// The pitch diameter in the plane of the single wire where three wires show this.
    pub fn size_from_reading(
        &self,
        reading_mm: f64,
        wire_mm: f64,
    ) -> Result<TaperReading, SeatError> {
        length(Measure::OverWires, reading_mm)?;
        length(Measure::WireDiameter, wire_mm)?;
        let checked = self.checked()?;
        let (rise, depth) = factors(&checked);
        let mut size = (reading_mm - wire_mm) / self.cosine() + depth - rise * wire_mm;
        for _ in 0..STEPS {
            let (_, reading) = self.reading(&checked, size, wire_mm)?;
            let step = (reading_mm - reading) / self.cosine();
            size += step;
            if step.abs() <= 4.0 * f64::EPSILON * reading_mm {
                break;
            }
        }
        let (single, _) = self.reading(&checked, size, wire_mm)?;
        self.described(&checked, single, reading_mm)
    }

    /// The formulas in print, for a parallel thread and for a taper one, beside the exact reading `exact_mm`.
    pub fn compare(
        &self,
        pitch_diameter_mm: f64,
        wire_mm: f64,
        exact_mm: f64,
    ) -> Result<Vec<Comparison>, SeatError> {
        let simple = simple_reading_mm(&self.groove, pitch_diameter_mm, wire_mm)?;
        let leaning = (simple - wire_mm) * self.cosine() + wire_mm;
        let row = |(formula, reading_mm)| Comparison {
            formula,
            reading_mm,
            difference_mm: reading_mm - exact_mm,
        };
        let rows = [
            (Approximation::Simple, simple),
            (Approximation::Taper, leaning),
        ];
        Ok(rows.into_iter().map(row).collect())
    }

    /// Each flank with its own lead, and the pitch that puts the sharp bottom of the groove where it is.
    fn checked(&self) -> Result<CheckedGroove, SeatError> {
        if self.groove.side == Side::Internal {
            return Err(SeatError::WireInInternalThread);
        }
        let parallel = self.groove.checked(Feeler::Ball)?;
        let (above, below) = (
            1.0 - self.slope() * parallel.upper.tan,
            1.0 + self.slope() * parallel.lower.tan,
        );
        let side = self.groove.side;
        let advance = parallel.upper.advance;
        Ok(CheckedGroove {
            pitch: parallel.pitch * above * below,
            upper: Flank::new(side, self.groove.upper_flank, advance * above, None),
            lower: Flank::new(side, self.groove.lower_flank, advance * below, None),
            symmetric: false,
            ..parallel
        })
    }

    /// The seat of the single wire, and the reading.
    fn reading(
        &self,
        checked: &CheckedGroove,
        size: f64,
        wire: f64,
    ) -> Result<(Seat, f64), SeatError> {
        let half = self.groove.pitch_mm / 2.0;
        let seat = |size: f64| seat_in(checked, Feeler::Ball, size, wire);
        let single = seat(size)?;
        let near = seat(size - self.taper * half)?;
        let far = seat(size + self.taper * half)?;
        let (from, to) = (near.axial_offset_mm - half, far.axial_offset_mm + half);
        let slope = (far.centre_radius_mm - near.centre_radius_mm) / (to - from);
        let beside = near.centre_radius_mm + slope * (single.axial_offset_mm - from);
        let between = (single.centre_radius_mm + beside) / libm::hypot(1.0, slope);
        Ok((single, between + wire))
    }

    fn described(
        &self,
        checked: &CheckedGroove,
        single: Seat,
        reading: f64,
    ) -> Result<TaperReading, SeatError> {
        let (size, wire) = (single.pitch_diameter_mm, single.wire_diameter_mm);
        let (rise, depth) = factors(checked);
        let simple = (size - depth + rise * wire) * self.cosine() + wire;
        let parallel = size_from_reading(&self.groove, Arrangement::OverWires, reading, wire)?;
        Ok(TaperReading {
            over: WireReading {
                seat: single,
                pitch_diameter_mm: size,
                reading_mm: reading,
                simple_reading_mm: simple,
                lead_correction_mm: reading - simple,
                lead_angle: self.groove.lead_angle(size),
            },
            taper_correction_mm: size - parallel.pitch_diameter_mm,
        })
    }
}

/// Height of a wire's centre over the sharp bottom for each unit of its radius, and twice the depth of the bottom under
/// the pitch cone.
fn factors(groove: &CheckedGroove) -> (f64, f64) {
    let (upper, lower) = (&groove.upper, &groove.lower);
    let rise = libm::cos((upper.angle - lower.angle) / 2.0)
        / libm::sin(f64::midpoint(upper.angle, lower.angle));
    (rise, groove.pitch / (upper.tan + lower.tan))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Angle;

    fn pipe(included: f64, per_inch: f64, lead: f64) -> TaperGroove {
        let pitch = 25.4 / per_inch;
        TaperGroove {
            groove: Groove::symmetric(
                Side::External,
                Angle::from_degrees(included),
                pitch,
                lead * pitch,
            ),
            taper: 1.0 / 16.0,
        }
    }

    /// API Spec 7, 38th edition, as a chart of thread forms prints it: height of the sharp thread of 60 degrees, inches,
    /// for 4 and 5 threads an inch and tapers of 2 and 3 inches a foot.
    #[test]
    fn heights_of_sharp_taper_threads_are_those_in_print() {
        for (pitch, inches_a_foot, height) in [
            (0.25, 2.0, 0.216_005),
            (0.25, 3.0, 0.215_379),
            (0.2, 3.0, 0.172_303),
        ] {
            let groove = Groove::symmetric(Side::External, Angle::from_degrees(60.0), pitch, pitch);
            let taper = inches_a_foot / 12.0;
            let (_, depth) = factors(&TaperGroove { groove, taper }.checked().unwrap());
            assert!((depth - height).abs() < 6e-7, "{depth} {height}");
        }
    }

    /// E = 1.00049 M + 0.86603 P − 3.00049 W for NPT, to what it leaves out and to the rounding of its constants.
    #[test]
    fn agrees_with_the_formula_in_print_where_there_is_no_lead() {
        let thread = pipe(60.0, 14.0, 0.0);
        let wire = 0.57735 * thread.groove.pitch_mm;
        let found = thread.size_from_reading(21.345, wire).unwrap();
        let pitch = thread.groove.pitch_mm;
        let printed = 1.000_488_16 * 21.345 + 0.866_025_40 * pitch - 3.000_488_16 * wire;
        let left_out = pitch / 2.0 / 32.0 / 32.0 * libm::tan(30f64.to_radians());
        let size = found.over.pitch_diameter_mm;
        assert!(
            (size - (printed - left_out)).abs() < 2e-7,
            "{size} {printed}"
        );
        assert!((left_out - 0.51e-3).abs() < 0.01e-3);
        let rounded = 1.000_49 * 21.345 + 0.866_03 * pitch - 3.000_49 * wire;
        assert!((size - rounded).abs() < 0.6e-3, "{size} {rounded}");
    }

    /// 1/2-14 NPT in the hand-tight plane: taken for a parallel thread the reading gives 9 µm and more too little.
    #[test]
    fn a_parallel_formula_comes_out_small() {
        let thread = pipe(60.0, 14.0, 1.0);
        let size = 0.778_43 * 25.4;
        let over = thread.reading_from_size(size, 1.0475).unwrap();
        assert!(
            (over.taper_correction_mm - 9.4e-3).abs() < 0.1e-3,
            "{}",
            over.taper_correction_mm
        );
        let back = thread
            .size_from_reading(over.over.reading_mm, 1.0475)
            .unwrap();
        assert!((back.over.pitch_diameter_mm - size).abs() < 1e-13 * size);
        assert!((back.over.lead_correction_mm - over.over.lead_correction_mm).abs() < 1e-12);
        let left = TaperGroove {
            groove: thread.groove.left_hand(),
            ..thread
        };
        let mirrored = left.reading_from_size(size, 1.0475).unwrap();
        assert_eq!(mirrored.over.reading_mm, over.over.reading_mm);
    }

    #[test]
    fn without_taper_it_is_a_parallel_thread() {
        for included in [55.0, 60.0] {
            let thread = TaperGroove {
                taper: 0.0,
                ..pipe(included, 11.0, 1.0)
            };
            let over = thread.reading_from_size(31.77, 1.35).unwrap();
            let parallel = crate::wires::reading_from_size(
                &thread.groove,
                Arrangement::OverWires,
                31.77,
                1.35,
            )
            .unwrap();
            assert!((over.over.reading_mm - parallel.reading_mm).abs() < 1e-13);
            assert!(over.taper_correction_mm.abs() < 1e-12);
        }
    }

    /// The least distance of a point from a flank of the taper thread, by search over the surface itself.
    fn least_distance(thread: &TaperGroove, bottom: f64, upper: bool, point: [f64; 2]) -> f64 {
        let t = thread.taper / 2.0;
        let tan = libm::tan(thread.groove.upper_flank.radians());
        let advance = thread.groove.lead_mm / std::f64::consts::TAU;
        let distance = |r: f64, theta: f64| {
            // The profile at this angle: advanced, and moved out with the cone.
            let along = advance * theta;
            let rise = (r - bottom - along * t) * tan;
            let z = if upper { along + rise } else { along - rise };
            let (sin, cos) = libm::sincos(theta);
            let [x, height] = point;
            libm::hypot(libm::hypot(r * cos - x, r * sin), z - height)
        };
        let (mut r, mut theta, mut step) = (point[0] - 0.3, 0.0, 0.1);
        let mut least = distance(r, theta);
        while step > 1e-13 {
            let mut moved = false;
            for (dr, dt) in [
                (1.0, 0.0),
                (-1.0, 0.0),
                (0.0, 1.0),
                (0.0, -1.0),
                (1.0, 1.0),
                (1.0, -1.0),
                (-1.0, 1.0),
                (-1.0, -1.0),
            ] {
                let (r_next, theta_next) = (r + dr * step, theta + dt * step * 0.1);
                let next = distance(r_next, theta_next);
                if next < least {
                    (r, theta, least, moved) = (r_next, theta_next, next, true);
                }
            }
            if !moved {
                step /= 2.0;
            }
        }
        least
    }

    /// The single wire's ball touches both flanks and cuts neither, by a search that knows nothing of the derivation.
    #[test]
    fn a_seated_ball_touches_both_flanks_of_the_taper_thread() {
        for thread in [pipe(60.0, 14.0, 1.0), pipe(55.0, 11.0, 1.0)] {
            let (size, wire) = (19.772, 0.6 * thread.groove.pitch_mm);
            let seat = thread.reading_from_size(size, wire).unwrap().over.seat;
            let tan = libm::tan(thread.groove.upper_flank.radians());
            let t = thread.taper / 2.0;
            let depth = thread.groove.pitch_mm / 4.0 * (1.0 / tan - t * t * tan);
            let at = [seat.centre_radius_mm, seat.axial_offset_mm];
            for upper in [true, false] {
                let distance = least_distance(&thread, size / 2.0 - depth, upper, at);
                assert!((distance - wire / 2.0).abs() < 1e-9, "{distance} {wire}");
            }
        }
    }
}
