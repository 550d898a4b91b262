//! Features other than threads in section, with the contacts where they touch: to scale, at the middle of the limits.

use maud::{Markup, html};
use metrology::features::groove_diameter::Groove;
use metrology::features::keyseat::physics::chord_height;
use metrology::features::keyseat::{Keyseat, KeyseatConvention};
use metrology::features::lobed_shaft::LobedShaft;
use metrology::inspection::{ContactKind, Contacts, Feature, Standard, Target, middle};
use metrology::units::Entered;

use super::sheet::{self, Label};
use super::{GAP, HEIGHT, WIDTH, cut_pattern, limits_in_words, polar};
use crate::bench::words;
use crate::report::feature_picture::CRIMP;

/// How much of the picture's height a part may take, so that contacts have room.
const ROOM: f64 = 0.62;

/// From millimetres about the middle of the part, y upwards, to the picture.
#[derive(Clone, Copy)]
struct View {
    scale: f64,
}

impl View {
    /// So that a part of this width and height, millimetres, fills its room.
    fn filling(width: f64, height: f64) -> Self {
        let scale = (WIDTH * 0.9 / width).min(HEIGHT * ROOM / height);
        Self {
            scale: if scale.is_finite() { scale } else { 1.0 },
        }
    }

    fn at(self, x: f64, y: f64) -> (f64, f64) {
        (WIDTH / 2.0 + x * self.scale, HEIGHT / 2.0 - y * self.scale)
    }

    /// A rectangle between two corners.
    fn block(self, from: (f64, f64), to: (f64, f64), class: &str) -> Markup {
        let ((x0, y0), (x1, y1)) = (self.at(from.0, from.1), self.at(to.0, to.1));
        let fill = (class == "whole").then_some("url(#cut)");
        html! {
            rect x=(n(x0.min(x1))) y=(n(y0.min(y1))) width=(n((x1 - x0).abs())) height=(n((y1 - y0).abs())) class=(class) fill=[fill] {}
        }
    }

    fn circle(self, x: f64, y: f64, radius: f64, class: &str) -> Markup {
        let (x, y) = self.at(x, y);
        let fill = (class == "whole").then_some("url(#cut)");
        html! { circle cx=(n(x)) cy=(n(y)) r=(n(radius * self.scale)) class=(class) fill=[fill] {} }
    }

    fn touch(self, x: f64, y: f64) -> Markup {
        let (x, y) = self.at(x, y);
        html! { circle cx=(n(x)) cy=(n(y)) r="4" class="touch" {} }
    }

    /// A closed outline.
    fn shape(self, points: &[(f64, f64)], class: &str) -> Markup {
        let points: Vec<String> = points
            .iter()
            .map(|(x, y)| {
                let (x, y) = self.at(*x, *y);
                format!("{} {}", n(x), n(y))
            })
            .collect();
        let fill = (class == "whole").then_some("url(#cut)");
        html! { path d=(format!("M{}Z", points.join("L"))) class=(class) fill=[fill] {} }
    }

    /// To beyond the edge of the picture, millimetres.
    fn beyond(self) -> f64 {
        HEIGHT / self.scale
    }
}

/// The feature in section; the contacts too, where they are chosen.
pub fn section(target: &Target, feature: &Feature, contacts: Option<&Contacts>) -> Markup {
    let size = middle(target.limits);
    let (drawn, to_scale) = match feature {
        Feature::PlainDiameter(_) => (round(size, contacts), true),
        Feature::LobedShaft(shaft) => (lobed(shaft, contacts.is_some()), false),
        Feature::TubeWall(wall) => (tube(mm(&wall.bore), size, contacts, true), true),
        Feature::InsideDiameter(tube_of) => {
            let wall = (mm(&tube_of.outside_diameter) - size) / 2.0;
            (tube(size, wall, contacts, false), true)
        }
        Feature::BoreToFlat(web) => (web_of(mm(&web.bore), size, contacts), true),
        Feature::GrooveDiameter(groove) | Feature::Undercut(groove) => {
            (grooved(groove, size, contacts), true)
        }
        Feature::GrooveWidth(discs) => {
            let discs = (mm(&discs.anvil_disc), mm(&discs.spindle_disc));
            (between_walls(size, discs, contacts.is_some()), true)
        }
        Feature::Land(land) => {
            let disc = contacts.map(|contacts| thickness(contacts, mm(&land.groove_width) / 2.0));
            (land_of(size, mm(&land.groove_width), disc), true)
        }
        Feature::Keyseat(seat) => (keyseat(seat, size, contacts), true),
        Feature::SoftThickness(_) => (soft_sheet(size, contacts), true),
        Feature::CrimpHeight(_) => (crimp(contacts.is_some()), false),
    };
    let Drawn {
        shapes,
        limits_at: (x, y, anchor),
    } = drawn;
    let mut labels = vec![Label::new(x, y, anchor, sheet::limits(target))];
    let size = contacts.and_then(sheet::contact_size);
    labels.extend(size.map(Label::in_corner));
    let shapes = html! { (cut_pattern()) (shapes) };
    let told = words::feature_section(
        &target.name,
        crate::words::name(feature),
        contacts.map(|contacts| crate::words::name(&contacts.kind)),
    );
    let caption = html! { (crate::words::characteristic(target)) " " (limits_in_words(target)) " · " @if to_scale { (words::to_scale()) } @else { (words::sketch()) } };
    sheet::figure(words::section_label(), &told, &shapes, &labels, &caption)
}

/// A plain standard between the contacts; with wires the faces close on it without them.
pub fn on_plain_standard(standard: &Standard, contacts: Option<&Contacts>) -> Markup {
    let size = standard.size.value().mm();
    // As wide as a block is to the eye, whatever its length.
    let view = View::filling(1.6 * size, size);
    let half = size / 2.0;
    let ((x, high), (from, low)) = (view.at(0.55 * size, half), view.at(0.4 * size, -half));
    let x = x.min(AT_THE_EDGE);
    let shapes = html! {
        (cut_pattern())
        (view.block((-0.4 * size, half), (0.4 * size, -half), "whole"))
        (measured_upright(from, x, high, low))
        @if let Some(contacts) = contacts {
            @if contacts.kind == ContactKind::SphereAndFlat {
                (outside(view, contacts, half))
                @if let Some(sphere) = &contacts.tip_radius {
                    (view.circle(0.0, -half - mm(sphere), mm(sphere), "contact"))
                }
            } @else {
                (face(view, contacts, half))
                (face(view, contacts, -half))
            }
            (view.touch(0.0, half)) (view.touch(0.0, -half))
        }
    };
    let label = Label::new(
        x + 9.0,
        HEIGHT / 2.0,
        "start",
        vec![words::spaced(&standard.size)],
    );
    let caption =
        html! { (standard.id) ", " (words::certified()) " " (words::spaced(&standard.size)) };
    let told = words::on_plain_standard(&standard.id);
    sheet::figure(
        words::on_standard_label(),
        &told,
        &shapes,
        &[label],
        &caption,
    )
}

/// A drawing, and where the limits stand beside their dimension line.
struct Drawn {
    shapes: Markup,
    limits_at: (f64, f64, &'static str),
}

/// The middle of the dimension line of a drawing whose material goes to its edges.
const AT_THE_EDGE: f64 = WIDTH - 30.0;

/// A dimension between two heights of the part, beside it at `x` of the picture, with lines to it from `from`.
fn measured_upright(from: f64, x: f64, high: f64, low: f64) -> Markup {
    html! {
        (sheet::extension((from, high), (x + 5.0, high)))
        (sheet::extension((from, low), (x + 5.0, low)))
        (sheet::upright(x, high, low))
    }
}

/// A round part between faces.
fn round(diameter: f64, contacts: Option<&Contacts>) -> Drawn {
    let view = View::filling(diameter, diameter);
    let radius = diameter / 2.0;
    let ((x, high), (from, low)) = (view.at(1.3 * radius, radius), view.at(0.0, -radius));
    let shapes = html! {
        (view.circle(0.0, 0.0, radius, "whole"))
        (axes(view, radius))
        (measured_upright(from, x, high, low))
        @if let Some(contacts) = contacts {
            (face(view, contacts, radius))
            (face(view, contacts, -radius))
            (view.touch(0.0, radius)) (view.touch(0.0, -radius))
        }
    };
    let limits_at = (x + 9.0, HEIGHT / 2.0, "start");
    Drawn { shapes, limits_at }
}

fn axes(view: View, radius: f64) -> Markup {
    let ((left, y), (right, _)) = (view.at(-1.12 * radius, 0.0), view.at(1.12 * radius, 0.0));
    html! { path d=(format!("M{} {}H{}", n(left), n(y), n(right))) class="axis" {} }
}

/// A contact that touches at a height, from outside: upwards where that is above the middle.
fn face(view: View, contacts: &Contacts, at: f64) -> Markup {
    let away = view.beyond().copysign(at);
    let half = |size: Option<&Entered>, other: f64| size.map_or(other, mm).min(view.beyond()) / 2.0;
    let usual = 60.0 / view.scale;
    match contacts.kind {
        ContactKind::Point | ContactKind::KnifeEdge => {
            pointed(view, at, contacts.tip_radius.as_ref().map_or(0.0, mm))
        }
        ContactKind::Spheres => {
            let radius = contacts.tip_radius.as_ref().map_or(usual / 2.0, mm);
            html! {
                (view.circle(0.0, at + radius.copysign(at), radius, "contact"))
                (view.block((-radius / 2.0, at + radius.copysign(at)), (radius / 2.0, away), "contact"))
            }
        }
        ContactKind::Blade | ContactKind::BladeAndPoint => {
            let half = half(contacts.thickness.as_ref(), usual);
            view.block((-half, at), (half, away), "contact")
        }
        _ => {
            let half = half(contacts.face.as_ref(), usual);
            view.block((-half, at), (half, away), "contact")
        }
    }
}

/// A point or edge, its tip rounded.
fn pointed(view: View, at: f64, radius: f64) -> Markup {
    let sign = 1.0_f64.copysign(at);
    let high = view.beyond();
    let wide = 24.0 / view.scale;
    html! {
        (view.shape(&[
            (-radius, at + sign * radius),
            (-wide, at + sign * (radius + 1.7 * wide)),
            (-wide, at + sign * high),
            (wide, at + sign * high),
            (wide, at + sign * (radius + 1.7 * wide)),
            (radius, at + sign * radius),
        ], "contact"))
        (view.circle(0.0, at + sign * radius, radius, "contact"))
    }
}

/// A tube with the sphere inside its wall and a face outside; its wall is measured out, or its bore.
fn tube(bore: f64, wall: f64, contacts: Option<&Contacts>, of_wall: bool) -> Drawn {
    let (inner, outer) = (bore / 2.0, bore / 2.0 + wall);
    let view = View::filling(2.0 * outer, 2.0 * outer);
    let ends = if of_wall {
        (outer, inner)
    } else {
        (inner, -inner)
    };
    let ((x, high), (from, low)) = (view.at(1.3 * outer, ends.0), view.at(0.0, ends.1));
    let shapes = html! {
        (view.circle(0.0, 0.0, outer, "whole"))
        (view.circle(0.0, 0.0, inner, "outline"))
        (axes(view, outer))
        (measured_upright(from, x, high, low))
        @if let Some(contacts) = contacts {
            (inside(view, contacts, inner))
            (outside(view, contacts, outer))
            (view.touch(0.0, inner)) (view.touch(0.0, outer))
        }
    };
    // The arrows of a wall stand outside it.
    let y = if of_wall {
        f64::midpoint(high, low) + 44.0
    } else {
        HEIGHT / 2.0
    };
    let limits_at = (x + 9.0, y, "start");
    Drawn { shapes, limits_at }
}

/// What lies in a bore against its upper wall.
fn inside(view: View, contacts: &Contacts, radius: f64) -> Markup {
    if let Some(sphere) = &contacts.tip_radius {
        return view.circle(0.0, radius - mm(sphere), mm(sphere), "contact");
    }
    let half = contacts.face.as_ref().map_or(radius / 3.0, mm) / 2.0;
    let high = (radius * radius - half * half).max(0.0).sqrt();
    view.block((-half, high), (half, high - radius / 3.0), "contact")
}

/// The face against the outside, which is flat even where the other contact is a sphere.
fn outside(view: View, contacts: &Contacts, at: f64) -> Markup {
    match contacts.kind {
        ContactKind::SphereAndFlat => {
            let usual = 60.0 / view.scale;
            let half = contacts.face.as_ref().map_or(usual, mm) / 2.0;
            view.block((-half, at), (half, view.beyond().copysign(at)), "contact")
        }
        _ => face(view, contacts, at),
    }
}

/// A bore above a flat surface.
fn web_of(bore: f64, web: f64, contacts: Option<&Contacts>) -> Drawn {
    let radius = bore / 2.0;
    let (half, high) = (1.15 * radius.max(web), radius + 0.35 * bore);
    let view = View::filling(2.0 * half, high + radius + web);
    // The middle of the picture lies at the middle of the block.
    let lift = (radius + web - high) / 2.0;
    let floor = lift - radius - web;
    let ((x, top), (from, bottom)) = (view.at(half, lift - radius), view.at(0.0, floor));
    let x = x + 22.0;
    let shapes = html! {
        (view.block((-half, lift + high), (half, floor), "whole"))
        (view.circle(0.0, lift, radius, "outline"))
        (measured_upright(from, x, top, bottom))
        @if let Some(contacts) = contacts {
            @if let Some(sphere) = &contacts.tip_radius {
                (view.circle(0.0, lift - radius + mm(sphere), mm(sphere), "contact"))
            }
            (outside(view, contacts, floor))
            (view.touch(0.0, lift - radius)) (view.touch(0.0, floor))
        }
    };
    let limits_at = (x + 9.0, top - 30.0, "start");
    Drawn { shapes, limits_at }
}

/// A groove round a shaft in section along it: walls, root radii, and a contact on the floor from either side. A shaft that
/// is thicker than the picture has its middle broken out.
fn grooved(groove: &Groove, diameter: f64, contacts: Option<&Contacts>) -> Drawn {
    let width = mm(&groove.width);
    let depth = match (&groove.depth, &groove.land_diameter) {
        (Some(depth), _) => mm(depth),
        (None, Some(land)) => ((mm(land) - diameter) / 2.0).max(0.1 * width),
        (None, None) => 0.6 * width,
    };
    let radius = groove
        .root_radius
        .as_ref()
        .map_or(0.0, mm)
        .min(width / 2.0)
        .min(depth);
    let lean = (libm::tan(groove.wall_angle.unwrap_or(0.0).to_radians()) * depth).min(width / 2.0);
    let whole = diameter + 2.0 * depth;
    let shown = whole.min(2.0 * depth + 1.6 * width.max(depth));
    let view = View::filling(3.2 * width, shown);
    // So much of either half is left out, and a gap shows it.
    let broken_out = (whole - shown) / 2.0;
    let gap = if broken_out > 0.0 {
        GAP / view.scale
    } else {
        0.0
    };
    let (top, floor) = (whole / 2.0 - broken_out, diameter / 2.0 - broken_out);
    let half_picture = WIDTH / view.scale;
    let half = width / 2.0;
    let foot = half - lean;
    // A quarter circle where wall meets floor, in both corners: how far in from the wall, and how far up from the floor.
    let quarter: Vec<(f64, f64)> = (0..=8)
        .map(|step| {
            let (sin, cos) = libm::sincos(f64::from(step) * std::f64::consts::FRAC_PI_2 / 8.0);
            (radius * (1.0 - cos), radius * (1.0 - sin))
        })
        .collect();
    let mut outline = vec![(-half_picture, top), (-half, top)];
    let corner = |(along, up): &(f64, f64)| (-foot + along, floor + up);
    outline.extend(quarter.iter().map(corner));
    outline.extend(
        quarter
            .iter()
            .rev()
            .map(|one| (-corner(one).0, corner(one).1)),
    );
    outline.extend([
        (half, top),
        (half_picture, top),
        (half_picture, gap),
        (-half_picture, gap),
    ]);
    let mirrored: Vec<(f64, f64)> = outline.iter().map(|(x, y)| (*x, -y)).collect();
    let ((from, high), (_, low)) = (view.at(0.0, floor), view.at(0.0, -floor));
    let x = AT_THE_EDGE;
    let shapes = html! {
        (view.shape(&outline, "whole"))
        (view.shape(&mirrored, "whole"))
        @if broken_out <= 0.0 { path d=(format!("M0 {0}H{WIDTH}", HEIGHT / 2.0)) class="axis" {} }
        (measured_upright(from, x, high, low))
        @if let Some(contacts) = contacts {
            @for side in [1.0, -1.0] {
                (on_floor(view, contacts, floor, side))
                (view.touch(0.0, side * floor))
            }
        }
    };
    let limits_at = (x - 9.0, HEIGHT / 2.0, "end");
    Drawn { shapes, limits_at }
}

/// What stands on a floor, from above (`side` 1) or from below (-1).
fn on_floor(view: View, contacts: &Contacts, floor: f64, side: f64) -> Markup {
    let at = |y: f64| side * (floor + y);
    let width = match contacts.kind {
        ContactKind::KnifeEdge | ContactKind::Point => None,
        ContactKind::Blade => contacts.thickness.as_ref(),
        _ => contacts.face.as_ref(),
    };
    if let Some(width) = width {
        let half = mm(width) / 2.0;
        return view.block((-half, at(0.0)), (half, at(view.beyond())), "contact");
    }
    let radius = contacts.tip_radius.as_ref().map_or(0.0, mm);
    let wide = (16.0 / view.scale).max(1.2 * radius);
    html! {
        (view.shape(&[
            (-radius, at(radius)),
            (-wide, at(radius + 3.0 * wide)),
            (-wide, at(view.beyond())),
            (wide, at(view.beyond())),
            (wide, at(radius + 3.0 * wide)),
            (radius, at(radius)),
        ], "contact"))
        (view.circle(0.0, at(radius), radius, "contact"))
    }
}

/// The outer faces of two discs against the walls of a groove.
fn between_walls(width: f64, discs: (f64, f64), seated: bool) -> Drawn {
    let view = View::filling(2.6 * width, 1.4 * width);
    let (half, top, deep) = (width / 2.0, 0.35 * width, -0.35 * width);
    let (far, beneath) = (1.3 * width, -0.7 * width);
    let outline = [
        (-far, top),
        (-half, top),
        (-half, deep),
        (half, deep),
        (half, top),
        (far, top),
        (far, beneath),
        (-far, beneath),
    ];
    let low = deep + 0.15 * width;
    let (left, y) = view.at(-half, deep);
    let (right, _) = view.at(half, deep);
    let shapes = html! {
        (view.shape(&outline, "whole"))
        (measured_along(y + 26.0, (left, y), (right, y)))
        @if seated {
            (view.block((-half, low), (-half + discs.0, view.beyond()), "contact"))
            (view.block((half - discs.1, low), (half, view.beyond()), "contact"))
            (view.touch(-half, 0.0)) (view.touch(half, 0.0))
        }
    };
    let limits_at = (WIDTH / 2.0, y + 54.0, "middle");
    Drawn { shapes, limits_at }
}

/// A dimension along the part, under it at `y` of the picture.
fn measured_along(y: f64, left: (f64, f64), right: (f64, f64)) -> Markup {
    html! {
        (sheet::extension(left, (left.0, y + 5.0)))
        (sheet::extension(right, (right.0, y + 5.0)))
        (sheet::along(y, left.0, right.0))
    }
}

/// The inner faces of two discs against a land.
fn land_of(width: f64, groove: f64, disc: Option<f64>) -> Drawn {
    let total = width + 2.0 * groove;
    let view = View::filling(1.5 * total, 1.2 * total.min(3.0 * width));
    let high = 0.3 * total.min(3.0 * width);
    let (half, wall, far) = (width / 2.0, width / 2.0 + groove, 0.75 * total);
    let outline = [
        (-far, high),
        (-wall, high),
        (-wall, -high),
        (-half, -high),
        (-half, high),
        (half, high),
        (half, -high),
        (wall, -high),
        (wall, high),
        (far, high),
        (far, -2.0 * high),
        (-far, -2.0 * high),
    ];
    let low = -0.6 * high;
    let (left, y) = view.at(-half, -high);
    let (right, _) = view.at(half, -high);
    let shapes = html! {
        (view.shape(&outline, "whole"))
        (measured_along(y + 26.0, (left, y), (right, y)))
        @if let Some(disc) = disc {
            (view.block((-half - disc, low), (-half, view.beyond()), "contact"))
            (view.block((half, low), (half + disc, view.beyond()), "contact"))
            (view.touch(-half, 0.2 * high)) (view.touch(half, 0.2 * high))
        }
    };
    let limits_at = (WIDTH / 2.0, y + 54.0, "middle");
    Drawn { shapes, limits_at }
}

/// A shaft with its seat; what the drawing states is measured out beside it.
fn keyseat(seat: &Keyseat, size: f64, contacts: Option<&Contacts>) -> Drawn {
    let (shaft, width) = (mm(&seat.shaft_diameter), mm(&seat.width));
    let radius = shaft / 2.0;
    let view = View::filling(shaft, shaft);
    let arc = chord_height(shaft, width).unwrap_or(0.0);
    let floor = match seat.convention {
        KeyseatConvention::BottomToOppositeSide => size - radius,
        KeyseatConvention::DepthFromCrown => radius - size,
        KeyseatConvention::DepthFromEdge => radius - arc - size,
    };
    let half = width / 2.0;
    // Round the shaft from one edge of the seat to the other, and down into it.
    let edge = libm::atan2(radius - arc, half);
    let turn = std::f64::consts::TAU - (std::f64::consts::PI - 2.0 * edge);
    let mut outline: Vec<(f64, f64)> = (0..=120)
        .map(|step| {
            let angle = edge - turn * f64::from(step) / 120.0;
            (radius * libm::cos(angle), radius * libm::sin(angle))
        })
        .collect();
    outline.extend([(-half, floor), (half, floor)]);
    let (from, to) = match seat.convention {
        KeyseatConvention::BottomToOppositeSide => (floor, -radius),
        KeyseatConvention::DepthFromCrown => (radius, floor),
        KeyseatConvention::DepthFromEdge => (radius - arc, floor),
    };
    let ((x, high), (_, low)) = (view.at(1.3 * radius, from), view.at(1.3 * radius, to));
    let shapes = html! {
        (view.shape(&outline, "whole"))
        (axes(view, radius))
        @if from == radius { (crown(view, radius, edge)) }
        (measured_upright(WIDTH / 2.0, x, high, low))
        @if let Some(contacts) = contacts {
            (on_floor(view, contacts, floor, 1.0))
            (outside(view, contacts, -radius))
            (view.touch(0.0, floor)) (view.touch(0.0, -radius))
        }
    };
    let limits_at = (x + 9.0, f64::midpoint(high, low), "start");
    Drawn { shapes, limits_at }
}

/// Where the shaft was before the seat was cut: from one of its edges over the crown to the other.
fn crown(view: View, radius: f64, edge: f64) -> Markup {
    let ((x0, y0), (x1, y1)) = (
        view.at(radius * libm::cos(edge), radius * libm::sin(edge)),
        view.at(-radius * libm::cos(edge), radius * libm::sin(edge)),
    );
    let r = n(radius * view.scale);
    html! { path d=(format!("M{} {}A{r} {r} 0 0 0 {} {}", n(x0), n(y0), n(x1), n(y1))) class="axis" {} }
}

/// A sheet between faces.
fn soft_sheet(thickness: f64, contacts: Option<&Contacts>) -> Drawn {
    let face_size = contacts
        .and_then(|contacts| contacts.face.as_ref())
        .map_or(6.0 * thickness, mm);
    let wide = 1.6 * face_size.max(2.0 * thickness);
    let view = View::filling(wide, 2.0 * thickness);
    let half = thickness / 2.0;
    let ((edge, high), (_, low)) = (view.at(wide / 2.0, half), view.at(wide / 2.0, -half));
    let x = (edge + 20.0).min(AT_THE_EDGE);
    let shapes = html! {
        (view.block((-wide / 2.0, half), (wide / 2.0, -half), "whole"))
        (measured_upright(edge, x, high, low))
        @if contacts.is_some() {
            (view.block((-face_size / 2.0, half), (face_size / 2.0, view.beyond()), "contact"))
            (view.block((-face_size / 2.0, -half), (face_size / 2.0, -view.beyond()), "contact"))
        }
    };
    let limits_at = (x, low + 50.0, "middle");
    Drawn { shapes, limits_at }
}

/// A lobed shaft, its lobes drawn large, between the faces that show two-point diameters.
fn lobed(shaft: &LobedShaft, seated: bool) -> Drawn {
    let (radius, lobe) = (96.0, 9.0);
    let count = f64::from(shaft.lobes);
    let top = std::f64::consts::FRAC_PI_2;
    let reach = |angle: f64| radius + lobe * libm::cos(count * (angle - top));
    let points: Vec<String> = (0..180)
        .map(|step| {
            let angle = f64::from(step) * std::f64::consts::PI / 90.0;
            let (x, y) = polar((WIDTH / 2.0, HEIGHT / 2.0), reach(angle), angle);
            format!("{} {}", n(x), n(y))
        })
        .collect();
    let (high, low) = (HEIGHT / 2.0 - reach(top), HEIGHT / 2.0 + reach(-top));
    let x = WIDTH / 2.0 + 1.3 * (radius + lobe);
    let shapes = html! {
        path d=(format!("M{}Z", points.join("L"))) class="whole" fill="url(#cut)" {}
        (measured_upright(WIDTH / 2.0, x, high, low))
        @if seated {
            rect x=(n(WIDTH / 2.0 - 60.0)) y="-2" width="120" height=(n(high + 2.0)) class="contact" {}
            rect x=(n(WIDTH / 2.0 - 60.0)) y=(n(low)) width="120" height=(n(HEIGHT - low + 2.0)) class="contact" {}
            circle cx=(n(WIDTH / 2.0)) cy=(n(high)) r="4" class="touch" {}
            circle cx=(n(WIDTH / 2.0)) cy=(n(low)) r="4" class="touch" {}
        }
    };
    let limits_at = (x + 9.0, HEIGHT / 2.0, "start");
    Drawn { shapes, limits_at }
}

/// A crimp in section: blade on the two lobes, point below, between the flash.
fn crimp(seated: bool) -> Drawn {
    // The lobes and the floor of the terminal, as they lie in the picture.
    let (high, low, x) = (20.0 + 1.12 * 70.0, 20.0 + 1.12 * 180.0, WIDTH - 70.0);
    let shapes = html! {
        (measured_upright(WIDTH / 2.0, x, high, low))
        g transform="translate(40 20) scale(1.12)" {
            path d=(CRIMP) class="whole" fill="url(#cut)" {}
            path d="M110 170l-6 14M210 170l6 14" class="body" {}
            @if seated {
                path d="M120 70H200V-30H120Z" class="contact" {}
                path d="M160 180L140 222V300H180V222Z" class="contact" {}
                circle cx="135" cy="70" r="4" class="touch" {}
                circle cx="185" cy="70" r="4" class="touch" {}
                circle cx="160" cy="180" r="4" class="touch" {}
            }
        }
    };
    let limits_at = (x + 9.0, f64::midpoint(high, low), "start");
    Drawn { shapes, limits_at }
}

fn mm(length: &Entered) -> f64 {
    length.value().mm()
}

fn thickness(contacts: &Contacts, other: f64) -> f64 {
    contacts.thickness.as_ref().map_or(other, mm)
}

/// A coordinate, to a hundredth.
fn n(coordinate: f64) -> String {
    format!("{coordinate:.2}")
}
