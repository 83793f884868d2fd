//! A drawing as SVG: a translation, nothing more.
//!
//! Colours are classes, so that the page's own light, dark and print tokens decide; an SVG that stands alone
//! brings them along.

use core::fmt::Write;

use crate::drawing::{Anchor, Drawing, Ink, Point, Shape};
use crate::font::Face;

/// Class of an ink.
pub(crate) const fn class(ink: Ink) -> &'static str {
    match ink {
        Ink::Ink => "ink",
        Ink::Second => "second",
        Ink::Hair => "hair",
        Ink::Paper => "paper",
        Ink::Fresh => "fresh",
        Ink::Sea => "sea",
        Ink::Must => "must",
        Ink::Should => "should",
    }
}

/// Rules for an SVG that stands alone, on white paper.
const ALONE: &str = "<style>text{font-family:\"Atkinson Hyperlegible Next\",sans-serif;font-kerning:none;\
font-variant-numeric:tabular-nums}.ink{--c:#1a1e21}.second{--c:#5a636a}.hair{--c:#b9b8b0}.paper{--c:#fbfaf6}\
.fresh{--c:#e4efef}.sea{--c:#8fbcc6}.must{--c:#b23a12}.should{--c:#96690a}\
.s{stroke:var(--c);fill:none}.f{fill:var(--c);stroke:none}.w{font-weight:600}</style>";

/// The drawing as one `svg` element; with its own colours where it stands alone.
pub fn svg(drawing: &Drawing, alone: bool) -> String {
    let mut out = String::new();
    let (width, height) = (number(drawing.width_mm), number(drawing.height_mm));
    let space = if alone {
        " xmlns=\"http://www.w3.org/2000/svg\""
    } else {
        ""
    };
    put(
        &mut out,
        format_args!(
            "<svg{space} role=\"img\" width=\"{width}mm\" height=\"{height}mm\" viewBox=\"0 0 {width} {height}\"><title>{}</title><desc>{}</desc>",
            escaped(&drawing.title),
            escaped(&drawing.description)
        ),
    );
    if alone {
        out.push_str(ALONE);
    }
    for item in &drawing.items {
        let path = match item.path.as_str() {
            "" => String::new(),
            path => format!(" data-path=\"{}\"", escaped(path)),
        };
        shape(&mut out, &item.shape, &path);
    }
    out.push_str("</svg>\n");
    out
}

fn shape(out: &mut String, shape: &Shape, path: &str) {
    match shape {
        Shape::Line {
            points,
            stroke,
            ink,
            dashed,
        } => {
            let dash = if *dashed {
                " stroke-dasharray=\"2 1.2\""
            } else {
                ""
            };
            put(
                out,
                format_args!(
                    "<polyline class=\"s {}\" stroke-width=\"{}\"{dash} points=\"{}\"{path}/>",
                    class(*ink),
                    number(stroke.width_mm()),
                    listed(points)
                ),
            );
        }
        Shape::Area { points, ink, opacity } => put(
            out,
            format_args!(
                "<polygon class=\"f {}\" fill-opacity=\"{}\" points=\"{}\"{path}/>",
                class(*ink),
                number(*opacity),
                listed(points)
            ),
        ),
        Shape::Dot {
            centre,
            radius_mm,
            ink,
        } => put(
            out,
            format_args!(
                "<circle class=\"f {}\" cx=\"{}\" cy=\"{}\" r=\"{}\"{path}/>",
                class(*ink),
                number(centre.x_mm),
                number(centre.y_mm),
                number(*radius_mm)
            ),
        ),
        Shape::Text {
            place,
            anchor,
            text,
            size_mm,
            face,
            ink,
        } => {
            let anchor = match anchor {
                Anchor::Start => "",
                Anchor::Middle => " text-anchor=\"middle\"",
                Anchor::End => " text-anchor=\"end\"",
            };
            let weight = if *face == Face::Semibold { " w" } else { "" };
            put(
                out,
                format_args!(
                    "<text class=\"f {}{weight}\" x=\"{}\" y=\"{}\" font-size=\"{}\"{anchor}{path}>{}</text>",
                    class(*ink),
                    number(place.x_mm),
                    number(place.y_mm),
                    number(*size_mm),
                    escaped(text)
                ),
            );
        }
    }
}

fn listed(points: &[Point]) -> String {
    points
        .iter()
        .map(|point| format!("{},{}", number(point.x_mm), number(point.y_mm)))
        .collect::<Vec<_>>()
        .join(" ")
}

/// To a thousandth of a millimetre, without trailing zeros.
fn number(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    match text {
        "-0" | "" => "0".to_owned(),
        text => text.to_owned(),
    }
}

/// Text within SVG and HTML.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c => out.push(c),
        }
    }
    out
}

fn put(out: &mut String, arguments: core::fmt::Arguments<'_>) {
    // Writing to a string can't fail.
    let _ = out.write_fmt(arguments);
}
