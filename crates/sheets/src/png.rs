//! A drawing as PNG: its SVG, drawn by a general renderer with the typeface that is built in, and no other.

use std::sync::Arc;

use resvg::tiny_skia::{Color, Pixmap, Transform};
use resvg::usvg::{Options, Tree, fontdb::Database};

use crate::drawing::{Drawing, Ink};
use crate::font::{REGULAR, SEMIBOLD};
use crate::palette::LIGHT;
use crate::svg::svg;

/// Why there is no picture.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PngError {
    /// No pixels, or more than a picture may have.
    #[error("a picture of {width} by {height} pixels can't be made")]
    Size {
        /// Pixels across.
        width: u32,
        /// Pixels down.
        height: u32,
    },
    /// The renderer refused the drawing.
    #[error("the drawing can't be rendered: {why}")]
    Refused {
        /// What it said.
        why: String,
    },
}

/// Most pixels on a side: larger than any screen.
const MOST: u32 = 16_000;

/// The drawing with so many pixels to a millimetre, on its paper.
///
/// # Errors
/// [`PngError`] where it would have no pixels, or too many.
pub fn png(drawing: &Drawing, pixels_per_mm: f64) -> Result<Vec<u8>, PngError> {
    let pixels = |mm: f64| (mm * pixels_per_mm).round() as u32;
    let (width, height) = (pixels(drawing.width_mm), pixels(drawing.height_mm));
    let size = PngError::Size { width, height };
    if width.max(height) > MOST {
        return Err(size);
    }
    let mut paper = Pixmap::new(width, height).ok_or(size)?;
    let [red, green, blue] = LIGHT.of(Ink::Paper);
    paper.fill(Color::from_rgba8(red, green, blue, 255));
    let tree = tree(drawing)?;
    let scale = (
        width as f32 / tree.size().width(),
        height as f32 / tree.size().height(),
    );
    resvg::render(
        &tree,
        Transform::from_scale(scale.0, scale.1),
        &mut paper.as_mut(),
    );
    encoded(&paper, pixels_per_mm).map_err(|error| PngError::Refused {
        why: error.to_string(),
    })
}

/// The picture as a file that tells its size on paper.
fn encoded(paper: &Pixmap, pixels_per_mm: f64) -> Result<Vec<u8>, ::png::EncodingError> {
    let mut out = Vec::new();
    let mut encoder = ::png::Encoder::new(&mut out, paper.width(), paper.height());
    encoder.set_color(::png::ColorType::Rgba);
    encoder.set_depth(::png::BitDepth::Eight);
    let per_metre = (pixels_per_mm * 1000.0).round() as u32;
    encoder.set_pixel_dims(Some(::png::PixelDimensions {
        xppu: per_metre,
        yppu: per_metre,
        unit: ::png::Unit::Meter,
    }));
    let mut writer = encoder.write_header()?;
    // On opaque paper every pixel is opaque: its colours are as they are.
    writer.write_image_data(paper.data())?;
    writer.finish()?;
    Ok(out)
}

fn tree(drawing: &Drawing) -> Result<Tree, PngError> {
    let mut fonts = Database::new();
    fonts.load_font_data(REGULAR.to_vec());
    fonts.load_font_data(SEMIBOLD.to_vec());
    let options = Options {
        fontdb: Arc::new(fonts),
        ..Options::default()
    };
    Tree::from_str(&svg(drawing, true), &options).map_err(|error| PngError::Refused {
        why: error.to_string(),
    })
}
