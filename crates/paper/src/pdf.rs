//! Pages written as PDF/A-3a (ISO 19005-3:2012) and PDF/UA-1 (ISO 14289-1:2014) in one.

use std::collections::BTreeMap;
use std::num::{NonZeroU16, NonZeroU32};

use krilla::Document;
use krilla::SerializeSettings;
use krilla::color::rgb;
use krilla::configure::validate::{Accessibility, Archival};
use krilla::configure::{ConfigurationBuilder, PdfVersion};
use krilla::destination::XyzDestination;
use krilla::embed::{AssociationKind, EmbeddedFile, MimeType};
use krilla::error::KrillaError;
use krilla::geom::{Path, PathBuilder, Point as Place, Size as Extent, Transform};
use krilla::metadata::{DateTime, Metadata};
use krilla::num::NormalizedF32;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, ContentTag, Identifier, ListNumbering, Node as Child, TableHeaderScope,
    Tag, TagGroup, TagTree,
};

use crate::error::Error;
use crate::figure::{Colour, Pen, Point};
use crate::galley::{Kind, Node, Piece, Print};
use crate::pages::Pages;
use crate::sheet::{Moment, Sheet};

/// The bytes of the file.
pub fn written(sheet: &Sheet, pages: &Pages) -> Result<Vec<u8>, Error> {
    let configuration = ConfigurationBuilder::new()
        .with_version(PdfVersion::Pdf17)
        .with_archival_validator(Archival::A3_A)
        .with_accessibility_validator(Accessibility::UA1)
        .finish()
        .map_err(|error| Error::Refused(format!("{error:?}")))?;
    let mut document = Document::new_with(SerializeSettings {
        configuration,
        enable_tagging: true,
        ..SerializeSettings::default()
    });
    let (width, height) = sheet.size.points();
    let mut leaves: BTreeMap<usize, Vec<Identifier>> = BTreeMap::new();
    let mut outline = Outline::new();
    for (number, pieces) in pages.all.iter().enumerate() {
        let settings = PageSettings::from_wh(width, height)
            .ok_or_else(|| Error::Refused("page size".to_owned()))?;
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        surface.push_transform(&Transform::from_scale(pages.scale, pages.scale));
        for piece in pieces {
            let tag = match piece.node {
                Some(_) => ContentTag::Other,
                None => ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)),
            };
            let id = surface.start_tagged(tag);
            for print in &piece.prints {
                put(&mut surface, print)?;
            }
            surface.end_tagged();
            if let Some(node) = piece.node {
                let is_new = !leaves.contains_key(&node);
                leaves.entry(node).or_default().push(id);
                if let (true, Some(words)) = (is_new, heading(&pages.nodes, node)) {
                    let place =
                        XyzDestination::new(number, Place::from_xy(0.0, pages.scale * top(piece)));
                    outline.push_child(OutlineNode::new(words.to_owned(), place));
                }
            }
        }
        surface.pop();
        surface.finish();
        page.finish();
    }
    document.set_outline(outline);
    document.set_metadata(metadata(sheet));
    document.set_tag_tree(tree(&pages.nodes, &leaves).with_lang(Some(sheet.language.clone())));
    for file in &sheet.attached {
        document.embed_file(EmbeddedFile {
            path: file.name.clone(),
            mime_type: MimeType::new(&file.media_type),
            description: Some(file.description.clone()),
            association_kind: AssociationKind::Data,
            data: file.bytes.clone().into(),
            modification_date: Some(date(sheet.made_at)),
            compress: Some(true),
            location: None,
        });
    }
    document.finish().map_err(refused)
}

fn refused(error: KrillaError) -> Error {
    match error {
        KrillaError::Validation(errors) => {
            let all: Vec<String> = errors
                .iter()
                .map(|(error, _)| format!("{error:?}"))
                .collect();
            Error::Refused(all.join("; "))
        }
        error => Error::Refused(error.to_string()),
    }
}

fn heading(nodes: &[Node], node: usize) -> Option<&str> {
    match &nodes.get(node)?.kind {
        Kind::Title(words) | Kind::Heading(words) => Some(words),
        _ => None,
    }
}

/// Where a reader is taken to see a piece.
fn top(piece: &Piece) -> f32 {
    let all = piece.prints.iter().filter_map(|print| match print {
        Print::Glyphs { at, size, .. } => Some(at.y - size),
        _ => None,
    });
    all.fold(f32::INFINITY, f32::min).clamp(0.0, 10_000.0)
}

fn metadata(sheet: &Sheet) -> Metadata {
    Metadata::new()
        .title(sheet.title.clone())
        .language(sheet.language.clone())
        .creator(sheet.program.clone())
        .producer(sheet.program.clone())
        .authors(sheet.authors.clone())
        .creation_date(date(sheet.made_at))
        .document_id(sheet.identity.clone())
}

fn date(moment: Moment) -> DateTime {
    DateTime::new(moment.year)
        .month(moment.month)
        .day(moment.day)
        .hour(moment.hour)
        .minute(moment.minute)
        .second(moment.second)
        .utc_offset_hour(0)
        .utc_offset_minute(0)
}

/// The tree, from its leaves to the root: children come after their parents.
fn tree(nodes: &[Node], leaves: &BTreeMap<usize, Vec<Identifier>>) -> TagTree {
    let mut children: BTreeMap<Option<usize>, Vec<Child>> = BTreeMap::new();
    for (index, node) in nodes.iter().enumerate().rev() {
        // Collected from the last to the first.
        let mut below = children.remove(&Some(index)).unwrap_or_default();
        below.reverse();
        let own = leaves.get(&index).into_iter().flatten();
        let mut all: Vec<Child> = own.map(|id| (*id).into()).collect();
        all.extend(below);
        let group = group(&node.kind, all);
        children
            .entry(node.parent)
            .or_default()
            .push(Child::Group(group));
    }
    let mut tree = TagTree::new();
    for child in children.remove(&None).unwrap_or_default().into_iter().rev() {
        tree.push(child);
    }
    tree
}

fn group(kind: &Kind, children: Vec<Child>) -> TagGroup {
    let level = |level| NonZeroU16::new(level).unwrap_or(NonZeroU16::MIN);
    match kind {
        Kind::Title(words) => {
            TagGroup::with_children(Tag::Hn(level(1), Some(words.clone())), children)
        }
        Kind::Heading(words) => {
            TagGroup::with_children(Tag::Hn(level(2), Some(words.clone())), children)
        }
        Kind::Paragraph => TagGroup::with_children(Tag::P, children),
        Kind::List => TagGroup::with_children(Tag::L(ListNumbering::None), children),
        Kind::Item => TagGroup::with_children(Tag::LI, children),
        Kind::Label => TagGroup::with_children(Tag::Lbl, children),
        Kind::Body => TagGroup::with_children(Tag::LBody, children),
        Kind::Table => TagGroup::with_children(Tag::Table, children),
        Kind::TableHead => TagGroup::with_children(Tag::THead, children),
        Kind::TableBody => TagGroup::with_children(Tag::TBody, children),
        Kind::TableFoot => TagGroup::with_children(Tag::TFoot, children),
        Kind::Row => TagGroup::with_children(Tag::TR, children),
        Kind::ColumnTitle => TagGroup::with_children(Tag::TH(TableHeaderScope::Column), children),
        Kind::RowTitle => TagGroup::with_children(Tag::TH(TableHeaderScope::Row), children),
        Kind::Cell => TagGroup::with_children(Tag::TD, children),
        Kind::Remark(columns) => {
            let columns = u32::try_from(*columns).ok().and_then(NonZeroU32::new);
            TagGroup::with_children(Tag::TD.with_col_span(columns), children)
        }
        Kind::Figure(alt) => TagGroup::with_children(Tag::Figure(Some(alt.clone())), children),
    }
}

fn put(surface: &mut Surface, print: &Print) -> Result<(), Error> {
    match print {
        Print::Glyphs {
            at,
            size,
            colour,
            run,
        } => {
            surface.set_stroke(None);
            surface.set_fill(Some(filled(*colour)));
            let place = Place::from_xy(at.x, at.y);
            surface.draw_glyphs(
                place,
                &run.glyphs,
                run.font.clone(),
                &run.text,
                *size,
                false,
            );
        }
        Print::Line(pen, places) => draw(surface, path(places, false), None, Some(*pen)),
        Print::Area(corners, fill, edge) => draw(surface, path(corners, true), *fill, *edge),
        Print::Circle(centre, radius, fill, edge) => {
            draw(surface, circle(*centre, *radius), *fill, *edge);
        }
        Print::Picture {
            at,
            width,
            height,
            image,
        } => {
            let extent = Extent::from_wh(*width, *height)
                .ok_or_else(|| Error::Logo("no extent".to_owned()))?;
            surface.push_transform(&Transform::from_translate(at.x, at.y));
            surface.draw_image(image.clone(), extent);
            surface.pop();
        }
    }
    Ok(())
}

fn draw(surface: &mut Surface, path: Option<Path>, fill: Option<Colour>, edge: Option<Pen>) {
    let Some(path) = path else { return };
    surface.set_fill(fill.map(filled));
    surface.set_stroke(edge.map(stroked));
    surface.draw_path(&path);
}

fn filled(colour: Colour) -> Fill {
    Fill {
        paint: rgb::Color::new(colour.0, colour.1, colour.2).into(),
        opacity: NormalizedF32::ONE,
        rule: FillRule::NonZero,
    }
}

fn stroked(pen: Pen) -> Stroke {
    let Colour(red, green, blue) = pen.colour;
    Stroke {
        paint: rgb::Color::new(red, green, blue).into(),
        width: pen.width,
        miter_limit: 10.0,
        line_cap: LineCap::Butt,
        line_join: LineJoin::Miter,
        opacity: NormalizedF32::ONE,
        dash: pen.dash.map(|(dash, gap)| StrokeDash {
            array: vec![dash, gap],
            offset: 0.0,
        }),
    }
}

fn path(places: &[Point], is_closed: bool) -> Option<Path> {
    let mut builder = PathBuilder::new();
    let (first, rest) = places.split_first()?;
    builder.move_to(first.x, first.y);
    for place in rest {
        builder.line_to(place.x, place.y);
    }
    if is_closed {
        builder.close();
    }
    builder.finish()
}

/// A circle of four cubic curves; the length of their handles is 4/3 (√2 - 1) of the radius.
fn circle(centre: Point, radius: f32) -> Option<Path> {
    let handle = radius * 0.552_284_8;
    let Point { x, y } = centre;
    let mut builder = PathBuilder::new();
    builder.move_to(x + radius, y);
    builder.cubic_to(
        x + radius,
        y + handle,
        x + handle,
        y + radius,
        x,
        y + radius,
    );
    builder.cubic_to(
        x - handle,
        y + radius,
        x - radius,
        y + handle,
        x - radius,
        y,
    );
    builder.cubic_to(
        x - radius,
        y - handle,
        x - handle,
        y - radius,
        x,
        y - radius,
    );
    builder.cubic_to(
        x + handle,
        y - radius,
        x + radius,
        y - handle,
        x + radius,
        y,
    );
    builder.close();
    builder.finish()
}
