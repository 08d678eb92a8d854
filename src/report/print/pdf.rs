//! Pages as PDF/A-3a and PDF/UA-1 (ISO 19005-3, ISO 14289-1) with everything tagged.

use super::letters::{file, glyphs};
use super::{Line, colour, lines};
use crate::report::attachment::Attachment;
use crate::report::figure::shape::{Face, Ink, Point, Shape, Stroke};
use crate::report::words::Lang;
use jiff::Timestamp;
use krilla::color::rgb;
use krilla::configure::{Accessibility, Archival, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::embed::{AssociationKind, EmbeddedFile, MimeType};
use krilla::geom::{Path, PathBuilder, Transform};
use krilla::metadata::{DateTime, Metadata};
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, ContentTag, Identifier, ListNumbering, Node as Tagged, SpanTag,
    TableHeaderScope, Tag, TagGroup, TagKind, TagTree,
};
use krilla::text::{Font, GlyphId, KrillaGlyph};
use krilla::{Document, SerializeSettings};
use std::num::NonZeroU16;

/// A page as it is drawn.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Paper {
    /// Its width and height, points.
    pub size: [f32; 2],
    /// All that stands on it, in the order in which it is read.
    pub leaves: Vec<Leaf>,
}

/// A piece of a page that is read as one.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Leaf {
    /// Its number in the tree; none of what is only ornament.
    pub number: Option<usize>,
    /// The language, where it is not the report's.
    pub lang: Option<Lang>,
    /// Whether it is text; else it is a figure, or rules.
    pub is_text: bool,
    /// What is drawn.
    pub shapes: Vec<Shape>,
}

/// What a group of leaves is to a reader.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Role {
    Heading(u8, String),
    Paragraph,
    List,
    Item,
    ItemBody,
    Table,
    TableHead,
    TableBody,
    Row,
    /// Heads a column.
    ColumnHead,
    /// Heads a row.
    RowHead,
    Cell,
    /// With its alternative text.
    Figure(String),
}

/// The order in which a document is read.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Tree {
    Leaf(usize),
    Group(Role, Vec<Tree>),
}

/// What a PDF tells of itself.
pub(crate) struct About {
    pub title: String,
    pub description: String,
    pub lang: Lang,
    pub creator: String,
    pub created: Timestamp,
    pub id: String,
}

/// Makes the PDF; the same pages always make the same bytes.
///
/// # Errors
/// What the library's validators for PDF/A-3a and PDF/UA-1 found wrong.
pub(crate) fn pdf(
    pages: &[Paper],
    tree: &[Tree],
    about: &About,
    attached: Vec<Attachment>,
) -> Result<Vec<u8>, String> {
    let configuration = ConfigurationBuilder::new()
        .with_archival_validator(Archival::A3_A)
        .with_accessibility_validator(Accessibility::UA1)
        .finish()
        .map_err(|error| format!("{error:?}"))?;
    let settings = SerializeSettings {
        configuration,
        enable_tagging: true,
        ..SerializeSettings::default()
    };
    let fonts = Fonts::load()?;
    let mut document = Document::new_with(settings);
    let mut places: Vec<Option<Identifier>> = Vec::new();
    let mut headings: Vec<(usize, usize, f32)> = Vec::new();
    for (at_page, paper) in pages.iter().enumerate() {
        let [width, height] = paper.size;
        let page = PageSettings::from_wh(width, height).ok_or("a page has no size")?;
        let mut page = document.start_page_with(page);
        let mut surface = page.surface();
        for leaf in &paper.leaves {
            let place = leaf_on(&mut surface, leaf, &fonts);
            if let Some(number) = leaf.number {
                if places.len() <= number {
                    places.resize(number + 1, None);
                }
                places[number] = Some(place);
                headings.push((number, at_page, top(leaf)));
            }
        }
        surface.finish();
        page.finish();
    }
    let mut tagged = TagTree::new().with_lang(Some(about.lang.tag().to_owned()));
    for one in tree {
        tagged.push(node(one, &mut places)?);
    }
    document.set_tag_tree(tagged);
    document.set_outline(outline(tree, &headings));
    let created = date(about.created);
    for file in attached {
        let belongs = match file.media_type {
            kind if kind.contains("jsonl") || kind.contains("ndjson") => AssociationKind::Source,
            kind if kind.contains("fhir") => AssociationKind::Alternative,
            _ => AssociationKind::Data,
        };
        let name = file.name.clone();
        let embedded = document.embed_file(EmbeddedFile {
            path: file.name,
            mime_type: MimeType::new(file.media_type),
            description: Some(file.about),
            association_kind: belongs,
            data: file.bytes.into(),
            modification_date: Some(created),
            compress: Some(true),
            location: None,
        });
        embedded.ok_or(format!("attached twice: {name}"))?;
    }
    document.set_metadata(
        Metadata::new()
            .title(about.title.clone())
            .description(about.description.clone())
            .language(about.lang.tag().to_owned())
            .creator(about.creator.clone())
            .producer("krilla".to_owned())
            .document_id(about.id.clone())
            .creation_date(created),
    );
    document.finish().map_err(|error| format!("{error:?}"))
}

/// How far from the top a leaf begins.
fn top(leaf: &Leaf) -> f32 {
    let first = leaf.shapes.iter().find_map(|shape| match shape {
        Shape::Label(label) => Some(label.at.y - label.size),
        _ => None,
    });
    first.unwrap_or(0.0)
}

/// The first-level headings; a heading's first leaf tells where it stands.
fn outline(tree: &[Tree], places: &[(usize, usize, f32)]) -> Outline {
    fn first_leaf(tree: &[Tree]) -> Option<usize> {
        tree.iter().find_map(|one| match one {
            Tree::Leaf(number) => Some(*number),
            Tree::Group(_, inner) => first_leaf(inner),
        })
    }
    fn collect(tree: &[Tree], all: &mut Vec<(String, usize)>) {
        for one in tree {
            match one {
                Tree::Group(Role::Heading(_, text), inner) => {
                    all.extend(first_leaf(inner).map(|leaf| (text.clone(), leaf)));
                }
                Tree::Group(_, inner) => collect(inner, all),
                Tree::Leaf(_) => {}
            }
        }
    }
    let mut all = Vec::new();
    collect(tree, &mut all);
    let mut outline = Outline::new();
    for (text, leaf) in all {
        if let Some((_, page, top)) = places.iter().find(|(number, ..)| *number == leaf) {
            let target = XyzDestination::new(*page, krilla::geom::Point::from_xy(0.0, *top));
            outline.push_child(OutlineNode::new(text, target));
        }
    }
    outline
}

fn date(time: Timestamp) -> DateTime {
    let time = time.to_zoned_datetime(jiff::tz::TimeZone::UTC);
    let [month, day, hour, minute, second] = [
        time.month(),
        time.day(),
        time.hour(),
        time.minute(),
        time.second(),
    ]
    .map(i8::unsigned_abs);
    DateTime::new(time.year().unsigned_abs())
        .month(month)
        .day(day)
        .hour(hour)
        .minute(minute)
        .second(second)
        .utc_offset_hour(0)
        .utc_offset_minute(0)
}

fn node(tree: &Tree, places: &mut [Option<Identifier>]) -> Result<Tagged, String> {
    match tree {
        Tree::Leaf(number) => {
            let place = places.get_mut(*number).and_then(Option::take);
            let place =
                place.ok_or_else(|| format!("leaf {number} is on no page, or read twice"))?;
            Ok(Tagged::from(place))
        }
        Tree::Group(role, inner) => {
            let mut group = TagGroup::new(tag(role));
            for one in inner {
                group.push(node(one, places)?);
            }
            Ok(Tagged::from(group))
        }
    }
}

fn tag(role: &Role) -> TagKind {
    match role {
        Role::Heading(level, text) => {
            let level = NonZeroU16::new(u16::from(*level)).unwrap_or(NonZeroU16::MIN);
            Tag::Hn(level, Some(text.clone())).into()
        }
        Role::Paragraph => Tag::P.into(),
        Role::List => Tag::L(ListNumbering::None).into(),
        Role::Item => Tag::LI.into(),
        Role::ItemBody => Tag::LBody.into(),
        Role::Table => Tag::Table.into(),
        Role::TableHead => Tag::THead.into(),
        Role::TableBody => Tag::TBody.into(),
        Role::Row => Tag::TR.into(),
        Role::ColumnHead => Tag::TH(TableHeaderScope::Column).into(),
        Role::RowHead => Tag::TH(TableHeaderScope::Row).into(),
        Role::Cell => Tag::TD.into(),
        Role::Figure(alt) => Tag::Figure(Some(alt.clone())).into(),
    }
}

struct Fonts([Font; 3]);

impl Fonts {
    fn load() -> Result<Fonts, String> {
        let load = |face| Font::new(file(face).into(), 0).ok_or("the report's type cannot be read");
        Ok(Fonts([
            load(Face::Plain)?,
            load(Face::Strong)?,
            load(Face::Slanted)?,
        ]))
    }

    fn of(&self, face: Face) -> Font {
        let [plain, strong, slanted] = &self.0;
        match face {
            Face::Plain => plain,
            Face::Strong => strong,
            Face::Slanted => slanted,
        }
        .clone()
    }
}

fn leaf_on(surface: &mut Surface, leaf: &Leaf, fonts: &Fonts) -> Identifier {
    let content = match leaf.number {
        None => ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)),
        Some(_) if leaf.is_text => {
            let lang = leaf.lang.map(Lang::tag);
            ContentTag::Span(SpanTag::empty().with_lang(lang))
        }
        Some(_) => ContentTag::Other,
    };
    let place = surface.start_tagged(content);
    for shape in &leaf.shapes {
        draw(surface, shape, fonts);
    }
    surface.end_tagged();
    place
}

fn fill(ink: Ink) -> Fill {
    let [red, green, blue] = colour(ink);
    Fill {
        paint: rgb::Color::new(red, green, blue).into(),
        ..Fill::default()
    }
}

fn stroked(stroke: Stroke) -> krilla::paint::Stroke {
    let [red, green, blue] = colour(stroke.ink);
    krilla::paint::Stroke {
        paint: rgb::Color::new(red, green, blue).into(),
        width: stroke.width,
        dash: stroke.dashes.map(|both| StrokeDash {
            array: both.to_vec(),
            offset: 0.0,
        }),
        ..krilla::paint::Stroke::default()
    }
}

fn draw(surface: &mut Surface, shape: &Shape, fonts: &Fonts) {
    let (path, within, around) = match shape {
        Shape::Label(label) => {
            for line in lines(label) {
                text(surface, &line, fonts);
            }
            return;
        }
        Shape::Lines {
            points,
            closed,
            stroke,
        } => (way(points, *closed), None, Some(*stroke)),
        Shape::Field {
            points,
            fill,
            stroke,
        } => (way(points, true), Some(*fill), *stroke),
        Shape::Circle {
            middle,
            radius,
            fill,
            stroke,
        } => (circle(*middle, *radius), *fill, *stroke),
    };
    if let Some(path) = path {
        surface.set_fill(within.map(fill));
        surface.set_stroke(around.map(stroked));
        surface.draw_path(&path);
    }
}

fn text(surface: &mut Surface, line: &Line, fonts: &Fonts) {
    if let Some(on) = line.on {
        let [left, top, right, foot] = line.cover();
        let corners = [(left, top), (right, top), (right, foot), (left, foot)];
        let corners = corners.map(|(x, y)| Point { x, y });
        if let Some(path) = way(&corners, true) {
            surface.set_fill(Some(fill(on)));
            surface.set_stroke(None);
            surface.draw_path(&path);
        }
    }
    let drawn: Vec<KrillaGlyph> = glyphs(&line.text, line.face)
        .into_iter()
        .map(|glyph| KrillaGlyph {
            glyph_id: GlyphId::new(u32::from(glyph.id)),
            text_range: glyph.bytes,
            x_advance: glyph.advance,
            x_offset: glyph.offset[0],
            y_offset: glyph.offset[1],
            y_advance: 0.0,
            location: None,
        })
        .collect();
    surface.set_fill(Some(fill(line.ink)));
    surface.set_stroke(None);
    if let Some(about) = line.turned_about {
        surface.push_transform(&Transform::from_rotate_at(-90.0, about.x, about.y));
    }
    let start = krilla::geom::Point::from_xy(line.start.x, line.start.y);
    let font = fonts.of(line.face);
    surface.draw_glyphs(start, &drawn, font, &line.text, line.size, false);
    if line.turned_about.is_some() {
        surface.pop();
    }
}

fn way(points: &[Point], closed: bool) -> Option<Path> {
    let mut path = PathBuilder::new();
    let (first, rest) = points.split_first()?;
    path.move_to(first.x, first.y);
    for point in rest {
        path.line_to(point.x, point.y);
    }
    if closed {
        path.close();
    }
    path.finish()
}

/// A circle of four arcs: with handles of 0.5523 radii none is farther than 0.03 % off.
fn circle(middle: Point, radius: f32) -> Option<Path> {
    let (x, y, r, h) = (middle.x, middle.y, radius, 0.552_285 * radius);
    let mut path = PathBuilder::new();
    path.move_to(x + r, y);
    path.cubic_to(x + r, y + h, x + h, y + r, x, y + r);
    path.cubic_to(x - h, y + r, x - r, y + h, x - r, y);
    path.cubic_to(x - r, y - h, x - h, y - r, x, y - r);
    path.cubic_to(x + h, y - r, x + r, y - h, x + r, y);
    path.close();
    path.finish()
}
