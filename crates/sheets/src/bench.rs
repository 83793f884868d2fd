//! What the workbench puts together anew with each change: the figures that lead, the findings, the marks that a hand can
//! move. Pieces of the page, not pages.
//!
//! A finding's remedy has a button, so that one press applies it; its place in the file leads to the drawing.

use maud::{Markup, html};
use proof::{Finding, LevelMark, Proof, Severity, Year, comes_in, mark_step_m};
use station::catalogue::{Body, CATALOGUE, CatalogueVessel};
use station::quantity::{Kind, UnitSystem, format_plain, format_tape};
use station::sections::ShapeWord;
use station::{End, Station, Vessel, reach, spoken};

use crate::cure::{CureOf, cure_of};
use crate::page::{Deeper, figures_of, leading_of, why};
use crate::told::{WEIGHTS, headlines, leading, left_open};
use crate::words::glued;

/// What of a vessel a hand takes hold of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grip {
    /// A mark inside it.
    Level,
    /// Its floor: the whole vessel goes up and down.
    Floor,
    /// Its rim: it becomes taller.
    Rim,
    /// Its side: it becomes wider.
    Side,
}

impl Grip {
    /// What scripts call it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Level => "level",
            Self::Floor => "floor",
            Self::Rim => "rim",
            Self::Side => "side",
        }
    }
}

/// Something that a hand can move: a length in the file.
#[derive(Debug, Clone, PartialEq)]
pub struct Handle {
    /// Its value in the file: `vessels.fresh.stop_level`.
    pub path: String,
    /// What it is.
    pub grip: Grip,
    /// What it is called: "stop level of fresh".
    pub label: String,
    /// Where it is: a mark above its vessel's floor, a floor above the room's, else how large it is, m.
    pub level_m: f64,
    /// As a tape reads it.
    pub shown: String,
    /// What comes of it: what the vessel holds up to it, or all in all.
    pub holds: String,
    /// The least that it can be, m, and what is there: "no lower: the start level is at 260 mm".
    pub least: (f64, String),
    /// The most that it can be, m, and what is there.
    pub most: (f64, String),
}

/// A vessel is made no smaller and no larger than this by hand, and stands no higher, m (house rule; the file takes more).
const SIZE_M: (f64, f64) = (0.1, 3.0);
const HIGHEST_FLOOR_M: f64 = 2.5;

/// What of a step of marks counts as none: lengths in the file come from decimals.
const SAME: f64 = 1e-6;

/// What a hand can move: floor, rim and side of each vessel, and those of its marks that stand in the file.
pub fn handles(station: &Station, proof: &Proof) -> Vec<Handle> {
    let mut all = Vec::new();
    for own in &proof.levels.vessels {
        let Some(vessel) = station.vessels.iter().find(|vessel| vessel.name == own.name) else {
            continue;
        };
        all.extend(body(station, vessel));
        all.extend(own.marks.iter().filter_map(|mark| level(station, vessel, mark)));
    }
    all
}

/// Floor, rim and side. Of a shape that is told by more than one width, or by a table, the side stays where it is.
fn body(station: &Station, vessel: &Vessel) -> Vec<Handle> {
    let name = &vessel.name;
    let tape = |length_m: f64| format_tape(length_m, station.units());
    let full = format_plain(
        Kind::Volume,
        vessel.shape.full_volume_m3(),
        station.units(),
        &station.currency(),
    );
    let height_m = vessel.height_m();
    let floor_m = vessel.fields.floor_height.value.m();
    let mut all = vec![Handle {
        path: format!("vessels.{name}.floor_height"),
        grip: Grip::Floor,
        label: format!("height of the floor of {}", spoken(name)),
        level_m: floor_m,
        shown: tape(floor_m),
        holds: format!("its rim at {}", tape(floor_m + height_m)),
        least: match floor_m {
            ..0.0 => (
                floor_m,
                "no lower by hand: a place that is lower can be typed".into(),
            ),
            _ => (0.0, "no lower: this is the room's floor".into()),
        },
        most: (
            HIGHEST_FLOOR_M.max(floor_m),
            "no higher by hand: a place that is higher can be typed".into(),
        ),
    }];
    let size = |grip: Grip, key: &str, now_m: f64, [less, more]: [&str; 2]| Handle {
        path: format!("vessels.{name}.{key}"),
        grip,
        label: format!("{key} of {}", spoken(name)),
        level_m: now_m,
        shown: tape(now_m),
        holds: full.clone(),
        least: lower(station, reach(station, vessel, key).least, less, now_m, SIZE_M.0),
        most: (
            SIZE_M.1.max(now_m),
            format!("no {more} by hand: a vessel that is larger can be typed"),
        ),
    };
    let (rim, side) = match vessel.fields.shape.value {
        ShapeWord::Cylinder | ShapeWord::ConeBottom => (true, Some("diameter")),
        ShapeWord::Box => (true, Some("length")),
        ShapeWord::TaperedRound | ShapeWord::TaperedBox => (true, None),
        ShapeWord::HorizontalCylinder | ShapeWord::Measured => (false, None),
    };
    if rim {
        all.push(size(Grip::Rim, "height", height_m, ["lower", "taller"]));
    }
    let plan = vessel.shape.plan_at_m(height_m).ok().flatten();
    if let (Some(key), Some((wide_m, _))) = (side, plan) {
        all.push(size(Grip::Side, key, wide_m, ["narrower", "wider"]));
    }
    all
}

/// The lowest place of a mark that a hand can put something at, and what is below it.
fn lower(station: &Station, end: Option<End>, less: &str, now_m: f64, usual_m: f64) -> (f64, String) {
    let Some(end) = end.filter(|own| own.at_m >= usual_m) else {
        return (
            usual_m.min(now_m),
            format!("no {less} by hand: what is smaller can be typed"),
        );
    };
    let step_m = mark_step_m(station);
    let place = end.at_m / step_m;
    let step = if end.touches {
        (place - SAME).ceil()
    } else {
        (place + SAME).floor() + 1.0
    };
    ((step * step_m).min(now_m), format!("no {less}: {}", end.why))
}

/// The highest place of a mark that a hand can put a level at, and what is above it.
fn higher(station: &Station, end: &End, now_m: f64) -> (f64, String) {
    let step_m = mark_step_m(station);
    let place = end.at_m / step_m;
    let step = if end.touches {
        (place + SAME).floor()
    } else {
        (place - SAME).ceil() - 1.0
    };
    ((step * step_m).max(now_m), format!("no higher: {}", end.why))
}

fn level(station: &Station, vessel: &Vessel, mark: &LevelMark) -> Option<Handle> {
    let key = match mark.name {
        "start" | "stop" | "backup" | "outlet" => format!("{}_level", mark.name),
        "low cut-out" => "low_cutout_level".to_owned(),
        _ => return None,
    };
    let path = format!("vessels.{}.{key}", vessel.name);
    // A mark that the file doesn't name is a default: nobody has put it there.
    station.value_span(&path)?;
    let reach = reach(station, vessel, &key);
    Some(Handle {
        path,
        grip: Grip::Level,
        label: format!("{} of {}", mark.name, spoken(&vessel.name)),
        level_m: mark.level_m,
        shown: format_tape(mark.level_m, station.units()),
        holds: format_plain(Kind::Volume, mark.volume_m3, station.units(), &station.currency()),
        least: lower(station, reach.least, "lower", mark.level_m, 0.0),
        most: higher(station, &reach.most?, mark.level_m),
    })
}

/// What to put in place of which vessel: two choices and a button.
pub fn vessels(station: &Station) -> String {
    let units = station.units();
    // The one that holds as much as the first vessel does is offered first.
    let off = |own: &CatalogueVessel| {
        let first = station
            .vessels
            .first()
            .map_or(0.0, |own| own.shape.full_volume_m3());
        (own.nominal_m3 - first).abs()
    };
    // What can't be carried in isn't on offer, and says why.
    let stays_out = |own: &CatalogueVessel| comes_in(station, own) == Some(false);
    let nearest = CATALOGUE
        .iter()
        .filter(|own| !stays_out(own))
        .min_by(|a, b| off(a).total_cmp(&off(b)));
    html! {
        @if !station.vessels.is_empty() {
            form id="exchange" {
                label {
                    "Put a"
                    select name="catalogue" {
                        @for (at, own) in CATALOGUE.iter().enumerate() {
                            option value=(at) selected[nearest == Some(own)] disabled[stays_out(own)] {
                                (own.name(units)) ", " (sizes(own, units))
                                @if stays_out(own) { ": doesn't come through the door" }
                            }
                        }
                    }
                }
                label {
                    "in place of"
                    select name="name" {
                        @for own in &station.vessels { option value=(own.name) { (spoken(&own.name)) } }
                    }
                }
                button type="submit" { "Put it there" }
            }
        }
    }
    .into_string()
}

/// "Ø 550 mm x 860 mm", the height last.
fn sizes(own: &CatalogueVessel, units: UnitSystem) -> String {
    let tape = |length_m: f64| format_tape(length_m, units);
    let across = match own.body {
        Body::Box {
            length_m, width_m, ..
        } => format!("{} x {}", tape(length_m), tape(width_m)),
        Body::Cylinder { diameter_m, .. } | Body::ConeBottom { diameter_m, .. } => {
            format!("Ø {}", tape(diameter_m))
        }
        Body::TaperedRound { diameter_top_m, .. } => format!("Ø {}", tape(diameter_top_m)),
    };
    format!("{across} x {}", tape(own.height_m()))
}

/// The figures that lead, each of which opens its why.
pub fn leading_figures(station: &Station, proof: &Proof) -> String {
    html! {
        (leading_of(station, proof, &leading(proof), Deeper::Asked))
        // The page keeps the one of before there.
        @if let Some(place) = left_open(proof) { div data-place=(place) data-waits {} }
    }
    .into_string()
}

/// All headline figures, each of which opens its why.
pub fn figures(station: &Station, proof: &Proof) -> String {
    figures_of(station, proof, headlines(proof), Deeper::Asked).into_string()
}

/// The why of one figure; nothing where none has the key.
pub fn why_of(station: &Station, proof: &Proof, key: &str) -> Option<String> {
    Some(why(station, proof, proof.figure(key)?, Deeper::Asked).into_string())
}

/// What is known of a station's years.
#[derive(Debug, Clone, Copy)]
pub enum Years<'y> {
    /// They are being walked through for the first time.
    ToCome,
    /// They were.
    Of(&'y Year),
    /// Those of the text before are known.
    Old(&'y Year),
    /// There is nothing to tell of them.
    Never,
}

/// The findings, worst first, those of the proof before those of the years where these are known; each that has a remedy
/// with a button, each that has a place with a way there. What is only worth knowing is folded. Those of years that another
/// text had keep their places, marked as old. As long as nobody walked through any, it says that more may come.
pub fn findings(proof: &Proof, years: &Years<'_>) -> String {
    let of_year = match years {
        Years::Of(year) | Years::Old(year) => &year.findings[..],
        Years::ToCome | Years::Never => &[],
    };
    let is_old = matches!(years, Years::Old(_));
    let lists = [(CureOf::Proof, &proof.findings[..]), (CureOf::Year, of_year)];
    html! {
        @for (severity, heading, ink) in WEIGHTS {
            @let own = lists.map(|(of, list)| {
                let own: Vec<(usize, &Finding)> =
                    list.iter().enumerate().filter(|(_, own)| own.severity == severity).collect();
                (of, own)
            });
            @let count = own.iter().map(|(_, row)| row.len()).sum::<usize>();
            @let listed = html! {
                @for (of, row) in &own {
                    @for place in 0..row.len() { (one(*of, row, place, is_old && matches!(of, CureOf::Year))) }
                }
            };
            @if count == 0 {} @else if severity == Severity::Note {
                details class="notes" id="notes" {
                    summary { h2 { (heading) " (" (count) ")" } }
                    (listed)
                }
            } @else {
                section {
                    h2 class=(ink.word()) { (heading) }
                    (listed)
                }
            }
        }
        @if matches!(years, Years::ToCome) {
            p class="second" { "A few years of it are being walked through: what they bring to light is added here." }
        }
    }
    .into_string()
}

/// Whether what stands at a path of the file stands on a drawing.
fn is_drawn(place: &str) -> bool {
    const DRAWN: [&str; 8] = [
        "vessels",
        "tanks",
        "pumps",
        "valves",
        "lines",
        "tees",
        "draw_points",
        "purifier",
    ];
    let section = place.split('.').next().unwrap_or(place);
    DRAWN.contains(&section)
}

fn one(of: CureOf, row: &[(usize, &Finding)], place: usize, is_old: bool) -> Markup {
    let Some((_, finding)) = row.get(place) else {
        return html! {};
    };
    html! {
        div class={ "finding" @if is_old { " old" } } data-of=(of.word()) data-path=(finding.place) {
            p {
                (glued(&finding.sentence)) " "
                @if is_drawn(&finding.place) {
                    span class="place" { button type="button" data-where=(finding.place) { "show it" } } " "
                }
                @if let Some(line) = finding.line {
                    span class="place" { a href={ "/edit#field-" (finding.place) } { "edit it" span class="visually-hidden" { ": line " (line) " of the file" } } }
                }
            }
            (cure_of(row, place, Some(of)))
        }
    }
}
