//! The schematic: on stations by chance nothing overlaps, no pipe runs through a thing or along another, and every line
//! is drawn from its one end to its other; the examples are kept as pictures.

mod kept;
mod legible;
mod random_station;

use kept::as_it_was;
use legible::legible;
use proof::Lineup;
use sheets::{Bounds, Drawing, Ink, Item, Paper, Point, Shape, Stroke, Tags, card, printed, schematic, svg};
use station::Station;
use station::plumbing::End;

const WIDTHS_MM: [f64; 3] = [88.0, 190.0, 185.2];
const NEAR_MM: f64 = 0.01;

fn read(text: &str) -> Station {
    Station::read(text).unwrap_or_else(|faults| {
        let told: Vec<String> = faults
            .iter()
            .map(|fault| format!("{} ({})", fault.what, fault.why))
            .collect();
        panic!("{text}\n{told:?}")
    })
}

/// Whether an item is pipe: what joins things, not a thing.
fn is_pipe(item: &Item) -> bool {
    let path = item.path.as_str();
    let joins = path == "purifier"
        || path.starts_with("tees.")
        || path.starts_with("lines.") && !path.ends_with(".siphon_break");
    joins && matches!(item.shape, Shape::Line { .. })
}

fn grown(bounds: Option<Bounds>, point: Point, by: f64) -> Option<Bounds> {
    let own = Bounds {
        left_mm: point.x_mm - by,
        right_mm: point.x_mm + by,
        top_mm: point.y_mm - by,
        bottom_mm: point.y_mm + by,
    };
    Some(match bounds {
        None => own,
        Some(bounds) => Bounds {
            left_mm: bounds.left_mm.min(own.left_mm),
            right_mm: bounds.right_mm.max(own.right_mm),
            top_mm: bounds.top_mm.min(own.top_mm),
            bottom_mm: bounds.bottom_mm.max(own.bottom_mm),
        },
    })
}

/// The box of a shape that is no text.
fn box_of(shape: &Shape) -> Option<Bounds> {
    match shape {
        Shape::Line { points, .. } | Shape::Area { points, .. } => points
            .iter()
            .fold(None, |bounds, point| grown(bounds, *point, 0.0)),
        Shape::Dot {
            centre, radius_mm, ..
        } => grown(None, *centre, *radius_mm),
        Shape::Text { .. } => None,
    }
}

/// Every thing with its box: all shapes of one path in one place; each dot of a joint for itself.
fn things(drawing: &Drawing) -> Vec<(&str, Bounds)> {
    let mut things: Vec<(&str, Bounds)> = Vec::new();
    for item in &drawing.items {
        // An arrow head lies on its pipe.
        let arrow = item.path.starts_with("lines.") && !item.path.ends_with(".siphon_break");
        if is_pipe(item) || arrow {
            continue;
        }
        let Some(own) = box_of(&item.shape) else { continue };
        let joint = item.path == "purifier" || item.path.starts_with("tees.");
        match things.iter_mut().find(|(path, _)| !joint && *path == item.path) {
            Some((_, bounds)) => {
                let corners = [
                    Point {
                        x_mm: own.left_mm,
                        y_mm: own.top_mm,
                    },
                    Point {
                        x_mm: own.right_mm,
                        y_mm: own.bottom_mm,
                    },
                ];
                for corner in corners {
                    *bounds = grown(Some(*bounds), corner, 0.0).expect("a box");
                }
            }
            None => things.push((&item.path, own)),
        }
    }
    things
}

fn pipes(drawing: &Drawing) -> Vec<(&str, &[Point])> {
    let pipes = drawing.items.iter().filter(|item| is_pipe(item));
    pipes
        .filter_map(|item| match &item.shape {
            Shape::Line { points, .. } => Some((item.path.as_str(), points.as_slice())),
            _ => None,
        })
        .collect()
}

fn within(bounds: &Bounds, point: Point, by: f64) -> bool {
    point.x_mm >= bounds.left_mm - by
        && point.x_mm <= bounds.right_mm + by
        && point.y_mm >= bounds.top_mm - by
        && point.y_mm <= bounds.bottom_mm + by
}

/// Whether an upright or level stretch runs through a box.
fn runs_through(bounds: &Bounds, from: Point, to: Point) -> bool {
    let stretch = Bounds {
        left_mm: from.x_mm.min(to.x_mm) - 2.0 * NEAR_MM,
        right_mm: from.x_mm.max(to.x_mm) + 2.0 * NEAR_MM,
        top_mm: from.y_mm.min(to.y_mm) - 2.0 * NEAR_MM,
        bottom_mm: from.y_mm.max(to.y_mm) + 2.0 * NEAR_MM,
    };
    let inner = Bounds {
        left_mm: bounds.left_mm + 3.0 * NEAR_MM,
        right_mm: bounds.right_mm - 3.0 * NEAR_MM,
        top_mm: bounds.top_mm + 3.0 * NEAR_MM,
        bottom_mm: bounds.bottom_mm - 3.0 * NEAR_MM,
    };
    stretch.overlaps(&inner)
}

fn near(a: Point, b: Point) -> bool {
    (a.x_mm - b.x_mm).abs() < NEAR_MM && (a.y_mm - b.y_mm).abs() < NEAR_MM
}

/// Everything that a schematic must be.
fn sound(station: &Station, drawing: &Drawing, what: &str) {
    legible(drawing, what);
    let things = things(drawing);
    for (at, (path, bounds)) in things.iter().enumerate() {
        assert!(
            bounds.left_mm >= 3.5
                && bounds.right_mm <= drawing.width_mm - 3.5
                && bounds.top_mm >= 0.0
                && bounds.bottom_mm <= drawing.height_mm,
            "{what}: {path} leaves the paper"
        );
        for (other, theirs) in &things[at + 1..] {
            // A level switch is part of its vessel.
            let part = other.starts_with(&format!("{path}.")) || path.starts_with(&format!("{other}."));
            assert!(part || !bounds.overlaps(theirs), "{what}: {path} lies on {other}");
        }
        for (theirs, text) in drawing.text_bounds() {
            let own = drawing.items.iter().any(|item| {
                matches!(&item.shape, Shape::Text { text: own, .. } if own == text)
                    && (item.path == *path || item.path.starts_with(&format!("{path}.")))
            });
            let holds = path.starts_with("vessels.") || path.starts_with("tanks.");
            assert!(
                own && holds || path.ends_with("_level") || !bounds.overlaps(&theirs),
                "{what}: {text} lies on {path}"
            );
        }
    }
    free_pipes(drawing, &things, what);
    for (at, line) in station.lines.iter().enumerate() {
        let joined = station.plumbing.lines[at];
        joins(
            station,
            drawing,
            &things,
            (at, &line.name, joined.from, joined.to),
            what,
        );
    }
}

/// Pipes stay on the paper, run through nothing, along nothing, and meet only where they are joined.
fn free_pipes(drawing: &Drawing, things: &[(&str, Bounds)], what: &str) {
    let pipes = pipes(drawing);
    for (at, (path, points)) in pipes.iter().enumerate() {
        let (first, last) = (points[0], points[points.len() - 1]);
        for pair in points.windows(2) {
            assert!(
                pair[0].x_mm == pair[1].x_mm || pair[0].y_mm == pair[1].y_mm || near(pair[0], pair[1]),
                "{what}: {path} runs aslant"
            );
            for (thing, bounds) in things {
                // A pipe ends in the vessel that it fills, and in the dot where it is joined.
                let ends = [first, last].iter().any(|end| within(bounds, *end, NEAR_MM));
                let fills = thing.starts_with("vessels.") || thing.starts_with("tanks.");
                let dot = *thing == "purifier" || thing.starts_with("tees.");
                assert!(
                    ends && (fills || dot) || !runs_through(bounds, pair[0], pair[1]),
                    "{what}: {path} runs through {thing}"
                );
            }
        }
        for (other, theirs) in &pipes[at + 1..] {
            for mine in points.windows(2) {
                for yours in theirs.windows(2) {
                    apart((path, mine), (other, yours), (points, theirs), what);
                }
            }
        }
    }
}

/// Two stretches don't lie on each other, and where one ends or bends on the other both are joined there.
fn apart(
    (path, mine): (&str, &[Point]),
    (other, yours): (&str, &[Point]),
    (whole, theirs): (&[Point], &[Point]),
    what: &str,
) {
    let ends = |points: &[Point]| [points[0], points[points.len() - 1]];
    let level = |pair: &[Point]| (pair[0].y_mm - pair[1].y_mm).abs() < NEAR_MM;
    let span = |a: f64, b: f64, c: f64, d: f64| a.max(b).min(c.max(d)) - a.min(b).max(c.min(d));
    let across = span(mine[0].x_mm, mine[1].x_mm, yours[0].x_mm, yours[1].x_mm);
    let down = span(mine[0].y_mm, mine[1].y_mm, yours[0].y_mm, yours[1].y_mm);
    if level(mine) == level(yours) {
        let (along, beside) = if level(mine) {
            (across, down)
        } else {
            (down, across)
        };
        // Nearer than a millimetre two lines read as one.
        assert!(
            along < NEAR_MM || beside < -1.0,
            "{what}: {path} runs along {other} ({along}, {beside})"
        );
        return;
    }
    if across < -NEAR_MM || down < -NEAR_MM {
        return;
    }
    // They touch or cross: in both at the end of the whole, or in neither at an end of the stretch.
    let point = match level(mine) {
        true => Point {
            x_mm: yours[0].x_mm,
            y_mm: mine[0].y_mm,
        },
        false => Point {
            x_mm: mine[0].x_mm,
            y_mm: yours[0].y_mm,
        },
    };
    let at_end = |pair: &[Point]| pair.iter().any(|end| near(*end, point));
    if at_end(mine) || at_end(yours) {
        let joined = ends(whole).iter().any(|end| near(*end, point))
            && ends(theirs).iter().any(|end| near(*end, point));
        assert!(joined, "{what}: {path} touches {other} at {point:?}");
    }
}

/// From its one end to its other a line is one: pipe to valve to pipe.
fn joins(
    station: &Station,
    drawing: &Drawing,
    things: &[(&str, Bounds)],
    (line, name, from, to): (usize, &str, End, End),
    what: &str,
) {
    let path = format!("lines.{name}");
    let hole = format!("{path}.siphon_break");
    let end_path = |end: End| {
        let section = match end {
            End::Vessel(_) => "vessels",
            End::Tank(_) => "tanks",
            End::Pump(_) => "pumps",
            End::Tee(_) => "tees",
            End::Draw(_) => "draw_points",
        };
        format!("{section}.{}", station.name_of(end))
    };
    let valves: Vec<String> = station
        .plumbing
        .valves_of(line)
        .map(|valve| format!("valves.{}", station.valves[valve].name))
        .collect();
    // Each piece as the boxes of where it touches: the ends of a pipe, the whole of a symbol.
    let mut pieces: Vec<(&str, Vec<Bounds>)> = pipes(drawing)
        .into_iter()
        .filter(|(own, _)| *own == path)
        .map(|(own, points)| {
            let ends = [points[0], points[points.len() - 1]];
            (
                own,
                ends.iter().filter_map(|end| grown(None, *end, NEAR_MM)).collect(),
            )
        })
        .collect();
    let symbols = things
        .iter()
        .filter(|(own, _)| valves.iter().any(|valve| valve == own));
    pieces.extend(symbols.map(|(own, bounds)| (*own, vec![*bounds])));
    // A hole is a hole in the pipe.
    if let Some((_, bounds)) = things.iter().find(|(own, _)| *own == hole) {
        let foot = Point {
            x_mm: (bounds.left_mm + bounds.right_mm) / 2.0,
            y_mm: bounds.bottom_mm,
        };
        let mut stretches = pipes(drawing)
            .into_iter()
            .filter(|(own, _)| *own == path)
            .flat_map(|(_, points)| points.windows(2));
        assert!(
            stretches.any(|pair| {
                let own = grown(grown(None, pair[0], NEAR_MM), pair[1], NEAR_MM);
                own.is_some_and(|own| within(&own, foot, 0.0))
            }),
            "{what}: {hole} is in no pipe"
        );
    }
    let [from, to] = [from, to].map(end_path);
    let ends: Vec<(&str, Bounds)> = things
        .iter()
        .filter(|(own, _)| *own == from || *own == to)
        .copied()
        .collect();
    for (own, _) in pieces.iter().filter(|(own, _)| *own != path) {
        assert!(things.iter().any(|(thing, _)| thing == own));
    }
    for valve in &valves {
        assert!(
            pieces.iter().any(|(own, _)| own == valve),
            "{what}: {valve} isn't drawn"
        );
    }
    let touch = |a: &[Bounds], b: &[Bounds]| {
        a.iter().any(|a| {
            b.iter().any(|b| {
                a.left_mm <= b.right_mm + NEAR_MM
                    && b.left_mm <= a.right_mm + NEAR_MM
                    && a.top_mm <= b.bottom_mm + NEAR_MM
                    && b.top_mm <= a.bottom_mm + NEAR_MM
            })
        })
    };
    // From its beginning along what touches, without going through its end.
    let mut reached = vec![false; pieces.len()];
    let beginnings: Vec<Bounds> = ends
        .iter()
        .filter(|(own, _)| *own == from)
        .map(|(_, own)| *own)
        .collect();
    let mut open: Vec<usize> = (0..pieces.len())
        .filter(|at| touch(&pieces[*at].1, &beginnings))
        .collect();
    while let Some(at) = open.pop() {
        if !reached[at] {
            reached[at] = true;
            open.extend((0..pieces.len()).filter(|other| touch(&pieces[at].1, &pieces[*other].1)));
        }
    }
    assert!(
        !pieces.is_empty() && reached.iter().all(|reached| *reached),
        "{what}: {path} is in pieces"
    );
    let last: Vec<Bounds> = ends
        .iter()
        .filter(|(own, _)| *own == to)
        .map(|(_, own)| *own)
        .collect();
    assert!(
        pieces.iter().any(|(_, own)| touch(own, &last)),
        "{what}: {path} doesn't come to {to}"
    );
}

/// Two hundred stations by chance, each on one of three papers, by turns with names and with tags.
#[test]
fn stations_by_chance_are_sound() {
    let one = |seed: u64| {
        let station = read(&random_station::station(seed));
        let width = WIDTHS_MM[seed as usize % 3];
        let tags = if seed % 5 == 0 { Tags::Isa } else { Tags::Owner };
        let what = format!("station {seed} at {width}");
        let drawing = schematic(&station, None, tags, width).unwrap_or_else(|| panic!("{what}: none"));
        sound(&station, &drawing, &what);
        if seed % 20 == 0 {
            let again = schematic(&station, None, tags, width).expect("again");
            assert_eq!(svg(&again, true), svg(&drawing, true), "{what}");
        }
    };
    let failed = std::sync::Mutex::new(Vec::new());
    std::thread::scope(|scope| {
        for part in 0..4 {
            let failed = &failed;
            scope.spawn(move || {
                for seed in (part..STATIONS).step_by(4) {
                    if let Err(panic) = std::panic::catch_unwind(|| one(seed)) {
                        let told = panic.downcast_ref::<String>().cloned().unwrap_or_default();
                        failed.lock().expect("a list").push(told);
                    }
                }
            });
        }
    });
    let failed = failed.into_inner().expect("a list");
    assert!(
        failed.is_empty(),
        "{} of {STATIONS}:\n{}",
        failed.len(),
        failed.join("\n")
    );
}

const STATIONS: u64 = 200;

const EXAMPLES: [(&str, &str); 3] = [
    ("larkhaven", include_str!("../../../stations/larkhaven.toml")),
    (
        "juniper-street-school",
        include_str!("../../../stations/juniper-street-school.toml"),
    ),
    (
        "skelder-hatchery",
        include_str!("../../../stations/skelder-hatchery.toml"),
    ),
];

/// The examples as they are, by names and by tags; after a change that was looked at and is meant: BLESS=1 cargo test -p sheets
#[test]
fn examples_as_they_were() {
    for (name, text) in EXAMPLES {
        let station = read(text);
        for width in [88.0, 190.0, 277.0] {
            let drawing = schematic(&station, None, Tags::Owner, width).expect("lines");
            sound(&station, &drawing, &format!("{name} at {width}"));
            as_it_was(&drawing, &format!("schematic-{name}-{width:.0}"));
        }
        let drawing = schematic(&station, None, Tags::Isa, 190.0).expect("lines");
        sound(&station, &drawing, &format!("{name} with tags"));
        as_it_was(&drawing, &format!("schematic-{name}-tags"));
    }
}

/// A line with a valve of every kind, another to a pump.
fn every_symbol() -> String {
    let kinds = [
        "ball",
        "narrow ball",
        "gate",
        "globe",
        "needle",
        "diaphragm",
        "butterfly",
        "swing check",
        "spring check",
        "solenoid",
        "float",
    ];
    let mut text = "title = \"Symbols\"\n[tanks.pool]\nvolume = \"900 L\"\nsalinity = 35\ntemperature = \"24 C\"\n\
        evaporation = \"9 L/day\"\nwater_height = \"500 mm\"\n[vessels.fresh]\nholds = \"fresh\"\nshape = \"cylinder\"\n\
        diameter = \"600 mm\"\nheight = \"900 mm\"\nfloor_height = \"500 mm\"\n[pumps.pump]\n\
        curve = [[\"0 L/min\", \"4.5 m\"], [\"45 L/min\", \"0 m\"]]\nheight = \"300 mm\"\n[draw_points.tap]\n\
        height = \"300 mm\"\n"
        .to_owned();
    for (name, from, to) in [
        ("out", "fresh", "tap"),
        ("in", "fresh", "pump"),
        ("up", "pump", "pool"),
    ] {
        text += &format!(
            "[lines.{name}]\nfrom = \"{from}\"\nto = \"{to}\"\ntube = \"vinyl hose\"\nsize = \"25 mm\"\n\
             length = \"9 m\"\nbarbs = 2\n"
        );
    }
    text += "crest = \"2 m\"\nsiphon_break = \"1.9 m\"\n";
    for kind in kinds {
        text += &format!(
            "[valves.{}]\nline = \"out\"\nkind = \"{kind}\"\n",
            kind.replace(' ', "-")
        );
    }
    text
}

fn lineup(lines: &[&str], open: &[&str], pumps: &[&str]) -> Lineup {
    let owned = |names: &[&str]| {
        names
            .iter()
            .map(|name| (*name).to_owned())
            .collect::<Vec<String>>()
    };
    Lineup {
        name: "task".to_owned(),
        from: "fresh".to_owned(),
        to: "tap".to_owned(),
        by: "gravity",
        found: false,
        valves_open: Some(owned(open)),
        pumps_on: owned(pumps),
        lines: owned(lines),
        strays: Vec::new(),
        moments: Vec::new(),
        held_m3: 0.0,
    }
}

/// Symbols as ISO 10628 and ISO 14617 draw them (from memory), open and closed, standing and running; kept as they were
/// looked at.
#[test]
fn symbols_as_they_were() {
    let station = read(&every_symbol());
    let open = schematic(&station, None, Tags::Owner, 240.0).expect("lines");
    as_it_was(&open, "symbols-open");
    let shut = schematic(
        &station,
        Some(&lineup(&["in", "up"], &[], &["pump"])),
        Tags::Owner,
        240.0,
    )
    .expect("lines");
    as_it_was(&shut, "symbols-closed");
    // What a person or a controller sets is filled; what the flow or the level sets stays as it is.
    for valve in &station.valves {
        let filled = |drawing: &Drawing| {
            drawing.items.iter().any(|item| {
                item.path == format!("valves.{}", valve.name)
                    && matches!(&item.shape, Shape::Area { points, ink: Ink::Ink, .. }
                        if points.iter().any(|a| points.iter().any(|b| (a.y_mm - b.y_mm).abs() > 3.0)))
            })
        };
        assert!(!filled(&open), "{}", valve.name);
        assert_eq!(filled(&shut), valve.fields.kind.value.is_set(), "{}", valve.name);
    }
}

/// With a valve setting the lines of its way are heavy and no others, and each has its arrow in the way that water takes.
#[test]
fn the_way_of_a_setting_is_inked() {
    for (name, text) in EXAMPLES {
        let station = read(text);
        let proof = proof::prove(&station);
        for lineup in &proof.lineups.as_ref().expect("lines").lineups {
            let what = format!("{name}, {}", lineup.name);
            let drawing = schematic(&station, Some(lineup), Tags::Owner, 190.0).expect("lines");
            sound(&station, &drawing, &what);
            let at = station
                .lineups
                .iter()
                .position(|own| own.name == lineup.name)
                .expect("one");
            let mut here = station.plumbing.tasks[at].from;
            for flowing in &lineup.lines {
                let line = station
                    .lines
                    .iter()
                    .position(|own| own.name == *flowing)
                    .expect("a line");
                let joined = station.plumbing.lines[line];
                let along = here == joined.from;
                here = if along { joined.to } else { joined.from };
                assert!(
                    arrows(&drawing, &format!("lines.{flowing}"), along) > 0,
                    "{what}: {flowing}"
                );
            }
            for line in &station.lines {
                let path = format!("lines.{}", line.name);
                let flows = lineup.lines.contains(&line.name);
                let heavy =
                    drawing
                        .items
                        .iter()
                        .filter(|item| item.path == path)
                        .all(|item| match &item.shape {
                            Shape::Line { stroke, .. } => (*stroke == Stroke::Heavy) == flows,
                            _ => true,
                        });
                assert!(heavy, "{what}: {path}");
                if !flows {
                    assert_eq!(arrows(&drawing, &path, true), 0, "{what}: {path}");
                }
            }
        }
    }
}

/// Arrow heads of a line; every one of them must point along it, or against it.
fn arrows(drawing: &Drawing, path: &str, along: bool) -> usize {
    let own = drawing.items.iter().filter(|item| item.path == path);
    let heads = own.filter_map(|item| match &item.shape {
        Shape::Area { points, .. } => Some(points),
        _ => None,
    });
    heads
        .map(|head| {
            let tip = head[0];
            let foot = Point {
                x_mm: (head[1].x_mm + head[2].x_mm) / 2.0,
                y_mm: (head[1].y_mm + head[2].y_mm) / 2.0,
            };
            let (x, y) = (tip.x_mm - foot.x_mm, tip.y_mm - foot.y_mm);
            let stretch = pipes(drawing)
                .into_iter()
                .filter(|(own, _)| *own == path)
                .flat_map(|(_, points)| {
                    points
                        .windows(2)
                        .map(|pair| (pair[0], pair[1]))
                        .collect::<Vec<_>>()
                })
                .find(|(a, b)| {
                    let bounds = grown(grown(None, *a, NEAR_MM), *b, NEAR_MM).expect("a box");
                    within(&bounds, tip, 0.0) && within(&bounds, foot, 0.0)
                })
                .expect("it lies on its pipe");
            let dot = x * (stretch.1.x_mm - stretch.0.x_mm) + y * (stretch.1.y_mm - stretch.0.y_mm);
            assert_eq!(dot > 0.0, along, "{path}");
        })
        .count()
}

/// On paper that is wide enough things stand where the file puts them: columns from left to right, rows from above
/// downwards, one column below each other, one row on one line.
#[test]
fn places_of_the_file_hold() {
    let mut placed = 0;
    for seed in 0..60 {
        let station = read(&random_station::station(seed));
        let drawing = schematic(&station, None, Tags::Owner, 900.0).expect("lines");
        let things = things(&drawing);
        let mut own: Vec<(String, station::register::Place, bool)> = Vec::new();
        let mut add =
            |path: String, place: Option<&station::register::Field<station::register::Place>>, holds| {
                own.extend(place.map(|place| (path, place.value, holds)));
            };
        for tee in &station.tees {
            add(format!("tees.{}", tee.name), tee.fields.place.as_ref(), false);
        }
        for pump in &station.pumps {
            add(format!("pumps.{}", pump.name), pump.fields.place.as_ref(), false);
        }
        for vessel in &station.vessels {
            add(
                format!("vessels.{}", vessel.name),
                vessel.fields.place.as_ref(),
                true,
            );
        }
        let at = |path: &str| {
            things
                .iter()
                .find(|(own, _)| *own == path)
                .map(|(_, bounds)| *bounds)
                .expect("drawn")
        };
        placed += own.len();
        for (path, place, holds) in &own {
            for (other, theirs, theirs_hold) in &own {
                let (a, b) = (at(path), at(other));
                let what = format!("station {seed}: {path} at {place:?}, {other} at {theirs:?}");
                if place.column < theirs.column {
                    assert!(a.right_mm <= b.left_mm + NEAR_MM, "{what}");
                }
                if place.column == theirs.column {
                    assert!(a.left_mm < b.right_mm && b.left_mm < a.right_mm, "{what}");
                }
                if place.row < theirs.row {
                    assert!(a.top_mm < b.top_mm && a.bottom_mm < b.bottom_mm, "{what}");
                }
                if place.row == theirs.row && !holds && !theirs_hold {
                    let middle = |bounds: Bounds| (bounds.top_mm + bounds.bottom_mm) / 2.0;
                    assert!((middle(a) - middle(b)).abs() < NEAR_MM, "{what}");
                }
            }
        }
    }
    assert!(placed > 60, "{placed}");
}

/// A card says the way, the valves, the order of moves where there is one, and each level of the source.
#[test]
fn a_card_says_what_to_do() {
    let station = read(EXAMPLES[0].1);
    let proof = proof::prove(&station);
    let lineups = &proof.lineups.as_ref().expect("lines").lineups;
    let change = lineups
        .iter()
        .find(|own| own.name == "touch-pool-change")
        .expect("a task");
    let order = ["Open pool.".to_owned(), "Start bracket.".to_owned()];
    let card = card(&station, change, &order);
    assert_eq!(card.title, "Touch pool change");
    assert_eq!(
        card.way,
        "From salt by salt-out to salt-leg, by salt-suction to suction, by pump-suction to bracket, by riser to \
         wall-spout, by wall-low to wall-jet, by wall-high to wall-top, by pool-hose to touch-pool."
    );
    assert_eq!(
        card.open,
        "Open salt-outlet, pump-outlet and pool; close the others."
    );
    assert_eq!(card.run, "Run bracket.");
    assert_eq!(card.order, order);
    assert_eq!(card.moments.len(), change.moments.len());
    for (told, moment) in card.moments.iter().zip(&change.moments) {
        assert!(
            told[0].starts_with("salt ") && told[1].contains("L/min"),
            "{told:?}"
        );
        assert_eq!(told[2].is_empty(), moment.time.is_none());
    }
}

/// Each card stands whole on one sheet.
#[test]
fn no_card_is_split() {
    for (name, text) in EXAMPLES {
        let station = read(text);
        let proof = proof::prove(&station);
        for paper in [Paper::A4, Paper::Letter] {
            let pages = printed(&station, &proof, "station.toml", paper);
            for lineup in &proof.lineups.as_ref().expect("lines").lineups {
                let card = card(&station, lineup, &[]);
                let mark = pages
                    .bookmarks
                    .iter()
                    .find(|mark| mark.title == card.title)
                    .expect("a card");
                let page = &pages.pages[mark.page];
                let words: String = page
                    .text_bounds()
                    .iter()
                    .map(|(_, text)| format!("{text} "))
                    .collect();
                let words = words.replace(' ', "");
                let cells = card.moments.iter().flatten();
                for told in [&card.way, &card.open].into_iter().chain(cells) {
                    let told = sheets::font::printable(told).replace(' ', "");
                    assert!(
                        words.contains(&told),
                        "{name}, {paper:?}, {}: {told}",
                        lineup.name
                    );
                }
                let drawn = page
                    .items
                    .iter()
                    .any(|item| item.path == format!("lines.{}", lineup.lines[0]));
                assert!(drawn, "{name}, {paper:?}, {}", lineup.name);
            }
        }
    }
}
