//! The seat of a wire or ball found by searching for the least distance, with no contact equation at all.
//!
//! Nothing is shared with the solver: the flank is a parametric surface, the distance of the wire's axis (of the ball's
//! centre) from it is minimised on a dense grid that is then refined, the radius at which that distance is half the
//! wire is found by a secant, and a free wire takes the inclination at which it lies lowest.

#![allow(clippy::unwrap_used)]

use metrology::units::Angle;
use metrology::wires::{Feeler, Groove, Side, seat};

use crate::rows::near;

struct Thread {
    /// +1 external, −1 internal.
    side: f64,
    pitch: f64,
    per_radian: f64,
    pitch_radius: f64,
    /// Tangents of the upper and the lower flank angle.
    tangents: [f64; 2],
}

type Point = [f64; 3];

impl Thread {
    fn point(&self, flank: usize, r: f64, theta: f64) -> Point {
        let sign = if flank == 0 { 1.0 } else { -1.0 };
        let half_width =
            self.pitch / 4.0 + self.side * (r - self.pitch_radius) * self.tangents[flank];
        [
            r * libm::cos(theta),
            r * libm::sin(theta),
            self.per_radian * theta + sign * half_width,
        ]
    }

    /// Least distance of a flank from a line (`direction`) or, without one, from a point.
    fn distance(&self, flank: usize, from: Point, direction: Option<Point>) -> f64 {
        let measure = |r: f64, theta: f64| {
            let p = self.point(flank, r, theta);
            let d = [p[0] - from[0], p[1] - from[1], p[2] - from[2]];
            let square = d[0] * d[0] + d[1] * d[1] + d[2] * d[2];
            let along = direction.map_or(0.0, |u| d[0] * u[0] + d[1] * u[1] + d[2] * u[2]);
            square - along * along
        };
        // The whole neighbourhood first, so that a second contact elsewhere would be found.
        let (mut r, mut theta) = (self.pitch_radius, 0.0);
        let (mut dr, mut dtheta) = (0.9 * self.pitch.min(self.pitch_radius), 0.7);
        // A real flank ends; far outside, a steep wire would meet its continuation.
        let (inner, outer) = (r - dr, r + 0.6 * self.pitch);
        let mut n: i32 = 24;
        for _ in 0..60 {
            if dr < 1e-8 * self.pitch {
                break;
            }
            let (r0, theta0) = (r, theta);
            let mut best = measure(r0, theta0);
            let mut at_rim = false;
            for i in -n..=n {
                for j in -n..=n {
                    let at_r = (r0 + dr * f64::from(i) / f64::from(n)).clamp(inner, outer);
                    let at_theta = theta0 + dtheta * f64::from(j) / f64::from(n);
                    let value = measure(at_r, at_theta);
                    if value < best {
                        (best, r, theta) = (value, at_r, at_theta);
                        at_rim = i.abs() == n || j.abs() == n;
                    }
                }
            }
            // A narrow valley is followed before the window closes further.
            let shrink = match (n, at_rim) {
                (24, _) => 0.1,
                (_, true) => 1.0,
                _ => 0.4,
            };
            dr *= shrink;
            dtheta *= shrink;
            n = 2;
        }
        measure(r, theta).max(0.0).sqrt()
    }

    /// How far from the middle of the groove one flank is touched by a centre at `rho` from the axis.
    fn touching(&self, flank: usize, rho: f64, ball: f64, tilt: Option<f64>) -> f64 {
        let direction = tilt.map(|psi| [0.0, libm::cos(psi), libm::sin(psi)]);
        let miss = |z: f64| self.distance(flank, [rho, 0.0, z], direction) - ball;
        secant(miss, 0.0, 1e-3 * self.pitch)
    }

    /// The distance from the axis at which both flanks are touched, for one inclination.
    fn both(&self, ball: f64, tilt: Option<f64>, start: f64) -> f64 {
        let room = |rho: f64| self.touching(0, rho, ball, tilt) - self.touching(1, rho, ball, tilt);
        secant(room, start, start + 1e-3 * self.pitch)
    }

    /// A free wire: the inclination at which it lies lowest, by golden section about the lead angle.
    fn free_wire(&self, ball: f64, start: f64) -> (f64, f64) {
        let rho = |psi: f64| self.both(ball, Some(psi), start);
        let lead_angle = libm::atan(self.per_radian / self.pitch_radius);
        let (mut low, mut high) = (lead_angle - 0.04, lead_angle + 0.02);
        let golden = 0.6180339887498949;
        let (mut a, mut b) = (high - golden * (high - low), low + golden * (high - low));
        let (mut at_a, mut at_b) = (rho(a), rho(b));
        while high - low > 1e-5 {
            if at_a < at_b {
                (high, b, at_b) = (b, a, at_a);
                a = high - golden * (high - low);
                at_a = rho(a);
            } else {
                (low, a, at_a) = (a, b, at_b);
                b = low + golden * (high - low);
                at_b = rho(b);
            }
        }
        (at_a.min(at_b), f64::midpoint(low, high))
    }
}

fn secant(f: impl Fn(f64) -> f64, mut a: f64, mut b: f64) -> f64 {
    let (mut fa, mut fb) = (f(a), f(b));
    for _ in 0..30 {
        if fb == fa || (b - a).abs() < 1e-14 * b.abs() {
            break;
        }
        let next = b - fb * (b - a) / (fb - fa);
        (a, fa) = (b, fb);
        b = next;
        fb = f(b);
    }
    b
}

/// Included angle or both flank angles, pitch, lead, pitch diameter, wire.
fn check(side: Side, flanks: [f64; 2], numbers: [f64; 4], feeler: Feeler) {
    let [pitch, lead, d2, wire] = numbers;
    let groove = Groove {
        upper_flank: Angle::from_degrees(flanks[0]),
        lower_flank: Angle::from_degrees(flanks[1]),
        ..Groove::symmetric(side, Angle::from_degrees(60.0), pitch, lead)
    };
    let thread = Thread {
        side: if side == Side::External { 1.0 } else { -1.0 },
        pitch,
        per_radian: lead / std::f64::consts::TAU,
        pitch_radius: d2 / 2.0,
        tangents: flanks.map(|degrees| libm::tan(degrees.to_radians())),
    };
    let got = seat(&groove, feeler, d2, wire).unwrap();
    // The search starts where the simple formula puts the wire, not where the solver does.
    let half = (flanks[0] + flanks[1]).to_radians() / 2.0;
    let start = d2 / 2.0
        + thread.side
            * (wire / 2.0 * libm::cos((flanks[0] - flanks[1]).to_radians() / 2.0)
                / libm::sin(half)
                - pitch / 2.0 / (thread.tangents[0] + thread.tangents[1]));
    let tolerance = 2e-11 * d2;
    match feeler {
        Feeler::Ball => near(
            got.centre_radius_mm,
            thread.both(wire / 2.0, None, start),
            tolerance,
        ),
        Feeler::HeldWire(psi) => {
            let found = thread.both(wire / 2.0, Some(psi.radians()), start);
            near(got.centre_radius_mm, found, tolerance);
        }
        Feeler::Wire => {
            let (rho, psi) = thread.free_wire(wire / 2.0, start);
            near(got.centre_radius_mm, rho, tolerance);
            near(got.inclination.radians(), psi, 2e-5);
        }
    }
}

#[test]
fn ball_in_external_and_internal_threads() {
    check(
        Side::External,
        [30.0; 2],
        [1.5, 1.5, 9.026, 0.866],
        Feeler::Ball,
    );
    check(
        Side::External,
        [14.5; 2],
        [3.175, 12.7, 14.2875, 1.6397],
        Feeler::Ball,
    );
    check(
        Side::External,
        [15.0; 2],
        [1.0, 4.0, 3.498, 0.5176],
        Feeler::Ball,
    );
    check(
        Side::External,
        [30.0; 2],
        [1.0, 6.0, 3.2, 0.6],
        Feeler::Ball,
    );
    check(
        Side::Internal,
        [30.0; 2],
        [1.5, 1.5, 9.026, 0.866],
        Feeler::Ball,
    );
    check(
        Side::Internal,
        [15.0; 2],
        [4.0, 4.0, 18.0, 2.0706],
        Feeler::Ball,
    );
    check(
        Side::Internal,
        [30.0; 2],
        [1.0, 3.0, 4.5, 0.6],
        Feeler::Ball,
    );
}

#[test]
fn free_wire_between_equal_flanks() {
    check(
        Side::External,
        [30.0; 2],
        [1.5, 1.5, 9.026, 0.866],
        Feeler::Wire,
    );
    check(
        Side::External,
        [27.5; 2],
        [1.814286, 1.814286, 8.4, 1.0227],
        Feeler::Wire,
    );
    check(
        Side::External,
        [14.5; 2],
        [3.175, 12.7, 14.2875, 1.6397],
        Feeler::Wire,
    );
    check(
        Side::External,
        [30.0; 2],
        [1.0, 5.0, 4.0, 0.65],
        Feeler::Wire,
    );
}

#[test]
fn free_wire_and_ball_between_unequal_flanks() {
    check(
        Side::External,
        [45.0, 7.0],
        [2.0, 2.0, 20.0, 1.05],
        Feeler::Ball,
    );
    check(
        Side::External,
        [45.0, 7.0],
        [2.0, 2.0, 20.0, 1.05],
        Feeler::Wire,
    );
    check(
        Side::External,
        [3.0, 30.0],
        [3.0, 9.0, 20.0, 1.6],
        Feeler::Wire,
    );
    check(
        Side::External,
        [3.0, 30.0],
        [3.0, 9.0, 20.0, 1.6],
        Feeler::Ball,
    );
    check(
        Side::Internal,
        [45.0, 7.0],
        [2.0, 4.0, 20.0, 1.05],
        Feeler::Ball,
    );
}

#[test]
fn wire_held_at_an_inclination() {
    let held = |degrees: f64| Feeler::HeldWire(Angle::from_degrees(degrees));
    check(
        Side::External,
        [30.0; 2],
        [1.5, 1.5, 9.026, 0.866],
        held(0.0),
    );
    check(
        Side::External,
        [30.0; 2],
        [1.5, 1.5, 9.026, 0.866],
        held(5.0),
    );
    check(
        Side::External,
        [14.5; 2],
        [4.233333, 4.233333, 16.9333, 2.1863],
        held(2.0),
    );
    check(
        Side::External,
        [15.0; 2],
        [4.0, 12.0, 18.0, 2.0706],
        held(10.0),
    );
    check(
        Side::External,
        [45.0, 7.0],
        [2.0, 2.0, 20.0, 1.05],
        held(1.0),
    );
}
