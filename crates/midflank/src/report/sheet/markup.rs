//! A sheet as HTML: the blocks that are set in type, as markup, and its drawings as SVG.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use maud::{Markup, PreEscaped, html};
use paper::{Anchor, Block, Colour, Figure, Mark, Pen, Point, Tone};

use super::drawing;
use crate::report::html::{pieces, table};

/// The width of text on A4, points: drawings are made for it, and scale with the page.
const WIDTH: f32 = 499.0;
/// The same where a drawing stands beside something: the writing is larger for it.
const ON_A_PAGE: f32 = 400.0;
/// Letters of a screen are wider than those on paper, for which room was left.
const NARROWER: f32 = 0.9;

/// The blocks in their order; what follows a heading is its section.
pub fn blocks(blocks: &[Block]) -> Markup {
    let mut sections: Vec<(Option<&str>, Vec<&Block>)> = vec![(None, Vec::new())];
    for one in blocks {
        match one {
            Block::Heading(words) => sections.push((Some(words), Vec::new())),
            other => {
                if let Some((_, of)) = sections.last_mut() {
                    of.push(other);
                }
            }
        }
    }
    html! {
        @for (heading, of) in &sections {
            section {
                @if let Some(heading) = heading { h2 { (heading) } }
                @for one in of { (block(one, WIDTH)) }
            }
        }
    }
}

fn block(block: &Block, width: f32) -> Markup {
    html! {
        @match block {
            Block::Title(words) => h1 { (words) },
            // In a column: beside it are other sections, and none is over it.
            Block::Heading(words) => h2 { (words) },
            Block::Paragraph(tone, words) => p class=[class(*tone)] { (pieces(words)) },
            Block::Facts(_, facts) => dl class="facts" {
                @for (name, words) in facts { div { dt { (name) } dd { (pieces(words)) } } }
            },
            Block::List(all) => ul { @for words in all { li { (pieces(words)) } } },
            Block::Table(rows) => div class="wide" tabindex="0" { (table(rows)) },
            Block::Figure(one) => (figure(one, width)),
            Block::Letterhead { lines, logo } => div class="letterhead" {
                p { @for (index, line) in lines.iter().enumerate() {
                    @if index == 0 { strong { (line) } } @else { br; (line) }
                } }
                @if let Some(logo) = logo { img src=(format!("data:image/png;base64,{}", STANDARD.encode(&logo.png))) alt=(logo.alt); }
            },
            Block::Columns(columns) => div class="beside" {
                @for (share, of) in columns {
                    div class=(format!("part-{:.0}", share * 100.0)) { @for one in of { (self::block(one, width * share)) } }
                }
            },
            Block::ToSign(lines) => p class="sign" { @for line in lines { span { (line) } } },
            Block::End(words) => p class="soft" { (words) },
        }
    }
}

const fn class(tone: Tone) -> Option<&'static str> {
    match tone {
        Tone::Plain => None,
        Tone::Fine => Some("fine"),
        Tone::Soft => Some("soft"),
        Tone::Caution => Some("caution"),
        Tone::Framed => Some("doubt"),
        Tone::Large => Some("large"),
        Tone::Shout(_) => Some("shout"),
    }
}

/// A drawing under its title, on a page; it keeps a width at which its writing can be read.
pub fn under_title((title, figure): &(String, Figure)) -> Markup {
    html! {
        h3 { (title) }
        div class="wide plot" tabindex="0" role="region" aria-label=(title) { (self::figure(figure, ON_A_PAGE)) }
    }
}

fn figure(figure: &Figure, width: f32) -> Markup {
    let marks = (figure.draw)(width);
    html! {
        svg class="drawn" viewBox=(format!("0 0 {width:.2} {:.2}", figure.height)) role="img" aria-label=(figure.alt) {
            @for mark in &marks { (self::mark(mark)) }
        }
    }
}

fn mark(mark: &Mark) -> Markup {
    match mark {
        Mark::Line(pen, through) => {
            let points = points(through);
            html! { polyline points=(points) class=(drawn(None, Some(pen))) stroke-width=(pen.width) stroke-dasharray=[dash(pen)] {} }
        }
        Mark::Area {
            corners,
            fill,
            edge,
        } => {
            let points = points(corners);
            let class = drawn(*fill, edge.as_ref());
            html! { polygon points=(points) class=(class) stroke-width=[width(edge.as_ref())] stroke-dasharray=[edge.as_ref().and_then(dash)] {} }
        }
        Mark::Circle {
            centre,
            radius,
            fill,
            edge,
        } => {
            let class = drawn(*fill, edge.as_ref());
            html! { circle cx=(coordinate(centre.x)) cy=(coordinate(centre.y)) r=(coordinate(*radius)) class=(class) stroke-width=[width(edge.as_ref())] {} }
        }
        Mark::Text {
            at,
            anchor,
            size,
            colour,
            strong,
            text,
        } => {
            let anchor = match anchor {
                Anchor::Start => "start",
                Anchor::Middle => "middle",
                Anchor::End => "end",
            };
            let weight = if *strong { "700" } else { "400" };
            html! {
                g class=(format!("fill-{}", name(*colour))) font-size=(coordinate(size * NARROWER)) font-weight=(weight) {
                    text x=(coordinate(at.x)) y=(coordinate(at.y)) text-anchor=(anchor) { (text) }
                }
            }
        }
    }
}

/// A colour by the name that the style sheet has for it, which is another on a dark screen.
fn name(colour: Colour) -> &'static str {
    let known = [
        (paper::SOFT, "soft"),
        (paper::HAIR, "hair"),
        (paper::PAPER, "card"),
        (drawing::colour("accept"), "accept"),
        (drawing::colour("reject"), "reject"),
        (drawing::colour("undecided"), "undecided"),
        (drawing::ACCENT, "accent"),
        (drawing::ACCEPTED, "accepted"),
    ];
    let found = known.iter().find(|(known, _)| *known == colour);
    found.map_or("ink", |(_, name)| name)
}

fn drawn(fill: Option<Colour>, edge: Option<&Pen>) -> String {
    let fill = fill.map_or("none", name);
    let stroke = edge.map_or("none", |pen| name(pen.colour));
    format!("fill-{fill} stroke-{stroke}")
}

fn width(pen: Option<&Pen>) -> Option<f32> {
    pen.map(|pen| pen.width)
}

fn dash(pen: &Pen) -> Option<String> {
    pen.dash.map(|(dash, gap)| format!("{dash} {gap}"))
}

fn points(through: &[Point]) -> PreEscaped<String> {
    let each = through.iter();
    let each = each.map(|point| format!("{},{}", coordinate(point.x), coordinate(point.y)));
    PreEscaped(each.collect::<Vec<_>>().join(" "))
}

/// To a hundredth of a point.
fn coordinate(value: f32) -> String {
    format!("{value:.2}")
}
