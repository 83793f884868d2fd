//! The profile: heights to scale, no pipe through a vessel or along another, every line from its one end to its other, every
//! valve on its line; the examples are kept as pictures.

use crate::kept::as_it_was;
use crate::legible::legible;
use crate::proved::{EXAMPLES, proved, read};
use crate::random_station;

use proof::sketch;
use sheets::{Drawing, Ink, Point, Shape, Stroke, profile};
use station::Station;
use station::plumbing::End;

/// A page, a sheet, and a sheet across; many vessels want a wide page.
const WIDTHS_MM: [f64; 3] = [204.0, 190.0, 277.0];
const WIDE_MM: [f64; 2] = [260.0, 277.0];
const MANY: usize = 3;
/// Rounding.
const NEAR_MM: f64 = 0.02;

#[test]
fn examples_as_they_were() {
    for (name, text) in EXAMPLES {
        let own = proved(text);
        let (station, proof) = &*own;
        let widths = match station.vessels.len() < MANY {
            true => &WIDTHS_MM[..],
            false => &WIDE_MM,
        };
        for width in widths {
            let what = format!("{name} at {width}");
            let drawing = profile(station, proof, *width).unwrap_or_else(|| panic!("{what}: none"));
            sound(station, &drawing, &what);
            as_it_was(&drawing, &format!("profile-{name}-{width:.0}"));
        }
    }
}

/// Stations by chance have more valves on a line than there is room for, as often as not: what is drawn is sound, and some are
/// drawn.
#[test]
fn stations_by_chance_are_sound() {
    let wanted = std::env::var("STATIONS")
        .ok()
        .and_then(|wanted| wanted.parse().ok());
    let stations: u64 = wanted.unwrap_or(STATIONS);
    let mut drawn = 0;
    for seed in 0..stations {
        let station = read(&at_other_heights(&random_station::station(seed), seed));
        let width = WIDE_MM[seed as usize % 2];
        let Some(drawing) = profile(&station, &sketch(&station), width) else {
            continue;
        };
        sound(&station, &drawing, &format!("station {seed} at {width}"));
        drawn += 1;
    }
    assert!(drawn > 0 && 10 * drawn >= stations, "{drawn} of {stations}");
}

/// The same with tees and pumps at heights of their own in two of three stations (in the third all are at one), and with no
/// more valves than people would turn.
fn at_other_heights(text: &str, seed: u64) -> String {
    const ALL: &str = "height = \"300 mm\"";
    const MOST_VALVES: usize = 7;
    let mut valves = 0;
    let few: Vec<&str> = text
        .split("\n[")
        .filter(|section| {
            valves += usize::from(section.starts_with("valves."));
            !section.starts_with("valves.") || valves <= MOST_VALVES
        })
        .collect();
    let text = few.join("\n[");
    let mut parts = text.split(ALL);
    let mut out = parts.next().unwrap_or_default().to_owned();
    for (at, part) in (0_u64..).zip(parts) {
        let height_mm = match seed % 3 {
            0 => 300,
            _ => 200 + 170 * ((3 * at + seed) % 8),
        };
        // That of a vessel's floor ends so, too.
        let own = match out.ends_with("floor_") {
            true => ALL.to_owned(),
            false => format!("height = \"{height_mm} mm\""),
        };
        out = out + &own + part;
    }
    out
}

/// `scripts/test` draws so many; `STATIONS=400` as many as `scripts/test-long`.
const STATIONS: u64 = 20;

/// Without lines there is nothing to show by its height; on a phone nothing is drawn that nobody could read.
#[test]
fn it_isnt_drawn_where_it_cant_be() {
    let text = crate::proved::unplumbed();
    let station = read(text);
    assert_eq!(profile(&station, &sketch(&station), 204.0), None);
    let station = read(EXAMPLES[0].1);
    assert_eq!(profile(&station, &sketch(&station), 80.0), None);
}

/// The straight stretches of what joins things, by their paths.
fn pipes(drawing: &Drawing) -> Vec<(&str, &[Point])> {
    let lines = drawing.items.iter().filter_map(|item| match &item.shape {
        Shape::Line {
            points,
            stroke: Stroke::Medium,
            ..
        } => Some((item.path.as_str(), points.as_slice())),
        _ => None,
    });
    // The purifier's box closes on itself.
    lines
        .filter(|(path, points)| {
            path.starts_with("lines.") || *path == "purifier" && points[0] != points[points.len() - 1]
        })
        .collect()
}

fn sound(station: &Station, drawing: &Drawing, what: &str) {
    legible(drawing, what);
    let pipes = pipes(drawing);
    let stretches: Vec<(&str, Point, Point)> = pipes
        .iter()
        .flat_map(|(path, points)| points.windows(2).map(move |pair| (*path, pair[0], pair[1])))
        .collect();
    for (at, (path, from, to)) in stretches.iter().enumerate() {
        let level = (from.y_mm - to.y_mm).abs() < NEAR_MM;
        assert!(
            level || (from.x_mm - to.x_mm).abs() < NEAR_MM,
            "{what}: {path} runs aslant"
        );
        for (other, one, two) in &stretches[at + 1..] {
            let (along, beside) = shared((*from, *to), (*one, *two), level);
            let same = ((one.y_mm - two.y_mm).abs() < NEAR_MM) == level;
            assert!(
                !same || along < NEAR_MM || beside < -NEAR_MM,
                "{what}: {path} runs along {other} at {from:?}"
            );
        }
        through_no_vessel(station, drawing, (path, *from, *to), level, what);
    }
    let map = drawing.maps[0];
    let height_mm = |y_mm: f64| map.origin.y_mm - y_mm;
    for (at, line) in station.lines.iter().enumerate() {
        let path = format!("lines.{}", line.name);
        let own: Vec<&[Point]> = pipes
            .iter()
            .filter(|(own, _)| *own == path)
            .map(|(_, points)| *points)
            .collect();
        assert!(!own.is_empty(), "{what}: {path} isn't drawn");
        let joined = station.plumbing.lines[at];
        for (end, height_m) in [joined.from, joined.to].into_iter().zip(station.line_ends_m(at)) {
            let Some(wanted) = height_m.map(|height| height * map.mm_per_m) else {
                continue;
            };
            // The last of a tap is its own; a pump's axis is at its height, whichever side a pipe comes from.
            let own = match end {
                End::Draw(draw) => of_path(
                    drawing,
                    &format!("draw_points.{}", station.draw_points[draw].name),
                ),
                _ => own.clone(),
            };
            let comes = own.iter().flat_map(|points| points.iter()).any(|point| {
                let off = (height_mm(point.y_mm) - wanted).abs();
                off < NEAR_MM || matches!(end, End::Pump(_)) && off < 4.0
            });
            assert!(
                comes,
                "{what}: {path} doesn't come to {} at its height",
                station.name_of(end)
            );
        }
        for valve in station.plumbing.valves_of(at) {
            let name = &station.valves[valve].name;
            let centre = middle(drawing, &format!("valves.{name}"));
            let centre = centre.unwrap_or_else(|| panic!("{what}: valve {name} isn't drawn"));
            let on = own
                .iter()
                .flat_map(|points| points.windows(2))
                .any(|pair| is_on(centre, pair));
            assert!(on, "{what}: valve {name} is off its line");
        }
    }
    for pump in &station.pumps {
        let path = format!("pumps.{}", pump.name);
        let wanted = pump.fields.height.value.m() * map.mm_per_m;
        let axis = drawing.items.iter().find_map(|item| match &item.shape {
            Shape::Dot { centre, .. } if item.path == path => Some(height_mm(centre.y_mm)),
            _ => None,
        });
        assert!(
            axis.is_some_and(|axis| (axis - wanted).abs() < NEAR_MM),
            "{what}: {path} is at {axis:?} for {wanted}"
        );
    }
    in_their_bands(station, drawing, what);
    for tee in &station.tees {
        let path = format!("tees.{}", tee.name);
        let dots = drawing.items.iter().filter(|item| item.path == path);
        let heights = dots.filter_map(|item| match &item.shape {
            Shape::Dot { centre, .. } => Some(height_mm(centre.y_mm)),
            _ => None,
        });
        let wanted = tee.fields.height.value.m() * map.mm_per_m;
        assert!(
            heights
                .into_iter()
                .all(|height| (height - wanted).abs() < NEAR_MM),
            "{what}: {path} is off its height"
        );
    }
}

/// All lines of a path.
fn of_path<'d>(drawing: &'d Drawing, path: &str) -> Vec<&'d [Point]> {
    let lines = drawing.items.iter().filter(|item| item.path == path);
    lines
        .filter_map(|item| match &item.shape {
            Shape::Line { points, .. } => Some(points.as_slice()),
            _ => None,
        })
        .collect()
}

/// A pipe that isn't broken runs between its ends, up to its crest or over a rim: it has no hump and no dip that the file hasn't.
fn in_their_bands(station: &Station, drawing: &Drawing, what: &str) {
    /// A hand over a rim, a bend above a tap, below a tip, or above or below a pump.
    const HAND_MM: f64 = 5.1;
    let map = drawing.maps[0];
    for (at, line) in station.lines.iter().enumerate() {
        let path = format!("lines.{}", line.name);
        let joined = station.plumbing.lines[at];
        let rims = [joined.from, joined.to].into_iter().filter_map(|end| match end {
            End::Vessel(at) => {
                let own = &station.vessels[at];
                Some(own.fields.floor_height.value.m() + own.height_m())
            }
            _ => None,
        });
        let ends: Vec<f64> = station.line_ends_m(at).into_iter().flatten().collect();
        let high = ends
            .iter()
            .copied()
            .chain(line.fields.crest.as_ref().map(|own| own.value.m()));
        let rims = rims.filter(|_| {
            joined.to == joined.from || matches!(joined.to, End::Vessel(_)) || line.fields.crest.is_some()
        });
        let high_mm = high.chain(rims).fold(0.0, f64::max) * map.mm_per_m + HAND_MM;
        let low_mm = ends.iter().copied().fold(f64::INFINITY, f64::min) * map.mm_per_m - HAND_MM;
        for item in drawing.items.iter().filter(|item| item.path == path) {
            let Shape::Line {
                points,
                dashed: false,
                ..
            } = &item.shape
            else {
                continue;
            };
            for point in points {
                let height = map.origin.y_mm - point.y_mm;
                assert!(
                    (low_mm..=high_mm).contains(&height) || ends.len() < 2,
                    "{what}: {path} at {height} isn't between {low_mm} and {high_mm}"
                );
            }
        }
    }
}

/// How far two stretches go side by side, and how far they are within each other across that.
fn shared(one: (Point, Point), other: (Point, Point), level: bool) -> (f64, f64) {
    let span = |a: f64, b: f64, c: f64, d: f64| a.max(b).min(c.max(d)) - a.min(b).max(c.min(d));
    let across = span(one.0.x_mm, one.1.x_mm, other.0.x_mm, other.1.x_mm);
    let down = span(one.0.y_mm, one.1.y_mm, other.0.y_mm, other.1.y_mm);
    if level { (across, down) } else { (down, across) }
}

/// A pipe runs beside, above or below a vessel; within it stands only the end of one that comes down into it.
fn through_no_vessel(
    station: &Station,
    drawing: &Drawing,
    (path, from, to): (&str, Point, Point),
    level: bool,
    what: &str,
) {
    for vessel in &station.vessels {
        let own = format!("vessels.{}", vessel.name);
        let body = drawing.items.iter().find_map(|item| match &item.shape {
            Shape::Line {
                points,
                stroke: Stroke::Heavy,
                ..
            } if item.path == own => Some(points),
            _ => None,
        });
        let body = body.unwrap_or_else(|| panic!("{what}: {own} has no body"));
        let least = |of: fn(&Point) -> f64| body.iter().map(of).fold(f64::INFINITY, f64::min);
        let most = |of: fn(&Point) -> f64| body.iter().map(of).fold(f64::NEG_INFINITY, f64::max);
        let is_within = from.x_mm.max(to.x_mm) > least(|p| p.x_mm) + NEAR_MM
            && from.x_mm.min(to.x_mm) < most(|p| p.x_mm) - NEAR_MM
            && from.y_mm.max(to.y_mm) > least(|p| p.y_mm) + NEAR_MM
            && from.y_mm.min(to.y_mm) < most(|p| p.y_mm) - NEAR_MM;
        let joined = station
            .lines
            .iter()
            .position(|line| format!("lines.{}", line.name) == path);
        let ends_there = joined.is_some_and(|line| {
            let ends = &station.plumbing.lines[line];
            [ends.from, ends.to]
                .into_iter()
                .any(|end| matches!(end, End::Vessel(_)) && station.name_of(end) == vessel.name)
        });
        let comes_down = !level && from.y_mm < least(|p| p.y_mm);
        // From a wall that leans inwards, a pipe goes on level to the outside.
        assert!(
            !is_within || ends_there && (comes_down || level),
            "{what}: {path} runs through {own}"
        );
    }
}

/// The middle of what a valve's body takes.
fn middle(drawing: &Drawing, path: &str) -> Option<Point> {
    let bows = drawing
        .items
        .iter()
        .filter(|item| item.path == path)
        .find_map(|item| match &item.shape {
            // The outline of both halves, or of the flaps of a check valve or a butterfly.
            Shape::Area {
                points,
                ink: Ink::Paper,
                ..
            } => Some(points),
            _ => None,
        })?;
    match bows.len() {
        // A half: its second corner is the middle.
        3 => Some(bows[1]),
        _ => Some(Point {
            x_mm: bows.iter().map(|point| point.x_mm).sum::<f64>() / bows.len() as f64,
            y_mm: bows.iter().map(|point| point.y_mm).sum::<f64>() / bows.len() as f64,
        }),
    }
}

fn is_on(point: Point, pair: &[Point]) -> bool {
    let (one, two) = (pair[0], pair[1]);
    (one.x_mm.min(two.x_mm) - NEAR_MM..=one.x_mm.max(two.x_mm) + NEAR_MM).contains(&point.x_mm)
        && (one.y_mm.min(two.y_mm) - NEAR_MM..=one.y_mm.max(two.y_mm) + NEAR_MM).contains(&point.y_mm)
}
