//! The basic profile of a thread in section, and a pair of contacts seated on it: where things really are, for
//! pictures that are to scale.
//!
//! Coordinates in millimetres: `x` along the axis, `y` away from it, so that a point of the profile lies at the
//! radius `y`. A ridge stands at `x = 0` on one side of the axis; on the other side, half a turn on, a groove.

use crate::units::Angle;

/// A point of the section, millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Along the axis.
    pub x: f64,
    /// Away from the axis.
    pub y: f64,
}

/// A straight flanked profile: the basic profile of ISO 68-1 and of Unified threads where the angle is 60°.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BasicProfile {
    pitch: f64,
    half_angle: f64,
    pitch_radius: f64,
}

/// The basic profile is cut off an eighth of the fundamental triangle below its top (ISO 68-1).
const CREST_CUT: f64 = 1.0 / 8.0;
/// And a quarter of it above its foot (ISO 68-1).
const ROOT_CUT: f64 = 1.0 / 4.0;

impl BasicProfile {
    /// A profile of a pitch, an included angle and a pitch diameter; `None` where these make no thread.
    pub fn new(pitch_mm: f64, included_angle: Angle, pitch_diameter_mm: f64) -> Option<Self> {
        let half_angle = included_angle.radians() / 2.0;
        let profile = Self {
            pitch: pitch_mm,
            half_angle,
            pitch_radius: pitch_diameter_mm / 2.0,
        };
        let sensible = pitch_mm > 0.0
            && pitch_mm.is_finite()
            && pitch_diameter_mm.is_finite()
            && half_angle > 0.05
            && half_angle < 1.3
            && profile.root_radius() > 0.0;
        sensible.then_some(profile)
    }

    /// Pitch, millimetres.
    pub const fn pitch(&self) -> f64 {
        self.pitch
    }

    /// Half the pitch diameter, millimetres.
    pub const fn pitch_radius(&self) -> f64 {
        self.pitch_radius
    }

    /// Height H of the fundamental triangle, millimetres: `P / (2 tan α)` with the half angle `α` (ISO 68-1).
    pub fn triangle_height(&self) -> f64 {
        self.pitch / (2.0 * libm::tan(self.half_angle))
    }

    /// Radius of the flat crest.
    pub fn crest_radius(&self) -> f64 {
        self.pitch_radius + (0.5 - CREST_CUT) * self.triangle_height()
    }

    /// Radius of the flat root.
    pub fn root_radius(&self) -> f64 {
        self.pitch_radius - (0.5 - ROOT_CUT) * self.triangle_height()
    }

    /// How far from the middle of a ridge its flanks are at a radius.
    pub fn half_ridge(&self, radius: f64) -> f64 {
        self.pitch / 4.0 - (radius - self.pitch_radius) * libm::tan(self.half_angle)
    }

    /// The outline of so many turns to either side of the middle; `ridge` says whether a ridge or a groove stands
    /// in the middle.
    pub fn outline(&self, turns: u8, ridge: bool) -> Vec<Point> {
        let (crest, root) = (self.crest_radius(), self.root_radius());
        let (at_crest, at_root) = (self.half_ridge(crest), self.half_ridge(root));
        let shift = if ridge { 0.0 } else { self.pitch / 2.0 };
        let turns = i16::from(turns) + 1;
        (-turns..=turns)
            .flat_map(|turn| {
                let middle = f64::from(turn) * self.pitch + shift;
                [
                    (middle - at_root, root),
                    (middle - at_crest, crest),
                    (middle + at_crest, crest),
                    (middle + at_root, root),
                ]
            })
            .map(|(x, y)| Point { x, y })
            .collect()
    }

    /// A cone seated in the groove at `x = 0`: its outline, and where it touches at the pitch line.
    ///
    /// Its flanks lie on the flanks of the thread. It is cut off short of the root, so that only flanks touch.
    pub fn cone(&self) -> Seated {
        let height = self.triangle_height();
        let groove = |radius: f64| self.pitch / 2.0 - self.half_ridge(radius);
        let tip = self.pitch_radius - (0.5 - ROOT_CUT) * 0.75 * height;
        let shoulder = self.crest_radius() + 0.35 * height;
        let half_stem = groove(shoulder);
        let end = shoulder + 0.9 * height;
        Seated {
            outline: [
                (-half_stem, end),
                (-half_stem, shoulder),
                (-groove(tip), tip),
                (groove(tip), tip),
                (half_stem, shoulder),
                (half_stem, end),
            ]
            .map(|(x, y)| Point { x, y })
            .to_vec(),
            touches: self.touches(groove(self.pitch_radius)),
        }
    }

    /// A V seated over the ridge at `x = 0`: its outline, and where it touches at the pitch line.
    ///
    /// Its flanks lie on the flanks of the thread, and its bottom is relieved so that the crest is free.
    pub fn v(&self) -> Seated {
        let height = self.triangle_height();
        let lip = self.pitch_radius - (0.5 - ROOT_CUT) * 0.75 * height;
        let relief = self.crest_radius() - 0.5 * CREST_CUT * height;
        let bottom = self.crest_radius() + 0.3 * height;
        // Halfway to the next ridge's flank: the V stands clear of its neighbours.
        let half_stem = self.half_ridge(lip) + 0.12 * self.pitch;
        let end = bottom + 0.95 * height;
        let inside = self.half_ridge(relief);
        let clear = self.pitch / 2.0 - 0.02 * self.pitch;
        let half_stem = half_stem.min(clear);
        Seated {
            outline: [
                (-half_stem, end),
                (-half_stem, lip),
                (-self.half_ridge(lip), lip),
                (-inside, relief),
                (-inside, bottom),
                (inside, bottom),
                (inside, relief),
                (self.half_ridge(lip), lip),
                (half_stem, lip),
                (half_stem, end),
            ]
            .map(|(x, y)| Point { x, y })
            .to_vec(),
            touches: self.touches(self.half_ridge(self.pitch_radius)),
        }
    }

    /// Wires of a diameter in the grooves of a thread of this lead, where the size over them is `over`; millimetres.
    ///
    /// A wire lies along the groove, at the lead angle to the section, so that the section shows it as an ellipse. Where it
    /// touches is told in the section, by the flanks of the profile.
    pub fn wire(&self, diameter: f64, over: f64, lead: f64) -> SeatedWire {
        let radius = diameter / 2.0;
        let lead_angle = libm::atan(lead / (2.0 * std::f64::consts::PI * self.pitch_radius));
        let half_width = radius / libm::cos(lead_angle);
        let centre = over / 2.0 - radius;
        // The tangent to the ellipse of the slope of the flank: x = a² cos α / w, y = b² sin α / w below the centre.
        let (sin, cos) = libm::sincos(self.half_angle);
        let w = libm::hypot(half_width * cos, radius * sin);
        let x = half_width * half_width * cos / w;
        let y = centre - radius * radius * sin / w;
        SeatedWire {
            centre,
            radius,
            half_width,
            touches: [Point { x: -x, y }, Point { x, y }],
        }
    }

    /// The two ends of a setting rod for these contacts: one like the groove that the cone sits in, one like the ridge
    /// that the V sits on, each from one side of the rod to the other.
    pub fn rod(&self) -> RodEnds {
        let (crest, root) = (self.crest_radius(), self.root_radius());
        let half_rod = 0.8 * self.pitch;
        let groove = |radius: f64| self.pitch / 2.0 - self.half_ridge(radius);
        let mirrored = |right: [(f64, f64); 3]| {
            let left = right.iter().rev().map(|(x, y)| (-x, *y));
            left.chain(right).map(|(x, y)| Point { x, y }).collect()
        };
        RodEnds {
            groove: mirrored([
                (groove(root), root),
                (groove(crest), crest),
                (half_rod, crest),
            ]),
            ridge: mirrored([
                (self.half_ridge(crest), crest),
                (self.half_ridge(root), root),
                (half_rod, root),
            ]),
        }
    }

    fn touches(&self, x: f64) -> [Point; 2] {
        let y = self.pitch_radius;
        [Point { x: -x, y }, Point { x, y }]
    }
}

/// The ends of a setting rod, each on its side.
#[derive(Clone, Debug, PartialEq)]
pub struct RodEnds {
    /// The end with the V, which takes the cone.
    pub groove: Vec<Point>,
    /// The end with the cone, which the V takes.
    pub ridge: Vec<Point>,
}

/// A wire in a groove at `x = 0`, millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SeatedWire {
    /// Of its centre, from the axis.
    pub centre: f64,
    /// Of the wire.
    pub radius: f64,
    /// Half its width along the axis, where it lies at the lead angle.
    pub half_width: f64,
    /// Where it touches the flanks.
    pub touches: [Point; 2],
}

/// A contact on the thread, on its side of the axis.
#[derive(Clone, Debug, PartialEq)]
pub struct Seated {
    /// The outline of the contact, from the stem round its working faces and back.
    pub outline: Vec<Point>,
    /// Where its flanks cross the pitch line.
    pub touches: [Point; 2],
}

#[cfg(test)]
mod tests {
    use super::*;

    /// M10x1.5: basic pitch diameter 9.026 mm, minor 8.376 mm (ISO 724).
    fn m10() -> BasicProfile {
        BasicProfile::new(1.5, Angle::from_degrees(60.0), 9.0257).unwrap()
    }

    /// Distance of a point from the flank of the ridge in the middle (both flanks, whichever is nearer).
    fn from_flank(profile: &BasicProfile, point: Point, middle: f64) -> f64 {
        let cosine = libm::cos(profile.half_angle);
        ((point.x - middle).abs() - profile.half_ridge(point.y)).abs() * cosine
    }

    #[test]
    fn truncated_as_the_basic_profile() {
        let profile = m10();
        assert!((2.0 * profile.crest_radius() - 10.0).abs() < 1e-3);
        assert!((2.0 * profile.root_radius() - 8.376).abs() < 1e-3);
        // Flats of P/8 and P/4 (ISO 68-1).
        assert!((2.0 * profile.half_ridge(profile.crest_radius()) - 1.5 / 8.0).abs() < 1e-9);
        assert!((1.5 - 2.0 * profile.half_ridge(profile.root_radius()) - 1.5 / 4.0).abs() < 1e-9);
    }

    #[test]
    fn contacts_touch_the_flanks_at_the_pitch_line() {
        let profile = m10();
        for touch in profile.v().touches {
            assert!((touch.y - profile.pitch_radius()).abs() < 1e-9);
            assert!(from_flank(&profile, touch, 0.0) < 1e-9);
        }
        for touch in profile.cone().touches {
            assert!(from_flank(&profile, touch, (profile.pitch() / 2.0).copysign(touch.x)) < 1e-9);
        }
    }

    /// Over best wires an M10x1.5 of d2 = 9.026 mm reads d2 + 3 W − 0.866025 P (the simple formula, ISO 16239), and
    /// the wire touches both flanks at the pitch line.
    #[test]
    fn a_wire_touches_the_flanks() {
        let profile = m10();
        let best = 1.5 / (2.0 * libm::cos(0.5235987755982988));
        let over = 9.0257 + 3.0 * best - 0.8660254 * 1.5;
        let wire = profile.wire(best, over, 0.0);
        for touch in wire.touches {
            let groove = (profile.pitch() / 2.0).copysign(touch.x);
            assert!(from_flank(&profile, touch, groove) < 1e-6, "{touch:?}");
            assert!((touch.y - profile.pitch_radius()).abs() < 1e-6, "{touch:?}");
        }
    }

    #[test]
    fn working_faces_lie_on_the_flanks() {
        let profile = m10();
        let cone = profile.cone().outline;
        for corner in &cone[1..5] {
            // The cone is wider than the groove is at its mouth: there its face lies on the flank's line.
            let flank = profile.pitch() / 2.0 - profile.half_ridge(corner.y);
            assert!((corner.x.abs() - flank).abs() < 1e-9, "{corner:?}");
        }
        let v = profile.v().outline;
        for corner in [v[2], v[3], v[6], v[7]] {
            assert!(from_flank(&profile, corner, 0.0) < 1e-9, "{corner:?}");
        }
    }

    #[test]
    fn a_rod_has_the_flanks_of_the_thread() {
        let profile = m10();
        let rod = profile.rod();
        for corner in &rod.ridge[1..5] {
            assert!(from_flank(&profile, *corner, 0.0) < 1e-9, "{corner:?}");
        }
        for corner in &rod.groove[1..5] {
            let middle = (profile.pitch() / 2.0).copysign(corner.x);
            assert!(from_flank(&profile, *corner, middle) < 1e-9, "{corner:?}");
        }
    }

    #[test]
    fn nothing_but_flanks_is_touched() {
        for pitch in [0.25, 1.0, 1.5, 6.0] {
            let profile = BasicProfile::new(pitch, Angle::from_degrees(60.0), 60.0).unwrap();
            let lowest = |seated: Seated| {
                seated
                    .outline
                    .iter()
                    .map(|point| point.y)
                    .fold(f64::INFINITY, f64::min)
            };
            assert!(lowest(profile.cone()) > profile.root_radius());
            assert!(lowest(profile.v()) > profile.root_radius());
            // The V's bottom is above the crest it straddles, and its lips clear the neighbouring ridges.
            let v = profile.v().outline;
            assert!(v[4].y > profile.crest_radius());
            assert!(v[1].x.abs() < pitch - profile.half_ridge(v[1].y));
        }
    }

    #[test]
    fn what_is_no_thread_has_no_profile() {
        for (pitch, angle, diameter) in [
            (0.0, 60.0, 9.0),
            (f64::NAN, 60.0, 9.0),
            (1.5, 0.0, 9.0),
            (1.5, 60.0, 0.1),
        ] {
            assert_eq!(
                BasicProfile::new(pitch, Angle::from_degrees(angle), diameter),
                None
            );
        }
    }
}
