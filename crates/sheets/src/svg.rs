//! A drawing as SVG: a translation, nothing more.
//!
//! On the page colours are classes, so that its light, dark and print tokens decide. An SVG that stands alone names them
//! itself, shape by shape, which every program understands.

use core::fmt::Write;

use crate::drawing::{Anchor, Drawing, EDGE_MM, Ink, Point, Shape};
use crate::font::Face;
use crate::palette::{LIGHT, hex};
use crate::typeface::rule;

/// The drawing as one `svg` element; with its own colours where it stands alone.
pub fn svg(drawing: &Drawing, alone: bool) -> String {
    let mut out = String::new();
    // On the page its left edge stands with the text's: the white beside it is the page's own.
    let edge_mm = if alone { 0.0 } else { EDGE_MM };
    let (left, width, height) = (
        number(edge_mm),
        number(drawing.width_mm - 2.0 * edge_mm),
        number(drawing.height_mm),
    );
    let space = if alone {
        " xmlns=\"http://www.w3.org/2000/svg\""
    } else {
        ""
    };
    put(
        &mut out,
        format_args!(
            "<svg{space} role=\"img\" width=\"{width}mm\" height=\"{height}mm\" viewBox=\"{left} 0 {width} {height}\"><title>{}</title><desc>{}</desc>",
            escaped(&drawing.title),
            escaped(&drawing.description)
        ),
    );
    for item in &drawing.items {
        let path = match item.path.as_str() {
            "" => String::new(),
            path => format!(" data-path=\"{}\"", escaped(path)),
        };
        shape(&mut out, &item.shape, alone, &path);
    }
    out.push_str("</svg>\n");
    out
}

/// The drawing as a file that reads the same anywhere: with its own colours, and the weights of the typeface that it has text in.
pub fn svg_to_keep(drawing: &Drawing) -> String {
    let has = |face| {
        let mut shapes = drawing.items.iter().map(|item| &item.shape);
        shapes.any(|shape| matches!(shape, Shape::Text { face: own, .. } if *own == face))
    };
    let rules: String = [Face::Regular, Face::Semibold]
        .into_iter()
        .filter(|face| has(*face))
        .map(rule)
        .collect();
    svg(drawing, true).replacen(
        "</desc>",
        &format!("</desc><style type=\"text/css\">{rules}</style>"),
        1,
    )
}

/// How a shape is filled, and how its outline is drawn.
fn filled(ink: Ink, alone: bool) -> String {
    match alone {
        false => format!("class=\"f {}\"", ink.word()),
        true => format!("fill=\"{}\"", hex(LIGHT.of(ink))),
    }
}

fn stroked(ink: Ink, alone: bool) -> String {
    match alone {
        false => format!("class=\"s {}\"", ink.word()),
        true => format!("fill=\"none\" stroke=\"{}\"", hex(LIGHT.of(ink))),
    }
}

fn shape(out: &mut String, shape: &Shape, alone: bool, path: &str) {
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
                    "<polyline {} stroke-width=\"{}\"{dash} points=\"{}\"{path}/>",
                    stroked(*ink, alone),
                    number(stroke.width_mm()),
                    listed(points)
                ),
            );
        }
        Shape::Area { points, ink, opacity } => put(
            out,
            format_args!(
                "<polygon {} fill-opacity=\"{}\" points=\"{}\"{path}/>",
                filled(*ink, alone),
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
                "<circle {} cx=\"{}\" cy=\"{}\" r=\"{}\"{path}/>",
                filled(*ink, alone),
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
            let (paint, weight) = match (alone, face) {
                (false, Face::Regular) => (filled(*ink, alone), ""),
                (false, Face::Semibold) => (format!("class=\"f {} w\"", ink.word()), ""),
                (true, Face::Regular) => (filled(*ink, alone), ""),
                (true, Face::Semibold) => (filled(*ink, alone), " font-weight=\"600\""),
            };
            let family = match alone {
                true => TYPEFACE,
                false => "",
            };
            put(
                out,
                format_args!(
                    "<text {paint}{family}{weight} x=\"{}\" y=\"{}\" font-size=\"{}\"{anchor}{path}>{}</text>",
                    number(place.x_mm),
                    number(place.y_mm),
                    number(*size_mm),
                    escaped(text)
                ),
            );
        }
    }
}

/// The typeface of a text that stands alone; without it the next plain one.
const TYPEFACE: &str = " font-family=\"'Atkinson Hyperlegible Next', sans-serif\" font-kerning=\"none\"";

fn listed(points: &[Point]) -> String {
    points
        .iter()
        .map(|point| format!("{},{}", number(point.x_mm), number(point.y_mm)))
        .collect::<Vec<_>>()
        .join(" ")
}

/// To a thousandth of a millimetre, without trailing zeros.
fn number(value: f64) -> String {
    let thousandths = 1000.0 * value;
    let whole = thousandths.round();
    // Far enough from half a thousandth there is no doubt which one is nearest, and whole numbers are put in digits quicker.
    if (thousandths - whole).abs() < 0.499 && whole.abs() < 1e9 {
        return in_thousandths(whole as i64);
    }
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    match text {
        "-0" | "" => "0".to_owned(),
        text => text.to_owned(),
    }
}

fn in_thousandths(whole: i64) -> String {
    let sign = if whole < 0 { "-" } else { "" };
    let (before, behind) = (whole.abs() / 1000, whole.abs() % 1000);
    match behind {
        0 => format!("{sign}{before}"),
        _ if behind % 100 == 0 => format!("{sign}{before}.{}", behind / 100),
        _ if behind % 10 == 0 => format!("{sign}{before}.{:02}", behind / 10),
        _ => format!("{sign}{before}.{behind:03}"),
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

#[cfg(test)]
mod tests {
    use super::number;

    /// Against the digits of the standard library, ties and what is next to them among them.
    #[test]
    fn numbers_are_the_nearest_thousandths() {
        let trimmed = |value: f64| {
            let text = format!("{value:.3}");
            let text = text.trim_end_matches('0').trim_end_matches('.').to_owned();
            if text == "-0" { "0".to_owned() } else { text }
        };
        let steps = (-20_000..20_000).map(|step| f64::from(step) / 16_000.0);
        let large = [
            0.0005,
            1.0005,
            99.9995,
            1234.5675,
            1e5 + 0.0625,
            1e12 + 0.5,
            f64::MAX,
        ];
        for value in steps.chain(large) {
            for own in [value, value.next_up(), value.next_down(), -value] {
                assert_eq!(number(own), trimmed(own), "{own:e}");
            }
        }
    }
}
