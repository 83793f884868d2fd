//! Drawings as they were: as a list of what is on the paper, which a reader can compare, and as a picture to look at.

use std::fmt::Write;

use sheets::{Drawing, Item, Point, Shape, svg};

/// Compares a drawing with the one that was kept under a name; keeps it where BLESS is set.
#[track_caller]
pub(crate) fn as_it_was(drawing: &Drawing, name: &str) {
    let folder = format!("{}/tests/drawings", env!("CARGO_MANIFEST_DIR"));
    for (ending, now) in [("txt", listed(drawing)), ("svg", svg(drawing, true))] {
        let file = format!("{folder}/{name}.{ending}");
        if std::env::var_os("BLESS").is_some() {
            std::fs::write(&file, &now).expect("written");
        }
        let before = std::fs::read_to_string(&file).unwrap_or_default();
        let line = now
            .lines()
            .zip(before.lines())
            .find(|(now, before)| now != before)
            .map_or_else(
                || "its end".to_owned(),
                |(now, before)| format!("{before}\nis now\n{now}"),
            );
        assert!(now == before, "{name}.{ending} has changed: {line}");
    }
}

/// One line for each thing on the paper: what, in which ink, for which part of the station, where in hundredths of a
/// millimetre.
fn listed(drawing: &Drawing) -> String {
    let mut out = format!(
        "{}\n{:.2} x {:.2} mm\n",
        drawing.title, drawing.width_mm, drawing.height_mm
    );
    for map in &drawing.maps {
        let _ = writeln!(out, "map 1:{:.0} from {}", map.scale(), place(map.origin));
    }
    for item in &drawing.items {
        out += &line(item);
        out.push('\n');
    }
    out
}

fn line(item: &Item) -> String {
    let path = match item.path.as_str() {
        "" => "-",
        path => path,
    };
    match &item.shape {
        Shape::Line {
            points,
            stroke,
            ink,
            dashed,
        } => format!(
            "{}line {stroke:?} {ink:?} {path} {}",
            if *dashed { "dashed " } else { "" },
            places(points)
        ),
        Shape::Area { points, ink, opacity } => {
            format!("area {ink:?} {opacity:.2} {path} {}", places(points))
        }
        Shape::Dot {
            centre,
            radius_mm,
            ink,
        } => format!("dot {ink:?} {radius_mm:.2} {path} {}", place(*centre)),
        Shape::Text {
            place: at,
            anchor,
            text,
            size_mm,
            face,
            ink,
        } => format!(
            "text {face:?} {size_mm:.2} {ink:?} {anchor:?} {path} {} {text}",
            place(*at)
        ),
    }
}

fn places(points: &[Point]) -> String {
    points
        .iter()
        .map(|point| place(*point))
        .collect::<Vec<_>>()
        .join(" ")
}

fn place(point: Point) -> String {
    // No sign before a zero.
    format!("{:.2},{:.2}", point.x_mm + 0.0, point.y_mm + 0.0)
}
