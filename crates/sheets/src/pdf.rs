//! Pages as PDF: a translation, nothing more.
//!
//! Owns: the map from millimetres to points, the subset of the typeface that each file carries, bookmarks. Text goes out
//! glyph by glyph at the widths it was measured with, so that it stands where the layout put it and can be selected.

use krilla::color::rgb;
use krilla::destination::XyzDestination;
use krilla::geom::{Path, PathBuilder, Point as PdfPoint};
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, Stroke as PdfStroke, StrokeDash};
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use krilla::{Data, Document};

use crate::drawing::{Ink, Point, Shape};
use crate::flow::Pages;
use crate::font::{Face, REGULAR, SEMIBOLD, glyph, width_mm};
use crate::palette::PRINT;

/// Points in a millimetre: 72 in 25.4.
const POINTS: f64 = 72.0 / 25.4;

/// Why there is no file.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PdfError {
    /// A page without an extent.
    #[error("page {page} has no width or no height")]
    NoExtent {
        /// Which, from 1.
        page: usize,
    },
    /// The typeface that is built in can't be read.
    #[error("the typeface that is built in can't be read")]
    Typeface,
    /// The writer refused what was drawn.
    #[error("the pages can't be written: {why}")]
    Refused {
        /// What it said.
        why: String,
    },
}

/// Both weights.
struct Fonts {
    regular: Font,
    semibold: Font,
}

impl Fonts {
    fn new() -> Option<Self> {
        let font = |bytes: &'static [u8]| Font::new(Data::from(bytes), 0);
        Some(Self {
            regular: font(REGULAR)?,
            semibold: font(SEMIBOLD)?,
        })
    }

    fn of(&self, face: Face) -> Font {
        match face {
            Face::Regular => self.regular.clone(),
            Face::Semibold => self.semibold.clone(),
        }
    }
}

/// The pages as one file.
///
/// # Errors
/// [`PdfError`] where a page has no extent or the writer refuses.
pub fn pdf(pages: &Pages, title: &str) -> Result<Vec<u8>, PdfError> {
    let fonts = Fonts::new().ok_or(PdfError::Typeface)?;
    let mut document = Document::new();
    for (at, drawing) in pages.pages.iter().enumerate() {
        let settings = PageSettings::from_wh(points(drawing.width_mm), points(drawing.height_mm))
            .ok_or(PdfError::NoExtent { page: at + 1 })?;
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        for item in &drawing.items {
            shape(&mut surface, &fonts, &item.shape);
        }
        surface.finish();
        page.finish();
    }
    let mut outline = Outline::new();
    for bookmark in &pages.bookmarks {
        let place = PdfPoint::from_xy(0.0, points(bookmark.y_mm));
        outline.push_child(OutlineNode::new(
            bookmark.title.clone(),
            XyzDestination::new(bookmark.page, place),
        ));
    }
    document.set_outline(outline);
    document.set_metadata(
        Metadata::new()
            .title(title.to_owned())
            .language("en".to_owned())
            .creator("Brinewright".to_owned()),
    );
    document.finish().map_err(|error| PdfError::Refused {
        why: format!("{error:?}"),
    })
}

fn points(mm: f64) -> f32 {
    (mm * POINTS) as f32
}

fn fill(ink: Ink, opacity: f64) -> Fill {
    let [red, green, blue] = PRINT.of(ink);
    Fill {
        paint: rgb::Color::new(red, green, blue).into(),
        opacity: NormalizedF32::new(opacity.clamp(0.0, 1.0) as f32).unwrap_or(NormalizedF32::ONE),
        ..Fill::default()
    }
}

fn shape(surface: &mut Surface<'_>, fonts: &Fonts, shape: &Shape) {
    match shape {
        Shape::Line {
            points: through,
            stroke,
            ink,
            dashed,
        } => {
            let [red, green, blue] = PRINT.of(*ink);
            surface.set_fill(None);
            surface.set_stroke(Some(PdfStroke {
                paint: rgb::Color::new(red, green, blue).into(),
                width: points(stroke.width_mm()),
                dash: dashed.then(|| StrokeDash {
                    array: vec![points(2.0), points(1.2)],
                    offset: 0.0,
                }),
                ..PdfStroke::default()
            }));
            if let Some(path) = outline(through, false) {
                surface.draw_path(&path);
            }
        }
        Shape::Area {
            points: corners,
            ink,
            opacity,
        } => {
            surface.set_stroke(None);
            surface.set_fill(Some(fill(*ink, *opacity)));
            if let Some(path) = outline(corners, true) {
                surface.draw_path(&path);
            }
        }
        Shape::Dot {
            centre,
            radius_mm,
            ink,
        } => {
            surface.set_stroke(None);
            surface.set_fill(Some(fill(*ink, 1.0)));
            if let Some(path) = circle(*centre, *radius_mm) {
                surface.draw_path(&path);
            }
        }
        Shape::Text {
            place,
            anchor,
            text,
            size_mm,
            face,
            ink,
        } => {
            surface.set_stroke(None);
            surface.set_fill(Some(fill(*ink, 1.0)));
            let width = width_mm(text, *size_mm, *face);
            let left_mm = anchor.left_mm(*place, width);
            let start = PdfPoint::from_xy(points(left_mm), points(place.y_mm));
            let glyphs = glyphs(text, *face);
            surface.draw_glyphs(start, &glyphs, fonts.of(*face), text, points(*size_mm), false);
        }
    }
}

/// A text glyph by glyph, each as wide as the layout took it to be.
fn glyphs(text: &str, face: Face) -> Vec<KrillaGlyph> {
    text.char_indices()
        .map(|(at, c)| KrillaGlyph {
            glyph_id: GlyphId::new(glyph(c, face)),
            text_range: at..at + c.len_utf8(),
            x_advance: width_mm(c.encode_utf8(&mut [0; 4]), 1.0, face) as f32,
            x_offset: 0.0,
            y_offset: 0.0,
            y_advance: 0.0,
            location: None,
        })
        .collect()
}

fn outline(through: &[Point], closed: bool) -> Option<Path> {
    let mut path = PathBuilder::new();
    let (first, rest) = through.split_first()?;
    path.move_to(points(first.x_mm), points(first.y_mm));
    for point in rest {
        path.line_to(points(point.x_mm), points(point.y_mm));
    }
    if closed {
        path.close();
    }
    path.finish()
}

/// A circle by four cubic arcs, each off by less than 3 parts in 10 000 of its radius.
fn circle(centre: Point, radius_mm: f64) -> Option<Path> {
    const REACH: f64 = 0.552_284_75;
    let at = |x: f64, y: f64| {
        (
            points(centre.x_mm + x * radius_mm),
            points(centre.y_mm + y * radius_mm),
        )
    };
    let mut path = PathBuilder::new();
    let (x, y) = at(1.0, 0.0);
    path.move_to(x, y);
    for (cos, sin) in [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)] {
        let (x1, y1) = at(cos - REACH * sin, sin + REACH * cos);
        let (x2, y2) = at(REACH * cos - sin, REACH * sin + cos);
        let (x3, y3) = at(-sin, cos);
        path.cubic_to(x1, y1, x2, y2, x3, y3);
    }
    path.close();
    path.finish()
}
