//! The profile of a thread in axial section: one description for drawings, wires and contacts.
//!
//! Lengths in millimetres, distances from the pitch line, where ridge and groove are both half a pitch wide. Crest and
//! root are those of the member: the crest of a bolt is at its major diameter, that of a nut at its minor diameter.
//!
//! ```text
//! H = P / (2 tan a)                 height of the sharp V; a is the flank angle, half the included angle
//! flat at distance y                P/2 - 2 y tan a wide
//! arc tangent to both flanks        r (1/sin a - 1) cut off the sharp V
//! ```

use crate::designation::{Form, Kind};
use crate::limits::{ThreadLimits, trapezoidal};
use crate::units::{Angle, LengthUnit, Pitch};

/// The profile of one member in axial section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Profile {
    /// External or internal.
    pub kind: Kind,
    /// The pitch, in mm.
    pub pitch: f64,
    /// Between a flank and the normal to the axis; both flanks lean alike in every form here.
    pub flank_angle: Angle,
    /// Where the ridge ends.
    pub crest: Edge,
    /// Where the groove ends.
    pub root: Edge,
}

/// A crest or a root.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Edge {
    /// From the pitch line, in mm.
    pub distance: f64,
    /// Its shape there.
    pub shape: Shape,
}

/// How a crest or root is shaped.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shape {
    /// A flat, parallel to the axis; its width in mm.
    Flat(f64),
    /// An arc tangent to both flanks; its radius in mm.
    Round(f64),
}

/// One step along the outline of a ridge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Step {
    /// A straight line to a point.
    Line([f64; 2]),
    /// An arc of this radius to a point.
    Arc {
        /// Where it ends.
        to: [f64; 2],
        radius: f64,
    },
}

/// Distances and arcs of a form, in pitches: pitch line to the edge at the major diameter and at the minor diameter.
struct Ends {
    included_deg: f64,
    major: End,
    minor: End,
}

#[derive(Clone, Copy)]
enum End {
    Flat(f64),
    Round(f64),
}

/// H over P of 60 degrees. [`Source::Iso68_1`](crate::source::Source::Iso68_1)
const H_60: f64 = 0.866_025_403_784_438_6;

impl Profile {
    /// The design profile of a form: its nominal crest and root, without tolerances.
    ///
    /// Root of a bolt of 60 degrees: the arc of radius H/6 (ISO 68-1), for UNJ and MJ the largest one, 5/24 H. Acme and
    /// trapezoidal roots lie their clearance deeper than the mating crest.
    pub fn of(form: Form, kind: Kind, pitch: Pitch) -> Self {
        let p = pitch.mm();
        let external = kind == Kind::External;
        let ends = match form {
            Form::Unified | Form::IsoMetric => Ends {
                included_deg: 60.0,
                major: End::Flat(3.0 / 8.0 * H_60),
                minor: if external {
                    End::Round(H_60 / 3.0)
                } else {
                    End::Flat(H_60 / 4.0)
                },
            },
            Form::Unj | Form::Mj => Ends {
                included_deg: 60.0,
                major: End::Flat(3.0 / 8.0 * H_60),
                minor: if external {
                    End::Round(H_60 / 2.0 - 5.0 / 24.0 * H_60)
                } else {
                    End::Flat(3.0 / 16.0 * H_60)
                },
            },
            // 0.640 327 P high, both ends rounded. BS 84, ISO 228-1, ISO 7-1.
            Form::Whitworth | Form::GPipe | Form::RPipe => Ends {
                included_deg: 55.0,
                major: End::Round(0.640_327 / 2.0),
                minor: End::Round(0.640_327 / 2.0),
            },
            // 0.6 P high, both ends rounded. BS 93.
            Form::Ba => Ends {
                included_deg: 47.5,
                major: End::Round(0.3),
                minor: End::Round(0.3),
            },
            Form::Trapezoidal | Form::Acme | Form::StubAcme => {
                let (included_deg, half_height) = match form {
                    Form::Trapezoidal => (30.0, 0.25),
                    Form::Acme => (29.0, 0.25),
                    _ => (29.0, 0.15),
                };
                let root = half_height + root_clearance_mm(form, pitch) / p;
                Ends {
                    included_deg,
                    major: End::Flat(if external { half_height } else { root }),
                    minor: End::Flat(if external { root } else { half_height }),
                }
            }
            // 0.8 P high. ASME B1.20.1.
            Form::Npt => Ends {
                included_deg: 60.0,
                major: End::Flat(0.4),
                minor: End::Flat(0.4),
            },
        };
        let flank_angle = Angle::from_degrees(ends.included_deg / 2.0);
        let edge = |end: End| match end {
            End::Flat(distance) => Edge {
                distance: distance * p,
                shape: Shape::Flat(flat_width(p, flank_angle, distance * p)),
            },
            End::Round(distance) => Edge {
                distance: distance * p,
                shape: Shape::Round(arc_radius(p, flank_angle, distance * p)),
            },
        };
        let (major, minor) = (edge(ends.major), edge(ends.minor));
        Self {
            kind,
            pitch: p,
            flank_angle,
            crest: if external { major } else { minor },
            root: if external { minor } else { major },
        }
    }

    /// The height of the sharp V, in mm.
    pub fn fundamental_height(&self) -> f64 {
        fundamental_height(self.pitch, self.flank_angle)
    }

    /// From crest to root, in mm.
    pub fn height(&self) -> f64 {
        self.crest.distance + self.root.distance
    }

    /// How far the straight flank reaches from the pitch line towards an edge: what a contact can touch.
    pub fn straight_flank(&self, edge: Edge) -> f64 {
        match edge.shape {
            Shape::Flat(_) => edge.distance,
            Shape::Round(radius) => {
                edge.distance - radius * (1.0 - libm::sin(self.flank_angle.radians()))
            }
        }
    }

    /// The same form with crest and root elsewhere, as limits of size put them; arcs stay tangent to the flanks.
    pub fn with_edges(&self, crest: f64, root: f64) -> Self {
        let sharp = self.fundamental_height() / 2.0;
        let moved = |edge: Edge, distance: f64| {
            let distance = distance.clamp(0.0, sharp);
            Edge {
                distance,
                shape: match edge.shape {
                    Shape::Flat(_) => {
                        Shape::Flat(flat_width(self.pitch, self.flank_angle, distance))
                    }
                    Shape::Round(_) => {
                        Shape::Round(arc_radius(self.pitch, self.flank_angle, distance))
                    }
                },
            }
        };
        Self {
            crest: moved(self.crest, crest),
            root: moved(self.root, root),
            ..*self
        }
    }

    /// One ridge from the middle of a groove to the middle of the next: x along the axis from the ridge's middle,
    /// y away from the pitch line towards the crest. Begins at (-P/2, -root).
    pub fn ridge(&self) -> Vec<Step> {
        let slope = libm::tan(self.flank_angle.radians());
        // On a flank, half the ridge's width at height y above the pitch line.
        let half_ridge = |y: f64| self.pitch / 4.0 - y * slope;
        let half = self.pitch / 2.0;
        let (crest, root) = (self.crest.distance, self.root.distance);
        let (up, down) = (
            self.straight_flank(self.crest),
            -self.straight_flank(self.root),
        );
        let mut steps = Vec::with_capacity(8);
        match self.root.shape {
            Shape::Flat(_) => steps.push(Step::Line([-half_ridge(-root), -root])),
            Shape::Round(radius) => steps.push(Step::Arc {
                to: [-half_ridge(down), down],
                radius,
            }),
        }
        match self.crest.shape {
            Shape::Flat(_) => {
                steps.push(Step::Line([-half_ridge(crest), crest]));
                steps.push(Step::Line([half_ridge(crest), crest]));
            }
            Shape::Round(radius) => {
                steps.push(Step::Line([-half_ridge(up), up]));
                steps.push(Step::Arc {
                    to: [half_ridge(up), up],
                    radius,
                });
            }
        }
        match self.root.shape {
            Shape::Flat(_) => {
                steps.push(Step::Line([half_ridge(-root), -root]));
                steps.push(Step::Line([half, -root]));
            }
            Shape::Round(radius) => {
                steps.push(Step::Line([half_ridge(down), down]));
                steps.push(Step::Arc {
                    to: [half, -root],
                    radius,
                });
            }
        }
        steps
    }
}

impl ThreadLimits {
    /// The profile of the thread's form.
    pub fn profile(&self) -> Profile {
        Profile::of(self.form, self.kind, self.pitch)
    }
}

fn fundamental_height(pitch: f64, flank_angle: Angle) -> f64 {
    pitch / (2.0 * libm::tan(flank_angle.radians()))
}

/// The width between the flanks at a distance from the pitch line.
fn flat_width(pitch: f64, flank_angle: Angle, distance: f64) -> f64 {
    pitch / 2.0 - 2.0 * distance * libm::tan(flank_angle.radians())
}

/// The arc tangent to both flanks whose end lies at a distance from the pitch line.
fn arc_radius(pitch: f64, flank_angle: Angle, distance: f64) -> f64 {
    let cut_off = fundamental_height(pitch, flank_angle) / 2.0 - distance;
    cut_off / (1.0 / libm::sin(flank_angle.radians()) - 1.0)
}

/// How much deeper than the mating crest a root lies: ac of ISO 2901, half the diameter clearance of ASME B1.5.
fn root_clearance_mm(form: Form, pitch: Pitch) -> f64 {
    if form == Form::Trapezoidal {
        return match pitch {
            Pitch::Metric(pitch) => trapezoidal::clearance(pitch).mm(),
            Pitch::PerInch(_) => 0.0,
        };
    }
    let per_inch = 1.0 / pitch.in_unit(LengthUnit::Inch);
    if per_inch <= 10.0 + 1e-9 {
        0.254
    } else {
        0.127
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Length, ThreadsPerInch};

    fn unit_pitch(form: Form, kind: Kind) -> Profile {
        Profile::of(form, kind, Pitch::Metric(Length::from_micrometres(1_000)))
    }

    fn close(found: f64, published: f64, within: f64) {
        assert!(
            (found - published).abs() <= within,
            "{found} is not {published}"
        );
    }

    /// H and the height over the pitch: ISO 68-1, BS 84 and BS 93 with ISO 228-1, ISO 2901, ASME B1.5, B1.8, B1.20.1.
    #[test]
    fn heights_are_those_of_the_standards() {
        let external = Kind::External;
        for (form, h, height) in [
            (Form::IsoMetric, 0.866_025_404, 0.866_025_404 * 17.0 / 24.0),
            (Form::Whitworth, 0.960_491, 0.640_327),
            (Form::Ba, 1.136_336, 0.6),
            (Form::StubAcme, 1.933_357, 0.3 + 0.127),
            (Form::Npt, 0.866_025, 0.8),
        ] {
            let profile = unit_pitch(form, external);
            close(profile.fundamental_height(), h, 1e-6);
            close(profile.height(), height, 1e-6);
        }
        close(
            unit_pitch(Form::IsoMetric, Kind::Internal).height(),
            0.541_265_877,
            1e-9,
        );
        let three = Pitch::Metric(Length::from_micrometres(3_000));
        let trapezoidal = Profile::of(Form::Trapezoidal, external, three);
        close(trapezoidal.fundamental_height(), 3.0 * 1.866_025, 3e-6);
        // H4 = 0.5 P + ac, ac = 0.25 mm at this pitch: ISO 2901.
        close(trapezoidal.height(), 1.75, 1e-12);
        // 9/16 H: SAE AS8879.
        close(
            unit_pitch(Form::Unj, Kind::Internal).height(),
            0.5625 * 0.866_025_404,
            1e-9,
        );
    }

    /// Flats and radii over the pitch, from the same standards; Stub Acme 0.4224 P, Acme 0.3707 P, trapezoidal 0.366 P.
    #[test]
    fn flats_and_radii_are_those_of_the_standards() {
        let flat = |form, kind| match unit_pitch(form, kind).crest.shape {
            Shape::Flat(width) => width,
            Shape::Round(_) => f64::NAN,
        };
        close(flat(Form::IsoMetric, Kind::External), 0.125, 1e-12);
        close(flat(Form::IsoMetric, Kind::Internal), 0.25, 1e-12);
        close(flat(Form::Mj, Kind::Internal), 0.3125, 1e-12);
        close(flat(Form::Acme, Kind::External), 0.3707, 5e-5);
        close(flat(Form::StubAcme, Kind::External), 0.4224, 5e-5);
        close(flat(Form::Trapezoidal, Kind::External), 0.366, 5e-4);
        close(flat(Form::Npt, Kind::External), 0.0381, 5e-5);
        let round = |edge: Edge| match edge.shape {
            Shape::Round(radius) => radius,
            Shape::Flat(_) => f64::NAN,
        };
        close(
            round(unit_pitch(Form::IsoMetric, Kind::External).root),
            0.144_337_567,
            1e-9,
        );
        close(
            round(unit_pitch(Form::Unj, Kind::External).root),
            0.180_42,
            5e-6,
        );
        close(
            round(unit_pitch(Form::Whitworth, Kind::External).crest),
            0.137_329,
            1e-6,
        );
        close(
            round(unit_pitch(Form::Ba, Kind::External).crest),
            0.180_834_6,
            1e-6,
        );
    }

    /// What a contact can touch on either side of the pitch line, over the pitch.
    #[test]
    fn straight_flanks() {
        for (form, crest, root) in [
            (Form::IsoMetric, 0.325, 0.217),
            (Form::Whitworth, 0.246, 0.246),
            (Form::Ba, 0.192, 0.192),
        ] {
            let profile = unit_pitch(form, Kind::External);
            close(profile.straight_flank(profile.crest), crest, 5e-4);
            close(profile.straight_flank(profile.root), root, 5e-4);
        }
        let acme = Profile::of(
            Form::Acme,
            Kind::External,
            Pitch::PerInch(ThreadsPerInch::whole(10)),
        );
        close(acme.straight_flank(acme.crest) / acme.pitch, 0.25, 1e-12);
        // The root lies half of 0.020 in deeper than the basic one (ASME B1.5).
        close(acme.root.distance, 0.25 * 2.54 + 0.254, 1e-12);
    }

    /// The smallest wire that stands level with the crest, 2 (y + P/4 cot a) / (1 + cosec a), from the profile alone;
    /// published for 60 degrees as 0.505181 P and for 55 degrees as 0.505679 P.
    #[test]
    fn wires_can_be_made_from_it() {
        for (form, published) in [(Form::IsoMetric, 0.505_181), (Form::Whitworth, 0.505_679)] {
            let profile = unit_pitch(form, Kind::External);
            let a = profile.flank_angle.radians();
            let level = profile.crest.distance + profile.pitch / 4.0 / libm::tan(a);
            close(2.0 * level / (1.0 + 1.0 / libm::sin(a)), published, 1e-6);
        }
    }

    /// The outline closes: it ends one pitch on, and every arc has its ends at its radius from one centre.
    #[test]
    fn ridges_join() {
        for form in [
            Form::Unified,
            Form::Whitworth,
            Form::Ba,
            Form::Acme,
            Form::Npt,
            Form::Mj,
        ] {
            for kind in [Kind::External, Kind::Internal] {
                let profile = unit_pitch(form, kind);
                let mut last = [-0.5, -profile.root.distance];
                for step in profile.ridge() {
                    let to = match step {
                        Step::Line(to) => to,
                        Step::Arc { to, radius } => {
                            let chord = libm::hypot(to[0] - last[0], to[1] - last[1]);
                            assert!(chord < 2.0 * radius, "{form:?}");
                            to
                        }
                    };
                    assert!(to[0] >= last[0], "{form:?} {kind:?}: {to:?}");
                    last = to;
                }
                close(last[0], 0.5, 1e-12);
                close(last[1], -profile.root.distance, 1e-12);
            }
        }
    }
}
